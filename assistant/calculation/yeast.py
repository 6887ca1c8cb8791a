"""Yeast by the trade's rules: how many cells, in what they come, how old they are, how warm to pitch them.

No published growth or viability model was found that could be checked: what stands here are labelled rules. Counts
are in 10⁹ viable cells.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import plato_from_sg
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange


class Ferment(StrEnum):
    """How it is fermented; lagers want twice the cells of ales."""

    ALE = "ale"
    LAGER = "lager"


# Million viable cells per mL and °P: Fix, An Analysis of Brewing Techniques (second-hand).
PITCH_RATE_E6: Final = {Ferment.ALE: 0.75, Ferment.LAGER: 1.5}
# Common practice, no source, all of these; the packet's own figure goes before.
DRY_CELLS_E9_PER_G: Final = Measured(10.0, 3.0)
SLURRY_CELLS_E9_PER_ML: Final = Measured(1.2, 0.4)
MONTHLY_SURVIVAL: Final = 0.80
DAYS_PER_MONTH: Final = 30.4375
OLDEST_DAYS: Final = 365.0
STARTER_G_PER_L: Final = 100.0
MOST_GROWTH_IN_ONE_STEP: Final = 10.0
WIDEST_STEP_K: Final = 6.0
DEADLY_C: Final = 40.0

# Starter, from memory: 1.4e9 new cells per g of extract while there are few, none left above 3.5e9 cells per g.
_GROWTH_E9_PER_G: Final = 1.4
_CROWDED_FROM_E9_PER_G: Final = 1.4
_FULL_AT_E9_PER_G: Final = 3.5
# Judgements: growth of starters, and how far two yeasts of one age differ (a share of the loss).
_GROWTH_RELATIVE_SD: Final = 0.30
_LOSS_RELATIVE_SD: Final = 0.30

_CELLS: Final = "10⁹ cells"
_RULE: Final = Verdict.RULE_OF_THUMB


def cells_needed_e9(volume_l: Measured, sg: Measured, ferment: Ferment) -> Result:
    """Tell how many viable cells [10⁹] `volume_l` [L] of wort of `sg` [20/20 °C] wants for `ferment`.

    Formula: cells = rate × volume × °P.

    Ale 0.75, lager 1.5 million cells per mL and °P.

    Uncertainty: of volume and gravity only; the rate is a convention, and beer is made with half and with twice it.

    Valid: volume > 0 to 2000 L, SG 1.000 to 1.130.

    Source: Fix, An Analysis of Brewing Techniques (rates second-hand); common practice.

    Raises:
        OutsideRange: outside that range.

    >>> cells_needed_e9(Measured(20.0, 0.5), Measured(1.04839, 0.001), Ferment.ALE).value
    180.0
    """
    require_positive("The volume of the wort", volume_l.value, "L")
    require_within("The volume of the wort", volume_l.value, 0.0, 2000.0, "L")
    require_within("The gravity of the wort", sg.value, 1.0, 1.13, "SG")
    rate = PITCH_RATE_E6[ferment]
    value = propagate(lambda litres, gravity: rate * litres * max(0.0, plato_from_sg(gravity)), volume_l, sg)
    note = f"A rule for {ferment.value}s: {rate:g} million cells per millilitre and degree Plato."
    return Result(value.value, value.sd, _CELLS, "pitching rate", _RULE, note)


def viability(age_days: Measured) -> Result:
    """Tell what share [0 to 1] of a liquid yeast kept cold for `age_days` [days] is still alive: 0.8 a month.

    Formula: share alive = 0.8^(months).

    Uncertainty: a third of the loss (judgement).

    Bias: strains, packings and warm journeys differ much; dry yeast loses far less. Only a count under the
    microscope tells.

    Valid: 0 to 365 days, ages told to the day.

    Source: common practice, no source.

    Raises:
        OutsideRange: outside that range.

    >>> told = viability(Measured(60.9, 1.0))
    >>> told.value, told.sd
    (0.64, 0.11)
    """
    require_within("The age of the yeast", age_days.value, 0.0, OLDEST_DAYS, "days")
    centre = MONTHLY_SURVIVAL ** (age_days.value / DAYS_PER_MONTH)
    value = propagate(
        lambda days: MONTHLY_SURVIVAL ** (days / DAYS_PER_MONTH),
        age_days,
        model_sd=_LOSS_RELATIVE_SD * (1.0 - centre),
    )
    note = "A rule: a fifth of liquid yeast dies each month in the cold."
    return Result(value.value, value.sd, "", "yeast practice", _RULE, note)


def dry_yeast_g(cells_e9: Measured, cells_e9_per_g: Measured = DRY_CELLS_E9_PER_G) -> Result:
    """Tell what mass [g] of dry yeast holds `cells_e9` [10⁹] viable cells, at `cells_e9_per_g` [10⁹ per g].

    Bias: labels promise 6 to 20; the default 10 ± 3 is for planning. Rehydrated badly, half of them die.

    Valid: cells >= 0; 3 to 30 per g.

    Source: common practice, no source; the packet's figure goes before.

    Raises:
        OutsideRange: outside that range.

    >>> dry_yeast_g(Measured(180.0, 5.0)).value
    18.0
    """
    require_at_least("The number of cells", cells_e9.value, 0.0, _CELLS)
    require_within("The cells of dry yeast", cells_e9_per_g.value, 3.0, 30.0, "10⁹ per g")
    value = propagate(lambda cells, per_g: cells / per_g, cells_e9, cells_e9_per_g)
    note = "A rule; take the packet's own count where it gives one."
    return Result(value.value, value.sd, "g", "yeast practice", _RULE, note)


def slurry_ml(cells_e9: Measured, living: Measured, cells_e9_per_ml: Measured = SLURRY_CELLS_E9_PER_ML) -> Result:
    """Tell what volume [mL] of settled yeast holds `cells_e9` [10⁹] viable cells.

    Formula: volume = cells / (share alive × cells of a millilitre).

    `living` [0 to 1] is the share alive, see `viability`; `cells_e9_per_ml` [10⁹ per mL] the count, 0.5 to 2.

    Bias: thin slurry with much trub holds half of the default, 1.2 ± 0.4.

    Valid: cells >= 0; living 0.05 to 1; 0.2 to 4 per mL.

    Source: common practice, no source.

    Raises:
        OutsideRange: outside that range.

    >>> slurry_ml(Measured(180.0, 5.0), Measured(0.9, 0.05)).value
    166.7
    """
    require_at_least("The number of cells", cells_e9.value, 0.0, _CELLS)
    require_within("The share of living yeast", living.value, 0.05, 1.0)
    require_within("The cells of the slurry", cells_e9_per_ml.value, 0.2, 4.0, "10⁹ per mL")
    value = propagate(lambda cells, alive, per_ml: cells / (alive * per_ml), cells_e9, living, cells_e9_per_ml)
    note = "A rule: settled slurry holds half a billion to two billion cells per millilitre."
    return Result(value.value, value.sd, "mL", "yeast practice", _RULE, note)


def liquid_packs(cells_e9: Measured, living: Measured, cells_e9_per_pack: Measured) -> Result:
    """Tell how many packs [count] of `cells_e9_per_pack` [10⁹] when fresh hold `cells_e9` [10⁹] of liquid yeast.

    Formula: packs = cells / (share alive × cells of a pack).

    `living` [0 to 1] is the share alive, see `viability`. Not rounded; the note says how many to take.

    Valid: cells >= 0; living 0.05 to 1; 10 to 2000 per pack.

    Source: the maker's count; `viability` for the age.

    Raises:
        OutsideRange: outside that range.

    >>> liquid_packs(Measured(180.0, 5.0), Measured(0.8, 0.06), Measured(100.0, 10.0)).value
    2.25
    """
    require_at_least("The number of cells", cells_e9.value, 0.0, _CELLS)
    require_within("The share of living yeast", living.value, 0.05, 1.0)
    require_within("The cells of a pack", cells_e9_per_pack.value, 10.0, 2000.0, _CELLS)
    value = propagate(lambda cells, alive, pack: cells / (alive * pack), cells_e9, living, cells_e9_per_pack)
    packs = math.ceil(value.value - 1e-9)
    note = f"{packs} {'pack' if packs == 1 else 'packs'}, or one and a starter." if packs != 1 else "1 pack."
    return Result(value.value, value.sd, "packs", "yeast practice", _RULE, note)


def cells_after_starter_e9(start_e9: Measured, extract_g: Measured) -> Result:
    """Tell how many cells [10⁹] a stirred starter with `extract_g` [g] of extract makes of `start_e9` [10⁹].

    New cells per g: 1.4e9 below 1.4e9 cells per g of extract, falling in a straight line to none at 3.5e9.

    Uncertainty: 30 % of the growth (judgement).

    Bias: unstirred starters make about half.

    Valid: start > 0, extract >= 0, not more than tenfold growth.

    Source: common practice, from memory; tables of White and Zainasheff (2010) were not seen.

    Raises:
        OutsideRange: outside that range.

    >>> cells_after_starter_e9(Measured(100.0, 10.0), Measured(100.0, 1.0)).value
    240.0
    """
    require_positive("The number of cells", start_e9.value, _CELLS)
    require_at_least("The extract of the starter", extract_g.value, 0.0, "g")
    made = _grown(start_e9.value, extract_g.value)
    _require_one_step(start_e9.value, made)
    value = propagate(_grown, start_e9, extract_g, model_sd=_GROWTH_RELATIVE_SD * (made - start_e9.value))
    return Result(value.value, value.sd, _CELLS, "yeast practice", _RULE, _STARTER_NOTE)


def starter_extract_g(start_e9: Measured, wanted_e9: Measured) -> Result:
    """Tell what mass [g] of dry malt extract a stirred starter needs to make `wanted_e9` [10⁹] of `start_e9` [10⁹].

    Formula: extract = (wanted - start) / 1.4e9 cells a gram, more of it where the cells are crowded.

    Inverse of `cells_after_starter_e9`; 0 when there are enough. The note gives its volume at 100 g/L.

    Uncertainty: as `cells_after_starter_e9`, through the inverse.

    Bias: as `cells_after_starter_e9`; dry malt extract is counted as extract.

    Valid: start > 0; up to tenfold growth in one step.

    Source: common practice, from memory.

    Raises:
        OutsideRange: more than tenfold growth.

    >>> told = starter_extract_g(Measured(100.0, 10.0), Measured(240.0, 5.0))
    >>> told.value
    100.0
    >>> told.note
    '1.0 litres of starter at 100 grams to the litre; a rule.'
    """
    require_positive("The number of cells", start_e9.value, _CELLS)
    require_positive("The number of cells wanted", wanted_e9.value, _CELLS)
    if wanted_e9.value <= start_e9.value:
        return Result(0.0, 0.0, "g", "yeast practice", _RULE, "There are enough cells; no starter is needed.")
    _require_one_step(start_e9.value, wanted_e9.value)
    plain = _extract_for(start_e9.value, wanted_e9.value)
    value = propagate(_extract_for, start_e9, wanted_e9, model_sd=_GROWTH_RELATIVE_SD * plain)
    note = f"{plain / STARTER_G_PER_L:.1f} litres of starter at 100 grams to the litre; a rule."
    return Result(value.value, value.sd, "g", "yeast practice", _RULE, note)


def fermentation_speed(temperature_c: Measured, reference_c: float) -> Result:
    """Tell how fast [ratio] yeast works at `temperature_c` [°C], against its speed at `reference_c` [°C].

    It doubles with each 10 K: 2^((T - T0)/10).

    Bias: only inside the range of the strain; above it, it makes other beer, then dies.

    Valid: both 0 to 38 °C.

    Source: common practice, no source (Q10 near 2).

    Raises:
        OutsideRange: outside that range.

    >>> fermentation_speed(Measured(12.0, 0.5), 20.0).value
    0.57
    """
    require_within("The temperature of the yeast", temperature_c.value, 0.0, 38.0, "°C")
    require_within("The temperature to compare with", reference_c, 0.0, 38.0, "°C")
    value = propagate(lambda celsius: 2.0 ** ((celsius - reference_c) / 10.0), temperature_c)
    return Result(value.value, value.sd, "", "yeast practice", _RULE, "A rule: twice as fast for each ten degrees.")


class Pitching(StrEnum):
    """What to do with the yeast now."""

    PITCH = "pitch"
    COOL_FIRST = "cool the wort first"
    WARM_FIRST = "warm the wort first"
    TEMPER_YEAST = "bring the yeast nearer to the wort first"
    READ_AGAIN = "read the wort again, it lies on the limit"


@dataclass(frozen=True, slots=True)
class PitchAdvice:
    """What the rules of the trade say about pitching now, and why, in one sentence."""

    what: Pitching
    why: str


def pitch_advice(wort_c: Measured, packet_c: tuple[float, float], yeast_c: Measured | None = None) -> PitchAdvice:
    """Tell whether to pitch into wort of `wort_c` [°C], for a strain of `packet_c` [°C, lowest and highest].

    `yeast_c` [°C] is how warm the yeast is; above 6 K of difference it is brought nearer first, dry yeast aside.
    Within one standard uncertainty of a limit the wort is read again.

    Valid: wort 0 to 110 °C; packet's range within 2 to 42 °C.

    Source: common practice, no source; the packet goes before.

    Raises:
        OutsideRange: outside that range.

    >>> pitch_advice(Measured(27.0, 0.5), (18.0, 23.0)).what.value
    'cool the wort first'
    """
    lowest_c, highest_c = packet_c
    require_within("The temperature of the wort", wort_c.value, 0.0, 110.0, "°C")
    require_within("The packet's highest temperature", highest_c, 2.0, 42.0, "°C")
    require_within("The packet's lowest temperature", lowest_c, 2.0, highest_c, "°C")
    span = f"{lowest_c:g} to {highest_c:g} °C"
    if wort_c.value > highest_c + wort_c.sd:
        deadly = f" Above about {DEADLY_C:g} °C yeast dies." if wort_c.value >= DEADLY_C - wort_c.sd else ""
        return PitchAdvice(Pitching.COOL_FIRST, f"The packet says {span}, the wort has {wort_c.value:.3g}.{deadly}")
    if wort_c.value < lowest_c - wort_c.sd:
        return PitchAdvice(Pitching.WARM_FIRST, f"The packet says {span}, the wort has {wort_c.value:.3g}.")
    if min(abs(wort_c.value - lowest_c), abs(wort_c.value - highest_c)) < wort_c.sd:
        return PitchAdvice(Pitching.READ_AGAIN, f"{wort_c.value:.3g} °C lies on the limit of {span}.")
    if yeast_c is not None and abs(yeast_c.value - wort_c.value) > WIDEST_STEP_K:
        gap_k = abs(yeast_c.value - wort_c.value)
        return PitchAdvice(Pitching.TEMPER_YEAST, f"Yeast and wort are {gap_k:.2g} degrees apart; six are enough.")
    return PitchAdvice(Pitching.PITCH, f"The wort lies within {span}.")


_STARTER_NOTE: Final = "A rule for stirred starters; without a stirrer about half of the growth."


def _grown(start_e9: float, extract_g: float) -> float:
    """Cells [10⁹] after the starter; two straight pieces, which `_extract_for` inverts."""
    per_g = start_e9 / extract_g if extract_g > 0.0 else math.inf
    if per_g >= _FULL_AT_E9_PER_G:
        return start_e9
    if per_g <= _CROWDED_FROM_E9_PER_G:
        return start_e9 + _GROWTH_E9_PER_G * extract_g
    return start_e9 + _SLOPE * (_FULL_AT_E9_PER_G * extract_g - start_e9)


def _extract_for(start_e9: float, wanted_e9: float) -> float:
    plenty_g = (wanted_e9 - start_e9) / _GROWTH_E9_PER_G
    if plenty_g * _CROWDED_FROM_E9_PER_G >= start_e9:
        return plenty_g
    return ((wanted_e9 - start_e9) / _SLOPE + start_e9) / _FULL_AT_E9_PER_G


_SLOPE: Final = _GROWTH_E9_PER_G / (_FULL_AT_E9_PER_G - _CROWDED_FROM_E9_PER_G)


def _require_one_step(start_e9: float, wanted_e9: float) -> None:
    if wanted_e9 > MOST_GROWTH_IN_ONE_STEP * start_e9 * (1.0 + 1e-9):
        raise OutsideRange(
            f"From {start_e9:.3g} to {wanted_e9:.3g} billion cells is over tenfold; make the starter in two steps."
        )
