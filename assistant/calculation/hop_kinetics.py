"""What heat does to alpha acid: first to iso-alpha acid, which is bitter, then on to what is not.

A history is a sequence of (time in s, temperature in °C) points, times not falling, straight lines between them;
two points of one time are a jump. `HopFractions` tells where one part of alpha acid has gone; its parts sum to 1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.quantities import OutsideRange

History = Sequence[tuple[float, float]]

LOWEST_C: Final = 0.0
HIGHEST_C: Final = 130.0
# The measurements of the source reach down to here; below, its equations are carried on.
MEASURED_FROM_C: Final = 90.0

_ZERO_C_K: Final = 273.15
_PER_MINUTE: Final = 1.0 / 60.0
# The rates change by 9 % in it; `after_history` tells what error that leaves.
_STEP_K: Final = 1.0


@dataclass(frozen=True, slots=True)
class HopFractions:
    """Where one part of alpha acid is: still `alpha`, now `iso`, or `degraded`; molecules per molecule, 0 to 1."""

    alpha: float
    iso: float
    degraded: float


FRESH: Final = HopFractions(1.0, 0.0, 0.0)


def isomerisation_rate_per_s(temperature_c: float) -> float:
    """Give the rate constant [1/s] of alpha acid turning to iso-alpha acid at `temperature_c` [°C].

    k1 = 7.9e11 exp(-11858 / T) per minute, T in K.

    Bias: about 10 % (the factor has two digits). The unit "per minute" is inferred, the abstract does not print it:
    it gives a half-life of 55 minutes at 100 °C. Measured in a buffer of pH 5.2 without trub or foam.

    Valid: 0 to 130 °C; measured from 90 to 130 °C, carried on below.

    Source: Malowicki and Shellhammer, J. Agric. Food Chem. 53 (2005) 4434 (abstract read). Jaskula et al., ibid. 56
    (2008) 6408 (abstract read), find the first order and the Arrhenius law from 80 °C on.

    Raises:
        OutsideRange: outside that range.

    >>> 60.0 * isomerisation_rate_per_s(100.0)
    0.01249
    """
    require_within("The temperature of the hops", temperature_c, LOWEST_C, HIGHEST_C, "°C")
    return 7.9e11 * math.exp(-11858.0 / (temperature_c + _ZERO_C_K)) * _PER_MINUTE


def degradation_rate_per_s(temperature_c: float) -> float:
    """Give the rate constant [1/s] of iso-alpha acid being lost at `temperature_c` [°C].

    k2 = 4.1e12 exp(-12994 / T) per minute, T in K.

    Bias: as `isomerisation_rate_per_s`.

    Valid: 0 to 130 °C; measured from 90 to 130 °C, carried on below.

    Source: Malowicki and Shellhammer, J. Agric. Food Chem. 53 (2005) 4434 (abstract read).

    Raises:
        OutsideRange: outside that range.

    >>> 60.0 * degradation_rate_per_s(100.0)
    0.00309
    """
    require_within("The temperature of the hops", temperature_c, LOWEST_C, HIGHEST_C, "°C")
    return 4.1e12 * math.exp(-12994.0 / (temperature_c + _ZERO_C_K)) * _PER_MINUTE


def after_holding(
    temperature_c: float, seconds: float, start: HopFractions = FRESH, rate_factor: float = 1.0
) -> HopFractions:
    """Give where `start` [fractions] has gone after `seconds` [s] at a steady `temperature_c` [°C].

    For fresh alpha acid: iso = k1 / (k2 - k1) (exp(-k1 t) - exp(-k2 t)); exact. `rate_factor`
    [ratio] multiplies both rates, to see what their error does.

    Bias: as `isomerisation_rate_per_s`.

    Valid: 0 to 130 °C, time >= 0, factor > 0.

    Source: Malowicki and Shellhammer (2005); two consecutive first-order reactions in closed form.

    Raises:
        OutsideRange: outside that range.

    >>> after_holding(100.0, 3600.0).iso
    0.476
    """
    require_at_least("The time in the kettle", seconds, 0.0, "s")
    require_positive("The factor of the rates", rate_factor)
    scaled_s = seconds * rate_factor
    turned = isomerisation_rate_per_s(temperature_c) * scaled_s
    lost = degradation_rate_per_s(temperature_c) * scaled_s
    return _advanced(start, turned, lost)


def after_history(history: History, from_s: float, until_s: float, rate_factor: float = 1.0) -> HopFractions:
    """Give where alpha acid put in at `from_s` [s] has gone by `until_s` [s] on the clock of `history` [(s, °C)].

    Steady stretches are exact; where the temperature moves, it is followed in steps of 1 K with the rates
    integrated by Simpson's rule. `rate_factor` [ratio] multiplies both rates, to see what their error does.

    Bias: as `isomerisation_rate_per_s`; the steps are good to 1e-7 of the alpha acid in an open kettle, to 3e-6
    where it is heated to 130 °C.

    Valid: both times within the history, until >= from, 0 to 130 °C, factor > 0.

    Source: Malowicki and Shellhammer (2005).

    Raises:
        OutsideRange: outside that range.
        ValueError: if the history has fewer than two points or its times fall.

    >>> after_history([(0.0, 100.0), (3600.0, 100.0)], 0.0, 3600.0).iso
    0.476
    >>> after_history([(0.0, 100.0), (3600.0, 100.0), (5400.0, 25.0)], 3600.0, 5400.0).iso
    0.0534
    """
    require_positive("The factor of the rates", rate_factor)
    fractions = FRESH
    for _, turned, lost in _exposures(history, from_s, until_s):
        fractions = _advanced(fractions, turned * rate_factor, lost * rate_factor)
    return fractions


def iso_at_end(
    history: History, in_at_s: Sequence[float], until_s: float, rate_factor: float = 1.0
) -> tuple[float, ...]:
    """Give the iso-alpha acid [0 to 1] of each addition at `until_s` [s], in the order of `in_at_s` [s].

    As `after_history` on the clock of `history` [(s, °C)], but in one walk for a whole hop bill; an addition that
    is not yet in gives 0. `rate_factor` [ratio] multiplies both rates.

    Bias: as `after_history`.

    Valid: all times within the history, 0 to 130 °C, factor > 0.

    Source: Malowicki and Shellhammer (2005).

    Raises:
        OutsideRange: outside that range.
        ValueError: if the history has fewer than two points or its times fall.

    >>> iso_at_end([(0.0, 100.0), (3600.0, 100.0)], (0.0, 1800.0, 3600.0), 3600.0)
    (0.476, 0.298, 0.0)
    """
    require_positive("The factor of the rates", rate_factor)
    for at_s in in_at_s:
        _require_history(history, min(at_s, until_s), max(at_s, until_s))
    moments = sorted({at_s for at_s in in_at_s if at_s < until_s} | {until_s})
    from_alpha, from_iso = 0.0, 1.0
    made = {until_s: 0.0}
    for start_s, end_s in reversed(list(pairwise(moments))):
        stretch, kept = FRESH, 1.0
        for _, turned, lost in _exposures(history, start_s, end_s):
            stretch = _advanced(stretch, turned * rate_factor, lost * rate_factor)
            kept *= math.exp(-lost * rate_factor)
        from_alpha = stretch.alpha * from_alpha + stretch.iso * from_iso
        from_iso *= kept
        made[start_s] = from_alpha
    return tuple(made.get(at_s, 0.0) for at_s in in_at_s)


def share_turned_below(history: History, from_s: float, until_s: float, limit_c: float) -> float:
    """Give the share [0 to 1] of the isomerisation between `from_s` and `until_s` [s] that is under `limit_c` [°C].

    On the clock of `history` [(s, °C)]; 0 when nothing is isomerised at all. Tells how far a result leans on rates
    that were carried on below the measurements.

    Valid: as `after_history`.

    Source: Malowicki and Shellhammer (2005).

    Raises:
        OutsideRange: outside that range.
        ValueError: if the history has fewer than two points or its times fall.

    >>> share_turned_below([(0.0, 100.0), (3600.0, 100.0), (5400.0, 25.0)], 0.0, 5400.0, 90.0)
    0.0179
    """
    alpha, below = 1.0, 0.0
    for middle_c, turned, _ in _exposures(history, from_s, until_s):
        left = alpha * math.exp(-turned)
        below += (alpha - left) * (middle_c < limit_c)
        alpha = left
    return below / (1.0 - alpha) if alpha < 1.0 else 0.0


def time_of_most_iso_s(temperature_c: float) -> float:
    """Give the time [s] at `temperature_c` [°C] after which fresh alpha acid has made all the iso it ever will.

    t = ln(k1 / k2) / (k1 - k2); boiling on from there loses bitterness.

    Bias: as `isomerisation_rate_per_s`.

    Valid: 0 to 130 °C.

    Source: Malowicki and Shellhammer (2005); maximum of the closed form.

    Raises:
        OutsideRange: outside that range.

    >>> time_of_most_iso_s(100.0) / 60.0
    148.6
    """
    turning, losing = isomerisation_rate_per_s(temperature_c), degradation_rate_per_s(temperature_c)
    return math.log(turning / losing) / (turning - losing)


def time_for_iso_s(iso_fraction: float, temperature_c: float) -> float:
    """Give the shortest time [s] at `temperature_c` [°C] after which `iso_fraction` [0 to 1] of alpha acid is iso.

    Inverse of `after_holding`, by bisection before the time of most iso.

    Bias: as `isomerisation_rate_per_s`.

    Valid: 0 to 130 °C; fractions from 0 to the most that this temperature can give.

    Source: Malowicki and Shellhammer (2005).

    Raises:
        OutsideRange: outside that range, with the most that there is.

    >>> time_for_iso_s(0.4753, 94.984) / 60.0
    91.7
    """
    longest_s = time_of_most_iso_s(temperature_c)
    most = after_holding(temperature_c, longest_s).iso
    require_within("The isomerised fraction", iso_fraction, 0.0, most)
    low, high = 0.0, longest_s
    for _ in range(80):
        middle = (low + high) / 2.0
        if after_holding(temperature_c, middle).iso < iso_fraction:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _advanced(start: HopFractions, turned: float, lost: float) -> HopFractions:
    """Both reactions on, `turned` = ∫k1 dt and `lost` = ∫k2 dt; exact for rates in a fixed ratio."""
    excess = turned - lost
    made = turned * math.exp(-lost) * (-math.expm1(-excess) / excess if excess else 1.0)
    alpha = start.alpha * math.exp(-turned)
    iso = start.iso * math.exp(-lost) + start.alpha * made
    return HopFractions(alpha, iso, max(0.0, start.alpha + start.iso + start.degraded - alpha - iso))


_Exposure = tuple[float, float, float]


def _exposures(history: History, from_s: float, until_s: float) -> tuple[_Exposure, ...]:
    """Pieces from `from_s` to `until_s`: middle temperature [°C], ∫k1 dt, ∫k2 dt."""
    _require_history(history, from_s, until_s)
    return _pieces(tuple(history), from_s, until_s)


# A forecast walks the same history for each doubt about the rates.
@lru_cache(maxsize=64)
def _pieces(history: tuple[tuple[float, float], ...], from_s: float, until_s: float) -> tuple[_Exposure, ...]:
    pieces: list[_Exposure] = []
    for (start_s, start_c), (end_s, end_c) in pairwise(history):
        first_s, last_s = max(start_s, from_s), min(end_s, until_s)
        if last_s <= first_s:
            continue
        slope = (end_c - start_c) / (end_s - start_s)
        first_c = start_c + slope * (first_s - start_s)
        last_c = start_c + slope * (last_s - start_s)
        steps = max(1, math.ceil(abs(last_c - first_c) / _STEP_K))
        for step in range(steps):
            low_c = first_c + (last_c - first_c) * step / steps
            high_c = first_c + (last_c - first_c) * (step + 1) / steps
            pieces.append(_exposure(low_c, high_c, (last_s - first_s) / steps))
    return tuple(pieces)


def _exposure(start_c: float, end_c: float, seconds: float) -> _Exposure:
    middle_c = (start_c + end_c) / 2.0
    if start_c == end_c:
        return middle_c, isomerisation_rate_per_s(middle_c) * seconds, degradation_rate_per_s(middle_c) * seconds
    points = ((start_c, 1.0), (middle_c, 4.0), (end_c, 1.0))
    turned = sum(weight * isomerisation_rate_per_s(at_c) for at_c, weight in points)
    lost = sum(weight * degradation_rate_per_s(at_c) for at_c, weight in points)
    return middle_c, turned * seconds / 6.0, lost * seconds / 6.0


def _require_history(history: History, from_s: float, until_s: float) -> None:
    if len(history) < 2 or not all(a[0] <= b[0] for a, b in pairwise(history)):
        raise ValueError("A temperature history needs at least two points, with times that do not fall.")
    require_within("The time the hops go in", from_s, history[0][0], history[-1][0], "s")
    require_within("The time asked for", until_s, history[0][0], history[-1][0], "s")
    if until_s < from_s and not math.isclose(until_s, from_s):
        raise OutsideRange(f"The hops go in at {from_s:g} s, which is after the time asked for, {until_s:g} s.")
