"""Water: ions conserved and in balance of charge, salts and their inverse, residual alkalinity, pH when hot."""

from __future__ import annotations

from dataclasses import astuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import water_chemistry as chemistry
from assistant.calculation.molar_mass import molar_mass_g
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.calculation.water_chemistry import Ion, Salt, Water
from assistant.quantities import Measured, OutsideRange

LEVEL = st.floats(0.0, 300.0)
LITRES = st.floats(0.5, 60.0)
WATER = st.builds(Water, LEVEL, LEVEL, LEVEL, LEVEL, LEVEL, LEVEL)
CHARGE = {
    Ion.CALCIUM: ("Ca", 2),
    Ion.MAGNESIUM: ("Mg", 2),
    Ion.SODIUM: ("Na", 1),
    Ion.SULPHATE: ("SO4", -2),
    Ion.CHLORIDE: ("Cl", -1),
    Ion.BICARBONATE: ("HCO3", -1),
}


def _charge(water: Water) -> float:
    """Milliequivalents to a litre, positive less negative."""
    return sum(
        level / molar_mass_g(CHARGE[ion][0]) * CHARGE[ion][1]
        for level, ion in zip(astuple(water), Ion, strict=True)
    )


@given(st.sampled_from(Salt), st.floats(0.0, 0.05), LITRES)
def test_a_salt_brings_no_charge(salt: Salt, mass_kg: float, volume_l: float) -> None:
    """What a salt adds to water is neutral: as many positive charges as negative ones."""
    salted = chemistry.with_salts(Water(), {salt: mass_kg}, volume_l)

    assert _charge(salted) == pytest.approx(0.0, abs=1e-6 * max(astuple(salted)) + 1e-12)


@pytest.mark.parametrize("salt", [Salt.CALCIUM_CHLORIDE_DRY, Salt.TABLE_SALT, Salt.BAKING_SODA])
def test_a_dry_salt_is_nothing_but_its_ions(salt: Salt) -> None:
    """The ions of a salt without water of crystal weigh the salt."""
    assert sum(chemistry.ion_share(salt, ion) for ion in Ion) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(
    ("salt", "waters"),
    [(Salt.GYPSUM, 2), (Salt.CALCIUM_CHLORIDE, 2), (Salt.EPSOM_SALT, 7), (Salt.MAGNESIUM_CHLORIDE, 6)],
)
def test_the_rest_of_a_hydrate_is_water(salt: Salt, waters: int) -> None:
    """What is no ion in a salt with water of crystal is that water."""
    ions = sum(chemistry.ion_share(salt, ion) for ion in Ion)

    assert 1.0 - ions == pytest.approx(waters * molar_mass_g("H2O") / molar_mass_g(salt), abs=1e-12)


@given(WATER, LITRES, WATER, LITRES)
def test_mixing_loses_no_ion(first: Water, first_l: float, second: Water, second_l: float) -> None:
    """Each ion of both waters is in the mixture."""
    both = chemistry.mixed(first, first_l, second, second_l)

    for one, other, joined in zip(astuple(first), astuple(second), astuple(both), strict=True):
        assert one * first_l + other * second_l == pytest.approx(joined * (first_l + second_l), abs=1e-6)


@given(st.floats(0.1, 500.0), LITRES)
def test_salt_for_an_ion_brings_it(more: float, volume_l: float) -> None:
    """The mass of gypsum for so much calcium adds so much calcium."""
    mass = chemistry.salt_for_ion(Salt.GYPSUM, Ion.CALCIUM, more, Measured(volume_l, 0.0)).value

    assert more == pytest.approx(chemistry.with_salts(Water(), {Salt.GYPSUM: mass}, volume_l).calcium)


@given(st.floats(0.0, 300.0), st.floats(0.0, 100.0), st.floats(0.0, 500.0), st.floats(0.5, 20.0))
def test_hardness_lowers_and_bicarbonate_raises(
    calcium: float, magnesium: float, bicarbonate: float, more: float
) -> None:
    """Residual alkalinity falls with calcium and magnesium and rises with bicarbonate."""

    def left(ca: float, mg: float, hco3: float) -> float:
        return chemistry.residual_alkalinity(Measured(ca, 0.0), Measured(mg, 0.0), Measured(hco3, 0.0)).value

    plain = left(calcium, magnesium, bicarbonate)

    assert left(calcium + more, magnesium, bicarbonate) < plain
    assert left(calcium, magnesium + more, bicarbonate) < plain
    assert left(calcium, magnesium, bicarbonate + more) > plain


def test_uncertainty_of_residual_alkalinity_meets_a_monte_carlo() -> None:
    """The propagated uncertainty is that of 20000 waters known so well, with the rule's own tenth."""
    generator = np.random.default_rng(11)
    calcium, magnesium = generator.normal(100.0, 5.0, 20_000), generator.normal(20.0, 2.0, 20_000)
    bicarbonate, rule = generator.normal(250.0, 8.0, 20_000), generator.normal(1.0, 0.1, 20_000)
    hardness = calcium * 100.086 / 40.078 / 3.5 + magnesium * 100.086 / 24.305 / 7.0
    drawn = bicarbonate * 50.043 / 61.016 - hardness * rule

    result = chemistry.residual_alkalinity(Measured(100.0, 5.0), Measured(20.0, 2.0), Measured(250.0, 8.0))

    assert np.std(drawn) == pytest.approx(result.sd, rel=0.03)
    assert np.mean(drawn) == pytest.approx(result.value, rel=0.002)


def test_secondary_and_judged_sources_say_so() -> None:
    """Kolbach's form is marked as seen in secondary texts, and the pH rule as one of thumb."""
    left = chemistry.residual_alkalinity(Measured(100.0, 2.0), Measured(20.0, 1.0), Measured(250.0, 5.0))
    cold = chemistry.ph_at_room_temperature(Measured(5.2, 0.02), 65.0)

    assert SOURCES[left.source].status == "2ND"
    assert SOURCES[cold.source].status == "2ND"
    assert cold.verdict is Verdict.RULE_OF_THUMB
    assert "Cool the sample" in cold.note


def test_hazard_of_lime_and_idleness_of_chalk_are_told() -> None:
    """Slaked lime comes with its caution, and chalk with the warning that it hardly dissolves."""
    lime, chalk = (
        chemistry.ion_from_salt(salt, Ion.CALCIUM, Measured(0.002, 0.0), Measured(20.0, 0.0))
        for salt in (Salt.SLAKED_LIME, Salt.CHALK)
    )

    assert "goggles" in lime.note
    assert "hardly dissolves" in chalk.note


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (
            lambda: chemistry.salt_for_ion(Salt.TABLE_SALT, Ion.CALCIUM, 50.0, Measured(20.0, 0.0)),
            "brings sodium and chloride, no calcium",
        ),
        (lambda: chemistry.with_salts(Water(), {Salt.GYPSUM: -1.0}, 20.0), "at least 0 kg"),
        (lambda: chemistry.mixed(Water(), 0.0, Water(), 0.0), "more than 0 L"),
        (lambda: chemistry.ph_at_room_temperature(Measured(8.0, 0.0), 65.0), "from 4 to 7"),
        (lambda: molar_mass_g("CaXx"), "must be a formula of"),
        (lambda: molar_mass_g("Ca(OH"), "must be a formula of"),
        (lambda: molar_mass_g(""), "must be a formula of"),
    ],
)
def test_waters_that_cannot_be_are_refused(call: object, words: str) -> None:
    """A salt without the ion wanted, negative masses and what is no formula get one sentence."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
