"""Units of the trade and their conversion; pint lives here and nowhere deeper.

The core computes with floats in one unit each: degrees Celsius, litres, kilograms,
metres, seconds, and specific gravity at 20/20 °C. A name carries its unit
(`volume_l`, `temperature_c`). Gravity scales other than specific gravity and points
need a density model and are converted in `calculation.scales`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

import pint

_REGISTRY: Final[pint.UnitRegistry[Any]] = pint.UnitRegistry(cache_folder=None)


class Dimension(StrEnum):
    """What a unit measures."""

    GRAVITY = "gravity"
    TEMPERATURE = "temperature"
    VOLUME = "volume"
    LENGTH = "length"
    MASS = "mass"
    DURATION = "duration"
    PH = "ph"


class Unit(StrEnum):
    """A unit a brewer says or writes; the value is the short form shown."""

    SPECIFIC_GRAVITY = "SG"
    POINTS = "points"
    PLATO = "°P"
    BRIX = "°Bx"
    CELSIUS = "°C"
    FAHRENHEIT = "°F"
    LITRE = "L"
    MILLILITRE = "mL"
    US_GALLON = "gal"
    US_QUART = "qt"
    METRE = "m"
    CENTIMETRE = "cm"
    MILLIMETRE = "mm"
    INCH = "in"
    KILOGRAM = "kg"
    GRAM = "g"
    OUNCE = "oz"
    POUND = "lb"
    SECOND = "s"
    MINUTE = "min"
    HOUR = "h"
    DAY = "d"
    PH = "pH"


# unit -> (dimension, pint's name; None where pint has no part in it)
_UNITS: Final[dict[Unit, tuple[Dimension, str | None]]] = {
    Unit.SPECIFIC_GRAVITY: (Dimension.GRAVITY, None),
    Unit.POINTS: (Dimension.GRAVITY, None),
    Unit.PLATO: (Dimension.GRAVITY, None),
    Unit.BRIX: (Dimension.GRAVITY, None),
    Unit.CELSIUS: (Dimension.TEMPERATURE, "degC"),
    Unit.FAHRENHEIT: (Dimension.TEMPERATURE, "degF"),
    Unit.LITRE: (Dimension.VOLUME, "liter"),
    Unit.MILLILITRE: (Dimension.VOLUME, "milliliter"),
    Unit.US_GALLON: (Dimension.VOLUME, "US_liquid_gallon"),
    Unit.US_QUART: (Dimension.VOLUME, "US_liquid_quart"),
    Unit.METRE: (Dimension.LENGTH, "meter"),
    Unit.CENTIMETRE: (Dimension.LENGTH, "centimeter"),
    Unit.MILLIMETRE: (Dimension.LENGTH, "millimeter"),
    Unit.INCH: (Dimension.LENGTH, "inch"),
    Unit.KILOGRAM: (Dimension.MASS, "kilogram"),
    Unit.GRAM: (Dimension.MASS, "gram"),
    Unit.OUNCE: (Dimension.MASS, "ounce"),
    Unit.POUND: (Dimension.MASS, "pound"),
    Unit.SECOND: (Dimension.DURATION, "second"),
    Unit.MINUTE: (Dimension.DURATION, "minute"),
    Unit.HOUR: (Dimension.DURATION, "hour"),
    Unit.DAY: (Dimension.DURATION, "day"),
    Unit.PH: (Dimension.PH, None),
}

# The one unit that the core computes in, for each dimension.
CORE_UNIT: Final[dict[Dimension, Unit]] = {
    Dimension.GRAVITY: Unit.SPECIFIC_GRAVITY,
    Dimension.TEMPERATURE: Unit.CELSIUS,
    Dimension.VOLUME: Unit.LITRE,
    Dimension.LENGTH: Unit.METRE,
    Dimension.MASS: Unit.KILOGRAM,
    Dimension.DURATION: Unit.SECOND,
    Dimension.PH: Unit.PH,
}


def dimension_of(unit: Unit) -> Dimension:
    """Tell what `unit` measures."""
    return _UNITS[unit][0]


def convert(value: float, unit: Unit, to: Unit) -> float:
    """Convert `value` from `unit` to `to`.

    Gravity: only specific gravity and points convert here (1.044 is 44 points).

    Raises:
        ValueError: if the units measure different things, or if a gravity scale
            needs a density model (Plato, Brix).

    >>> convert(150.0, Unit.FAHRENHEIT, Unit.CELSIUS)
    65.5556
    >>> convert(5.0, Unit.US_GALLON, Unit.LITRE)
    18.927059
    """
    if unit is to:
        return float(value)
    dimension, pint_name = _UNITS[unit]
    target_dimension, target_name = _UNITS[to]
    if dimension is not target_dimension:
        raise ValueError(f"{unit} measures {dimension}, {to} measures {target_dimension}")
    if unit is Unit.POINTS and to is Unit.SPECIFIC_GRAVITY:
        return 1.0 + value / 1000.0
    if unit is Unit.SPECIFIC_GRAVITY and to is Unit.POINTS:
        return (value - 1.0) * 1000.0
    if pint_name is None or target_name is None:
        raise ValueError(f"{unit} to {to} needs a density model: see calculation.scales")
    return float(_REGISTRY.Quantity(float(value), pint_name).to(target_name).magnitude)


def to_core(value: float, unit: Unit) -> float:
    """Convert `value` to the core's unit of its dimension (°C, L, kg, m, s, SG)."""
    return convert(value, unit, CORE_UNIT[dimension_of(unit)])


def from_core(value: float, unit: Unit) -> float:
    """Convert `value` from the core's unit of its dimension to `unit`."""
    return convert(value, CORE_UNIT[dimension_of(unit)], unit)


@dataclass(frozen=True, slots=True)
class Measured:
    """A value with its standard uncertainty, both in the same unit.

    Raises:
        ValueError: if either is not finite or the uncertainty is negative.
    """

    value: float
    sd: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.sd)) or self.sd < 0:
            raise ValueError(f"a measured value needs finite numbers, sd >= 0: not {self.value} ± {self.sd}")


# From here on four figures would bring an exponent.
_MANY: Final = 9_999.5


@dataclass(frozen=True, slots=True)
class Shown:
    """A value of a refusal with the sign of the core's unit ("°C", "L", "SG"; empty for a plain number).

    In a format string it reads "65.5 °C"; with the format "bare" it is the number alone, with "gravity" only the
    sign of specific gravity is left out.

    >>> f"from {Shown(0.0, '°C'):bare} to {Shown(65.5, '°C')}, {Shown(1.05, 'SG'):gravity}"
    'from 0 to 65.5 °C, 1.050'
    """

    value: float
    unit: str = ""

    def __format__(self, form: str) -> str:
        if not math.isfinite(self.value):
            return "a value that is no number"
        number = f"{self.value:.0f}" if abs(self.value) >= _MANY else f"{self.value:.4g}"
        number = f"{self.value:.3f}" if self.unit == Unit.SPECIFIC_GRAVITY else number
        left_out = form == "bare" or (form == "gravity" and self.unit == Unit.SPECIFIC_GRAVITY)
        return number if left_out or not self.unit else f"{number} {self.unit}"


class OutsideRange(ValueError):  # noqa: N818 - it is the brewer's reading that is outside, not our error
    """A formula was asked beyond the range where it holds; the message carries the limit.

    sentence: what is told, with `shown` in it by their names ("{limit}"); without `shown` it is told as it stands.
    So that whoever tells it can have the values in the brewer's own units.

    >>> str(OutsideRange("At most {limit}, not {value}.", limit=Shown(5.0, "L"), value=Shown(7.25, "L")))
    'At most 5 L, not 7.25 L.'
    """

    def __init__(self, sentence: str, **shown: Shown) -> None:
        super().__init__(sentence.format(**shown) if shown else sentence)
        self.sentence, self.shown = sentence, shown

    def told(self, converted: Mapping[str, Shown]) -> str:
        """The sentence with `converted` in place of the values of the same names."""
        return self.sentence.format(**{**self.shown, **converted}) if self.shown else self.sentence
