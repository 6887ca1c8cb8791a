"""What a brewer asks in plain words against the same worked apart from this code.

The values were worked with CoolProp (IAPWS-95), gsw, the ASBC polynomial and balances by hand, with the values that
`ask` takes where none is said. So wording, units, defaults and formula are checked together. Statuses as in
`test_published_values.py`.
"""

from __future__ import annotations

import json

import pytest
from command_line import Kettleside
from others_rows import Row, badly_told, rows_of

ROWS = rows_of("asked_values.csv")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['label']}: {row['question']}")
def test_answer_meets_the_value_worked_apart(row: Row, kettleside: Kettleside) -> None:
    """The figure of the answer is the one worked apart, with its unit, an uncertainty, a source and a verdict."""
    ran = kettleside("ask", "--json", row["question"])
    result = next(item for item in json.loads(ran.out)["results"] if item["label"] == row["label"])
    expected = float(row["value"])

    assert expected == pytest.approx(result["value"], abs=float(row["tolerance"]), rel=0)
    assert row["unit"] == result["unit"]
    assert result["sd"] > 0.0
    assert result["source"]
    assert result["verdict"]


def test_the_table_of_questions_is_told() -> None:
    """Every row has source, status and tolerance."""
    assert ROWS
    assert not badly_told(ROWS)
