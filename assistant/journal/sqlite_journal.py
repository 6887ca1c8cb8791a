"""The journal of a day in one SQLite file: only ever added to, durable before `append` returns, owner-only."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, Self

from assistant.day.facts import Fact, Recorded
from assistant.journal.refusals import refusing
from assistant.journal.rows import Row, moment_of, recorded_of, rows_of
from assistant.journal.schema import bring_up_to_date, check_ours
from assistant.journal.writer_lock import WriterLock
from assistant.messages import MachineTime, Moment
from assistant.ports import JournalRefusal

# How long a write waits for another program that has the file locked.
_BUSY_WAIT_S: Final = 1.0

_INSERT: Final = f"INSERT INTO facts ({', '.join(Row._fields)}) VALUES ({', '.join('?' * len(Row._fields))})"
_SELECT: Final = f"SELECT {', '.join(Row._fields)} FROM facts ORDER BY number"


class SqliteJournal:
    """The book of one day in a file. Made by `create`, `open` or `read_only`; usable from any thread.

    Once a program writes a day no other can, and readers are never kept out.
    """

    def __init__(
        self,
        path: Path,
        connection: sqlite3.Connection,
        stamp: Callable[[], MachineTime] | None,
        lock: WriterLock | None,
    ) -> None:
        self._path = path
        self._connection: sqlite3.Connection | None = connection
        self._stamp = stamp
        self._lock = lock
        self._one_at_a_time = threading.RLock()

    @classmethod
    def create(cls, path: Path, stamp: Callable[[], MachineTime]) -> Self:
        """Make the journal of a new day and open it for writing.

        path: of a file that is not there yet, in a folder that is.
        stamp: reads the machine's counter; called at each append.

        Raises:
            JournalRefusal: if it is there already, or cannot be made.
        """
        lock = _take_lock(path)
        try:
            with refusing(path):
                if path.exists():
                    raise JournalRefusal(
                        f"{path} holds a day already: go on with resume, or begin in another folder."
                    )
                _make_file(path)
                return cls(path, _open_for_writing(path), stamp, lock)
        except BaseException:
            lock.release()
            raise

    @classmethod
    def open(cls, path: Path, stamp: Callable[[], MachineTime]) -> Self:
        """Open the journal of a day for writing, with the tables brought up to date.

        Raises:
            JournalRefusal: if it is not there, not a journal, damaged, of a newer program, not to be written, or
                being written by another kettleside.
        """
        _check_there(path)
        lock = _take_lock(path)
        try:
            with refusing(path):
                return cls(path, _open_for_writing(path), stamp, lock)
        except BaseException:
            lock.release()
            raise

    @classmethod
    def read_only(cls, path: Path) -> Self:
        """Open the journal of a day for reading only; the file may be written by another program meanwhile.

        Raises:
            JournalRefusal: if it is not there, not a journal, damaged, or of a newer program.
        """
        _check_there(path)
        with refusing(path):
            return cls(path, _open_for_reading(path), None, None)

    def append(self, facts: Sequence[Fact], moment: Moment, turn: int) -> tuple[Recorded, ...]:
        """Write `facts` as one durable transaction and return them as a reader will find them, numbered.

        Raises:
            JournalRefusal: when they could not be made durable; then none of them was written, and a later
                append works once the cause is gone.
        """
        if self._stamp is None:
            raise JournalRefusal(f"{self._path} was opened for reading only: nothing was written.")
        with self._one_at_a_time, refusing(self._path):
            connection = self._open_connection()
            connection.execute("BEGIN IMMEDIATE")
            try:
                last = int(connection.execute("SELECT coalesce(max(number), 0) FROM facts").fetchone()[0])
                rows = rows_of(facts, moment, turn, self._stamp(), after=last)
                # Read back before it is written: what cannot be read is never stored.
                recorded = recorded_of(rows, first=last + 1)
                connection.executemany(_INSERT, rows)
                connection.execute("COMMIT")
            except BaseException:
                # SQLite has already rolled back by itself after some errors, a full disk among them.
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise
            return recorded

    def read(self) -> tuple[Recorded, ...]:
        """All facts of the day in order.

        Raises:
            JournalRefusal: if one of them is missing, damaged, or of a newer program.
        """
        return recorded_of(self._rows(_SELECT))

    def last_written(self) -> tuple[Moment, MachineTime] | None:
        """When the last fact was written, by the day and by the machine's counter; None in an empty journal.

        Raises:
            JournalRefusal: if the file cannot be read.
        """
        rows = self._rows(f"{_SELECT} DESC LIMIT 1")
        if not rows:
            return None
        recorded_of(rows, first=rows[0].number)
        return moment_of(rows[0]), MachineTime(rows[0].boot_id, rows[0].machine_s)

    def close(self) -> None:
        """Close; safe to call twice."""
        with self._one_at_a_time:
            connection, self._connection = self._connection, None
            if connection is not None:
                connection.close()
            if self._lock is not None:
                self._lock.release()

    def _rows(self, query: str) -> list[Row]:
        with self._one_at_a_time, refusing(self._path):
            return [Row(*values) for values in self._open_connection().execute(query)]

    def _open_connection(self) -> sqlite3.Connection:
        if self._connection is None:
            raise JournalRefusal("the journal of the day is closed; start the day again with resume.")
        return self._connection


def _check_there(path: Path) -> None:
    if not path.is_file():
        raise JournalRefusal(f"there is no journal at {path}: begin a day first, or name the folder of one.")


def _take_lock(path: Path) -> WriterLock:
    try:
        with refusing(path):
            return WriterLock(path.with_name(path.name + ".lock"))
    except JournalRefusal as refusal:
        if isinstance(refusal.__cause__, BlockingIOError):
            raise JournalRefusal(
                f"another kettleside is already writing this day ({path.parent}): go on there, or end it first."
            ) from refusal
        raise


def _make_file(path: Path) -> None:
    """Make the file complete under another name first, so that a crash never leaves half a journal at `path`."""
    unfinished = path.with_name(path.name + ".new")
    for leftover in (unfinished, Path(f"{unfinished}-journal")):
        leftover.unlink(missing_ok=True)
    os.close(os.open(unfinished, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    connection = sqlite3.connect(unfinished, isolation_level=None)
    try:
        connection.execute("PRAGMA synchronous = FULL")
        bring_up_to_date(connection)
    finally:
        connection.close()
    unfinished.rename(path)
    make_names_durable(path.parent)


def make_names_durable(folder: Path) -> None:
    """Have the disk keep which files `folder` holds; Windows needs no such step."""
    if os.name == "posix":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _open_for_writing(path: Path) -> sqlite3.Connection:
    connection = _connect(path, "rw")
    try:
        check_ours(connection, path)
        path.chmod(0o600)
        _set(connection, "journal_mode", "wal")
        _set(connection, "synchronous", 2)  # FULL: the disk has it before COMMIT returns
        # Where the system knows it (macOS), flush the drive's own cache as well.
        connection.execute("PRAGMA fullfsync = ON")
        connection.execute("PRAGMA checkpoint_fullfsync = ON")
        _check_whole(connection, path)
        bring_up_to_date(connection)
    except BaseException:
        connection.close()
        raise
    return connection


def _open_for_reading(path: Path) -> sqlite3.Connection:
    connection = _connect(path, "ro")
    try:
        check_ours(connection, path)
        _check_whole(connection, path)
    except sqlite3.OperationalError as error:
        connection.close()
        pending = Path(f"{path}-wal")
        cannot_write = error.sqlite_errorcode & 0xFF in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY)
        if not cannot_write or (pending.exists() and pending.stat().st_size > 0):
            raise
        # In a folder that cannot be written (an archive) SQLite wants to be told that nobody else writes there.
        connection = _connect(path, "ro", "&immutable=1")
        check_ours(connection, path)
        _check_whole(connection, path)
    except BaseException:
        connection.close()
        raise
    return connection


def _connect(path: Path, mode: str, more: str = "") -> sqlite3.Connection:
    uri = f"{path.absolute().as_uri()}?mode={mode}{more}"
    return sqlite3.connect(uri, uri=True, isolation_level=None, timeout=_BUSY_WAIT_S, check_same_thread=False)


def _set(connection: sqlite3.Connection, name: str, value: str | int) -> None:
    """Set a pragma and make sure that it took; SQLite itself keeps silent where it did not."""
    connection.execute(f"PRAGMA {name} = {value}")
    found = connection.execute(f"PRAGMA {name}").fetchone()[0]
    if found != value:
        raise JournalRefusal(
            f"this disk cannot keep a journal safely ({name} stays {found}): choose another folder."
        )


def _check_whole(connection: sqlite3.Connection, path: Path) -> None:
    """Find a torn or damaged file now, not in the middle of the boil; a day takes a few milliseconds."""
    answer = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
    if answer != "ok":
        raise JournalRefusal(
            f"{path} is damaged ({answer}): copy the folder of the day before you try anything, it may still be "
            "saved in part."
        )
