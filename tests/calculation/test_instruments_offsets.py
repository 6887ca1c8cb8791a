"""An instrument's own error is found and taken off, and a reading in water is what the correction expects."""

from __future__ import annotations

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import hydrometer, instruments, pressure
from assistant.calculation.instruments import ThermometerCheck
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange


def _exact(*values: float) -> list[Measured]:
    return [Measured(value, 0.0) for value in values]


@pytest.mark.parametrize(
    ("altitude_m", "boiling_c"),
    [(0.0, 99.974), (500.0, 98.313), (1000.0, 96.649), (1500.0, 94.984), (2000.0, 93.317), (3000.0, 89.977)],
)
def test_boiling_water_meets_the_altitude_table(altitude_m: float, boiling_c: float) -> None:
    """Boiling points at altitude are those of IAPWS-95 and the US Standard Atmosphere (LIB), to 0.002 K."""
    told = instruments.boiling_water_c(altitude_m=Measured(altitude_m, 0.0))

    assert boiling_c == pytest.approx(told.value, abs=0.002)


def test_a_weather_report_is_brought_to_the_spot() -> None:
    """The trap of a sea-level pressure: 1013 hPa reported at 1500 m are 846 hPa there, which is 5 K."""
    reported_pa = 101_325.0
    on_the_spot_pa = instruments.station_pressure_pa(reported_pa, 1500.0)

    right = instruments.boiling_water_c(station_pa=Measured(on_the_spot_pa, 0.0))
    trap = instruments.boiling_water_c(station_pa=Measured(reported_pa, 0.0))

    assert on_the_spot_pa == pytest.approx(84_559.7, abs=1.0)
    assert trap.value - right.value == pytest.approx(4.99, abs=0.01)


@given(st.floats(95e3, 105e3), st.floats(0.0, 4000.0))
def test_station_pressure_keeps_the_reported_one_at_the_sea(reported_pa: float, altitude_m: float) -> None:
    """At the sea the report is the pressure; higher up it falls, and it is within 1 % of the plain ratio."""
    on_the_spot = instruments.station_pressure_pa(reported_pa, altitude_m)

    assert math.isclose(reported_pa, instruments.station_pressure_pa(reported_pa, 0.0), rel_tol=1e-9)
    assert on_the_spot <= reported_pa * (1.0 + 1e-12)
    assert math.isclose(reported_pa * pressure.pressure_pa(altitude_m) / 101_325.0, on_the_spot, rel_tol=0.01)


def test_weather_is_in_the_uncertainty_of_an_altitude() -> None:
    """By altitude alone the boiling point is known to 0.4 K, by the pressure on the spot much better."""
    by_altitude = instruments.boiling_water_c(altitude_m=Measured(0.0, 0.0))
    by_pressure = instruments.boiling_water_c(station_pa=Measured(101_325.0, 100.0))

    assert by_altitude.sd == pytest.approx(0.41, abs=0.02)
    assert by_pressure.sd == pytest.approx(0.028, abs=0.003)
    assert by_altitude.note


@given(st.floats(-4.0, 4.0), st.floats(0.97, 1.03), st.floats(0.0, 100.0), st.floats(88.0, 100.0))
def test_two_points_undo_a_straight_error(offset_k: float, gain: float, true_c: float, boiling_c: float) -> None:
    """A thermometer with any offset and gain, checked in ice and boiling water, is brought to the truth."""
    shown_boiling = offset_k + gain * boiling_c
    if abs(shown_boiling - boiling_c) > 4.9:
        return
    check = ThermometerCheck(*_exact(offset_k, shown_boiling, boiling_c))

    told = instruments.true_temperature_c(Measured(offset_k + gain * true_c, 0.0), check)

    assert math.isclose(true_c, told.value, abs_tol=1e-6)


def test_offsets_are_reading_less_truth() -> None:
    """0.8 in ice is 0.8 too much; 95.4 at 1500 m is 0.4 too much, not 4.6 too little."""
    ice = instruments.ice_offset_k(Measured(0.8, 0.1))
    boiling = instruments.boiling_offset_k(Measured(95.4, 0.1), Measured(94.984, 0.1))

    assert ice.value == pytest.approx(0.8)
    assert boiling.value == pytest.approx(0.416, abs=1e-9)


def test_beyond_the_points_it_is_said() -> None:
    """A reading outside the two points of the check is near the limit of what they tell."""
    check = ThermometerCheck(*_exact(0.5, 95.0, 94.984))

    assert Verdict.NEAR_LIMIT is instruments.true_temperature_c(Measured(99.0, 0.1), check).verdict
    assert Verdict.INSIDE is instruments.true_temperature_c(Measured(67.0, 0.1), check).verdict


def test_true_temperature_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of a corrected reading is that of 20000 simulated checks, within 5 %."""
    reading, ice, shown, truly = Measured(67.6, 0.2), Measured(0.6, 0.3), Measured(96.4, 0.2), Measured(94.98, 0.4)
    told = instruments.true_temperature_c(reading, ThermometerCheck(ice, shown, truly))
    rng = np.random.default_rng(11)
    at, low, high, boiling = (rng.normal(item.value, item.sd, 20_000) for item in (reading, ice, shown, truly))
    melting = rng.normal(0.0, instruments.ICE_SD_K, 20_000)

    simulated = melting + (at - low) * (boiling - melting) / (high - low)

    assert float(np.std(simulated)) == pytest.approx(told.sd, rel=0.05)
    assert float(np.mean(simulated)) == pytest.approx(told.value, abs=0.01)


@pytest.mark.parametrize("calibration_c", [15.0, 15.5556, 20.0])
@pytest.mark.parametrize("water_c", [4.0, 10.0, 20.0, 30.0, 45.0, 60.0])
def test_hydrometer_in_water_meets_iapws_95(water_c: float, calibration_c: float) -> None:
    """A glass hydrometer in water shows what the densities of IAPWS-95 and the glass of ISO 1768 say, to 1e-5."""
    at, made = (PropsSI("D", "T", c + 273.15, "P", 101_325.0, "Water") for c in (water_c, calibration_c))
    expected = (at * (1.0 + 25e-6 * (water_c - calibration_c)) - 1.2) / (made - 1.2)

    assert expected == pytest.approx(
        instruments.hydrometer_in_water_sg(Measured(water_c, 0.0), calibration_c).value, abs=1e-5
    )


@given(st.floats(1.0, 60.0), st.floats(15.0, 20.0))
def test_the_correction_takes_that_reading_for_water(water_c: float, calibration_c: float) -> None:
    """What a good hydrometer shows in water is corrected to 1.000 by the hydrometer's own formula."""
    shown = instruments.hydrometer_in_water_sg(Measured(water_c, 0.0), calibration_c).value

    water = hydrometer.correct(shown, water_c, calibration_c=calibration_c, reading_sd_sg=0.0, thermometer_sd_c=0.0)

    assert math.isclose(1.0, water.value, abs_tol=2e-6)


@given(st.floats(-0.01, 0.01), st.floats(5.0, 50.0))
def test_the_offset_serves_the_correction(offset_sg: float, water_c: float) -> None:
    """An offset found in warm water, handed to the correction, makes that water 1.000 again."""
    shown = instruments.hydrometer_in_water_sg(Measured(water_c, 0.0), 20.0).value + offset_sg
    found = instruments.hydrometer_offset_sg(Measured(shown, 0.0), Measured(water_c, 0.0), 20.0)

    water = hydrometer.correct(
        shown,
        water_c,
        calibration_c=20.0,
        reading_sd_sg=0.0,
        thermometer_sd_c=0.0,
        reads_in_water_sg=1.0 + found.value,
    )

    assert math.isclose(offset_sg, found.value, abs_tol=1e-9)
    assert math.isclose(1.0, water.value, abs_tol=2e-6)


@given(st.floats(6.0, 59.0), st.floats(0.1, 1.0))
def test_warmer_water_shows_less(water_c: float, warmer_k: float) -> None:
    """A hydrometer sinks deeper in warmer water, above the densest water."""
    cool = instruments.hydrometer_in_water_sg(Measured(water_c, 0.0), 20.0).value

    assert instruments.hydrometer_in_water_sg(Measured(water_c + warmer_k, 0.0), 20.0).value < cool


@pytest.mark.parametrize(
    ("prism_c", "shows"), [(10.0, 0.50), (15.0, 0.27), (20.0, 0.0), (25.0, -0.33), (30.0, -0.72)]
)
def test_a_good_refractometer_has_no_offset(prism_c: float, shows: float) -> None:
    """What water shows uncompensated by the table of 1936 (2ND to 22 °C, MEM above) is no error."""
    told = instruments.refractometer_zero_brix(Measured(shows, 0.0), Measured(prism_c, 0.0), compensates=False)

    assert told.value == pytest.approx(0.0, abs=1e-9)


def test_a_compensating_refractometer_shows_zero_in_water() -> None:
    """With compensation the temperature does not matter: 0.3 shown is 0.3 too much."""
    told = instruments.refractometer_zero_brix(Measured(0.3, 0.0), Measured(28.0, 0.0), compensates=True)

    assert told.value == pytest.approx(0.3)


def test_every_offset_names_a_known_source() -> None:
    """What the instruments tell is traced to the table of sources."""
    keys = {
        instruments.boiling_water_c(altitude_m=Measured(100.0, 0.0)).source,
        instruments.boiling_water_c(station_pa=Measured(101_325.0, 0.0)).source,
        instruments.ice_offset_k(Measured(0.1, 0.0)).source,
        instruments.boiling_offset_k(*_exact(99.0, 99.97)).source,
        instruments.hydrometer_offset_sg(*_exact(1.0, 20.0), 20.0).source,
        instruments.refractometer_zero_brix(*_exact(0.0, 20.0), compensates=True).source,
    }

    assert not keys - set(SOURCES)


def test_both_or_no_pressure_is_a_mistake_of_the_caller() -> None:
    """Boiling water is told from one of altitude and pressure, never from both or none."""
    with pytest.raises(ValueError, match="not both"):
        instruments.boiling_water_c()
    with pytest.raises(ValueError, match="not both"):
        instruments.boiling_water_c(altitude_m=Measured(1.0, 0.0), station_pa=Measured(1e5, 0.0))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: instruments.ice_offset_k(Measured(7.0, 0.1)), "-5 to 5 °C, not 7 °C"),
        (lambda: instruments.boiling_offset_k(*_exact(80.0, 99.0)), "94 to 104 °C, not 80 °C"),
        (lambda: instruments.boiling_water_c(station_pa=Measured(0.0, 0.0)), "Pa, not 0 Pa"),
        (lambda: instruments.boiling_water_c(altitude_m=Measured(9000.0, 0.0)), "6000 m, not 9000 m"),
        (lambda: instruments.station_pressure_pa(30.0, 100.0), "Pa, not 30 Pa"),
        (
            lambda: instruments.hydrometer_in_water_sg(Measured(30.0, 0.0), 20.0, glass=False),
            "within 3 K of its 20",
        ),
        (lambda: instruments.hydrometer_offset_sg(*_exact(1.05, 20.0), 20.0), "0.980 to 1.020 SG, not 1.050 SG"),
        (lambda: instruments.refractometer_zero_brix(*_exact(5.0, 20.0), compensates=True), "-3 to 3 °Bx, not 5"),
        (lambda: instruments.refractometer_zero_brix(*_exact(0.0, 40.0), compensates=True), "10 to 30 °C"),
    ],
)
def test_an_impossible_check_is_refused(call: object, words: str) -> None:
    """A check that no instrument gives is refused with the limit."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
