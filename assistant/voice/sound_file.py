"""Reads what a speech engine wrote, and writes what we keep: WAV, and AIFF for the engine of macOS."""

from __future__ import annotations

import struct
import wave
from pathlib import Path

import numpy as np

from assistant.messages import AudioChunk


class UnreadableSound(Exception):  # noqa: N818
    """A sound file is missing, cut short or of a kind that we do not read; one sentence."""


def read_sound(path: Path) -> AudioChunk:
    """Read 16-bit WAV or AIFF as mono; several channels are averaged.

    Raises:
        UnreadableSound: when the file is missing, not 16-bit PCM, or shorter than its header says.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise UnreadableSound(f"The speech engine wrote no sound file ({error.strerror}).") from error
    if data[:4] == b"RIFF":
        return _read_wav(path)
    if data[:4] == b"FORM":
        return _read_aiff(data)
    raise UnreadableSound("The speech engine wrote a file that is neither WAV nor AIFF.")


def write_wav(path: Path, chunk: AudioChunk) -> None:
    """Write `chunk` as a mono 16-bit WAV file."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(chunk.sample_rate_hz)
        file.writeframes(chunk.samples)


def _read_wav(path: Path) -> AudioChunk:
    try:
        with wave.open(str(path), "rb") as file:
            if file.getsampwidth() != 2:
                raise UnreadableSound(f"A sound file of {8 * file.getsampwidth()} bits a sample; 16 are read.")
            frames, channels, rate_hz = file.getnframes(), file.getnchannels(), file.getframerate()
            samples = file.readframes(frames)
    except (wave.Error, EOFError) as error:
        raise UnreadableSound(f"The sound file is damaged ({error}).") from error
    if len(samples) < 2 * channels * frames:
        raise UnreadableSound("The sound file is shorter than it says.")
    return _mono(np.frombuffer(samples, "<i2"), channels, rate_hz)


def _read_aiff(data: bytes) -> AudioChunk:
    """Read AIFF, and AIFF-C where its samples are plain (`NONE`) or little-endian (`sowt`)."""
    little_endian = False
    channels = frames = bits = rate_hz = 0
    body: bytes | None = None
    at = 12
    try:
        while at + 8 <= len(data):
            name, size = struct.unpack_from(">4sI", data, at)
            if name == b"COMM":
                channels, frames, bits = struct.unpack_from(">hIh", data, at + 8)
                rate_hz = _extended_to_int(data[at + 16 : at + 26])
                kind = data[at + 26 : at + 30] if size >= 22 else b"NONE"
                if kind not in (b"NONE", b"sowt"):
                    raise UnreadableSound("The sound file is compressed AIFF; only plain samples are read.")
                little_endian = kind == b"sowt"
            elif name == b"SSND":
                offset = struct.unpack_from(">I", data, at + 8)[0]
                body = data[at + 16 + offset : at + 8 + size]
            at += 8 + size + size % 2
    except struct.error as error:
        raise UnreadableSound("The sound file is shorter than it says.") from error
    if bits != 16 or channels < 1 or rate_hz < 1:
        raise UnreadableSound(f"A sound file of {bits} bits a sample; 16 are read.")
    if body is None or len(body) < 2 * channels * frames:
        raise UnreadableSound("The sound file is shorter than it says.")
    samples = np.frombuffer(body[: 2 * channels * frames], "<i2" if little_endian else ">i2")
    return _mono(samples, channels, rate_hz)


def _extended_to_int(extended: bytes) -> int:
    """The whole number in an 80-bit extended float, as AIFF stores its sample rate."""
    exponent = int.from_bytes(extended[:2], "big")
    mantissa = int.from_bytes(extended[2:], "big")
    return round(mantissa * 2.0 ** (exponent - 16383 - 63))


def _mono(samples: np.ndarray[tuple[int], np.dtype[np.int16]], channels: int, rate_hz: int) -> AudioChunk:
    if channels > 1:
        averaged = np.round(samples.reshape(-1, channels).mean(axis=1))
        return AudioChunk(averaged.astype("<i2").tobytes(), rate_hz)
    return AudioChunk(samples.astype("<i2").tobytes(), rate_hz)
