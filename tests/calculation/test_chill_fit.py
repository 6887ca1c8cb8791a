"""Learning a chill from a few spoken temperatures."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assistant.calculation import chill
from assistant.quantities import Measured, OutsideRange

TAP = Measured(15.0, 2.0)


def _cooling(tau_s: float, coolant_c: float, start_c: float, times_s: list[float]) -> list[float]:
    return [coolant_c + (start_c - coolant_c) * math.exp(-time / tau_s) for time in times_s]


@given(st.floats(120.0, 3000.0), st.floats(2.0, 28.0), st.floats(80.0, 100.0), st.floats(0.0, 1e5))
def test_a_clean_chill_is_found_again(tau_s: float, coolant_c: float, start_c: float, began_s: float) -> None:
    """Five exact readings give back the speed and the coolant they were made of."""
    times = [0.5 * tau_s * step for step in range(5)]

    fit = chill.fit_chill(
        [began_s + time for time in times], _cooling(tau_s, coolant_c, start_c, times), 0.01, Measured(15.0, 50.0)
    )

    assert tau_s == pytest.approx(fit.tau_s.value, rel=1e-3)
    assert coolant_c == pytest.approx(fit.coolant_c.value, abs=0.05)
    assert start_c == pytest.approx(fit.start_c.value, abs=0.05)


@given(st.floats(120.0, 3000.0), st.floats(5.0, 25.0), st.floats(0.3, 1.5))
def test_two_readings_and_a_prior_are_enough(tau_s: float, coolant_c: float, share: float) -> None:
    """With the coolant known, two readings tell the speed."""
    times = [0.0, share * tau_s]

    fit = chill.fit_chill(times, _cooling(tau_s, coolant_c, 98.0, times), 0.1, Measured(coolant_c, 0.5))

    assert tau_s == pytest.approx(fit.tau_s.value, rel=0.01)
    assert fit.readings == 2


@example([1.0, 1.0, 1.0, 1.0], 2.0, Measured(1.0, 1.0))
@example([1.0, 1.0], 0.0, Measured(1.0, 1.0))
@example([98.0, 15.0], 25.0, Measured(15.0, 0.1))
@given(
    st.lists(st.floats(0.0, 110.0), min_size=2, max_size=6),
    st.floats(-5.0, 100.0),
    st.one_of(st.none(), st.builds(Measured, st.floats(0.0, 40.0), st.floats(0.1, 20.0))),
)
def test_whatever_is_said_no_answer_is_ever_no_number(
    said: list[float], target_c: float, prior: Measured | None
) -> None:
    """Any temperatures give a finite forecast, or None, or a sentence; `Measured` cannot hold anything else."""
    times = [60.0 * index for index in range(len(said))]
    try:
        fit = chill.fit_chill(times, said, 0.5, prior)
    except OutsideRange as refusal:
        assert str(refusal).endswith(".")
        return

    remaining = chill.time_to_c(fit, target_c, times[-1])

    assert remaining is None or remaining.value >= 0.0
    assert remaining is not None or target_c <= fit.coolant_c.value
    assert math.isfinite(chill.temperature_at_c(fit, times[-1] + 600.0).value)


def test_the_forecast_covers_the_truth_as_often_as_it_says() -> None:
    """Over 200 noisy chills, two sd around the forecast hold the true time in about 95 of a hundred."""
    noise = np.random.default_rng(11)
    tau_s, times = 330.0, [0.0, 120.0, 240.0, 360.0]
    within = 0
    for _ in range(200):
        coolant_c = float(noise.normal(TAP.value, TAP.sd))
        read = np.asarray(_cooling(tau_s, coolant_c, 98.0, times)) + noise.normal(0.0, 0.5, len(times))
        fit = chill.fit_chill(times, read.tolist(), 0.5, TAP)
        remaining = chill.time_to_c(fit, 28.0, times[-1])
        assert remaining is not None
        truth = tau_s * math.log((98.0 - coolant_c) / (28.0 - coolant_c)) - times[-1]
        within += abs(remaining.value - truth) <= 2.0 * remaining.sd

    assert 0.90 <= within / 200 <= 0.99


@pytest.mark.parametrize("doubted", [0, 1, 2], ids=["start", "coolant", "speed"])
def test_each_doubt_reaches_the_forecast(doubted: int) -> None:
    """A doubt of a thousandth about one figure moves time and temperature by what changing that figure does."""
    figures = [98.0, 15.0, 330.0]
    doubt = 0.001 * figures[doubted]
    covariance = [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    covariance[doubted][doubted] = doubt**2

    def fit_of(start_c: float, coolant_c: float, tau_s: float) -> chill.ChillFit:
        rows = tuple((row[0], row[1], row[2]) for row in covariance)
        return chill.ChillFit(
            0.0, Measured(start_c, 0.0), Measured(coolant_c, 0.0), Measured(tau_s, 0.0), rows, readings=3
        )

    moved = [figure + doubt * (index == doubted) for index, figure in enumerate(figures)]
    plain, other = fit_of(*figures), fit_of(*moved)
    times = [chill.time_to_c(fit, 20.0, 0.0) for fit in (plain, other)]
    assert times[0] is not None
    assert times[1] is not None

    temperatures = [chill.temperature_at_c(fit, 400.0) for fit in (plain, other)]

    assert abs(times[1].value - times[0].value) == pytest.approx(times[0].sd, rel=0.01)
    assert abs(temperatures[1].value - temperatures[0].value) == pytest.approx(temperatures[0].sd, rel=0.01)


def test_a_warmer_tap_is_noticed() -> None:
    """When the fall flattens out above the prior, the coolant follows the readings and 18 °C becomes never."""
    times = [180.0 * step for step in range(8)]

    fit = chill.fit_chill(times, _cooling(300.0, 21.0, 98.0, times), 0.3, TAP)

    assert fit.coolant_c.value == pytest.approx(21.0, abs=0.7)
    assert chill.time_to_c(fit, 18.0, times[-1]) is None


def test_scatter_widens_the_forecast() -> None:
    """Readings that scatter more than the thermometer should make the forecast humbler."""
    times = [120.0 * step for step in range(6)]
    clean = _cooling(330.0, 15.0, 98.0, times)
    rough = [value + bump for value, bump in zip(clean, (3.0, -3.0, 3.0, -3.0, 3.0, -3.0), strict=True)]

    sd_of_clean = chill.fit_chill(times, clean, 0.5, TAP).tau_s.sd

    assert 2.0 * sd_of_clean < chill.fit_chill(times, rough, 0.5, TAP).tau_s.sd


def test_more_readings_make_it_surer() -> None:
    """The band of the forecast narrows as temperatures come in."""
    times = [90.0 * step for step in range(6)]
    temperatures = _cooling(330.0, 15.0, 98.0, times)
    bands = []
    for count in (2, 4, 6):
        fit = chill.fit_chill(times[:count], temperatures[:count], 0.5, TAP)
        remaining = chill.time_to_c(fit, 25.0, times[-1])
        assert remaining is not None
        bands.append(remaining.sd)

    assert bands == sorted(bands, reverse=True)


def test_already_cold_is_no_time() -> None:
    """When the kettle is there already, nothing remains."""
    times = [0.0, 300.0, 600.0]
    fit = chill.fit_chill(times, _cooling(300.0, 15.0, 98.0, times), 0.5, TAP)

    remaining = chill.time_to_c(fit, 60.0, 600.0)

    assert remaining is not None
    assert not remaining.value


@pytest.mark.parametrize(
    ("times", "temperatures", "prior", "words"),
    [
        ([0.0], [98.0], TAP, "needs 2 temperatures, not 1"),
        ([0.0, 60.0], [98.0, 80.0], None, "needs 3 temperatures, not 2"),
        ([0.0, 60.0], [80.0, 98.0], TAP, "do not show the kettle getting colder"),
        ([0.0, 60.0], [98.0, 98.0], TAP, "do not show the kettle getting colder"),
        ([0.0, 60.0], [98.0, 97.9], TAP, "do not show the kettle getting colder"),
        ([0.0, 60.0], [15.0, 15.0], TAP, "do not show the kettle getting colder"),
        ([0.0, 60.0, 120.0, 180.0], [1.0] * 4, Measured(1.0, 1.0), "do not show the kettle getting colder"),
        ([60.0, 0.0], [98.0, 80.0], TAP, "must rise"),
        ([0.0, 0.0], [98.0, 80.0], TAP, "must rise"),
        ([0.0, math.nan], [98.0, 80.0], TAP, "must rise"),
        ([0.0, 60.0], [98.0, 180.0], TAP, "0 to 110 °C, not 180 °C"),
    ],
)
def test_what_is_no_chill_is_refused(
    times: list[float], temperatures: list[float], prior: Measured | None, words: str
) -> None:
    """Too few readings, a kettle that is not cooling and times that do not rise get one sentence."""
    with pytest.raises(OutsideRange) as refusal:
        chill.fit_chill(times, temperatures, 0.5, prior)

    assert words in str(refusal.value)


def test_times_and_temperatures_must_be_pairs() -> None:
    """A time without its temperature is a mistake of the caller."""
    with pytest.raises(ValueError, match="2 times do not go with 1"):
        chill.fit_chill([0.0, 60.0], [98.0], 0.5, TAP)
