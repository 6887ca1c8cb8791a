"""Gas from sugar: priming, krausening, and what a bottle gets when the beer was not finished."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation import sucrose
from assistant.calculation.carbonation import HIGHEST_VOLUMES, VOLUME_G_PER_L, gauge_for_volumes_pa
from assistant.calculation.fermentation import CO2_PER_ALCOHOL, EXTRACT_PER_ALCOHOL, real_extract_plato
from assistant.calculation.limits import require_positive, require_within
from assistant.calculation.molar_mass import molar_mass_g
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import REFERENCE_C, plato_from_sg
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

_CO2_G: Final = molar_mass_g("CO2")
_ETHANOL_G: Final = molar_mass_g("C2H6O")
# Where yeast grows while it ferments (Balling), and where all sugar becomes alcohol and gas (a double sugar).
CO2_PER_EXTRACT_GROWING: Final = CO2_PER_ALCOHOL / EXTRACT_PER_ALCOHOL
CO2_PER_EXTRACT_AT_MOST: Final = 4.0 * _CO2_G / molar_mass_g("C12H22O11")

ORDINARY_BOTTLE_VOLUMES: Final = 3.0
HEAVY_BOTTLE_VOLUMES: Final = 4.0
_WARM_C: Final = 30.0
_SURE: Final = 1.645  # one side, 95 %
_PRACTICE_SD_SHARE: Final = 0.05


class Sugar(StrEnum):
    """What beer is primed with."""

    SUCROSE = "sucrose"
    GLUCOSE = "glucose"
    GLUCOSE_MONOHYDRATE = "glucose monohydrate"
    DRY_MALT_EXTRACT = "dry malt extract"
    HONEY = "honey"


@dataclass(frozen=True, slots=True)
class GasYield:
    """Carbon dioxide from a sugar [g/g], its standard uncertainty as a share, and a key of `sources.SOURCES`."""

    co2_g_per_g: float
    sd_share: float
    source: str


YIELDS: Final[dict[Sugar, GasYield]] = {
    Sugar.SUCROSE: GasYield(CO2_PER_EXTRACT_AT_MOST, _PRACTICE_SD_SHARE, "priming"),
    Sugar.GLUCOSE: GasYield(2.0 * _CO2_G / molar_mass_g("C6H12O6"), _PRACTICE_SD_SHARE, "priming"),
    Sugar.GLUCOSE_MONOHYDRATE: GasYield(2.0 * _CO2_G / molar_mass_g("C6H12O6.H2O"), _PRACTICE_SD_SHARE, "priming"),
    # 95 % extract, 60 to 70 % of it fermented; trade tables lie between 0.27 and 0.35.
    Sugar.DRY_MALT_EXTRACT: GasYield(0.31, 0.12, "priming practice"),
    # 80 % solids, 95 % of them glucose and fructose.
    Sugar.HONEY: GasYield(0.37, 0.08, "priming practice"),
}


class BottleCaution(StrEnum):
    """What holds so much gas; limits are common practice without a source."""

    ORDINARY = "ordinary beer bottles in good state"
    HEAVY_ONLY = "heavy glass made for the pressure only"
    NO_BOTTLE = "no bottle: danger of bursting"


@dataclass(frozen=True, slots=True)
class BottleCall:
    """A caution with the sentence for the brewer and the gas it was judged by [volumes, upper end of the band]."""

    caution: BottleCaution
    reason: str
    judged_by_volumes: float


@dataclass(frozen=True, slots=True)
class OverCarbonation:
    """Gas [volumes] in a closed bottle once the beer has dropped further, and what the glass says to that."""

    volumes: Result
    bottle: BottleCall


def sugar_for_gas_kg(co2_kg: float, sugar: Sugar) -> float:
    """Give the mass [kg] of `sugar` that ferments to `co2_kg` [kg] of carbon dioxide.

    Sucrose gives 0.5143 g/g, glucose 0.4886, glucose with its water of crystal 0.4442: all of it becomes alcohol
    and gas. Dry malt extract 0.31 and honey 0.37 are common practice.

    Bias: yeast that grows leaves 5 to 10 % of the gas unmade.

    Valid: gas >= 0.

    Source: equation of fermentation with the standard atomic weights of 2021; common practice, no source, for malt
    extract and honey.

    Raises:
        OutsideRange: outside that range.

    >>> sugar_for_gas_kg(0.0575, Sugar.SUCROSE)
    0.1118
    """
    require_within("The gas wanted", co2_kg, 0.0, 1000.0, "kg")
    return co2_kg / YIELDS[sugar].co2_g_per_g


def ethanol_from_priming_kg(sugar_kg: float, sugar: Sugar) -> float:
    """Give the ethanol [kg] that `sugar_kg` [kg] of `sugar` adds to the beer: a molecule to each one of gas.

    Valid: mass 0 to 1000 kg.

    Source: equation of fermentation with the standard atomic weights of 2021.

    Raises:
        OutsideRange: outside that range.

    >>> ethanol_from_priming_kg(1.0, Sugar.SUCROSE)
    0.5383
    """
    require_within("The sugar", sugar_kg, 0.0, 1000.0, "kg")
    return sugar_kg * YIELDS[sugar].co2_g_per_g * _ETHANOL_G / _CO2_G


def priming_sugar(volume_l: Measured, residual_volumes: Measured, target_volumes: float, sugar: Sugar) -> Result:
    """Give the `sugar` [kg] that brings `volume_l` [L] from `residual_volumes` to `target_volumes` [L/L].

    Formula: m = V (wanted - left) 1.9768 g/L / (gas from a gram of sugar).

    (target - residual) · 1.9768 g/L · V, over the yield of `sugar_for_gas_kg`. The uncertainty joins those of the
    inputs with 5 % of practice (12 % malt extract, 8 % honey; judgements).

    Bias: the water it is dissolved in and the room above the beer are left out, together some per cent. Beer that
    still ferments makes gas of its own, see `if_it_drops`.

    Valid: volume > 0, residual 0 to the target, target to 8 volumes.

    Source: as `sugar_for_gas_kg`; definition of the volume by `carbonation`.

    Raises:
        OutsideRange: outside that range; sugar cannot take gas away.

    >>> sugar = priming_sugar(Measured(18.927, 0.2), Measured(0.864, 0.047), 2.4, Sugar.SUCROSE)
    >>> sugar.value, sugar.sd
    (0.1117, 0.007)
    """
    _require_more_gas(residual_volumes.value, target_volumes)
    require_positive("The volume of beer", volume_l.value, "L")
    made = YIELDS[sugar]

    def mass_kg(litres: float, left: float) -> float:
        return litres * (target_volumes - left) * VOLUME_G_PER_L / 1000.0 / made.co2_g_per_g

    mean_kg = mass_kg(volume_l.value, residual_volumes.value)
    mass = propagate(mass_kg, volume_l, residual_volumes, model_sd=made.sd_share * mean_kg)
    rule = made.source == "priming practice"
    return Result(
        mass.value,
        mass.sd,
        "kg",
        made.source,
        Verdict.RULE_OF_THUMB if rule else Verdict.INSIDE,
        "Only for beer that is finished, and mixed in well; one bottle with a double share can burst.",
    )


def krausen_to_add(
    beer_l: Measured,
    residual_volumes: Measured,
    target_volumes: float,
    *,
    original_sg: Measured,
    krausen_sg: Measured,
    final_sg: Measured,
) -> Result:
    """Give the krausen or wort [L] that brings `beer_l` [L] from `residual_volumes` to `target_volumes` [L/L].

    Formula: V = V beer g / (made - g), g = (wanted - left) 1.9768 g/L.

    Krausen of `original_sg` that stands at `krausen_sg` now and will end at `final_sg` [20/20 °C] loses real
    extract by 0.8192 of the fall of the apparent one; each gram gives 0.463 g of gas. It is charged too, so that
    V = V_beer g / (made - g), g = (target - residual) · 1.9768 g/L, and brings as much gas as the beer holds.

    Wort kept back unfermented is the case `krausen_sg` = `original_sg`. 5 % of the yield is uncertain (judgement).

    Valid: beer > 0, residual 0 to the target, target to 8 volumes, 0.98 <= final < krausen <= original <= 1.13.

    Source: mass balance with Balling's yields, as `fermentation.real_extract_plato`.

    Raises:
        OutsideRange: outside that range, or when the krausen cannot even charge itself.

    >>> wort = krausen_to_add(
    ...     Measured(20.0, 0.2),
    ...     Measured(0.86, 0.05),
    ...     2.4,
    ...     original_sg=Measured(1.048, 0.001),
    ...     krausen_sg=Measured(1.048, 0.001),
    ...     final_sg=Measured(1.012, 0.001),
    ... )
    >>> wort.value, wort.sd
    (1.90, 0.15)
    """
    _require_more_gas(residual_volumes.value, target_volumes)
    require_positive("The volume of beer", beer_l.value, "L")

    def made_g_per_l(original: float, now: float, final: float, error: float) -> float:
        return (1.0 + error) * CO2_PER_EXTRACT_GROWING * _extract_lost_g_per_l(original, now, final)

    def litres(beer: float, left: float, made_g: float) -> float:
        needed_g = (target_volumes - left) * VOLUME_G_PER_L
        if made_g <= needed_g:
            raise OutsideRange(
                f"Krausen at {{krausen:gravity}} that ends at {{final:gravity}} makes "
                f"{made_g / VOLUME_G_PER_L:.2f} volumes of gas in itself; it must make more than the "
                f"{needed_g / VOLUME_G_PER_L:.2f} that it needs.",
                krausen=Shown(krausen_sg.value, "SG"),
                final=Shown(final_sg.value, "SG"),
            )
        return beer * needed_g / (made_g - needed_g)

    yield_error = Measured(0.0, _PRACTICE_SD_SHARE)
    made = propagate(made_g_per_l, original_sg, krausen_sg, final_sg, yield_error)
    wort = propagate(litres, beer_l, residual_volumes, made)
    return Result(wort.value, wort.sd, "L", "krausening")


def if_it_drops(
    now_volumes: Measured, original_sg: Measured, now_sg: Measured, final_sg: Measured
) -> OverCarbonation:
    """Give the gas [volumes] in a closed bottle of beer at `now_sg` once it has dropped to `final_sg` [20/20 °C].

    Formula: gas now + 0.489 g for each gram of extract that ferments.

    `now_volumes` [L/L] is what it holds or will hold from priming, `original_sg` that of its wort [20/20 °C].
    Each gram of real extract lost gives 0.463 g of gas where yeast grows, 0.514 g at most: 0.489 ± 0.026 here. A
    point is half a volume. The bottle is judged by the upper end of the band (95 %).

    Bias: the room above the beer takes some gas, a few per cent, which is left out on the safe side.

    Valid: 0 to 8 volumes now, 0.98 <= final <= now <= original <= 1.13.

    Source: mass balance with Balling's yields and the equation of fermentation.

    Raises:
        OutsideRange: outside that range.

    >>> wort, now, end = Measured(1.050, 0.001), Measured(1.014, 0.0005), Measured(1.010, 0.001)
    >>> risk = if_it_drops(Measured(2.4, 0.1), wort, now, end)
    >>> risk.volumes.value, risk.bottle.caution.name
    (4.5, 'NO_BOTTLE')
    """
    require_within("The gas in the beer now", now_volumes.value, 0.0, HIGHEST_VOLUMES, "volumes")
    middle = (CO2_PER_EXTRACT_GROWING + CO2_PER_EXTRACT_AT_MOST) / 2.0
    half_span = (CO2_PER_EXTRACT_AT_MOST - CO2_PER_EXTRACT_GROWING) / 2.0

    def volumes(held: float, original: float, now: float, final: float, co2_per_extract: float) -> float:
        return held + co2_per_extract * _extract_lost_g_per_l(original, now, final) / VOLUME_G_PER_L

    then = propagate(volumes, now_volumes, original_sg, now_sg, final_sg, Measured(middle, half_span))
    result = Result(then.value, then.sd, "volumes", "over-carbonation")
    return OverCarbonation(result, bottle_caution(then))


def bottle_caution(volumes: Measured) -> BottleCall:
    """Tell which bottles hold `volumes` [L/L]: ordinary ones to 3.0, heavy ones to 4.0, none above.

    Formula: gas + 1.645 sd, against 3 volumes and 4.

    Judged by the value and 1.645 of its standard uncertainties: 95 of 100 such beers hold less.

    Bias: the limits are habits of the trade, not a strength of glass; a scratched, chipped or old bottle fails at
    less.

    Valid: 0 volumes and more.

    Source: common practice, no source; the pressure in the reason by `carbonation.gauge_for_volumes_pa`.

    Raises:
        OutsideRange: outside that range.

    >>> bottle_caution(Measured(2.4, 0.15)).caution.name
    'ORDINARY'
    >>> bottle_caution(Measured(2.9, 0.15)).caution.name
    'HEAVY_ONLY'
    """
    require_within("The gas in the bottle", volumes.value, 0.0, 100.0, "volumes")
    upper = volumes.value + _SURE * volumes.sd
    if upper <= ORDINARY_BOTTLE_VOLUMES:
        caution, words = BottleCaution.ORDINARY, "sound ordinary beer bottles hold it"
    elif upper <= HEAVY_BOTTLE_VOLUMES:
        caution, words = BottleCaution.HEAVY_ONLY, "use heavy bottles made for it only"
    else:
        caution, words = BottleCaution.NO_BOTTLE, "do not bottle it: glass bursts and cuts"
    warm = ""
    if upper <= HIGHEST_VOLUMES:
        bar = gauge_for_volumes_pa(upper, _WARM_C, 101_325.0) / 1e5
        warm = f", {max(bar, 0.0):.1f} bar when it warms to 30 °C"
    reason = f"Up to {upper:.1f} volumes{warm}: {words} (common practice, no source)."
    return BottleCall(caution, reason, upper)


def _extract_lost_g_per_l(original_sg: float, now_sg: float, final_sg: float) -> float:
    """Real extract [g] that a litre at `now_sg` still loses on the way to `final_sg`."""
    original, now, final = (plato_from_sg(sg) for sg in (original_sg, now_sg, final_sg))
    if now > original + 1e-9:
        raise OutsideRange(
            "Beer at {now:gravity} must be below the {original:gravity} of its wort.",
            now=Shown(now_sg, "SG"),
            original=Shown(original_sg, "SG"),
        )
    if final > now + 1e-9:
        raise OutsideRange(
            "Beer at {now:gravity} must end below that, not at {final:gravity}.",
            now=Shown(now_sg, "SG"),
            final=Shown(final_sg, "SG"),
        )
    lost_percent = real_extract_plato(original, now) - real_extract_plato(original, final)
    kg_m3 = sucrose.density_kg_m3(max(0.0, now / 100.0), REFERENCE_C)
    return lost_percent / 100.0 * kg_m3


def _require_more_gas(residual_volumes: float, target_volumes: float) -> None:
    require_within("The carbonation wanted", target_volumes, 0.0, HIGHEST_VOLUMES, "volumes")
    require_within("The gas left in the beer", residual_volumes, 0.0, HIGHEST_VOLUMES, "volumes")
    if target_volumes < residual_volumes:
        raise OutsideRange(
            f"The beer holds {residual_volumes:.2f} volumes already; sugar cannot bring it to {target_volumes:.2f}."
        )
