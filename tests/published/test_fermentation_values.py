"""Alcohol, extract, calories and attenuation against values worked elsewhere.

Statuses as in `test_published_values.py`.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from others_rows import Row, badly_told, name_of, rows_of, value_from

from assistant.calculation import fermentation, scales, water
from assistant.quantities import Measured

ROWS = rows_of("fermentation_values.csv")

# Perry's Chemical Engineers' Handbook: density of ethanol in water at 20 °C, kg/L, by per cent by weight (2ND).
ETHANOL_PERCENT = (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
ETHANOL_KG_L = (0.99823, 0.99636, 0.99453, 0.99275, 0.99103, 0.98938, 0.98780, 0.98478, 0.98187)


def _exact(sg: float) -> Measured:
    return Measured(sg, 0.0)


def _abv_of_extracts(original: float, apparent: float) -> float:
    alcohol = fermentation.alcohol_by_weight_percent(original, fermentation.real_extract_plato(original, apparent))
    return fermentation.alcohol_by_volume_percent(alcohol, scales.sg_from_plato(apparent))


def _kcal_of_extracts(original: float, apparent: float, litres: float) -> float:
    sg = scales.sg_from_plato
    return fermentation.energy(_exact(sg(original)), _exact(sg(apparent)), litres).value


def _tabarie_plato(original: float, apparent: float) -> float:
    """Apparent extract of a beer with our real extract and alcohol, by Tabarié and Perry's densities alone."""
    real = fermentation.real_extract_plato(original, apparent)
    alcohol = fermentation.alcohol_by_weight_percent(original, real)
    density = float(np.interp(alcohol, ETHANOL_PERCENT, ETHANOL_KG_L))
    return scales.plato_from_sg(scales.sg_from_plato(real) + density / ETHANOL_KG_L[0] - 1.0)


FORMULAS: dict[str, Callable[..., float]] = {
    "real extract": fermentation.real_extract_plato,
    "alcohol by weight": fermentation.alcohol_by_weight_percent,
    "alcohol by volume": lambda og, fg: fermentation.alcohol_by_volume(_exact(og), _exact(fg)).balling.value,
    "alcohol by volume of extracts": _abv_of_extracts,
    "apparent attenuation": lambda og, fg: fermentation.attenuation(_exact(og), _exact(fg)).apparent.value,
    "real attenuation": lambda og, fg: fermentation.attenuation(_exact(og), _exact(fg)).real.value,
    "kcal": lambda og, fg, litres: fermentation.energy(_exact(og), _exact(fg), litres).value,
    "kcal of extracts": _kcal_of_extracts,
    "short rule": lambda og, fg: fermentation.alcohol_by_volume(_exact(og), _exact(fg)).short_rule.value,
    "original extract": fermentation.original_plato_from,
    "density of ethanol 20/20": lambda t: fermentation.ETHANOL_SG,
    "apparent extract by Tabarié": _tabarie_plato,
}


@pytest.mark.parametrize("row", ROWS, ids=name_of)
def test_fermentation_meets_published_value(row: Row) -> None:
    """Each value worked elsewhere comes out of our formula within the tolerance beside it."""
    expected = float(row["value"])

    assert expected == pytest.approx(value_from(row, FORMULAS), abs=float(row["tolerance"]), rel=0)


def test_the_table_of_fermentation_is_told() -> None:
    """Every row has source, status and tolerance, and every formula has a row."""
    assert not badly_told(ROWS)
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}


def test_ethanol_is_as_light_as_coolprop_says() -> None:
    """Ethanol at 20 °C over water at 20 °C is 0.7908 by CoolProp; ours is OIML's 0.7907."""
    ethanol_kg_m3 = PropsSI("D", "T", 293.15, "P", 101_325.0, "Ethanol")

    expected = ethanol_kg_m3 / water.density_kg_m3(20.0)

    assert expected == pytest.approx(fermentation.ETHANOL_SG, abs=2e-4)
