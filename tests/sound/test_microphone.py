"""A watched microphone: sound flows, and every way of going silent ends in one sentence."""

from __future__ import annotations

import itertools
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from assistant.ports import DeviceFailure
from assistant.sound.microphone import SoundcardMicrophone, input_device_names

NOISE = np.random.default_rng(2).integers(-900, 900, 160_000).astype("<i2").tobytes()


class FakeStream:
    """A device that calls back with what it was given as soon as it starts."""

    def __init__(self, callback: Callable[..., None], blocks: list[bytes], active: bool = True) -> None:
        self._callback, self._blocks, self._active = callback, blocks, active
        self.given_back: list[str] = []

    @property
    def active(self) -> bool:
        """Whether the device still delivers."""
        return self._active

    def start(self) -> None:
        """Deliver everything."""
        for block in self._blocks:
            self._callback(memoryview(block), len(block) // 2, None, None)

    def abort(self) -> None:
        """Stop; a device that is gone refuses even that."""
        self.given_back.append("abort")
        raise OSError("no such device")

    def close(self) -> None:
        """Give the device back."""
        self.given_back.append("close")


class FakeCard:
    """Opens fake streams and keeps them."""

    def __init__(self, blocks: list[bytes], active: bool = True, refuses: frozenset[int] = frozenset()) -> None:
        self._blocks, self._active, self._refuses = blocks, active, refuses
        self.opened: list[tuple[str | None, int, int, FakeStream]] = []

    def open(self, device: str | None, rate_hz: int, frames: int, callback: Any) -> FakeStream:
        """Open a stream, or refuse the rate as a sound card does."""
        if rate_hz in self._refuses:
            raise RuntimeError("Invalid sample rate [PaErrorCode -9997]")
        stream = FakeStream(callback, self._blocks, self._active)
        self.opened.append((device, rate_hz, frames, stream))
        return stream

    def microphone(self, native_hz: int = 48_000, **more: Any) -> SoundcardMicrophone:
        """A microphone on this card, with a clock that runs one second at each look."""
        ticks = itertools.count()
        return SoundcardMicrophone(
            open_stream=self.open,
            native_rate_hz=lambda _device: native_hz,
            seconds_now=lambda: float(next(ticks)),
            chunk_s=0.01,
            **more,
        )


def test_sound_flows_as_it_came() -> None:
    """What the device delivers comes out in order, at the rate asked for, and the device is given back."""
    blocks = [NOISE[at : at + 320] for at in range(0, 3_200, 320)]
    card = FakeCard(blocks)
    chunks = card.microphone(device="desk").chunks()

    heard = [next(chunks) for _ in blocks]
    chunks.close()

    assert b"".join(blocks) == b"".join(chunk.samples for chunk in heard)
    assert {16_000} == {chunk.sample_rate_hz for chunk in heard}
    assert card.opened[0][:3] == ("desk", 16_000, 160)
    assert card.opened[0][3].given_back == ["abort", "close"]


def test_a_device_with_its_own_rate_is_resampled() -> None:
    """A device that refuses 16 kHz runs at its own rate, and the ear still gets 16 kHz."""
    card = FakeCard([NOISE[:960]] * 20, refuses=frozenset({16_000}))
    chunks = card.microphone().chunks()

    heard = [next(chunks) for _ in range(20)]

    assert card.opened[0][1] == 48_000
    assert {16_000} == {chunk.sample_rate_hz for chunk in heard}
    assert pytest.approx(0.2, abs=0.005) == sum(chunk.seconds for chunk in heard)


@pytest.mark.parametrize(
    ("card", "sentence"),
    [
        (FakeCard([], active=True), "has delivered no sound for 3 seconds"),
        (FakeCard([], active=False), "has stopped"),
        (FakeCard([bytes(320)] * 600), "delivers silence only"),
        (FakeCard([b"\x07\x00" * 160] * 600), "delivers silence only"),
        (FakeCard([], refuses=frozenset({16_000, 48_000})), "cannot be opened (Invalid sample rate"),
    ],
    ids=["no callbacks", "inactive", "zeros", "flat", "refused"],
)
def test_a_dead_device_ends_in_one_sentence(card: FakeCard, sentence: str) -> None:
    """A device that delivers nothing, or nothing that changes, is a failure that says what to do."""
    with pytest.raises(DeviceFailure) as failure:
        for _ in card.microphone().chunks():
            pass

    assert sentence in str(failure.value)
    assert "\n" not in str(failure.value)


def test_a_busy_ear_loses_sound_but_counts_it() -> None:
    """The queue has an end; what comes on top is counted, and the callback never waits."""
    microphone = FakeCard([NOISE[:320]] * 1_700).microphone()

    next(microphone.chunks())

    assert microphone.dropped == 200


def test_close_ends_the_sound() -> None:
    """After `close`, also twice, no chunk follows."""
    microphone = FakeCard([NOISE[:320]] * 50).microphone()
    chunks = microphone.chunks()
    next(chunks)

    microphone.close()
    microphone.close()

    assert list(chunks) == []


def test_a_machine_without_portaudio_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the PortAudio library is missing, one sentence names the package."""
    monkeypatch.setitem(sys.modules, "sounddevice", None)

    with pytest.raises(DeviceFailure, match="libportaudio2"):
        next(SoundcardMicrophone().chunks())
    with pytest.raises(DeviceFailure, match="libportaudio2"):
        input_device_names()
