"""Disks that are full, must not be written, or are not there: nothing is lost, and the sentence says what to do."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.facts import Recorded
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime
from assistant.ports import JournalRefusal

BEGUN = f.DayBegun("Hollow Lane", "the plan")
LATER = f.NoteTaken("a later word")

Machine = Callable[[], MachineTime]
RefusalOf = Callable[[Callable[[], object]], str]

posix_only = pytest.mark.skipif(os.name != "posix", reason="permissions and ids as POSIX has them")


def test_a_full_disk_loses_nothing_and_is_got_over(
    path: Path, hand_clock: HandClock, machine: Machine, refusal_of: RefusalOf
) -> None:
    """When the file can grow no more nothing of the turn is kept; with room again the next turn is."""
    journal = SqliteJournal.create(path, machine)
    before = journal.append([BEGUN], hand_clock.now(), 1)
    # SQLite's own limit gives the same error as a full disk, on every system.
    journal._open_connection().execute("PRAGMA max_page_count = 1")
    big = [LATER, f.NoteTaken("x" * 50_000)]
    assert "the disk is full, so nothing was written" in refusal_of(
        lambda: journal.append(big, hand_clock.now(), 2)
    )
    assert before == journal.read()
    journal._open_connection().execute("PRAGMA max_page_count = 1000000")
    assert [2, 3] == [item.number for item in journal.append(big, hand_clock.now(), 2)]
    journal.close()


@pytest.mark.skipif(sys.platform != "linux" or os.geteuid() != 0, reason="needs root to mount a small disk")
def test_a_really_full_disk_loses_nothing_and_is_got_over(
    tmp_path: Path, hand_clock: HandClock, machine: Machine
) -> None:
    """On a real disk of 1 MB that fills up all told facts are there, none refused is, and writing goes on."""
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1M", "tmpfs", str(disk)], check=False).returncode:
        pytest.skip("this machine does not let even root mount a disk")
    try:
        ballast = disk / "ballast"
        ballast.write_bytes(b"x" * 600_000)
        journal = SqliteJournal.create(disk / "day.journal", machine)
        told: list[Recorded] = []
        with pytest.raises(JournalRefusal, match="the disk is full, so nothing was written"):
            for turn in range(1, 1000):
                told += journal.append([f.NoteTaken("x" * 2000)] * 3, hand_clock.advance(1), turn)
        assert len(told) > 0
        assert tuple(told) == journal.read()
        ballast.unlink()
        told += journal.append([LATER], hand_clock.advance(1), 1000)
        assert tuple(told) == journal.read()
        journal.close()
        reader = SqliteJournal.read_only(disk / "day.journal")
        assert tuple(told) == reader.read()
        reader.close()
    finally:
        subprocess.run(["umount", "--lazy", str(disk)], check=True)


def as_nobody(action: Callable[[], str]) -> str:
    """What `action` answers when it runs without root's right to write everywhere."""
    if os.geteuid() != 0:
        return action()
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setgid(65_534)
            os.setuid(65_534)
            os.write(writing, action().encode())
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as answer:
        text = answer.read()
    os.waitpid(child, 0)
    return text


def sentence_of(action: Callable[[], object]) -> str:
    """The sentence of a refusal, or that there was none."""
    try:
        return f"not refused: {action()!r}"
    except JournalRefusal as refusal:
        return str(refusal)


@posix_only
def test_a_folder_that_must_not_be_written(path: Path, written: tuple[Recorded, ...], machine: Machine) -> None:
    """In a folder without the right to write, making and opening are refused with what to do, and reading works."""
    # Not under tmp_path: nobody but the one who tests may look into that.
    with tempfile.TemporaryDirectory() as folder:
        archive = Path(folder)
        kept = archive / "day.journal"
        shutil.copy(path, kept)
        kept.chmod(0o444)
        archive.chmod(0o555)
        wanted = "must not be written: allow writing there, or choose another folder."
        made = as_nobody(lambda: sentence_of(lambda: SqliteJournal.create(archive / "new.journal", machine)))
        assert wanted in made
        assert wanted in as_nobody(lambda: sentence_of(lambda: SqliteJournal.open(kept, machine)))
        assert str(len(written)) == as_nobody(lambda: str(len(SqliteJournal.read_only(kept).read())))
        archive.chmod(0o755)


def test_a_folder_that_is_not_there(tmp_path: Path, machine: Machine, refusal_of: RefusalOf) -> None:
    """No folder, a file in place of a folder, or no journal in it: each gets its sentence."""
    (tmp_path / "file").write_text("")
    for folder in ("nowhere", "file"):
        missing = tmp_path / folder / "day.journal"
        assert f"{missing} cannot be opened" in refusal_of(partial(SqliteJournal.create, missing, machine))
        assert f"there is no journal at {missing}" in refusal_of(partial(SqliteJournal.open, missing, machine))
        assert f"there is no journal at {missing}" in refusal_of(partial(SqliteJournal.read_only, missing))
    assert "there is no journal at" in refusal_of(lambda: SqliteJournal.read_only(tmp_path))


def test_a_day_is_never_begun_twice(
    path: Path, written: tuple[Recorded, ...], machine: Machine, refusal_of: RefusalOf
) -> None:
    """Making a journal where one is leaves that one untouched."""
    assert "holds a day already" in refusal_of(lambda: SqliteJournal.create(path, machine))
    journal = SqliteJournal.read_only(path)
    assert written == journal.read()
    journal.close()


def test_odd_names_are_names(tmp_path: Path, hand_clock: HandClock, machine: Machine) -> None:
    """Signs that mean something in an address are only letters in the name of a folder."""
    folder = tmp_path / "50% off? #1 é ; &mode=memory"
    folder.mkdir()
    journal = SqliteJournal.create(folder / "day.journal", machine)
    told = journal.append([BEGUN], hand_clock.now(), 1)
    journal.close()
    assert {"day.journal", "day.journal.lock"} == {file.name for file in folder.iterdir()}
    reader = SqliteJournal.read_only(folder / "day.journal")
    assert told == reader.read()
    reader.close()


def test_an_unfinished_making_is_made_anew(path: Path, machine: Machine) -> None:
    """What a crash left of a journal in the making does not stop the day from being begun."""
    path.with_name("day.journal.new").write_bytes(b"SQLite for")
    journal = SqliteJournal.create(path, machine)
    assert () == journal.read()
    journal.close()
    assert {"day.journal", "day.journal.lock"} == {file.name for file in path.parent.iterdir()}
