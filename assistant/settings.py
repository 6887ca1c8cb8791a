"""Settings of one run: frozen, with the unit in each name."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Settings:
    """What the command line and the environment decide before anything starts."""

    folder: Path
    """Where the journal, the recordings and the report of a day are kept."""
    sample_rate_hz: int = 16_000
    """Rate at which the ear listens."""
    chunk_s: float = 0.1
    """Length of the pieces in which sound arrives."""
    mute_tail_s: float = 0.4
    """How long the ear stays shut after the voice has ended."""
    speech_words_per_minute: int = 165
    """Speed of the voice."""
    microphone: str | None = None
    """Name of the input device; None for the system's default."""
    loudspeaker: str | None = None
    """Name of the output device; None for the system's default."""
    model_folder: Path | None = None
    """A general Vosk model that the brewer asks for; None for our own."""
    printed_voice: bool = False
    """Print the sentences instead of speaking them."""
