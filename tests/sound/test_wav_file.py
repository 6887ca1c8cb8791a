"""Any PCM recording can be read, and each that cannot gets one sentence."""

from __future__ import annotations

import struct
import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.sound.file_microphone import FileMicrophone
from assistant.sound.level import clipped_share, is_flat, rms_dbfs
from assistant.sound.wav_file import read_blocks, read_wav, write_wav


def wav_bytes(
    sound: np.ndarray,
    *,
    bits: int = 16,
    rate_hz: int = 16_000,
    channels: int = 1,
    coding: int = 1,
    promised: int | None = None,
) -> bytes:
    """A WAV file of `sound` (full scale 1) in every channel, with a header that may lie about the length."""
    spread = np.repeat(sound, channels)
    if bits == 8:
        body = np.clip(np.rint(spread * 128 + 128), 0, 255).astype(np.uint8).tobytes()
    else:
        scaled = np.clip(np.rint(spread * 2.0 ** (bits - 1)), -(2.0 ** (bits - 1)), 2.0 ** (bits - 1) - 1)
        whole = scaled.astype("<i8")
        body = b"".join(int(value).to_bytes(bits // 8, "little", signed=True) for value in whole)
    frame = channels * bits // 8
    layout = struct.pack("<HHIIHH", coding, channels, rate_hz, rate_hz * frame, frame, bits)
    if coding == 0xFFFE:
        layout += struct.pack("<HHIH", 22, bits, 0, 1) + bytes(14)
    parts = b"WAVE" + b"LIST" + struct.pack("<I", 3) + b"abc\0"
    parts += b"fmt " + struct.pack("<I", len(layout)) + layout
    parts += b"data" + struct.pack("<I", len(body) if promised is None else promised) + body
    return b"RIFF" + struct.pack("<I", len(parts)) + parts


def tone(rate_hz: int, seconds: float = 0.5) -> np.ndarray:
    """A 500 Hz tone at half of full scale."""
    return 0.5 * np.sin(2 * np.pi * 500 * np.arange(round(rate_hz * seconds)) / rate_hz)


@pytest.mark.parametrize("bits", [8, 16, 24, 32])
@pytest.mark.parametrize("rate_hz", [8_000, 16_000, 44_100, 48_000])
@pytest.mark.parametrize("channels", [1, 2])
def test_every_kind_of_pcm_becomes_the_same_sound(tmp_path: Path, bits: int, rate_hz: int, channels: int) -> None:
    """A tone comes out as the same mono tone at 16 kHz from every width, rate and number of channels."""
    path = tmp_path / "tone.wav"
    path.write_bytes(wav_bytes(tone(rate_hz), bits=bits, rate_hz=rate_hz, channels=channels))

    sound = read_wav(path)

    assert sound.sample_rate_hz == 16_000
    assert pytest.approx(0.5, abs=1e-4) == sound.seconds
    samples = np.frombuffer(sound.samples, "<i2")[400:-400] / 32_768
    assert tone(16_000)[400:-400] == pytest.approx(samples, abs=0.012 if bits == 8 else 2e-4)


def test_the_extensible_header_is_read(tmp_path: Path) -> None:
    """A file whose header is of the extensible kind, as many recorders write 24 bits, is read."""
    path = tmp_path / "tone.wav"
    path.write_bytes(wav_bytes(tone(16_000), bits=24, coding=0xFFFE))

    assert pytest.approx(0.5) == read_wav(path).seconds


@pytest.mark.parametrize("promised", [0, 0xFFFF_FFFF])
def test_a_recorder_that_was_cut_off_loses_nothing(tmp_path: Path, promised: int) -> None:
    """Where the recorder never came to write the length, the sound is read to the end of the file."""
    path = tmp_path / "tone.wav"
    path.write_bytes(wav_bytes(tone(16_000), promised=promised))

    assert pytest.approx(0.5) == read_wav(path).seconds


GOOD = wav_bytes(tone(16_000))
BAD_FILES = {
    "empty": (b"", "is empty"),
    "text": (b"ten forty four\n" * 10, "not a WAV file"),
    "short": (GOOD[:9], "not a WAV file"),
    "no sound part": (GOOD[: GOOD.index(b"data")], "no sound part"),
    "no format part": (b"RIFF\0\0\0\0WAVE", "no format part"),
    "no samples": (wav_bytes(np.zeros(0)), "holds no sound"),
    "cut off": (GOOD[:-4_000], "promises 0.5 seconds and 0.4 are there"),
    "header too long": (GOOD[:16] + struct.pack("<I", 10**6) + GOOD[20:], "header is longer than the file"),
    "format too short": (b"RIFF\x14\0\0\0WAVEfmt \x04\0\0\0\x01\0\x01\0", "format part is too short"),
    "MP3 inside": (wav_bytes(tone(16_000), coding=0x55), "holds MP3, not PCM"),
    "floating point": (wav_bytes(tone(16_000), bits=32, coding=3), "floating point, not PCM"),
    "unknown coding": (wav_bytes(tone(16_000), coding=0x1234), "coding 4660, not PCM"),
    "12 bits": (GOOD.replace(struct.pack("<HH", 2, 16), struct.pack("<HH", 2, 12)), "has 12 bits"),
    "no channel": (
        GOOD.replace(struct.pack("<HHI", 1, 1, 16_000), struct.pack("<HHI", 1, 0, 16_000)),
        "no channel",
    ),
    "96 kHz": (wav_bytes(tone(96_000), rate_hz=96_000), "8000 to 48000"),
    "4 kHz": (wav_bytes(tone(4_000), rate_hz=4_000), "8000 to 48000"),
}


@pytest.mark.parametrize("kind", BAD_FILES)
def test_a_bad_file_gets_one_sentence(tmp_path: Path, kind: str) -> None:
    """Every broken or foreign file is refused with one sentence that names it."""
    path = tmp_path / "bad.wav"
    content, expected = BAD_FILES[kind]
    path.write_bytes(content)

    with pytest.raises(DeviceFailure) as failure:
        read_wav(path)

    sentence = str(failure.value)
    assert expected in sentence
    assert sentence.startswith("bad.wav")
    assert sentence.endswith(".")
    assert "\n" not in sentence


def test_a_missing_file_gets_one_sentence(tmp_path: Path) -> None:
    """A file that is not there is named."""
    with pytest.raises(DeviceFailure, match=r"none\.wav cannot be read: No such file"):
        read_wav(tmp_path / "none.wav")


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    """Sound survives the way to a file and back, and Python's own reader agrees."""
    sound = AudioChunk(np.arange(-500, 500, dtype="<i2").tobytes(), 16_000)
    write_wav(tmp_path / "out.wav", sound)

    with wave.open(str(tmp_path / "out.wav")) as file:
        assert sound.samples == file.readframes(file.getnframes())
    assert sound == read_wav(tmp_path / "out.wav")


def test_a_long_recording_comes_in_blocks(tmp_path: Path) -> None:
    """A recording of a day is never held in memory as a whole."""
    path = tmp_path / "long.wav"
    write_wav(path, AudioChunk(bytes(2 * 16_000 * 21), 16_000))

    blocks = [block.seconds for block in read_blocks(path)]

    assert sum(blocks) == 21
    assert max(blocks) <= 5


def test_the_file_microphone_plays_silence_sound_silence(tmp_path: Path) -> None:
    """Pieces are equal, in order, and nothing of the recording is lost between them."""
    path = tmp_path / "tone.wav"
    path.write_bytes(wav_bytes(tone(16_000)))

    pieces = list(FileMicrophone(path, chunk_s=0.1, lead_s=0.25, tail_s=0.33).chunks())

    assert {0.1} == {piece.seconds for piece in pieces[:-1]}
    whole = b"".join(piece.samples for piece in pieces)
    assert bytes(8_000) + read_wav(path).samples + bytes(10_560) == whole


def test_the_file_microphone_closes(tmp_path: Path) -> None:
    """After `close` no piece follows."""
    path = tmp_path / "tone.wav"
    path.write_bytes(wav_bytes(tone(16_000)))
    microphone = FileMicrophone(path)
    chunks = microphone.chunks()
    next(chunks)

    microphone.close()

    assert list(chunks) == []


def test_a_bad_file_fails_before_any_silence(tmp_path: Path) -> None:
    """The first piece already tells that the file cannot be read."""
    (tmp_path / "bad.wav").write_bytes(b"")

    with pytest.raises(DeviceFailure, match="is empty"):
        next(FileMicrophone(tmp_path / "bad.wav").chunks())


def test_levels() -> None:
    """Full scale is 0 dB, half of it 6 dB less, silence the lowest; clipping and dead samples are seen."""
    square = AudioChunk(np.tile(np.array([32_767, -32_767], "<i2"), 500).tobytes(), 16_000)
    half = AudioChunk(np.tile(np.array([16_384, -16_384], "<i2"), 500).tobytes(), 16_000)
    silence = AudioChunk(bytes(2_000), 16_000)

    assert pytest.approx(0.0, abs=0.01) == rms_dbfs(square)
    assert pytest.approx(-6.02, abs=0.01) == rms_dbfs(half)
    assert rms_dbfs(silence) == rms_dbfs(AudioChunk(b"", 16_000)) == -120
    assert (clipped_share(square), clipped_share(half), clipped_share(AudioChunk(b"", 16_000))) == (1.0, 0.0, 0.0)
    assert (is_flat(half), is_flat(silence), is_flat(AudioChunk(b"\x05\x00" * 9, 16_000))) == (False, True, True)
