"""The tables of a journal as numbered steps; a file is brought up to date step by step when it is opened."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from assistant.ports import JournalRefusal

# "Ktsd": tells a journal of ours from any other SQLite file.
APPLICATION_ID: Final = 0x4B747364


@dataclass(frozen=True, slots=True)
class SchemaStep:
    """One change of the tables; steps are numbered by their place, from 1, and never changed once released."""

    what: str
    statements: tuple[str, ...]


STEPS: Final[tuple[SchemaStep, ...]] = (
    SchemaStep(
        "facts that are only ever added",
        (
            f"PRAGMA application_id = {APPLICATION_ID}",
            """
            CREATE TABLE schema_steps (
                number INTEGER PRIMARY KEY,
                what   TEXT NOT NULL
            ) STRICT
            """,
            """
            CREATE TABLE facts (
                number    INTEGER PRIMARY KEY CHECK (number > 0),
                turn      INTEGER NOT NULL CHECK (turn >= 0),
                elapsed_s REAL    NOT NULL, -- since the day began
                wall      TEXT    NOT NULL, -- ISO 8601 with offset
                utc       TEXT    NOT NULL, -- the same instant
                machine_s REAL    NOT NULL, -- the machine's own counter at writing
                boot_id   TEXT    NOT NULL, -- which start of the machine it counts from
                name      TEXT    NOT NULL,
                version   INTEGER NOT NULL CHECK (version > 0),
                payload   TEXT    NOT NULL, -- ASCII JSON
                checksum  INTEGER NOT NULL  -- CRC-32 of the columns before, as one JSON array
            ) STRICT
            """,
            """
            CREATE TRIGGER facts_are_never_changed BEFORE UPDATE ON facts
            BEGIN SELECT RAISE(ABORT, 'a fact in the journal is never changed'); END
            """,
            """
            CREATE TRIGGER facts_are_never_removed BEFORE DELETE ON facts
            BEGIN SELECT RAISE(ABORT, 'a fact in the journal is never removed'); END
            """,
            # INSERT OR REPLACE removes a row without the trigger above; this one stops it.
            """
            CREATE TRIGGER facts_are_added_in_order BEFORE INSERT ON facts
            WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM facts)
            BEGIN SELECT RAISE(ABORT, 'a fact takes the next number'); END
            """,
        ),
    ),
)


def check_ours(connection: sqlite3.Connection, path: Path, known_steps: int = len(STEPS)) -> None:
    """Make sure that an open file is a journal that this program can read.

    Raises:
        JournalRefusal: if it is another program's database, or a newer program's journal.
        sqlite3.Error: if it is no database at all, or damaged.
    """
    if _pragma(connection, "application_id") != APPLICATION_ID:
        raise JournalRefusal(f"{path} is no journal of a day: choose a file that kettleside wrote.")
    applied = _pragma(connection, "user_version")
    if applied > known_steps:
        raise JournalRefusal(
            f"this journal was written by a newer version of kettleside: {path} has tables of step {applied}, and "
            f"this one knows {known_steps}; use the newer version."
        )


def bring_up_to_date(connection: sqlite3.Connection, steps: Sequence[SchemaStep] = STEPS) -> None:
    """Apply the steps that are still missing, each with its note in one transaction.

    connection: in autocommit mode. A step that fails leaves no trace; the steps before it stay.

    Raises:
        sqlite3.Error: if a step could not be applied.
    """
    for number, step in enumerate(steps, start=1):
        if number <= _pragma(connection, "user_version"):
            continue
        connection.execute("BEGIN IMMEDIATE")
        try:
            for statement in step.statements:
                connection.execute(statement)
            connection.execute("INSERT INTO schema_steps (number, what) VALUES (?, ?)", (number, step.what))
            # It lives in the file's first page, so it is part of the transaction.
            connection.execute(f"PRAGMA user_version = {number}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


def _pragma(connection: sqlite3.Connection, name: str) -> int:
    return int(connection.execute(f"PRAGMA {name}").fetchone()[0])
