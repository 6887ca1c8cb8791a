"""One row of the journal: a fact with when it was written, by the day, by the wall and by the machine."""

from __future__ import annotations

import json
import math
import zlib
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import NamedTuple

from assistant.day.facts import Fact, Recorded
from assistant.journal.encoding import FACTS, EncodedFact
from assistant.messages import MachineTime, Moment
from assistant.ports import JournalRefusal


class Row(NamedTuple):
    """A stored fact, in the order of the columns.

    elapsed_s: seconds since the day began. wall: local time, ISO 8601 with offset. utc: the same instant in UTC.
    machine_s, boot_id: the machine's counter at writing (`MachineTime`).
    checksum: CRC-32 of the other columns as one JSON array; SQLite itself would not notice a changed digit.
    """

    number: int
    turn: int
    elapsed_s: float
    wall: str
    utc: str
    machine_s: float
    boot_id: str
    name: str
    version: int
    payload: str
    checksum: int


def rows_of(facts: Sequence[Fact], moment: Moment, turn: int, machine: MachineTime, after: int) -> list[Row]:
    """Make the rows of one turn, numbered from `after` + 1.

    Raises:
        JournalRefusal: if a fact, the moment or the turn holds what cannot be kept.
    """
    if not math.isfinite(moment.elapsed_s) or turn < 0:
        raise JournalRefusal(f"nothing was written: turn {turn} at {moment.elapsed_s} s is no moment of a day.")
    wall, utc = moment.wall.isoformat(), moment.wall.astimezone(UTC).isoformat()
    rows = []
    for number, fact in enumerate(facts, start=after + 1):
        kept = FACTS.encode(fact)
        when = (float(moment.elapsed_s), wall, utc, float(machine.seconds), machine.boot_id)
        row = Row(number, turn, *when, kept.name, kept.version, kept.payload, checksum=0)
        rows.append(row._replace(checksum=_checksum(row)))
    return rows


def _checksum(row: Row) -> int:
    # default: a damaged file can hold bytes where text belongs
    return zlib.crc32(json.dumps(row[:-1], default=repr).encode())


def moment_of(row: Row) -> Moment:
    """Read the moment of a row; its wall time has the offset that held when it was written."""
    return Moment(row.elapsed_s, datetime.fromisoformat(row.wall))


def recorded_of(rows: Sequence[Row], first: int = 1) -> tuple[Recorded, ...]:
    """Read rows back, of which the first must be number `first` and none may be missing.

    Raises:
        JournalRefusal: if one of them is missing, damaged, or from a newer program.
    """
    recorded = []
    for expected, row in enumerate(rows, start=first):
        if row.number != expected:
            raise JournalRefusal(
                f"this journal is damaged: fact {expected} is missing; copy the folder of the day before you go on."
            )
        if row.checksum != _checksum(row):
            raise JournalRefusal(
                f"this journal is damaged: fact {expected} is not as it was written; copy the folder of the day "
                "before you go on."
            )
        fact = FACTS.decode(EncodedFact(row.name, row.version, row.payload))
        recorded.append(Recorded(row.number, moment_of(row), row.turn, fact))
    return tuple(recorded)
