"""Words become exactly what was said, or are refused; nothing in between."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities import Unit
from assistant.understanding.grammar import every_word
from assistant.understanding.parse import meanings, parse
from assistant.understanding.said import (
    Command,
    Digits,
    Expected,
    Kind,
    Listening,
    Named,
    NotUnderstood,
    Order,
    OutOfLimits,
    Readings,
)

_GRAVITY = Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, 1.050, 0.005, 0.980, 1.170)
_WARM = Expected(Kind.TEMPERATURE, Unit.CELSIUS, 65.0, 10.0, -5.0, 105.0)
_STICK = Expected(Kind.DEPTH, Unit.CENTIMETRE, 31.0, 3.0, 0.0, 50.0)
METRIC = Listening(expected=(_GRAVITY, _WARM, _STICK))
US = Listening(
    temperature_unit=Unit.FAHRENHEIT,
    volume_unit=Unit.US_GALLON,
    depth_unit=Unit.INCH,
    mass_unit=Unit.OUNCE,
    expected=(_GRAVITY, Expected(Kind.TEMPERATURE, Unit.FAHRENHEIT, 150.0, 10.0, 23.0, 221.0)),
)
PLATO = Listening(gravity_unit=Unit.PLATO, expected=(_GRAVITY, _WARM))
DEPTH_FIRST = Listening(
    expected=(Expected(Kind.DEPTH, Unit.INCH, 11.0, 1.0, 0.0, 20.0), _WARM), depth_unit=Unit.INCH
)
_LISTENINGS = {"metric": METRIC, "us": US, "plato": PLATO, "depth": DEPTH_FIRST, "nothing": Listening()}


def _spoken(words: str, listening: Listening) -> str:
    said = parse(words, listening)
    if not isinstance(said, Readings):
        return type(said).__name__
    return ", ".join(f"{item.value} {item.unit}" for item in said.readings)


@pytest.mark.parametrize(
    ("expected", "words", "stage"),
    [
        # gravity by its shape
        ("1.044 SG", "ten forty-four", "metric"),
        ("1.004 SG", "ten oh four", "metric"),
        ("1.044 SG", "one point oh four four", "metric"),
        ("1.044 SG", "one oh four four", "metric"),
        ("1.044 SG", "one zero four four", "metric"),
        ("1.044 SG", "one oh forty four", "metric"),
        ("1.110 SG", "eleven ten", "metric"),
        ("1.100 SG", "eleven hundred", "metric"),
        ("1.000 SG", "one thousand", "metric"),
        ("1.004 SG", "one thousand and four", "metric"),
        ("0.998 SG", "nine ninety-eight", "metric"),
        ("0.998 SG", "point nine nine eight", "metric"),
        ("0.998 SG", "nine nine eight", "metric"),
        ("1.037 SG", "ten thirty seven", "nothing"),
        # the ends of the hard range
        ("0.980 SG", "nine eighty", "nothing"),
        ("1.170 SG", "eleven seventy", "nothing"),
        ("OutOfLimits", "eleven seventy one", "nothing"),
        ("OutOfLimits", "nine seventy nine", "nothing"),
        # other scales
        ("44 points", "forty-four points", "metric"),
        ("12.4 °P", "twelve point four plato", "metric"),
        ("12.4 °Bx", "twelve point four brix", "us"),
        ("12.4 °P", "twelve point four", "plato"),
        ("12.4 °P, 60 °C", "twelve point four at sixty", "plato"),
        ("12 °P", "gravity twelve", "plato"),
        # temperatures
        ("60 °C", "sixty", "metric"),
        ("71 °C", "seventy-one", "metric"),
        ("152 °F", "one fifty-two", "us"),
        ("104 °F", "one oh four", "us"),
        ("152 °F", "a hundred and fifty-two", "us"),
        ("212 °F", "two twelve", "us"),
        ("66.5 °C", "sixty-six point five celsius", "us"),
        ("100 °C", "a hundred", "metric"),
        ("70.5 °C", "seventy and a half", "metric"),
        ("-1 °C", "minus one", "metric"),
        ("66.25 °C", "66.25 c", "metric"),
        ("0 °C", "zero degrees", "metric"),
        ("152 °F", "one five two", "us"),
        ("15 °C", "temperature fifteen", "nothing"),
        ("105 °C", "one oh five degrees", "nothing"),
        ("OutOfLimits", "one oh six degrees", "nothing"),
        ("-5 °C", "minus five degrees", "nothing"),
        ("OutOfLimits", "minus six degrees", "nothing"),
        # amounts
        ("7.25 gal", "seven and a quarter gallons", "us"),
        ("26.5 L", "twenty-six point five litres", "metric"),
        ("6 qt", "six quarts", "us"),
        ("0.5 gal", "half a gallon", "us"),
        ("0.75 L", "three quarters of a litre", "metric"),
        ("7.333 gal", "seven and a third gallons", "us"),
        ("11.5 in", "eleven and a half inches", "metric"),
        ("11.5 in", "eleven and a half", "depth"),
        ("31 cm", "thirty-one centimetres", "metric"),
        ("5.2 pH", "ph five point two", "metric"),
        ("5.2 pH", "five point two ph", "metric"),
        ("3.5 oz", "three and a half ounces", "us"),
        ("22 g", "twenty-two grams", "metric"),
        ("410 g", "four hundred and ten grams", "metric"),
        ("20 min", "twenty minutes", "metric"),
        ("1.5 h", "an hour and a half", "metric"),
        ("80 min", "an hour and twenty minutes", "metric"),
        # several in one breath, either way round
        ("60 °C, 1.059 SG", "sixty degrees ten fifty-nine", "metric"),
        ("1.059 SG, 60 °C", "ten fifty nine sixty degrees", "metric"),
        ("1.026 SG, 150 °F", "ten twenty-six at one fifty", "us"),
        ("60 °C, 1.059 SG", "sixty ten fifty nine", "metric"),
        ("1.044 SG, 60 °C", "one oh four four sixty", "metric"),
        ("104 °F, 1.012 SG", "one oh four ten twelve", "us"),
        ("64 °C, 1.044 SG, 26 L", "sixty-four degrees, ten forty-four and twenty-six litres", "metric"),
        ("1.000 SG, 60 °F", "one thousand sixty degrees", "us"),
        ("1.051 SG, 52 °C", "ten fifty one fifty two", "metric"),  # one fifty two Celsius is impossible
        # fillers
        ("1.044 SG", "um okay it's ten forty-four please", "metric"),
        # corrections in one breath
        ("1.015 SG", "ten fifty, no, ten fifteen", "metric"),
        ("1.015 SG", "ten fifty make that ten fifteen", "metric"),
        ("60 °C, 1.015 SG", "sixty degrees ten fifty i mean ten fifteen", "metric"),
        ("1.050 SG, 65 °C", "ten fifty at sixty no sixty-five", "metric"),
        ("65 °C, 1.050 SG", "sixty degrees ten fifty correction sixty five degrees", "metric"),
        ("1.016 SG", "ten fifty no ten fifteen no ten sixteen", "metric"),
        # typed
        ("1.037 SG, 160 °F", "10 37 at 160", "us"),
        ("1.037 SG, 160 °F", "1.037 at 160 F", "metric"),
        ("1.044 SG", "1044", "metric"),
        ("1.044 SG", "1.044", "nothing"),
        ("1.040 SG", "1.04", "nothing"),
        ("1.026 SG", "10:26", "nothing"),
        ("152 °F", "152F", "metric"),
        ("60 °C", "60 C", "us"),
        ("66.5 °C", "66.5°c", "us"),
        ("7.25 gal", "7.25 gal", "metric"),
        ("12.4 °P", "12.4P", "metric"),
        ("60 °C, 1.037 SG", "60c, 10 37", "metric"),
        ("-1 °C", "-1 c", "metric"),
        ("1.044 SG", "Ten forty-four.", "metric"),
    ],
)
def test_readings(expected: str, words: str, stage: str) -> None:
    """Each way a brewer says or types a reading gives exactly that value and unit."""
    assert expected == _spoken(words, _LISTENINGS[stage])


@pytest.mark.parametrize(
    ("words", "stage"),
    [
        ("", "metric"),
        ("um", "metric"),
        ("ten", "nothing"),
        ("ten four", "nothing"),
        ("one point oh four", "metric"),  # a swallowed digit
        ("one point oh four", "us"),
        ("point zero three eight", "metric"),
        ("eleven point zero three eight", "depth"),
        ("sixty point two five degrees", "metric"),
        ("forty four", "nothing"),
        ("sixty", "nothing"),
        ("gravity forty four", "metric"),  # "ten" may be missing
        ("twenty sixty", "metric"),
        ("one hundred and", "metric"),
        ("point", "metric"),
        ("hundred", "metric"),
        ("oh", "metric"),
        ("seven point", "metric"),
        ("point five point five", "metric"),
        ("minus minus one", "metric"),
        ("ten fifty ten fifteen", "metric"),  # which?
        ("sixty degrees seventy degrees", "metric"),
        ("ten fifty, no, fifteen", "metric"),  # what is corrected?
        ("sixty degrees, no, ten fifteen", "metric"),
        ("ten fifty at sixty, no, five", "metric"),
        ("no ten fifteen", "metric"),
        ("ten fifty no", "metric"),
        ("twelve point four sixty", "plato"),  # two bare numbers
        ("temperature twenty litres", "metric"),
        ("ten forty four [unk]", "metric"),
        ("[unk]", "metric"),
        ("ten forty four hello", "metric"),
        ("at", "metric"),
        ("ten forty four and", "metric"),
        ("60 5", "metric"),
        ("66,5", "metric"),
        ("1.044/60", "metric"),
        ("1e3", "metric"),
        ("١٠٤٤", "metric"),
        ("half", "metric"),
        ("one " * 50, "metric"),
    ],
)
def test_what_is_not_understood(words: str, stage: str) -> None:
    """What no phrase allows as a whole, or what is unclear, is not understood; its words are kept."""
    assert NotUnderstood(words) == parse(words, _LISTENINGS[stage])


def test_two_cuts_are_both_kept() -> None:
    """Words that can be cut in two possible ways are never cut silently: both readings are handed on."""
    found = meanings("ten twenty one sixty", US)

    values = [[item.value for item in said.readings] for said in found if isinstance(said, Readings)]
    assert sorted(values) == [[Decimal("1.020"), 160], [Decimal("1.021"), 60]]
    assert isinstance(parse("ten twenty one sixty", US), NotUnderstood)


def test_what_sounds_like_one_number_is_one() -> None:
    """A gravity is not cut short to make the rest a temperature, even when the whole is impossible here."""
    narrow = Listening(expected=(Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, 1.05, 0.01, 1.0, 1.09), _WARM))

    said = parse("ten ninety nine", narrow)

    assert isinstance(said, OutOfLimits)
    assert Decimal("1.099") == said.reading.value
    assert (Decimal("1.0"), Decimal("1.09")) == said.limits


def test_limits_are_in_the_units_of_the_reading() -> None:
    """An impossible value comes with its limits in the unit in which it was said."""
    said = parse("two hundred and fifty fahrenheit", METRIC)

    assert isinstance(said, OutOfLimits)
    assert Unit.FAHRENHEIT is said.reading.unit
    assert (Decimal(23), Decimal(221)) == said.limits


def test_a_correction_is_marked() -> None:
    """A value corrected in the same breath is marked, an uncorrected one is not."""
    corrected, plain = parse("ten fifty no ten fifteen", METRIC), parse("ten fifteen", METRIC)

    assert isinstance(corrected, Readings)
    assert isinstance(plain, Readings)
    assert corrected.corrected_in_breath
    assert not plain.corrected_in_breath


def test_a_reading_knows_its_words() -> None:
    """Each reading tells which words of the utterance it came from, and whether its unit was said."""
    said = parse("um sixty-four degrees at ten forty four", METRIC)

    assert isinstance(said, Readings)
    warm, gravity = said.readings
    assert (warm.first_word, warm.last_word, warm.unit_said) == (1, 2, False)
    assert (gravity.first_word, gravity.last_word, gravity.words) == (4, 6, "ten forty four")
    assert gravity.unit_said


@pytest.mark.parametrize(
    ("command", "minutes", "words"),
    [
        (Command.BOIL_ON, None, "boil is on"),
        (Command.BOIL_ON, None, "the boil is on"),
        (Command.HOLD, None, "hold the clock"),
        (Command.HOLD, None, "hold clock"),
        (Command.WHAT_NEXT, None, "what's next"),
        (Command.DONE, None, "um it's done"),
        (Command.CHILL_ON, None, "Water is on."),
        (Command.ADD_TIME, 10, "add ten minutes"),
        (Command.ADD_TIME, 5, "five more minutes"),
        (Command.ADD_TIME, 60, "add an hour"),
        (Command.ADD_TIME, 80, "add an hour and twenty minutes"),
        (Command.ADD_TIME, None, "add minutes"),
        (Command.TAKE_TIME, 5, "take five minutes"),
        (Command.TAKE_TIME, 15, "take off 15 min"),
        (Command.QUIET, None, "quiet"),
    ],
)
def test_orders(command: Command, minutes: int | None, words: str) -> None:
    """An order is known by its whole phrase, with its minutes where it takes them."""
    said = parse(words, Listening())

    assert isinstance(said, Order)
    assert (command, minutes) == (said.command, said.minutes)


@pytest.mark.parametrize(
    "words", ["boil on boil", "add ten litres", "add zero minutes", "take ten", "done done", "add twenty seconds"]
)
def test_what_is_no_order(words: str) -> None:
    """An order with something more or something wrong in it is not followed."""
    assert isinstance(parse(words, Listening()), NotUnderstood)


def test_only_live_orders() -> None:
    """An order that is not live is not understood, but silence is always granted."""
    nothing_live = Listening(commands=frozenset())

    assert isinstance(parse("knockout", nothing_live), NotUnderstood)
    assert isinstance(parse("make a note the lid is off", nothing_live), NotUnderstood)
    assert Order(Command.QUIET, words="quiet") == parse("quiet", nothing_live)


def test_a_note_is_free() -> None:
    """Behind "make a note" any words go, even unknown ones, and are kept as they were said."""
    said = parse("make a note the Burner [unk] twice, at 10 50", METRIC)

    assert isinstance(said, Order)
    assert (said.command, said.rest) == (Command.NOTE, "the Burner [unk] twice, at 10 50")


@pytest.mark.parametrize(
    ("expected", "words"),
    [
        (Digits("15", "one five"), "one five"),
        (Digits("50", "five oh"), "five oh"),
        (Digits("15", "15"), "15"),
        (Digits("15", "1 5"), "1 5"),
        (Digits("15", "fifteen"), "fifteen"),
        (Digits("52", "five two"), "five two"),
    ],
)
def test_digits_answer_a_question(expected: Digits, words: str) -> None:
    """While a question is open, digits as long as a choice are an answer, right or wrong."""
    assert expected == parse(words, Listening(choices=("15", "50")))


def test_a_whole_reading_answers_a_question_too() -> None:
    """While a question is open, the whole gravity digit by digit is still a gravity."""
    assert _spoken("one oh one five", Listening(choices=("15", "50"))) == "1.015 SG"


@pytest.mark.parametrize("words", ["fermenter", "the fermenter", "fermenter is wet", "fermenter done"])
def test_names(words: str) -> None:
    """A thing that is asked about is known by its name."""
    assert Named("Fermenter", words) == parse(words, Listening(names=("tube", "Fermenter")))


def test_names_only_when_asked() -> None:
    """A name means nothing when nobody asked for it; part of a name never does."""
    assert isinstance(parse("fermenter", Listening()), NotUnderstood)
    assert isinstance(parse("tube", Listening(names=("blow-off tube",))), NotUnderstood)


@given(st.text(max_size=60), st.sampled_from(sorted(_LISTENINGS)))
def test_any_text_is_answered(text: str, stage: str) -> None:
    """No text at all makes the parser fail."""
    assert parse(text, _LISTENINGS[stage]) is not None


_WORDS = st.lists(
    st.sampled_from([*every_word(), "[unk]", "60", "1.044", "c", ",", "°", "10"]), min_size=1, max_size=14
)


@given(_WORDS, st.sampled_from(sorted(_LISTENINGS)), st.sampled_from([(), ("15", "50")]))
def test_any_order_of_known_words_is_answered(words: list[str], stage: str, choices: tuple[str, ...]) -> None:
    """Whatever order of its words an ear brings, the values that come out are possible and come from it."""
    base = _LISTENINGS[stage]
    listening = Listening(
        base.temperature_unit, gravity_unit=base.gravity_unit, expected=base.expected, choices=choices
    )

    for said in meanings(" ".join(words), listening):
        if isinstance(said, Readings):
            assert "[unk]" not in words
            assert len({item.kind for item in said.readings}) == len(said.readings)
            assert all(0 <= item.first_word <= item.last_word < len(words) for item in said.readings)
