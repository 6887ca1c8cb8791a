"""Change of sampling rate without aliasing: a polyphase low-pass filter that works piece by piece."""

from __future__ import annotations

from math import gcd

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]

_ZERO_CROSSINGS = 24
"""Half length of the filter, in periods of the lower of the two rates."""
_KAISER_BETA = 9.0
"""About 90 dB of stop-band attenuation (Kaiser's formula, A = beta / 0.1102 + 8.7)."""
_ROLL_OFF = 0.92
"""Cut-off as a share of the lower Nyquist frequency; leaves room for the transition band."""


class Resampler:
    """Turns samples at one rate into samples at another; `push` pieces, then `finish`.

    The result is aligned in time with the input and as long, to a sample.

    Args:
        from_hz, to_hz: rates in frames per second, > 0.
    """

    def __init__(self, from_hz: int, to_hz: int) -> None:
        if from_hz <= 0 or to_hz <= 0:
            raise ValueError(f"a sampling rate must be above 0, not {min(from_hz, to_hz)}")
        divisor = gcd(from_hz, to_hz)
        self._up, self._down = to_hz // divisor, from_hz // divisor
        lower = min(1.0, to_hz / from_hz)
        self._half = int(np.ceil(_ZERO_CROSSINGS / lower))
        self._bank = self._filter_bank(lower * _ROLL_OFF)
        self._waiting = np.zeros(self._half - 1)
        self._first_waiting = -(self._half - 1)
        self._received = 0
        self._made = 0

    def _filter_bank(self, cutoff: float) -> Samples:
        """One row of taps for every position between two input samples; each row sums to 1."""
        taps = np.arange(-self._half + 1, self._half + 1)
        offset = taps[None, :] - np.arange(self._up)[:, None] / self._up
        window = np.i0(_KAISER_BETA * np.sqrt(np.clip(1 - (offset / self._half) ** 2, 0, None)))
        bank = np.sinc(cutoff * offset) * window
        return np.asarray(bank / bank.sum(axis=1, keepdims=True))

    def push(self, samples: Samples) -> Samples:
        """Take the next input samples; return those output samples that are now settled."""
        self._received += len(samples)
        self._waiting = np.concatenate([self._waiting, samples])
        return self._settled()

    def finish(self) -> Samples:
        """Return the last output samples."""
        self._waiting = np.concatenate([self._waiting, np.zeros(self._half + 1)])
        total = -(-self._received * self._up // self._down)
        return self._settled(total)

    def _settled(self, total: int | None = None) -> Samples:
        last_start = self._first_waiting + len(self._waiting) - self._half
        until = -(-last_start * self._up // self._down) if last_start > 0 else 0
        if total is not None:
            until = total
        if until <= self._made:
            return np.zeros(0)
        position = np.arange(self._made, until) * self._down
        whole, phase = position // self._up, position % self._up
        first = whole - self._half + 1 - self._first_waiting
        rows = np.lib.stride_tricks.sliding_window_view(self._waiting, 2 * self._half)[first]
        made = np.einsum("nt,nt->n", rows, self._bank[phase])
        self._made = until
        keep_from = until * self._down // self._up - self._half + 1
        drop = max(0, keep_from - self._first_waiting)
        self._waiting = self._waiting[drop:]
        self._first_waiting += drop
        return np.asarray(made)


def to_int16(samples: Samples) -> bytes:
    """Round samples of full scale +-1 to 16 bits, clipping what is beyond."""
    return np.clip(np.rint(samples * 32_768.0), -32_768, 32_767).astype("<i2").tobytes()


def from_int16(samples: bytes) -> Samples:
    """Turn 16-bit samples into numbers of full scale +-1."""
    return np.frombuffer(samples, dtype="<i2") / 32_768.0
