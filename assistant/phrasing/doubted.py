"""A reading that does not fit what came before is said so, with what to do; and what the rig's days say."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.day import facts as f
from assistant.day.facts import Fact
from assistant.day.plan import Plan
from assistant.day.readings import to_be_read_again
from assistant.day.rig import Figure
from assistant.day.state import State
from assistant.day.targets import gravity_target
from assistant.phrasing import numbers, units

CONFIRMED = "That agrees with the one before: I go by these two."
_AGAIN = {
    "gravity": "Stir, and read it again.",
    "volume": "Read the stick again.",
    "temperature": "Stir, and read it again.",
}
# A learnt boil-off is worth a sentence where it lies this many standard uncertainties from the plan's (judgement).
_WORTH_TELLING_SD = 1.645


def set_aside(fact: f.ReadingSetAside, facts: Sequence[Fact], state: State, plan: Plan, now_s: float) -> str:
    """Which reading does not fit, that the forecast does without it, and what to do; in place of its answer."""
    said = f"{_said(fact, facts, plan)} does not fit"
    target = gravity_target(plan, state, now_s) if fact.kind == "gravity" else None
    if target is not None and abs(fact.value - target.gravity_sg) > target.tolerance_sg:
        way = "High" if fact.value > target.gravity_sg else "Low"
        said = f"{way} by {units.gravity_difference(fact.value - target.gravity_sg, plan)}: {said}"
    sample = next((item for item in facts if isinstance(item, f.GravityRead)), None)
    hot = fact.kind == "gravity" and sample is not None and to_be_read_again(sample)
    cool = " It was hot: cool a cup." if hot else ""
    return f"{said[0].upper()}{said[1:]}, I leave it out of the forecast.{cool} {_AGAIN[fact.kind]}"


def is_set_aside(fact: Fact, facts: Sequence[Fact]) -> bool:
    """Whether `fact` is a reading that its own turn sets aside."""
    kind = {f.GravityRead: "gravity", f.VolumeRead: "volume", f.TemperatureRead: "temperature"}.get(type(fact))
    return any(isinstance(item, f.ReadingSetAside) and item.kind == kind for item in facts)


def _said(fact: f.ReadingSetAside, facts: Sequence[Fact], plan: Plan) -> str:
    """The reading as the brewer knows it: a volume as it stands, not as it will be when it is cold."""
    if fact.kind == "gravity":
        return units.gravity(fact.value, plan)
    if fact.kind == "temperature":
        return units.temperature(fact.value, plan)
    stands = next((item.volume_l for item in facts if isinstance(item, f.VolumeRead)), fact.value)
    return units.volume(stands, plan)


def rig_remark(known: f.RigKnown | None, plan: Plan) -> str:
    """That the rig's earlier days boiled off more or less than the plan says; empty when they agree."""
    told = next((item for item in known.figures if item[0] == Figure.BOIL_OFF), None) if known else None
    if told is None:
        return ""
    _, mean, sd, days = told
    learnt, planned = units.volume(mean, plan), units.volume(plan.rig.boil_off_l_per_h, plan)
    if abs(mean - plan.rig.boil_off_l_per_h) <= _WORTH_TELLING_SD * sd or learnt == planned:
        return ""
    which = "last day" if days == 1 else f"last {numbers.cardinal(days)} days"
    number, planned_number = (text.rsplit(" ", 1)[0] for text in (learnt, planned))
    return f"Your {which} boiled off {learnt} an hour, the plan says {planned_number}: I reckon with {number}."
