"""What a turn does to the bitterness of the day: whether it is worth telling, and what hops make up for it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from assistant.calculation.bitterness import bitterness, mass_to_make_up_kg
from assistant.day import facts as f
from assistant.day.bitterness_of_day import DayBitterness, HopsAre, bitterness_of_day, planned_bitterness
from assistant.day.calls import addition_groups
from assistant.day.facts import Fact, Recorded, Stage
from assistant.day.plan import AdditionTime, Plan
from assistant.day.state import State, step
from assistant.messages import Moment
from assistant.quantities import OutsideRange, Unit, from_core, to_core

# Less is neither tasted nor worth a breath at the kettle (judgements).
WORTH_IBU: Final = 1.5
WORTH_SHARE: Final = 0.05
# What a kitchen scale shows, in the brewer's unit.
_STEPS: Final = {Unit.GRAM: 1.0, Unit.OUNCE: 0.1}
# Fewer or more hops than these shares of an addition make another beer of it (judgements).
_LEAST_SHARE: Final = 0.5
_MOST_SHARE: Final = 3.0
_CANNOT_BE_TAKEN_OUT: Final = "It cannot be taken out again"


def worth_ibu(planned_ibu: float) -> float:
    """The least difference of bitterness [IBU] that is worth a breath."""
    return max(WORTH_IBU, WORTH_SHARE * planned_ibu)


@dataclass(frozen=True, slots=True)
class MakeUp:
    """Hops to change: the place of the addition in the plan, and how much more of it [kg], less when negative."""

    place: int
    mass_kg: float


def make_up(plan: Plan, day: DayBitterness, target_ibu: float) -> MakeUp:
    """The change of the next hops of the boil that brings the end of the day to `target_ibu` [IBU].

    Rounded to what the brewer's scale shows.

    Raises:
        OutsideRange: if no hops are to come that can do it; the message is a sentence for the brewer.
    """
    too_bitter = day.at_end.value > target_ibu
    groups = addition_groups(plan)
    coming = [
        item
        for item in day.bill
        if item.are is HopsAre.PLANNED and groups[item.group].time is AdditionTime.BEFORE_KNOCKOUT
    ]
    if not coming:
        raise OutsideRange(_CANNOT_BE_TAKEN_OUT if too_bitter else "No hops are to come that make it up")
    later = min(coming, key=lambda item: item.hops.in_at_s)
    others = [item.hops for item in day.bill if item.counted and item is not later]
    have_kg = later.hops.mass_kg.value
    rest_ibu = bitterness(others, day.history, day.wort, day.history[-1][0]).value
    try:
        needed_kg = mass_to_make_up_kg(max(target_ibu, rest_ibu), others, later.hops, day.history, day.wort).value
    except OutsideRange:
        needed_kg = math.inf
    if needed_kg < _LEAST_SHARE * have_kg:
        raise OutsideRange(_CANNOT_BE_TAKEN_OUT)
    if needed_kg > _MOST_SHARE * have_kg:
        raise OutsideRange("The hops to come are too few and too late to make it up")
    return MakeUp(later.place, to_the_scale_kg(plan, needed_kg - have_kg))


def to_the_scale_kg(plan: Plan, mass_kg: float) -> float:
    """A mass [kg] to the step of the brewer's scale."""
    unit = plan.units.small_mass
    step_of_scale = _STEPS.get(unit, 0.01)
    return to_core(round(from_core(mass_kg, unit) / step_of_scale) * step_of_scale, unit)


def moved(plan: Plan, state: State, facts: Sequence[Fact], now: Moment) -> tuple[f.BitternessMoved, ...]:
    """What the facts of a turn do to the bitterness, where that is worth telling; nothing where it is not.

    It is where they change it by more than `worth_ibu`, and where it is then as far from the plan.
    """
    planned = planned_bitterness(plan)
    if planned is None or not any(_may_move(fact, state) for fact in facts):
        return ()
    after_state = state
    for fact in facts:
        after_state = step(after_state, Recorded(0, now, state.turn + 1, fact), plan)
    before = bitterness_of_day(plan, state, _as_if_on_time_s(state, now.elapsed_s))
    after = bitterness_of_day(plan, after_state, now.elapsed_s)
    if before is None or after is None:
        return ()
    target_ibu, ibu = planned.at_end.value, after.at_end.value
    if min(abs(ibu - before.at_end.value), abs(ibu - target_ibu)) < worth_ibu(target_ibu):
        return ()
    told = f.BitternessMoved(ibu, after.at_end.sd, target_ibu, round(_late_s(facts, before, now), 1))
    try:
        way = make_up(plan, after, target_ibu)
    except OutsideRange as refusal:
        return (replace(told, why_not=str(refusal)),)
    return (replace(told, addition=way.place, mass_kg=way.mass_kg),)


def _may_move(fact: Fact, state: State) -> bool:
    match fact:
        case f.CallAcknowledged(key) | f.CallSkipped(key) | f.CallDropped(key):
            return key.endswith(".now")
        case f.StageReached():
            return state.stage is Stage.BOIL
        case f.BoilChanged() | f.BoilResumed():
            return True
        case _:
            return False


def _as_if_on_time_s(state: State, now_s: float) -> float:
    """Now, or when a held clock was stopped or knockout was due: what came since is what is to be told."""
    boil = state.boil
    if boil is None or state.stage is not Stage.BOIL:
        return now_s
    if boil.held_since_s is not None:
        return boil.held_since_s
    due_s = boil.when_left(0.0)
    return now_s if due_s is None else min(now_s, due_s)


def _late_s(facts: Sequence[Fact], before: DayBitterness, now: Moment) -> float:
    """How far behind their time the hops went in that were answered for; 0 where none were."""
    done = {fact.key for fact in facts if isinstance(fact, f.CallAcknowledged)}
    return max((now.elapsed_s - item.due_s for item in before.bill if item.key in done), default=0.0)
