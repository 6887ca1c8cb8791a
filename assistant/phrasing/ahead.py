"""All sentences of the calls of a day that the plan alone decides, so that they can be rendered early."""

from __future__ import annotations

from itertools import product
from types import MappingProxyType

from assistant.day.calls import Call, CallKind
from assistant.day.due import Due
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.state import BoilClock, State
from assistant.day.timetable import timetable
from assistant.phrasing.call_sentences import call_sentence

# Made from what happens on the day; they are rendered when they come.
_NOT_KNOWN_AHEAD = (CallKind.CORRECTION, CallKind.QUESTION_AGAIN, CallKind.INQUIRY_AGAIN, CallKind.TRANSFER_BLOCKED)


def all_texts(plan: Plan) -> tuple[str, ...]:
    """Every sentence that a call of this plan says in time, the first time and repeated, in order."""
    texts: dict[str, None] = {}
    wet = MappingProxyType({item.name: 0.0 for item in plan.sanitation})
    for stage, sanitised in product(Stage, (MappingProxyType[str, float]({}), wet)):
        state = State(
            stage=stage,
            planned_boil_min=plan.beer.boil_min,
            boil=BoilClock(0, plan.beer.boil_min, 0.0),
            rest_since_s=0.0,
            chill_on_s=0.0,
            wet=sanitised,
        )
        for call in timetable(plan, state):
            if call.kind not in _NOT_KNOWN_AHEAD:
                texts.update(dict.fromkeys(_texts(call, plan, state)))
        for index in range(len(plan.mash.rests) if stage is Stage.MASH else 0):
            over = Call(f"rest.{index}.over", CallKind.REST_OVER, 0.0, index=index)
            texts.update(dict.fromkeys(_texts(over, plan, state)))
    return tuple(texts)


def _texts(call: Call, plan: Plan, state: State) -> tuple[str, ...]:
    occurrences = (1, 2) if call.repeat_s else (1,)
    return tuple(call_sentence(Due(call, count, 0.0), plan, state, 0.0).text for count in occurrences)
