"""Quantities of the core as words in the brewer's own units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from assistant.calculation import scales
from assistant.day.calls import AdditionGroup
from assistant.day.plan import Addition, AdditionKind, AdditionTime, Amount, Plan
from assistant.phrasing import numbers
from assistant.quantities import Dimension, Unit, dimension_of, from_core

_KIND_WORDS: Final = {
    AdditionKind.HOP: "hops",
    AdditionKind.FININGS: "finings",
    AdditionKind.NUTRIENT: "yeast nutrient",
    AdditionKind.SUGAR: "sugar",
}


def temperature(temperature_c: float, plan: Plan, *, tenths: bool = False) -> str:
    """A temperature, without its unit, as brewers say it: "sixty-six"."""
    value = from_core(temperature_c, plan.units.temperature)
    return numbers.temperature_words(round(value, 1 if tenths else 0))


def gravity(gravity_sg: float, plan: Plan) -> str:
    """A gravity: "ten forty-four", or "eleven point two plato" where the plan thinks in Plato."""
    if plan.units.gravity is Unit.PLATO:
        return numbers.gravity_in(round(scales.plato_from_sg(gravity_sg), 1), Unit.PLATO)
    return numbers.gravity_words(round(gravity_sg, 3))


def gravity_difference(difference_sg: float, plan: Plan) -> str:
    """The size of a difference of gravity: "six" (points), or "one point five plato"."""
    if plan.units.gravity is Unit.PLATO:
        # Near beer strength four points are a degree Plato.
        return numbers.gravity_in(round(abs(difference_sg) * 250.0, 1), Unit.PLATO)
    return numbers.cardinal(round(abs(difference_sg) * 1000.0))


def give_or_take(sd_sg: float, plan: Plan) -> str:
    """Two standard uncertainties of a gravity, at least the smallest step spoken."""
    if plan.units.gravity is Unit.PLATO:
        return numbers.decimal_words(max(0.1, round(2.0 * sd_sg * 250.0, 1)), 1)
    return numbers.cardinal(max(1, round(2.0 * sd_sg * 1000.0)))


def volume(volume_l: float, plan: Plan) -> str:
    """A volume: "twenty-six point two litres"."""
    unit = plan.units.volume
    # Hundredths, so that a quarter of a gallon is seen as one.
    return numbers.volume_words(round(from_core(volume_l, unit), 2), unit)


def mass(mass_kg: float, plan: Plan) -> str:
    """A mass in the smaller or the larger unit, whichever reads better."""
    large = plan.units.large_mass
    if from_core(mass_kg, large) >= 1.0:
        return numbers.mass_words(round(from_core(mass_kg, large), 1), large)
    small = plan.units.small_mass
    value = from_core(mass_kg, small)
    return numbers.mass_words(float(round(value / 5.0) * 5) if small is Unit.GRAM else round(value, 1), small)


def amount(quantity: Amount) -> str:
    """An amount in the plan's own words: "twenty-two grams", "one tablet"."""
    if quantity.unit is None:
        count = numbers.decimal_words(float(quantity.value), 1)
        return f"{count} {quantity.counted}".strip()
    if dimension_of(quantity.unit) is Dimension.VOLUME:
        return numbers.volume_words(float(quantity.value), quantity.unit)
    return numbers.mass_words(float(quantity.value), quantity.unit)


def hop_mass(mass_kg: float, plan: Plan) -> str:
    """A mass of hops as the brewer's scale shows it: "seven grams", "half an ounce"."""
    unit = plan.units.small_mass
    return numbers.mass_words(round(from_core(mass_kg, unit), 2), unit)


def addition(item: Addition, plan: Plan, more_kg: float = 0.0) -> str:
    """One addition with its amount: "twenty-two grams of bittering hops", and what was agreed beyond the plan."""
    text = f"{amount(item.amount)} of {item.what}"
    if more_kg > 0.0:
        return f"{text}, and {hop_mass(more_kg, plan)} more to make up"
    return f"{text}, less {hop_mass(-more_kg, plan)}" if more_kg < 0.0 else text


def group_name(group: AdditionGroup) -> str:
    """How a group of additions is called for short: "fifty-five-minute hops"."""
    kind = group.additions[0].kind
    what = "hops" if group.has_hops else _KIND_WORDS.get(kind, group.additions[0].what)
    match group.time:
        case AdditionTime.FIRST_WORT:
            return f"first-wort {what}"
        case AdditionTime.HOP_STAND:
            return f"hop-stand {what}"
        case _ if not group.minutes:
            return f"knockout {what}"
        case _:
            return f"{numbers.cardinal(round(group.minutes))}-minute {what}"


def group_contents(group: AdditionGroup, plan: Plan, made_up_kg: Mapping[int, float]) -> str:
    """Everything in a group with its amount; `made_up_kg` is what was agreed beyond the plan, by place in it."""
    return ", and ".join(
        addition(item, plan, made_up_kg.get(plan.additions.index(item), 0.0)) for item in group.additions
    )
