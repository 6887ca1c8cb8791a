"""Reading the tables of published values that stand beside this file, in the columns of `published_values.csv`."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from pathlib import Path

STATUSES = {"SRC", "2ND", "LIB", "CALC", "MEM", "MEM+", "CP"}

Row = dict[str, str]


def rows_of(file_name: str) -> list[Row]:
    """The rows of `file_name` in this folder."""
    return list(csv.DictReader((Path(__file__).parent / file_name).open(encoding="utf-8", newline="")))


def name_of(row: Row) -> str:
    """A short name for a row, for the list of tests."""
    return f"{row['quantity']} {row['inputs']} {row['status']}"


def value_from(row: Row, formulas: Mapping[str, Callable[..., float]]) -> float:
    """What our formula makes of the inputs "name=value;name=value" of `row`, taken in their order."""
    return formulas[row["quantity"]](*(float(pair.split("=")[1]) for pair in row["inputs"].split(";")))


def badly_told(rows: list[Row]) -> list[Row]:
    """The rows without a source, a known status or a tolerance above zero."""
    return [
        row
        for row in rows
        if not row["source"] or row["status"] not in STATUSES or not float(row["tolerance"]) > 0.0
    ]
