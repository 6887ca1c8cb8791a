"""Volumes of vessels from outside the project, against our geometry. Status words as in the other tables."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.calculation.vessels import Bottom, Vessel, bottom_depth_m, volume_in_vessel_l

ROWS = list(csv.DictReader((Path(__file__).parent / "vessels_values.csv").open(encoding="utf-8", newline="")))


def _torispherical(diameter: float, f: float, k: float) -> Vessel:
    return Vessel(diameter, 0.5, Bottom.TORISPHERICAL, dish_ratio=f, knuckle_ratio=k)


def _head_volume_over_cube(f: float, k: float) -> float:
    head = _torispherical(1.0, f, k)
    return volume_in_vessel_l(head, bottom_depth_m(head)) / 1000.0


FORMULAS: dict[str, Callable[..., float]] = {
    "torispherical depth": lambda diameter, f, k: bottom_depth_m(_torispherical(diameter, f, k)),
    "torispherical volume": lambda diameter, f, k, depth: volume_in_vessel_l(_torispherical(diameter, f, k), depth),
    "cap volume": lambda diameter, dish, depth: volume_in_vessel_l(Vessel(diameter, 0.5, Bottom.CAP, dish), depth),
    "cylinder volume": lambda diameter, depth: volume_in_vessel_l(Vessel(diameter, 0.5), depth),
    "head volume over cube": _head_volume_over_cube,
    "head depth over diameter": lambda f, k: bottom_depth_m(_torispherical(1.0, f, k)),
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_geometry_meets_the_value_from_outside(row: dict[str, str]) -> None:
    """Each volume or depth from outside comes out of our geometry within the tolerance written beside it."""
    expected = float(row["value"])
    inputs = [float(pair.split("=")[1]) for pair in row["inputs"].split(";")]

    assert expected == pytest.approx(FORMULAS[row["quantity"]](*inputs), abs=float(row["tolerance"]), rel=0)


def test_every_shape_has_values() -> None:
    """The table and the formulas name the same quantities, each value with source, status and tolerance."""
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}
    assert not [row for row in ROWS if not row["source"] or row["status"] not in {"LIB", "MEM"}]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]
