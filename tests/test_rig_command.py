"""The command with earlier days of the rig: read at the beginning, left out on request, kept in the book."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from command_line import HOLLOW_LANE, Kettleside, only_sentence

from assistant.clock.system_clock import machine_time
from assistant.day import facts as f
from assistant.journal.days import journal_file, new_day_folder
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import Moment

SAID = (
    "boiled off three point seven litres an hour, the plan says three point one: I reckon with three point seven."
)


@pytest.fixture
def three_days(tmp_path: Path) -> Path:
    """Three kept days of the 30-litre kettle, each of which boiled off 3.8 L/h."""
    days = tmp_path / "home" / "days"
    for day in (7, 8, 9):
        wall = datetime(2026, 11, day, tzinfo=UTC)
        journal = SqliteJournal.create(journal_file(new_day_folder(days, "Hollow Lane", wall)), machine_time)
        learnt = f.RigLearned("30-litre kettle", (("boil-off, L/h", 3.8, 0.2),), 8.0)
        journal.append([f.DayBegun("Hollow Lane", "the plan"), learnt], Moment(1.0, wall), 1)
        journal.close()
    return days


def test_a_new_day_reads_the_earlier_ones(kettleside: Kettleside, three_days: Path) -> None:
    """A day begins with what three days taught, says it once, and its book names them."""
    ran = kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", typed="start the day\n")
    assert 0 == ran.code
    said = " ".join(ran.out.split())
    assert 1 == said.count(f"Your last three days {SAID}")
    book = kettleside("report").out
    assert "rig       30-litre kettle, by 2026-11-07-hollow-lane, 2026-11-08-hollow-lane" in book
    assert "boil-off, L/h 3.6" in book


def test_a_day_can_be_left_out(kettleside: Kettleside, three_days: Path) -> None:
    """--without leaves a day out of what is known; left out altogether, nothing is said."""
    names = [folder.name for folder in sorted(three_days.iterdir())]
    without = [part for name in names for part in ("--without", name)]
    ran = kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", *without, typed="start the day\n")
    assert 0 == ran.code
    assert "boiled off" not in ran.out


def test_a_day_that_is_none_is_told(kettleside: Kettleside, three_days: Path) -> None:
    """A name that is no day of this rig is one sentence, with those that are; no day is begun."""
    ran = kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", "--without", "yesterday")
    sentence = only_sentence(ran)
    assert "yesterday is no day that 30-litre kettle was learnt from" in sentence
    assert "2026-11-09-hollow-lane" in sentence
    assert 3 == len(list(three_days.iterdir()))


def test_a_rehearsal_reads_them_only_when_asked(kettleside: Kettleside, three_days: Path) -> None:
    """A rehearsal is a fresh rig; --with-history makes it the brewer's own, and it still goes right."""
    fresh = kettleside("rehearse", "--typed", HOLLOW_LANE)
    own = kettleside("rehearse", "--typed", "--with-history", HOLLOW_LANE)
    assert (0, 0) == (fresh.code, own.code)
    assert "wrong 0, lost 0" in own.out
