"""Brewing water: what salts add, mixing and thinning, residual alkalinity, and what the warmth does to a pH.

Concentrations are mg/L (which the trade calls ppm), salts kg, volumes L.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import astuple, dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.molar_mass import molar_mass_g
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange

_MG_PER_KG: Final = 1e6
_CACO3_G: Final = molar_mass_g("CaCO3")
_HCO3_G: Final = molar_mass_g("HCO3")
_CALCIUM_SHARE: Final = 3.5
_MAGNESIUM_SHARE: Final = 7.0
CACO3_MG_PER_DEGREE: Final = 10.0 * _CACO3_G / molar_mass_g("CaO")  # a German degree is 10 mg/L of CaO
_RESIDUAL_SD_SHARE: Final = 0.10
_SALT_SD_SHARE: Final = 0.03
_ROOM_C: Final = 20.0
_PH_PER_K: Final = 0.0078
_PH_PER_K_SD: Final = 0.0025


class Ion(StrEnum):
    """What a water report lists that matters to a brewer."""

    CALCIUM = "calcium"
    MAGNESIUM = "magnesium"
    SODIUM = "sodium"
    SULPHATE = "sulphate"
    CHLORIDE = "chloride"
    BICARBONATE = "bicarbonate"


_FORMULA_OF_ION: Final = {
    Ion.CALCIUM: "Ca",
    Ion.MAGNESIUM: "Mg",
    Ion.SODIUM: "Na",
    Ion.SULPHATE: "SO4",
    Ion.CHLORIDE: "Cl",
    Ion.BICARBONATE: "HCO3",
}


@dataclass(frozen=True, slots=True)
class Water:
    """A water by its ions, mg/L each.

    Raises:
        OutsideRange: if one of them is below 0 or no number.
    """

    calcium: float = 0.0
    magnesium: float = 0.0
    sodium: float = 0.0
    sulphate: float = 0.0
    chloride: float = 0.0
    bicarbonate: float = 0.0

    def __post_init__(self) -> None:
        for ion, level in zip(Ion, astuple(self), strict=True):
            require_at_least(f"The {ion} of a water", level, 0.0, "mg/L")


class Salt(StrEnum):
    """A salt by its formula with the water of crystal it is sold with."""

    GYPSUM = "CaSO4.2H2O"
    CALCIUM_CHLORIDE = "CaCl2.2H2O"
    CALCIUM_CHLORIDE_DRY = "CaCl2"
    EPSOM_SALT = "MgSO4.7H2O"
    MAGNESIUM_CHLORIDE = "MgCl2.6H2O"
    TABLE_SALT = "NaCl"
    BAKING_SODA = "NaHCO3"
    CHALK = "CaCO3"
    SLAKED_LIME = "Ca(OH)2"


# Moles of each ion from a mole of the salt. Chalk and lime count for the bicarbonate their alkalinity becomes.
_IONS: Final[dict[Salt, dict[Ion, int]]] = {
    Salt.GYPSUM: {Ion.CALCIUM: 1, Ion.SULPHATE: 1},
    Salt.CALCIUM_CHLORIDE: {Ion.CALCIUM: 1, Ion.CHLORIDE: 2},
    Salt.CALCIUM_CHLORIDE_DRY: {Ion.CALCIUM: 1, Ion.CHLORIDE: 2},
    Salt.EPSOM_SALT: {Ion.MAGNESIUM: 1, Ion.SULPHATE: 1},
    Salt.MAGNESIUM_CHLORIDE: {Ion.MAGNESIUM: 1, Ion.CHLORIDE: 2},
    Salt.TABLE_SALT: {Ion.SODIUM: 1, Ion.CHLORIDE: 1},
    Salt.BAKING_SODA: {Ion.SODIUM: 1, Ion.BICARBONATE: 1},
    Salt.CHALK: {Ion.CALCIUM: 1, Ion.BICARBONATE: 2},
    Salt.SLAKED_LIME: {Ion.CALCIUM: 1, Ion.BICARBONATE: 2},
}

_NOTES: Final[dict[Salt, str]] = {
    Salt.CALCIUM_CHLORIDE: "It draws water from the air: from an old open bag it gives less.",
    Salt.CALCIUM_CHLORIDE_DRY: "It draws water from the air: from an old open bag it gives less.",
    Salt.CHALK: "Chalk hardly dissolves without carbonic acid; much of it stays on the bottom.",
    Salt.SLAKED_LIME: "Lime is caustic: wear gloves and goggles, and keep the dust out of eyes and lungs.",
}


def ion_share(salt: Salt, ion: Ion) -> float:
    """Give how much [kg/kg] of the mass of `salt` is `ion`, 0 for an ion that is not in it.

    Chalk and slaked lime count for the bicarbonate that their alkalinity becomes.

    Valid: the salts and ions listed.

    Source: formula of the salt with its water of crystal; standard atomic weights 2021.

    >>> ion_share(Salt.GYPSUM, Ion.CALCIUM), ion_share(Salt.CALCIUM_CHLORIDE, Ion.CHLORIDE)
    (0.2328, 0.4823)
    """
    moles = _IONS[salt].get(ion, 0)
    return moles * molar_mass_g(_FORMULA_OF_ION[ion]) / molar_mass_g(salt)


def ions_of(salt: Salt) -> frozenset[Ion]:
    """Give the ions that `salt` brings.

    Valid: the salts listed.

    Source: formula of the salt.

    >>> sorted(ions_of(Salt.GYPSUM))
    [<Ion.CALCIUM: 'calcium'>, <Ion.SULPHATE: 'sulphate'>]
    """
    return frozenset(_IONS[salt])


def with_salts(water: Water, salts_kg: Mapping[Salt, float], volume_l: float) -> Water:
    """Give `water` [mg/L] after `salts_kg` [kg each] are dissolved in `volume_l` [L] of it.

    Formula: mg/L = what is there + Σ mass × share of the ion / volume.

    Bias: all of it is taken to dissolve, which chalk does not.

    Valid: volume > 0, masses >= 0.

    Source: mass balance; `ion_share`.

    Raises:
        OutsideRange: outside that range.

    >>> with_salts(Water(calcium=20.0), {Salt.GYPSUM: 0.004}, 20.0)
    Water(calcium=66.6, magnesium=0.0, sodium=0.0, sulphate=111.6, chloride=0.0, bicarbonate=0.0)
    """
    require_positive("The volume of water", volume_l, "L")
    added = dict.fromkeys(Ion, 0.0)
    for salt, mass_kg in salts_kg.items():
        require_at_least("The mass of a salt", mass_kg, 0.0, "kg")
        for ion in _IONS[salt]:
            added[ion] += mass_kg * ion_share(salt, ion) * _MG_PER_KG / volume_l
    return Water(*(level + added[ion] for level, ion in zip(astuple(water), Ion, strict=True)))


def ion_from_salt(salt: Salt, ion: Ion, mass_kg: Measured, volume_l: Measured) -> Result:
    """Give how much `ion` [mg/L] `mass_kg` [kg] of `salt` adds to `volume_l` [L] of water.

    Formula: mg/L = mass × share of the ion / volume.

    The uncertainty joins those of the two with 3 % for purity and water of crystal (judgement).

    Valid: volume > 0, mass >= 0, an ion that is in the salt.

    Source: mass balance; `ion_share`.

    Raises:
        OutsideRange: outside that range.

    >>> added = ion_from_salt(Salt.GYPSUM, Ion.CALCIUM, Measured(0.004, 0.0001), Measured(20.0, 0.2))
    >>> added.value, added.sd
    (46.6, 1.9)
    """
    require_positive("The volume of water", volume_l.value, "L")
    require_at_least("The mass of the salt", mass_kg.value, 0.0, "kg")
    share = _share_within(salt, ion)
    mean = mass_kg.value * share * _MG_PER_KG / volume_l.value
    added = propagate(
        lambda kg, litres: kg * share * _MG_PER_KG / litres, mass_kg, volume_l, model_sd=_SALT_SD_SHARE * mean
    )
    return Result(added.value, added.sd, "mg/L", "salts", note=_NOTES.get(salt, ""))


def salt_for_ion(salt: Salt, ion: Ion, more_mg_per_l: float, volume_l: Measured) -> Result:
    """Give the `salt` [kg] that adds `more_mg_per_l` [mg/L] of `ion` to `volume_l` [L] of water.

    Formula: mass = rise × volume / share of the ion in the salt.

    Inverse of `ion_from_salt`; what else the salt brings, `with_salts` tells.

    Valid: volume > 0, 0 to 2000 mg/L, an ion that is in the salt.

    Source: mass balance; `ion_share`.

    Raises:
        OutsideRange: outside that range.

    >>> salt_for_ion(Salt.CALCIUM_CHLORIDE, Ion.CALCIUM, 50.0, Measured(20.0, 0.2)).value
    0.003668
    """
    require_positive("The volume of water", volume_l.value, "L")
    require_within("The ion to add", more_mg_per_l, 0.0, 2000.0, "mg/L")
    share = _share_within(salt, ion)
    mean = more_mg_per_l * volume_l.value / share / _MG_PER_KG
    mass = propagate(
        lambda litres: more_mg_per_l * litres / share / _MG_PER_KG, volume_l, model_sd=_SALT_SD_SHARE * mean
    )
    return Result(mass.value, mass.sd, "kg", "salts", note=_NOTES.get(salt, ""))


def mixed(first: Water, first_l: float, second: Water, second_l: float) -> Water:
    """Give the water [mg/L] of `first_l` [L] of `first` and `second_l` [L] of `second` together.

    Formula: level = Σ volume × level / Σ volume.

    Thinning with pure water is the case of an empty `Water()`.

    Bias: nothing is taken to fall out; hard and soda-rich waters together may form chalk.

    Valid: volumes >= 0, together > 0.

    Source: mass balance.

    Raises:
        OutsideRange: outside that range.

    >>> mixed(Water(calcium=100.0, bicarbonate=240.0), 10.0, Water(), 30.0).bicarbonate
    60.0
    """
    require_at_least("The volume of the first water", first_l, 0.0, "L")
    require_at_least("The volume of the second water", second_l, 0.0, "L")
    require_positive("The volume of both waters", first_l + second_l, "L")
    share = first_l / (first_l + second_l)
    pairs = zip(astuple(first), astuple(second), strict=True)
    return Water(*(share * one + (1.0 - share) * other for one, other in pairs))


def alkalinity_mg_per_l(bicarbonate_mg_per_l: float) -> float:
    """Give the alkalinity [mg/L as CaCO3] of water of `bicarbonate_mg_per_l` [mg/L], half a chalk to a bicarbonate.

    Bias: carbonate, which counts in water above pH 8.5, is left out.

    Valid: 0 mg/L and more.

    Source: definition; standard atomic weights 2021.

    Raises:
        OutsideRange: outside that range.

    >>> alkalinity_mg_per_l(122.0)
    100.06
    """
    require_at_least("The bicarbonate", bicarbonate_mg_per_l, 0.0, "mg/L")
    return bicarbonate_mg_per_l * _CACO3_G / (2.0 * _HCO3_G)


def degrees_german(caco3_mg_per_l: float) -> float:
    """Give the German degrees [°dH] of a hardness or alkalinity of `caco3_mg_per_l` [mg/L as CaCO3].

    A degree is 10 mg/L of CaO.

    Valid: -10 000 to 10 000 mg/L; a residual alkalinity may be below 0.

    Source: definition; standard atomic weights 2021.

    Raises:
        OutsideRange: outside that range.

    >>> degrees_german(178.5)
    10.0
    """
    require_within("The hardness", caco3_mg_per_l, -10_000.0, 10_000.0, "mg/L")
    return caco3_mg_per_l / CACO3_MG_PER_DEGREE


def residual_alkalinity(calcium: Measured, magnesium: Measured, bicarbonate: Measured) -> Result:
    """Give the residual alkalinity [mg/L as CaCO3] of water by its `calcium`, `magnesium`, `bicarbonate` [mg/L].

    Formula: alkalinity - calcium hardness / 3.5 - magnesium hardness / 7, each as CaCO3: what is left of the
    alkalinity when calcium and magnesium have made acid from the phosphate of the malt.

    Below 0 the water makes the mash more acid.

    The uncertainty joins those of the three with 10 % of the hardness part (judgement).

    Bias: the two shares were found in wort of 12 °P; in a mash they are smaller, and differ with its thickness.

    Valid: 0 to 1000 mg/L each.

    Source: Kolbach, Monatsschrift für Brauerei 6 (1953) 49 (citation from memory); the form seen in several
    secondary texts. The Mitteleuropäische Brautechnische Analysenkommission names the quantity after him in its
    method W-030.01.900 (its summary was read).

    Raises:
        OutsideRange: outside that range.

    >>> residual_alkalinity(Measured(100.0, 2.0), Measured(20.0, 1.0), Measured(250.0, 5.0)).value
    122.0
    """
    levels = {Ion.CALCIUM: calcium, Ion.MAGNESIUM: magnesium, Ion.BICARBONATE: bicarbonate}
    for ion, level in levels.items():
        require_within(f"The {ion}", level.value, 0.0, 1000.0, "mg/L")
    model_sd = _RESIDUAL_SD_SHARE * _made_acid(calcium.value, magnesium.value)
    left = propagate(
        lambda ca, mg, hco3: alkalinity_mg_per_l(max(0.0, hco3)) - _made_acid(ca, mg),
        calcium,
        magnesium,
        bicarbonate,
        model_sd=model_sd,
    )
    return Result(left.value, left.sd, "mg/L as CaCO3", "kolbach")


def ph_at_room_temperature(ph: Measured, temperature_c: float) -> Result:
    """Give the pH [pH at 20 °C] of a mash or wort that truly has `ph` [pH] at `temperature_c` [°C].

    Formula: pH at 20 °C = pH + 0.0078 (T - 20).

    0.0078 per kelvin is added. A meter that compensates for temperature corrects its own slope, not this.

    Bias: 0.0025 per kelvin is taken as the uncertainty; worts differ, and brewers quote 0.2 to 0.35 for a mash.

    Valid: pH 4 to 7, 0 to 80 °C.

    Source: wort is 0.35 lower at 65 °C and 0.45 lower at 78 °C than at room temperature: Briggs, Boulton, Brookes
    and Stevens, Brewing: Science and Practice (2004), as quoted by others.

    Raises:
        OutsideRange: outside that range.

    >>> cold = ph_at_room_temperature(Measured(5.20, 0.03), 65.0)
    >>> cold.value, cold.sd
    (5.55, 0.12)
    """
    require_within("The pH", ph.value, 4.0, 7.0)
    require_within("The temperature of the sample", temperature_c, 0.0, 80.0, "°C")
    cold = propagate(
        lambda shown, per_k: shown + per_k * (temperature_c - _ROOM_C), ph, Measured(_PH_PER_K, _PH_PER_K_SD)
    )
    note = "Cool the sample and measure again: hot wort spoils the electrode, and targets are for room temperature."
    return Result(cold.value, cold.sd, "pH", "ph temperature", Verdict.RULE_OF_THUMB, note)


def _made_acid(calcium: float, magnesium: float) -> float:
    calcium_hardness = calcium * _CACO3_G / molar_mass_g("Ca")
    magnesium_hardness = magnesium * _CACO3_G / molar_mass_g("Mg")
    return calcium_hardness / _CALCIUM_SHARE + magnesium_hardness / _MAGNESIUM_SHARE


def _share_within(salt: Salt, ion: Ion) -> float:
    share = ion_share(salt, ion)
    if share <= 0.0:
        there = " and ".join(_IONS[salt])
        raise OutsideRange(f"{salt} brings {there}, no {ion}.")
    return share
