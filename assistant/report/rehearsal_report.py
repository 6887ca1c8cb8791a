"""The figures of a rehearsal as text: all measured from its facts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Spoken:
    """One line of the made-up brewer: what was said, what was heard, what became of it."""

    said: str
    heard: str
    outcome: str
    snr_db: float | None
    is_reading: bool
    incident: str


@dataclass(frozen=True, slots=True)
class Figures:
    """What the report states. wall_s, day_s: how long the rehearsal and the rehearsed day took."""

    beer: str
    ear: str
    wall_s: float
    day_s: float
    readings: int
    right_at_once: int
    right_after_question: int
    wrong: int
    lost: int


def rehearsal_report(figures: Figures, spoken: Sequence[Spoken]) -> tuple[str, ...]:
    """The report, at most 100 columns wide."""
    orders = Counter(item.outcome for item in spoken if not item.is_reading)
    lines = [
        f"Rehearsal of {figures.beer}",
        f"  ear: {figures.ear}",
        f"  a day of {figures.day_s / 3600.0:.1f} h in {figures.wall_s:.0f} s",
        f"  readings: {figures.readings}; taken right at once {figures.right_at_once},"
        f" right after a question {figures.right_after_question}, wrong {figures.wrong}, lost {figures.lost}",
        "  orders and answers: " + ", ".join(f"{count} {outcome}" for outcome, count in sorted(orders.items())),
        "  the brewer's voice and the burner are synthetic: these are no figures of a real kettle",
        "",
        f"  {'said':<30} {'heard':<30} {'dB':>4}  what became of it",
    ]
    for item in spoken:
        snr = "" if item.snr_db is None else f"{item.snr_db:.0f}"
        note = f" ({item.incident})" if item.incident else ""
        lines.append(f"  {item.said[:30]:<30} {item.heard[:30]:<30} {snr:>4}  {item.outcome}{note}")
    return tuple(lines)
