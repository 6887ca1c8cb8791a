"""What a belief about the kettle ends in: gravity and volume with their joint spread, and the chance of on target.

All spreads are first order over the belief's water and extract. Volumes at 20 °C.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from assistant.calculation import extract
from assistant.calculation.mash import water_l_to_kg
from assistant.day.estimate import Belief, Matrix
from assistant.quantities import Measured, OutsideRange

LITRE_KG: Final = water_l_to_kg(1.0)
_STEP_KG: Final = 1e-3
# The joint normal is integrated over its first quantity within this many standard deviations.
_WHOLE_SD: Final = 8.0
_NODES, _NODE_WEIGHTS = np.polynomial.legendre.leggauss(64)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Gravity [SG] and volume [L] after the boil, with the half-widths of "on target", each > 0."""

    gravity_sg: float
    volume_l: float
    gravity_tolerance_sg: float
    volume_tolerance_l: float


@dataclass(frozen=True, slots=True)
class End:
    """Where the boil ends: gravity [SG], volume [L], and how the two hang together (-1 to 1)."""

    gravity_sg: Measured
    volume_l: Measured
    correlation: float = 0.0


def end_of(belief: Belief) -> End:
    """Gravity and volume that `belief` stands for, with their joint spread."""
    volume_l, sg = extract.wort_from(belief.mean[1], belief.mean[0])
    slopes = _slopes(belief, lambda litres, gravity: (gravity, litres))
    spread = slopes @ belief.covariance[:2, :2] @ slopes.T
    sd_sg, sd_l = (math.sqrt(max(0.0, float(spread[place, place]))) for place in (0, 1))
    together = float(spread[0, 1]) / (sd_sg * sd_l) if sd_sg > 0.0 and sd_l > 0.0 else 0.0
    return End(Measured(sg, sd_sg), Measured(volume_l, sd_l), max(-1.0, min(1.0, together)))


def chance_on_target(end: End, wanted: Wanted, volume_read: bool = True) -> float:
    """The share [0-1] of the joint normal of gravity and volume that lies within both tolerances."""
    sd_sg = max(end.gravity_sg.sd, 1e-9)
    low = (wanted.gravity_sg - wanted.gravity_tolerance_sg - end.gravity_sg.value) / sd_sg
    high = (wanted.gravity_sg + wanted.gravity_tolerance_sg - end.gravity_sg.value) / sd_sg
    if not volume_read:
        return _below(high) - _below(low)
    low, high = max(low, -_WHOLE_SD), min(high, _WHOLE_SD)
    if low >= high:
        return 0.0
    sd_l = max(end.volume_l.sd, 1e-9)
    own_l = max(sd_l * math.sqrt(max(0.0, 1.0 - end.correlation**2)), 1e-9)
    total = 0.0
    for node, weight in zip(_NODES, _NODE_WEIGHTS, strict=True):
        off = 0.5 * (low + high) + 0.5 * (high - low) * float(node)
        middle_l = end.volume_l.value + end.correlation * sd_l * off
        above = _below((wanted.volume_l + wanted.volume_tolerance_l - middle_l) / own_l)
        below = _below((wanted.volume_l - wanted.volume_tolerance_l - middle_l) / own_l)
        total += float(weight) * math.exp(-0.5 * off**2) / math.sqrt(2.0 * math.pi) * (above - below)
    return min(1.0, max(0.0, 0.5 * (high - low) * total))


def _below(deviations: float) -> float:
    return 0.5 * (1.0 + math.erf(deviations / math.sqrt(2.0)))


def with_solids(belief: Belief, mass_kg: float, share: Measured) -> Belief:
    """The belief after `mass_kg` [kg] of solids with a `share` [kg/kg] of extract are dissolved."""
    water_kg, extract_kg, rate = belief.mean
    doubt = (mass_kg * share.sd) ** 2 * np.array([[1.0, -1.0, 0.0], [-1.0, 1.0, 0.0], [0.0, 0.0, 0.0]])
    mean = (water_kg + (1.0 - share.value) * mass_kg, extract_kg + share.value * mass_kg, rate)
    return replace(belief, mean=mean, covariance=belief.covariance + doubt)


def with_water(belief: Belief, water_l: float) -> Belief:
    """The belief after `water_l` [L at 20 °C] of water are poured in."""
    water_kg, extract_kg, rate = belief.mean
    return replace(belief, mean=(water_kg + water_l_to_kg(water_l), extract_kg, rate))


def over(belief: Belief, of: Callable[[float, float], float]) -> Measured:
    """What `of` a volume [L] and a gravity [SG] is, with its spread over the belief.

    Raises:
        OutsideRange: if `of` refuses the belief itself.
    """
    slopes = _slopes(belief, lambda volume_l, sg: (of(volume_l, sg),))[0]
    value = of(*extract.wort_from(belief.mean[1], belief.mean[0]))
    return Measured(value, math.sqrt(max(0.0, float(slopes @ belief.covariance[:2, :2] @ slopes))))


def _slopes(belief: Belief, of: Callable[[float, float], tuple[float, ...]]) -> Matrix:
    """Derivatives of each result by water and extract [per kg], a column each; one-sided at an edge."""
    water_kg, extract_kg, _ = belief.mean
    centre = np.array(of(*extract.wort_from(extract_kg, water_kg)))

    def at(more_water: float, more_extract: float) -> Matrix | None:
        try:
            return np.array(of(*extract.wort_from(extract_kg + more_extract, water_kg + more_water)))
        except OutsideRange:
            return None

    columns = []
    for shift in ((_STEP_KG, 0.0), (0.0, _STEP_KG)):
        above, below = at(*shift), at(-shift[0], -shift[1])
        if above is None and below is None:
            raise OutsideRange("The wort lies outside what can be reckoned with.")
        width = _STEP_KG * ((above is not None) + (below is not None))
        columns.append(((centre if above is None else above) - (centre if below is None else below)) / width)
    return np.column_stack(columns)
