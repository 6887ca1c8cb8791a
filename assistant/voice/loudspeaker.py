"""Plays sound through PortAudio, so that it can be cut off, made louder, and is known to have come out.

PortAudio's list of devices is that of the moment when it was first loaded. It is not loaded anew here, since that
would cut off the microphone, which shares it.
"""

from __future__ import annotations

import importlib
import threading
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.voice.mixing import Floats, amplify, resampled, to_floats

VOLUME_STEP_DB = 3.0
LOWEST_VOLUME, HIGHEST_VOLUME = -6, 4
"""Steps from the usual volume; at the highest the peaks of speech are bent by the limiter."""

_BLOCK_S = 0.02
_BUFFER_S = 0.2
"""What PortAudio is asked to keep ready. With 0.06 a sound server ran dry and swallowed sentences; what is
ready is thrown away on stopping, so that a larger buffer does not make it slower."""

_TAIL_S = 0.05
"""Silence after the sound, beyond what the buffer holds: some drivers end without playing the buffer out."""

_FASTEST = 0.8
"""Part of its own length in which a sound can be taken at the least, the buffer's head start allowed for."""

_STALLED_AFTER_S = 2.0
"""A device that took no sound for so long is taken for dead."""

_CHECK_RATE_HZ = 22_050
_CHECK_FRAMES = 2205


def load_sounddevice() -> Any:
    """The `sounddevice` module.

    Raises:
        DeviceFailure: when it or the PortAudio library is missing.
    """
    try:
        return importlib.import_module("sounddevice")
    except OSError as error:
        raise DeviceFailure(
            "No loudspeaker: the PortAudio library is missing; install libportaudio2"
            " (Debian, Ubuntu: apt install libportaudio2)."
        ) from error
    except ImportError as error:
        raise DeviceFailure("No loudspeaker: install the Python package sounddevice.") from error


class Loudspeaker:
    """One output device. `play` belongs to one thread; the rest may be called from any.

    device: its name or a part of it; None for the system's default.
    backend: gives the `sounddevice` module, when it is first needed.
    now_s: a monotonic clock in seconds.
    """

    def __init__(
        self,
        device: str | None = None,
        *,
        backend: Callable[[], Any] = load_sounddevice,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._device = device
        self._backend = backend
        self._now_s = now_s
        self._volume = 0

    @property
    def volume(self) -> int:
        """Steps of 3 dB from the usual volume, between `LOWEST_VOLUME` and `HIGHEST_VOLUME`."""
        return self._volume

    def change_volume(self, step: int) -> None:
        """Louder or quieter by `step`, also for what is being played; stays at the ends."""
        self._volume = min(HIGHEST_VOLUME, max(LOWEST_VOLUME, self._volume + step))

    def play(self, chunk: AudioChunk, stop: threading.Event) -> bool:
        """Play `chunk` and return when it has come out (true), or soon after `stop` was set (false).

        Raises:
            DeviceFailure: when the device cannot be opened, stops taking sound, goes away, or takes the sound
                faster than it can be heard.
        """
        sounddevice = self._backend()
        feed = _Feed(chunk, stop, lambda: self._volume * VOLUME_STEP_DB, self._now_s)
        stream = self._open(sounddevice, feed)
        try:
            feed.add_silence(float(stream.latency) + _TAIL_S)
            stream.start()
            _wait(stream, feed, self._now_s)
        except sounddevice.PortAudioError as error:
            raise DeviceFailure(f"The loudspeaker failed ({_reason(error)}); check it and its cable.") from error
        finally:
            stream.abort(ignore_errors=True)
            stream.close(ignore_errors=True)
        if feed.trouble is not None:
            raise DeviceFailure(f"The loudspeaker failed ({feed.trouble}).")
        if stop.is_set():
            return False
        if feed.taken_in_s < _FASTEST * chunk.seconds:
            raise DeviceFailure("The loudspeaker swallowed a sentence without playing it; check it and its cable.")
        return True

    def check(self) -> None:
        """Find out whether the device can be opened, without a sound.

        Raises:
            DeviceFailure: when it cannot.
        """
        silence = AudioChunk(bytes(2 * _CHECK_FRAMES), _CHECK_RATE_HZ)
        feed = _Feed(silence, threading.Event(), lambda: 0.0, self._now_s)
        self._open(self._backend(), feed).close(ignore_errors=True)

    def _open(self, sounddevice: Any, feed: _Feed) -> Any:
        """A stream at the rate of the sound or, where the device refuses that, at the device's own."""
        try:
            try:
                return self._stream(sounddevice, feed)
            except sounddevice.PortAudioError:
                own_rate_hz = int(sounddevice.query_devices(self._device, "output")["default_samplerate"])
                if own_rate_hz == feed.sample_rate_hz:
                    raise
                feed.change_rate(own_rate_hz)
                return self._stream(sounddevice, feed)
        except ValueError as error:
            raise DeviceFailure(f"No loudspeaker is called {self._device!r}, or more than one is.") from error
        except sounddevice.PortAudioError as error:
            reason = _reason(error)
            raise DeviceFailure(
                f"No loudspeaker can be opened ({reason}); connect one."
                if self._device is None
                else f"The loudspeaker {self._device!r} cannot be opened ({reason}); connect it or name another."
            ) from error

    def _stream(self, sounddevice: Any, feed: _Feed) -> Any:
        return sounddevice.OutputStream(
            samplerate=feed.sample_rate_hz,
            blocksize=round(_BLOCK_S * feed.sample_rate_hz),
            device=self._device,
            channels=1,
            dtype="int16",
            latency=_BUFFER_S,
            callback=feed.callback(sounddevice),
            finished_callback=feed.ended.set,
        )


class _Feed:
    """Hands the device its next block; what runs in PortAudio's thread neither waits nor opens anything."""

    def __init__(
        self, chunk: AudioChunk, stop: threading.Event, gain_db: Callable[[], float], now_s: Callable[[], float]
    ) -> None:
        self._chunk = chunk
        self._samples: Floats = to_floats(chunk)
        self.stop = stop
        self._gain_db = gain_db
        self._at = 0
        self.ended = threading.Event()
        self.trouble: str | None = None
        self._now_s = now_s
        self._first_taken_at_s = 0.0
        self.last_taken_at_s: float | None = None

    @property
    def sample_rate_hz(self) -> int:
        return self._chunk.sample_rate_hz

    @property
    def at_end(self) -> bool:
        return self._at >= self._samples.size

    @property
    def taken_in_s(self) -> float:
        """Seconds between the first block that was asked for and the last."""
        return 0.0 if self.last_taken_at_s is None else self.last_taken_at_s - self._first_taken_at_s

    def add_silence(self, seconds: float) -> None:
        self._samples = np.concatenate([self._samples, np.zeros(round(seconds * self.sample_rate_hz))])

    def change_rate(self, sample_rate_hz: int) -> None:
        self._chunk = resampled(self._chunk, sample_rate_hz)
        self._samples = to_floats(self._chunk)

    def callback(self, sounddevice: Any) -> Callable[..., None]:
        """The function for the stream; an exception in it would end the stream without a word."""

        def fill(out: npt.NDArray[np.int16], frames: int, _time: object, _status: object) -> None:
            out.fill(0)
            now_s = self._now_s()
            if self.last_taken_at_s is None:
                self._first_taken_at_s = now_s
            self.last_taken_at_s = now_s
            if self.stop.is_set():
                raise sounddevice.CallbackAbort
            if self.at_end:
                raise sounddevice.CallbackStop
            try:
                part = amplify(self._samples[self._at : self._at + frames], self._gain_db())
                out[: part.size, 0] = np.clip(np.round(part * 32768), -32768, 32767)
                self._at += frames
            except Exception as error:
                self.trouble = str(error)
                raise sounddevice.CallbackAbort from error

        return fill


def _wait(stream: Any, feed: _Feed, now_s: Callable[[], float]) -> None:
    """Until the sound has come out or was stopped.

    Raises:
        DeviceFailure: when the device takes nothing any more, though it may still call itself active.
    """
    began_at_s = now_s()
    while not feed.ended.wait(0.02):
        if feed.stop.is_set():
            return
        if not stream.active and not feed.ended.wait(0.1):
            break
        taken_at_s = began_at_s if feed.last_taken_at_s is None else feed.last_taken_at_s
        if now_s() - taken_at_s > _STALLED_AFTER_S:
            raise DeviceFailure("The loudspeaker takes no sound; check that it is on and connected.")
    if not feed.at_end and not feed.stop.is_set() and feed.trouble is None:
        raise DeviceFailure("The loudspeaker went away in the middle of a sentence; check its cable.")


def _reason(error: Exception) -> str:
    """PortAudio's own words without its numbers."""
    text = str(error.args[0]) if error.args else type(error).__name__
    if "device -1" in text:
        return "this machine has none"
    return text.split(" [PaErrorCode", maxsplit=1)[0].removeprefix("Error opening OutputStream: ")
