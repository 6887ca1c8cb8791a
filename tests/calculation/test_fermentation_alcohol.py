"""Attenuation, alcohol, extract and calories: what must hold whatever the beer."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import fermentation, scales
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

ORIGINAL = st.floats(1.020, 1.120)
SHARE = st.floats(0.05, 0.85)


def _beer(original_sg: float, attenuated: float) -> tuple[Measured, Measured]:
    return Measured(original_sg, 0.001), Measured(original_sg - attenuated * (original_sg - 1.0), 0.001)


@given(st.floats(2.0, 25.0), SHARE)
def test_original_extract_comes_back(original_plato: float, attenuated: float) -> None:
    """Alcohol and real extract lead back to the extract of the wort: the two rules of Balling are one."""
    real = fermentation.real_extract_plato(original_plato, (1.0 - attenuated) * original_plato)
    alcohol = fermentation.alcohol_by_weight_percent(original_plato, real)

    assert original_plato == pytest.approx(fermentation.original_plato_from(alcohol, real), abs=1e-9)


@given(st.floats(2.0, 25.0), SHARE)
def test_extract_becomes_alcohol_gas_and_yeast(original_plato: float, attenuated: float) -> None:
    """Of 100 g of wort nothing is lost: alcohol, extract and water left weigh it, with the gas and yeast gone."""
    real = fermentation.real_extract_plato(original_plato, (1.0 - attenuated) * original_plato)
    alcohol = fermentation.alcohol_by_weight_percent(original_plato, real)
    beer_g = 100.0 / (1.0 + 0.010665 * alcohol)
    gone_g = beer_g / 100.0 * alcohol * (0.9565 + 0.11)

    assert beer_g + gone_g == pytest.approx(100.0, abs=1e-9)
    assert original_plato == pytest.approx(beer_g / 100.0 * (2.0665 * alcohol + real), abs=1e-9)


@given(ORIGINAL, SHARE, st.floats(0.001, 0.1))
def test_a_lower_end_means_more_of_everything_but_extract(
    original_sg: float, attenuated: float, more: float
) -> None:
    """Beer that goes lower has more alcohol and attenuation, and less real extract and energy."""
    higher, lower = _beer(original_sg, attenuated), _beer(original_sg, attenuated + more)

    assert (
        fermentation.alcohol_by_volume(*higher).balling.value < fermentation.alcohol_by_volume(*lower).balling.value
    )
    assert fermentation.attenuation(*higher).real.value < fermentation.attenuation(*lower).real.value
    assert fermentation.real_extract(*higher).value > fermentation.real_extract(*lower).value


@given(ORIGINAL, SHARE)
def test_real_attenuation_is_less_than_apparent(original_sg: float, attenuated: float) -> None:
    """Alcohol makes the hydrometer show too little extract, so the apparent attenuation is the larger."""
    both = fermentation.attenuation(*_beer(original_sg, attenuated))

    assert both.real.value < both.apparent.value


def test_uncertainty_of_alcohol_meets_a_monte_carlo() -> None:
    """The propagated uncertainty of alcohol is that of 4000 beers read with such a hydrometer."""
    generator = np.random.default_rng(1)
    originals, finals = generator.normal(1.060, 0.001, 4000), generator.normal(1.012, 0.0008, 4000)
    drawn = [
        fermentation.alcohol_by_volume(Measured(og, 0.0), Measured(fg, 0.0)).balling.value
        for og, fg in zip(originals.tolist(), finals.tolist(), strict=True)
    ]
    expected = np.hypot(np.std(drawn), 0.1)

    result = fermentation.alcohol_by_volume(Measured(1.060, 0.001), Measured(1.012, 0.0008)).balling

    assert expected == pytest.approx(result.sd, rel=0.04)


def test_short_rule_is_labelled_and_within_its_uncertainty() -> None:
    """The short rule is marked as one of thumb, and to 1.090 lies within its uncertainty of the other route."""
    for original_sg in (1.040, 1.060, 1.080, 1.090):
        both = fermentation.alcohol_by_volume(*_beer(original_sg, 0.76))

        assert both.short_rule.verdict is Verdict.RULE_OF_THUMB
        assert SOURCES[both.short_rule.source].status == "CP"
        assert both.balling.value == pytest.approx(both.short_rule.value, abs=both.short_rule.sd)


def test_strong_wort_is_near_the_limit() -> None:
    """Above 20 °P the answer says that it is near the limit of its range."""
    strong = Measured(scales.sg_from_plato(24.0), 0.001)

    assert fermentation.alcohol_by_weight(strong, Measured(1.02, 0.001)).verdict is Verdict.NEAR_LIMIT
    assert fermentation.alcohol_by_weight(*_beer(1.05, 0.7)).verdict is Verdict.INSIDE


def test_beer_lighter_than_water_has_an_answer() -> None:
    """A dry beer at 0.998 shows negative extract and more than all of it attenuated; the real one is sane."""
    both = fermentation.attenuation(Measured(1.050, 0.001), Measured(0.998, 0.001))

    assert both.apparent.value > 100.0
    assert 80.0 < both.real.value < 90.0


@pytest.mark.parametrize(
    ("original_sg", "final_sg", "words"),
    [
        (1.050, 1.051, "The apparent extract"),
        (1.140, 1.010, "The original extract must be from 0 to 30 °P"),
        (1.000, 1.000, "no extract to ferment"),
    ],
)
def test_impossible_beer_is_refused(original_sg: float, final_sg: float, words: str) -> None:
    """Gravity that rose, wort beyond the range and beer without extract get one sentence."""
    with pytest.raises(OutsideRange, match=words):
        fermentation.attenuation(Measured(original_sg, 0.0), Measured(final_sg, 0.0))


def test_beer_without_extract_is_refused() -> None:
    """Nothing ferments below no extract at all: 1.020 cannot end at 0.985."""
    with pytest.raises(OutsideRange, match="The real extract"):
        fermentation.alcohol_by_weight(Measured(1.020, 0.0), Measured(0.985, 0.0))
