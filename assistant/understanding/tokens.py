"""Text cut into the pieces the tables know, each with the place of the word it came from.

Spoken words pass through as they are. Typed text brings more: "60c" is a number and a unit,
"forty-four" is two words, "10:26" is a gravity in two halves, "60," ends with a separator. A comma
inside a number ("66,5") may be a decimal comma or a separator, so it becomes a piece that no table
knows, and the text is refused.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from assistant.understanding.phrases import COMMA, FILLERS, UNKNOWN

_PIECE: Final = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+|[a-z]+(?:'[a-z]+)*|[°,]", re.ASCII)
_HALVES: Final = re.compile(r"1[01]:[0-9]{2}", re.ASCII)
_DECIMAL_COMMA: Final = re.compile(r"[0-9],[0-9]", re.ASCII)
_SIGN: Final = re.compile(r"[-\u2212](?=[0-9.])")
_JOINED: Final = re.compile(r"(?<=[a-z])-(?=[a-z])")
# Stands for a piece that no table knows; no word can be spelled like this.
STRANGE: Final = "?"


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of text; `place` counts the words of the text, split at blanks, from 0."""

    text: str
    place: int


def _pieces(word: str) -> list[str]:
    word = word.replace("\u2019", "'").replace(";", COMMA)
    if word == UNKNOWN:
        return [UNKNOWN]
    word = word.rstrip(".!?") if word.rstrip(".!?") else STRANGE
    if _HALVES.fullmatch(word.rstrip(COMMA)):
        word = word.replace(":", " ")
    if _DECIMAL_COMMA.search(word):
        return [STRANGE]
    word = _SIGN.sub("minus ", word, count=1) if _SIGN.match(word) else word
    word = _JOINED.sub(" ", word)
    found = _PIECE.findall(word)
    return found if "".join(found) == word.replace(" ", "") else [STRANGE]


def tokens_of(text: str) -> tuple[Token, ...]:
    """Cut `text` into tokens; never fails, whatever the text."""
    return tuple(Token(piece, place) for place, word in enumerate(text.lower().split()) for piece in _pieces(word))


def without_fillers(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """The tokens that mean something."""
    return tuple(token for token in tokens if token.text not in FILLERS)


def bare_words(text: str) -> tuple[str, ...]:
    """The words of a phrase of the tables, fillers and commas left out; two orders never share them."""
    return tuple(token.text for token in without_fillers(tokens_of(text)) if token.text != COMMA)
