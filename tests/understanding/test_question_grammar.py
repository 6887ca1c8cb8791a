"""What the ear is made to hear of a question, against the tables that it comes from and the words of the ear."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.messages import Hypothesis, Utterance, Word
from assistant.quantities import Unit
from assistant.understanding.grammar import every_asking, every_word, phrases_for, word_list
from assistant.understanding.inquiry_grammar import topic_phrases, unit_phrases, words_said
from assistant.understanding.inquiry_steps import part_named, question_in, values_of
from assistant.understanding.inquiry_topics import TOPIC, TOPICS
from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic
from assistant.understanding.parse import meanings
from assistant.understanding.phrases import COMMANDS, UNKNOWN
from assistant.understanding.said import (
    Accept,
    Asked,
    Asking,
    Command,
    Doubt,
    Listening,
    NotUnderstood,
    Order,
    Reject,
)
from assistant.understanding.tokens import bare_words
from assistant.understanding.weigh import weigh

LEXICON: Final = Path(__file__).parents[2] / "models" / "lexicon" / "words.tsv"
METRIC: Final = Listening()
US: Final = Listening(
    temperature_unit=Unit.FAHRENHEIT, volume_unit=Unit.US_GALLON, depth_unit=Unit.INCH, mass_unit=Unit.OUNCE
)
ORDERS: Final = {bare_words(phrase) for phrases in COMMANDS.values() for phrase in phrases}
STEPS: Final = every_asking()


def named(step: Asking) -> str:
    """A step as the name of a test."""
    return f"{step.topic}, {step.slot}" if step.topic else "topic"


def heard(text: str, sure: float = 0.95, others: Iterable[str] = ()) -> Utterance:
    """What an ear made of an utterance, all words heard alike."""
    words = tuple(Word(word, sure, 0.4 * place, 0.4 * place + 0.35) for place, word in enumerate(text.split()))
    rest = (Hypothesis(tuple(Word(word, 0.0, 0.0, 0.0) for word in other.split()), -1.0) for other in others)
    return Utterance((Hypothesis(words), *rest), "an ear", 2.0, 0.1, speech_dbfs=-25.0, noise_dbfs=-45.0)


def asking(topic: str = "", slot: str = "", listening: Listening = METRIC) -> Listening:
    """Ready for a step, with the values before it known."""
    known = [part.name for part in TOPIC[topic].parts] if topic else []
    return replace(listening, asking=Asking(topic, slot, tuple(known[: known.index(slot)] if slot else ())))


# --- every table is in the grammar, every word in the ear


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.key)
def test_every_topic_can_be_named_by_voice(topic: Topic) -> None:
    """At least one phrase of each topic is in the grammar of the first step, and it begins that topic."""
    spoken = [phrase for phrase in topic_phrases() if phrase in topic.phrases]
    assert spoken
    for phrase in spoken:
        said = question_in(phrase, METRIC)
        assert said is not None
        assert (topic.key, "", ()) == (said.topic, said.unknown, said.unclear)


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.key)
def test_every_example_can_be_asked_in_steps(topic: Topic) -> None:
    """What the example of a topic says at once can be said value by value, with the same meaning."""
    whole = question_in(topic.example, METRIC)
    assert whole is not None
    assert ((), "") == (whole.unclear, whole.unknown)
    assert values_of(topic.key, whole.given)


@pytest.mark.parametrize("step", STEPS[1:], ids=named)
def test_every_word_around_a_value_is_in_the_grammar(step: Asking) -> None:
    """When a value is asked for, its markers, its nouns and its units can be heard; so can the choices."""
    words = set(word_list(asking(step.topic, step.slot)))
    topic, part = TOPIC[step.topic], part_named(TOPIC[step.topic], step.slot)
    wanted = [phrase for choice in topic.choices for phrase, _ in choice.phrases]
    if isinstance(part, Slot):
        wanted += [*part.markers, *part.nouns, *unit_phrases(part.measure, METRIC)]
    missing = {word for phrase in wanted if words_said(phrase) for word in phrase.split()} - words
    assert set() == missing


@pytest.mark.parametrize("step", STEPS[1:], ids=named)
def test_every_number_and_unit_of_a_step_is_its_value(step: Asking) -> None:
    """A number alone or with each unit, as the grammar has it, is understood as the value that was asked for."""
    ready, part = asking(step.topic, step.slot), part_named(TOPIC[step.topic], step.slot)
    if isinstance(part, Choice):
        phrases = [phrase for phrase, _ in part.phrases if words_said(phrase)]
    else:
        bare = {Measure.GRAVITY: ["ten forty four", "one oh four four"], Measure.NUMBER: ["twenty"]}
        units = unit_phrases(part.measure, METRIC)
        phrases = [*(f"twenty {unit}" for unit in units), *bare.get(part.measure, [])]
    assert phrases
    for phrase in phrases:
        (said,) = meanings(phrase, ready)
        assert isinstance(said, Asked), phrase
        assert [step.slot] == [name for name, _, _ in said.given], phrase


@pytest.mark.parametrize("listening", [METRIC, US], ids=["metric", "us"])
def test_every_word_of_a_question_is_in_the_ear(listening: Listening) -> None:
    """No step has a word that our model's lexicon lacks, or that the program does not count among its own."""
    lexicon = {line.split("\t")[0] for line in LEXICON.read_text(encoding="utf-8").splitlines() if "\t" in line} | {
        UNKNOWN
    }
    used = {word for step in STEPS for word in word_list(asking(step.topic, step.slot, listening))}
    assert set() == used - lexicon
    assert set() == used - set(every_word()) - {UNKNOWN}


def test_a_step_is_small() -> None:
    """The grammar of a step stays below half of that of a stage, so that it is fast and sure."""
    largest = max(len(set(phrases_for(asking(step.topic, step.slot)))) for step in STEPS)
    assert largest < len(set(phrases_for(METRIC))) / 2
    assert len(topic_phrases()) < 3 * len(TOPICS)


# --- nothing of it reaches the day, and nothing of the day is swallowed


@pytest.mark.parametrize("phrase", [phrase for topic in TOPICS for phrase in topic.phrases])
def test_no_topic_is_an_order_outside_a_question(phrase: str) -> None:
    """A topic that the ear brings while no question is open orders nothing, unless the very words are an order."""
    verdict = weigh(heard(phrase, 0.99), METRIC)
    is_order = isinstance(verdict, Accept) and isinstance(verdict.said, Order)
    assert (bare_words(phrase) in ORDERS) is is_order


def test_no_order_is_taught_as_a_topic() -> None:
    """What is an order is not among the names of topics that the ear listens for: an order stays an order."""
    assert [] == [phrase for phrase in topic_phrases() if bare_words(phrase) in ORDERS]
    assert meanings("boil is on", asking()) == (Order(Command.BOIL_ON, words="boil is on"),)


def test_the_opener_opens_and_never_mind_leaves() -> None:
    """Both are orders, live where they belong."""
    assert meanings("question", METRIC) == (Order(Command.QUESTION, words="question"),)
    assert meanings("never mind", asking()) == (Order(Command.NEVER_MIND, words="never mind"),)
    assert isinstance(weigh(heard("question", 0.5), METRIC), Reject)


@given(st.lists(st.sampled_from(every_word()), min_size=1, max_size=8), st.sampled_from(STEPS))
def test_while_asking_no_words_are_a_reading(words: list[str], step: Asking) -> None:
    """Whatever is heard while a question is open, it is a part of the question, an order, or not understood."""
    for said in meanings(" ".join(words), asking(step.topic, step.slot)):
        assert isinstance(said, Asked | Order | NotUnderstood)


@pytest.mark.parametrize(
    "words", ["ten forty four", "sixty four degrees", "sixty four degrees ten forty four", "thirty centimetres"]
)
def test_a_reading_of_the_kettle_is_no_mass_of_grain(words: str) -> None:
    """A reading that slips in while a mass is asked for is refused aloud, never taken and never lost in silence."""
    verdict = weigh(heard(words), asking("strike", "grain"))
    assert isinstance(verdict, Reject)
    assert not verdict.silent


# --- how sure


@pytest.mark.parametrize(
    ("words", "sure", "taken"),
    [
        ("five kilos", 0.90, True),
        ("five kilos", 0.80, False),
        ("twelve kilos", 0.95, True),
        ("fifteen kilos", 0.90, False),
        ("fifty kilos", 0.90, False),
        ("fifteen kilos", 0.97, True),
        ("one five kilos", 0.90, True),
        ("five [unk] kilos", 0.99, False),
    ],
)
def test_a_value_is_taken_when_it_was_heard_surely(words: str, sure: float, taken: bool) -> None:
    """A value needs its confidence, a teen or its ten more, and digits are the way out."""
    assert taken is isinstance(weigh(heard(words, sure), asking("strike", "grain")), Accept)


def test_another_value_that_fits_as_well_is_asked_about() -> None:
    """Two strings of words close in likelihood that mean different values are a close call."""
    verdict = weigh(heard("five kilos", 0.95, ["nine kilos"]), asking("strike", "grain"))
    assert isinstance(verdict, Reject)
    assert verdict.doubt is Doubt.CLOSE_CALL


def test_a_number_needs_its_unit_where_two_units_are_usual() -> None:
    """Five alone is no mass; sixty-seven alone is a temperature when a temperature is asked for."""
    assert isinstance(meanings("five", asking("strike", "grain"))[0], NotUnderstood)
    (said,) = meanings("sixty seven", asking("strike", "temperature of the mash"))
    assert isinstance(said, Asked)
    assert (("temperature of the mash", "67", "°C"),) == said.given
    (said,) = meanings("one fifty two", asking("strike", "temperature of the mash", US))
    assert isinstance(said, Asked)
    assert (("temperature of the mash", "152", "°F"),) == said.given
