"""The heat of a mash: each step undone by its inverse, the energy of the parts kept, the impossible refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import mash, mash_steps, water
from assistant.calculation.heat import WATER_J_PER_KG_K, malt_specific_heat_j_per_kg_k
from assistant.calculation.mash_steps import Mash
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

GRAIN = st.floats(1.0, 15.0)
THICKNESS = st.floats(2.0, 6.0)


def _exact(*values: float) -> list[Measured]:
    return [Measured(value, 0.0) for value in values]


def _mash(grain_kg: float, water_kg: float, temperature_c: float, tun_j_per_k: float = 0.0) -> Mash:
    return Mash(*_exact(grain_kg, water_kg, temperature_c), tun_j_per_k=tun_j_per_k)


@given(THICKNESS, st.floats(45.0, 72.0), st.floats(0.0, 35.0), st.floats(0.0, 8000.0), st.booleans())
def test_strike_water_makes_the_mash_that_was_wanted(
    ratio: float, target_c: float, grain_c: float, tun: float, slaking: bool
) -> None:
    """Malt mashed with the strike water that was told has the target temperature, whatever is counted."""
    grain_kg = 5.0
    litres = ratio * grain_kg
    grain, measured_l, at_c = _exact(grain_kg, litres, grain_c)
    try:
        told = mash.strike_c(
            grain, measured_l, target_c, at_c, boiling_c=100.0, slaking=slaking, tun_j_per_k=tun, tun_c=15.0
        )
    except OutsideRange as refusal:
        assert "boils at 100 °C" in str(refusal)
        return

    water_kg = mash.water_l_to_kg(litres)
    reached = mash.mash_temperature_c(
        grain_kg, grain_c, water_kg, told.value, slaking=slaking, tun_j_per_k=tun, tun_c=15.0
    )
    assert math.isclose(target_c, reached, abs_tol=1e-9)


@given(GRAIN, THICKNESS, st.floats(0.0, 30.0), st.floats(0.5, 5.0))
def test_colder_malt_wants_hotter_water(grain_kg: float, ratio: float, grain_c: float, colder_k: float) -> None:
    """The strike water rises as the malt gets colder."""
    warm, cold = (
        mash.strike_c(*_exact(grain_kg, ratio * grain_kg), 60.0, Measured(at_c, 0.0), boiling_c=100.0).value
        for at_c in (grain_c, grain_c - colder_k)
    )

    assert warm < cold


def test_a_refusal_tells_water_that_would_do() -> None:
    """Where the strike water would have to be above the boil, the litres that are told do make it."""
    grain, cold = Measured(5.0, 0.0), Measured(5.0, 0.0)
    with pytest.raises(OutsideRange) as refusal:
        mash.strike_c(grain, Measured(4.0, 0.0), 68.0, cold, boiling_c=95.0, slaking=False)
    litres = float(str(refusal.value).split("at least ")[1].split(" L")[0])

    told = mash.strike_c(grain, Measured(litres, 0.0), 68.0, cold, boiling_c=95.2, slaking=False)

    assert told.value == pytest.approx(95.0, abs=0.15)


def test_the_other_number_without_wetting_heat_is_told() -> None:
    """The answer names the strike temperature without the heat of wetting beside its own."""
    told = mash.strike_c(*_exact(5.0, 15.0), 67.0, Measured(20.0, 0.0), boiling_c=100.0)
    plain = mash.strike_c(*_exact(5.0, 15.0), 67.0, Measured(20.0, 0.0), boiling_c=100.0, slaking=False)

    assert f"{plain.value:.1f} °C" in told.note
    assert told.value < plain.value


@given(st.floats(5.0, 40.0), st.floats(60.0, 95.0), st.floats(0.0, 30.0), st.floats(100.0, 9000.0))
def test_the_tun_is_found_from_hot_water(litres: float, hot_c: float, tun_c: float, tun: float) -> None:
    """Hot water poured into a tun of known heat capacity gives that capacity back."""
    settled_c = mash.mash_temperature_c(
        0.0, 20.0, mash.water_l_to_kg(litres), hot_c, tun_j_per_k=tun, tun_c=tun_c, slaking=False
    )

    told = mash.tun_heat_capacity_j_per_k(*_exact(litres, hot_c, settled_c, tun_c))

    assert math.isclose(tun, told.value, rel_tol=1e-6)


@given(GRAIN, THICKNESS, st.floats(35.0, 65.0), st.floats(0.5, 12.0), st.floats(0.0, 8000.0))
def test_an_infusion_reaches_its_target(
    grain_kg: float, ratio: float, start_c: float, rise_k: float, tun: float
) -> None:
    """The water that was told for a step brings the mash to that step."""
    now = _mash(grain_kg, ratio * grain_kg, start_c, tun)
    litres = mash_steps.infusion_l(now, start_c + rise_k, Measured(98.0, 0.0))

    reached = mash_steps.after_infusion_c(now, Measured(litres.value, 0.0), Measured(98.0, 0.0))

    assert math.isclose(start_c + rise_k, reached.value, abs_tol=1e-9)


@given(GRAIN, THICKNESS, st.floats(1.0, 8.0), st.floats(1.0, 8.0), st.floats(1.0, 8.0))
def test_steps_in_a_row_are_single_steps_one_after_another(
    grain_kg: float, ratio: float, first_k: float, second_k: float, third_k: float
) -> None:
    """Three steps told at once are the three told singly, each with the water of those before."""
    now = _mash(grain_kg, ratio * grain_kg, 48.0)
    targets = (48.0 + first_k, 48.0 + first_k + second_k, 48.0 + first_k + second_k + third_k)

    steps = mash_steps.step_infusions_l(now, targets, Measured(97.0, 0.0))

    for step, target_c in zip(steps, targets, strict=True):
        assert math.isclose(
            mash_steps.infusion_l(now, target_c, Measured(97.0, 0.0)).value, step.value, rel_tol=1e-9
        )
        wet_kg = now.water_kg.value + mash.water_l_to_kg(step.value)
        now = _mash(grain_kg, wet_kg, target_c)


def test_cooler_boiling_water_takes_more_of_it() -> None:
    """At 2000 m, where water boils at 93.3 °C, the same step takes more water than at the sea."""
    now = _mash(5.0, 12.0, 52.0)

    assert (
        mash_steps.infusion_l(now, 66.0, Measured(99.97, 0.0)).value
        < mash_steps.infusion_l(now, 66.0, Measured(93.32, 0.0)).value
    )


def test_cold_water_brings_a_hot_mash_down() -> None:
    """A mash that came out 3 K too hot is brought down with cold water by the same balance."""
    now = _mash(5.0, 15.0, 70.0)
    told = mash_steps.infusion_l(now, 67.0, Measured(15.0, 0.0))

    reached = mash_steps.after_infusion_c(now, Measured(told.value, 0.0), Measured(15.0, 0.0))

    assert reached.value == pytest.approx(67.0, abs=1e-9)


@given(st.floats(2.5, 6.0), st.floats(50.0, 68.0), st.floats(0.5, 8.0), st.floats(0.0, 4000.0), st.booleans())
def test_a_decoction_keeps_the_energy(ratio: float, start_c: float, rise_k: float, tun: float, thin: bool) -> None:
    """What is pulled at the boil and what stayed, mixed, have the target: energy before and after is the same."""
    grain_kg = 5.0
    now = _mash(grain_kg, ratio * grain_kg, start_c, tun)
    target_c = start_c + rise_k
    try:
        told = mash_steps.decoction_l(now, target_c, Measured(100.0, 0.0), thin=thin)
    except OutsideRange as refusal:
        assert "can be drawn" in str(refusal)
        return

    malt = grain_kg * malt_specific_heat_j_per_kg_k(0.04)
    contents = malt + now.water_kg.value * WATER_J_PER_KG_K
    if thin:
        pulled = told.value * water.density_kg_m3(start_c) / 1000.0 * WATER_J_PER_KG_K
    else:
        pulled = contents * told.value / mash_steps.mash_volume_l(now).value
    mixed_c = (pulled * 100.0 + (contents - pulled + tun) * start_c) / (contents + tun)
    assert math.isclose(target_c, mixed_c, abs_tol=1e-9)


@given(THICKNESS, st.floats(50.0, 75.0), st.floats(0.0, 30.0), st.floats(0.1, 6.0), st.floats(5.0, 120.0))
def test_the_loss_is_found_from_a_rest(
    ratio: float, start_c: float, room_c: float, loss: float, minutes: float
) -> None:
    """A mash that cooled through a known loss tells that loss, and it cools toward the room, not below it."""
    now = _mash(5.0, ratio * 5.0, start_c)
    later = mash_steps.after_rest_c(now, minutes, Measured(loss, 0.0), Measured(room_c, 0.0))

    found = mash_steps.tun_loss_w_per_k(now, Measured(later.value, 0.0), minutes, Measured(room_c, 0.0))

    assert room_c < later.value < start_c
    assert math.isclose(loss, found.value, rel_tol=1e-6)


def test_strike_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of the strike temperature is that of 5000 simulated mashes, within 5 %."""
    inputs = [Measured(5.0, 0.05), Measured(15.0, 0.3), Measured(18.0, 1.5)]
    told = mash.strike_c(*inputs[:2], 67.0, inputs[2], boiling_c=100.0)
    rng = np.random.default_rng(9)
    grain, litres, at_c = (rng.normal(item.value, item.sd, 5000) for item in inputs)
    malt = malt_specific_heat_j_per_kg_k(0.04)
    specific = rng.normal(malt, 0.02 * WATER_J_PER_KG_K, 5000)
    wetting = rng.normal(1.5, 0.3, 5000) * (malt + 2.68 * WATER_J_PER_KG_K)

    simulated = 67.0 + grain * (specific * (67.0 - at_c) - wetting) / (litres * 0.9982031 * WATER_J_PER_KG_K)

    assert float(np.std(simulated)) == pytest.approx(told.sd, rel=0.05)
    assert float(np.mean(simulated)) == pytest.approx(told.value, abs=0.03)


def test_infusion_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of the second of two infusions is that of 5000 simulated mashes, within 5 %."""
    inputs = [Measured(5.0, 0.05), Measured(10.0, 0.2), Measured(52.0, 0.4)]
    told = mash_steps.step_infusions_l(Mash(*inputs), (63.0, 71.0), Measured(98.0, 0.5))[1]
    rng = np.random.default_rng(10)
    grain, liquid, start_c = (rng.normal(item.value, item.sd, 5000) for item in inputs)
    hot_c = rng.normal(98.0, 0.5, 5000)
    specific = rng.normal(0.40, 0.02, 5000)

    first_kg = (grain * specific + liquid) * (63.0 - start_c) / (hot_c - 63.0)
    second_kg = (grain * specific + liquid + first_kg) * (71.0 - 63.0) / (hot_c - 71.0)

    assert float(np.std(second_kg / 0.9982031)) == pytest.approx(told.sd, rel=0.05)


def test_every_answer_names_a_known_source() -> None:
    """What the mash tells is traced to the table of sources."""
    now = _mash(5.0, 12.0, 52.0)
    keys = {
        mash.strike_c(*_exact(5.0, 15.0), 67.0, Measured(20.0, 0.0), boiling_c=100.0).source,
        mash.tun_heat_capacity_j_per_k(*_exact(15.0, 72.0, 69.5, 20.0)).source,
        mash_steps.infusion_l(now, 60.0, Measured(99.0, 0.0)).source,
        mash_steps.mash_volume_l(now).source,
        mash_steps.after_rest_c(now, 30.0, *_exact(1.0, 20.0)).source,
    }

    assert not keys - set(SOURCES)


NOW = _mash(5.0, 15.0, 66.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (
            lambda: mash.strike_c(*_exact(5.0, 5.0), 67.0, Measured(5.0, 0.0), boiling_c=90.0, slaking=False),
            "cannot be reached with 5 L",
        ),
        (
            lambda: mash.strike_c(*_exact(5.0, 15.0), 95.0, Measured(5.0, 0.0), boiling_c=90.0),
            "take a lower target",
        ),
        (lambda: mash.strike_c(*_exact(0.0, 5.0), 67.0, Measured(5.0, 0.0), boiling_c=99.0), "more than 0 kg"),
        (
            lambda: mash.strike_c(*_exact(5.0, 5.0), 67.0, Measured(5.0, 0.0), boiling_c=99.0, moisture=0.2),
            "0 to 0.08, not 0.2",
        ),
        (lambda: mash.mash_temperature_c(5.0, 20.0, 0.0, 70.0), "The water must be more than 0"),
        (lambda: mash.mash_temperature_c(5.0, 20.0, 15.0, 120.0), "0 to 100 °C, not 120 °C"),
        (lambda: mash.tun_heat_capacity_j_per_k(*_exact(15.0, 70.0, 71.0, 20.0)), "at least 0 K, not -1 K"),
        (lambda: mash_steps.infusion_l(NOW, 99.0, Measured(95.0, 0.0)), "never to 99 °C"),
        (lambda: mash_steps.infusion_l(NOW, 60.0, Measured(95.0, 0.0)), "never to 60 °C"),
        (lambda: mash_steps.infusion_l(NOW, 66.0, Measured(66.0, 0.0)), "not to it"),
        (lambda: mash_steps.infusion_l(NOW, 80.0, Measured(140.0, 0.0)), "0 to 101.6 °C, not 140 °C"),
        (lambda: mash_steps.step_infusions_l(NOW, (72.0, 76.0), Measured(99.0, 0.0), 22.0), "it holds 22 L"),
        (lambda: mash_steps.mash_out_l(NOW, Measured(99.0, 0.0), 85.0), "66 to 80 °C, not 85 °C"),
        (lambda: mash_steps.decoction_l(NOW, 60.0, Measured(99.0, 0.0)), "60 °C is below the 66 °C"),
        (lambda: mash_steps.decoction_l(NOW, 99.5, Measured(99.0, 0.0)), "never to 99.5 °C"),
        (lambda: mash_steps.decoction_l(NOW, 92.0, Measured(99.0, 0.0), thin=True), "can be drawn"),
        (lambda: mash_steps.after_rest_c(NOW, -1.0, *_exact(1.0, 20.0)), "at least 0 min"),
        (lambda: mash_steps.tun_loss_w_per_k(NOW, Measured(67.0, 0.0), 60.0, Measured(20.0, 0.0)), "at least 0 K"),
        (lambda: mash_steps.tun_loss_w_per_k(NOW, Measured(18.0, 0.0), 60.0, Measured(20.0, 0.0)), "more than 0 K"),
        (lambda: mash_steps.infusion_l(_mash(-1.0, 15.0, 66.0), 70.0, Measured(99.0, 0.0)), "at least 0 kg"),
        (lambda: mash.slaking_heat_j_per_kg(0.1), "0 to 0.08, not 0.1"),
    ],
)
def test_what_heat_cannot_do_is_refused(call: object, words: str) -> None:
    """A mash that cannot be had gets one sentence that says why, and what would do where there is something."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
