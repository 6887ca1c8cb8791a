"""What a hydrometer means."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import hydrometer, scales
from assistant.quantities import Measured, OutsideRange

SIXTY_F = (60.0 - 32.0) / 1.8


def _corrected(reading_sg: float, sample_c: float, calibration_c: float = 20.0, **more: float) -> Measured:
    return hydrometer.correct(
        reading_sg,
        sample_c,
        calibration_c=calibration_c,
        reading_sd_sg=more.get("reading_sd_sg", 0.0005),
        thermometer_sd_c=more.get("thermometer_sd_c", 0.5),
        reads_in_water_sg=more.get("reads_in_water_sg", 1.0),
        glass=bool(more.get("glass", True)),
    )


@given(st.floats(1.0, 1.10), st.floats(10.0, 99.0), st.floats(0.1, 1.0), st.sampled_from([15.0, SIXTY_F, 20.0]))
def test_a_hotter_sample_gets_a_larger_correction(
    reading: float, sample: float, more: float, made_for: float
) -> None:
    """The same reading in a hotter sample is a heavier wort."""
    assert _corrected(reading, sample, made_for).value < _corrected(reading, sample + more, made_for).value


@given(st.floats(0.985, 1.16))
def test_at_its_temperature_a_20_degree_hydrometer_is_left_alone(reading: float) -> None:
    """At 20 °C a hydrometer made for 20 °C reads what it reads."""
    assert math.isclose(reading, _corrected(reading, 20.0).value, abs_tol=1e-9)


@given(st.floats(0.99, 1.10), st.floats(5.0, 95.0))
def test_a_heavier_reading_is_a_heavier_wort(reading: float, sample: float) -> None:
    """Between two readings at one temperature the order stays."""
    assert _corrected(reading, sample).value < _corrected(reading + 0.001, sample).value


@given(st.floats(0.985, 1.15), st.sampled_from([15.0, 40.0]))
def test_nothing_jumps_at_water(reading: float, sample_c: float) -> None:
    """A millionth more in the reading is about a millionth more in the result, across the density of water too."""
    step = _corrected(reading + 1e-6, sample_c).value - _corrected(reading, sample_c).value

    assert 0.9e-6 < step < 1.1e-6


def test_the_offset_in_water_goes_first() -> None:
    """A glass that shows 1.002 in water reads two points high; that goes before the heat is reckoned."""
    expected = _corrected(1.048, 40.0).value

    assert math.isclose(expected, _corrected(1.050, 40.0, reads_in_water_sg=1.002).value, abs_tol=1e-12)


def test_the_uncertainty_is_the_sum_of_three() -> None:
    """Reading, thermometer and model each add their square; the slope at 40 °C is 0.43 points per kelvin."""
    slope = (_corrected(1.050, 40.5).value - _corrected(1.050, 39.5).value) / 1.0
    expected = math.sqrt(0.0005**2 + (slope * 0.5) ** 2 + 0.0002**2)

    assert expected == pytest.approx(_corrected(1.050, 40.0).sd, rel=0.02)


def test_above_sixty_degrees_the_model_is_trusted_less() -> None:
    """With perfect instruments the model's own 0.2 points are left to 60 °C, 0.5 points above."""
    perfect = {"reading_sd_sg": 0.0, "thermometer_sd_c": 0.0}

    sds = (_corrected(1.040, 60.0, **perfect).sd, _corrected(1.040, 60.1, **perfect).sd)

    assert sds == pytest.approx((0.0002, 0.0005))


@pytest.mark.parametrize(("sample_c", "too_hot"), [(20.0, False), (60.0, False), (60.1, True), (95.0, True)])
def test_above_sixty_degrees_cooling_is_advised(sample_c: float, too_hot: bool) -> None:
    """Above 60 °C the sample should be cooled, at 60 °C not yet."""
    assert too_hot is hydrometer.too_hot_to_trust(sample_c)


def test_plastic_near_its_temperature_is_taken_as_read() -> None:
    """A plastic hydrometer within 3 K of its calibration is not corrected, only trusted less."""
    near = _corrected(1.050, 22.0, glass=0.0)

    assert near.value == pytest.approx(1.050, abs=1e-9)
    assert near.sd > _corrected(1.050, 20.0, glass=0.0).sd


@pytest.mark.parametrize(
    ("reading", "sample", "more", "words"),
    [
        (1.050, 65.0, {"glass": 0.0}, "plastic hydrometer cannot be corrected"),
        (1.050, 100.5, {}, "0 to 100 °C, not 100.5 °C"),
        (1.050, -1.0, {}, "0 to 100 °C, not -1 °C"),
        (1.050, math.nan, {}, "no number"),
        (0.90, 20.0, {}, "0.950 to 1.170 SG, not 0.900 SG"),
        (1.44, 20.0, {}, "0.950 to 1.170 SG, not 1.440 SG"),
        (0.96, 20.0, {}, "0.980 to 1.170 SG, not 0.960 SG"),
        (1.165, 90.0, {}, "above 1.170"),
        (1.050, 20.0, {"reads_in_water_sg": 1.1}, "0.980 to 1.020 SG, not 1.100 SG"),
    ],
)
def test_what_cannot_be_corrected_is_refused(
    reading: float, sample: float, more: dict[str, float], words: str
) -> None:
    """Outside the range comes a sentence with the limit, never a number."""
    with pytest.raises(OutsideRange) as refusal:
        _corrected(reading, sample, **more)

    assert words in str(refusal.value)


@pytest.mark.parametrize(("sg", "sample_c"), [(1.000, 95.0), (1.002, 98.0), (1.010, 80.0)])
def test_thin_hot_worts_can_be_read(sg: float, sample_c: float) -> None:
    """What a hot thin wort shows, far below 1.000, is corrected and not refused."""
    water_mark = scales.LOWEST_READING_SG
    marks = [water_mark + 0.0001 * step for step in range(1000)]

    nearest = min(marks, key=lambda mark: abs(_value_or_zero(mark, sample_c) - sg))

    assert nearest < 1.0
    assert sg == pytest.approx(_corrected(nearest, sample_c).value, abs=1e-4)


def _value_or_zero(mark: float, sample_c: float) -> float:
    try:
        return _corrected(mark, sample_c).value
    except OutsideRange:
        return 0.0
