"""A kettle being cooled: learn how fast from the temperatures as they are said, and tell when it will be cold.

A stirred kettle with a coil falls towards the water that runs through the coil: T(t) = Tc + (T0 - Tc) exp(-t/τ).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.quantities import Measured, OutsideRange

# Cooling water is liquid: from an ice bath to a tap in a hot summer. A judgement, for when nothing is known.
COOLANT_UNKNOWN: Final = Measured(15.0, 10.0)
# Kettles of this size cool with 3 to 60 minutes; so weak a belief (a factor of 4.5 either way) only keeps two poor
# readings from meaning anything at all. A judgement.
_LOG_TAU_BELIEF: Final = Measured(math.log(600.0), 1.5)
FASTEST_TAU_S: Final = 10.0
SLOWEST_TAU_S: Final = 200_000.0
# Half a degree Fahrenheit a minute; slower, nobody waits. A judgement.
SLOWEST_FALL_K_PER_S: Final = 0.3 / 60.0
_SURE_SD: Final = 1.645
# A rig that far from its own history is another rig (less stirring, another hose); a judgement.
_UNLIKE_HISTORY_SD: Final = 3.0

_NOT_COOLING: Final = "These temperatures do not show the kettle getting colder yet; say another in a minute."

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ChillFit:
    """What the readings say about the cooling.

    start_s: time of the first reading, on the clock of the readings.
    start_c: temperature of the wort then, °C.
    coolant_c: what the kettle falls towards, °C.
    tau_s: time in which the difference falls to 37 %, s.
    covariance: of (start_c, coolant_c, tau_s), 3 by 3, in their units.
    readings: how many were used.
    """

    start_s: float
    start_c: Measured
    coolant_c: Measured
    tau_s: Measured
    covariance: tuple[tuple[float, float, float], ...]
    readings: int


def fit_chill(
    times_s: Sequence[float],
    temperatures_c: Sequence[float],
    sd_c: float,
    coolant_prior: Measured | None,
    tau_prior: Measured | None = None,
) -> ChillFit:
    """Fit T(t) = Tc + (T0 - Tc) exp(-t/τ) to `temperatures_c` [°C] read at `times_s` [s], each with `sd_c` [°C].

    Weighted least squares in which `coolant_prior` [°C] counts as one more reading of the coolant. For every τ
    the best T0 and Tc follow by linear algebra; τ is searched for. Where the readings scatter more than `sd_c`,
    the uncertainties are widened by the ratio.

    `tau_prior` [s] is what the rig's history says of τ (`chill_design.tau_from_history`); it counts as one more
    reading of its logarithm, until three readings put τ three of its standard uncertainties off. With both priors
    one reading is enough: the forecast is then the rig's usual one.

    Without a prior of the coolant, three readings are needed, and it is only taken to be liquid water (15 ± 10 °C).
    Without one of τ, it is believed to be ten minutes within a factor of 4.5, which three ordinary readings
    outweigh (judgements both).

    Bias: a kettle that is not stirred cools slower, and its layers read differently; a coolant that warms up
    on the way is taken for a steady one in between.

    Valid: at least one reading with both priors, two with that of the coolant, three without; times rising, 0 to
    110 °C; of several, the last more than `sd_c` below the highest; τ 10 s to 55 h.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, with the
    effectiveness of a coil at a heat-capacity ratio of zero.

    Raises:
        OutsideRange: too few readings, times that do not rise, or a kettle that is not getting colder.

    >>> fit = fit_chill((0.0, 300.0, 600.0), (98.0, 47.215, 27.504), 0.1, Measured(15.0, 1.0))
    >>> fit.tau_s.value / 60.0, fit.coolant_c.value
    (5.28, 15.0)
    """
    require_positive("The uncertainty of the thermometer", sd_c, "°C")
    _require_readings(times_s, temperatures_c, coolant_prior, tau_prior)
    prior = _Beliefs(coolant_prior or COOLANT_UNKNOWN, _LOG_TAU_BELIEF if tau_prior is None else _log_of(tau_prior))
    elapsed = np.asarray(times_s, dtype=np.float64) - times_s[0]
    readings = np.asarray(temperatures_c, dtype=np.float64)
    if len(readings) > 1 and float(readings.max() - readings[-1]) <= sd_c:
        raise OutsideRange(_NOT_COOLING)
    tau_s = _best_tau_s(elapsed, readings, sd_c, prior)
    if len(readings) >= 3 and abs(_surprise(tau_s, prior.log_tau)) > _UNLIKE_HISTORY_SD:
        prior = replace(prior, log_tau=_LOG_TAU_BELIEF)
        tau_s = _best_tau_s(elapsed, readings, sd_c, prior)
    start_c, coolant_c, misfit = _for_tau(tau_s, elapsed, readings, sd_c, prior)
    covariance = _covariance(tau_s, start_c - coolant_c, elapsed, sd_c, prior)
    freedom = max(1, len(readings) + 2 - 3)
    covariance = covariance * max(1.0, misfit / freedom)
    sds = np.sqrt(np.diag(covariance))
    return ChillFit(
        start_s=float(times_s[0]),
        start_c=Measured(start_c, float(sds[0])),
        coolant_c=Measured(coolant_c, float(sds[1])),
        tau_s=Measured(tau_s, float(sds[2])),
        covariance=tuple((float(row[0]), float(row[1]), float(row[2])) for row in covariance),
        readings=len(readings),
    )


def temperature_at_c(fit: ChillFit, at_s: float) -> Measured:
    """Give the temperature [°C] that `fit` forecasts for the time `at_s` [s, on the clock of the readings].

    Bias: as `fit_chill`; a forecast knows nothing of a tap that is opened wider.

    Valid: times from the first reading on.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer; JCGM 100:2008,
    equation 13, for the uncertainty.

    Raises:
        OutsideRange: a time before the first reading.

    >>> fit = fit_chill((0.0, 300.0, 600.0), (98.0, 47.215, 27.504), 0.1, Measured(15.0, 1.0))
    >>> temperature_at_c(fit, 900.0).value
    19.85
    """
    require_at_least("The time of the forecast", at_s, fit.start_s, "s")
    elapsed_s = at_s - fit.start_s
    tau_s, span = fit.tau_s.value, fit.start_c.value - fit.coolant_c.value
    left = math.exp(-elapsed_s / tau_s)
    slope = (left, 1.0 - left, span * left * elapsed_s / tau_s**2)
    return Measured(fit.coolant_c.value + span * left, _sd(slope, fit))


def time_to_c(fit: ChillFit, target_c: float, now_s: float) -> Measured | None:
    """Give how long [s] from `now_s` [s, on the clock of the readings] until the kettle is at `target_c` [°C].

    t = τ ln[(T0 - Tc)/(T - Tc)], all of `fit`; 0 when it is there already; None when it will never get there,
    because the coolant is no colder than the target.

    Bias: close to the coolant the time grows without end, and so does its uncertainty; trust neither then.

    Valid: targets -5 to 110 °C, times from the first reading on.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer; JCGM 100:2008,
    equation 13, for the uncertainty.

    Raises:
        OutsideRange: outside that range.

    >>> fit = fit_chill((0.0, 300.0, 600.0), (98.0, 47.215, 27.504), 0.1, Measured(15.0, 1.0))
    >>> time_to_c(fit, 25.0, 600.0).value / 60.0
    1.18
    >>> time_to_c(fit, 12.0, 600.0) is None
    True
    """
    require_within("The target temperature", target_c, -5.0, 110.0, "°C")
    require_at_least("The time now", now_s, fit.start_s, "s")
    tau_s, span = fit.tau_s.value, fit.start_c.value - fit.coolant_c.value
    above = target_c - fit.coolant_c.value
    if above <= 0.0:
        return None
    log_ratio = math.log(span / above)
    slope = (tau_s / span, tau_s * (1.0 / above - 1.0 / span), log_ratio)
    remaining_s = fit.start_s + tau_s * log_ratio - now_s
    return Measured(max(0.0, remaining_s), _sd(slope, fit))


class ChillEnd(StrEnum):
    """How a chill will end, as far as it can be told."""

    REACHES = "reaches the target"
    STALLS = "stops above the target"
    CANNOT_TELL = "may or may not reach the target"


@dataclass(frozen=True, slots=True)
class ChillOutlook:
    """How it will end; where [°C] it is too slow to wait for; what remains [s] to the target, None if it stalls."""

    end: ChillEnd
    stops_near: Result
    remaining: Measured | None


def chill_outlook(
    fit: ChillFit, target_c: float, now_s: float, slowest_k_per_s: float = SLOWEST_FALL_K_PER_S
) -> ChillOutlook:
    """Tell whether the kettle of `fit` gets to `target_c` [°C] from `now_s` [s], or will stop above it.

    It "stops" where it falls slower than `slowest_k_per_s` [K/s]: at Tc + τ times that. Reached or stalled is told
    only where the target lies 1.645 standard uncertainties (90 % of cases) from there.

    Bias: as `fit_chill`. The slowest fall worth waiting for, 0.3 K a minute, is a judgement.

    Valid: targets -5 to 110 °C, times from the first reading on, a slowest fall > 0.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer; JCGM 100:2008,
    equation 13, for the uncertainty.

    Raises:
        OutsideRange: outside that range.

    >>> times = (0.0, 300.0, 600.0, 900.0, 1200.0)
    >>> fit = fit_chill(times, (98.0, 51.5, 33.6, 26.7, 24.0), 0.3, Measured(20.0, 3.0))
    >>> outlook = chill_outlook(fit, 19.0, 1200.0)
    >>> outlook.end.value, outlook.stops_near.value
    ('stops above the target', 23.9)
    """
    require_positive("The slowest fall worth waiting for", slowest_k_per_s, "K/s")
    remaining = time_to_c(fit, target_c, now_s)
    stops_c = fit.coolant_c.value + fit.tau_s.value * slowest_k_per_s
    sd_c = _sd((0.0, 1.0, slowest_k_per_s), fit)
    tap_c = fit.coolant_c.value
    note = f"The coolant is at {tap_c:.1f} °C, so it will stop near {stops_c:.1f} °C; use an ice bath from there."
    stops_near = Result(stops_c, sd_c, "°C", "cooling", Verdict.INSIDE, note)
    if remaining is not None and (not remaining.value or target_c > stops_c + _SURE_SD * sd_c):
        return ChillOutlook(ChillEnd.REACHES, replace(stops_near, note=""), remaining)
    if target_c < stops_c - _SURE_SD * sd_c:
        return ChillOutlook(ChillEnd.STALLS, stops_near, None)
    return ChillOutlook(ChillEnd.CANNOT_TELL, stops_near, remaining)


def _sd(slope: tuple[float, float, float], fit: ChillFit) -> float:
    gradient = np.asarray(slope)
    return math.sqrt(max(0.0, float(gradient @ np.asarray(fit.covariance) @ gradient)))


@dataclass(frozen=True, slots=True)
class _Beliefs:
    """What is known before the readings: the coolant [°C] and the logarithm of τ [s]."""

    coolant_c: Measured
    log_tau: Measured


def _log_of(tau_s: Measured) -> Measured:
    require_within("The time constant of the rig", tau_s.value, FASTEST_TAU_S, SLOWEST_TAU_S, "s")
    require_positive("The uncertainty of the rig's time constant", tau_s.sd, "s")
    return Measured(math.log(tau_s.value), tau_s.sd / tau_s.value)


def _require_readings(
    times_s: Sequence[float], temperatures_c: Sequence[float], prior: Measured | None, tau_prior: Measured | None
) -> None:
    if len(times_s) != len(temperatures_c):
        raise ValueError(f"{len(times_s)} times do not go with {len(temperatures_c)} temperatures")
    if prior is not None:
        require_positive("The uncertainty of the coolant", prior.sd, "°C")
    needed = 3 if prior is None else 2 if tau_prior is None else 1
    if len(times_s) < needed:
        kind = "temperature" if needed == 1 else "temperatures"
        raise OutsideRange(f"A chill forecast needs {needed} {kind}, not {len(times_s)}.")
    for temperature in temperatures_c:
        require_within("A temperature of the chill", temperature, 0.0, 110.0, "°C")
    if not all(math.isfinite(time) for time in times_s) or any(b <= a for a, b in pairwise(times_s)):
        raise OutsideRange("The times of the chill must rise from one temperature to the next.")


def _for_tau(
    tau_s: float, elapsed: _Floats, readings: _Floats, sd_c: float, prior: _Beliefs
) -> tuple[float, float, float]:
    """Best start and coolant [°C] for one τ, and the sum of squares in units of variance."""
    left = np.exp(-elapsed / tau_s)
    design = np.column_stack((left, 1.0 - left)) / sd_c
    coolant = prior.coolant_c
    design = np.vstack((design, (0.0, 1.0 / coolant.sd)))
    wanted = np.append(readings / sd_c, coolant.value / coolant.sd)
    solution = np.linalg.lstsq(design, wanted, rcond=None)[0]
    misfit = float(np.sum((design @ solution - wanted) ** 2)) + _surprise(tau_s, prior.log_tau) ** 2
    return float(solution[0]), float(solution[1]), misfit


def _surprise(tau_s: float, log_tau: Measured) -> float:
    return (math.log(tau_s) - log_tau.value) / log_tau.sd


def _best_tau_s(elapsed: _Floats, readings: _Floats, sd_c: float, prior: _Beliefs) -> float:
    def misfit(log_tau: float) -> float:
        start_c, coolant_c, squares = _for_tau(math.exp(log_tau), elapsed, readings, sd_c, prior)
        return squares if start_c - coolant_c > sd_c else math.inf

    grid = np.linspace(math.log(FASTEST_TAU_S), math.log(SLOWEST_TAU_S), 120)
    costs = [misfit(float(log_tau)) for log_tau in grid]
    best = int(np.argmin(costs))
    if not math.isfinite(costs[best]) or best in (0, len(grid) - 1):
        raise OutsideRange(_NOT_COOLING)
    return math.exp(_golden(misfit, float(grid[best - 1]), float(grid[best + 1])))


def _golden(function: Callable[[float], float], low: float, high: float) -> float:
    ratio = (math.sqrt(5.0) - 1.0) / 2.0
    left, right = high - ratio * (high - low), low + ratio * (high - low)
    at_left, at_right = function(left), function(right)
    while high - low > 1e-9:
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - ratio * (high - low)
            at_left = function(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + ratio * (high - low)
            at_right = function(right)
    return (low + high) / 2.0


def _covariance(tau_s: float, span: float, elapsed: _Floats, sd_c: float, prior: _Beliefs) -> _Floats:
    left = np.exp(-elapsed / tau_s)
    # The third column is per relative change of tau, which keeps the matrix well conditioned.
    rows = np.column_stack((left, 1.0 - left, span * left * elapsed / tau_s)) / sd_c
    beliefs = ((0.0, 1.0 / prior.coolant_c.sd, 0.0), (0.0, 0.0, 1.0 / prior.log_tau.sd))
    rows = np.vstack((rows, *beliefs))
    scale = np.diag((1.0, 1.0, tau_s))
    inverse = np.asarray(np.linalg.inv(rows.T @ rows), dtype=np.float64)
    return scale @ inverse @ scale
