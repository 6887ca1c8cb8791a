"""Every question there is: results in full, words that a voice can say, absurd values refused, JSON."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import product
from typing import Final

import pytest
from command_line import Kettleside

from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.day.plan import UnitChoice
from assistant.phrasing.asking import METRIC, US, neutral_listening
from assistant.phrasing.inquiry_answers import InquiryAnswer, answer_inquiry
from assistant.phrasing.speakable import speakable
from assistant.quantities import Unit
from assistant.understanding.inquiries import Inquiry, parse_inquiry
from assistant.understanding.inquiry_reader import Quantity
from assistant.understanding.inquiry_topics import TOPICS
from assistant.understanding.inquiry_units import UNIT_PHRASES, AskedUnit, Measure, measure_of
from assistant.understanding.inquiry_words import Topic

WORDS_ONLY: Final = re.compile(r"[A-Za-z ,.;:'\"()-]+")
# Far above and far below everything that is brewed, in any unit.
ABSURD: Final = (Decimal(-1000), Decimal(10) ** 8)
# A breath and the caution behind it; thirty-six words are some twelve seconds.
MOST_WORDS: Final = 36

every_topic = pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: topic.key)
in_all_units = pytest.mark.parametrize("units", [METRIC, US], ids=["metric", "us"])


def example_of(topic: Topic) -> Inquiry:
    """The topic's own example; its bare numbers are metric, whatever units it is answered in."""
    read = parse_inquiry(topic.example, neutral_listening(METRIC))
    assert isinstance(read, Inquiry)
    return read


def units_of(measure: Measure) -> list[Unit | AskedUnit]:
    """The units of a measure; an altitude in metres only, since there are lakes a thousand feet below the sea."""
    if measure is Measure.ALTITUDE:
        return [Unit.METRE]
    return sorted({unit for unit in UNIT_PHRASES.values() if measure_of(unit) is measure}) or [AskedUnit.NUMBER]


def absurd_answers(topic: Topic, units: UnitChoice) -> Iterator[tuple[str, InquiryAnswer]]:
    """The answers to the example with one value absurd, each in turn, also those that it leaves out."""
    inquiry = example_of(topic)
    said = {name: [value.unit] for name, value in inquiry.values.items()}
    every = {slot.name: units_of(slot.measure) for slot in topic.slots} | said
    for name, all_units in every.items():
        for unit, absurd in product(all_units, ABSURD):
            values = inquiry.values | {name: Quantity(absurd, unit)}
            yield f"{name} {absurd} {unit}", answer_inquiry(replace(inquiry, values=values), None, units)


@every_topic
@in_all_units
def test_every_result_is_whole(topic: Topic, units: UnitChoice) -> None:
    """Each result has a finite value, an uncertainty, a source of the table and a verdict; no label is twice."""
    answer = answer_inquiry(example_of(topic), None, units)
    assert ("Inquiry", topic.key) == (answer.understood, answer.topic), answer.sentence
    assert answer.results
    for item in answer.results:
        assert math.isfinite(item.result.value)
        assert item.result.sd >= 0.0
        assert item.result.source in SOURCES
        assert item.result.verdict in Verdict
        assert item.label
    labels = [item.label for item in answer.results]
    assert sorted(set(labels)) == sorted(labels)
    assert any(item.result.sd > 0.0 for item in answer.results)


@every_topic
@in_all_units
def test_every_answer_is_words(topic: Topic, units: UnitChoice) -> None:
    """An answer is words from beginning to end: no figure and no sign that a voice would stumble over."""
    answer = answer_inquiry(example_of(topic), None, units)
    assert WORDS_ONLY.fullmatch(answer.sentence), answer.sentence
    assert answer.sentence == speakable(answer.sentence)


@every_topic
@in_all_units
def test_an_answer_is_short(topic: Topic, units: UnitChoice) -> None:
    """Number, doubt and caution are said in one breath and a second one."""
    answer = answer_inquiry(example_of(topic), None, units)
    assert len(answer.sentence.split()) <= MOST_WORDS, answer.sentence


@every_topic
@in_all_units
def test_every_absurd_value_is_refused_in_one_sentence(topic: Topic, units: UnitChoice) -> None:
    """Any value of any question made absurd brings one sentence that a voice can say, and no result."""
    for what, answer in absurd_answers(topic, units):
        assert ("Refused", (), ()) == (answer.understood, answer.results, answer.why), what
        assert answer.sentence.endswith(".")
        assert WORDS_ONLY.fullmatch(speakable(answer.sentence)), answer.sentence


@every_topic
def test_every_question_has_json_with_units(topic: Topic, kettleside: Kettleside) -> None:
    """`--json` is one line of JSON whose results all have value, uncertainty, unit, source, status and verdict."""
    ran = kettleside("ask", "--json", topic.example)
    assert (0, 1) == (ran.code, ran.out.count("\n"))
    found = json.loads(ran.out)
    assert topic.key == found["topic"]
    assert found["answer"]
    assert found["why"]
    for item in found["results"]:
        assert {"label", "value", "sd", "unit", "source", "status", "verdict"} == set(item)
        assert isinstance(item["unit"], str)
        # A share or a factor has no unit; its label tells that it is one.
        assert item["unit"] or "share" in item["label"] or "factor" in item["label"]
