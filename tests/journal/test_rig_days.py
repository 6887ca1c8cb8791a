"""What the kept days say of a rig: read from their journals, oldest first, and only while it stands."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from brew_day import BrewDay, example

from assistant.day import facts as f
from assistant.day.facts import Recorded
from assistant.journal.days import journal_file, new_day_folder
from assistant.journal.rig_days import learnt_by, rig_days
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime, Moment

BEGUN = f.DayBegun("Hollow Lane", "the plan")
RIG = "30-litre kettle"
LEARNT = f.RigLearned(RIG, (("boil-off, L/h", 3.6, 0.2),))


def recorded(*facts: f.Fact) -> tuple[Recorded, ...]:
    """Facts, each of a turn of its own."""
    wall = datetime(2026, 11, 25, tzinfo=UTC)
    return tuple(Recorded(at, Moment(float(at), wall), at, fact) for at, fact in enumerate(facts, start=1))


def kept(base: Path, machine: Callable[[], MachineTime], day: int, *facts: f.Fact) -> Path:
    """A day of this date in `base` with these facts."""
    wall = datetime(2026, 11, day, tzinfo=UTC)
    folder = new_day_folder(base, "Hollow Lane", wall)
    journal = SqliteJournal.create(journal_file(folder), machine)
    journal.append(facts, Moment(1.0, wall), 1)
    journal.close()
    return folder


def test_days_of_the_rig_are_found_oldest_first(tmp_path: Path, machine: Callable[[], MachineTime]) -> None:
    """Only days of this rig that learnt something, by the names of their folders; a damaged one is passed over."""
    kept(tmp_path, machine, 9, BEGUN, LEARNT)
    kept(tmp_path, machine, 7, BEGUN, LEARNT)
    kept(tmp_path, machine, 8, BEGUN, f.RigLearned("another", LEARNT.figures))
    kept(tmp_path, machine, 10, BEGUN)
    journal_file(kept(tmp_path, machine, 11, BEGUN, LEARNT)).write_bytes(b"no journal" * 99)
    assert ["2026-11-07-hollow-lane", "2026-11-09-hollow-lane"] == [name for name, _ in rig_days(tmp_path, RIG)]
    assert () == rig_days(tmp_path / "nowhere", RIG)


def test_what_was_taken_back_does_not_teach() -> None:
    """A day whose end was taken back says only what it said after that."""
    assert learnt_by(recorded(BEGUN, LEARNT)) == LEARNT
    assert learnt_by(recorded(BEGUN, LEARNT, f.TurnWithdrawn(2))) is None
    again = f.RigLearned(RIG, (("boil-off, L/h", 3.4, 0.2),))
    assert again == learnt_by(recorded(BEGUN, LEARNT, f.TurnWithdrawn(2), again))


def test_a_day_without_its_own_figures_is_read_again() -> None:
    """A day that nobody ended by word, or that an older program kept, teaches once its boil is over."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    day.types("31 cm")
    day.minutes_pass(60)
    day.types("20 c 1.049 sg", "27 cm")
    assert learnt_by(day.loop.facts) is None
    day.minutes_pass(20)
    day.types("done", "chiller")
    if day.state.knockout_s is None:
        day.types("knockout")
    found = learnt_by(day.loop.facts)
    assert found is not None
    assert RIG == found.rig
    assert found.figures


@pytest.mark.parametrize("facts", [(), (LEARNT,), (f.NoteTaken("x"),)])
def test_a_journal_that_began_no_day_is_no_mistake(facts: tuple[f.Fact, ...]) -> None:
    """A journal without a beginning says nothing, or what it kept."""
    assert learnt_by(recorded(*facts)) in (None, LEARNT)
