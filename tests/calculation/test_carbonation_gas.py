"""Gas in beer: inverses, order, uncertainty, refusals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import carbonation
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

ATM_PA = 101_325.0
CELLAR = st.floats(0.0, 29.0)
AIR = st.floats(60_000.0, 105_000.0)


def _exact(value: float) -> Measured:
    return Measured(value, 0.0)


@given(st.floats(0.0, 300_000.0), CELLAR, AIR)
def test_pressure_and_volumes_undo_each_other(gauge_pa: float, temperature_c: float, air_pa: float) -> None:
    """The pressure for the volumes that a pressure gives is that pressure."""
    held = carbonation.volumes_in_beer(gauge_pa, temperature_c, air_pa)

    assert gauge_pa == pytest.approx(carbonation.gauge_for_volumes_pa(held, temperature_c, air_pa), abs=1e-3)


@given(st.floats(0.0, 300_000.0), CELLAR, AIR, st.floats(0.1, 1.0))
def test_colder_and_harder_pressed_beer_holds_more(
    gauge_pa: float, temperature_c: float, air_pa: float, more: float
) -> None:
    """Beer holds less gas when warmer, and more under more pressure."""
    held = carbonation.volumes_in_beer(gauge_pa, temperature_c, air_pa)

    assert held > carbonation.volumes_in_beer(gauge_pa, temperature_c + more, air_pa)
    assert held < carbonation.volumes_in_beer(gauge_pa + 1000.0 * more, temperature_c, air_pa)


@given(CELLAR, AIR, st.floats(0.1, 1.0))
def test_warmer_or_higher_up_less_stays(highest_c: float, air_pa: float, more: float) -> None:
    """Less gas is left after a warmer fermentation, and under thinner air."""
    left = carbonation.residual(_exact(highest_c), _exact(air_pa)).value

    assert left > carbonation.residual(_exact(highest_c + more), _exact(air_pa)).value
    assert left > carbonation.residual(_exact(highest_c), _exact(air_pa - 1000.0 * more)).value


def test_uncertainty_of_the_residual_meets_a_monte_carlo() -> None:
    """The propagated uncertainty is that of 4000 beers whose temperature and air are known so well."""
    generator = np.random.default_rng(3)
    draws = generator.normal((20.0, ATM_PA), (1.5, 1500.0), (4000, 2))
    spread = np.std([carbonation.volumes_in_water(float(air), float(warm)) for warm, air in draws])
    left = carbonation.residual(Measured(20.0, 1.5), Measured(ATM_PA, 1500.0))
    expected = np.hypot(spread, 0.05 * left.value)

    assert expected == pytest.approx(left.sd, rel=0.03)


def test_uncertainty_of_the_pressure_meets_a_monte_carlo() -> None:
    """The propagated uncertainty of a keg pressure is that of 4000 kegs at temperatures known so well."""
    generator = np.random.default_rng(4)
    draws = generator.normal((2.5, 4.0, ATM_PA), (0.06, 0.8, 1500.0), (4000, 3))
    expected = np.std([carbonation.gauge_for_volumes_pa(float(v), float(t), float(p)) for v, t, p in draws])

    gauge = carbonation.keg_pressure(_exact(2.5), Measured(4.0, 0.8), Measured(ATM_PA, 1500.0))

    assert expected == pytest.approx(gauge.sd, rel=0.04)


def test_results_tell_unit_source_and_definition() -> None:
    """Each result names a source that is listed, its unit, and which volume is meant."""
    left = carbonation.residual(_exact(20.0), _exact(ATM_PA))
    gauge = carbonation.keg_pressure(_exact(2.5), _exact(4.0), _exact(ATM_PA))
    held = carbonation.keg_volumes(_exact(82_000.0), _exact(25.0), _exact(ATM_PA))

    assert [result.unit for result in (left, gauge, held)] == ["volumes", "Pa", "volumes"]
    assert all(result.source in SOURCES and "1.977 g/L" in result.note for result in (left, gauge, held))
    assert gauge.verdict is Verdict.INSIDE
    assert held.verdict is Verdict.NEAR_LIMIT


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: carbonation.residual(_exact(35.0), _exact(ATM_PA)), "0 to 30 °C, not 35 °C"),
        (lambda: carbonation.residual(_exact(20.0), _exact(1013.0)), "air pressure must be from 40000"),
        (
            lambda: carbonation.keg_pressure(_exact(0.8), _exact(4.0), _exact(ATM_PA)),
            "must be more than that, not 0.8",
        ),
        (lambda: carbonation.keg_pressure(_exact(9.0), _exact(4.0), _exact(ATM_PA)), "0 to 8 volumes"),
        (lambda: carbonation.keg_volumes(_exact(-5.0), _exact(4.0), _exact(ATM_PA)), "pressure on the gauge"),
        (lambda: carbonation.henry_mpa(101.0), "0 to 100 °C"),
    ],
)
def test_outside_the_range_of_carbonation_comes_a_sentence(call: object, words: str) -> None:
    """Beyond its range a formula gives one sentence with the limit and what was asked."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
