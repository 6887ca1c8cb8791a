"""Bitterness of a hop bill from what the hops really go through: time, altitude, stand and slow cooling.

A model (`hop_kinetics`) tells how much alpha acid is isomerised; one number, the recovery, tells how much of that
is still in the beer. The recovery is the calibrated part: it is set so that 60 minutes of boil at sea level, cold
at once after it, give what Tinseth gives at the gravity of the wort. All else is the model's: other times,
altitude, holds, stand, cooling, and what becomes of iso-alpha acid that is boiled too long.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import pairwise
from typing import Final

from assistant.calculation import hop_kinetics
from assistant.calculation.hop_kinetics import MEASURED_FROM_C, History
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort, ibu, tinseth_utilisation
from assistant.calculation.limits import require_within
from assistant.calculation.pressure import boiling_point_c
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import mass_fraction_from_sg
from assistant.calculation.steam import boiling_point_elevation_k
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange

# The constants are printed with two digits; a judgement from that.
KINETICS_RELATIVE_SD: Final = 0.10
# What is lost to trub, foam and yeast differs so much from kettle to kettle; a judgement, no source.
RECOVERY_RELATIVE_SD: Final = 0.20
# Solubility of alpha acid at pH 5.2: Malowicki, M.S. thesis, Oregon State University, 2004 (abstract read).
SOLUBLE_ALPHA_MG_L: Final = 90.0
# Ordinary beers hold once or twice as much, and the recovery was found on such; beyond is a judgement.
_MUCH_ALPHA_MG_L: Final = 3.0 * SOLUBLE_ALPHA_MG_L
# Common practice, no source: beyond it the hops soak up the wort.
MOST_HOPS_KG_PER_L: Final = 0.020

_SEA_LEVEL_PA: Final = 101_325.0
_CALIBRATION_S: Final = 3600.0
# Results that owe more than this share to rates carried on below the measurements say so.
_MUCH_EXTRAPOLATED: Final = 0.25
_LEAST_YIELD: Final = 1e-4


@dataclass(frozen=True, slots=True)
class BitternessOutlook:
    """Bitterness of a day [IBU]: what is in the wort `so_far`, will be `at_end`, and `by_addition` at the end."""

    so_far: Result
    at_end: Result
    by_addition: tuple[Result, ...]


def recovery(sg: float) -> float:
    """Give the part [0 to 1] of all iso-alpha acid made that is still in the beer, for wort of `sg` [20/20 °C].

    Tinseth's utilisation at 60 minutes and `sg`, divided by the iso-alpha acid that the kinetics make in 60 minutes
    at the boiling point of that wort at sea level. About 0.48 at 1.050.

    Bias: it holds whatever Tinseth's formula holds of kettle, cones and trub; kettles differ by 20 % (judgement).

    Valid: SG 1.000 to 1.130.

    Source: calibration of Malowicki and Shellhammer (2005) on Tinseth (1995 to 1997), ours.

    Raises:
        OutsideRange: outside that range.

    >>> recovery(1.050)
    0.480
    """
    return _recovery(sg)


@lru_cache(maxsize=64)
def _recovery(sg: float) -> float:
    in_the_beer = tinseth_utilisation(_CALIBRATION_S, sg)
    elevation_k = boiling_point_elevation_k(max(0.0, mass_fraction_from_sg(sg)), _SEA_LEVEL_PA)
    boiling_c = boiling_point_c(_SEA_LEVEL_PA) + elevation_k
    return in_the_beer / hop_kinetics.after_holding(boiling_c, _CALIBRATION_S).iso


def bitterness(additions: Sequence[HopAddition], history: History, wort: HoppedWort, until_s: float) -> Result:
    """Tell the bitterness [IBU] that `additions` have given `wort` by `until_s` [s], after `history` [(s, °C)].

    Formula: Σ mass · alpha · iso fraction · `recovery` / volume. Additions that go in later give nothing; so
    the same call with another time, hop bill or history tells what is in so far and what it would be if.

    Uncertainty: alpha, mass, volume and gravity as given; 10 % of the kinetics' rates and 20 % of the recovery,
    both common to all additions. Where calibration makes the rates cancel (60 minutes at sea level) they are still
    counted, so it is a little too wide there.

    Bias: short boils come out under Tinseth, at sea level and 1.050 by 36 % at 5 minutes, 33 % at 10, 19 % at 30;
    90 minutes come out 12 % over. Which is right is not known, and the uncertainty does not cover it. Hops that
    stay in are taken to isomerise until the end of the history. No oxidised or beta acids, no dry hops.

    Valid: times within the history, 0 to 130 °C; SG 1.000 to 1.130; alpha 0 to 0.70; volume > 0. Near the limit
    where a quarter is made below 90 °C, or three times more alpha acid is in the wort at once than dissolves.

    Source: Malowicki and Shellhammer (2005), calibrated on Tinseth (1995 to 1997).

    Raises:
        OutsideRange: outside that range.
        ValueError: if the history has fewer than two points or its times fall.

    >>> wort = HoppedWort(Measured(20.0, 0.2), Measured(1.050, 0.001))
    >>> boil = [(0.0, 100.16), (3600.0, 100.16)]
    >>> told = bitterness([HopAddition(Measured(0.030, 0.001), Measured(0.10, 0.01), 0.0)], boil, wort, 3600.0)
    >>> told.value, told.sd
    (34.55, 8.06)
    """
    formula = _schedule(additions, history, wort, until_s)
    own_sd = formula.own_sd()
    value = propagate(formula.total, *_COMMON, wort.volume_l, wort.sg, model_sd=own_sd)
    verdict, note = _verdict(additions, history, wort, until_s)
    return Result(value.value, value.sd, "IBU", "bitterness", verdict, note)


def bitterness_now_and_then(
    additions: Sequence[HopAddition], history: History, wort: HoppedWort, now_s: float
) -> BitternessOutlook:
    """Tell what is in so far at `now_s` [s] and what will be at the end of `history` [(s, °C)], for each addition.

    `additions` are those that are in, at the time they really went in, and those still planned; `history` is what
    was read, then what is planned; `wort` as it will be at the end.

    Bias: as `bitterness`. What is in so far is told as if it were cold now, in the volume of the end.

    Valid: as `bitterness`.

    Source: as `bitterness`.

    Raises:
        OutsideRange: outside that range.
        ValueError: if the history has fewer than two points or its times fall.

    >>> wort = HoppedWort(Measured(20.0, 0.2), Measured(1.050, 0.001))
    >>> bill = [HopAddition(Measured(0.030, 0.001), Measured(0.10, 0.01), at_s) for at_s in (0.0, 2700.0)]
    >>> day = bitterness_now_and_then(bill, [(0.0, 100.16), (3600.0, 100.16)], wort, 1800.0)
    >>> day.so_far.value, day.at_end.value
    (21.7, 46.7)
    """
    end_s = history[-1][0] if history else math.nan
    return BitternessOutlook(
        so_far=bitterness(additions, history, wort, now_s),
        at_end=bitterness(additions, history, wort, end_s),
        by_addition=tuple(bitterness([item], history, wort, end_s) for item in additions),
    )


def mass_to_make_up_kg(
    target_ibu: float,
    additions: Sequence[HopAddition],
    later: HopAddition,
    history: History,
    wort: HoppedWort,
) -> Result:
    """Tell what mass [kg] of `later` hops brings `wort` to `target_ibu` [IBU] by the end of `history` [(s, °C)].

    Formula: m = (wanted - given by the others) / (given by a kilogram of the later hops).

    For hops that went in late or were forgotten: `additions` as they really are, without the later one; of `later`
    the alpha acid and the time count, not its mass. Inverse of `bitterness`.

    Uncertainty: as `bitterness`; the target is taken as exact.

    Bias: as `bitterness`. More hops for the same bitterness are more flavour of hops, and soak up more wort.

    Valid: targets from what the others give to what 20 g of hops per litre of wort can add (common practice, no
    source).

    Source: as `bitterness`.

    Raises:
        OutsideRange: the others give more already, nothing can become of hops so late, or it would be too many.
        ValueError: if the history has fewer than two points or its times fall.

    >>> wort = HoppedWort(Measured(20.0, 0.2), Measured(1.050, 0.001))
    >>> late = HopAddition(Measured(0.0, 0.0), Measured(0.10, 0.01), 1800.0)
    >>> mass_to_make_up_kg(34.6, [], late, [(0.0, 100.16), (3600.0, 100.16)], wort).value
    0.048
    """
    require_within("The target", target_ibu, 0.0, 200.0, "IBU")
    end_s = history[-1][0] if history else math.nan
    one_kg = replace(later, mass_kg=Measured(1.0, 0.0))
    others, hops = _schedule(additions, history, wort, end_s), _schedule([one_kg], history, wort, end_s)
    in_already = others.total(1.0, 1.0, wort.volume_l.value, wort.sg.value)
    if in_already > target_ibu:
        raise OutsideRange(
            f"There are {in_already:.3g} IBU without more hops, over the {target_ibu:.3g} wanted;"
            " hops cannot take any out."
        )
    if hops.iso_of(1.0)[0] < _LEAST_YIELD:
        raise OutsideRange("Hops that go in so late give no bitterness; boil longer, or add them earlier.")
    alpha = later.alpha_fraction
    if alpha.value <= 0.0:
        raise OutsideRange("Hops without alpha acid cannot make up for bitterness.")

    def mass(recovered: float, rate: float, litres: float, gravity: float, alpha_fraction: float) -> float:
        gives = hops.total(recovered, rate, litres, gravity) * alpha_fraction / alpha.value
        return (target_ibu - others.total(recovered, rate, litres, gravity)) / gives

    per_kg = hops.total(1.0, 1.0, wort.volume_l.value, wort.sg.value)
    most_kg = MOST_HOPS_KG_PER_L * wort.volume_l.value
    if target_ibu - in_already > per_kg * most_kg:
        raise OutsideRange(
            f"More than 20 g per litre would be needed; {1000.0 * most_kg:.3g} g of these hops bring it to"
            f" {in_already + per_kg * most_kg:.3g} IBU, not to {target_ibu:.3g}."
        )
    own_sd = others.own_sd() / per_kg
    value = propagate(mass, *_COMMON, wort.volume_l, wort.sg, alpha, model_sd=own_sd)
    verdict, note = _verdict([*additions, replace(later, mass_kg=value)], history, wort, end_s)
    return Result(value.value, value.sd, "kg", "bitterness", verdict, note)


# Factors of recovery and of the rates: exactly 1 by calibration, with what is not known of them.
_COMMON: Final = (Measured(1.0, RECOVERY_RELATIVE_SD), Measured(1.0, KINETICS_RELATIVE_SD))


@dataclass(frozen=True, slots=True)
class _Schedule:
    """Bitterness of a hop bill as a function of what is not known of it."""

    additions: Sequence[HopAddition]
    wort: HoppedWort
    iso_of: Callable[[float], tuple[float, ...]]  # rate factor -> iso fraction of each addition

    def total(self, recovered: float, rate: float, litres: float, gravity: float) -> float:
        kept = recovered * recovery(gravity)
        return math.fsum(
            ibu(item.mass_kg.value, item.alpha_fraction.value, iso * kept, litres)
            for item, iso in zip(self.additions, self.iso_of(rate), strict=True)
        )

    def own_sd(self) -> float:
        """Uncertainty [IBU] from what belongs to one addition alone: its mass and its alpha acid."""
        kept = recovery(self.wort.sg.value)
        parts: list[float] = []
        for item, iso in zip(self.additions, self.iso_of(1.0), strict=True):
            mass_kg, alpha = item.mass_kg, item.alpha_fraction
            for factors in ((mass_kg.sd, alpha.value), (mass_kg.value, alpha.sd)):
                parts.append(ibu(*factors, iso * kept, self.wort.volume_l.value))
        return math.hypot(*parts)


def _schedule(additions: Sequence[HopAddition], history: History, wort: HoppedWort, until_s: float) -> _Schedule:
    times = [item.in_at_s for item in additions]

    # Only the rate factor moves the kinetics; the other derivatives use the same walk over the history.
    @cache
    def iso_of(rate: float) -> tuple[float, ...]:
        return hop_kinetics.iso_at_end(history, times, until_s, rate)

    return _Schedule(additions, wort, iso_of)


def _verdict(
    additions: Sequence[HopAddition], history: History, wort: HoppedWort, until_s: float
) -> tuple[Verdict, str]:
    moments = sorted({item.in_at_s for item in additions if item.in_at_s <= until_s} | {until_s})
    alpha_mg_l = highest_mg_l = turned = turned_below = 0.0
    for start_s, end_s in pairwise([*moments, until_s]):
        alpha_mg_l += math.fsum(
            ibu(item.mass_kg.value, item.alpha_fraction.value, 1.0, wort.volume_l.value)
            for item in additions
            if item.in_at_s == start_s
        )
        highest_mg_l = max(highest_mg_l, alpha_mg_l)
        left = hop_kinetics.after_history(history, start_s, end_s).alpha
        share = hop_kinetics.share_turned_below(history, start_s, end_s, MEASURED_FROM_C)
        turned += alpha_mg_l * (1.0 - left)
        turned_below += alpha_mg_l * (1.0 - left) * share
        alpha_mg_l *= left
    if turned_below > _MUCH_EXTRAPOLATED * turned:
        percent = 100.0 * turned_below / turned
        return Verdict.NEAR_LIMIT, f"{percent:.0f} % of it is made below 90 °C, where the rates are carried on."
    if highest_mg_l > _MUCH_ALPHA_MG_L:
        return Verdict.NEAR_LIMIT, (
            f"{highest_mg_l:.0f} mg/L of alpha acid is in at once, and about {SOLUBLE_ALPHA_MG_L:.0f} dissolve;"
            " expect less."
        )
    return Verdict.INSIDE, ""
