"""What the ear is made to hear while a question of the brewer is open, made from the tables of the topics.

First the names of the topics; then, for the one value that was asked for, numbers with its units, alone and with
the words that may stand around it, and the choices of the topic. A word that only a keyboard brings is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from itertools import cycle
from typing import Final

from assistant.quantities import Unit
from assistant.understanding.inquiry_steps import part_named
from assistant.understanding.inquiry_topics import TOPIC, TOPICS
from assistant.understanding.inquiry_units import (
    METRIC_UNITS,
    UNIT_PHRASES,
    US_UNITS,
    AskedUnit,
    Measure,
    measure_of,
)
from assistant.understanding.inquiry_words import Slot, Topic
from assistant.understanding.number_forms import (
    decimal_form,
    digit_words,
    fraction_forms,
    gravity_forms,
    short_words,
    small_words,
)
from assistant.understanding.number_words import (
    AND,
    BEFORE_A_UNIT,
    DIGITS,
    FRACTIONS,
    HUNDRED,
    POINT,
    TEENS,
    TENS,
    THOUSAND,
)
from assistant.understanding.phrases import COMMANDS, DEGREES, SPOKEN_UNITS, TYPED_UNITS
from assistant.understanding.said import Asking, Listening
from assistant.understanding.tokens import bare_words

# Short forms, and spellings that sound like another word of the tables: with both, neither is heard surely.
_TYPED_ONLY: Final = frozenset(
    {
        *("ft", "kpa", "kw", "w", "l", "h", "m", "p", "s", "r", "i", "e", "b", "c", "mg", "co", "bn", "pu", "cu"),
        *("aa", "gph", "gpm", "hg", "hpa", "inhg", "lph", "lpm", "mbar"),
        *("fl", "1", "2", "3", "percent", "overcarbonation"),
        # American spellings; either is heard as the other.
        *("meters", "meter", "sanitizer", "pasteurization", "pasteurize", "sulfate", "color"),
    }
)
# "stuck" was taken for "stock" 3 times of 3 in quiet, "fuel" for the order "help", "true extract" for "it stuck";
# these topics have other names.
_SOUND_ALIKE: Final = frozenset({"stuck", "stock", "fuel", "it stuck"})
# A phrase that ends so expects a value, which comes in the next breath.
_BEFORE_A_VALUE: Final = frozenset({"of", "from", "for", "to", "with", "by", "in"})
_ANY: Final = range(101)
_WHOLES: Final[dict[Measure, tuple[range, ...]]] = {
    Measure.GRAVITY: (range(36),),
    Measure.TEMPERATURE: (range(231),),
    Measure.MASS: (range(101), range(110, 1000, 10)),
    Measure.ALTITUDE: (range(10, 100, 10), range(100, 1000, 10), range(1000, 9000, 50)),
    Measure.DURATION: (range(1, 121),),
    Measure.CARBONATION: (range(7),),
    Measure.PRESSURE: (range(101), range(110, 301, 10)),
    Measure.POWER: (range(31), range(100, 10_000, 100)),
    Measure.LEVEL: (range(101), range(105, 500, 5)),
    Measure.NUMBER: (range(101), range(110, 1000, 10), range(1000, 5000, 100)),
    Measure.PH: (range(2, 12),),
}
# Of these hundreds of whole numbers go with a unit; of the rest every one, tenths and all, where they are few.
_TENTHS_OF_ALL: Final = 35
_EVERY: Final = 9


def words_said(phrase: str) -> bool:
    """Whether a phrase of the tables is spoken, and not for the keyboard only."""
    return not _keyboard_words() & set(phrase.split())


@lru_cache(maxsize=1)
def _keyboard_words() -> frozenset[str]:
    typed = {word for phrases in TYPED_UNITS.values() for phrase in phrases for word in phrase.split()}
    spoken = {word for phrases in SPOKEN_UNITS.values() for phrase in phrases for word in phrase.split()}
    return frozenset(typed - spoken - {"in"}) | _TYPED_ONLY


def topic_phrases() -> tuple[str, ...]:
    """What names a topic when nothing follows, as spoken: each topic's first phrase and the first of several words.

    All of them would be hundreds, and the more there are, the less surely each is heard. A lone word that is the
    plural of another topic is left out: "salts" sounds like "salt".
    """
    found: list[str] = []
    for topic in TOPICS:
        spoken = [phrase for phrase in topic.phrases if words_said(phrase) and phrase not in _SOUND_ALIKE]
        alone = [phrase for phrase in spoken if phrase.split()[-1] not in _BEFORE_A_VALUE and not _is_order(phrase)]
        longer = [phrase for phrase in alone[1:] if " " in phrase and phrase != f"{alone[0]}s"]
        found += alone[:1] + longer[:1]
    return tuple(dict.fromkeys(phrase for phrase in found if phrase[-1] != "s" or phrase[:-1] not in found))


@lru_cache(maxsize=1)
def _orders() -> frozenset[tuple[str, ...]]:
    return frozenset(bare_words(phrase) for phrases in COMMANDS.values() for phrase in phrases)


def _is_order(phrase: str) -> bool:
    """Whether a phrase is an order too: "boil on" is what is heard of "boil is on"."""
    return bare_words(phrase) in _orders()


def answer_phrases(asking: Asking, listening: Listening) -> Iterator[str]:
    """What may be said when a value of a topic was asked for, choices left out."""
    topic = TOPIC[asking.topic]
    asked = part_named(topic, asking.slot)
    if isinstance(asked, Slot):
        values = tuple(dict.fromkeys(_values(asked.measure, listening)))
        yield from values
        yield from _around(asked, values)
    for slot in topic.slots:
        if not slot.required and slot.name not in (asking.slot, *asking.given):
            # Never asked for, so it is said when the brewer thinks of it, and by words that name it alone.
            alike = {
                marker
                for other in topic.slots
                if other.measure is slot.measure
                for marker in other.markers
                if other is not slot
            }
            own = replace(slot, markers=tuple(marker for marker in slot.markers if marker not in alike))
            yield from _around(own, tuple(_values(slot.measure, listening)))


def choice_phrases(topic: Topic) -> Iterator[str]:
    """The choices of a topic. Words before them are left out: "with" was heard as "one"."""
    yield from (phrase for choice in topic.choices for phrase, _ in choice.phrases if words_said(phrase))


def _around(slot: Slot, values: tuple[str, ...]) -> Iterator[str]:
    """Some of `values` with each marker of the slot in front of them, and with each noun behind."""
    turn = cycle(values[:: len(values) // _EVERY + 1] or values)
    for marker in slot.markers:
        if words_said(marker):
            yield from (f"{marker} {next(turn)}" for _ in range(_EVERY))
    for noun in slot.nouns:
        if words_said(noun):
            yield from (f"{next(turn)} {noun}" for _ in range(_EVERY))
            yield from (f"{next(turn)} of {noun}" for _ in range(_EVERY))


def every_question_word() -> frozenset[str]:
    """Every word that can be heard while a question is open, orders left out."""
    around = (
        phrase
        for topic in TOPICS
        for group in (
            *(group for slot in topic.slots for group in (slot.markers, slot.nouns)),
            *(tuple(phrase for phrase, _ in choice.phrases) for choice in topic.choices),
        )
        for phrase in group
    )
    units = (" ".join(words) for words, unit in UNIT_PHRASES.items() if unit not in _NEVER_ASKED)
    numbers = (*DIGITS, *TEENS, *TENS, HUNDRED, THOUSAND, POINT, AND, "of", *DEGREES)
    parts = (" ".join(words) for words in (*BEFORE_A_UNIT, *FRACTIONS))
    spoken = (phrase for phrase in (*topic_phrases(), *around, *units, *numbers, *parts) if words_said(phrase))
    return frozenset(word for phrase in spoken for word in phrase.split())


# --- values


def _values(measure: Measure, listening: Listening) -> Iterator[str]:
    if measure is Measure.GRAVITY:
        yield from (form for value in range(980, 1131) for form in gravity_forms(value))
    names = cycle(unit_phrases(measure, listening))
    bare = measure in (Measure.TEMPERATURE, Measure.VOLUME, Measure.CARBONATION, Measure.NUMBER, Measure.LEVEL)
    for spoken in _numbers(measure):
        name = next(names, "")
        yield f"{spoken} {name}".strip()
        if bare and name:
            yield spoken
    for words in BEFORE_A_UNIT:
        yield from (
            f"{' '.join(words)} {name}"
            for name in unit_phrases(measure, listening)
            if (words[-1] == "an") == (name[0] in "aeiou") and _one(name)
        )


def _one(unit: str) -> bool:
    """Whether a unit is said after "half a": one word that is no plural."""
    return " " not in unit and not unit.endswith("s") and unit not in ("feet", "inches")


def unit_phrases(measure: Measure, listening: Listening) -> tuple[str, ...]:
    """The units of a measure as spoken, those of the brewer's own system where there are two."""
    us = listening.volume_unit in US_UNITS
    other = METRIC_UNITS if us else US_UNITS
    found = [
        " ".join(words)
        for words, unit in UNIT_PHRASES.items()
        if measure_of(unit) is measure and unit not in other | _NEVER_ASKED and words_said(" ".join(words))
    ]
    degrees = DEGREES if measure is Measure.TEMPERATURE else ()
    return tuple(dict.fromkeys((*degrees[:1], *found)))


_NEVER_ASKED: Final = frozenset(
    {Unit.CENTIMETRE, Unit.MILLIMETRE, Unit.INCH, Unit.POINTS, Unit.SECOND, AskedUnit.NUMBER}
)


def _numbers(measure: Measure) -> Iterator[str]:
    """Numbers in words: whole ones short and digit by digit, tenths, and fractions of the small ones."""
    tenths = cycle(range(10))
    for span in _WHOLES.get(measure, (_ANY,)):
        for whole in span:
            if whole >= 1000:
                yield from _thousands(whole)
                continue
            yield short_words(whole)
            if whole >= 10:
                yield digit_words(str(whole), "oh" if whole % 20 else "zero")
            if whole > 100 and whole % 100:
                yield f"{small_words(whole // 100)} {HUNDRED} {AND} {small_words(whole % 100)}"
            if whole <= _TENTHS_OF_ALL:
                yield from (decimal_form(Decimal(f"{whole}.{tenth}")) for tenth in range(10))
                yield from fraction_forms(whole) if whole else ()
            elif whole <= _ANY.stop:
                yield from (decimal_form(Decimal(f"{whole}.{next(tenths)}")) for _ in range(2))


def _thousands(value: int) -> Iterator[str]:
    """1000-9999: "sixteen hundred", "one thousand six hundred and fifty", "one six five oh"."""
    thousands, rest = divmod(value, 1000)
    hundreds, small = divmod(rest, 100)
    behind = f" {AND} {small_words(small)}" if small else ""
    middle = f" {small_words(hundreds)} {HUNDRED}" if hundreds else ""
    yield f"{small_words(thousands)} {THOUSAND}{middle}{behind}"
    if hundreds:
        yield f"{small_words(value // 100)} {HUNDRED}{behind}"
    yield digit_words(str(value))
