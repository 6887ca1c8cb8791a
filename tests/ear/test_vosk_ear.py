"""From sound to utterances: readings are heard, noise is not, nothing is cut in half silently."""

from __future__ import annotations

import logging
from pathlib import Path

import numpy as np
import pytest
from noisy_speech import RATE_HZ, an4, burner_noise, in_noise, is_number, pieces, to_chunk, why_missing

from assistant.ear.speech_gate import GateSettings, SpeechGate
from assistant.ear.vosk_ear import VoskEar
from assistant.messages import AudioChunk, Utterance
from assistant.sound.wav_file import read_wav
from assistant.understanding.grammar import phrases_for
from assistant.understanding.number_words import DIGITS
from assistant.understanding.said import Listening

READINGS = [
    "scratch_that",
    "sixty_four_degrees",
    "ten_forty_four",
    "twenty_six_point_five_litres",
    "what_is_next",
]


def hear(ear: VoskEar, sound: AudioChunk) -> list[Utterance]:
    """Everything an ear hears in a stretch of sound."""
    heard = [ear.feed(piece) for piece in pieces(sound)]
    heard.append(ear.flush())
    return [utterance for utterance in heard if utterance]


def recording(recordings: Path, name: str) -> np.ndarray:
    """One of the project's own recordings, full scale 1."""
    return np.frombuffer(read_wav(recordings / f"{name}.wav").samples, "<i2") / 32_768


@pytest.mark.parametrize("snr_db", [None, 20.0])
@pytest.mark.parametrize("name", READINGS)
def test_readings_are_heard(ear: VoskEar, recordings: Path, name: str, snr_db: float | None) -> None:
    """Readings and orders come out word for word, in quiet and beside a burner."""
    ear.listen_for(Listening())

    heard = [one for one in hear(ear, in_noise(recording(recordings, name), snr_db)) if one.best.text != "[unk]"]

    assert [one.best.text for one in heard] == [name.replace("_", " ")]
    utterance = heard[0]
    assert 0 < utterance.best.confidence <= 1
    assert utterance.engine == "test ear"
    assert utterance.audio is not None
    assert utterance.audio_seconds == utterance.audio.seconds
    assert utterance.computing_seconds > 0
    assert utterance.speech_dbfs is not None
    assert utterance.noise_dbfs is not None
    assert utterance.speech_dbfs > utterance.noise_dbfs


def test_two_readings_are_two_utterances_in_order(ear: VoskEar, recordings: Path) -> None:
    """A pause of a second parts two utterances."""
    ear.listen_for(Listening())
    parts = [
        recording(recordings, "sixty_four_degrees"),
        np.zeros(RATE_HZ),
        recording(recordings, "ten_forty_four"),
    ]

    heard = hear(ear, in_noise(np.concatenate(parts), None))

    assert [one.best.text for one in heard] == ["sixty four degrees", "ten forty four"]


@pytest.mark.parametrize("level_dbfs", [-50, -30, -15])
def test_noise_alone_says_no_words(ear: VoskEar, level_dbfs: int) -> None:
    """Half a minute of fluttering burner noise gives no utterance with a word in it."""
    ear.listen_for(Listening())
    noise = to_chunk(burner_noise(30 * RATE_HZ, seed=8, waver=0.3) * 10 ** (level_dbfs / 20))

    assert [one.best.text for one in hear(ear, noise) if set(one.best.text.split()) - {"[unk]"}] == []


def test_new_words_wait_for_the_end_of_the_utterance(ear: VoskEar, recordings: Path) -> None:
    """Words chosen while somebody speaks hold from the next utterance on."""
    ear.listen_for(Listening())
    sound = list(pieces(in_noise(recording(recordings, "ten_forty_four"), None, lead_s=1.0)))
    first = [ear.feed(piece) for piece in sound[:14]]

    ear.listen_for(Listening(choices=("15", "50"), commands=frozenset()))
    first += [ear.feed(piece) for piece in sound[14:]]
    second = [ear.feed(piece) for piece in sound]

    assert [one.best.text for one in first if one] == ["ten forty four"]
    assert "forty" not in " ".join(one.best.text for one in second if one)


def test_reset_forgets_what_was_begun(ear: VoskEar, recordings: Path) -> None:
    """After a reset in the middle of an utterance nothing of it comes out."""
    ear.listen_for(Listening())
    for piece in pieces(in_noise(recording(recordings, "ten_forty_four"), None, lead_s=1.0, tail_s=0.0)):
        ear.feed(piece)

    ear.reset()

    assert ear.flush() is None


def test_half_of_a_long_utterance_is_never_whole(own_model: Path, recordings: Path) -> None:
    """Where the longest length cuts an utterance, an unknown word stands in every hypothesis."""
    ear = VoskEar(own_model, phrases_for, gate=SpeechGate(GateSettings(longest_s=1.3)))
    ear.listen_for(Listening())

    first, *_ = hear(ear, in_noise(recording(recordings, "twenty_six_point_five_litres"), None, lead_s=1.0))

    assert all(hypothesis.words[-1].text == "[unk]" for hypothesis in first.hypotheses)
    assert first.best.confidence == 0


def test_words_that_cannot_be_heard_are_reported(own_model: Path, caplog: pytest.LogCaptureFixture) -> None:
    """A word that the model lacks is told and logged."""
    ear = VoskEar(own_model, lambda _: ("ten forty four", "plugh"), name="test ear")

    with caplog.at_level(logging.WARNING):
        ear.listen_for(Listening())

    assert ear.unheard == ("plugh",)
    assert "test ear cannot hear: plugh" in caplog.text


def test_feeding_before_choosing_words_is_an_error(ear: VoskEar) -> None:
    """An ear that was not told what to listen for says so."""
    with pytest.raises(ValueError, match="choose what to listen for"):
        ear.feed(AudioChunk(bytes(3_200), RATE_HZ))


def with_enter(listening: Listening) -> tuple[str, ...]:
    """The program's phrases, and "enter" before a digit, which the speakers of AN4 say."""
    return (*phrases_for(listening), *(f"enter {digit}" for digit in DIGITS))


@pytest.mark.real_speech
@pytest.mark.skipif(bool(why_missing()), reason=why_missing())
@pytest.mark.parametrize(("snr_db", "least"), [(None, 0.85), (5.0, 0.7)])
def test_human_numbers_are_heard(own_model: Path, snr_db: float | None, least: float) -> None:
    """Of every sixth number said by the test speakers, at least this share comes out word for word."""
    ear = VoskEar(own_model, with_enter)
    ear.listen_for(Listening())
    numbers = [one for one in an4("test") if is_number(one)][::6]

    right = 0
    for number, one in enumerate(numbers):
        heard = [found.best.text for found in hear(ear, in_noise(one.sound, snr_db, lead_s=4.0, seed=number))]
        right += " ".join(text for text in heard if text != "[unk]") == one.words

    assert right / len(numbers) >= least


@pytest.mark.real_speech
@pytest.mark.skipif(bool(why_missing()), reason=why_missing())
@pytest.mark.parametrize(
    "words", ["one fifty", "one five one three six", "twelve twenty nine fifty nine", "enter nine one six nine"]
)
def test_these_humans_are_heard(own_model: Path, words: str) -> None:
    """Four numbers said by people are heard exactly."""
    ear = VoskEar(own_model, with_enter)
    ear.listen_for(Listening())
    one = next(one for one in an4("test") if one.words == words)

    assert [found.best.text for found in hear(ear, in_noise(one.sound, None))] == [words]
