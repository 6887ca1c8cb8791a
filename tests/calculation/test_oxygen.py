"""Oxygen in wort: what is taken up, what can be reached, how long it takes by the trade's rules."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import oxygen, pressure
from assistant.calculation.oxygen import Gas
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

SEA_LEVEL = Measured(101_325.0, 500.0)
WORT = Measured(1.048, 0.001)


def _told(gas: Gas = Gas.AIR, temperature_c: float = 18.0, sg: float = 1.048) -> oxygen.Result:
    return oxygen.saturation_mg_per_l(Measured(temperature_c, 0.5), SEA_LEVEL, Measured(sg, 0.001), gas)


@given(st.floats(0.0, 39.0), st.floats(46e3, 109e3), st.floats(1.0, 1.12))
def test_colder_denser_air_and_thinner_wort_hold_more(temperature_c: float, pascal: float, sg: float) -> None:
    """A degree less, a kilopascal more and less extract each leave more oxygen in the wort."""
    plain = oxygen.in_water_mg_per_l(temperature_c, pascal)

    assert plain > oxygen.in_water_mg_per_l(temperature_c + 1.0, pascal)
    assert plain < oxygen.in_water_mg_per_l(temperature_c, pascal + 1000.0)
    assert oxygen.wort_factor(sg) > oxygen.wort_factor(sg + 0.01)
    assert oxygen.wort_factor(sg) <= 1.0


def test_pressure_on_the_spot_is_not_the_one_reduced_to_sea_level() -> None:
    """At 1500 m the pressure of a weather report would tell 20 % too much oxygen."""
    on_the_spot = oxygen.in_water_mg_per_l(20.0, pressure.pressure_pa(1500.0))

    assert 1.205 == pytest.approx(oxygen.in_water_mg_per_l(20.0, 101_325.0) / on_the_spot, abs=0.01)


def test_the_range_of_wort_is_as_wide_as_the_sources_disagree() -> None:
    """Two standard uncertainties at 12 °P are 15 %, and both sources lie within them; water is sure to 1 %."""
    wort, water = _told(sg=1.04839), _told(sg=1.0)
    of_water = oxygen.in_water_mg_per_l(18.0, 101_325.0)

    assert 0.15 == pytest.approx(2.0 * wort.sd / wort.value, abs=0.015)
    for factor in (0.89, 0.79):
        assert abs(factor * of_water - wort.value) < 1.645 * wort.sd
    assert 2.0 * water.sd / water.value < 0.03
    assert (Verdict.NEAR_LIMIT, Verdict.INSIDE) == (wort.verdict, water.verdict)
    assert "75 to 90 %" in wort.note


def test_the_uncertainty_is_that_of_random_trials() -> None:
    """50 000 trials scatter as the propagated uncertainty says, within 3 %."""
    told = _told()
    noise, count = np.random.default_rng(7), 50_000
    temperatures = np.linspace(14.0, 22.0, 161)
    of_water = [oxygen.in_water_mg_per_l(float(t), 101_325.0) for t in temperatures]
    constants = np.linspace(0.0, 0.5, 101)
    factors = [oxygen.wort_factor(1.048, float(k)) for k in constants]
    trials = np.interp(noise.normal(18.0, 0.5, count), temperatures, of_water)
    trials *= np.interp(noise.normal(0.21, 0.09, count), constants, factors)
    trials *= noise.normal(1.0, 500.0 / 101_325.0, count) * noise.normal(1.0, 0.005, count)

    assert told.sd == pytest.approx(float(trials.std()), rel=0.03)
    assert told.value == pytest.approx(float(trials.mean()), rel=0.01)


@pytest.mark.parametrize(
    ("wanted", "gas", "reached"),
    [(5.0, Gas.AIR, True), (8.0, Gas.AIR, None), (12.0, Gas.AIR, False), (12.0, Gas.OXYGEN, True)],
)
def test_what_a_gas_can_reach(wanted: float, gas: Gas, reached: bool | None) -> None:
    """Air reaches five milligrams and never twelve; near its limit it cannot be told; oxygen reaches twelve."""
    got = oxygen.can_reach(wanted, _told(gas))

    assert reached == got.reached
    assert bool(got.note) is (reached is not True)


@pytest.mark.parametrize(("sg", "wanted"), [(1.0, 8.0), (1.05, 8.0), (1.06, 9.0), (1.09, 12.0), (1.13, 14.0)])
def test_heavier_wort_is_said_to_want_more(sg: float, wanted: float) -> None:
    """The rule gives 8 mg/L to 1.050 and a milligram for each ten points above, and says that it is a rule."""
    got = oxygen.oxygen_wanted_mg_per_l(Measured(sg, 0.0))

    assert wanted == pytest.approx(got.value)
    assert got.verdict is Verdict.RULE_OF_THUMB


def test_times_are_rules_and_say_so() -> None:
    """A pump for air, a bottle for more; both as a range of common practice."""
    pure = oxygen.aeration_time_s(10.0, _told(Gas.OXYGEN), Gas.OXYGEN)
    air = oxygen.aeration_time_s(7.0, _told(), Gas.AIR)

    assert (82.5, 450.0) == (pure.value, air.value)
    assert "0.75 to 2 minutes" in pure.note
    assert {Verdict.RULE_OF_THUMB} == {pure.verdict, air.verdict}
    assert "CP" == SOURCES[pure.source].status


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: oxygen.in_water_mg_per_l(41.0, 101_325.0), "from 0 to 40 °C, not 41 °C"),
        (lambda: oxygen.in_water_mg_per_l(20.0, 0.0), "Pa, not 0 Pa"),
        (lambda: oxygen.wort_factor(1.2), "to 1.130 SG, not 1.200 SG"),
        (lambda: oxygen.aeration_time_s(12.0, _told(), Gas.AIR), "At most 7.9 mg/L of oxygen can be reached here"),
        (
            lambda: oxygen.aeration_time_s(20.0, _told(Gas.OXYGEN), Gas.OXYGEN),
            "No rule for oxygen reaches 20.0 mg/L",
        ),
        (lambda: oxygen.can_reach(61.0, _told()), "from 0 to 60 mg/L"),
        (lambda: oxygen.oxygen_wanted_mg_per_l(Measured(0.99, 0.0)), "from 1.000 to 1.130 SG"),
    ],
)
def test_what_does_not_hold_is_refused(call: object, words: str) -> None:
    """A gauge pressure of zero, hot wort and what no gas can do get one sentence with the limit."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
