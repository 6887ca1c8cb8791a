"""Mixing: extract, water and heat conserved; inverses; between the two; uncertainty."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.calculation import mixing
from assistant.calculation.extract import extract_kg, wort_kg
from assistant.quantities import Measured, OutsideRange

LITRES = st.floats(0.5, 60.0)
GRAVITY = st.floats(1.0, 1.110)
WARMTH = st.floats(1.0, 99.0)


def _exact(value: float) -> Measured:
    return Measured(value, 0.0)


@given(LITRES, GRAVITY, LITRES, GRAVITY)
def test_extract_and_water_are_conserved(
    first_l: float, first_sg: float, second_l: float, second_sg: float
) -> None:
    """Extract and mass of both worts are in the mixture."""
    volume_l, sg = mixing.mixed_worts(first_l, first_sg, second_l, second_sg)

    assert extract_kg(first_l, first_sg) + extract_kg(second_l, second_sg) == pytest.approx(
        extract_kg(volume_l, sg), abs=1e-9
    )
    assert wort_kg(first_l, first_sg) + wort_kg(second_l, second_sg) == pytest.approx(
        wort_kg(volume_l, sg), abs=1e-9
    )


@given(LITRES, GRAVITY, LITRES, GRAVITY)
def test_the_order_does_not_matter(first_l: float, first_sg: float, second_l: float, second_sg: float) -> None:
    """First into second is second into first."""
    one = mixing.mixed_worts(first_l, first_sg, second_l, second_sg)

    assert one == pytest.approx(mixing.mixed_worts(second_l, second_sg, first_l, first_sg), rel=1e-12)


@given(LITRES, GRAVITY, GRAVITY, st.floats(0.05, 0.95))
def test_litres_to_reach_reach_it(first_l: float, first_sg: float, second_sg: float, share: float) -> None:
    """The litres told bring the mixture to the gravity wanted."""
    assume(abs(first_sg - second_sg) > 0.002)
    target = first_sg + share * (second_sg - first_sg)
    added = mixing.litres_to_reach(_exact(first_l), _exact(first_sg), _exact(second_sg), target)

    assert target == pytest.approx(mixing.mixed_worts(first_l, first_sg, added.value, second_sg)[1], abs=1e-9)


@given(LITRES, WARMTH, LITRES, WARMTH)
def test_mixed_warmth_lies_between(first_l: float, first_c: float, second_l: float, second_c: float) -> None:
    """The mixture is no hotter than the hotter and no colder than the colder."""
    joined = mixing.mix_temperature(_exact(first_l), _exact(first_c), _exact(second_l), _exact(second_c))

    assert min(first_c, second_c) - 1e-9 <= joined.value <= max(first_c, second_c) + 1e-9


def test_hot_wort_weighs_less_and_holds_less_heat_than_water() -> None:
    """Ten litres of strong wort pull the mixture less than ten litres of water."""
    ten_l = _exact(10.0)
    plain = mixing.mix_temperature(ten_l, _exact(90.0), ten_l, _exact(20.0))
    wort = mixing.mix_temperature(ten_l, _exact(90.0), ten_l, _exact(20.0), first_sg=1.080)

    assert wort.value < plain.value


def test_uncertainty_of_the_mixture_meets_a_monte_carlo() -> None:
    """The propagated uncertainties of gravity and temperature are those of 2000 mixtures known so well."""
    generator = np.random.default_rng(12)
    draws = generator.normal((15.0, 1.060, 5.0, 1.020), (0.3, 0.001, 0.2, 0.001), (2000, 4))
    gravity_sd = np.std([mixing.mixed_worts(*map(float, draw))[1] for draw in draws])
    warm = generator.normal((10.0, 80.0, 8.0, 20.0), (0.2, 0.7, 0.2, 0.5), (2000, 4))
    warmth_sd = np.std([mixing.mix_temperature(*(_exact(float(x)) for x in draw)).value for draw in warm])

    gravity = mixing.mix_worts(
        Measured(15.0, 0.3), Measured(1.060, 0.001), Measured(5.0, 0.2), Measured(1.020, 0.001)
    ).gravity
    warmth = mixing.mix_temperature(
        Measured(10.0, 0.2), Measured(80.0, 0.7), Measured(8.0, 0.2), Measured(20.0, 0.5)
    )

    assert gravity_sd == pytest.approx(gravity.sd, rel=0.06)
    assert warmth_sd == pytest.approx(warmth.sd, rel=0.06)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: mixing.mixed_worts(0.0, 1.05, 5.0, 1.02), "more than 0 L"),
        (lambda: mixing.mixed_worts(5.0, 0.99, 5.0, 1.02), "1.000 to 1.170 SG"),
        (
            lambda: mixing.litres_to_reach(_exact(15.0), _exact(1.060), _exact(1.020), 1.070),
            "makes what lies between them, not 1.070",
        ),
        (lambda: mixing.litres_to_reach(_exact(15.0), _exact(1.060), _exact(1.020), 1.020), "not 1.020"),
        (
            lambda: mixing.mix_temperature(_exact(5.0), _exact(120.0), _exact(5.0), _exact(20.0)),
            "0 to 100 °C, not 120 °C",
        ),
    ],
)
def test_impossible_mixtures_are_refused(call: object, words: str) -> None:
    """Empty vessels, worts that are none and targets outside the two get one sentence."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
