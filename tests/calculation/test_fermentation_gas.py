"""The gas of a fermentation: never more than its sugar can make, and what it is in a closed room."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation.carbonation import VOLUME_G_PER_L
from assistant.calculation.fermentation import CO2_PER_ALCOHOL, alcohol_by_weight_percent, real_extract_plato
from assistant.calculation.fermentation_gas import RoomAir, gas_made_l, in_a_closed_room
from assistant.calculation.molar_mass import molar_mass_g
from assistant.calculation.results import Verdict
from assistant.calculation.scales import plato_from_sg
from assistant.quantities import Measured, OutsideRange


def exact(value: float) -> Measured:
    """A value without doubt."""
    return Measured(value, 0.0)


def made_l(litres: float, original: float, final: float) -> float:
    """The gas of exact values."""
    return gas_made_l(exact(litres), exact(original), exact(final)).value


def test_the_litre_of_gas_is_that_of_a_reference_library() -> None:
    """A litre at 20 °C weighs what CoolProp's equation of state for carbon dioxide says (LIB), within 0.3 %."""
    mass_g = CO2_PER_ALCOHOL * 41.58 * 20.0 * 1.010 * 0.99820  # 20 L of 4.158 % by weight and 1.010
    library_g_per_l = PropsSI("D", "T", 293.15, "P", 101_325.0, "CarbonDioxide")
    assert pytest.approx(mass_g / library_g_per_l, rel=0.003) == made_l(20.0, 1.050, 1.010)


@given(st.floats(1.020, 1.110), st.floats(0.1, 0.85))
def test_no_more_gas_than_the_sugar_can_make(original: float, attenuation: float) -> None:
    """All of the lost extract as a double sugar would make 0.5143 g/g (CALC); yeast that grows takes a tenth."""
    final = 1.0 + (original - 1.0) * (1.0 - attenuation)
    wort = plato_from_sg(original)
    real = real_extract_plato(wort, plato_from_sg(final))
    # A gram of alcohol and 1.0665 g of gas and yeast from 2.0665 g of extract: what 100 g of wort leave.
    beer_g = 100.0 / (1.0 + 0.010665 * alcohol_by_weight_percent(wort, real))
    lost_g = (wort - real * beer_g / 100.0) * final * 998.2 / beer_g
    at_most = 4.0 * molar_mass_g("CO2") / molar_mass_g("C12H22O11")
    most_l = at_most * lost_g / (VOLUME_G_PER_L * 273.15 / 293.15)
    assert 0.85 * most_l < made_l(1.0, original, final) < 0.95 * most_l


@given(st.floats(1.0, 100.0), st.floats(1.0, 100.0))
def test_gas_goes_with_the_volume(one: float, other: float) -> None:
    """Twice the beer makes twice the gas."""
    assert pytest.approx(made_l(one, 1.05, 1.01) / one, rel=1e-9) == made_l(other, 1.05, 1.01) / other


def test_unfermented_wort_makes_none() -> None:
    """Where the gravity has not fallen there is no gas."""
    assert pytest.approx(0.0, abs=1e-9) == made_l(20.0, 1.050, 1.050)


@pytest.mark.parametrize(
    ("gas_l", "air"),
    [
        (0.0, RoomAir.LOW),
        (49.0, RoomAir.LOW),
        (51.0, RoomAir.HIGH),
        (299.0, RoomAir.HIGH),
        (300.0, RoomAir.DANGEROUS),
    ],
)
def test_the_limits_of_the_air_are_those_of_the_rules(gas_l: float, air: RoomAir) -> None:
    """In 10 m³ 0.5 % (29 CFR 1910.1000, 5000 ppm) is 50 L, and 3 % (NIOSH 76-194, 30 000 ppm) is 300 L."""
    assert air is in_a_closed_room(exact(gas_l), exact(10.0)).air


def test_doubt_counts_towards_the_danger() -> None:
    """Gas that may be above a limit is called above it."""
    assert RoomAir.LOW is in_a_closed_room(exact(48.0), exact(10.0)).air
    assert RoomAir.HIGH is in_a_closed_room(Measured(48.0, 5.0), exact(10.0)).air


def test_what_is_dangerous_to_life_says_so() -> None:
    """From 4 % on (NIOSH, immediately dangerous to life or health) the verdict is beyond the ordinary."""
    assert Verdict.INSIDE is in_a_closed_room(exact(390.0), exact(10.0)).share.verdict
    assert Verdict.NEAR_LIMIT is in_a_closed_room(exact(400.0), exact(10.0)).share.verdict


@pytest.mark.parametrize(("gas_l", "room_m3"), [(-1.0, 10.0), (10.0, 0.0), (10.0, 2e4), (11_000.0, 10.0)])
def test_impossible_rooms_are_refused(gas_l: float, room_m3: float) -> None:
    """No room, no negative gas, and no more gas than room."""
    with pytest.raises(OutsideRange):
        in_a_closed_room(exact(gas_l), exact(room_m3))
    with pytest.raises(OutsideRange):
        gas_made_l(exact(0.0), exact(1.050), exact(1.010))
