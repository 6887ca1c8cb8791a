"""Air pressure at an altitude, and where water boils under it."""

from __future__ import annotations

import math
from typing import Final

from assistant.calculation.limits import require_within

LOWEST_M: Final = -500.0
HIGHEST_M: Final = 6000.0

_SEA_LEVEL_PA: Final = 101_325.0
_SEA_LEVEL_K: Final = 288.15
_LAPSE_K_M: Final = 0.0065
_EXPONENT: Final = 9.80665 * 0.0289644 / (8.31432 * _LAPSE_K_M)  # the standard fixes R = 8.31432 J/(mol K)
_EARTH_RADIUS_M: Final = 6_356_766.0
_ZERO_C_K: Final = 273.15

_N: Final = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)


def pressure_pa(altitude_m: float) -> float:
    """Give the standard air pressure [Pa] at `altitude_m` [m] above the sea (geometric, as on a map).

    p = 101325 (1 - 0.0065 h / 288.15)^5.2559, h = r z / (r + z), r = 6356766 m.

    Bias: weather moves the true pressure by about 3 kPa either way. It is the pressure on the spot, not the one in
    a weather report, which is reduced to sea level.

    Valid: -500 to 6000 m.

    Source: U.S. Standard Atmosphere, 1976 (the same as ISO 2533 here).

    Raises:
        OutsideRange: outside that range.

    >>> pressure_pa(1500.0)
    84559.7
    """
    require_within("The altitude", altitude_m, LOWEST_M, HIGHEST_M, "m")
    geopotential_m = _EARTH_RADIUS_M * altitude_m / (_EARTH_RADIUS_M + altitude_m)
    return float(_SEA_LEVEL_PA * (1.0 - _LAPSE_K_M * geopotential_m / _SEA_LEVEL_K) ** _EXPONENT)


def boiling_point_c(pressure_pa: float) -> float:
    """Give the temperature [°C] at which water boils under `pressure_pa` [Pa, absolute].

    Backward equation of the saturation line, IF97 region 4, equation 31.

    Bias: wort of 10 to 16 °P boils 0.2 to 0.3 K higher, the foot of a kettle a little higher still.

    Valid: 611.213 Pa to 22.064 MPa.

    Source: IAPWS R7-97(2012), equation 31.

    Raises:
        OutsideRange: outside that range.

    >>> boiling_point_c(101325.0)
    99.974
    """
    require_within("The pressure", pressure_pa, 611.213, 22.064e6, "Pa")
    n = _N
    beta = (pressure_pa / 1e6) ** 0.25
    e = beta * beta + n[2] * beta + n[5]
    f = n[0] * beta * beta + n[3] * beta + n[6]
    g = n[1] * beta * beta + n[4] * beta + n[7]
    d = 2.0 * g / (-f - math.sqrt(f * f - 4.0 * e * g))
    kelvin: float = (n[9] + d - math.sqrt((n[9] + d) ** 2 - 4.0 * (n[8] + n[9] * d))) / 2.0
    return kelvin - _ZERO_C_K


def vapour_pressure_pa(temperature_c: float) -> float:
    """Give the vapour pressure [Pa] of water at `temperature_c` [°C]; inverse of `boiling_point_c`.

    Valid: 0 to 373.946 °C.

    Source: IAPWS R7-97(2012), equation 30.

    Raises:
        OutsideRange: outside that range.

    >>> vapour_pressure_pa(100.0)
    101417.98
    """
    require_within("The temperature of the water", temperature_c, 0.0, 373.946, "°C")
    n = _N
    kelvin = temperature_c + _ZERO_C_K
    theta = kelvin + n[8] / (kelvin - n[9])
    a = theta * theta + n[0] * theta + n[1]
    b = n[2] * theta * theta + n[3] * theta + n[4]
    c = n[5] * theta * theta + n[6] * theta + n[7]
    return float(1e6 * (2.0 * c / (-b + math.sqrt(b * b - 4.0 * a * c))) ** 4)


def boiling_point_at_altitude_c(altitude_m: float) -> float:
    """Give the temperature [°C] at which water boils at `altitude_m` [m] in standard air.

    Bias: weather moves it by about 0.8 K either way.

    Valid: -500 to 6000 m.

    Source: U.S. Standard Atmosphere, 1976; IAPWS R7-97(2012), equation 31.

    Raises:
        OutsideRange: outside that range.

    >>> boiling_point_at_altitude_c(1500.0)
    94.984
    """
    return boiling_point_c(pressure_pa(altitude_m))


def altitude_from_boiling_point_m(boiling_point_c: float) -> float:
    """Give the altitude [m] of standard air under which water boils at `boiling_point_c` [°C].

    Formula: altitude at which the standard air has steam's pressure.

    Bias: a thermometer off by 1 K is 300 m off, and weather moves it by 250 m: an altitude in effect, as the kettle
    feels it, not the one on the map.

    Valid: about 80.0 to 101.6 °C (6000 to -500 m).

    Source: U.S. Standard Atmosphere, 1976; IAPWS R7-97(2012), equation 30.

    Raises:
        OutsideRange: outside that range.

    >>> altitude_from_boiling_point_m(94.984)
    1500.0
    """
    lowest_c, highest_c = boiling_point_at_altitude_c(HIGHEST_M), boiling_point_at_altitude_c(LOWEST_M)
    require_within("The boiling point", boiling_point_c, lowest_c, highest_c, "°C")
    ratio = vapour_pressure_pa(boiling_point_c) / _SEA_LEVEL_PA
    geopotential_m = (1.0 - ratio ** (1.0 / _EXPONENT)) * _SEA_LEVEL_K / _LAPSE_K_M
    return float(_EARTH_RADIUS_M * geopotential_m / (_EARTH_RADIUS_M - geopotential_m))
