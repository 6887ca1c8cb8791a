"""WAV files in and out: any PCM, mono or not, 8-48 kHz, becomes 16-bit mono at the rate of the ear."""

from __future__ import annotations

import struct
import wave
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.sound.resample import Resampler, to_int16

LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 8_000, 48_000
_PCM, _EXTENSIBLE = 1, 0xFFFE
_CODINGS = {2: "ADPCM", 3: "floating point", 6: "A-law", 7: "mu-law", 0x11: "ADPCM", 0x31: "GSM", 0x55: "MP3"}
_UNKNOWN_LENGTHS = (0, 0x7FFF_F000)
"""A recorder that was cut off leaves 0 or a huge length in the header: then the sound goes on to the end."""
_BLOCK_S = 5.0


@dataclass(frozen=True, slots=True)
class _Format:
    """What the header of a WAV file says."""

    channels: int
    rate_hz: int
    bytes_per_sample: int


def read_wav(path: Path, sample_rate_hz: int = 16_000) -> AudioChunk:
    """Read a whole WAV file as mono sound at `sample_rate_hz`.

    Raises:
        DeviceFailure: when the file is missing, empty, no WAV, compressed, broken or out of range.
    """
    return AudioChunk(b"".join(block.samples for block in read_blocks(path, sample_rate_hz)), sample_rate_hz)


def read_blocks(path: Path, sample_rate_hz: int = 16_000) -> Iterator[AudioChunk]:
    """Read a WAV file piece by piece, so that the recording of a whole day needs little memory.

    Raises:
        DeviceFailure: as `read_wav`.
    """
    try:
        with path.open("rb") as file:
            yield from _blocks(file, path.name, sample_rate_hz)
    except OSError as error:
        raise DeviceFailure(f"{path.name} cannot be read: {error.strerror or error}.") from error


def write_wav(path: Path, sound: AudioChunk) -> None:
    """Write mono 16-bit sound as a PCM WAV file."""
    # Opened first: a writer that got no file complains once more when it is thrown away.
    with path.open("wb") as out, wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(sound.sample_rate_hz)
        file.writeframes(sound.samples)


def _blocks(file: BinaryIO, name: str, rate_hz: int) -> Iterator[AudioChunk]:
    layout, length = _read_header(file, name)
    frame = layout.channels * layout.bytes_per_sample
    resampler = Resampler(layout.rate_hz, rate_hz) if layout.rate_hz != rate_hz else None
    left = length - length % frame
    while left > 0:
        raw = file.read(min(left, int(layout.rate_hz * _BLOCK_S) * frame))
        if not raw:
            break
        left -= len(raw)
        mono = _mono(raw[: len(raw) - len(raw) % frame], layout)
        yield AudioChunk(to_int16(resampler.push(mono) if resampler else mono), rate_hz)
    if resampler:
        yield AudioChunk(to_int16(resampler.finish()), rate_hz)


def _read_header(file: BinaryIO, name: str) -> tuple[_Format, int]:
    """Return the layout and the number of bytes of sound; the file then stands at the first of them."""
    size = file.seek(0, 2)
    file.seek(0)
    if size == 0:
        raise DeviceFailure(f"{name} is empty; record it again as a WAV file.")
    start = file.read(12)
    if len(start) < 12 or start[:4] != b"RIFF" or start[8:] != b"WAVE":
        raise DeviceFailure(f"{name} is not a WAV file; convert it to PCM WAV, 16 bits, 16000 hertz.")
    layout: _Format | None = None
    while True:
        head = file.read(8)
        if len(head) < 8:
            part = "sound" if layout else "format"
            raise DeviceFailure(f"{name} is a broken WAV file: it has no {part} part; record or copy it again.")
        kind, length = head[:4], struct.unpack("<I", head[4:])[0]
        if kind == b"data" and layout:
            return layout, _length_of_sound(length, size - file.tell(), layout, name)
        if length > size - file.tell():
            raise DeviceFailure(f"{name} is a broken WAV file: its header is longer than the file; copy it again.")
        if kind == b"fmt ":
            layout = _layout(file.read(length), name)
            file.seek(length % 2, 1)
        else:
            file.seek(length + length % 2, 1)


def _layout(body: bytes, name: str) -> _Format:
    if len(body) < 16:
        raise DeviceFailure(f"{name} is a broken WAV file: its format part is too short; record or copy it again.")
    coding, channels, rate_hz, _, _, bits = struct.unpack("<HHIIHH", body[:16])
    if coding == _EXTENSIBLE and len(body) >= 26:
        coding = struct.unpack("<H", body[24:26])[0]
    if coding != _PCM:
        found = _CODINGS.get(coding, f"coding {coding}")
        raise DeviceFailure(f"{name} holds {found}, not PCM; convert it to PCM WAV, 16 bits, 16000 hertz.")
    if bits not in (8, 16, 24, 32):
        raise DeviceFailure(f"{name} has {bits} bits a sample; 8, 16, 24 or 32 can be read.")
    if channels < 1:
        raise DeviceFailure(f"{name} is a broken WAV file: it says it has no channel; record or copy it again.")
    if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
        raise DeviceFailure(
            f"{name} has {rate_hz} frames a second; {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ} can be read."
        )
    return _Format(channels, rate_hz, bits // 8)


def _length_of_sound(promised: int, there: int, layout: _Format, name: str) -> int:
    if there < layout.channels * layout.bytes_per_sample:
        raise DeviceFailure(f"{name} holds no sound; record it again.")
    if promised == _UNKNOWN_LENGTHS[0] or promised >= _UNKNOWN_LENGTHS[1]:
        return there
    if promised > there:
        bytes_per_s = layout.channels * layout.bytes_per_sample * layout.rate_hz
        raise DeviceFailure(
            f"{name} is cut off: its header promises {promised / bytes_per_s:.1f} seconds"
            f" and {there / bytes_per_s:.1f} are there; copy it again."
        )
    return promised


def _mono(raw: bytes, layout: _Format) -> NDArray[np.float64]:
    """The mean of the channels, full scale +-1."""
    width = layout.bytes_per_sample
    if width == 1:
        values = (np.frombuffer(raw, np.uint8).astype(np.float64) - 128.0) / 128.0
    elif width == 3:
        padded = np.zeros((len(raw) // 3, 4), np.uint8)
        padded[:, 1:] = np.frombuffer(raw, np.uint8).reshape(-1, 3)
        values = padded.view("<i4")[:, 0] / 2.0**31
    else:
        values = np.frombuffer(raw, f"<i{width}") / 2.0 ** (8 * width - 1)
    return np.asarray(values.reshape(-1, layout.channels).mean(axis=1))
