"""A recording in the place of a microphone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from assistant.messages import AudioChunk
from assistant.sound.wav_file import read_blocks


class FileMicrophone:
    """Plays a WAV file into the ear, as fast as the ear takes it.

    Args:
        path: any PCM WAV file that `wav_file.read_wav` reads.
        chunk_s: length of the pieces, seconds, > 0.
        lead_s, tail_s: digital silence before and after, seconds, so that an ear finds both ends.
        sample_rate_hz: rate of the pieces, frames per second.
    """

    def __init__(
        self,
        path: Path,
        chunk_s: float = 0.1,
        lead_s: float = 0.5,
        tail_s: float = 1.0,
        sample_rate_hz: int = 16_000,
    ) -> None:
        if chunk_s <= 0 or lead_s < 0 or tail_s < 0:
            raise ValueError("a piece must be longer than 0 seconds and a silence not shorter than 0")
        self._path = path
        self._chunk_bytes = 2 * max(1, round(chunk_s * sample_rate_hz))
        self._lead, self._tail = (bytes(2 * round(length * sample_rate_hz)) for length in (lead_s, tail_s))
        self._rate_hz = sample_rate_hz
        self._closed = False

    def chunks(self) -> Iterator[AudioChunk]:
        """Yield the silence before, the recording and the silence after in equal pieces, the last one shorter.

        Raises:
            DeviceFailure: when the file cannot be read, or holds no sound.
        """
        waiting = b""
        for block in self._sound():
            waiting += block
            whole = len(waiting) - len(waiting) % self._chunk_bytes
            for start in range(0, whole, self._chunk_bytes):
                if self._closed:
                    return
                yield AudioChunk(waiting[start : start + self._chunk_bytes], self._rate_hz)
            waiting = waiting[whole:]
        if waiting and not self._closed:
            yield AudioChunk(waiting, self._rate_hz)

    def _sound(self) -> Iterator[bytes]:
        blocks = (block.samples for block in read_blocks(self._path, self._rate_hz))
        first = next(blocks, b"")  # read before the silence goes out, so that a bad file fails at once
        yield self._lead
        yield first
        yield from blocks
        yield self._tail

    def close(self) -> None:
        """End `chunks` at the next piece."""
        self._closed = True
