"""Salts for a profile against an outside solver, and pure water against the balance of masses."""

from __future__ import annotations

from dataclasses import astuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import nnls

from assistant.calculation.water_chemistry import Ion, Salt, Water, ion_share, ions_of, mixed, with_salts
from assistant.calculation.water_salts import USUAL_SALTS, pure_water_l, salts_for_profile
from assistant.quantities import Measured, OutsideRange

LEVEL = st.floats(0.0, 300.0)
WATER = st.builds(Water, LEVEL, LEVEL, LEVEL, LEVEL, LEVEL, LEVEL)
WANTED = st.fixed_dictionaries(dict.fromkeys((Ion.CALCIUM, Ion.SULPHATE, Ion.CHLORIDE), LEVEL)).flatmap(
    lambda three: st.fixed_dictionaries(
        {ion: st.just(level) for ion, level in three.items()},
        optional={ion: LEVEL for ion in Ion if ion not in three},
    )
)
LITRES = Measured(20.0, 0.2)


def left_over(water: Water, wanted: dict[Ion, float]) -> float:
    """The sum of squares of what is missed, over the ions that are named."""
    return sum((getattr(water, ion.value) - level) ** 2 for ion, level in wanted.items())


@given(WATER, WANTED)
def test_no_other_solver_comes_nearer(start: Water, wanted: dict[Ion, float]) -> None:
    """Least squares with masses >= 0 misses as little as SciPy's solver for the same (LIB)."""
    salts = [salt for salt in USUAL_SALTS if ions_of(salt) <= set(wanted)]
    shares = np.array([[ion_share(salt, ion) for salt in salts] for ion in wanted])
    rise = np.array([level - getattr(start, ion.value) for ion, level in wanted.items()])
    _, missed = nnls(shares, rise)
    recipe = salts_for_profile(start, wanted, LITRES)
    assert pytest.approx(missed**2, rel=1e-6, abs=1e-6) == left_over(recipe.water, wanted)


@given(WATER, WANTED)
def test_a_recipe_gives_the_water_that_it_tells(start: Water, wanted: dict[Ion, float]) -> None:
    """The salts dissolved make the water told; no mass is below nothing, and no ion rises unasked."""
    recipe = salts_for_profile(start, wanted, LITRES)
    masses = {salt: mass.value for salt, mass in recipe.salts.items()}
    assert all(kg > 0.0 for kg in masses.values())
    assert pytest.approx(astuple(with_salts(start, masses, LITRES.value))) == astuple(recipe.water)
    for ion in set(Ion) - set(wanted):
        assert getattr(start, ion.value) == getattr(recipe.water, ion.value)
    assert {ion for ion, level in wanted.items() if getattr(start, ion.value) > level} == set(recipe.too_much)


@given(st.floats(0.5, 8.0), st.floats(0.5, 8.0), WATER)
def test_a_water_that_was_salted_is_found_again(gypsum_g: float, chloride_g: float, start: Water) -> None:
    """What two salts made of a water is what brings that water there: the inverse of dissolving them."""
    put_in = {Salt.GYPSUM: gypsum_g / 1000.0, Salt.CALCIUM_CHLORIDE: chloride_g / 1000.0}
    made = with_salts(start, put_in, LITRES.value)
    wanted = {ion: getattr(made, ion.value) for ion in (Ion.CALCIUM, Ion.SULPHATE, Ion.CHLORIDE)}
    found = salts_for_profile(start, wanted, LITRES).salts
    assert set(put_in) == set(found)
    for salt, kilograms in put_in.items():
        assert pytest.approx(kilograms, rel=1e-6) == found[salt].value


def test_a_water_as_it_is_wanted_wants_no_salt() -> None:
    """Nothing is added where nothing is missing."""
    water = Water(calcium=50.0, sulphate=50.0, chloride=50.0)
    recipe = salts_for_profile(water, {Ion.CALCIUM: 50.0, Ion.SULPHATE: 50.0, Ion.CHLORIDE: 50.0}, LITRES)
    assert ({}, water, 0.0) == (recipe.salts, recipe.water, recipe.miss_mg_per_l)


@pytest.mark.parametrize(
    ("wanted", "part"),
    [
        ({Ion.CALCIUM: 50.0}, "name both of its ions"),
        ({}, "name both of its ions"),
        ({Ion.CALCIUM: 1500.0, Ion.SULPHATE: 50.0}, "The calcium must be from 0 to 1000 mg/L"),
    ],
)
def test_a_profile_that_no_salt_makes_is_refused(wanted: dict[Ion, float], part: str) -> None:
    """One sentence tells what to name, or the limit."""
    with pytest.raises(OutsideRange, match=part):
        salts_for_profile(Water(), wanted, LITRES)


@given(st.floats(1.0, 100.0), st.floats(1.0, 500.0), st.floats(0.0, 1.0))
def test_pure_water_thins_as_mixing_does(total_l: float, now: float, share: float) -> None:
    """The two waters mixed have the level that was wanted."""
    pure = pure_water_l(Measured(total_l, 0.0), Measured(now, 0.0), share * now).value
    together = mixed(Water(calcium=now), total_l - pure, Water(), pure)
    assert pytest.approx(share * now, abs=1e-9 * now) == together.calcium


@pytest.mark.parametrize(("total_l", "now", "wanted"), [(0.0, 100.0, 50.0), (20.0, 0.0, 0.0), (20.0, 100.0, 150.0)])
def test_pure_water_cannot_add(total_l: float, now: float, wanted: float) -> None:
    """No water, no level, or a rise is refused."""
    with pytest.raises(OutsideRange):
        pure_water_l(Measured(total_l, 0.0), Measured(now, 0.0), wanted)
