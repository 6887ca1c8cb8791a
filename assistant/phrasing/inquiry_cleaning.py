"""Answers to questions of cleaning, sanitising and blending."""

from __future__ import annotations

from typing import Final

from assistant.calculation import dilution, mixing
from assistant.calculation.limits import require_positive
from assistant.calculation.results import Result
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, rough
from assistant.quantities import Measured

_LABEL: Final = "Goggles and gloves; the label decides; never mix two products."
_POWDER: Final = "Goggles and gloves; caustic and acid go into water, never the reverse."
_ACID: Final = "Goggles and gloves; acid and caustic go slowly into water, never the reverse."
_CHLORINE: Final = "Goggles and gloves; never with acid or a cleaner: chlorine gas poisons."
_MG_PER_L_IN_A_PERCENT: Final = 10_000.0


def _of_concentrate(given: Given, result: Result, what: str, caution: str) -> Reply:
    sentence = (
        f"{given.small_volume(result.value)} of {what}, give or take {given.small_volume(rough(2.0 * result.sd))}, "
        f"made up with water."
    )
    return Reply(sentence, (Labelled(what, result),), caution)


def _sanitiser(given: Given) -> Reply:
    result = dilution.dose_by_ratio(given.measured("volume of solution"), given.exact("parts of water"))
    return _of_concentrate(given, result, "concentrate", _LABEL)


def _label_dose(given: Given) -> Reply:
    dose, water = given.exact("dose on the label"), given.exact("water on the label")
    require_positive("The dose on the label", dose, "L")
    result = dilution.dose_by_ratio(given.measured("volume of solution"), water / dose)
    return _of_concentrate(given, result, "concentrate", _LABEL)


def _cleaner(given: Given) -> Reply:
    result = dilution.dose_by_mass(given.measured("volume of solution"), given.exact("strength"))
    small = given.plan.units.small_mass
    doubt = given.small_mass(2.0 * result.sd, small)
    sentence = f"{given.small_mass(result.value, small)} of powder, give or take {doubt}."
    return Reply(sentence, (Labelled("powder", result),), f"{_POWDER} The label decides.")


def _stock(given: Given) -> Reply:
    stock = given.measured("strength of the stock")
    result = dilution.dose_by_strength(
        given.measured("volume of solution"),
        Measured(100.0 * stock.value, 100.0 * stock.sd),
        100.0 * given.exact("strength wanted"),
    )
    return _of_concentrate(given, result, "stock", _ACID)


def _parts_per_million(given: Given) -> Reply:
    stock = given.measured("strength of the stock")
    result = dilution.dose_by_strength(
        given.measured("volume of solution"),
        Measured(100.0 * stock.value, 100.0 * stock.sd),
        given.exact("strength wanted") / _MG_PER_L_IN_A_PERCENT,
    )
    return _of_concentrate(given, result, "stock", _CHLORINE)


def _blend_to(given: Given) -> Reply:
    second = mixing.litres_to_reach(
        given.measured("volume of wort"),
        given.measured("gravity now"),
        given.measured("gravity of the second wort"),
        given.exact("gravity wanted"),
    )
    sentence = f"{given.volume(second.value)} of it, give or take {given.small_volume(rough(2.0 * second.sd))}."
    return Reply(sentence, (Labelled("second wort", second),))


CLEANING: Final[dict[str, Method]] = {
    "sanitiser": Method(_sanitiser, dilution.dose_by_ratio),
    "label dose": Method(_label_dose, dilution.dose_by_ratio),
    "cleaner": Method(_cleaner, dilution.dose_by_mass),
    "stock": Method(_stock, dilution.dose_by_strength),
    "parts per million": Method(_parts_per_million, dilution.dose_by_strength),
    "blend to": Method(_blend_to, mixing.litres_to_reach),
}
