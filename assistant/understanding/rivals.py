"""What else may have been said: readings that differ by one confusable word, and how to ask them apart."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from assistant.messages import Hypothesis
from assistant.quantities import Unit
from assistant.understanding.number_words import DIGITS, OTHER_PAIRS, TEEN_AND_TEN
from assistant.understanding.parse import meanings
from assistant.understanding.said import Kind, Listening, NotUnderstood, OutOfLimits, Reading, Readings, Said

# Figures asked for at least, where the values have them: "one five", not "five".
_FEWEST: Final = 2


@dataclass(frozen=True, slots=True)
class Rival:
    """What the utterance means with one word read as the word it is taken for.

    confidence: of the word as heard. teen: whether the pair is a teen and its ten.
    """

    said: Said
    confidence: float
    teen: bool


def _pairs() -> dict[str, tuple[tuple[str, bool], ...]]:
    table: dict[str, list[tuple[str, bool]]] = {}
    for pairs, teen in ((TEEN_AND_TEN, True), (OTHER_PAIRS, False)):
        for one, other in pairs:
            table.setdefault(one, []).append((other, teen))
            table.setdefault(other, []).append((one, teen))
    return {word: tuple(others) for word, others in table.items()}


COUNTERPARTS: Final = _pairs()


def rivals_of(best: Hypothesis, listening: Listening) -> tuple[Rival, ...]:
    """All meanings, possible at this stage, of the words with one of them exchanged for its counterpart."""
    texts = [word.text for word in best.words]
    found: list[Rival] = []
    for place, word in enumerate(best.words):
        for other, teen in COUNTERPARTS.get(word.text, ()):
            changed = " ".join([*texts[:place], other, *texts[place + 1 :]])
            found += [
                Rival(said, word.confidence, teen)
                for said in meanings(changed, listening)
                if not isinstance(said, NotUnderstood | OutOfLimits)
            ]
    return tuple(found)


def may_be_cut_short(said: Readings, listening: Listening) -> bool:
    """Whether a lone bare number may be a gravity whose last digit the ear swallowed.

    "one oh four" is a temperature, and it is what is left of "one oh four four" when a repeated digit is
    heard as one, which this kind of ear is known to do.
    """
    if len(said.readings) != 1 or listening.gravity_unit is not Unit.SPECIFIC_GRAVITY:
        return False
    reading = said.readings[0]
    words = reading.words.split()
    return (
        listening.expectation(Kind.GRAVITY) is not None
        and reading.kind is not Kind.GRAVITY
        and len(words) == 3
        and words[0] == "one"
        and DIGITS.get(words[1]) == 0
        and words[2] in DIGITS
    )


def differing(mine: tuple[Reading, ...], theirs: tuple[Reading, ...]) -> tuple[tuple[Reading, Reading], ...]:
    """Pairs of readings of the same kind that do not say the same, in the order of `mine`."""
    by_kind = {reading.kind: reading for reading in theirs}
    return tuple(
        (reading, by_kind[reading.kind])
        for reading in mine
        if reading.kind in by_kind
        and (reading.value, reading.unit) != (by_kind[reading.kind].value, by_kind[reading.kind].unit)
    )


def figures_of(reading: Reading) -> tuple[str, str]:
    """Figures before and behind the point; a specific gravity as thousandths, "1015" or "998"."""
    value = reading.value
    if reading.unit is Unit.SPECIFIC_GRAVITY and value == value.quantize(Decimal("0.001")):
        return str(int(value.scaleb(3))), ""
    whole, _, behind = f"{value.normalize():f}".partition(".")
    return whole, behind


def digits_apart(one: Reading, other: Reading) -> tuple[str, str] | None:
    """The figures in which two readings differ, for the question ("15" and "50").

    Leading figures that are the same are left out, down to two; so is a same part behind the point.
    Where only the part behind the point differs, that part is asked. None where single digits cannot
    tell them apart: other kinds or units, the same value, below zero, or both sides of the point.
    """
    if one.kind is not other.kind or one.unit is not other.unit or one.value == other.value:
        return None
    if one.value < 0 or other.value < 0:
        return None
    (whole, behind), (other_whole, other_behind) = figures_of(one), figures_of(other)
    if behind != other_behind:
        if whole != other_whole or not behind or not other_behind:
            return None
        return behind, other_behind
    if one.unit is Unit.SPECIFIC_GRAVITY:
        # Its two halves are said apart, so it is asked by its last half or as a whole.
        same_half = len(whole) == len(other_whole) == 4 and whole[:2] == other_whole[:2]
        return (whole[2:], other_whole[2:]) if same_half else (whole, other_whole)
    if len(whole) == len(other_whole):
        while len(whole) > _FEWEST and whole[0] == other_whole[0]:
            whole, other_whole = whole[1:], other_whole[1:]
    return whole, other_whole
