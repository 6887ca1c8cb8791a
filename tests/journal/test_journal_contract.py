"""What every journal promises, run on the one in memory and on the one in a file."""

from __future__ import annotations

import math
from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.facts import Recorded, Stage
from assistant.messages import Moment
from assistant.ports import Journal, JournalRefusal

BEGUN = f.DayBegun("Hollow Lane", "[beer]\nname = 'Hollow Lane'\n", "hollow-lane.toml")
GRAVITY = f.GravityRead(1.044, 20.0, 1.044, 0.0005, "ten forty-four")


def test_an_empty_journal_has_no_facts(journal: Journal) -> None:
    """A day that has not begun reads as nothing."""
    assert () == journal.read()


def test_facts_come_back_in_order(journal: Journal, hand_clock: HandClock) -> None:
    """What was appended is read back equal, numbered from 1 across turns, each with its own moment and turn."""
    first = hand_clock.now()
    told = journal.append([BEGUN, f.StageReached(Stage.STRIKE)], first, 1)
    second = hand_clock.advance(61.25)
    told += journal.append([GRAVITY], second, 2)
    expected = (
        Recorded(1, first, 1, BEGUN),
        Recorded(2, first, 1, f.StageReached(Stage.STRIKE)),
        Recorded(3, second, 2, GRAVITY),
    )
    assert expected == told
    assert expected == journal.read()


def test_what_append_returns_is_what_reading_returns(journal: Journal, hand_clock: HandClock) -> None:
    """Live and after a restart the state folds the same values, types included."""
    told = journal.append([f.AdviceGiven(("extract",), (1,), (1.05,))], hand_clock.now(), 1)
    assert repr(told) == repr(journal.read())
    assert (1.0,) == told[0].fact.sizes  # type: ignore[attr-defined]


def test_a_turn_without_facts_writes_nothing(journal: Journal, hand_clock: HandClock) -> None:
    """An empty turn takes no number."""
    assert () == journal.append([], hand_clock.now(), 1)
    assert 1 == journal.append([BEGUN], hand_clock.now(), 2)[0].number


@pytest.mark.parametrize(
    "wall",
    [
        datetime(2026, 11, 25, 14, 5, 9, 123456, tzinfo=timezone(timedelta(hours=5, minutes=45))),
        datetime(2026, 10, 25, 2, 30, tzinfo=ZoneInfo("Europe/Berlin"), fold=1),
        datetime(2026, 10, 25, 2, 30, tzinfo=ZoneInfo("Europe/Berlin"), fold=0),
        datetime(1890, 1, 1, 0, 0, tzinfo=ZoneInfo("Europe/Amsterdam")),
    ],
    ids=str,
)
def test_wall_time_keeps_instant_and_offset(journal: Journal, wall: datetime) -> None:
    """The instant, to the microsecond, and the offset that held come back, in the doubled hour of autumn too."""
    journal.append([BEGUN], Moment(0.0, wall), 1)
    found = journal.read()[0].moment.wall
    assert (wall.isoformat(), wall.timestamp()) == (found.isoformat(), found.timestamp())


def test_elapsed_time_comes_back_exactly(journal: Journal, hand_clock: HandClock) -> None:
    """No digit of the elapsed time is lost."""
    elapsed_s = 12_345.678_901_234_567
    journal.append([BEGUN], Moment(elapsed_s, hand_clock.now().wall), 1)
    assert elapsed_s == journal.read()[0].moment.elapsed_s


@pytest.mark.parametrize(
    ("facts", "elapsed_s", "turn"),
    [
        ([GRAVITY, f.BoilStarted(math.nan)], 0.0, 2),
        ([GRAVITY, "no fact"], 0.0, 2),
        ([GRAVITY], math.nan, 2),
        ([GRAVITY], 0.0, -1),
    ],
    ids=["a number that is none", "no fact", "no time", "no turn"],
)
def test_a_turn_is_written_whole_or_not_at_all(
    journal: Journal, hand_clock: HandClock, facts: list[f.Fact], elapsed_s: float, turn: int
) -> None:
    """When one part of a turn cannot be kept none of it is, and the next turn takes the next number."""
    before = journal.append([BEGUN], hand_clock.now(), 1)
    with pytest.raises(JournalRefusal):
        journal.append(facts, Moment(elapsed_s, hand_clock.now().wall), turn)
    assert before == journal.read()
    assert 2 == journal.append([GRAVITY], hand_clock.now(), 2)[0].number


def test_a_closed_journal_refuses(journal: Journal, hand_clock: HandClock) -> None:
    """Closing twice is safe, and afterwards nothing is written or read."""
    journal.close()
    journal.close()
    with pytest.raises(JournalRefusal, match="the journal of the day is closed"):
        journal.append([BEGUN], hand_clock.now(), 1)
    with pytest.raises(JournalRefusal, match="the journal of the day is closed"):
        journal.read()
