"""A question of the brewer about the physics, one step after the other: what follows from what was said.

Nothing here touches the day: the only thing that changes is the record of the open question.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from assistant.day import facts as f
from assistant.day.calls import Call, CallKind
from assistant.day.facts import Fact
from assistant.day.state import State
from assistant.messages import Urgency
from assistant.understanding.inquiries import missing
from assistant.understanding.inquiry_steps import may_end, one_more
from assistant.understanding.inquiry_topics import TOPIC
from assistant.understanding.said import Asked, Asking, Command

# Asked this often, a question is left.
MOST_TIMES: Final = 3
_LEAVING: Final = (Command.NEVER_MIND, Command.SKIP)


def asking(state: State) -> Asking | None:
    """What the ear is to listen for while a question is open."""
    if state.inquiry is None:
        return None
    return Asking(state.inquiry.topic, state.inquiry.slot, tuple(name for name, _, _ in state.inquiry.given))


def ask(said: Asked, state: State) -> tuple[Fact, ...]:
    """Go on with the open question, or with a new one: ask for what is missing, or answer."""
    if said.unclear or said.unknown:
        return (f.InquiryNotUnderstood(said.topic, said.unclear, said.unknown),)
    old = state.inquiry
    given = {name: (value, unit) for name, value, unit in old.given} if old and old.topic == said.topic else {}
    # A value that is said again counts as said last, so that "scratch that" takes it back first.
    for name, value, unit in said.given:
        given.pop(name, None)
        given[name] = value, unit
    known = tuple((name, *value) for name, value in given.items())
    topic = TOPIC[said.topic]
    lacking = missing(topic, given)
    if topic.repeated and old is not None and not lacking:
        # Whoever gives values one by one says "done" behind the last group.
        lacking = (one_more(topic, given),)
    return (f.InquiryAsked(said.topic, known, lacking[0]) if lacking else f.InquiryAnswered(said.topic, known),)


def order(command: Command, state: State) -> tuple[Fact, ...] | None:
    """What an order means to questions; None where it has nothing to do with them."""
    if command is Command.QUESTION:
        return (f.InquiryAsked(),)
    if state.inquiry is None:
        return None
    if command in _LEAVING:
        return (f.InquiryClosed("never mind"),)
    now = asking(state)
    if command is Command.DONE and now is not None and may_end(now):
        return (f.InquiryAnswered(state.inquiry.topic, state.inquiry.given),)
    if command is Command.SCRATCH_THAT:
        return _one_back(state.inquiry)
    return None


def _one_back(inquiry: f.InquiryAsked) -> tuple[Fact, ...]:
    """The value that was said last is asked for again, before it the topic."""
    if not inquiry.topic:
        return (f.InquiryClosed("never mind"),)
    if not inquiry.given:
        return (f.InquiryAsked(),)
    known = inquiry.given[:-1]
    return (f.InquiryAsked(inquiry.topic, known, inquiry.given[-1][0]),)


def overtakes_inquiry(call: Call) -> bool:
    """Whether a call that is made ends the open question; notices and the question's own calls do not."""
    own = call.kind in (CallKind.INQUIRY_AGAIN, CallKind.INQUIRY_DROPPED)
    return not own and call.urgency < Urgency.NOTICE


def not_heard(inquiry: f.InquiryAsked) -> tuple[Fact, ...]:
    """What was said is no answer: it is asked for again, another way, or the question is left."""
    if inquiry.times >= MOST_TIMES:
        return (f.InquiryClosed("not understood three times"),)
    return (replace(inquiry, times=inquiry.times + 1),)
