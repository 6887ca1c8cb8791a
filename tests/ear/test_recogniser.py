"""Nothing that could kill the process reaches Vosk, and no word is dropped silently."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from noisy_speech import RATE_HZ, to_chunk

from assistant.ear.recogniser import Recogniser, check_model_files
from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.sound.wav_file import read_wav


@pytest.mark.parametrize("phrases", [[], [""], ["  "], "ten forty four", [1, 2], ["xyzzy"], ["[unk]"]], ids=repr)
def test_a_bad_word_list_is_refused_before_vosk_sees_it(recogniser: Recogniser, phrases: list[str]) -> None:
    """A word list that would kill the process, or hear nothing, is an error of ours."""
    with pytest.raises(ValueError, match=r"word list|none of the words"):
        recogniser.listen_for(phrases)


def test_words_that_cannot_be_heard_are_told(recogniser: Recogniser, recordings: Path) -> None:
    """Unknown words come back, phrases with them are left out, the others are heard."""
    missing = recogniser.listen_for(["ten forty four", "plugh", "xyzzy ten", "plugh again"])

    assert missing == ("plugh", "xyzzy")
    assert recogniser.decode(read_wav(recordings / "ten_forty_four.wav"))[0].text == "ten forty four"


def test_without_words_nothing_is_decoded(own_model: Path) -> None:
    """Decoding before a word list was chosen is an error."""
    with pytest.raises(ValueError, match="choose the words"):
        Recogniser(own_model).decode(AudioChunk(bytes(3_200), RATE_HZ))


@pytest.mark.parametrize("samples", [0, 1, 160, 16_000])
def test_silence_says_nothing(recogniser: Recogniser, samples: int) -> None:
    """Silence of any length, even none, gives no hypothesis."""
    recogniser.listen_for(["ten forty four"])

    assert recogniser.decode(AudioChunk(bytes(2 * samples), RATE_HZ)) == ()


@pytest.mark.parametrize("gain_db", [0, -20, -40, -55])
def test_a_quiet_microphone_hears_as_well(recogniser: Recogniser, recordings: Path, gain_db: float) -> None:
    """The same reading is heard at any loudness that sixteen bits can carry."""
    recogniser.listen_for(["sixty four degrees", "sixty five degrees"])
    sound = np.frombuffer(read_wav(recordings / "sixty_four_degrees.wav").samples, "<i2") / 32_768

    assert recogniser.decode(to_chunk(sound * 10 ** (gain_db / 20)))[0].text == "sixty four degrees"


def test_alternatives_are_distinct_and_ranked(recogniser: Recogniser, recordings: Path) -> None:
    """Alternatives differ from the best and from each other, go down in score, and never stand above 0."""
    recogniser.listen_for(["twenty six point five litres", "twenty six point nine litres", "twenty six five"])
    sound = np.frombuffer(read_wav(recordings / "twenty_six_point_five_litres.wav").samples, "<i2") / 32_768
    noisy = sound + np.random.default_rng(3).standard_normal(len(sound)) * 0.05

    best, *others = recogniser.decode(to_chunk(noisy))

    assert best.score == 0
    assert all(0 < word.confidence <= 1 for word in best.words)
    texts = [best.text, *(other.text for other in others)]
    assert len(texts) == len(set(texts)) > 1
    scores = [other.score for other in others]
    assert scores == sorted(scores, reverse=True)
    assert max(scores) <= 0


def test_word_times_lie_in_the_utterance(recogniser: Recogniser, recordings: Path) -> None:
    """Words follow each other inside the sound."""
    recogniser.listen_for(["ten forty four"])
    sound = read_wav(recordings / "ten_forty_four.wav")
    words = recogniser.decode(sound)[0].words

    times = [time for word in words for time in (word.start_s, word.end_s)]
    assert times == sorted(times)
    assert 0 <= times[0] < times[-1] <= sound.seconds + 0.1


def test_a_folder_that_is_no_model_is_told(tmp_path: Path) -> None:
    """A wrong folder gets one sentence that says what is missing."""
    with pytest.raises(DeviceFailure, match="There is no model folder"):
        check_model_files(tmp_path / "none")
    with pytest.raises(DeviceFailure, match=r"is not a Vosk model: am/final\.mdl is missing"):
        check_model_files(tmp_path)


def test_a_model_without_word_lists_is_told(tmp_path: Path, own_model: Path) -> None:
    """A big model with a static graph would ignore word lists silently, so it is refused."""
    shutil.copytree(own_model, tmp_path / "model")
    (tmp_path / "model/graph/HCLr.fst").unlink()

    with pytest.raises(DeviceFailure, match=r"takes no word list \(graph/HCLr.fst missing\)"):
        Recogniser(tmp_path / "model")


def test_a_broken_model_is_told(tmp_path: Path, own_model: Path) -> None:
    """A model that Vosk cannot load is a sentence, not the end of the process."""
    shutil.copytree(own_model, tmp_path / "model")
    (tmp_path / "model/am/final.mdl").write_bytes(b"\0Bnonsense")

    with pytest.raises(DeviceFailure, match="Vosk cannot load the model"):
        Recogniser(tmp_path / "model")


def test_a_model_without_garbage_word_is_told(tmp_path: Path, own_model: Path) -> None:
    """Without a word for unknown sounds noise would become readings, so such a model is refused."""
    shutil.copytree(own_model, tmp_path / "model")
    words = tmp_path / "model/graph/words.txt"
    words.write_text(words.read_text().replace("[unk]", "[other]"))

    with pytest.raises(DeviceFailure, match="no word for unknown sounds"):
        Recogniser(tmp_path / "model")


def test_the_word_list_keeps_its_weights(recogniser: Recogniser) -> None:
    """A phrase that stands twice counts twice, the garbage word stands once at the end; odd blanks are gone."""
    recogniser.listen_for(["ten  forty four", "ten forty four", "[unk]"])

    assert json.loads(recogniser._grammar or "") == ["ten forty four", "ten forty four", "[unk]"]
