"""What the days in a folder say of a rig, read from their journals."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from assistant.day.facts import DayBegun, Recorded, RigLearned, TurnWithdrawn
from assistant.day.learning import of_day
from assistant.day.plan_file import PlanMistakes, read_plan
from assistant.day.state import fold
from assistant.journal.days import day_journals
from assistant.ports import JournalRefusal


def rig_days(base: Path, rig: str) -> tuple[tuple[str, RigLearned], ...]:
    """What each day of this rig in `base` said by itself, by the name of its folder, oldest first.

    A day whose journal cannot be read says nothing here; opening it says why.
    """
    return tuple(sorted(_told(base, rig)))


def _told(base: Path, rig: str) -> Iterator[tuple[str, RigLearned]]:
    for folder, read in day_journals(base):
        try:
            learnt = learnt_by(read())
        except JournalRefusal:
            continue
        if learnt is not None and learnt.rig == rig:
            yield folder.name, learnt


def learnt_by(recorded: tuple[Recorded, ...]) -> RigLearned | None:
    """What one day said of its rig: as it kept it at its end, else from what it holds, once its boil is over.

    A day that was never ended by word, or was kept by an older program, teaches as well.
    """
    withdrawn = {item.fact.turn for item in recorded if isinstance(item.fact, TurnWithdrawn)}
    kept = [item.fact for item in recorded if isinstance(item.fact, RigLearned) and item.turn not in withdrawn]
    if kept:
        return kept[-1]
    begun = next((item.fact for item in recorded if isinstance(item.fact, DayBegun)), None)
    if begun is None:
        return None
    try:
        plan = read_plan(begun.plan_text, begun.plan_file)
    except PlanMistakes:
        # Written for an older program, and no plan to this one.
        return None
    state = fold(recorded, plan)
    return None if state.knockout_s is None else of_day(plan, state)
