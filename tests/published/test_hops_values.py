"""Hop values from outside the project, each with its source, status and tolerance, against our formulas.

Status words as in `test_published_values`. The kinetics' equations stand in an abstract that was read; what is
worked out from them apart from this code is CALC.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.calculation import hop_kinetics, hop_utilisation, pressure
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort
from assistant.quantities import Measured

ROWS = list(csv.DictReader((Path(__file__).parent / "hops_values.csv").open(encoding="utf-8", newline="")))
STATUSES = {"SRC", "2ND", "LIB", "CALC", "MEM", "MEM+"}


def _activation_energy_kj_mol(rate: Callable[[float], float]) -> float:
    """Slope of the logarithm of the rate over 1/T, from 90 to 130 °C."""
    return -8.314462618e-3 * math.log(rate(130.0) / rate(90.0)) / (1.0 / 403.15 - 1.0 / 363.15)


def _at(altitude_m: float) -> float:
    return pressure.boiling_point_at_altitude_c(altitude_m)


def _iso(temperature_c: float, minutes: float) -> float:
    return hop_kinetics.after_holding(temperature_c, 60.0 * minutes).iso


def _tinseth_ibu(grams: float, alpha: float, minutes: float, sg: float, litres: float) -> float:
    hops = HopAddition(Measured(grams / 1000.0, 0.0), Measured(alpha, 0.0), 0.0)
    wort = HoppedWort(Measured(litres, 0.0), Measured(sg, 0.0))
    return hop_utilisation.tinseth_ibu(hops, 60.0 * minutes, wort).value


def _rager_percent(minutes: float, sg: float) -> float:
    return 100.0 * hop_utilisation.rager_utilisation(60.0 * minutes, sg)


FORMULAS: dict[str, Callable[..., float]] = {
    "k1": lambda t: 60.0 * hop_kinetics.isomerisation_rate_per_s(t),
    "k2": lambda t: 60.0 * hop_kinetics.degradation_rate_per_s(t),
    "alpha half-life": lambda t: math.log(2.0) / (60.0 * hop_kinetics.isomerisation_rate_per_s(t)),
    "alpha left": lambda t, minutes: hop_kinetics.after_holding(t, 60.0 * minutes).alpha,
    "iso": _iso,
    "degraded": lambda t, minutes: hop_kinetics.after_holding(t, 60.0 * minutes).degraded,
    "time of most iso": lambda t: hop_kinetics.time_of_most_iso_s(t) / 60.0,
    "most iso": lambda t: hop_kinetics.after_holding(t, hop_kinetics.time_of_most_iso_s(t)).iso,
    "activation energy of k1 from the rates": lambda: _activation_energy_kj_mol(
        hop_kinetics.isomerisation_rate_per_s
    ),
    "activation energy of k2 from the rates": lambda: _activation_energy_kj_mol(
        hop_kinetics.degradation_rate_per_s
    ),
    "k1 at 90 over k1 at 100": lambda: (
        hop_kinetics.isomerisation_rate_per_s(90.0) / hop_kinetics.isomerisation_rate_per_s(100.0)
    ),
    "boiling point at altitude": _at,
    "k1 against sea level": lambda z: (
        hop_kinetics.isomerisation_rate_per_s(_at(z)) / hop_kinetics.isomerisation_rate_per_s(_at(0.0))
    ),
    "iso at altitude": lambda z: _iso(_at(z), 60.0),
    "utilisation against sea level": lambda z: _iso(_at(z), 60.0) / _iso(_at(0.0), 60.0),
    "minutes for the yield of 60 at sea level": lambda z: (
        hop_kinetics.time_for_iso_s(_iso(_at(0.0), 60.0), _at(z)) / 60.0
    ),
    "Tinseth utilisation": lambda minutes, sg: hop_utilisation.tinseth_utilisation(60.0 * minutes, sg),
    "Tinseth IBU": _tinseth_ibu,
    "mg per L of an ounce in a US gallon at alpha 1": lambda: (
        2.0 * hop_utilisation.ibu(0.028349523125, 0.5, 1.0, 3.785411784)
    ),
    "Rager utilisation": _rager_percent,
    "Rager gravity divisor": lambda sg: _rager_percent(60.0, 1.040) / _rager_percent(60.0, sg),
    "recovery implied at 100 °C": lambda: hop_utilisation.tinseth_utilisation(3600.0, 1.050) / _iso(100.0, 60.0),
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_hop_formula_meets_published_value(row: dict[str, str]) -> None:
    """Each published value comes out of our formula within the tolerance written beside it."""
    inputs = [float(pair.split("=")[1]) for pair in row["inputs"].split(";") if pair]

    got = FORMULAS[row["quantity"]](*inputs)

    assert float(row["value"]) == pytest.approx(got, abs=float(row["tolerance"]), rel=0)


def test_every_hop_row_is_told_where_it_comes_from() -> None:
    """No published value stands without a source, a known status and a tolerance above zero."""
    assert ROWS
    assert not [row for row in ROWS if not row["source"] or row["status"] not in STATUSES]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}
