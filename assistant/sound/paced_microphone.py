"""Slows a recording down to its true speed, so that it can stand in for a microphone in a live day."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

from assistant.messages import AudioChunk
from assistant.ports import Microphone


class PacedMicrophone:
    """Gives the sound of another microphone no faster than it would come from a sound card."""

    def __init__(self, microphone: Microphone) -> None:
        """microphone: one that delivers as fast as it is asked."""
        self._microphone = microphone
        self._closed = threading.Event()

    def chunks(self) -> Iterator[AudioChunk]:
        """Yield each piece once its last sample would have been heard."""
        due_s = time.monotonic()
        for chunk in self._microphone.chunks():
            due_s += chunk.seconds
            if self._closed.wait(max(0.0, due_s - time.monotonic())):
                return
            yield chunk

    def close(self) -> None:
        """End soon; safe to call twice and from another thread."""
        self._closed.set()
        self._microphone.close()
