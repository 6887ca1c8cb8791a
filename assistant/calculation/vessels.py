"""What a kettle holds at a depth, from its measures: a cylinder on a flat, spherical or torispherical bottom.

Depths are from the deepest point of the inside. The bottom is taken as bulging outward.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured

_LITRES_PER_M3: Final = 1000.0
_MOST_MARKS: Final = 500


class Bottom(StrEnum):
    """The shape under the cylinder."""

    FLAT = "flat"
    CAP = "spherical cap"
    TORISPHERICAL = "torispherical"


@dataclass(frozen=True, slots=True)
class Vessel:
    """An upright cylinder of inner `diameter_m` and `height_m` (its straight wall) on a `bottom`.

    dish_depth_m: depth of a spherical cap. dish_ratio, knuckle_ratio: radius of the dish and of the knuckle of a
    torispherical bottom over the diameter; 1.0 and 0.1 is the standard Klöpper head (DIN 28011), 0.8 and 0.154 the
    Korbbogen head (DIN 28013).
    """

    diameter_m: float
    height_m: float
    bottom: Bottom = Bottom.FLAT
    dish_depth_m: float = 0.0
    dish_ratio: float = 1.0
    knuckle_ratio: float = 0.1


def bottom_depth_m(vessel: Vessel) -> float:
    """Give how deep [m] the bottom of `vessel` is below its straight wall.

    Torispherical: f D (1 - cos α) + k D cos α, sin α = (1 - 2 k) / (2 (f - k)), f and k the two ratios.

    Valid: diameter > 0, dish 0 to half the diameter; f > 0.5 and 0 < k < 0.5.

    Source: geometry of sphere and torus; Jones, Chemical Processing, November 2003 (citation from memory).

    Raises:
        OutsideRange: outside that range.

    >>> bottom_depth_m(Vessel(0.40, 0.40, Bottom.TORISPHERICAL))
    0.07751
    """
    _require_vessel(vessel)
    if vessel.bottom is Bottom.TORISPHERICAL:
        dish_m, knuckle_m = _torispherical_m(vessel)
        return dish_m + knuckle_m
    return vessel.dish_depth_m if vessel.bottom is Bottom.CAP else 0.0


def volume_in_vessel_l(vessel: Vessel, depth_m: float) -> float:
    """Give the volume [L] in `vessel` filled `depth_m` [m] deep.

    Dish: π h² (R - h / 3). Knuckle: the integral of π (c + √(k² - u²))² from the dish upward, c = D/2 - k D.
    Wall: π D² h / 4.

    Bias: 1 % in the diameter is 2 % in the volume; what lies in the kettle is not seen, nor its widening with heat.

    Valid: depth from 0 to the rim.

    Source: geometry; Jones, Chemical Processing, November 2003 (citation from memory), as in a reference library
    for tanks, against which it is tested.

    Raises:
        OutsideRange: outside that range, with the depth of the rim.

    >>> volume_in_vessel_l(Vessel(0.40, 0.40, Bottom.TORISPHERICAL), 0.06)
    4.16229
    >>> volume_in_vessel_l(Vessel(0.40, 0.40, Bottom.CAP, 0.05), 0.10)
    9.49023
    """
    below_m = bottom_depth_m(vessel)
    require_within("The depth in the vessel", depth_m, 0.0, below_m + vessel.height_m, "m")
    depth_m = min(max(depth_m, 0.0), below_m + vessel.height_m)
    in_bottom_m = min(depth_m, below_m)
    wall_m3 = math.pi * vessel.diameter_m**2 / 4.0 * (depth_m - in_bottom_m)
    return _LITRES_PER_M3 * (_bottom_m3(vessel, in_bottom_m) + wall_m3)


def depth_in_vessel_m(vessel: Vessel, volume_l: float) -> float:
    """Give the depth [m] at which `volume_l` [L] stands in `vessel`; inverse of `volume_in_vessel_l`.

    Formula: the depth at which the volume in the vessel is the one asked for, by bisection.

    Valid: 0 to what the vessel holds to the rim.

    Source: inversion by bisection, to 1e-12 of the depth.

    Raises:
        OutsideRange: outside that range, with what the vessel holds.

    >>> depth_in_vessel_m(Vessel(0.40, 0.40, Bottom.CAP, 0.05), 9.49023)
    0.1000
    """
    low_m, high_m = 0.0, bottom_depth_m(vessel) + vessel.height_m
    require_within("The volume in the vessel", volume_l, 0.0, volume_in_vessel_l(vessel, high_m), "L")
    for _ in range(60):
        middle_m = (low_m + high_m) / 2.0
        if volume_in_vessel_l(vessel, middle_m) < volume_l:
            low_m = middle_m
        else:
            high_m = middle_m
    return (low_m + high_m) / 2.0


def dipstick_table(vessel: Vessel, step_m: float = 0.01) -> tuple[tuple[float, float], ...]:
    """Give a dipstick [(m, L) pairs] for `vessel`: from 0 to the rim every `step_m` [m], and at the rim.

    It serves `volumes.volume_at_depth_l` as it is.

    Bias: between marks that function draws straight lines; with 1 cm steps a dished bottom of 40 cm reads at most
    0.04 L high.

    Valid: step up to the height of the rim, at most 500 marks.

    Source: `volume_in_vessel_l`.

    Raises:
        OutsideRange: outside that range.

    >>> [(depth, round(litres, 2)) for depth, litres in dipstick_table(Vessel(0.36, 0.25), 0.1)]
    [(0.0, 0.0), (0.1, 10.18), (0.2, 20.36), (0.25, 25.45)]
    """
    rim_m = bottom_depth_m(vessel) + vessel.height_m
    require_positive("The step of the dipstick", step_m, "m")
    require_within("The step of the dipstick", step_m, rim_m / _MOST_MARKS, rim_m, "m")
    whole = math.floor(rim_m / step_m * (1.0 - 1e-12))
    depths = [*(round(mark * step_m, 9) for mark in range(whole + 1)), rim_m]
    return tuple((depth_m, volume_in_vessel_l(vessel, depth_m)) for depth_m in depths)


def vessel_volume_l(vessel: Vessel, depth_m: Measured, diameter_sd_m: float = 0.002) -> Result:
    """Tell the volume [L] in `vessel` at `depth_m` [m], its diameter known to `diameter_sd_m` [m].

    Formula: π D² h / 4 above the bottom; in a dish π h² (R - h / 3); in a knuckle the integral of its rings.

    Bias: as `volume_in_vessel_l`. The default of 2 mm is a tape across the rim (judgement).

    Valid: depth from 0 to the rim.

    Source: `volume_in_vessel_l`.

    Raises:
        OutsideRange: outside that range.

    >>> told = vessel_volume_l(Vessel(0.36, 0.40), Measured(0.30, 0.003))
    >>> told.value, told.sd
    (30.54, 0.46)
    """

    def volume(at_m: float, diameter_m: float) -> float:
        return volume_in_vessel_l(replace(vessel, diameter_m=diameter_m), at_m)

    told = propagate(volume, depth_m, Measured(vessel.diameter_m, diameter_sd_m))
    return Result(told.value, told.sd, "L", "geometry")


def _bottom_m3(vessel: Vessel, depth_m: float) -> float:
    if depth_m <= 0.0 or vessel.bottom is Bottom.FLAT:
        return 0.0
    if vessel.bottom is Bottom.CAP:
        radius_m = (vessel.diameter_m**2 / 4.0 + vessel.dish_depth_m**2) / (2.0 * vessel.dish_depth_m)
        return math.pi * depth_m**2 * (radius_m - depth_m / 3.0)
    dish_m, knuckle_m = _torispherical_m(vessel)
    in_dish_m = min(depth_m, dish_m)
    dish_m3 = math.pi * in_dish_m**2 * (vessel.dish_ratio * vessel.diameter_m - in_dish_m / 3.0)
    if depth_m <= dish_m:
        return dish_m3
    # u is the height still missing to the straight wall, from knuckle_m at the dish to 0 there.
    return dish_m3 + _knuckle_m3(vessel, knuckle_m) - _knuckle_m3(vessel, dish_m + knuckle_m - depth_m)


def _knuckle_m3(vessel: Vessel, u: float) -> float:
    k = vessel.knuckle_ratio * vessel.diameter_m
    c = vessel.diameter_m / 2.0 - k
    u = min(u, k)
    ring = u * math.sqrt(k * k - u * u) + k * k * math.asin(u / k)
    return math.pi * (c * c * u + c * ring + k * k * u - u**3 / 3.0)


def _torispherical_m(vessel: Vessel) -> tuple[float, float]:
    """Depths of the dish and of the knuckle above it."""
    f, k = vessel.dish_ratio, vessel.knuckle_ratio
    cos = math.sqrt(1.0 - ((1.0 - 2.0 * k) / (2.0 * (f - k))) ** 2)
    return vessel.diameter_m * f * (1.0 - cos), vessel.diameter_m * k * cos


def _require_vessel(vessel: Vessel) -> None:
    require_positive("The diameter", vessel.diameter_m, "m")
    require_at_least("The height of the wall", vessel.height_m, 0.0, "m")
    if vessel.bottom is Bottom.CAP:
        require_positive("The depth of the bottom", vessel.dish_depth_m, "m")
        require_within("The depth of the bottom", vessel.dish_depth_m, 0.0, vessel.diameter_m / 2.0, "m")
    if vessel.bottom is Bottom.TORISPHERICAL:
        require_within("The dish radius over the diameter", vessel.dish_ratio, 0.51, 10.0)
        require_within("The knuckle radius over the diameter", vessel.knuckle_ratio, 0.001, 0.499)
