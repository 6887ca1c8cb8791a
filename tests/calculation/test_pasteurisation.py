"""Pasteurisation: exact integrals, against scipy; inverses; the thermometer's error; refusals."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from assistant.calculation import pasteurisation
from assistant.calculation.results import Verdict
from assistant.quantities import Measured, OutsideRange

TIMES_S = (0.0, 420.0, 900.0, 1500.0, 1980.0)
TEMPERATURES_C = (18.0, 55.0, 64.0, 62.5, 30.0)


def test_a_history_meets_scipy() -> None:
    """The units of a history of straight lines are scipy's integral of 1.393^(T - 60)."""
    expected = (
        sum(
            quad(lambda s: 1.393 ** (np.interp(s, TIMES_S, TEMPERATURES_C) - 60.0), start, end)[0]
            for start, end in pairwise(TIMES_S)
        )
        / 60.0
    )

    result = pasteurisation.units_of_history(TIMES_S, TEMPERATURES_C, 0.0)

    assert expected == pytest.approx(result.value, rel=1e-8)


def test_a_history_meets_the_fine_trapezoid() -> None:
    """The same by trapezoids of a second on the rate, within 0.01 %."""
    seconds = np.arange(0.0, TIMES_S[-1] + 1.0)
    rates = 1.393 ** (np.interp(seconds, TIMES_S, TEMPERATURES_C) - 60.0)
    expected = float(np.sum((rates[1:] + rates[:-1]) / 2.0)) / 60.0

    assert expected == pytest.approx(pasteurisation.units_of_history(TIMES_S, TEMPERATURES_C, 0.0).value, rel=1e-4)


@given(st.floats(40.0, 80.0), st.floats(1.0, 3600.0))
def test_a_level_history_is_a_hold(temperature_c: float, seconds: float) -> None:
    """Two readings of one temperature are a hold of that time."""
    hold = pasteurisation.units(Measured(seconds / 60.0, 0.0), Measured(temperature_c, 0.0))
    history = pasteurisation.units_of_history((0.0, seconds), (temperature_c, temperature_c), 0.0)

    assert hold.value == pytest.approx(history.value, rel=1e-12)


@given(st.floats(45.0, 70.0), st.floats(45.0, 70.0), st.floats(0.1, 0.9))
def test_a_reading_on_the_line_changes_nothing(first_c: float, last_c: float, share: float) -> None:
    """One more reading on the straight line between two leaves the units as they are."""
    between = first_c + share * (last_c - first_c)
    plain = pasteurisation.units_of_history((0.0, 1000.0), (first_c, last_c), 0.0)
    split = pasteurisation.units_of_history((0.0, 1000.0 * share, 1000.0), (first_c, between, last_c), 0.0)

    assert plain.value == pytest.approx(split.value, rel=1e-9)


@given(st.floats(0.1, 200.0), st.floats(50.0, 75.0))
def test_minutes_for_units_give_the_units(units: float, temperature_c: float) -> None:
    """Holding for the minutes told gives the units wanted."""
    minutes = pasteurisation.minutes_for_units(units, Measured(temperature_c, 0.0)).value

    held = pasteurisation.units(Measured(minutes, 0.0), Measured(temperature_c, 0.0))

    assert units == pytest.approx(held.value, rel=1e-12)


def test_a_wrong_thermometer_moves_all_of_it() -> None:
    """Half a kelvin of error moves the whole history by a sixth, not by an average that cancels."""
    warmer = tuple(temperature + 0.5 for temperature in TEMPERATURES_C)
    cooler = tuple(temperature - 0.5 for temperature in TEMPERATURES_C)
    high, low = (pasteurisation.units_of_history(TIMES_S, history, 0.0).value for history in (warmer, cooler))

    result = pasteurisation.units_of_history(TIMES_S, TEMPERATURES_C, 0.5)

    assert (high - low) / 2.0 == pytest.approx(result.sd, rel=0.01)


def test_very_hot_beer_is_near_the_limit() -> None:
    """Above 70 °C, where published forms part, the verdict says so."""
    assert pasteurisation.units(Measured(1.0, 0.0), Measured(72.0, 0.5)).verdict is Verdict.NEAR_LIMIT
    assert pasteurisation.units(Measured(1.0, 0.0), Measured(62.0, 0.5)).verdict is Verdict.INSIDE


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: pasteurisation.units(Measured(1.0, 0.0), Measured(85.0, 0.0)), "0 to 80 °C, not 85 °C"),
        (lambda: pasteurisation.units(Measured(-1.0, 0.0), Measured(60.0, 0.0)), "at least 0 min"),
        (lambda: pasteurisation.units_of_history((0.0,), (60.0,), 0.0), "at least two readings"),
        (lambda: pasteurisation.units_of_history((0.0, 0.0), (60.0, 60.0), 0.0), "must rise"),
    ],
)
def test_impossible_pasteurisation_is_refused(call: object, words: str) -> None:
    """Too hot, backwards in time and too few readings get one sentence."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
