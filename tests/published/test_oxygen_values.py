"""Oxygen values from outside the project, each with its source, status and tolerance, against our formulas."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from pathlib import Path

import gsw
import pytest

from assistant.calculation import oxygen, pressure, scales, water
from assistant.calculation.oxygen import Gas
from assistant.quantities import Measured

ROWS = list(csv.DictReader((Path(__file__).parent / "oxygen_values.csv").open(encoding="utf-8", newline="")))
STATUSES = {"SRC", "2ND", "LIB", "CALC", "MEM", "MEM+"}


def _moles_per_l(plato: float) -> float:
    """The moles behind the wort factor, found again from two of its values."""
    sg = scales.sg_from_plato(plato)
    return math.log10(oxygen.wort_factor(sg, 0.1) / oxygen.wort_factor(sg, 0.2)) / 0.1


def _distance_of_wort(temperature_c: float, published_mg_per_l: float) -> float:
    told = oxygen.saturation_mg_per_l(
        Measured(temperature_c, 0.0), Measured(101_325.0, 0.0), Measured(scales.sg_from_plato(15.0), 0.0), Gas.AIR
    )
    return (told.value - published_mg_per_l) / told.sd


FORMULAS: dict[str, Callable[..., float]] = {
    "oxygen in water": oxygen.in_water_mg_per_l,
    "under pure oxygen": oxygen.in_water_under_oxygen_mg_per_l,
    "oxygen at altitude": lambda t, z: oxygen.in_water_mg_per_l(t, pressure.pressure_pa(z)),
    "moles of extract as sucrose": _moles_per_l,
    "wort factor at K 0.135": lambda plato: oxygen.wort_factor(scales.sg_from_plato(plato), 0.135),
    "wort of 15 °P, distance in standard uncertainties": _distance_of_wort,
    "wort factor at 12 °P": lambda: oxygen.wort_factor(scales.sg_from_plato(12.0)),
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_oxygen_formula_meets_published_value(row: dict[str, str]) -> None:
    """Each published value comes out of our formula within the tolerance written beside it."""
    inputs = [float(pair.split("=")[1]) for pair in row["inputs"].split(";") if pair]

    got = FORMULAS[row["quantity"]](*inputs)

    assert float(row["value"]) == pytest.approx(got, abs=float(row["tolerance"]), rel=0)


def test_every_oxygen_row_is_told_where_it_comes_from() -> None:
    """No published value stands without a source, a known status and a tolerance above zero."""
    assert ROWS
    assert not [row for row in ROWS if not row["source"] or row["status"] not in STATUSES]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}


@pytest.mark.parametrize("temperature_c", [0.0, 4.0, 11.0, 19.0, 27.0, 35.0])
def test_the_oceanographers_fit_agrees(temperature_c: float) -> None:
    """The TEOS-10 library's fit of the same measurements (Garcia and Gordon, 1992) lies within 0.003 mg/L."""
    micromoles_per_kg = float(gsw.O2sol_SP_pt(0.0, temperature_c))
    expected = micromoles_per_kg * 31.9988e-6 * water.density_kg_m3(temperature_c)

    assert expected == pytest.approx(oxygen.in_water_mg_per_l(temperature_c, 101_325.0), abs=0.003)


@pytest.mark.parametrize("temperature_c", [0.0, 10.0, 20.0, 30.0])
def test_the_two_printed_forms_of_the_pressure_term_agree(temperature_c: float) -> None:
    """θ is printed over °C and over K (9.672e-3 - 4.942e-5 T + 6.436e-8 T²); both agree at 0.7 atm."""
    kelvin, p = temperature_c + 273.15, 0.7
    theta = 9.672e-3 - 4.942e-5 * kelvin + 6.436e-8 * kelvin**2
    vapour = math.exp(11.8571 - 3840.70 / kelvin - 216_961.0 / kelvin**2)
    expected = (
        oxygen.in_water_mg_per_l(temperature_c, 101_325.0)
        * (p - vapour)
        * (1.0 - theta * p)
        / ((1.0 - vapour) * (1.0 - theta))
    )

    assert expected == pytest.approx(oxygen.in_water_mg_per_l(temperature_c, 70_927.5), abs=2e-4)
