"""Readings found in a row of tokens: every way to cut the row, and what each piece can be.

A breath holds up to four readings of different kinds, in any order, with "at", "and", a comma or
nothing between them. Three rules keep the cutting honest:

1. What sounds like one number is one number. "ten fifty nine" is never 1.050 and nine, nor "sixty
   five" sixty and five. Only a gravity followed by a reading with its own unit may be cut there
   ("one thousand sixty degrees"), and only when the whole is impossible.
2. A bare number is what the row leaves open: after "at", or in a row with a gravity, the temperature
   of the sample; else the first kind that the stage expects and whose limits hold it. Two bare
   numbers that nothing tells apart are not understood.
3. Where two ways of cutting remain that mean different things, both are handed on. So are both
   meanings of "twelve degrees", when a brewer who reads gravity in degrees is asked for one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from typing import Final

from assistant.quantities import Unit
from assistant.understanding.limits import fits, kind_of
from assistant.understanding.number_words import (
    BEFORE_A_UNIT,
    DIGITS,
    FRACTIONS,
    POINT,
    gravity_number,
    plain_number,
)
from assistant.understanding.phrases import (
    AND,
    AT,
    COMMA,
    DEGREES,
    KIND_WORDS,
    SPOKEN_UNITS,
    TYPED_DEGREES,
    TYPED_UNITS,
)
from assistant.understanding.said import Kind, Listening, Reading
from assistant.understanding.tokens import Token

# The same few words come again and again.
_plain: Final = lru_cache(maxsize=16384)(plain_number)
_gravity: Final = lru_cache(maxsize=16384)(gravity_number)
MOST_READINGS: Final = 4
_LONGEST_NUMBER: Final = 8
# Places behind the point that are said of a temperature, and of any number without a unit.
_MOST_DEGREE_PLACES: Final = 1
_MOST_BARE_PLACES: Final = 2


def _unit_phrases() -> dict[tuple[str, ...], Unit | None]:
    """Words of each unit; None stands for degrees in the brewer's own scale."""
    found: dict[tuple[str, ...], Unit | None] = {
        tuple(phrase.split()): unit
        for table in (SPOKEN_UNITS, TYPED_UNITS)
        for unit, phrases in table.items()
        for phrase in phrases
    }
    found.update({(word,): None for word in (*DEGREES, *TYPED_DEGREES)})
    return found


_UNIT_PHRASES: Final = _unit_phrases()
_LONGEST_UNIT: Final = max(len(words) for words in _UNIT_PHRASES)


@dataclass(frozen=True, slots=True)
class _UnitSaid:
    """A unit in the row; `unit` None: degrees in the brewer's own scale. end: the place behind it."""

    unit: Unit | None
    end: int


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of tokens that is one number, with what stands around it.

    first, last: tokens it covers, inclusive, units and kind word too. joined: nothing, or only "and",
    stands between it and the piece before.
    """

    first: int
    last: int
    number: tuple[str, ...]
    plain: Decimal | None
    gravity: Decimal | None
    unit: Unit | None = None
    degrees: bool = False
    kind: Kind | None = None
    after_at: bool = False
    joined: bool = False

    @property
    def has_unit(self) -> bool:
        """Whether a unit was said, be it only "degrees"."""
        return self.degrees or self.unit is not None


def _words(tokens: tuple[Token, ...], first: int, count: int) -> tuple[str, ...]:
    return tuple(token.text for token in tokens[first : first + count])


def _unit_at(tokens: tuple[Token, ...], place: int) -> _UnitSaid | None:
    """The longest unit that stands at `place`."""
    for length in range(min(_LONGEST_UNIT, len(tokens) - place), 0, -1):
        words = _words(tokens, place, length)
        if words in _UNIT_PHRASES:
            return _UnitSaid(_UNIT_PHRASES[words], place + length)
    return None


def _hours(tokens: tuple[Token, ...], place: int, hours: Decimal) -> Iterator[tuple[int, Decimal, Unit]]:
    """What may follow "hour": "and a half", or minutes; with the place behind it."""
    yield place, hours, Unit.HOUR
    start = place + 1 if _words(tokens, place, 1) == (AND,) else place
    for phrase, part in FRACTIONS.items():
        if start > place and _words(tokens, start, len(phrase)) == phrase:
            yield start + len(phrase), hours + part, Unit.HOUR
    for count in range(1, 4):
        minutes = _plain(_words(tokens, start, count))
        unit = _unit_at(tokens, start + count)
        if minutes is not None and minutes >= 0 and unit is not None and unit.unit is Unit.MINUTE:
            yield unit.end, hours * 60 + minutes, Unit.MINUTE


def _stands_alone(number: tuple[str, ...]) -> bool:
    """Whether an amount means something without a unit.

    A mere fraction does not ("an hour and | a half"), nor what is left of a gravity when the ear
    swallows one of its words ("one point oh four", "point oh three eight").
    """
    if number in FRACTIONS or number == ("half",):
        return False
    if POINT not in number:
        return True
    front, places = number.index(POINT), _spoken_places(number)
    cut_short = number[:front] == ("one",) and DIGITS.get(number[front + 1]) == 0
    return front > 0 and places <= _MOST_BARE_PLACES and not cut_short


def _spoken_places(number: tuple[str, ...]) -> int:
    """Words behind the point; 0 without one, and for figures, which a keyboard does not garble."""
    return len(number) - 1 - number.index(POINT) if POINT in number else 0


def _pieces_at(tokens: tuple[Token, ...], start: int) -> Iterator[Piece]:
    """Every number that begins at `start`, with its unit when one follows."""
    place, kind = start, None
    if start < len(tokens) and tokens[start].text in KIND_WORDS:
        kind, place = KIND_WORDS[tokens[start].text], start + 1
    for count in range(1, min(_LONGEST_NUMBER, len(tokens) - place) + 1):
        number = _words(tokens, place, count)
        plain, gravity = _plain(number), _gravity(number)
        after = place + count
        said = _unit_at(tokens, after)
        if said is None:
            if gravity is not None or (plain is not None and _stands_alone(number)):
                yield Piece(start, after - 1, number, plain, gravity, kind=kind)
            continue
        if plain is None:
            plain = BEFORE_A_UNIT.get(number)
        end = said.end
        if said.unit is None:
            if plain is not None:
                yield Piece(start, end - 1, number, plain, None, degrees=True, kind=kind)
        elif said.unit is Unit.SPECIFIC_GRAVITY:
            if gravity is not None:
                yield Piece(start, end - 1, number, None, gravity, unit=said.unit, kind=kind)
        elif plain is not None and said.unit is Unit.HOUR:
            for behind, value, unit in _hours(tokens, end, plain):
                yield Piece(start, behind - 1, number, value, None, unit=unit, kind=kind)
        elif plain is not None:
            yield Piece(start, end - 1, number, plain, None, unit=said.unit, kind=kind)


def _one_number(before: Piece, after: Piece) -> bool:
    """Whether the numbers of two joined pieces sound like a single one."""
    if before.has_unit or after.kind is not None:
        return False
    for middle in ((), (AND,)):
        together = (*before.number, *middle, *after.number)
        if _plain(together) is not None or _gravity(together) is not None:
            return True
    return False


def _skip_separators(tokens: tuple[Token, ...], place: int) -> tuple[int, bool, bool]:
    """The place behind separators, whether "at" was among them, whether the pieces stay joined."""
    start, seen_at, joined, linked = place, False, True, False
    while place < len(tokens):
        word = tokens[place].text
        if word == COMMA:
            joined = False
        elif word == AT and not linked:
            seen_at, joined, linked = True, False, True
        elif word == AND and not linked and start > 0:
            linked = True
        else:
            break
        place += 1
    return place, seen_at, joined


def cuts(tokens: tuple[Token, ...]) -> Iterator[tuple[tuple[Piece, ...], bool]]:
    """Every way to cut all of `tokens` into pieces; True with those that use the exception of rule 1."""
    yield from _cuts(tokens, 0, (), strict=True)


def _cuts(
    tokens: tuple[Token, ...], start: int, done: tuple[Piece, ...], *, strict: bool
) -> Iterator[tuple[tuple[Piece, ...], bool]]:
    if done and all(token.text == COMMA for token in tokens[start:]):
        yield done, not strict
        return
    if len(done) == MOST_READINGS:
        return
    place, seen_at, joined = _skip_separators(tokens, start)
    for found in _pieces_at(tokens, place):
        piece = replace(found, after_at=seen_at, joined=joined and bool(done))
        still_strict = strict
        if piece.joined and _one_number(done[-1], piece):
            if done[-1].gravity is None or not piece.has_unit:
                continue
            still_strict = False
        yield from _cuts(tokens, piece.last + 1, (*done, piece), strict=still_strict)


# --- what each piece is


def unit_meant(kind: Kind, listening: Listening) -> Unit:
    """The unit of a number of this kind that was said without one."""
    return {
        Kind.GRAVITY: listening.gravity_unit,
        Kind.TEMPERATURE: listening.temperature_unit,
        Kind.VOLUME: listening.volume_unit,
        Kind.DEPTH: listening.depth_unit,
        Kind.MASS: listening.mass_unit,
        Kind.DURATION: Unit.MINUTE,
        Kind.PH: Unit.PH,
    }[kind]


def _definite(piece: Piece, listening: Listening) -> tuple[Kind, Decimal, Unit, bool] | None:
    """Kind, value, unit and whether the unit was said, where the piece alone settles it."""
    if piece.unit is Unit.SPECIFIC_GRAVITY and piece.gravity is not None:
        return Kind.GRAVITY, piece.gravity, piece.unit, True
    if piece.unit is not None and piece.plain is not None:
        return kind_of(piece.unit), piece.plain, piece.unit, True
    if piece.degrees and piece.plain is not None:
        return Kind.TEMPERATURE, piece.plain, listening.temperature_unit, False
    if piece.gravity is not None and piece.kind in (None, Kind.GRAVITY):
        return Kind.GRAVITY, piece.gravity, Unit.SPECIFIC_GRAVITY, True
    kind = Kind.TEMPERATURE if piece.after_at and piece.kind is None else piece.kind
    if kind is None or piece.plain is None:
        return None
    return _bare_as(piece.plain, kind, listening)


def _bare_as(value: Decimal, kind: Kind, listening: Listening) -> tuple[Kind, Decimal, Unit, bool] | None:
    unit = unit_meant(kind, listening)
    # "forty four" may be a "ten forty four" that lost a word, so it is no specific gravity.
    return None if unit is Unit.SPECIFIC_GRAVITY else (kind, value, unit, False)


def _open_kind(value: Decimal, taken: set[Kind], listening: Listening) -> Kind | None:
    """What a bare number is, going by the rest of the row and the stage."""
    if Kind.GRAVITY in taken:
        return Kind.TEMPERATURE
    by_scale = listening.gravity_unit is not Unit.SPECIFIC_GRAVITY
    waiting = [
        item.kind
        for item in listening.expected
        if item.kind not in taken and (item.kind is not Kind.GRAVITY or by_scale)
    ]
    for kind in waiting:
        if fits(kind, value, unit_meant(kind, listening), listening):
            return kind
    if by_scale and Kind.TEMPERATURE in taken:
        return Kind.GRAVITY
    return waiting[0] if waiting else None


def _reading(piece: Piece, meaning: tuple[Kind, Decimal, Unit, bool], tokens: tuple[Token, ...]) -> Reading:
    kind, value, unit, unit_said = meaning
    return Reading(
        kind=kind,
        value=value,
        unit=unit,
        words=" ".join(token.text for token in tokens[piece.first : piece.last + 1]),
        unit_said=unit_said,
        first_word=tokens[piece.first].place,
        last_word=tokens[piece.last].place,
    )


def readings_of(
    pieces: tuple[Piece, ...], tokens: tuple[Token, ...], listening: Listening
) -> Iterator[tuple[Reading, ...]]:
    """Every set of readings that `pieces` can be; limits are not looked at."""
    for variant in (pieces, *_degrees_of_extract(pieces, listening)):
        found = _resolved(variant, tokens, listening)
        if found is not None:
            yield found


def _degrees_of_extract(pieces: tuple[Piece, ...], listening: Listening) -> Iterator[tuple[Piece, ...]]:
    """Degrees are of extract only where a gravity in degrees is what the stage expects before all else."""
    scale, expected = listening.gravity_unit, listening.expected
    if scale not in (Unit.PLATO, Unit.BRIX) or not expected or expected[0].kind is not Kind.GRAVITY:
        return
    for place, piece in enumerate(pieces):
        if piece.degrees and not piece.after_at:
            gravity = replace(piece, degrees=False, unit=scale)
            yield (*pieces[:place], gravity, *pieces[place + 1 :])


def _resolved(
    pieces: tuple[Piece, ...], tokens: tuple[Token, ...], listening: Listening
) -> tuple[Reading, ...] | None:
    """The readings that `pieces` are, or None if they make no sense together; limits are not looked at."""
    meanings = [_definite(piece, listening) for piece in pieces]
    for piece, meaning in zip(pieces, meanings, strict=True):
        if meaning is not None and piece.kind not in (None, meaning[0]):
            return None
    open_places = [place for place, meaning in enumerate(meanings) if meaning is None]
    if len(open_places) > 1:
        return None
    taken = {meaning[0] for meaning in meanings if meaning is not None}
    for place in open_places:
        value = pieces[place].plain
        if value is None or pieces[place].kind is not None:
            return None
        kind = _open_kind(value, taken, listening)
        meanings[place] = None if kind is None else _bare_as(value, kind, listening)
    settled = [meaning for meaning in meanings if meaning is not None]
    if len(settled) < len(pieces) or len({meaning[0] for meaning in settled}) < len(settled):
        return None
    for piece, meaning in zip(pieces, settled, strict=True):
        if meaning[0] is Kind.TEMPERATURE and _spoken_places(piece.number) > _MOST_DEGREE_PLACES:
            return None
    return tuple(_reading(piece, meaning, tokens) for piece, meaning in zip(pieces, settled, strict=True))
