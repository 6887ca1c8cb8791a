"""Heat, boiling and fuel: what is put in comes out, and what cannot be is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from assistant.calculation import extract, fuel, heat, pressure, steam, volumes
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

GRAVITY = st.floats(1.0, 1.10)


def _exact(*values: float) -> list[Measured]:
    return [Measured(value, 0.0) for value in values]


@pytest.mark.parametrize("temperature_c", range(1, 106, 4))
def test_latent_heat_meets_iapws_95(temperature_c: int) -> None:
    """The heat of evaporation is within 0.02 % of IAPWS-95 (CoolProp) from 1 to 105 °C."""
    kelvin = temperature_c + 273.15
    expected = PropsSI("H", "T", kelvin, "Q", 1, "Water") - PropsSI("H", "T", kelvin, "Q", 0, "Water")

    assert expected == pytest.approx(steam.latent_heat_j_per_kg(float(temperature_c)), rel=2e-4)


@given(st.floats(0.0, 0.39), st.floats(55e3, 105e3))
def test_stronger_wort_boils_hotter(mass_fraction: float, pressure_pa: float) -> None:
    """More extract raises the boiling point, at any air pressure."""
    weaker = steam.boiling_point_elevation_k(mass_fraction, pressure_pa)

    assert weaker < steam.boiling_point_elevation_k(mass_fraction + 0.01, pressure_pa)


@given(st.floats(0.0, 0.25), st.floats(60e3, 105e3))
def test_two_models_of_the_elevation_agree(mass_fraction: float, pressure_pa: float) -> None:
    """Starzak and Peacock and Norrish are within 0.01 K of each other in any wort, far inside the ±0.1 K stated."""
    one = steam.boiling_point_elevation_k(mass_fraction, pressure_pa)

    assert math.isclose(one, steam.boiling_point_elevation_norrish_k(mass_fraction, pressure_pa), abs_tol=0.01)


def test_water_has_no_elevation() -> None:
    """Without extract wort boils where water boils."""
    told = steam.wort_boiling_point_c(*_exact(1.0, 84_559.7))

    assert pressure.boiling_point_c(84_559.7) == pytest.approx(told.value, abs=1e-9)


@given(st.floats(0.0, 0.3), st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_heat_is_the_integral_of_the_specific_heat(mass_fraction: float, low_c: float, high_c: float) -> None:
    """Heat to warm is the integral of the specific heat over the span (scipy quad), and cooling gives it back."""
    expected, _ = quad(lambda t: heat.specific_heat_j_per_kg_k(mass_fraction, t), low_c, high_c)

    assert math.isclose(expected, heat.heat_to_warm_j(1.0, mass_fraction, low_c, high_c), abs_tol=1e-3)
    assert math.isclose(expected, -heat.heat_to_warm_j(1.0, mass_fraction, high_c, low_c), abs_tol=1e-3)


@given(st.floats(5.0, 60.0), GRAVITY, st.floats(5.0, 60.0), st.floats(5.0, 40.0), st.floats(500.0, 6000.0))
def test_net_power_undoes_heat_up(litres: float, sg: float, low_c: float, rise_k: float, watt: float) -> None:
    """The power found from a measured heat-up is the power that the heat-up was reckoned with."""
    told = heat.heat_up_minutes(*_exact(litres, sg, low_c, low_c + rise_k, watt), vessel_j_per_k=2500.0)

    again = heat.net_power_w(*_exact(litres, sg, low_c, low_c + rise_k, told.value), vessel_j_per_k=2500.0)

    assert math.isclose(watt, again.value, rel_tol=1e-9)


@given(st.floats(0.5, 12.0), st.floats(85.0, 101.0))
def test_power_and_boil_off_undo_each_other(litres_per_h: float, boiling_c: float) -> None:
    """The power for a boil-off boils off just that."""
    watt = heat.power_for_boil_off_w(*_exact(litres_per_h, boiling_c)).value

    assert math.isclose(litres_per_h, heat.boil_off_l_per_h(*_exact(watt, boiling_c)).value, rel_tol=1e-9)


@given(
    st.floats(10.0, 60.0),
    st.floats(1.001, 1.08),
    st.floats(0.0, 0.25),
    st.floats(10.0, 90.0),
    st.floats(60.0, 100.0),
)
def test_dipsticks_find_the_water_that_left(
    litres: float, sg: float, share: float, minutes: float, wort_c: float
) -> None:
    """Two hot volumes of a simulated boil give back the water that was taken out of it."""
    after_l, after_sg = extract.evaporate(litres, sg, share * litres)
    hot_before_l = volumes.volume_at_temperature_l(litres, wort_c, sg)
    hot_after_l = volumes.volume_at_temperature_l(after_l, wort_c, after_sg)

    told = heat.boil_off_from_dipsticks_l_per_h(
        *_exact(hot_before_l, min(hot_after_l, hot_before_l), minutes, sg, wort_c)
    )

    assert math.isclose(share * litres, told.value * minutes / 60.0, rel_tol=1e-6, abs_tol=1e-7)


def test_dipstick_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of a boil-off from two dipsticks is that of 4000 simulated measurements, within 5 %."""
    inputs = [Measured(26.0, 0.25), Measured(22.0, 0.25), Measured(60.0, 1.0), Measured(1.044, 0.001)]
    told = heat.boil_off_from_dipsticks_l_per_h(*inputs, Measured(98.0, 0.5))
    rng = np.random.default_rng(7)
    columns = [rng.normal(item.value, item.sd, 4000) for item in [*inputs, Measured(98.0, 0.5)]]

    simulated = [heat.boil_off_from_dipsticks_l_per_h(*_exact(*draw)).value for draw in zip(*columns, strict=True)]

    assert float(np.std(simulated)) == pytest.approx(told.sd, rel=0.05)


def test_heat_up_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of a heat-up time is that of 4000 simulated brews, the specific heat's spread included."""
    inputs = [Measured(25.0, 0.5), Measured(1.044, 0.002), Measured(66.0, 0.5), Measured(99.0, 0.5)]
    told = heat.heat_up_minutes(*inputs, Measured(2800.0, 150.0))
    rng = np.random.default_rng(8)
    columns = [rng.normal(item.value, item.sd, 4000) for item in [*inputs, Measured(2800.0, 150.0)]]
    spread = rng.normal(1.0, heat.SPECIFIC_HEAT_SD, 4000)

    simulated = [
        factor * heat.heat_up_minutes(*_exact(*draw)).value
        for factor, draw in zip(spread, zip(*columns, strict=True), strict=True)
    ]

    assert float(np.std(simulated)) == pytest.approx(told.sd, rel=0.05)


@given(st.floats(500.0, 5000.0), st.floats(0.1, 2.0), st.floats(5.0, 90.0))
def test_gas_needed_undoes_burner_efficiency(watt: float, more_kg: float, minutes: float) -> None:
    """With the efficiency found from a weighed bottle, the gas for the same heat is what was weighed."""
    burnt_kg = watt * 60.0 * minutes / fuel.heating_value_j_per_kg(fuel.Fuel.PROPANE) + more_kg
    share = fuel.burner_efficiency(*_exact(watt, burnt_kg, minutes)).value

    again = fuel.gas_needed_kg(
        Measured(60.0 * watt * minutes, 0.0), fuel.Fuel.PROPANE, Measured(max(share, 0.05), 0.0)
    )

    assert share < 0.05 or math.isclose(burnt_kg, again.value, rel_tol=1e-9)


def test_an_assumed_efficiency_is_told_as_a_rule() -> None:
    """With our default efficiency the answer is a rule of thumb, with the brewer's own it is not."""
    joule = Measured(6.6e6, 0.0)

    assert Verdict.RULE_OF_THUMB is fuel.gas_needed_kg(joule).verdict
    assert Verdict.RULE_OF_THUMB is fuel.electricity_needed_kwh(joule).verdict
    assert Verdict.INSIDE is fuel.gas_needed_kg(joule, efficiency=Measured(0.5, 0.05)).verdict


def test_mash_heats_as_its_parts() -> None:
    """A mash takes the heat of its water and of its malt: 15 kg and 5 kg at 0.40 weigh as 17 kg of water."""
    minutes = heat.direct_heat_minutes(*_exact(5.0, 15.0, 52.0, 67.0, 2000.0), moisture=0.04)
    expected = 17.0 * 4186.8 * 15.0 / 2000.0 / 60.0

    assert expected == pytest.approx(minutes.value, rel=1e-9)


def test_every_result_names_a_known_source() -> None:
    """What the room of heat tells is traced to the table of sources."""
    keys = {
        heat.heat_up_minutes(*_exact(20.0, 1.048, 20.0, 100.0, 3000.0)).source,
        heat.direct_heat_minutes(*_exact(5.0, 15.0, 52.0, 67.0, 2000.0)).source,
        heat.boil_off_l_per_h(*_exact(3000.0, 100.0)).source,
        heat.boil_off_from_dipsticks_l_per_h(*_exact(26.0, 22.0, 60.0, 1.044, 98.0)).source,
        steam.wort_boiling_point_c(*_exact(1.048, 101_325.0)).source,
        fuel.gas_needed_kg(Measured(1e6, 0.0)).source,
        fuel.electricity_needed_kwh(Measured(1e6, 0.0)).source,
    }

    assert not keys - set(SOURCES)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: heat.heat_up_minutes(*_exact(20.0, 1.048, 90.0, 70.0, 3000.0)), "A burner cannot cool"),
        (lambda: heat.heat_up_minutes(*_exact(20.0, 1.048, 20.0, 70.0, 0.0)), "more than 0 W, not 0 W"),
        (lambda: heat.heat_up_minutes(*_exact(20.0, 1.048, 20.0, 120.0, 3000.0)), "0 to 105 °C, not 120 °C"),
        (lambda: heat.net_power_w(*_exact(20.0, 1.048, 70.0, 70.0, 30.0)), "more than 0 K, not 0 K"),
        (lambda: heat.boil_off_from_dipsticks_l_per_h(*_exact(22.0, 26.0, 60.0, 1.044, 98.0)), "at most 22 L"),
        (lambda: heat.boil_off_from_dipsticks_l_per_h(*_exact(26.0, 22.0, 0.0, 1.044, 98.0)), "more than 0 min"),
        (lambda: heat.boil_off_from_dipsticks_l_per_h(*_exact(26.0, 2.0, 60.0, 1.06, 98.0)), "0 to 0.4"),
        (lambda: heat.malt_specific_heat_j_per_kg_k(0.12), "0 to 0.08, not 0.12"),
        (lambda: steam.wort_boiling_point_c(*_exact(1.048, 0.0)), "pressure must be from 50000"),
        (lambda: steam.boiling_point_elevation_k(0.6, 101_325.0), "0 to 0.4, not 0.6"),
        (lambda: fuel.burner_efficiency(*_exact(9000.0, 0.1, 60.0)), "0 to 1, not"),
        (lambda: fuel.gas_needed_kg(Measured(1e6, 0.0), efficiency=Measured(0.0, 0.0)), "0.05 to 1, not 0"),
    ],
)
def test_heat_outside_its_range_is_refused(call: object, words: str) -> None:
    """Beyond its range a formula gives one sentence with the limit and what was asked."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
