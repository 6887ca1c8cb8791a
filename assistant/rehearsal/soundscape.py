"""The sound of a rehearsed day: burner noise, the brewer in it, and a stereo recording of both voices.

The burner is a synthetic stand-in: a low hump, a hiss and a slow flutter. No real kettle was recorded.
"""

from __future__ import annotations

import wave
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.messages import AudioChunk

RATE_HZ: Final = 16_000
_FULL_SCALE: Final = 32767.0
# Hours of nothing are cut to this, so that the recording can be listened to.
_LONGEST_GAP_S: Final = 0.8

Samples = NDArray[np.float64]


class Burner:
    """Endless burner noise; the same seed gives the same day."""

    def __init__(self, seed: int) -> None:
        """Start the noise."""
        self._random = np.random.default_rng(seed)

    def noise(self, seconds: float, level_dbfs: float) -> Samples:
        """Noise of this length and RMS level (dB relative to full scale), samples between -1 and 1."""
        frames = max(1, round(seconds * RATE_HZ))
        spectrum = np.fft.rfft(self._random.standard_normal(frames))
        frequency_hz = np.fft.rfftfreq(frames, 1.0 / RATE_HZ)
        hump = np.exp(-(((frequency_hz - 110.0) / 90.0) ** 2)) * 3.0
        hiss = 0.35 * np.exp(-(((frequency_hz - 2200.0) / 2500.0) ** 2))
        tilt = 1.0 / np.sqrt(1.0 + (frequency_hz / 400.0) ** 2)
        sound = np.fft.irfft(spectrum * (hump + hiss + 0.5 * tilt), frames)
        seconds_at = np.arange(frames) / RATE_HZ
        phase = self._random.uniform(0.0, 2.0 * np.pi)
        sound *= 1.0 + 0.15 * np.sin(2.0 * np.pi * 5.3 * seconds_at + phase)
        return np.asarray(sound * 10.0 ** (level_dbfs / 20.0) / np.sqrt(np.mean(sound**2)))


def as_samples(chunk: AudioChunk) -> Samples:
    """16-bit samples as numbers between -1 and 1."""
    return np.frombuffer(chunk.samples, dtype="<i2").astype(np.float64) / _FULL_SCALE


def as_chunk(samples: Samples) -> AudioChunk:
    """Numbers between -1 and 1 as 16-bit samples at the rehearsal's rate; what is beyond is clipped."""
    clipped = np.clip(samples, -1.0, 1.0)
    return AudioChunk((clipped * _FULL_SCALE).round().astype("<i2").tobytes(), RATE_HZ)


def speech_dbfs(samples: Samples) -> float:
    """RMS level of the louder half of the 20 ms frames, which leaves the pauses out."""
    frame = RATE_HZ // 50
    if len(samples) < frame:
        return -120.0
    powers = np.sort((samples[: len(samples) // frame * frame].reshape(-1, frame) ** 2).mean(axis=1))
    return float(10.0 * np.log10(powers[len(powers) // 2 :].mean() + 1e-12))


class StereoRecording:
    """Both voices on one time line: the assistant left, the brewer's side with its noise right."""

    def __init__(self, path: Path) -> None:
        """Open the file for writing, 16 kHz, 16 bit."""
        self._file = wave.open(str(path), "wb")  # noqa: SIM115 - closed by `close`
        self._file.setnchannels(2)
        self._file.setsampwidth(2)
        self._file.setframerate(RATE_HZ)
        self.seconds = 0.0

    def add(self, left: Samples | None, right: Samples | None) -> None:
        """Append a stretch; a side that is None is silent."""
        length = max(0 if left is None else len(left), 0 if right is None else len(right))
        both = np.zeros((length, 2))
        for column, side in enumerate((left, right)):
            if side is not None:
                both[: len(side), column] = side
        self._file.writeframes((np.clip(both, -1.0, 1.0) * _FULL_SCALE).round().astype("<i2").tobytes())
        self.seconds += length / RATE_HZ

    def gap(self, seconds: float) -> None:
        """Append a pause, cut short when it is long."""
        self.add(np.zeros(round(min(seconds, _LONGEST_GAP_S) * RATE_HZ)), None)

    def close(self) -> None:
        """Finish the file."""
        self._file.close()
