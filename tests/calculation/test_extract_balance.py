"""What is in the kettle stays in the kettle, except what is said to leave."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.calculation import extract
from assistant.quantities import OutsideRange

VOLUME = st.floats(1.0, 100.0)
GRAVITY = st.floats(1.001, 1.10)


def _water_kg(volume_l: float, sg: float) -> float:
    return extract.wort_kg(volume_l, sg) - extract.extract_kg(volume_l, sg)


@given(VOLUME, GRAVITY)
def test_wort_taken_apart_and_put_together(volume_l: float, sg: float) -> None:
    """Extract and water of a wort make the same wort again."""
    again = extract.wort_from(extract.extract_kg(volume_l, sg), _water_kg(volume_l, sg))

    assert (volume_l, sg) == pytest.approx(again, rel=1e-9)


@given(VOLUME, GRAVITY, st.floats(0.0, 0.3))
def test_boiling_takes_water_only(volume_l: float, sg: float, share: float) -> None:
    """After evaporation the extract is all there, and the water lacks what left."""
    left_l, left_sg = extract.evaporate(volume_l, sg, share * volume_l)

    assert math.isclose(extract.extract_kg(volume_l, sg), extract.extract_kg(left_l, left_sg), rel_tol=1e-9)
    lost_kg = _water_kg(volume_l, sg) - _water_kg(left_l, left_sg)
    assert math.isclose(share * volume_l * 0.9982031, lost_kg, rel_tol=1e-5, abs_tol=1e-9)


@given(VOLUME, GRAVITY, st.floats(0.0, 120.0), st.floats(0.5, 10.0))
def test_minutes_to_gravity_undoes_boil(volume_l: float, sg: float, minutes: float, rate: float) -> None:
    """The time to a gravity is the time that boiling took to reach it."""
    assume(rate * minutes / 60.0 < 0.4 * volume_l)
    _, boiled_sg = extract.boil(volume_l, sg, minutes, rate)

    again = extract.minutes_to_gravity(volume_l, sg, boiled_sg, rate)

    assert math.isclose(minutes, again, rel_tol=1e-6, abs_tol=1e-3)


@given(VOLUME, GRAVITY, st.floats(0.0, 0.05), st.floats(0.7, 1.0))
def test_extract_to_add_reaches_the_target(volume_l: float, sg: float, more: float, fraction: float) -> None:
    """Adding what was reckoned makes the gravity that was wanted, with the volume that it brings."""
    mass_kg = extract.dry_extract_to_add_kg(volume_l, sg, sg + more, fraction)

    after_l, after_sg = extract.add_solids(volume_l, sg, mass_kg, fraction)

    assert math.isclose(sg + more, after_sg, abs_tol=1e-9)
    assert volume_l <= after_l * (1.0 + 1e-12)
    assert math.isclose(extract.wort_kg(volume_l, sg) + mass_kg, extract.wort_kg(after_l, after_sg), rel_tol=1e-9)


@given(VOLUME, GRAVITY)
def test_sugar_is_extract_without_water(volume_l: float, sg: float) -> None:
    """Sucrose goes in as extract of fraction 1, so less of it is needed than of dry extract."""
    sugar_kg = extract.sugar_to_add_kg(volume_l, sg, sg + 0.01)

    assert sugar_kg < extract.dry_extract_to_add_kg(volume_l, sg, sg + 0.01)


@given(VOLUME, st.floats(1.01, 1.10), st.floats(0.2, 1.0))
def test_water_to_add_reaches_the_target(volume_l: float, sg: float, share: float) -> None:
    """Adding what was reckoned thins to the gravity that was wanted, and the masses add."""
    target_sg = 1.0 + share * (sg - 1.0)
    water_l = extract.water_to_add_l(volume_l, sg, target_sg)

    after_l, after_sg = extract.add_water(volume_l, sg, water_l)

    assert math.isclose(target_sg, after_sg, abs_tol=1e-9)
    added_kg = extract.wort_kg(after_l, after_sg) - extract.wort_kg(volume_l, sg)
    assert math.isclose(water_l * 0.9982031, added_kg, rel_tol=1e-5, abs_tol=1e-9)


@given(VOLUME, GRAVITY, st.floats(0.0, 0.3))
def test_water_back_in_undoes_boiling(volume_l: float, sg: float, share: float) -> None:
    """The water that left, poured back, makes the wort it was."""
    left = extract.evaporate(volume_l, sg, share * volume_l)

    assert (volume_l, sg) == pytest.approx(extract.add_water(*left, share * volume_l), rel=1e-9)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: extract.minutes_to_gravity(25.0, 1.050, 1.040, 4.0), "Boiling cannot lower wort from 1.050"),
        (lambda: extract.minutes_to_gravity(25.0, 1.0, 1.040, 4.0), "cannot bring water to 1.040"),
        (lambda: extract.minutes_to_gravity(25.0, 1.040, 1.050, 0.0), "more than 0 L/h, not 0 L/h"),
        (lambda: extract.minutes_to_gravity(25.0, 1.040, 1.200, 4.0), "1.170 SG, not 1.200 SG"),
        (lambda: extract.dry_extract_to_add_kg(25.0, 1.050, 1.040), "Extract cannot lower wort from 1.050"),
        (lambda: extract.dry_extract_to_add_kg(25.0, 1.050, 1.060, 0.1), "10 % extract cannot bring wort to 1.060"),
        (lambda: extract.dry_extract_to_add_kg(25.0, 1.050, 1.060, 1.2), "0 to 1, not 1.2"),
        (lambda: extract.sugar_to_add_kg(0.0, 1.050, 1.060), "more than 0 L, not 0 L"),
        (lambda: extract.water_to_add_l(25.0, 1.040, 1.050), "Water cannot raise wort from 1.040 to 1.050"),
        (lambda: extract.water_to_add_l(25.0, 1.040, 1.000), "never to 1.000"),
        (lambda: extract.evaporate(25.0, 1.040, 20.0), "not 20 L"),
        (lambda: extract.evaporate(25.0, 1.0, 26.0), "can lose less than 25 L"),
        (lambda: extract.evaporate(25.0, 1.040, -1.0), "at least 0 L, not -1 L"),
        (lambda: extract.boil(25.0, 1.040, -5.0, 4.0), "at least 0 min, not -5 min"),
        (lambda: extract.boil(25.0, 0.990, 5.0, 4.0), "1.000 to 1.170 SG, not 0.990 SG"),
        (lambda: extract.add_solids(25.0, 1.040, -1.0, 1.0), "at least 0 kg, not -1 kg"),
        (lambda: extract.add_solids(25.0, 1.040, 30.0, 1.0), "°P, not"),
        (lambda: extract.wort_from(1.0, 0.0), "more than 0 kg, not 0 kg"),
        (lambda: extract.wort_kg(math.nan, 1.040), "not a value that is no number"),
    ],
)
def test_the_impossible_is_refused_with_a_sentence(call: object, words: str) -> None:
    """What cannot be done, or cannot be, gets one sentence that says so."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
