"""What tests of every room share: a clock moved by hand and journals to write in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.journal.memory_journal import MemoryJournal
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.ports import Journal


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
