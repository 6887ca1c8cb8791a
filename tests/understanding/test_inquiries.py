"""Words of questions become topics and exact values, or the names of what is missing."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantities import Unit
from assistant.understanding.inquiries import Incomplete, Inquiry, parse_inquiry, said_words
from assistant.understanding.inquiry_reader import Quantity
from assistant.understanding.inquiry_topics import TOPICS
from assistant.understanding.inquiry_units import METRIC_UNITS, UNIT_PHRASES, US_UNITS, AskedUnit
from assistant.understanding.inquiry_words import Topic
from assistant.understanding.number_words import DIGITS, TEENS, TENS
from assistant.understanding.said import Listening

METRIC: Final = Listening()
US: Final = Listening(
    temperature_unit=Unit.FAHRENHEIT, volume_unit=Unit.US_GALLON, mass_unit=Unit.OUNCE, depth_unit=Unit.INCH
)
PLATO: Final = Listening(gravity_unit=Unit.PLATO)

STRIKE: Final = {
    "grain": ("5", Unit.KILOGRAM),
    "temperature of the mash": ("67", Unit.CELSIUS),
    "volume of water": ("15", Unit.LITRE),
}
PRIMING: Final = {
    "volume of beer": ("19", Unit.LITRE),
    "highest temperature since it fermented": ("20", Unit.CELSIUS),
    "carbonation wanted": ("2.4", AskedUnit.VOLUMES),
}
ALCOHOL: Final = {
    "original gravity": ("1.050", Unit.SPECIFIC_GRAVITY),
    "final gravity": ("1.010", Unit.SPECIFIC_GRAVITY),
}
KEG: Final = {
    "carbonation wanted": ("2.5", AskedUnit.VOLUMES),
    "temperature of the beer": ("4", Unit.CELSIUS),
}

Values = dict[str, tuple[str, Unit | AskedUnit]]


def quantities(values: Values) -> dict[str, Quantity]:
    """Values as the parser gives them."""
    return {name: Quantity(Decimal(value), unit) for name, (value, unit) in values.items()}


@pytest.mark.parametrize(
    ("words", "topic", "values"),
    [
        ("strike for five kilos at sixty-seven with fifteen litres", "strike", STRIKE),
        ("what is the strike temperature for 5 kg at 67 C with 15 L", "strike", STRIKE),
        ("Strike water 5kg, 67°C, 15l", "strike", STRIKE),
        ("strike with fifteen litres of water and five kilos of grain to sixty-seven degrees", "strike", STRIKE),
        (
            "strike for five kilos at sixty-seven with fifteen litres, grain at twelve",
            "strike",
            STRIKE | {"temperature of the grain": ("12", Unit.CELSIUS)},
        ),
        ("priming for nineteen litres at twenty degrees to two point four", "priming", PRIMING),
        ("priming for nineteen at twenty to two point four", "priming", PRIMING),
        ("how much priming sugar for 19 L at 20 C to 2.4 volumes", "priming", PRIMING),
        ("alcohol from ten fifty to ten ten", "alcohol", ALCOHOL),
        ("abv from 1.050 to 1.010", "alcohol", ALCOHOL),
        ("alcohol original one oh five oh final one point oh one oh", "alcohol", ALCOHOL),
        ("keg pressure for two point five volumes at four degrees", "keg pressure", KEG),
        ("pressure for 2.5 at 4", "keg pressure", KEG),
        ("boiling point at sixteen hundred metres", "boiling point", {"altitude": ("1600", Unit.METRE)}),
        ("boiling point at 5280 ft", "boiling point", {"altitude": ("5280", AskedUnit.FOOT)}),
        ("where does water boil at a thousand metres", "boiling point", {"altitude": ("1000", Unit.METRE)}),
        (
            "sanitiser 1:300 in half a litre",
            "sanitiser",
            {"parts of water": ("300", AskedUnit.NUMBER), "volume of solution": ("0.5", Unit.LITRE)},
        ),
        (
            "boil seven and a half gallons from 40 points to ten fifty at 1 gal/h",
            "boil",
            {
                "volume of wort": ("7.5", Unit.US_GALLON),
                "gravity now": ("40", Unit.POINTS),
                "gravity wanted": ("1.050", Unit.SPECIFIC_GRAVITY),
                "boil-off": ("1", AskedUnit.GALLON_PER_HOUR),
            },
        ),
        (
            "blend fifteen litres at ten sixty with five litres at ten twenty",
            "mix worts",
            {
                "first volume": ("15", Unit.LITRE),
                "first gravity": ("1.060", Unit.SPECIFIC_GRAVITY),
                "second volume": ("5", Unit.LITRE),
                "second gravity": ("1.020", Unit.SPECIFIC_GRAVITY),
            },
        ),
    ],
)
def test_words_become_a_topic_and_exact_values(words: str, topic: str, values: Values) -> None:
    """A question in words or in figures gives its topic and each value exactly as said, with its unit."""
    read = parse_inquiry(words, METRIC)
    assert isinstance(read, Inquiry), read
    assert (topic, quantities(values)) == (read.topic, read.values)


@pytest.mark.parametrize(
    "words",
    [
        "finished with ten twelve on day ten, ten eleven on day twelve",
        "finished ten twelve day ten, ten eleven day twelve",
        "is it finished: 1.012 day 10 1.011 day 12",
        "finished day 10 1.012, day 12 1.011",
        "finished with 12 points on day ten and 11 points on day twelve",
    ],
)
def test_groups_are_said_again_and_again(words: str) -> None:
    """Each gravity goes with the day said beside it, before or behind, and the second group is numbered."""
    read = parse_inquiry(words, METRIC)
    assert isinstance(read, Inquiry), read
    values = [read.values[name].value for name in ("day of it", "second day of it")]
    assert [Decimal(10), Decimal(12)] == values
    units = {read.values[name].unit for name in ("gravity", "second gravity")}
    points = units == {Unit.POINTS}
    sgs = [Decimal(12), Decimal(11)] if points else [Decimal("1.012"), Decimal("1.011")]
    assert sgs == [read.values[name].value for name in ("gravity", "second gravity")]


def test_a_group_that_lacks_a_value_is_told_which() -> None:
    """The second gravity without its day is asked for by name."""
    read = parse_inquiry("finished with ten twelve on day ten, ten eleven", METRIC)
    assert Incomplete("finished", missing=("second day of it",)) == read


def test_a_choice_that_opens_the_question_counts() -> None:
    """Corn sugar asked for is corn sugar, where the plain topic would be table sugar."""
    for start, chosen in (("corn sugar", "glucose monohydrate"), ("sugar", "sucrose")):
        read = parse_inquiry(f"how much {start} do I need for 19 litres at 20 C to 2.4", METRIC)
        assert isinstance(read, Inquiry), read
        assert {"sugar": chosen} == read.choices


@pytest.mark.parametrize(
    "words",
    [
        "alcohol from 1.050 to 1.010",
        "how much alcohol do I have from about 1.050 to 1.010",
        "tell me alcohol: from my 1.050 to roughly 1.010",
    ],
)
def test_words_around_a_question_change_nothing(words: str) -> None:
    """What is only manners is left out."""
    read = parse_inquiry(words, METRIC)
    assert isinstance(read, Inquiry), read
    assert quantities(ALCOHOL) == read.values


def test_bare_numbers_are_in_the_brewer_s_units() -> None:
    """A temperature and a volume without a unit are °F and gallons for a US brewer; a bare twelve may be Plato."""
    read = parse_inquiry("priming for five at sixty-eight to two point four", US)
    assert isinstance(read, Inquiry)
    assert Quantity(Decimal(5), Unit.US_GALLON) == read.values["volume of beer"]
    assert Quantity(Decimal(68), Unit.FAHRENHEIT) == read.values["highest temperature since it fermented"]
    plato = parse_inquiry("alcohol from twelve to three", PLATO)
    assert isinstance(plato, Inquiry)
    assert Quantity(Decimal(12), Unit.PLATO) == plato.values["original gravity"]


@pytest.mark.parametrize(
    ("words", "chosen"),
    [
        ("priming for nineteen litres at twenty to two point four", "sucrose"),
        ("priming for nineteen litres at twenty to two point four with corn sugar", "glucose monohydrate"),
        ("priming with honey for nineteen litres at twenty to two point four", "honey"),
        ("priming for nineteen litres at twenty to two point four with dry malt extract", "dry malt extract"),
    ],
)
def test_a_choice_is_taken_or_its_default(words: str, chosen: str) -> None:
    """The sugar that was named is the one meant; without a name it is table sugar."""
    read = parse_inquiry(words, METRIC)
    assert isinstance(read, Inquiry)
    assert {"sugar": chosen} == read.choices


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("strike", Incomplete("strike", ("grain", "temperature of the mash", "volume of water"))),
        ("strike for five kilos with fifteen litres", Incomplete("strike", ("temperature of the mash",))),
        ("alcohol from ten fifty", Incomplete("alcohol", ("final gravity",))),
        ("salt four grams in twenty litres", Incomplete("salt", ("salt",))),
        ("strike for five bananas", Incomplete("strike", unknown="bananas")),
        ("strike for five kilos at sixty-seven and fifty", Incomplete("strike", unknown="and fifty")),
        ("alcohol ten fifty, ten ten", Incomplete("alcohol", unknown="ten ten")),
        # Five of what was not said.
        ("strike five at sixty-seven", Incomplete("strike", unknown="five at sixty seven")),
        # A mass without its unit could be kilos, grams or pounds.
        ("salt four of gypsum in twenty litres", Incomplete("salt", unknown="four of gypsum in twenty litres")),
        # What sounds like one number is one: never 100 degrees and 5 kilos.
        ("strike at one hundred and five kilos", Incomplete("strike", unknown="kilos")),
    ],
)
def test_what_cannot_be_answered_tells_what_is_missing(words: str, expected: Incomplete) -> None:
    """Missing values are named, and words that nothing allows are handed back; nothing is guessed."""
    assert expected == parse_inquiry(words, METRIC)


@pytest.mark.parametrize(
    ("words", "unclear"),
    [
        # Both temperatures of a Plato brewer in degrees: the twelve is °C and °P.
        ("oxygen at twelve degrees and fourteen degrees", ("temperature of the wort", "gravity of the wort")),
    ],
)
def test_two_meanings_are_never_chosen_between(words: str, unclear: tuple[str, ...]) -> None:
    """Where the words can be shared out in two ways, both names come back and no value."""
    assert Incomplete("oxygen", unclear=unclear) == parse_inquiry(words, PLATO)


@pytest.mark.parametrize("words", ["", "flurble", "ten fifty", "sixty degrees", "what is", "boils the kettle"])
def test_other_words_are_no_question(words: str) -> None:
    """What no topic begins is None, so that it can be read as something else."""
    assert parse_inquiry(words, METRIC) is None


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.key)
def test_every_example_is_understood(topic: Topic) -> None:
    """The example of each topic is a complete question of that topic, for a metric and for a US brewer."""
    for units in (METRIC, US):
        read = parse_inquiry(topic.example, units)
        assert isinstance(read, Inquiry), read
        assert topic.key == read.topic
        assert {slot.name for slot in topic.slots if slot.required} <= set(read.values)


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.key)
def test_every_phrase_of_a_topic_leads_to_it(topic: Topic) -> None:
    """Each phrase alone is the topic with everything missing."""
    for phrase in topic.phrases:
        read = parse_inquiry(phrase, METRIC)
        assert isinstance(read, Incomplete)
        assert topic.key == read.topic
        assert {slot.name for slot in topic.slots if slot.required} <= set(read.missing)


def test_no_phrase_belongs_to_two_topics() -> None:
    """A phrase, a key and an example each stand once."""
    for names in (
        [phrase for topic in TOPICS for phrase in topic.phrases],
        [topic.key for topic in TOPICS],
        [topic.example for topic in TOPICS],
    ):
        assert [] == [name for name, count in Counter(names).items() if count > 1]


def test_no_word_of_a_table_is_lost_before_it_is_looked_up() -> None:
    """No phrase, marker, noun or choice has a word that is left out of what was said, such as "the"."""
    for topic in TOPICS:
        around = [word for slot in topic.slots for word in (*slot.markers, *slot.nouns)]
        for phrase in (*topic.phrases, *around, *(said for choice in topic.choices for said, _ in choice.phrases)):
            assert phrase == " ".join(said_words(phrase)), topic.key


def test_no_slot_is_named_twice() -> None:
    """Slots and choices of a topic have different names."""
    for topic in TOPICS:
        names = [slot.name for slot in topic.slots] + [choice.name for choice in topic.choices]
        assert len(set(names)) == len(names)


def test_no_unit_is_metric_and_us() -> None:
    """A unit tells one system or none."""
    assert frozenset() == METRIC_UNITS & US_UNITS


VOCABULARY: Final = sorted(
    {phrase for topic in TOPICS for phrase in topic.phrases}
    | {word for topic in TOPICS for slot in topic.slots for word in (*slot.markers, *slot.nouns)}
    | {" ".join(phrase) for phrase in UNIT_PHRASES}
    | {*DIGITS, *TEENS, *TENS, "hundred", "point", "and", ",", "a", "half", "1.050", "°", "%", "-3", "[unk]", "5kg"}
)


@given(st.text())
def test_any_text_is_read_without_an_error(text: str) -> None:
    """No text whatever makes the parser raise."""
    assert isinstance(parse_inquiry(text, METRIC), Inquiry | Incomplete | None)


@given(st.sampled_from(TOPICS), st.lists(st.sampled_from(VOCABULARY), max_size=20))
def test_any_words_of_the_tables_are_read_without_an_error(topic: Topic, words: list[str]) -> None:
    """A topic with any words behind it is an inquiry, or tells exactly one thing that is wrong."""
    read = parse_inquiry(" ".join((topic.phrases[0], *words)), METRIC)
    assert isinstance(read, Inquiry | Incomplete)
    if isinstance(read, Incomplete):
        assert 1 == sum(map(bool, (read.missing, read.unclear, read.unknown)))
