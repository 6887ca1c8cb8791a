"""What a call is: its kinds, its late policies, and the groups and lists that calls are about."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from assistant.day.plan import Addition, AdditionKind, AdditionTime, Plan, SanitationItem, Sanitised
from assistant.day.state import State
from assistant.messages import Chime, Urgency
from assistant.understanding.said import Command


class CallKind(StrEnum):
    """What a call is about; `phrasing.calls` has a sentence for each."""

    READY = "ready to begin"
    STRIKE = "strike water"
    MASH_CHECK = "mash temperature"
    REST_OVER = "rest over"
    RUN_OFF = "run-off"
    ADDITION_AHEAD = "addition ahead"
    ADDITION_NOW = "addition now"
    ASK_GRAVITY = "ask gravity"
    ASK_VOLUME = "ask volume"
    HEAT_UP = "heat to the boil"
    FOAM_WATCH = "foam watch"
    INTO_THE_BOIL = "sanitise in the boil"
    CONTACT_OVER = "contact time over"
    STILL_HELD = "boil clock still held"
    KNOCKOUT_AHEAD = "knockout ahead"
    KNOCKOUT = "knockout"
    STAND_COOL = "cool for the hop stand"
    STAND_OVER = "hop stand over"
    CHILL_ON = "chill on"
    WET_ITEM = "wet an item"
    ASK_TEMPERATURE = "ask temperature"
    CHILL_REACHED = "pitching temperature reached"
    TRANSFER_BLOCKED = "transfer blocked"
    TRANSFER = "transfer"
    ASK_ORIGINAL_GRAVITY = "ask original gravity"
    OXYGENATE = "oxygenate"
    PITCH = "pitch"
    HANDED_OVER = "handed over"
    CORRECTION = "correction to carry out"
    SAMPLE_TEMPERATURE = "ask sample temperature"
    QUESTION_AGAIN = "question again"
    QUESTION_DROPPED = "question dropped"
    INQUIRY_AGAIN = "inquiry again"
    INQUIRY_DROPPED = "inquiry dropped"


class LatePolicy(StrEnum):
    """What to do with a call that is later than its grace."""

    SAY_NOW = "say now"
    SAY_WITH_AGE = "say with its age"
    DROP = "drop"


@dataclass(frozen=True, slots=True)
class Call:
    """One call.

    due_s: time of the day; None while it cannot be known (clock held, stage not reached).
    grace_s: lateness that changes nothing. repeat_s: waits between repeats, the last one for ever;
    most: greatest number of times said, 0 for no limit. on_done: the order that "done" stands for.
    index: place of the group, item or rest it is about. of_the_boil: its time hangs on the boil clock.
    """

    key: str
    kind: CallKind
    due_s: float | None
    late: LatePolicy = LatePolicy.SAY_NOW
    grace_s: float = 30.0
    urgency: Urgency = Urgency.DUE
    chime: Chime = Chime.NONE
    needs_answer: bool = False
    repeat_s: tuple[float, ...] = ()
    most: int = 0
    on_done: Command | None = None
    index: int = -1
    of_the_boil: bool = False


@dataclass(frozen=True, slots=True)
class AdditionGroup:
    """Additions that go in at the same moment."""

    time: AdditionTime
    minutes: float | None
    temperature_c: float | None
    additions: tuple[Addition, ...]

    @property
    def has_hops(self) -> bool:
        """Whether the wort may rise when this goes in."""
        return any(addition.kind is AdditionKind.HOP for addition in self.additions)


def addition_groups(plan: Plan) -> tuple[AdditionGroup, ...]:
    """The plan's additions, those of one moment together, in the order in which they go in."""
    groups: dict[tuple[AdditionTime, float | None, float | None], list[Addition]] = {}
    for addition in plan.additions:
        groups.setdefault((addition.time, addition.minutes, addition.temperature_c), []).append(addition)
    return tuple(AdditionGroup(*moment, tuple(members)) for moment, members in groups.items())


def boil_items(plan: Plan) -> tuple[SanitationItem, ...]:
    """Things made safe in the boil, before knockout."""
    return tuple(item for item in plan.sanitation if item.how is Sanitised.IN_THE_BOIL)


def wet_items(plan: Plan) -> tuple[SanitationItem, ...]:
    """Things made safe with sanitiser or hot water, before the transfer."""
    return tuple(item for item in plan.sanitation if item.how is not Sanitised.IN_THE_BOIL)


def not_sanitised(plan: Plan, state: State) -> tuple[SanitationItem, ...]:
    """Things on the list that nobody said are wet, or were in the boil."""
    return tuple(item for item in plan.sanitation if item.name not in state.wet)
