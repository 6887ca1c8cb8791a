"""What the plan wants at each point of the day, and what is plausible to hear there."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from assistant.calculation import extract, scales, volumes
from assistant.day import rig
from assistant.day.calls import boil_items, wet_items
from assistant.day.facts import QuestionAsked, Stage
from assistant.day.inquiring import asking
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.day.transitions import TRANSITIONS
from assistant.day.ways import WayKind
from assistant.quantities import OutsideRange, Unit, from_core
from assistant.understanding.rivals import digits_apart
from assistant.understanding.said import Command, Expected, Kind, Listening, Reading

# Wort that was not measured is taken to be this warm: runnings and a full kettle (common practice, no source).
WARM_WORT_C: Final = 70.0

_ALWAYS: Final = frozenset(
    {
        Command.DONE,
        Command.SKIP,
        Command.WHAT_NEXT,
        Command.HOW_LONG,
        Command.HOW_BITTER,
        Command.WHERE_ARE_WE,
        Command.SAY_AGAIN,
        Command.SCRATCH_THAT,
        Command.WHY,
        Command.NOTE,
        Command.LOUDER,
        Command.QUIETER,
        Command.QUIET,
        Command.HELP,
        Command.SOUND_CHECK,
    }
)
_BOIL_CLOCK: Final = frozenset({Command.HOLD, Command.GO_ON, Command.ADD_TIME, Command.TAKE_TIME})
CHOICES: Final = {
    WayKind.LONGER: Command.CHOOSE_LONGER,
    WayKind.SHORTER: Command.CHOOSE_SHORTER,
    WayKind.EXTRACT: Command.CHOOSE_EXTRACT,
    WayKind.SUGAR: Command.CHOOSE_SUGAR,
    WayKind.WATER: Command.CHOOSE_WATER,
    WayKind.BOTH: Command.CHOOSE_BOTH,
    WayKind.LEAVE: Command.CHOOSE_LEAVE,
}


@dataclass(frozen=True, slots=True)
class GravityTarget:
    """The gravity wanted now, SG 20/20, and the half-width of "on target"."""

    gravity_sg: float
    tolerance_sg: float


def gravity_target(plan: Plan, state: State, now_s: float) -> GravityTarget | None:
    """The gravity that the plan wants of the kettle now; None where a gravity is no measure of the plan.

    During the boil it lies on the way from the target before to the target after, by mass balance.
    """
    beer = plan.beer
    if state.stage is Stage.PRE_BOIL:
        # The plan's own number, and what another boil-off than the plan's makes of it.
        moved = _before_boil_sg(plan, rig.boil_off_l_per_h(plan, state)) - _before_boil_sg(
            plan, plan.rig.boil_off_l_per_h
        )
        return GravityTarget(beer.gravity_before_boil_sg + moved, beer.gravity_tolerance_sg)
    if state.stage is Stage.BOIL and state.boil is not None:
        left_h = max(0.0, state.boil.left_s(now_s)) / 3600.0
        now_sg = _before_end_sg(plan, rig.boil_off_l_per_h(plan, state) * left_h)
        return GravityTarget(now_sg, beer.gravity_tolerance_sg)
    if state.stage in (Stage.HOP_STAND, Stage.CHILL, Stage.TRANSFER, Stage.PITCH):
        return GravityTarget(beer.gravity_after_boil_sg, beer.gravity_tolerance_sg)
    return None


def _before_boil_sg(plan: Plan, boil_off_l_per_h: float) -> float:
    return _before_end_sg(plan, boil_off_l_per_h * plan.beer.boil_min / 60.0)


def _before_end_sg(plan: Plan, to_boil_off_l: float) -> float:
    """The gravity with so much water still to be boiled off: the same balance as boiling, run backwards."""
    return extract.add_water(plan.volume_after_boil_l, plan.beer.gravity_after_boil_sg, to_boil_off_l)[1]


def temperature_target_c(plan: Plan, state: State) -> float | None:
    """The temperature wanted now in °C; None where the stage has none."""
    match state.stage:
        case Stage.STRIKE:
            return plan.mash.strike_temperature_c
        case Stage.MASH:
            return plan.mash.rests[min(state.rest_index, len(plan.mash.rests) - 1)].temperature_c
        case Stage.CHILL | Stage.TRANSFER | Stage.PITCH | Stage.FERMENTING:
            return plan.yeast.pitch_c
        case Stage.HOP_STAND:
            stands = [item.temperature_c for item in plan.additions if item.temperature_c is not None]
            return stands[0] if stands else None
        case _:
            return None


def volume_target_l(plan: Plan, state: State) -> float | None:
    """The volume wanted now in litres at 20 °C; None where the stage has none."""
    match state.stage:
        case Stage.STRIKE:
            return plan.mash.strike_volume_l
        case Stage.RUN_OFF | Stage.PRE_BOIL:
            return plan.volume_after_boil_l + rig.boil_off_l_per_h(plan, state) * plan.beer.boil_min / 60.0
        case Stage.BOIL | Stage.HOP_STAND | Stage.CHILL:
            return plan.volume_after_boil_l
        case Stage.TRANSFER | Stage.PITCH:
            return plan.beer.into_fermenter_l
        case _:
            return None


def listening(plan: Plan, state: State, now_s: float) -> Listening:
    """What the ear is to listen for: the orders that are live, what a bare number means, what is plausible."""
    units = plan.units
    commands = _ALWAYS | frozenset(TRANSITIONS[state.stage])
    if state.boil is not None and state.stage is Stage.BOIL:
        commands |= _BOIL_CLOCK
    if state.stage is Stage.PRE_BOIL:
        commands |= {Command.ADD_TIME, Command.TAKE_TIME}
    if state.stage is Stage.CHILL:
        commands |= {Command.CHILL_ON}
    if state.stage is Stage.PITCH:
        commands |= {Command.OXYGEN_DONE}
    if state.advice is not None:
        commands |= {Command.WHAT_ELSE, *(CHOICES[WayKind(kind)] for kind in state.advice.kinds)}
    if state.question is not None or state.open_make_up(now_s) is not None:
        commands |= {Command.YES, Command.NO}
    if state.inquiry is not None:
        # "Sugar" may answer the question, and must not choose what is done to the wort.
        commands = (commands | {Command.NEVER_MIND}) - set(CHOICES.values())
    elif state.question is None:
        commands |= {Command.QUESTION}
    return Listening(
        temperature_unit=units.temperature,
        volume_unit=units.volume,
        depth_unit=units.depth,
        mass_unit=units.small_mass,
        gravity_unit=units.gravity,
        expected=_expected(plan, state, now_s),
        commands=commands,
        choices=_choices(state),
        names=_names(plan, state),
        asking=asking(state),
    )


def _names(plan: Plan, state: State) -> tuple[str, ...]:
    match state.stage:
        case Stage.BOIL:
            return tuple(item.name for item in boil_items(plan))
        case Stage.CHILL | Stage.TRANSFER:
            left_out = (item for item in boil_items(plan) if item.name not in state.wet)
            return tuple(item.name for item in (*wet_items(plan), *left_out))
        case _:
            return ()


def candidates_of(question: QuestionAsked) -> tuple[Reading, ...]:
    """The candidates of a question as readings, likeliest first."""
    kind, unit = Kind(question.kind), Unit(question.unit)
    return tuple(Reading(kind, Decimal(value), unit, question.words) for value in question.candidates)


def _choices(state: State) -> tuple[str, ...]:
    candidates = candidates_of(state.question) if state.question is not None else ()
    if len(candidates) < 2:
        return ()
    return digits_apart(candidates[0], candidates[1]) or ()


def _expected(plan: Plan, state: State, now_s: float) -> tuple[Expected, ...]:
    """Expectations of the stage, the likeliest kind first. Spreads are judgements: wide, since tails decide."""
    kinds: list[Expected | None]
    temperature = _temperature(plan, state)
    target = gravity_target(plan, state, now_s)
    gravity = _gravity(plan, target.gravity_sg if target else None)
    volume, depth = _volume(plan, state), _depth(plan, state)
    match state.stage:
        case Stage.RUN_OFF | Stage.PRE_BOIL if state.gravity_waiting is None and _asked_for_volume(state):
            kinds = [depth, volume, gravity, temperature] if depth else [volume, gravity, temperature]
        case Stage.RUN_OFF | Stage.PRE_BOIL | Stage.TRANSFER | Stage.FERMENTING:
            kinds = [temperature, gravity, volume, depth]
        case Stage.MASH:
            kinds = [temperature, Expected(Kind.PH, Unit.PH, 5.3, 0.3, 2.0, 9.0), gravity, volume]
        case _:
            kinds = [temperature, gravity, volume, depth]
    return tuple(item for item in kinds if item is not None)


def _asked_for_volume(state: State) -> bool:
    return state.in_stage(state.gravities) is not None and state.in_stage(state.volumes) is None


def _temperature(plan: Plan, state: State) -> Expected:
    unit = plan.units.temperature
    centre_c, spread_c = {
        Stage.STRIKE: (plan.mash.strike_temperature_c, 12.0),
        Stage.MASH: (temperature_target_c(plan, state) or 66.0, 4.0),
        Stage.RUN_OFF: (WARM_WORT_C, 15.0),
        Stage.PRE_BOIL: (WARM_WORT_C, 25.0),
        Stage.BOIL: (plan.rig.boiling_point_c, 25.0),
        Stage.HOP_STAND: (85.0, 10.0),
        Stage.CHILL: (50.0, 30.0),
    }.get(state.stage, (plan.yeast.pitch_c, 8.0))
    scale = 1.8 if unit is Unit.FAHRENHEIT else 1.0
    lowest, highest = from_core(-5.0, unit), from_core(plan.rig.boiling_point_c + 6.0, unit)
    return Expected(Kind.TEMPERATURE, unit, from_core(centre_c, unit), spread_c * scale, lowest, highest)


def _gravity(plan: Plan, target_sg: float | None) -> Expected:
    centre, spread = (target_sg, 0.006) if target_sg is not None else (1.040, 0.025)
    if plan.units.gravity is Unit.PLATO:
        return Expected(Kind.GRAVITY, Unit.PLATO, scales.plato_from_sg(centre), spread * 250.0, -3.0, 38.0)
    return Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, centre, spread, 0.980, 1.170)


def _volume(plan: Plan, state: State) -> Expected | None:
    target_l, unit = volume_target_l(plan, state), plan.units.volume
    if target_l is None:
        return None
    highest_l = plan.rig.kettle_full_l or 4.0 * plan.volume_before_boil_l
    return Expected(
        Kind.VOLUME,
        unit,
        from_core(target_l, unit),
        from_core(0.12 * target_l, unit),
        0.0,
        from_core(highest_l, unit),
    )


def _depth(plan: Plan, state: State) -> Expected | None:
    target_l, unit = volume_target_l(plan, state), plan.units.depth
    if target_l is None or state.stage in (Stage.STRIKE, Stage.TRANSFER, Stage.PITCH):
        return None
    rig = plan.rig
    if rig.dipstick:
        highest_m = rig.dipstick[-1][0]
        try:
            target_m = volumes.depth_of_volume_m(target_l, rig.dipstick)
        except OutsideRange:
            target_m = highest_m
    elif rig.kettle_diameter_m is not None:
        area_m2 = volumes.cylinder_volume_l(1.0, rig.kettle_diameter_m) / 1000.0
        target_m = target_l / 1000.0 / area_m2
        highest_m = 3.0 * target_m if rig.kettle_full_l is None else rig.kettle_full_l / 1000.0 / area_m2
    else:
        return None
    value = from_core(target_m, unit)
    return Expected(Kind.DEPTH, unit, value, 0.12 * value, 0.0, from_core(highest_m, unit))
