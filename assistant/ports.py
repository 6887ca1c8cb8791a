"""Every interface of a device, in one file. The loop knows these and nothing behind them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from assistant.day.facts import Fact, Recorded
from assistant.messages import AudioChunk, Moment, Say, Utterance
from assistant.understanding.said import Listening


class DeviceFailure(Exception):  # noqa: N818 - named for what happened to the device
    """A device failed; the message is one sentence for the brewer that says what to do."""


class JournalRefusal(Exception):  # noqa: N818
    """The journal cannot be opened or written; one sentence that says why and what to do. Nothing was lost."""


class BrewerMistake(Exception):  # noqa: N818 - it is the brewer's, not ours
    """Something that was typed or written cannot be; the message is one sentence with what would be right."""


class Clock(Protocol):
    """Tells the time of the day that is being brewed."""

    def now(self) -> Moment:
        """The present moment; `elapsed_s` never goes back."""


class Alarm(Protocol):
    """Wakes the loop when the next call is due.

    A lost or late wake-up must never lose a call: the loop always asks `due` itself.
    """

    def set(self, elapsed_s: float | None) -> None:
        """Wake at this time of the day; None: nothing is due. Replaces what was set before."""

    def close(self) -> None:
        """Stop; safe to call twice."""


class Microphone(Protocol):
    """A source of sound."""

    def chunks(self) -> Iterator[AudioChunk]:
        """Yield sound until it ends or `close` is called.

        Raises:
            DeviceFailure: when the device cannot be opened or stops delivering.
        """

    def close(self) -> None:
        """End `chunks` soon; safe to call twice and from another thread."""


class Ear(Protocol):
    """Turns sound into utterances."""

    @property
    def name(self) -> str:
        """Which recogniser and model this is, in a few words for the brewer."""

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of `words` that this ear's model cannot hear."""

    def listen_for(self, listening: Listening) -> None:
        """Choose the word list for what the day is ready to hear; takes effect at the next utterance."""

    def feed(self, chunk: AudioChunk) -> Utterance | None:
        """Take the next sound; return an utterance when one has just ended."""

    def flush(self) -> Utterance | None:
        """End the utterance in progress, if there is one, and return it."""


class Voice(Protocol):
    """Speaks sentences, most urgent first."""

    def prepare(self, texts: Sequence[str]) -> None:
        """Render `texts` ahead of time; returns at once."""

    def say(self, sentence: Say) -> None:
        """Queue `sentence`; returns at once."""

    def drop(self, key: str) -> None:
        """Forget what was to be said for the call `key`: it is no longer true. Cut it off if it is being said."""

    def silence(self) -> None:
        """Stop speaking at once and forget what is queued, except sentences about safety."""

    def speaking(self) -> bool:
        """Whether sound is coming out or waiting to."""

    def change_volume(self, step: int) -> None:
        """Louder (+1) or quieter (-1)."""

    def on_spoken(self, tell: Callable[[Say], None]) -> None:
        """Call `tell` with each sentence that was spoken to its end; from any thread."""

    def close(self) -> None:
        """Stop; safe to call twice."""


class Journal(Protocol):
    """The append-only book of one day."""

    def append(self, facts: Sequence[Fact], moment: Moment, turn: int) -> tuple[Recorded, ...]:
        """Write `facts` as one durable transaction and return them numbered.

        Raises:
            JournalRefusal: when they could not be made durable; then none of them was written.
        """

    def read(self) -> tuple[Recorded, ...]:
        """All facts of the day in order."""

    def close(self) -> None:
        """Close; safe to call twice."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A line for the screen: who says it (`assistant`, `brewer`, `note`), when, and the text.

    table: lines to be set below it just as they are, each at most 80 columns.
    """

    who: str
    moment: Moment
    text: str
    table: tuple[str, ...] = ()


class Board(Protocol):
    """A place to look at."""

    def show(self, line: Shown) -> None:
        """Add one line."""
