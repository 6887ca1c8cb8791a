"""Figures of the trade that no source was found for, and factors of statistics, held where they are used.

A rule of practice cannot be proven from outside; what stands here is that the figure in use is the one that is
called common practice (status CP), so that no slip of the pen changes it unseen.
"""

from __future__ import annotations

import pytest
from scipy.stats import norm

from assistant.calculation import (
    carbonation,
    chill,
    chill_design,
    corrections,
    dilution,
    fermentation,
    fuel,
    mash_steps,
    oxygen,
    priming,
    vessels,
    water_use,
    yeast,
)
from assistant.calculation import fermentation_progress as progress
from assistant.calculation.corrections import Addition
from assistant.calculation.dilution import Sanitised
from assistant.calculation.oxygen import AerationRule, Gas
from assistant.quantities import Measured, OutsideRange

_KLOEPPER = vessels.Vessel(0.4, 0.4, vessels.Bottom.TORISPHERICAL)
ONE_SIDED_95: float = float(norm.ppf(0.95))


@pytest.mark.parametrize(
    ("practice", "ours"),
    [
        (Measured(0.40, 0.10), fuel.GAS_EFFICIENCY),
        (Measured(0.95, 0.03), fuel.ELEMENT_EFFICIENCY),
        (Measured(1.0, 0.1), water_use.HELD_L_PER_KG),
        (Measured(2.0, 0.5), chill_design.UNSTIRRED_FACTOR),
        (Measured(0.95, 0.01), corrections.FRACTION[Addition.DRY_EXTRACT]),
        (Measured(0.80, 0.01), corrections.FRACTION[Addition.LIQUID_EXTRACT]),
        (0.67, mash_steps.GRAIN_L_PER_KG),
        (76.0, mash_steps.MASH_OUT_C),
        (2.0 * 86_400.0, progress.STEADY_SPAN_S),
        (0.5, progress.STEADY_POINTS_PER_DAY),
        (3.0, progress.STUCK_ABOVE_POINTS),
        (0.3 / 60.0, chill.SLOWEST_FALL_K_PER_S),
        (Measured(10.0, 3.0), yeast.DRY_CELLS_E9_PER_G),
        (40.0, yeast.DEADLY_C),
        ((3.0, 4.0), (priming.ORDINARY_BOTTLE_VOLUMES, priming.HEAVY_BOTTLE_VOLUMES)),
        ((1.0, 0.1), (_KLOEPPER.dish_ratio, _KLOEPPER.knuckle_ratio)),
    ],
)
def test_a_rule_of_practice_is_the_one_in_use(practice: object, ours: object) -> None:
    """The figure that is called common practice (CP) is the one that is reckoned with."""
    assert practice == ours


@pytest.mark.parametrize(
    "rule",
    [
        AerationRule(Gas.AIR, "pouring and splashing", 60.0, 300.0, (3.0, 5.0)),
        AerationRule(Gas.AIR, "shaking the closed fermenter", 300.0, 600.0, (5.0, 8.0)),
        AerationRule(Gas.AIR, "air pump with a stone", 900.0, 1800.0, (6.0, 8.0)),
        AerationRule(Gas.OXYGEN, "pure oxygen with a stone, one litre a minute", 45.0, 120.0, (8.0, 14.0)),
    ],
)
def test_the_ways_of_aeration_are_those_of_the_trade(rule: AerationRule) -> None:
    """Splashing, shaking, pump and bottle reach what the trade says of them (CP), and no other way is told."""
    assert rule in oxygen.AERATION_RULES
    assert len(oxygen.AERATION_RULES) == 4


@pytest.mark.parametrize(
    ("sd_c", "state"), [(2.99 / ONE_SIDED_95, Sanitised.DONE), (3.01 / ONE_SIDED_95, Sanitised.NOT_YET)]
)
def test_hot_water_is_sure_to_95_in_100(sd_c: float, state: Sanitised) -> None:
    """80 °C counts as 77 as long as 95 of 100 such readings would be truly hotter (normal quantile by scipy)."""
    assert state is dilution.hot_water_sanitises(Measured(80.0, sd_c), 300.0).state


@pytest.mark.parametrize(("above", "reached"), [(0.99, None), (1.01, False)])
def test_oxygen_out_of_reach_is_told_where_sure(above: float, reached: bool | None) -> None:
    """What lies over the saturation by more than its 95 % bound is out of reach; nearer it cannot be told."""
    air = oxygen.saturation_mg_per_l(
        Measured(18.0, 0.5), Measured(101_325.0, 500.0), Measured(1.048, 0.001), Gas.AIR
    )

    assert reached is oxygen.can_reach(air.value + above * ONE_SIDED_95 * air.sd, air).reached


def test_aeration_lasts_the_middle_of_its_rule() -> None:
    """A stone and pure oxygen run 45 to 120 s (CP): 82.5 s are told, a quarter of the range as uncertainty."""
    pure = oxygen.saturation_mg_per_l(
        Measured(18.0, 0.5), Measured(101_325.0, 500.0), Measured(1.048, 0.001), Gas.OXYGEN
    )
    told = oxygen.aeration_time_s(10.0, pure, Gas.OXYGEN)

    assert (82.5, 18.75) == (told.value, told.sd)


def test_yeast_far_from_the_wort_is_told_how_far() -> None:
    """Yeast of 4 °C for wort of 20 is 16 degrees off, and the sentence says so."""
    advice = yeast.pitch_advice(Measured(20.0, 0.3), (18.0, 23.0), Measured(4.0, 1.0))

    assert "16 degrees apart" in advice.why


def test_a_mash_that_gives_too_much_is_told_how_much() -> None:
    """25 L on 5 kg run off as 20 L by the rule of 1 L/kg: more than 18, by 2."""
    with pytest.raises(OutsideRange) as refusal:
        water_use.sparge_l(Measured(18.0, 0.0), Measured(5.0, 0.0), Measured(25.0, 0.0), water_use.Rig())

    assert "20 L" in str(refusal.value)
    assert "2 L less" in str(refusal.value)


def test_a_mash_without_wort_is_told_what_it_holds() -> None:
    """3 L on 5 kg give nothing: grain holds 5 L by the rule of 1 L/kg, and the tun half a litre."""
    rig = water_use.Rig(tun_dead_l=Measured(0.5, 0.1))
    with pytest.raises(OutsideRange) as refusal:
        water_use.first_wort_l(Measured(5.0, 0.0), Measured(3.0, 0.0), rig)

    assert "grain and tun hold 5.5 L" in str(refusal.value)


@pytest.mark.parametrize(
    ("temperature_c", "rule_sd"), [(4.0, 0.06), (10.0, 0.06), (15.5, 0.09), (21.0, 0.12), (28.0, 0.12)]
)
def test_the_table_of_kegs_is_as_sure_as_its_sources_agree(temperature_c: float, rule_sd: float) -> None:
    """Tables of the trade agree within 0.06 volumes when cold and 0.12 when warm (2ND): that is in the doubt."""
    told = carbonation.keg_volumes(Measured(1e5, 0.0), Measured(temperature_c, 0.0), Measured(101_325.0, 0.0))

    assert rule_sd == pytest.approx(told.sd)


def test_real_extract_is_as_sure_as_its_published_shares_agree() -> None:
    """Another pair of published shares is up to 0.12 °P off (2ND and CALC): that is in the doubt."""
    told = fermentation.real_extract(Measured(1.050, 0.0), Measured(1.010, 0.0))

    assert told.sd == pytest.approx(0.12)
