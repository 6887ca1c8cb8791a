"""A rehearsed day of each example plan, typed: it comes to its end and takes no reading wrong."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from brew_day import EXAMPLES, example

from assistant import wiring
from assistant.day import facts as f
from assistant.journal.memory_journal import MemoryJournal
from assistant.rehearsal.score import Outcome, Scored, totals

Rehearsed = tuple[wiring.RehearsalParts, list[Scored]]


@pytest.fixture(scope="module", params=EXAMPLES)
def rehearsed(request: pytest.FixtureRequest) -> Iterator[Rehearsed]:
    """A whole rehearsed day."""
    parts = wiring.typed_rehearsal(example(request.param), MemoryJournal())
    scored = parts.rehearsal.run()
    yield parts, scored
    parts.close()


def test_no_reading_is_taken_wrong(rehearsed: Rehearsed) -> None:
    """Typed words are certain: every reading is right at once, none wrong, none lost."""
    _, scored = rehearsed
    counted = totals(scored)
    assert (0, 0, counted.readings) == (counted.wrong, counted.lost, counted.right_at_once)
    assert counted.readings > 5


def test_every_order_is_understood(rehearsed: Rehearsed) -> None:
    """Each line of the made-up brewer is understood, so that the rehearsal teaches what really works."""
    _, scored = rehearsed
    assert [] == [item.line.text for item in scored if item.outcome is not Outcome.RIGHT]


def test_the_day_is_finished_with_all_its_mishaps(rehearsed: Rehearsed) -> None:
    """The day ends in the fermenter, after a thin sample, a reading taken back, a held boil and a question."""
    parts, scored = rehearsed
    assert parts.rehearsal.loop.finished
    incidents = {item.line.incident for item in scored} - {""}
    assert {"thin sample", "scratch that", "held boil", "missed call", "question"} == incidents
    facts = [item.fact for item in parts.rehearsal.loop.facts]
    assert any(isinstance(fact, f.TurnWithdrawn) for fact in facts)
    assert not any(isinstance(fact, f.OrderRefused) for fact in facts)


def test_nothing_is_left_out_or_unconfirmed(rehearsed: Rehearsed) -> None:
    """No addition and no thing on the list is passed over in a rehearsed day."""
    parts, _ = rehearsed
    facts = [item.fact for item in parts.rehearsal.loop.facts]
    dropped = [fact.key for fact in facts if isinstance(fact, f.CallDropped) and fact.why != "too late"]
    assert [] == dropped


def test_the_transcript_tells_both_sides(rehearsed: Rehearsed) -> None:
    """Every sentence of both sides is in the transcript, in order of time."""
    parts, scored = rehearsed
    lines = parts.board.lines
    assert len(scored) == sum("  brewer  " in line for line in lines)
    assert sorted(line[:8] for line in lines) == [line[:8] for line in lines]


def test_hops_answered_late_are_made_up_for() -> None:
    """Who misses thirteen calls is told what it costs, says yes, and hears both amounts at the next hops."""
    parts = wiring.typed_rehearsal(example("hollow-lane"), MemoryJournal(), missed_calls=13)
    parts.rehearsal.run()
    facts = [item.fact for item in parts.rehearsal.loop.facts]
    (moved,) = (fact for fact in facts if isinstance(fact, f.BitternessMoved))
    (taken,) = (fact for fact in facts if isinstance(fact, f.MakeUpTaken))
    assert (4, moved.mass_kg) == (taken.addition, taken.mass_kg)
    assert moved.late_s > 8 * 60.0
    assert "grams more to make up" in parts.board.text
    parts.close()
