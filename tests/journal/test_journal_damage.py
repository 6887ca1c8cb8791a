"""Files that are no journal, or no whole one any more: refused, never read as another day than they were."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.facts import Recorded
from assistant.journal.schema import STEPS
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime
from assistant.ports import JournalRefusal

BEGUN = f.DayBegun("Hollow Lane", "the plan")
LATER = f.NoteTaken("a later word")

Machine = Callable[[], MachineTime]
RefusalOf = Callable[[Callable[[], object]], str]


@pytest.mark.parametrize("content", [b"", b"a text\n" * 500, b"SQLite format 3\x00" + bytes(5000), bytes(4096)])
def test_a_file_that_is_no_journal(path: Path, content: bytes, machine: Machine, refusal_of: RefusalOf) -> None:
    """Text, zeros and an empty file are refused for reading and for writing, and left as they are."""
    path.write_bytes(content)
    for opening in (lambda: SqliteJournal.open(path, machine), lambda: SqliteJournal.read_only(path)):
        assert any(words in refusal_of(opening) for words in ("is no journal of a day", "is damaged"))
    assert content == path.read_bytes()


def test_another_programs_database(path: Path, machine: Machine, refusal_of: RefusalOf) -> None:
    """A database of another program is refused and gets no table of ours."""
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE facts (number INTEGER)")
    other.commit()
    assert "is no journal of a day" in refusal_of(lambda: SqliteJournal.open(path, machine))
    assert [("facts",)] == other.execute("SELECT name FROM sqlite_schema").fetchall()
    other.close()


def test_a_journal_of_a_newer_program(
    path: Path, written: tuple[Recorded, ...], machine: Machine, refusal_of: RefusalOf
) -> None:
    """Tables of a later step are refused by name, for reading and for writing."""
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    connection.close()
    for opening in (lambda: SqliteJournal.open(path, machine), lambda: SqliteJournal.read_only(path)):
        assert "this journal was written by a newer version of kettleside" in refusal_of(opening)


def test_a_missing_fact_is_noticed(path: Path, written: tuple[Recorded, ...], refusal_of: RefusalOf) -> None:
    """A row that was removed by force is told by its number, never skipped over."""
    connection = sqlite3.connect(path)
    connection.execute("DROP TRIGGER facts_are_never_removed")
    connection.execute("DELETE FROM facts WHERE number = 5")
    connection.commit()
    connection.close()
    journal = SqliteJournal.read_only(path)
    assert "fact 5 is missing" in refusal_of(journal.read)
    journal.close()


def no_machine() -> MachineTime:
    return MachineTime("", 0.0)


def read_what_is_left(path: Path) -> tuple[Recorded, ...] | str:
    """The facts in a file, or the sentence with which it is refused."""
    try:
        journal = SqliteJournal.open(path, no_machine)
    except JournalRefusal as refusal:
        return str(refusal)
    try:
        return journal.read()
    except JournalRefusal as refusal:
        return str(refusal)
    finally:
        journal.close()


def test_a_torn_file_is_refused_not_read_in_part(path: Path, written: tuple[Recorded, ...], tmp_path: Path) -> None:
    """Cut off anywhere, a closed journal is refused as damaged or as none; it is never taken for a shorter day."""
    whole = path.read_bytes()
    torn = tmp_path / "torn.journal"
    assert len(whole) > 5 * 4096
    for length in sorted({*range(0, len(whole), 1500), *range(0, len(whole), 4096), len(whole) - 1}):
        torn.write_bytes(whole[:length])
        answer = read_what_is_left(torn)
        assert isinstance(answer, str), f"cut at {length} of {len(whole)} it was read as {len(answer)} facts"
        assert any(words in answer for words in ("is damaged", "is no journal of a day")), answer


def test_a_torn_log_keeps_all_that_came_before(
    path: Path, hand_clock: HandClock, tmp_path: Path, machine: Machine
) -> None:
    """After a power cut the log may end anywhere: whole turns up to there are kept, and the half one is not."""
    journal = SqliteJournal.create(path, machine)
    for turn in range(1, 13):
        journal.append([f.NoteTaken("x" * 700), f.NoteTaken("y" * 700)], hand_clock.advance(1), turn)
    told = journal.read()
    main, log = path.read_bytes(), Path(f"{path}-wal").read_bytes()
    journal.close()
    seen = set()
    for length in [*range(0, len(log), 1499), len(log)]:
        # Just the two files, as they would lie on the disk: the third is rebuilt from them.
        cut = tmp_path / f"cut at {length}.journal"
        cut.write_bytes(main)
        Path(f"{cut}-wal").write_bytes(log[:length])
        left = read_what_is_left(cut)
        assert not isinstance(left, str), left
        assert told[: len(left)] == left
        assert 0 == len(left) % 2
        seen.add(len(left))
    assert len(seen) > 8
    assert {0, len(told)} <= seen


def test_scribbles_in_the_file_are_never_read_as_facts(
    path: Path, written: tuple[Recorded, ...], tmp_path: Path
) -> None:
    """A page overwritten with other bytes is refused."""
    whole = path.read_bytes()
    scribbled = tmp_path / "scribbled.journal"
    for page in range(len(whole) // 4096):
        scribbled.write_bytes(whole[: page * 4096] + b"\xa5" * 4096 + whole[(page + 1) * 4096 :])
        assert isinstance(read_what_is_left(scribbled), str)


def test_a_single_changed_bit_changes_no_fact(path: Path, written: tuple[Recorded, ...], tmp_path: Path) -> None:
    """One bit that fell over, wherever in the file, is refused, or it stood where no fact is kept."""
    whole = path.read_bytes()
    fallen = tmp_path / "fallen.journal"
    chance = random.Random(20261125)
    refused = 0
    for _ in range(250):
        place = chance.randrange(len(whole))
        content = bytearray(whole)
        content[place] ^= 1 << chance.randrange(8)
        fallen.write_bytes(content)
        Path(f"{fallen}-wal").unlink(missing_ok=True)
        answer = read_what_is_left(fallen)
        assert isinstance(answer, str) or written == answer, f"a bit at {place} changed what is read"
        refused += isinstance(answer, str)
    assert refused > 100


def test_a_changed_digit_is_noticed(path: Path, written: tuple[Recorded, ...], refusal_of: RefusalOf) -> None:
    """A word of a fact that was changed in the file itself is told by the number of the fact."""
    content = path.read_bytes()
    assert 1 == content.count(b"note 17 ")
    path.write_bytes(content.replace(b"note 17 ", b"note 71 "))
    journal = SqliteJournal.read_only(path)
    assert "fact 17 is not as it was written" in refusal_of(journal.read)
    journal.close()
