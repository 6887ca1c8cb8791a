"""A day told step by step: the real loop on a clock moved by hand, a keyboard, and a voice that collects."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Final, Self

from assistant.board.terminal_board import TranscriptBoard
from assistant.clock.alarm import HandAlarm
from assistant.clock.hand_clock import HandClock
from assistant.day.facts import Fact
from assistant.day.plan import Plan
from assistant.day.plan_file import read_plan
from assistant.day.state import State
from assistant.journal.memory_journal import MemoryJournal
from assistant.loop import DayLoop
from assistant.messages import Hypothesis, Say, Utterance, Word
from assistant.ports import Journal

PLANS: Final = Path(__file__).parents[1] / "plans"
EXAMPLES: Final = ("hollow-lane", "lark-ridge", "ferry-lantern")
START: Final = datetime(2026, 11, 25, 9, 0, tzinfo=timezone(timedelta(hours=1)))
# No day of these tests wakes up more often; one that does goes round in circles.
_MOST_WAKE_UPS: Final = 5000


def example(name: str) -> Plan:
    """One of the plans that come with the program."""
    path = PLANS / f"{name}.toml"
    return read_plan(path.read_text(encoding="utf-8"), str(path))


def altered(name: str, *changes: tuple[str, str]) -> Plan:
    """An example plan with pieces of its text exchanged; each piece must be there."""
    text = (PLANS / f"{name}.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, f"{old!r} is not in {name}"
        text = text.replace(old, new)
    return read_plan(text, name)


def heard(*texts: str, sure: float = 0.95, scores: Sequence[float] = ()) -> Utterance:
    """What an ear made of an utterance: the texts it thought of, best first, and how sure it was of the first."""
    hypotheses = []
    for place, text in enumerate(texts):
        words = tuple(
            Word(word, sure, 0.4 * number, 0.4 * number + 0.35) for number, word in enumerate(text.split())
        )
        score = scores[place] if place < len(scores) else -1.0 * place
        hypotheses.append(Hypothesis(words, score))
    return Utterance(tuple(hypotheses), "an ear", 2.0, 0.1, speech_dbfs=-25.0, noise_dbfs=-45.0)


class CollectingVoice:
    """Keeps each sentence with its time; `dropped` and `silenced` tell what else was asked of it."""

    def __init__(self, now_s: Callable[[], float]) -> None:
        self._now_s = now_s
        self.said: list[tuple[float, Say]] = []
        self.prepared: tuple[str, ...] = ()
        self.dropped: list[str] = []
        self.silenced = 0
        self.volume = 0
        self.closed = False

    def prepare(self, texts: Sequence[str]) -> None:
        """Keep what is to be rendered."""
        self.prepared = tuple(texts)

    def say(self, sentence: Say) -> None:
        """Keep the sentence with the time."""
        self.said.append((self._now_s(), sentence))

    def drop(self, key: str) -> None:
        """Keep the key."""
        self.dropped.append(key)

    def silence(self) -> None:
        """Count."""
        self.silenced += 1

    def speaking(self) -> bool:
        """Never."""
        return False

    def change_volume(self, step: int) -> None:
        """Add up the steps."""
        self.volume += step

    def on_spoken(self, tell: Callable[[Say], None]) -> None:
        """The tests tell the loop themselves."""

    def close(self) -> None:
        """Keep that it was closed."""
        self.closed = True


class BrewDay:
    """A day with a brewer at the keyboard. Each step returns what was said because of it, in order."""

    def __init__(self, plan: Plan, journal: Journal | None = None, clock: HandClock | None = None) -> None:
        self.plan = plan
        self.clock = clock if clock is not None else HandClock(START)
        self.journal: Journal = journal if journal is not None else MemoryJournal()
        self.alarm, self.board = HandAlarm(), TranscriptBoard()
        self.voice = CollectingVoice(lambda: self.clock.now().elapsed_s)
        self.loop = self._loop()

    def _loop(self) -> DayLoop:
        return DayLoop(
            self.plan,
            journal=self.journal,
            clock=self.clock,
            alarm=self.alarm,
            voice=self.voice,
            board=self.board,
        )

    @classmethod
    def opened(cls, plan: Plan, journal: Journal | None = None, clock: HandClock | None = None) -> Self:
        """A day that has just begun: it waits for "start the day"."""
        day = cls(plan, journal, clock)
        day.loop.open()
        return day

    # --- steps

    def types(self, *lines: str) -> list[str]:
        """The brewer types these lines, one after the other at the same moment."""
        return self._said_by(lambda: [self.loop.hear(Utterance.from_keyboard(line)) for line in lines])

    def hears(self, utterance: Utterance) -> list[str]:
        """The ear brings this."""
        return self._said_by(lambda: self.loop.hear(utterance))

    def minutes_pass(self, minutes: float) -> list[str]:
        """So many minutes pass; every alarm rings at its time."""
        return self.until(self.now_s + minutes * 60.0)

    def seconds_pass(self, seconds: float) -> list[str]:
        """So many seconds pass; every alarm rings at its time."""
        return self.until(self.now_s + seconds)

    def until(self, elapsed_s: float) -> list[str]:
        """Time passes until then; every alarm rings at its time."""
        return self._said_by(lambda: self._run(elapsed_s))

    def _run(self, elapsed_s: float) -> None:
        for _ in range(_MOST_WAKE_UPS):
            due_s = self.alarm.due_s
            if due_s is None or due_s > elapsed_s:
                self.clock.advance_to(elapsed_s)
                return
            self.clock.advance_to(max(due_s, self.now_s))
            self.loop.wake()
        raise AssertionError(f"still waking up at {self.now_s} s, called last: {self.texts[-3:]}")

    def power_cut(self, minutes: float, journal: Journal | None = None) -> list[str]:
        """The power fails for so many minutes; then a new program opens the journal, or `journal` in its place."""
        self.clock.advance(minutes * 60.0)
        if journal is not None:
            self.journal = journal
        self.alarm = HandAlarm()
        self.voice = CollectingVoice(lambda: self.clock.now().elapsed_s)
        self.loop = self._loop()
        return self._said_by(lambda: self.loop.resume(minutes * 60.0))

    def _said_by(self, act: Callable[[], object]) -> list[str]:
        before = len(self.voice.said)
        act()
        return [sentence.text for _, sentence in self.voice.said[before:]]

    # --- what can be looked at

    @property
    def now_s(self) -> float:
        """Seconds since the day began."""
        return self.clock.now().elapsed_s

    @property
    def state(self) -> State:
        """The state of the day."""
        return self.loop.state

    @property
    def texts(self) -> list[str]:
        """All that was said so far."""
        return [sentence.text for _, sentence in self.voice.said]

    def facts(self, *kinds: type[Fact]) -> list[Fact]:
        """All facts of these kinds, in order."""
        return [item.fact for item in self.loop.facts if isinstance(item.fact, kinds)]

    # --- short ways to a place in the day

    def to_the_boil(self) -> list[str]:
        """From the beginning until "boil is on", with a gravity on target; what was said at the end."""
        self.types("start the day")
        self.minutes_pass(20)
        self.types("mash is in")
        self.minutes_pass(sum(rest.minutes for rest in self.plan.mash.rests) + 1)
        for _ in self.plan.mash.rests[1:]:
            self.types("done")
        self.types("run off")
        self.seconds_pass(20)
        if "first-wort" in " ".join(self.state.calls):
            self.types("done")
        self.minutes_pass(20)
        self.types("kettle is full")
        self.seconds_pass(30)
        self.types(self.good_gravity())
        self.minutes_pass(10)
        return self.types("boil is on")

    def good_gravity(self) -> str:
        """A line with a gravity on target before the boil, in the units of the plan."""
        degrees = "68 f" if self.plan.units.temperature.value == "°F" else "20 c"
        return f"{degrees} {self.plan.beer.gravity_before_boil_sg:.3f} sg"
