"""What follows from something said: a pure function (verdict, state, plan, now) -> facts.

Every turn begins with `UtteranceHeard`, so the journal tells what was heard and what was made of it. An order
that makes no sense now becomes `OrderRefused` with a sentence; nothing is ever silently ignored except sound
that was most likely not meant for us, which brings no facts at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Final

from assistant.day import advice, inquiring, learning
from assistant.day import facts as f
from assistant.day.bitterness_moves import moved
from assistant.day.calls import Call, CallKind, addition_groups, boil_items, wet_items
from assistant.day.doubts import doubts
from assistant.day.due import waiting_for_answer
from assistant.day.facts import Fact, Stage
from assistant.day.orders import carry_out
from assistant.day.plan import Plan
from assistant.day.readings import said_text, take, to_be_read_again
from assistant.day.state import State, step
from assistant.day.targets import candidates_of
from assistant.messages import Moment, Utterance
from assistant.quantities import Unit
from assistant.understanding.rivals import digits_apart
from assistant.understanding.said import (
    Accept,
    Ask,
    Asked,
    Command,
    Digits,
    Doubt,
    Kind,
    Named,
    NotUnderstood,
    Order,
    OutOfLimits,
    Reading,
    Readings,
    Reject,
    Verdict,
)

# Asked this often, a question is handed to the keyboard and dropped.
MOST_QUESTIONS: Final = 3


def decide(verdict: Verdict, utterance: Utterance, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    """The facts of one turn; empty when what was heard was most likely not meant for us."""
    facts = _facts(verdict, utterance, state, plan, now)
    if any(isinstance(fact, f.StageReached) and fact.stage is Stage.FERMENTING for fact in facts):
        learnt = learning.of_day(plan, _after(facts, state, plan, now))
        return facts if learnt is None else (*facts, learnt)
    return facts


def _facts(verdict: Verdict, utterance: Utterance, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    match verdict:
        case Reject(silent=True):
            return ()
        case Reject():
            return (_heard(utterance, "reject", verdict.confidence, verdict.doubt), *_unheard(state, verdict))
        case Ask():
            return (_heard(utterance, "ask", verdict.confidence, verdict.doubt), *_ask(verdict, state))
        case Accept():
            facts = _accepted(verdict, state, plan, now)
            return (_heard(utterance, "accept", verdict.confidence), *facts, *moved(plan, state, facts, now))


def _heard(utterance: Utterance, decision: str, confidence: float, doubt: Doubt | None = None) -> f.UtteranceHeard:
    return f.UtteranceHeard(
        words=utterance.best.text,
        decision=decision,
        confidence=round(confidence, 4),
        engine=utterance.engine,
        doubt="" if doubt is None else doubt.value,
        noise_dbfs=utterance.noise_dbfs,
        speech_dbfs=utterance.speech_dbfs,
    )


def _unheard(state: State, verdict: Reject) -> tuple[Fact, ...]:
    """Not understood while a question is pending: the question is put again, another way, or dropped."""
    if state.inquiry is not None:
        return inquiring.not_heard(state.inquiry)
    if state.question is None:
        return ()
    return _again(state.question, verdict.doubt)


def _again(question: f.QuestionAsked, doubt: Doubt) -> tuple[Fact, ...]:
    if question.times >= MOST_QUESTIONS:
        return (f.QuestionClosed("not understood three times"),)
    return (replace(question, times=question.times + 1, doubt=doubt.value),)


def _ask(verdict: Ask, state: State) -> tuple[Fact, ...]:
    first, pending = verdict.candidates[0], state.question
    if pending is not None and pending.kind != first.kind.value:
        return (f.QuestionClosed("overtaken"), *_ask(verdict, replace(state, question=None)))
    times = 1 if pending is None else pending.times + 1
    if times > MOST_QUESTIONS:
        return (f.QuestionClosed("not understood three times"),)
    return (
        f.QuestionAsked(
            kind=first.kind.value,
            unit=first.unit.value,
            candidates=tuple(str(item.value) for item in verdict.candidates),
            doubt=verdict.doubt.value,
            times=times,
            words=first.words,
            waiting=tuple((item.kind.value, str(item.value), item.unit.value) for item in verdict.others),
        ),
    )


def _accepted(verdict: Accept, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    match verdict.said:
        case Readings(readings):
            return _read(readings, state, plan, now)
        case OutOfLimits(reading):
            return (f.ReadingRefused(reading.kind.value, said_text(reading), verdict.said.why),)
        case Digits(digits):
            return _answer_digits(digits, state, plan, now)
        case Named(name):
            return _name(name, state, plan)
        case Asked():
            return inquiring.ask(verdict.said, state)
        case Order():
            return _order(verdict.said, state, plan, now)
        case NotUnderstood(words):
            return (f.OrderRefused(words, "I do not know those words."),)


def _order(order: Order, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    asked = inquiring.order(order.command, state)
    if asked is not None:
        return asked
    if state.question is not None:
        candidates = candidates_of(state.question)
        if order.command is Command.YES and len(candidates) == 1:
            return _settle(candidates[0], state, plan, now)
        if order.command is Command.NO:
            return (f.QuestionClosed("no"),)
        if order.command in (Command.SKIP, Command.SCRATCH_THAT):
            return (f.QuestionClosed("skip"),)
    return carry_out(order, state, plan, now)


def _read(readings: tuple[Reading, ...], state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    """Readings taken as said. One that answers the pending question brings along what waited with it.

    A reading of another kind leaves the question open.
    """
    facts: list[Fact] = []
    waiting: tuple[Reading, ...] = ()
    if state.question is not None and any(item.kind.value == state.question.kind for item in readings):
        facts.append(f.QuestionClosed("answered"))
        said = {item.kind for item in readings}
        waiting = tuple(item for item in _waiting(state.question) if item.kind not in said)
    taken = take((*readings, *waiting), plan, state)
    return (*facts, *taken, *_consequences(taken, state, plan, now))


def _consequences(taken: list[Fact], state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    """Doubt of what does not fit; advice, when the forecast misses; calls that a temperature fulfils."""
    after = _after(taken, state, plan, now)
    more: list[Fact] = list(doubts(taken, after, plan))
    doubtful = any(isinstance(fact, f.ReadingSetAside) for fact in more)
    # It is to be read again first: nothing is weighed out or boiled longer on the strength of the rest.
    if not doubtful and any(isinstance(fact, f.GravityRead | f.VolumeRead) for fact in taken):
        found = advice.options(plan, after, now.elapsed_s)
        if found is not None and not any(to_be_read_again(fact) for fact in taken):
            more.append(advice.as_fact(found))
    for fact in taken:
        if isinstance(fact, f.TemperatureRead) and state.stage is Stage.HOP_STAND:
            more.extend(_cool_enough(fact.temperature_c, state, plan))
    return tuple(more)


def _after(facts: Sequence[Fact], state: State, plan: Plan, now: Moment) -> State:
    """The state that these facts will bring."""
    for fact in facts:
        state = step(state, f.Recorded(0, now, state.turn + 1, fact), plan)
    return state


def _cool_enough(temperature_c: float, state: State, plan: Plan) -> list[Fact]:
    for call in waiting_for_answer(plan, state):
        if call.kind is CallKind.STAND_COOL:
            wanted_c = stand_temperature_c(plan, call)
            if temperature_c <= wanted_c + plan.beer.temperature_tolerance_c:
                return [f.CallAcknowledged(call.key)]
    return []


def stand_temperature_c(plan: Plan, call: Call) -> float:
    """The temperature [°C] of the hop stand that `call` is about."""
    return addition_groups(plan)[call.index].temperature_c or plan.rig.boiling_point_c


def _waiting(question: f.QuestionAsked) -> tuple[Reading, ...]:
    return tuple(Reading(Kind(kind), Decimal(value), Unit(unit), "") for kind, value, unit in question.waiting)


def _settle(reading: Reading, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    return _read((reading,), state, plan, now)


def _answer_digits(digits: str, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    """Digits answer the pending question when exactly one candidate has them."""
    if state.question is None:
        return (f.OrderRefused(digits, "Nothing was asked."),)
    candidates = candidates_of(state.question)
    apart = digits_apart(candidates[0], candidates[1]) if len(candidates) > 1 else None
    fitting = [
        reading
        for position, reading in enumerate(candidates)
        if (apart is not None and position < 2 and digits == apart[position])
        or digits == str(reading.value).replace(".", "")
    ]
    if len(fitting) == 1:
        return _settle(fitting[0], state, plan, now)
    return _again(state.question, Doubt.CLOSE_CALL)


def _name(name: str, state: State, plan: Plan) -> tuple[Fact, ...]:
    """A thing on the sanitation list was named: it is wet now, and its call is answered."""
    for call in waiting_for_answer(plan, state):
        items = {CallKind.WET_ITEM: wet_items(plan), CallKind.INTO_THE_BOIL: boil_items(plan)}.get(call.kind)
        if items is not None and items[call.index].name == name:
            return (f.ItemWet(name), f.CallAcknowledged(call.key))
    if state.stage is Stage.BOIL and name not in {item.name for item in boil_items(plan)}:
        return (f.OrderRefused(name, "That is for after knockout."),)
    return (f.ItemWet(name),)
