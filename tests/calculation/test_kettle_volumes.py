"""Dipstick, cylinder and the shrinking of hot wort."""

from __future__ import annotations

import math
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import volumes
from assistant.quantities import OutsideRange

STICK = ((0.05, 4.0), (0.30, 25.0), (0.45, 38.0))
STEPS = st.lists(st.tuples(st.floats(0.01, 0.2), st.floats(0.5, 20.0)), min_size=2, max_size=8)


def _stick(steps: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    depths, litres = accumulate(step[0] for step in steps), accumulate(step[1] for step in steps)
    return tuple(zip(depths, litres, strict=True))


@pytest.mark.parametrize(
    ("depth_m", "volume_l"), [(0.05, 4.0), (0.175, 14.5), (0.30, 25.0), (0.375, 31.5), (0.45, 38.0)]
)
def test_a_depth_is_read_between_the_marks(depth_m: float, volume_l: float) -> None:
    """On a mark it is the mark's volume, halfway between two marks their middle."""
    assert volume_l == pytest.approx(volumes.volume_at_depth_l(depth_m, STICK))


@given(STEPS, st.floats(0.0, 1.0))
def test_depth_to_volume_and_back(steps: list[tuple[float, float]], share: float) -> None:
    """Any rising dipstick gives back the depth it was asked."""
    stick = _stick(steps)
    depth_m = stick[0][0] + share * (stick[-1][0] - stick[0][0])

    volume_l = volumes.volume_at_depth_l(depth_m, stick)

    assert math.isclose(depth_m, volumes.depth_of_volume_m(volume_l, stick), abs_tol=1e-9)


@pytest.mark.parametrize("depth_m", [0.0, 0.0499, 0.451, math.nan])
def test_off_the_stick_nothing_is_guessed(depth_m: float) -> None:
    """Below the first and above the last mark there is no volume, only a sentence with both ends."""
    with pytest.raises(OutsideRange, match=r"from 0\.05 to 0\.45 m"):
        volumes.volume_at_depth_l(depth_m, STICK)


def test_a_volume_off_the_stick_is_refused() -> None:
    """A volume the kettle's marks do not reach has no depth."""
    with pytest.raises(OutsideRange, match="from 4 to 38 L, not 40 L"):
        volumes.depth_of_volume_m(40.0, STICK)


@pytest.mark.parametrize("stick", [(), ((0.1, 5.0),), ((0.1, 5.0), (0.1, 6.0)), ((0.1, 5.0), (0.2, 5.0))])
def test_a_stick_that_does_not_rise_is_refused(stick: tuple[tuple[float, float], ...]) -> None:
    """Fewer than two marks, or marks that stand still, are no dipstick."""
    with pytest.raises(ValueError, match="at least two marks"):
        volumes.volume_at_depth_l(0.1, stick)


def test_a_litre_cube_has_its_cylinder() -> None:
    """A cylinder 10 cm wide and 10 cm deep is a quarter pi of a litre."""
    assert math.pi / 4.0 == pytest.approx(volumes.cylinder_volume_l(0.1, 0.1))


@given(st.floats(0.1, 100.0), st.floats(0.0, 100.0), st.floats(0.985, 1.16))
def test_hot_to_cold_and_back(volume_l: float, temperature_c: float, sg: float) -> None:
    """What shrinks on cooling comes back on heating."""
    cold_l = volumes.volume_at_20c_l(volume_l, temperature_c, sg)

    assert math.isclose(volume_l, volumes.volume_at_temperature_l(cold_l, temperature_c, sg), rel_tol=1e-12)


@given(st.floats(5.0, 98.0), st.floats(1.0, 1.15))
def test_hotter_wort_takes_more_room(temperature_c: float, sg: float) -> None:
    """The same wort fills more when it is hotter."""
    hotter_l = volumes.volume_at_temperature_l(25.0, temperature_c + 1.0, sg)

    assert volumes.volume_at_temperature_l(25.0, temperature_c, sg) < hotter_l


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: volumes.volume_at_20c_l(-1.0, 20.0, 1.05), "at least 0 L, not -1 L"),
        (lambda: volumes.volume_at_20c_l(20.0, 106.0, 1.05), "0 to 105 °C, not 106 °C"),
        (lambda: volumes.volume_at_temperature_l(20.0, 20.0, 1.3), "1.170 SG, not 1.300 SG"),
        (lambda: volumes.cylinder_volume_l(-0.1, 0.3), "at least 0 m, not -0.1 m"),
        (lambda: volumes.cylinder_volume_l(0.1, 0.0), "more than 0 m, not 0 m"),
    ],
)
def test_impossible_volumes_are_refused(call: object, words: str) -> None:
    """Beyond its range a formula gives one sentence with the limit and what was asked."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
