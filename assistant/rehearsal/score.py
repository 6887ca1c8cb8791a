"""What was heard against what was truly said: measured from the facts of the rehearsal, never assumed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from assistant.day import facts as f
from assistant.day.facts import Fact
from assistant.day.readings import said_text
from assistant.quantities import to_core
from assistant.rehearsal.lines import Line
from assistant.understanding.said import Kind


class Outcome(StrEnum):
    """What became of a line."""

    RIGHT = "right"
    TYPED = "typed at last"
    ASKED = "asked"
    WRONG = "wrong"
    REFUSED = "not understood"
    UNHEARD = "not heard"


@dataclass(frozen=True, slots=True)
class Scored:
    """A line with what was heard and what became of it. snr_db: None when typed."""

    line: Line
    heard: str
    outcome: Outcome
    at_s: float
    snr_db: float | None


def score(line: Line, new: Sequence[Fact], at_s: float, snr_db: float | None, heard: str) -> Scored:
    """Compare a line with the facts it brought."""
    return Scored(line, heard, _outcome(line, new, heard), at_s, snr_db)


def _outcome(line: Line, new: Sequence[Fact], heard: str) -> Outcome:
    if line.typed:
        return Outcome.TYPED
    if not new:
        return Outcome.UNHEARD
    if any(isinstance(fact, f.QuestionAsked) for fact in new):
        return Outcome.ASKED
    decision = next((fact.decision for fact in new if isinstance(fact, f.UtteranceHeard)), "")
    if decision == "reject":
        return Outcome.REFUSED
    if line.truth:
        return _reading_outcome(line, new)
    return Outcome.RIGHT if heard.replace("-", " ") == line.text.replace("-", " ") else Outcome.WRONG


def _reading_outcome(line: Line, new: Sequence[Fact]) -> Outcome:
    """Right when every reading taken is one that was said; anything else that was taken is wrong."""
    true = {_normal(said_text(reading)) for reading in line.truth}
    true_c = [to_core(float(item.value), item.unit) for item in line.truth if item.kind is Kind.TEMPERATURE]
    taken = [fact for fact in new if isinstance(fact, f.GravityRead | f.TemperatureRead | f.VolumeRead)]
    if not taken:
        return Outcome.REFUSED
    for fact in taken:
        if _normal(fact.said) not in true:
            return Outcome.WRONG
        if isinstance(fact, f.GravityRead) and not any(abs(fact.sample_c - value) < 0.01 for value in true_c):
            return Outcome.WRONG
    return Outcome.RIGHT


def _normal(said: str) -> tuple[Decimal, str]:
    """A reading as said, such that 19 L and 19.0 L are the same."""
    value, unit = said.split(" ", 1)
    return Decimal(value).normalize(), unit


@dataclass(frozen=True, slots=True)
class Totals:
    """How many readings were taken right at once, right after a question or a repeat, wrong, or never heard.

    lost: those that had to be typed at last, or never came.
    """

    readings: int
    right_at_once: int
    right_after_question: int
    wrong: int
    lost: int


def totals(scored: Sequence[Scored]) -> Totals:
    """Count readings, not utterances: a reading that was repeated or asked about counts once."""
    groups: dict[tuple[str, ...], list[list[Outcome]]] = {}
    for item in scored:
        if not item.line.truth:
            continue
        key = tuple(said_text(reading) for reading in item.line.truth)
        runs = groups.setdefault(key, [])
        if not runs or runs[-1][-1] in (Outcome.RIGHT, Outcome.WRONG, Outcome.TYPED):
            runs.append([])
        runs[-1].append(item.outcome)
    all_runs = [run for runs in groups.values() for run in runs]
    return Totals(
        readings=len(all_runs),
        right_at_once=sum(run == [Outcome.RIGHT] for run in all_runs),
        right_after_question=sum(len(run) > 1 and run[-1] is Outcome.RIGHT for run in all_runs),
        wrong=sum(run[-1] is Outcome.WRONG for run in all_runs),
        lost=sum(run[-1] not in (Outcome.RIGHT, Outcome.WRONG) for run in all_runs),
    )
