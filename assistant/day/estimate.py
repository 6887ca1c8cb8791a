"""What the kettle holds, from all that was read so far: a Gaussian filter over water, extract and boil-off.

The state is the mass of water [kg], the mass of extract [kg] and the boil-off [kg of water an hour]. Boiling takes
water away at the boil-off and leaves the extract. A gravity and a volume are functions of the two masses, taken
straight near the belief (extended Kalman filter). Before the first reading the belief is the plan's, as unsure as
brewing is; the boil-off comes from the plan or, better, from the rig's earlier days.

One bad reading must not poison the forecast. A reading farther than `SET_ASIDE_SD` from what was believed is set
aside and asked about; when the next one of its kind agrees with it, the belief was wrong and both are taken, the
belief widened first. Nothing here is ever told to the brewer as a reading.

The chill has a filter of its own in `cooling`: between knockout and the yeast nothing couples the two.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.calculation import extract
from assistant.calculation.scales import mass_fraction_from_sg
from assistant.day.plan import Plan
from assistant.quantities import Measured

# How far a day strays from its plan before anything was read (judgement, no source): extract by the mash,
# water by the sparge, boil-off by burner and weather.
EXTRACT_SD: Final = 0.07
WATER_SD: Final = 0.05
BOIL_OFF_SD: Final = 0.12
# A rig's boil-off from day to day: burner, wind, lid (a share of it; judgement).
BETWEEN_DAYS: Final = 0.05
# What a day itself says of its boil-off is asked of a belief this unsure of it (a share; judgement).
_OPEN_MINDED_SD: Final = 0.5
# A boil-off wanders within a day by about this share of itself in an hour (judgement).
_WANDER_SD_PER_H: Final = 0.03
# A sample is not the whole kettle: what stirring leaves of differences (judgement).
SAMPLING_SD_SG: Final = 0.0004
SET_ASIDE_SD: Final = 4.0
_AGREE_SD: Final = 3.0
_WIDER: Final = 4.0
_ROUNDS: Final = 3
_KG_PER_L: Final = 0.9982
_DEEP: Final = 40

Matrix = NDArray[np.float64]


class Quantity(StrEnum):
    """What was read of the kettle."""

    GRAVITY = "gravity"
    VOLUME = "volume"


class Verdict(StrEnum):
    """What a filter made of a reading."""

    TAKEN = "taken"
    SET_ASIDE = "set aside"
    AGREES = "agrees with the one set aside"


@dataclass(frozen=True, slots=True)
class Seen:
    """One reading. boiled_min: minutes of boil behind it; value, sd: SG 20/20, or litres at 20 °C."""

    quantity: Quantity
    boiled_min: float
    value: float
    sd: float


@dataclass(frozen=True, slots=True)
class Added:
    """Something put into the kettle on the way: kg of extract, kg of water, and how far off the weighing is."""

    extract_kg: float
    water_kg: float
    sd_kg: float


@dataclass(frozen=True, slots=True)
class RigFigures:
    """What is known of a rig.

    boil_off_l_per_h: litres of water (20 °C) an hour; days: how many days taught it.
    extract_per_grain: kg of extract in the kettle for each kg of grain; None where no earlier day tells.
    """

    boil_off_l_per_h: Measured
    days: int = 0
    extract_per_grain: Measured | None = None


@dataclass(frozen=True, slots=True)
class Belief:
    """What the kettle is believed to hold after `boiled_min` minutes of boil.

    mean: water [kg], extract [kg], boil-off [kg/h]; covariance: 3 by 3 in the products of these units.
    set_aside: readings that were too far off to be believed; doubted: those of them that the next reading of
    their kind may still confirm.
    """

    boiled_min: float
    mean: tuple[float, float, float]
    covariance: Matrix = field(repr=False)
    set_aside: tuple[Seen, ...] = ()
    doubted: tuple[Seen, ...] = ()


def figures_of_plan(plan: Plan) -> RigFigures:
    """The rig as the plan has it, before any day taught better."""
    rate = plan.rig.boil_off_l_per_h
    return RigFigures(Measured(rate, BOIL_OFF_SD * rate))


def prior(plan: Plan, rig: RigFigures | None = None) -> Belief:
    """The belief before the boil and before any reading."""
    known = rig or figures_of_plan(plan)
    volume_l, sg = plan.volume_before_boil_l, plan.beer.gravity_before_boil_sg
    extract_kg = extract.extract_kg(volume_l, sg)
    water_kg, extract_sd = extract.wort_kg(volume_l, sg) - extract_kg, EXTRACT_SD * extract_kg
    if known.extract_per_grain is not None and plan.mash.grain_kg is not None:
        extract_kg = known.extract_per_grain.value * plan.mash.grain_kg
        extract_sd = known.extract_per_grain.sd * plan.mash.grain_kg
    rate, rate_sd = known.boil_off_l_per_h.value * _KG_PER_L, known.boil_off_l_per_h.sd * _KG_PER_L
    spread = (WATER_SD * water_kg, extract_sd, rate_sd)
    return Belief(0.0, (water_kg, extract_kg, rate), np.diag(np.square(spread)))


def boiled(belief: Belief, boiled_min: float) -> Belief:
    """The belief carried on to `boiled_min` minutes of boil; it never goes back."""
    hours = max(0.0, boiled_min - belief.boiled_min) / 60.0
    if hours == 0.0:
        return belief
    water_kg, extract_kg, rate = belief.mean
    step = np.array([[1.0, 0.0, -hours], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    # A rate that wanders by q an hour leaves a third of it in the water that is gone (integrated random walk).
    wander = (_WANDER_SD_PER_H * rate) ** 2
    noise = wander * np.array(
        [[hours**3 / 3.0, 0.0, -(hours**2) / 2.0], [0.0] * 3, [-(hours**2) / 2.0, 0.0, hours]]
    )
    left_kg = max(0.05 * water_kg, water_kg - rate * hours)
    return replace(
        belief,
        boiled_min=boiled_min,
        mean=(left_kg, extract_kg, rate),
        covariance=step @ belief.covariance @ step.T + noise,
    )


def follow(plan: Plan, events: Sequence[Seen | Added], rig: RigFigures | None = None) -> Belief:
    """The belief after all `events`, which are in order of time."""
    return judged(plan, events, rig)[0]


def judged(
    plan: Plan, events: Sequence[Seen | Added], rig: RigFigures | None = None
) -> tuple[Belief, tuple[Verdict, ...]]:
    """The belief after all `events` and what became of each; an addition is always taken."""
    in_order = tuple(events)
    # Step by step, so that a day of very many readings does not nest too deep.
    for count in range(_DEEP, len(in_order), _DEEP):
        _judged(plan, in_order[:count], rig)
    return _judged(plan, in_order, rig)


@lru_cache(maxsize=64)
def _judged(
    plan: Plan, events: tuple[Seen | Added, ...], rig: RigFigures | None
) -> tuple[Belief, tuple[Verdict, ...]]:
    """From the first event on; a turn asks a dozen times for the same belief, and weighs each reading once."""
    if not events:
        return prior(plan, rig), ()
    belief, verdicts = _judged(plan, events[:-1], rig)
    last = events[-1]
    if isinstance(last, Added):
        return added(belief, last), (*verdicts, Verdict.TAKEN)
    belief, verdict = take(boiled(belief, last.boiled_min), last)
    return belief, (*verdicts, verdict)


def take(belief: Belief, seen: Seen) -> tuple[Belief, Verdict]:
    """The belief after one reading; a reading too far off is set aside, unless the last one agrees with it."""
    earlier = next((item for item in belief.doubted if item.quantity is seen.quantity), None)
    others = tuple(item for item in belief.doubted if item is not earlier)
    if surprise(belief, seen) <= SET_ASIDE_SD:
        return _updated(replace(belief, doubted=others), seen), Verdict.TAKEN
    carried = None if earlier is None else _carried(belief, earlier, seen.boiled_min)
    if carried is None or not _agree(carried, seen):
        doubtful = replace(belief, set_aside=(*belief.set_aside, seen), doubted=(*others, seen))
        return doubtful, Verdict.SET_ASIDE
    kept = tuple(item for item in belief.set_aside if item is not earlier)
    # What the kettle holds was believed wrongly; how fast it boils off is no more in doubt than before.
    widen = np.diag((_WIDER, _WIDER, 1.0))
    wider = replace(belief, covariance=widen @ belief.covariance @ widen, set_aside=kept, doubted=others)
    return _updated(_updated(wider, carried), seen), Verdict.AGREES


def added(belief: Belief, what: Added) -> Belief:
    """The belief after something was put into the kettle."""
    water_kg, extract_kg, rate = belief.mean
    noise = np.zeros((3, 3))
    share = what.extract_kg / max(what.extract_kg + what.water_kg, 1e-9)
    noise[0, 0], noise[1, 1] = ((1.0 - share) * what.sd_kg) ** 2, (share * what.sd_kg) ** 2
    mean = (water_kg + what.water_kg, extract_kg + what.extract_kg, rate)
    return replace(belief, mean=mean, covariance=belief.covariance + noise)


def surprise(belief: Belief, seen: Seen) -> float:
    """How far a reading lies from the belief, in standard deviations of their difference."""
    slope = _slope(belief, seen.quantity)
    variance = float(slope @ belief.covariance @ slope) + _variance(seen)
    return float(abs(seen.value - _value(seen.quantity)(*belief.mean[:2])) / variance**0.5)


def _carried(belief: Belief, earlier: Seen, boiled_min: float) -> Seen:
    """A reading set aside, as it would read now: boiling since then allowed for."""
    hours = max(0.0, boiled_min - earlier.boiled_min) / 60.0
    value = _value(earlier.quantity)
    now = value(*belief.mean[:2])
    then = value(belief.mean[0] + belief.mean[2] * hours, belief.mean[1])
    return replace(earlier, boiled_min=boiled_min, value=earlier.value + now - then)


def _agree(earlier: Seen, later: Seen) -> bool:
    """Whether two readings of one kind and time tell the same kettle."""
    apart_sd = (_variance(earlier) + _variance(later)) ** 0.5
    return bool(abs(later.value - earlier.value) <= _AGREE_SD * apart_sd)


def _updated(belief: Belief, seen: Seen) -> Belief:
    """One reading weighed in; the slope is taken anew where the belief moves to (iterated Kalman update)."""
    start, moved = np.array(belief.mean), belief
    for _ in range(_ROUNDS):
        slope = _slope(moved, seen.quantity)
        spread = belief.covariance @ slope
        gain = spread / (float(slope @ spread) + _variance(seen))
        off = seen.value - _value(seen.quantity)(*moved.mean[:2]) - float(slope @ (start - np.array(moved.mean)))
        water_kg, extract_kg, rate = (float(item) for item in start + gain * off)
        moved = replace(moved, mean=(max(water_kg, 0.1), max(extract_kg, 0.0), max(rate, 0.0)))
    keep = np.eye(3) - np.outer(gain, slope)
    # Joseph's form stays symmetric and positive under rounding.
    covariance = keep @ belief.covariance @ keep.T + np.outer(gain, gain) * _variance(seen)
    return replace(moved, covariance=covariance)


def _variance(seen: Seen) -> float:
    sampling = SAMPLING_SD_SG if seen.quantity is Quantity.GRAVITY else 0.0
    return seen.sd**2 + sampling**2


def _value(quantity: Quantity) -> Callable[[float, float], float]:
    place = 1 if quantity is Quantity.GRAVITY else 0
    return lambda water_kg, extract_kg: extract.wort_from(extract_kg, water_kg)[place]


def _slope(belief: Belief, quantity: Quantity) -> Matrix:
    """Derivatives of a gravity or volume by water, extract and boil-off, at the belief."""
    water_kg, extract_kg, _ = belief.mean
    value, step = _value(quantity), 1e-4
    by_water = (value(water_kg + step, extract_kg) - value(water_kg - step, extract_kg)) / (2.0 * step)
    by_extract = (value(water_kg, extract_kg + step) - value(water_kg, extract_kg)) / step
    return np.array([by_water, by_extract, 0.0])


def standing(belief: Belief) -> tuple[Measured, Measured]:
    """Gravity [SG] and volume [L at 20 °C] that the belief stands for, each with its standard uncertainty."""
    found = []
    for quantity in (Quantity.GRAVITY, Quantity.VOLUME):
        slope = _slope(belief, quantity)
        sd = float(slope @ belief.covariance @ slope) ** 0.5
        found.append(Measured(_value(quantity)(*belief.mean[:2]), sd))
    return found[0], found[1]


def end_of_boil(belief: Belief, boil_min: float) -> tuple[Measured, Measured]:
    """Gravity and volume after `boil_min` minutes of boil in all."""
    return standing(boiled(belief, boil_min))


def without_prior(posterior: Measured, before: Measured) -> Measured | None:
    """What a day itself said of a quantity: the belief after it with the belief before it taken out.

    Both normal; None where the day said next to nothing.
    """
    precision = 1.0 / posterior.sd**2 - 1.0 / before.sd**2
    if precision <= 1e-3 / before.sd**2:
        return None
    said = (posterior.value / posterior.sd**2 - before.value / before.sd**2) / precision
    return Measured(said, precision**-0.5)


def weighed(before: Measured, said: Sequence[Measured], scatter: float) -> Measured:
    """What to expect of the next day, after days that said `said`; `before`: what was expected without them.

    Each day's figure is the rig's own with a day-to-day `scatter` (in the unit of the figure): a normal prior and
    likelihood for the rig's own, and the scatter of the next day on top. The order of the days does not matter.
    """
    own = max(before.sd**2 - scatter**2, (0.01 * before.value) ** 2)
    precision, total = 1.0 / own, before.value / own
    for day in said:
        weight = 1.0 / (day.sd**2 + scatter**2)
        precision, total = precision + weight, total + weight * day.value
    return Measured(total / precision, (1.0 / precision + scatter**2) ** 0.5)


def said_boil_off(plan: Plan, events: Sequence[Seen | Added], boiled_min: float) -> Measured | None:
    """The boil-off [L/h] that a day of `boiled_min` minutes of boil said by itself; None where it said nothing.

    It is followed from a belief that knows next to nothing of the boil-off, so that plan and history are not in it.
    """
    planned = plan.rig.boil_off_l_per_h
    open_minded = RigFigures(Measured(planned, _OPEN_MINDED_SD * planned))
    belief = boiled(follow(plan, events, open_minded), boiled_min)
    after = Measured(belief.mean[2] / _KG_PER_L, float(belief.covariance[2, 2]) ** 0.5 / _KG_PER_L)
    return without_prior(after, open_minded.boil_off_l_per_h)


def minutes_for_gravity(belief: Belief, boil_min: float, target_sg: float) -> Measured | None:
    """Minutes beyond `boil_min` after which the kettle will be at `target_sg`; None when it is there already."""
    end = boiled(belief, boil_min)
    water_kg, extract_kg, rate = end.mean
    sg = _value(Quantity.GRAVITY)(water_kg, extract_kg)
    if sg >= target_sg or rate <= 0.0:
        return None
    volume_l = _value(Quantity.VOLUME)(water_kg, extract_kg)
    minutes = extract.minutes_to_gravity(volume_l, sg, target_sg, rate / _KG_PER_L)
    # The water to lose is water less (1 / w - 1) extract, at w of the target; the three are told apart badly, so
    # that their spreads must be taken together.
    wanted = mass_fraction_from_sg(target_sg)
    slope = np.array([60.0, -60.0 * (1.0 / wanted - 1.0), -minutes]) / rate
    return Measured(minutes, float(slope @ end.covariance @ slope) ** 0.5)
