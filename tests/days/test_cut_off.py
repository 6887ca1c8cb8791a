"""Stories of failing power and failing disks: what was known is kept, what was missed is said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from brew_day import START, BrewDay, example

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.facts import Fact, Recorded
from assistant.journal.memory_journal import MemoryJournal
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import Moment
from assistant.ports import Journal, JournalRefusal

CutDay = tuple[BrewDay, Callable[[float], list[str]]]


@pytest.fixture(params=["memory", "sqlite"])
def cut_day(request: pytest.FixtureRequest, tmp_path: Path) -> CutDay:
    """Hollow Lane in its boil, and a power cut of so many minutes, after which its journal is opened again."""
    clock = HandClock(START)
    path = tmp_path / "day.journal"
    journal: Journal = (
        MemoryJournal() if request.param == "memory" else SqliteJournal.create(path, clock.machine_time)
    )
    day = BrewDay.opened(example("hollow-lane"), journal, clock)
    request.addfinalizer(lambda: day.journal.close())  # noqa: PLW0108 - the journal is another one by then
    day.to_the_boil()

    def cut(minutes: float) -> list[str]:
        if request.param == "memory":
            return day.power_cut(minutes)
        day.journal.close()
        return day.power_cut(minutes, SqliteJournal.open(path, clock.machine_time))

    return day, cut


def test_nothing_is_lost_in_a_power_cut(cut_day: CutDay) -> None:
    """After four minutes without power every fact and the boil clock are as they were, less four minutes."""
    day, cut = cut_day
    day.minutes_pass(10)
    before, state = day.loop.facts, day.state
    said = cut(4)
    assert before == day.loop.facts[: len(before)]
    assert (state.stage, state.boil, state.gravities) == (day.state.stage, day.state.boil, day.state.gravities)
    assert said[0].startswith("I was off for four minutes. Boil, since fourteen minutes.")
    assert "Next: fifty-five-minute hops, in six minutes." in said[0]
    # And the hops are called at their time.
    assert any("Now: fifty-five-minute hops in" in text for text in day.minutes_pass(6.1))


def test_late_calls_are_said_with_their_age(cut_day: CutDay) -> None:
    """Hops that fell due while the power was off are called at once with their age; their notice is let go."""
    day, cut = cut_day
    day.minutes_pass(17)
    said = cut(5)
    assert said[0].startswith("I was off for five minutes.")
    assert "Two minutes ago: Now: fifty-five-minute hops in, twenty-two grams of bittering hops" in said[1]
    assert not any(text.startswith("Two minutes to the fifty-five") for text in said)
    dropped = [fact.key for fact in day.facts(f.CallDropped) if isinstance(fact, f.CallDropped)]
    assert 1 == len([key for key in dropped if key.endswith("addition.0.ahead")])
    assert any("Fifty-five-minute hops in" in text for text in day.types("done"))


def test_a_cut_past_the_end_of_the_boil_calls_all_that_was_missed(cut_day: CutDay) -> None:
    """Off until after knockout: each missed addition and knockout itself are called, none is dropped."""
    day, cut = cut_day
    day.minutes_pass(50)
    day.types("done")
    said = " ".join(cut(30))
    for missed in ("twenty-minute hops in", "fifteen-minute yeast nutrient in", "ten-minute finings in"):
        assert f"Now: {missed}" in said
    assert "ago: Knockout: flame off" in said
    kept = [fact.key for fact in day.facts(f.CallDropped) if isinstance(fact, f.CallDropped)]
    assert [] == [key for key in kept if not key.endswith(".ahead") and not key.endswith(".foam")]


def test_a_call_perhaps_not_heard_is_made_again(cut_day: CutDay) -> None:
    """A notice handed to the voice just before the power failed, and never spoken out, is said again."""
    day, cut = cut_day
    day.minutes_pass(18.05)
    assert day.texts[-1].startswith("Two minutes to the fifty-five-minute hops")
    assert any(text.startswith("Two minutes to the fifty-five-minute hops") for text in cut(0.5))


def test_a_notice_that_no_longer_matters_is_not_said_again(cut_day: CutDay) -> None:
    """The foam watch, perhaps not heard before the cut, is not said again a quarter of an hour into the boil."""
    _, cut = cut_day
    assert not any(text.startswith("Foam watch") for text in cut(15))


def test_a_held_clock_is_still_held_after_the_cut(cut_day: CutDay) -> None:
    """The boil clock held before the cut is held after it, at the same time left."""
    day, cut = cut_day
    day.minutes_pass(10)
    day.types("stop the clock")
    said = cut(7)
    assert 'The boil clock is held. Say "carry on".' in said[0]
    assert any(text.startswith("Going on, sixty-five minutes.") for text in day.types("carry on"))


def test_a_clock_that_cannot_be_trusted_is_said(cut_day: CutDay) -> None:
    """When the wall clock went back meanwhile, the brewer hears to check the boil clock."""
    day, _ = cut_day
    day.loop.resume(60.0, clock_trusted=False)
    assert any("The computer's clock is wrong: check the boil clock" in text for text in day.texts)


# --- a disk without room


class FullDisk:
    """A journal that refuses while `full`."""

    def __init__(self) -> None:
        self.inside = MemoryJournal()
        self.full = False

    def append(self, facts: Sequence[Fact], moment: Moment, turn: int) -> tuple[Recorded, ...]:
        """Refuse or write."""
        if self.full:
            raise JournalRefusal("The disk is full: make room.")
        return self.inside.append(facts, moment, turn)

    def read(self) -> tuple[Recorded, ...]:
        """What was written."""
        return self.inside.read()

    def close(self) -> None:
        """Close."""
        self.inside.close()


WARNING = "Not saved. The disk is full: make room. I keep it in memory: do not switch off."


def test_a_full_disk_is_said_at_once_and_every_minute_and_nothing_is_lost() -> None:
    """Facts are kept while the disk is full, warned of each minute, and written in order when there is room."""
    disk = FullDisk()
    day = BrewDay.opened(example("hollow-lane"), disk)
    day.to_the_boil()
    written = disk.read()
    # The disk fills up. The day goes on: a note is taken, the clock is held.
    disk.full = True
    said = day.types("stop the clock")
    assert WARNING in said
    assert any(text.startswith("Held at") for text in said)
    warned = [text for text in day.minutes_pass(3.1) if text == WARNING]
    assert 3 == len(warned)
    assert written == disk.read()
    # There is room again: everything is written, in order, with the numbers and times that it had.
    disk.full = False
    assert "The journal is written again. Nothing is missing." in day.types("carry on")
    assert day.loop.facts == disk.read()
    assert [item.number for item in disk.read()] == list(range(1, len(disk.read()) + 1))
    assert not any(text == WARNING for text in day.minutes_pass(5))


def test_what_is_unsaved_at_the_end_is_tried_once_more() -> None:
    """Closing the day writes what waits, when there is room by then."""
    disk = FullDisk()
    day = BrewDay.opened(example("hollow-lane"), disk)
    disk.full = True
    day.types("start the day")
    disk.full = False
    kept = day.loop.facts
    reads: list[tuple[Recorded, ...]] = []
    close = disk.inside.close
    disk.inside.close = lambda: (reads.append(disk.inside.read()), close())[1]  # type: ignore[method-assign]
    day.loop.close()
    assert [kept] == reads
