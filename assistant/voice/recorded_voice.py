"""A voice for rehearsals on a jumping clock: it hands its sound over instead of playing it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from assistant.messages import AudioChunk, Say
from assistant.ports import DeviceFailure
from assistant.voice.chimes import chime
from assistant.voice.mixing import joined
from assistant.voice.renderer import Renderer
from assistant.voice.say_queue import SayQueue


class RecordedVoice:
    """Keeps what is said until the rehearsal takes it and lays it on its own time line."""

    def __init__(self, renderer: Renderer) -> None:
        self._renderer = renderer
        self._queue = SayQueue()
        self._tell: Callable[[Say], None] | None = None

    def prepare(self, texts: Sequence[str]) -> None:
        """Render `texts` ahead of time; returns at once."""
        self._renderer.prepare(texts)

    def say(self, sentence: Say) -> None:
        """Keep `sentence` for `take`."""
        self._queue.put(sentence)

    def take(self) -> list[tuple[Say, AudioChunk]]:
        """All that waits, in speaking order, each with its chime and speech as one sound at the renderer's rate.

        Each is told as spoken when its sound is made; what that leads to being said is taken too.

        Raises:
            DeviceFailure: when the first sentence that waits cannot be rendered; nothing is forgotten. One
                that fails later ends the list, and is the first of the next `take`.
        """
        taken: list[tuple[Say, AudioChunk]] = []
        while (sentence := self._queue.take()) is not None:
            try:
                sound = with_chime(sentence, self._renderer.render(sentence.text))
            except DeviceFailure:
                self._queue.put_back()
                if taken:
                    break
                raise
            self._queue.finish()
            taken.append((sentence, sound))
            if self._tell is not None:
                self._tell(sentence)
        return taken

    def drop(self, key: str) -> None:
        """Forget what waits for the call `key`."""
        self._queue.drop(key)

    def silence(self) -> None:
        """Forget what waits, except sentences about safety."""
        self._queue.silence()

    def speaking(self) -> bool:
        """Whether something waits to be taken."""
        return self._queue.busy

    def change_volume(self, step: int) -> None:
        """Nothing to do: whoever lays the sound on a time line sets its level."""

    def on_spoken(self, tell: Callable[[Say], None]) -> None:
        """Call `tell` with each sentence that was taken."""
        self._tell = tell

    def close(self) -> None:
        """Stop the renderer; safe to call twice."""
        self._renderer.close()


def with_chime(sentence: Say, speech: AudioChunk) -> AudioChunk:
    """The chime of `sentence`, if it has one, and then its `speech`."""
    return joined([chime(sentence.chime, speech.sample_rate_hz), speech])
