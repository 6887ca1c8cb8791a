"""Where wort boils, and what it costs to turn its water into steam."""

from __future__ import annotations

import math
from typing import Final

from assistant.calculation import water
from assistant.calculation.limits import require_within
from assistant.calculation.pressure import boiling_point_c, vapour_pressure_pa
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import mass_fraction_from_sg
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured

HIGHEST_MASS_FRACTION: Final = 0.40

_ZERO_C_K: Final = 273.15
_CRITICAL_K: Final = 647.096
_CRITICAL_KG_M3: Final = 322.0
_VAPOUR: Final = (
    (2.0 / 6.0, -2.03150240),
    (4.0 / 6.0, -2.68302940),
    (8.0 / 6.0, -5.38626492),
    (18.0 / 6.0, -17.2991605),
    (37.0 / 6.0, -44.7586581),
    (71.0 / 6.0, -63.9201063),
)
_SUCROSE_KG_MOL: Final = 0.342297
_WATER_KG_MOL: Final = 0.018015268
_GAS_J_MOL_K: Final = 8.314462618
_STARZAK_J_MOL: Final = -17_638.0
_STARZAK_A: Final = -1.0038
_STARZAK_B: Final = -0.24653
_NORRISH: Final = -6.47
_ELEVATION_SD_K: Final = 0.05  # ±0.1 K, between published models, taken as two deviations


def latent_heat_j_per_kg(temperature_c: float) -> float:
    """Give the heat [J/kg] that turns water of `temperature_c` [°C] into steam of the same temperature.

    Clapeyron: Δh = T (1/ρ'' - 1/ρ') dp/dT along the saturation line, dp/dT from IF97, ρ'' from the
    supplementary equation ln(ρ''/322) = Σ c_i (1 - T/647.096)^e_i, ρ' from `water.density_kg_m3`.

    Bias: within 0.02 % of IAPWS-95 from 1 to 105 °C.

    Valid: 1 to 105 °C.

    Source: IAPWS SR1-86(1992), equation for saturated vapour (coefficients from memory, confirmed against
    IAPWS-95); IAPWS R7-97(2012).

    Raises:
        OutsideRange: outside that range.

    >>> latent_heat_j_per_kg(100.0) / 1e6
    2.2566
    """
    require_within("The temperature of the steam", temperature_c, 1.0, 105.0, "°C")
    kelvin = temperature_c + _ZERO_C_K
    far = 1.0 - kelvin / _CRITICAL_K
    vapour_kg_m3 = _CRITICAL_KG_M3 * math.exp(sum(factor * far**power for power, factor in _VAPOUR))
    liquid_kg_m3 = water.density_kg_m3(min(temperature_c, water.HIGHEST_C))
    step_k = 0.01
    above_pa, below_pa = vapour_pressure_pa(temperature_c + step_k), vapour_pressure_pa(temperature_c - step_k)
    return kelvin * (1.0 / vapour_kg_m3 - 1.0 / liquid_kg_m3) * (above_pa - below_pa) / (2.0 * step_k)


def boiling_point_elevation_k(mass_fraction: float, pressure_pa: float) -> float:
    """Give how much higher [K] than water a sugar solution of `mass_fraction` [kg/kg] boils at `pressure_pa` [Pa].

    T solves γ x_w p_sat(T) = p, ln γ = Q/(R T) x_s² (1 + a x_s + b x_s²), Q = -17638 J/mol, a = -1.0038,
    b = -0.24653, x_s the mole fraction of sucrose.

    Bias: ±0.1 K between published models at 20 %; the glucose and maltose of wort raise it slightly more.

    Valid: mass fraction 0 to 0.40, 50 to 110 kPa.

    Source: Starzak and Peacock, Zuckerindustrie 122 (1997) 380 (citation from memory; constants seen on a summary
    page, the place of x_s² from memory).

    Raises:
        OutsideRange: outside that range.

    >>> boiling_point_elevation_k(0.12, 101325.0)
    0.209
    """
    require_within("The mass fraction of extract", mass_fraction, 0.0, HIGHEST_MASS_FRACTION)
    require_within("The pressure", pressure_pa, 50e3, 110e3, "Pa")
    sugar = _mole_fraction(mass_fraction)
    shape = sugar * sugar * (1.0 + _STARZAK_A * sugar + _STARZAK_B * sugar * sugar)
    pure_c = boiling_point_c(pressure_pa)
    boiling = pure_c
    # The activity hardly changes with the temperature: each round gains three digits.
    for _ in range(6):
        exponent = _STARZAK_J_MOL / (_GAS_J_MOL_K * (boiling + _ZERO_C_K)) * shape
        boiling = boiling_point_c(pressure_pa / ((1.0 - sugar) * math.exp(exponent)))
    return boiling - pure_c


def boiling_point_elevation_norrish_k(mass_fraction: float, pressure_pa: float) -> float:
    """Give the elevation [K] for `mass_fraction` [kg/kg] at `pressure_pa` [Pa] by Raoult's law and Norrish's term.

    Water activity x_w exp(K x_s²), K = -6.47; for comparison with `boiling_point_elevation_k`.

    Bias: 0.004 K above the other model at 20 %.

    Valid: mass fraction 0 to 0.40, 50 to 110 kPa.

    Source: Norrish (1966), constant from memory.

    Raises:
        OutsideRange: outside that range.

    >>> boiling_point_elevation_norrish_k(0.12, 101325.0)
    0.210
    """
    require_within("The mass fraction of extract", mass_fraction, 0.0, HIGHEST_MASS_FRACTION)
    require_within("The pressure", pressure_pa, 50e3, 110e3, "Pa")
    sugar = _mole_fraction(mass_fraction)
    activity = (1.0 - sugar) * math.exp(_NORRISH * sugar * sugar)
    return boiling_point_c(pressure_pa / activity) - boiling_point_c(pressure_pa)


def wort_boiling_point_c(sg: Measured, pressure_pa: Measured) -> Result:
    """Tell where [°C] wort of `sg` [20/20 °C] boils under `pressure_pa` [Pa, absolute, on the spot].

    Formula: boiling point of water at that pressure + elevation by the sugar's water activity.

    Boiling point of water plus `boiling_point_elevation_k`.

    Bias: ±0.1 K of the elevation; at the foot of a kettle it is 0.26 K higher for each 10 cm of depth.

    Valid: SG 1.000 to 1.17 (elevation model to 40 %), 50 to 110 kPa.

    Source: IAPWS R7-97(2012); Starzak and Peacock (1997).

    Raises:
        OutsideRange: outside that range; a gauge pressure of 0 is no absolute pressure.

    >>> told = wort_boiling_point_c(Measured(1.04839, 0.001), Measured(101325.0, 0.0))
    >>> told.value, told.sd
    (100.18, 0.05)
    """

    def boiling(gravity: float, pascal: float) -> float:
        require_within("The gravity of the wort", gravity, 1.0, 1.17, "SG")
        share = max(0.0, mass_fraction_from_sg(gravity))
        require_within("The pressure", pascal, 50e3, 110e3, "Pa")
        return boiling_point_c(pascal) + boiling_point_elevation_k(share, pascal)

    told = propagate(boiling, sg, pressure_pa, model_sd=_ELEVATION_SD_K)
    strong = sg.value > 1.13
    return Result(told.value, told.sd, "°C", "boiling elevation", Verdict.NEAR_LIMIT if strong else Verdict.INSIDE)


def _mole_fraction(mass_fraction: float) -> float:
    sugar_mol = mass_fraction / _SUCROSE_KG_MOL
    return sugar_mol / (sugar_mol + (1.0 - mass_fraction) / _WATER_KG_MOL)
