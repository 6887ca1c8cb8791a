"""The journal in a file: what is kept and how, one writer, and readers at any time."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.facts import Recorded
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime, Moment

BEGUN = f.DayBegun("Hollow Lane", "the plan")
LATER = f.NoteTaken("a later word")

Machine = Callable[[], MachineTime]
RefusalOf = Callable[[Callable[[], object]], str]

posix_only = pytest.mark.skipif(os.name != "posix", reason="permissions and ids as POSIX has them")

# --- what is kept, and how


def test_a_closed_journal_opens_again(path: Path, hand_clock: HandClock, machine: Machine) -> None:
    """What was written is there after closing, and the numbers go on."""
    with_one = SqliteJournal.create(path, machine)
    with_one.append([BEGUN], hand_clock.now(), 1)
    with_one.close()
    again = SqliteJournal.open(path, machine)
    assert (Recorded(1, hand_clock.now(), 1, BEGUN),) == again.read()
    assert 2 == again.append([LATER], hand_clock.now(), 2)[0].number
    again.close()


def test_the_safe_settings_are_on(sqlite_journal: SqliteJournal) -> None:
    """Write-ahead log and full synchronisation are what SQLite says they are, not what was asked for."""
    connection = sqlite_journal._open_connection()
    assert ("wal",) == connection.execute("PRAGMA journal_mode").fetchone()
    assert (2,) == connection.execute("PRAGMA synchronous").fetchone()


def test_a_disk_without_safe_settings_is_refused(tmp_path: Path, refusal_of: RefusalOf) -> None:
    """Where SQLite cannot switch to the write-ahead log the journal says so and is not opened."""
    from assistant.journal import sqlite_journal as module  # noqa: PLC0415 - one private helper of it is under test

    connection = sqlite3.connect(":memory:")  # a database in memory never gets a log
    sentence = refusal_of(lambda: module._set(connection, "journal_mode", "wal"))
    assert "cannot keep a journal safely (journal_mode stays memory): choose another folder" in sentence
    connection.close()


def test_each_row_tells_when_by_all_clocks(path: Path, hand_clock: HandClock, machine: Machine) -> None:
    """A row can be read without the program: number, turn, times with offset and in UTC, counter, boot, fact."""
    journal = SqliteJournal.create(path, machine)
    journal.append([f.BoilStarted(75.0)], hand_clock.advance(61.5), 7)
    journal.close()
    with sqlite3.connect(path) as connection:
        connection.row_factory = sqlite3.Row
        row = dict(connection.execute("SELECT * FROM facts").fetchone())
    connection.close()
    expected = {
        "number": 1,
        "turn": 7,
        "elapsed_s": 61.5,
        "wall": "2026-11-25T09:01:01.500000+01:00",
        "utc": "2026-11-25T08:01:01.500000+00:00",
        "machine_s": 12.5,
        "boot_id": "this boot",
        "name": "BoilStarted",
        "version": 1,
        "payload": '{"minutes": 75.0}',
        "checksum": 2161390389,  # as gzip finds it for the JSON array of the above
    }
    assert expected == row


def test_the_last_row_tells_where_a_clock_goes_on(path: Path, hand_clock: HandClock, machine: Machine) -> None:
    """The last moment and the machine's counter of that writing are given back; nothing in an empty journal."""
    journal = SqliteJournal.create(path, hand_clock.machine_time)
    assert journal.last_written() is None
    journal.append([BEGUN], hand_clock.advance(10), 1)
    journal.append([LATER], hand_clock.advance(5), 2)
    assert (hand_clock.now(), hand_clock.machine_time()) == journal.last_written()
    journal.close()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE facts SET payload = '{}'",
        "UPDATE OR REPLACE facts SET number = 1 WHERE number = 2",
        "DELETE FROM facts",
        "REPLACE INTO facts SELECT * FROM facts WHERE number = 1",
        "INSERT INTO facts VALUES (9, 1, 0, '', '', 0, '', 'BoilHeld', 1, '{}', 0)",
        "INSERT INTO facts VALUES (NULL, 1, 0, '', '', 0, '', 'BoilHeld', 1, '{}', 0)",
    ],
)
def test_the_file_itself_refuses_changes(path: Path, written: tuple[Recorded, ...], statement: str) -> None:
    """Any program that tries to change, remove, replace or misplace a fact is stopped by the file's triggers."""
    connection = sqlite3.connect(path)
    with pytest.raises(
        sqlite3.IntegrityError, match=r"a fact in the journal is never|a fact takes the next number"
    ):
        connection.execute(statement)
    connection.close()
    journal = SqliteJournal.read_only(path)
    assert written == journal.read()
    journal.close()


@posix_only
def test_only_the_owner_may_read(path: Path, hand_clock: HandClock, machine: Machine) -> None:
    """The journal, its log and its lock are for the owner alone, whatever the umask allows."""
    before = os.umask(0)
    try:
        journal = SqliteJournal.create(path, machine)
        journal.append([BEGUN], hand_clock.now(), 1)
    finally:
        os.umask(before)
    modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in path.parent.iterdir()}
    journal.close()
    assert {"day.journal", "day.journal-wal", "day.journal-shm", "day.journal.lock"} == set(modes)
    assert {0o600} == set(modes.values())


# --- one writer, any number of readers

WRITER = """
import sys
from pathlib import Path
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime
from assistant.ports import JournalRefusal
try:
    SqliteJournal.open(Path(sys.argv[1]), lambda: MachineTime("", 0.0))
except JournalRefusal as refusal:
    print(refusal)
"""


def test_a_second_program_is_told_that_the_day_is_taken(
    path: Path, hand_clock: HandClock, machine: Machine
) -> None:
    """While one program writes a day another gets a sentence, and the first goes on unharmed."""
    journal = SqliteJournal.create(path, machine)
    second = subprocess.run(
        [sys.executable, "-c", WRITER, str(path)],
        capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert f"another kettleside is already writing this day ({path.parent})" in second.stdout
    assert 1 == journal.append([BEGUN], hand_clock.now(), 1)[0].number
    journal.close()


def test_in_one_program_too_there_is_one_writer(path: Path, machine: Machine, refusal_of: RefusalOf) -> None:
    """A second journal on the same day in the same program is refused until the first is closed."""
    journal = SqliteJournal.create(path, machine)
    assert "already writing this day" in refusal_of(lambda: SqliteJournal.open(path, machine))
    journal.close()
    SqliteJournal.open(path, machine).close()


def test_a_refused_opening_lets_go_of_the_day(path: Path, machine: Machine, refusal_of: RefusalOf) -> None:
    """A file that could not be opened is not kept locked."""
    path.write_text("no journal")
    for _ in range(2):
        assert "is no journal of a day" in refusal_of(lambda: SqliteJournal.open(path, machine))
        assert "holds a day already" in refusal_of(lambda: SqliteJournal.create(path, machine))


def test_readers_are_never_kept_out(path: Path, hand_clock: HandClock, machine: Machine) -> None:
    """While a day is being written another can read it, and sees what was appended meanwhile."""
    writer = SqliteJournal.create(path, machine)
    reader = SqliteJournal.read_only(path)
    assert () == reader.read()
    told = writer.append([BEGUN], hand_clock.now(), 1)
    assert told == reader.read()
    writer.close()
    assert told == reader.read()
    reader.close()


def test_a_reader_never_writes(
    path: Path, written: tuple[Recorded, ...], hand_clock: HandClock, refusal_of: RefusalOf
) -> None:
    """A journal opened for reading refuses to append, and its file cannot be changed through it."""
    reader = SqliteJournal.read_only(path)
    assert "opened for reading only" in refusal_of(lambda: reader.append([BEGUN], hand_clock.now(), 1))
    with pytest.raises(sqlite3.OperationalError, match="readonly"):
        reader._open_connection().execute("CREATE TABLE x (y)")
    assert written == reader.read()
    reader.close()


def test_a_foreign_lock_is_waited_for_and_told(
    path: Path, hand_clock: HandClock, machine: Machine, refusal_of: RefusalOf
) -> None:
    """When some other tool holds the file, the append is refused after a second, and works once it lets go."""
    journal = SqliteJournal.create(path, machine)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    assert "another program is working on" in refusal_of(lambda: journal.append([BEGUN], hand_clock.now(), 1))
    other.execute("ROLLBACK")
    other.close()
    assert 1 == journal.append([BEGUN], hand_clock.now(), 1)[0].number
    journal.close()


def test_it_may_be_used_from_any_thread(path: Path, hand_clock: HandClock, machine: Machine) -> None:
    """Turns appended from several threads at once are all there, each whole."""
    from concurrent.futures import ThreadPoolExecutor  # noqa: PLC0415 - the only test with threads

    journal = SqliteJournal.create(path, machine)
    moment: Moment = hand_clock.now()
    with ThreadPoolExecutor(4) as pool:
        told = list(pool.map(lambda turn: journal.append([BEGUN, LATER], moment, turn), range(40)))
    assert sorted(told, key=lambda pair: pair[0].number) == [
        tuple(pair) for pair in zip(journal.read()[::2], journal.read()[1::2], strict=True)
    ]
    journal.close()
