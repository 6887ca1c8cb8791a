"""Priming, krausening and bottles: mass conserved, order, uncertainty, and cautions that fall on the safe side."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import priming
from assistant.calculation.carbonation import VOLUME_G_PER_L
from assistant.calculation.molar_mass import molar_mass_g
from assistant.calculation.priming import BottleCaution, Sugar
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

LITRES = st.floats(1.0, 100.0)
LEFT = st.floats(0.5, 1.5)
MORE = st.floats(0.05, 2.0)


def _exact(value: float) -> Measured:
    return Measured(value, 0.0)


@given(LITRES, LEFT, MORE, st.sampled_from(Sugar))
def test_the_sugar_holds_the_gas_that_was_missing(litres: float, left: float, more: float, sugar: Sugar) -> None:
    """The gas of the sugar and what was left are the gas wanted: nothing comes from nowhere."""
    mass_kg = priming.priming_sugar(_exact(litres), _exact(left), left + more, sugar).value
    made_g_per_l = 1000.0 * mass_kg / priming.sugar_for_gas_kg(1.0, sugar) / litres

    assert left + more == pytest.approx(left + made_g_per_l / VOLUME_G_PER_L, rel=1e-9)


@given(st.sampled_from((Sugar.SUCROSE, Sugar.GLUCOSE, Sugar.GLUCOSE_MONOHYDRATE)))
def test_sugar_weighs_what_gas_ethanol_and_water_weigh(sugar: Sugar) -> None:
    """Gas and ethanol of a sugar weigh the sugar, with the water taken up (sucrose) or brought along (crystal)."""
    water = {Sugar.SUCROSE: -1, Sugar.GLUCOSE: 0, Sugar.GLUCOSE_MONOHYDRATE: 1}[sugar]
    formula = {Sugar.SUCROSE: "C12H22O11", Sugar.GLUCOSE: "C6H12O6", Sugar.GLUCOSE_MONOHYDRATE: "C6H12O6.H2O"}[
        sugar
    ]
    products = 1.0 / priming.sugar_for_gas_kg(1.0, sugar) + priming.ethanol_from_priming_kg(1.0, sugar)

    assert products == pytest.approx(1.0 - water * molar_mass_g("H2O") / molar_mass_g(formula), rel=1e-9)


@given(LITRES, LEFT, MORE)
def test_weaker_sugars_need_more(litres: float, left: float, more: float) -> None:
    """Sucrose needs the least, then glucose, its hydrate, honey, and malt extract the most."""
    order = (Sugar.SUCROSE, Sugar.GLUCOSE, Sugar.GLUCOSE_MONOHYDRATE, Sugar.HONEY, Sugar.DRY_MALT_EXTRACT)
    masses = [priming.priming_sugar(_exact(litres), _exact(left), left + more, sugar).value for sugar in order]

    assert sorted(masses) == masses


def test_trade_yields_are_labelled() -> None:
    """Malt extract and honey rest on common practice, and say so; the pure sugars do not."""
    for sugar in Sugar:
        result = priming.priming_sugar(_exact(20.0), _exact(0.9), 2.4, sugar)
        practice = sugar in (Sugar.DRY_MALT_EXTRACT, Sugar.HONEY)

        assert practice == (result.verdict is Verdict.RULE_OF_THUMB)
        assert practice == (SOURCES[result.source].status == "CP")


def test_uncertainty_of_the_sugar_meets_a_monte_carlo() -> None:
    """The propagated uncertainty is that of 20000 batches whose volume, gas and yield are known so well."""
    generator = np.random.default_rng(5)
    litres, left = generator.normal(19.0, 0.4, 20_000), generator.normal(0.86, 0.045, 20_000)
    share = generator.normal(1.0, 0.05, 20_000)
    drawn = litres * (2.4 - left) * VOLUME_G_PER_L / 514.29 * share

    result = priming.priming_sugar(Measured(19.0, 0.4), Measured(0.86, 0.045), 2.4, Sugar.SUCROSE)

    assert np.std(drawn) == pytest.approx(result.sd, rel=0.03)
    assert np.mean(drawn) == pytest.approx(result.value, rel=0.002)


def _krausen(now_sg: float, target: float = 2.4) -> float:
    return priming.krausen_to_add(
        _exact(20.0),
        _exact(0.86),
        target,
        original_sg=_exact(1.048),
        krausen_sg=_exact(now_sg),
        final_sg=_exact(1.012),
    ).value


@given(st.floats(1.030, 1.048))
def test_krausen_charges_beer_and_itself(now_sg: float) -> None:
    """The gas of the krausen, with what both hold, is the gas wanted in all of the beer."""
    litres = _krausen(now_sg)
    alone = priming.if_it_drops(_exact(0.0), _exact(1.048), _exact(now_sg), _exact(1.012)).volumes.value
    middle = (priming.CO2_PER_EXTRACT_GROWING + priming.CO2_PER_EXTRACT_AT_MOST) / 2.0
    made = litres * alone * priming.CO2_PER_EXTRACT_GROWING / middle

    assert (20.0 + litres) * 2.4 == pytest.approx((20.0 + litres) * 0.86 + made, rel=1e-9)


@given(st.floats(1.030, 1.047), st.floats(0.0005, 0.001))
def test_fresher_krausen_goes_further(now_sg: float, more: float) -> None:
    """Less is needed the more extract the krausen still has."""
    assert _krausen(now_sg) > _krausen(now_sg + more)


def test_spent_krausen_is_refused() -> None:
    """Krausen that cannot charge itself is refused with what it makes and what it needs."""
    with pytest.raises(OutsideRange, match="must make more than"):
        _krausen(1.014)


def test_a_point_is_half_a_volume() -> None:
    """The trade counts half a volume of gas to a point of gravity (CP); the mass balance says 0.53 at 1.050."""
    dropped = priming.if_it_drops(_exact(0.0), _exact(1.050), _exact(1.011), _exact(1.010)).volumes
    expected = 0.5

    assert expected == pytest.approx(dropped.value, abs=0.05)


@given(st.floats(1.0, 3.0), st.floats(1.010, 1.030), st.floats(0.001, 0.008))
def test_the_further_it_drops_the_more_gas(held: float, now_sg: float, drop: float) -> None:
    """A lower end makes more gas, and never a milder caution."""
    order = list(BottleCaution)
    near, far = (
        priming.if_it_drops(_exact(held), _exact(1.050), _exact(now_sg), Measured(now_sg - fall, 0.0005))
        for fall in (drop, drop + 0.002)
    )

    assert near.volumes.value < far.volumes.value
    assert order.index(near.bottle.caution) <= order.index(far.bottle.caution)


@pytest.mark.parametrize(
    ("volumes", "sd", "expected"),
    [
        (2.4, 0.1, BottleCaution.ORDINARY),
        (3.0, 0.0, BottleCaution.ORDINARY),
        (2.9, 0.1, BottleCaution.HEAVY_ONLY),
        (3.8, 0.1, BottleCaution.HEAVY_ONLY),
        (3.9, 0.1, BottleCaution.NO_BOTTLE),
        (12.0, 1.0, BottleCaution.NO_BOTTLE),
    ],
)
def test_bottles_are_judged_by_the_upper_end(volumes: float, sd: float, expected: BottleCaution) -> None:
    """The doubt counts against the glass, and the reason says that the limit is a habit of the trade."""
    call = priming.bottle_caution(Measured(volumes, sd))

    assert expected is call.caution
    assert "common practice, no source" in call.reason


def test_a_warm_bottle_is_told_in_bar() -> None:
    """The reason tells what the bottle holds when it warms up."""
    assert "bar when it warms to 30 °C" in priming.bottle_caution(Measured(2.6, 0.1)).reason


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (
            lambda: priming.priming_sugar(_exact(20.0), _exact(1.2), 1.0, Sugar.SUCROSE),
            "holds 1.20 volumes already",
        ),
        (lambda: priming.priming_sugar(_exact(0.0), _exact(0.9), 2.4, Sugar.SUCROSE), "more than 0 L"),
        (lambda: priming.priming_sugar(_exact(20.0), _exact(0.9), 9.0, Sugar.SUCROSE), "0 to 8 volumes"),
        (
            lambda: priming.if_it_drops(_exact(2.4), _exact(1.050), _exact(1.010), _exact(1.012)),
            "must end below that, not at 1.012",
        ),
        (
            lambda: priming.if_it_drops(_exact(2.4), _exact(1.050), _exact(1.060), _exact(1.012)),
            "must be below the 1.050",
        ),
    ],
)
def test_impossible_priming_is_refused(call: object, words: str) -> None:
    """What sugar cannot do, and beer that cannot be, gets one sentence."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
