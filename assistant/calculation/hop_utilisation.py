"""Bitterness by the trade's two tables, Tinseth and Rager: what recipes mean, for comparison with the kinetics.

Both know only minutes of boil at sea level. `bitterness` calibrates itself to the first.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from assistant.calculation.limits import require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured

LONGEST_BOIL_S: Final = 4 * 3600.0
LOWEST_SG: Final = 1.0
HIGHEST_SG: Final = 1.13
# Strongest extracts; a percentage given for a fraction is refused by it.
STRONGEST_ALPHA: Final = 0.70
# Beers brewed to one table scatter so much around it; a judgement, no source.
TABLE_RELATIVE_SD: Final = 0.20

_MG_PER_KG: Final = 1e6
_SEA_LEVEL_NOTE: Final = "A table for a boil at sea level; it knows no hop stand and no slow cooling."
# (up to minutes, utilisation)
_RAGER: Final = (
    (5.0, 0.050),
    (10.0, 0.060),
    (15.0, 0.080),
    (20.0, 0.101),
    (25.0, 0.121),
    (30.0, 0.153),
    (35.0, 0.188),
    (40.0, 0.228),
    (45.0, 0.269),
    (50.0, 0.281),
    (math.inf, 0.300),
)


@dataclass(frozen=True, slots=True)
class HopAddition:
    """Hops: mass [kg], alpha acid [kg per kg of hops], and the time [s, on the day's clock] at which they go in."""

    mass_kg: Measured
    alpha_fraction: Measured
    in_at_s: float


@dataclass(frozen=True, slots=True)
class HoppedWort:
    """The wort: volume [L, at 20 °C, at the end of the boil] and gravity [20/20 °C, mean of the boil]."""

    volume_l: Measured
    sg: Measured


def tinseth_utilisation(boil_s: float, sg: float) -> float:
    """Give the utilisation [0 to 1] of hops that boil for `boil_s` [s] in wort of `sg` [20/20 °C], by Tinseth.

    U = 1.65 0.000125^(SG - 1) (1 - exp(-0.04 t)) / 4.15, t in minutes.

    Bias: made for cones, open kettles and sea level; no utilisation at all without a boil, so a hop stand is not in
    it.

    Valid: 0 to 240 minutes, SG 1.000 to 1.130.

    Source: Tinseth, Glenn's Hop Utilization Numbers, 1995 to 1997 (form read on the author's page; the numbers seen
    in secondary form).

    Raises:
        OutsideRange: outside that range.

    >>> tinseth_utilisation(3600.0, 1.050)
    0.231
    """
    require_within("The time of the boil", boil_s, 0.0, LONGEST_BOIL_S, "s")
    require_within("The gravity of the wort", sg, LOWEST_SG, HIGHEST_SG, "SG")
    bigness = 1.65 * 0.000125 ** (sg - 1.0)
    return float(bigness * -math.expm1(-0.04 * boil_s / 60.0) / 4.15)


def rager_utilisation(boil_s: float, sg: float) -> float:
    """Give the utilisation [0 to 1] of hops boiled for `boil_s` [s] in wort of `sg` [20/20 °C], by Rager's table.

    The step of the table, divided by 1 + 5 (SG - 1.050) above 1.050; minutes between two steps count to the upper.

    Bias: a table of steps: a minute can change it by a third. Above 60 minutes its last step is kept.

    Valid: 0 to 240 minutes, SG 1.000 to 1.130.

    Source: Rager, Zymurgy special issue 13(4), 1990: table from memory, not found in readable text; gravity term
    seen in a digest of 1992 that quotes him.

    Raises:
        OutsideRange: outside that range.

    >>> rager_utilisation(3600.0, 1.060)
    0.2857
    """
    require_within("The time of the boil", boil_s, 0.0, LONGEST_BOIL_S, "s")
    require_within("The gravity of the wort", sg, LOWEST_SG, HIGHEST_SG, "SG")
    step = next(utilisation for until_min, utilisation in _RAGER if boil_s <= 60.0 * until_min)
    return step / (1.0 + 5.0 * max(0.0, sg - 1.050))


def ibu(mass_kg: float, alpha_fraction: float, utilisation: float, volume_l: float) -> float:
    """Give the bitterness [mg/L, IBU] of `mass_kg` [kg] hops of `alpha_fraction` [kg/kg] in `volume_l` [L] of wort.

    IBU = mass alpha `utilisation` [0 to 1] / volume, with 1 IBU taken as 1 mg/L of iso-alpha acid.

    Bias: the laboratory's bitterness unit is an absorbance that other hop compounds add to.

    Valid: mass >= 0, alpha 0 to 0.70 (10 % is 0.10), utilisation 0 to 1, volume > 0, cold and at the end.

    Source: definition; mass balance.

    Raises:
        OutsideRange: outside that range.

    >>> ibu(0.02835, 0.06, 0.2305, 18.927)
    20.7
    """
    require_within("The mass of hops", mass_kg, 0.0, 100.0, "kg")
    require_within("The alpha acid as a fraction of the hops", alpha_fraction, 0.0, STRONGEST_ALPHA)
    require_within("The utilisation", utilisation, 0.0, 1.0)
    require_positive("The volume of the wort", volume_l, "L")
    return mass_kg * alpha_fraction * utilisation * _MG_PER_KG / volume_l


def tinseth_ibu(addition: HopAddition, boil_s: float, wort: HoppedWort) -> Result:
    """Tell the bitterness [IBU] that `addition` gives `wort` by Tinseth's formula, boiled for `boil_s` [s].

    Formula: IBU = m α U / V, U = 1.65 0.000125^(SG - 1) (1 - exp(-0.04 t)) / 4.15.

    Bias: as `tinseth_utilisation`; beers scatter by 20 % around it (a judgement, counted in the uncertainty).

    Valid: as `tinseth_utilisation` and `ibu`.

    Source: Tinseth, as `tinseth_utilisation`.

    Raises:
        OutsideRange: outside that range.

    >>> ounce = HopAddition(Measured(0.02835, 0.0005), Measured(0.06, 0.0), 0.0)
    >>> told = tinseth_ibu(ounce, 3600.0, HoppedWort(Measured(18.927, 0.0), Measured(1.05, 0.0)))
    >>> told.value, told.sd
    (20.7, 4.2)
    """
    value = _ibu_by_table(tinseth_utilisation, addition, boil_s, wort)
    return Result(value.value, value.sd, "IBU", "Tinseth", Verdict.RULE_OF_THUMB, _SEA_LEVEL_NOTE)


def rager_ibu(addition: HopAddition, boil_s: float, wort: HoppedWort) -> Result:
    """Tell the bitterness [IBU] that `addition` gives `wort` by Rager's table, boiled for `boil_s` [s].

    Bias: as `rager_utilisation`; beers scatter by 20 % around it (a judgement, counted in the uncertainty).

    Valid: as `rager_utilisation` and `ibu`.

    Source: Rager, as `rager_utilisation`.

    Raises:
        OutsideRange: outside that range.

    >>> ounce = HopAddition(Measured(0.02835, 0.0005), Measured(0.06, 0.0), 0.0)
    >>> rager_ibu(ounce, 3600.0, HoppedWort(Measured(18.927, 0.0), Measured(1.05, 0.0))).value
    27.0
    """
    value = _ibu_by_table(rager_utilisation, addition, boil_s, wort)
    return Result(value.value, value.sd, "IBU", "Rager", Verdict.RULE_OF_THUMB, _SEA_LEVEL_NOTE)


def _ibu_by_table(
    utilisation: Callable[[float, float], float], addition: HopAddition, boil_s: float, wort: HoppedWort
) -> Measured:
    def formula(kilograms: float, alpha: float, litres: float, gravity: float) -> float:
        return ibu(kilograms, alpha, utilisation(boil_s, gravity), litres)

    measured = (addition.mass_kg, addition.alpha_fraction, wort.volume_l, wort.sg)
    centre = formula(*(item.value for item in measured))
    return propagate(formula, *measured, model_sd=TABLE_RELATIVE_SD * centre)
