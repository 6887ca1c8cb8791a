"""What the ear is made to hear: phrases and single words for what the day is ready for.

The phrases train the bigram model of a run-time grammar, so what counts is that every word and every
pair of neighbours that brewers say occurs in them. They are few on purpose: a word that is not there
cannot be misheard. The same tables and the same forms feed the parser; every phrase listed here is
understood, which a test walks.

Always there: gravity and temperature, volume and depth in the brewer's own units, and the live orders.
pH, masses and other units come with the stage that expects them, or all when a stage expects nothing
in particular. While a question is open, only its answers and a few orders are there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from itertools import cycle, islice
from typing import Final

from assistant.quantities import Unit, convert
from assistant.understanding.inquiry_grammar import (
    answer_phrases,
    choice_phrases,
    every_question_word,
    topic_phrases,
)
from assistant.understanding.inquiry_steps import may_end
from assistant.understanding.inquiry_topics import TOPIC, TOPICS
from assistant.understanding.limits import kind_of, limits_for
from assistant.understanding.number_forms import (
    decimal_form,
    digit_words,
    fraction_forms,
    gravity_forms,
    short_words,
    small_words,
    whole_forms,
)
from assistant.understanding.number_words import BEFORE_A_UNIT, DIGITS
from assistant.understanding.parse import is_live
from assistant.understanding.phrases import (
    AFTER_A_NAME,
    AND,
    AT,
    COMMANDS,
    CORRECTIONS,
    DEGREES,
    FILLERS,
    KIND_WORDS,
    MORE,
    SPOKEN_UNITS,
    THINGS,
    TIMED,
    UNKNOWN,
    taught_phrase,
)
from assistant.understanding.readings import unit_meant
from assistant.understanding.said import Asking, Command, Expected, Kind, Listening
from assistant.understanding.tokens import bare_words

# Measured on five synthetic voices in burner noise at 14 dB: 20 of 26 lines heard without, 22 to 23 at 0.3 and
# no more at 1.0; readings stayed as they were.
ORDERS_SHARE: Final = 0.3
# Orders that stay live while a question is open.
_WITH_A_QUESTION: Final = (
    Command.YES,
    Command.NO,
    Command.SKIP,
    Command.SAY_AGAIN,
    Command.SCRATCH_THAT,
    Command.QUIET,
)
# Orders that stay live while the brewer asks something.
_WHILE_ASKING: Final = (
    Command.NEVER_MIND,
    Command.SKIP,
    Command.SCRATCH_THAT,
    Command.SAY_AGAIN,
    Command.HELP,
    Command.QUIET,
)
# Gravities that get every form (thousandths); the words of the rest are the same words.
_GRAVITIES: Final = range(980, 1121)
_MINUTES: Final = (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 18, 20, 25, 30, 40, 45, 50, 60, 70, 75, 80, 90)
_ALL_KINDS: Final = frozenset(Kind) - {Kind.DURATION}
_ALWAYS: Final = frozenset({Kind.GRAVITY, Kind.TEMPERATURE, Kind.VOLUME, Kind.DEPTH})


@lru_cache(maxsize=64)
def phrases_for(listening: Listening) -> tuple[str, ...]:
    """Phrases for the run-time grammar, always in the same order; without "[unk]".

    Readings stand there once each. Orders and names are few beside thousands of readings, and the ear's bigram
    counts: they are repeated until they make up `ORDERS_SHARE` of the readings, or they would hardly be heard.
    """
    if listening.asking is not None:
        return _question(listening)
    if listening.choices:
        return tuple(dict.fromkeys(_answers(listening)))
    readings = tuple(dict.fromkeys(_readings(listening)))
    orders = tuple(dict.fromkeys(_orders_and_names(listening)))
    times = max(1, round(ORDERS_SHARE * len(readings) / len(orders)))
    return (*readings, *orders * times)


def word_list(listening: Listening) -> tuple[str, ...]:
    """Every single word that can be heard now, sorted, and "[unk]" as the last."""
    return (*sorted({word for phrase in phrases_for(listening) for word in phrase.split()}), UNKNOWN)


@lru_cache(maxsize=1)
def every_word() -> tuple[str, ...]:
    """Every word that can be heard at any time, sorted, without "[unk]"; names of things included."""
    span = Expected(Kind.DURATION, Unit.MINUTE, 60.0, 60.0, 0.0, 600.0)
    ready = [Listening(names=THINGS), Listening(choices=("15", "50")), Listening(expected=(span,))]
    ready += [
        replace(ready[0], volume_unit=volume, depth_unit=depth, mass_unit=mass, gravity_unit=gravity)
        for volume, depth, mass, gravity in (
            (Unit.US_GALLON, Unit.INCH, Unit.OUNCE, Unit.PLATO),
            (Unit.US_QUART, Unit.MILLIMETRE, Unit.POUND, Unit.BRIX),
            (Unit.MILLILITRE, Unit.CENTIMETRE, Unit.KILOGRAM, Unit.SPECIFIC_GRAVITY),
        )
    ]
    words = {word for listening in ready for phrase in phrases_for(listening) for word in phrase.split()}
    return tuple(sorted(words | set(DIGITS) | every_question_word()))


def every_asking() -> tuple[Asking, ...]:
    """Every step of a question: the topic, and each value and choice of each topic."""
    steps = [Asking()]
    for topic in TOPICS:
        names = [part.name for part in topic.parts]
        steps += [Asking(topic.key, name, tuple(names[:place])) for place, name in enumerate(names)]
    return tuple(steps)


# --- while a question is open


def _question(listening: Listening) -> tuple[str, ...]:
    """What belongs to the brewer's own question: a topic, or the value that was asked for, and a few orders."""
    asking = listening.asking or Asking()
    values = tuple(dict.fromkeys(answer_phrases(asking, listening))) if asking.topic else ()
    # Choices are few beside the values, like orders: once each, "corn sugar" was heard as "four and a third".
    named = tuple(choice_phrases(TOPIC[asking.topic])) if asking.topic else topic_phrases()
    # Short words of orders ("it", "can", "be") take the place of topics: only what is taught.
    live = (*_WHILE_ASKING, Command.DONE) if may_end(asking) else _WHILE_ASKING
    orders = tuple(taught_phrase(command) for command in live if is_live(command, listening))
    if not values:
        return (*named, *orders * max(1, round(ORDERS_SHARE * len(named) / len(orders))))
    few = (*named, *orders)
    return (*values, *few * max(1, round(ORDERS_SHARE * len(values) / len(few))))


def _answers(listening: Listening) -> Iterator[str]:
    for choice in listening.choices:
        for zero in ("zero", "oh"):
            spelled = digit_words(choice, zero)
            yield spelled
            if len(choice) == 2:
                # The whole gravity, digit by digit, is as good an answer.
                yield from (f"one {zero} {spelled}", f"one one {spelled}", f"one point {zero} {spelled}")
        if choice[0] != "0" and len(choice) < 4:
            yield short_words(int(choice))
    # All digits, or the ear would press any other into the shape of a choice.
    for length in {len(choice) for choice in listening.choices}:
        for start in range(10):
            yield digit_words("".join(str((start + 3 * step) % 10) for step in range(length)))
    yield from _orders(tuple(command for command in _WITH_A_QUESTION if is_live(command, listening)))


# --- otherwise


def _readings(listening: Listening) -> Iterator[str]:
    kinds = {item.kind for item in listening.expected} | _ALWAYS if listening.expected else _ALL_KINDS
    gravities = tuple(_gravities(listening))
    temperatures = tuple(_temperatures(listening))
    yield from gravities
    yield from temperatures
    yield from _together(listening)
    for kind in (Kind.VOLUME, Kind.DEPTH, Kind.MASS, Kind.PH):
        if kind in kinds:
            yield from _amounts(kind, listening)
    for word, kind in KIND_WORDS.items():
        if kind in kinds and kind is not Kind.PH:
            yield from (f"{word} {phrase}" for phrase in _examples(kind, listening))
    if Kind.DURATION in kinds:
        yield from _spans()
    ten = gravity_forms(1044)[0]
    yield from (f"{filler} {ten}" for filler in FILLERS)


def _orders_and_names(listening: Listening) -> Iterator[str]:
    yield from _orders(tuple(command for command in Command if is_live(command, listening)))
    for name in listening.names:
        spoken = " ".join(bare_words(name))
        yield from (spoken, *(f"{spoken} {after}" for after in AFTER_A_NAME), f"{spoken} is {AFTER_A_NAME[0]}")


def _within(kind: Kind, unit: Unit, listening: Listening) -> range:
    """Whole numbers inside the limits, not below 0 and not above 999."""
    lowest, highest = limits_for(kind, unit, listening)
    return range(max(0, int(lowest.to_integral_value("ROUND_CEILING"))), min(999, int(highest)) + 1)


def _possible(
    phrases: Iterable[tuple[Decimal, str]], kind: Kind, unit: Unit, listening: Listening
) -> Iterator[str]:
    lowest, highest = limits_for(kind, unit, listening)
    yield from (phrase for value, phrase in phrases if lowest <= value <= highest)


def _gravities(listening: Listening) -> Iterator[str]:
    spoken = (
        (Decimal(value).scaleb(-3), form)
        for value in (*_GRAVITIES, *range(1125, 1171, 5))
        for form in gravity_forms(value)
    )
    yield from _possible(spoken, Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, listening)
    points = ((Decimal(value), f"{small_words(value)} points") for value in range(100))
    yield from _possible(points, Kind.GRAVITY, Unit.POINTS, listening)
    for unit in (Unit.PLATO, Unit.BRIX):
        if listening.gravity_unit is unit or not listening.expected or listening.gravity_unit is Unit.PLATO:
            yield from _decimals(Kind.GRAVITY, unit, range(31), listening)


def _decimals(kind: Kind, unit: Unit, wholes: Iterable[int], listening: Listening) -> Iterator[str]:
    """Whole numbers and tenths with each name of the unit in turn; each figure follows some whole number."""
    names = cycle(name for name in SPOKEN_UNITS[unit] if name != "more minutes")
    tenths = cycle(range(10))
    spoken: list[tuple[Decimal, str]] = []
    for whole in wholes:
        spoken.append((Decimal(whole), f"{short_words(whole)} {next(names)}"))
        for tenth in islice(tenths, 3):
            value = Decimal(f"{whole}.{tenth}")
            spoken.append((value, f"{decimal_form(value)} {next(names)}"))
    yield from _possible(spoken, kind, unit, listening)


def _temperatures(listening: Listening) -> Iterator[str]:
    own = listening.temperature_unit
    bare = any(item.kind is Kind.TEMPERATURE for item in listening.expected)
    scales = [(own, (*DEGREES[:1], *SPOKEN_UNITS[own]))]
    other = Unit.CELSIUS if own is Unit.FAHRENHEIT else Unit.FAHRENHEIT
    scales.append((other, SPOKEN_UNITS[other]))
    for unit, names in scales:
        turn = cycle(names)
        for whole in _within(Kind.TEMPERATURE, unit, listening):
            for form in whole_forms(whole) if unit is own else (short_words(whole),):
                yield f"{form} {next(turn)}"
                if unit is own and bare and (whole or form == "zero"):
                    yield form
    yield from _decimals(Kind.TEMPERATURE, own, _within(Kind.TEMPERATURE, own, listening), listening)
    ones = ((Decimal(-value), f"minus {small_words(value)} {DEGREES[0]}") for value in range(1, 6))
    yield from _possible(ones, Kind.TEMPERATURE, own, listening)
    singular = ((Decimal(value), f"{small_words(value)} {DEGREES[1]}") for value in (1,))
    yield from _possible(singular, Kind.TEMPERATURE, own, listening)


def _together(listening: Listening) -> Iterator[str]:
    """Gravity and temperature in one breath, both ways round, and corrections."""
    lowest, highest = limits_for(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, listening)
    able = [value for value in _GRAVITIES if lowest <= Decimal(value).scaleb(-3) <= highest]
    degrees = _within(Kind.TEMPERATURE, listening.temperature_unit, listening)
    if not able or not degrees:
        return
    gravities = cycle(able)
    for count, whole in enumerate(degrees):
        gravity = next(gravities)
        forms = gravity_forms(gravity)
        spoken, warm = forms[count % len(forms)], short_words(whole)
        correction = CORRECTIONS[count % len(CORRECTIONS)]
        yield f"{spoken} {AT} {warm}"
        yield f"{warm} {DEGREES[0]} {spoken}"
        yield f"{warm} {DEGREES[0]} {AND} {gravity_forms(gravity)[0]}"
        yield f"{gravity_forms(gravity)[0]} {AT} {warm} {DEGREES[0]}"
        yield f"{gravity_forms(gravity)[0]} {correction} {gravity_forms(next(gravities))[0]}"


def _wholes(kind: Kind, unit: Unit, listening: Listening) -> tuple[int, ...]:
    """Whole numbers of an amount: each to a hundred at most, then some, to what a kettle of 100 L has use for."""
    value, from_unit = {
        Kind.VOLUME: (100.0, Unit.LITRE),
        Kind.DEPTH: (1.0, Unit.METRE),
        Kind.MASS: (1.0, Unit.KILOGRAM),
        Kind.PH: (9.0, Unit.PH),
    }[kind]
    most = convert(value, from_unit, unit)
    inside = _within(kind, unit, listening)
    close = range(inside.start, min(inside.stop, int(min(100.0, max(10.0, most))) + 1))
    return (*close, *(whole for whole in range(110, 1000, 45) if whole <= most and whole in inside))


def _amounts(kind: Kind, listening: Listening) -> Iterator[str]:
    own = unit_meant(kind, listening)
    named = any(item.kind is kind for item in listening.expected) or not listening.expected
    for unit in _units_of(kind, own) if named else (own,):
        wholes = _wholes(kind, unit, listening)
        yield from _decimals(kind, unit, wholes, listening)
        if kind is Kind.PH:
            tenths = (Decimal(10 * whole + tenth).scaleb(-1) for whole in wholes for tenth in range(10))
            front = ((value, f"{SPOKEN_UNITS[unit][0]} {decimal_form(value)}") for value in tenths)
            yield from _possible(front, kind, unit, listening)
            continue
        if unit is own:
            for whole in wholes[:30]:
                parts = ((Decimal(whole + 1), f"{form} {SPOKEN_UNITS[unit][0]}") for form in fraction_forms(whole))
                yield from _possible(parts, kind, unit, listening)
        one = SPOKEN_UNITS[unit][1]
        article = "an" if one[0] in "aeiou" else "a"
        small = ((value, " ".join((*words, one))) for words, value in BEFORE_A_UNIT.items() if words[-1] == article)
        yield from _possible(small, kind, unit, listening)


def _units_of(kind: Kind, own: Unit) -> tuple[Unit, ...]:
    """The brewer's unit first, then the others that have a name."""
    others = (unit for unit in SPOKEN_UNITS if kind_of(unit) is kind and unit is not own)
    return (own, *others)


def _examples(kind: Kind, listening: Listening) -> tuple[str, ...]:
    """A few phrases of each form, to stand behind the name of the kind."""
    if kind is Kind.GRAVITY:
        return tuple(_gravities(listening))[::29]
    if kind is Kind.TEMPERATURE:
        return tuple(_temperatures(listening))[::29]
    return tuple(_amounts(kind, listening))[::29]


def _spans() -> Iterator[str]:
    for count in _MINUTES:
        yield f"{short_words(count)} {SPOKEN_UNITS[Unit.MINUTE][0 if count != 1 else 1]}"
        yield f"{short_words(count)} {SPOKEN_UNITS[Unit.SECOND][0 if count != 1 else 1]}"
        yield f"one hour {AND} {short_words(count)} minutes"
    yield from ("an hour", "half an hour", "two hours", "an hour and a half", "an hour and a quarter")


def _orders(commands: tuple[Command, ...]) -> Iterator[str]:
    for command in commands:
        yield from COMMANDS[command]
        for lead in TIMED.get(command, ()):
            yield from (f"{lead} {span}" for span in _spans_of_minutes())
    if Command.ADD_TIME in commands:
        yield from (f"{short_words(count)} {MORE} minutes" for count in _MINUTES if count > 1)


def _spans_of_minutes() -> Iterator[str]:
    for count in _MINUTES:
        yield f"{short_words(count)} {SPOKEN_UNITS[Unit.MINUTE][0 if count != 1 else 1]}"
    yield from ("an hour", "half an hour")
