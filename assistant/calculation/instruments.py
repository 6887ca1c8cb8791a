"""An instrument's own error, found in what costs nothing: ice, boiling water, plain water.

Offsets are the reading less the truth, so that an offset is taken off a reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from assistant.calculation import water
from assistant.calculation.hydrometer import GLASS_EXPANSION_PER_K, PLASTIC_SPAN_K
from assistant.calculation.limits import require_within
from assistant.calculation.pressure import (
    HIGHEST_M,
    LOWEST_M,
    boiling_point_c,
    pressure_pa,
)
from assistant.calculation.refractometer import temperature_correction_brix
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import AIR_KG_M3
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

ICE_SD_K: Final = 0.1  # judgement: crushed ice with water in its gaps, stirred; tap water ice is not pure
WEATHER_SD_PA: Final = 1500.0  # ±30 hPa of weather taken as two deviations
LARGEST_OFFSET_K: Final = 5.0
LARGEST_OFFSET_SG: Final = 0.02
LARGEST_OFFSET_BRIX: Final = 3.0

_LOWEST_PA: Final = 45e3
_HIGHEST_PA: Final = 110e3
_SEA_LEVEL_PA: Final = 101_325.0
_EXPONENT: Final = 5.255877  # of the standard atmosphere


@dataclass(frozen=True, slots=True)
class ThermometerCheck:
    """A thermometer read in ice and in boiling water, and where the water truly boiled.

    in_ice_c, in_boiling_c: as shown. boiling_c: the truth of the second, see `boiling_water_c`.
    """

    in_ice_c: Measured
    in_boiling_c: Measured
    boiling_c: Measured


def station_pressure_pa(sea_level_pa: float, altitude_m: float) -> float:
    """Give the pressure on the spot [Pa] at `altitude_m` [m] where the weather report says `sea_level_pa` [Pa].

    The report reduces to sea level along the standard atmosphere (QNH): the altitude at which the standard has the
    reported pressure is added to the station's, and the standard read there.

    Bias: a report reduced with the day's temperature (QFF) differs by up to 0.5 kPa at 1000 m in cold or hot air.

    Valid: 87 to 109 kPa (weather on record), -500 to 6000 m.

    Source: U.S. Standard Atmosphere, 1976; the altimeter setting of the ICAO.

    Raises:
        OutsideRange: outside that range.

    >>> station_pressure_pa(101325.0, 1500.0)
    84559.7
    >>> station_pressure_pa(99000.0, 1500.0)
    82552.10
    """
    require_within("The pressure in the weather report", sea_level_pa, 87e3, 109e3, "Pa")
    require_within("The altitude", altitude_m, LOWEST_M, HIGHEST_M, "m")
    share = (sea_level_pa / _SEA_LEVEL_PA) ** (1.0 / _EXPONENT)
    standard = (pressure_pa(altitude_m) / _SEA_LEVEL_PA) ** (1.0 / _EXPONENT)
    return float(_SEA_LEVEL_PA * (standard + share - 1.0) ** _EXPONENT)


def boiling_water_c(*, altitude_m: Measured | None = None, station_pa: Measured | None = None) -> Result:
    """Tell where [°C] plain water boils, by `altitude_m` [m] or, better, by `station_pa` [Pa, on the spot].

    Formula: T where the pressure of steam is that of the air.

    Bias: by altitude alone the weather adds ±0.4 K (sd), which is in the uncertainty. Salts of tap water add less
    than 0.01 K; deep in a pot it is hotter: hold the tip near the surface in a rolling boil.

    Valid: altitude -500 to 6000 m, pressure 45 to 110 kPa; exactly one of them.

    Source: U.S. Standard Atmosphere, 1976; IAPWS R7-97(2012), equation 31.

    Raises:
        OutsideRange: outside that range.
        ValueError: if both or none are given.

    >>> told = boiling_water_c(altitude_m=Measured(1500.0, 30.0))
    >>> told.value, told.sd
    (94.98, 0.49)
    >>> boiling_water_c(station_pa=Measured(99000.0, 100.0)).value
    99.33
    """
    if station_pa is not None and altitude_m is None:
        told = propagate(_boiling_c, station_pa)
        return Result(told.value, told.sd, "°C", "if97")
    if altitude_m is None or station_pa is not None:
        raise ValueError("Boiling water needs the altitude or the pressure on the spot, and not both.")
    told = propagate(
        lambda at_m, weather: _boiling_c(pressure_pa(at_m) + weather), altitude_m, Measured(0.0, WEATHER_SD_PA)
    )
    return Result(told.value, told.sd, "°C", "atmosphere", note="The weather moves it by 0.8 degrees either way.")


def ice_offset_k(in_ice_c: Measured) -> Result:
    """Tell by how much [K] a thermometer that shows `in_ice_c` [°C] in stirred ice and water shows too much.

    Formula: what it shows - 0.00 °C.

    Bias: ice straight from the freezer without water in its gaps is colder than 0 °C; `ICE_SD_K` of 0.1 K is added.

    Valid: -5 to 5 °C.

    Source: the ice point, 0.00 °C (ITS-90; the triple point is 0.01 °C).

    Raises:
        OutsideRange: outside that range: such a thermometer is broken, or it is no ice.

    >>> told = ice_offset_k(Measured(0.8, 0.1))
    >>> told.value, told.sd
    (0.8, 0.14)
    """
    require_within("The thermometer in ice", in_ice_c.value, -LARGEST_OFFSET_K, LARGEST_OFFSET_K, "°C")
    told = propagate(lambda shown, ice: shown - ice, in_ice_c, Measured(0.0, ICE_SD_K))
    return Result(told.value, told.sd, "K", "ice point")


def boiling_offset_k(in_boiling_c: Measured, boiling_c: Measured) -> Result:
    """Tell how much [K] too high a thermometer shows: `in_boiling_c` [°C] in water boiling at `boiling_c` [°C].

    Formula: what it shows - the temperature at which water boils there.

    Bias: water at altitude boils cooler; taking 100 °C for it makes a good thermometer look bad, see
    `boiling_water_c`.

    Valid: within 5 K of the boiling point, 75 to 105 °C.

    Source: IAPWS R7-97(2012) by way of `boiling_water_c`.

    Raises:
        OutsideRange: outside that range.

    >>> told = boiling_offset_k(Measured(95.4, 0.1), Measured(94.98, 0.4))
    >>> told.value, told.sd
    (0.42, 0.41)
    """
    require_within("The boiling point", boiling_c.value, 75.0, 105.0, "°C")
    lowest_c, highest_c = boiling_c.value - LARGEST_OFFSET_K, boiling_c.value + LARGEST_OFFSET_K
    require_within("The thermometer in boiling water", in_boiling_c.value, lowest_c, highest_c, "°C")
    told = propagate(lambda shown, truth: shown - truth, in_boiling_c, boiling_c)
    return Result(told.value, told.sd, "K", "if97")


def true_temperature_c(reading_c: Measured, check: ThermometerCheck) -> Result:
    """Tell the true temperature [°C] behind `reading_c` [°C] on a thermometer with the two points of `check`.

    Formula: T = (reading - ice) boiling / (shown in boiling - ice): the straight line through both points.

    Bias: a thermometer need not be straight between its points, and a check in the mash's own range would beat it.

    Valid: readings 0 to 105 °C (5 K more either side of the points), offsets at both points to 5 K.

    Source: linear calibration with two fixed points (as ITS-90 fixes them: ice and, at known pressure, steam).

    Raises:
        OutsideRange: outside that range.

    >>> check = ThermometerCheck(Measured(0.6, 0.1), Measured(96.4, 0.1), Measured(94.98, 0.2))
    >>> told = true_temperature_c(Measured(67.6, 0.1), check)
    >>> told.value, told.sd
    (66.43, 0.19)
    """
    ice_offset_k(check.in_ice_c)
    boiling_offset_k(check.in_boiling_c, check.boiling_c)
    require_within("The reading", reading_c.value, -LARGEST_OFFSET_K, 105.0 + LARGEST_OFFSET_K, "°C")

    def truth(shown: float, ice: float, boiling: float, truly: float, ice_point: float) -> float:
        return ice_point + (shown - ice) * (truly - ice_point) / (boiling - ice)

    told = propagate(truth, reading_c, check.in_ice_c, check.in_boiling_c, check.boiling_c, Measured(0.0, ICE_SD_K))
    outside = not check.in_ice_c.value <= reading_c.value <= check.in_boiling_c.value
    return Result(told.value, told.sd, "°C", "if97", Verdict.NEAR_LIMIT if outside else Verdict.INSIDE)


def hydrometer_in_water_sg(water_c: Measured, calibration_c: float, *, glass: bool = True) -> Result:
    """Tell what [SG] a good hydrometer made for `calibration_c` [°C] shows in plain water of `water_c` [°C].

    R = (ρ_water(t) [1 + β (t - t0)] - ρ_air) / (ρ_water(t0) - ρ_air), β = 25e-6 /K: the reading that
    `hydrometer.correct` takes for water. It is 1.000 at the calibration temperature only.

    Bias: hard or salty water is denser by 0.0001 to 0.0005; foam and grease on the stem lift it. A plastic body
    (`glass` false) is told only within 3 K of its calibration.

    Valid: water and calibration 0 to 100 °C.

    Source: ISO 1768:1975, clause 3, for β; `water.density_kg_m3`.

    Raises:
        OutsideRange: outside that range.

    >>> hydrometer_in_water_sg(Measured(25.0, 0.3), 20.0).value
    0.99896
    """
    require_within("The calibration temperature", calibration_c, water.LOWEST_C, water.HIGHEST_C, "°C")
    require_within("The temperature of the water", water_c.value, water.LOWEST_C, water.HIGHEST_C, "°C")
    if not glass and abs(water_c.value - calibration_c) > PLASTIC_SPAN_K:
        raise OutsideRange(
            "A plastic hydrometer is checked only within {span} of its {calibration}, not at {water}.",
            span=Shown(PLASTIC_SPAN_K, "K"),
            calibration=Shown(calibration_c, "°C"),
            water=Shown(water_c.value, "°C"),
        )

    def shown(at_c: float) -> float:
        floating = water.density_kg_m3(at_c) * (1.0 + GLASS_EXPANSION_PER_K * (at_c - calibration_c))
        return (floating - AIR_KG_M3) / (water.density_kg_m3(calibration_c) - AIR_KG_M3)

    told = propagate(shown, water_c, model_sd=0.0002 if glass else 0.0005)
    return Result(told.value, told.sd, "SG", "glass")


def hydrometer_offset_sg(
    reads_sg: Measured, water_c: Measured, calibration_c: float, *, glass: bool = True
) -> Result:
    """Tell how much [SG] too high a hydrometer shows: `reads_sg` [SG] in plain water of `water_c` [°C].

    Formula: what it shows - (ρ_water(t) [1 + β (t - t0)] - ρ_air) / (ρ_water(t0) - ρ_air).

    Made for `calibration_c` [°C], of `glass` or plastic. 1 + offset is the `reads_in_water_sg` of
    `hydrometer.correct`.

    Bias: as `hydrometer_in_water_sg`; one point of the scale is checked, the rest may differ.

    Valid: within 0.020 of what a good one shows, 0 to 100 °C.

    Source: as `hydrometer_in_water_sg`.

    Raises:
        OutsideRange: outside that range: look at the glass, the paper scale may have slipped.

    >>> told = hydrometer_offset_sg(Measured(1.001, 0.0005), Measured(25.0, 0.3), 20.0)
    >>> told.value, told.sd
    (0.00204, 0.00055)
    """
    right = hydrometer_in_water_sg(water_c, calibration_c, glass=glass)
    lowest, highest = right.value - LARGEST_OFFSET_SG, right.value + LARGEST_OFFSET_SG
    require_within("The hydrometer in water", reads_sg.value, lowest, highest, "SG")
    told = propagate(lambda shown, truth: shown - truth, reads_sg, Measured(right.value, right.sd))
    return Result(told.value, told.sd, "SG", "glass")


def refractometer_zero_brix(reads_brix: Measured, prism_c: Measured, *, compensates: bool) -> Result:
    """Tell by how much [°Bx] a refractometer that shows `reads_brix` [°Bx] in distilled water shows too much.

    Formula: what it shows - 0; without compensation + the correction of the table for water.

    One that `compensates` should show 0 at any `prism_c` [°C]; one that does not shows less when warm, by the table
    of `refractometer.temperature_correction_brix`. Set its screw, or take the offset off its readings.

    Bias: tap water reads up to 0.1 °Bx high, which the uncertainty counts (judgement).

    Valid: -3 to 3 °Bx about what is right, prism 10 to 30 °C.

    Source: international refractometer table of 1936; definition of Brix for water.

    Raises:
        OutsideRange: outside that range.

    >>> told = refractometer_zero_brix(Measured(0.1, 0.1), Measured(25.0, 1.0), compensates=False)
    >>> told.value, told.sd
    (0.43, 0.13)
    """
    require_within("The temperature of the prism", prism_c.value, 10.0, 30.0, "°C")

    def offset(shown: float, at_c: float) -> float:
        return shown if compensates else shown + temperature_correction_brix(0.0, at_c)

    told = propagate(offset, reads_brix, prism_c, model_sd=0.05)
    require_within("The refractometer's zero", told.value, -LARGEST_OFFSET_BRIX, LARGEST_OFFSET_BRIX, "°Bx")
    return Result(told.value, told.sd, "°Bx", "refractometer table")


def _boiling_c(station_pa: float) -> float:
    require_within("The pressure on the spot", station_pa, _LOWEST_PA, _HIGHEST_PA, "Pa")
    return boiling_point_c(station_pa)
