"""What a speech engine leaves on the disk is read right, or refused in a sentence."""

from __future__ import annotations

import wave
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.messages import AudioChunk
from assistant.voice.sound_file import UnreadableSound, read_sound, write_wav

SOUND = AudioChunk(b"".join(n.to_bytes(2, "little", signed=True) for n in (0, 1, -2, 32767, -32768, 300)), 22_050)


def test_a_wav_file_comes_back_as_written(tmp_path: Path) -> None:
    """Writing and reading a WAV file changes nothing."""
    write_wav(tmp_path / "a.wav", SOUND)

    written = SOUND
    assert written == read_sound(tmp_path / "a.wav")


@pytest.mark.filterwarnings("ignore:'aifc' is deprecated")
@pytest.mark.parametrize(("compression", "name"), [(b"NONE", "a.aiff"), (b"NONE", "a.aifc"), (b"sowt", "a.aifc")])
def test_an_aiff_file_is_read_whatever_it_is_called(tmp_path: Path, compression: bytes, name: str) -> None:
    """AIFF and plain AIFF-C, as Python's own aifc module writes them, give the samples back."""
    aifc = pytest.importorskip("aifc", reason="Python no longer ships aifc, the independent writer")
    with aifc.open(str(tmp_path / name), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(22_050)
        if name.endswith("aifc"):
            file.setcomptype(compression, b"")
        # The module takes big-endian samples and turns them round itself for `sowt`.
        data = SOUND.samples
        file.writeframes(b"".join(data[i + 1 : i + 2] + data[i : i + 1] for i in range(0, len(data), 2)))
    (tmp_path / name).rename(tmp_path / "sentence.wav")

    written = SOUND
    assert written == read_sound(tmp_path / "sentence.wav")


def test_two_channels_are_averaged(tmp_path: Path) -> None:
    """Stereo becomes mono by the mean of the two."""
    with wave.open(str(tmp_path / "a.wav"), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(8000)
        file.writeframes(b"\x0a\0\x14\0\xf6\xff\xec\xff")

    assert AudioChunk(b"\x0f\0\xf1\xff", 8000) == read_sound(tmp_path / "a.wav")


@given(length=st.integers(0, 55))
def test_a_file_cut_short_is_refused(tmp_path_factory: pytest.TempPathFactory, length: int) -> None:
    """However much of a WAV file is missing, it is refused and never taken for a shorter sound."""
    path = tmp_path_factory.getbasetemp() / "cut.wav"
    write_wav(path, SOUND)
    path.write_bytes(path.read_bytes()[:length])

    with pytest.raises(UnreadableSound):
        read_sound(path)


def test_a_missing_file_is_a_sentence(tmp_path: Path) -> None:
    """No file is told as such."""
    with pytest.raises(UnreadableSound, match="wrote no sound file"):
        read_sound(tmp_path / "none.wav")
