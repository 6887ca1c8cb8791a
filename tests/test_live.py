"""The live day with stand-ins for its devices: news in order, failures told once, hearing that comes back."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import pytest
from live_bench import FLAT, NOISE, WAIT_S, Bench, FakeMicrophone, heard, words

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.ear.mute_gate import MuteGate
from assistant.live import DeviceNews
from assistant.loop import DayLoop
from assistant.messages import AudioChunk, Say, Urgency, Utterance
from assistant.ports import DeviceFailure


@pytest.fixture
def bench(hand_clock: HandClock) -> Bench:
    """A live day that has just begun."""
    return Bench(hand_clock)


# --- hearing


def test_what_is_heard_reaches_the_loop_in_order(bench: Bench) -> None:
    """Utterances are taken in the order in which they were spoken, and come into the book."""
    bench.listen(FakeMicrophone([NOISE, words("start the day"), NOISE, words("seventy four degrees")]))
    bench.run_until(lambda: len(bench.heard_words()) == 2)

    assert ["start the day", "seventy four degrees"] == bench.heard_words()
    assert [f.Stage.STRIKE] == [fact.stage for fact in bench.facts if isinstance(fact, f.StageReached)]
    assert [74.0] == [fact.temperature_c for fact in bench.facts if isinstance(fact, f.TemperatureRead)]


def test_the_ear_changes_its_words_in_its_own_thread(bench: Bench) -> None:
    """No other thread touches the ear, which may be in the middle of an utterance."""
    bench.listen(FakeMicrophone([NOISE, words("start the day"), NOISE]))
    bench.run_until(lambda: len(bench.heard_words()) == 1)

    assert {"ear"} == set(bench.ear.listened_in)


def test_a_microphone_that_fails_is_told_once_and_again_when_it_is_back(bench: Bench) -> None:
    """Four failures are one sentence, with growing waits between; sound that is no flat line is one more."""
    gone = [FakeMicrophone([], DeviceFailure("The microphone has stopped; check its plug.")) for _ in range(6)]
    bench.listen(*gone, FakeMicrophone([FLAT, NOISE, words("start the day")]))
    bench.run_until(lambda: bool(bench.heard_words()))

    assert [("microphone", False), ("microphone", True)] == bench.devices()
    assert [2.0, 4.0, 8.0, 16.0, 30.0, 30.0] == bench.waits.asked[:6]
    told = [text for text in bench.voice.texts if "microphone" in text]
    assert 1 == len(told)
    assert "The microphone has stopped; check its plug." in told[0]
    assert "keyboard" in told[0]


def test_a_microphone_that_delivers_a_flat_line_is_not_back(bench: Bench) -> None:
    """A dead microphone that opens well and delivers one sample for ever causes no `I hear again`."""
    dead = [FakeMicrophone([FLAT, FLAT], DeviceFailure("The microphone delivers silence only.")) for _ in range(4)]
    bench.listen(*dead, FakeMicrophone([NOISE]))
    bench.run_until(lambda: ("microphone", True) in bench.devices())

    assert [("microphone", False), ("microphone", True)] == bench.devices()


@pytest.mark.parametrize("unforeseen", [RuntimeError("driver"), OSError(5, "input"), ValueError("rate")])
def test_an_unforeseen_failure_of_the_microphone_is_told_and_tried_again(
    bench: Bench, unforeseen: Exception
) -> None:
    """Whatever a driver throws, hearing does not end without a word."""
    bench.listen(FakeMicrophone([NOISE], unforeseen), FakeMicrophone([NOISE, words("start the day")]))
    bench.run_until(lambda: bool(bench.heard_words()))

    assert [("microphone", False), ("microphone", True)] == bench.devices()
    assert any(type(unforeseen).__name__ in text for text in bench.voice.texts)


def test_what_broke_off_with_the_microphone_is_not_taken(bench: Bench) -> None:
    """Half a reading, cut off by a pulled plug, is thrown away and not taken for a whole one."""
    bench.ear.last = "seventy"
    bench.listen(
        FakeMicrophone([NOISE], DeviceFailure("The microphone has stopped.")),
        FakeMicrophone([NOISE, words("start the day")]),
    )
    bench.run_until(lambda: bool(bench.heard_words()))

    assert 1 == bench.ear.flushed
    assert ["start the day"] == bench.heard_words()


def test_an_ear_that_fails_is_told_and_hears_the_next_sentence(bench: Bench) -> None:
    """An exception in the ear costs one sentence, not the hearing; the brewer is asked to say it again."""
    bench.ear.failing = [RuntimeError("decoder"), RuntimeError("decoder")]
    bench.listen(FakeMicrophone([words("lost"), words("lost too"), NOISE, words("start the day")]))
    bench.run_until(lambda: bool(bench.heard_words()))

    assert [("ear", False), ("ear", True)] == bench.devices()
    assert ["start the day"] == bench.heard_words()
    assert any("Say it again, or type it." in text for text in bench.voice.texts)


def test_an_ear_that_is_behind_does_not_hear_the_voice(bench: Bench) -> None:
    """What counts is whether the voice spoke when the sound came in, not when the ear gets to it."""
    gate = MuteGate(bench.ear, bench.live.voice_spoke, tail_s=0.0)
    all_in, may_hear = threading.Event(), threading.Event()
    spoke = iter([False, True, True, False])

    class Slow(FakeMicrophone):
        def chunks(self) -> Iterator[AudioChunk]:
            yield from (words("start the day"), words("seventy degrees"), words("eighty degrees"), NOISE)
            all_in.set()
            self._closed.wait(WAIT_S)

    feed = bench.ear.feed

    def busy_feed(chunk: AudioChunk) -> Utterance | None:
        may_hear.wait(WAIT_S)
        return feed(chunk)

    bench.ear.feed = busy_feed  # type: ignore[method-assign]
    bench.live.listen(lambda: Slow([]), gate, retry=True, speaking=lambda: next(spoke))
    assert all_in.wait(WAIT_S)
    may_hear.set()
    bench.run_until(lambda: NOISE.samples in bench.ear.fed)

    assert ["start the day"] == bench.heard_words()


def test_a_voice_that_cannot_say_whether_it_speaks_does_not_deafen(bench: Bench) -> None:
    """An exception in the voice counts as silence."""

    def broken() -> bool:
        raise RuntimeError("voice")

    bench.listen(FakeMicrophone([words("start the day")]), speaking=broken)
    bench.run_until(lambda: bool(bench.heard_words()))


def test_the_end_of_a_recording_leaves_the_day_open(bench: Bench) -> None:
    """The last words are heard, the end is said, and `run` tells that the day was not finished."""
    bench.ear.last = "start the day"
    bench.listen(FakeMicrophone([NOISE], "end"), retry=False)

    assert not bench.live.run(bench.loop)
    assert ["start the day"] == bench.heard_words()
    assert "The recording is over. The day stays open." == bench.voice.texts[-1]


# --- the keyboard


def test_typed_lines_are_taken_and_stop_ends(bench: Bench) -> None:
    """Lines reach the loop in order, blank ones do not, and after `stop` nothing more is read."""
    bench.live.read_keyboard(
        iter(["start the day\n", " \n", "74 degrees\n", "Stop\n", "mash is in\n"]), stop_at_end=False
    )

    assert not bench.live.run(bench.loop)
    assert ["start the day", "74 degrees"] == bench.heard_words()
    assert bench.live.cut.is_set()


def test_a_closed_keyboard_does_not_end_a_spoken_day(bench: Bench) -> None:
    """A day that runs without a terminal hears on after the end of its input."""
    bench.live.read_keyboard(iter([]), stop_at_end=False).join(WAIT_S)
    bench.listen(FakeMicrophone([words("start the day")]))
    bench.run_until(lambda: bool(bench.heard_words()))


def broken_lines(error: Exception) -> Iterator[str]:
    """One line, then the terminal goes away."""
    yield "start the day\n"
    raise error


@pytest.mark.parametrize("error", [OSError(5, "Input/output error"), ValueError("I/O operation on closed file")])
def test_a_typed_day_whose_terminal_goes_away_stops(bench: Bench, error: Exception) -> None:
    """The day stays open, as after a plain end of input."""
    bench.live.read_keyboard(broken_lines(error), stop_at_end=True)

    assert not bench.live.run(bench.loop)
    assert ["start the day"] == bench.heard_words()
    assert not bench.live.cut.is_set()


def test_a_line_of_a_million_letters_is_answered(bench: Bench) -> None:
    """A stray paste gets an answer and changes nothing."""
    bench.live.read_keyboard(iter(["start the day\n", "seventy three " * 70_000 + "\n"]), stop_at_end=True)
    before = len(bench.facts)

    assert not bench.live.run(bench.loop)
    assert 2 == len(bench.heard_words())
    assert before < len(bench.facts)
    assert not [fact for fact in bench.facts if isinstance(fact, f.TemperatureRead)]


# --- the loop's thread


def test_a_wake_up_makes_the_call_that_is_due(bench: Bench) -> None:
    """What has come due is said after a wake-up from another thread."""
    said = bench.to_the_next_call()
    threading.Thread(target=bench.live.wake).start()
    bench.run_until(lambda: len(bench.voice.said) > said)


def test_a_lost_wake_up_loses_no_call(bench: Bench) -> None:
    """With an alarm that never rings, the loop is asked after a quiet while all the same."""
    said = bench.to_the_next_call()
    bench.run_until(lambda: len(bench.voice.said) > said)


def test_wake_ups_do_not_pile_up(bench: Bench) -> None:
    """A thousand heartbeats while the loop is busy are one turn."""
    for _ in range(1000):
        bench.live.wake()
    assert 1 == bench.live._news.qsize()


def test_a_call_spoken_to_its_end_comes_into_the_book(bench: Bench) -> None:
    """What the voice tells back is recorded, also what it still said after the day was stopped."""
    bench.live.tell(Say("Hollow Lane.", key="ready"))
    bench.run_until(lambda: f.CallSpoken("ready") in bench.facts)

    bench.loop.hear(heard("start the day"))
    called = bench.voice.said[-1]
    bench.live.tell(called)
    bench.live.settle(bench.loop)
    assert called.key
    assert f.CallSpoken(called.key) in bench.facts


def test_a_finished_day_ends(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the last call was made, `run` tells that the day is finished."""
    monkeypatch.setattr(DayLoop, "finished", property(lambda loop: len(loop.facts) > known))
    known = len(bench.loop.facts)
    bench.live.tell(heard("start the day"))

    assert bench.live.run(bench.loop)


def test_device_news_is_said_and_kept(bench: Bench) -> None:
    """A failure that the voice reports from its own thread is in the book and said."""
    news = DeviceNews("voice", False, "The loudspeaker takes no sound; check that it is on and connected.")
    threading.Thread(target=bench.live.tell, args=(news,)).start()
    bench.run_until(lambda: bool(bench.devices()))

    assert [("voice", False)] == bench.devices()
    assert Urgency.DUE == bench.voice.said[-1].urgency
    assert news.sentence == bench.voice.texts[-1]
