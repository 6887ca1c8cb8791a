"""What travels between the rooms: sound, what was heard, what is to be said."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import IntEnum, StrEnum


@dataclass(frozen=True, slots=True)
class AudioChunk:
    """A stretch of mono sound.

    samples: 16-bit signed little-endian, mono.
    sample_rate_hz: frames per second, > 0.
    """

    samples: bytes
    sample_rate_hz: int

    @property
    def seconds(self) -> float:
        """Length in seconds, derived from the samples."""
        return len(self.samples) / 2 / self.sample_rate_hz


@dataclass(frozen=True, slots=True)
class Word:
    """One word as heard: lower-case text, confidence 0-1, start and end in seconds within the utterance."""

    text: str
    confidence: float
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One reading of an utterance. `words` is empty for garbage; `[unk]` marks a stretch that was no known word.

    score: natural-log likelihood relative to the best hypothesis of the same utterance (0 for the best).
    """

    words: tuple[Word, ...]
    score: float = 0.0

    @property
    def text(self) -> str:
        """The words with single blanks between them."""
        return " ".join(word.text for word in self.words)

    @property
    def confidence(self) -> float:
        """The lowest word confidence; 0 when nothing was heard."""
        return min((word.confidence for word in self.words), default=0.0)


@dataclass(frozen=True, slots=True)
class Utterance:
    """What an ear made of one stretch of speech.

    hypotheses: best first, with word confidences on the first.
    audio_seconds: length of the cut utterance.
    computing_seconds: time from the last sample to the answer.
    speech_dbfs, noise_dbfs: RMS levels, dB relative to full scale; None when typed.
    audio: the sound itself, kept for notes; None when typed.
    """

    hypotheses: tuple[Hypothesis, ...]
    engine: str
    audio_seconds: float = 0.0
    computing_seconds: float = 0.0
    speech_dbfs: float | None = None
    noise_dbfs: float | None = None
    audio: AudioChunk | None = field(default=None, repr=False)

    @property
    def best(self) -> Hypothesis:
        """The best hypothesis; an empty one when there is none."""
        return self.hypotheses[0] if self.hypotheses else Hypothesis(())

    @property
    def typed(self) -> bool:
        """Whether the words came from a keyboard and so are certain."""
        return self.engine == "keyboard"

    @classmethod
    def from_keyboard(cls, text: str) -> Utterance:
        """Make an utterance of typed text: every word is certain."""
        words = tuple(Word(token, 1.0, 0.0, 0.0) for token in text.lower().split())
        return cls((Hypothesis(words),), engine="keyboard")


class Urgency(IntEnum):
    """Order in which sentences are spoken; a lower number goes first."""

    SAFETY = 0
    DUE = 1
    ANSWER = 2
    NOTICE = 3


class Chime(StrEnum):
    """A sound before a sentence."""

    NONE = "none"
    DUE = "due"
    SAFETY = "safety"


@dataclass(frozen=True, slots=True)
class Say:
    """A sentence for the voice.

    text: words only, numbers spelled as spoken.
    key: the call it belongs to, empty for answers; told back when it was spoken to the end.
    """

    text: str
    urgency: Urgency = Urgency.ANSWER
    chime: Chime = Chime.NONE
    key: str = ""


@dataclass(frozen=True, slots=True)
class Moment:
    """A point in the day.

    elapsed_s: seconds since the day began; never goes back, counts through suspend and restart.
    wall: the aware wall-clock time, for speaking and for the book only.
    """

    elapsed_s: float
    wall: datetime

    def __post_init__(self) -> None:
        if self.wall.tzinfo is None:
            raise ValueError("a moment needs an aware wall time")


@dataclass(frozen=True, slots=True)
class MachineTime:
    """A reading of the machine's own counter, which no wall-clock step moves.

    boot_id: names the start of the machine that the counter belongs to; empty when the system names none,
        and then two counters cannot be compared across programs.
    seconds: of that counter, counted through suspend where the system can.
    """

    boot_id: str
    seconds: float
