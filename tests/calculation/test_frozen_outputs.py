"""What our own code gave when it was written: a change here is a change of answers, meant or not.

These values prove nothing about the physics; that is what `tests/published` is for.
"""

from __future__ import annotations

import pytest

from assistant.calculation import chill, extract, hydrometer, pressure, refractometer, scales, volumes
from assistant.quantities import Measured


def _hot_sample() -> list[float]:
    result = hydrometer.correct(1.026, 65.5556, calibration_c=15.5556, reading_sd_sg=0.0005, thermometer_sd_c=0.5)
    return [result.value, result.sd]


def _dry_beer() -> list[float]:
    result = hydrometer.correct(0.998, 12.0, calibration_c=20.0, reading_sd_sg=0.0005, thermometer_sd_c=0.5)
    return [result.value, result.sd, scales.plato_from_sg(result.value)]


def _refractometer() -> list[float]:
    brix = 11.4 + refractometer.temperature_correction_brix(11.4, 27.0)
    result = refractometer.sg_from_reading(brix, wort_factor=1.03, sd_brix=0.2)
    return [result.value, result.sd]


def _kettle() -> list[float]:
    stick = ((0.05, 4.0), (0.30, 25.0), (0.45, 38.0))
    cold_l = volumes.volume_at_20c_l(volumes.volume_at_depth_l(0.31, stick), 70.0, 1.044)
    return [cold_l, *extract.boil(cold_l, 1.044, 75.0, 3.2)]


def _rescue() -> list[float]:
    return [
        extract.minutes_to_gravity(25.0, 1.038, 1.044, 4.0),
        extract.dry_extract_to_add_kg(25.0, 1.038, 1.044),
        extract.water_to_add_l(25.0, 1.050, 1.044),
    ]


def _chill() -> list[float]:
    fit = chill.fit_chill((0.0, 240.0, 420.0), (98.0, 71.0, 56.0), 0.5, Measured(15.0, 2.0))
    remaining = chill.time_to_c(fit, 25.0, 420.0)
    assert remaining is not None
    return [fit.tau_s.value, fit.tau_s.sd, fit.coolant_c.value, remaining.value, remaining.sd]


def _altitude() -> list[float]:
    return [pressure.boiling_point_at_altitude_c(650.0), pressure.altitude_from_boiling_point_m(98.0)]


@pytest.mark.parametrize(
    ("call", "frozen"),
    [
        (_hot_sample, [1.04498474, 0.000770333228]),
        (_dry_beer, [0.996906022, 0.000539843739, -0.80311717]),
        (_refractometer, [1.04660273, 0.00094094116]),
        (_kettle, [25.3230916, 21.3239569, 1.05221121]),
        (_rescue, [51.3263353, 0.445148088, 3.42592256]),
        (_chill, [602.473324, 22.2848033, 14.7150223, 840.761037, 63.2678919]),
        (_altitude, [97.8137896, 594.010232]),
    ],
    ids=lambda item: item.__name__ if callable(item) else "",
)
def test_answers_have_not_moved(call: object, frozen: list[float]) -> None:
    """The answers are those of the day this was frozen, to six digits."""
    assert callable(call)
    assert frozen == pytest.approx(call(), rel=1e-6)
