"""The chimes can be told apart, and are heard over a burner."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.messages import Chime
from assistant.voice.chimes import PEAK, chime
from assistant.voice.mixing import speech_level_dbfs, to_floats
from assistant.voice.renderer import SPEECH_DBFS

SOUNDING = [Chime.DUE, Chime.SAFETY]


@pytest.mark.parametrize("kind", SOUNDING)
@pytest.mark.parametrize("sample_rate_hz", [16_000, 22_050, 48_000])
def test_the_energy_lies_where_a_burner_covers_least(kind: Chime, sample_rate_hz: int) -> None:
    """At least nine tenths of a chime's energy lie between 1 and 3 kHz, at every sample rate."""
    samples = to_floats(chime(kind, sample_rate_hz))
    power = np.abs(np.fft.rfft(samples)) ** 2
    frequency_hz = np.fft.rfftfreq(samples.size, 1 / sample_rate_hz)

    assert power[(frequency_hz > 1000) & (frequency_hz < 3000)].sum() / power.sum() >= 0.9


@pytest.mark.parametrize("kind", SOUNDING)
def test_a_chime_is_as_loud_as_speech_and_never_clips(kind: Chime) -> None:
    """A chime is at the level of the speech that follows it or a little above, and peaks at -6 dBFS."""
    sound = chime(kind, 22_050)

    assert pytest.approx(PEAK, abs=0.001) == np.abs(to_floats(sound)).max()
    assert SPEECH_DBFS <= speech_level_dbfs(sound) <= SPEECH_DBFS + 6


@pytest.mark.parametrize("kind", SOUNDING)
def test_a_chime_begins_and_ends_without_a_click(kind: Chime) -> None:
    """The sound starts and ends at silence, with a rest before the words."""
    samples = to_floats(chime(kind, 22_050))

    assert abs(samples[0]) < 0.01
    assert np.all(samples[-int(0.1 * 22_050) :] == 0)
    assert 0.4 < samples.size / 22_050 < 1.0


def test_due_and_safety_do_not_sound_alike() -> None:
    """The loudness of the two chimes runs differently: two strokes that die away, three level pulses."""

    def onsets(kind: Chime) -> int:
        samples = np.abs(to_floats(chime(kind, 16_000)))
        loud = samples[: samples.size // 160 * 160].reshape(-1, 160).max(axis=1)
        return int(np.sum((loud[1:] > 0.1) & (loud[1:] > 1.5 * loud[:-1])) + (loud[0] > 0.1))

    strokes, pulses = 2, 3

    assert (strokes, pulses) == (onsets(Chime.DUE), onsets(Chime.SAFETY))


def test_no_chime_is_no_sound() -> None:
    """`NONE` adds nothing before the sentence."""
    assert chime(Chime.NONE, 22_050).samples == b""
