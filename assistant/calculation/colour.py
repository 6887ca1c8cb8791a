"""The colour of beer: what the malts will give, and one scale in another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, Unit, convert

EBC_PER_SRM: Final = 25.0 / 12.7
HIGHEST_SRM: Final = 50.0
_MODEL_SD_SHARE: Final = 0.20
_MOREY_FACTOR: Final = 1.4922
_MOREY_EXPONENT: Final = 0.6859  # printed 0.659 in places; the author's own statement has this one
HIGHEST_MCU: Final = (HIGHEST_SRM / _MOREY_FACTOR) ** (1.0 / _MOREY_EXPONENT)
_NEAR_SRM: Final = 40.0


@dataclass(frozen=True, slots=True)
class ColouredGrain:
    """A malt or adjunct: mass kg, colour in degrees Lovibond."""

    mass_kg: float
    lovibond: float


def srm_from_absorbance(absorbance_430: float, dilution: float = 1.0) -> float:
    """Give the colour [SRM] of beer, thinned `dilution` times [ratio], of `absorbance_430` [1 cm cell, 430 nm].

    12.7 A · dilution, which is 10 A in the half-inch cell of the definition.

    Bias: haze counts as colour; the method asks for an absorbance at 700 nm of at most 0.039 of that at 430.

    Valid: absorbance 0 to 3, dilution 1 to 100.

    Source: American Society of Brewing Chemists, Beer-10, as quoted in secondary text.

    Raises:
        OutsideRange: outside that range.

    >>> srm_from_absorbance(1.0)
    12.7
    """
    require_within("The absorbance", absorbance_430, 0.0, 3.0)
    require_within("The dilution", dilution, 1.0, 100.0)
    return 12.7 * absorbance_430 * dilution


def ebc_from_srm(srm: float) -> float:
    """Give the colour [EBC] of `srm` [SRM]: 25 A against 12.7 A of the same absorbance.

    Formula: EBC = 25 / 12.7 SRM; of a malt SRM = 1.3546 °L - 0.76.

    Valid: 0 SRM and more.

    Source: European Brewery Convention, 25 A (1 cm, 430 nm), as quoted in secondary text.

    Raises:
        OutsideRange: outside that range.

    >>> ebc_from_srm(10.0)
    19.685
    """
    require_at_least("The colour", srm, 0.0, "SRM")
    return srm * EBC_PER_SRM


def srm_from_ebc(ebc: float) -> float:
    """Give the colour [SRM] of `ebc` [EBC]; inverse of `ebc_from_srm`.

    Valid: 0 EBC and more.

    Source: as `ebc_from_srm`.

    Raises:
        OutsideRange: outside that range.

    >>> srm_from_ebc(25.0)
    12.7
    """
    require_at_least("The colour", ebc, 0.0, "EBC")
    return ebc / EBC_PER_SRM


def srm_from_lovibond(lovibond: float) -> float:
    """Give the colour [SRM] of a malt of `lovibond` [°L]: 1.3546 L - 0.76.

    Bias: below 0.56 °L the line is below nothing and is cut at 0.

    Valid: 0 to 700 °L.

    Source: in wide use, coefficients from memory; a text prints 12.7 for 10 °L and 53.4 for 40 °L.

    Raises:
        OutsideRange: outside that range.

    >>> srm_from_lovibond(10.0)
    12.79
    """
    require_within("The colour of the malt", lovibond, 0.0, 700.0, "°L")
    return max(0.0, 1.3546 * lovibond - 0.76)


def lovibond_from_ebc(ebc: float) -> float:
    """Give the colour [°L] of a malt sold by `ebc` [EBC]: through SRM and the inverse of `srm_from_lovibond`.

    Valid: 0 to 1850 EBC.

    Source: as `ebc_from_srm` and `srm_from_lovibond`.

    Raises:
        OutsideRange: outside that range.

    >>> lovibond_from_ebc(8.0)
    3.56
    """
    require_within("The colour of the malt", ebc, 0.0, 1850.0, "EBC")
    return (srm_from_ebc(ebc) + 0.76) / 1.3546


def malt_colour_units(grains: Sequence[ColouredGrain], volume_l: float) -> float:
    """Give the malt colour units [lb °L / US gal] of `grains` in `volume_l` [L at 20 °C] of wort.

    Valid: volume > 0, masses >= 0 kg, 0 to 700 °L.

    Source: definition in the trade's units.

    Raises:
        OutsideRange: outside that range.

    >>> malt_colour_units((ColouredGrain(4.53592, 2.0), ColouredGrain(0.453592, 60.0)), 18.92706)
    16.0
    """
    require_positive("The volume", volume_l, "L")
    for grain in grains:
        require_at_least("The mass of a malt", grain.mass_kg, 0.0, "kg")
        require_within("The colour of a malt", grain.lovibond, 0.0, 700.0, "°L")
    pounds = sum(convert(grain.mass_kg, Unit.KILOGRAM, Unit.POUND) * grain.lovibond for grain in grains)
    return pounds / convert(volume_l, Unit.LITRE, Unit.US_GALLON)


def morey_srm(malt_colour_units: float) -> float:
    """Give the colour [SRM] of beer of `malt_colour_units` [lb °L / US gal]: 1.4922 MCU^0.6859.

    Bias: real beers are 20 % off either way; long boils darken. The exponent is the author's; refitting it from the
    relations he names gives 0.63 to 0.66.

    Valid: 0 to 167 units, which is 50 SRM.

    Source: Morey, "Beer's Law", as quoted by others.

    Raises:
        OutsideRange: outside that range; darker beer is black.

    >>> morey_srm(16.0)
    9.99
    """
    require_within("The malt colour", malt_colour_units, 0.0, HIGHEST_MCU, "units")
    return float(_MOREY_FACTOR * malt_colour_units**_MOREY_EXPONENT)


def daniels_srm(malt_colour_units: float) -> float:
    """Give the colour [SRM] of beer of `malt_colour_units` [lb °L / US gal]: 0.2 MCU + 8.4.

    Bias: made for dark beer; 8.4 for plain water.

    Valid: 10.5 to 167 units.

    Source: attributed to Daniels, from memory.

    Raises:
        OutsideRange: outside that range.

    >>> daniels_srm(20.0)
    12.4
    """
    require_within("The malt colour", malt_colour_units, 10.5, HIGHEST_MCU, "units")
    return 0.2 * malt_colour_units + 8.4


def mosher_srm(malt_colour_units: float) -> float:
    """Give the colour [SRM] of beer of `malt_colour_units` [lb °L / US gal]: 0.3 MCU + 4.7.

    Bias: made for dark beer; 4.7 for plain water.

    Valid: 10.5 to 167 units.

    Source: attributed to Mosher, from memory.

    Raises:
        OutsideRange: outside that range.

    >>> mosher_srm(20.0)
    10.7
    """
    require_within("The malt colour", malt_colour_units, 10.5, HIGHEST_MCU, "units")
    return 0.3 * malt_colour_units + 4.7


def beer_colour(grains: Sequence[ColouredGrain], volume_l: Measured) -> Result:
    """Give the colour [SRM] of the beer of `grains` in `volume_l` [L at 20 °C] of wort, by Morey.

    Formula: SRM = 1.4922 MCU^0.6859, MCU = Σ m °L / V in pounds, degrees Lovibond and US gallons.

    The uncertainty joins that of the volume with 20 % of the rule's own.

    Bias: as `morey_srm`.

    Valid: volume > 0, to 50 SRM; near the limit above 40.

    Source: Morey, "Beer's Law", as quoted by others.

    Raises:
        OutsideRange: outside that range.

    >>> pale = beer_colour((ColouredGrain(4.2, 3.0), ColouredGrain(0.3, 40.0)), Measured(20.0, 0.3))
    >>> pale.value, pale.sd
    (7.37, 1.48)
    """

    def srm(litres: float) -> float:
        return morey_srm(malt_colour_units(grains, litres))

    colour = propagate(srm, volume_l, model_sd=_MODEL_SD_SHARE * srm(volume_l.value))
    verdict = Verdict.NEAR_LIMIT if colour.value > _NEAR_SRM else Verdict.INSIDE
    return Result(colour.value, colour.sd, "SRM", "morey", verdict)
