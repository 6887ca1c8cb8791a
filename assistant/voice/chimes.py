"""The sounds before a sentence, computed: two bells for what is due, three quick pulses for safety.

Their energy lies between 1 and 3 kHz, where a burner's roar, which is strongest below, covers least and hearing is
keenest.
"""

from __future__ import annotations

import numpy as np

from assistant.messages import AudioChunk, Chime
from assistant.voice.mixing import Floats, from_floats, pause

PEAK = 0.5
"""Highest amplitude of a chime, full scale = 1 (-6 dBFS)."""

_D6, _A6, _E7 = 1174.66, 1760.00, 2637.02
"""Hz, equal temperament with A4 = 440 Hz."""

_REST_S = 0.12
"""Between the chime and the first word."""


def chime(kind: Chime, sample_rate_hz: int) -> AudioChunk:
    """The sound of `kind` with a short rest after it, at `sample_rate_hz` (at least 8,000); empty for `NONE`."""
    match kind:
        case Chime.NONE:
            return AudioChunk(b"", sample_rate_hz)
        case Chime.DUE:
            # A rising fifth, rung like small bells; the second stroke falls into the ringing of the first.
            notes = _placed(
                [(0.0, _bell(_D6, 0.45, sample_rate_hz)), (0.16, _bell(_A6, 0.55, sample_rate_hz))], sample_rate_hz
            )
        case Chime.SAFETY:
            pulse = _pulse(sample_rate_hz)
            notes = _placed([(0.0, pulse), (0.19, pulse), (0.38, pulse)], sample_rate_hz)
    scaled = from_floats(notes * (PEAK / np.abs(notes).max()), sample_rate_hz)
    return AudioChunk(scaled.samples + pause(_REST_S, sample_rate_hz).samples, sample_rate_hz)


def _bell(frequency_hz: float, seconds: float, sample_rate_hz: int) -> Floats:
    """A struck tone: a soft edge of 4 ms, then dying away; a faint octave for brightness."""
    t = np.arange(round(seconds * sample_rate_hz)) / sample_rate_hz
    tone = np.sin(2 * np.pi * frequency_hz * t) + 0.15 * np.sin(4 * np.pi * frequency_hz * t) * np.exp(-t / 0.05)
    sound: Floats = tone * np.minimum(t / 0.004, 1) * np.exp(-t / 0.14) * _fade_out(t, seconds)
    return sound


def _pulse(sample_rate_hz: int) -> Floats:
    """A hard, level tone of two notes together, a fifth apart."""
    seconds = 0.13
    t = np.arange(round(seconds * sample_rate_hz)) / sample_rate_hz
    tone = np.sin(2 * np.pi * _A6 * t) + np.sin(2 * np.pi * _E7 * t)
    sound: Floats = tone * np.minimum(t / 0.006, 1) * _fade_out(t, seconds)
    return sound


def _fade_out(t: Floats, seconds: float) -> Floats:
    faded: Floats = np.clip((seconds - t) / 0.015, 0, 1)
    return faded


def _placed(sounds: list[tuple[float, Floats]], sample_rate_hz: int) -> Floats:
    starts = [round(at_s * sample_rate_hz) for at_s, _ in sounds]
    whole = np.zeros(max(start + sound.size for start, (_, sound) in zip(starts, sounds, strict=True)))
    for start, (_, sound) in zip(starts, sounds, strict=True):
        whole[start : start + sound.size] += sound
    return whole
