"""Where the days live: their folders' names, which are unfinished, which is the latest."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from assistant.day import facts as f
from assistant.day.facts import Fact, Stage
from assistant.journal.days import journal_file, latest_day, new_day_folder, unfinished_days
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime, Moment
from assistant.ports import JournalRefusal

NINE = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
BEGUN = f.DayBegun("Hollow Lane", "the plan")
FINISHED = f.StageReached(Stage.FERMENTING)

Machine = Callable[[], MachineTime]
KeepDay = Callable[..., Path]


@pytest.fixture
def base(tmp_path: Path) -> Path:
    """Where all days live; not made yet."""
    return tmp_path / "brewing" / "days"


@pytest.fixture
def keep_day(base: Path, machine: Machine) -> KeepDay:
    """Makes a day with the given turns of facts and returns its folder."""

    def keep(*turns: Sequence[Fact], wall: datetime = NINE, beer: str = "Hollow Lane") -> Path:
        folder = new_day_folder(base, beer, wall)
        journal = SqliteJournal.create(journal_file(folder), machine)
        for number, turn in enumerate(turns, start=1):
            journal.append(turn, Moment(float(number), wall), number)
        journal.close()
        return folder

    return keep


@pytest.mark.parametrize(
    ("beer", "name"),
    [
        ("Hollow Lane", "2026-11-25-hollow-lane"),
        ("  Größe & Co. / №7 ", "2026-11-25-grosse-co-no7"),
        ("../../etc", "2026-11-25-etc"),
        ("ビール", "2026-11-25-day"),
        ("", "2026-11-25-day"),
        ("x" * 300, "2026-11-25-" + "x" * 40),
        ("a" * 39 + " b", "2026-11-25-" + "a" * 39),
    ],
)
def test_a_folder_is_named_by_date_and_beer(base: Path, beer: str, name: str) -> None:
    """Whatever a beer is called, its folder has a plain name, directly in the base."""
    assert base / name == new_day_folder(base, beer, NINE)
    assert [name] == [folder.name for folder in base.iterdir()]


def test_the_date_is_the_brewers(base: Path) -> None:
    """The date is that of the wall clock's own zone, not of UTC."""
    wall = datetime.fromisoformat("2026-11-25T01:30:00+10:00")
    assert "2026-11-25-hollow-lane" == new_day_folder(base, "Hollow Lane", wall).name


def test_the_same_beer_twice_on_a_day(base: Path) -> None:
    """A second and third day of the same name get folders of their own."""
    names = [new_day_folder(base, "Hollow Lane", NINE).name for _ in range(3)]
    assert ["2026-11-25-hollow-lane", "2026-11-25-hollow-lane-2", "2026-11-25-hollow-lane-3"] == names


@pytest.mark.skipif(os.name != "posix", reason="permissions as POSIX has them")
def test_only_the_owner_may_look_into_a_day(base: Path) -> None:
    """The folder, where recordings are kept too, is for the owner alone."""
    assert 0o700 == stat.S_IMODE(new_day_folder(base, "Hollow Lane", NINE).stat().st_mode)


def test_a_base_that_cannot_be_made(base: Path) -> None:
    """A file where a folder is needed gets one sentence."""
    base.parent.mkdir()
    base.write_text("in the way")
    with pytest.raises(JournalRefusal, match="cannot be"):
        new_day_folder(base / "deeper", "Hollow Lane", NINE)
    with pytest.raises(JournalRefusal, match="cannot be"):
        new_day_folder(base, "Hollow Lane", NINE)


def test_no_base_has_no_days(base: Path) -> None:
    """Before the first day there is no latest and none unfinished."""
    assert () == unfinished_days(base)
    assert latest_day(base) is None


def test_unfinished_days_come_latest_first(base: Path, keep_day: KeepDay) -> None:
    """Days short of the fermentation are listed, latest begun first; a finished one can be the latest."""
    morning = keep_day([BEGUN, f.StageReached(Stage.MASH)])
    evening = keep_day([BEGUN], wall=NINE + timedelta(hours=10), beer="Another")
    last_week = keep_day([BEGUN], wall=NINE - timedelta(days=7))
    finished = keep_day([BEGUN], [f.StageReached(Stage.PITCH)], [FINISHED], wall=NINE + timedelta(days=1))
    assert (evening, morning, last_week) == unfinished_days(base)
    assert finished == latest_day(base)


def test_a_withdrawn_end_is_no_end(base: Path, keep_day: KeepDay) -> None:
    """When the word that ended the day was taken back, the day is unfinished."""
    folder = keep_day([BEGUN], [f.StageReached(Stage.PITCH)], [FINISHED], [f.TurnWithdrawn(3)])
    assert (folder,) == unfinished_days(base)


def test_what_is_no_day_is_passed_over(base: Path, keep_day: KeepDay, machine: Machine) -> None:
    """Files, folders without a journal, and a journal in which nothing was begun are no days."""
    folder = keep_day([BEGUN])
    keep_day(wall=NINE + timedelta(days=1))
    (base / "2027-01-01-empty").mkdir()
    (base / "notes.txt").write_text("x")
    assert (folder,) == unfinished_days(base)
    assert folder == latest_day(base)


def test_a_damaged_day_is_not_hidden(base: Path, keep_day: KeepDay) -> None:
    """A day that cannot be read is listed with its date, so that opening it tells what is wrong."""
    earlier = keep_day([BEGUN], wall=NINE - timedelta(days=1))
    damaged = keep_day([BEGUN], [FINISHED])
    journal_file(damaged).write_bytes(journal_file(damaged).read_bytes()[:3000])
    assert (damaged, earlier) == unfinished_days(base)
    assert damaged == latest_day(base)


def test_a_day_being_brewed_is_unfinished(base: Path, keep_day: KeepDay, machine: Machine) -> None:
    """The days can be listed while another program writes one of them."""
    folder = keep_day([BEGUN])
    writer = SqliteJournal.open(journal_file(folder), machine)
    writer.append([f.StageReached(Stage.MASH)], Moment(2.0, NINE), 2)
    assert (folder,) == unfinished_days(base)
    writer.append([FINISHED], Moment(3.0, NINE), 3)
    assert () == unfinished_days(base)
    writer.close()
