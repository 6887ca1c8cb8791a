"""Is the beer finished, where will it end, has it stuck: what gravities read over days can tell, and what not.

Gravities are SG 20/20 °C, their uncertainty that of reading the same instrument again; an error that it always has
falls out of a difference. Times are seconds on any one clock.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.calculation.limits import require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import HIGHEST_SG, LOWEST_SG
from assistant.quantities import Measured, OutsideRange

_DAY_S: Final = 86_400.0
_SURE: Final = 1.645  # one side, 95 %
# Habits of the trade, given figures here: the same gravity over two or three days.
STEADY_SPAN_S: Final = 2.0 * _DAY_S
LOOK_BACK_S: Final = 5.0 * _DAY_S
STEADY_POINTS_PER_DAY: Final = 0.5
STUCK_ABOVE_POINTS: Final = 3.0
# No scale is read better than this.
_FINEST_SD_SG: Final = 0.0002

# Where ordinary beers end, and how fast they get there, for when nothing is known. Judgements.
FINAL_UNKNOWN: Final = Measured(1.010, 0.008)
_LOG_TAU_DAYS: Final = Measured(math.log(1.5), 0.8)
_TAU_GRID_DAYS: Final = np.geomspace(0.15, 20.0, 90)
_NEAR_END_SG: Final = 0.001

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class GravityAt:
    """A gravity [SG 20/20 °C] and when it was read [s]."""

    at_s: float
    sg: Measured


class Finish(StrEnum):
    """Whether a fermentation is over."""

    FINISHED = "finished"
    NOT_FINISHED = "not finished"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class FinishCall:
    """The state, its reason in one sentence, the fall [points/day] it rests on, and the level [SG] if steady."""

    state: Finish
    reason: str
    fall: Result | None = None
    level: Measured | None = None


class Stuck(StrEnum):
    """Whether a fermentation has stopped too early."""

    STUCK = "stuck"
    NOT_STUCK = "not stuck"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class StuckCall:
    """The state with its reason in one sentence."""

    state: Stuck
    reason: str


@dataclass(frozen=True, slots=True)
class EndForecast:
    """Where the gravity will end [SG], and in how many days after the last reading it is within a point of it."""

    final_sg: Result
    days_left: Result


def is_finished(readings: Sequence[GravityAt], expected_final: Measured | None = None) -> FinishCall:
    """Tell whether the beer of these `readings` [SG 20/20 °C over s] is finished, and why.

    Formula: fall = slope of a straight line by weighted least squares; steady if fall + 1.645 sd is at most 0.5
    points a day.

    Weighted straight lines through the last readings, over two to five days, give the fall [points/day]. The beer
    is finished when such a line tells, 95 to 5, a fall below 0.5 points a day and no fall for certain; not
    finished when all of them together tell a fall for certain. Otherwise nothing can be told, as when the gravity
    seems to rise. Steady beer more than 3 points above `expected_final` [SG], beyond the doubt in both, is not
    called finished.

    Bias: cold beer stands still and wakes up again; hops or fruit added late, and wild yeast, start it anew.

    Valid: readings in order of time, SG 0.98 to 1.17.

    Source: least squares and JCGM 100:2008; two days and 0.5 points are a habit of the trade, no source.

    Raises:
        OutsideRange: no reading, times that do not rise, or a gravity outside the range.

    >>> day = 86400.0
    >>> steady = [GravityAt(n * day, Measured(1.0105, 0.0005)) for n in (0, 2, 3)]
    >>> is_finished(steady).state.value
    'finished'
    >>> is_finished(steady[:1]).reason
    'There is one reading only: take another at least two days after it.'
    """
    _require_readings(readings)
    recent = _recent(readings)
    if len(recent) < 2:
        alone = "one reading only" if len(readings) == 1 else "one reading of the last five days only"
        return FinishCall(Finish.CANNOT_TELL, f"There is {alone}: take another at least two days after it.")
    for tail in _tails(recent):
        fall = _fall_points_per_day(tail)
        if fall.value - _SURE * fall.sd <= 0.0 <= fall.value + _SURE * fall.sd <= STEADY_POINTS_PER_DAY:
            return _steady(tail, fall, expected_final)
    fall = _fall_points_per_day(recent)
    span_days = (recent[-1].at_s - recent[0].at_s) / _DAY_S
    band = _band(fall)
    if fall.value - _SURE * fall.sd > 0.0:
        state, reason = Finish.NOT_FINISHED, f"It fell by {band} over the last {span_days:.1f} days."
    elif fall.value + _SURE * fall.sd < 0.0:
        state = Finish.CANNOT_TELL
        reason = f"It seems to rise, by {-fall.value:.1f} points a day: check the sample for gas and warmth."
    elif span_days * _DAY_S < STEADY_SPAN_S:
        state = Finish.CANNOT_TELL
        reason = f"The readings span {span_days:.1f} days only: take another at least two days after the first."
    else:
        state = Finish.CANNOT_TELL
        reason = f"A fall of {band} cannot be told from none: take another reading in a day or two."
    return FinishCall(state, reason, _trend(fall))


def is_stuck(readings: Sequence[GravityAt], expected_final: Measured) -> StuckCall:
    """Tell whether the beer of these `readings` [SG 20/20 °C over s] stopped above `expected_final` [SG], and why.

    Formula: steady, and more than 3 points and 1.645 sd above what is expected.

    Stuck is steady by the rule of `is_finished`, and more than 3 points above what is expected, beyond the doubt in
    both.

    Bias: a rule of the trade; a mash too hot or malt with much dextrin ends high without being stuck.

    Valid: readings in order of time, SG 0.98 to 1.17.

    Source: common practice, no source.

    Raises:
        OutsideRange: no reading, times that do not rise, or a gravity outside the range.

    >>> day = 86400.0
    >>> high = [GravityAt(n * day, Measured(1.022, 0.0005)) for n in (0, 2, 3)]
    >>> is_stuck(high, Measured(1.012, 0.002)).state.value
    'stuck'
    """
    call = is_finished(readings)
    if call.state is Finish.NOT_FINISHED:
        return StuckCall(Stuck.NOT_STUCK, call.reason)
    level = readings[-1].sg if call.level is None else call.level
    above = _points_above(level, expected_final)
    if above <= 0.0:
        return StuckCall(
            Stuck.NOT_STUCK,
            f"At {level.value:.4f} it is where {expected_final.value:.3f} was expected, within the doubt in both.",
        )
    if call.state is Finish.CANNOT_TELL:
        return StuckCall(Stuck.CANNOT_TELL, call.reason)
    return StuckCall(
        Stuck.STUCK,
        f"It stands still {above:.0f} points above the {expected_final.value:.3f} expected: warm it and rouse the "
        f"yeast, and read again in two days (common practice, no source).",
    )


def forecast_end(readings: Sequence[GravityAt], expected_final: Measured | None = None) -> EndForecast:
    """Tell where the gravity of these `readings` [SG 20/20 °C over s] will end, and when, with their bands.

    Formula: S(t) = F + (S0 - F) exp(-t/τ), averaged over τ by how well it fits.

    S(t) = F + (S0 - F) exp(-t/τ), from the last reading near the highest on. For each τ of a grid S0 and F follow
    by linear least squares, F with `expected_final` [SG] (or 1.010 ± 0.008) as one more reading; the answers are
    means over τ, weighted by how well it fits. Bands widen where the readings scatter more than they should.

    Bias: a description, no kinetics: a fermentation slows faster or slower than the line in its last points. The
    end is near the expected one as long as the readings say little; the verdict then says so.

    Valid: three readings or more that have fallen, the last 3 of their uncertainties below the highest.

    Source: first-order decay by least squares, JCGM 100:2008; where beers end and how fast are judgements.

    Raises:
        OutsideRange: too few readings, no fall, times that do not rise, or a gravity outside the range.

    >>> day, points = 86400.0, (50.0, 31.7, 21.7, 16.0, 12.9)
    >>> read = [GravityAt(n * day, Measured(1.0 + 0.001 * p, 0.0005)) for n, p in enumerate(points)]
    >>> end = forecast_end(read)
    >>> end.final_sg.value, end.days_left.value
    (1.009, 2.3)
    """
    _require_readings(readings)
    highest = max(reading.sg.value for reading in readings)
    first = max(
        index
        for index, reading in enumerate(readings)
        if reading.sg.value >= highest - max(_NEAR_END_SG, 2.0 * reading.sg.sd)
    )
    used = readings[first:]
    if len(used) < 3 or highest - used[-1].sg.value < 3.0 * _sd(used[-1]):
        raise OutsideRange(
            "An end can be forecast from three readings of a gravity that has fallen, not from these."
        )
    belief = expected_final or FINAL_UNKNOWN
    weight, finals, spread, days, days_spread = _over_tau(used, belief)
    final, final_sd = _mixture(weight, finals, spread)
    left, left_sd = _mixture(weight, days, days_spread)
    vague = final_sd > 0.7 * belief.sd
    note = "These readings say little about the end yet; it is mostly what was expected." if vague else ""
    verdict = Verdict.NEAR_LIMIT if vague else Verdict.INSIDE
    return EndForecast(
        Result(final, final_sd, "SG", "gravity decay", verdict, note),
        Result(max(left, 0.0), left_sd, "d", "gravity decay", verdict, note),
    )


def _over_tau(used: Sequence[GravityAt], belief: Measured) -> tuple[_Floats, _Floats, _Floats, _Floats, _Floats]:
    """For each τ: its weight, the end and its variance, the days left and their variance."""
    elapsed = np.array([(reading.at_s - used[0].at_s) / _DAY_S for reading in used])
    sds = np.array([_sd(reading) for reading in used])
    wanted = np.append(np.array([reading.sg.value for reading in used]) / sds, belief.value / belief.sd)
    fits = [_for_tau(float(tau), elapsed, sds, wanted, belief) for tau in _TAU_GRID_DAYS]
    misfits = np.array([fit[0] for fit in fits])
    # One end, one start and one rate are fitted, and the belief in the end counts as a reading.
    scatter = max(1.0, float(misfits.min()) / max(1, len(used) - 2))
    surprise = (np.log(_TAU_GRID_DAYS) - _LOG_TAU_DAYS.value) / _LOG_TAU_DAYS.sd
    weight = np.exp(-(misfits - misfits.min()) / (2.0 * scatter) - surprise**2 / 2.0)
    weight = weight * np.array([math.sqrt(max(0.0, float(np.linalg.det(fit[2])))) for fit in fits])
    ends, end_spread, days, days_spread = [], [], [], []
    for index, (tau, (_, solution, covariance)) in enumerate(zip(_TAU_GRID_DAYS, fits, strict=True)):
        start, end = float(solution[0]), float(solution[1])
        if start - end <= _NEAR_END_SG:
            weight[index] = 0.0
        above = max(start - end, 2.0 * _NEAR_END_SG)
        slope = np.array([tau / above, -tau / above])
        ends.append(end)
        end_spread.append(scatter * float(covariance[1, 1]))
        days.append(float(tau) * math.log(above / _NEAR_END_SG) - float(elapsed[-1]))
        days_spread.append(scatter * float(slope @ covariance @ slope))
    if not float(weight.sum()) > 0.0:
        raise OutsideRange("An end can be forecast from a gravity that falls and slows, not from these readings.")
    return weight / weight.sum(), np.array(ends), np.array(end_spread), np.array(days), np.array(days_spread)


def _for_tau(
    tau_days: float, elapsed: _Floats, sds: _Floats, wanted: _Floats, belief: Measured
) -> tuple[float, _Floats, _Floats]:
    """The misfit in units of variance, start and end [SG], and their covariance."""
    left = np.exp(-elapsed / tau_days)
    design = np.vstack((np.column_stack((left, 1.0 - left)) / sds[:, None], (0.0, 1.0 / belief.sd)))
    covariance = np.linalg.inv(design.T @ design)
    solution = covariance @ (design.T @ wanted)
    return float(np.sum((design @ solution - wanted) ** 2)), solution, covariance


def _mixture(weight: _Floats, values: _Floats, variances: _Floats) -> tuple[float, float]:
    mean = float(weight @ values)
    return mean, math.sqrt(float(weight @ (variances + (values - mean) ** 2)))


def _recent(readings: Sequence[GravityAt]) -> list[GravityAt]:
    return [reading for reading in readings if readings[-1].at_s - reading.at_s <= LOOK_BACK_S]


def _tails(recent: list[GravityAt]) -> list[list[GravityAt]]:
    """The last readings over at least two days, fewest first."""
    tails = [recent[start:] for start in range(len(recent) - 1)]
    return [tail for tail in reversed(tails) if tail[-1].at_s - tail[0].at_s >= STEADY_SPAN_S]


def _steady(tail: Sequence[GravityAt], fall: Measured, expected_final: Measured | None) -> FinishCall:
    level = _level(tail)
    above = _points_above(level, expected_final)
    if expected_final is not None and above > 0.0:
        return FinishCall(
            Finish.CANNOT_TELL,
            f"It stands still at {level.value:.4f}, {above:.0f} points above the {expected_final.value:.3f} "
            f"expected: it may be stuck, so do not bottle it.",
            _trend(fall),
            level,
        )
    days = (tail[-1].at_s - tail[0].at_s) / _DAY_S
    return FinishCall(
        Finish.FINISHED,
        f"It stood at {level.value:.4f} for {days:.1f} days, falling by {_band(fall)}; true if it stood warm.",
        _trend(fall),
        level,
    )


def _band(fall: Measured) -> str:
    # Adding 0.0 makes a rounded minus nothing plain nothing.
    return f"{round(fall.value, 1) + 0.0:.1f} ± {_SURE * fall.sd:.1f} points a day"


def _trend(fall: Measured) -> Result:
    return Result(fall.value, fall.sd, "points/day", "gravity trend")


def _fall_points_per_day(readings: Sequence[GravityAt]) -> Measured:
    days = np.array([(reading.at_s - readings[0].at_s) / _DAY_S for reading in readings])
    points = np.array([1000.0 * (reading.sg.value - 1.0) for reading in readings])
    weights = np.array([1.0 / (1000.0 * _sd(reading)) ** 2 for reading in readings])
    centred = days - float(weights @ days) / float(weights.sum())
    information = float(weights @ centred**2)
    return Measured(-float(weights @ (centred * points)) / information, 1.0 / math.sqrt(information))


def _level(readings: Sequence[GravityAt]) -> Measured:
    weights = [1.0 / _sd(reading) ** 2 for reading in readings]
    mean = sum(w * reading.sg.value for w, reading in zip(weights, readings, strict=True)) / sum(weights)
    return Measured(mean, 1.0 / math.sqrt(sum(weights)))


def _points_above(level: Measured, expected_final: Measured | None) -> float:
    """How far [points] the level is above what is expected; 0 where that is within 3 points or within the doubt."""
    if expected_final is None:
        return 0.0
    above = 1000.0 * (level.value - expected_final.value)
    doubt = 1000.0 * _SURE * math.hypot(level.sd, expected_final.sd)
    return above if above > max(STUCK_ABOVE_POINTS, doubt) else 0.0


def _sd(reading: GravityAt) -> float:
    return max(reading.sg.sd, _FINEST_SD_SG)


def _require_readings(readings: Sequence[GravityAt]) -> None:
    if not readings:
        raise OutsideRange("There must be at least one gravity reading to judge a fermentation by.")
    for reading in readings:
        require_within("A gravity of the fermentation", reading.sg.value, LOWEST_SG, HIGHEST_SG, "SG")
    rising = all(earlier.at_s < later.at_s for earlier, later in pairwise(readings))
    if not rising or not all(math.isfinite(reading.at_s) for reading in readings):
        raise OutsideRange("The times of the gravity readings must rise from one to the next.")
