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
    errors_after_three_days,
    narrower_after_three_days,
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


@pytest.mark.parametrize("bad", [0.2, 1.0])
def test_the_bands_hold_with_a_bad_reading_in_the_day(bad: float) -> None:
    """With one reading of six misread on every fifth day, or on every day, the bands still hold 85 to 95 %."""
    of_gravity, of_volume = shares_inside((0.0, 25.0, 50.0), days=500, seed=20261125, bad=bad)
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
    """After three days a first reading gives a volume band 15 % narrower, and the boil-off is nearer the truth."""
    narrower, nearer = narrower_after_three_days((0.0,), rigs=60, seed=11)
    assert np.mean(narrower) <= 0.85
    assert max(narrower) < 1.0
    assert sum(nearer) >= 55


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


def test_two_that_agree_are_told_from_one_that_does_not() -> None:
    """What became of each reading is told: set aside, agreeing with it, or taken; a good one between resets."""
    low, good = (e.Seen(e.Quantity.GRAVITY, 0.0, sg, GRAVITY_SD) for sg in (1.015, 1.044))
    volume = e.Seen(e.Quantity.VOLUME, 0.0, 24.9, VOLUME_SD)
    taken, aside, agrees = e.Verdict.TAKEN, e.Verdict.SET_ASIDE, e.Verdict.AGREES
    assert (taken, aside, agrees) == e.judged(PLAN, [good, low, low])[1]
    assert (taken, aside, taken, agrees) == e.judged(PLAN, [good, low, volume, low])[1]
    assert (taken, aside, taken, aside) == e.judged(PLAN, [good, low, good, low])[1]


def test_a_day_of_very_many_readings_is_followed() -> None:
    """Two thousand volumes nest no deeper than forty, and come to what they all say."""
    volume = e.Seen(e.Quantity.VOLUME, 0.0, 24.0, VOLUME_SD)
    belief, verdicts = e.judged(PLAN, [volume] * 2000)
    assert 2000 == len(verdicts)
    assert 24.0 == pytest.approx(e.standing(belief)[1].value, abs=0.02)


def test_what_is_added_is_in_the_belief() -> None:
    """Half a kilogram of extract and two of water move the belief by just that, and make it less sure."""
    before = e.prior(PLAN)
    after = e.added(before, e.Added(0.5, 2.0, 0.1))
    assert (before.mean[0] + 2.0, before.mean[1] + 0.5, before.mean[2]) == after.mean
    assert after.covariance[0, 0] > before.covariance[0, 0]
    assert after.covariance[1, 1] > before.covariance[1, 1]


def test_the_order_of_the_days_does_not_matter() -> None:
    """Weighing days one by one or all at once, in any order, comes to the same; so a day can be left out."""
    before = Measured(3.1, 0.37)
    days = [Measured(3.6, 0.3), Measured(3.4, 0.2), Measured(3.9, 0.5)]
    at_once = e.weighed(before, days, 0.15)
    one_by_one = before
    for day in reversed(days):
        one_by_one = e.weighed(one_by_one, [day], 0.15)
    assert at_once.value == pytest.approx(one_by_one.value)
    assert at_once.sd == pytest.approx(one_by_one.sd)
    assert at_once.sd < before.sd


def test_weighing_is_the_normal_posterior() -> None:
    """Prior 10 ± 2, one day 12 ± 1 without scatter: 11.6 ± 0.894, as the textbook's precision weighting has it."""
    # Gelman et al., Bayesian Data Analysis, 3rd edition (2013), equations 2.9 and 2.10.
    found = e.weighed(Measured(10.0, 2.0), [Measured(12.0, 1.0)], 0.0)
    assert found.value == pytest.approx(11.6)
    assert found.sd == pytest.approx(0.8**0.5)
    said = e.without_prior(found, Measured(10.0, 2.0))
    assert said is not None
    assert (said.value, said.sd) == pytest.approx((12.0, 1.0))


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
