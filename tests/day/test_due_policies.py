"""When a call is due, how late it may be, and what its policy makes of that."""

from __future__ import annotations

from types import MappingProxyType

import pytest
from brew_day import EXAMPLES, example

from assistant.day import due as due_module
from assistant.day.calls import Call, CallKind, LatePolicy
from assistant.day.due import coming, due, next_due_s, waiting_for_answer
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.state import BoilClock, CallRecord, State
from assistant.day.timetable import AHEAD_S, timetable
from assistant.messages import Urgency
from assistant.phrasing.call_sentences import call_sentence

PLAN = example("hollow-lane")


@pytest.fixture
def only(monkeypatch: pytest.MonkeyPatch) -> object:
    """Makes a timetable of the given calls alone."""

    def make(*calls: Call) -> None:
        def fixed(plan: Plan, state: State) -> tuple[Call, ...]:
            return calls

        monkeypatch.setattr(due_module, "timetable", fixed)

    return make


def made(key: str, at_s: float, occurrences: int = 1, closed: str = "") -> State:
    """A state in which the call `key` was made."""
    record = CallRecord(occurrences, at_s, at_s, closed=closed, closed_s=at_s if closed else None)
    return State(calls=MappingProxyType({key: record}))


@pytest.mark.parametrize(
    ("policy", "late_s", "dropped"),
    [
        (LatePolicy.DROP, 30.0, False),
        (LatePolicy.DROP, 30.001, True),
        (LatePolicy.SAY_NOW, 3600.0, False),
        (LatePolicy.SAY_WITH_AGE, 3600.0, False),
    ],
)
def test_only_a_call_to_be_dropped_is_dropped_and_only_past_its_grace(only, policy, late_s, dropped) -> None:  # type: ignore[no-untyped-def]
    """At its grace a call still stands; just past it one with the policy drop is let go, the others never are."""
    only(Call("x", CallKind.READY, 100.0, policy, grace_s=30.0))
    (item,) = due(PLAN, State(), 100.0 + late_s)
    assert (dropped, pytest.approx(late_s)) == (item.drop, item.late_s)


@pytest.mark.parametrize(("late_s", "aged"), [(30.0, False), (31.0, True), (120.0, True)])
def test_an_age_is_said_only_past_the_grace(late_s: float, aged: bool) -> None:
    """A call with the policy "with its age" says it just past its grace, and not at it."""
    state = State(stage=Stage.BOIL, planned_boil_min=75.0, boil=BoilClock(1, 75.0, 0.0))
    now_s = 20 * 60.0 + late_s
    item = next(item for item in due(PLAN, state, now_s) if item.call.key == "boil1.addition.0.now")
    text = call_sentence(item, PLAN, state, now_s).text
    assert aged is (" ago: Now: " in text)


def test_nothing_is_due_before_its_time(only) -> None:  # type: ignore[no-untyped-def]
    """A call is not due a thousandth before its time, and is at it; the next due time is its time."""
    only(Call("x", CallKind.READY, 100.0))
    assert () == due(PLAN, State(), 99.999)
    assert 100.0 == next_due_s(PLAN, State(), 0.0)
    assert ["x"] == [item.call.key for item in due(PLAN, State(), 100.0)]


@pytest.mark.parametrize(
    ("occurrences", "wait_s"),
    [(1, 20.0), (2, 20.0), (3, 15.0), (4, 15.0), (5, 30.0), (6, 60.0), (7, 60.0), (20, 60.0)],
)
def test_repeats_come_after_their_waits_and_the_last_wait_lasts(only, occurrences: int, wait_s: float) -> None:  # type: ignore[no-untyped-def]
    """Each repeat waits as its list says; beyond the list the last wait holds for ever."""
    only(Call("x", CallKind.READY, 0.0, repeat_s=(20.0, 20.0, 15.0, 15.0, 30.0, 60.0)))
    state = made("x", 500.0, occurrences)
    assert () == due(PLAN, state, 500.0 + wait_s - 0.001)
    (item,) = due(PLAN, state, 500.0 + wait_s)
    assert occurrences + 1 == item.occurrence


def test_a_closed_call_and_one_said_often_enough_are_not_due(only) -> None:  # type: ignore[no-untyped-def]
    """Done is done; a call with a greatest number of times stops there."""
    only(Call("x", CallKind.READY, 0.0, repeat_s=(10.0,), most=2))
    assert () == due(PLAN, made("x", 5.0, closed="done"), 1e6)
    assert () == due(PLAN, made("x", 5.0, occurrences=2), 1e6)
    assert None is next_due_s(PLAN, made("x", 5.0, occurrences=2), 10.0)


def test_a_call_moved_later_is_due_afresh(only) -> None:  # type: ignore[no-untyped-def]
    """A call made before its present time counts as never made: first occurrence, and no longer waiting."""
    only(Call("x", CallKind.READY, 100.0, needs_answer=True))
    state = made("x", 50.0, occurrences=3)
    assert () == waiting_for_answer(PLAN, state)
    assert ["x"] == [call.key for _, call in coming(PLAN, state, 60.0)]
    assert 1 == due(PLAN, state, 100.0)[0].occurrence


def test_the_most_urgent_comes_first(only) -> None:  # type: ignore[no-untyped-def]
    """Calls due together are made by urgency, then by time."""
    only(
        Call("late notice", CallKind.READY, 1.0, urgency=Urgency.NOTICE),
        Call("second", CallKind.READY, 3.0),
        Call("first", CallKind.READY, 2.0),
        Call("safety", CallKind.READY, 4.0, urgency=Urgency.SAFETY),
    )
    assert ["safety", "first", "second", "late notice"] == [item.call.key for item in due(PLAN, State(), 10.0)]


# --- anchors of the timetable


@pytest.mark.parametrize("name", EXAMPLES)
def test_calls_of_a_boil_hang_on_its_clock(name: str) -> None:
    """Each addition lies its minutes before knockout, its notice two minutes before, knockout at the end."""
    plan = example(name)
    boil = BoilClock(7, plan.beer.boil_min, 600.0)
    calls = {call.key: call for call in timetable(plan, State(stage=Stage.BOIL, boil=boil))}
    end_s = 600.0 + plan.beer.boil_min * 60.0
    assert end_s == calls["boil7.knockout"].due_s
    assert end_s - AHEAD_S == calls["boil7.knockout.ahead"].due_s
    in_boil = [item for item in plan.additions if item.minutes is not None and item.temperature_c is None]
    wanted = {end_s - (item.minutes or 0.0) * 60.0 for item in in_boil}
    assert wanted == {call.due_s for key, call in calls.items() if ".addition." in key and key.endswith(".now")}
    ahead = {call.due_s for key, call in calls.items() if ".addition." in key and key.endswith(".ahead")}
    assert {due_s - AHEAD_S for due_s in wanted if due_s - AHEAD_S >= 600.0} == ahead - {None}


def test_a_held_clock_has_no_times() -> None:
    """While the clock is held no call that hangs on it has a time, but for the reminder that it is held."""
    boil = BoilClock(1, 75.0, 0.0, held_since_s=600.0)
    calls = timetable(PLAN, State(stage=Stage.BOIL, boil=boil))
    assert {None} == {call.due_s for call in calls if call.of_the_boil}
    assert [900.0] == [call.due_s for call in calls if call.kind is CallKind.STILL_HELD]


@pytest.mark.parametrize("stage", list(Stage))
@pytest.mark.parametrize("name", EXAMPLES)
def test_keys_are_unique_in_every_stage(name: str, stage: Stage) -> None:
    """No two calls of a timetable share a key, or one would be taken for the other."""
    state = State(stage=stage, boil=BoilClock(1, 60.0, 0.0), rest_since_s=0.0, chill_on_s=0.0)
    keys = [call.key for call in timetable(example(name), state)]
    assert sorted(set(keys)) == sorted(keys)
