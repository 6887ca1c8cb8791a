"""What a refractometer means in wort that has not fermented."""

from __future__ import annotations

from bisect import bisect_right
from typing import Final

from assistant.calculation.limits import require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import HIGHEST_SG, plato_from_sg, sg_from_plato
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured

HIGHEST_BRIX: Final = 32.0
# Of wort, and of wort strong enough that the factor is seen beside the reading errors; judgements.
_FACTORS: Final = (0.95, 1.10)
_LOWEST_FACTOR_SG: Final = 1.020

_TABLE_BRIX: Final = (0.0, 5.0, 10.0, 15.0, 20.0)
# International table of 1936: °Bx to add to a reading at the temperature of the row.
_TABLE: Final = (
    (10.0, (-0.50, -0.54, -0.58, -0.61, -0.64)),
    (12.0, (-0.42, -0.45, -0.48, -0.50, -0.52)),
    (14.0, (-0.33, -0.35, -0.37, -0.39, -0.40)),
    (15.0, (-0.27, -0.29, -0.31, -0.33, -0.34)),
    (16.0, (-0.22, -0.24, -0.25, -0.26, -0.27)),
    (18.0, (-0.12, -0.13, -0.13, -0.14, -0.14)),
    (20.0, (0.0, 0.0, 0.0, 0.0, 0.0)),
    (21.0, (0.06, 0.07, 0.07, 0.07, 0.07)),
    (22.0, (0.13, 0.13, 0.14, 0.14, 0.15)),
    (25.0, (0.33, 0.35, 0.36, 0.37, 0.38)),
    (28.0, (0.56, 0.57, 0.60, 0.61, 0.62)),
    (30.0, (0.72, 0.74, 0.77, 0.78, 0.79)),
)


def sg_from_reading(brix: float, *, wort_factor: float, sd_brix: float, wort_factor_sd: float = 0.01) -> Result:
    """Tell the SG [20/20 °C] of unfermented wort that reads `brix` [°Bx] on a refractometer.

    Formula: °P = reading / wort factor, and its gravity.

    Plato = brix / `wort_factor` [ratio], then `scales.sg_from_plato`; uncertainty from `sd_brix` [°Bx] and
    `wort_factor_sd` [ratio].

    Bias: the wort factor (1.00 to 1.06 seen, 1.04 usual) is common practice without a primary source; the
    brewer's own comparison with a hydrometer sets it. Its uncertainty of 0.01 is a judgement. Dark strong worts
    read up to 1 °P off. Alcohol makes the reading meaningless here.

    Valid: 0 to 32 °Bx, wort factor 0.95 to 1.10, no alcohol, a compensated or already corrected reading.

    Source: common practice for the factor; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> wort = sg_from_reading(12.48, wort_factor=1.04, sd_brix=0.2)
    >>> wort.value, wort.sd
    (1.0484, 0.0009)
    """
    require_within("The refractometer reading", brix, 0.0, HIGHEST_BRIX, "°Bx")
    require_within("The wort factor", wort_factor, *_FACTORS)
    told = propagate(
        lambda shown, factor: sg_from_plato(shown / factor),
        Measured(brix, sd_brix),
        Measured(wort_factor, wort_factor_sd),
    )
    return Result(told.value, told.sd, "SG", "wort factor", Verdict.RULE_OF_THUMB)


def wort_factor(brix: Measured, sg: Measured) -> Result:
    """Tell the wort factor [ratio] of a refractometer that shows `brix` [°Bx] in wort of `sg` [20/20 °C].

    Formula: reading / °P of the hydrometer's gravity.

    Bias: one wort is one sample: settle it, cool both drops, and take the mean of several brews.

    Valid: wort of 1.020 to 1.17 without alcohol, results 0.95 to 1.10.

    Source: definition; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range: one of the instruments is read wrong.

    >>> told = wort_factor(Measured(12.4, 0.1), Measured(1.048, 0.0005))
    >>> told.value, told.sd
    (1.041, 0.013)
    """
    require_within("The gravity of the wort", sg.value, _LOWEST_FACTOR_SG, HIGHEST_SG, "SG")
    told = propagate(lambda shown, gravity: shown / plato_from_sg(gravity), brix, sg)
    require_within("The wort factor", told.value, *_FACTORS)
    return Result(told.value, told.sd, "", "comparison")


def temperature_correction_brix(brix: float, prism_c: float) -> float:
    """Give what to add [°Bx] to a reading of `brix` [°Bx] at `prism_c` [°C] on an instrument scaled for 20 °C.

    Straight lines between the entries of the table, along both sides. Only for an instrument that does not
    compensate by itself; what counts is the temperature of the prism, which a drop takes on in half a minute
    (common practice).

    Bias: within 0.02 °Bx of a second published table; from 20 to 32 °Bx the column of 20 is held, at most 0.05 off
    (recalled from memory).

    Valid: 0 to 32 °Bx, 10 to 30 °C.

    Source: international refractometer table of 1936, as in a current state standard (rows to 22 °C seen there,
    rows above from memory); compare OIV-MA-AS2-02, Table I.

    Raises:
        OutsideRange: outside that range.

    >>> temperature_correction_brix(10.0, 25.0)
    0.36
    """
    require_within("The refractometer reading", brix, 0.0, HIGHEST_BRIX, "°Bx")
    require_within("The temperature of the prism", prism_c, _TABLE[0][0], _TABLE[-1][0], "°C")
    temperatures = tuple(row[0] for row in _TABLE)
    above = _place(temperatures, prism_c)
    (cool_c, cool), (warm_c, warm) = _TABLE[above - 1], _TABLE[above]
    share = (prism_c - cool_c) / (warm_c - cool_c)
    return (1.0 - share) * _along(cool, brix) + share * _along(warm, brix)


def _along(row: tuple[float, ...], brix: float) -> float:
    held = min(brix, _TABLE_BRIX[-1])
    above = _place(_TABLE_BRIX, held)
    share = (held - _TABLE_BRIX[above - 1]) / (_TABLE_BRIX[above] - _TABLE_BRIX[above - 1])
    return (1.0 - share) * row[above - 1] + share * row[above]


def _place(rising: tuple[float, ...], value: float) -> int:
    return min(max(bisect_right(rising, value), 1), len(rising) - 1)
