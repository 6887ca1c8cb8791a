"""What the tests of the journal in a file share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.facts import Recorded
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime
from assistant.ports import JournalRefusal


@pytest.fixture
def machine() -> Callable[[], MachineTime]:
    """A counter that stands still."""
    return lambda: MachineTime("this boot", 12.5)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a journal may be made."""
    return tmp_path / "day.journal"


@pytest.fixture
def written(path: Path, hand_clock: HandClock) -> tuple[Recorded, ...]:
    """A closed journal of forty facts at `path`; long words, so that it takes several pages."""
    journal = SqliteJournal.create(path, hand_clock.machine_time)
    for turn in range(8):
        notes = [f.NoteTaken(f"note {turn * 5 + place} " + "x" * 600) for place in range(1, 6)]
        journal.append(notes, hand_clock.advance(1), turn)
    recorded = journal.read()
    journal.close()
    return recorded


@pytest.fixture
def refusal_of() -> Callable[[Callable[[], object]], str]:
    """Gives the sentence with which an action is refused."""

    def sentence_of(action: Callable[[], object]) -> str:
        with pytest.raises(JournalRefusal) as refusal:
            action()
        sentence = str(refusal.value)
        assert "\n" not in sentence
        assert sentence.endswith(".")
        return sentence

    return sentence_of
