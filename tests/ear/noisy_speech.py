"""Human recordings from beside the repository, and noise like a burner's to lay under them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.messages import AudioChunk

SPEECH = Path(__file__).resolve().parents[3] / "shared" / "speech"
RATE_HZ = 16_000
DEVELOPMENT_SPEAKERS = frozenset({"fjam", "mkem", "mjwt", "fbbh"})
"""Speakers of AN4's training part that no training saw; whatever is tuned is tuned on them."""

_UNITS = ("zero", "oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_TEENS = ("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety", "hundred")
NUMBER_WORDS = frozenset((*_UNITS, *_TEENS, *_TENS))
Sound = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Recording:
    """One utterance of a human: what was said, and the sound, full scale 1."""

    file: str
    speaker: str
    words: str
    sound: Sound


def why_missing() -> str:
    """Why the human recordings cannot be used here; empty when they can."""
    try:
        import soundfile  # noqa: F401, PLC0415 - only needed where the recordings are
    except (ImportError, OSError):
        return "soundfile, which reads FLAC, is not installed"
    manifest = SPEECH / "an4" / "manifest.tsv"
    return "" if manifest.is_file() else "the human recordings are not beside the repository"


def an4(part: str) -> Iterator[Recording]:
    """Utterances of the AN4 set (Carnegie Mellon University): `test`, or `train` for its development speakers."""
    import soundfile  # noqa: PLC0415

    folder = SPEECH / "an4"
    with (folder / "manifest.tsv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file, delimiter="\t"):
            if row["file"].startswith(part) and (part == "test" or row["speaker"] in DEVELOPMENT_SPEAKERS):
                sound, _ = soundfile.read(folder / row["file"])
                yield Recording(row["file"], row["speaker"], row["transcript"], sound)


def is_number(recording: Recording) -> bool:
    """Whether only a number was said, with or without "enter" before it."""
    return NUMBER_WORDS.issuperset(recording.words.removeprefix("enter ").split())


def burner_noise(samples: int, seed: int, waver: float = 0.0) -> Sound:
    """Noise of RMS 1 like a gas burner's: a low roar with hiss; `waver` is the depth of its slow flutter, 0-1.

    A stand-in: white noise through a first-order low-pass filter (pole 0.95) plus 15 % white noise.
    """
    white = np.random.default_rng(seed).standard_normal(samples)
    turn = np.exp(-2j * np.pi * np.fft.rfftfreq(samples))
    noise = np.fft.irfft(np.fft.rfft(white) * (1 / (1 - 0.95 * turn) + 0.15), samples)
    time_s = np.arange(samples) / RATE_HZ
    noise *= 1 + waver * (np.sin(2 * np.pi * 0.7 * time_s) + np.sin(2 * np.pi * 0.23 * time_s)) / 2
    return np.asarray(noise / np.sqrt(np.mean(noise**2)))


def in_noise(
    sound: Sound, snr_db: float | None, lead_s: float = 6.0, tail_s: float = 1.5, seed: int = 1
) -> AudioChunk:
    """The utterance at a peak of 0.3 in burner noise that began `lead_s` before it and goes on `tail_s` after.

    snr_db: RMS of the louder parts of the speech against RMS of the noise; None: a very quiet room.
    """
    speech = sound / np.abs(sound).max() * 0.3
    whole = np.concatenate([np.zeros(round(lead_s * RATE_HZ)), speech, np.zeros(round(tail_s * RATE_HZ))])
    level = 1e-4 if snr_db is None else np.sqrt(np.mean(speech[np.abs(speech) > 0.006] ** 2)) / 10 ** (snr_db / 20)
    return to_chunk(whole + burner_noise(len(whole), seed) * level)


def to_chunk(sound: Sound) -> AudioChunk:
    """Sound as 16-bit samples, turned down where it would clip."""
    peak = max(1.0, float(np.abs(sound).max()) / 0.99)
    return AudioChunk(np.rint(sound / peak * 32_767).astype("<i2").tobytes(), RATE_HZ)


def pieces(chunk: AudioChunk, seconds: float = 0.1) -> Iterator[AudioChunk]:
    """Cut sound into the pieces in which a microphone delivers it."""
    step = 2 * round(seconds * chunk.sample_rate_hz)
    for start in range(0, len(chunk.samples), step):
        yield AudioChunk(chunk.samples[start : start + step], chunk.sample_rate_hz)


def audible(sound: Sound) -> tuple[float, float]:
    """Where the speech begins and ends, seconds: frames within 15 dB of the loud ones (95th percentile)."""
    frames = np.lib.stride_tricks.sliding_window_view(sound, 320)[::160]
    level = 10 * np.log10(np.mean(frames**2, axis=1) + 1e-10)
    loud = np.flatnonzero(level > np.percentile(level, 95) - 15)
    return float(loud[0]) * 0.01, float(loud[-1]) * 0.01 + 0.02
