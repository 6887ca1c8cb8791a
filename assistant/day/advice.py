"""What to do about a miss: mass balance with the rig's boil-off, and what each way costs.

Extract and water are conserved; sugar does not boil off. Volumes at 20 °C.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from assistant.calculation import extract
from assistant.day import facts as f
from assistant.day import kettle, rig
from assistant.day.estimate import Quantity, end_of_boil
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.quantities import Measured, OutsideRange

# Longer than this and the beer changes more than its gravity (judgement, no source).
_LONGEST_EXTRA_MIN: Final = 60.0
# A miss beyond this is a bad sample before it is a bad mash: sample again before weighing anything (judgement).
FAR_MISS_SG: Final = 0.012
_LEAST_MINUTES: Final = 3.0
_LEAST_EXTRACT_KG: Final = 0.030
_LEAST_WATER_L: Final = 0.3


@dataclass(frozen=True, slots=True)
class Forecast:
    """Where the boil will end: gravity [SG] and volume [L, 20 °C]; `assumed` when the volume is the plan's."""

    gravity_sg: Measured
    volume_l: Measured
    assumed: bool


@dataclass(frozen=True, slots=True)
class Option:
    """One way out. kind: longer [min], extract [kg], water [L] or leave [0]; where it ends."""

    kind: str
    size: float
    gravity_sg: float
    volume_l: float


def forecast(plan: Plan, state: State, now_s: float) -> Forecast | None:
    """The end of the boil as it looks now; None before a gravity of the full kettle, and after the boil."""
    if state.stage not in kettle.FULL_KETTLE:
        return None
    belief = kettle.believed(plan, state)
    believed = [item for item in kettle.readings(state) if item not in belief.set_aside]
    if not any(item.quantity is Quantity.GRAVITY for item in believed):
        return None
    boil_min = state.planned_boil_min if state.boil is None else state.boil.minutes
    gravity_sg, volume_l = end_of_boil(belief, boil_min)
    assumed = not any(item.quantity is Quantity.VOLUME for item in believed)
    return Forecast(gravity_sg, volume_l, assumed)


def options(plan: Plan, state: State, now_s: float) -> tuple[Option, ...]:
    """The ways out of a forecast that misses the gravity after the boil; empty when it is on target."""
    ahead = forecast(plan, state, now_s)
    target_sg = plan.beer.gravity_after_boil_sg
    if ahead is None:
        return ()
    miss = abs(ahead.gravity_sg.value - target_sg)
    if miss <= plan.beer.gravity_tolerance_sg or miss > 1.5 * FAR_MISS_SG:
        return ()
    end_sg, end_l = ahead.gravity_sg.value, ahead.volume_l.value
    leave = Option("leave", 0.0, end_sg, end_l)
    try:
        ways = (
            _to_raise(rig.boil_off_l_per_h(plan, state), end_l, end_sg, target_sg)
            if end_sg < target_sg
            else _to_lower(end_l, end_sg, target_sg)
        )
    except OutsideRange:
        ways = []
    return (*ways, leave) if ways else ()


def _to_raise(rate: float, end_l: float, end_sg: float, target_sg: float) -> list[Option]:
    ways = []
    minutes = extract.minutes_to_gravity(end_l, end_sg, target_sg, rate)
    if _LEAST_MINUTES <= minutes <= _LONGEST_EXTRA_MIN:
        volume_l, gravity_sg = extract.boil(end_l, end_sg, minutes, rate)
        ways.append(Option("longer", float(round(minutes)), gravity_sg, volume_l))
    dry_kg = extract.dry_extract_to_add_kg(end_l, end_sg, target_sg)
    if dry_kg >= _LEAST_EXTRACT_KG:
        volume_l, gravity_sg = extract.add_solids(end_l, end_sg, dry_kg, extract.DRY_EXTRACT_FRACTION)
        ways.append(Option("extract", round(dry_kg, 2), gravity_sg, volume_l))
    return ways


def _to_lower(end_l: float, end_sg: float, target_sg: float) -> list[Option]:
    water_l = extract.water_to_add_l(end_l, end_sg, target_sg)
    if water_l < _LEAST_WATER_L:
        return []
    return [Option("water", round(water_l, 1), target_sg, end_l + water_l)]


def as_fact(ways: tuple[Option, ...]) -> f.AdviceGiven:
    """The offer as it is kept in the journal."""
    return f.AdviceGiven(
        tuple(way.kind for way in ways),
        tuple(way.size for way in ways),
        tuple(round(way.gravity_sg, 5) for way in ways),
    )
