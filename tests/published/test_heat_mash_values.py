"""Values from outside the project on heat and mash, against our formulas.

Status: SRC the source itself was seen; 2ND seen in a secondary reproduction; LIB computed with a general
reference library; CALC arithmetic apart from this code; MEM from memory.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.calculation import extract, fuel, heat, mash, pressure, scales, steam
from assistant.quantities import Measured

TABLES = ("heat_values.csv", "mash_values.csv")
ROWS = [
    row
    for table in TABLES
    for row in csv.DictReader((Path(__file__).parent / table).open(encoding="utf-8", newline=""))
]
STATUSES = {"SRC", "2ND", "LIB", "CALC", "MEM", "MEM+"}


def _exact(*values: float) -> list[Measured]:
    return [Measured(value, 0.0) for value in values]


def _boil_off(altitude_m: float) -> float:
    boiling_c = pressure.boiling_point_at_altitude_c(altitude_m)
    return heat.boil_off_l_per_h(*_exact(1000.0, boiling_c)).value


def _wort(litres: float, plato: float) -> tuple[float, float]:
    return extract.wort_kg(litres, scales.sg_from_plato(plato)), plato / 100.0


def _strike(ratio: float, measured_c: float) -> float:
    # The table counts kilograms of water, or litres as hot as they are measured.
    litres = ratio / mash.water_l_to_kg(1.0, 20.0) if measured_c == 20.0 else ratio
    grain_kg, water_l, grain_c = _exact(1.0, litres, 20.0)
    return mash.strike_c(
        grain_kg, water_l, 67.0, grain_c, boiling_c=100.0, slaking=False, water_measured_c=measured_c
    ).value


def _mash_c(thickness: float, grain_c: float, liquor_c: float, moisture: float) -> float:
    return mash.mash_temperature_c(1.0, grain_c, thickness, liquor_c, moisture=moisture / 100.0)


def _slaking_rise_k(moisture: float) -> float:
    # Of a mash of 2.68 kg of water on 1 kg of malt, against the same mash without the heat of wetting.
    wetted, plain = (
        mash.mash_temperature_c(1.0, 20.0, 2.68, 70.0, moisture=moisture / 100.0, slaking=slaking)
        for slaking in (True, False)
    )
    return wetted - plain


def _mash_f(thickness: float, grain_f: float, liquor_f: float, moisture: float, slaking_f: float) -> float:
    plain_c = mash.mash_temperature_c(
        1.0, (grain_f - 32.0) / 1.8, thickness, (liquor_f - 32.0) / 1.8, moisture=moisture / 100.0, slaking=False
    )
    return 1.8 * plain_c + 32.0 + slaking_f


FORMULAS: dict[str, Callable[..., float]] = {
    "latent heat": lambda t: steam.latent_heat_j_per_kg(t) / 1000.0,
    "latent heat at altitude": lambda z: (
        steam.latent_heat_j_per_kg(pressure.boiling_point_at_altitude_c(z)) / 1000.0
    ),
    "boil-off of a net kilowatt": lambda z: 0.9982031 * _boil_off(z),
    "litres boiled off by a net kilowatt": _boil_off,
    "gallons boiled off by a net kilowatt": lambda z: _boil_off(z) / 3.785411784,
    "power for a boil-off": lambda litres: heat.power_for_boil_off_w(*_exact(litres, 99.974)).value / 1000.0,
    "specific heat of wort": lambda percent, t: heat.specific_heat_j_per_kg_k(percent / 100.0, t) / 1000.0,
    "heat to warm": lambda litres, plato, low, high: heat.heat_to_warm_j(*_wort(litres, plato), low, high) / 1e6,
    "minutes to warm": lambda litres, plato, low, high, kw: (
        heat.heat_up_minutes(*_exact(litres, scales.sg_from_plato(plato), low, high, 1000.0 * kw)).value
    ),
    "boiling point elevation": lambda percent: steam.boiling_point_elevation_k(percent / 100.0, 101_325.0),
    "boiling point elevation, Norrish": lambda percent: steam.boiling_point_elevation_norrish_k(
        percent / 100.0, 101_325.0
    ),
    "specific heat of malt against water": lambda moisture: (
        heat.malt_specific_heat_j_per_kg_k(moisture / 100.0) / 4186.8
    ),
    "mash temperature": _mash_c,
    "mash temperature in Fahrenheit": _mash_f,
    "slaking rise": _slaking_rise_k,
    "strike temperature": lambda ratio: _strike(ratio, 20.0),
    "strike temperature of hot litres": lambda ratio: _strike(ratio, 72.0),
    "net heating value": lambda carbon: (
        fuel.heating_value_j_per_kg(
            {1: fuel.Fuel.METHANE, 3: fuel.Fuel.PROPANE, 4: fuel.Fuel.BUTANE}[round(carbon)]
        )
        / 1e6
    ),
}


def _inputs(text: str) -> list[float]:
    return [float(pair.split("=")[1]) for pair in text.split(";")]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_formula_meets_the_value_from_outside(row: dict[str, str]) -> None:
    """Each value from outside comes out of our formula within the tolerance written beside it."""
    expected = float(row["value"])

    got = FORMULAS[row["quantity"]](*_inputs(row["inputs"]))

    assert expected == pytest.approx(got, abs=float(row["tolerance"]), rel=0)


def test_every_value_has_a_source_a_status_and_a_tolerance() -> None:
    """No value stands without a source, a known status and a tolerance above zero."""
    assert ROWS
    assert not [row for row in ROWS if not row["source"] or row["status"] not in STATUSES]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]


def test_values_and_formulas_name_the_same_quantities() -> None:
    """A formula without a value, or a value without a formula, is noticed."""
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}
