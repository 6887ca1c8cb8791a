"""A voice without sound, for rehearsals that are typed: it only takes its time."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from assistant.messages import AudioChunk, Say

_SPOKEN_RATE_HZ = 16_000


class SilentVoice:
    """Implements the voice of a rehearsal without rendering anything."""

    def __init__(self, words_per_minute: int) -> None:
        """words_per_minute: how long a sentence takes."""
        self._words_per_minute = words_per_minute
        self._waiting: list[Say] = []
        self._tell: Callable[[Say], None] = lambda _: None

    def prepare(self, texts: Sequence[str]) -> None:
        """Nothing to prepare."""

    def say(self, sentence: Say) -> None:
        """Keep the sentence for `take`."""
        self._waiting.append(sentence)

    def take(self) -> list[tuple[Say, AudioChunk]]:
        """What waits, most urgent first, with silence as long as speaking it would take."""
        taken = []
        while self._waiting:
            sentence = min(self._waiting, key=lambda item: item.urgency)
            self._waiting.remove(sentence)
            seconds = len(sentence.text.split()) * 60.0 / self._words_per_minute
            taken.append((sentence, AudioChunk(bytes(2 * int(seconds * _SPOKEN_RATE_HZ)), _SPOKEN_RATE_HZ)))
            self._tell(sentence)
        return taken

    def drop(self, key: str) -> None:
        """Forget what was to be said for this call."""
        self._waiting = [item for item in self._waiting if item.key != key]

    def silence(self) -> None:
        """Forget what waits."""
        self._waiting.clear()

    def speaking(self) -> bool:
        """Whether something waits."""
        return bool(self._waiting)

    def change_volume(self, step: int) -> None:
        """Nothing to change."""

    def on_spoken(self, tell: Callable[[Say], None]) -> None:
        """Call `tell` with each sentence that was taken."""
        self._tell = tell

    def close(self) -> None:
        """Nothing to close."""
