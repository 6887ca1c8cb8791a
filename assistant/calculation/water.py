"""Density of water."""

from __future__ import annotations

from typing import Final

from assistant.calculation.limits import require_within

LOWEST_C: Final = 0.0
HIGHEST_C: Final = 100.0

_NUMERATOR: Final = (999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12)
# Kell's form is also in circulation with two digits of this one swapped, which costs 0.27 kg/m³ at 20 °C.
_DENOMINATOR: Final = 16.887236e-3


def density_kg_m3(temperature_c: float) -> float:
    """Give the density of air-free water [kg/m³] at `temperature_c` [°C] and 101.325 kPa.

    ρ = (999.83952 + Σ a_i t^i) / (1 + 16.887236e-3 t), i = 1..5: Kell's form, coefficients on ITS-90.

    Bias: 0.003 to 0.006 kg/m³ below IAPWS-95 from 1 to 99 °C.

    Valid: 0 to 100 °C.

    Source: Kell, J. Chem. Eng. Data 20 (1975) 97, refitted to ITS-90 by Bettin and Spieweck, PTB-Mitteilungen
    100, 1990 (citation from memory); coefficients seen in two sugar-property codes, not in the papers.

    Raises:
        OutsideRange: outside that range.

    >>> density_kg_m3(20.0)
    998.2031
    """
    require_within("The temperature of the water", temperature_c, LOWEST_C, HIGHEST_C, "°C")
    numerator = 0.0
    for coefficient in reversed(_NUMERATOR):
        numerator = numerator * temperature_c + coefficient
    return numerator / (1.0 + _DENOMINATOR * temperature_c)
