"""The three voices: what is heard, what is printed, and what happens when sound fails."""

from __future__ import annotations

import io
import threading
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.messages import AudioChunk, Chime, Say, Urgency
from assistant.ports import DeviceFailure, Voice
from assistant.voice.chimes import chime
from assistant.voice.printed_voice import PrintedVoice
from assistant.voice.recorded_voice import RecordedVoice
from assistant.voice.renderer import Renderer
from assistant.voice.spoken_voice import LONGEST_WAIT_S, SpokenVoice

RATE_HZ = 22_050
WAIT_S = 5.0
"""How long a test waits for the voice's thread before it fails."""


class FakeRenderer:
    """Sounds that carry their text, so that a test can read what was played."""

    def __init__(self) -> None:
        self.failing = False
        self.hanging: set[str] = set()
        self.ready: set[str] = set()
        self.go_on = threading.Event()
        self.asked: list[str] = []

    def cached(self, text: str) -> bool:
        """Whether a test prepared it."""
        return text in self.ready

    def prepare(self, texts: Sequence[str]) -> None:
        """Make ready."""
        self.ready.update(texts)

    def render(self, text: str) -> AudioChunk:
        """The text itself as samples."""
        self.asked.append(text)
        if text in self.hanging:
            self.go_on.wait(WAIT_S)
        if self.failing and text not in self.ready:
            raise DeviceFailure("The engine is broken.")
        return AudioChunk(text.encode("utf-16-le"), RATE_HZ)

    def close(self) -> None:
        """Let go of what hangs."""
        self.go_on.set()


class FakeLoudspeaker:
    """Plays at once, or holds a sentence until it is stopped or released."""

    def __init__(self) -> None:
        self.heard: list[AudioChunk] = []
        self.starts = threading.Semaphore(0)
        self.held = threading.Event()
        self.release = threading.Event()
        self.holding = False
        self.failing = False
        self.volume = 0

    def play(self, chunk: AudioChunk, stop: threading.Event) -> bool:
        """True when played to the end."""
        if self.failing:
            raise DeviceFailure("The loudspeaker is broken.")
        self.starts.release()
        if self.holding:
            self.held.set()
            while not self.release.wait(0.005):
                if stop.is_set():
                    self.held.clear()
                    return False
        self.heard.append(chunk)
        return not stop.is_set()

    def change_volume(self, step: int) -> None:
        """Count."""
        self.volume += step

    def texts(self) -> list[str]:
        """What was heard, without the chimes."""
        chimes = [chime(kind, RATE_HZ).samples for kind in (Chime.DUE, Chime.SAFETY)]
        found = []
        for chunk in self.heard:
            samples = chunk.samples
            for sound in chimes:
                samples = samples.removeprefix(sound)
            found.append(samples.decode("utf-16-le"))
        return found


class Stage:
    """A spoken voice between fakes, with a clock moved by hand."""

    def __init__(self) -> None:
        self.renderer, self.loudspeaker, self.screen = FakeRenderer(), FakeLoudspeaker(), io.StringIO()
        self.time_s = 0.0
        self.troubles: list[str] = []
        self.spoken: list[str] = []
        self._changed = threading.Condition()
        self.voice = SpokenVoice(
            self.renderer,
            self.loudspeaker,
            PrintedVoice(self.screen, lambda: datetime(2026, 11, 25, 14, 5, 9, tzinfo=UTC)),
            on_trouble=lambda failure: self.troubles.append(str(failure)),
            now_s=lambda: self.time_s,
        )
        self.voice.on_spoken(self._note)

    def _note(self, sentence: Say) -> None:
        with self._changed:
            self.spoken.append(sentence.text)
            self._changed.notify_all()

    def until_spoken(self, count: int) -> list[str]:
        """Wait until `count` sentences were told as spoken."""
        with self._changed:
            assert self._changed.wait_for(lambda: len(self.spoken) >= count, WAIT_S), self.spoken
        return self.spoken


@pytest.fixture
def stage() -> Iterator[Stage]:
    """A voice that is closed afterwards."""
    one = Stage()
    yield one
    one.loudspeaker.release.set()
    one.voice.close()


def test_the_chime_comes_before_the_words(stage: Stage) -> None:
    """A due call is its chime and then its words, in one sound."""
    stage.voice.say(Say("hops in", Urgency.DUE, Chime.DUE, "hops"))
    stage.until_spoken(1)

    assert chime(Chime.DUE, RATE_HZ).samples + "hops in".encode("utf-16-le") == stage.loudspeaker.heard[0].samples


def test_a_due_call_interrupts_talk_which_is_then_said_again(stage: Stage) -> None:
    """An answer gives way to a call, and comes after it from its beginning."""
    stage.loudspeaker.holding = True
    stage.voice.say(Say("long answer"))
    assert stage.loudspeaker.starts.acquire(timeout=WAIT_S)
    stage.voice.say(Say("hops in", Urgency.DUE))
    assert stage.loudspeaker.starts.acquire(timeout=WAIT_S), "the answer was not cut off"
    stage.loudspeaker.release.set()
    wanted = ["hops in", "long answer"]

    assert wanted == stage.until_spoken(2)
    assert wanted == stage.loudspeaker.texts()


def test_silence_cuts_at_once_and_spares_safety(stage: Stage) -> None:
    """The stop word ends the sentence being spoken and forgets the rest, but a caution is still said."""
    stage.loudspeaker.holding = True
    stage.voice.say(Say("a long answer"))
    assert stage.loudspeaker.held.wait(WAIT_S)
    stage.voice.say(Say("another"))
    stage.voice.silence()
    stage.loudspeaker.holding = False
    stage.voice.say(Say("hot", Urgency.SAFETY))
    wanted = ["hot"]

    assert wanted == stage.until_spoken(1)
    assert wanted == stage.loudspeaker.texts()


def test_a_dropped_call_is_cut_off_and_told_to_nobody(stage: Stage) -> None:
    """A call that was acknowledged while it was spoken is not said again."""
    stage.loudspeaker.holding = True
    stage.voice.say(Say("hops in", Urgency.DUE, key="hops"))
    assert stage.loudspeaker.held.wait(WAIT_S)
    stage.voice.drop("hops")
    stage.loudspeaker.holding = False
    stage.voice.say(Say("in"))
    wanted = ["in"]

    assert wanted == stage.until_spoken(1)


def test_speaking_lasts_from_say_to_the_end(stage: Stage) -> None:
    """The ear can be shut from the moment of `say` until the sentence has ended."""
    stage.loudspeaker.holding = True
    assert not stage.voice.speaking()
    stage.voice.say(Say("one"))
    assert stage.voice.speaking()
    stage.loudspeaker.release.set()
    stage.until_spoken(1)

    assert not stage.voice.speaking()


@pytest.mark.parametrize("part", ["renderer", "loudspeaker"])
def test_when_sound_fails_the_line_is_printed_and_trouble_told_once(stage: Stage, part: str) -> None:
    """Three calls during a failure are all printed with the time and count as said; the trouble is told once."""
    getattr(stage, part).failing = True
    for number in ("one", "two", "three"):
        stage.voice.say(Say(number, Urgency.DUE, Chime.DUE))
    stage.until_spoken(3)
    printed = "14:05:09  one\n14:05:09  two\n14:05:09  three\n"

    assert printed == stage.screen.getvalue()
    assert len(stage.troubles) == 1
    assert "is broken" in stage.troubles[0]
    wanted = 3 if part == "renderer" else 0
    assert wanted == sum(sound == chime(Chime.DUE, RATE_HZ) for sound in stage.loudspeaker.heard)


def test_a_failing_engine_is_tried_again_after_a_pause_that_grows(stage: Stage) -> None:
    """Attempts come 0, 5 and 15 s after the first failure and not in between; when it works, sound is back."""
    stage.renderer.failing = True
    attempts = []
    for count, time_s in enumerate([0.0, 4.0, 5.5, 14.0, 16.0, 35.0], 1):
        stage.time_s = time_s
        before = len(stage.renderer.asked)
        stage.voice.say(Say(f"at {time_s}"))
        stage.until_spoken(count)
        attempts.append(len(stage.renderer.asked) > before)
    stage.renderer.failing = False
    stage.time_s = 40.0
    stage.voice.say(Say("back"))
    stage.until_spoken(7)

    wanted = [True, False, True, False, True, False]
    assert wanted == attempts
    assert stage.loudspeaker.texts()[-1] == "back"


def test_prepared_calls_are_heard_while_the_engine_fails(stage: Stage) -> None:
    """A broken engine does not take away what was rendered ahead, nor does that hide that it is broken."""
    stage.renderer.failing = True
    stage.voice.prepare(["hops in"])
    stage.voice.say(Say("unprepared"))
    stage.voice.say(Say("hops in"))
    stage.voice.say(Say("unprepared too"))
    stage.until_spoken(3)

    assert "hops in" in stage.loudspeaker.texts()
    assert len(stage.troubles) == 1


def test_a_hanging_engine_does_not_hold_up_a_prepared_call(stage: Stage) -> None:
    """While an answer's rendering hangs, a due call that is ready is spoken at once."""
    stage.renderer.hanging = {"answer"}
    stage.voice.prepare(["hops in"])
    stage.voice.say(Say("answer"))
    stage.voice.say(Say("hops in", Urgency.DUE))
    stage.until_spoken(1)
    stage.renderer.go_on.set()
    wanted = ["hops in", "answer"]

    assert wanted == stage.until_spoken(2)


def test_a_sentence_that_takes_too_long_to_render_is_printed(stage: Stage) -> None:
    """After the longest wait the words appear on the screen."""
    stage.renderer.hanging = {"answer"}
    stage.voice.say(Say("answer"))
    while not stage.renderer.asked:
        threading.Event().wait(0.005)
    stage.time_s = LONGEST_WAIT_S + 0.1
    stage.until_spoken(1)

    assert stage.screen.getvalue().endswith("  answer\n")
    assert "too slow" in stage.troubles[0]


def test_closing_cuts_off_and_reports_nothing(stage: Stage) -> None:
    """Closing ends at once, twice is safe, and it is no trouble."""
    stage.loudspeaker.holding = True
    stage.voice.say(Say("a long answer"))
    assert stage.loudspeaker.held.wait(WAIT_S)
    stage.voice.close()
    stage.voice.close()

    assert not stage.voice.speaking()
    assert stage.troubles == stage.spoken == []


def test_an_unforeseen_mistake_is_told_and_the_voice_speaks_on(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An exception outside the devices costs one sentence, and the voice's thread lives."""

    def broken(_text: str) -> bool:
        monkeypatch.undo()
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(stage.renderer, "cached", broken)
    stage.voice.say(Say("one"))
    stage.voice.say(Say("two"))

    assert ["one", "two"] == stage.until_spoken(2)
    assert ["two"] == stage.loudspeaker.texts()
    assert any("PermissionError" in text for text in stage.troubles)


def test_volume_reaches_the_loudspeaker(stage: Stage) -> None:
    """Louder and quieter go through."""
    stage.voice.change_volume(1)
    stage.voice.change_volume(-1)
    stage.voice.change_volume(1)

    assert stage.loudspeaker.volume == 1


def test_a_printed_sentence_has_the_time_and_counts_as_said() -> None:
    """Without a loudspeaker each sentence is a line with the wall time, told as spoken at once."""
    told: list[Say] = []
    screen = io.StringIO()
    voice: Voice = PrintedVoice(screen, lambda: datetime(2026, 11, 25, 9, 3, 7, tzinfo=UTC))
    voice.on_spoken(told.append)
    voice.say(Say("On target: ten forty-four."))

    assert screen.getvalue() == "09:03:07  On target: ten forty-four.\n"
    assert [Say("On target: ten forty-four.")] == told
    assert not voice.speaking()


class GoneScreen(io.StringIO):
    """A terminal that was closed."""

    def write(self, _text: str) -> int:
        """Refuse."""
        raise BrokenPipeError


def test_a_screen_that_has_gone_stops_no_day() -> None:
    """What cannot be printed any more counts as said, without an exception."""
    spoken: list[Say] = []
    voice = PrintedVoice(GoneScreen(), lambda: datetime.now(UTC))
    voice.on_spoken(spoken.append)
    voice.say(Say("hops in"))

    assert [Say("hops in")] == spoken


def test_a_plain_screen_shows_a_question_mark_for_a_sign_it_lacks() -> None:
    """A degree sign on an ASCII terminal does not end the day."""
    raw = io.BytesIO()
    screen = io.TextIOWrapper(raw, encoding="ascii")
    PrintedVoice(screen, lambda: datetime.now(UTC)).say(Say("Not taken: 130 °C."))

    assert raw.getvalue().endswith(b"Not taken: 130 ?C.\n")


@pytest.fixture
def recorded(tmp_path: Path) -> Iterator[RecordedVoice]:
    """A recorded voice with the real engine."""
    voice = RecordedVoice(Renderer(tmp_path, voice=None, words_per_minute=165))
    yield voice
    voice.close()


def test_a_rehearsal_takes_sentences_in_speaking_order(recorded: RecordedVoice) -> None:
    """The most urgent comes first, each with its chime before the words; all are told as spoken."""
    told: list[Say] = []
    answer, call = Say("In."), Say("Now: hops in.", Urgency.DUE, Chime.DUE, "hops")
    recorded.on_spoken(told.append)
    recorded.say(answer)
    recorded.say(call)
    assert recorded.speaking()
    taken = recorded.take()

    assert [call, answer] == [sentence for sentence, _ in taken] == told
    assert taken[0][1].samples.startswith(chime(Chime.DUE, taken[0][1].sample_rate_hz).samples)
    assert taken[0][1].seconds > taken[1][1].seconds + chime(Chime.DUE, RATE_HZ).seconds
    assert not recorded.speaking()
    assert recorded.take() == []


def test_a_rehearsal_loses_no_sentence_to_a_failure(recorded: RecordedVoice) -> None:
    """One that cannot be rendered stays, those before it are handed over."""
    recorded.say(Say("In."))
    recorded.say(Say("..."))
    wanted = [Say("In.")]

    assert wanted == [sentence for sentence, _ in recorded.take()]
    with pytest.raises(DeviceFailure):
        recorded.take()
    assert recorded.speaking()


def test_a_call_that_was_dropped_is_not_taken(recorded: RecordedVoice) -> None:
    """A rehearsal hears nothing of a call that was acknowledged before it was spoken."""
    recorded.say(Say("In."))
    recorded.say(Say("Now: hops in.", Urgency.DUE, Chime.DUE, "hops"))
    recorded.drop("hops")
    wanted = [Say("In.")]

    assert wanted == [sentence for sentence, _ in recorded.take()]


def test_every_voice_is_a_voice(stage: Stage, recorded: RecordedVoice) -> None:
    """All three keep the contract of the port."""
    printed = PrintedVoice(io.StringIO(), lambda: datetime(2026, 11, 25, tzinfo=UTC))
    voices: list[Voice] = [stage.voice, recorded, printed]
    for voice in voices:
        voice.drop("a call that was never made")
        voice.silence()

        assert not voice.speaking()
