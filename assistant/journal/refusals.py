"""The one place where errors of SQLite and of the file system become sentences for the brewer."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from assistant.ports import JournalRefusal

_COPY_FIRST = "copy the folder of the day before you try anything, it may still be saved in part."


@contextmanager
def refusing(path: Path) -> Iterator[None]:
    """Turn errors of SQLite and of the file system inside into `JournalRefusal`, with `path` in the sentence."""
    try:
        yield
    except sqlite3.Error as error:
        raise JournalRefusal(_sqlite_sentence(error, path)) from error
    except OSError as error:
        raise JournalRefusal(_system_sentence(error, path)) from error


def _sqlite_sentence(error: sqlite3.Error, path: Path) -> str:
    # The low byte is the kind of error; the bytes above only say where in SQLite it came up.
    match getattr(error, "sqlite_errorcode", 0) & 0xFF:
        case sqlite3.SQLITE_FULL:
            return f"the disk is full, so nothing was written to {path}: make room, then say it again."
        case sqlite3.SQLITE_READONLY:
            return f"{path} must not be written: allow writing there, or choose another folder."
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return f"another program is working on {path}, so nothing was written: close it, then say it again."
        case sqlite3.SQLITE_NOTADB:
            return f"{path} is no journal of a day: choose a file that kettleside wrote."
        case sqlite3.SQLITE_CORRUPT:
            return f"{path} is damaged: {_COPY_FIRST}"
        case sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_PERM | sqlite3.SQLITE_AUTH:
            return f"{path} cannot be opened: check that the folder is there and may be written."
        case sqlite3.SQLITE_IOERR:
            return f"the disk failed at {path}, so nothing was written: check the disk and its room ({error})."
        case _:
            return f"{path} cannot be used: {error}."


def _system_sentence(error: OSError, path: Path) -> str:
    match error.errno:
        case errno.ENOSPC | errno.EDQUOT:
            return f"the disk is full, so {path} was not made: make room, then start again."
        case errno.EROFS | errno.EACCES | errno.EPERM:
            return f"{path} must not be written: allow writing there, or choose another folder."
        case errno.ENOENT | errno.ENOTDIR:
            return f"{path} cannot be opened: check that the folder is there and may be written."
        case _:
            return f"{path} cannot be used: {error.strerror or error}."
