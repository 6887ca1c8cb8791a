"""The filter over a simulated kettle with known truth and instrument noise."""

from __future__ import annotations

import numpy as np
import pytest
from simulated_kettle import (
    BOIL_MIN,
    GRAVITY_SD,
    PLAN,
    VOLUME_SD,
    Kettle,
    a_day,
    errors_after_three_days,
    shares_inside,
)

from assistant.calculation import extract
from assistant.day import estimate as e
from assistant.quantities import Measured


@pytest.mark.parametrize("times", [(0.0,), (0.0, 40.0), (0.0, 25.0, 50.0)])
def test_nine_bands_of_ten_hold_the_truth(times: tuple[float, ...]) -> None:
    """Over 600 simulated days the 90 % bands of gravity and volume after the boil hold 85 to 95 % of them."""
    of_gravity, of_volume = shares_inside(times, days=600, seed=20261125)
    assert 0.85 <= of_gravity <= 0.95
    assert 0.85 <= of_volume <= 0.95


def test_forecast_beats_the_last_reading_by_a_third() -> None:
    """On a rig whose three earlier days are known, the error of the gravity after the boil is 30 % smaller.

    The forecast is made from readings before the boil and after 20 and 40 minutes of it; with fewer readings
    the gain is smaller (the bench tells how much).
    """
    ours, theirs = errors_after_three_days((0.0, 20.0, 40.0), rigs=200, seed=7)
    assert ours <= 0.7 * theirs


def test_three_days_sharpen_the_forecast() -> None:
    """After three days the same readings give a narrower forecast, and the boil-off is nearer the truth."""
    random = np.random.default_rng(11)
    narrower, nearer = [], []
    for _ in range(60):
        rig = first = e.figures_of_plan(PLAN)
        for _ in range(3):
            kettle = a_day(random, rate_mean=1.15, rate_sd=0.05)
            rig = e.learned(rig, e.follow(PLAN, kettle.readings(random, (0.0, 40.0, BOIL_MIN)), rig))
        readings = a_day(random, rate_mean=1.15, rate_sd=0.05).readings(random, (0.0,))
        before = e.end_of_boil(e.follow(PLAN, readings, first), BOIL_MIN)[1].sd
        narrower.append(e.end_of_boil(e.follow(PLAN, readings, rig), BOIL_MIN)[1].sd / before)
        true_rate = 1.15 * PLAN.rig.boil_off_l_per_h
        nearer.append(
            abs(rig.boil_off_l_per_h.value - true_rate) < abs(first.boil_off_l_per_h.value - true_rate),
        )
    assert 3 == rig.days
    assert max(narrower) < 1.0
    assert sum(nearer) >= 57


def test_one_bad_reading_does_not_poison() -> None:
    """A gravity off a thin top is set aside, and the forecast is what it is without it."""
    truth = Kettle(*e.prior(PLAN).mean)
    volume_l, sg = truth.at(0.0)
    good = [
        e.Seen(e.Quantity.GRAVITY, 0.0, sg, GRAVITY_SD),
        e.Seen(e.Quantity.VOLUME, 0.0, volume_l, VOLUME_SD),
    ]
    bad = e.Seen(e.Quantity.GRAVITY, 0.0, 1.015, GRAVITY_SD)
    without = e.end_of_boil(e.follow(PLAN, good), BOIL_MIN)
    belief = e.follow(PLAN, [good[0], bad, good[1]])
    assert (bad,) == belief.set_aside
    assert without == e.end_of_boil(belief, BOIL_MIN)


def test_two_that_agree_are_believed() -> None:
    """When a second sample tells the same surprising gravity, the belief was wrong and goes there."""
    low = e.Seen(e.Quantity.GRAVITY, 0.0, 1.026, GRAVITY_SD)
    belief = e.follow(PLAN, [low, low])
    assert () == belief.set_aside
    assert e.standing(belief)[0].value == pytest.approx(1.026, abs=0.001)


def test_exact_readings_give_the_direct_computation() -> None:
    """With readings as good as exact and a known boil-off the forecast is the mass balance itself."""
    seen = [
        e.Seen(e.Quantity.GRAVITY, 0.0, 1.0410, 1e-7),
        e.Seen(e.Quantity.VOLUME, 0.0, 25.4, 1e-5),
    ]
    rate = PLAN.rig.boil_off_l_per_h
    rig = e.RigFigures(Measured(rate, 1e-6), 9)
    belief = e.follow(PLAN, seen, rig)
    sharp = e.Belief(belief.boiled_min, belief.mean, belief.covariance)
    gravity, volume = e.end_of_boil(sharp, BOIL_MIN)
    direct_l, direct_sg = extract.boil(25.4, 1.0410, BOIL_MIN, rate)
    # Sampling is never exact, so the belief keeps a trace of the plan.
    assert gravity.value == pytest.approx(direct_sg, abs=3e-4)
    assert volume.value == pytest.approx(direct_l, abs=0.01)


def test_boiling_keeps_the_extract() -> None:
    """Boiling takes water only, and makes the belief about it less sure."""
    before = e.prior(PLAN)
    after = e.boiled(before, 60.0)
    assert before.mean[1] == after.mean[1]
    assert after.mean[0] == pytest.approx(before.mean[0] - before.mean[2])
    assert after.covariance[0, 0] > before.covariance[0, 0]
    assert after == e.boiled(after, 30.0)


def test_minutes_for_a_gravity() -> None:
    """The minutes that are missing bring the kettle to the gravity asked for; none when it is there."""
    belief = e.prior(PLAN)
    end = e.end_of_boil(belief, BOIL_MIN)[0].value
    longer = e.minutes_for_gravity(belief, BOIL_MIN, end + 0.002)
    assert longer is not None
    assert e.end_of_boil(belief, BOIL_MIN + longer.value)[0].value == pytest.approx(end + 0.002, abs=1e-5)
    assert longer.sd > 0.0
    assert e.minutes_for_gravity(belief, BOIL_MIN, end - 0.001) is None
