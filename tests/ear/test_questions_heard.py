"""A question in real sound: the opener among the day's words, then each breath with the words of its step."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from noisy_speech import in_noise, pieces

from assistant.ear.vosk_ear import VoskEar
from assistant.messages import AudioChunk, Utterance
from assistant.sound.wav_file import read_wav
from assistant.understanding.said import Accept, Asked, Asking, Command, Listening, Order, Readings
from assistant.understanding.weigh import weigh

STEPS: Final = (
    ("strike_water", Asking(), "strike", ()),
    ("five_kilos", Asking("strike", "grain"), "strike", (("grain", "5", "kg"),)),
    (
        "sixty_seven_degrees",
        Asking("strike", "temperature of the mash", ("grain",)),
        "strike",
        (("temperature of the mash", "67", "°C"),),
    ),
    (
        "fifteen_litres",
        Asking("strike", "volume of water", ("grain", "temperature of the mash")),
        "strike",
        (("volume of water", "15", "L"),),
    ),
)


def recording(folder: Path, name: str, snr_db: float | None) -> AudioChunk:
    """One of the project's own recordings in noise."""
    return in_noise(np.frombuffer(read_wav(folder / f"{name}.wav").samples, "<i2") / 32_768, snr_db)


def hear(ear: VoskEar, sound: AudioChunk) -> list[Utterance]:
    """Everything with a word in it that an ear hears in a stretch of sound."""
    heard = [ear.feed(piece) for piece in pieces(sound)]
    heard.append(ear.flush())
    return [utterance for utterance in heard if utterance and set(utterance.best.text.split()) != {"[unk]"}]


@pytest.mark.parametrize("snr_db", [None, 20.0, 10.0])
def test_the_opener_is_heard_among_the_words_of_the_day(
    ear: VoskEar, recordings: Path, snr_db: float | None
) -> None:
    """ "Question" opens a question in quiet and beside a burner."""
    ear.listen_for(Listening())

    (utterance,) = hear(ear, recording(recordings / "question", "question", snr_db))

    assert Accept(Order(Command.QUESTION, words="question"), utterance.best.confidence) == weigh(
        utterance, Listening()
    )


@pytest.mark.parametrize("snr_db", [None, 20.0])
@pytest.mark.parametrize("step", STEPS, ids=[step[0] for step in STEPS])
def test_each_step_is_heard(
    ear: VoskEar,
    recordings: Path,
    step: tuple[str, Asking, str, tuple[tuple[str, str, str], ...]],
    snr_db: float | None,
) -> None:
    """Topic and values are taken as said, each with the grammar of its step."""
    name, asking, topic, given = step
    ready = replace(Listening(), asking=asking)
    ear.listen_for(ready)

    (utterance,) = hear(ear, recording(recordings / "question", name, snr_db))

    verdict = weigh(utterance, ready)
    assert isinstance(verdict, Accept)
    assert isinstance(verdict.said, Asked)
    assert (topic, given) == (verdict.said.topic, verdict.said.given)


@pytest.mark.parametrize("name", ["ten_forty_four", "sixty_four_degrees", "twenty_six_point_five_litres"])
def test_a_reading_is_never_a_mass_of_grain(ear: VoskEar, recordings: Path, name: str) -> None:
    """A reading of the kettle spoken while the grain is asked for is taken neither as grain nor as a reading."""
    ready = replace(Listening(), asking=Asking("strike", "grain"))
    ear.listen_for(ready)

    heard = hear(ear, recording(recordings, name, None))

    assert heard
    assert [] == [verdict for one in heard if isinstance(verdict := weigh(one, ready), Accept)]


def test_the_words_of_the_day_come_back(ear: VoskEar, recordings: Path) -> None:
    """After a question the ear hears readings again."""
    ear.listen_for(replace(Listening(), asking=Asking("strike", "grain")))
    hear(ear, recording(recordings / "question", "five_kilos", None))
    ear.listen_for(Listening())

    (utterance,) = hear(ear, recording(recordings, "ten_forty_four", None))

    verdict = weigh(utterance, Listening())
    assert isinstance(verdict, Accept)
    assert isinstance(verdict.said, Readings)
