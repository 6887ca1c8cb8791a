"""The microphone of this machine, watched: a dead one usually looks alive."""

from __future__ import annotations

import logging
import queue
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any, Protocol

import numpy as np

from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.sound.level import is_flat
from assistant.sound.resample import Resampler, from_int16, to_int16

QUEUE_S = 15.0
"""Sound kept for an ear that is busy, seconds; what comes on top is dropped and counted."""
NO_SOUND_S = 3.0
"""Without a call from the device for this long it is given up."""
FLAT_S = 5.0
"""Samples that never change for this long come from no microphone."""

_log = logging.getLogger(__name__)


class Stream(Protocol):
    """The part of `sounddevice.RawInputStream` that is used."""

    @property
    def active(self) -> bool:
        """Whether the device still delivers."""

    def start(self) -> None:
        """Begin to call back."""

    def abort(self) -> None:
        """Stop at once."""

    def close(self) -> None:
        """Give the device back."""


Callback = Callable[[Any, int, Any, Any], None]
OpenStream = Callable[[str | None, int, int, Callback], Stream]
"""Opens a device by name (None: the default) at a rate with a block length in frames; raises if it cannot."""


class SoundcardMicrophone:
    """Implements `ports.Microphone` with sounddevice.

    Args:
        device: name of the input device, or part of it; None for the system's default. Names survive
            unplugging, numbers do not.
        sample_rate_hz: rate of the chunks; the device runs at its own rate when it refuses this one.
        chunk_s: length of the chunks, seconds.
        open_stream: opens the device; sounddevice's own when None.
        native_rate_hz: gives the device's own rate; sounddevice's answer when None.
        seconds_now: a clock that never goes back, seconds.
    """

    def __init__(
        self,
        device: str | None = None,
        sample_rate_hz: int = 16_000,
        chunk_s: float = 0.1,
        *,
        open_stream: OpenStream | None = None,
        native_rate_hz: Callable[[str | None], int] | None = None,
        seconds_now: Callable[[], float] = time.monotonic,
    ) -> None:
        self._device = device
        self._rate_hz = sample_rate_hz
        self._chunk_s = chunk_s
        self._open_stream = open_stream or _open_with_sounddevice
        self._native_rate_hz = native_rate_hz or _native_rate_of_sounddevice
        self._now = seconds_now
        self._queue: queue.Queue[bytes] = queue.Queue(maxsize=max(1, round(QUEUE_S / chunk_s)))
        self._closed = threading.Event()
        self._last_call_s = 0.0
        self.dropped = 0
        """Blocks lost because the ear was busy for longer than the queue is."""

    def chunks(self) -> Iterator[AudioChunk]:
        """Yield sound until `close`.

        Raises:
            DeviceFailure: when the device cannot be opened, stops delivering, or delivers only flat samples.
        """
        stream, device_hz = self._open()
        resampler = Resampler(device_hz, self._rate_hz) if device_hz != self._rate_hz else None
        flat_s = 0.0
        dropped = 0
        try:
            self._last_call_s = self._now()
            stream.start()
            while not self._closed.is_set():
                block = self._next_block(stream)
                if block is None:
                    continue
                if self.dropped > dropped:
                    _log.warning("%d pieces of sound were lost, the ear was busy", self.dropped - dropped)
                    dropped = self.dropped
                sound = AudioChunk(block, device_hz)
                flat_s = flat_s + sound.seconds if is_flat(sound) else 0.0
                if flat_s >= FLAT_S:
                    raise DeviceFailure(
                        f"{self._title()} delivers silence only: switch it on, or allow this program to use it."
                    )
                yield sound if resampler is None else self._resampled(resampler, block)
        finally:
            _give_back(stream)

    def close(self) -> None:
        """End `chunks` soon."""
        self._closed.set()

    def _open(self) -> tuple[Stream, int]:
        try:
            return self._open_at(self._rate_hz), self._rate_hz
        except DeviceFailure:
            raise
        except Exception as refused:  # noqa: BLE001 - PortAudio, ValueError, OSError, whatever the driver throws
            _log.info("%s refuses %d hertz: %s", self._title(), self._rate_hz, refused)
        try:
            native_hz = self._native_rate_hz(self._device)
            return self._open_at(native_hz), native_hz
        except DeviceFailure:
            raise
        except Exception as error:
            raise DeviceFailure(
                f"{self._title()} cannot be opened ({_first_line(error)}); plug it in or choose another."
            ) from error

    def _open_at(self, rate_hz: int) -> Stream:
        return self._open_stream(self._device, rate_hz, round(self._chunk_s * rate_hz), self._take)

    def _take(self, samples: Any, _frames: int, _time: Any, _status: Any) -> None:
        """Called from the audio thread: copy, enqueue, nothing else; an exception here would end the stream."""
        self._last_call_s = self._now()
        try:
            self._queue.put_nowait(bytes(samples))
        except queue.Full:
            self.dropped += 1

    def _next_block(self, stream: Stream) -> bytes | None:
        try:
            return self._queue.get(timeout=2 * self._chunk_s)
        except queue.Empty:
            pass
        if not stream.active and not self._closed.is_set():
            raise DeviceFailure(f"{self._title()} has stopped; check its plug.")
        if self._now() - self._last_call_s >= NO_SOUND_S:
            raise DeviceFailure(
                f"{self._title()} has delivered no sound for {NO_SOUND_S:.0f} seconds; check its plug."
            )
        return None

    def _resampled(self, resampler: Resampler, block: bytes) -> AudioChunk:
        return AudioChunk(to_int16(resampler.push(from_int16(block))), self._rate_hz)

    def _title(self) -> str:
        return f"The microphone {self._device}" if self._device else "The microphone"


def input_device_names() -> tuple[str, ...]:
    """Names of the devices that can record.

    Raises:
        DeviceFailure: when sound is not installed on this machine.
    """
    found = np.atleast_1d(_sounddevice().query_devices())
    return tuple(str(device["name"]) for device in found if device["max_input_channels"] > 0)


def _sounddevice() -> Any:
    try:
        import sounddevice  # noqa: PLC0415 - loads PortAudio, which a Linux machine may lack
    except (ImportError, OSError) as error:
        raise DeviceFailure(
            "Sound cannot be used because PortAudio is missing; install it (on Debian or Ubuntu:"
            " sudo apt install libportaudio2), or use --typed."
        ) from error
    return sounddevice


def _open_with_sounddevice(device: str | None, rate_hz: int, frames: int, callback: Callback) -> Stream:
    stream: Stream = _sounddevice().RawInputStream(
        samplerate=rate_hz, blocksize=frames, device=device, channels=1, dtype="int16", callback=callback
    )
    return stream


def _native_rate_of_sounddevice(device: str | None) -> int:
    return int(_sounddevice().query_devices(device, "input")["default_samplerate"])


def _give_back(stream: Stream) -> None:
    for step in (stream.abort, stream.close):
        try:
            step()
        except Exception as error:  # noqa: BLE001 - a device that is gone cannot be given back
            _log.debug("giving the microphone back: %s", error)


def _first_line(error: BaseException) -> str:
    text = (str(error).splitlines() or [type(error).__name__])[0]
    # PortAudio's way to say that there is no default device.
    return "this machine has none" if "device -1" in text else text
