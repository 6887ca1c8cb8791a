"""Gravity scales and the densities under them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import scales, sucrose, water
from assistant.quantities import OutsideRange, Unit

GRAVITY = st.floats(scales.LOWEST_SG, scales.HIGHEST_SG)
WORT = st.floats(1.0, scales.HIGHEST_SG)
TEMPERATURE = st.floats(0.0, 100.0)
GRAVITY_UNITS = [Unit.SPECIFIC_GRAVITY, Unit.POINTS, Unit.PLATO, Unit.BRIX]


@given(GRAVITY)
def test_plato_and_back(sg: float) -> None:
    """Gravity to Plato and back loses less than a millionth, below 1.000 too."""
    assert math.isclose(sg, scales.sg_from_plato(scales.plato_from_sg(sg)), abs_tol=1e-9)


@given(GRAVITY)
def test_vacuum_and_back(sg: float) -> None:
    """Gravity to vacuum and back is the same gravity."""
    assert math.isclose(sg, scales.sg_from_vacuum(scales.vacuum_sg(sg)), abs_tol=1e-12)


@given(st.floats(0.0, 30.0))
def test_the_cubic_and_back(plato: float) -> None:
    """Degrees to gravity by the trade's cubic and back are the same degrees."""
    assert math.isclose(plato, scales.plato_from_sg_asbc(scales.sg_from_plato_asbc(plato)), abs_tol=1e-9)


@given(GRAVITY, st.sampled_from(GRAVITY_UNITS))
def test_any_unit_and_back(sg: float, unit: Unit) -> None:
    """Gravity to any unit and back is the same gravity."""
    assert math.isclose(sg, scales.sg_from(scales.sg_to(sg, unit), unit), abs_tol=1e-9)


@given(st.floats(0.985, 1.16), TEMPERATURE)
def test_any_reference_and_back(sg: float, reference_c: float) -> None:
    """Gravity to another reference temperature and back is the same gravity."""
    on_scale = scales.sg_at_reference(sg, reference_c)

    assert math.isclose(sg, scales.sg_from_reference(on_scale, reference_c), abs_tol=1e-9)


@given(st.floats(0.0, 0.70), TEMPERATURE)
def test_density_and_back(mass_fraction: float, temperature_c: float) -> None:
    """Mass fraction to density and back is the same mass fraction, at any temperature."""
    density = sucrose.density_kg_m3(mass_fraction, temperature_c)

    assert math.isclose(mass_fraction, sucrose.mass_fraction_from_density(density, temperature_c), abs_tol=1e-10)


@given(st.floats(0.0, 0.69), TEMPERATURE)
def test_more_sugar_is_denser(mass_fraction: float, temperature_c: float) -> None:
    """Density rises with sugar everywhere, so its inverse has one answer."""
    more = sucrose.density_kg_m3(mass_fraction + 0.01, temperature_c)

    assert sucrose.density_kg_m3(mass_fraction, temperature_c) < more


def test_water_has_no_extract() -> None:
    """Water is 1.000 and 0 °P, exactly."""
    water_sg, water_plato = scales.sg_from_plato(0.0), scales.plato_from_sg(1.0)

    assert (water_sg, water_plato) == (1.0, 0.0)


def test_beer_lighter_than_water_has_negative_apparent_extract() -> None:
    """Below 1.000 Plato goes on smoothly below zero, as dry beers need."""
    just_below, just_above = scales.plato_from_sg(0.9999), scales.plato_from_sg(1.0001)

    assert just_below < 0.0 < just_above
    assert math.isclose(-just_below, just_above, rel_tol=1e-3)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: water.density_kg_m3(-0.1), "0 to 100 °C, not -0.1 °C"),
        (lambda: water.density_kg_m3(100.1), "0 to 100 °C, not 100.1 °C"),
        (lambda: water.density_kg_m3(math.nan), "0 to 100 °C, not a value that is no number"),
        (lambda: sucrose.density_kg_m3(0.71, 20.0), "0 to 0.7, not 0.71"),
        (lambda: sucrose.density_kg_m3(-0.01, 20.0), "0 to 0.7, not -0.01"),
        (lambda: sucrose.density_kg_m3(0.1, 101.0), "0 to 100 °C, not 101 °C"),
        (lambda: sucrose.mass_fraction_from_density(990.0, 20.0), "from 998.2 to"),
        (lambda: scales.plato_from_sg(1.2), "0.980 to 1.170 SG, not 1.200 SG"),
        (lambda: scales.sg_from_plato(40.0), "°P, not 40 °P"),
        (lambda: scales.sg_from(440.0, Unit.POINTS), "0.950 to 1.170 SG, not 1.440 SG"),
        (lambda: scales.sg_to(0.9, Unit.POINTS), "0.980 to 1.170 SG, not 0.900 SG"),
        (lambda: scales.plato_from_sg_asbc(0.999), "1.000 to 1.130 SG, not 0.999 SG"),
    ],
)
def test_outside_its_range_a_scale_refuses_with_the_limit(call: object, words: str) -> None:
    """Beyond its range a formula gives one sentence with the limits and what was asked, never a number."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)


@pytest.mark.parametrize("call", [scales.sg_from, scales.sg_to])
def test_a_unit_that_is_no_gravity_is_refused(call: object) -> None:
    """Litres are no gravity."""
    assert callable(call)
    with pytest.raises(ValueError, match="gravity"):
        call(1.0, Unit.LITRE)
