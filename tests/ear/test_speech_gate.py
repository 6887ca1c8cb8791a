"""The gate cuts whole utterances out of roaring noise and stays shut when nobody speaks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from noisy_speech import RATE_HZ, an4, audible, burner_noise, in_noise, pieces, to_chunk, why_missing

from assistant.ear.speech_gate import Cut, GateSettings, SpeechGate
from assistant.messages import AudioChunk


def cuts_of(sound: AudioChunk, gate: SpeechGate | None = None, piece_s: float = 0.1) -> list[Cut]:
    """Everything a gate cuts out of a stretch of sound."""
    gate = gate or SpeechGate()
    cuts = [cut for piece in pieces(sound, piece_s) for cut in gate.push(piece)]
    last = gate.flush()
    return [*cuts, *([last] if last else [])]


def voice_like(seconds: float) -> np.ndarray:
    """A buzz with syllables: harmonics of 120 Hz, four bursts a second, peak 0.3."""
    time_s = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    buzz = np.sum([np.sin(2 * np.pi * 120 * n * time_s) / n for n in range(1, 40)], axis=0)
    sound = buzz * np.clip(np.sin(2 * np.pi * 4 * time_s), 0.05, 1)
    return np.asarray(sound / np.abs(sound).max() * 0.3)


def test_one_utterance_becomes_one_cut_with_time_before_it() -> None:
    """An utterance in a quiet room is one cut with at least 0.3 s before it and 0.5 s after."""
    (cut,) = cuts_of(in_noise(voice_like(1.5), None, lead_s=4.0))

    assert cut.start_s <= 4.0 - 0.3
    assert cut.start_s + cut.sound.seconds >= 4.0 + 1.5 + 0.5
    assert cut.sound.seconds < 3.5
    assert not cut.starts_short
    assert not cut.ends_short


@pytest.mark.parametrize("piece_s", [0.01, 0.033, 0.1, 0.5])
def test_the_size_of_the_pieces_makes_no_difference(piece_s: float) -> None:
    """The same sound gives the same cuts, however it is delivered."""
    sound = in_noise(voice_like(1.0), 10.0)
    plain = [(cut.start_s, cut.sound) for cut in cuts_of(sound)]

    assert plain == [(cut.start_s, cut.sound) for cut in cuts_of(sound, piece_s=piece_s)]


@pytest.mark.parametrize("level_dbfs", [-60, -40, -20, -10])
def test_steady_noise_of_any_loudness_is_no_speech(level_dbfs: float) -> None:
    """A minute of burner noise gives at most two cuts after the first seconds, when its level is learnt."""
    noise = to_chunk(burner_noise(60 * RATE_HZ, seed=5) * 10 ** (level_dbfs / 20))

    assert sum(cut.start_s > 4 for cut in cuts_of(noise)) <= 2


def test_silence_is_no_speech() -> None:
    """Digital silence gives nothing."""
    assert cuts_of(AudioChunk(bytes(2 * RATE_HZ * 30), RATE_HZ)) == []


def test_a_burner_that_starts_is_learnt_within_seconds() -> None:
    """When the roar begins in a quiet room, the gate is shut again after at most five seconds."""
    quiet, loud = (burner_noise(10 * RATE_HZ, seed=seed) for seed in (1, 2))
    (cut,) = cuts_of(to_chunk(np.concatenate([quiet * 1e-4, loud * 0.05])))

    assert cut.start_s == pytest.approx(10.0, abs=0.6)
    assert cut.sound.seconds < 5.0


def test_an_endless_sound_is_cut_and_marked() -> None:
    """Speech without a pause is cut at the longest length, and both parts say that something is missing there."""
    gate = SpeechGate(GateSettings(longest_s=3.0))
    cuts = cuts_of(in_noise(voice_like(5.0), None, lead_s=2.0), gate)

    assert len(cuts) == 2
    assert [(cut.starts_short, cut.ends_short) for cut in cuts] == [(False, True), (True, False)]
    assert cuts[0].sound.seconds == pytest.approx(3.0, abs=0.05)
    assert cuts[1].start_s == pytest.approx(cuts[0].start_s + 3.0, abs=0.05)


def test_levels_of_speech_and_noise_are_measured() -> None:
    """The levels reported are those that were mixed, in the band of 200-7500 Hz, within 2 dB."""
    speech, lead = voice_like(2.0), round(6 * RATE_HZ)
    mixed = in_noise(speech, 10.0)
    (*_, cut) = cuts_of(mixed)

    def band_db(sound: np.ndarray) -> float:
        power = np.abs(np.fft.rfft(sound)) ** 2
        hertz = np.fft.rfftfreq(len(sound), 1 / RATE_HZ)
        return float(10 * np.log10(2 * power[(hertz >= 200) & (hertz < 7500)].sum() / len(sound) ** 2))

    noise = np.frombuffer(mixed.samples, "<i2")[:lead] / 32_768
    assert cut.noise_dbfs == pytest.approx(band_db(noise), abs=2)
    assert cut.speech_dbfs == pytest.approx(band_db(speech), abs=2)


def test_reset_forgets_the_utterance_and_keeps_the_noise() -> None:
    """After a reset nothing of the old sound comes out, and the noise need not be learnt again."""
    gate = SpeechGate()
    sound = in_noise(voice_like(2.0), 10.0, tail_s=0.0)
    for piece in pieces(sound):
        gate.push(piece)
    noise_dbfs = gate.noise_dbfs
    assert gate.speaking

    gate.reset()

    assert not gate.speaking
    assert gate.flush() is None
    assert gate.noise_dbfs == noise_dbfs


def test_another_rate_is_refused() -> None:
    """Sound at a rate the gate was not made for is an error, not nonsense."""
    with pytest.raises(ValueError, match="16000 frames a second, not 8000"):
        SpeechGate().push(AudioChunk(bytes(160), 8_000))


@pytest.mark.real_speech
@pytest.mark.skipif(bool(why_missing()), reason=why_missing())
@pytest.mark.parametrize(("snr_db", "least"), [(None, 0.94), (10.0, 0.9), (5.0, 0.85), (0.0, 0.55)])
def test_human_speech_is_cut_whole(snr_db: float | None, least: float) -> None:
    """Of every fifth utterance of the test speakers, at least this share is one cut that lost neither end."""
    recordings = list(an4("test"))[::5]
    whole = 0
    for number, recording in enumerate(recordings):
        spans = [
            (cut.start_s - 6, cut.start_s - 6 + cut.sound.seconds)
            for cut in cuts_of(in_noise(recording.sound, snr_db, seed=number))
        ]
        begin, end = audible(recording.sound)
        hits = [span for span in spans if span[1] > begin and span[0] < end]
        whole += len(hits) == 1 and hits[0][0] <= begin + 0.02 and hits[0][1] >= end - 0.02

    assert whole / len(recordings) >= least


def test_settings_can_be_changed_one_by_one() -> None:
    """A longer hangover keeps a longer pause inside one utterance."""
    pause = np.zeros(round(0.9 * RATE_HZ))
    sound = in_noise(np.concatenate([voice_like(1.0), pause, voice_like(1.0)]), None, lead_s=2.0)

    assert len(cuts_of(sound)) == 2
    assert len(cuts_of(sound, SpeechGate(replace(GateSettings(), hangover_s=1.2)))) == 1
