"""The day's water: poured in, it is in the grain, under the tun, in the air, with the trub or in the fermenter."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.calculation import extract, scales, volumes, water_use
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.calculation.water_use import Rig, WaterPlan
from assistant.quantities import Measured, OutsideRange


def _exact(*values: float) -> list[Measured]:
    return [Measured(value, 0.0) for value in values]


def _rig(held: float = 1.0, dead_l: float = 0.5, loss_l: float = 1.5, boil_off: float = 3.5) -> Rig:
    return Rig(*_exact(held, dead_l, loss_l, boil_off), boiling_c=98.0)


def _plan(fermenter_l: float, og: float, grain_kg: float, mash_water_l: float, rig: Rig) -> WaterPlan:
    return water_use.water_plan(
        *_exact(fermenter_l, og),
        grain_kg=Measured(grain_kg, 0.0),
        mash_water_l=Measured(mash_water_l, 0.0),
        boil_minutes=Measured(60.0, 0.0),
        rig=rig,
    )


@given(st.floats(15.0, 50.0), st.floats(1.02, 1.09), st.floats(0.6, 1.3), st.floats(0.0, 2.0), st.floats(0.0, 3.0))
def test_every_litre_is_somewhere(fermenter_l: float, og: float, held: float, dead_l: float, loss_l: float) -> None:
    """Mash and sparge water are what the grain holds, the dead space and the kettle before the boil."""
    grain_kg = fermenter_l / 6.0
    rig = _rig(held, dead_l, loss_l)

    plan = _plan(fermenter_l, og, grain_kg, 3.0 * grain_kg, rig)

    assert math.isclose(held * grain_kg + dead_l + plan.pre_boil_l.value, plan.total_l.value, rel_tol=1e-9)
    assert math.isclose(plan.first_wort_l.value + plan.sparge_l.value, plan.pre_boil_l.value, rel_tol=1e-9)
    assert math.isclose(fermenter_l + loss_l, plan.post_boil_l.value, rel_tol=1e-9)


@given(st.floats(15.0, 50.0), st.floats(1.02, 1.09), st.floats(0.0, 6.0))
def test_boiling_the_plan_forward_ends_where_it_was_wanted(fermenter_l: float, og: float, boil_off: float) -> None:
    """The kettle before the boil, boiled for the hour, has the volume and the gravity that were asked for."""
    rig = _rig(boil_off=boil_off)
    plan = _plan(fermenter_l, og, fermenter_l / 6.0, fermenter_l / 2.0, rig)

    after_l, after_sg = extract.boil(plan.pre_boil_l.value, plan.pre_boil_sg.value, 60.0, boil_off)

    assert math.isclose(plan.post_boil_l.value, after_l, rel_tol=1e-9)
    assert math.isclose(og, after_sg, abs_tol=1e-9)


def test_hot_volumes_are_the_cold_ones_grown() -> None:
    """At 98 °C wort of 12 °P takes 4 % more room than at 20 °C: 3.85 % of it is lost on cooling (CALC, values)."""
    sg = scales.sg_from_plato(12.0)
    plan = _plan(20.0, sg, 4.5, 13.5, _rig())

    shrinks = 1.0 - plan.post_boil_l.value / plan.post_boil_hot_l.value

    assert shrinks == pytest.approx(0.0385, abs=0.0005)
    assert plan.pre_boil_hot_l.value == pytest.approx(
        volumes.volume_at_temperature_l(plan.pre_boil_l.value, 98.0, plan.pre_boil_sg.value), rel=1e-12
    )


@pytest.mark.parametrize(("plato", "hot", "percent"), [(12.0, 98.0, 3.85), (12.0, 95.0, 3.65), (15.0, 100.0, 3.99)])
def test_shrinkage_meets_the_table(plato: float, hot: float, percent: float) -> None:
    """Wort loses on cooling to 20 °C what IAPWS-95 water and Bubnik's sugar solutions lose (CALC/LIB, ±0.05 %)."""
    told = water_use.hot_l(*_exact(20.0, hot, scales.sg_from_plato(plato)))

    assert percent == pytest.approx(100.0 * (1.0 - 20.0 / told.value), abs=0.05)


@given(st.floats(1.0, 10.0), st.floats(0.5, 1.5), st.floats(15.0, 50.0))
def test_what_the_grain_held_is_found_again(grain_kg: float, held: float, water_l: float) -> None:
    """From what was poured on and what ran off comes the figure that the run-off was reckoned with."""
    assume(water_l > held * grain_kg)
    run_off = water_use.first_wort_l(*_exact(grain_kg, water_l), _rig(held, 0.0))

    found = water_use.held_l_per_kg_from(*_exact(grain_kg, water_l, run_off.value))

    assert math.isclose(held, found.value, rel_tol=1e-9)


@given(st.floats(2.0, 8.0), st.floats(0.1, 1.0))
def test_more_grain_wants_more_water(grain_kg: float, more_kg: float) -> None:
    """The same kettle from more grain takes more sparge water, by what the grain holds."""
    less, more = (
        water_use.sparge_l(*_exact(40.0, grain, 24.0), _rig(1.0)).value for grain in (grain_kg, grain_kg + more_kg)
    )

    assert math.isclose(more_kg, more - less, rel_tol=1e-6)


def test_the_trade_figure_is_told_as_a_rule() -> None:
    """With the usual litre a kilogram the answer is a rule of thumb; with a measured figure it is a balance."""
    usual = water_use.held_l(Measured(5.0, 0.0))
    own = water_use.held_l(Measured(5.0, 0.0), Measured(0.93, 0.03))

    assert Verdict.RULE_OF_THUMB is usual.verdict
    assert "measure your own" in usual.note
    assert Verdict.INSIDE is own.verdict
    assert {usual.source, own.source} <= set(SOURCES)


def test_sparge_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of the sparge water is that of 4000 simulated days, within 5 %."""
    rig = Rig(Measured(1.0, 0.1), Measured(1.0, 0.1), Measured(2.0, 0.3), Measured(3.5, 0.4))
    plan = water_use.water_plan(
        Measured(20.0, 0.1),
        Measured(1.048, 0.0),
        grain_kg=Measured(4.5, 0.05),
        mash_water_l=Measured(13.5, 0.2),
        boil_minutes=Measured(60.0, 0.0),
        rig=rig,
    )
    rng = np.random.default_rng(14)
    held, dead, loss, rate = (
        rng.normal(item.value, item.sd, 4000)
        for item in (rig.held_l_per_kg, rig.tun_dead_l, rig.kettle_loss_l, rig.boil_off_l_per_h)
    )
    fermenter, grain, mashed = rng.normal(20.0, 0.1, 4000), rng.normal(4.5, 0.05, 4000), rng.normal(13.5, 0.2, 4000)
    in_kettle = [
        extract.add_water(ends, 1.048, boiled)[0] for ends, boiled in zip(fermenter + loss, rate, strict=True)
    ]

    simulated = np.array(in_kettle) - (mashed - held * grain - dead)

    assert float(np.std(simulated)) == pytest.approx(plan.sparge_l.sd, rel=0.05)
    assert float(np.mean(simulated)) == pytest.approx(plan.sparge_l.value, abs=0.05)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: water_use.first_wort_l(*_exact(5.0, 4.0), _rig()), "4 L give no wort"),
        (lambda: water_use.sparge_l(*_exact(10.0, 5.0, 24.0), _rig()), "mash with 8.5 L less"),
        (lambda: _plan(10.0, 1.048, 4.0, 24.0, _rig()), "The mash alone gives"),
        (lambda: _plan(0.0, 1.048, 4.0, 12.0, _rig()), "more than 0 L, not 0 L"),
        (lambda: _plan(20.0, 1.3, 4.0, 12.0, _rig()), "1.170 SG, not 1.300 SG"),
        (lambda: water_use.held_l(*_exact(-1.0)), "at least 0 kg, not -1 kg"),
        (lambda: water_use.held_l(*_exact(5.0, 9.0)), "0 to 3 L/kg, not 9 L/kg"),
        (lambda: water_use.held_l_per_kg_from(*_exact(5.0, 20.0, 21.0)), "at least 0 L, not -1 L"),
        (lambda: water_use.held_l_per_kg_from(*_exact(0.0, 20.0, 15.0)), "more than 0 kg"),
    ],
)
def test_water_that_does_not_add_up_is_refused(call: object, words: str) -> None:
    """Volumes that cannot be get one sentence with what would be right."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
