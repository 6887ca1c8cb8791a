"""Simulated chills with known truth and thermometer noise, for the tests and the bench of the chill forecast."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from simulated_kettle import PLAN

from assistant.day import cooling as c
from assistant.day import rig
from assistant.day.rig import Figure
from assistant.quantities import Measured

TARGET_C = PLAN.yeast.pitch_c + PLAN.beer.temperature_tolerance_c
THERMOMETER_SD_C = 0.5
# What is known as the water is turned on, as a day has it: cooling._start_c and the plan.
START_C = Measured(99.0, 5.0)
_STEP_S = 5.0
_LONGEST_S = 4 * 3600.0
# What a rig's own history knows of its chiller after some days.
LEARNT_SD = 0.2


@dataclass(frozen=True)
class Chill:
    """The truth of one chill: the temperature [°C] every five seconds until it is cold."""

    path_c: tuple[float, ...]

    def at(self, seconds: float) -> float:
        """The wort so long after the water was turned on [°C]."""
        return self.path_c[round(seconds / _STEP_S)]

    @property
    def reached_s(self) -> float:
        """When it is at the target; infinite when it never is."""
        return _STEP_S * (len(self.path_c) - 1) if self.path_c[-1] <= TARGET_C else math.inf

    def readings(self, random: np.random.Generator, times: tuple[float, ...]) -> list[c.Temperature]:
        """A temperature at each time at which the wort is not cold yet, with the noise of reading and layers."""
        noise_c = math.hypot(THERMOMETER_SD_C, c.LAYERS_SD_C)
        return [
            c.Temperature(at_s, self.at(at_s) + random.normal(0.0, noise_c), THERMOMETER_SD_C)
            for at_s in times
            if at_s < min(self.reached_s, _LONGEST_S)
        ]


def known(log_tau_sd: float | None = None) -> c.Cooling:
    """What is believed before any reading: by the plan alone, or with a chiller known to `log_tau_sd`."""
    figures = rig.of_plan(PLAN)
    log_tau = figures[Figure.CHILL_LOG_TAU]
    sd = log_tau.sd if log_tau_sd is None else log_tau_sd
    return c.begin(0.0, START_C, figures[Figure.COOLANT], Measured(log_tau.value, sd))


def a_chill(random: np.random.Generator, begun: c.Cooling) -> Chill:
    """A chill that strays from what is known as the filter thinks chills do: start, tap, coil and drift."""
    wort_c, coolant_c, log_tau = random.multivariate_normal(np.array(begun.mean), begun.covariance)
    path = [float(wort_c)]
    drift = c.WANDER_PER_ROOT_H * math.sqrt(_STEP_S / 3600.0)
    while path[-1] > TARGET_C and _STEP_S * len(path) < _LONGEST_S:
        log_tau += random.normal(0.0, drift)
        path.append(float(coolant_c + (path[-1] - coolant_c) * math.exp(-_STEP_S / math.exp(log_tau))))
    return Chill(tuple(path))


def one_bad(random: np.random.Generator, readings: list[c.Temperature]) -> list[c.Temperature]:
    """The same with one temperature misread by 20 to 45 degrees, as "sixteen" for "sixty" is."""
    place = int(random.integers(len(readings)))
    off = random.uniform(20.0, 45.0) * random.choice((-1.0, 1.0))
    wrong = replace(readings[place], value_c=readings[place].value_c + off)
    return [*readings[:place], wrong, *readings[place + 1 :]]


@dataclass(frozen=True)
class Told:
    """What many chills came to: share of bands that hold the truth, median width [min], share of bands told."""

    inside: float
    width_min: float
    told: float


def many_chills(
    times: tuple[float, ...], days: int, seed: int, *, log_tau_sd: float | None = None, bad: float = 0.0
) -> Told:
    """Simulate `days` chills that still go on at the last of `times`; a share `bad` of them has one misread."""
    random, begun = np.random.default_rng(seed), known(log_tau_sd)
    inside, widths, left = 0, [], days
    while left:
        chill = a_chill(random, begun)
        readings = chill.readings(random, times)
        if len(readings) < len(times):
            continue
        left -= 1
        if random.random() < bad:
            readings = one_bad(random, readings)
        forecast = c.forecast_of(c.follow(begun, readings)[0], TARGET_C)
        if forecast is None or forecast.earliest_s is None or forecast.latest_s is None:
            continue
        inside += forecast.earliest_s <= chill.reached_s <= forecast.latest_s
        widths.append((forecast.latest_s - forecast.earliest_s) / 60.0)
    return Told(inside / len(widths), float(np.median(widths)), len(widths) / days)
