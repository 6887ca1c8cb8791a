"""What a grain bill can give, and what it gave: expected gravity, first wort, and the efficiencies.

Extract is in kg, gravities are SG 20/20 °C, volumes L at 20 °C. An efficiency is a ratio: 0.75 is 75 %.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation import sucrose
from assistant.calculation.extract import extract_kg
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.mash import USUAL_MOISTURE, water_l_to_kg
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import (
    HIGHEST_SG,
    REFERENCE_C,
    mass_fraction_from_sg,
    sg_from_mass_fraction,
)
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

HIGHEST_MOISTURE: Final = 0.15

_ROUNDING: Final = 1e-9
_LITRES_PER_M3: Final = 1000.0
_POUND_KG: Final = 0.45359237
_GALLON_L: Final = 3.785411784
# The laboratory mash whose litre-degrees are quoted has about 1 kg of malt in 10 L.
_LABORATORY_L_PER_KG: Final = 10.0


class Potential(StrEnum):
    """How a maltster or a book tells what a fermentable can give."""

    PERCENT_DRY = "percent of dry matter, fine grind"
    PERCENT_AS_IS = "percent as is"
    POINTS_LB_GAL = "points per pound per US gallon"
    POINTS_L_KG = "litre-degrees per kilogram"


@dataclass(frozen=True, slots=True)
class Fermentable:
    """Something in the grain bill.

    mass_kg: as weighed. potential: in the unit of `kind`. moisture: of what was weighed [kg/kg]; it matters for
    percent of dry matter and for the first wort. mashed: false for sugar and extract, of which the tun takes none.
    """

    mass_kg: Measured
    potential: Measured
    kind: Potential = Potential.PERCENT_DRY
    moisture: float = USUAL_MOISTURE
    mashed: bool = True


Bill = Sequence[Fermentable]


def extract_fraction(potential: float, kind: Potential, moisture: float = USUAL_MOISTURE) -> float:
    """Give the extract [kg/kg as weighed] of a `potential` told as `kind`, of malt with `moisture` [kg/kg].

    Percent of dry matter: E (1 - moisture) / 100. Points per pound and gallon, and litre-degrees: the extract in a
    gallon (in 10 L, as in the laboratory's mash) of wort of that gravity, by `extract.extract_kg`.

    Bias: fine grind is what a laboratory gets; a coarse crush gives 1 to 2 % less (common practice). Taking points
    as additive instead is 0.1 % high at 37 points.

    Valid: percent 0 to 100, points 0 to 48, litre-degrees 0 to 395, moisture 0 to 0.15; results to 1.01.

    Source: definitions; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> extract_fraction(80.0, Potential.PERCENT_DRY, 0.04)
    0.768
    >>> extract_fraction(46.18, Potential.POINTS_LB_GAL), extract_fraction(37.0, Potential.POINTS_LB_GAL)
    (1.0000, 0.8005)
    """
    require_within("The moisture", moisture, 0.0, HIGHEST_MOISTURE)
    if kind is Potential.PERCENT_DRY:
        require_within("The extract of dry matter", potential, 0.0, 100.0, "%")
        return potential / 100.0 * (1.0 - moisture)
    if kind is Potential.PERCENT_AS_IS:
        require_within("The extract as is", potential, 0.0, 100.0, "%")
        return potential / 100.0
    if kind is Potential.POINTS_LB_GAL:
        require_within("The points per pound per gallon", potential, 0.0, 48.0, "points")
        return extract_kg(_GALLON_L, 1.0 + potential / 1000.0) / _POUND_KG
    require_within("The litre-degrees per kilogram", potential, 0.0, 395.0, "L°/kg")
    return extract_kg(_LABORATORY_L_PER_KG, 1.0 + potential / _LABORATORY_L_PER_KG / 1000.0)


def sg_of_extract(dissolved_kg: float, volume_l: float) -> float:
    """Give the SG [20/20 °C] of `volume_l` [L at 20 °C] of wort with `dissolved_kg` [kg] of extract in it.

    w ρ(w) = m / V, solved for w; inverse of `extract.extract_kg`.

    Valid: extract >= 0, volume > 0, results to SG 1.17.

    Source: Bubnik et al. (1995) for the density; mass balance.

    Raises:
        OutsideRange: outside that range.

    >>> sg_of_extract(0.1, 1.0)
    1.03857
    """
    require_at_least("The mass of extract", dissolved_kg, 0.0, "kg")
    require_positive("The volume", volume_l, "L")
    most_kg = extract_kg(volume_l, HIGHEST_SG)
    if dissolved_kg > most_kg * (1.0 + 1e-12):
        raise OutsideRange(
            "{extract} of extract in {wort} would be above {highest:gravity}; at most {most} is within the range.",
            extract=Shown(dissolved_kg, "kg"),
            wort=Shown(volume_l, "L"),
            highest=Shown(HIGHEST_SG, "SG"),
            most=Shown(most_kg, "kg"),
        )
    wanted = dissolved_kg / volume_l * _LITRES_PER_M3
    share = wanted / 1100.0
    for _ in range(60):
        following = wanted / sucrose.density_kg_m3(min(max(share, 0.0), 0.5), REFERENCE_C)
        if abs(following - share) < 1e-15:
            break
        share = following
    return min(sg_from_mass_fraction(share), HIGHEST_SG)


def potential_extract_kg(bill: Bill) -> Result:
    """Tell the extract [kg] that all of `bill` holds, grain and sugar together: the sum of m f.

    Bias: fine-grind figures; malts of one name differ by 1 to 2 % from lot to lot, which belongs in their `sd`.

    Valid: at least one fermentable; see `extract_fraction`.

    Source: `extract_fraction`.

    Raises:
        OutsideRange: outside that range.

    >>> potential_extract_kg([Fermentable(Measured(5.0, 0.02), Measured(80.0, 1.0))]).value
    3.84
    """
    told = propagate(lambda *inputs: sum(_extracts_kg(bill, inputs)), *_inputs(bill))
    return Result(told.value, told.sd, "kg", "mass balance")


def expected_sg(bill: Bill, volume_l: Measured, efficiency: Measured) -> Result:
    """Tell the gravity [SG 20/20 °C] of `volume_l` [L at 20 °C] from `bill` at `efficiency` [ratio].

    Formula: gravity of efficiency × extract of the malt in the volume.

    The grain gives efficiency times its extract, sugar and extract give all of theirs; the volume is that in which
    the efficiency is told: the kettle's for mash efficiency, the fermenter's for brewhouse efficiency.

    Bias: the efficiency carries all of it; it falls as the grain bill grows against the water.

    Valid: volume > 0, efficiency 0 to 1, results to SG 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> told = expected_sg(
    ...     [Fermentable(Measured(5.0, 0.02), Measured(80.0, 1.0))], Measured(23.0, 0.3), Measured(0.75, 0.03)
    ... )
    >>> told.value, told.sd
    (1.0482, 0.0021)
    """

    def gravity(litres: float, share: float, *inputs: float) -> float:
        require_within("The efficiency", share, 0.0, 1.0)
        require_positive("The volume", litres, "L")
        return sg_of_extract(_given_kg(bill, share, inputs), litres)

    told = propagate(gravity, volume_l, efficiency, *_inputs(bill))
    return Result(told.value, told.sd, "SG", "mass balance")


def efficiency(bill: Bill, volume_l: Measured, sg: Measured) -> Result:
    """Tell what the efficiency [ratio] must have been: `bill` became `volume_l` [L at 20 °C] of `sg` [20/20 °C].

    Formula: (m_extract - m_sugar) / m_grain. Read before the boil it is the mash's efficiency, in the fermenter
    the brewhouse's. Inverse of `expected_sg`.

    Bias: a hot volume taken as a cold one makes it 4 % too high, see `volumes.volume_at_20c_l`.

    Valid: some grain, volume > 0, SG 1.000 to 1.17, results 0 to 1 (a little more within the uncertainty).

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range: more extract than the bill holds is a wrong reading.

    >>> bill = [Fermentable(Measured(5.0, 0.02), Measured(80.0, 1.0))]
    >>> told = efficiency(bill, Measured(23.0, 0.3), Measured(1.0482, 0.001))
    >>> told.value, told.sd
    (0.749, 0.020)
    """

    def share(litres: float, gravity: float, *inputs: float) -> float:
        grain_kg, sugar_kg = _extracts_kg(bill, inputs)
        require_positive("The extract of the grain", grain_kg, "kg")
        return (extract_kg(litres, gravity) - sugar_kg) / grain_kg

    require_positive("The volume", volume_l.value, "L")
    return _ratio(propagate(share, volume_l, sg, *_inputs(bill)), "The efficiency")


def first_wort_sg(bill: Bill, mash_water_l: Measured, conversion: Measured) -> Result:
    """Tell the gravity [SG 20/20 °C] of the first wort of `bill` mashed with `mash_water_l` [L at 20 °C].

    Formula: w = c E / (c E + W + the malt's own water), E its extract, W the water, c = `conversion` [ratio];
    with 1 it is the highest gravity that this thickness can have.

    Bias: the wort in the grain is taken to be as strong as the wort that runs off; stir before reading.

    Valid: water > 0, conversion 0 to 1, results to SG 1.17.

    Source: mass balance, as maltsters' and brewhouse pages print it: N = 100 E / (E + V); Bubnik et al. (1995).

    Raises:
        OutsideRange: outside that range.

    >>> bill = [Fermentable(Measured(5.0, 0.02), Measured(80.0, 1.0))]
    >>> first_wort_sg(bill, Measured(15.0, 0.2), Measured(1.0, 0.0)).value
    1.0839
    """

    def gravity(litres: float, share: float, *inputs: float) -> float:
        require_within("The conversion", share, 0.0, 1.0)
        require_positive("The water of the mash", litres, "L")
        dissolved_kg = share * _extracts_kg(bill, inputs)[0]
        water_kg = water_l_to_kg(litres) + _own_water_kg(bill, inputs)
        mass_fraction = dissolved_kg / (dissolved_kg + water_kg)
        require_within("The extract of the first wort", 100.0 * mass_fraction, 0.0, _HIGHEST_PLATO, "°P")
        return sg_from_mass_fraction(mass_fraction)

    told = propagate(gravity, mash_water_l, conversion, *_inputs(bill))
    return Result(told.value, told.sd, "SG", "mass balance")


def conversion_efficiency(bill: Bill, mash_water_l: Measured, first_wort_sg: Measured) -> Result:
    """Tell how much [ratio] of the extract of `bill` is dissolved when the first wort reads `first_wort_sg` [SG].

    Formula: c = w (W + the malt's own water) / ((1 - w) E), W of `mash_water_l` [L at 20 °C]; inverse of
    `first_wort_sg`.

    Bias: as `first_wort_sg`. 0.95 and more is a good conversion (common practice); lower means crush, time or pH.

    Valid: water > 0, SG 1.000 to 1.17, results 0 to 1 (a little more within the uncertainty).

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range: more extract than the malt holds is a wrong reading.

    >>> bill = [Fermentable(Measured(5.0, 0.02), Measured(80.0, 1.0))]
    >>> conversion_efficiency(bill, Measured(15.0, 0.2), Measured(1.080, 0.001)).value
    0.946
    """

    def share(litres: float, gravity: float, *inputs: float) -> float:
        require_positive("The water of the mash", litres, "L")
        require_within("The gravity of the first wort", gravity, 1.0, HIGHEST_SG, "SG")
        mass_fraction = max(0.0, mass_fraction_from_sg(gravity))
        water_kg = water_l_to_kg(litres) + _own_water_kg(bill, inputs)
        grain_kg = _extracts_kg(bill, inputs)[0]
        require_positive("The extract of the grain", grain_kg, "kg")
        return mass_fraction / (1.0 - mass_fraction) * water_kg / grain_kg

    return _ratio(propagate(share, mash_water_l, first_wort_sg, *_inputs(bill)), "The conversion")


def lauter_efficiency(bill: Bill, conversion: Measured, kettle_l: Measured, kettle_sg: Measured) -> Result:
    """Tell how much [ratio] of the dissolved extract came to `kettle_l` [L at 20 °C] of `kettle_sg` [SG].

    Formula: m_kettle / (c E), c = `conversion` [ratio] of `bill`, no sugar in the kettle yet. Times the
    conversion it is the mash's efficiency.

    Bias: an error in the conversion is found again here, upside down.

    Valid: conversion above 0 to 1, volume > 0, SG 1.000 to 1.17, results 0 to 1 (a little more within the
    uncertainty).

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> bill = [Fermentable(Measured(5.0, 0.02), Measured(80.0, 1.0))]
    >>> lauter_efficiency(bill, Measured(0.95, 0.02), Measured(27.0, 0.3), Measured(1.042, 0.001)).value
    0.806
    """

    def share(litres: float, gravity: float, converted: float, *inputs: float) -> float:
        require_positive("The conversion", converted)
        dissolved_kg = converted * _extracts_kg(bill, inputs)[0]
        require_positive("The extract of the grain", dissolved_kg, "kg")
        return extract_kg(litres, gravity) / dissolved_kg

    require_within("The conversion", conversion.value, 0.0, 1.0)
    require_positive("The volume", kettle_l.value, "L")
    told = propagate(share, kettle_l, kettle_sg, conversion, *_inputs(bill))
    return _ratio(told, "The lauter efficiency")


def _inputs(bill: Bill) -> list[Measured]:
    if not bill:
        raise OutsideRange("A grain bill needs at least one fermentable, not none.")
    return [*(item.mass_kg for item in bill), *(item.potential for item in bill)]


def _extracts_kg(bill: Bill, inputs: Sequence[float]) -> tuple[float, float]:
    """Extract of what is mashed, and of what is not."""
    grain_kg = sugar_kg = 0.0
    for item, mass_kg, potential in zip(bill, inputs[: len(bill)], inputs[len(bill) :], strict=True):
        require_at_least("The mass of a fermentable", mass_kg, 0.0, "kg")
        gives_kg = mass_kg * extract_fraction(potential, item.kind, item.moisture)
        grain_kg, sugar_kg = (grain_kg + gives_kg, sugar_kg) if item.mashed else (grain_kg, sugar_kg + gives_kg)
    return grain_kg, sugar_kg


def _given_kg(bill: Bill, share: float, inputs: Sequence[float]) -> float:
    grain_kg, sugar_kg = _extracts_kg(bill, inputs)
    return share * grain_kg + sugar_kg


def _own_water_kg(bill: Bill, inputs: Sequence[float]) -> float:
    return sum(item.moisture * mass_kg for item, mass_kg in zip(bill, inputs, strict=False) if item.mashed)


def _ratio(told: Measured, what: str) -> Result:
    if not -_ROUNDING <= told.value <= 1.0 + _ROUNDING + 2.0 * told.sd:
        raise OutsideRange(
            f"{what} must be from 0 to 100 %, not {{told}}: a volume, gravity or weight is wrong.",
            told=Shown(100.0 * told.value, "%"),
        )
    beyond = told.value > 1.0 + _ROUNDING
    note = "It is above 100 %, though within the uncertainty: read again." if beyond else ""
    verdict = Verdict.NEAR_LIMIT if beyond else Verdict.INSIDE
    return Result(told.value, told.sd, "", "mass balance", verdict, note)


_HIGHEST_PLATO: Final = 100.0 * mass_fraction_from_sg(HIGHEST_SG)
