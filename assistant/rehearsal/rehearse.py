"""A whole day at speed: the real loop on a jumping clock, with a made-up brewer talking through a real ear.

Time jumps from one event to the next; only what is said takes its time. The ear hears the brewer's voice mixed
into burner noise and nothing else decides what was understood.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Final, Protocol

from assistant.day.facts import Fact, RigKnown, Stage
from assistant.day.timetable import timetable
from assistant.loop import DayLoop
from assistant.messages import AudioChunk, Moment, Say, Utterance
from assistant.rehearsal.brewer import Brewer
from assistant.rehearsal.lines import Line
from assistant.rehearsal.score import Scored, score
from assistant.rehearsal.soundscape import RATE_HZ, Burner, StereoRecording, as_chunk, as_samples, speech_dbfs

# Signal to noise at the brewer's mouth: beside the burner, in a gust of it, and away from it.
_BURNER_SNR_DB: Final = 14.0
_GUST_SNR_DB: Final = 8.0
_QUIET_SNR_DB: Final = 24.0
_SPEECH_DBFS: Final = -26.0
_BURNING: Final = frozenset({Stage.STRIKE, Stage.PRE_BOIL, Stage.BOIL})
_LEAD_S: Final = 1.0
_TAIL_S: Final = 1.2
_CHUNK_FRAMES: Final = RATE_HZ // 10
# No day has more turns; a rehearsal that does has gone round in circles.
_MOST_TURNS: Final = 2000


class TakenVoice(Protocol):
    """A voice whose sound the rehearsal takes and lays on its own time line."""

    def take(self) -> list[tuple[Say, AudioChunk]]:
        """What is to be said now, in speaking order, each with its sound."""


class JumpingClock(Protocol):
    """A clock that the rehearsal moves."""

    def now(self) -> Moment:
        """The present moment."""

    def advance(self, seconds: float) -> object:
        """Move on."""

    def advance_to(self, elapsed_s: float) -> object:
        """Move on to a time of the day."""


class SteppedAlarm(Protocol):
    """An alarm that only remembers."""

    @property
    def due_s(self) -> float | None:
        """The time that was set last."""


class Mouth(Protocol):
    """How the brewer's lines reach the loop.

    snr_db: how far the last line stood over the noise; None where there was no noise.
    """

    snr_db: float | None

    def say(self, line: Line, stage: Stage, recording: StereoRecording | None) -> tuple[float, list[Utterance]]:
        """Say a line; return how long it took in seconds and what the ear made of it."""


class TypingMouth:
    """Types the lines."""

    def __init__(self) -> None:
        """A keyboard has no noise."""
        self.snr_db: float | None = None

    def say(self, line: Line, stage: Stage, recording: StereoRecording | None) -> tuple[float, list[Utterance]]:
        """Type a line."""
        return 2.0, [Utterance.from_keyboard(line.text)]


class SpeakingMouth:
    """Speaks the lines into burner noise, and lets an ear hear the mixture."""

    def __init__(
        self,
        speak: Callable[[str], AudioChunk],
        feed: Callable[[AudioChunk], Utterance | None],
        flush: Callable[[], Utterance | None],
        seed: int,
    ) -> None:
        """speak: a line as speech at the rehearsal's rate. feed, flush: the ear."""
        self._speak, self._feed, self._flush = speak, feed, flush
        self._burner = Burner(seed)
        self.snr_db: float | None = None

    def say(self, line: Line, stage: Stage, recording: StereoRecording | None) -> tuple[float, list[Utterance]]:
        """Speak a line; the noise is there before and after, as it is at a kettle."""
        snr_db = _GUST_SNR_DB if line.gust else _BURNER_SNR_DB if stage in _BURNING else _QUIET_SNR_DB
        self.snr_db = snr_db
        speech = as_samples(self._speak(line.text))
        speech = speech * 10.0 ** ((_SPEECH_DBFS - speech_dbfs(speech)) / 20.0)
        seconds = len(speech) / RATE_HZ + _LEAD_S + _TAIL_S
        mixture = self._burner.noise(seconds, _SPEECH_DBFS - snr_db)
        start = round(_LEAD_S * RATE_HZ)
        mixture[start : start + len(speech)] += speech
        if recording is not None:
            recording.add(None, mixture)
        return seconds, self._hear(as_chunk(mixture))

    def _hear(self, sound: AudioChunk) -> list[Utterance]:
        size = 2 * _CHUNK_FRAMES
        heard = []
        for start in range(0, len(sound.samples), size):
            utterance = self._feed(AudioChunk(sound.samples[start : start + size], RATE_HZ))
            if utterance is not None:
                heard.append(utterance)
        last = self._flush()
        return [*heard, last] if last is not None else heard


@dataclass
class Rehearsal:
    """One rehearsed day."""

    loop: DayLoop
    brewer: Brewer
    mouth: Mouth
    voice: TakenVoice
    clock: JumpingClock
    alarm: SteppedAlarm
    recording: StereoRecording | None = None
    resampled: Callable[[AudioChunk], AudioChunk] = lambda chunk: chunk
    scored: list[Scored] = field(default_factory=list)

    def run(self, progress: Callable[[str], None] = lambda _: None, known: RigKnown | None = None) -> list[Scored]:
        """Brew the day, with what is `known` of the rig; return what was said with what was heard.

        Raises:
            RuntimeError: if the day does not come to its end, which is a defect of ours.
        """
        self.loop.open(known=known)
        self._let_it_speak()
        stage = self.loop.state.stage
        for _ in range(_MOST_TURNS):
            if self.loop.finished and self.brewer.next_s() is None:
                return self.scored
            self._step()
            if self.loop.state.stage is not stage:
                stage = self.loop.state.stage
                progress(stage.value)
        raise RuntimeError(f"the rehearsed day came to no end; it stood at {self.loop.state.stage.value}")

    def _step(self) -> None:
        line_s, due_s = self.brewer.next_s(), self.alarm.due_s
        if line_s is None and due_s is None:
            raise RuntimeError(f"nothing is due and nobody speaks at {self.loop.state.stage.value}")
        if due_s is None or (line_s is not None and line_s <= due_s):
            self._jump_to(line_s or 0.0)
            self._speak_line(self.brewer.take())
        else:
            self._jump_to(due_s)
            self.loop.wake()
        self._let_it_speak()

    def _jump_to(self, at_s: float) -> None:
        now_s = self.clock.now().elapsed_s
        if at_s > now_s:
            if self.recording is not None:
                self.recording.gap(at_s - now_s)
            self.clock.advance_to(at_s)

    def _speak_line(self, line: Line) -> None:
        mouth: Mouth = TypingMouth() if line.typed else self.mouth
        seconds, utterances = mouth.say(line, self.loop.state.stage, self.recording)
        self.clock.advance(seconds)
        before = len(self.loop.facts)
        for utterance in utterances:
            self.loop.hear(utterance)
        new: Sequence[Fact] = [item.fact for item in self.loop.facts[before:]]
        now_s = self.clock.now().elapsed_s
        heard = " / ".join(item.best.text for item in utterances)
        self.scored.append(score(line, new, now_s, mouth.snr_db, heard))
        self._let_it_speak()
        self.brewer.answered(line, new, self.loop.state, self.clock.now().elapsed_s)

    def _let_it_speak(self) -> None:
        """Lay what the assistant says on the time line; the brewer listens to the end before answering."""
        while taken := self.voice.take():
            for sentence, sound in taken:
                if self.recording is not None:
                    self.recording.add(as_samples(self.resampled(sound)), None)
                self.clock.advance(sound.seconds)
                self._brewer_hears(sentence)

    def _brewer_hears(self, sentence: Say) -> None:
        state = self.loop.state
        call = next((item for item in timetable(self.loop.plan, state) if item.key == sentence.key), None)
        if call is None:
            return
        record = state.calls.get(call.key)
        self.brewer.called(call, record.occurrences if record else 1, state, self.clock.now().elapsed_s)
