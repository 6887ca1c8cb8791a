"""Yeast rules as the trade states them, each with its source and status, against our code.

Besides the status words of `test_published_values`: CP common practice, no source. Such rows hold our rule to what
is said in the trade; they prove nothing about yeast.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.calculation import scales, yeast
from assistant.calculation.yeast import Ferment
from assistant.quantities import Measured

ROWS = list(csv.DictReader((Path(__file__).parent / "yeast_values.csv").open(encoding="utf-8", newline="")))
STATUSES = {"SRC", "2ND", "LIB", "CALC", "MEM", "MEM+", "CP"}


def _cells(ferment: Ferment, litres: float, plato: float) -> float:
    return yeast.cells_needed_e9(Measured(litres, 0.0), Measured(scales.sg_from_plato(plato), 0.0), ferment).value


def _growth_per_g(start_e9: float, extract_g: float) -> float:
    made = yeast.cells_after_starter_e9(Measured(start_e9, 0.0), Measured(extract_g, 0.0)).value
    return (made - start_e9) / extract_g


FORMULAS: dict[str, Callable[..., float]] = {
    "cells for an ale": lambda litres, plato: _cells(Ferment.ALE, litres, plato),
    "cells for a lager": lambda litres, plato: _cells(Ferment.LAGER, litres, plato),
    "pitching rate for ale": lambda: yeast.PITCH_RATE_E6[Ferment.ALE],
    "pitching rate for lager": lambda: yeast.PITCH_RATE_E6[Ferment.LAGER],
    "middle of both rates": lambda: sum(yeast.PITCH_RATE_E6.values()) / 2.0,
    "dry yeast cells per g": lambda: 180.0 / yeast.dry_yeast_g(Measured(180.0, 0.0)).value,
    "slurry cells per mL": lambda: 180.0 / yeast.slurry_ml(Measured(180.0, 0.0), Measured(1.0, 0.0)).value,
    "living after a month": lambda days: yeast.viability(Measured(days, 0.0)).value,
    "new cells per g of extract at low inoculation": _growth_per_g,
    "new cells per g of extract when full": _growth_per_g,
    # 100 g of dry malt extract dissolved in a litre of starter, counted as extract.
    "grams of extract in a litre of starter": lambda: scales.sg_from_plato(
        100.0 * yeast.STARTER_G_PER_L / (1000.0 * 1.037)
    ),
    "speed ten degrees warmer": lambda t, reference: yeast.fermentation_speed(Measured(t, 0.0), reference).value,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_yeast_rule_meets_what_is_said(row: dict[str, str]) -> None:
    """Each figure of the trade comes out of our rule within the tolerance written beside it."""
    inputs = [float(pair.split("=")[1]) for pair in row["inputs"].split(";") if pair]

    got = FORMULAS[row["quantity"]](*inputs)

    assert float(row["value"]) == pytest.approx(got, abs=float(row["tolerance"]), rel=0)


def test_every_yeast_row_is_told_where_it_comes_from() -> None:
    """No figure stands without a source, a known status and a tolerance above zero."""
    assert ROWS
    assert not [row for row in ROWS if not row["source"] or row["status"] not in STATUSES]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}
