"""What follows from an order: one small function for each kind of order."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from assistant.day import facts as f
from assistant.day.advice import chosen_way
from assistant.day.calls import Call, CallKind, boil_items, not_sanitised, wet_items
from assistant.day.due import waiting_for_answer
from assistant.day.facts import Fact, Stage
from assistant.day.plan import Plan
from assistant.day.state import CHILL_ON_KEY, WITHDRAWAL_WINDOW_S, State
from assistant.day.targets import CHOICES
from assistant.day.timetable import FIRST_WORT, timetable
from assistant.day.transitions import MOVES, WAY_ON, order_of, target_of
from assistant.messages import Moment
from assistant.understanding.phrases import taught_phrase
from assistant.understanding.said import Command, Kind, Order

_INFORMATION: Final = frozenset(
    {
        Command.WHAT_NEXT,
        Command.HOW_LONG,
        Command.HOW_BITTER,
        Command.WHERE_ARE_WE,
        Command.WHAT_ELSE,
        Command.SAY_AGAIN,
        Command.WHY,
        Command.HELP,
        Command.SOUND_CHECK,
    }
)
_VOICE_STEPS: Final = {Command.LOUDER: 1, Command.QUIETER: -1, Command.QUIET: 0}
_CHOICES: Final = {command: kind.value for kind, command in CHOICES.items()}


def carry_out(order: Order, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    """The facts that `order` brings in `state`; one `OrderRefused` where it makes no sense now."""
    command = order.command
    if command in _INFORMATION:
        return (f.InformationAsked(command.value),)
    if command in _VOICE_STEPS:
        return (f.VoiceChanged(_VOICE_STEPS[command]),)
    if command in _CHOICES:
        return _choose(_CHOICES[command], state)
    match command:
        case Command.NOTE:
            return (f.NoteTaken(order.rest),)
        case Command.SCRATCH_THAT:
            return _withdraw(state, now)
        case Command.DONE:
            return _done(state, plan, now)
        case Command.SKIP:
            return _skip(state, plan)
        case Command.YES | Command.NO:
            return _answer_offer(command, state, now)
        case Command.HOLD | Command.GO_ON | Command.ADD_TIME | Command.TAKE_TIME:
            return _clock(order, state, now)
        case Command.CHILL_ON if state.stage is Stage.CHILL:
            return _start_chill(state)
        case Command.OXYGEN_DONE:
            return _oxygen(state)
        case _ if command in MOVES:
            return _move(command, state, plan, now)
    return (f.OrderRefused(command.value, "That makes no sense now."),)


def _answer_offer(command: Command, state: State, now: Moment) -> tuple[Fact, ...]:
    offer = state.open_make_up(now.elapsed_s)
    if offer is None:
        return (f.OrderRefused(command.value, "Nothing was asked."),)
    return (f.MakeUpTaken(offer.addition, offer.mass_kg) if command is Command.YES else f.MakeUpLeft(),)


def _withdraw(state: State, now: Moment) -> tuple[Fact, ...]:
    if state.undoable:
        turn, at_s = state.undoable[-1]
        if now.elapsed_s - at_s <= WITHDRAWAL_WINDOW_S:
            # An answer goes with its question: left open, it would keep the ear waiting for digits.
            return (f.TurnWithdrawn(turn), f.QuestionClosed("taken back"))
    return (f.NothingToWithdraw(),)


def _done(state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    waiting = waiting_for_answer(plan, state)
    if not waiting:
        way_on = WAY_ON.get(state.stage)
        hint = f' When this stage is over, say "{taught_phrase(way_on)}".' if way_on else ""
        return (f.OrderRefused(Command.DONE.value, f"Nothing is waiting for done.{hint}"),)
    call = waiting[0]
    if call.on_done is not None:
        return _move(call.on_done, state, plan, now)
    return (f.CallAcknowledged(call.key), *_also(call, plan))


def _also(call: Call, plan: Plan) -> tuple[Fact, ...]:
    """What "done" means beside the answer itself."""
    match call.kind:
        case CallKind.WET_ITEM:
            return (f.ItemWet(wet_items(plan)[call.index].name),)
        case CallKind.INTO_THE_BOIL:
            return (f.ItemWet(boil_items(plan)[call.index].name),)
        case CallKind.REST_OVER if call.index + 1 < len(plan.mash.rests):
            return (f.RestStarted(call.index + 1),)
    return ()


def _skip(state: State, plan: Plan) -> tuple[Fact, ...]:
    waiting = waiting_for_answer(plan, state)
    if not waiting:
        return (f.OrderRefused(Command.SKIP.value, "Nothing is waiting to be skipped."),)
    call = waiting[0]
    if call.kind in (CallKind.WET_ITEM, CallKind.INTO_THE_BOIL):
        why = "That one cannot be skipped: it touches cooled wort. Say done when it is safe, or keep it out."
        return (f.OrderRefused(Command.SKIP.value, why),)
    return (f.CallSkipped(call.key),)


def _choose(kind: str, state: State) -> tuple[Fact, ...]:
    if state.advice is None or kind not in state.advice.kinds:
        return (f.OrderRefused(kind, "That was not on offer."),)
    chosen = chosen_way(state.advice, kind)
    return (chosen, f.BoilChanged(chosen.minutes)) if chosen.minutes else (chosen,)


def _clock(order: Order, state: State, now: Moment) -> tuple[Fact, ...]:
    command, boil = order.command, state.boil
    running = boil is not None and state.stage is Stage.BOIL
    if command in (Command.ADD_TIME, Command.TAKE_TIME):
        if not running and state.stage is not Stage.PRE_BOIL:
            return (f.OrderRefused(command.value, "There is no boil clock to change."),)
        if order.minutes is None:
            return (f.OrderRefused(command.value, 'How many? Say "add ten minutes".'),)
        minutes = float(order.minutes) * (1.0 if command is Command.ADD_TIME else -1.0)
        left_min = boil.left_s(now.elapsed_s) / 60.0 if running and boil is not None else state.planned_boil_min
        if minutes < 0 and -minutes > left_min:
            return (f.OrderRefused(command.value, "There is less than that on the clock."),)
        return (f.BoilChanged(minutes),)
    if not running or boil is None:
        return (f.OrderRefused(command.value, 'The boil clock is not running. Say "boil is on" to start it.'),)
    if command is Command.HOLD:
        if boil.held_since_s is not None:
            return (f.OrderRefused(command.value, 'It is held already. Say "carry on".'),)
        return (f.BoilHeld(),)
    if boil.held_since_s is None:
        return (f.OrderRefused(command.value, "The clock is running."),)
    return (f.BoilResumed(),)


def _start_chill(state: State) -> tuple[Fact, ...]:
    if state.chill_on_s is not None:
        return (f.OrderRefused(Command.CHILL_ON.value, "The chill clock is running."),)
    return (f.CallAcknowledged(CHILL_ON_KEY),)


def _oxygen(state: State) -> tuple[Fact, ...]:
    record = state.calls.get("oxygen")
    if state.stage is not Stage.PITCH or (record is not None and record.closed):
        return (f.OrderRefused(Command.OXYGEN_DONE.value, "That is not waiting now."),)
    return (f.CallAcknowledged("oxygen"),)


def _move(command: Command, state: State, plan: Plan, now: Moment) -> tuple[Fact, ...]:
    """The move to another stage, with the clocks that start there.

    Calls that the move answers are closed as done; what it overtakes is let go by name, never silently.
    """
    target = target_of(plan, state.stage, command)
    if target is None:
        way_on = WAY_ON.get(state.stage)
        hint = f' What comes next here is "{taught_phrase(way_on)}".' if way_on else ""
        return (f.OrderRefused(command.value, f"We are at {state.stage.value}.{hint}"),)
    if command in (Command.TRANSFER_DONE, Command.PITCHED) and state.stage in (Stage.CHILL, Stage.TRANSFER):
        unsafe = not_sanitised(plan, state)
        if unsafe:
            names = ", ".join(item.name for item in unsafe)
            why = f"Nobody said these are safe: {names}. Say each name when it is, then say it again."
            return (f.OrderRefused(command.value, why),)
    facts: list[Fact] = list(_left_open(state))
    waiting = waiting_for_answer(plan, state)
    for call in waiting:
        if call.on_done is command:
            facts.append(f.CallAcknowledged(call.key))
        elif call.kind is not CallKind.WET_ITEM:
            facts.append(f.CallDropped(call.key, "not confirmed"))
    facts.extend(f.CallDropped(call.key, "left out") for call in _left_out(plan, state, target, waiting))
    facts.append(f.StageReached(target))
    if target is Stage.CHILL and command is Command.CHILL_ON:
        facts.append(f.CallAcknowledged(CHILL_ON_KEY))
    if target is Stage.MASH:
        facts.append(f.RestStarted(0))
    if target is Stage.BOIL:
        facts.append(f.BoilStarted(state.planned_boil_min))
    return tuple(facts)


def _left_out(plan: Plan, state: State, target: Stage, waiting: tuple[Call, ...]) -> Iterator[Call]:
    """What should still have gone into the kettle before `target` and never was called, or was called for later."""
    for call in timetable(plan, state):
        record = state.calls.get(call.key)
        if call.kind not in (CallKind.ADDITION_NOW, CallKind.INTO_THE_BOIL) or call in waiting:
            continue
        if record is not None and record.closed:
            continue
        if call.key.startswith(FIRST_WORT):
            passed = order_of(state.stage) <= order_of(Stage.RUN_OFF) < order_of(target)
        else:
            passed = True
        if passed:
            yield call


def _left_open(state: State) -> Iterator[Fact]:
    """Readings of this stage that were never settled are not taken, and that is said."""
    if state.question is not None:
        yield f.QuestionClosed("overtaken")
    if state.gravity_waiting is not None:
        yield f.ReadingRefused(Kind.GRAVITY.value, state.gravity_waiting.said, "it came without a temperature")
