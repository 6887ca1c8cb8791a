"""Which readings of a turn do not fit what came before, as the filters of kettle and chill see it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from assistant.day import cooling, kettle
from assistant.day import facts as f
from assistant.day.estimate import Quantity, Verdict
from assistant.day.facts import Fact, Stage
from assistant.day.plan import Plan
from assistant.day.state import State

TEMPERATURE: Final = "temperature"


def doubts(readings: Sequence[Fact], after: State, plan: Plan) -> tuple[Fact, ...]:
    """What the filters made of `readings`, the youngest of the state `after` them: doubt, confirmation, or nothing.

    Each kind is looked at once: of two readings of one kind in a breath the last counts.
    """
    facts: list[Fact] = []
    for kind, seen, found in _judged(readings, after, plan):
        if found is None:
            continue
        verdict, expected, apart_sd = found
        if verdict is Verdict.SET_ASIDE:
            facts.append(f.ReadingSetAside(kind, seen, round(expected, 5), round(apart_sd, 2)))
        elif verdict is Verdict.AGREES:
            facts.append(f.SetAsideConfirmed(kind, seen))
    return tuple(facts)


def _judged(
    readings: Sequence[Fact], after: State, plan: Plan
) -> list[tuple[str, float, tuple[Verdict, float, float] | None]]:
    found: dict[str, tuple[str, float, tuple[Verdict, float, float] | None]] = {}
    for fact in readings:
        if isinstance(fact, f.GravityRead) and after.stage in kettle.FULL_KETTLE:
            kind, seen = Quantity.GRAVITY, fact.gravity_sg
            found[kind.value] = (kind.value, seen, kettle.verdict_of_last(plan, after, kind))
        elif isinstance(fact, f.VolumeRead) and after.stage in kettle.FULL_KETTLE:
            kind, seen = Quantity.VOLUME, fact.cold_l
            found[kind.value] = (kind.value, seen, kettle.verdict_of_last(plan, after, kind))
        elif isinstance(fact, f.TemperatureRead) and after.stage is Stage.CHILL:
            found[TEMPERATURE] = (TEMPERATURE, fact.temperature_c, cooling.verdict_of_last(plan, after))
    return list(found.values())
