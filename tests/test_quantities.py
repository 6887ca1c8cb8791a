"""Units of the trade: exact definitions, round trips, and refusals across dimensions."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities import CORE_UNIT, Measured, Unit, convert, dimension_of, from_core, to_core

# Plato and Brix need a density model and are tested with the scales.
_NEEDS_DENSITY = {Unit.PLATO, Unit.BRIX}
_PAIRS = [
    (one, other)
    for one in Unit
    for other in Unit
    if dimension_of(one) is dimension_of(other) and not {one, other} & _NEEDS_DENSITY
]


@pytest.mark.parametrize(
    ("expected", "value", "unit", "to"),
    [
        # Exact by definition (231 cubic inches, avoirdupois pound, international inch); LIB scipy.constants.
        (3.785411784, 1.0, Unit.US_GALLON, Unit.LITRE),
        (0.946352946, 1.0, Unit.US_QUART, Unit.LITRE),
        (0.45359237, 1.0, Unit.POUND, Unit.KILOGRAM),
        (28.349523125, 1.0, Unit.OUNCE, Unit.GRAM),
        (2.54, 1.0, Unit.INCH, Unit.CENTIMETRE),
        (100.0, 212.0, Unit.FAHRENHEIT, Unit.CELSIUS),
        (-40.0, -40.0, Unit.FAHRENHEIT, Unit.CELSIUS),
        (1.044, 44.0, Unit.POINTS, Unit.SPECIFIC_GRAVITY),
        (86400.0, 1.0, Unit.DAY, Unit.SECOND),
    ],
)
def test_exact_definitions(expected: float, value: float, unit: Unit, to: Unit) -> None:
    """A unit is what its definition says, to a billionth."""
    assert expected == pytest.approx(convert(value, unit, to), rel=1e-9)


@given(pair=st.sampled_from(_PAIRS), value=st.floats(-1e4, 1e4))
def test_there_and_back(pair: tuple[Unit, Unit], value: float) -> None:
    """Any value comes back from any unit of its dimension as it was."""
    one, other = pair
    assert value == pytest.approx(convert(convert(value, one, other), other, one), rel=1e-9, abs=1e-9)


@given(unit=st.sampled_from([unit for unit in Unit if unit not in _NEEDS_DENSITY]), value=st.floats(0.0, 1e4))
def test_through_the_core(unit: Unit, value: float) -> None:
    """The core's unit of a dimension is on the way of every conversion."""
    assert value == pytest.approx(from_core(to_core(value, unit), unit), rel=1e-9, abs=1e-9)
    assert CORE_UNIT[dimension_of(unit)] in Unit


@pytest.mark.parametrize(("unit", "to"), [(Unit.LITRE, Unit.KILOGRAM), (Unit.PLATO, Unit.SPECIFIC_GRAVITY)])
def test_what_cannot_be_converted_says_why(unit: Unit, to: Unit) -> None:
    """Two dimensions, or a scale that needs a density, are refused."""
    with pytest.raises(ValueError, match=r"measures|density model"):
        convert(1.0, unit, to)


@pytest.mark.parametrize(("value", "sd"), [(float("nan"), 0.1), (1.0, -0.1), (1.0, float("inf"))])
def test_a_measured_value_is_finite_and_never_surer_than_sure(value: float, sd: float) -> None:
    """No value without a number, no uncertainty below nothing."""
    with pytest.raises(ValueError, match="finite"):
        Measured(value, sd)
