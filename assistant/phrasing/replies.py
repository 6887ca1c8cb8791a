"""What to answer to the facts of a turn. Every answer follows from facts that are in the journal already."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from assistant.day import facts as f
from assistant.day.calls import boil_items, wet_items
from assistant.day.due import coming
from assistant.day.facts import Fact, Stage
from assistant.day.plan import Plan
from assistant.day.state import CHILL_ON_KEY, State
from assistant.day.ways import WayKind
from assistant.messages import Moment, Say, Urgency
from assistant.phrasing import doubted, inquiry_dialogue, numbers, units
from assistant.phrasing.bitterness_words import bitterness_moved, late_words, make_up_taken
from assistant.phrasing.information import answer_to
from assistant.phrasing.names import call_name
from assistant.phrasing.questions import question_text
from assistant.phrasing.readbacks import advice_after, gravity_answer, temperature_answer, volume_answer
from assistant.phrasing.speakable import speakable


@dataclass(frozen=True, slots=True)
class Turn:
    """The facts of one turn with the state before and after it."""

    facts: Sequence[Fact]
    before: State
    after: State
    plan: Plan
    now: Moment
    last_said: str = ""

    def find(self, kind: type[Any]) -> Any:
        """The first fact of `kind`, or None."""
        return next((fact for fact in self.facts if isinstance(fact, kind)), None)


def replies(turn: Turn) -> tuple[Say, ...]:
    """The sentences that answer a turn, joined into as few breaths as make sense."""
    parts: list[str] = []
    for fact in turn.facts:
        maker = MAKERS.get(type(fact))
        text = maker(fact, turn) if maker is not None else ""
        if text and text not in parts:
            parts.append(text)
    parts.append(advice_after(turn.facts, turn.after, turn.plan, turn.now.elapsed_s, " ".join(parts)))
    if not any(parts):
        parts = [_not_understood(turn)]
    text = " ".join(part for part in parts if part)
    return (Say(text, Urgency.ANSWER),) if text else ()


def _not_understood(turn: Turn) -> str:
    """A turn that brought nothing but the hearing itself."""
    heard = turn.find(f.UtteranceHeard)
    if heard is None or heard.decision != "reject":
        return ""
    if turn.after.stage is Stage.SETTING_UP:
        return 'I did not get that. Say "start the day", or "help".'
    if heard.engine == "keyboard":
        return 'I did not get that, or it does not fit here. Say "help" for what does.'
    return "I did not get that. Say it again."


def _question(fact: f.QuestionAsked, turn: Turn) -> str:
    return question_text(fact)


def _inquiry_asked(fact: f.InquiryAsked, turn: Turn) -> str:
    return inquiry_dialogue.asked_text(fact)


def _question_closed(fact: f.QuestionClosed, turn: Turn) -> str:
    return {
        "no": "Not taken. Say the reading again.",
        "skip": "Skipped, not taken.",
        "overtaken": "The reading I asked about is not taken.",
        "not understood three times": "Not taken. Type it on the keyboard when a hand is dry.",
    }.get(fact.reason, "")


def _gravity_waiting(fact: f.GravityWaiting, turn: Turn) -> str:
    return f"{units.gravity(fact.instrument_sg, turn.plan).capitalize()}. Temperature of the sample?"


def _other(fact: f.OtherRead, turn: Turn) -> str:
    return f"{numbers.decimal_words(float(fact.value), 2).capitalize()} {fact.unit}, noted."


def _refused(fact: f.ReadingRefused, turn: Turn) -> str:
    return f"{fact.kind.capitalize()} not taken: {speakable(fact.why.rstrip('.'))}."


def _acknowledged(fact: f.CallAcknowledged, turn: Turn) -> str:
    if fact.key == CHILL_ON_KEY:
        return "Chill clock runs. Mind the hot outlet. Say a temperature now and then."
    if any(isinstance(item, f.ItemWet | f.StageReached | f.TemperatureRead) for item in turn.facts):
        return ""
    name = call_name(fact.key, turn.before, turn.plan)
    moved = turn.find(f.BitternessMoved)
    if moved is not None and fact.key.endswith(".now"):
        return f"{name.capitalize()} in{late_words(moved)}."
    if fact.key.endswith(".now"):
        return f"{name.capitalize()} in{_clock_note(turn)}. {_next_note(turn)}".strip()
    return f"{name.capitalize()}: done." if name else "Done."


def _clock_note(turn: Turn) -> str:
    boil = turn.after.boil
    if boil is None or turn.after.stage is not Stage.BOIL:
        return ""
    return f", at {numbers.clock_left_words(max(0.0, boil.left_s(turn.now.elapsed_s)))} left"


def _next_note(turn: Turn) -> str:
    """What comes next, unless there is something to say that matters more in this breath."""
    if turn.find(f.BitternessMoved) is not None:
        return ""
    ahead = [item for item in coming(turn.plan, turn.after, turn.now.elapsed_s) if item[1].needs_answer]
    if not ahead:
        return ""
    when, call = ahead[0]
    span = numbers.span_words(when - turn.now.elapsed_s)
    return f"Next: {call_name(call.key, turn.after, turn.plan)}, in {span}."


def _skipped(fact: f.CallSkipped, turn: Turn) -> str:
    return f"Skipped: {call_name(fact.key, turn.before, turn.plan)}."


def _dropped(fact: f.CallDropped, turn: Turn) -> str:
    """All that was let go for the same reason, in one breath."""
    alike = [item.key for item in turn.facts if isinstance(item, f.CallDropped) and item.why == fact.why]
    names = (call_name(key, turn.before, turn.plan) for key in alike)
    return f"{fact.why.capitalize()}: {', '.join(names)}."


def _wet(fact: f.ItemWet, turn: Turn) -> str:
    item = next(item for item in (*wet_items(turn.plan), *boil_items(turn.plan)) if item.name == fact.name)
    return f"{item.name.capitalize()}: {numbers.span_words(item.contact_s)} contact from now."


def _held(fact: f.BoilHeld, turn: Turn) -> str:
    boil = turn.after.boil
    left = "" if boil is None else f" at {numbers.clock_left_words(boil.left_s(turn.now.elapsed_s))}"
    return f'Held{left}. Say "carry on".'


def _resumed(fact: f.BoilResumed, turn: Turn) -> str:
    boil = turn.after.boil
    left = "" if boil is None else f", {numbers.clock_left_words(boil.left_s(turn.now.elapsed_s))}"
    return f"Going on{left}. {_next_note(turn)}".strip()


def _changed(fact: f.BoilChanged, turn: Turn) -> str:
    word = "more" if fact.minutes > 0 else "less"
    amount = numbers.span_words(abs(fact.minutes) * 60.0)
    boil = turn.after.boil
    if boil is None:
        return f"{amount.capitalize()} {word}: a boil of {numbers.span_words(turn.after.planned_boil_min * 60.0)}."
    left = numbers.clock_left_words(max(0.0, boil.left_s(turn.now.elapsed_s)))
    return f"{amount.capitalize()} {word}: {left} left. {_next_note(turn)}".strip()


def _withdrawn(fact: f.TurnWithdrawn, turn: Turn) -> str:
    if turn.after.stage is not turn.before.stage:
        return f"Gone. We are back at {turn.after.stage.value}."
    parts = [f"Gone{_what_went(turn)}."]
    stands = turn.after.in_stage(turn.after.gravities)
    if stands is not None and len(turn.after.gravities) != len(turn.before.gravities):
        parts.append(f"The last is {units.gravity(stands.fact.gravity_sg, turn.plan)}.")
    if turn.after.inquiry is not None and turn.before.inquiry is None:
        parts = ["Gone.", inquiry_dialogue.asked_text(turn.after.inquiry)]
    if turn.after.gravity_waiting is not None and turn.before.gravity_waiting is None:
        parts.append("Temperature of the sample?")
    return " ".join(parts)


def _what_went(turn: Turn) -> str:
    """What was taken back, by name: a brewer must hear that it was the right thing."""
    before, after, plan = turn.before, turn.after, turn.plan
    if len(after.gravities) < len(before.gravities):
        return f": {units.gravity(before.gravities[-1].fact.gravity_sg, plan)}"
    if len(after.volumes) < len(before.volumes):
        return f": {units.volume(before.volumes[-1].fact.volume_l, plan)}"
    if len(after.temperatures) < len(before.temperatures):
        return f": {units.temperature(before.temperatures[-1].fact.temperature_c, plan)}"
    opened = [
        key
        for key, record in before.calls.items()
        if record.closed and not (key in after.calls and after.calls[key].closed)
    ]
    name = call_name(opened[-1], after, plan) if opened else ""
    return f": {name} is open again" if name else ""


def _nothing_to_withdraw(fact: f.NothingToWithdraw, turn: Turn) -> str:
    return "Nothing young enough to take back. Say the right reading, the newest counts."


def _information(fact: f.InformationAsked, turn: Turn) -> str:
    return answer_to(fact.command, turn.after, turn.plan, turn.now, turn.last_said)


def _order_refused(fact: f.OrderRefused, turn: Turn) -> str:
    return fact.why


def _note(fact: f.NoteTaken, turn: Turn) -> str:
    return "Noted."


def _voice(fact: f.VoiceChanged, turn: Turn) -> str:
    return {1: "Louder.", -1: "Quieter."}.get(fact.step, "")


def _stage(fact: f.StageReached, turn: Turn) -> str:
    """Most stages begin with a call of their own; the boil and the mash say their clock."""
    if fact.stage is Stage.BOIL and turn.after.boil is not None:
        minutes = numbers.span_words(turn.after.boil.minutes * 60.0)
        return f"Boil clock: {minutes}. {_next_note(turn)}".strip()
    if turn.before.stage is Stage.BOIL and not _called(".knockout", turn.before):
        return "Flame off, pump off. The kettle stays scalding."
    if fact.stage is Stage.TRANSFER:
        return _still_warm(turn)
    if turn.before.stage in (Stage.CHILL, Stage.TRANSFER):
        return _contact_cut_short(turn)
    if fact.stage is Stage.MASH:
        rest = turn.plan.mash.rests[0]
        wanted = units.temperature(rest.temperature_c, turn.plan)
        return f"Mash clock: {numbers.span_words(rest.minutes * 60.0)} at {wanted}, {rest.name}."
    return ""


def _called(ending: str, state: State) -> bool:
    return any(key.endswith(ending) and record.occurrences > 0 for key, record in state.calls.items())


def _still_warm(turn: Turn) -> str:
    """Wort that is too warm cracks glass and kills yeast; both are known before it is let flow."""
    pitch_c, before = turn.plan.yeast.pitch_c, turn.before
    last = next((item for item in reversed(before.temperatures) if item.stage is before.stage), None)
    if last is None:
        return "I heard no temperature since the boil: measure before you transfer."
    warm, wanted = units.temperature(last.fact.temperature_c, turn.plan), units.temperature(pitch_c, turn.plan)
    if last.fact.temperature_c <= pitch_c + turn.plan.beer.temperature_tolerance_c:
        return f"Last heard {warm}, which did not fit: measure before you transfer." if last.set_aside else ""
    return f"Last heard {warm}, wanted {wanted}: hot wort cracks glass and kills yeast."


def _contact_cut_short(turn: Turn) -> str:
    """The wort is over: what touched it before its contact time was up is named, since nothing undoes that."""
    now_s, wet = turn.now.elapsed_s, turn.after.wet
    short = [item.name for item in turn.plan.sanitation if now_s < wet.get(item.name, now_s) + item.contact_s]
    return f"Less contact than planned: {', '.join(short)}. Watch this beer for infection." if short else ""


def _rest(fact: f.RestStarted, turn: Turn) -> str:
    if fact.index == 0:
        return ""
    rest = turn.plan.mash.rests[fact.index]
    return f"{rest.name.capitalize()}: {numbers.span_words(rest.minutes * 60.0)} from now."


def _chosen(fact: f.AdviceChosen, turn: Turn) -> str:
    asked = fact.in_full()
    if asked.water_l:
        return f"{units.volume(asked.water_l, turn.plan).capitalize()} of water at knockout. Boil it until then."
    return "Left as it is." if fact.kind == WayKind.LEAVE else ""


def _moved(fact: f.BitternessMoved, turn: Turn) -> str:
    return bitterness_moved(fact, turn.plan)


def _made_up(fact: f.MakeUpTaken, turn: Turn) -> str:
    return make_up_taken(fact, turn.after, turn.plan)


def _set_aside(fact: f.ReadingSetAside, turn: Turn) -> str:
    return doubted.set_aside(fact, turn.facts, turn.after, turn.plan, turn.now.elapsed_s)


def _reading(answer: Callable[..., str]) -> Callable[[Any, Turn], str]:
    """The answer to a reading; one that is set aside has its own, below."""
    return lambda fact, turn: (
        "" if doubted.is_set_aside(fact, turn.facts) else answer(fact, turn.after, turn.plan, turn.now.elapsed_s)
    )


MAKERS: Final[dict[type[Fact], Callable[[Any, Turn], str]]] = {
    f.QuestionAsked: _question,
    f.QuestionClosed: _question_closed,
    f.InquiryAsked: _inquiry_asked,
    f.InquiryAnswered: lambda fact, _: fact.answer,
    f.InquiryNotUnderstood: lambda fact, _: inquiry_dialogue.not_understood_text(fact),
    f.InquiryClosed: lambda fact, _: inquiry_dialogue.closed_text(fact),
    f.TemperatureRead: _reading(temperature_answer),
    f.GravityRead: _reading(gravity_answer),
    f.VolumeRead: _reading(volume_answer),
    f.GravityWaiting: _gravity_waiting,
    f.OtherRead: _other,
    f.ReadingRefused: _refused,
    f.ReadingSetAside: _set_aside,
    f.SetAsideConfirmed: lambda fact, turn: doubted.CONFIRMED,
    f.CallAcknowledged: _acknowledged,
    f.CallSkipped: _skipped,
    f.CallDropped: _dropped,
    f.ItemWet: _wet,
    f.BoilHeld: _held,
    f.BoilResumed: _resumed,
    f.BoilChanged: _changed,
    f.TurnWithdrawn: _withdrawn,
    f.NothingToWithdraw: _nothing_to_withdraw,
    f.InformationAsked: _information,
    f.OrderRefused: _order_refused,
    f.NoteTaken: _note,
    f.VoiceChanged: _voice,
    f.StageReached: _stage,
    f.RestStarted: _rest,
    f.AdviceChosen: _chosen,
    f.BitternessMoved: _moved,
    f.MakeUpTaken: _made_up,
    f.MakeUpLeft: lambda fact, turn: "Left as planned.",
}
