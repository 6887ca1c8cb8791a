"""A live day whose devices are stand-ins: sound from a list, an ear that reads it, a voice that remembers."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np

from assistant.clock.alarm import HandAlarm
from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.plan_file import read_plan
from assistant.journal.memory_journal import MemoryJournal
from assistant.live import LiveDay
from assistant.loop import DayLoop
from assistant.messages import AudioChunk, Hypothesis, Say, Utterance, Word
from assistant.ports import Microphone, Shown
from assistant.understanding.said import Listening

PLAN = Path(__file__).parents[1] / "plans" / "hollow-lane.toml"
WAIT_S = 10.0
"""How long a test waits for a thread before it fails."""

FLAT = AudioChunk(bytes(3200), 16_000)
NOISE = AudioChunk(np.random.default_rng(1).integers(-90, 90, 1600).astype("<i2").tobytes(), 16_000)


def words(text: str) -> AudioChunk:
    """A piece of sound in which a `FakeEar` hears `text`."""
    return AudioChunk(text.encode("utf-16-le"), 16_000)


class FakeEar:
    """Hears the text that the sound carries; noise is nothing. `failing` is raised once for each entry."""

    def __init__(self) -> None:
        self.name = "fake"
        self.failing: list[Exception] = []
        self.flushed = 0
        self.listened_in: list[str] = []
        self.fed: list[bytes] = []
        self.last: str = ""

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """None."""
        return ()

    def listen_for(self, listening: Listening) -> None:
        """Note the thread."""
        self.listened_in.append(threading.current_thread().name)

    def feed(self, chunk: AudioChunk) -> Utterance | None:
        """The text in the sound."""
        self.fed.append(chunk.samples)
        if chunk.samples in (FLAT.samples, NOISE.samples):
            return None
        if self.failing:
            raise self.failing.pop(0)
        return heard(chunk.samples.decode("utf-16-le"))

    def flush(self) -> Utterance | None:
        """What was in progress."""
        self.flushed += 1
        return heard(self.last) if self.last else None

    def reset(self) -> None:
        """Forget what was in progress."""


def heard(text: str) -> Utterance:
    """An utterance heard without doubt."""
    return Utterance((Hypothesis(tuple(Word(word, 1.0, 0.0, 1.0) for word in text.split())),), engine="fake")


class FakeVoice:
    """Says everything at once, or keeps speaking when `busy`."""

    def __init__(self) -> None:
        self.said: list[Say] = []
        self.busy = False
        self.closed = False

    def prepare(self, texts: Sequence[str]) -> None:
        """Nothing."""

    def say(self, sentence: Say) -> None:
        """Keep it."""
        self.said.append(sentence)

    def drop(self, key: str) -> None:
        """Nothing."""

    def silence(self) -> None:
        """Nothing."""

    def speaking(self) -> bool:
        """As the test has it."""
        return self.busy

    def change_volume(self, step: int) -> None:
        """Nothing."""

    def on_spoken(self, tell: Callable[[Say], None]) -> None:
        """Nothing."""

    def close(self) -> None:
        """Note it."""
        self.closed = True

    @property
    def texts(self) -> list[str]:
        """What was said, in order."""
        return [sentence.text for sentence in self.said]


class FakeMicrophone:
    """Delivers sound from a list, then fails, ends, or waits until it is closed."""

    def __init__(self, chunks: Sequence[AudioChunk], then: Exception | str = "wait") -> None:
        self._chunks, self._then = chunks, then
        self._closed = threading.Event()

    def chunks(self) -> Iterator[AudioChunk]:
        """The sound."""
        yield from self._chunks
        if isinstance(self._then, Exception):
            raise self._then
        if self._then == "wait":
            self._closed.wait(WAIT_S)

    def close(self) -> None:
        """End."""
        self._closed.set()


class Waits:
    """Stands in for waiting: notes how long, and goes on at once."""

    def __init__(self) -> None:
        self.asked: list[float] = []

    def __call__(self, event: threading.Event, seconds: float) -> bool:
        """Whether the event came."""
        self.asked.append(seconds)
        return event.is_set()


class Board:
    """Keeps what is shown."""

    def __init__(self) -> None:
        self.lines: list[Shown] = []

    def show(self, line: Shown) -> None:
        """Keep it."""
        self.lines.append(line)


class Bench:
    """A live day whose devices are stand-ins."""

    def __init__(self, clock: HandClock, journal: MemoryJournal | None = None) -> None:
        self.waits = Waits()
        self.live = LiveDay(wait=self.waits, quiet_s=0.05)
        self.alarm = HandAlarm()
        self.clock, self.voice, self.ear, self.board = clock, FakeVoice(), FakeEar(), Board()
        self.journal = journal or MemoryJournal()
        self.loop = DayLoop(
            read_plan(PLAN.read_text(encoding="utf-8"), str(PLAN)),
            journal=self.journal,
            clock=clock,
            alarm=self.alarm,
            voice=self.voice,
            board=self.board,
            listen=self.live.listen_for,
        )
        self.loop.open()

    def listen(self, *microphones: FakeMicrophone, retry: bool = True, speaking: Callable[[], bool] = bool) -> None:
        """Hear with these microphones, one after the other; the last one is opened again and again."""
        left = list(microphones)

        def open_microphone() -> Microphone:
            return left.pop(0) if len(left) > 1 else left[0]

        self.live.listen(open_microphone, self.ear, retry=retry, speaking=speaking)

    def run_until(self, found: Callable[[], bool]) -> None:
        """Turn the loop until `found`; it is asked after each turn."""
        real = self.live._take
        done = threading.Event()

        def take(loop: DayLoop, news: object) -> None:
            real(loop, news)  # type: ignore[arg-type]
            if found():
                done.set()
                self.live.stop()

        self.live._take = take  # type: ignore[method-assign]
        late = threading.Timer(WAIT_S, self.live.stop)
        late.start()
        self.live.run(self.loop)
        late.cancel()
        assert done.is_set(), f"it did not come to that; said: {self.voice.texts}, facts: {self.facts}"

    def to_the_next_call(self) -> int:
        """Move the clock to the next call, without a wake-up; return how many sentences were said before."""
        for words in ("start the day", "mash is in"):
            self.loop.hear(heard(words))
        assert self.alarm.due_s is not None
        self.clock.advance_to(self.alarm.due_s)
        return len(self.voice.said)

    @property
    def facts(self) -> list[f.Fact]:
        """What the journal holds."""
        return [item.fact for item in self.journal.read()]

    def heard_words(self) -> list[str]:
        """What the brewer said, as shown on the board."""
        return [line.text for line in self.board.lines if line.who == "brewer"]

    def devices(self) -> list[tuple[str, bool]]:
        """Which device was reported, and whether it works."""
        return [(fact.device, fact.working) for fact in self.facts if isinstance(fact, f.DeviceReported)]
