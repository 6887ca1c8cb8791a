"""Answers to questions that change nothing: what is next, how long, where are we, why, help."""

from __future__ import annotations

from assistant.day import advice
from assistant.day.calls import CallKind
from assistant.day.due import coming, waiting_for_answer
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.day.targets import gravity_target
from assistant.day.transitions import WAY_ON
from assistant.messages import Moment
from assistant.phrasing import numbers, units
from assistant.phrasing.bitterness_words import how_bitter, why_so_bitter
from assistant.phrasing.inquiry_dialogue import SUCH_AS
from assistant.phrasing.names import call_name
from assistant.phrasing.offers import what_else, why_this
from assistant.understanding.phrases import taught_phrase
from assistant.understanding.said import Command


def answer_to(command: str, state: State, plan: Plan, now: Moment, last_said: str) -> str:
    """The answer to an information order; `last_said` is what "say again" repeats."""
    match Command(command):
        case Command.WHAT_NEXT:
            return what_next(state, plan, now)
        case Command.HOW_LONG:
            return how_long(state, plan, now)
        case Command.WHERE_ARE_WE:
            return where(state, plan, now)
        case Command.SAY_AGAIN:
            return last_said or "I have said nothing yet."
        case Command.HOW_BITTER:
            return how_bitter(state, plan, now.elapsed_s)
        case Command.WHY if state.asked == Command.HOW_BITTER.value:
            return why_so_bitter(state, plan, now.elapsed_s)
        case Command.WHAT_ELSE:
            return what_else(state, plan)
        case Command.WHY:
            return why(state, plan, now)
        case Command.SOUND_CHECK:
            return "I hear you. Sound check is good."
        case _:
            return help_text(state)


def what_next(state: State, plan: Plan, now: Moment) -> str:
    """What is waiting, else what comes next and when."""
    waiting = waiting_for_answer(plan, state)
    if waiting:
        return f"{call_name(waiting[0].key, state, plan).capitalize()} is waiting. Say done."
    ahead = [item for item in coming(plan, state, now.elapsed_s) if item[1].needs_answer]
    if ahead:
        when, call = ahead[0]
        span = numbers.span_words(when - now.elapsed_s)
        return f"Next: {call_name(call.key, state, plan)}, in {span}."
    if state.boil is not None and state.boil.held_since_s is not None and state.stage is Stage.BOIL:
        return 'The boil clock is held. Say "carry on".'
    way_on = WAY_ON.get(state.stage)
    return f'When {state.stage.value} is over, say "{taught_phrase(way_on)}".' if way_on else "Nothing more today."


def how_long(state: State, plan: Plan, now: Moment) -> str:
    """Time left on the clock of the stage."""
    boil = state.boil
    if state.stage is Stage.BOIL and boil is not None:
        left_s = boil.left_s(now.elapsed_s)
        if left_s <= 0:
            return f"Knockout was {numbers.span_words(-left_s)} ago."
        held = " The clock is held." if boil.held_since_s is not None else ""
        ahead = coming(plan, state, now.elapsed_s)
        nearest = next(
            (item for item in ahead if item[1].kind is not CallKind.KNOCKOUT and item[1].needs_answer), None
        )
        note = "" if nearest is None else f" Next in {numbers.span_words(nearest[0] - now.elapsed_s)}."
        return f"{numbers.span_words(left_s).capitalize()} to knockout.{note}{held}"
    if state.stage is Stage.MASH and state.rest_since_s is not None:
        rest = plan.mash.rests[state.rest_index]
        left_s = state.rest_since_s + rest.minutes * 60.0 - now.elapsed_s
        return (
            f"{numbers.span_words(left_s).capitalize()} of {rest.name}." if left_s > 0 else f"{rest.name} is over."
        )
    return what_next(state, plan, now)


def where(state: State, plan: Plan, now: Moment) -> str:
    """The stage, how long it has lasted, and the last gravity."""
    span = numbers.span_words(now.elapsed_s - state.stage_since_s)
    gravity = (
        f" Last gravity {units.gravity(state.gravities[-1].fact.gravity_sg, plan)}." if state.gravities else ""
    )
    return f"{state.stage.value.capitalize()}, since {span}.{gravity} {what_next(state, plan, now)}"


def why(state: State, plan: Plan, now: Moment) -> str:
    """The reckoning behind the last answer."""
    if not state.gravities:
        return "I have no gravity yet to reason from."
    last = state.gravities[-1].fact
    read = units.gravity(last.instrument_sg, plan)
    sample = units.temperature(last.sample_c, plan)
    parts = [f"Read {read} at {sample}, {units.gravity(last.gravity_sg, plan)} when corrected."]
    target = gravity_target(plan, state, now.elapsed_s)
    if target is not None:
        parts.append(f"Wanted {units.gravity(target.gravity_sg, plan)}.")
    ahead = advice.forecast(plan, state, now.elapsed_s)
    if state.advice is not None and state.advice.chances:
        return f"{parts[0]} {why_this(state.advice, plan)}"
    if ahead is not None:
        rate = units.volume(plan.rig.boil_off_l_per_h, plan)
        end, volume = units.gravity(ahead.gravity_sg.value, plan), units.volume(ahead.volume_l.value, plan)
        parts.append(f"Boiling off {rate} an hour you end at {end} with {volume}.")
    return " ".join(parts)


def help_text(state: State) -> str:
    """What can be said now, in one breath."""
    if state.inquiry is not None:
        return f'Say what about, such as {SUCH_AS}. Or say "never mind".'
    way_on = WAY_ON.get(state.stage)
    onward = f' "{taught_phrase(way_on)}" when this stage is over,' if way_on else ""
    return f'Say a reading,{onward} "done", "what is next", "how long", "say again", "scratch that", or "question".'
