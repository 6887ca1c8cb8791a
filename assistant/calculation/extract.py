"""The kettle's book of masses: what boiling, extract, sugar and water do to volume and gravity.

Volumes are at 20 °C in L, gravities SG 20/20 °C, masses in kg. Water and extract are conserved as masses; volumes
follow from the density and do not simply add.
"""

from __future__ import annotations

from typing import Final

from assistant.calculation import sucrose, water
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.scales import HIGHEST_SG, REFERENCE_C, mass_fraction_from_sg, sg_from_mass_fraction
from assistant.quantities import OutsideRange, Shown

# Common practice, no source: dry malt extract gives 44 points where sucrose gives 46.2; the rest is moisture.
DRY_EXTRACT_FRACTION: Final = 0.95
SUCROSE_FRACTION: Final = 1.0

_LITRES_PER_M3: Final = 1000.0


def wort_kg(volume_l: float, sg: float) -> float:
    """Give the mass [kg] of `volume_l` [L at 20 °C] of wort of `sg` [20/20 °C].

    m = V ρ(w, 20), the true density, not SG times that of water: they differ by what air carries.

    Valid: volume >= 0, SG 1.000 to 1.17.

    Source: Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> wort_kg(20.0, 1.04839)
    20.929
    """
    require_at_least("The volume", volume_l, 0.0, "L")
    density = sucrose.density_kg_m3(_mass_fraction(sg), REFERENCE_C)
    return volume_l * density / _LITRES_PER_M3


def extract_kg(volume_l: float, sg: float) -> float:
    """Give the mass of dissolved extract [kg] in `volume_l` [L at 20 °C] of wort of `sg` [20/20 °C]: w V ρ.

    Formula: m = w V ρ, w the mass fraction of that gravity and ρ its density.

    Bias: wort extract is taken to weigh as sucrose does.

    Valid: volume >= 0, SG 1.000 to 1.17.

    Source: Bubnik et al. (1995) for the density; mass balance.

    Raises:
        OutsideRange: outside that range.

    >>> extract_kg(25.0, 1.040)
    2.5932
    """
    return _mass_fraction(sg) * wort_kg(volume_l, sg)


def wort_from(extract_kg: float, water_kg: float) -> tuple[float, float]:
    """Give the volume [L at 20 °C] and SG [20/20 °C] of `extract_kg` [kg] dissolved in `water_kg` [kg].

    Valid: extract >= 0, water > 0, results to SG 1.17.

    Source: Bubnik et al. (1995) for the density; mass balance.

    Raises:
        OutsideRange: outside that range.

    >>> volume_l, sg = wort_from(2.0, 18.0)
    >>> volume_l, sg
    (19.266, 1.0400)
    """
    require_at_least("The mass of extract", extract_kg, 0.0, "kg")
    require_positive("The mass of water", water_kg, "kg")
    total_kg = extract_kg + water_kg
    mass_fraction = extract_kg / total_kg
    require_within("The extract in the wort", 100.0 * mass_fraction, 0.0, _HIGHEST_PLATO, "°P")
    density = sucrose.density_kg_m3(mass_fraction, REFERENCE_C)
    return total_kg / density * _LITRES_PER_M3, sg_from_mass_fraction(mass_fraction)


def evaporate(volume_l: float, sg: float, water_l: float) -> tuple[float, float]:
    """Give the volume [L at 20 °C] and SG [20/20 °C] left when `water_l` [L at 20 °C] of water leave the wort.

    The wort was `volume_l` [L at 20 °C] of `sg` [20/20 °C].

    Bias: the rule of thumb that points times litres stay the same is 0.05 points high in an ordinary boil.

    Valid: volume > 0, SG 1.000 to 1.17, water 0 to what leaves wort of at most 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> volume_l, sg = evaporate(25.0, 1.040, 5.0)
    >>> volume_l, sg
    (20.00, 1.04995)
    """
    require_positive("The volume", volume_l, "L")
    require_at_least("The water that leaves", water_l, 0.0, "L")
    dissolved_kg = extract_kg(volume_l, sg)
    least_kg = max(dissolved_kg * (1.0 / _mass_fraction(HIGHEST_SG) - 1.0), 0.0)
    present_kg = wort_kg(volume_l, sg) - dissolved_kg
    left_kg = present_kg - _water_kg(water_l)
    if left_kg <= 0.0 or left_kg < least_kg:
        most_l = (present_kg - least_kg) / _water_kg(1.0)
        raise OutsideRange(
            "{wort} at {sg:gravity} can lose less than {most} of water before it passes "
            "{highest:gravity} or dries up, not {water}.",
            wort=Shown(volume_l, "L"),
            sg=Shown(sg, "SG"),
            most=Shown(most_l, "L"),
            highest=Shown(HIGHEST_SG, "SG"),
            water=Shown(water_l, "L"),
        )
    return wort_from(dissolved_kg, left_kg)


def boil(volume_l: float, sg: float, minutes: float, boil_off_l_per_h: float) -> tuple[float, float]:
    """Give the volume [L at 20 °C] and SG [20/20 °C] after boiling for `minutes` [min] at `boil_off_l_per_h` [L/h].

    The wort was `volume_l` [L at 20 °C] of `sg` [20/20 °C]. The boil-off is in litres of water at 20 °C and
    taken as steady; both volumes are at 20 °C.

    Valid: volume > 0, SG 1.000 to 1.17, minutes >= 0, boil-off >= 0, what is left as in `evaporate`.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> volume_l, sg = boil(25.0, 1.040, 75.0, 4.0)
    >>> volume_l, sg
    (20.00, 1.04995)
    """
    require_at_least("The boiling time", minutes, 0.0, "min")
    require_at_least("The boil-off", boil_off_l_per_h, 0.0, "L/h")
    return evaporate(volume_l, sg, boil_off_l_per_h * minutes / 60.0)


def minutes_to_gravity(volume_l: float, sg: float, target_sg: float, boil_off_l_per_h: float) -> float:
    """Give how long [min] to boil `volume_l` [L at 20 °C] of `sg` until it is `target_sg` [20/20 °C].

    At `boil_off_l_per_h` [L/h of water at 20 °C]. Extract stays, so the water to lose is m (1 - w / w_target);
    inverse of `boil`.

    Valid: volume > 0, 1.000 < sg <= target <= 1.17, boil-off > 0 [L/h].

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range; boiling cannot thin wort, nor thicken water.

    >>> minutes_to_gravity(25.0, 1.040, 1.04995, 4.0)
    75.0
    """
    require_positive("The volume", volume_l, "L")
    require_positive("The boil-off", boil_off_l_per_h, "L/h")
    _require_thicker("Boiling", sg, target_sg)
    if target_sg == sg:
        return 0.0
    if sg <= 1.0:
        raise OutsideRange(
            "Boiling cannot bring water to {target:gravity}: there is nothing in it to thicken.",
            target=Shown(target_sg, "SG"),
        )
    lost_kg = wort_kg(volume_l, sg) * (1.0 - _mass_fraction(sg) / _mass_fraction(target_sg))
    return 60.0 * lost_kg / _water_kg(boil_off_l_per_h)


def add_water(volume_l: float, sg: float, water_l: float) -> tuple[float, float]:
    """Give the volume [L at 20 °C] and SG [20/20 °C] after `water_l` [L at 20 °C] of water join the wort.

    The wort was `volume_l` [L at 20 °C] of `sg` [20/20 °C].

    Valid: volume > 0, SG 1.000 to 1.17, water >= 0.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> volume_l, sg = add_water(20.0, 1.04995, 5.0)
    >>> volume_l, sg
    (25.00, 1.0400)
    """
    require_positive("The volume", volume_l, "L")
    require_at_least("The water to add", water_l, 0.0, "L")
    dissolved_kg = extract_kg(volume_l, sg)
    return wort_from(dissolved_kg, wort_kg(volume_l, sg) - dissolved_kg + _water_kg(water_l))


def add_solids(volume_l: float, sg: float, mass_kg: float, extract_fraction: float) -> tuple[float, float]:
    """Give the volume [L at 20 °C] and SG [20/20 °C] after `mass_kg` [kg] of solids are dissolved in the wort.

    The wort was `volume_l` [L at 20 °C] of `sg` [20/20 °C]; `extract_fraction` [kg/kg] of the solids is
    extract, the rest is water: sucrose 1.00, dry malt extract 0.95 (common practice, no source).

    Bias: part of a starchy or impure solid that does not dissolve is not seen.

    Valid: volume > 0, SG 1.000 to 1.17, mass >= 0, fraction 0 to 1, results to SG 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> volume_l, sg = add_solids(25.0, 1.038, 0.410, 0.95)
    >>> volume_l, sg
    (25.261, 1.04353)
    """
    require_positive("The volume", volume_l, "L")
    require_at_least("The mass to add", mass_kg, 0.0, "kg")
    require_within("The extract fraction", extract_fraction, 0.0, 1.0)
    dissolved_kg = extract_kg(volume_l, sg)
    water_kg = wort_kg(volume_l, sg) - dissolved_kg
    return wort_from(dissolved_kg + extract_fraction * mass_kg, water_kg + (1.0 - extract_fraction) * mass_kg)


def dry_extract_to_add_kg(
    volume_l: float, sg: float, target_sg: float, extract_fraction: float = DRY_EXTRACT_FRACTION
) -> float:
    """Give how much dry malt extract [kg] brings `volume_l` [L at 20 °C] of `sg` to `target_sg` [20/20 °C].

    m = M (w_target - w) / (f - w_target), f = `extract_fraction` [kg/kg]. The volume it brings is counted;
    `add_solids` tells the new volume.

    Bias: f = 0.95 is common practice without a source; packets differ by 2 %.

    Valid: volume > 0, 1.000 <= sg <= target <= 1.17, fraction above that of the target and at most 1.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range; extract cannot thin wort.

    >>> dry_extract_to_add_kg(25.0, 1.038, 1.044)
    0.4451
    """
    require_positive("The volume", volume_l, "L")
    _require_thicker("Extract", sg, target_sg)
    wanted = _mass_fraction(target_sg)
    require_within("The extract fraction", extract_fraction, 0.0, 1.0)
    if extract_fraction <= wanted:
        raise OutsideRange(
            f"Something with {100.0 * extract_fraction:.3g} % extract cannot bring wort to {{target:gravity}}, "
            f"which has {100.0 * wanted:.3g} %.",
            target=Shown(target_sg, "SG"),
        )
    return wort_kg(volume_l, sg) * (wanted - _mass_fraction(sg)) / (extract_fraction - wanted)


def sugar_to_add_kg(volume_l: float, sg: float, target_sg: float) -> float:
    """Give how much sucrose [kg] brings `volume_l` [L at 20 °C] of `sg` to `target_sg` [20/20 °C].

    As `dry_extract_to_add_kg` with a fraction of 1.

    Valid: volume > 0, 1.000 <= sg <= target <= 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range; sugar cannot thin wort.

    >>> sugar_to_add_kg(25.0, 1.038, 1.044)
    0.4202
    """
    return dry_extract_to_add_kg(volume_l, sg, target_sg, SUCROSE_FRACTION)


def water_to_add_l(volume_l: float, sg: float, target_sg: float) -> float:
    """Give how much water [L at 20 °C] thins `volume_l` [L at 20 °C] of `sg` to `target_sg` [20/20 °C].

    Water = M (w / w_target - 1) / ρ_water.

    Valid: volume > 0, 1.000 < target <= sg <= 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range; water cannot thicken wort.

    >>> water_to_add_l(20.0, 1.04995, 1.040)
    5.00
    """
    require_positive("The volume", volume_l, "L")
    if target_sg > sg:
        raise OutsideRange(
            "Water cannot raise wort from {now:gravity} to {target:gravity}; it thins.",
            now=Shown(sg, "SG"),
            target=Shown(target_sg, "SG"),
        )
    if target_sg <= 1.0:
        raise OutsideRange(
            "Water brings wort of {now:gravity} near {water:gravity} but never to {target:gravity}.",
            now=Shown(sg, "SG"),
            water=Shown(1.0, "SG"),
            target=Shown(target_sg, "SG"),
        )
    return wort_kg(volume_l, sg) * (_mass_fraction(sg) / _mass_fraction(target_sg) - 1.0) / _water_kg(1.0)


def _mass_fraction(sg: float) -> float:
    require_within("The gravity of the wort", sg, 1.0, HIGHEST_SG, "SG")
    return max(0.0, mass_fraction_from_sg(sg))


def _water_kg(volume_l: float) -> float:
    return volume_l * water.density_kg_m3(REFERENCE_C) / _LITRES_PER_M3


def _require_thicker(what: str, sg: float, target_sg: float) -> None:
    if target_sg < sg:
        raise OutsideRange(
            f"{what} cannot lower wort from {{now:gravity}} to {{target:gravity}}; add water instead.",
            now=Shown(sg, "SG"),
            target=Shown(target_sg, "SG"),
        )


_HIGHEST_PLATO: Final = 100.0 * mass_fraction_from_sg(HIGHEST_SG)
