"""The turning wheel: heard, typed or due -> decide -> append -> fold -> say -> show.

One thread owns a `DayLoop` and calls its methods; devices hand their news to that thread. The order inside a
turn never changes: a fact is in the journal before anything is said about it.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.day import facts as f
from assistant.day.calls import CallKind, LatePolicy
from assistant.day.decide import decide
from assistant.day.due import Due, due, next_due_s
from assistant.day.facts import Fact, Recorded, Stage
from assistant.day.inquiring import overtakes_inquiry
from assistant.day.plan import Plan
from assistant.day.state import History, State
from assistant.day.targets import listening
from assistant.day.timetable import timetable
from assistant.messages import AudioChunk, Chime, Moment, Say, Urgency, Utterance
from assistant.phrasing import numbers
from assistant.phrasing.ahead import all_texts
from assistant.phrasing.call_sentences import call_sentence
from assistant.phrasing.doubted import rig_remark
from assistant.phrasing.information import where
from assistant.phrasing.inquiry_dialogue import LEFT_FOR_A_CALL, answer_text
from assistant.phrasing.offer_table import offer_table
from assistant.phrasing.replies import Turn, replies
from assistant.phrasing.speakable import speakable
from assistant.ports import Alarm, Board, Clock, Journal, JournalRefusal, Shown, Voice
from assistant.understanding.said import Command, Listening
from assistant.understanding.weigh import weigh

_log = logging.getLogger(__name__)

# A call handed to the voice this long before the power went may not have been heard.
_PERHAPS_UNHEARD_S = 60.0
_WARN_EVERY_S = 60.0
# A call that became due this recently in a turn became due by that turn.
_FOLLOWS_S = 1.0


class DayLoop:
    """One day, from the first call to the last. Not thread-safe: one thread turns it."""

    def __init__(
        self,
        plan: Plan,
        *,
        journal: Journal,
        clock: Clock,
        alarm: Alarm,
        voice: Voice,
        board: Board,
        listen: Callable[[Listening], None] = lambda _: None,
        keep_note: Callable[[AudioChunk, Moment], str] = lambda _sound, _moment: "",
    ) -> None:
        """Fold what the journal holds.

        listen: told what to listen for whenever that changes. keep_note: stores the sound of a note and
        returns the file's name.
        """
        self.plan = plan
        self._journal, self._clock, self._alarm = journal, clock, alarm
        self._voice, self._board = voice, board
        self._listen, self._keep_note = listen, keep_note
        self._history = History(plan, journal.read())
        self._unwritten: list[tuple[tuple[Fact, ...], Moment, int]] = []
        self._warned_s: float | None = None
        self._last_said = ""
        self._listening: Listening | None = None

    @property
    def state(self) -> State:
        """The state of the day now."""
        return self._history.state

    @property
    def facts(self) -> tuple[Recorded, ...]:
        """All facts of the day so far."""
        return self._history.recorded

    @property
    def finished(self) -> bool:
        """Whether the brew day is over and its last call was made."""
        return self.state.stage is Stage.FERMENTING and "handed-over" in self.state.calls

    # --- beginning

    def open(self, plan_file: str = "", known: f.RigKnown | None = None) -> None:
        """Open a new day; `known`: what the rig's earlier days say, kept in this one and told where it matters."""
        begun: tuple[Fact, ...] = (f.DayBegun(self.plan.beer.name, self.plan.text, plan_file),)
        self._record(begun if known is None else (*begun, known))
        self._voice.prepare(all_texts(self.plan))
        self.wake()
        self._say(Say(rig_remark(known, self.plan), Urgency.NOTICE))

    def resume(self, away_s: float, clock_trusted: bool = True) -> None:
        """Go on with the day that the journal holds: say how long we were away, then what was missed."""
        cut_off = self._perhaps_unheard()
        self._record((f.DayResumed(away_s, clock_trusted),))
        self._voice.prepare(all_texts(self.plan))
        sentences = [Say(self._resumed_text(away_s, clock_trusted), Urgency.DUE, Chime.DUE)]
        sentences += [made for item in cut_off if (made := self._make(item)) is not None]
        self.wake(sentences)

    def _resumed_text(self, away_s: float, clock_trusted: bool) -> str:
        parts = [f"I was off for {numbers.span_words(away_s)}."]
        if not clock_trusted:
            parts.append("The computer's clock is wrong: check the boil clock against your own.")
        parts.append(where(self.state, self.plan, self._clock.now()))
        return " ".join(parts)

    def _perhaps_unheard(self) -> tuple[Due, ...]:
        """Calls handed to the voice just before the end, never spoken out and still of use, that do not repeat."""
        last_s, now_s = self.state.last_s, self._clock.now().elapsed_s
        return tuple(
            Due(call, record.occurrences + 1, 0.0)
            for call in timetable(self.plan, self.state)
            if not call.repeat_s
            and (record := self.state.calls.get(call.key)) is not None
            and not (record.spoken or record.closed)
            and last_s - record.last_made_s < _PERHAPS_UNHEARD_S
            and not (call.late is LatePolicy.DROP and now_s - record.last_made_s > call.grace_s)
        )

    # --- turning

    def hear(self, utterance: Utterance) -> None:
        """Take what an ear or a keyboard brought."""
        now = self._clock.now()
        before = self.state
        verdict = weigh(utterance, listening(self.plan, before, now.elapsed_s))
        facts = decide(verdict, utterance, before, self.plan, now)
        if not facts:
            return
        facts = self._with_answers(self._with_note_kept(facts, utterance, now))
        self._record(facts)
        self._board.show(Shown("brewer", now, utterance.best.text or "(nothing)"))
        for fact in facts:
            if isinstance(fact, f.CallAcknowledged | f.CallSkipped | f.CallDropped):
                self._voice.drop(fact.key)
        turn = Turn(facts, before, self.state, self.plan, now, self._last_said)
        self._change_voice(facts)
        self.wake(replies(turn))
        self._show_offer(facts, now)

    def wake(self, sentences: Sequence[Say] = ()) -> None:
        """Make every call that is due, before or after `sentences` as their urgency has it, and set the alarm."""
        self._write()
        to_say = list(sentences)
        while items := due(self.plan, self.state, self._clock.now().elapsed_s):
            for item in items:
                made = self._make(item)
                if sentences and item.late_s < _FOLLOWS_S and item.call.urgency is Urgency.DUE:
                    # A call that follows from what was said is said after the answer to it.
                    to_say[: len(sentences)] = [
                        replace(answer, urgency=min(answer.urgency, Urgency.DUE)) for answer in sentences
                    ]
                if made is not None:
                    to_say.append(made)
        for sentence in sorted(to_say, key=lambda item: item.urgency):
            self._say(sentence)
        now_s = self._clock.now().elapsed_s
        due_s = next_due_s(self.plan, self.state, now_s)
        if self._unwritten and self._warned_s is not None:
            again_s = self._warned_s + _WARN_EVERY_S
            due_s = again_s if due_s is None else min(due_s, again_s)
        self._alarm.set(due_s)
        self._tell_ear(now_s)

    def spoken(self, sentence: Say) -> None:
        """The voice has spoken a call to its end."""
        record = self.state.calls.get(sentence.key)
        if record is not None and not record.spoken:
            self._record((f.CallSpoken(sentence.key),))

    def announce(self, text: str, spoken: str = "") -> None:
        """Tell something about the program itself, such as which ear listens; nothing of the day depends on it.

        spoken: what is said instead of `text` where that is long, since nobody is heard while the voice speaks.
        """
        if spoken:
            self._board.show(Shown("note", self._clock.now(), text))
        self._say(Say(speakable(spoken or text), Urgency.NOTICE))

    def report_device(self, device: str, working: bool, sentence: str) -> None:
        """A device failed or came back: it goes into the journal and is said by what still works."""
        self._record((f.DeviceReported(device, working, sentence),))
        self._say(Say(sentence, Urgency.DUE))

    def _make(self, item: Due) -> Say | None:
        call = item.call
        if item.drop:
            self._record((f.CallDropped(call.key, "too late", round(item.late_s, 1)),))
            return None
        now_s = self._clock.now().elapsed_s
        try:
            sentence = call_sentence(item, self.plan, self.state, now_s)
        except Exception:  # noqa: BLE001
            # A call that comes due must be heard, and must not take the others with it.
            _log.exception("no sentence for %s", call.key)
            sentence = Say(
                f"{call.kind.value.capitalize()}: it is due; look at your plan.", call.urgency, Chime.DUE, call.key
            )
        facts: tuple[Fact, ...] = (f.CallMade(call.key, item.occurrence, round(item.late_s, 3)),)
        if call.kind is CallKind.QUESTION_DROPPED:
            facts = (*facts, f.QuestionClosed("no answer"))
        if call.kind is CallKind.INQUIRY_DROPPED:
            facts = (*facts, f.InquiryClosed("no answer"))
        elif self.state.inquiry is not None and overtakes_inquiry(call):
            # What is said next is meant for the call; it must not be taken for a value of the question.
            facts = (*facts, f.InquiryClosed("a call came"))
            sentence = replace(sentence, text=f"{sentence.text} {LEFT_FOR_A_CALL}")
        self._record(facts)
        return sentence

    def _tell_ear(self, now_s: float) -> None:
        wanted = listening(self.plan, self.state, now_s)
        if wanted != self._listening:
            self._listening = wanted
            self._listen(wanted)

    def _show_offer(self, facts: Sequence[Fact], now: Moment) -> None:
        """The whole of an offer, which no breath has room for, when it was made and when it is asked for."""
        given = next((fact for fact in facts if isinstance(fact, f.AdviceGiven)), None)
        if f.InformationAsked(Command.WHAT_ELSE.value) in facts:
            given = self.state.advice
        if given is not None and (table := offer_table(given, self.plan)):
            self._board.show(Shown("note", now, "What you can do, best first.", table))

    def _change_voice(self, facts: Sequence[Fact]) -> None:
        for fact in facts:
            if isinstance(fact, f.VoiceChanged):
                if fact.step == 0:
                    self._voice.silence()
                else:
                    self._voice.change_volume(fact.step)

    def _with_note_kept(self, facts: tuple[Fact, ...], utterance: Utterance, now: Moment) -> tuple[Fact, ...]:
        if utterance.audio is None:
            return facts
        sound = utterance.audio
        return tuple(
            replace(fact, sound_file=self._keep_note(sound, now)) if isinstance(fact, f.NoteTaken) else fact
            for fact in facts
        )

    def _with_answers(self, facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
        """What a question was answered stands in the book beside it."""
        return tuple(
            replace(fact, answer=answer_text(fact, self.plan)) if isinstance(fact, f.InquiryAnswered) else fact
            for fact in facts
        )

    def _say(self, sentence: Say) -> None:
        if not sentence.text:
            return
        self._last_said = sentence.text
        self._board.show(Shown("assistant", self._clock.now(), sentence.text))
        self._voice.say(sentence)

    # --- the journal

    def _record(self, facts: tuple[Fact, ...]) -> None:
        """Append, then fold. A journal that refuses is said loudly; the facts are kept and written later."""
        moment, turn = self._clock.now(), self.state.turn + 1
        before = self._history.recorded
        try:
            self._history.add(
                Recorded(len(before) + place + 1, moment, turn, fact) for place, fact in enumerate(facts)
            )
        except Exception:
            # A fact that cannot be folded must not get into the book: the day could not be opened again.
            self._history = History(self.plan, before)
            raise
        self._unwritten.append((facts, moment, turn))
        self._write()

    def _write(self) -> None:
        """Write what waits, oldest first. A refusal is warned of at once and then every minute until it is over."""
        was_refused = self._warned_s is not None
        while self._unwritten:
            try:
                self._journal.append(*self._unwritten[0])
            except JournalRefusal as refusal:
                self._warn(str(refusal))
                return
            del self._unwritten[0]
        if was_refused:
            self._warned_s = None
            self._say(Say("The journal is written again. Nothing is missing.", Urgency.DUE))

    def _warn(self, why: str) -> None:
        now_s = self._clock.now().elapsed_s
        if self._warned_s is None or now_s - self._warned_s >= _WARN_EVERY_S:
            self._warned_s = now_s
            text = f"Not saved. {why} I keep it in memory: do not switch off."
            self._say(Say(text, Urgency.SAFETY, Chime.SAFETY))

    def close(self) -> None:
        """Close alarm, voice and journal; what could not be written is shown."""
        self._write()
        if self._unwritten:
            lost = sum(len(facts) for facts, _, _ in self._unwritten)
            text = f"Not saved: the last {lost} entries of the book. Write them down from this screen."
            self._board.show(Shown("note", self._clock.now(), text))
        self._alarm.close()
        self._voice.close()
        self._journal.close()
