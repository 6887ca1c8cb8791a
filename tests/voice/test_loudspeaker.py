"""The loudspeaker against a stand-in for PortAudio that keeps its own time: stops, faults and volume."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.voice import loudspeaker as room
from assistant.voice.loudspeaker import Loudspeaker
from assistant.voice.mixing import from_floats

RATE_HZ = 22_050
TONE = from_floats(0.2 * np.sin(np.arange(RATE_HZ) * 0.3), RATE_HZ)


class FakePortAudio:
    """Asks for blocks in a thread, as fast as it likes, while its own clock runs by `pace` times their length.

    faults: `dead` never asks, `dies` goes away after half a second, `absent` cannot be opened.
    """

    class PortAudioError(Exception):
        """As in sounddevice."""

    class CallbackStop(Exception):  # noqa: N818 - the name in sounddevice
        """As in sounddevice."""

    class CallbackAbort(Exception):  # noqa: N818
        """As in sounddevice."""

    def __init__(self, *, pace: float = 1.0, fault: str = "", own_rate_hz: int = RATE_HZ) -> None:
        self.pace, self.fault, self.own_rate_hz = pace, fault, own_rate_hz
        self.time_s = 0.0
        self.played: list[np.ndarray[Any, Any]] = []
        self.on_block: Callable[[], None] = lambda: None
        self.open_streams = 0

    @property
    def samples(self) -> np.ndarray[Any, Any]:
        """All that was played."""
        return np.concatenate(self.played)

    def now_s(self) -> float:
        """The clock; it also runs while nothing is asked for, so that waiting comes to an end."""
        self.time_s += 0.5 if self.fault == "dead" else 0.0
        return self.time_s

    def query_devices(self, _device: object, _kind: str) -> dict[str, float]:
        """The device's own rate."""
        return {"default_samplerate": float(self.own_rate_hz)}

    def OutputStream(self, **wishes: Any) -> Any:  # noqa: N802 - the name in sounddevice
        """A stream that plays into `played`."""
        if self.fault == "absent" or wishes["samplerate"] != self.own_rate_hz:
            raise self.PortAudioError("Error opening OutputStream: Device unavailable [PaErrorCode -9985]")
        if wishes["device"] == "unknown":
            raise ValueError("No output device matching 'unknown'")
        self.open_streams += 1
        stream = SimpleNamespace(latency=0.1, active=True)

        def run() -> None:
            blocks = 0
            while stream.active and self.fault != "dead":
                out = np.empty((wishes["blocksize"], 1), np.int16)
                try:
                    wishes["callback"](out, wishes["blocksize"], None, None)
                except (self.CallbackStop, self.CallbackAbort):
                    break
                self.played.append(out[:, 0].copy())
                self.time_s += self.pace * wishes["blocksize"] / wishes["samplerate"]
                blocks += 1
                if self.fault == "dies" and blocks == 25:
                    break
                self.on_block()
            if self.fault != "dead":
                stream.active = False
                wishes["finished_callback"]()

        def close(ignore_errors: bool = True) -> None:
            stream.active = False
            self.open_streams -= 1

        stream.start = threading.Thread(target=run, daemon=True).start
        stream.abort = lambda ignore_errors=True: None
        stream.close = close
        return stream


def speaker(backend: FakePortAudio, device: str | None = None) -> Loudspeaker:
    """A loudspeaker on the stand-in."""
    return Loudspeaker(device, backend=lambda: backend, now_s=backend.now_s)


def test_a_sound_is_played_whole_and_with_silence_behind_it() -> None:
    """Every sample comes out unchanged at the usual volume, then silence for longer than the buffer holds."""
    backend = FakePortAudio()
    ended = speaker(backend).play(TONE, threading.Event())
    wanted = np.frombuffer(TONE.samples, "<i2")

    assert ended
    assert np.array_equal(wanted, backend.samples[:RATE_HZ])
    assert not backend.samples[RATE_HZ:].any()
    assert backend.samples.size >= RATE_HZ * 1.1


def test_stop_ends_the_sound_at_the_next_block() -> None:
    """A sound that is stopped after half its length reports so, and nothing is played after it."""
    backend, stop = FakePortAudio(), threading.Event()
    backend.on_block = lambda: stop.set() if backend.time_s >= 0.5 else None
    ended = speaker(backend).play(TONE, stop)

    assert not ended
    assert pytest.approx(0.5, abs=0.05) == backend.samples.size / RATE_HZ


@pytest.mark.parametrize(
    ("sentence", "backend", "device"),
    [
        ("No loudspeaker can be opened .Device unavailable.; connect one", FakePortAudio(fault="absent"), None),
        ("'kitchen' cannot be opened", FakePortAudio(fault="absent"), "kitchen"),
        ("No loudspeaker is called 'unknown'", FakePortAudio(), "unknown"),
        ("takes no sound", FakePortAudio(fault="dead"), None),
        ("went away in the middle", FakePortAudio(fault="dies"), None),
        ("swallowed a sentence", FakePortAudio(pace=0.3), None),
    ],
)
def test_a_failing_device_is_one_sentence(sentence: str, backend: FakePortAudio, device: str | None) -> None:
    """Each way to fail is noticed, told in one sentence, and leaves no stream open."""
    with pytest.raises(DeviceFailure, match=sentence):
        speaker(backend, device).play(TONE, threading.Event())
    assert backend.open_streams == 0


def test_a_device_with_a_rate_of_its_own_gets_that_rate() -> None:
    """A device that refuses 22,050 Hz is fed the same second of sound at its own rate."""
    backend = FakePortAudio(own_rate_hz=48_000)
    ended = speaker(backend).play(TONE, threading.Event())

    assert ended
    assert pytest.approx(48_000, abs=600) == np.flatnonzero(backend.samples)[-1]


def test_volume_goes_in_steps_and_stays_within_its_ends() -> None:
    """One step is three decibels, heard at once; a hundred steps go no further than the end."""
    backend = FakePortAudio()
    loudspeaker = speaker(backend)
    loudspeaker.change_volume(-1)
    loudspeaker.play(TONE, threading.Event())
    quieter = np.frombuffer(TONE.samples, "<i2") * 10 ** (-3 / 20)

    assert np.abs(quieter - backend.samples[:RATE_HZ]).max() <= 1
    loudspeaker.change_volume(100)
    assert loudspeaker.volume == room.HIGHEST_VOLUME
    loudspeaker.change_volume(-100)
    assert loudspeaker.volume == room.LOWEST_VOLUME


def test_a_missing_library_is_told_with_its_package(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without PortAudio the sentence names what to install; without the Python package that one."""

    class NoPortAudio:
        def find_spec(self, name: str, _path: object = None, _target: object = None) -> None:
            if name == "sounddevice":
                raise OSError("PortAudio library not found")

    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    monkeypatch.setattr(sys, "meta_path", [NoPortAudio(), *sys.meta_path])
    with pytest.raises(DeviceFailure, match="apt install libportaudio2"):
        Loudspeaker().play(TONE, threading.Event())
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(DeviceFailure, match="Python package sounddevice"):
        Loudspeaker().play(TONE, threading.Event())


def test_an_empty_sound_is_played_at_once() -> None:
    """Nothing to play is played to its end."""
    assert speaker(FakePortAudio()).play(AudioChunk(b"", RATE_HZ), threading.Event())


def test_a_device_is_checked_without_a_sound() -> None:
    """Checking opens the device, plays nothing and closes it; one that cannot be opened is told."""
    backend = FakePortAudio()
    speaker(backend).check()

    assert backend.open_streams == 0
    assert not backend.played
    with pytest.raises(DeviceFailure, match="connect one"):
        speaker(FakePortAudio(fault="absent")).check()
