"""The wheel itself: the journal before the voice, the ear told what to listen for, devices reported."""

from __future__ import annotations

from brew_day import BrewDay, CollectingVoice, example, heard

from assistant.board.terminal_board import TranscriptBoard
from assistant.clock.alarm import HandAlarm
from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.due import next_due_s
from assistant.journal.memory_journal import MemoryJournal
from assistant.loop import DayLoop
from assistant.messages import AudioChunk, Moment, Say, Urgency, Utterance
from assistant.phrasing.ahead import all_texts
from assistant.understanding.said import Command, Listening

PLAN = example("hollow-lane")


class WatchingVoice(CollectingVoice):
    """Notes how many facts were in the journal whenever something was said."""

    def __init__(self, clock: HandClock, journal: MemoryJournal) -> None:
        super().__init__(lambda: clock.now().elapsed_s)
        self._journal = journal
        self.written: list[tuple[str, int]] = []

    def say(self, sentence: Say) -> None:
        """Look into the journal, then keep the sentence."""
        self.written.append((sentence.key, len(self._journal.read())))
        super().say(sentence)


def test_a_call_is_in_the_journal_before_it_is_said(hand_clock: HandClock) -> None:
    """Whatever is said of a call, its fact was written before."""
    journal = MemoryJournal()
    voice = WatchingVoice(hand_clock, journal)
    loop = DayLoop(PLAN, journal=journal, clock=hand_clock, alarm=HandAlarm(), voice=voice, board=TranscriptBoard())
    loop.open()
    loop.hear(Utterance.from_keyboard("start the day"))
    for key, written in voice.written:
        keys = [item.fact.key for item in journal.read()[:written] if isinstance(item.fact, f.CallMade)]
        assert not key or key in keys
    assert ["ready", "strike"] == [key for key, _ in voice.written if key]


def test_the_alarm_is_always_set_to_the_next_due_time() -> None:
    """After every turn the alarm stands at the time at which something is due next."""
    day = BrewDay.opened(PLAN)
    for line in (
        "start the day",
        "mash is in",
        "67 c",
        "run off",
        "kettle is full",
        "boil is on",
        "stop the clock",
    ):
        day.types(line)
        assert next_due_s(PLAN, day.state, day.now_s) == day.alarm.due_s
        day.seconds_pass(40)


def test_the_ear_is_told_when_what_is_live_changes(hand_clock: HandClock) -> None:
    """The ear hears of a change once, and nothing when nothing changed."""
    told: list[Listening] = []
    loop = DayLoop(
        PLAN,
        journal=MemoryJournal(),
        clock=hand_clock,
        alarm=HandAlarm(),
        voice=CollectingVoice(lambda: 0.0),
        board=TranscriptBoard(),
        listen=told.append,
    )
    loop.open()
    assert [True] == [Command.BEGIN in item.commands for item in told]
    loop.hear(Utterance.from_keyboard("how long"))
    assert 1 == len(told)
    loop.hear(Utterance.from_keyboard("start the day"))
    assert [True, False] == [Command.BEGIN in item.commands for item in told]


def test_the_calls_of_the_day_are_prepared_at_its_beginning() -> None:
    """All sentences of the plan are handed to be rendered, at the beginning and after a cut."""
    day = BrewDay.opened(PLAN)
    assert all_texts(PLAN) == day.voice.prepared
    day.power_cut(1)
    assert all_texts(PLAN) == day.voice.prepared


def test_what_is_answered_is_taken_from_the_voice() -> None:
    """A call that is done or dropped is not said any more."""
    day = BrewDay.opened(PLAN)
    day.to_the_boil()
    day.minutes_pass(20)
    day.types("done")
    assert [True] == [key.endswith("addition.0.now") for key in day.voice.dropped[-1:]]
    day.types("knockout")
    assert any(key.endswith("addition.1.now") for key in day.voice.dropped)


def test_sound_not_meant_for_us_leaves_no_trace() -> None:
    """Noise brings no fact, no sentence and no line on the board."""
    day = BrewDay.opened(PLAN)
    before, lines = day.loop.facts, day.board.lines
    assert [] == day.hears(heard("[unk]", sure=0.2))
    assert [] == day.hears(Utterance((), "an ear"))
    assert (before, lines) == (day.loop.facts, day.board.lines)


def test_a_spoken_call_is_recorded_once() -> None:
    """The voice tells that a call was spoken to its end; a second telling changes nothing."""
    day = BrewDay.opened(PLAN)
    sentence = day.voice.said[0][1]
    day.loop.spoken(sentence)
    day.loop.spoken(sentence)
    assert [f.CallSpoken("ready")] == day.facts(f.CallSpoken)
    assert day.state.calls["ready"].spoken


def test_a_failing_device_is_in_the_book_and_said() -> None:
    """A device that fails is recorded and said by what still works."""
    day = BrewDay.opened(PLAN)
    day.loop.report_device("microphone", False, "The microphone went quiet.")
    assert [f.DeviceReported("microphone", False, "The microphone went quiet.")] == day.facts(f.DeviceReported)
    assert "The microphone went quiet." == day.texts[-1]


def test_the_sound_of_a_note_is_kept(hand_clock: HandClock) -> None:
    """A spoken note keeps its words and the name of the file with its sound."""
    kept: list[tuple[AudioChunk, Moment]] = []

    def keep(sound: AudioChunk, moment: Moment) -> str:
        kept.append((sound, moment))
        return "note-1.wav"

    loop = DayLoop(
        PLAN,
        journal=MemoryJournal(),
        clock=hand_clock,
        alarm=HandAlarm(),
        voice=CollectingVoice(lambda: 0.0),
        board=TranscriptBoard(),
        keep_note=keep,
    )
    loop.open()
    sound = AudioChunk(b"\x00\x00" * 160, 16_000)
    words = Utterance.from_keyboard("make a note burner weak")
    loop.hear(Utterance(words.hypotheses, "keyboard", audio=sound))
    (note,) = [item.fact for item in loop.facts if isinstance(item.fact, f.NoteTaken)]
    assert "note-1.wav" == note.sound_file
    assert [sound] == [item[0] for item in kept]


def test_volume_and_silence_reach_the_voice() -> None:
    """Louder, softer and quiet are carried out at once."""
    day = BrewDay.opened(PLAN)
    day.types("louder", "louder", "softer", "quiet")
    assert (1, 1) == (day.voice.volume, day.voice.silenced)


def test_an_announcement_is_said_in_words_and_changes_nothing() -> None:
    """A word about the program itself is no fact of the day."""
    day = BrewDay.opened(PLAN)
    before = day.loop.facts
    day.loop.announce("Ear: our own model, 47 of 48 right.")
    assert before == day.loop.facts
    assert "forty-seven of forty-eight" in day.texts[-1]
    assert Urgency.NOTICE is day.voice.said[-1][1].urgency


def test_closing_closes_what_it_was_given() -> None:
    """Alarm, voice and journal are closed with the day."""
    day = BrewDay.opened(PLAN)
    day.loop.close()
    assert (True, True) == (day.alarm.closed, day.voice.closed)
