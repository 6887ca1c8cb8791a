"""The words behind a topic as its values: every way to cut them and to share the values out is tried."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from assistant.quantities import Unit
from assistant.understanding.inquiry_units import DEGREES_SAID, UNIT_PHRASES, AskedUnit, Measure, measure_of
from assistant.understanding.inquiry_words import Slot, Topic, numbered
from assistant.understanding.number_words import BEFORE_A_UNIT, gravity_number, plain_number
from assistant.understanding.phrases import AND, COMMA
from assistant.understanding.said import Listening

_LONGEST_NUMBER: Final = 8
_OF: Final = "of"

Words = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value exactly as said. unit: always definite; of gravities in full (1.050)."""

    value: Decimal
    unit: Unit | AskedUnit


Meaning = dict[str, Quantity | str]


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch of words that is one value for one of the slots, or a choice.

    last: the place behind it. named: whether a noun tells what it is.
    """

    name: str
    value: Quantity | str
    last: int
    named: bool = False


class Reader:
    """All meanings of the words behind a topic."""

    def __init__(self, topic: Topic, words: Words, units: Listening, *, told: bool = False) -> None:
        """told: whether a question has told what a number is that is all the words."""
        self.topic, self.words, self.units, self.told = topic, words, units, told
        self.furthest = 0
        self._nouns = {noun for slot in topic.slots for noun in slot.noun_words}
        self._markers = {marker for slot in topic.slots for marker in slot.marker_words}

    def all_meanings(self) -> list[Meaning]:
        """Every different meaning of the words."""
        found: list[Meaning] = []
        for meaning in self.meanings(0, {}):
            if meaning not in found:
                found.append(meaning)
        return found

    def meanings(self, place: int, so_far: Meaning) -> Iterator[Meaning]:
        """Every way to read on from `place`."""
        self.furthest = max(self.furthest, place)
        if place == len(self.words):
            yield so_far
            return
        for start, separated in self._starts(place):
            for piece in self._pieces(start, separated or place == 0):
                name = self._in_its_group(piece.name, so_far)
                if name not in so_far and self._in_order(piece.name, so_far) and self._together(piece, so_far):
                    yield from self.meanings(piece.last, so_far | {name: piece.value})

    def _starts(self, place: int) -> Iterator[tuple[int, bool]]:
        """Places where a piece may begin, and whether a separator stands before it."""
        yield place, False
        after = place
        while after < len(self.words) and self.words[after] in (COMMA, AND) and after - place < 2:
            after += 1
            yield after, True

    def _in_its_group(self, name: str, so_far: Meaning) -> str:
        """The name of a repeated value in the group that was begun, or in the next where that one has it."""
        if name not in self.topic.repeated:
            return name
        group = max(1, groups_begun(self.topic, so_far))
        return numbered(name, group + 1 if numbered(name, group) in so_far else group)

    def _together(self, piece: _Piece, so_far: Meaning) -> bool:
        """Whether a group is said in one go, and a value in the middle of it is the group's where it can be."""
        again = self.topic.repeated
        group = groups_begun(self.topic, so_far)
        begun = {name for name in again if numbered(name, group) in so_far}
        inside = group > 0 and next(reversed(so_far)) in {numbered(name, group) for name in begun}
        if piece.name in again:
            return inside or piece.name in begun or not begun
        if not inside or piece.named or isinstance(piece.value, str):
            return True
        measure = measure_of(piece.value.unit)
        return all(slot.measure is not measure for slot in self.topic.slots if slot.name in {*again} - begun)

    def _in_order(self, name: str, so_far: Meaning) -> bool:
        """Whether, where the order tells which is which, no later slot was filled before."""
        if not self.topic.ordered:
            return True
        names = [slot.name for slot in self.topic.slots]
        return name not in names or not any(
            names.index(name) < names.index(filled) for filled in so_far if filled in names
        )

    def _pieces(self, start: int, separated: bool) -> Iterator[_Piece]:
        """Values and choices that begin at `start`, with a marker in front of them or without."""
        yield from self._choices(start)
        for marker in (None, *self._markers):
            length = len(marker) if marker else 0
            if marker and self.words[start : start + length] != marker:
                continue
            # Behind a bare number a second one without a marker would be the same number going on.
            if marker is None and not separated and self._ends_bare(start):
                continue
            yield from self._values(start + length, marker)

    def _ends_bare(self, place: int) -> bool:
        """Whether the word before `place` belongs to a number that may go on.

        A typed point ends that: "1.050 3 months" is two numbers, and so is "10 1.012".
        """
        if place == 0 or any("." in word for word in self.words[place - 1 : place + 1]):
            return False
        return plain_number(self.words[place - 1 : place]) is not None

    def _choices(self, start: int) -> Iterator[_Piece]:
        for choice in self.topic.choices:
            for phrase, value in choice.phrases:
                for lead in ("", *choice.leads):
                    words = (*lead.split(), *phrase.split())
                    if self.words[start : start + len(words)] == words:
                        yield _Piece(choice.name, value, start + len(words))

    def _values(self, start: int, marker: Words | None) -> Iterator[_Piece]:
        for count in range(1, min(_LONGEST_NUMBER, len(self.words) - start) + 1):
            number = self.words[start : start + count]
            if self._goes_on_as_number(number, start + count):
                continue
            for quantities, end in self._quantities(number, start + count):
                for noun, last in self._noun(end):
                    # "and fifty" tells nothing of what it is; a gravity shows by its shape, a pH by its topic.
                    told = self.told and last == len(self.words) and count == last
                    untold = end == start + count and noun is None and marker in (None, (AND,)) and not told
                    yield from self._filled(_shaped(quantities) if untold else quantities, marker, noun, last)

    def _goes_on_as_number(self, number: Words, end: int) -> bool:
        """Whether a longer run of the words sounds like one number: what sounds like one is one."""
        return any(
            plain_number(self.words[end - len(number) : longer]) is not None
            or gravity_number(self.words[end - len(number) : longer]) is not None
            for longer in range(end + 1, min(end + 4, len(self.words)) + 1)
            if COMMA not in self.words[end:longer]
        )

    def _quantities(self, number: Words, after: int) -> Iterator[tuple[dict[Measure, Quantity], int]]:
        """What the number can be, with the unit behind it or, bare, by the measure of a slot."""
        plain, gravity = plain_number(number), gravity_number(number)
        for phrase, unit in UNIT_PHRASES.items():
            if self.words[after : after + len(phrase)] != phrase:
                continue
            value = gravity if unit is Unit.SPECIFIC_GRAVITY else plain
            if value is None and unit is not Unit.SPECIFIC_GRAVITY:
                value = BEFORE_A_UNIT.get(number)
            if value is not None:
                yield {measure_of(unit): Quantity(value, unit)}, after + len(phrase)
        if plain is not None and self.words[after : after + 1] in DEGREES_SAID:
            yield self._degrees(plain), after + 1
        bare = {} if gravity is None else {Measure.GRAVITY: Quantity(gravity, Unit.SPECIFIC_GRAVITY)}
        if plain is not None:
            units = self._bare_units(plain, gravity is None)
            bare |= {measure: Quantity(plain, unit) for measure, unit in units.items()}
        if bare:
            yield bare, after

    def _degrees(self, value: Decimal) -> dict[Measure, Quantity]:
        found = {Measure.TEMPERATURE: Quantity(value, self.units.temperature_unit)}
        if self.units.gravity_unit is Unit.PLATO:
            found[Measure.GRAVITY] = Quantity(value, Unit.PLATO)
        return found

    def _bare_units(self, value: Decimal, no_gravity: bool) -> dict[Measure, Unit | AskedUnit]:
        """What a bare number is of each measure; masses, altitudes and pressures need their unit."""
        units: dict[Measure, Unit | AskedUnit] = {
            Measure.TEMPERATURE: self.units.temperature_unit,
            Measure.VOLUME: self.units.volume_unit,
            Measure.CARBONATION: AskedUnit.VOLUMES,
            Measure.NUMBER: AskedUnit.NUMBER,
            Measure.LEVEL: AskedUnit.MILLIGRAM_PER_LITRE,
            Measure.PH: Unit.PH,
        }
        if value >= 1:
            # Nought point seven five is no share in per cent, though somebody may mean it for seventy-five.
            units[Measure.SHARE] = AskedUnit.PER_CENT
        if no_gravity and self.units.gravity_unit is Unit.PLATO:
            units[Measure.GRAVITY] = Unit.PLATO
        return units

    def _noun(self, place: int) -> Iterator[tuple[Words | None, int]]:
        """A noun behind a value, with "of" or without, and the place behind it; or none."""
        yield None, place
        start = place + 1 if self.words[place : place + 1] == (_OF,) else place
        for noun in self._nouns:
            if self.words[start : start + len(noun)] == noun:
                yield noun, start + len(noun)

    def _filled(
        self, quantities: dict[Measure, Quantity], marker: Words | None, noun: Words | None, last: int
    ) -> Iterator[_Piece]:
        for slot in self.topic.slots:
            quantity = quantities.get(slot.measure)
            if quantity is not None and _fits(slot, marker, noun):
                yield _Piece(slot.name, quantity, last, named=noun is not None)


def groups_begun(topic: Topic, given: Collection[str]) -> int:
    """How many groups of the repeated slots were begun."""
    group = 0
    while any(numbered(name, group + 1) in given for name in topic.repeated):
        group += 1
    return group


def _shaped(quantities: dict[Measure, Quantity]) -> dict[Measure, Quantity]:
    """What shows by its shape alone, or by the only topics that take it."""
    told = (Unit.SPECIFIC_GRAVITY, Unit.PH)
    return {measure: value for measure, value in quantities.items() if value.unit in told}


def _fits(slot: Slot, marker: Words | None, noun: Words | None) -> bool:
    """Whether the words around a value allow the slot; some slots must be named by one of them."""
    if noun is not None and noun not in slot.noun_words:
        return False
    if marker is not None and marker not in slot.marker_words:
        # A noun tells enough: "with five kilos of grain".
        return noun is not None
    return not slot.named_only or noun is not None or marker is not None
