"""Bitterness of a hop bill over a day's temperatures."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import bitterness as bitter
from assistant.calculation import boil_history, hop_kinetics, hop_utilisation, pressure, scales, steam
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

WORT = HoppedWort(Measured(20.0, 0.2), Measured(1.050, 0.001))


def _boiling_c(altitude_m: float, sg: float) -> float:
    pascal = pressure.pressure_pa(altitude_m)
    share = scales.mass_fraction_from_sg(sg)
    return pressure.boiling_point_c(pascal) + steam.boiling_point_elevation_k(share, pascal)


def _boil(minutes: float, altitude_m: float = 0.0) -> boil_history.Points:
    return boil_history.boil_history(0.0, 60.0 * minutes, _boiling_c(altitude_m, 1.050))


def _hops(in_at_min: float, grams: float = 30.0, alpha: float = 0.10) -> HopAddition:
    return HopAddition(Measured(grams / 1000.0, 0.0005), Measured(alpha, 0.1 * alpha), 60.0 * in_at_min)


@pytest.mark.parametrize("sg", [1.000, 1.030, 1.050, 1.080, 1.110, 1.130])
def test_sixty_minutes_at_sea_level_are_tinseth(sg: float) -> None:
    """The calibration: 60 minutes at the wort's boiling point at sea level give Tinseth's number at its gravity."""
    wort = HoppedWort(Measured(20.0, 0.0), Measured(sg, 0.0))
    boiling_c = _boiling_c(0.0, sg)
    expected = hop_utilisation.tinseth_ibu(_hops(0.0), 3600.0, wort)

    got = bitter.bitterness([_hops(0.0)], [(0.0, boiling_c), (3600.0, boiling_c)], wort, 3600.0)

    assert expected.value == pytest.approx(got.value, rel=1e-9)


def test_the_mountain_takes_what_the_kinetics_say() -> None:
    """At 1500 m, 60 minutes give three quarters of the bitterness at sea level; 92 minutes give it all."""
    at_sea = bitter.bitterness([_hops(0.0)], _boil(60.0), WORT, 3600.0).value

    up_there = [
        bitter.bitterness([_hops(0.0)], _boil(minutes, 1500.0), WORT, 60.0 * minutes).value
        for minutes in (60.0, 91.7)
    ]

    assert [0.761 * at_sea, at_sea] == pytest.approx(up_there, rel=0.005)


@given(st.lists(st.tuples(st.floats(0.0, 60.0), st.floats(1.0, 100.0)), min_size=1, max_size=5))
def test_additions_add_up(bill: list[tuple[float, float]]) -> None:
    """The whole bill is the sum of its additions, and no addition is negative."""
    additions = [_hops(in_at_min, grams) for in_at_min, grams in bill]

    day = bitter.bitterness_now_and_then(additions, _boil(60.0), WORT, 1800.0)

    assert math.fsum(item.value for item in day.by_addition) == pytest.approx(day.at_end.value, abs=1e-9)
    assert min(item.value for item in day.by_addition) >= 0.0
    assert day.so_far.value <= day.at_end.value + 1e-9


@given(st.floats(0.0, 58.0), st.floats(0.1, 2.0))
def test_later_hops_are_less_bitter(in_at_min: float, later_min: float) -> None:
    """Within a boil of an hour the same hops give less the later they go in."""
    values = [
        bitter.bitterness([_hops(at_min)], _boil(60.0), WORT, 3600.0).value
        for at_min in (in_at_min, in_at_min + later_min)
    ]

    assert values[0] > values[1]


def test_a_longer_boil_a_stand_and_a_slow_cooling_each_add() -> None:
    """The day that really happened counts: ten more minutes, a stand at 80 °C, or no chilling at all give more."""
    late = [_hops(50.0)]
    out_s, at_c = 3600.0, _boiling_c(0.0, 1.050)
    stand = boil_history.boil_history(0.0, out_s, at_c, after=[(out_s + 60.0, 80.0), (out_s + 1800.0, 80.0)])
    fast, slow = (
        boil_history.boil_history(
            0.0, out_s, at_c, after=boil_history.cooling_points(out_s, at_c, 18.0, tau_s, out_s + 43200.0)[1:]
        )
        for tau_s in (300.0, 18000.0)
    )

    told = [
        bitter.bitterness(late, history, WORT, history[-1][0]).value for history in (_boil(60.0), fast, stand, slow)
    ]

    assert told == sorted(told)
    assert told[3] > 3.0 * told[0]


def test_a_hold_counts_with_the_temperature_it_had() -> None:
    """Ten minutes at 90 °C in the middle of a boil add what the kinetics say, less than ten minutes of boil."""
    at_c = _boiling_c(0.0, 1.050)
    held = boil_history.boil_history(0.0, 4200.0, at_c, holds=[boil_history.Hold(1800.0, 2400.0, 90.0)])

    told = [
        bitter.bitterness([_hops(0.0)], history, WORT, history[-1][0]).value
        for history in (_boil(60.0), held, _boil(70.0))
    ]

    assert told[0] < told[1] < told[2]


@given(st.floats(5.0, 60.0), st.floats(0.0, 40.0), st.floats(0.0, 50.0))
def test_the_mass_that_makes_up_makes_up(target_ibu: float, grams_in: float, in_at_min: float) -> None:
    """The mass told, put in, gives the bitterness asked for; where it cannot, it is refused."""
    additions, later = [_hops(0.0, grams_in)], _hops(in_at_min)
    try:
        told = bitter.mass_to_make_up_kg(target_ibu, additions, later, _boil(60.0), WORT)
    except OutsideRange as refusal:
        assert str(refusal).endswith(".")
        return
    replaced = HopAddition(Measured(told.value, 0.0), later.alpha_fraction, later.in_at_s)

    assert target_ibu == pytest.approx(bitter.bitterness([*additions, replaced], _boil(60.0), WORT, 3600.0).value)


def test_forgotten_hops_are_made_up_for() -> None:
    """Hops of the start forgotten for half an hour: more of them then give the bitterness that was planned."""
    planned = bitter.bitterness([_hops(0.0)], _boil(60.0), WORT, 3600.0)

    told = bitter.mass_to_make_up_kg(planned.value, [], _hops(30.0), _boil(60.0), WORT)

    assert 0.0478 == pytest.approx(told.value, abs=0.0002)
    assert "kg" == told.unit


@pytest.mark.parametrize(
    ("target", "additions", "later", "words"),
    [
        (20.0, [_hops(0.0)], _hops(30.0), "34.6 IBU without more hops, over the 20 wanted"),
        (60.0, [], _hops(60.0), "so late give no bitterness"),
        (60.0, [], _hops(58.0), "400 g of these hops bring it to 24"),
        (60.0, [], _hops(30.0, alpha=0.0), "without alpha acid"),
        (300.0, [], _hops(30.0), "from 0 to 200 IBU, not 300 IBU"),
        (30.0, [], _hops(61.0), "from 0 to 3600 s, not 3660 s"),
        (30.0, [], _hops(0.0, alpha=12.5), "from 0 to 0.7, not 12.5"),
    ],
)
def test_the_impossible_is_refused(
    target: float, additions: list[HopAddition], later: HopAddition, words: str
) -> None:
    """Bitterness to be taken out, hops without effect, a kettle full of hops, percent for a fraction: refused."""
    with pytest.raises(OutsideRange) as refusal:
        bitter.mass_to_make_up_kg(target, additions, later, _boil(60.0), WORT)

    assert words in str(refusal.value)


def test_the_uncertainty_is_that_of_random_trials() -> None:
    """20 000 trials of everything that is not known scatter as the propagated uncertainty says, within 4 %."""
    additions = [_hops(0.0), _hops(45.0, 40.0, 0.05)]
    history = _boil(60.0)
    told = bitter.bitterness(additions, history, WORT, 3600.0)
    noise, count = np.random.default_rng(5), 20_000
    rates = np.linspace(0.5, 1.5, 201)
    total = np.zeros(count)
    rate = np.clip(noise.normal(1.0, 0.10, count), 0.5, 1.5)
    for item in additions:
        curve = [hop_kinetics.after_history(history, item.in_at_s, 3600.0, float(factor)).iso for factor in rates]
        mass = noise.normal(item.mass_kg.value, item.mass_kg.sd, count)
        alpha = noise.normal(item.alpha_fraction.value, item.alpha_fraction.sd, count)
        total += mass * alpha * np.interp(rate, rates, curve)
    gravities = np.linspace(1.045, 1.055, 21)
    kept = np.interp(noise.normal(1.050, 0.001, count), gravities, [bitter.recovery(float(sg)) for sg in gravities])
    total *= 1e6 * kept * noise.normal(1.0, 0.20, count) / noise.normal(20.0, 0.2, count)

    assert total.mean() == pytest.approx(told.value, rel=0.02)
    assert total.std() == pytest.approx(told.sd, rel=0.04)


def test_the_uncertainty_of_the_mass_is_that_of_random_trials() -> None:
    """What is not known of alpha acid, recovery and rates scatters the make-up mass as told, within 6 %."""
    early, later, history = _hops(0.0, 15.0), _hops(20.0), _boil(60.0)
    told = bitter.mass_to_make_up_kg(35.0, [early], later, history, WORT)
    noise, count = np.random.default_rng(6), 20_000
    rates = np.linspace(0.5, 1.5, 201)
    rate = np.clip(noise.normal(1.0, 0.10, count), 0.5, 1.5)
    iso = [
        np.interp(
            rate, rates, [hop_kinetics.after_history(history, item.in_at_s, 3600.0, float(f)).iso for f in rates]
        )
        for item in (early, later)
    ]
    kept = bitter.recovery(1.050) * noise.normal(1.0, 0.20, count) * 1e6 / noise.normal(20.0, 0.2, count)
    in_already = noise.normal(0.015, 0.0005, count) * noise.normal(0.10, 0.01, count) * iso[0] * kept
    masses = (35.0 - in_already) / (noise.normal(0.10, 0.01, count) * iso[1] * kept)
    # The mass goes with one over the recovery, whose tail is long; the middle 68 % is what a first order can tell.
    half_width = float(np.diff(np.quantile(masses, [0.1587, 0.8413]))[0]) / 2.0

    assert float(np.median(masses)) == pytest.approx(told.value, rel=0.04)
    assert half_width == pytest.approx(told.sd, rel=0.06)


def test_what_leans_on_carried_on_rates_says_so() -> None:
    """A stand at 80 °C, and 200 g of strong hops in 20 L, are marked; an ordinary boil is not."""
    stand = [(0.0, 80.0), (1800.0, 80.0)]

    told = [
        bitter.bitterness([_hops(0.0)], _boil(60.0), WORT, 3600.0),
        bitter.bitterness([_hops(0.0)], stand, WORT, 1800.0),
        bitter.bitterness([_hops(0.0, 200.0)], _boil(60.0), WORT, 3600.0),
        bitter.bitterness([], _boil(60.0), WORT, 3600.0),
    ]

    assert [Verdict.INSIDE, Verdict.NEAR_LIMIT, Verdict.NEAR_LIMIT, Verdict.INSIDE] == [
        item.verdict for item in told
    ]
    assert told[1].note.startswith("100 % of it is made below 90 °C")
    assert told[2].note.startswith("1000 mg/L of alpha acid")
    assert not told[3].value


def test_every_answer_names_a_source_that_is_listed() -> None:
    """Kinetics, Tinseth and Rager are in the table of sources, the two tables as rules of the trade."""
    tables = [rule(_hops(0.0), 3600.0, WORT) for rule in (hop_utilisation.tinseth_ibu, hop_utilisation.rager_ibu)]

    assert {Verdict.RULE_OF_THUMB} == {item.verdict for item in tables}
    assert {item.source for item in [*tables, bitter.bitterness([_hops(0.0)], _boil(60.0), WORT, 3600.0)]} <= set(
        SOURCES
    )


@pytest.mark.parametrize(
    ("minutes", "utilisation"), [(0.0, 0.05), (5.0, 0.05), (5.01, 0.06), (30.0, 0.153), (50.0, 0.281), (90.0, 0.30)]
)
def test_the_steps_of_rager(minutes: float, utilisation: float) -> None:
    """A minute over a step of the table counts to the next one, and above an hour nothing is gained."""
    assert utilisation == hop_utilisation.rager_utilisation(60.0 * minutes, 1.040)


@given(st.floats(0.0, 230.0), st.floats(0.1, 10.0), st.floats(1.0, 1.12))
def test_tables_rise_with_time_and_fall_with_gravity(minutes: float, more: float, sg: float) -> None:
    """Both tables give no less for a longer boil and no more for a heavier wort."""
    for table in (hop_utilisation.tinseth_utilisation, hop_utilisation.rager_utilisation):
        assert table(60.0 * minutes, sg) <= table(60.0 * (minutes + more), sg)
        assert table(60.0 * minutes, sg) >= table(60.0 * minutes, sg + 0.01)
