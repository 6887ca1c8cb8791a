"""Words to meaning: the whole of what was said is allowed by the tables, or nothing is understood.

A grammar at run time is soft: any order of listed words can come out of the ear. So every word has to
be accounted for here; only the few fillers of the tables may be left over.

`meanings` gives everything that words can mean; `parse` gives the one meaning, and `NotUnderstood`
where there is more than one. Neither chooses. While the brewer asks something about the physics, words are
a part of that question or an order, and nothing else.

Corrections in one breath ("ten fifty, no, ten fifteen"): what follows must be a reading of a kind that
stands before it. A bare number corrects the reading just before it, if that was no four-figure
gravity and has as many figures ("at sixty, no, sixty-five"); "ten fifty, no, fifteen" is unclear and
not understood.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from itertools import islice
from typing import Final

from assistant.quantities import Unit
from assistant.understanding.inquiry_steps import answer_in
from assistant.understanding.limits import beyond
from assistant.understanding.number_words import DIGITS, digit_string, whole_number
from assistant.understanding.phrases import (
    AFTER_A_NAME,
    ALWAYS_LIVE,
    COMMA,
    COMMANDS,
    CORRECTIONS,
    MORE,
    TIMED,
    UNKNOWN,
)
from assistant.understanding.readings import Piece, cuts, readings_of
from assistant.understanding.said import (
    Command,
    Digits,
    Kind,
    Listening,
    Named,
    NotUnderstood,
    Order,
    OutOfLimits,
    Reading,
    Readings,
    Said,
)
from assistant.understanding.tokens import STRANGE, Token, bare_words, tokens_of, without_fillers

_MOST_TOKENS: Final = 40
# More ways of cutting one breath than this is no speech; then none of them is taken.
_MOST_CUTS: Final = 64
_MINUTES: Final[dict[Unit, Decimal]] = {Unit.MINUTE: Decimal(1), Unit.HOUR: Decimal(60)}
_COMMAND_OF: Final[dict[tuple[str, ...], Command]] = {
    bare_words(phrase): command for command, phrases in COMMANDS.items() for phrase in phrases
}
_NOTES: Final = tuple(tuple(phrase.split()) for phrase in COMMANDS[Command.NOTE])

_Found = tuple[tuple[Reading, ...], bool, bool]  # readings, by the exception of rule 1, corrected


def is_live(command: Command, listening: Listening) -> bool:
    """Whether `command` may be given now."""
    return command in listening.commands or command in ALWAYS_LIVE


def parse(words: str, listening: Listening) -> Said:
    """The one meaning of `words`, or `NotUnderstood` when there is none or more than one; never raises.

    words: as heard, or typed. Any `[unk]` means that nothing is understood, except in the free words
    behind "note".
    """
    found = meanings(words, listening)
    return found[0] if len(found) == 1 else NotUnderstood(words)


@lru_cache(maxsize=4096)
def meanings(words: str, listening: Listening) -> tuple[Said, ...]:
    """Everything that `words` can mean: one item, or several `Readings` that differ; never raises."""
    note = _note(words, listening)
    if note is not None:
        return (note,)
    tokens = without_fillers(tokens_of(words))
    texts = {token.text for token in tokens}
    if not tokens or len(tokens) > _MOST_TOKENS or UNKNOWN in texts or STRANGE in texts:
        return (NotUnderstood(words),)
    if listening.asking is not None:
        # While the brewer asks, no words are a reading of the kettle.
        order, answer = _order(words, tokens, listening), answer_in(words, listening)
        # Where a value is asked for a choice ("sugar") may be an order elsewhere; "boil is on" is no topic.
        first, second = (answer, order) if listening.asking.topic else (order, answer)
        return (first or second or NotUnderstood(words),)
    said = _answer(words, tokens, listening) or _named(words, tokens, listening) or _order(words, tokens, listening)
    return (said,) if said is not None else _readings(words, tokens, listening)


# --- orders, answers, names


def _note(words: str, listening: Listening) -> Order | None:
    """A note: what follows is free, so not even unknown words matter."""
    if not is_live(Command.NOTE, listening):
        return None
    spoken = words.split()
    heard = [word.lower().strip(",:.") for word in spoken]
    for lead in _NOTES:
        if tuple(heard[: len(lead)]) == lead:
            return Order(Command.NOTE, rest=" ".join(spoken[len(lead) :]), words=words)
    return None


def _answer(words: str, tokens: tuple[Token, ...], listening: Listening) -> Digits | None:
    """Digits, as long as one of the choices; or one of the choices said as a number ("fifteen")."""
    texts = tuple(token.text for token in tokens if token.text != COMMA)
    digits = digit_string(texts)
    if digits is not None and not all(text in DIGITS for text in texts) and digits not in listening.choices:
        return None  # typed figures that answer nothing may be a reading
    if digits is None:
        number = whole_number(texts)
        digits = str(number) if number is not None and str(number) in listening.choices else None
    lengths = {len(choice) for choice in listening.choices}
    return Digits(digits, words) if digits is not None and len(digits) in lengths else None


def _named(words: str, tokens: tuple[Token, ...], listening: Listening) -> Named | None:
    texts = tuple(token.text for token in tokens if token.text != COMMA)
    for name in listening.names:
        wanted = bare_words(name)
        if wanted and texts in (wanted, *((*wanted, after) for after in AFTER_A_NAME)):
            return Named(name, words)
    return None


def _order(words: str, tokens: tuple[Token, ...], listening: Listening) -> Order | None:
    texts = tuple(token.text for token in tokens if token.text != COMMA)
    command = _COMMAND_OF.get(texts)
    if command is not None and is_live(command, listening):
        return Order(command, words=words)
    timed = [
        (command, tokens[len(lead.split()) :])
        for command, leads in TIMED.items()
        for lead in leads
        if texts[: len(lead.split())] == tuple(lead.split())
    ]
    if MORE in texts:
        timed.append((Command.ADD_TIME, tokens))
    for command, span in timed:
        minutes = _minutes(span, listening)
        if minutes is not None and is_live(command, listening):
            return Order(command, minutes=minutes, words=words)
    return None


def _minutes(tokens: tuple[Token, ...], listening: Listening) -> Decimal | None:
    """A span of time in minutes, > 0, if `tokens` are one and nothing else."""
    for pieces, _ in _all_cuts(tokens):
        for found in readings_of(pieces, tokens, listening):
            factor = _MINUTES.get(found[0].unit)
            if len(found) == 1 and found[0].unit_said and factor is not None and found[0].value > 0:
                return found[0].value * factor
    return None


# --- readings


def _readings(words: str, tokens: tuple[Token, ...], listening: Listening) -> tuple[Said, ...]:
    """Every different set of readings; possible ones before impossible ones."""
    possible: dict[bool, dict[tuple[object, ...], Readings]] = {False: {}, True: {}}
    refused: list[OutOfLimits] = []
    for readings, excepted, corrected in _corrected(tokens, listening):
        bad = next((out for out in (beyond(item, listening) for item in readings) if out is not None), None)
        if bad is not None:
            refused.append(bad)
            continue
        key = tuple((item.kind, item.value, item.unit) for item in readings)
        possible[excepted].setdefault(key, Readings(readings, corrected_in_breath=corrected))
    found = possible[False] or possible[True]
    if found:
        return tuple(found.values())
    return (refused[0] if refused else NotUnderstood(words),)


def _corrected(tokens: tuple[Token, ...], listening: Listening) -> Iterator[_Found]:
    parts = _split_at_corrections(tokens)
    whole = list(_cut_and_resolved(parts[0], listening))
    for part in parts[1:]:
        whole = [
            (corrected, excepted or excepted_too, True)
            for readings, excepted, _ in whole
            for correction, excepted_too in _corrections(part, readings[-1], listening)
            if (corrected := _put_right(readings, correction)) is not None
        ]
        if len(whole) > _MOST_CUTS:
            return
    yield from whole


def _all_cuts(tokens: tuple[Token, ...]) -> list[tuple[tuple[Piece, ...], bool]]:
    found = list(islice(cuts(tokens), _MOST_CUTS + 1))
    return found if len(found) <= _MOST_CUTS else []


def _cut_and_resolved(tokens: tuple[Token, ...], listening: Listening) -> Iterator[_Found]:
    for pieces, excepted in _all_cuts(tokens):
        for found in readings_of(pieces, tokens, listening):
            yield found, excepted, False


def _split_at_corrections(tokens: tuple[Token, ...]) -> list[tuple[Token, ...]]:
    parts: list[tuple[Token, ...]] = []
    start = place = 0
    while place < len(tokens):
        length = _correction_at(tokens, place)
        if length:
            parts.append(tokens[start:place])
            start = place + length
        place += length or 1
    parts.append(tokens[start:])
    # "ten fifty, no, ten fifteen": the comma behind the correction word belongs to it.
    return [part[1:] if number and part and part[0].text == COMMA else part for number, part in enumerate(parts)]


def _correction_at(tokens: tuple[Token, ...], place: int) -> int:
    for phrase in CORRECTIONS:
        spoken = phrase.split()
        if [token.text for token in tokens[place : place + len(spoken)]] == spoken:
            return len(spoken)
    return 0


def _corrections(
    tokens: tuple[Token, ...], last: Reading, listening: Listening
) -> Iterator[tuple[tuple[Reading, ...], bool]]:
    """What the words behind a correction can be, seen from the reading just before it."""
    for pieces, excepted in _all_cuts(tokens):
        if len(pieces) == 1 and _is_bare(pieces[0]):
            bare = _like(last, pieces[0], tokens)
            if bare is not None:
                yield (bare,), excepted
            continue
        for found in readings_of(pieces, tokens, listening):
            yield found, excepted


def _is_bare(piece: Piece) -> bool:
    return piece.gravity is None and not piece.has_unit and piece.kind is None


def _like(last: Reading, piece: Piece, tokens: tuple[Token, ...]) -> Reading | None:
    """A bare number taken as the same kind of reading as `last`, if it clearly replaces that."""
    value = piece.plain
    if value is None or last.unit is Unit.SPECIFIC_GRAVITY:
        return None
    if piece.after_at and last.kind is not Kind.TEMPERATURE:
        return None
    if len(str(abs(int(value)))) != len(str(abs(int(last.value)))):
        return None
    return replace(
        last,
        value=value,
        words=" ".join(token.text for token in tokens[piece.first : piece.last + 1]),
        first_word=tokens[piece.first].place,
        last_word=tokens[piece.last].place,
    )


def _put_right(readings: tuple[Reading, ...], correction: tuple[Reading, ...]) -> tuple[Reading, ...] | None:
    """`readings` with those of the same kinds replaced; None if one of them replaces nothing."""
    by_kind = {reading.kind: reading for reading in correction}
    if not set(by_kind) <= {reading.kind for reading in readings}:
        return None
    return tuple(by_kind.get(reading.kind, reading) for reading in readings)
