"""Refusals of the calculation in the units that this brewer thinks in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from assistant.calculation import scales
from assistant.calculation.carbonation import PSI_PA
from assistant.day.plan import UnitChoice
from assistant.quantities import OutsideRange, Shown, Unit, from_core

# A depth on a stick or the width of a kettle below, an altitude above.
_LONGEST_DEPTH_M: Final = 3.0
_BAR_PA: Final = 1e5
_MINUTE_S: Final = 60.0
_US_FACTORS: Final[dict[str, tuple[str, float]]] = {
    Unit.METRE: ("ft", 1.0 / 0.3048),
    "L/h": ("gal/h", from_core(1.0, Unit.US_GALLON)),
    "L/min": ("gal/min", from_core(1.0, Unit.US_GALLON)),
    "L/kg": ("qt/lb", from_core(1.0, Unit.US_QUART) / from_core(1.0, Unit.POUND)),
}
# Below a pound or half a kilogram the smaller unit reads better.
_LEAST_LARGE_KG: Final = 0.45

_Convert = Callable[[float], float]


def refusal_in_units(refusal: OutsideRange, choice: UnitChoice) -> str:
    """The sentence of `refusal` with its values in the units of `choice`; those without a counterpart stay."""
    largest: dict[str, float] = {}
    for shown in refusal.shown.values():
        largest[shown.unit] = max(largest.get(shown.unit, 0.0), abs(shown.value))
    return refusal.told(
        {name: _converted(shown, largest[shown.unit], choice) for name, shown in refusal.shown.items()}
    )


def _converted(shown: Shown, largest: float, choice: UnitChoice) -> Shown:
    """`shown` in the brewer's unit; all values of one unit get the same, by the `largest` of them."""
    unit, convert = _counterpart(shown.unit, largest, choice)
    try:
        return Shown(convert(shown.value), unit)
    except OutsideRange:
        # A gravity that no degrees Plato belong to.
        return shown


def _counterpart(unit: str, largest: float, choice: UnitChoice) -> tuple[str, _Convert]:
    if unit == Unit.SPECIFIC_GRAVITY:
        places = 1 if choice.gravity in (Unit.PLATO, Unit.BRIX) else 3
        return choice.gravity, lambda sg: round(scales.sg_to(sg, choice.gravity), places)
    chosen: dict[str, Unit] = {
        Unit.CELSIUS: choice.temperature,
        Unit.LITRE: choice.volume,
        Unit.KILOGRAM: choice.large_mass if largest >= _LEAST_LARGE_KG else choice.small_mass,
        Unit.METRE: choice.depth if largest < _LONGEST_DEPTH_M else Unit.METRE,
        Unit.SECOND: Unit.MINUTE if largest >= _MINUTE_S else Unit.SECOND,
    }
    fahrenheit, us = choice.temperature is Unit.FAHRENHEIT, choice.volume is Unit.US_GALLON
    sign, factor = unit, 1.0
    if unit == "K":
        sign, factor = (Unit.FAHRENHEIT, 1.8) if fahrenheit else (Unit.CELSIUS, 1.0)
    elif unit == "Pa":
        sign, factor = ("psi", 1.0 / PSI_PA) if us else ("bar", 1.0 / _BAR_PA)
    elif us and unit in _US_FACTORS and chosen.get(unit, unit) == unit:
        sign, factor = _US_FACTORS[unit]
    elif unit in chosen:
        to = chosen[unit]
        return to, lambda value: from_core(value, to)
    return sign, lambda value: factor * value
