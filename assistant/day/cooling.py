"""How the kettle cools, from the temperatures as they are said: a Gaussian filter over kettle, coolant and chiller.

The state is the temperature of the wort [°C], that of the coolant [°C], and the logarithm of the chiller's time
constant τ [s]; between two readings the wort falls towards the coolant, T' = Tc + (T - Tc) exp(-t/τ). It begins
with what is known: boiling point, tap by the plan, and τ from the rig's earlier days or from the water's flow.

`calculation.chill.fit_chill` solves the same least squares over all readings at once; on readings that fit, both
say the same (a test holds it). The day uses the filter, because three things can only be told reading by reading:
- what the next reading should be, so that "sixteen" for "sixty" is set aside and asked about;
- that two readings which agree with each other and not with the belief mean another flow: it starts anew from them;
- that stirring and flow drift, so that old readings count for less.
Time, target and where it stops are told by `chill.chill_outlook` from the belief.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.calculation import chill
from assistant.calculation.chill import ChillEnd, ChillFit
from assistant.day import kettle, rig
from assistant.day.estimate import SET_ASIDE_SD, Verdict
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.quantities import Measured, OutsideRange

# Stirring and flow drift: τ wanders by this share of itself in a square root of an hour (judgement).
WANDER_PER_ROOT_H: Final = 0.15
# The wort as the cooling water is said to run: half a minute between the tap and the word is five kelvin at the
# speed of a good coil; each minute that it waits uncooled adds to that (judgements).
_START_SD_C: Final = 5.0
_START_SD_C_PER_MIN: Final = 0.5
# The thermometer is not the whole kettle: layers that stirring leaves (judgement).
LAYERS_SD_C: Final = 0.5
_AGREE_SD: Final = 3.0
# Another flow, another τ: a factor of two either way; and a coolant that is less sure than it was (judgements).
_NEW_LOG_TAU_SD: Final = 0.7
_NEW_COOLANT_SD_C: Final = 2.0
_ROUNDS: Final = 12
_CLOSE_ENOUGH: Final = 1e-7
_LEAST_S: Final = 1e-3
# The 90 % band of a time is looked for this far ahead, in steps of this length.
_NINETY_PERCENT_SD: Final = 1.645
_HORIZON_S: Final = 3.0 * 3600.0
_STEP_S: Final = 5.0

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Temperature:
    """A temperature of the wort [°C] read at `at_s` [s of the day], with its standard uncertainty."""

    at_s: float
    value_c: float
    sd_c: float


@dataclass(frozen=True, slots=True)
class Cooling:
    """What is believed of the chill at `at_s` [s of the day].

    mean: wort [°C], coolant [°C], natural logarithm of τ [s]; covariance: 3 by 3 in the products of these units.
    doubted: the last reading, where it was set aside. taken: how many were believed.
    """

    at_s: float
    mean: tuple[float, float, float]
    covariance: _Floats = field(repr=False)
    doubted: Temperature | None = None
    taken: int = 0


def begin(at_s: float, start_c: Measured, coolant_c: Measured, log_tau: Measured) -> Cooling:
    """The belief as the cooling water is turned on, before any reading."""
    known = (start_c, coolant_c, log_tau)
    mean = (start_c.value, coolant_c.value, log_tau.value)
    return Cooling(at_s, mean, np.diag([item.sd**2 for item in known]))


def later(belief: Cooling, at_s: float) -> Cooling:
    """The belief carried on to `at_s`; it never goes back."""
    seconds = max(0.0, at_s - belief.at_s)
    return belief if seconds == 0.0 else _arrived(belief, *_with_drift(belief, seconds), seconds)


def take(belief: Cooling, seen: Temperature) -> tuple[Cooling, Verdict]:
    """The belief after one reading; one too far off is set aside, unless the last set aside agrees with it."""
    if surprise(belief, seen) <= SET_ASIDE_SD:
        return replace(_updated(belief, seen), doubted=None), Verdict.TAKEN
    earlier = belief.doubted
    if earlier is None or not _agree(belief, earlier, seen):
        return replace(belief, doubted=seen), Verdict.SET_ASIDE
    return _updated(_anew(belief, earlier), seen), Verdict.AGREES


def follow(belief: Cooling, readings: Sequence[Temperature]) -> tuple[Cooling, tuple[Verdict, ...]]:
    """The belief after all `readings`, which are in order of time, and what became of each."""
    verdicts = []
    for seen in readings:
        belief, verdict = take(belief, seen)
        verdicts.append(verdict)
    return belief, tuple(verdicts)


def surprise(belief: Cooling, seen: Temperature) -> float:
    """How far a reading lies from the belief, in standard deviations of their difference."""
    now = later(belief, seen.at_s)
    return abs(seen.value_c - now.mean[0]) / math.sqrt(float(now.covariance[0, 0]) + _variance(seen))


def as_fit(belief: Cooling) -> ChillFit:
    """The belief in the form that `calculation.chill` forecasts from."""
    tau_s = math.exp(belief.mean[2])
    scale = np.diag((1.0, 1.0, tau_s))
    covariance = scale @ belief.covariance @ scale
    sds = np.sqrt(np.diag(covariance))
    return ChillFit(
        start_s=belief.at_s,
        start_c=Measured(belief.mean[0], float(sds[0])),
        coolant_c=Measured(belief.mean[1], float(sds[1])),
        tau_s=Measured(tau_s, float(sds[2])),
        covariance=tuple((float(row[0]), float(row[1]), float(row[2])) for row in covariance),
        readings=belief.taken,
    )


def _falls_to(wort_c: float, coolant_c: float, log_tau: float, seconds: float) -> float:
    return coolant_c + (wort_c - coolant_c) * math.exp(-seconds / math.exp(log_tau))


def _after(at: _Floats, seconds: float) -> float:
    """The wort `seconds` after a state with its drift, which makes the average log τ of this time another."""
    return _falls_to(float(at[0]), float(at[1]), float(at[2] + at[3]), seconds)


def _slope(at: _Floats, seconds: float) -> _Floats:
    """Derivatives of the wort's temperature `seconds` later by wort, coolant, log τ and drift."""
    in_tau = seconds / math.exp(float(at[2] + at[3]))
    left = math.exp(-in_tau)
    by_log_tau = float(at[0] - at[1]) * left * in_tau
    return np.array([left, 1.0 - left, by_log_tau, by_log_tau])


def _with_drift(belief: Cooling, seconds: float) -> tuple[_Floats, _Floats]:
    """Mean and covariance with a fourth: how far log τ will lie off on average until `seconds` from now.

    A random walk of variance q t at its end has a third of it on average over the time.
    """
    covariance = np.zeros((4, 4))
    covariance[:3, :3] = belief.covariance
    covariance[3, 3] = _walk(seconds) / 3.0
    return np.array((*belief.mean, 0.0)), covariance


def _arrived(belief: Cooling, at: _Floats, covariance: _Floats, seconds: float) -> Cooling:
    """The belief `seconds` later, from a state with its drift; the walk ends 1.5 times its average away."""
    onward = np.array([_slope(at, seconds), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 1.5)])
    arrived = onward @ covariance @ onward.T
    arrived[2, 2] += _walk(seconds) / 4.0
    mean = (_after(at, seconds), float(at[1]), float(at[2] + 1.5 * at[3]))
    return replace(belief, at_s=belief.at_s + seconds, mean=mean, covariance=arrived)


def _walk(seconds: float) -> float:
    """Variance of log τ that the drift adds in so many seconds."""
    return WANDER_PER_ROOT_H**2 * seconds / 3600.0


def _variance(seen: Temperature) -> float:
    return seen.sd_c**2 + LAYERS_SD_C**2


def _updated(belief: Cooling, seen: Temperature) -> Cooling:
    """One reading weighed in, the curve taken anew where the belief moves to (Gauss-Newton with halved steps).

    It is weighed against the belief of the last reading's time, since the curve between bends with τ.
    """
    seconds = max(0.0, seen.at_s - belief.at_s)
    prior, covariance = _with_drift(belief, max(seconds, _LEAST_S))
    inverse, variance = np.linalg.inv(covariance), _variance(seen)

    def cost(at: _Floats) -> float:
        off = at - prior
        return float(off @ inverse @ off) + (seen.value_c - _after(at, seconds)) ** 2 / variance

    at, gain, slope = prior, np.zeros(4), np.zeros(4)
    for _ in range(_ROUNDS):
        slope = _slope(at, seconds)
        spread = covariance @ slope
        gain = spread / (float(slope @ spread) + variance)
        wanted = prior + gain * (seen.value_c - _after(at, seconds) - float(slope @ (prior - at)))
        moved, share = wanted, 1.0
        while cost(moved) > cost(at) and share > 0.05:
            share *= 0.5
            moved = at + share * (wanted - at)
        done = float(np.max(np.abs(moved - at))) < _CLOSE_ENOUGH
        at = moved
        if done:
            break
    keep = np.eye(4) - np.outer(gain, slope)
    narrowed = keep @ covariance @ keep.T + np.outer(gain, gain) * variance
    return replace(_arrived(belief, at, narrowed, seconds), taken=belief.taken + 1)


def _agree(belief: Cooling, earlier: Temperature, seen: Temperature) -> bool:
    """Whether two readings can be of one kettle that cools: no warmer than before, and not faster than ever."""
    apart_sd = math.sqrt(_variance(earlier) + _variance(seen))
    coolant_c, log_tau = belief.mean[1], belief.mean[2]
    fastest = (earlier.value_c, min(coolant_c, earlier.value_c), log_tau - _NEW_LOG_TAU_SD)
    coldest_c = _falls_to(*fastest, seen.at_s - earlier.at_s)
    return coldest_c - _AGREE_SD * apart_sd <= seen.value_c <= earlier.value_c + _AGREE_SD * apart_sd


def _anew(belief: Cooling, earlier: Temperature) -> Cooling:
    """The belief begun again at a reading that was set aside: another flow, or the first readings were wrong."""
    sds = np.sqrt(np.diag(belief.covariance))
    begun = begin(
        earlier.at_s,
        Measured(earlier.value_c, math.sqrt(_variance(earlier))),
        Measured(belief.mean[1], max(float(sds[1]), _NEW_COOLANT_SD_C)),
        Measured(belief.mean[2], max(float(sds[2]), _NEW_LOG_TAU_SD)),
    )
    return replace(begun, taken=1)


# --- of a day


@dataclass(frozen=True, slots=True)
class ChillForecast:
    """How the chill will end.

    coolant_c: what the wort falls towards; stops_c: where it gets too slow to wait for [°C].
    reached_s: when the target is reached [s of the day]; None if it cannot be told.
    earliest_s, latest_s: nine of ten times lie between; the latest is None where it may never get there.
    """

    end: ChillEnd
    coolant_c: Measured
    stops_c: Measured
    reached_s: float | None = None
    earliest_s: float | None = None
    latest_s: float | None = None


def readings(state: State) -> tuple[Temperature, ...]:
    """The temperatures of the wort since the cooling water runs, in order of time."""
    return tuple(
        Temperature(item.at_s, item.fact.temperature_c, item.fact.sd_c)
        for item in state.temperatures
        if item.stage is Stage.CHILL and state.chill_on_s is not None and item.at_s >= state.chill_on_s
    )


def at_start(plan: Plan, state: State) -> Cooling | None:
    """What is known as the cooling water is turned on; None before that."""
    if state.chill_on_s is None:
        return None
    figures = rig.expected(plan, state)
    litres = kettle.expected_after_boil_l(plan, state)
    log_tau = figures[rig.Figure.CHILL_LOG_TAU]
    moved = Measured(log_tau.value + math.log(litres / rig.REFERENCE_L), log_tau.sd)
    return begin(state.chill_on_s, _start_c(plan, state, state.chill_on_s), figures[rig.Figure.COOLANT], moved)


def _start_c(plan: Plan, state: State, at_s: float) -> Measured:
    """The wort as the cooling begins: as last read in the hop stand, else boiling point and the wait since."""
    stand = [item for item in state.temperatures if item.stage is Stage.HOP_STAND and not item.set_aside]
    if stand:
        last = stand[-1]
        return Measured(last.fact.temperature_c, _START_SD_C + _START_SD_C_PER_MIN * (at_s - last.at_s) / 60.0)
    waited_min = 0.0 if state.knockout_s is None else max(0.0, at_s - state.knockout_s) / 60.0
    return Measured(plan.rig.boiling_point_c, _START_SD_C + _START_SD_C_PER_MIN * waited_min)


def believed(plan: Plan, state: State) -> Cooling | None:
    """What is believed of the chill after all that was read; None before the cooling water runs."""
    begun = at_start(plan, state)
    return None if begun is None else follow(begun, readings(state))[0]


def verdict_of_last(plan: Plan, state: State) -> tuple[Verdict, float, float] | None:
    """What the filter made of the last temperature of the chill; what it expected, and how many sd apart."""
    begun, seen = at_start(plan, state), readings(state)
    if begun is None or not seen:
        return None
    before = follow(begun, seen[:-1])[0]
    return take(before, seen[-1])[1], later(before, seen[-1].at_s).mean[0], surprise(before, seen[-1])


def chill_forecast(plan: Plan, state: State) -> ChillForecast | None:
    """The chill from all that was read since the water runs; None before a temperature was believed."""
    belief = believed(plan, state)
    if belief is None or belief.taken == 0:
        return None
    return forecast_of(belief, plan.yeast.pitch_c + plan.beer.temperature_tolerance_c)


def forecast_of(belief: Cooling, target_c: float) -> ChillForecast | None:
    """How a chill believed to stand like this ends, going for `target_c` [°C]; None where it cannot be told."""
    if belief.mean[0] <= belief.mean[1]:
        return None
    try:
        outlook = chill.chill_outlook(as_fit(belief), target_c, belief.at_s)
    except OutsideRange:
        return None
    coolant_c = Measured(belief.mean[1], math.sqrt(float(belief.covariance[1, 1])))
    stops_c = Measured(outlook.stops_near.value, outlook.stops_near.sd)
    if outlook.end is ChillEnd.STALLS or outlook.remaining is None:
        return ChillForecast(outlook.end, coolant_c, stops_c)
    earliest_s, latest_s = _band_s(belief, target_c)
    end = outlook.end if latest_s is not None else ChillEnd.CANNOT_TELL
    return ChillForecast(end, coolant_c, stops_c, belief.at_s + outlook.remaining.value, earliest_s, latest_s)


def _band_s(belief: Cooling, target_c: float) -> tuple[float | None, float | None]:
    """When the wort may be at `target_c` at the earliest and the latest, 90 % of cases between [s of the day].

    A time near the coolant is far from normal; the temperature at a time is nearly so. So the band of the time is
    read off that of the temperature.
    """
    wort_c, coolant_c, log_tau = belief.mean
    seconds = np.arange(0.0, _HORIZON_S, _STEP_S)
    in_tau = seconds / math.exp(log_tau)
    left = np.exp(-in_tau)
    by_log_tau = (wort_c - coolant_c) * left * in_tau
    slopes = np.stack((left, 1.0 - left, by_log_tau))
    variance = (
        np.einsum("it,ij,jt->t", slopes, belief.covariance, slopes) + by_log_tau**2 * _walk(1.0) * seconds / 3.0
    )
    mean, spread_c = coolant_c + (wort_c - coolant_c) * left, _NINETY_PERCENT_SD * np.sqrt(variance)
    found = []
    for edge in (mean - spread_c, mean + spread_c):
        below = np.flatnonzero(edge <= target_c)
        found.append(belief.at_s + float(seconds[below[0]]) if below.size else None)
    return found[0], found[1]
