"""Carbon dioxide in beer: what stays after fermentation, and what a keg holds at a pressure and temperature.

Pressures are in Pa, in the keg above the air outside (gauge) where a name says so. One volume is a litre of gas
at 0 °C and 101.325 kPa to a litre of beer: 1.9768 g/L, as the real gas weighs (an ideal one would weigh 1.9635,
0.7 % less).
"""

from __future__ import annotations

import math
from typing import Final

from assistant.calculation import water
from assistant.calculation.limits import require_within
from assistant.calculation.molar_mass import molar_mass_g
from assistant.calculation.pressure import vapour_pressure_pa
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

VOLUME_G_PER_L: Final = 1.9768
IDEAL_VOLUME_G_PER_L: Final = 1.9635
PSI_PA: Final = 6894.757293168
# Beer takes up 94 to 97 % of what water does: the ratio of the trade's tables to the solubility in water.
BEER_SHARE: Final = 0.95

LOWEST_C: Final = 0.0
HIGHEST_C: Final = 30.0
USUAL_C: Final = 21.0
HIGHEST_VOLUMES: Final = 8.0
HIGHEST_ABSOLUTE_PA: Final = 1.0e6

_ZERO_C_K: Final = 273.15
_CO2_PER_WATER: Final = molar_mass_g("CO2") / molar_mass_g("H2O")
_RESIDUAL_SD_SHARE: Final = 0.05
_DEFINITION: Final = "A volume is a litre of gas at 0 °C and 1 atm to a litre of beer, 1.977 g/L."


def henry_mpa(temperature_c: float) -> float:
    """Give Henry's constant [MPa, mole fraction] of carbon dioxide in water at `temperature_c` [°C].

    ln(H/MPa) = -6.8346 + 1.2817e4/T - 3.7668e6/T² + 2.997e8/T³, T in K.

    Valid: 0 to 100 °C (published to 160 °C), pressures below 1 MPa.

    Source: Carroll, Slupsky and Mather, J. Phys. Chem. Ref. Data 20 (1991) 1201, abstract.

    Raises:
        OutsideRange: outside that range.

    >>> henry_mpa(20.0)
    141.36
    """
    require_within("The temperature of the liquid", temperature_c, 0.0, 100.0, "°C")
    kelvin = temperature_c + _ZERO_C_K
    return math.exp(-6.8346 + 1.2817e4 / kelvin - 3.7668e6 / kelvin**2 + 2.997e8 / kelvin**3)


def dissolved_in_water_g_per_l(gas_pa: float, temperature_c: float) -> float:
    """Give the carbon dioxide [g/L] in water under `gas_pa` [Pa] of it alone at `temperature_c` [°C].

    `gas_pa` is without the vapour of the water. x = p/H, and x/(1 - x) moles to a mole of water.

    Valid: 0 to 100 °C, 0 to 1 MPa.

    Source: Carroll et al. (1991), `henry_mpa`.

    Raises:
        OutsideRange: outside that range.

    >>> dissolved_in_water_g_per_l(101325.0, 20.0)
    1.749
    """
    require_within("The pressure of the gas", gas_pa, 0.0, HIGHEST_ABSOLUTE_PA, "Pa")
    mole_fraction = gas_pa / (1e6 * henry_mpa(temperature_c))
    return mole_fraction / (1.0 - mole_fraction) * _CO2_PER_WATER * water.density_kg_m3(temperature_c)


def volumes_in_water(total_pa: float, temperature_c: float) -> float:
    """Give the volumes [L/L] in water at `temperature_c` [°C] under `total_pa` [Pa, absolute], vapour included.

    Bias: 0.02 volumes at most from other published solubilities below 25 °C.

    Valid: 0 to 100 °C, from the vapour pressure of water to 1 MPa.

    Source: Carroll et al. (1991); vapour pressure by IAPWS R7-97(2012).

    Raises:
        OutsideRange: outside that range.

    >>> volumes_in_water(101325.0, 20.0)
    0.864
    """
    vapour_pa = vapour_pressure_pa(temperature_c)
    require_within("The pressure", total_pa, vapour_pa, HIGHEST_ABSOLUTE_PA, "Pa")
    return dissolved_in_water_g_per_l(total_pa - vapour_pa, temperature_c) / VOLUME_G_PER_L


def volumes_in_beer(gauge_pa: float, temperature_c: float, air_pa: float) -> float:
    """Give the volumes [L/L] in beer at `temperature_c` [°C] under `gauge_pa` [Pa] above the air's `air_pa` [Pa].

    0.95 of what water takes up.

    Bias: tables of the trade agree within 0.06 volumes to 10 °C and 0.12 to 21 °C; beers differ by some per cent
    with extract and alcohol.

    Valid: 0 to 30 °C, air 40 to 110 kPa on the spot, from the vapour pressure of water to 1 MPa absolute.

    Source: Carroll et al. (1991) for water; 0.95 from the ratio to a polynomial in wide circulation.

    Raises:
        OutsideRange: outside that range.

    >>> volumes_in_beer(12.0 * PSI_PA, (38.0 - 32.0) / 1.8, 101325.0)
    2.58
    """
    _require_cellar(temperature_c)
    _require_air(air_pa)
    return BEER_SHARE * volumes_in_water(air_pa + gauge_pa, temperature_c)


def gauge_for_volumes_pa(volumes: float, temperature_c: float, air_pa: float) -> float:
    """Give the pressure [Pa, on the gauge] that holds `volumes` [L/L] in beer at `temperature_c` [°C].

    Inverse of `volumes_in_beer`; the thinner air of a high place, `air_pa` [Pa, absolute, on the spot], asks for
    more on the gauge. Below 0 the beer would have to stand under a vacuum.

    Valid: 0 to 30 °C, 0 to 8 volumes, air 40 to 110 kPa on the spot.

    Source: as `volumes_in_beer`.

    Raises:
        OutsideRange: outside that range.

    >>> gauge_for_volumes_pa(2.4, 4.0, 101325.0) / PSI_PA
    10.8
    """
    _require_cellar(temperature_c)
    _require_air(air_pa)
    require_within("The carbonation", volumes, 0.0, HIGHEST_VOLUMES, "volumes")
    grams = volumes / BEER_SHARE * VOLUME_G_PER_L
    ratio = grams / (_CO2_PER_WATER * water.density_kg_m3(temperature_c))
    gas_pa = 1e6 * henry_mpa(temperature_c) * ratio / (1.0 + ratio)
    return gas_pa + vapour_pressure_pa(temperature_c) - air_pa


def residual(highest_c: Measured, air_pa: Measured) -> Result:
    """Give the volumes [L/L] left in beer that fermented in the open, up to `highest_c` [°C], under `air_pa` [Pa].

    Formula: solubility of carbon dioxide in water at that temperature (Henry).

    What counts is the highest temperature since the fermentation ended: the gas that left does not come back when
    the beer is chilled. The uncertainty joins those of the two with 5 % of the rule's own.

    Bias: taken as for water; beer holds up to 5 % less. Beer under pressure, or just done fermenting, holds more;
    moved or stirred beer, less.

    Valid: 0 to 30 °C, 40 to 110 kPa, absolute, on the spot (not the pressure of a weather report, which is
    reduced to sea level).

    Source: Carroll et al. (1991), by `volumes_in_water`.

    Raises:
        OutsideRange: outside that range.

    >>> left = residual(Measured(20.0, 0.5), Measured(101325.0, 1500.0))
    >>> left.value, left.sd
    (0.864, 0.047)
    """
    _require_cellar(highest_c.value)
    _require_air(air_pa.value)
    model_sd = _RESIDUAL_SD_SHARE * volumes_in_water(air_pa.value, highest_c.value)
    left = propagate(volumes_in_water, air_pa, highest_c, model_sd=model_sd)
    return Result(left.value, left.sd, "volumes", "carroll", note=_DEFINITION)


def keg_pressure(volumes: Measured, temperature_c: Measured, air_pa: Measured) -> Result:
    """Give the pressure [Pa, on the gauge] that brings beer at `temperature_c` [°C] to `volumes` [L/L] in time.

    Formula: pressure whose dissolved gas is 0.95 of that in water.

    At the air pressure `air_pa` [Pa, absolute, on the spot]. The uncertainty joins those of the three with 0.06
    volumes of the rule's own to 10 °C, 0.12 from 21 °C.

    Bias: it is where the beer ends after days; shaking gets there in minutes and overshoots easily.

    Valid: 0 to 30 °C, 0 to 8 volumes, 40 to 110 kPa of air; near the limit above 21 °C or 4 volumes.

    Source: as `volumes_in_beer`.

    Raises:
        OutsideRange: outside that range, or when the open air alone gives the beer more than that.

    >>> gauge = keg_pressure(Measured(2.5, 0.0), Measured(4.0, 0.5), Measured(101325.0, 0.0))
    >>> gauge.value / PSI_PA, gauge.sd / PSI_PA
    (11.8, 0.8)
    """
    _require_air(air_pa.value)
    rule = Measured(0.0, _rule_sd(temperature_c.value))
    wanted = propagate(
        lambda wish, cellar, air, error: gauge_for_volumes_pa(wish + error, cellar, air),
        volumes,
        temperature_c,
        air_pa,
        rule,
    )
    if wanted.value < 0.0:
        least = volumes_in_beer(0.0, temperature_c.value, air_pa.value)
        raise OutsideRange(
            f"Under gas without pressure beer at {{beer}} holds {least:.2f} volumes; "
            f"what is wanted must be more than that, not {volumes.value:.3g}.",
            beer=Shown(temperature_c.value, "°C"),
        )
    return Result(
        wanted.value,
        wanted.sd,
        "Pa",
        "keg table",
        _verdict(volumes.value, temperature_c.value),
        _DEFINITION,
    )


def keg_volumes(gauge_pa: Measured, temperature_c: Measured, air_pa: Measured) -> Result:
    """Give the volumes [L/L] that beer at `temperature_c` [°C] reaches under `gauge_pa` [Pa, on the gauge].

    Formula: 0.95 of the gas that water dissolves under that pressure.

    At the air pressure `air_pa` [Pa, absolute, on the spot]; inverse of `keg_pressure`, with its bias.

    Valid: 0 to 30 °C, gauge 0 to 900 kPa, 40 to 110 kPa of air, up to 1 MPa together.

    Source: as `volumes_in_beer`.

    Raises:
        OutsideRange: outside that range.

    >>> held = keg_volumes(Measured(12.0 * PSI_PA, 0.0), Measured(4.0, 0.5), Measured(101325.0, 0.0))
    >>> held.value, held.sd
    (2.52, 0.07)
    """
    _require_air(air_pa.value)
    require_within("The pressure on the gauge", gauge_pa.value, 0.0, 900_000.0, "Pa")
    held = propagate(volumes_in_beer, gauge_pa, temperature_c, air_pa, model_sd=_rule_sd(temperature_c.value))
    verdict = _verdict(held.value, temperature_c.value)
    return Result(held.value, held.sd, "volumes", "keg table", verdict, _DEFINITION)


def _rule_sd(temperature_c: float) -> float:
    share = (min(max(temperature_c, 10.0), USUAL_C) - 10.0) / (USUAL_C - 10.0)
    return 0.06 + 0.06 * share


def _verdict(volumes: float, temperature_c: float) -> Verdict:
    return Verdict.NEAR_LIMIT if temperature_c > USUAL_C or volumes > 4.0 else Verdict.INSIDE


def _require_cellar(temperature_c: float) -> None:
    require_within("The temperature of the beer", temperature_c, LOWEST_C, HIGHEST_C, "°C")


def _require_air(air_pa: float) -> None:
    require_within("The air pressure", air_pa, 40_000.0, 110_000.0, "Pa")
