"""Cuts utterances out of sound in which a burner roars: noise floor per band, hysteresis, pre-roll, hangover.

A band's noise floor is the minimum of its smoothed level over the last seconds (minimum statistics,
R. Martin, IEEE Trans. Speech and Audio Processing 9(5), 2001, in its simplest form): steady noise of
any loudness sinks into the floor, while speech, which pauses in every band, does not.
"""

from __future__ import annotations

import itertools
from collections import deque
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from assistant.messages import AudioChunk

Numbers = NDArray[np.float64]

_FRAME_S = 0.02
_HOP_S = 0.01
_LOWEST_DBFS = -90.0
"""Bands below this are taken as digital silence and raise no floor."""


@dataclass(frozen=True, slots=True)
class GateSettings:
    """How utterances are cut; lengths in seconds, levels in dB.

    least_open_db, most_open_db: how far the bands stand above their floors on average when speech begins;
        between the two it is `unrest_factor` times what the noise itself wavers by.
    close_share: share of that at which speech still goes on.
    opening_s: how long that has to last before a sound is taken for speech.
    bands_hz: edges of the bands.
    floor_window_s: how long speech may stay without a pause before it sinks into the floor.
    floor_bias_db: how far the minimum of steady noise lies under its mean, at least.
    floor_s: how slowly the floor follows the noise between utterances.
    first_floor_dbfs: floor of a band before anything was heard.
    """

    sample_rate_hz: int = 16_000
    least_open_db: float = 1.0
    most_open_db: float = 3.5
    unrest_factor: float = 6.0
    close_share: float = 0.3
    opening_s: float = 0.08
    preroll_s: float = 0.4
    hangover_s: float = 0.6
    longest_s: float = 12.0
    bands_hz: tuple[float, ...] = (200, 400, 600, 900, 1300, 1900, 2700, 3800, 5500, 7500)
    smoothing_s: float = 0.06
    floor_window_s: float = 3.0
    floor_bias_db: float = 2.5
    floor_s: float = 1.5
    first_floor_dbfs: float = -70.0


@dataclass(frozen=True, slots=True)
class Cut:
    """One utterance cut out of the sound.

    start_s: when it begins, in seconds of sound since the gate was made (pre-roll included).
    speech_dbfs: RMS level of the part above the noise; noise_dbfs: level of the noise under it; both only of
        what lies in the bands, dB relative to full scale.
    starts_short, ends_short: the longest length was reached, so what came before or after is missing.
    """

    sound: AudioChunk
    start_s: float
    speech_dbfs: float
    noise_dbfs: float
    starts_short: bool = False
    ends_short: bool = False


@dataclass(slots=True)
class _Open:
    """The utterance in progress."""

    start_frame: int
    starts_short: bool
    quiet_frames: int = 0
    loud_power: list[float] = field(default_factory=list)
    noise_power: list[float] = field(default_factory=list)


class SpeechGate:
    """Takes sound piece by piece and returns utterances when they have ended."""

    def __init__(self, settings: GateSettings | None = None) -> None:
        self.settings = settings or GateSettings()
        use = self.settings
        self._hop = round(_HOP_S * use.sample_rate_hz)
        self._frame = round(_FRAME_S * use.sample_rate_hz)
        self._window = np.hanning(self._frame)
        self._bands = self._band_matrix()
        self._smooth = float(np.exp(-_HOP_S / use.smoothing_s))
        self._follow = float(_HOP_S / use.floor_s)
        self._block_frames = max(1, round(use.floor_window_s / 8 / _HOP_S))
        bands = len(use.bands_hz) - 1
        self._level = np.full(bands, use.first_floor_dbfs)
        self._block_minimum = np.full(bands, np.inf)
        self._minima: deque[Numbers] = deque([np.full(bands, use.first_floor_dbfs)] * 8, maxlen=8)
        self._floor = np.full(bands, use.first_floor_dbfs)
        self._frames_in_block = 0
        self._unrest = 0.0
        self._noise_power: deque[float] = deque(maxlen=self._block_frames * 8)
        self._pending = b""
        self._history = bytearray()
        self._history_start = 0
        self._frame_number = 0
        self._loud_run = 0
        self._open: _Open | None = None

    def _band_matrix(self) -> Numbers:
        size = self._frame
        frequency = np.fft.rfftfreq(size, 1 / self.settings.sample_rate_hz)
        edges = self.settings.bands_hz
        rows = [(frequency >= low) & (frequency < high) for low, high in itertools.pairwise(edges)]
        # Parseval: the sum over a band is its share of the mean square, full scale = 1.
        scale = 2.0 / (size * float(np.sum(self._window**2)))
        return np.asarray(rows, dtype=np.float64) * scale

    @property
    def speaking(self) -> bool:
        """Whether an utterance is in progress."""
        return self._open is not None

    @property
    def noise_dbfs(self) -> float | None:
        """Level of the noise under the speech, dB relative to full scale; None before any was measured."""
        if not self._noise_power:
            return None
        return _to_db(float(np.median(self._noise_power)))

    def push(self, chunk: AudioChunk) -> list[Cut]:
        """Take the next piece of sound; return the utterances that ended in it, oldest first.

        Raises:
            ValueError: when the rate is not the one this gate was made for.
        """
        if chunk.sample_rate_hz != self.settings.sample_rate_hz:
            raise ValueError(
                f"the gate takes {self.settings.sample_rate_hz} frames a second, not {chunk.sample_rate_hz}"
            )
        self._history += chunk.samples
        self._pending += chunk.samples
        levels, powers = self._measure()
        cuts = [cut for level, power in zip(levels, powers, strict=True) if (cut := self._step(level, power))]
        if self._open is None:
            self._forget_before(self._frame_number - round((self.settings.preroll_s + 0.2) / _HOP_S))
        return cuts

    def flush(self) -> Cut | None:
        """End the utterance in progress, if there is one, and return it."""
        return self._close(ends_short=False) if self._open else None

    def reset(self) -> None:
        """Forget the utterance in progress and the sound kept for the next; the noise floor stays."""
        self._open = None
        self._loud_run = 0
        self._pending = b""
        self._frame_number = (self._history_start + len(self._history)) // (2 * self._hop)
        self._forget_before(self._frame_number)

    def _measure(self) -> tuple[Numbers, Numbers]:
        """Levels (frames x bands, dB) and powers (frames) of the frames that are complete."""
        samples = np.frombuffer(self._pending, dtype="<i2").astype(np.float64) / 32_768.0
        count = max(0, (len(samples) - self._frame) // self._hop + 1)
        if not count:
            return np.zeros((0, len(self._bands))), np.zeros(0)
        frames = np.lib.stride_tricks.sliding_window_view(samples, self._frame)[:: self._hop][:count]
        spectrum = np.abs(np.fft.rfft(frames * self._window, axis=1)) ** 2
        self._pending = self._pending[2 * self._hop * count :]
        bands = spectrum @ self._bands.T
        return 10 * np.log10(bands + 10 ** (_LOWEST_DBFS / 10)), bands.sum(axis=1)

    def _step(self, level: Numbers, power: float) -> Cut | None:
        use = self.settings
        self._frame_number += 1
        self._level = self._smooth * self._level + (1 - self._smooth) * level
        self._track_floor()
        excess = float(np.mean(np.clip(self._level - self._floor, -use.floor_bias_db, 20)))
        now = self._open
        if now is None:
            self._loud_run = self._loud_run + 1 if excess >= self._open_db() else 0
            if self._loud_run < round(use.opening_s / _HOP_S):
                self._unrest += self._follow * (min(max(excess, 0.0), use.most_open_db) - self._unrest)
                if not self._loud_run:
                    self._noise_power.append(power)
                return None
            start = self._frame_number - self._loud_run - round(use.preroll_s / _HOP_S)
            self._open = _Open(max(self._history_start // (2 * self._hop), start), starts_short=False)
            return None
        loud = excess >= use.close_share * self._open_db()
        now.quiet_frames = 0 if loud else now.quiet_frames + 1
        (now.loud_power if loud else now.noise_power).append(power)
        if now.quiet_frames * _HOP_S >= use.hangover_s:
            return self._close(ends_short=False)
        if (self._frame_number - now.start_frame) * _HOP_S >= use.longest_s:
            return self._close(ends_short=True)
        return None

    def _open_db(self) -> float:
        use = self.settings
        return min(use.most_open_db, max(use.least_open_db, use.unrest_factor * self._unrest))

    def _track_floor(self) -> None:
        if self._level.max() <= _LOWEST_DBFS + 1:
            return  # digital silence says nothing about the room
        self._block_minimum = np.minimum(self._block_minimum, self._level)
        self._frames_in_block += 1
        if self._frames_in_block >= self._block_frames:
            self._minima.append(self._block_minimum)
            self._block_minimum = np.full(len(self._level), np.inf)
            self._frames_in_block = 0
        if self._open is None and not self._loud_run:
            self._floor += self._follow * (self._level - self._floor)
        lowest = np.min(self._minima, axis=0)
        np.clip(
            self._floor,
            lowest + self.settings.floor_bias_db,
            lowest + 3 * self.settings.floor_bias_db,
            out=self._floor,
        )

    def _close(self, ends_short: bool) -> Cut:
        now = self._open
        if now is None:
            raise RuntimeError("no utterance is in progress")
        width = 2 * self._hop
        first = now.start_frame * width - self._history_start
        last = min(len(self._history), self._frame_number * width - self._history_start)
        sound = AudioChunk(bytes(self._history[first:last]), self.settings.sample_rate_hz)
        noise = self.noise_dbfs
        if noise is None:
            noise = _to_db(float(np.median(now.noise_power))) if now.noise_power else _LOWEST_DBFS
        loud = float(np.mean(now.loud_power)) if now.loud_power else 0.0
        cut = Cut(
            sound,
            start_s=now.start_frame * _HOP_S,
            speech_dbfs=_to_db(max(loud - 10 ** (noise / 10), 0.0)),
            noise_dbfs=noise,
            starts_short=now.starts_short,
            ends_short=ends_short,
        )
        self._open = _Open(self._frame_number, starts_short=True) if ends_short else None
        self._loud_run = 0
        return cut

    def _forget_before(self, frame: int) -> None:
        drop = frame * 2 * self._hop - self._history_start
        if drop > 0:
            del self._history[:drop]
            self._history_start += drop


def _to_db(power: float) -> float:
    return max(_LOWEST_DBFS, 10.0 * float(np.log10(power))) if power > 0 else _LOWEST_DBFS
