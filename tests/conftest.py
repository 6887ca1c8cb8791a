"""What tests of every room share: a clock moved by hand, journals to write in, and the command itself."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from command_line import Kettleside, Ran
from hypothesis import settings

from assistant.__main__ import main
from assistant.clock.hand_clock import HandClock
from assistant.journal.memory_journal import MemoryJournal
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.ports import Journal

# A deadline on each example would be a timed assertion; speed is measured in tests/bench.
settings.register_profile("kettleside", deadline=None)
settings.load_profile("kettleside")


@pytest.fixture
def hand_clock() -> HandClock:
    """A clock at nine in the morning of a brew day, moved by hand."""
    return HandClock(datetime(2026, 11, 25, 9, 0, tzinfo=timezone(timedelta(hours=1))))


@pytest.fixture
def memory_journal() -> Iterator[MemoryJournal]:
    """An empty journal in memory."""
    journal = MemoryJournal()
    yield journal
    journal.close()


@pytest.fixture
def sqlite_journal(tmp_path: Path, hand_clock: HandClock) -> Iterator[SqliteJournal]:
    """An empty journal in a file of its own."""
    journal = SqliteJournal.create(tmp_path / "day.journal", hand_clock.machine_time)
    yield journal
    journal.close()


@pytest.fixture(params=["memory_journal", "sqlite_journal"])
def journal(request: pytest.FixtureRequest) -> Journal:
    """An empty journal, of each kind in turn."""
    made: Journal = request.getfixturevalue(request.param)
    return made


@pytest.fixture
def kettleside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Kettleside:
    """Runs the command in this process, with a home of its own; `typed` comes from the keyboard."""
    monkeypatch.setenv("KETTLESIDE_HOME", str(tmp_path / "home"))

    def run(*arguments: object, typed: str | Iterator[str] = "") -> Ran:
        monkeypatch.setattr("sys.stdin", io.StringIO(typed) if isinstance(typed, str) else typed)
        capsys.readouterr()
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 1
        printed = capsys.readouterr()
        return Ran(code, printed.out, printed.err)

    return run
