"""The live day when something of our own goes wrong, and how it stops."""

from __future__ import annotations

import argparse
import os
import signal
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

import pytest
from live_bench import Bench, heard

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.state import History
from assistant.journal.memory_journal import MemoryJournal
from assistant.live import Stop
from assistant.messages import Say, Utterance
from assistant.ports import JournalRefusal
from assistant.settings import Settings
from assistant.understanding.said import Listening
from assistant.understanding.weigh import weigh
from assistant.verbs import brewing
from assistant.wiring import Parts


@pytest.fixture
def bench(hand_clock: HandClock) -> Bench:
    """A live day that has just begun."""
    return Bench(hand_clock)


# --- mistakes of our own


def test_a_mistake_before_anything_is_kept_says_so_and_the_day_goes_on(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An exception in understanding costs one sentence; the next utterance is taken."""
    real = weigh

    def failing(utterance: Utterance, listening: Listening) -> object:
        if utterance.best.text == "bad":
            raise KeyError("bad")
        return real(utterance, listening)

    monkeypatch.setattr("assistant.loop.weigh", failing)
    bench.live.tell(heard("bad"))
    bench.live.tell(heard("start the day"))
    bench.run_until(lambda: bool(bench.heard_words()))

    assert [("program", False)] == bench.devices()
    assert any("It is not kept: say it in other words." in text for text in bench.voice.texts)


def test_a_mistake_in_the_answer_says_that_the_reading_is_kept(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was recorded before the exception stays, and the sentence says so."""

    def failing(_turn: object) -> Sequence[Say]:
        raise ZeroDivisionError

    monkeypatch.setattr("assistant.loop.replies", failing)
    bench.live.tell(heard("start the day"))
    bench.run_until(lambda: bool(bench.devices()))

    assert f.Stage.STRIKE in [fact.stage for fact in bench.facts if isinstance(fact, f.StageReached)]
    assert any("It is kept, but I cannot answer." in text for text in bench.voice.texts)


def test_a_call_without_a_sentence_is_called_all_the_same(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """A call that cannot be put into words is called by its kind, with a chime, and takes no other with it."""

    def failing(*_: object) -> Say:
        raise KeyError("no words")

    monkeypatch.setattr("assistant.loop.call_sentence", failing)
    bench.loop.hear(heard("start the day"))

    assert any("it is due; look at your plan." in text for text in bench.voice.texts)
    assert not bench.devices()


def test_a_mistake_on_every_wake_up_is_told_once(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """A storm of the same failure is one sentence a minute."""
    turns = 0

    def failing(*_: object) -> object:
        nonlocal turns
        turns += 1
        raise KeyError("due")

    monkeypatch.setattr("assistant.loop.due", failing)
    bench.run_until(lambda: turns > 5)

    assert [("program", False)] == bench.devices()


def test_a_fact_that_cannot_be_folded_stays_out_of_the_book(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """State and book are as before the utterance, so that the day can be opened again."""
    before, state = bench.facts, bench.loop.state

    def failing(*_: object) -> tuple[f.Fact, ...]:
        return (f.TurnWithdrawn("no number"),)  # type: ignore[arg-type]

    monkeypatch.setattr(History, "add", _refusing(History.add))
    monkeypatch.setattr("assistant.loop.decide", failing)
    with pytest.raises(ArithmeticError):
        bench.loop.hear(heard("start the day"))

    assert before == bench.facts
    assert state == bench.loop.state


def _refusing(real: Callable[..., object]) -> Callable[..., object]:
    def add(self: object, recorded: Iterable[f.Recorded]) -> object:
        items = list(recorded)
        if any(isinstance(item.fact, f.TurnWithdrawn) for item in items):
            real(self, ())
            raise ArithmeticError
        return real(self, items)

    return add


class FullJournal(MemoryJournal):
    """Refuses while `full`."""

    full = False

    def append(self, facts: Sequence[f.Fact], moment: object, turn: int) -> tuple[f.Recorded, ...]:
        """Write, or refuse."""
        if self.full:
            raise JournalRefusal("the disk is full; free some of it.")
        return super().append(facts, moment, turn)  # type: ignore[arg-type]


def test_a_full_disk_is_tried_again_without_anybody_speaking(hand_clock: HandClock) -> None:
    """What could not be written is written as soon as there is room, without waiting for the next call."""
    journal = FullJournal()
    bench = Bench(hand_clock, journal)
    journal.full = True
    bench.loop.hear(heard("start the day"))
    known = len(bench.facts)
    journal.full = False
    bench.run_until(lambda: len(bench.facts) > known)

    assert any("Nothing is missing." in text for text in bench.voice.texts)


def test_what_is_never_saved_is_shown_at_the_end(hand_clock: HandClock) -> None:
    """A day that ends on a full disk says how much is missing from its book."""
    journal = FullJournal()
    bench = Bench(hand_clock, journal)
    journal.full = True
    bench.loop.hear(heard("start the day"))
    bench.loop.close()

    assert any(line.text.startswith("Not saved: the last ") for line in bench.board.lines)


# --- stopping


@pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_the_day_with_code_0_and_a_sentence(
    bench: Bench, tmp_path: Path, number: signal.Signals
) -> None:
    """Ctrl-C, a plain kill and a closed terminal close the book; a voice in mid-sentence is not waited for."""
    # A program started to ignore a hang-up, as with nohup, goes on ignoring it: here it is heeded.
    started_with = signal.signal(number, signal.SIG_DFL)
    bench.voice.busy = True
    parts = Parts(bench.loop, bench.live, tmp_path, bench.voice, None, ())
    said: list[str] = []
    arguments = argparse.Namespace(microphone=None, typed=False)

    try:
        code = brewing._run(parts, arguments, Settings(tmp_path), said.append, lambda: os.kill(os.getpid(), number))
        after = signal.getsignal(number)
    finally:
        signal.signal(number, started_with)

    assert 0 == code
    assert "Stopped. Go on with: kettleside resume" == said[-1]
    assert bench.voice.closed
    assert signal.SIG_DFL is after


def test_a_screen_that_has_gone_does_not_keep_the_book_from_closing(bench: Bench, tmp_path: Path) -> None:
    """Where nothing can be printed any more, the day still ends in order."""

    def gone(_text: str) -> None:
        raise BrokenPipeError

    parts = Parts(bench.loop, bench.live, tmp_path, bench.voice, None, ())
    code = brewing._run(
        parts,
        argparse.Namespace(microphone=None, typed=False),
        Settings(tmp_path),
        gone,
        bench.live.stop,
    )

    assert 0 == code
    assert bench.voice.closed


def test_trouble_inside_goes_to_a_file_and_not_to_the_screen(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """The details of a mistake of ours are kept beside the book; the screen shows a sentence only."""

    def failing(*_: object) -> object:
        raise KeyError("inside")

    monkeypatch.setattr("assistant.loop.weigh", failing)
    bench.live.tell(heard("start the day"))
    bench.live.tell(Stop())
    parts = Parts(bench.loop, bench.live, tmp_path, bench.voice, None, ())
    brewing._run(
        parts,
        argparse.Namespace(microphone=None, typed=False),
        Settings(tmp_path),
        lambda _: None,
        lambda: None,
    )

    assert "Traceback" in (tmp_path / "trouble.txt").read_text(encoding="utf-8")
    assert ("", "") == tuple(capfd.readouterr())
