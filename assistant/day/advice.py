"""What to do about a miss: where the boil ends as it looks now, and the ways out, ranked by what they cost."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from assistant.day import facts as f
from assistant.day import kettle
from assistant.day.calls import boil_items
from assistant.day.endings import Wanted
from assistant.day.estimate import Belief, Quantity, end_of_boil, standing
from assistant.day.plan import AdditionTime, Plan
from assistant.day.plan_checks import HEAT_EXPANSION
from assistant.day.state import State
from assistant.day.way_bitterness import with_bitterness
from assistant.day.way_cost import cannot_be_told, ranked
from assistant.day.ways import Case, Way, WayKind, ways_out
from assistant.quantities import Measured

# A miss beyond this is a bad sample before it is a bad mash: sample again before weighing anything (judgement).
FAR_MISS_SG: Final = 0.012
# A boil is not made shorter than this (common practice, no source), and not ended in a hurry.
_SHORTEST_BOIL_MIN: Final = 60.0
_UNHURRIED_MIN: Final = 10.0


@dataclass(frozen=True, slots=True)
class Forecast:
    """Where the boil will end: gravity [SG] and volume [L, 20 °C]; `assumed` when the volume is the plan's."""

    gravity_sg: Measured
    volume_l: Measured
    assumed: bool


@dataclass(frozen=True, slots=True)
class Advice:
    """The ways out of a forecast that misses, best first, leaving it among them, and those that cannot be done.

    cannot_be_told: the miss lies within the band of the forecast, so that leaving it comes first.
    assumed: the volume is the plan's.
    """

    ways: tuple[Way, ...]
    not_possible: tuple[Way, ...]
    cannot_be_told: bool
    assumed: bool


def forecast(plan: Plan, state: State, now_s: float) -> Forecast | None:
    """The end of the boil as it looks now; None before a gravity of the full kettle, and after the boil."""
    believed = _believed(plan, state)
    if believed is None:
        return None
    belief, assumed = believed
    gravity_sg, volume_l = end_of_boil(belief, _boil_min(state))
    return Forecast(gravity_sg, volume_l, assumed)


def _believed(plan: Plan, state: State) -> tuple[Belief, bool] | None:
    """What the kettle is believed to hold, and whether its volume is the plan's."""
    if state.stage not in kettle.FULL_KETTLE:
        return None
    belief = kettle.believed(plan, state)
    believed = [item for item in kettle.readings(state) if item not in belief.set_aside]
    if not any(item.quantity is Quantity.GRAVITY for item in believed):
        return None
    return belief, not any(item.quantity is Quantity.VOLUME for item in believed)


def _boil_min(state: State) -> float:
    return state.planned_boil_min if state.boil is None else state.boil.minutes


def options(plan: Plan, state: State, now_s: float) -> Advice | None:
    """The ways out of a forecast that misses gravity or volume after the boil; None when it is on target.

    None too where the miss is so far that the sample is doubted before anything is weighed.
    """
    believed = _believed(plan, state)
    if believed is None:
        return None
    belief, assumed = believed
    beer = plan.beer
    gravity_sg, volume_l = end_of_boil(belief, _boil_min(state))
    off_sg = abs(gravity_sg.value - beer.gravity_after_boil_sg)
    off_l = 0.0 if assumed else abs(volume_l.value - plan.volume_after_boil_l)
    if off_sg > 1.5 * FAR_MISS_SG or (off_sg <= beer.gravity_tolerance_sg and off_l <= beer.volume_tolerance_l):
        return None
    case = _case(plan, state, now_s, belief, assumed)
    ways = with_bitterness(ways_out(case), plan, state, now_s)
    best = ranked(ways, case)
    leave = next(way for way in best if way.kind is WayKind.LEAVE)
    not_possible = tuple(way for way in ways if way.why_not)
    return Advice(best, not_possible, cannot_be_told(leave, case), assumed)


def _case(plan: Plan, state: State, now_s: float, belief: Belief, assumed: bool) -> Case:
    beer, boil_min = plan.beer, _boil_min(state)
    room_l = room_end_l = math.inf
    if plan.rig.kettle_full_l is not None:
        room_l = plan.rig.kettle_full_l - HEAT_EXPANSION * standing(belief)[1].value
        room_end_l = plan.rig.kettle_full_l - HEAT_EXPANSION * end_of_boil(belief, boil_min)[1].value
    shorter_min, shorter_why = _room_to_shorten(plan, state, now_s)
    wanted = Wanted(
        beer.gravity_after_boil_sg, plan.volume_after_boil_l, beer.gravity_tolerance_sg, beer.volume_tolerance_l
    )
    return Case(belief, boil_min, wanted, shorter_min, shorter_why, room_l, room_end_l, not assumed)


def _room_to_shorten(plan: Plan, state: State, now_s: float) -> tuple[float, str]:
    """Minutes that may be taken off the boil so that nothing to come is late for it, and what stands in the way."""
    boil_min = _boil_min(state)
    left_min = boil_min if state.boil is None else state.boil.left_s(now_s) / 60.0
    to_come = [
        item.minutes
        for item in plan.additions
        if item.time is AdditionTime.BEFORE_KNOCKOUT and item.minutes is not None and item.minutes < left_min
    ]
    to_come += [item.contact_s / 60.0 for item in boil_items(plan) if item.name not in state.wet]
    by_additions = left_min - max((_UNHURRIED_MIN, *to_come))
    by_length = boil_min - _SHORTEST_BOIL_MIN
    if by_length < by_additions:
        return max(0.0, by_length), "the boil would be under an hour"
    return max(0.0, by_additions), "an addition would be late"


def as_fact(advice: Advice) -> f.AdviceGiven:
    """The offer as it is kept in the journal: all that is said and shown of it."""
    ways = advice.ways
    bitterness = [way.bitterness_ibu for way in ways if way.bitterness_ibu is not None]
    if len(bitterness) < len(ways):
        bitterness = []
    return f.AdviceGiven(
        kinds=tuple(way.kind.value for way in ways),
        sizes=tuple(way.size.value for way in ways),
        results_sg=tuple(round(way.end.gravity_sg.value, 5) for way in ways),
        sizes_sd=tuple(round(way.size.sd, 4) for way in ways),
        minutes=tuple(way.acts.minutes.value for way in ways),
        minutes_sd=tuple(round(way.acts.minutes.sd, 2) for way in ways),
        extract_kg=tuple(way.acts.extract_kg.value for way in ways),
        sugar_kg=tuple(way.acts.sugar_kg.value for way in ways),
        water_l=tuple(way.acts.water_l.value for way in ways),
        water_sd_l=tuple(round(way.acts.water_l.sd, 3) for way in ways),
        results_sd_sg=tuple(round(way.end.gravity_sg.sd, 5) for way in ways),
        results_l=tuple(round(way.end.volume_l.value, 3) for way in ways),
        results_sd_l=tuple(round(way.end.volume_l.sd, 3) for way in ways),
        changes_l=tuple(round(way.change_l, 3) for way in ways),
        chances=tuple(round(way.chance, 3) for way in ways),
        costs=tuple(way.cost for way in ways),
        bitterness_ibu=tuple(round(told.value, 2) for told in bitterness),
        bitterness_sd_ibu=tuple(round(told.sd, 2) for told in bitterness),
        met=tuple(way.met for way in ways),
        not_possible=tuple((way.kind.value, way.size.value, way.why_not) for way in advice.not_possible),
        cannot_be_told=advice.cannot_be_told,
        assumed=advice.assumed,
    )


def chosen_way(offer: f.AdviceGiven, kind: str) -> f.AdviceChosen:
    """The way of `kind` out of an offer that holds it, with all that it asks for."""
    place = offer.kinds.index(kind)
    size = offer.sizes[place]
    if not offer.minutes:
        return f.AdviceChosen(kind, size).in_full()
    return f.AdviceChosen(
        kind, size, offer.minutes[place], offer.extract_kg[place], offer.sugar_kg[place], offer.water_l[place]
    )
