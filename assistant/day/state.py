"""The state of a day: a fold of its facts, and nothing else.

`History` keeps the facts and the state that follows from them. Taking a turn back removes that turn's
facts from the fold; the facts themselves stay in the journal.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final, Generic, TypeVar

from assistant.day import facts as f
from assistant.day.facts import Fact, Recorded, Stage
from assistant.day.plan import Plan
from assistant.understanding.said import Command

# The call whose acknowledgement starts the chill clock.
CHILL_ON_KEY: Final = "chill.on"
# How the keys of calls begin that a chosen correction brings.
CORRECTION_KEY: Final = "correction"
# How the key of a second call ends, where water follows solids.
WATER_TOO: Final = ".water"

ReadFact = TypeVar("ReadFact", bound=Fact)

# An offer of hops is answered at once or not at all.
OFFER_STANDS_S: Final = 60.0
# "Scratch that" reaches back this far; an older turn may have been built upon. Common practice, no source.
WITHDRAWAL_WINDOW_S: Final = 180.0


@dataclass(frozen=True, slots=True)
class BoilClock:
    """The boil clock. `number` tells one start from another after a start was withdrawn.

    holds: the stretches [s of the day] in which it stood, without the present one.
    """

    number: int
    minutes: float
    started_s: float
    held_since_s: float | None = None
    holds: tuple[tuple[float, float], ...] = ()

    @property
    def held_total_s(self) -> float:
        """Seconds in which it stood, without the present stretch."""
        return sum(until_s - from_s for from_s, until_s in self.holds)

    def left_s(self, now_s: float) -> float:
        """Seconds left to knockout; negative when it has passed."""
        until = now_s if self.held_since_s is None else self.held_since_s
        return self.minutes * 60.0 - (until - self.started_s - self.held_total_s)

    def when_left(self, left_s: float) -> float | None:
        """The time of the day at which `left_s` will be left; None while the clock is held."""
        if self.held_since_s is not None:
            return None
        return self.started_s + self.held_total_s + self.minutes * 60.0 - left_s


@dataclass(frozen=True, slots=True)
class CallRecord:
    """What became of a call so far. `closed` is done, skipped or dropped; empty while it is open."""

    occurrences: int
    first_made_s: float
    last_made_s: float
    spoken: bool = False
    closed: str = ""
    closed_s: float | None = None


@dataclass(frozen=True, slots=True)
class Taken(Generic[ReadFact]):
    """A reading that stands, with when, in which turn, in which stage and after how much boil it was taken.

    set_aside: it did not fit what came before; it is kept, and nothing is built upon it.
    """

    fact: ReadFact
    at_s: float
    turn: int
    stage: Stage
    boiled_min: float = 0.0
    set_aside: bool = False


@dataclass(frozen=True, slots=True)
class State:
    """Everything that the day's decisions depend on."""

    stage: Stage = Stage.SETTING_UP
    stage_since_s: float = 0.0
    planned_boil_min: float = 0.0
    boil: BoilClock | None = None
    knockout_s: float | None = None
    chill_on_s: float | None = None
    rest_index: int = 0
    rest_since_s: float | None = None
    temperatures: tuple[Taken[f.TemperatureRead], ...] = ()
    gravities: tuple[Taken[f.GravityRead], ...] = ()
    volumes: tuple[Taken[f.VolumeRead], ...] = ()
    gravity_waiting: f.GravityWaiting | None = None
    gravity_waiting_s: float = 0.0
    question: f.QuestionAsked | None = None
    question_since_s: float = 0.0
    question_turn: int = 0
    inquiry: f.InquiryAsked | None = None
    inquiry_since_s: float = 0.0
    inquiry_turn: int = 0
    advice: f.AdviceGiven | None = None
    chosen: Taken[f.AdviceChosen] | None = None
    carried_out: tuple[Taken[f.AdviceChosen], ...] = ()
    """Corrections that the brewer said are done, with when they were."""
    rig: f.RigKnown | None = None
    calls: MappingProxyType[str, CallRecord] = field(default_factory=lambda: MappingProxyType({}))
    wet: MappingProxyType[str, float] = field(default_factory=lambda: MappingProxyType({}))
    make_up: f.BitternessMoved | None = None
    """The last offer of hops to make up for bitterness; `make_up_since_s` tells how old it is."""
    make_up_since_s: float = 0.0
    made_up_kg: MappingProxyType[int, float] = field(default_factory=lambda: MappingProxyType({}))
    """Hops agreed beyond the plan's, by the place of their addition in the plan; negative where fewer."""
    asked: str = ""
    """The order of the question that was answered last, for whoever asks why; empty after a reading."""
    turn: int = 0
    last_s: float = 0.0
    undoable: tuple[tuple[int, float], ...] = ()
    """Turns that may be taken back, as (turn, when), youngest last."""

    def open_make_up(self, now_s: float) -> f.BitternessMoved | None:
        """The offer of hops that "yes" or "no" answers now; None where none is open."""
        offer = self.make_up
        if offer is None or offer.mass_kg == 0.0 or self.question is not None:
            return None
        return offer if now_s - self.make_up_since_s <= OFFER_STANDS_S else None

    def in_stage(self, taken: tuple[Taken[ReadFact], ...]) -> Taken[ReadFact] | None:
        """The youngest of `taken` that belongs to the present stage and was not set aside."""
        return next((item for item in reversed(taken) if item.stage is self.stage and not item.set_aside), None)


# Facts whose turn can be taken back. A question or an answer to "how long" leaves nothing to take back; the answer
# to a question about the physics does: its last value is asked for again, and the reading before it stays.
_UNDOABLE: Final = (
    f.StageReached,
    f.TemperatureRead,
    f.GravityRead,
    f.GravityWaiting,
    f.VolumeRead,
    f.OtherRead,
    f.AdviceChosen,
    f.CallAcknowledged,
    f.CallSkipped,
    f.BoilStarted,
    f.BoilHeld,
    f.BoilResumed,
    f.BoilChanged,
    f.RestStarted,
    f.ItemWet,
    f.NoteTaken,
    f.MakeUpTaken,
    f.InquiryAnswered,
)


# Questions about the last answer, which leave it the last answer.
_ABOUT_AN_ANSWER: Final = frozenset({Command.WHY.value, Command.SAY_AGAIN.value})


def _with_call(state: State, key: str, record: CallRecord) -> State:
    return replace(state, calls=MappingProxyType({**state.calls, key: record}))


def _close_call(state: State, key: str, how: str, at_s: float) -> State:
    record = state.calls.get(key, CallRecord(0, at_s, at_s))
    return _with_call(state, key, replace(record, closed=how, closed_s=at_s))


def step(state: State, recorded: Recorded, plan: Plan) -> State:
    """The state after one more fact. Pure; facts that do not concern the state leave it as it is."""
    at_s, turn, fact = recorded.moment.elapsed_s, recorded.turn, recorded.fact
    state = replace(state, turn=max(state.turn, turn), last_s=max(state.last_s, at_s))
    if isinstance(fact, _UNDOABLE) and (not state.undoable or state.undoable[-1][0] != turn):
        state = replace(state, undoable=(*state.undoable[-20:], (turn, at_s)))
    match fact:
        case f.DayBegun() | f.RigKnown():
            return _begin(state, fact, at_s, plan)
        case f.StageReached():
            return _enter(state, fact.stage, at_s)
        case f.CallMade() | f.CallSpoken() | f.CallAcknowledged() | f.CallSkipped() | f.CallDropped():
            return _step_call(state, fact, at_s)
        case f.BoilStarted() | f.BoilHeld() | f.BoilResumed() | f.BoilChanged():
            return _step_boil(state, fact, at_s, recorded.number)
        case f.RestStarted():
            return replace(state, rest_index=fact.index, rest_since_s=at_s)
        case f.ItemWet():
            return replace(state, wet=MappingProxyType({**state.wet, fact.name: at_s}))
        case f.QuestionAsked():
            return replace(state, question=fact, question_since_s=at_s, question_turn=turn)
        case f.QuestionClosed():
            return replace(state, question=None)
        case f.InquiryAsked() | f.InquiryAnswered() | f.InquiryClosed():
            asked = fact if isinstance(fact, f.InquiryAsked) else None
            return replace(state, inquiry=asked, inquiry_since_s=at_s, inquiry_turn=turn)
        case f.AdviceGiven() | f.AdviceChosen():
            return _step_advice(state, fact, at_s, turn)
        case _:
            return _step_reading(_step_talk(state, fact, at_s), fact, at_s, turn)


def _begin(state: State, fact: f.DayBegun | f.RigKnown, at_s: float, plan: Plan) -> State:
    if isinstance(fact, f.RigKnown):
        return replace(state, rig=fact)
    return replace(state, planned_boil_min=plan.beer.boil_min, stage_since_s=at_s)


def _enter(state: State, stage: Stage, at_s: float) -> State:
    entered = replace(
        state,
        stage=stage,
        stage_since_s=at_s,
        gravity_waiting=None,
        question=None,
        inquiry=None,
        advice=None,
        rest_since_s=None,
    )
    if stage in (Stage.HOP_STAND, Stage.CHILL) and entered.knockout_s is None:
        entered = replace(entered, knockout_s=at_s)
    return entered


def _step_advice(state: State, fact: f.AdviceGiven | f.AdviceChosen, at_s: float, turn: int) -> State:
    if isinstance(fact, f.AdviceGiven):
        return replace(state, advice=fact)
    return replace(state, advice=None, chosen=Taken(fact.in_full(), at_s, turn, state.stage))


def _step_call(state: State, fact: Fact, at_s: float) -> State:
    match fact:
        case f.CallMade(key, occurrence):
            old = state.calls.get(key)
            first = at_s if old is None or old.occurrences == 0 else old.first_made_s
            return _with_call(state, key, CallRecord(occurrence, first, at_s))
        case f.CallSpoken(key) if key in state.calls:
            return _with_call(state, key, replace(state.calls[key], spoken=True))
        case f.CallAcknowledged(key):
            return _acknowledged(_close_call(state, key, "done", at_s), key, at_s)
        case f.CallSkipped(key):
            return _close_call(state, key, "skipped", at_s)
        case f.CallDropped(key):
            return _close_call(state, key, "dropped", at_s)
    return state


def _step_talk(state: State, fact: Fact, at_s: float) -> State:
    """What was asked last, and what of the hops was offered and agreed."""
    match fact:
        case f.InformationAsked(command) if command not in _ABOUT_AN_ANSWER:
            return replace(state, asked=command)
        case f.TemperatureRead() | f.GravityRead() | f.VolumeRead():
            return replace(state, asked="")
        case f.BitternessMoved():
            return replace(state, make_up=fact, make_up_since_s=at_s, asked=Command.HOW_BITTER.value)
        case f.MakeUpTaken(addition, mass_kg):
            more = {addition: state.made_up_kg.get(addition, 0.0) + mass_kg}
            return replace(state, make_up=None, made_up_kg=MappingProxyType({**state.made_up_kg, **more}))
        case f.MakeUpLeft():
            return replace(state, make_up=None)
    return state


def _acknowledged(state: State, key: str, at_s: float) -> State:
    """What a call that is done means beyond itself."""
    if key == CHILL_ON_KEY:
        return replace(state, chill_on_s=at_s)
    if state.chosen is not None and (done := _carried_out(state.chosen, key)) is not None:
        return replace(
            state, carried_out=(*state.carried_out, replace(state.chosen, fact=done, at_s=at_s, turn=state.turn))
        )
    return state


def _carried_out(chosen: Taken[f.AdviceChosen], key: str) -> f.AdviceChosen | None:
    """That part of a chosen correction which the call `key` was about; None where it was about none."""
    fact, first = chosen.fact, f"{CORRECTION_KEY}.{chosen.turn}"
    solids = fact.extract_kg or fact.sugar_kg
    if key == first:
        return replace(fact, water_l=0.0) if solids else fact
    return replace(fact, extract_kg=0.0, sugar_kg=0.0) if key == f"{first}{WATER_TOO}" else None


def _step_boil(state: State, fact: Fact, at_s: float, number: int) -> State:
    boil = state.boil
    match fact:
        case f.BoilStarted(minutes):
            return replace(state, boil=BoilClock(number, minutes, at_s))
        case f.BoilChanged(minutes) if boil is None:
            return replace(state, planned_boil_min=max(1.0, state.planned_boil_min + minutes))
        case f.BoilChanged(minutes) if boil is not None:
            return replace(state, boil=replace(boil, minutes=boil.minutes + minutes))
        case f.BoilHeld() if boil is not None and boil.held_since_s is None:
            return replace(state, boil=replace(boil, held_since_s=at_s))
        case f.BoilResumed() if boil is not None and boil.held_since_s is not None:
            holds = (*boil.holds, (boil.held_since_s, at_s))
            return replace(state, boil=replace(boil, held_since_s=None, holds=holds))
    return state


def _step_reading(state: State, fact: Fact, at_s: float, turn: int) -> State:
    boil = state.boil
    boiled_min = 0.0 if boil is None else max(0.0, boil.minutes - boil.left_s(at_s) / 60.0)
    match fact:
        case f.TemperatureRead():
            taken = Taken(fact, at_s, turn, state.stage, boiled_min)
            return replace(state, temperatures=(*state.temperatures, taken))
        case f.GravityRead():
            gravity = Taken(fact, at_s, turn, state.stage, boiled_min)
            return replace(state, gravities=(*state.gravities, gravity), gravity_waiting=None, advice=None)
        case f.GravityWaiting():
            return replace(state, gravity_waiting=fact, gravity_waiting_s=at_s)
        case f.VolumeRead():
            volume = Taken(fact, at_s, turn, state.stage, boiled_min)
            return replace(state, volumes=(*state.volumes, volume), advice=None)
        case f.ReadingSetAside():
            return _set_aside(state, fact.kind)
    return state


def _set_aside(state: State, kind: str) -> State:
    """The last reading of `kind`, marked as one that nothing is built upon."""
    match kind:
        case "gravity" if state.gravities:
            return replace(state, gravities=(*state.gravities[:-1], replace(state.gravities[-1], set_aside=True)))
        case "volume" if state.volumes:
            return replace(state, volumes=(*state.volumes[:-1], replace(state.volumes[-1], set_aside=True)))
        case "temperature" if state.temperatures:
            last = replace(state.temperatures[-1], set_aside=True)
            return replace(state, temperatures=(*state.temperatures[:-1], last))
    return state


def fold(recorded: Iterable[Recorded], plan: Plan) -> State:
    """The state that follows from all facts, those of withdrawn turns left out."""
    return History(plan, recorded).state


class History:
    """The facts of a day and the state that follows from them; grows by `add`."""

    def __init__(self, plan: Plan, recorded: Iterable[Recorded] = ()) -> None:
        """Fold `recorded` for `plan`."""
        self._plan = plan
        self._recorded: list[Recorded] = []
        self._withdrawn: set[int] = set()
        self.state = State(planned_boil_min=plan.beer.boil_min)
        self.add(recorded)

    def add(self, recorded: Iterable[Recorded]) -> State:
        """Take more facts and return the state after them."""
        for item in recorded:
            self._recorded.append(item)
            if isinstance(item.fact, f.TurnWithdrawn):
                self._withdrawn.add(item.fact.turn)
                self.state = self._refold()
            else:
                self.state = step(self.state, item, self._plan)
        return self.state

    def _refold(self) -> State:
        state = State(planned_boil_min=self._plan.beer.boil_min)
        for item in self._recorded:
            if item.turn not in self._withdrawn:
                state = step(state, item, self._plan)
        last = self._recorded[-1]
        now_s = last.moment.elapsed_s
        # What is asked for again by taking its answer back has just been asked for.
        if state.gravity_waiting is not None:
            state = replace(state, gravity_waiting_s=now_s)
        if state.inquiry is not None:
            state = replace(state, inquiry_since_s=now_s, inquiry_turn=last.turn)
        return replace(state, turn=max(state.turn, last.turn), last_s=now_s)

    @property
    def recorded(self) -> tuple[Recorded, ...]:
        """All facts, withdrawn ones included, in order."""
        return tuple(self._recorded)

    def of_turn(self, turn: int) -> tuple[Fact, ...]:
        """The facts that one turn brought."""
        return tuple(item.fact for item in self._recorded if item.turn == turn)
