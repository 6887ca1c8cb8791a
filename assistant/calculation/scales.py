"""Gravity scales: specific gravity 20/20 °C, points, degrees Plato and Brix, and other reference temperatures.

Specific gravity here is the apparent one (weighed in air), which is what hydrometers and the trade's tables mean.
Plato and Brix are both the mass per cent of sucrose of the same density; their tables differ by 0.001 °.
"""

from __future__ import annotations

from typing import Final

from assistant.calculation import sucrose, water
from assistant.calculation.limits import require_within
from assistant.quantities import Dimension, Unit, convert, dimension_of

LOWEST_SG: Final = 0.98
# A hot sample is thin: water at 100 °C lifts the mark 0.960 of a hydrometer to the surface.
LOWEST_READING_SG: Final = 0.95
HIGHEST_SG: Final = 1.17
HIGHEST_ASBC_SG: Final = 1.13
REFERENCE_C: Final = 20.0
AIR_KG_M3: Final = 1.2


def mass_fraction_from_sg(sg: float) -> float:
    """Give the mass fraction of extract [kg/kg] of wort of apparent `sg` [20/20 °C].

    (sg - 1)(ρ_water - ρ_air) = ρ_sucrose(w) - ρ_water at 20 °C, solved for w; ρ_air 1.2 kg/m³.

    Bias: wort sugars are not sucrose; the trade's tables make the same assumption. Below 1.000 the result is
    negative: the apparent extract of a beer lighter than water, a number on the scale and no amount of sugar.

    Valid: SG 0.98 to 1.17.

    Source: Bubnik et al. (1995) for the density; definition of apparent specific gravity.

    Raises:
        OutsideRange: outside that range.

    >>> mass_fraction_from_sg(1.04003)
    0.1000
    """
    require_within("The specific gravity", sg, LOWEST_SG, HIGHEST_SG, "SG")
    water_kg_m3 = water.density_kg_m3(REFERENCE_C)
    return sucrose.mass_fraction_from_excess((sg - 1.0) * (water_kg_m3 - AIR_KG_M3), REFERENCE_C)


def sg_from_mass_fraction(mass_fraction: float) -> float:
    """Give the apparent specific gravity [20/20 °C] of wort of `mass_fraction` [kg/kg].

    Inverse of `mass_fraction_from_sg`.

    Valid: mass fractions of SG 0.98 to 1.17, about -0.053 to 0.383.

    Source: Bubnik et al. (1995) for the density; definition of apparent specific gravity.

    Raises:
        OutsideRange: outside that range.

    >>> sg_from_mass_fraction(0.12)
    1.04839
    """
    return sg_from_plato(100.0 * mass_fraction)


def plato_from_sg(sg: float) -> float:
    """Give the extract [°P, mass %] of wort of apparent `sg` [20/20 °C].

    Formula: extract of a sucrose solution of that density.

    Bias: within 0.012 °P of the ASBC polynomial to 30 °P. Negative below 1.000, see
    `mass_fraction_from_sg`.

    Valid: SG 0.98 to 1.17.

    Source: Bubnik et al. (1995) for the density; compare `plato_from_sg_asbc`.

    Raises:
        OutsideRange: outside that range.

    >>> plato_from_sg(1.0400)
    9.993
    """
    return 100.0 * mass_fraction_from_sg(sg)


def sg_from_plato(plato: float) -> float:
    """Give the apparent specific gravity [20/20 °C] of wort of `plato` [°P, mass %]; inverse of `plato_from_sg`.

    Valid: the degrees of SG 0.98 to 1.17, about -5.3 to 38.3 °P.

    Source: Bubnik et al. (1995) for the density; definition of apparent specific gravity.

    Raises:
        OutsideRange: outside that range.

    >>> sg_from_plato(12.0)
    1.04839
    """
    require_within("The extract", plato, _LOWEST_PLATO, _HIGHEST_PLATO, "°P")
    water_kg_m3 = water.density_kg_m3(REFERENCE_C)
    return 1.0 + sucrose.excess_kg_m3(plato / 100.0, REFERENCE_C) / (water_kg_m3 - AIR_KG_M3)


def plato_from_sg_asbc(sg: float) -> float:
    """Give the extract [°P, mass %] of `sg` [20/20 °C] by the trade's cubic; for comparison with printed figures.

    °P = -616.868 + 1111.14 S - 630.272 S² + 135.997 S³, not below 0.

    Bias: -0.003 °P at S = 1.000 before the cut at 0; within 0.02 °P of `plato_from_sg`.

    Valid: SG 1.000 to 1.13 (30 °P).

    Source: American Society of Brewing Chemists, polynomial fit of the extract table; coefficients seen in an
    encyclopaedia article, not in the Methods.

    Raises:
        OutsideRange: outside that range.

    >>> plato_from_sg_asbc(1.040)
    9.9935
    """
    require_within("The specific gravity", sg, 1.0, HIGHEST_ASBC_SG, "SG")
    return max(0.0, ((135.997 * sg - 630.272) * sg + 1111.14) * sg - 616.868)


def sg_from_plato_asbc(plato: float) -> float:
    """Give the apparent specific gravity [20/20 °C] of `plato` [°P] by the trade's cubic; for comparison.

    Inverse of `plato_from_sg_asbc` by Newton's rule, from 0 °P on.

    Bias: 0.00001 high at 0 °P, where the cubic starts below 0; within 5e-5 of `sg_from_plato` to 20 °P.

    Valid: 0 to 30 °P.

    Source: American Society of Brewing Chemists, polynomial fit of the extract table, as `plato_from_sg_asbc`.

    Raises:
        OutsideRange: outside that range.

    >>> sg_from_plato_asbc(12.0)
    1.04837
    """
    require_within("The extract", plato, 0.0, 30.0, "°P")
    sg = 1.0 + plato / 250.0
    for _ in range(50):
        error = ((135.997 * sg - 630.272) * sg + 1111.14) * sg - 616.868 - plato
        step = error / ((3.0 * 135.997 * sg - 2.0 * 630.272) * sg + 1111.14)
        sg -= step
        if abs(step) < 1e-15:
            break
    return sg


def vacuum_sg(sg: float) -> float:
    """Give the specific gravity in vacuum [20/20 °C, true densities] of wort of apparent `sg` [20/20 °C].

    (sg (ρ_water - ρ_air) + ρ_air) / ρ_water, ρ_air 1.2 kg/m³. Tables of sugar have both columns: 10 °P is 1.04003
    weighed in air, as hydrometers and the trade's polynomials mean it, and 1.03998 in vacuum.

    Valid: SG 0.98 to 1.17.

    Source: definition; ρ_air of ordinary air (1.2 kg/m³, within 5 %, which is 3e-6 SG at 1.050).

    Raises:
        OutsideRange: outside that range.

    >>> vacuum_sg(1.04003)
    1.03998
    """
    require_within("The specific gravity", sg, LOWEST_SG, HIGHEST_SG, "SG")
    water_kg_m3 = water.density_kg_m3(REFERENCE_C)
    return (sg * (water_kg_m3 - AIR_KG_M3) + AIR_KG_M3) / water_kg_m3


def sg_from_vacuum(vacuum_sg: float) -> float:
    """Give the apparent specific gravity [20/20 °C] of wort of `vacuum_sg` [20/20 °C, true]; undoes `vacuum_sg`.

    Valid: the values of apparent SG 0.98 to 1.17, 0.98002 to 1.16980.

    Source: definition, as `vacuum_sg`.

    Raises:
        OutsideRange: outside that range.

    >>> sg_from_vacuum(1.03998)
    1.04003
    """
    water_kg_m3 = water.density_kg_m3(REFERENCE_C)
    sg = (vacuum_sg * water_kg_m3 - AIR_KG_M3) / (water_kg_m3 - AIR_KG_M3)
    require_within("The specific gravity", sg, LOWEST_SG, HIGHEST_SG, "SG")
    return sg


def sg_at_reference(sg: float, reference_c: float) -> float:
    """Give what [SG t/t, apparent] an instrument made for `reference_c` [°C] calls wort of `sg` [20/20 °C].

    The same wort has another number on another reference: wort of 1.04003 (20/20) is 1.04022 on the 60/60 °F
    scale, since water and wort expand differently. Below 1.000 the number is kept.

    Valid: SG 0.98 to 1.17, reference 0 to 100 °C.

    Source: Bubnik et al. (1995) for the density; definition of apparent specific gravity.

    Raises:
        OutsideRange: outside that range.

    >>> sg_at_reference(1.04003, 15.5556)
    1.04022
    """
    mass_fraction = mass_fraction_from_sg(sg)
    water_kg_m3 = water.density_kg_m3(reference_c)
    if mass_fraction <= 0.0:
        return sg
    return 1.0 + sucrose.excess_kg_m3(mass_fraction, reference_c) / (water_kg_m3 - AIR_KG_M3)


def sg_from_reference(sg_on_scale: float, reference_c: float) -> float:
    """Give SG [20/20 °C] of wort that is `sg_on_scale` [t/t] at `reference_c` [°C]; inverse of `sg_at_reference`.

    Valid: SG 0.98 to 1.17 on both scales, reference 0 to 100 °C.

    Source: Bubnik et al. (1995) for the density; definition of apparent specific gravity.

    Raises:
        OutsideRange: outside that range.

    >>> sg_from_reference(1.04022, 15.5556)
    1.04003
    """
    require_within("The specific gravity", sg_on_scale, LOWEST_SG, HIGHEST_SG, "SG")
    water_kg_m3 = water.density_kg_m3(reference_c)
    if sg_on_scale <= 1.0:
        return sg_on_scale
    excess = (sg_on_scale - 1.0) * (water_kg_m3 - AIR_KG_M3)
    return sg_from_mass_fraction(sucrose.mass_fraction_from_excess(excess, reference_c))


def sg_from(value: float, unit: Unit) -> float:
    """Give SG [as on the scale the value is on] of a gravity `value` in `unit` [SG, points, °P, °Bx].

    A value straight off a hydrometer stays on the hydrometer's scale; `hydrometer.correct` brings it to 20/20.

    Valid: SG 0.95 to 1.17 or -50 to 170 points (what a hot hydrometer can show), about -5.3 to 38.3 °P or °Bx.

    Source: `sg_from_plato` for Plato and Brix; points are thousandths above 1 by definition.

    Raises:
        OutsideRange: outside that range.
        ValueError: if `unit` is no gravity.

    >>> sg_from(44.0, Unit.POINTS)
    1.044
    >>> sg_from(12.0, Unit.PLATO)
    1.04839
    """
    _require_gravity(unit)
    if unit in (Unit.PLATO, Unit.BRIX):
        return sg_from_plato(value)
    sg = convert(value, unit, Unit.SPECIFIC_GRAVITY)
    require_within("The specific gravity", sg, LOWEST_READING_SG, HIGHEST_SG, "SG")
    return sg


def sg_to(sg: float, unit: Unit) -> float:
    """Give the gravity [in `unit`: SG, points, °P, °Bx] of `sg` [20/20 °C]; undoes `sg_from`.

    Valid: SG 0.98 to 1.17.

    Source: `plato_from_sg` for Plato and Brix; points are thousandths above 1 by definition.

    Raises:
        OutsideRange: outside that range.
        ValueError: if `unit` is no gravity.

    >>> sg_to(1.044, Unit.POINTS)
    44.0
    >>> sg_to(1.044, Unit.BRIX)
    10.953
    """
    _require_gravity(unit)
    if unit in (Unit.PLATO, Unit.BRIX):
        return plato_from_sg(sg)
    require_within("The specific gravity", sg, LOWEST_SG, HIGHEST_SG, "SG")
    return convert(sg, Unit.SPECIFIC_GRAVITY, unit)


def _require_gravity(unit: Unit) -> None:
    if dimension_of(unit) is not Dimension.GRAVITY:
        raise ValueError(f"{unit} measures {dimension_of(unit)}; a gravity is in SG, points, °P or °Bx")


_LOWEST_PLATO: Final = plato_from_sg(LOWEST_SG)
_HIGHEST_PLATO: Final = plato_from_sg(HIGHEST_SG)
