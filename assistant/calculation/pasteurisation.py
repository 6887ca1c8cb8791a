"""Killing by heat: pasteurisation units of a temperature history."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from assistant.calculation.limits import require_at_least, require_within
from assistant.calculation.results import Result, Verdict
from assistant.quantities import Measured, OutsideRange

BASE: Final = 1.393
REFERENCE_C: Final = 60.0
LOWEST_C: Final = 0.0
HIGHEST_C: Final = 80.0
_USUAL_C: Final = 70.0
_SECONDS_PER_MINUTE: Final = 60.0
_LOG_BASE: Final = math.log(BASE)


def units_per_minute(temperature_c: float) -> float:
    """Give the pasteurisation units per minute [PU/min] at `temperature_c` [°C]: 1.393^(T - 60).

    Bias: the form with z = 7 K instead of 6.947 K is 0.5 % lower at 65 °C, 2.5 % at 70 and 5 % at 80.

    Valid: 0 to 80 °C; below 50 °C it counts for next to nothing.

    Source: Del Vecchio, Dayharsh and Baselt, Proceedings of the ASBC (1951) 45 (pages from memory); seen in
    secondary text.

    Raises:
        OutsideRange: outside that range.

    >>> units_per_minute(65.0)
    5.245
    """
    require_within("The temperature of the beer", temperature_c, LOWEST_C, HIGHEST_C, "°C")
    return float(BASE ** (temperature_c - REFERENCE_C))


def units(minutes: Measured, temperature_c: Measured) -> Result:
    """Give the pasteurisation units [PU] of `minutes` [min] at a steady `temperature_c` [°C].

    Formula: PU = minutes × 1.393^(T - 60).

    The uncertainty joins those of the two; a kelvin is a third of the units.

    Bias: as `units_per_minute`; what counts is the coldest place in the bottle.

    Valid: minutes >= 0, 0 to 80 °C; near the limit above 70 °C, where two published forms part.

    Source: as `units_per_minute`.

    Raises:
        OutsideRange: outside that range.

    >>> held = units(Measured(20.0, 0.5), Measured(63.0, 0.5))
    >>> held.value, held.sd
    (54.06, 9.06)
    """
    require_at_least("The time", minutes.value, 0.0, "min")
    rate = units_per_minute(temperature_c.value)
    value = minutes.value * rate
    sd = math.hypot(rate * minutes.sd, value * _LOG_BASE * temperature_c.sd)
    return Result(value, sd, "PU", "pasteurisation units", _verdict(temperature_c.value))


def units_of_history(times_s: Sequence[float], temperatures_c: Sequence[float], sd_c: float) -> Result:
    """Give the pasteurisation units [PU] of `temperatures_c` [°C] at `times_s` [s], straight lines in between.

    Formula: PU = ∫ 1.393^(T - 60) dt, straight lines between the readings.

    Each line is integrated exactly: Δt (r2 - r1)/ln(r2/r1) of the rates at its ends. `sd_c` [°C] is the error of
    the thermometer, taken as the same all along, so that the whole moves by a third for a kelvin.

    Bias: as `units`. Beer that warms slower and slower is above the line between two readings, which counts too
    little then; beer that cools slower and slower is below it, and the line counts too much.

    Valid: two readings or more in order of time, 0 to 80 °C; near the limit above 70 °C.

    Source: as `units_per_minute`; integration in closed form.

    Raises:
        OutsideRange: fewer than two readings, times that do not rise, or a temperature outside the range.
        ValueError: if times and temperatures are not equally many.

    >>> units_of_history((0.0, 600.0, 1800.0, 2400.0), (20.0, 62.0, 62.0, 25.0), 0.0).value
    41.8
    """
    if len(times_s) != len(temperatures_c):
        raise ValueError(f"{len(times_s)} times do not go with {len(temperatures_c)} temperatures")
    if len(times_s) < 2:
        raise OutsideRange("Pasteurisation units need at least two readings of the temperature.")
    if not all(math.isfinite(time) for time in times_s) or any(b <= a for a, b in pairwise(times_s)):
        raise OutsideRange("The times of the pasteurisation must rise from one reading to the next.")
    require_at_least("The uncertainty of the thermometer", sd_c, 0.0, "°C")
    rates = [units_per_minute(temperature) for temperature in temperatures_c]
    total = 0.0
    for (start_s, end_s), (first, last) in zip(pairwise(times_s), pairwise(rates), strict=True):
        total += (end_s - start_s) / _SECONDS_PER_MINUTE * _log_mean(first, last)
    verdict = _verdict(max(temperatures_c))
    return Result(total, total * _LOG_BASE * sd_c, "PU", "pasteurisation units", verdict)


def minutes_for_units(pasteurisation_units: float, temperature_c: Measured) -> Result:
    """Give how long [min] to hold `temperature_c` [°C] for `pasteurisation_units` [PU]; inverse of `units`.

    Formula: minutes = PU / 1.393^(T - 60).

    Valid: 0 PU and more, 0 to 80 °C; near the limit above 70 °C.

    Source: as `units_per_minute`.

    Raises:
        OutsideRange: outside that range.

    >>> minutes_for_units(15.0, Measured(62.0, 0.5)).value
    7.73
    """
    require_at_least("The pasteurisation wanted", pasteurisation_units, 0.0, "PU")
    minutes = pasteurisation_units / units_per_minute(temperature_c.value)
    sd = minutes * _LOG_BASE * temperature_c.sd
    return Result(minutes, sd, "min", "pasteurisation units", _verdict(temperature_c.value))


def _log_mean(first: float, last: float) -> float:
    log_ratio = math.log(last / first)
    # Close to level the quotient loses its digits; the series does not.
    if abs(log_ratio) < 1e-6:
        return first * (1.0 + log_ratio / 2.0)
    return (last - first) / log_ratio


def _verdict(highest_c: float) -> Verdict:
    return Verdict.NEAR_LIMIT if highest_c > _USUAL_C else Verdict.INSIDE
