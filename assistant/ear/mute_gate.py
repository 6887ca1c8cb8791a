"""Half duplex: the ear is shut while the voice speaks and a moment after, and always opens again."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable
from typing import Protocol

from assistant.messages import AudioChunk, Utterance
from assistant.ports import Ear
from assistant.understanding.said import Listening

_log = logging.getLogger(__name__)


class ResettableEar(Ear, Protocol):
    """An ear that can forget the utterance in progress."""

    def reset(self) -> None:
        """Forget the utterance in progress."""


class MuteGate:
    """Implements `ports.Ear` around another ear.

    Time is counted in seconds of sound, so that a day at speed is muted as long as a real one.

    Args:
        ear: the ear to shut.
        speaking: whether the voice speaks now; an error in it counts as no.
        tail_s: how long the ear stays shut after the voice has ended, seconds.
        longest_s: after this long the ear opens even if the voice still claims to speak, so that a
            voice that hangs cannot make the assistant deaf.
    """

    def __init__(
        self, ear: ResettableEar, speaking: Callable[[], bool], tail_s: float = 0.4, longest_s: float = 45.0
    ) -> None:
        self._ear = ear
        self._speaking = speaking
        self._tail_s = tail_s
        self._longest_s = longest_s
        self._shut_for_s = 0.0
        self._tail_left_s = 0.0
        self._given_up = False

    @property
    def name(self) -> str:
        """The name of the ear behind."""
        return self._ear.name

    @property
    def shut(self) -> bool:
        """Whether the last piece of sound was dropped."""
        return self._shut_for_s > 0

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of `words` that the ear behind cannot hear."""
        return self._ear.missing_words(words)

    def listen_for(self, listening: Listening) -> None:
        """Choose the word list of the ear behind."""
        self._ear.listen_for(listening)

    def feed(self, chunk: AudioChunk) -> Utterance | None:
        """Pass the sound on, or drop it while the voice speaks and for the tail after.

        What was begun before the voice spoke is dropped too: half a reading is worse than none.
        """
        if not self._must_drop(chunk):
            return self._ear.feed(chunk)
        if not self.shut:
            self._ear.reset()
        self._shut_for_s += chunk.seconds
        return None

    def flush(self) -> Utterance | None:
        """End the utterance in progress of the ear behind."""
        return self._ear.flush()

    def reset(self) -> None:
        """Forget the utterance in progress and open."""
        self._ear.reset()
        self._open()

    def _must_drop(self, chunk: AudioChunk) -> bool:
        speaking = self._ask_voice()
        if not speaking:
            self._given_up = False
        if speaking and not self._given_up:
            if self._shut_for_s < self._longest_s:
                self._tail_left_s = self._tail_s
                return True
            _log.warning("the voice claims to have spoken for %.0f s; the ear opens", self._shut_for_s)
            self._given_up = True
        elif self._tail_left_s > 1e-9 and not self._given_up:
            self._tail_left_s -= chunk.seconds
            return True
        self._open()
        return False

    def _ask_voice(self) -> bool:
        try:
            return self._speaking()
        except Exception:  # noqa: BLE001 - whatever is wrong with the voice, the ear opens
            _log.exception("the voice does not say whether it speaks; the ear stays open")
            return False

    def _open(self) -> None:
        self._shut_for_s = 0.0
        self._tail_left_s = 0.0
