"""Numbers are said the way brewers say them, and what is said is understood when it is said back."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.phrasing import numbers
from assistant.quantities import Unit
from assistant.understanding.parse import parse
from assistant.understanding.said import Kind, Listening, Readings

_LISTENING = Listening(temperature_unit=Unit.FAHRENHEIT)


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("zero", 0),
        ("thirteen", 13),
        ("forty-four", 44),
        ("one hundred", 100),
        ("one hundred and fifty-two", 152),
        ("one thousand and four", 1004),
        ("one thousand two hundred and ten", 1210),
        ("twelve thousand three hundred", 12300),
        ("minus seven", -7),
    ],
)
def test_cardinals_in_full(words: str, value: int) -> None:
    """A whole number is said in full, with "and" before what is below a hundred."""
    assert words == numbers.cardinal(value)


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("ten forty-four", 1.044),
        ("ten forty-five", 1.0445),
        ("ten oh four", 1.004),
        ("one thousand", 1.0),
        ("one thousand", 0.9999),
        ("nine ninety-eight", 0.998),
        ("nine ninety", 0.990),
        ("eleven hundred", 1.1),
        ("eleven ten", 1.110),
        ("eleven oh five", 1.105),
    ],
)
def test_gravities_the_brewers_way(words: str, value: float) -> None:
    """A specific gravity is said in two halves."""
    assert words == numbers.gravity_words(value)


@pytest.mark.parametrize("value", [0.8994, 1.2, float("nan"), float("inf")])
def test_no_words_for_what_is_no_gravity(value: float) -> None:
    """A value that no wort has is refused instead of being said in some odd way."""
    with pytest.raises(ValueError, match=r"words"):
        numbers.gravity_words(value)


@pytest.mark.parametrize("thousandths", range(980, 1171))
def test_every_gravity_is_understood_when_said_back(thousandths: int) -> None:
    """What the voice says for a gravity, the parser takes as that very gravity."""
    value = Decimal(thousandths).scaleb(-3)

    said = parse(numbers.gravity_words(value), _LISTENING)

    assert isinstance(said, Readings)
    assert [(Kind.GRAVITY, value)] == [(item.kind, item.value) for item in said.readings]


@given(st.integers(-5, 220), st.integers(0, 9))
def test_every_temperature_is_understood_when_said_back(whole: int, tenth: int) -> None:
    """What the voice says for a temperature, the parser takes as that very temperature."""
    value = Decimal(f"{whole}.{tenth}")
    listening = Listening(temperature_unit=Unit.FAHRENHEIT)

    said = parse(f"{numbers.temperature_words(value, 1)} degrees", listening)

    found = said.readings[0] if isinstance(said, Readings) else getattr(said, "reading", None)
    assert found is not None
    assert value == found.value


@given(
    st.sampled_from([Unit.LITRE, Unit.US_GALLON, Unit.US_QUART]),
    st.integers(0, 30),
    st.sampled_from([0, 25, 50, 75]),
)
def test_every_quarter_is_understood_when_said_back(unit: Unit, whole: int, hundredths: int) -> None:
    """Volumes in quarters come back as the same volume; litres come back to the tenth."""
    value = Decimal(f"{whole}.{hundredths:02d}")

    said = parse(numbers.volume_words(value, unit), _LISTENING)

    assert isinstance(said, Readings)
    assert abs(value - said.readings[0].value) <= (Decimal("0.05") if unit is Unit.LITRE else 0)
    assert unit is said.readings[0].unit


@pytest.mark.parametrize(
    ("words", "value", "places"),
    [
        ("one oh four", 104, 0),
        ("one fifty-two", 151.5, 0),
        ("two twelve", 212.4, 0),
        ("a hundred", 100, 0),
        ("two hundred", 200, 0),
        ("sixty-six point five", 66.5, 1),
        ("sixty-six", 66.04, 1),
        ("minus one", -1.2, 0),
        ("zero", -0.4, 0),
    ],
)
def test_temperatures_are_short(words: str, value: float, places: int) -> None:
    """A temperature is said the short way, without a nought behind the point or a minus before nothing."""
    assert words == numbers.temperature_words(value, places)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("twelve point four plato", numbers.gravity_in(12.4, Unit.PLATO)),
        ("twenty brix", numbers.gravity_in(20.0, Unit.BRIX)),
        ("ten fifty", numbers.gravity_in(1.05, Unit.SPECIFIC_GRAVITY)),
        ("nineteen points", numbers.points_words(19.2)),
        ("one point", numbers.points_words(1)),
        ("minus two points", numbers.gravity_in(-2, Unit.POINTS)),
        ("four point one", numbers.decimal_words(4.10, 2)),
        ("minus zero point zero five", numbers.decimal_words(-0.05, 2)),
        ("twenty-six point two litres", numbers.volume_words(26.24, Unit.LITRE)),
        ("half a litre", numbers.volume_words(0.52, Unit.LITRE)),
        ("one litre", numbers.volume_words(0.98, Unit.LITRE)),
        ("seven and a quarter gallons", numbers.volume_words(7.26, Unit.US_GALLON)),
        ("seven point one gallons", numbers.volume_words(7.12, Unit.US_GALLON)),
        ("a quarter of a gallon", numbers.volume_words(0.25, Unit.US_GALLON)),
        ("six quarts", numbers.volume_words(6, Unit.US_QUART)),
        ("two hundred and fifty millilitres", numbers.volume_words(250, Unit.MILLILITRE)),
        ("eleven and a half inches", numbers.depth_words(11.5, Unit.INCH)),
        ("thirty-one centimetres", numbers.depth_words(31, Unit.CENTIMETRE)),
        ("half an ounce", numbers.mass_words(0.5, Unit.OUNCE)),
        ("twenty-two grams", numbers.mass_words(22.3, Unit.GRAM)),
        ("seven point two grams", numbers.mass_words(7.2, Unit.GRAM)),
        ("one kilogram", numbers.mass_words(1.0, Unit.KILOGRAM)),
        ("one five", numbers.digit_words("15")),
    ],
)
def test_amounts_with_their_units(words: str, said: str) -> None:
    """An amount carries its unit, singular for one and plural for all else, as fine as it is used."""
    assert words == said


def test_a_mass_is_no_gravity_scale() -> None:
    """A unit of something else is refused by name."""
    with pytest.raises(ValueError, match=r"kg is no gravity scale"):
        numbers.gravity_in(1.0, Unit.KILOGRAM)


@pytest.mark.parametrize(
    ("words", "seconds"),
    [
        ("forty-one ten", 2470),
        ("fifty-four twenty", 3260.4),
        ("forty-one oh five", 2465),
        ("seventy-five minutes", 4500),
        ("one minute", 60),
        ("one second", 1),
        ("zero seconds", 0),
        ("one hundred and twenty thirty", 7230),
    ],
)
def test_clock_readings(words: str, seconds: float) -> None:
    """A running clock is said as minutes and seconds without their names."""
    assert words == numbers.clock_left_words(seconds)


@pytest.mark.parametrize(
    ("words", "seconds"),
    [
        ("twenty seconds", 20),
        ("fifty-nine seconds", 59.4),
        ("one minute", 59.6),
        ("one minute", 74),
        ("one and a half minutes", 90),
        ("two minutes", 110),
        ("thirty-six minutes", 2160),
        ("one hundred and nineteen minutes", 7140),
        ("two hours", 7200),
        ("two hours and one minute", 7260),
        ("three days", 260000),
    ],
)
def test_spans_are_as_fine_as_they_matter(words: str, seconds: float) -> None:
    """A span is said in seconds, minutes, hours or days, whichever the brewer can use."""
    assert words == numbers.span_words(seconds)


def test_minutes_are_whole() -> None:
    """A span in minutes is rounded to the nearest."""
    assert numbers.minutes_words(2170) == "thirty-six minutes"
    assert numbers.minutes_words(70) == "one minute"


@pytest.mark.parametrize(
    ("words", "hour", "minute", "hours"),
    [
        ("eight past three", 15, 8, 12),
        ("ten past two", 2, 10, 12),
        ("a quarter to four", 15, 45, 12),
        ("a quarter past noon", 12, 15, 12),
        ("twenty-five to noon", 11, 35, 12),
        ("one to midnight", 23, 59, 12),
        ("half past eleven", 23, 30, 12),
        ("three o'clock", 15, 0, 12),
        ("midnight", 0, 0, 12),
        ("fifteen oh eight", 15, 8, 24),
        ("fourteen thirty", 14, 30, 24),
        ("nine o'clock", 9, 0, 24),
    ],
)
def test_times_of_day(words: str, hour: int, minute: int, hours: int) -> None:
    """A time is said against the hour it belongs to, or in twenty-four hours on request."""
    assert words == numbers.time_of_day_words(datetime(2026, 3, 7, hour, minute, tzinfo=UTC), hours)


def test_only_clocks_that_exist() -> None:
    """A clock of any other number of hours is refused."""
    with pytest.raises(ValueError, match=r"12 or 24"):
        numbers.time_of_day_words(datetime(2026, 3, 7, tzinfo=UTC), 10)
