"""The bitterness of a day: monotonic in what the brewer does, and a make-up that mends what it says."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from types import MappingProxyType

import pytest
from brew_day import EXAMPLES, START, altered, example
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from assistant.day import facts as f
from assistant.day.bitterness_moves import make_up, moved, to_the_scale_kg, worth_ibu
from assistant.day.bitterness_of_day import (
    DayBitterness,
    HopsAre,
    bitterness_of_day,
    has_alpha,
    planned_bitterness,
    trade_tables_ibu,
    without_alpha,
)
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.state import BoilClock, CallRecord, State, Taken
from assistant.messages import Moment
from assistant.quantities import OutsideRange

PLAN = example("hollow-lane")
BOIL_ON_S = 9000.0
BITTERING, TWENTY, AROMA = "boil1.addition.0.now", "boil1.addition.1.now", "boil1.addition.4.now"
DUE_S = {
    BITTERING: BOIL_ON_S + 20 * 60.0,
    TWENTY: BOIL_ON_S + 55 * 60.0,
    AROMA: BOIL_ON_S + 70 * 60.0,
}


def boiling(minutes: float = 75.0, holds: tuple[tuple[float, float], ...] = (), **calls: CallRecord) -> State:
    """Hollow Lane in its boil."""
    boil = BoilClock(1, minutes, BOIL_ON_S, holds=holds)
    return State(stage=Stage.BOIL, planned_boil_min=75.0, boil=boil, calls=MappingProxyType(calls))


def closed(how: str, at_s: float) -> CallRecord:
    """A call that was made and closed."""
    return CallRecord(2, at_s - 20.0, at_s - 5.0, True, how, at_s)


def with_calls(state: State, calls: dict[str, CallRecord]) -> State:
    """The state with these calls."""
    return replace(state, calls=MappingProxyType(calls))


def day_of(state: State, now_s: float, plan: Plan = PLAN, extra_min: float = 0.0) -> DayBitterness:
    """The bitterness of a day that has one."""
    told = bitterness_of_day(plan, state, now_s, extra_min)
    assert told is not None
    return told


def done_at(minutes_late: float) -> State:
    """The bittering hops answered so late."""
    at_s = DUE_S[BITTERING] + 60.0 * minutes_late
    return with_calls(boiling(), {BITTERING: closed("done", at_s)})


# --- monotonic


@settings(deadline=None)
@given(st.floats(0.0, 34.0), st.floats(0.1, 20.0))
def test_later_hops_give_less(late_min: float, more_min: float) -> None:
    """Hops that go in later give less bitterness, by the minute."""
    now_s = BOIL_ON_S + 75 * 60.0
    later = day_of(done_at(late_min + more_min), now_s).at_end.value
    assert later < day_of(done_at(late_min), now_s).at_end.value


@settings(deadline=None)
@given(st.floats(-20.0, 40.0), st.floats(0.2, 20.0))
def test_a_longer_boil_gives_more(minutes: float, more_min: float) -> None:
    """With the bittering hops in, each minute of boil makes the beer more bitter, on the clock or asked for."""
    now_s = DUE_S[BITTERING] + 30.0
    in_time = {BITTERING: closed("done", now_s)}
    shorter = with_calls(boiling(75.0 + minutes), in_time)
    longer = with_calls(boiling(75.0 + minutes + more_min), in_time)
    assert day_of(shorter, now_s).at_end.value < day_of(longer, now_s).at_end.value
    asked = day_of(shorter, now_s, extra_min=more_min).at_end.value
    assert approx(day_of(longer, now_s).at_end.value) == asked


@settings(deadline=None)
@given(st.floats(0.0, 1800.0), st.floats(60.0, 1800.0))
def test_a_hold_with_hops_in_gives_more(before_s: float, held_s: float) -> None:
    """A held kettle is still hot, so its hops go on giving, though less than they would in a boil so long."""
    in_time = {BITTERING: closed("done", DUE_S[BITTERING])}
    from_s = DUE_S[BITTERING] + before_s
    held = with_calls(boiling(holds=((from_s, from_s + held_s),)), in_time)
    plain, longer = with_calls(boiling(), in_time), with_calls(boiling(75.0 + held_s / 60.0), in_time)
    now_s = from_s + held_s + 1.0
    ibus = [day_of(state, now_s).at_end.value for state in (plain, held, longer)]
    assert sorted(ibus) == ibus


def test_a_hold_that_was_read_colder_gives_less() -> None:
    """A temperature read while the clock stood counts: a kettle at seventy isomerises little."""
    from_s, until_s = DUE_S[BITTERING] + 60.0, DUE_S[BITTERING] + 1860.0
    held = with_calls(boiling(holds=((from_s, until_s),)), {BITTERING: closed("done", DUE_S[BITTERING])})
    read = Taken(f.TemperatureRead(70.0, 0.5, "70 °C"), from_s + 300.0, 5, Stage.BOIL)
    cold = replace(held, temperatures=(read,))
    assert day_of(cold, until_s).at_end.value < day_of(held, until_s).at_end.value - 1.0


@pytest.mark.parametrize("volume_l", [23.0, 24.0, 26.0])
def test_the_wort_that_was_read_counts(volume_l: float) -> None:
    """The same hops in less wort than planned are more bitter, in more wort less, in proportion."""
    read = Taken(f.VolumeRead(volume_l, volume_l, 0.01, ""), BOIL_ON_S - 60.0, 4, Stage.PRE_BOIL)
    state = replace(boiling(), volumes=(read,))
    planned = planned_bitterness(PLAN)
    assert planned is not None
    end_l = volume_l - PLAN.rig.boil_off_l_per_h * 75.0 / 60.0
    told = day_of(state, BOIL_ON_S)
    assert approx(planned.at_end.value * 21.0 / end_l, rel=0.04) == told.at_end.value


# --- where the hops are


@pytest.mark.parametrize(
    ("record", "are"),
    [
        (None, HopsAre.PLANNED),
        (closed("done", DUE_S[BITTERING] + 30.0), HopsAre.IN),
        (closed("skipped", DUE_S[BITTERING] + 30.0), HopsAre.OUT),
        (closed("dropped", DUE_S[BITTERING] + 30.0), HopsAre.UNCONFIRMED),
        (CallRecord(3, DUE_S[BITTERING], DUE_S[BITTERING] + 40.0), HopsAre.UNCONFIRMED),
        (CallRecord(0, DUE_S[BITTERING], DUE_S[BITTERING], closed="dropped", closed_s=BOIL_ON_S), HopsAre.OUT),
        (closed("dropped", DUE_S[BITTERING] - 300.0), HopsAre.OUT),
    ],
)
def test_where_the_hops_are(record: CallRecord | None, are: HopsAre) -> None:
    """Answered hops are in, skipped and never called ones are not, unanswered ones are taken as in."""
    state = with_calls(boiling(), {} if record is None else {BITTERING: record})
    told = day_of(state, DUE_S[BITTERING] + 60.0)
    assert are is told.bill[0].are
    assert (are is HopsAre.UNCONFIRMED) == bool(told.unconfirmed)
    assert (are is HopsAre.OUT) == (told.of(told.bill[0]).value == 0.0)


def test_a_call_that_a_longer_boil_moved_is_planned_again() -> None:
    """An unanswered call that a longer boil moves to later counts from then."""
    called = {BITTERING: CallRecord(2, DUE_S[BITTERING], DUE_S[BITTERING] + 20.0)}
    told = day_of(with_calls(boiling(95.0), called), DUE_S[BITTERING] + 60.0)
    assert HopsAre.PLANNED is told.bill[0].are
    assert DUE_S[BITTERING] + 1200.0 == told.bill[0].hops.in_at_s


def test_the_parts_add_up() -> None:
    """What the additions give one by one is what they give together, and nothing more is in than will be."""
    told = day_of(done_at(3.0), DUE_S[TWENTY])
    assert approx(told.at_end.value) == math.fsum(told.of(item).value for item in told.bill)
    assert 0.0 < told.so_far.value < told.at_end.value


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_is_reckoned_before_it_begins(name: str) -> None:
    """Each example plan has its bitterness, near the trade's table where it knows no hop stand."""
    planned = planned_bitterness(example(name))
    assert planned is not None
    tinseth, rager = trade_tables_ibu(planned)
    boiled = planned.at_end.value - sum(
        planned.of(item).value for item in planned.bill if item.key.startswith("stand")
    )
    assert approx(tinseth, rel=0.15) == boiled
    assert rager > tinseth


def test_without_alpha_acid_there_is_nothing() -> None:
    """A plan without alpha acids has no bitterness; one with some leaves the others out by name."""
    none = altered("hollow-lane", ('alpha = "9.8 %"\n', ""), ('alpha = "5.5 %"\n', ""))
    assert (False, None) == (has_alpha(none), bitterness_of_day(none, boiling(), BOIL_ON_S))
    some = altered("hollow-lane", ('alpha = "9.8 %"\n', ""))
    assert ("bittering hops",) == without_alpha(some)
    assert 2 == len(day_of(boiling(), BOIL_ON_S, some).bill)


# --- what is told, and what makes up for it


@settings(deadline=None)
@given(st.floats(9.0, 25.0))
def test_the_make_up_restores_the_plan(late_min: float) -> None:
    """The mass that is offered brings the day back to the plan, within what the scale shows."""
    now_s = DUE_S[BITTERING] + 60.0 * late_min
    state, planned = done_at(late_min), planned_bitterness(PLAN)
    assert planned is not None
    target_ibu = planned.at_end.value
    late = day_of(state, now_s)
    try:
        way = make_up(PLAN, late, target_ibu)
    except OutsideRange as refusal:
        assert "too few and too late" in str(refusal)
        assert target_ibu - late.at_end.value > 1.9 * late.of(late.bill[1]).value
        return
    mended = day_of(replace(state, made_up_kg=MappingProxyType({way.place: way.mass_kg})), now_s)
    per_gram = late.of(late.bill[1]).value / 18.0
    assert way.mass_kg > 0.0
    assert approx(target_ibu, abs=0.51 * per_gram + 1e-6) == mended.at_end.value


@pytest.mark.parametrize(("late_min", "told"), [(0.0, False), (2.0, False), (8.0, True), (20.0, True)])
def test_only_what_is_worth_a_breath_is_told(late_min: float, told: bool) -> None:
    """A minute or two late is within what nobody tastes; eight are told with how late and what it comes to."""
    now_s = DUE_S[BITTERING] + 60.0 * late_min
    called = {BITTERING: CallRecord(3, DUE_S[BITTERING], now_s - 5.0)}
    now = Moment(now_s, START + timedelta(seconds=now_s))
    found = moved(PLAN, with_calls(boiling(), called), (f.CallAcknowledged(BITTERING),), now)
    assert told == bool(found)
    for fact in found:
        assert approx(60.0 * late_min, abs=0.1) == fact.late_s
        assert fact.planned_ibu - fact.ibu >= worth_ibu(fact.planned_ibu)


def test_finings_and_questions_move_nothing() -> None:
    """Only hops and the boil are weighed: another answer, a reading or a question brings no word of bitterness."""
    now = Moment(DUE_S[TWENTY], START)
    for fact in (
        f.CallAcknowledged("item.0"),
        f.InformationAsked("why"),
        f.GravityRead(1.05, 20.0, 1.05, 0.001, ""),
    ):
        assert () == moved(PLAN, boiling(), (fact,), now)


def test_a_boil_cut_short_is_told_with_its_refusal() -> None:
    """Half an hour less boil cannot be made up with the hops to come, and that is said."""
    now_s = DUE_S[BITTERING] + 10.0
    state = with_calls(boiling(), {BITTERING: closed("done", now_s)})
    (fact,) = moved(PLAN, state, (f.BoilChanged(-30.0),), Moment(now_s, START))
    assert (-1, 0.0) == (fact.addition, fact.mass_kg)
    assert "The hops to come are too few and too late to make it up" == fact.why_not
    (fact,) = moved(PLAN, state, (f.BoilChanged(45.0),), Moment(now_s, START))
    assert "It cannot be taken out again" == fact.why_not


@pytest.mark.parametrize(
    ("name", "mass_kg", "wanted_kg"), [("hollow-lane", 0.0074, 0.007), ("ferry-lantern", 0.0074, 0.3 * 0.028349523)]
)
def test_an_offer_can_be_weighed(name: str, mass_kg: float, wanted_kg: float) -> None:
    """Whole grams, or tenths of an ounce."""
    assert approx(wanted_kg) == to_the_scale_kg(example(name), mass_kg)
