"""A vessel's depth and volume undo each other, and its dipstick serves the kettle."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import vessels, volumes
from assistant.calculation.sources import SOURCES
from assistant.calculation.vessels import Bottom, Vessel
from assistant.quantities import Measured, OutsideRange

SHAPES = st.one_of(
    st.builds(Vessel, st.floats(0.2, 0.8), st.floats(0.1, 0.8)),
    st.builds(Vessel, st.floats(0.2, 0.8), st.floats(0.1, 0.8), st.just(Bottom.CAP), st.floats(0.005, 0.1)),
    st.builds(
        Vessel,
        st.floats(0.2, 0.8),
        st.floats(0.1, 0.8),
        st.just(Bottom.TORISPHERICAL),
        dish_ratio=st.floats(0.7, 2.0),
        knuckle_ratio=st.floats(0.02, 0.3),
    ),
)


@given(SHAPES, st.floats(0.0, 1.0))
def test_depth_of_a_volume_undoes_volume_at_a_depth(vessel: Vessel, share: float) -> None:
    """The depth at which a volume stands is the depth that it was reckoned from."""
    depth_m = share * (vessels.bottom_depth_m(vessel) + vessel.height_m)

    again = vessels.depth_in_vessel_m(vessel, vessels.volume_in_vessel_l(vessel, depth_m))

    assert math.isclose(depth_m, again, abs_tol=1e-6)


@given(SHAPES, st.floats(0.0, 0.99))
def test_deeper_is_more(vessel: Vessel, share: float) -> None:
    """More depth is more volume, and never more than the full cross-section allows."""
    rim_m = vessels.bottom_depth_m(vessel) + vessel.height_m
    lower_m, upper_m = share * rim_m, (share + 0.01) * rim_m

    gained_l = vessels.volume_in_vessel_l(vessel, upper_m) - vessels.volume_in_vessel_l(vessel, lower_m)

    assert 0.0 < gained_l <= 1000.0 * math.pi * vessel.diameter_m**2 / 4.0 * 0.01 * rim_m * (1.0 + 1e-9)


@given(SHAPES)
def test_volume_is_the_sum_of_thin_slices(vessel: Vessel) -> None:
    """The closed forms have no jump where dish, knuckle and wall meet: small steps in depth are small in volume."""
    rim_m = vessels.bottom_depth_m(vessel) + vessel.height_m
    litres = [vessels.volume_in_vessel_l(vessel, rim_m * step / 400.0) for step in range(401)]
    slice_l = 1000.0 * math.pi * vessel.diameter_m**2 / 4.0 * rim_m / 400.0

    assert not litres[0]
    assert all(0.0 < above - below <= slice_l * (1.0 + 1e-9) for below, above in pairwise(litres))


def test_a_half_sphere_is_a_cap_of_half_the_diameter() -> None:
    """A bottom as deep as its radius holds two thirds of the cylinder around it (Archimedes)."""
    bowl = Vessel(0.4, 0.0, Bottom.CAP, 0.2)
    expected = 2.0 / 3.0 * volumes.cylinder_volume_l(0.2, 0.4)

    assert expected == pytest.approx(vessels.volume_in_vessel_l(bowl, 0.2), rel=1e-12)


def test_a_flat_vessel_is_the_cylinder() -> None:
    """Without a dome the vessel is the plain cylinder that the kettle's volumes know."""
    assert volumes.cylinder_volume_l(0.3, 0.36) == pytest.approx(
        vessels.volume_in_vessel_l(Vessel(0.36, 0.5), 0.3), rel=1e-12
    )


@given(SHAPES, st.floats(0.0, 1.0))
def test_the_dipstick_serves_the_kettle(vessel: Vessel, share: float) -> None:
    """A dipstick made from the measures reads, between its marks too, what the vessel holds."""
    stick = vessels.dipstick_table(vessel, 0.01)
    depth_m = share * stick[-1][0]
    widest = 1000.0 * math.pi * vessel.diameter_m**2 / 4.0

    read_l = volumes.volume_at_depth_l(depth_m, stick)

    assert math.isclose(read_l, vessels.volume_in_vessel_l(vessel, depth_m), abs_tol=0.01 * widest * 0.25)
    assert stick[0] == (0.0, 0.0)


def test_one_centimetre_marks_on_a_dished_bottom() -> None:
    """On a 40 cm torispherical bottom, straight lines between 1 cm marks are at most 0.04 L high, never low."""
    kettle = Vessel(0.40, 0.40, Bottom.TORISPHERICAL)
    stick = vessels.dipstick_table(kettle, 0.01)

    off = [
        volumes.volume_at_depth_l(step / 2000.0, stick) - vessels.volume_in_vessel_l(kettle, step / 2000.0)
        for step in range(900)
    ]

    assert min(off) >= -0.01
    assert max(off) <= 0.04


def test_volume_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of a volume is that of 4000 simulated tapes and dipsticks, within 5 %."""
    kettle = Vessel(0.36, 0.45, Bottom.CAP, 0.03)
    told = vessels.vessel_volume_l(kettle, Measured(0.28, 0.003), 0.003)
    rng = np.random.default_rng(12)
    tapes, sticks = rng.normal(0.36, 0.003, 4000), rng.normal(0.28, 0.003, 4000)

    simulated = [
        vessels.volume_in_vessel_l(Vessel(float(tape), 0.45, Bottom.CAP, 0.03), float(stick))
        for tape, stick in zip(tapes, sticks, strict=True)
    ]

    assert float(np.std(simulated)) == pytest.approx(told.sd, rel=0.05)
    assert told.source in SOURCES


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: vessels.volume_in_vessel_l(Vessel(0.36, 0.4), 0.5), "0 to 0.4 m, not 0.5 m"),
        (lambda: vessels.volume_in_vessel_l(Vessel(0.36, 0.4), -0.1), "0 to 0.4 m, not -0.1 m"),
        (lambda: vessels.depth_in_vessel_m(Vessel(0.36, 0.4), 60.0), "0 to 40.72 L, not 60 L"),
        (lambda: vessels.bottom_depth_m(Vessel(0.0, 0.4)), "more than 0 m, not 0 m"),
        (lambda: vessels.bottom_depth_m(Vessel(0.36, 0.4, Bottom.CAP, 0.3)), "0 to 0.18 m, not 0.3 m"),
        (lambda: vessels.bottom_depth_m(Vessel(0.36, 0.4, Bottom.CAP)), "more than 0 m, not 0 m"),
        (lambda: vessels.bottom_depth_m(Vessel(0.36, 0.4, Bottom.TORISPHERICAL, dish_ratio=0.4)), "0.51 to 10"),
        (lambda: vessels.dipstick_table(Vessel(0.36, 0.4), 0.0), "more than 0 m"),
        (lambda: vessels.dipstick_table(Vessel(0.36, 0.4), 1e-5), "from 0.0008"),
    ],
)
def test_a_vessel_that_cannot_be_is_refused(call: object, words: str) -> None:
    """Depths beyond the rim and shapes that no vessel has get one sentence with the limit."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
