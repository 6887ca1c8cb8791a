"""Carbon dioxide in water and beer, and gas from sugar, against values worked elsewhere.

Statuses as in `test_published_values.py`.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from CoolProp.CoolProp import PropsSI
from others_rows import Row, badly_told, name_of, rows_of, value_from

from assistant.calculation import carbonation, pressure, priming
from assistant.calculation.molar_mass import molar_mass_g
from assistant.calculation.priming import Sugar
from assistant.quantities import Measured

ROWS = rows_of("carbonation_values.csv")
ATM_PA = 101_325.0


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def _exact(value: float) -> Measured:
    return Measured(value, 0.0)


def _keg_psi(volumes: float, temperature_c: float, air_pa: float) -> float:
    gauge = carbonation.keg_pressure(_exact(volumes), _exact(temperature_c), _exact(air_pa))
    return gauge.value / carbonation.PSI_PA


def _altitude_psi(altitude_m: float) -> float:
    return _keg_psi(2.5, 4.0, pressure.pressure_pa(altitude_m)) - _keg_psi(2.5, 4.0, ATM_PA)


def _primed(sugar: Sugar) -> Callable[[float, float, float], float]:
    def grams(litres: float, temperature_c: float, volumes: float) -> float:
        left = carbonation.residual(_exact(temperature_c), _exact(ATM_PA))
        return 1000.0 * priming.priming_sugar(_exact(litres), _exact(left.value), volumes, sugar).value

    return grams


def _gas(sugar: Sugar) -> Callable[[float], float]:
    return lambda grams: grams / priming.sugar_for_gas_kg(1.0, sugar)


def _for_a_volume(sugar: Sugar) -> Callable[[float], float]:
    return lambda volumes: volumes * priming.sugar_for_gas_kg(carbonation.VOLUME_G_PER_L, sugar)


def _dropped(original: float, now: float, final: float) -> float:
    return priming.if_it_drops(_exact(0.0), _exact(original), _exact(now), _exact(final)).volumes.value


def _krausen(beer_l: float, left: float, now: float) -> float:
    wort, end = _exact(1.048), _exact(1.012)
    told = priming.krausen_to_add(
        _exact(beer_l), _exact(left), 2.4, original_sg=wort, krausen_sg=_exact(now), final_sg=end
    )
    return told.value


PRIMERS = (Sugar.SUCROSE, Sugar.GLUCOSE, Sugar.GLUCOSE_MONOHYDRATE)

FORMULAS: dict[str, Callable[..., float]] = {
    "Henry's constant": carbonation.henry_mpa,
    "gas in water at 1 atm of gas": lambda t: carbonation.dissolved_in_water_g_per_l(ATM_PA, t),
    "volumes at 1 atm of gas": lambda t: (
        carbonation.dissolved_in_water_g_per_l(ATM_PA, t) / carbonation.VOLUME_G_PER_L
    ),
    "ideal volumes at 1 atm of gas": lambda t: (
        carbonation.dissolved_in_water_g_per_l(ATM_PA, t) / carbonation.IDEAL_VOLUME_G_PER_L
    ),
    "residual": lambda t, air: carbonation.residual(_exact(t), _exact(air)).value,
    "solubility": lambda t: (
        1000.0 * carbonation.dissolved_in_water_g_per_l(ATM_PA, t) / molar_mass_g("CO2") * 1000.0 / ATM_PA
    ),
    "volumes in water under pressure": lambda f, psi: carbonation.volumes_in_water(
        ATM_PA + psi * carbonation.PSI_PA, _celsius(f)
    ),
    "volumes in beer under pressure": lambda f, psi: (
        carbonation.keg_volumes(_exact(psi * carbonation.PSI_PA), _exact(_celsius(f)), _exact(ATM_PA)).value
    ),
    "pressure for volumes": _keg_psi,
    "pressure that 1500 m adds": _altitude_psi,
    **{f"gas of {sugar}": _gas(sugar) for sugar in PRIMERS},
    **{f"{sugar} for a volume": _for_a_volume(sugar) for sugar in PRIMERS},
    **{f"priming with {sugar}": _primed(sugar) for sugar in PRIMERS},
    "gas of a further drop": _dropped,
    "krausen": _krausen,
    "gas of extract": lambda grams: grams * priming.CO2_PER_EXTRACT_GROWING,
    "ethanol of sucrose": lambda grams: priming.ethanol_from_priming_kg(grams, Sugar.SUCROSE),
}


@pytest.mark.parametrize("row", ROWS, ids=name_of)
def test_carbonation_meets_published_value(row: Row) -> None:
    """Each value worked elsewhere comes out of our formula within the tolerance beside it."""
    expected = float(row["value"])

    assert expected == pytest.approx(value_from(row, FORMULAS), abs=float(row["tolerance"]), rel=0)


def test_the_table_of_carbonation_is_told() -> None:
    """Every row has source, status and tolerance, and every formula has a row."""
    assert not badly_told(ROWS)
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}


def test_a_volume_weighs_what_coolprop_says() -> None:
    """Carbon dioxide at 0 °C and 1 atm weighs 1.9768 g/L as a real gas (CoolProp, LIB)."""
    expected = PropsSI("D", "T", 273.15, "P", ATM_PA, "CO2")

    assert expected == pytest.approx(carbonation.VOLUME_G_PER_L, abs=2e-4)


def test_solubility_is_not_that_of_bunsen() -> None:
    """An old table still circulates, 1.7967 volumes at 0 °C and 0.9014 at 20; modern data: 1.70 and 0.89."""
    for temperature_c, old, expected in ((0.0, 1.7967, 1.70), (20.0, 0.9014, 0.89)):
        ours = FORMULAS["ideal volumes at 1 atm of gas"](temperature_c)

        assert expected == pytest.approx(ours, abs=0.005)
        assert abs(ours - old) > 0.009


def test_gauge_is_above_the_air_on_the_spot() -> None:
    """At 1500 m the gauge must show 2.43 psi more than at the sea (LIB): the pressure is that on the spot."""
    high, low = (_keg_psi(2.5, 4.0, pressure.pressure_pa(altitude)) for altitude in (1500.0, 0.0))
    expected = 2.43

    assert expected == pytest.approx(high - low, abs=0.01)
