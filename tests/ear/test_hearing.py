"""A recording goes through the whole front end, whatever it is."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
import pytest
from noisy_speech import RATE_HZ, burner_noise, to_chunk

from assistant.ear.hearing import hear_recording
from assistant.ear.vosk_ear import VoskEar
from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.sound.file_microphone import FileMicrophone
from assistant.sound.resample import Resampler, to_int16
from assistant.sound.wav_file import read_wav, write_wav
from assistant.understanding.said import Listening


def texts(path: Path, ear: VoskEar) -> list[str]:
    """What the ear hears in a file."""
    return [heard.utterance.best.text for heard in hear_recording(FileMicrophone(path), ear, Listening())]


def test_a_recording_is_heard_with_its_time(ear: VoskEar, recordings: Path) -> None:
    """A reading comes out with the time at which it ended."""
    path = recordings / "ten_forty_four.wav"

    (heard,) = hear_recording(FileMicrophone(path), ear, Listening())

    assert heard.utterance.best.text == "ten forty four"
    assert 1.0 < heard.ended_s <= 0.5 + read_wav(path).seconds + 1.0


def test_telephone_quality_in_stereo_is_heard(ear: VoskEar, recordings: Path, tmp_path: Path) -> None:
    """8 kHz stereo is heard like the original."""
    sound = np.frombuffer(read_wav(recordings / "sixty_four_degrees.wav").samples, "<i2") / 32_768
    down = Resampler(16_000, 8_000)
    narrow = np.frombuffer(to_int16(np.concatenate([down.push(sound), down.finish()])), "<i2")
    path = tmp_path / "phone.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(8_000)
        file.writeframes(np.repeat(narrow, 2).tobytes())

    assert texts(path, ear) == ["sixty four degrees"]


@pytest.mark.parametrize(
    "sound",
    [AudioChunk(bytes(2 * 5 * RATE_HZ), RATE_HZ), to_chunk(burner_noise(20 * RATE_HZ, seed=3) * 0.05)],
    ids=["silence", "noise"],
)
def test_where_nobody_speaks_nothing_is_heard(ear: VoskEar, tmp_path: Path, sound: AudioChunk) -> None:
    """Silence and noise give no words, and no error."""
    write_wav(tmp_path / "nobody.wav", sound)

    assert [text for text in texts(tmp_path / "nobody.wav", ear) if text != "[unk]"] == []


@pytest.mark.parametrize(
    ("content", "sentence"),
    [(b"", "is empty"), (b"RIFF\x00\x00", "is not a WAV file"), (b"ID3" + bytes(900), "is not a WAV file")],
    ids=["empty", "corrupt", "MP3"],
)
def test_a_bad_file_is_one_sentence(ear: VoskEar, tmp_path: Path, content: bytes, sentence: str) -> None:
    """A file that cannot be read is told in one sentence."""
    (tmp_path / "bad.wav").write_bytes(content)

    with pytest.raises(DeviceFailure, match=sentence):
        texts(tmp_path / "bad.wav", ear)
