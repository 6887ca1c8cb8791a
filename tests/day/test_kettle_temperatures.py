"""How hot the kettle was: the clocks and readings of a day as one history without a gap."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType

import pytest
from brew_day import EXAMPLES, altered, example
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from assistant.day import facts as f
from assistant.day.facts import Stage
from assistant.day.kettle_temperatures import (
    AIR_C,
    AIR_TAU_S,
    kettle_day,
    temperatures,
    wort_boils_at_c,
)
from assistant.day.plan import Plan
from assistant.day.state import BoilClock, CallRecord, State, Taken

HOLLOW, LARK = example("hollow-lane"), example("lark-ridge")


def read(temperature_c: float, at_s: float, stage: Stage) -> Taken[f.TemperatureRead]:
    """A temperature that was read."""
    return Taken(f.TemperatureRead(temperature_c, 0.5, ""), at_s, 1, stage)


def history(plan: Plan, state: State, now_s: float) -> list[tuple[float, float]]:
    """The history of a day, from the first wort or the boil on."""
    day = kettle_day(plan, state, now_s)
    return list(temperatures(plan, day, day.boil_on_s, now_s))


def at(points: list[tuple[float, float]], at_s: float) -> float:
    """The temperature at a time."""
    for (start_s, start_c), (end_s, end_c) in pairwise(points):
        if start_s <= at_s <= end_s and end_s > start_s:
            return start_c + (end_c - start_c) * (at_s - start_s) / (end_s - start_s)
    raise AssertionError(f"{at_s} is outside")


def knocked_out(plan: Plan, stage: Stage, **more: object) -> State:
    """A day whose boil began at 0 and was over after its time."""
    minutes = plan.beer.boil_min
    boil = BoilClock(1, minutes, 0.0)
    state = State(stage=stage, planned_boil_min=minutes, boil=boil, knockout_s=minutes * 60.0)
    return replace(state, **more)  # type: ignore[arg-type]


def test_wort_boils_a_little_above_water() -> None:
    """Wort of 12 °P boils 0.2 to 0.3 K above water (common knowledge of the trade), also at altitude."""
    for plan in (HOLLOW, LARK):
        assert 0.15 < wort_boils_at_c(plan) - plan.rig.boiling_point_c < 0.35


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_planned_day_boils_and_cools(name: str) -> None:
    """Before anything happened the kettle boils its planned time and is then cooled to near the water."""
    plan = example(name)
    day = kettle_day(plan, State(planned_boil_min=plan.beer.boil_min), 0.0)
    points = list(temperatures(plan, day, day.boil_on_s, 0.0))
    assert plan.beer.boil_min * 60.0 == day.knockout_s - day.boil_on_s
    assert approx(wort_boils_at_c(plan)) == at(points, day.boil_on_s + 600.0)
    assert points[-1][1] - day.coolant_c < 6.0


def test_a_stand_is_at_its_temperature_and_cools_slowly() -> None:
    """Cooled to 80 °C, the stand begins there and loses in 20 minutes what an open kettle loses."""
    state = knocked_out(
        LARK,
        Stage.HOP_STAND,
        calls=MappingProxyType(
            {
                "stand.3.cool": CallRecord(1, 3600.0, 3600.0, True, "done", 3900.0),
                "stand.3.now": CallRecord(1, 3900.0, 3900.0, True, "done", 3930.0),
            }
        ),
    )
    (stand,) = kettle_day(LARK, state, 4000.0).stands
    assert (3900.0, 3930.0, 5130.0) == (stand.cooled_s, stand.in_s, stand.over_s)
    points = history(LARK, state, 4000.0)
    assert approx(80.0) == at(points, 3900.0)
    assert approx(AIR_C + 60.0 * math.exp(-1230.0 / AIR_TAU_S), abs=0.01) == at(points, 5130.0)


def test_a_stand_follows_what_was_read() -> None:
    """A stand read at 74 °C is at 74 °C there, whatever was planned."""
    done = {
        "stand.3.cool": CallRecord(1, 3600.0, 3600.0, True, "done", 3900.0),
        "stand.3.now": CallRecord(1, 3900.0, 3900.0, True, "done", 3930.0),
    }
    state = knocked_out(LARK, Stage.HOP_STAND, calls=MappingProxyType(done))
    cooler = replace(state, temperatures=(read(74.0, 4500.0, Stage.HOP_STAND),))
    assert approx(74.0) == at(history(LARK, cooler, 4600.0), 4500.0)


def test_the_chill_runs_through_its_readings_on_an_exponential() -> None:
    """Between readings the wort falls towards the water, not straight; after them it goes on as fast."""
    out_s = 75 * 60.0
    state = knocked_out(HOLLOW, Stage.CHILL, chill_on_s=out_s + 60.0)
    slow_s = 900.0
    times = [out_s + 60.0 + step for step in (300.0, 900.0)]
    start_c = at(history(HOLLOW, state, out_s + 60.0), out_s + 60.0)
    curve = [14.0 + (start_c - 14.0) * math.exp(-(at_s - out_s - 60.0) / slow_s) for at_s in times]
    state = replace(state, temperatures=tuple(read(c, s, Stage.CHILL) for c, s in zip(curve, times, strict=True)))
    points = history(HOLLOW, state, times[-1] + 10.0)
    for at_s in (out_s + 200.0, *times, times[-1] + 600.0):
        assert approx(14.0 + (start_c - 14.0) * math.exp(-(at_s - out_s - 60.0) / slow_s), abs=0.3) == at(
            points, at_s
        )
    assert slow_s > 2.0 * kettle_day(HOLLOW, state, times[-1]).chill_tau_s


@pytest.mark.parametrize("coolant", ["-8 C", "0 C", "39 C"])
def test_any_cooling_water_has_its_history(coolant: str) -> None:
    """Brine, ice water and a warm tap each give a history that ends near them and never below freezing."""
    plan = altered("hollow-lane", ('coolant = "14 C"', f'coolant = "{coolant}"'))
    points = history(plan, State(planned_boil_min=75.0), 0.0)
    assert 0.0 <= points[-1][1] < max(0.0, float(coolant.removesuffix(" C"))) + 6.0


@settings(deadline=None, max_examples=150)
@given(
    st.sampled_from([Stage.BOIL, Stage.HOP_STAND, Stage.CHILL, Stage.TRANSFER]),
    st.lists(st.tuples(st.floats(0.0, 3600.0), st.floats(-4.0, 110.0)), max_size=5),
    st.lists(st.tuples(st.floats(0.0, 900.0), st.floats(0.0, 900.0)), max_size=3),
    st.floats(0.0, 7200.0),
    st.booleans(),
)
def test_any_day_has_a_history(
    stage: Stage, readings: list[tuple[float, float]], gaps: list[tuple[float, float]], now_s: float, running: bool
) -> None:
    """Whatever was held, read and called: times do not fall, and no temperature is beyond freezing and boiling."""
    holds, at_s = [], 0.0
    for boiled_s, held_s in gaps:
        holds.append((at_s + boiled_s, at_s + boiled_s + held_s))
        at_s = holds[-1][1]
    boil = BoilClock(1, 60.0, 0.0, holds=tuple(holds))
    over_s = max(at_s, 1800.0)
    state = State(
        stage=stage,
        planned_boil_min=60.0,
        boil=boil,
        knockout_s=None if stage is Stage.BOIL else over_s,
        chill_on_s=over_s + 400.0 if running and stage in (Stage.CHILL, Stage.TRANSFER) else None,
        temperatures=tuple(
            read(max(0.5, read_c), over_s + after_s, stage if stage is Stage.HOP_STAND else Stage.CHILL)
            for after_s, read_c in sorted(readings)
        ),
    )
    now_s += over_s
    points = history(LARK, state, now_s)
    assert all(a[0] <= b[0] for a, b in pairwise(points))
    assert all(0.0 <= temperature_c <= wort_boils_at_c(LARK) + 1e-9 for _, temperature_c in points)
    assert points[-1][0] >= now_s
