"""Refractometer readings in beer against values worked elsewhere; statuses as in `test_published_values.py`.

The table's readings were worked on the refractive index itself, ours on the straight 0.41 °Bx to a per cent by
weight of alcohol: they differ by up to 0.055 °Bx or 0.4 points, a fifth of what such a reading is good for.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from others_rows import Row, badly_told, name_of, rows_of, value_from

from assistant.calculation import fermentation, scales
from assistant.calculation import fermenting_refractometer as refractometer

ROWS = rows_of("refractometer_in_beer_values.csv")

FORMULAS: dict[str, Callable[..., float]] = {
    "real extract": fermentation.real_extract_plato,
    "alcohol by weight": fermentation.alcohol_by_weight_percent,
    "reading in beer": refractometer.reading_in_beer_brix,
    "gravity of the beer": lambda original, apparent: scales.sg_from_plato(apparent),
    "gravity from the reading": lambda original, brix: scales.sg_from_plato(
        refractometer.apparent_plato_from_reading(original, brix)
    ),
    "Terrill linear": refractometer.terrill_linear_sg,
    "Terrill cubic": refractometer.terrill_cubic_sg,
    "older cubic": refractometer.older_cubic_sg,
}


@pytest.mark.parametrize("row", ROWS, ids=name_of)
def test_reading_in_beer_meets_published_value(row: Row) -> None:
    """Each value worked elsewhere comes out of our formula within the tolerance beside it."""
    expected = float(row["value"])

    assert expected == pytest.approx(value_from(row, FORMULAS), abs=float(row["tolerance"]), rel=0)


def test_the_tables_of_readings_in_beer_are_told() -> None:
    """Every row has source, status and tolerance, and every formula has a row."""
    assert not badly_told(ROWS)
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}
