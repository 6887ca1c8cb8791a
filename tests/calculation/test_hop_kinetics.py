"""Alpha acid over a temperature history."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from assistant.calculation import hop_kinetics as hops
from assistant.quantities import OutsideRange

BOIL_AND_COOL = [(0.0, 60.0), (1200.0, 99.97), (4800.0, 99.97), (5100.0, 80.0), (6300.0, 80.0), (9000.0, 18.0)]

_TEMPERATURES = st.floats(15.0, 105.0)
_HISTORIES = st.lists(st.tuples(st.floats(1.0, 3000.0), _TEMPERATURES), min_size=2, max_size=6).map(
    lambda steps: [(sum(step[0] for step in steps[: index + 1]), step[1]) for index, step in enumerate(steps)]
)


def _by_scipy(history: list[tuple[float, float]], from_s: float, until_s: float) -> list[float]:
    """The same reactions by an integrator that knows nothing of our steps; its own Arrhenius terms."""
    times, temperatures = zip(*history, strict=True)

    def change(at_s: float, amounts: list[float]) -> list[float]:
        kelvin = float(np.interp(at_s, times, temperatures)) + 273.15
        k1, k2 = 7.9e11 / 60 * math.exp(-11858 / kelvin), 4.1e12 / 60 * math.exp(-12994 / kelvin)
        return [-k1 * amounts[0], k1 * amounts[0] - k2 * amounts[1], k2 * amounts[1]]

    amounts = [1.0, 0.0, 0.0]
    breaks = [from_s, *(time for time in times if from_s < time < until_s), until_s]
    for start, end in pairwise(breaks):
        amounts = solve_ivp(change, (start, end), amounts, rtol=1e-10, atol=1e-13).y[:, -1].tolist()
    return amounts


@pytest.mark.parametrize("from_s", [0.0, 1200.0, 3000.0, 4800.0, 6000.0])
@pytest.mark.parametrize("until_s", [6100.0, 9000.0])
def test_a_whole_day_agrees_with_scipy(from_s: float, until_s: float) -> None:
    """Heating, boil, hop stand and cooling come out as solve_ivp integrates them, to a millionth."""
    expected = _by_scipy(BOIL_AND_COOL, from_s, until_s)

    got = hops.after_history(BOIL_AND_COOL, from_s, until_s)

    assert expected == pytest.approx([got.alpha, got.iso, got.degraded], abs=1e-6)


def test_a_pressure_kettle_that_heats_up_agrees_with_scipy() -> None:
    """Where both reactions are fast and the temperature moves, the steps are good to five millionths."""
    history = [(0.0, 100.0), (1800.0, 130.0), (3600.0, 95.0)]
    expected = _by_scipy(history, 0.0, 3600.0)

    got = hops.after_history(history, 0.0, 3600.0)

    assert expected == pytest.approx([got.alpha, got.iso, got.degraded], abs=5e-6)


@given(_HISTORIES)
def test_nothing_is_lost(history: list[tuple[float, float]]) -> None:
    """What was alpha acid is alpha, iso or degraded, and none of them is negative."""
    got = hops.after_history(history, history[0][0], history[-1][0])

    assert 1.0 == pytest.approx(got.alpha + got.iso + got.degraded, abs=1e-12)
    assert min(got.alpha, got.iso, got.degraded) >= 0.0


@given(_HISTORIES, st.lists(st.floats(0.0, 1.0), max_size=5), st.floats(0.3, 1.0), st.floats(0.5, 2.0))
def test_a_hop_bill_in_one_walk_is_each_addition_alone(
    history: list[tuple[float, float]], shares: list[float], end: float, factor: float
) -> None:
    """The one walk over all additions gives what each gives by itself, and nothing for those not yet in."""
    start_s, span_s = history[0][0], history[-1][0] - history[0][0]
    times = [start_s + share * span_s for share in shares]
    until_s = start_s + end * span_s
    expected = [
        hops.after_history(history, at_s, until_s, factor).iso if at_s <= until_s else 0.0 for at_s in times
    ]

    # The one walk cuts the history at every addition, the walk for one only at its own: their steps differ.
    assert expected == pytest.approx(list(hops.iso_at_end(history, times, until_s, factor)), abs=1e-5)


@given(_HISTORIES, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_an_earlier_addition_turns_more(history: list[tuple[float, float]], first: float, second: float) -> None:
    """Of two additions the earlier never has more alpha acid left."""
    start_s, end_s = history[0][0], history[-1][0]
    early, late = sorted(start_s + share * (end_s - start_s) for share in (first, second))

    assert hops.after_history(history, early, end_s).alpha <= hops.after_history(history, late, end_s).alpha + 1e-12


def test_hops_that_go_in_at_the_very_end_turn_nothing() -> None:
    """A time that rounding put a hair behind the end is the end, not a mistake of the brewer."""
    end_s = 4098.025809948492

    assert hops.FRESH == hops.after_history([(0.0, 100.0), (end_s, 100.0)], math.nextafter(end_s, math.inf), end_s)


@given(st.floats(80.0, 110.0), st.floats(0.0, 4000.0), st.floats(0.0, 4000.0))
def test_a_held_stretch_may_be_cut_anywhere(temperature_c: float, first_s: float, second_s: float) -> None:
    """Two stretches one after the other are one stretch of both."""
    expected = hops.after_holding(temperature_c, first_s + second_s)

    got = hops.after_holding(temperature_c, second_s, hops.after_holding(temperature_c, first_s))

    assert [expected.alpha, expected.iso] == pytest.approx([got.alpha, got.iso], abs=1e-12)


@given(st.floats(85.0, 120.0), st.floats(0.01, 0.58))
def test_time_for_iso_undoes_holding(temperature_c: float, iso_fraction: float) -> None:
    """The time found gives the fraction that was asked for."""
    seconds = hops.time_for_iso_s(iso_fraction, temperature_c)

    assert iso_fraction == pytest.approx(hops.after_holding(temperature_c, seconds).iso, abs=1e-9)


@given(st.floats(60.0, 128.0))
def test_the_most_iso_is_a_summit(temperature_c: float) -> None:
    """A little before and a little after the time of most iso there is less."""
    at_s = hops.time_of_most_iso_s(temperature_c)
    around = [hops.after_holding(temperature_c, share * at_s).iso for share in (0.95, 1.0, 1.05)]

    assert around[1] == max(around)


@given(st.floats(0.0, 128.0))
def test_hotter_is_faster(temperature_c: float) -> None:
    """Both rates rise with the temperature, the loss more steeply."""
    ratios = [
        rate(temperature_c + 2.0) / rate(temperature_c)
        for rate in (hops.isomerisation_rate_per_s, hops.degradation_rate_per_s)
    ]

    assert 1.0 < ratios[0] < ratios[1]


def test_a_jump_in_the_history_takes_no_time() -> None:
    """Two points of one time, such as cold water poured in, count as a step."""
    history = [(0.0, 100.0), (600.0, 100.0), (600.0, 70.0), (1200.0, 70.0)]
    expected = hops.after_holding(70.0, 600.0, hops.after_holding(100.0, 600.0))

    assert expected.iso == pytest.approx(hops.after_history(history, 0.0, 1200.0).iso, abs=1e-12)


def test_faster_rates_are_a_longer_time() -> None:
    """Rates doubled do in half the time what plain ones do."""
    expected = hops.after_holding(100.0, 3600.0)

    got = hops.after_history([(0.0, 100.0), (1800.0, 100.0)], 0.0, 1800.0, rate_factor=2.0)

    assert [expected.alpha, expected.iso] == pytest.approx([got.alpha, got.iso], abs=1e-12)


def test_what_is_made_below_ninety_degrees_is_told() -> None:
    """A stand at 80 °C lies wholly below the measurements, a boil wholly within them, cold hops make nothing."""
    stand, boil, cold = ([(0.0, at_c), (1200.0, at_c)] for at_c in (80.0, 99.97, 0.0))

    assert 1.0 == pytest.approx(hops.share_turned_below(stand, 0.0, 1200.0, 90.0))
    assert not hops.share_turned_below(boil, 0.0, 1200.0, 90.0)
    assert not hops.share_turned_below(cold, 600.0, 600.0, 90.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: hops.isomerisation_rate_per_s(131.0), "from 0 to 130 °C, not 131 °C"),
        (lambda: hops.degradation_rate_per_s(-1.0), "from 0 to 130 °C, not -1 °C"),
        (lambda: hops.after_holding(100.0, -1.0), "at least 0 s, not -1 s"),
        (lambda: hops.after_holding(100.0, 60.0, rate_factor=0.0), "more than 0, not 0"),
        (lambda: hops.time_for_iso_s(0.7, 100.0), "from 0 to 0.632, not 0.7"),
        (lambda: hops.after_history([(0.0, 99.0), (60.0, 99.0)], -5.0, 60.0), "from 0 to 60 s, not -5 s"),
        (lambda: hops.after_history([(0.0, 99.0), (60.0, 99.0)], 0.0, 61.0), "from 0 to 60 s, not 61 s"),
        (lambda: hops.after_history([(0.0, 99.0), (60.0, 99.0)], 50.0, 40.0), "after the time asked for"),
        (lambda: hops.after_history([(0.0, 99.0), (60.0, 150.0)], 0.0, 60.0), "from 0 to 130 °C"),
    ],
)
def test_what_does_not_hold_is_refused(call: object, words: str) -> None:
    """Temperatures and times that the kinetics do not cover get one sentence with the limit."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)


@pytest.mark.parametrize("history", [[], [(0.0, 99.0)], [(60.0, 99.0), (0.0, 99.0)]])
def test_a_broken_history_is_a_mistake_of_the_caller(history: list[tuple[float, float]]) -> None:
    """A history must have two points and not run backwards."""
    with pytest.raises(ValueError, match="at least two points"):
        hops.after_history(history, 0.0, 30.0)
