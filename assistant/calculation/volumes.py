"""How much is in the kettle: from a dipstick, from its width, and what heat does to it.

A dipstick is a tuple of (depth in m, volume in L) pairs, both rising, at least two.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from assistant.calculation import sucrose, water
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.scales import REFERENCE_C, mass_fraction_from_sg

Dipstick = Sequence[tuple[float, float]]

# Wort boils a little above water, and thermometers show more still; no open kettle is hotter than this.
HOTTEST_WORT_C: Final = 105.0

_LITRES_PER_M3: Final = 1000.0


def volume_at_depth_l(depth_m: float, dipstick: Dipstick) -> float:
    """Give the volume [L] at `depth_m` [m] on `dipstick` [(m, L) pairs]: straight lines between its marks.

    Formula: straight lines between the marks of the dipstick.

    Bias: it is the volume as hot as it stands, see `volume_at_20c_l`; a curved bottom between two marks reads
    low or high by what the line cuts off.

    Valid: from the lowest to the highest mark; nothing is guessed beyond them.

    Source: linear interpolation in the brewer's own marks.

    Raises:
        OutsideRange: off the stick, with its ends.
        ValueError: if the marks do not rise, lie below 0 or are fewer than two.

    >>> volume_at_depth_l(0.31, ((0.05, 4.0), (0.30, 25.0), (0.45, 38.0)))
    25.867
    """
    _require_marks(dipstick)
    require_within("The depth on the dipstick", depth_m, dipstick[0][0], dipstick[-1][0], "m")
    return _interpolated(depth_m, dipstick)


def depth_of_volume_m(volume_l: float, dipstick: Dipstick) -> float:
    """Give the depth [m] on `dipstick` [(m, L) pairs] at which `volume_l` [L] stands.

    Formula: straight lines between the marks of the dipstick, read backwards.

    Inverse of `volume_at_depth_l`.

    Valid: from the volume of the lowest to that of the highest mark.

    Source: linear interpolation in the brewer's own marks.

    Raises:
        OutsideRange: off the stick, with its ends.
        ValueError: if the marks do not rise, lie below 0 or are fewer than two.

    >>> depth_of_volume_m(25.0, ((0.05, 4.0), (0.30, 25.0), (0.45, 38.0)))
    0.30
    """
    _require_marks(dipstick)
    require_within("The volume on the dipstick", volume_l, dipstick[0][1], dipstick[-1][1], "L")
    return _interpolated(volume_l, tuple((volume, depth) for depth, volume in dipstick))


def cylinder_volume_l(depth_m: float, diameter_m: float) -> float:
    """Give the volume [L] of an upright cylinder of inner `diameter_m` [m] filled `depth_m` [m] deep: π d² h / 4.

    Bias: 1 % in the diameter is 2 % in the volume; rounded corners and what lies in the kettle are not seen.

    Valid: depth >= 0, diameter > 0.

    Source: Euclid, Elements XII, propositions 10 to 14 (the cylinder); π to machine precision.

    Raises:
        OutsideRange: outside that range.

    >>> cylinder_volume_l(0.30, 0.36)
    30.536
    """
    require_at_least("The depth", depth_m, 0.0, "m")
    require_positive("The diameter", diameter_m, "m")
    return _LITRES_PER_M3 * math.pi * diameter_m**2 / 4.0 * depth_m


def volume_at_20c_l(volume_l: float, temperature_c: float, sg: float) -> float:
    """Give the volume [L] at 20 °C of wort of `sg` [20/20 °C] that fills `volume_l` [L] at `temperature_c` [°C].

    Formula: V20 = V ρ(w, t) / ρ(w, 20): the mass stays. From 100 °C it shrinks by 4.0 %.

    Bias: the kettle widens too: marks made cold hold about 0.3 to 0.4 % more when a steel kettle boils, which is
    left out (a judgement from 17e-6 /K). Below 1.000 the wort is taken to shrink as water does. Above 100 °C, where
    the densities end, it counts as 100: 0.08 % for each kelvin.

    Valid: volume >= 0, 0 to 105 °C, SG 0.98 to 1.17.

    Source: Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> volume_at_20c_l(26.0, 98.0, 1.048)
    25.0
    """
    require_at_least("The volume", volume_l, 0.0, "L")
    return volume_l * _shrinking(temperature_c, sg)


def volume_at_temperature_l(volume_at_20c_l: float, temperature_c: float, sg: float) -> float:
    """Give the volume [L] at `temperature_c` [°C] of wort of `sg` [20/20 °C] that is `volume_at_20c_l` [L] cold.

    Inverse of `volume_at_20c_l`, with its bias.

    Valid: volume >= 0, 0 to 105 °C, SG 0.98 to 1.17.

    Source: Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> volume_at_temperature_l(25.0, 98.0, 1.048)
    26.0
    """
    require_at_least("The volume", volume_at_20c_l, 0.0, "L")
    return volume_at_20c_l / _shrinking(temperature_c, sg)


def _shrinking(temperature_c: float, sg: float) -> float:
    mass_fraction = max(0.0, mass_fraction_from_sg(sg))
    require_within("The temperature of the wort", temperature_c, water.LOWEST_C, HOTTEST_WORT_C, "°C")
    hot_kg_m3 = sucrose.density_kg_m3(mass_fraction, min(temperature_c, water.HIGHEST_C))
    return hot_kg_m3 / sucrose.density_kg_m3(mass_fraction, REFERENCE_C)


def _require_marks(dipstick: Dipstick) -> None:
    rising = all(a[0] < b[0] and a[1] < b[1] for a, b in pairwise(dipstick))
    real = all(0.0 <= figure < math.inf for mark in dipstick for figure in mark)
    if len(dipstick) < 2 or not rising or not real:
        raise ValueError("A dipstick needs at least two marks of depth and volume, none below 0, both rising.")


def _interpolated(at: float, points: Sequence[tuple[float, float]]) -> float:
    above = next((i for i in range(1, len(points)) if at <= points[i][0]), len(points) - 1)
    (low, at_low), (high, at_high) = points[above - 1], points[above]
    share = min(max((at - low) / (high - low), 0.0), 1.0)
    return (1.0 - share) * at_low + share * at_high
