"""Questions about the physics in plain words: "strike for five kilos at sixty-seven with fifteen litres".

A question is a topic of `inquiry_topics` and behind it values, each with a marker word in front of it, a
unit or a noun behind it, or both. Every way to cut the words and to give the values to the slots of the
topic is tried. One meaning is an `Inquiry`; two different ones are never chosen between: the brewer is told
which values are not told apart.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Final

from assistant.understanding.inquiry_reader import Meaning, Quantity, Reader, Words, groups_begun
from assistant.understanding.inquiry_topics import TOPICS
from assistant.understanding.inquiry_words import Topic, numbered
from assistant.understanding.phrases import COMMA
from assistant.understanding.said import Listening
from assistant.understanding.tokens import tokens_of, without_fillers

MOST_WORDS: Final = 64
# In front of a topic; they ask and add nothing.
_ASKING: Final = (
    *(
        ("what",),
        ("what", "would", "be"),
        ("what's",),
        ("whats",),
        ("how", "much"),
        ("how", "many"),
        ("how", "hot"),
    ),
    *(("how",), ("how", "long"), ("tell", "me"), ("give", "me"), ("work", "out"), ("calculate",), ("find",)),
    *(("can", "i"), ("how", "far"), ("which",), ("when",)),
    *(("how", "long", "to"), ("how", "long", "should", "i"), ("how", "many", "grams", "of"), ("how", "do", "i")),
    *(
        ("how", "many", "litres", "of"),
        ("how", "many", "ounces", "of"),
        ("what", "do", "i"),
        ("what", "should", "i"),
    ),
)
# Said around a question, they change nothing in it.
_SAYING_NOTHING: Final = (
    *(("do", "i", "need"), ("will", "i", "need"), ("would", "i", "need"), ("i", "need"), ("should", "i", "use")),
    *(
        ("should", "i", "add"),
        ("do", "i", "add"),
        ("do", "i", "use"),
        ("i", "want"),
        ("i", "have"),
        ("i've", "got"),
    ),
    *(("will", "i", "get"), ("would", "i", "get"), ("do", "i", "get"), ("can", "i", "expect")),
    *(("will", "it", "be"), ("would", "it", "be"), ("does", "it", "have")),
    *(("my",), ("about",), ("roughly",), ("some",), ("if", "it", "was"), ("it", "was"), ("does", "it", "take")),
    *(("to", "bring"), ("do", "i", "have")),
)
_COLON: Final = re.compile(r":(?=\s|$)")
_RATIO: Final = re.compile(r"\b(?!1[01]:[0-9]{2}\b)([0-9]+):([0-9]+)\b", re.ASCII)


@dataclass(frozen=True, slots=True)
class Inquiry:
    """A question that can be answered.

    topic: key of `inquiry_topics.TOPICS`. values: what was said, by slot; a slot with a default may be missing, and
    slots of a repeated group are numbered from the second on.
    choices: what was chosen, by the name of the choice, defaults filled in.
    """

    topic: str
    values: dict[str, Quantity]
    choices: dict[str, str]


@dataclass(frozen=True, slots=True)
class Incomplete:
    """A topic that was recognised in a question that cannot be answered yet; one of the three is filled.

    missing: names of the slots that no value was said for. unclear: names of the slots among which the words can
    be shared out in more than one way. unknown: the words from the first on that nothing allows.
    given: what was said, by slot or choice, where the words have one meaning.
    """

    topic: str
    missing: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()
    unknown: str = ""
    given: dict[str, Quantity | str] = field(default_factory=dict, compare=False)


def parse_inquiry(text: str, units: Listening) -> Inquiry | Incomplete | None:
    """Read `text` as a question; None if no topic begins it. Bare numbers are in the units of `units`.

    A mass or an altitude needs its unit said. Never raises, whatever the text.
    """
    words = said_words(text)
    if len(words) > MOST_WORDS:
        return None
    first: Incomplete | None = None
    for topic, rest in _topics_of(words):
        read = _read(topic, rest, units)
        if isinstance(read, Inquiry):
            return read
        first = first or read
        if not read.unknown:
            break
    at_the_end = () if first else _topics_at_the_end(words)
    whole = [
        read for read in (_read(topic, rest, units) for topic, rest in at_the_end) if isinstance(read, Inquiry)
    ]
    return whole[0] if whole else first


def _read(topic: Topic, rest: Words, units: Listening) -> Inquiry | Incomplete:
    """The words behind a topic as its values."""
    reader = Reader(topic, rest, units)
    meanings = reader.all_meanings()
    if not meanings:
        left = [word for word in rest[reader.furthest :] if word != COMMA]
        return Incomplete(topic.key, unknown=" ".join(left or rest))
    complete = [meaning for meaning in meanings if not missing(topic, meaning)]
    if len(complete) == 1:
        return inquiry_of(topic, complete[0])
    wanted = dict.fromkeys(name for meaning in ({}, *meanings) for name in missing(topic, meaning))
    lacking = tuple(name for name in wanted if all(name not in meaning for meaning in meanings))
    if complete or not lacking:
        return _unclear(topic, complete or meanings)
    return Incomplete(topic.key, missing=lacking, given=meanings[0] if len(meanings) == 1 else {})


def said_words(text: str) -> Words:
    """The words of a question that are looked up in the tables."""
    return _without(_SAYING_NOTHING, tuple(token.text for token in without_fillers(tokens_of(_spelled(text)))))


def _spelled(text: str) -> str:
    """The signs that only a keyboard brings, as words: "6.5 %", "4 L/h", "1:300"; "10:50" stays a gravity."""
    text = _COLON.sub(",", text).replace("~", " ").replace("=", " ").replace("³", " 3")
    return _RATIO.sub(r"\1 to \2", text).replace("%", " per cent ").replace("/", " per ")


def _without(phrases: tuple[Words, ...], words: Words) -> Words:
    """The words but for the phrases."""
    left: Words = ()
    place = 0
    while place < len(words):
        skipped = max(
            (len(phrase) for phrase in phrases if words[place : place + len(phrase)] == phrase), default=0
        )
        left += () if skipped else words[place : place + 1]
        place += skipped or 1
    return left


def _topics_of(words: Words) -> list[tuple[Topic, Words]]:
    """The topics that begin the words, the longest phrase first, and the words behind it."""
    starts = [words, *(words[len(lead) :] for lead in _ASKING if words[: len(lead)] == lead)]
    found = [
        (len(phrase), topic, start if phrase in _opening(topic) else start[len(phrase) :])
        for start in starts
        for topic in TOPICS
        for phrase in topic.words
        if start[: len(phrase)] == phrase
    ]
    return [(topic, rest) for _, topic, rest in sorted(found, key=lambda item: -item[0])]


def _topics_at_the_end(words: Words) -> list[tuple[Topic, Words]]:
    """The topics that end the words, such as "in plato"; one word alone would be too little for that."""
    starts = [words, *(words[len(lead) :] for lead in _ASKING if words[: len(lead)] == lead)]
    return [
        (topic, start[: -len(phrase)])
        for start in starts
        for topic in TOPICS
        for phrase in topic.words
        if len(phrase) > 1 and len(start) > len(phrase) and start[-len(phrase) :] == phrase
    ]


def _opening(topic: Topic) -> set[Words]:
    """Phrases that begin the question and choose something at once."""
    return {tuple(phrase.split()) for choice in topic.choices if choice.opens for phrase, _ in choice.phrases}


def missing(topic: Topic, given: Collection[str]) -> tuple[str, ...]:
    """Names of the values and choices of `topic` that have no default and are not among `given`, in its order."""
    replaced = {slot.instead for slot in topic.slots if slot.name in given}
    slots = [slot.name for slot in topic.slots if slot.required and slot.name not in replaced]
    again = [name for name in slots if name in topic.repeated]
    slots += [numbered(name, group) for group in range(2, groups_begun(topic, given) + 1) for name in again]
    choices = [choice.name for choice in topic.choices if not choice.default]
    return tuple(name for name in (*slots, *choices) if name not in given)


def _unclear(topic: Topic, meanings: list[Meaning]) -> Incomplete:
    """What differs between the meanings."""
    slots = [slot.name for slot in topic.slots] + [choice.name for choice in topic.choices]
    names = dict.fromkeys((*slots, *(name for meaning in meanings for name in meaning)))
    differing = tuple(
        name for name in names if any(meaning.get(name) != meanings[0].get(name) for meaning in meanings)
    )
    return Incomplete(topic.key, unclear=differing)


def inquiry_of(topic: Topic, meaning: dict[str, Quantity | str]) -> Inquiry:
    """The question that values and choices make; choices that were not said have their default."""
    values = {name: value for name, value in meaning.items() if isinstance(value, Quantity)}
    chosen = {name: value for name, value in meaning.items() if isinstance(value, str)}
    return Inquiry(topic.key, values, {choice.name: choice.default for choice in topic.choices} | chosen)
