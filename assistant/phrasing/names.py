"""Short names of calls, for answers such as "Next: twenty-minute hops"."""

from __future__ import annotations

from typing import Final

from assistant.day.calls import CallKind, addition_groups, boil_items, wet_items
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.day.timetable import timetable
from assistant.phrasing import units

_NAMES: Final[dict[CallKind, str]] = {
    CallKind.READY: "begin",
    CallKind.STRIKE: "strike water",
    CallKind.MASH_CHECK: "mash temperature",
    CallKind.RUN_OFF: "run-off",
    CallKind.ASK_GRAVITY: "gravity",
    CallKind.ASK_VOLUME: "volume",
    CallKind.HEAT_UP: "heating",
    CallKind.FOAM_WATCH: "foam watch",
    CallKind.STILL_HELD: "boil clock",
    CallKind.KNOCKOUT_AHEAD: "knockout",
    CallKind.KNOCKOUT: "knockout",
    CallKind.STAND_COOL: "hop stand",
    CallKind.STAND_OVER: "end of the hop stand",
    CallKind.CHILL_ON: "cooling water",
    CallKind.ASK_TEMPERATURE: "temperature",
    CallKind.CHILL_REACHED: "chill",
    CallKind.TRANSFER_BLOCKED: "transfer",
    CallKind.TRANSFER: "transfer",
    CallKind.ASK_ORIGINAL_GRAVITY: "original gravity",
    CallKind.OXYGENATE: "oxygen",
    CallKind.PITCH: "pitching",
    CallKind.HANDED_OVER: "end of the day",
    CallKind.CORRECTION: "correction",
    CallKind.SAMPLE_TEMPERATURE: "sample temperature",
    CallKind.QUESTION_AGAIN: "question",
    CallKind.QUESTION_DROPPED: "question",
    CallKind.INQUIRY_AGAIN: "question",
    CallKind.INQUIRY_DROPPED: "question",
}


def call_name(key: str, state: State, plan: Plan) -> str:
    """The short name of the call `key`; empty when the timetable of `state` does not know it."""
    call = next((item for item in timetable(plan, state) if item.key == key), None)
    if call is None:
        return ""
    match call.kind:
        case CallKind.ADDITION_AHEAD | CallKind.ADDITION_NOW:
            return units.group_name(addition_groups(plan)[call.index])
        case CallKind.REST_OVER:
            return plan.mash.rests[call.index].name
        case CallKind.INTO_THE_BOIL:
            return f"{boil_items(plan)[call.index].name} into the boil"
        case CallKind.WET_ITEM | CallKind.CONTACT_OVER:
            return wet_items(plan)[call.index].name
        case _:
            return _NAMES[call.kind]
