"""A chill from what is known of the rig, and the rig from its chills."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from assistant.calculation import chill, chill_design
from assistant.calculation.chill import ChillEnd
from assistant.calculation.chill_design import CoilChill
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange


def _coil(
    water_c: float = 15.0, strength: float = 400.0, flow: float = 6.0, stirred: bool = True, sure: float = 1.0
) -> CoilChill:
    return CoilChill(
        Measured(20.93, 0.2 * sure),
        3900.0,
        Measured(strength, 0.1 * strength * sure),
        Measured(flow, 0.05 * flow * sure),
        Measured(water_c, 0.5 * sure),
        Measured(98.0, 0.5 * sure),
        stirred,
    )


def test_the_closed_form_is_the_heat_balance_integrated() -> None:
    """solve_ivp, told only how much heat the coil takes at each moment, gives the same temperatures to 1e-6 K."""
    flow_kg_per_s = 6.0 / 60.0 * 0.9990991  # 6 L/min at 15 °C
    coil_w_per_k = flow_kg_per_s * 4186.0 * (1.0 - math.exp(-400.0 / (flow_kg_per_s * 4186.0)))

    def change(_: float, at_c: list[float]) -> list[float]:
        return [-coil_w_per_k * (at_c[0] - 15.0) / (20.93 * 3900.0)]

    times = [60.0, 300.0, 600.0, 1200.0]
    expected = solve_ivp(change, (0.0, 1200.0), [98.0], t_eval=times, rtol=1e-11, atol=1e-11).y[0]

    got = [chill_design.temperature_after_c(_coil(), seconds).value for seconds in times]

    assert expected.tolist() == pytest.approx(got, abs=1e-6)


def test_heat_is_conserved() -> None:
    """What the wort loses in a minute is what the water carries off, counted by its outlet each second."""
    coil = _coil()
    flow_kg_per_s = 6.0 / 60.0 * 0.9990991
    wort = [chill_design.temperature_after_c(coil, float(second)).value for second in range(61)]
    carried = [
        flow_kg_per_s * 4186.0 * (chill_design.outlet_c(coil, Measured(at_c, 0.0)).value - 15.0) for at_c in wort
    ]

    assert 20.93 * 3900.0 * (wort[0] - wort[-1]) == pytest.approx(float(np.trapezoid(carried)), rel=1e-4)


@given(st.floats(50.0, 3000.0), st.floats(1.0, 20.0), st.floats(5.0, 100.0))
def test_the_strength_is_found_again_from_tau(strength: float, flow: float, kilograms: float) -> None:
    """UA from the τ that it made is UA; the rig's history is what its chills showed."""
    capacity_w_per_k = flow / 60.0 * 0.9990991 * 4186.0
    if strength / capacity_w_per_k > 8.0:
        return
    tau_s = chill_design.time_constant_s(kilograms, 3900.0, strength, capacity_w_per_k / 4186.0)

    told = chill_design.strength_from_tau_w_per_k(
        Measured(tau_s, 0.0), Measured(kilograms, 0.0), 3900.0, Measured(flow, 0.0)
    )

    assert strength == pytest.approx(told.value, rel=1e-4)


@given(st.floats(5.0, 20.0), st.floats(100.0, 1000.0), st.floats(2.0, 12.0), st.floats(23.0, 90.0))
def test_stronger_colder_more_is_faster(water_c: float, strength: float, flow: float, target_c: float) -> None:
    """A stronger coil, colder water, more of it, and a warmer target each shorten the chill; stirring halves it."""
    plain = chill_design.time_to_target_s(_coil(water_c, strength, flow), target_c).value

    for quicker in (
        _coil(water_c - 1.0, strength, flow),
        _coil(water_c, 1.1 * strength, flow),
        _coil(water_c, strength, 1.1 * flow),
    ):
        assert plain > chill_design.time_to_target_s(quicker, target_c).value
    assert plain > chill_design.time_to_target_s(_coil(water_c, strength, flow), target_c + 1.0).value
    unstirred = chill_design.time_to_target_s(_coil(water_c, strength, flow, stirred=False), target_c)
    assert 2.0 * plain == pytest.approx(unstirred.value)


@given(st.floats(17.5, 97.0))
def test_the_time_and_the_temperature_are_inverses(target_c: float) -> None:
    """After the time told, the wort has the temperature asked for."""
    seconds = chill_design.time_to_target_s(_coil(), target_c).value

    assert target_c == pytest.approx(chill_design.temperature_after_c(_coil(), seconds).value, abs=1e-9)


def test_the_uncertainty_of_the_time_is_that_of_random_trials() -> None:
    """20 000 trials of wort, coil, flow, tap and start scatter as the propagated uncertainty says, within 5 %."""
    told = chill_design.time_to_target_s(_coil(), 25.0)
    noise, count = np.random.default_rng(9), 20_000
    capacity = noise.normal(6.0, 0.3, count) / 60.0 * 0.9990991 * 4186.0
    strength, kilograms = noise.normal(400.0, 40.0, count), noise.normal(20.93, 0.2, count)
    tap_c, start_c = noise.normal(15.0, 0.5, count), noise.normal(98.0, 0.5, count)
    tau_s = kilograms * 3900.0 / (capacity * (1.0 - np.exp(-strength / capacity)))
    times = tau_s * np.log((start_c - tap_c) / (25.0 - tap_c))

    assert told.sd == pytest.approx(float(times.std()), rel=0.05)
    assert told.value == pytest.approx(float(np.median(times)), rel=0.01)


def test_what_is_a_rule_or_near_its_limit_says_so() -> None:
    """Unstirred is a rule without a source; a target close to the tap is marked; the ordinary chill is neither."""
    plain = chill_design.time_to_target_s(_coil(), 25.0)
    unstirred = chill_design.time_to_target_s(_coil(stirred=False), 25.0)
    close = chill_design.time_to_target_s(_coil(), 16.5)

    assert [Verdict.INSIDE, Verdict.RULE_OF_THUMB, Verdict.NEAR_LIMIT] == [
        told.verdict for told in (plain, unstirred, close)
    ]
    assert "CP" == SOURCES[unstirred.source].status
    assert unstirred.sd / unstirred.value > 0.25 > plain.sd / plain.value


def test_the_history_of_the_rig_sharpens_the_first_forecast() -> None:
    """With the rig's τ as a prior, one temperature already forecasts, and two forecast better than without it."""
    tau = chill_design.tau_from_history(_coil())
    tap = Measured(15.0, 1.0)
    first = chill.fit_chill([0.0], [98.0], 0.5, tap, tau)
    with_history = chill.fit_chill([0.0, 60.0], [98.0, 83.7], 0.5, tap, tau)
    without = chill.fit_chill([0.0, 60.0], [98.0, 83.7], 0.5, tap)

    times = [chill.time_to_c(fit, 25.0, 0.0) for fit in (first, with_history, without)]

    assert times[0] is not None
    assert times[1] is not None
    assert times[2] is not None
    assert chill_design.time_to_target_s(_coil(), 25.0).value == pytest.approx(times[0].value, rel=0.01)
    assert times[1].sd < times[0].sd
    assert times[1].sd < 0.9 * times[2].sd


def test_the_forecast_with_history_covers_the_truth() -> None:
    """Over 200 chills drawn from the rig's history, 90 % bands after one and three readings hold the truth."""
    noise = np.random.default_rng(12)
    tau, tap = chill_design.tau_from_history(_coil()), Measured(15.0, 1.0)
    for count in (1, 3):
        within = 0
        for _ in range(200):
            tau_s, tap_c = float(noise.normal(tau.value, tau.sd)), float(noise.normal(tap.value, tap.sd))
            times = [90.0 * step for step in range(count)]
            read = [tap_c + (98.0 - tap_c) * math.exp(-at / tau_s) + float(noise.normal(0.0, 0.5)) for at in times]
            remaining = chill.time_to_c(chill.fit_chill(times, read, 0.5, tap, tau), 28.0, 0.0)
            assert remaining is not None
            truth = tau_s * math.log((98.0 - tap_c) / (28.0 - tap_c))
            within += abs(remaining.value - truth) <= 1.645 * remaining.sd
        assert 0.85 <= within / 200 <= 0.96


def test_a_changed_rig_outweighs_its_history() -> None:
    """When six readings fall twice as slowly as the rig ever did, they are believed and not the history."""
    tau = chill_design.tau_from_history(_coil())
    times = [120.0 * step for step in range(6)]
    slow_s = 2.0 * tau.value
    read = [15.0 + 83.0 * math.exp(-at / slow_s) for at in times]

    fit = chill.fit_chill(times, read, 0.3, Measured(15.0, 1.0), tau)

    assert slow_s == pytest.approx(fit.tau_s.value, rel=0.01)


@pytest.mark.parametrize(
    ("tap_c", "target_c", "end"),
    [
        (15.0, 25.0, ChillEnd.REACHES),
        (22.2, 20.0, ChillEnd.STALLS),
        (22.2, 22.6, ChillEnd.STALLS),
        (22.2, 24.0, ChillEnd.CANNOT_TELL),
        (22.2, 30.0, ChillEnd.REACHES),
    ],
)
def test_a_stall_is_seen_coming(tap_c: float, target_c: float, end: ChillEnd) -> None:
    """A tap of 72 °F stops near 75 °F: targets below it are not reached, above it are, near it cannot be told."""
    times = [150.0 * step for step in range(8)]
    read = [tap_c + (98.0 - tap_c) * math.exp(-at / 330.0) for at in times]
    fit = chill.fit_chill(times, read, 0.3, Measured(tap_c, 2.0))

    outlook = chill.chill_outlook(fit, target_c, times[-1])

    assert end is outlook.end
    assert tap_c + 1.65 == pytest.approx(outlook.stops_near.value, abs=0.2)
    assert (outlook.remaining is None) is (end is ChillEnd.STALLS)
    assert ("ice bath" in outlook.stops_near.note) is (end is not ChillEnd.REACHES)


def test_what_is_cold_already_does_not_stall() -> None:
    """A kettle that is at its target has reached it, however slow it has become."""
    times = [300.0 * step for step in range(8)]
    fit = chill.fit_chill(times, [20.0 + 78.0 * math.exp(-at / 300.0) for at in times], 0.3, Measured(20.0, 2.0))

    outlook = chill.chill_outlook(fit, 20.5, times[-1])

    assert outlook.end is ChillEnd.REACHES
    assert outlook.remaining is not None
    assert not outlook.remaining.value


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: chill_design.time_to_target_s(_coil(20.0), 20.0), "Water of 20 °C cannot cool wort to 20 °C"),
        (lambda: chill_design.water_used_l(_coil(20.0), 18.0), "Water of 20 °C cannot cool wort to 18 °C"),
        (lambda: chill_design.time_to_target_s(_coil(), 99.0), "from 0 to 98 °C, not 99 °C"),
        (lambda: chill_design.time_to_target_s(_coil(flow=0.0), 25.0), "flow of cooling water must be more than 0"),
        (lambda: chill_design.outlet_c(_coil(flow=0.0), Measured(98.0, 0.0)), "flow of cooling water"),
        (lambda: chill_design.outlet_c(_coil(), Measured(10.0, 0.0)), "from 15 to 110 °C, not 10 °C"),
        (lambda: chill_design.temperature_after_c(_coil(), -1.0), "at least 0 s"),
        (lambda: chill_design.effectiveness(-0.1), "at least 0, not -0.1"),
        (
            lambda: chill_design.strength_from_tau_w_per_k(
                Measured(100.0, 1.0), Measured(20.93, 0.1), 3900.0, Measured(6.0, 0.1)
            ),
            "No coil cools faster than 195 s",
        ),
        (lambda: chill.fit_chill([0.0], [98.0], 0.5, Measured(15.0, 1.0)), "needs 2 temperatures, not 1"),
        (
            lambda: chill.fit_chill([], [], 0.5, Measured(15.0, 1.0), Measured(300.0, 30.0)),
            "needs 1 temperature, not 0",
        ),
        (
            lambda: chill.fit_chill([0.0], [98.0], 0.5, Measured(15.0, 1.0), Measured(0.0, 30.0)),
            "time constant of the rig must be from 10",
        ),
        (
            lambda: chill.fit_chill([0.0], [98.0], 0.5, Measured(15.0, 1.0), Measured(300.0, 0.0)),
            "uncertainty of the rig's time constant",
        ),
    ],
)
def test_what_no_coil_can_do_is_refused(call: object, words: str) -> None:
    """Below the tap, without water, faster than physics: one sentence, never a value that is no number."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
