"""What the ear can hear and what the parser understands are the same."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace

import pytest

from assistant.quantities import Unit
from assistant.understanding.grammar import ORDERS_SHARE, every_word, phrases_for, word_list
from assistant.understanding.parse import meanings, parse
from assistant.understanding.phrases import COMMANDS, FILLERS, SPOKEN_UNITS, THINGS, UNKNOWN, taught_phrase
from assistant.understanding.said import (
    Command,
    Digits,
    Expected,
    Kind,
    Listening,
    NotUnderstood,
    Order,
    Readings,
)
from assistant.understanding.tokens import bare_words

_STAGE = Listening(
    expected=(
        Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, 1.050, 0.005, 0.990, 1.130),
        Expected(Kind.TEMPERATURE, Unit.CELSIUS, 65.0, 10.0, 0.0, 105.0),
        Expected(Kind.DEPTH, Unit.CENTIMETRE, 31.0, 3.0, 0.0, 50.0),
    ),
    names=("fermenter", "blow-off tube"),
)
_US = Listening(
    temperature_unit=Unit.FAHRENHEIT,
    volume_unit=Unit.US_GALLON,
    depth_unit=Unit.INCH,
    mass_unit=Unit.OUNCE,
    gravity_unit=Unit.PLATO,
)
_WEIGHING = Listening(
    expected=(
        Expected(Kind.DURATION, Unit.MINUTE, 10.0, 5.0, 0.0, 200.0),
        Expected(Kind.PH, Unit.PH, 5.2, 0.1, 4.0, 7.0),
        Expected(Kind.MASS, Unit.GRAM, 50.0, 20.0, 0.0, 1000.0),
    ),
    commands=frozenset({Command.DONE}),
)
_QUESTION = Listening(choices=("15", "50"))
_STAGES = {
    "stage": _STAGE,
    "us": _US,
    "weighing": _WEIGHING,
    "question": _QUESTION,
    "plato": replace(_STAGE, gravity_unit=Unit.PLATO),
    "three": Listening(choices=("115", "150")),
}


@pytest.mark.parametrize("stage", sorted(_STAGES))
def test_every_phrase_is_understood(stage: str) -> None:
    """No phrase that the ear is made to hear is lost on the parser."""
    listening = _STAGES[stage]

    lost = {phrase for phrase in phrases_for(listening) if isinstance(parse(phrase, listening), NotUnderstood)}

    # Said by one who reads gravity in degrees, a few have two meanings; those are understood as both.
    two_meanings = {phrase for phrase in lost if len(meanings(phrase, listening)) == 2}
    assert set() == lost - two_meanings
    assert stage == "plato" or not two_meanings
    assert {phrase.split()[-1] for phrase in two_meanings} <= {"degree", "degrees"}


@pytest.mark.parametrize("stage", sorted(_STAGES))
def test_every_word_means_something(stage: str) -> None:
    """Every word of the list is one of an understood phrase, which changes or is lost without it, or a filler."""
    listening = _STAGES[stage]
    phrases = phrases_for(listening)
    missing = set(word_list(listening)) - {UNKNOWN} - set(FILLERS)
    for phrase in phrases:
        for word in missing & set(phrase.split()):
            others = " ".join("xyz" if item == word else item for item in phrase.split())
            if isinstance(parse(others, listening), NotUnderstood):
                missing.discard(word)

    assert set() == missing


@pytest.mark.parametrize("stage", sorted(_STAGES))
def test_word_list_is_words(stage: str) -> None:
    """The list holds single lower-case words without figures, each once, and the unknown word last."""
    words = word_list(_STAGES[stage])

    assert words[-1] == UNKNOWN
    assert len(words) == len(set(words))
    assert all(word.replace("'", "").isalpha() and word.islower() for word in words[:-1])


@pytest.mark.parametrize("stage", sorted(_STAGES))
def test_every_word_holds_every_list(stage: str) -> None:
    """What can be heard at any stage is in the vocabulary of the ear, apart from names out of a plan."""
    names = {word for name in _STAGES[stage].names for word in bare_words(name)}

    assert set() == set(word_list(_STAGES[stage])) - {UNKNOWN} - names - set(every_word())


def test_every_word_holds_units_and_things() -> None:
    """The vocabulary of the ear holds every spoken unit and every common thing."""
    units = {word for names in SPOKEN_UNITS.values() for name in names for word in name.split()}

    assert set() == (units | set(THINGS)) - set(every_word())


def test_the_same_list_every_time() -> None:
    """The phrases come in the same order for equal listening."""
    assert phrases_for(_STAGE) == phrases_for(replace(_STAGE))


def test_orders_weigh_as_much_as_they_are_meant_to() -> None:
    """Readings stand there once each, and orders are repeated up to their share of the readings."""
    counts = Counter(phrases_for(_STAGE))
    repeated = sum(count for count in counts.values() if count > 1)
    once = sum(count for count in counts.values() if count == 1)
    assert pytest.approx(ORDERS_SHARE, rel=0.25) == repeated / once
    assert counts["ten forty four"] == 1
    assert counts["done"] > 1


def test_a_question_listens_for_little() -> None:
    """While a question is open the list is tiny: digits, the words in question, a few orders."""
    words = word_list(_QUESTION)

    assert len(words) < 35
    assert {"fifteen", "fifty", "one", "five", "zero", "oh", "yes", "no", "skip", "quiet"} <= set(words)
    assert not {"forty", "degrees", "knockout"} & set(words)


def test_choices_are_heard_as_digits() -> None:
    """Each choice can be said digit by digit, and then is that answer."""
    assert {"one five", "five zero", "five oh"} <= set(phrases_for(_QUESTION))
    assert Digits("50", "five oh") == parse("five oh", _QUESTION)


def test_only_what_is_live_is_heard() -> None:
    """Orders that are not live are not listened for, and units come with the stage that expects them."""
    words = set(word_list(_WEIGHING))

    assert "knockout" not in words
    assert {"grams", "ph", "quiet"} <= words
    assert not {"grams", "ph"} & set(word_list(_STAGE))


@pytest.mark.parametrize("command", list(Command))
def test_every_phrase_of_a_command_is_that_command(command: Command) -> None:
    """Each phrase of the table orders its command and nothing else."""
    for phrase in (*COMMANDS[command], taught_phrase(command)):
        assert [(command, True)] == [
            (item.command, True) for item in meanings(phrase, Listening()) if isinstance(item, Order)
        ], phrase


def test_no_phrase_belongs_to_two_commands() -> None:
    """No two commands share a phrase, not even apart from fillers, and none can be taken for a reading."""
    owners: dict[tuple[str, ...], set[Command]] = defaultdict(set)
    for command, phrases in COMMANDS.items():
        for phrase in phrases:
            owners[bare_words(phrase)].add(command)

    assert {words: who for words, who in owners.items() if len(who) > 1} == {}
    assert () not in owners
    no_orders = Listening(expected=_STAGE.expected, commands=frozenset())
    assert not any(isinstance(parse(" ".join(words), no_orders), Readings) for words in owners)


def test_commands_do_not_differ_in_on_and_off() -> None:
    """No two commands become the same when "off" is heard as "on"."""
    heard = [
        (tuple("on" if word == "off" else word for word in bare_words(phrase)), command)
        for command, phrases in COMMANDS.items()
        for phrase in phrases
    ]

    assert len({words for words, _ in heard}) == len(heard)


def test_every_command_is_heard() -> None:
    """Every command has a phrase in the list when it is live."""
    phrases = set(phrases_for(Listening()))

    assert [command for command in Command if taught_phrase(command) not in phrases] == []
