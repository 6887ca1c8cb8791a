"""Simulated kettles with known truth and instrument noise, for the tests and the bench of the forecast."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from assistant.calculation import extract
from assistant.day import estimate as e
from assistant.day.plan_file import read_plan

PLAN_FILE = Path(__file__).parents[1] / "plans" / "hollow-lane.toml"
PLAN = read_plan(PLAN_FILE.read_text(encoding="utf-8"), "hollow-lane.toml")
BOIL_MIN = PLAN.beer.boil_min
GRAVITY_SD, VOLUME_SD = 0.0010, 0.35
NINETY_PERCENT = 1.645


@dataclass(frozen=True)
class Kettle:
    """The truth of one simulated day: masses before the boil [kg] and boil-off [kg/h]."""

    water_kg: float
    extract_kg: float
    rate_kg_h: float

    def at(self, minutes: float) -> tuple[float, float]:
        """Volume [L] and gravity [SG] after so many minutes of boil."""
        return extract.wort_from(self.extract_kg, self.water_kg - self.rate_kg_h * minutes / 60.0)

    def readings(self, random: np.random.Generator, times: tuple[float, ...]) -> list[e.Seen]:
        """A gravity and a volume at each time, with the noise of instruments and of sampling."""
        found = []
        for minutes in times:
            volume_l, sg = self.at(minutes)
            noise = random.normal(0.0, np.hypot(GRAVITY_SD, e.SAMPLING_SD_SG))
            found.append(e.Seen(e.Quantity.GRAVITY, minutes, sg + noise, GRAVITY_SD))
            found.append(e.Seen(e.Quantity.VOLUME, minutes, volume_l + random.normal(0.0, VOLUME_SD), VOLUME_SD))
        return found


def a_day(random: np.random.Generator, rate_mean: float = 1.0, rate_sd: float = e.BOIL_OFF_SD) -> Kettle:
    """A kettle that strays from the plan as the filter thinks kettles do."""
    water_kg, extract_kg, rate = e.prior(PLAN).mean
    return Kettle(
        water_kg * (1.0 + random.normal(0.0, e.WATER_SD)),
        extract_kg * (1.0 + random.normal(0.0, e.EXTRACT_SD)),
        rate * rate_mean * (1.0 + random.normal(0.0, rate_sd)),
    )


def rms(errors: list[float]) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(np.square(errors))))


def by_last_gravity_alone(readings: list[e.Seen]) -> float:
    """The gravity after the boil from the last gravity, with the plan's volume and boil-off."""
    last = [item for item in readings if item.quantity is e.Quantity.GRAVITY][-1]
    rate = PLAN.rig.boil_off_l_per_h
    volume_l = PLAN.volume_before_boil_l - rate * last.boiled_min / 60.0
    return extract.boil(volume_l, last.value, BOIL_MIN - last.boiled_min, rate)[1]


def one_bad(random: np.random.Generator, readings: list[e.Seen]) -> list[e.Seen]:
    """The same with one gravity or volume misread, by 15 to 30 points or 6 to 10 litres."""
    place = int(random.integers(len(readings)))
    of_gravity = readings[place].quantity is e.Quantity.GRAVITY
    off = random.uniform(0.015, 0.030) if of_gravity else random.uniform(6.0, 10.0)
    wrong = replace(readings[place], value=readings[place].value + off * random.choice((-1.0, 1.0)))
    return [*readings[:place], wrong, *readings[place + 1 :]]


def shares_inside(times: tuple[float, ...], days: int, seed: int, bad: float = 0.0) -> tuple[float, float]:
    """Share of simulated days whose gravity and volume after the boil lie in the 90 % bands.

    bad: share of the days on which one reading is wrong.
    """
    random = np.random.default_rng(seed)
    inside = np.zeros(2)
    for _ in range(days):
        kettle = a_day(random)
        readings = kettle.readings(random, times)
        if random.random() < bad:
            readings = one_bad(random, readings)
        gravity, volume = e.end_of_boil(e.follow(PLAN, readings), BOIL_MIN)
        true_l, true_sg = kettle.at(BOIL_MIN)
        inside += [
            abs(gravity.value - true_sg) <= NINETY_PERCENT * gravity.sd,
            abs(volume.value - true_l) <= NINETY_PERCENT * volume.sd,
        ]
    return float(inside[0] / days), float(inside[1] / days)


# The rigs of the tests boil off 15 % more than their plan says, and 5 % more or less from day to day.
OWN_RATE, DAILY_SD = 1.15, 0.05


def after_three_days(random: np.random.Generator) -> e.RigFigures:
    """What three days with readings before, after 40 minutes of and after the boil teach of such a rig."""
    planned, said = e.figures_of_plan(PLAN).boil_off_l_per_h, []
    for _ in range(3):
        kettle = a_day(random, OWN_RATE, DAILY_SD)
        told = e.said_boil_off(PLAN, kettle.readings(random, (0.0, 40.0, BOIL_MIN)), BOIL_MIN)
        said += [] if told is None else [told]
    return e.RigFigures(e.weighed(planned, said, e.BETWEEN_DAYS * planned.value), len(said))


def errors_after_three_days(times: tuple[float, ...], rigs: int, seed: int) -> tuple[float, float]:
    """RMS error [SG] of the gravity after the boil: of a forecast that knows three days, of the last gravity."""
    random = np.random.default_rng(seed)
    ours, theirs = [], []
    for _ in range(rigs):
        rig = after_three_days(random)
        kettle = a_day(random, OWN_RATE, DAILY_SD)
        readings = kettle.readings(random, times)
        true_sg = kettle.at(BOIL_MIN)[1]
        ours.append(e.end_of_boil(e.follow(PLAN, readings, rig), BOIL_MIN)[0].value - true_sg)
        theirs.append(by_last_gravity_alone(readings) - true_sg)
    return rms(ours), rms(theirs)


def narrower_after_three_days(times: tuple[float, ...], rigs: int, seed: int) -> tuple[list[float], list[bool]]:
    """For each rig: width of the volume's band beside that without history, and whether the boil-off is nearer."""
    random = np.random.default_rng(seed)
    first, narrower, nearer = e.figures_of_plan(PLAN), [], []
    true_rate = OWN_RATE * PLAN.rig.boil_off_l_per_h
    for _ in range(rigs):
        rig = after_three_days(random)
        readings = a_day(random, OWN_RATE, DAILY_SD).readings(random, times)
        bands = [e.end_of_boil(e.follow(PLAN, readings, known), BOIL_MIN)[1].sd for known in (rig, first)]
        narrower.append(bands[0] / bands[1])
        off = [abs(known.boil_off_l_per_h.value - true_rate) for known in (rig, first)]
        nearer.append(off[0] < off[1])
    return narrower, nearer
