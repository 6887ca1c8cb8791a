"""Resampling keeps what can be heard and lets nothing fold back."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.sound.resample import Resampler, from_int16, to_int16


def tone(hertz: float, rate_hz: int, seconds: float = 1.0) -> np.ndarray:
    """A sine of amplitude 1."""
    return np.sin(2 * np.pi * hertz * np.arange(round(rate_hz * seconds)) / rate_hz)


def resampled(sound: np.ndarray, from_hz: int, pieces: int = 1) -> np.ndarray:
    """Sound at 16 kHz, pushed in so many pieces."""
    resampler = Resampler(from_hz, 16_000)
    return np.concatenate([*(resampler.push(piece) for piece in np.array_split(sound, pieces)), resampler.finish()])


@pytest.mark.parametrize("rate_hz", [8_000, 11_025, 22_050, 32_000, 44_100, 48_000])
def test_a_tone_keeps_its_place_and_size(rate_hz: int) -> None:
    """A 1 kHz tone comes out as the same tone, sample by sample, whatever the rate."""
    out = resampled(tone(1_000, rate_hz), rate_hz)

    assert len(out) == 16_000
    assert out[500:-500] == pytest.approx(tone(1_000, 16_000)[500:-500], abs=1e-4)


@pytest.mark.parametrize(
    ("rate_hz", "hertz"), [(22_050, 9_500), (32_000, 12_000), (44_100, 15_000), (48_000, 20_000)]
)
def test_what_cannot_be_kept_does_not_fold_back(rate_hz: int, hertz: float) -> None:
    """A tone above the new half rate is weakened by 80 dB, not turned into another tone."""
    out = resampled(tone(hertz, rate_hz), rate_hz)

    assert np.abs(out[500:-500]).max() < 1e-4


@pytest.mark.parametrize("rate_hz", [8_000, 44_100, 48_000])
def test_pieces_make_no_difference(rate_hz: int) -> None:
    """Sound that arrives in pieces of any size is resampled as if it were one."""
    sound = np.random.default_rng(4).standard_normal(rate_hz // 2)

    assert resampled(sound, rate_hz, pieces=61) == pytest.approx(resampled(sound, rate_hz), abs=1e-12)


def test_a_rate_of_nothing_is_refused() -> None:
    """A rate of 0 is an error, not an endless loop."""
    with pytest.raises(ValueError, match="above 0"):
        Resampler(0, 16_000)


def test_sixteen_bits_go_out_and_in() -> None:
    """Every 16-bit sample survives the way to numbers and back, and louder ones are clipped."""
    every = np.arange(-32_768, 32_768).astype("<i2").tobytes()

    assert every == to_int16(from_int16(every))
    assert np.array([32_767, -32_768], "<i2").tobytes() == to_int16(np.array([1.5, -1.5]))
