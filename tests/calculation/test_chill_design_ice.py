"""Cooling by ice and by the air."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import chill_ice
from assistant.calculation.results import Verdict
from assistant.quantities import Measured, OutsideRange

WORT = Measured(20.93, 0.0)


@given(st.floats(15.0, 95.0), st.floats(0.1, 1.0), st.floats(0.0, 40.0))
def test_the_least_ice_ends_at_the_target(from_c: float, share: float, bath_kg: float) -> None:
    """The ice told for a bath that ends at the target, put in, brings kettle and bath to rest at the target."""
    to_c = share * 15.0
    bath_c = max(15.0, to_c)
    told = chill_ice.ice_to_cool_kg(
        WORT, 3900.0, Measured(from_c, 0.0), to_c, ends_c=to_c, bath_water_kg=bath_kg, bath_water_c=bath_c
    )

    rests_c = chill_ice.ice_bath_ends_c(
        WORT.value, 3900.0, from_c, told.value, bath_water_kg=bath_kg, bath_water_c=bath_c
    )

    assert to_c == pytest.approx(rests_c, abs=1e-9)


@given(st.floats(10.0, 90.0), st.floats(0.0, 30.0), st.floats(0.0, 20.0))
def test_heat_is_conserved_in_the_bath(wort_c: float, ice_kg: float, bath_kg: float) -> None:
    """While no ice is left, what wort and bath lose is what melted and warmed the ice."""
    rests_c = chill_ice.ice_bath_ends_c(20.0, 3900.0, wort_c, ice_kg, bath_water_kg=bath_kg)
    lost_j = 20.0 * 3900.0 * (wort_c - rests_c) + bath_kg * 4186.0 * (15.0 - rests_c)
    taken_j = ice_kg * (chill_ice.FUSION_J_PER_KG + 4186.0 * rests_c)

    assert lost_j <= taken_j + 1e-3
    assert not rests_c or lost_j == pytest.approx(taken_j, abs=1e-3)


def test_quick_takes_more_ice_than_thrift() -> None:
    """A bath kept at 0 °C takes more ice than one that may end at the target; ice from the freezer takes less."""
    start = Measured(30.0, 0.5)
    quick, thrifty, frozen = (
        chill_ice.ice_to_cool_kg(WORT, 3900.0, start, 18.0, ends_c=ends_c, ice_c=ice_c).value
        for ends_c, ice_c in ((0.0, 0.0), (18.0, 0.0), (0.0, -18.0))
    )

    assert frozen < quick
    assert thrifty < quick
    assert 20.93 * 3900.0 * 12.0 / 333_430.0 == pytest.approx(quick)


def test_a_night_covers_random_trials() -> None:
    """A night's temperature of 50 000 trials scatters as told, within 5 %, where τ was measured."""
    tau, start, air = Measured(20_900.0, 1500.0), Measured(98.0, 0.5), Measured(16.0, 2.0)
    told = chill_ice.overnight_c(tau, start, air, 8 * 3600.0)
    noise, count = np.random.default_rng(10), 50_000
    air_c = noise.normal(air.value, air.sd, count)
    span = noise.normal(start.value, start.sd, count) - air_c
    ends = air_c + span * np.exp(-8 * 3600.0 / noise.normal(tau.value, tau.sd, count))

    assert told.sd == pytest.approx(float(ends.std()), rel=0.05)
    assert told.verdict is Verdict.INSIDE


@given(st.floats(5000.0, 80_000.0), st.floats(-5.0, 18.0), st.floats(20.0, 97.0))
def test_standing_time_and_temperature_are_inverses(tau_s: float, air_c: float, target_c: float) -> None:
    """After the time told the wort has the temperature asked for."""
    tau, start, air = Measured(tau_s, 0.3 * tau_s), Measured(98.0, 0.5), Measured(air_c, 0.5)
    told = chill_ice.standing_time_s(tau, start, air, target_c)

    assert target_c == pytest.approx(chill_ice.overnight_c(tau, start, air, told.value).value, abs=1e-9)
    assert told.verdict is Verdict.NEAR_LIMIT


@given(st.floats(21.0, 100.0), st.floats(0.1, 2.0), st.floats(0.0, 0.9))
def test_hotter_darker_walls_lose_more(surface_c: float, height_m: float, emissivity: float) -> None:
    """A kelvin more and a darker wall lose more to still air of 20 °C."""
    plain = chill_ice.still_air_w_per_m2_k(surface_c, 20.0, height_m, emissivity)

    assert plain < chill_ice.still_air_w_per_m2_k(surface_c + 1.0, 20.0, height_m, emissivity)
    assert plain < chill_ice.still_air_w_per_m2_k(surface_c, 20.0, height_m, emissivity + 0.1)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: chill_ice.ice_to_cool_kg(WORT, 3900.0, Measured(18.0, 0.0), 20.0), "from 0 to 18 °C, not 20 °C"),
        (lambda: chill_ice.ice_to_cool_kg(WORT, 3900.0, Measured(30.0, 0.0), 18.0, ends_c=20.0), "from 0 to 18 °C"),
        (lambda: chill_ice.ice_to_cool_kg(WORT, 3900.0, Measured(30.0, 0.0), 18.0, ice_c=1.0), "from -30 to 0 °C"),
        (lambda: chill_ice.ice_bath_ends_c(20.0, 3900.0, 30.0, -1.0), "at least 0 kg"),
        (lambda: chill_ice.still_air_w_per_m2_k(10.0, 20.0, 0.4, 0.2), "from 20 to 110 °C, not 10 °C"),
        (lambda: chill_ice.natural_time_constant_s(20.0, 3900.0, 0.0, 6.0), "more than 0 m²"),
        (
            lambda: chill_ice.standing_time_s(Measured(2e4, 0.0), Measured(98.0, 0.0), Measured(22.0, 0.0), 20.0),
            "Air of 22 °C never cools wort to 20 °C.",
        ),
        (
            lambda: chill_ice.overnight_c(Measured(2e4, 0.0), Measured(10.0, 0.0), Measured(22.0, 0.0), 60.0),
            "from -30 to 10 °C, not 22 °C",
        ),
        (
            lambda: chill_ice.overnight_c(Measured(2e4, 0.0), Measured(98.0, 0.0), Measured(22.0, 0.0), math.inf),
            "at least 0 s",
        ),
    ],
)
def test_what_ice_and_air_cannot_do_is_refused(call: object, words: str) -> None:
    """Warming with ice, air too warm, a wall colder than the air: one sentence with the limit."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
