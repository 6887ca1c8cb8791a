"""Arithmetic on sound against tones whose level is known, and against an independent resampler."""

from __future__ import annotations

import math

import numpy as np
import pytest

from assistant.messages import AudioChunk
from assistant.voice import mixing


def tone(frequency_hz: float, sample_rate_hz: int, *, amplitude: float = 0.5, seconds: float = 0.5) -> AudioChunk:
    """A sine."""
    t = np.arange(round(seconds * sample_rate_hz)) / sample_rate_hz
    return mixing.from_floats(amplitude * np.sin(2 * np.pi * frequency_hz * t), sample_rate_hz)


@pytest.mark.parametrize(("wanted_dbfs", "amplitude"), [(-3.01, 1.0), (-9.03, 0.5), (-23.01, 0.1)])
def test_the_level_of_a_sine_is_three_decibels_under_its_peak(wanted_dbfs: float, amplitude: float) -> None:
    """A sine's RMS is its amplitude over the square root of two (textbook)."""
    assert pytest.approx(wanted_dbfs, abs=0.02) == mixing.level_dbfs(tone(1000, 16_000, amplitude=amplitude))


def test_silence_has_no_level() -> None:
    """Silence and nothing are minus infinity, and stay silence when a level is wanted."""
    quiet = mixing.pause(0.1, 16_000)

    assert -math.inf == mixing.level_dbfs(quiet) == mixing.speech_level_dbfs(AudioChunk(b"", 16_000))
    assert quiet == mixing.with_speech_level(quiet, -18)


def test_pauses_do_not_count_for_the_speech_level() -> None:
    """The level of speech is the same with a second of silence behind it."""
    speech = tone(500, 16_000)
    padded = mixing.joined([speech, mixing.pause(1.0, 16_000)])

    assert pytest.approx(mixing.speech_level_dbfs(speech), abs=0.01) == mixing.speech_level_dbfs(padded)


def test_a_louder_sound_never_passes_full_scale() -> None:
    """Twelve decibels more bend the peaks, and leave the quiet parts exactly twelve decibels louder."""
    loud = mixing.amplify(np.array([0.9, -0.9, 0.01]), 12.0)

    assert np.abs(loud).max() < 1
    assert pytest.approx(0.01 * 10 ** (12 / 20)) == loud[2]


@pytest.mark.parametrize(
    ("from_hz", "to_hz"), [(22_050, 16_000), (16_000, 22_050), (22_050, 48_000), (44_100, 16_000)]
)
@pytest.mark.parametrize("frequency_hz", [100, 1000, 3000, 6500])
def test_resampling_keeps_what_both_rates_can_carry(from_hz: int, to_hz: int, frequency_hz: int) -> None:
    """A tone comes out with its frequency, level and length, within 0.1 dB, apart from the edges."""
    there = mixing.to_floats(mixing.resampled(tone(frequency_hz, from_hz), to_hz))
    wanted = mixing.to_floats(tone(frequency_hz, to_hz))
    middle = slice(to_hz // 10, -to_hz // 10)

    assert abs(there.size - wanted.size) <= 1
    assert np.abs(there[: wanted.size][middle] - wanted[: there.size][middle]).max() < 0.006


@pytest.mark.parametrize("frequency_hz", [8500, 9500, 10_900])
def test_resampling_down_takes_away_what_would_fold_back(frequency_hz: int) -> None:
    """What 16 kHz cannot carry is at least 60 dB down instead of coming back as another tone."""
    folded = mixing.to_floats(mixing.resampled(tone(frequency_hz, 22_050), 16_000))[1600:-1600]

    assert np.sqrt(np.mean(folded**2)) < 0.5 / math.sqrt(2) / 1000


def test_resampling_agrees_with_an_independent_one() -> None:
    """Noise below 6 kHz comes out as scipy's polyphase resampler has it, to 1 part in 200."""
    signal = pytest.importorskip("scipy.signal")
    noise = np.random.default_rng(7).normal(0, 0.1, 22_050)
    band = signal.sosfiltfilt(signal.butter(8, 6000, fs=22_050, output="sos"), noise)
    ours = mixing.to_floats(mixing.resampled(mixing.from_floats(band, 22_050), 16_000))
    theirs = signal.resample_poly(band, 320, 441, window=("kaiser", 10.0))
    size = min(ours.size, theirs.size)
    error = (ours[:size] - theirs[:size])[1000:-1000]

    assert np.sqrt(np.mean(error**2)) < np.sqrt(np.mean(theirs**2)) / 200


def test_only_like_rates_are_joined() -> None:
    """Joining keeps every sample, and refuses to mix rates."""
    assert AudioChunk(b"\1\0\2\0", 8000) == mixing.joined([AudioChunk(b"\1\0", 8000), AudioChunk(b"\2\0", 8000)])
    with pytest.raises(ValueError, match="8000, 16000"):
        mixing.joined([AudioChunk(b"", 8000), AudioChunk(b"", 16_000)])


def test_trimming_keeps_the_sound() -> None:
    """Silence goes from both ends but for 40 ms; the sound itself stays whole."""
    sound = tone(1000, 16_000, seconds=0.3)
    whole = mixing.joined([mixing.pause(0.5, 16_000), sound, mixing.pause(0.7, 16_000)])

    assert pytest.approx(0.3 + 2 * 0.04, abs=0.002) == mixing.trimmed(whole).seconds
    assert sound.samples[2:-2] in mixing.trimmed(whole).samples
