"""The lexicon of a model, and the numbers its phones have in a Kaldi graph."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path

PHONES = tuple(
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split()  # noqa: SIM905 - thirty-nine lines would read worse
)
"""The outputs of the acoustic model after blank, in its order: ARPAbet without stress."""

ANYTHING = "anything"
"""A pseudo-phone, the last output of the acoustic model: the best of all phones and blank."""

GARBAGE = "[unk]"
"""The word for a stretch that is no known word."""

SILENCE_ID, BLANK_ID = 1, 2
"""Kaldi phones for blank between words and blank inside a word; both share the acoustic output 0."""
_FIRST_ID = 3


class Position(IntEnum):
    """Where a phone stands in its word; Kaldi gives each position a phone of its own."""

    BEGIN = 0
    INTERNAL = 1
    END = 2
    SINGLETON = 3


@dataclass(frozen=True, slots=True)
class Pronunciation:
    """One way to say a word."""

    word: str
    phones: tuple[str, ...]

    def kaldi_phones(self) -> tuple[int, ...]:
        """Kaldi phones of the word, by position."""
        if len(self.phones) == 1:
            return (kaldi_id(self.phones[0], Position.SINGLETON),)
        last = len(self.phones) - 1
        middle = [kaldi_id(phone, Position.INTERNAL) for phone in self.phones[1:last]]
        begin, end = kaldi_id(self.phones[0], Position.BEGIN), kaldi_id(self.phones[last], Position.END)
        return (begin, *middle, end)


def base_of(kaldi_phone: int) -> int:
    """Index of the acoustic output (after blank) behind a Kaldi phone; the position does not matter."""
    return (kaldi_phone - _FIRST_ID) // len(Position)


def kaldi_id(phone: str, position: Position) -> int:
    """The Kaldi phone for `phone` at `position`."""
    index = len(PHONES) if phone == ANYTHING else PHONES.index(phone)
    return _FIRST_ID + len(Position) * index + position


def phone_count() -> int:
    """How many Kaldi phones there are; they are numbered from 1."""
    return _FIRST_ID - 1 + len(Position) * (len(PHONES) + 1)


def word_boundary_lines() -> list[str]:
    """The lines of phones/word_boundary.int, from which Vosk takes where words begin and end."""
    lines = [f"{SILENCE_ID} nonword", f"{BLANK_ID} internal"]
    for phone in (*PHONES, ANYTHING):
        lines += [f"{kaldi_id(phone, position)} {position.name.lower()}" for position in Position]
    return lines


def read_lexicon(path: Path) -> list[Pronunciation]:
    """Read a table of words and pronunciations: word, tab, phones; `#` begins a line of comment.

    Raises:
        ValueError: naming the line with a mistake.
    """
    found: list[Pronunciation] = []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        word, tab, phones = line.partition("\t")
        entry = Pronunciation(word.strip(), tuple(phones.split()))
        unknown = [phone for phone in entry.phones if phone not in PHONES]
        if not tab or not entry.phones or unknown or entry.word != entry.word.lower() or " " in entry.word:
            raise ValueError(f"{path.name}, line {number}: a lower-case word, a tab and ARPAbet phones belong here")
        if entry in found:
            raise ValueError(f"{path.name}, line {number}: {entry.word} was already given this pronunciation")
        found.append(entry)
    return found


def words_of(lexicon: Iterable[Pronunciation]) -> list[str]:
    """The words, each once, sorted."""
    return sorted({entry.word for entry in lexicon})
