"""Values from outside the project, each with its source, status and tolerance, against our formulas.

Status: SRC the source itself was seen; 2ND seen in a secondary reproduction; LIB computed with a general
reference library; CALC arithmetic apart from this code; MEM from memory; MEM+ from memory and reproduced.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.calculation import (
    chill,
    extract,
    hydrometer,
    pressure,
    refractometer,
    scales,
    sucrose,
    volumes,
    water,
)
from assistant.quantities import Measured

ROWS = list(csv.DictReader((Path(__file__).parent / "published_values.csv").open(encoding="utf-8", newline="")))
STATUSES = {"SRC", "2ND", "LIB", "CALC", "MEM", "MEM+"}


def _hydrometer_points(reading: float, sample: float, calibration: float) -> float:
    # The table was computed without air: its readings and results are brought to and from the apparent scale.
    water_kg_m3 = water.density_kg_m3(calibration)
    apparent = (reading * water_kg_m3 - scales.AIR_KG_M3) / (water_kg_m3 - scales.AIR_KG_M3)
    corrected = hydrometer.correct(
        apparent, sample, calibration_c=calibration, reading_sd_sg=0.0005, thermometer_sd_c=0.5
    )
    above = (scales.sg_at_reference(corrected.value, calibration) - 1.0) * (water_kg_m3 - scales.AIR_KG_M3)
    return 1000.0 * (1.0 + above / water_kg_m3 - reading)


def _borosilicate_points(sample: float) -> float:
    soda_lime, borosilicate = (
        hydrometer.correct(
            1.050, sample, calibration_c=20.0, reading_sd_sg=0.0, thermometer_sd_c=0.0, expansion_per_k=per_k
        )
        for per_k in (hydrometer.GLASS_EXPANSION_PER_K, hydrometer.BOROSILICATE_EXPANSION_PER_K)
    )
    return 1000.0 * (borosilicate.value - soda_lime.value)


def _saccharometer_brix(brix: float, sample: float) -> float:
    reading = scales.sg_from_plato(brix)
    corrected = hydrometer.correct(reading, sample, calibration_c=20.0, reading_sd_sg=0.0005, thermometer_sd_c=0.5)
    return scales.plato_from_sg(corrected.value) - brix


def _contraction_percent(plato: float, hot: float, cold: float) -> float:
    sg = scales.sg_from_plato(plato)
    hot_l = volumes.volume_at_temperature_l(1.0, hot, sg)
    return 100.0 * (1.0 - volumes.volume_at_temperature_l(1.0, cold, sg) / hot_l)


def _minutes_to_cool(tau: float, coolant: float, start: float, target: float) -> float:
    exact = ((0.0, 0.0, 0.0),) * 3
    fit = chill.ChillFit(0.0, Measured(start, 0.0), Measured(coolant, 0.0), Measured(60.0 * tau, 0.0), exact, 3)
    remaining = chill.time_to_c(fit, target, 0.0)
    assert remaining is not None
    return remaining.value / 60.0


def _chill_curve_c(minutes: float) -> float:
    # Known of the tank: 20.93 kg at 3900 J/(kg K), 6 L/min of water at 15 °C, effectiveness 0.6158.
    tau_s = 20.93 * 3900.0 / (0.6158 * 6.0 * 0.999 / 60.0 * 4186.0)
    exact = ((0.0, 0.0, 0.0),) * 3
    fit = chill.ChillFit(0.0, Measured(98.0, 0.0), Measured(15.0, 0.0), Measured(tau_s, 0.0), exact, 3)
    return chill.temperature_at_c(fit, 60.0 * minutes).value


FORMULAS: dict[str, Callable[..., float]] = {
    "water density": water.density_kg_m3,
    "sucrose density": lambda percent, t: sucrose.density_kg_m3(percent / 100.0, t),
    "vacuum SG of Plato": lambda plato: scales.vacuum_sg(scales.sg_from_plato(plato)),
    "ASBC SG of Plato": scales.sg_from_plato_asbc,
    "SG of Plato": scales.sg_from_plato,
    "SG 60/60 of Plato": lambda plato: scales.sg_at_reference(scales.sg_from_plato(plato), (60.0 - 32.0) / 1.8),
    "Plato of SG": scales.plato_from_sg,
    "ASBC Plato": scales.plato_from_sg_asbc,
    "hydrometer correction": _hydrometer_points,
    "borosilicate above soda-lime glass": _borosilicate_points,
    "saccharometer correction": _saccharometer_brix,
    "refractometer correction": refractometer.temperature_correction_brix,
    "boiling point in K": lambda pa: pressure.boiling_point_c(pa) + 273.15,
    "boiling point": pressure.boiling_point_c,
    "vapour pressure in MPa": lambda kelvin: pressure.vapour_pressure_pa(kelvin - 273.15) / 1e6,
    "pressure at altitude": pressure.pressure_pa,
    "boiling point at altitude": pressure.boiling_point_at_altitude_c,
    "contraction": _contraction_percent,
    "extract of a litre": lambda sg, litres: extract.extract_kg(litres, sg),
    "mass of wort": lambda plato, litres: extract.wort_kg(litres, scales.sg_from_plato(plato)),
    "volume after boiling": lambda litres, sg, water: extract.evaporate(litres, sg, water)[0],
    "gravity after boiling": lambda litres, sg, water: extract.evaporate(litres, sg, water)[1],
    "minutes to cool": _minutes_to_cool,
    "chill curve": _chill_curve_c,
}


def _inputs(text: str) -> list[float]:
    """The values of "name=value;name=value", in the order in which the formula takes them."""
    return [float(pair.split("=")[1]) for pair in text.split(";")]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_formula_meets_published_value(row: dict[str, str]) -> None:
    """Each published value comes out of our formula within the tolerance written beside it."""
    expected = float(row["value"])

    got = FORMULAS[row["quantity"]](*_inputs(row["inputs"]))

    assert expected == pytest.approx(got, abs=float(row["tolerance"]), rel=0)


def test_every_row_is_told_where_it_comes_from() -> None:
    """No published value stands without a source, a known status and a tolerance above zero."""
    assert ROWS
    assert not [row for row in ROWS if not row["source"] or row["status"] not in STATUSES]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]


def test_every_formula_has_a_row() -> None:
    """The table of values and the table of formulas name the same quantities."""
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}
