"""The filter of the chill, beside the least squares of the calculation and over simulated chills of known truth."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from brew_day import BrewDay, altered, example
from simulated_chill import TARGET_C, known, many_chills

from assistant.calculation import chill
from assistant.calculation.chill import ChillEnd
from assistant.day import cooling as c
from assistant.day.estimate import Verdict
from assistant.quantities import Measured

TAP, LOG_TAU = Measured(14.0, 2.0), Measured(math.log(400.0), 0.5)
TIMES = (0.0, 150.0, 330.0, 500.0, 720.0)


def cools(seconds: float, tau_s: float = 330.0, tap_c: float = 13.0, start_c: float = 97.0) -> float:
    """The exact temperature of a stirred kettle [°C]."""
    return tap_c + (start_c - tap_c) * math.exp(-seconds / tau_s)


def read(at_s: float, value_c: float) -> c.Temperature:
    """A reading of a half-degree thermometer."""
    return c.Temperature(at_s, value_c, 0.5)


def begun(start: Measured = Measured(99.0, 5.0)) -> c.Cooling:  # noqa: B008 - frozen
    """What is believed as the water is turned on."""
    return c.begin(0.0, start, TAP, LOG_TAU)


@pytest.mark.parametrize("tau_s", [200.0, 330.0, 700.0])
@pytest.mark.parametrize("count", [2, 3, 5])
@pytest.mark.parametrize(("drift", "apart_sd"), [(1e-6, 0.02), (c.WANDER_PER_ROOT_H, 0.25)])
def test_the_filter_says_what_the_least_squares_say(
    monkeypatch: pytest.MonkeyPatch, tau_s: float, count: int, drift: float, apart_sd: float
) -> None:
    """On clean readings filter and fit are the same where nothing drifts, and near each other where τ may."""
    monkeypatch.setattr(c, "WANDER_PER_ROOT_H", drift)
    times = TIMES[:count]
    wide = begun(Measured(90.0, 60.0))
    belief, verdicts = c.follow(wide, [read(at_s, cools(at_s, tau_s)) for at_s in times])
    tau_prior = Measured(math.exp(LOG_TAU.value), LOG_TAU.sd * math.exp(LOG_TAU.value))
    sd_c = math.hypot(0.5, c.LAYERS_SD_C)
    fit = chill.fit_chill(times, [cools(at_s, tau_s) for at_s in times], sd_c, TAP, tau_prior)
    ours, now = c.as_fit(belief), chill.temperature_at_c(fit, times[-1])
    assert (Verdict.TAKEN,) * count == verdicts
    assert fit.coolant_c.value == pytest.approx(ours.coolant_c.value, abs=apart_sd * fit.coolant_c.sd)
    assert fit.tau_s.value == pytest.approx(ours.tau_s.value, abs=apart_sd * fit.tau_s.sd)
    assert now.value == pytest.approx(ours.start_c.value, abs=apart_sd * now.sd)


def test_exact_readings_give_the_direct_computation() -> None:
    """With readings as good as exact the time to the target is that of the exponential itself."""
    steady = [c.Temperature(at_s, cools(at_s), 1e-3) for at_s in (60.0, 200.0, 400.0, 600.0)]
    belief, _ = c.follow(begun(), steady)
    forecast = c.forecast_of(belief, 19.0)
    direct_s = 330.0 * math.log((97.0 - 13.0) / (19.0 - 13.0))
    assert forecast is not None
    assert forecast.reached_s == pytest.approx(direct_s, rel=0.05)
    assert forecast.earliest_s is not None
    assert forecast.latest_s is not None
    assert forecast.earliest_s <= direct_s <= forecast.latest_s


@pytest.mark.parametrize("times", [(120.0,), (120.0, 300.0), (120.0, 300.0, 480.0, 660.0)])
@pytest.mark.parametrize("log_tau_sd", [None, 0.2])
def test_nine_bands_of_ten_hold_the_time(times: tuple[float, ...], log_tau_sd: float | None) -> None:
    """Over 500 simulated chills, 85 to 95 % of the 90 % bands hold the true time; nearly all of them are told."""
    told = many_chills(times, days=500, seed=20261125, log_tau_sd=log_tau_sd)
    assert 0.85 <= told.inside <= 0.95
    assert told.told >= 0.98


def test_one_bad_reading_on_some_days_leaves_the_bands_right() -> None:
    """With one temperature of four misread on every fifth day, the bands still hold 85 to 95 %."""
    told = many_chills((120.0, 300.0, 480.0, 660.0), days=500, seed=3, bad=0.2)
    assert 0.85 <= told.inside <= 0.95


def test_a_known_chiller_tells_a_bad_reading_from_the_first_on() -> None:
    """With the rig's history two readings are enough for that; without it they are not, and the bands say less."""
    known_rig = many_chills((120.0, 300.0), days=500, seed=4, log_tau_sd=0.2, bad=0.2)
    unknown = many_chills((120.0, 300.0), days=500, seed=4, bad=0.2)
    assert 0.85 <= known_rig.inside <= 0.95
    assert unknown.inside < known_rig.inside


def test_sixteen_for_sixty_is_set_aside() -> None:
    """A misread temperature moves nothing: the forecast is what it is without it."""
    clean, _ = c.follow(begun(), [read(at_s, cools(at_s)) for at_s in (120.0, 300.0)])
    sixteen, verdict = c.take(clean, read(360.0, 16.0))
    assert Verdict.SET_ASIDE is verdict
    assert c.forecast_of(clean, 19.0) == c.forecast_of(sixteen, 19.0)


def test_after_another_flow_the_second_reading_wins() -> None:
    """When the tap was turned down, the first odd reading is set aside and the next one of its kind is believed."""
    belief, _ = c.follow(begun(), [read(at_s, cools(at_s)) for at_s in (120.0, 240.0, 360.0)])
    slow_c = [cools(360.0) + 20.0, cools(360.0) + 17.0]
    belief, verdicts = c.follow(belief, [read(420.0, slow_c[0]), read(540.0, slow_c[1])])
    assert (Verdict.SET_ASIDE, Verdict.AGREES) == verdicts
    assert slow_c[1] == pytest.approx(belief.mean[0], abs=1.0)


def test_two_odd_readings_agree_only_side_by_side() -> None:
    """An odd reading that a good one followed is not there any more to agree with."""
    belief, _ = c.follow(begun(), [read(120.0, cools(120.0)), read(180.0, 16.0), read(240.0, cools(240.0))])
    assert Verdict.SET_ASIDE is c.take(belief, read(300.0, 16.0))[1]


def test_readings_that_warm_do_not_agree() -> None:
    """Two odd readings of which the second is warmer are no cooling kettle."""
    belief, _ = c.follow(begun(), [read(120.0, cools(120.0)), read(180.0, 16.0)])
    assert Verdict.SET_ASIDE is c.take(belief, read(240.0, 30.0))[1]


def test_a_warm_tap_is_told_to_stall() -> None:
    """With water of 22 °C no kettle gets to 19 °C: it says so, and where it stops."""
    warm = replace(begun(), mean=(99.0, 22.0, math.log(330.0)))
    belief, _ = c.follow(warm, [read(at_s, cools(at_s, tap_c=22.0)) for at_s in (120.0, 300.0, 600.0, 1200.0)])
    forecast = c.forecast_of(belief, 19.0)
    assert forecast is not None
    assert ChillEnd.STALLS is forecast.end
    assert 22.0 < forecast.stops_c.value < 25.5
    assert forecast.reached_s is None


def test_the_belief_does_not_go_back_and_grows_less_sure() -> None:
    """Time passing makes the strength of the chiller less sure; an earlier time changes nothing."""
    belief, _ = c.follow(begun(), [read(120.0, cools(120.0))])
    ahead = c.later(belief, 1200.0)
    assert ahead.covariance[2, 2] > belief.covariance[2, 2]
    assert belief.mean[1] < ahead.mean[0] < belief.mean[0]
    assert belief is c.later(belief, 60.0)


def test_every_covariance_is_one() -> None:
    """After any readings, believed or not, the covariance is symmetric and positive, and a forecast possible."""
    random = np.random.default_rng(2)
    for _ in range(60):
        belief = known()
        for at_s in np.cumsum(random.uniform(0.0, 300.0, 5)):
            belief, _ = c.take(belief, read(float(at_s), float(random.uniform(5.0, 100.0))))
            assert np.allclose(belief.covariance, belief.covariance.T)
            assert np.all(np.linalg.eigvalsh(belief.covariance) >= -1e-12)
            forecast = c.forecast_of(belief, TARGET_C)
            assert forecast is None or math.isfinite(forecast.stops_c.value)


def to_the_chill(day: BrewDay) -> float:
    """From a new day to the water running; when that was [s]."""
    day.to_the_boil()
    day.minutes_pass(day.plan.beer.boil_min + 1)
    day.types("knockout")
    day.minutes_pass(1)
    day.types("water is on")
    assert day.state.chill_on_s is not None
    return day.state.chill_on_s


def test_the_day_says_when_it_will_be_cold() -> None:
    """From the first believed temperature on, the answer has the time and its band."""
    day = BrewDay.opened(example("hollow-lane"))
    to_the_chill(day)
    day.minutes_pass(4)
    (answer,) = day.types(f"{cools(240.0, tap_c=14.0):.0f} degrees")
    assert "Eighteen in " in answer
    assert "minutes" in answer


def test_the_day_says_that_a_warm_tap_will_not_do() -> None:
    """With a tap of 22 °C the brewer hears where it will stop and what helps, in one breath."""
    day = BrewDay.opened(altered("hollow-lane", ('coolant = "14 C"', 'coolant = "22 C"')))
    to_the_chill(day)
    for minutes in (3, 4, 8):
        day.minutes_pass(minutes)
        assert day.state.chill_on_s is not None
        said = day.types(f"{cools(day.now_s - day.state.chill_on_s, tap_c=22.0):.0f} degrees")
    assert "It will stop near twenty-f" in said[0]
    assert "your water is near twenty-two. Ice bath from there, or pitch later." in said[0]
    assert len(said[0].split()) <= 22


def test_sixteen_for_sixty_does_not_end_the_chill() -> None:
    """A cold reading that cannot be is said to be left out, calls nothing, and is doubted at the transfer."""
    day = BrewDay.opened(example("hollow-lane"))
    to_the_chill(day)
    for seconds, value_c in ((120.0, 80.0), (240.0, 68.0)):
        day.seconds_pass(120)
        day.types(f"{value_c:.0f} degrees")
        assert day.state.temperatures[-1].set_aside is False, seconds
    day.seconds_pass(60)
    said = day.types("16 degrees")
    assert ["Sixteen does not fit, I leave it out of the forecast. Stir, and read it again."] == said
    assert "chill.reached" not in day.state.calls
    assert any(
        "Last heard sixteen, which did not fit: measure before you transfer." in t
        for t in day.types("chill is done")
    )
