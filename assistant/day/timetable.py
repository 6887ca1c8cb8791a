"""The timetable: every call of a day with the time at which it is due.

`timetable` is a pure function of plan and state, made anew each time it is asked, so that holding the boil
clock or adding ten minutes moves everything behind it at once. Nothing remembers a due time.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from assistant.day import facts as f
from assistant.day.calls import Call, CallKind, LatePolicy, addition_groups, boil_items, not_sanitised, wet_items
from assistant.day.facts import Stage
from assistant.day.plan import AdditionTime, Plan
from assistant.day.state import CHILL_ON_KEY, CORRECTION_KEY, WATER_TOO, State, Taken
from assistant.messages import Chime, Urgency
from assistant.understanding.said import Command

# Common practice, no source: enough to weigh out hops before they are due.
AHEAD_S: Final = 120.0
# A mash has settled enough to be measured.
MASH_CHECK_S: Final = 300.0
CHILL_QUESTION_S: Final = 300.0
# What the brewer asks is asked for once more, then dropped: meanwhile no reading is heard (judgement, no source).
INQUIRY_AGAIN_S: Final = 18.0
INQUIRY_OPEN_S: Final = 35.0
# Nothing is called while the boil clock is held, so whoever forgets it would wait for ever.
HELD_REMINDER_S: Final = 300.0
# Growing urgency: the last waiting time repeats until there is an answer.
_PRESSING: Final = (20.0, 20.0, 15.0, 15.0, 30.0, 60.0)
_PATIENT: Final = (60.0, 120.0, 300.0)
# How the keys of calls begin that are about what goes into the first runnings.
FIRST_WORT: Final = "first-wort"
# The index of a correction's call: what is stirred in, or water after the boil.
SOLIDS, WATER = 0, 1


def timetable(plan: Plan, state: State) -> tuple[Call, ...]:
    """Every call that the present state knows of, with its due time where it can be known."""
    return (
        *_questions(state),
        *_before_the_boil(plan, state),
        *_boil(plan, state),
        *_stand_and_chill(plan, state),
        *_after_the_chill(plan, state),
    )


def _since(state: State, stage: Stage, delay_s: float = 0.0) -> float | None:
    return state.stage_since_s + delay_s if state.stage is stage else None


def _questions(state: State) -> Iterator[Call]:
    if state.question is not None:
        name = f"question.{state.question_turn}"
        since = state.question_since_s
        yield Call(f"{name}.again", CallKind.QUESTION_AGAIN, since + 20.0, LatePolicy.DROP, 20.0, Urgency.ANSWER)
        yield Call(f"{name}.dropped", CallKind.QUESTION_DROPPED, since + 60.0, urgency=Urgency.NOTICE)
    if state.inquiry is not None:
        name = f"inquiry.{state.inquiry_turn}"
        since = state.inquiry_since_s
        again_s, dropped_s = since + INQUIRY_AGAIN_S, since + INQUIRY_OPEN_S
        yield Call(f"{name}.again", CallKind.INQUIRY_AGAIN, again_s, LatePolicy.DROP, 10.0, Urgency.ANSWER)
        yield Call(f"{name}.dropped", CallKind.INQUIRY_DROPPED, dropped_s, urgency=Urgency.NOTICE)
    if state.gravity_waiting is not None:
        due = state.gravity_waiting_s + 25.0
        key = f"sample.{state.gravity_waiting_s:.1f}"
        yield Call(key, CallKind.SAMPLE_TEMPERATURE, due, urgency=Urgency.ANSWER, repeat_s=(45.0,), most=3)
    if state.chosen is not None:
        yield from _corrections(state.chosen, state)


def _corrections(chosen: Taken[f.AdviceChosen], state: State) -> Iterator[Call]:
    """Solids go in at once; water after the boil, since there is no room for it before."""
    asked, key = chosen.fact, f"{CORRECTION_KEY}.{chosen.turn}"
    if asked.extract_kg or asked.sugar_kg:
        yield _correction(key, chosen.at_s, SOLIDS)
        key = f"{key}{WATER_TOO}"
    if asked.water_l:
        yield _correction(key, state.knockout_s, WATER)


def _correction(key: str, due_s: float | None, index: int) -> Call:
    return Call(
        key,
        CallKind.CORRECTION,
        due_s,
        urgency=Urgency.ANSWER,
        needs_answer=True,
        repeat_s=_PATIENT,
        index=index,
    )


def _before_the_boil(plan: Plan, state: State) -> Iterator[Call]:
    begin = Call("ready", CallKind.READY, _since(state, Stage.SETTING_UP), repeat_s=(300.0, 600.0))
    yield begin
    yield Call("strike", CallKind.STRIKE, _since(state, Stage.STRIKE), chime=Chime.SAFETY, urgency=Urgency.SAFETY)
    in_mash = state.stage is Stage.MASH
    check = _since(state, Stage.MASH, MASH_CHECK_S)
    if state.in_stage(state.temperatures) is None:
        yield Call("mash.check", CallKind.MASH_CHECK, check, LatePolicy.DROP, 600.0, repeat_s=(120.0,), most=2)
    rests_over = _rests_over(plan, state) if in_mash else None
    if in_mash and state.rest_since_s is not None:
        for index, rest in enumerate(plan.mash.rests):
            over = state.rest_since_s + rest.minutes * 60.0 if index == state.rest_index else None
            last = index == len(plan.mash.rests) - 1
            yield Call(
                f"rest.{index}.over",
                CallKind.REST_OVER,
                over,
                LatePolicy.SAY_WITH_AGE,
                chime=Chime.DUE,
                needs_answer=True,
                repeat_s=_PATIENT,
                on_done=Command.RUN_OFF if last else None,
                index=index,
            )
    yield Call(
        "run-off", CallKind.RUN_OFF, _since(state, Stage.RUN_OFF), chime=Chime.SAFETY, urgency=Urgency.SAFETY
    )
    for index, group in enumerate(addition_groups(plan)):
        if group.time is AdditionTime.FIRST_WORT:
            ahead = None if rests_over is None else rests_over - AHEAD_S
            yield from _addition(f"{FIRST_WORT}.{index}", index, ahead, _since(state, Stage.RUN_OFF, 10.0))
    yield from _pre_boil(plan, state)


def _rests_over(plan: Plan, state: State) -> float | None:
    """When the last rest will be over, if each follows the other at once; None before the first."""
    if state.rest_since_s is None:
        return None
    left = sum(rest.minutes for rest in plan.mash.rests[state.rest_index :])
    return state.rest_since_s + left * 60.0


def _pre_boil(plan: Plan, state: State) -> Iterator[Call]:
    here = state.stage is Stage.PRE_BOIL
    gravity = here and (state.in_stage(state.gravities) is not None or state.gravity_waiting is not None)
    volume = here and state.in_stage(state.volumes) is not None
    if not gravity:
        since = _since(state, Stage.PRE_BOIL, 5.0)
        yield Call(
            "pre-boil.gravity", CallKind.ASK_GRAVITY, since, urgency=Urgency.ANSWER, repeat_s=(180.0,), most=3
        )
    if gravity and not volume and state.gravity_waiting is None:
        taken = state.in_stage(state.gravities)
        since = taken.at_s + 12.0 if taken is not None else None
        yield Call("pre-boil.volume", CallKind.ASK_VOLUME, since, urgency=Urgency.ANSWER, repeat_s=(180.0,), most=2)
    yield Call(
        "heat-up",
        CallKind.HEAT_UP,
        _since(state, Stage.PRE_BOIL),
        chime=Chime.SAFETY,
        urgency=Urgency.SAFETY,
    )
    for index, group in enumerate(addition_groups(plan)):
        early = group.minutes is not None and group.minutes * 60.0 + AHEAD_S > state.planned_boil_min * 60.0
        if group.time is AdditionTime.BEFORE_KNOCKOUT and early:
            since = _since(state, Stage.PRE_BOIL, 60.0)
            key = f"boil.addition.{index}.weigh"
            yield Call(key, CallKind.ADDITION_AHEAD, since, LatePolicy.DROP, 600.0, Urgency.NOTICE, index=index)


def _addition(
    name: str, index: int, ahead_s: float | None, now_s: float | None, of_the_boil: bool = False
) -> Iterator[Call]:
    """The two calls of an addition; the advance notice is let go once the moment itself has come."""
    yield Call(
        f"{name}.ahead",
        CallKind.ADDITION_AHEAD,
        ahead_s,
        LatePolicy.DROP,
        AHEAD_S - 20.0,
        Urgency.NOTICE,
        index=index,
    )
    yield Call(
        f"{name}.now",
        CallKind.ADDITION_NOW,
        now_s,
        LatePolicy.SAY_WITH_AGE,
        chime=Chime.DUE,
        needs_answer=True,
        repeat_s=_PRESSING,
        index=index,
        of_the_boil=of_the_boil,
    )


def _boil(plan: Plan, state: State) -> Iterator[Call]:
    boil = state.boil
    if boil is None or state.stage is not Stage.BOIL:
        return
    name = f"boil{boil.number}"
    foam = CallKind.FOAM_WATCH
    yield Call(f"{name}.foam", foam, boil.started_s, LatePolicy.DROP, 120.0, Urgency.SAFETY, Chime.SAFETY)
    for index, group in enumerate(addition_groups(plan)):
        if group.time is AdditionTime.BEFORE_KNOCKOUT and group.minutes is not None:
            left_s = min(group.minutes, boil.minutes) * 60.0
            ahead = boil.when_left(left_s + AHEAD_S) if left_s + AHEAD_S <= boil.minutes * 60.0 else None
            yield from _addition(f"{name}.addition.{index}", index, ahead, boil.when_left(left_s), of_the_boil=True)
    if boil.held_since_s is not None:
        held = f"{name}.held.{boil.held_since_s:.1f}"
        yield Call(held, CallKind.STILL_HELD, boil.held_since_s + HELD_REMINDER_S, repeat_s=(HELD_REMINDER_S,))
    for index, item in enumerate(boil_items(plan)):
        # A minute more than the contact time, since the cold metal stops the boil for a while.
        left_s = min(item.contact_s + 60.0 * (1 + index), boil.minutes * 60.0)
        yield Call(
            f"{name}.item.{index}",
            CallKind.INTO_THE_BOIL,
            boil.when_left(left_s),
            LatePolicy.SAY_WITH_AGE,
            urgency=Urgency.SAFETY,
            chime=Chime.SAFETY,
            needs_answer=True,
            repeat_s=_PRESSING,
            index=index,
            of_the_boil=True,
        )
    yield Call(
        f"{name}.knockout.ahead",
        CallKind.KNOCKOUT_AHEAD,
        boil.when_left(AHEAD_S),
        LatePolicy.DROP,
        AHEAD_S - 20.0,
        Urgency.NOTICE,
    )
    yield Call(
        f"{name}.knockout",
        CallKind.KNOCKOUT,
        boil.when_left(0.0),
        LatePolicy.SAY_WITH_AGE,
        urgency=Urgency.SAFETY,
        chime=Chime.SAFETY,
        needs_answer=True,
        repeat_s=_PRESSING,
        on_done=Command.KNOCKOUT,
        of_the_boil=True,
    )


def _stand_and_chill(plan: Plan, state: State) -> Iterator[Call]:
    if state.stage is Stage.HOP_STAND:
        yield from _stand(plan, state)
    if state.stage is not Stage.CHILL:
        return
    yield Call(
        CHILL_ON_KEY,
        CallKind.CHILL_ON,
        _since(state, Stage.CHILL),
        urgency=Urgency.SAFETY,
        chime=Chime.SAFETY,
        needs_answer=True,
        repeat_s=_PATIENT,
    )
    if state.chill_on_s is None:
        return
    yield from _gate(plan, state, state.chill_on_s + 20.0)
    taken = state.in_stage(state.temperatures)
    reached = (
        taken is not None and taken.fact.temperature_c <= plan.yeast.pitch_c + plan.beer.temperature_tolerance_c
    )
    if taken is not None and reached:
        yield Call(
            "chill.reached",
            CallKind.CHILL_REACHED,
            taken.at_s,
            chime=Chime.DUE,
            needs_answer=True,
            repeat_s=_PATIENT,
            on_done=Command.CHILL_DONE,
        )
    else:
        since = state.chill_on_s if taken is None else max(taken.at_s, state.chill_on_s)
        due = since + CHILL_QUESTION_S
        yield Call(
            "chill.ask", CallKind.ASK_TEMPERATURE, due, LatePolicy.SAY_NOW, 60.0, Urgency.NOTICE, repeat_s=(120.0,)
        )


def _stand(plan: Plan, state: State) -> Iterator[Call]:
    """Hop stands follow one another, hottest first; each is entered by temperature or by "done"."""
    previous_over: float | None = state.stage_since_s
    groups = addition_groups(plan)
    stands = [index for index, group in enumerate(groups) if group.time is AdditionTime.HOP_STAND]
    for index in stands:
        group = groups[index]
        cool = state.calls.get(f"stand.{index}.cool")
        yield Call(
            f"stand.{index}.cool",
            CallKind.STAND_COOL,
            previous_over,
            chime=Chime.DUE,
            needs_answer=True,
            repeat_s=_PATIENT,
            index=index,
        )
        ready = cool.closed_s if cool is not None and cool.closed else None
        yield from _addition(f"stand.{index}", index, None, ready)
        added = state.calls.get(f"stand.{index}.now")
        started = added.closed_s if added is not None and added.closed else None
        previous_over = None if started is None else started + (group.minutes or 0.0) * 60.0
        last = index == stands[-1]
        if last:
            yield Call(
                f"stand.{index}.over",
                CallKind.STAND_OVER,
                previous_over,
                LatePolicy.SAY_WITH_AGE,
                chime=Chime.DUE,
                needs_answer=True,
                repeat_s=_PATIENT,
                on_done=Command.CHILL_ON,
                index=index,
            )


def _gate(plan: Plan, state: State, opens_s: float) -> Iterator[Call]:
    """One item after the other: the next is called when the one before is wet."""
    due: float | None = opens_s
    for index, item in enumerate(wet_items(plan)):
        key = f"item.{index}"
        record = state.calls.get(key)
        answered = record is not None and bool(record.closed)
        # Named out of turn: it is wet, so it is not called any more.
        if answered or item.name not in state.wet:
            yield Call(key, CallKind.WET_ITEM, due, needs_answer=True, repeat_s=_PATIENT, index=index)
            due = record.closed_s if record is not None and answered else None
        if item.name in state.wet:
            over = state.wet[item.name] + item.contact_s
            contact = CallKind.CONTACT_OVER
            yield Call(f"{key}.contact", contact, over, LatePolicy.DROP, 900.0, Urgency.NOTICE, index=index)


def _after_the_chill(plan: Plan, state: State) -> Iterator[Call]:
    if state.stage is Stage.TRANSFER:
        yield from _gate(plan, state, state.stage_since_s)
        open_at = _gate_open_at(plan, state)
        if open_at is None:
            yield Call(
                "transfer.blocked",
                CallKind.TRANSFER_BLOCKED,
                state.stage_since_s,
                urgency=Urgency.SAFETY,
                chime=Chime.SAFETY,
                repeat_s=(120.0,),
            )
        due = None if open_at is None else max(open_at, state.stage_since_s)
        yield Call(
            "transfer",
            CallKind.TRANSFER,
            due,
            urgency=Urgency.SAFETY,
            chime=Chime.SAFETY,
            needs_answer=True,
            repeat_s=(300.0, 600.0),
            on_done=Command.TRANSFER_DONE,
        )
        if state.in_stage(state.gravities) is None and due is not None and state.gravity_waiting is None:
            ask = CallKind.ASK_ORIGINAL_GRAVITY
            yield Call("original-gravity", ask, due + 30.0, urgency=Urgency.ANSWER, repeat_s=(240.0,), most=2)
    if state.stage is Stage.PITCH:
        yield from _pitch(state)
    yield Call("handed-over", CallKind.HANDED_OVER, _since(state, Stage.FERMENTING), chime=Chime.SAFETY)


def _gate_open_at(plan: Plan, state: State) -> float | None:
    """When the last contact time ends; None while something is not wet yet."""
    if not_sanitised(plan, state):
        return None
    return max((state.wet[item.name] + item.contact_s for item in plan.sanitation), default=state.stage_since_s)


def _pitch(state: State) -> Iterator[Call]:
    oxygen = state.calls.get("oxygen")
    yield Call(
        "oxygen",
        CallKind.OXYGENATE,
        _since(state, Stage.PITCH),
        urgency=Urgency.SAFETY,
        chime=Chime.SAFETY,
        needs_answer=True,
        repeat_s=_PATIENT,
    )
    after = oxygen.closed_s if oxygen is not None and oxygen.closed else None
    yield Call(
        "pitch",
        CallKind.PITCH,
        after,
        chime=Chime.DUE,
        needs_answer=True,
        repeat_s=_PATIENT,
        on_done=Command.PITCHED,
    )
