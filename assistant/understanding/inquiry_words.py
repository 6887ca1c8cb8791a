"""What a table of topics is made of: topics, their slots and their choices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from assistant.understanding.inquiry_units import Measure

_ORDINALS: Final = ("second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


@dataclass(frozen=True, slots=True)
class Slot:
    """A value that a topic takes.

    name: as a brewer is asked for it ("volume of beer"). markers: words in front of the value.
    nouns: words behind it, with "of" or without. required: whether the topic has no default for it.
    named_only: taken only with one of its markers or nouns, never mixed up with another of its measure.
    instead: name of the required slot that this one does as well as, such as quarts to a pound for quarts.
    """

    name: str
    measure: Measure
    markers: tuple[str, ...] = ()
    nouns: tuple[str, ...] = ()
    required: bool = True
    named_only: bool = False
    instead: str = ""

    @property
    def marker_words(self) -> tuple[tuple[str, ...], ...]:
        """The markers, cut into words."""
        return tuple(tuple(marker.split()) for marker in self.markers)

    @property
    def noun_words(self) -> tuple[tuple[str, ...], ...]:
        """The nouns, cut into words."""
        return tuple(tuple(noun.split()) for noun in self.nouns)


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several things, by its name: (phrase, value) pairs, words that may stand before, and the default.

    opens: whether a phrase of it that begins the question is a choice as well: "corn sugar for twenty litres".
    """

    name: str
    phrases: tuple[tuple[str, str], ...]
    default: str
    leads: tuple[str, ...] = ("with", "of", "from", "under", "for", "in", "for a", "for an")
    opens: bool = False


@dataclass(frozen=True, slots=True)
class Topic:
    """Something that can be asked.

    phrases: what begins the question. title: what it answers. example: a whole question, as said.
    ordered: whether values that nothing else tells apart are taken in the order of the slots.
    repeated: names of slots that belong together and may be said again and again, such as a gravity and its day; a
    value that the group has already begins the next group. The values of the second are named by `numbered`. What
    belongs to a group stands together.
    """

    key: str
    phrases: tuple[str, ...]
    title: str
    slots: tuple[Slot, ...]
    example: str
    choices: tuple[Choice, ...] = ()
    ordered: bool = False
    repeated: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[tuple[str, ...], ...]:
        """The phrases, cut into words."""
        return tuple(tuple(phrase.split()) for phrase in self.phrases)

    @property
    def parts(self) -> tuple[Slot | Choice, ...]:
        """Everything that can be asked for, in order."""
        return (*self.slots, *self.choices)


def numbered(name: str, group: int) -> str:
    """The name of a repeated value in its `group`, counted from 1: "gravity", "second gravity"."""
    if group == 1:
        return name
    return f"{_ORDINALS[group - 2]} {name}" if group - 2 < len(_ORDINALS) else f"{name} {group}"
