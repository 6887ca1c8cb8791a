"""Refractometer, air pressure and boiling point; uncertainty; refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import limits, pressure, refractometer, scales
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange


@given(st.floats(0.0, 30.0), st.floats(1.0, 1.06))
def test_the_wort_factor_divides(brix: float, factor: float) -> None:
    """A refractometer's Brix divided by the wort factor is the Plato of the wort."""
    wort = refractometer.sg_from_reading(brix, wort_factor=factor, sd_brix=0.2)

    assert math.isclose(brix / factor, scales.plato_from_sg(wort.value), abs_tol=1e-6)


def test_brix_uncertainty_becomes_gravity_uncertainty() -> None:
    """0.2 °Bx around 12 is 0.8 points: a degree is 4.2 points there, less the wort factor."""
    wort = refractometer.sg_from_reading(12.5, wort_factor=1.04, sd_brix=0.2, wort_factor_sd=0.0)
    expected = 0.2 * 0.0042 / 1.04

    assert expected == pytest.approx(wort.sd, rel=0.01)


@given(st.floats(0.0, 30.0), st.floats(10.0, 29.0), st.floats(0.1, 1.0))
def test_a_warmer_prism_gets_a_larger_correction(brix: float, prism_c: float, more: float) -> None:
    """The correction rises with the temperature of the prism, everywhere in the table."""
    cooler = refractometer.temperature_correction_brix(brix, prism_c)

    assert cooler < refractometer.temperature_correction_brix(brix, prism_c + more)


def test_above_twenty_brix_the_last_column_is_held() -> None:
    """Strong wort gets the correction of 20 °Bx rather than a guess."""
    expected = refractometer.temperature_correction_brix(20.0, 27.0)

    assert expected == refractometer.temperature_correction_brix(26.0, 27.0)


@given(st.floats(pressure.LOWEST_M, pressure.HIGHEST_M))
def test_altitude_to_boiling_point_and_back(altitude_m: float) -> None:
    """The altitude that a boiling point tells is the one it came from, within a centimetre."""
    boiling_c = pressure.boiling_point_at_altitude_c(altitude_m)

    assert math.isclose(altitude_m, pressure.altitude_from_boiling_point_m(boiling_c), abs_tol=0.01)


@given(st.floats(1.0, 370.0))
def test_boiling_point_and_vapour_pressure_are_one_curve(temperature_c: float) -> None:
    """The two equations of the saturation line undo each other."""
    vapour_pa = pressure.vapour_pressure_pa(temperature_c)

    assert math.isclose(temperature_c, pressure.boiling_point_c(vapour_pa), abs_tol=1e-5)


@given(st.floats(-500.0, 5900.0))
def test_higher_up_water_boils_cooler(altitude_m: float) -> None:
    """A hundred metres cost about a third of a kelvin."""
    lost = pressure.boiling_point_at_altitude_c(altitude_m) - pressure.boiling_point_at_altitude_c(
        altitude_m + 100.0
    )

    assert 0.32 < lost < 0.35


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: refractometer.sg_from_reading(-1.0, wort_factor=1.04, sd_brix=0.2), "0 to 32 °Bx, not -1 °Bx"),
        (lambda: refractometer.sg_from_reading(33.0, wort_factor=1.04, sd_brix=0.2), "0 to 32 °Bx, not 33 °Bx"),
        (lambda: refractometer.sg_from_reading(12.0, wort_factor=1.5, sd_brix=0.2), "0.95 to 1.1, not 1.5"),
        (lambda: refractometer.temperature_correction_brix(12.0, 31.0), "10 to 30 °C, not 31 °C"),
        (lambda: refractometer.temperature_correction_brix(12.0, 9.0), "10 to 30 °C, not 9 °C"),
        (lambda: pressure.pressure_pa(7000.0), "-500 to 6000 m, not 7000 m"),
        (lambda: pressure.boiling_point_c(-5.0), "Pa, not -5 Pa"),
        (lambda: pressure.vapour_pressure_pa(-1.0), "°C, not -1 °C"),
        (lambda: pressure.altitude_from_boiling_point_m(75.0), "°C, not 75 °C"),
        (lambda: limits.require_positive("The rate", math.inf, "L/h"), "more than 0 L/h, not a value that is no"),
    ],
)
def test_outside_the_range_comes_a_sentence(call: object, words: str) -> None:
    """Beyond its range a formula gives one sentence with the limits and what was asked."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)


@pytest.mark.parametrize("value", [0.0, 100.0, 100.0 + 1e-9])
def test_a_limit_itself_is_inside(value: float) -> None:
    """The limits belong to the range, with rounding at them."""
    limits.require_within("The sample", value, 0.0, 100.0, "°C")


@given(st.floats(-50.0, 50.0), st.floats(0.01, 5.0), st.floats(0.01, 5.0))
def test_a_sum_adds_the_squares(value: float, first_sd: float, second_sd: float) -> None:
    """The uncertainty of 2a - 3b is the root of the summed squares (JCGM 100:2008, 5.1.2)."""
    expected = math.hypot(2.0 * first_sd, 3.0 * second_sd)

    result = propagate(lambda a, b: 2.0 * a - 3.0 * b, Measured(value, first_sd), Measured(1.0, second_sd))

    assert math.isclose(expected, result.sd, rel_tol=1e-6)


def test_at_the_edge_of_a_range_the_slope_is_taken_from_inside() -> None:
    """A thermometer that shows 100 °C, the end of the range, still gets its uncertainty."""
    middle = propagate(pressure.pressure_pa, Measured(5999.0, 10.0))
    edge = propagate(pressure.pressure_pa, Measured(6000.0, 10.0))

    assert middle.sd == pytest.approx(edge.sd, rel=0.01)


def test_an_exact_input_adds_nothing() -> None:
    """An input without uncertainty leaves only the model's own."""
    assert propagate(lambda x: x, Measured(1.0, 0.0), model_sd=0.3) == Measured(1.0, 0.3)
