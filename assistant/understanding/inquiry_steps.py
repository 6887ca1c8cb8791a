"""A question of the brewer in steps: the topic first, then one value after the other.

Beside a burner a whole sentence of values is heard badly, so a spoken question goes in breaths of one value each.
Whoever types may say it all at once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Final

from assistant.quantities import Unit
from assistant.understanding.inquiries import MOST_WORDS, Incomplete, Inquiry, missing, parse_inquiry, said_words
from assistant.understanding.inquiry_reader import Quantity, Reader
from assistant.understanding.inquiry_topics import TOPIC
from assistant.understanding.inquiry_units import AskedUnit
from assistant.understanding.inquiry_words import Choice, Slot, Topic, numbered
from assistant.understanding.said import Asked, Asking, Listening

# No question has more groups of values; a brewer of ten malts types them.
MOST_GROUPS: Final = 30
Given = tuple[tuple[str, str, str], ...]


def question_in(words: str, listening: Listening) -> Asked | None:
    """What `words` ask, whole or begun; None if no topic begins them."""
    read = parse_inquiry(words, listening)
    match read:
        case Inquiry(topic, values):
            # A choice that is the default tells nothing new.
            chosen = {choice.name: choice.default for choice in TOPIC[topic].choices}
            said = {name: value for name, value in read.choices.items() if value != chosen.get(name)}
            return Asked(topic, as_given({**values, **said}), words=words)
        case Incomplete(topic, unclear=unclear, unknown=unknown, given=given):
            return Asked(topic, as_given(given), unclear, unknown, words)
    return None


def answer_in(words: str, listening: Listening) -> Asked | None:
    """What `words` bring to the question that is open; None if they are neither topic nor value of it."""
    asking = listening.asking
    if asking is None:
        return None
    if asking.topic:
        answer = parse_answer(words, asking, listening)
        if answer:
            return Asked(asking.topic, as_given(answer), words=words)
    return question_in(words, listening)


def parse_answer(text: str, asking: Asking, units: Listening) -> dict[str, Quantity | str] | None:
    """What `text` answers to the question for one value of a topic; None if it is no answer or could be two.

    It may be the value alone, or with it, or instead of it, other values of the topic that are named, and choices.
    """
    topic = TOPIC[asking.topic]
    words = said_words(text)
    if not words or len(words) > MOST_WORDS:
        return None
    for slots in _answering(topic, asking):
        meanings = Reader(replace(topic, slots=slots, repeated=()), words, units, told=True).all_meanings()
        if len(meanings) == 1:
            return _in_its_group(topic, meanings[0], asking)
        if meanings:
            return None
    return None


def _in_its_group(topic: Topic, answer: dict[str, Quantity | str], asking: Asking) -> dict[str, Quantity | str]:
    """What was said beside the value that was asked for belongs to its group, what was said alone to the last."""
    if not topic.repeated:
        return answer
    last = one_more(topic, asking.given)
    names = {numbered(name, group): group for name in topic.repeated for group in range(1, MOST_GROUPS)}
    group = names.get(asking.slot if asking.slot in answer and asking.slot in names else last, 1)
    if asking.slot not in answer:
        group = max(1, group - 1)
    return {numbered(name, group) if name in topic.repeated else name: value for name, value in answer.items()}


def _answering(topic: Topic, asking: Asking) -> Iterator[tuple[Slot, ...]]:
    """The slots that an answer may fill: the one that was asked for, then any that is open, if it is named."""
    part = part_named(topic, asking.slot)
    asked = (replace(part, named_only=False),) if isinstance(part, Slot) else ()
    yield asked
    open_slots = (slot for slot in topic.slots if slot.name not in (asking.slot, *asking.given))
    yield (*asked, *(replace(slot, named_only=True) for slot in open_slots))


def as_given(values: dict[str, Quantity | str]) -> Given:
    """Values and choices as plain text: (slot, value, unit)."""
    return tuple(
        (name, value, "") if isinstance(value, str) else (name, str(value.value), value.unit.value)
        for name, value in values.items()
    )


def values_of(topic: str, given: Iterable[tuple[str, str, str]]) -> dict[str, Quantity | str]:
    """The values and choices behind plain text.

    Raises:
        ValueError: if a unit is none of ours.
    """
    parts = TOPIC[topic]
    return {
        name: value if isinstance(part_named(parts, name), Choice) else Quantity(Decimal(value), _unit(unit))
        for name, value, unit in given
    }


def _unit(sign: str) -> Unit | AskedUnit:
    try:
        return Unit(sign)
    except ValueError:
        return AskedUnit(sign)


def one_more(topic: Topic, given: Collection[str]) -> str:
    """The first value of the next group of a topic whose groups may be said again and again."""
    first, group = topic.repeated[0], 1
    while numbered(first, group) in given:
        group += 1
    return numbered(first, group)


def may_end(asking: Asking) -> bool:
    """Whether the value that is asked for begins one group more, which need not be."""
    topic = TOPIC.get(asking.topic)
    return topic is not None and not missing(topic, asking.given) and asking.slot not in asking.given


def part_named(topic: Topic, name: str) -> Slot | Choice:
    """The value or choice that is asked for by `name`, "second gravity" of a repeated group too."""
    for part in topic.parts:
        if part.name == name:
            return part
    return next(
        replace(part, name=name)
        for part in topic.parts
        if part.name in topic.repeated
        and any(numbered(part.name, group) == name for group in range(2, MOST_GROUPS))
    )
