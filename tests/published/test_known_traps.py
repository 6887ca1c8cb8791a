"""Mistakes that circulate in print and code, and that we must not have made."""

from __future__ import annotations

import pytest

from assistant.calculation import (
    chill,
    colour,
    fermenting_refractometer,
    hydrometer,
    instruments,
    pressure,
    scales,
    sucrose,
    water,
)
from assistant.calculation.results import Verdict
from assistant.quantities import Measured, OutsideRange


def test_kell_denominator_is_not_the_misprint() -> None:
    """Water at 20 °C is 998.203, not the 997.936 of the swapped digits 16.897850e-3 (CALC; both seen in code)."""
    expected = 998.2031

    assert expected == pytest.approx(water.density_kg_m3(20.0), abs=0.001)


def test_water_is_on_its_90() -> None:
    """At 80 °C the ITS-90 coefficients give 971.785, the 1975 ones on IPTS-68 give 971.798 (2ND)."""
    expected = 971.7847

    assert expected == pytest.approx(water.density_kg_m3(80.0), abs=0.001)


def test_gravity_is_apparent_not_in_vacuum() -> None:
    """10 °P is 1.04003 weighed in air; the vacuum column says 1.03998 (2ND and CALC)."""
    expected = 1.04003

    assert expected == pytest.approx(scales.sg_from_plato(10.0), abs=6e-6)


def test_five_percent_is_not_the_misprinted_handbook_entry() -> None:
    """5 % is about 1019.65 on water = 1000; a 2006 handbook prints 1017.85, against its neighbours (2ND, CALC)."""
    ratio = sucrose.density_kg_m3(0.05, 20.0) / water.density_kg_m3(20.0)
    expected = 1019.65

    assert expected == pytest.approx(1000.0 * ratio, abs=0.1)


def test_gravity_below_range_of_polynomial_is_not_a_negative_extract() -> None:
    """The ASBC polynomial's -0.003 °P for water is cut at 0 (2ND)."""
    water_sg = 1.0

    assert not scales.plato_from_sg_asbc(water_sg)


def test_water_only_correction_is_not_used() -> None:
    """At 60 °C and 1.050 the water-only model falls 0.94 points short of the sucrose model (CALC)."""
    hot = hydrometer.correct(1.050, 60.0, calibration_c=20.0, reading_sd_sg=0.0005, thermometer_sd_c=0.5)
    water_only = 1.050 * water.density_kg_m3(20.0) / (water.density_kg_m3(60.0) * (1.0 + 25e-6 * 40.0))
    expected = 0.00094

    assert expected == pytest.approx(hot.value - water_only, abs=2e-5)


def test_sixty_fahrenheit_hydrometer_is_brought_to_20_20() -> None:
    """10 °P shows 1.04022 on a 60/60 °F hydrometer at 60 °F and is 1.04003 at 20/20 (CALC)."""
    sixty_f = (60.0 - 32.0) / 1.8

    result = hydrometer.correct(1.04022, sixty_f, calibration_c=sixty_f, reading_sd_sg=0.0, thermometer_sd_c=0.0)
    expected = 1.04003

    assert expected == pytest.approx(result.value, abs=1e-5)


def test_gauge_pressure_is_refused() -> None:
    """An open kettle's gauge pressure, zero, is no absolute pressure and gets no boiling point."""
    with pytest.raises(OutsideRange, match="pressure"):
        pressure.boiling_point_c(0.0)


def test_a_target_at_or_below_the_coolant_is_never() -> None:
    """With 20 °C water, 20 °C is never reached: the answer is None, never a number that is none."""
    exact = ((0.0, 0.0, 0.0),) * 3
    fit = chill.ChillFit(0.0, Measured(98.0, 0.0), Measured(20.0, 0.0), Measured(316.8, 0.0), exact, 3)

    assert chill.time_to_c(fit, 20.0, 0.0) is None
    assert chill.time_to_c(fit, 12.0, 0.0) is None


def test_one_printed_coefficient_does_not_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    """A coefficient is in print as -3.9643 and -3.9646: to 30 % that is less than 1e-5 kg/m³ (CALC)."""
    ours = sucrose.density_kg_m3(0.30, 20.0)
    rows = list(sucrose._C)
    rows[0] = tuple(-3.9646 if figure == -3.9643 else figure for figure in rows[0])
    monkeypatch.setattr(sucrose, "_C", tuple(rows))
    other = sucrose.density_kg_m3(0.30, 20.0)

    assert 0.0 < ours - other < 1e-5


def test_refraction_is_of_sucrose_not_of_glucose_syrup() -> None:
    """0.41 °Bx to 1 % of alcohol is 6.0e-4 over the refraction of sucrose, 1.3478 at 10 % (2ND, MEM).

    A table headed ISO 1743 has 1.34852 at 10 %: it is of glucose syrup, and would make it 0.39.
    """
    water_n, per_alcohol = 1.3330, 6.0e-4
    sucrose_share = 10.0 * per_alcohol / (1.3478 - water_n)
    syrup_share = 10.0 * per_alcohol / (1.34852 - water_n)

    assert sucrose_share == pytest.approx(fermenting_refractometer.BRIX_PER_ALCOHOL, abs=0.01)
    assert syrup_share < fermenting_refractometer.BRIX_PER_ALCOHOL - 0.02


def test_colour_has_the_exponent_of_its_author() -> None:
    """20 units of malt colour are 11.65 SRM by the author's 0.6859; the misprint 0.659 makes it 10.75 (2ND)."""
    expected, misprinted = 11.65, 1.4922 * 20.0**0.659

    assert expected == pytest.approx(colour.morey_srm(20.0), abs=0.01)
    assert misprinted == pytest.approx(10.75, abs=0.01)


def test_weather_report_is_not_the_pressure_on_the_spot() -> None:
    """A report of 101325 Pa at 1500 m means 84560 on the spot, where water boils 5 K lower (LIB, CALC)."""
    on_the_spot = instruments.station_pressure_pa(101_325.0, 1500.0)
    lower_k = pressure.boiling_point_c(101_325.0) - pressure.boiling_point_c(on_the_spot)
    expected_pa, expected_k = 84_559.7, 4.990

    assert expected_pa == pytest.approx(on_the_spot, abs=1.0)
    assert expected_k == pytest.approx(lower_k, abs=0.005)


@pytest.mark.parametrize(("brix", "true_sg", "low_points"), [(8.09, 1.02369, 5.0), (10.04, 1.03590, 8.0)])
def test_fits_to_finished_beer_are_kept_out_on_the_way_there(
    brix: float, true_sg: float, low_points: float
) -> None:
    """At half and a quarter of the way the finished-beer fits are 5 to 11 points low and do not count (CALC)."""
    beer = fermenting_refractometer.gravity_from_reading(
        Measured(12.0, 0.1), Measured(brix, 0.1), Measured(1.0, 0.0)
    )
    fits = [fit for fit in beer.published if fit.source.startswith("Terrill")]

    assert true_sg == pytest.approx(beer.model.value, abs=3e-4)
    assert all(1000.0 * (true_sg - fit.value) > low_points for fit in fits)
    assert {Verdict.NEAR_LIMIT} == {fit.verdict for fit in fits}
