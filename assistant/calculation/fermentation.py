"""What the yeast made of the wort: attenuation, real extract, alcohol and calories.

Gravities are SG 20/20 °C, extracts mass per cent (°P), alcohol per cent by weight or by volume. Alcohol is
lighter than water, so a hydrometer in beer shows less extract than there is: the apparent one. The real one is left
when the alcohol is boiled off.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from assistant.calculation.limits import require_at_least, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import plato_from_sg
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

# One gram of ethanol takes this much extract, and this much carbon dioxide leaves; the rest is yeast.
EXTRACT_PER_ALCOHOL: Final = 2.0665
CO2_PER_ALCOHOL: Final = 0.9565
ETHANOL_SG: Final = 0.7907
ASH_PERCENT: Final = 0.1
# Of the wort's extract and the beer's apparent extract in the real extract.
_SHARE_OF_ORIGINAL: Final = 0.1808
_SHARE_OF_APPARENT: Final = 0.8192

HIGHEST_ORIGINAL_PLATO: Final = 30.0
STRONG_PLATO: Final = 20.0
_LOWEST_APPARENT_PLATO: Final = -5.3

_KCAL_PER_G_ALCOHOL: Final = 6.9
_KCAL_PER_G_EXTRACT: Final = 4.0

# Another published pair of shares (0.1886 and 0.8114) moves alcohol by 0.04 to 0.10; real extract accordingly.
_MODEL_SD_ABV: Final = 0.1
_MODEL_SD_ABW: Final = 0.08
_MODEL_SD_REAL_PLATO: Final = 0.12
_MODEL_SD_REAL_PERCENT: Final = 1.0
_MODEL_SD_KCAL_SHARE: Final = 0.02
# Against the route by extract the short rule is 0.05 high at 4 %, 0.1 low at 6 % and 0.4 low at 10 % by volume.
_SHORT_RULE_SD_ABV: Final = 0.3


@dataclass(frozen=True, slots=True)
class Attenuation:
    """How far the extract went, in per cent: as the hydrometer shows it and as it is."""

    apparent: Result
    real: Result


@dataclass(frozen=True, slots=True)
class AlcoholByVolume:
    """Alcohol in per cent by volume, by extract and mass, and by the trade's short rule, side by side."""

    balling: Result
    short_rule: Result


def real_extract_plato(original_plato: float, apparent_plato: float) -> float:
    """Give the real extract [°P] of beer from wort of `original_plato` [°P] that shows `apparent_plato` [°P].

    RE = 0.1808 OE + 0.8192 AE.

    Bias: a density model of alcohol and sugar in water puts AE 0.12 °P lower for the same beer; another published
    pair of shares, 0.1886 and 0.8114, gives up to 0.1 °P more.

    Valid: original 0 to 30 °P, apparent -5.3 °P to the original.

    Source: rule in the tradition of Balling (1865), as used by the American Society of Brewing Chemists; seen in
    secondary text, not in the Methods.

    Raises:
        OutsideRange: outside that range.

    >>> real_extract_plato(12.0, 3.0)
    4.627
    """
    _require_fermented(original_plato, apparent_plato)
    return _SHARE_OF_ORIGINAL * original_plato + _SHARE_OF_APPARENT * apparent_plato


def alcohol_by_weight_percent(original_plato: float, real_plato: float) -> float:
    """Give the alcohol [% by weight] of beer from wort of `original_plato` [°P] with `real_plato` [°P] left.

    A = (OE - RE)/(2.0665 - 0.010665 OE): the inverse of `original_plato_from`.

    Bias: yields of single fermentations differ by 1 to 2 %.

    Valid: original 0 to 30 °P, real extract 0 °P to the original.

    Source: Balling (1865), reviewed in Kvasny Prumysl 61 (2015) 120; constants seen in secondary text.

    Raises:
        OutsideRange: outside that range.

    >>> alcohol_by_weight_percent(12.0, 4.627)
    3.803
    """
    _require_original(original_plato)
    require_within("The real extract", real_plato, min(0.0, original_plato), original_plato, "°P")
    return (original_plato - real_plato) / (EXTRACT_PER_ALCOHOL - 0.010665 * original_plato)


def original_plato_from(alcohol_by_weight: float, real_plato: float) -> float:
    """Give the extract [°P] the wort had, of beer of `alcohol_by_weight` [% by weight] and `real_plato` [°P].

    OE = 100 (2.0665 A + RE)/(100 + 1.0665 A): mass balance of Balling's yields, 2.0665 g of extract to
    1 g of alcohol, 0.9565 g of carbon dioxide and 0.11 g of yeast.

    Valid: alcohol 0 to 20 %, real extract 0 to 30 °P.

    Source: Balling (1865), reviewed in Kvasny Prumysl 61 (2015) 120; constants seen in secondary text.

    Raises:
        OutsideRange: outside that range.

    >>> original_plato_from(3.803, 4.627)
    12.00
    """
    require_within("The alcohol by weight", alcohol_by_weight, 0.0, 20.0, "%")
    require_within("The real extract", real_plato, 0.0, HIGHEST_ORIGINAL_PLATO, "°P")
    gone_and_left = EXTRACT_PER_ALCOHOL * alcohol_by_weight + real_plato
    return 100.0 * gone_and_left / (100.0 + (EXTRACT_PER_ALCOHOL - 1.0) * alcohol_by_weight)


def alcohol_by_volume_percent(alcohol_by_weight: float, beer_sg: float) -> float:
    """Give the alcohol [% by volume] of beer of `alcohol_by_weight` [% by weight] and `beer_sg` [20/20 °C].

    ABV = A · SG / 0.7907, the specific gravity of ethanol at 20/20 °C.

    Valid: alcohol 0 to 20 %, SG 0.98 to 1.17.

    Source: definition; density of ethanol 789.24 kg/m³ at 20 °C, OIML R 22 (from memory; CoolProp gives 789.42).

    Raises:
        OutsideRange: outside that range.

    >>> alcohol_by_volume_percent(4.162, 1.010)
    5.316
    """
    require_within("The alcohol by weight", alcohol_by_weight, 0.0, 20.0, "%")
    require_within("The gravity of the beer", beer_sg, 0.98, 1.17, "SG")
    return alcohol_by_weight * beer_sg / ETHANOL_SG


def abv_short_rule_percent(original_sg: float, final_sg: float) -> float:
    """Give the alcohol [% by volume] by the short rule: 131.25 times (`original_sg` - `final_sg`) [20/20 °C].

    Bias: within 0.1 of the route by extract up to 1.060; 0.2 low at 1.080 and 0.4 low at 1.100.

    Valid: original up to 30 °P (1.13), final 0.98 to the original.

    Source: common practice, no source.

    Raises:
        OutsideRange: outside that range.

    >>> abv_short_rule_percent(1.050, 1.010)
    5.25
    """
    _require_fermented(plato_from_sg(original_sg), plato_from_sg(final_sg))
    return 131.25 * (original_sg - final_sg)


def energy_kcal_per_100_ml(
    alcohol_by_weight: float, real_plato: float, beer_sg: float, ash_percent: float = ASH_PERCENT
) -> float:
    """Give the energy [kcal/100 mL] of beer: 6.9 kcal to a gram of alcohol, 4.0 to one of extract less ash.

    (6.9 A + 4.0 (RE - ash)) · SG with A = `alcohol_by_weight` [% by weight], RE = `real_plato` [°P], SG = `beer_sg`
    [20/20 °C], ash = `ash_percent` [% by weight], 0.1 by common practice. Extract below the ash counts as none.

    Valid: alcohol 0 to 20 %, real extract 0 to 30 °P, SG 0.98 to 1.17, ash 0 to 1 %.

    Source: American Society of Brewing Chemists, as told in The Oxford Companion to Beer (2011), "calories".

    Raises:
        OutsideRange: outside that range.

    >>> energy_kcal_per_100_ml(4.162, 4.338, 1.010)
    46.1
    """
    require_within("The alcohol by weight", alcohol_by_weight, 0.0, 20.0, "%")
    require_within("The real extract", real_plato, 0.0, HIGHEST_ORIGINAL_PLATO, "°P")
    require_within("The gravity of the beer", beer_sg, 0.98, 1.17, "SG")
    require_within("The ash", ash_percent, 0.0, 1.0, "%")
    burnt = max(0.0, real_plato - ash_percent)
    return (_KCAL_PER_G_ALCOHOL * alcohol_by_weight + _KCAL_PER_G_EXTRACT * burnt) * beer_sg


def attenuation(original_sg: Measured, final_sg: Measured) -> Attenuation:
    """Give the attenuation [%], apparent and real, from `original_sg` to `final_sg` [20/20 °C].

    Formula: apparent (OE - AE)/OE, real (OE - RE)/OE, extracts in °P.

    Bias: the real one here is the plain ratio; the Methods of the trade divide once more by 1 - 0.005161 RE (from
    memory), which makes it about 1.5 per cent more.

    Valid: original above 1.000 to 30 °P (1.13), final 0.98 to the original.

    Source: definitions; real extract by `real_extract_plato`.

    Raises:
        OutsideRange: outside that range.

    >>> beer = attenuation(Measured(1.050, 0.001), Measured(1.010, 0.001))
    >>> beer.apparent.value, beer.real.value
    (79.3, 65.0)
    """
    if original_sg.value <= 1.0:
        raise OutsideRange(
            "Wort of {original:gravity} has no extract to ferment; it must be above {water:gravity}.",
            original=Shown(original_sg.value, "SG"),
            water=Shown(1.0, "SG"),
        )
    apparent = propagate(_apparent_percent, original_sg, final_sg)
    real = propagate(_real_percent, original_sg, final_sg, model_sd=_MODEL_SD_REAL_PERCENT)
    verdict = _verdict(original_sg)
    return Attenuation(
        Result(apparent.value, apparent.sd, "%", "attenuation", verdict),
        Result(real.value, real.sd, "%", "real extract", verdict),
    )


def real_extract(original_sg: Measured, final_sg: Measured) -> Result:
    """Give the real extract [°P] of beer that went from `original_sg` to `final_sg` [20/20 °C].

    Formula: RE = 0.1808 OE + 0.8192 AE.

    The uncertainty joins those of the readings with 0.12 °P of the rule's own.

    Valid: original 1.000 to 30 °P (1.13), final 0.98 to the original.

    Source: as `real_extract_plato`.

    Raises:
        OutsideRange: outside that range.

    >>> real_extract(Measured(1.050, 0.001), Measured(1.010, 0.001)).value
    4.340
    """
    left = propagate(_real_plato, original_sg, final_sg, model_sd=_MODEL_SD_REAL_PLATO)
    return Result(left.value, left.sd, "°P", "real extract", _verdict(original_sg))


def alcohol_by_weight(original_sg: Measured, final_sg: Measured) -> Result:
    """Give the alcohol [% by weight] of beer that went from `original_sg` to `final_sg` [20/20 °C].

    The uncertainty joins those of the readings with 0.08 of the rule's own.

    Valid: original 1.000 to 30 °P (1.13), final 0.98 to the original.

    Source: as `alcohol_by_weight_percent`.

    Raises:
        OutsideRange: outside that range.

    >>> alcohol_by_weight(Measured(1.050, 0.001), Measured(1.010, 0.001)).value
    4.158
    """
    alcohol = propagate(_abw, original_sg, final_sg, model_sd=_MODEL_SD_ABW)
    return Result(alcohol.value, alcohol.sd, "% by weight", "balling", _verdict(original_sg))


def alcohol_by_volume(original_sg: Measured, final_sg: Measured) -> AlcoholByVolume:
    """Give the alcohol [% by volume] from `original_sg` to `final_sg` [20/20 °C], by extract and by the short rule.

    Formula: A = (OE - RE) / (2.0665 - 0.010665 OE) by weight, RE = 0.1808 OE + 0.8192 AE.

    The uncertainty of the first joins those of the readings with 0.1 of the rule's own, of the second with 0.3.

    Bias: within 0.1 of beers that were measured; the short rule falls behind in strong beer.

    Valid: original 1.000 to 30 °P (1.13), final 0.98 to the original.

    Source: as `alcohol_by_weight_percent`; the short rule is common practice, no source.

    Raises:
        OutsideRange: outside that range.

    >>> beer = alcohol_by_volume(Measured(1.050, 0.001), Measured(1.010, 0.001))
    >>> beer.balling.value, beer.short_rule.value
    (5.32, 5.25)
    """
    by_extract = propagate(_abv, original_sg, final_sg, model_sd=_MODEL_SD_ABV)
    short = propagate(abv_short_rule_percent, original_sg, final_sg, model_sd=_SHORT_RULE_SD_ABV)
    return AlcoholByVolume(
        Result(by_extract.value, by_extract.sd, "% by volume", "balling", _verdict(original_sg)),
        Result(short.value, short.sd, "% by volume", "short alcohol rule", Verdict.RULE_OF_THUMB),
    )


def energy(original_sg: Measured, final_sg: Measured, serving_l: float = 0.1) -> Result:
    """Give the energy [kcal] of `serving_l` [L] of beer that went from `original_sg` to `final_sg` [20/20 °C].

    Formula: kcal = (6.9 alcohol + 4.0 (real extract - ash)) SG, for 100 mL.

    The uncertainty joins those of the readings with 2 % of the rule's own (judgement).

    Valid: serving >= 0, original 1.000 to 30 °P (1.13), final 0.98 to the original.

    Source: as `energy_kcal_per_100_ml`.

    Raises:
        OutsideRange: outside that range.

    >>> energy(Measured(1.050, 0.001), Measured(1.010, 0.001), 0.355).value
    163.7
    """
    require_at_least("The serving", serving_l, 0.0, "L")
    portions = serving_l / 0.1
    per_portion = _kcal(original_sg.value, final_sg.value)
    total = propagate(
        lambda og, fg: portions * _kcal(og, fg),
        original_sg,
        final_sg,
        model_sd=_MODEL_SD_KCAL_SHARE * portions * per_portion,
    )
    return Result(total.value, total.sd, "kcal", "calories", _verdict(original_sg))


def _apparent_percent(original_sg: float, final_sg: float) -> float:
    original, apparent = _extracts(original_sg, final_sg)
    return 100.0 * (original - apparent) / original


def _real_percent(original_sg: float, final_sg: float) -> float:
    original, apparent = _extracts(original_sg, final_sg)
    return 100.0 * (original - real_extract_plato(original, apparent)) / original


def _real_plato(original_sg: float, final_sg: float) -> float:
    return real_extract_plato(*_extracts(original_sg, final_sg))


def _abw(original_sg: float, final_sg: float) -> float:
    original, apparent = _extracts(original_sg, final_sg)
    return alcohol_by_weight_percent(original, real_extract_plato(original, apparent))


def _abv(original_sg: float, final_sg: float) -> float:
    return alcohol_by_volume_percent(_abw(original_sg, final_sg), final_sg)


def _kcal(original_sg: float, final_sg: float) -> float:
    return energy_kcal_per_100_ml(_abw(original_sg, final_sg), _real_plato(original_sg, final_sg), final_sg)


def _extracts(original_sg: float, final_sg: float) -> tuple[float, float]:
    original, apparent = plato_from_sg(original_sg), plato_from_sg(final_sg)
    _require_fermented(original, apparent)
    return original, apparent


def _require_original(original_plato: float) -> None:
    require_within("The original extract", original_plato, 0.0, HIGHEST_ORIGINAL_PLATO, "°P")


def _require_fermented(original_plato: float, apparent_plato: float) -> None:
    _require_original(original_plato)
    require_within("The apparent extract", apparent_plato, _LOWEST_APPARENT_PLATO, original_plato, "°P")


def _verdict(original_sg: Measured) -> Verdict:
    return Verdict.NEAR_LIMIT if plato_from_sg(original_sg.value) > STRONG_PLATO else Verdict.INSIDE
