"""How loud sound is."""

from __future__ import annotations

import numpy as np

from assistant.messages import AudioChunk

SILENCE_DBFS = -120.0
"""Reported for digital silence, which has no level."""


def rms_dbfs(chunk: AudioChunk) -> float:
    """RMS level in dB relative to full scale (a full-scale square wave is 0), never below -120."""
    samples = np.frombuffer(chunk.samples, dtype="<i2").astype(np.float64)
    if not len(samples):
        return SILENCE_DBFS
    power = float(np.mean(samples**2)) / 32_768.0**2
    return max(SILENCE_DBFS, 10.0 * float(np.log10(power))) if power > 0 else SILENCE_DBFS


def clipped_share(chunk: AudioChunk) -> float:
    """Share (0-1) of the samples that stand at the ends of the scale."""
    samples = np.frombuffer(chunk.samples, dtype="<i2")
    if not len(samples):
        return 0.0
    return float(np.mean((samples >= 32_767) | (samples <= -32_767)))


def is_flat(chunk: AudioChunk) -> bool:
    """Whether every sample is the same: what a dead, muted or forbidden microphone delivers."""
    samples = np.frombuffer(chunk.samples, dtype="<i2")
    return len(samples) == 0 or bool(np.all(samples == samples[0]))
