"""Potentials, gravities and first worts from outside the project. Status words as in the other tables; CP is a
rule of the trade without a source.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.calculation import scales
from assistant.calculation.grain_bill import (
    Fermentable,
    Potential,
    extract_fraction,
    first_wort_sg,
    sg_of_extract,
)
from assistant.calculation.mash import water_l_to_kg
from assistant.quantities import Measured

ROWS = list(csv.DictReader((Path(__file__).parent / "grain_values.csv").open(encoding="utf-8", newline="")))


def _first_wort_plato(extract: float, water_kg: float) -> float:
    malt = Fermentable(Measured(100.0, 0.0), Measured(extract, 0.0), Potential.PERCENT_AS_IS, moisture=0.0)
    litres = Measured(water_kg / water_l_to_kg(1.0), 0.0)
    return scales.plato_from_sg(first_wort_sg([malt], litres, Measured(1.0, 0.0)).value)


FORMULAS: dict[str, Callable[..., float]] = {
    "extract of litre-degrees": lambda ldk: extract_fraction(ldk, Potential.POINTS_L_KG),
    "extract of points": lambda points: extract_fraction(points, Potential.POINTS_LB_GAL),
    "gravity of extract": sg_of_extract,
    "first wort": _first_wort_plato,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_grain_meets_the_value_from_outside(row: dict[str, str]) -> None:
    """Each value from outside comes out of our formula within the tolerance written beside it."""
    expected = float(row["value"])
    inputs = [float(pair.split("=")[1]) for pair in row["inputs"].split(";")]

    assert expected == pytest.approx(FORMULAS[row["quantity"]](*inputs), abs=float(row["tolerance"]), rel=0)


def test_every_grain_formula_has_values() -> None:
    """The table and the formulas name the same quantities, each value with source, status and tolerance."""
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}
    assert not [row for row in ROWS if not row["source"] or row["status"] not in {"CALC", "2ND", "MEM", "CP"}]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]
