"""Quantities as a brewer writes them."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.day.plan import Amount
from assistant.day.plan_fields import GravityField, GravityStepField, QuantityField, RateField
from assistant.day.plan_kettle_fields import AmountField
from assistant.day.plan_quantity import UNIT_WORDS, FieldMistake, Written, find_unit, near_unit, read_written
from assistant.quantities import Dimension, Unit, from_core

VOLUME = QuantityField("19 L", Dimension.VOLUME, 0.0, 500.0)
TEMPERATURE = QuantityField("67 C", Dimension.TEMPERATURE, -20.0, 110.0)
STEP = QuantityField("1 C", Dimension.TEMPERATURE, 0.0, 10.0, difference=True)
LENGTH = QuantityField("36 cm", Dimension.LENGTH, -500.0, 9000.0)
MASS = QuantityField("4 kg", Dimension.MASS, 0.0, 200.0)
DURATION = QuantityField("75 min", Dimension.DURATION, 0.0, 1e6)


@pytest.mark.parametrize(
    ("expected", "read", "text"),
    [
        # US gallon of 231 cubic inches, NIST Handbook 44 App. C: exact.
        (5.25 * 3.785411784, VOLUME.read, "5.25 gal"),
        (19.0, VOLUME.read, "19 L"),
        (19.0, VOLUME.read, " 19litres "),
        (0.5, VOLUME.read, ".5 l"),
        (0.25, VOLUME.read, "250 mL"),
        (0.946352946, VOLUME.read, "1 qt"),
        (66.6666667, TEMPERATURE.read, "152 F"),
        (66.6666667, TEMPERATURE.read, "152 °F"),
        (67.0, TEMPERATURE.read, "67 deg C"),
        (-5.0, TEMPERATURE.read, "\N{MINUS SIGN}5 °C"),
        (5 / 9, STEP.read, "1 F"),
        (0.36, LENGTH.read, "36 cm"),
        # The inch of 25.4 mm and the foot of 12 inches are exact.
        (14 * 0.0254, LENGTH.read, "14 in"),
        (5200 * 0.3048, LENGTH.read, "5200 ft"),
        (120.0, LENGTH.read, "120 m"),
        # The pound of 453.59237 g is exact.
        (11 * 0.45359237, MASS.read, "11 lb"),
        (0.75 * 0.028349523125, MASS.read, "0.75 oz"),
        (4500.0, DURATION.read, "75 min"),
        (5400.0, DURATION.read, "1.5 h"),
        (3.5, RateField("3.5 L/h", 100.0).read, "3.5 L/h"),
        (3.6, RateField("3.5 L/h", 100.0).read, "60 mL per min"),
        (3.785411784, RateField("3.5 L/h", 100.0).read, "1 gal/h"),
        (8.0, RateField("8 L/min", 100.0, Unit.MINUTE).read, "480 L/h"),
        (1.044, GravityField().read, 1.044),
        (1.044, GravityField().read, "1.044"),
        (1.044, GravityField().read, "1.044 SG"),
        (1.044, GravityField().read, "44 points"),
        (0.002, GravityStepField().read, "2 points"),
        (0.002, GravityStepField().read, 0.002),
    ],
)
def test_a_quantity_is_read_in_the_unit_of_the_core(
    expected: float, read: Callable[[object], float], text: object
) -> None:
    """Every way of writing a quantity gives its value in °C, L, m, kg, s or SG."""
    assert pytest.approx(expected, abs=1e-5) == read(text)


@pytest.mark.parametrize(
    ("expected", "plato"), [(1.01567, 4), (1.04003, 10), (1.04418, 11), (1.06111, 15), (1.07413, 18)]
)
def test_plato_is_read_as_the_published_polynomial_has_it(expected: float, plato: int) -> None:
    """A gravity in Plato becomes the SG of the ASBC polynomial inverted, within its spread of 5e-5."""
    assert pytest.approx(expected, abs=5e-5) == GravityField().read(f"{plato} P")


@given(
    st.decimals(-99999, 99999, allow_nan=False, allow_infinity=False, places=3),
    st.sampled_from(Unit),
    st.sampled_from([None, Unit.HOUR, Unit.MINUTE]),
)
def test_what_is_written_is_read_back_exactly(value: Decimal, unit: Unit, per: Unit | None) -> None:
    """A number with any unit, or a rate, comes back digit for digit after being written as text."""
    written = Written(value, unit, per)

    assert written == read_written(str(written), "write it")


@given(st.floats(0.5, 100.0), st.sampled_from([Unit.LITRE, Unit.US_GALLON, Unit.US_QUART, Unit.MILLILITRE]))
def test_a_volume_survives_the_way_to_the_core_and_back(volume_l: float, unit: Unit) -> None:
    """Writing a volume in any unit with three decimals and reading it moves it by less than those decimals."""
    text = f"{from_core(volume_l, unit):.3f} {unit}"

    assert pytest.approx(volume_l, abs=0.0005 * 3.8 + 1e-9) == VOLUME.read(text)


@pytest.mark.parametrize("word", sorted(UNIT_WORDS))
def test_every_spelling_is_read_in_small_and_capital_letters(word: str) -> None:
    """No unit depends on capitals."""
    assert UNIT_WORDS[word] == find_unit(word) == find_unit(word.upper())


@pytest.mark.parametrize(
    ("expected", "text"),
    [
        (Amount(Decimal("22"), Unit.GRAM), "22 g"),
        (Amount(Decimal("0.75"), Unit.OUNCE), "0.75 oz"),
        (Amount(Decimal("5"), Unit.MILLILITRE), "5 mL"),
        (Amount(Decimal("1"), None, "tablet"), "1 tablet"),
        (Amount(Decimal("0.5"), None, "tea spoon"), "0.5 tea spoon"),
        (Amount(Decimal("1"), None, "pinch"), "1 pinch"),
    ],
)
def test_an_amount_keeps_the_words_of_the_plan(expected: Amount, text: str) -> None:
    """Masses and volumes are amounts with a unit, everything else is counted; the figure stays exact."""
    assert expected == AmountField().read(text)


@pytest.mark.parametrize(("expected", "word"), [("grams", "gramms"), ("ounces", "ounzes"), ("gallons", "galons")])
def test_a_mistyped_unit_is_never_counted(expected: str, word: str) -> None:
    """A slip in a unit is asked about and not taken for a thing to count."""
    assert expected == near_unit(word)
    with pytest.raises(FieldMistake, match=expected):
        AmountField().read(f"22 {word}")


@given(st.text(max_size=20))
def test_any_text_is_a_quantity_or_a_mistake(text: str) -> None:
    """No text makes the reader fail in a way of its own."""
    for field in (VOLUME, STEP, RateField("3.5 L/h", 100.0), GravityField(), AmountField()):
        try:
            field.read(text)
        except FieldMistake as mistake:
            assert mistake.wrong
            assert mistake.right.startswith("write")
