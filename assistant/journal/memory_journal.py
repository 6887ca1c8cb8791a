"""A journal that lives as long as the program: for rehearsals and tests."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.day.facts import Fact, Recorded
from assistant.journal.rows import Row, recorded_of, rows_of
from assistant.messages import MachineTime, Moment
from assistant.ports import JournalRefusal

_NO_MACHINE = MachineTime("", 0.0)


class MemoryJournal:
    """Keeps facts in their stored form, so that what could not be written to a file cannot be kept here either."""

    def __init__(self) -> None:
        self._rows: list[Row] = []
        self._closed = False

    def append(self, facts: Sequence[Fact], moment: Moment, turn: int) -> tuple[Recorded, ...]:
        """Keep `facts`, all or none, and return them numbered.

        Raises:
            JournalRefusal: if one of them cannot be kept, or the journal is closed.
        """
        self._check_open()
        rows = rows_of(facts, moment, turn, _NO_MACHINE, after=len(self._rows))
        recorded = recorded_of(rows, first=len(self._rows) + 1)
        self._rows.extend(rows)
        return recorded

    def read(self) -> tuple[Recorded, ...]:
        """All facts of the day in order."""
        self._check_open()
        return recorded_of(self._rows)

    def close(self) -> None:
        """Close; safe to call twice."""
        self._closed = True

    def _check_open(self) -> None:
        if self._closed:
            raise JournalRefusal("the journal of the day is closed; start the day again with resume.")
