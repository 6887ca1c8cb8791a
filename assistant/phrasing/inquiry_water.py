"""Answers to questions of brewing water: salts, profiles, thinning, mixing, pH."""

from __future__ import annotations

from typing import Final

from assistant.calculation import water_chemistry, water_salts
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.calculation.water_chemistry import Ion, Salt, Water
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure, rough
from assistant.quantities import Measured, OutsideRange, Unit

SALT_NAMES: Final = {
    Salt.GYPSUM: "gypsum",
    Salt.CALCIUM_CHLORIDE: "calcium chloride",
    Salt.CALCIUM_CHLORIDE_DRY: "dry calcium chloride",
    Salt.EPSOM_SALT: "epsom salt",
    Salt.MAGNESIUM_CHLORIDE: "magnesium chloride",
    Salt.TABLE_SALT: "table salt",
    Salt.BAKING_SODA: "baking soda",
    Salt.SLAKED_LIME: "slaked lime",
    Salt.CHALK: "chalk",
}
_LIME: Final = "Lime is caustic: gloves and goggles, and keep its dust out of eyes and lungs."
_PURITY_SD: Final = 0.03  # as `water_chemistry.ion_from_salt`
_PH_SD: Final = 0.05  # of a meter that was calibrated the same day; a judgement


def _water(given: Given, lead: str = "") -> Water:
    """The levels that were said; an ion that was not is none."""
    levels = {ion.value: given.exact(f"{lead}{ion}") for ion in Ion if given.has(f"{lead}{ion}")}
    return Water(**levels)


def _grams(kilograms: float) -> str:
    # Salts are weighed in grams by everybody.
    return Given.small_mass(kilograms, Unit.GRAM)


def _joined(parts: list[str]) -> str:
    return " and ".join((", ".join(parts[:-1]), parts[-1])) if len(parts) > 1 else parts[0]


def _salts(given: Given) -> Reply:
    litres = given.measured("volume of water")
    masses = {salt: given.measured(name) for salt, name in SALT_NAMES.items() if given.has(name)}
    if not masses:
        raise OutsideRange("Name at least one salt with its mass, such as four grams of gypsum.")
    start = _water(given)
    after = water_chemistry.with_salts(start, {salt: mass.value for salt, mass in masses.items()}, litres.value)
    results = []
    for ion in Ion:
        if level := getattr(after, ion.value):
            added = sum(
                (mass.value * water_chemistry.ion_share(salt, ion)) ** 2
                * ((mass.sd / mass.value) ** 2 + _PURITY_SD**2 if mass.value else 0.0)
                for salt, mass in masses.items()
            )
            rise = level - getattr(start, ion.value)
            sd = ((added**0.5 * 1e6 / litres.value) ** 2 + (rise * litres.sd / litres.value) ** 2) ** 0.5
            results.append(Labelled(ion.value, Result(level, sd, "mg/L", "salts")))
    if not results:
        raise OutsideRange("A mass of nothing changes nothing: say how much of the salt.")
    words = _joined([f"{item.label} {figure(item.result.value, 0)}" for item in results])
    caution = _LIME if Salt.SLAKED_LIME in masses else ""
    doubt = max(item.result.sd / item.result.value for item in results)
    return Reply(
        f"{words}, in milligrams per litre, give or take {figure(200.0 * doubt, 0)} per cent.",
        tuple(results),
        caution,
    )


def _profile(given: Given) -> Reply:
    wanted = {ion: given.exact(ion.value) for ion in Ion if given.has(ion.value)}
    if not wanted:
        raise OutsideRange("Name the ions that you want, such as calcium one hundred and sulphate one fifty.")
    start = _water(given, "starting ")
    recipe = water_salts.salts_for_profile(start, wanted, given.measured("volume of water"))
    salts = tuple(Labelled(SALT_NAMES[salt], mass) for salt, mass in recipe.salts.items())
    ions = tuple(
        Labelled(f"{ion} then", Result(getattr(recipe.water, ion.value), 0.0, "mg/L", "salts")) for ion in wanted
    )
    if salts:
        words = _joined([f"{_grams(item.result.value)} of {item.label}" for item in salts])
        ending = f"; it comes within {figure(recipe.miss_mg_per_l, 0)} milligrams per litre."
    else:
        words, ending = "No salt brings it nearer", "."
    sentence = f"{words}{ending}"
    if recipe.too_much:
        sentence += f" It has too much {_joined([ion.value for ion in recipe.too_much])} already: thin it first."
    return Reply(sentence, (*salts, *ions))


def _salt_for_ion(given: Given) -> Reply:
    salt, ion = Salt(given.choice("salt")), Ion(given.choice("ion"))
    brought = water_chemistry.ions_of(salt)
    if ion not in brought:
        there = _joined([other.value for other in Ion if other in brought])
        raise OutsideRange(f"{SALT_NAMES[salt].capitalize()} brings {there}, no {ion}: take another salt.")
    result = water_chemistry.salt_for_ion(
        salt, ion, given.exact("rise of the ion"), given.measured("volume of water")
    )
    sentence = f"{_grams(result.value)} of {SALT_NAMES[salt]}, give or take {_grams(2.0 * result.sd)}."
    return Reply(sentence, (Labelled(SALT_NAMES[salt], result),), _LIME if salt is Salt.SLAKED_LIME else "")


def _distilled(given: Given) -> Reply:
    total = given.measured("volume of water")
    pure = water_salts.pure_water_l(total, given.measured("level now"), given.exact("level wanted"))
    doubt = given.small_volume(rough(2.0 * pure.sd))
    sentence = (
        f"{given.volume(pure.value)} of distilled water, give or take {doubt}, and "
        f"{given.volume(total.value - pure.value)} of your own; every ion falls alike."
    )
    return Reply(sentence, (Labelled("distilled water", pure),))


def _mix_ions(given: Given) -> Reply:
    names = ("first volume", "first level", "second volume", "second level")

    def level(first_l: float, first: float, second_l: float, second: float) -> float:
        one, other = Water(calcium=first), Water(calcium=second)
        return water_chemistry.mixed(one, first_l, other, second_l).calcium

    both = propagate(level, *(given.measured(name) for name in names))
    result = Result(both.value, both.sd, "mg/L", "mixing")
    sentence = f"{figure(both.value, 0)} milligrams per litre, give or take {figure(2.0 * both.sd, 0)}."
    return Reply(sentence, (Labelled("level", result),))


def _mash_ph(given: Given) -> Reply:
    read = Measured(given.exact("ph"), _PH_SD)
    result = water_chemistry.ph_at_room_temperature(read, given.exact("temperature of the sample"))
    sentence = (
        f"{figure(result.value, 2)} at room temperature, give or take {figure(2.0 * result.sd, 1)}; "
        f"targets are for that."
    )
    return Reply(
        sentence, (Labelled("ph", result),), "Cool the sample first: hot wort scalds, and spoils the electrode."
    )


WATER: Final[dict[str, Method]] = {
    "salts": Method(_salts, water_chemistry.with_salts),
    "salts for a profile": Method(_profile, water_salts.salts_for_profile),
    "salt for an ion": Method(_salt_for_ion, water_chemistry.salt_for_ion),
    "distilled water": Method(_distilled, water_salts.pure_water_l),
    "mix ions": Method(_mix_ions, water_chemistry.mixed),
    "mash ph": Method(_mash_ph, water_chemistry.ph_at_room_temperature),
}
