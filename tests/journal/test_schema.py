"""The numbered steps of the tables: each whole or not at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.journal.schema import APPLICATION_ID, STEPS, SchemaStep, bring_up_to_date, check_ours
from assistant.ports import JournalRefusal

FAILING = SchemaStep(
    "fails after it has written",
    (
        "CREATE TABLE half_done (number INTEGER) STRICT",
        "INSERT INTO half_done VALUES (1)",
        "INSERT INTO nowhere VALUES (1)",
    ),
)
NEXT = SchemaStep("another table", ("CREATE TABLE whole (number INTEGER) STRICT",))


@pytest.fixture
def fresh_file(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """An empty database in a file."""
    connection = sqlite3.connect(tmp_path / "fresh", isolation_level=None)
    yield connection
    connection.close()


def tables(connection: sqlite3.Connection) -> set[str]:
    return {name for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}


def test_all_steps_are_applied_and_noted(fresh_file: sqlite3.Connection) -> None:
    """A new file gets every step, its notes, the number of the last one and our application id."""
    bring_up_to_date(fresh_file)
    noted = fresh_file.execute("SELECT number, what FROM schema_steps ORDER BY number").fetchall()
    assert [(number, step.what) for number, step in enumerate(STEPS, start=1)] == noted
    assert len(STEPS) == fresh_file.execute("PRAGMA user_version").fetchone()[0]
    assert APPLICATION_ID == fresh_file.execute("PRAGMA application_id").fetchone()[0]
    check_ours(fresh_file, Path("fresh"))


def test_a_second_run_changes_nothing(fresh_file: sqlite3.Connection) -> None:
    """A file that is up to date stays as it is."""
    bring_up_to_date(fresh_file)
    before = list(fresh_file.iterdump())
    bring_up_to_date(fresh_file)
    assert before == list(fresh_file.iterdump())


def test_a_step_that_fails_leaves_no_trace(fresh_file: sqlite3.Connection) -> None:
    """The steps before a failed one stay, nothing of it does, and it is applied once it works."""
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        bring_up_to_date(fresh_file, (*STEPS, FAILING))
    assert {"facts", "schema_steps"} == tables(fresh_file)
    assert len(STEPS) == fresh_file.execute("PRAGMA user_version").fetchone()[0]
    bring_up_to_date(fresh_file, (*STEPS, NEXT))
    assert {"facts", "schema_steps", "whole"} == tables(fresh_file)
    assert (len(STEPS) + 1, NEXT.what) == fresh_file.execute(
        "SELECT number, what FROM schema_steps ORDER BY number DESC"
    ).fetchone()


def test_the_first_step_fails_as_a_whole(fresh_file: sqlite3.Connection) -> None:
    """When the very first step fails the file is not even marked as ours."""
    with pytest.raises(sqlite3.OperationalError):
        bring_up_to_date(fresh_file, (SchemaStep("broken", (*STEPS[0].statements, "CREATE nonsense")),))
    assert set() == tables(fresh_file)
    assert 0 == fresh_file.execute("PRAGMA application_id").fetchone()[0]


def test_a_newer_programs_tables_are_refused(fresh_file: sqlite3.Connection) -> None:
    """A file with a step that this program does not know is left alone."""
    bring_up_to_date(fresh_file, (*STEPS, NEXT))
    with pytest.raises(
        JournalRefusal, match="written by a newer version of kettleside: fresh has tables of step 2"
    ):
        check_ours(fresh_file, Path("fresh"))


@pytest.mark.parametrize("application_id", [0, 252006674])
def test_another_programs_file_is_refused(fresh_file: sqlite3.Connection, application_id: int) -> None:
    """A database that does not carry our id is no journal."""
    fresh_file.execute("CREATE TABLE other (x)")
    fresh_file.execute(f"PRAGMA application_id = {application_id}")
    with pytest.raises(JournalRefusal, match="fresh is no journal of a day"):
        check_ours(fresh_file, Path("fresh"))
