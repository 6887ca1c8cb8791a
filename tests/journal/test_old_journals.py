"""Journals of past versions: each still opens, reads as what was meant, and takes new facts."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant.day import facts as f
from assistant.day.facts import Stage
from assistant.journal.schema import STEPS
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime, Moment

OLD: dict[str, Path] = {kept.stem: kept for kept in sorted((Path(__file__).parent / "old_journals").glob("*.sql"))}


@pytest.fixture
def old_journal(request: pytest.FixtureRequest, path: Path) -> Path:
    """The journal of a past version, restored from its text."""
    connection = sqlite3.connect(path)
    connection.executescript(OLD[request.param].read_text(encoding="utf-8"))
    connection.close()
    return path


def test_a_journal_of_every_version_is_kept() -> None:
    """There is one for each version of the tables that was ever in use."""
    assert len(STEPS) <= len(OLD)
    assert "v1" in OLD


@pytest.mark.parametrize("old_journal", OLD, indirect=True)
def test_an_old_journal_opens_and_goes_on(old_journal: Path, machine: Callable[[], MachineTime]) -> None:
    """Every fact of it reads, the tables are brought up to date, and the day can be taken up again."""
    reader = SqliteJournal.read_only(old_journal)
    before = reader.read()
    reader.close()
    journal = SqliteJournal.open(old_journal, machine)
    assert before == journal.read()
    moment = Moment(before[-1].moment.elapsed_s + 1, before[-1].moment.wall + timedelta(seconds=1))
    journal.append([f.BoilResumed()], moment, before[-1].turn + 1)
    assert len(before) + 1 == len(journal.read())
    journal.close()


@pytest.mark.parametrize("old_journal", ["v1"], indirect=True)
def test_version_1_reads_as_it_was_meant(old_journal: Path) -> None:
    """The facts of the first version mean what they meant: words, numbers, times, turns."""
    journal = SqliteJournal.read_only(old_journal)
    recorded = journal.read()
    last = journal.last_written()
    journal.close()
    facts = [item.fact for item in recorded]
    assert 37 == len(facts)
    assert f.DayBegun("Hollow Lane", '[beer]\nname = "Hollow Lane"\n', "hollow-lane.toml") == facts[0]
    assert f.UtteranceHeard("seventy four", "accept", 0.97, "our own model", "", -48.5, -21.25) == facts[3]
    assert f.GravityRead(1.026, 65.55555555555556, 1.0446, 0.0012, "ten twenty-six") in facts
    assert f.AdviceGiven(("longer", "extract", "leave"), (18.0, 0.41, 0.0), (1.044, 1.044, 1.038)) in facts
    assert f.QuestionAsked(
        kind="gravity",
        unit="SG",
        candidates=("1.015", "1.05"),
        doubt="two readings are close",
        times=1,
        words="ten fifteen",
        waiting=(("temperature", "64", "°C"),),
    ) in facts  # fmt: skip
    assert [Stage.STRIKE, Stage.MASH, Stage.PRE_BOIL, Stage.BOIL] == [
        fact.stage for fact in facts if isinstance(fact, f.StageReached)
    ]
    assert f.NoteTaken("café 🍺 smell", "note-1.wav") == facts[-3]
    assert Moment(5400.0, datetime.fromisoformat("2026-11-25T10:30:00+01:00")) == recorded[-1].moment
    assert (recorded[-1].moment, MachineTime("0f3c6f0a-1111-4222-8333-444455556666", 10_400.0)) == last
    assert 14 == recorded[-1].turn


@pytest.mark.parametrize("old_journal", ["v1"], indirect=True)
def test_version_1_holds_every_fact_that_it_knew(old_journal: Path) -> None:
    """The kept journal shows each of the 32 kinds of fact of the first version, each with its stored version."""
    connection = sqlite3.connect(old_journal)
    kinds = connection.execute("SELECT name, version, min(payload) FROM facts GROUP BY name, version").fetchall()
    connection.close()
    assert 32 == len(kinds)
    assert {1} == {version for _, version, _ in kinds}
    assert all(isinstance(json.loads(payload), dict) for _, _, payload in kinds)
