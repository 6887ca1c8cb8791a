"""Arithmetic on sound: level, gain, trimming, joining and change of sample rate."""

from __future__ import annotations

from collections.abc import Iterable
from math import gcd

import numpy as np
import numpy.typing as npt

from assistant.messages import AudioChunk

Floats = npt.NDArray[np.float64]

_FRAME_S = 0.02
_LIMIT_FROM = 0.7
"""Amplitude above which the limiter bends; below it sound passes unchanged."""


def to_floats(chunk: AudioChunk) -> Floats:
    """Samples as floats, full scale = 1."""
    return np.frombuffer(chunk.samples, "<i2").astype(np.float64) / 32768.0


def from_floats(samples: Floats, sample_rate_hz: int) -> AudioChunk:
    """A chunk of `samples` (full scale = 1); what lies beyond full scale is clipped."""
    scaled = np.clip(np.round(samples * 32768.0), -32768, 32767)
    return AudioChunk(scaled.astype("<i2").tobytes(), sample_rate_hz)


def level_dbfs(chunk: AudioChunk) -> float:
    """RMS level in dB relative to full scale (a full-scale sine is -3); -inf for silence or nothing."""
    return _dbfs(to_floats(chunk))


def speech_level_dbfs(chunk: AudioChunk) -> float:
    """RMS level of the 20 ms frames that lie within 20 dB of the loudest one, so that pauses do not count."""
    frames = _frame_powers(to_floats(chunk), chunk.sample_rate_hz)
    if frames.size == 0 or frames.max() == 0:
        return float("-inf")
    return float(10 * np.log10(frames[frames > frames.max() / 100].mean()))


def amplify(samples: Floats, gain_db: float) -> Floats:
    """`samples` louder by `gain_db`; peaks are bent smoothly so that none passes full scale."""
    louder = samples * 10 ** (gain_db / 20)
    size = np.abs(louder)
    room = 1 - _LIMIT_FROM
    bent = _LIMIT_FROM + room * np.tanh((size - _LIMIT_FROM) / room)
    limited: Floats = np.where(size > _LIMIT_FROM, np.sign(louder) * bent, louder)
    return limited


def with_speech_level(chunk: AudioChunk, wanted_dbfs: float) -> AudioChunk:
    """`chunk` with its speech brought to `wanted_dbfs`; silence stays silence."""
    level = speech_level_dbfs(chunk)
    if level == float("-inf"):
        return chunk
    return from_floats(amplify(to_floats(chunk), wanted_dbfs - level), chunk.sample_rate_hz)


def trimmed(chunk: AudioChunk, *, keep_s: float = 0.04, threshold_dbfs: float = -60.0) -> AudioChunk:
    """`chunk` without the silence at its ends, except for `keep_s` seconds on each side."""
    samples = to_floats(chunk)
    loud = np.flatnonzero(np.abs(samples) > 10 ** (threshold_dbfs / 20))
    if loud.size == 0:
        return chunk
    keep = round(keep_s * chunk.sample_rate_hz)
    first, last = max(0, int(loud[0]) - keep), int(loud[-1]) + 1 + keep
    return AudioChunk(chunk.samples[2 * first : 2 * last], chunk.sample_rate_hz)


def pause(seconds: float, sample_rate_hz: int) -> AudioChunk:
    """Silence."""
    return AudioChunk(bytes(2 * round(seconds * sample_rate_hz)), sample_rate_hz)


def joined(chunks: Iterable[AudioChunk]) -> AudioChunk:
    """The chunks one after the other.

    Raises:
        ValueError: when there is none, or their sample rates differ.
    """
    parts = list(chunks)
    rates = {part.sample_rate_hz for part in parts}
    if len(rates) != 1:
        raise ValueError(f"chunks of one sample rate can be joined, not of {sorted(rates)}")
    return AudioChunk(b"".join(part.samples for part in parts), rates.pop())


def resampled(chunk: AudioChunk, sample_rate_hz: int) -> AudioChunk:
    """`chunk` at another rate, band-limited by a windowed sinc (Kaiser, stop band below -80 dB).

    The transition band is the top tenth of the narrower of the two bands.
    """
    if chunk.sample_rate_hz == sample_rate_hz:
        return chunk
    samples = to_floats(chunk)
    if samples.size == 0:
        return AudioChunk(b"", sample_rate_hz)
    common = gcd(chunk.sample_rate_hz, sample_rate_hz)
    up, down = sample_rate_hz // common, chunk.sample_rate_hz // common
    kernels, half_width = _kernels(up, down)
    count = -(-samples.size * up // down)
    positions = np.arange(count, dtype=np.int64) * down
    whole, phase = positions // up, positions % up
    padded = np.concatenate([np.zeros(half_width), samples, np.zeros(half_width + 1)])
    windows = np.lib.stride_tricks.sliding_window_view(padded, kernels.shape[1])
    out = np.empty(count)
    for start in range(0, count, 8192):
        part = slice(start, start + 8192)
        out[part] = np.einsum("ij,ij->i", windows[whole[part]], kernels[phase[part]])
    return from_floats(out, sample_rate_hz)


def _kernels(up: int, down: int) -> tuple[Floats, int]:
    """One row of weights per phase, and the reach in input samples; each row sums to one."""
    narrow = min(1.0, up / down)
    # Kaiser's design (1974): beta 7.86 gives -80 dB; the taps follow from the width of the transition band.
    cutoff = 0.95 * narrow
    half_width = int(np.ceil((80 - 7.95) / (2.285 * np.pi * 0.1 * narrow) / 2))
    offsets = np.arange(-half_width, half_width + 2)[None, :] - np.arange(up)[:, None] / up
    inside = np.clip(1 - (offsets / (half_width + 1)) ** 2, 0, None)
    kernels = np.sinc(cutoff * offsets) * np.i0(7.86 * np.sqrt(inside)) * (inside > 0)
    return kernels / kernels.sum(axis=1, keepdims=True), half_width


def _frame_powers(samples: Floats, sample_rate_hz: int) -> Floats:
    length = max(1, round(_FRAME_S * sample_rate_hz))
    whole = samples[: samples.size // length * length]
    if whole.size == 0:
        return np.array([np.mean(samples**2)]) if samples.size else np.array([])
    powers: Floats = (whole.reshape(-1, length) ** 2).mean(axis=1)
    return powers


def _dbfs(samples: Floats) -> float:
    power = float(np.mean(samples**2)) if samples.size else 0.0
    return 10 * float(np.log10(power)) if power > 0 else float("-inf")
