"""Units of questions: those of readings, and those that no instrument at the kettle shows."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from assistant.quantities import Dimension, Unit, dimension_of
from assistant.understanding.phrases import DEGREES, SPOKEN_UNITS, TYPED_DEGREES, TYPED_UNITS


class Measure(StrEnum):
    """What a value of a question measures."""

    GRAVITY = "gravity"
    TEMPERATURE = "temperature"
    VOLUME = "volume"
    MASS = "mass"
    ALTITUDE = "altitude"
    DURATION = "duration"
    CARBONATION = "carbonation"
    PRESSURE = "pressure"
    SHARE = "share"
    POWER = "power"
    RATE = "rate"
    LEVEL = "level"
    STRENGTH = "strength"
    NUMBER = "number"
    PH = "ph"
    CELLS = "cells"
    COLOUR = "colour"
    ROOM = "room"
    UNITS = "pasteurisation units"
    FLOW = "flow"
    CONDUCTANCE = "conductance"
    THICKNESS = "thickness"
    POTENTIAL = "potential"


class AskedUnit(StrEnum):
    """A unit that is asked with and never read; the value is the short form shown."""

    FOOT = "ft"
    VOLUMES = "volumes"
    PSI = "psi"
    BAR = "bar"
    KILOPASCAL = "kPa"
    PER_CENT = "%"
    WATT = "W"
    KILOWATT = "kW"
    LITRE_PER_HOUR = "L/h"
    GALLON_PER_HOUR = "gal/h"
    MILLIGRAM_PER_LITRE = "mg/L"
    GRAM_PER_LITRE = "g/L"
    OUNCE_PER_GALLON = "oz/gal"
    FLUID_OUNCE = "fl oz"
    WEEK = "weeks"
    MONTH = "months"
    BILLION = "billion"
    SRM = "SRM"
    EBC = "EBC"
    LOVIBOND = "°L"
    CUBIC_METRE = "m³"
    CUBIC_FOOT = "ft³"
    PASTEURISATION_UNIT = "PU"
    LITRE_PER_MINUTE = "L/min"
    GALLON_PER_MINUTE = "gal/min"
    BTU_PER_HOUR = "BTU/h"
    WATT_PER_KELVIN = "W/K"
    HECTOPASCAL = "hPa"
    INCH_OF_MERCURY = "inHg"
    LITRE_PER_KILOGRAM = "L/kg"
    QUART_PER_POUND = "qt/lb"
    POINT_GALLON_PER_POUND = "points/lb/gal"
    LITRE_DEGREE_PER_KILOGRAM = "L°/kg"
    NUMBER = ""


_ASKED: Final[dict[AskedUnit, tuple[Measure, tuple[str, ...]]]] = {
    AskedUnit.FOOT: (Measure.ALTITUDE, ("feet", "foot", "ft")),
    AskedUnit.VOLUMES: (Measure.CARBONATION, ("volumes", "volume", "vols", "volumes of gas", "volumes of co 2")),
    AskedUnit.PSI: (Measure.PRESSURE, ("psi", "p s i", "pounds per square inch")),
    AskedUnit.BAR: (Measure.PRESSURE, ("bar", "bars")),
    AskedUnit.KILOPASCAL: (Measure.PRESSURE, ("kilopascals", "kilopascal", "kpa")),
    AskedUnit.PER_CENT: (Measure.SHARE, ("per cent", "percent")),
    AskedUnit.WATT: (Measure.POWER, ("watts", "watt", "w")),
    AskedUnit.KILOWATT: (Measure.POWER, ("kilowatts", "kilowatt", "kw")),
    AskedUnit.LITRE_PER_HOUR: (
        Measure.RATE,
        (
            *("litres an hour", "litres per hour", "liters an hour", "liters per hour", "l per h", "l per hour"),
            *("litre an hour", "l per hr", "lph"),
        ),
    ),
    AskedUnit.GALLON_PER_HOUR: (
        Measure.RATE,
        (
            *("gallons an hour", "gallons per hour", "gallon an hour", "gallon per hour", "gal per h"),
            *("gal per hour", "gal per hr", "gph"),
        ),
    ),
    AskedUnit.MILLIGRAM_PER_LITRE: (
        Measure.LEVEL,
        (
            "milligrams per litre",
            "milligrams a litre",
            "milligrams per liter",
            "parts per million",
            "ppm",
            "mg per l",
        ),
    ),
    AskedUnit.GRAM_PER_LITRE: (
        Measure.STRENGTH,
        ("grams per litre", "grams a litre", "grams per liter", "grams a liter", "g per l"),
    ),
    AskedUnit.OUNCE_PER_GALLON: (
        Measure.STRENGTH,
        (
            "ounces per gallon",
            "ounces a gallon",
            "ounce per gallon",
            "ounce a gallon",
            "oz per gal",
            "oz per gallon",
            "oz a gallon",
        ),
    ),
    AskedUnit.FLUID_OUNCE: (Measure.VOLUME, ("fluid ounces", "fluid ounce", "fl oz")),
    AskedUnit.WEEK: (Measure.DURATION, ("weeks", "week")),
    AskedUnit.MONTH: (Measure.DURATION, ("months", "month")),
    AskedUnit.BILLION: (Measure.CELLS, ("billion cells", "billion", "bn")),
    AskedUnit.SRM: (Measure.COLOUR, ("srm", "s r m")),
    AskedUnit.EBC: (Measure.COLOUR, ("ebc", "e b c")),
    AskedUnit.LOVIBOND: (Measure.COLOUR, ("lovibond", "degrees lovibond")),
    AskedUnit.CUBIC_METRE: (
        Measure.ROOM,
        ("cubic metres", "cubic metre", "cubic meters", "cubic meter", "m 3", "cubic m"),
    ),
    AskedUnit.CUBIC_FOOT: (Measure.ROOM, ("cubic feet", "cubic foot", "cubic ft", "ft 3", "cu ft")),
    AskedUnit.PASTEURISATION_UNIT: (Measure.UNITS, ("pasteurisation units", "units", "unit", "pu")),
    AskedUnit.LITRE_PER_MINUTE: (
        Measure.FLOW,
        ("litres a minute", "litres per minute", "liters a minute", "liters per minute", "l per min", "lpm"),
    ),
    AskedUnit.GALLON_PER_MINUTE: (
        Measure.FLOW,
        ("gallons a minute", "gallons per minute", "gallon a minute", "gal per min", "gpm"),
    ),
    AskedUnit.BTU_PER_HOUR: (Measure.POWER, ("btu", "btus", "btu per hour", "btu an hour", "btu per h")),
    AskedUnit.WATT_PER_KELVIN: (Measure.CONDUCTANCE, ("watts per kelvin", "watts a kelvin", "w per k")),
    AskedUnit.HECTOPASCAL: (
        Measure.PRESSURE,
        ("hectopascals", "hectopascal", "hpa", "millibars", "millibar", "mbar"),
    ),
    AskedUnit.INCH_OF_MERCURY: (Measure.PRESSURE, ("inches of mercury", "inhg", "in hg")),
    AskedUnit.LITRE_PER_KILOGRAM: (
        Measure.THICKNESS,
        (
            *("litres a kilo", "litres per kilo", "litres to a kilo", "litres a kilogram", "litres per kilogram"),
            *("liters per kilogram", "liters per kg", "litres per kg", "l per kg"),
        ),
    ),
    AskedUnit.QUART_PER_POUND: (
        Measure.THICKNESS,
        (
            "quarts a pound",
            "quarts per pound",
            "quarts to a pound",
            "quart a pound",
            "quart per pound",
            "qt per lb",
        ),
    ),
    AskedUnit.POINT_GALLON_PER_POUND: (
        Measure.POTENTIAL,
        ("ppg", "p p g", "points per pound per gallon", "points a pound a gallon", "points per pound"),
    ),
    AskedUnit.LITRE_DEGREE_PER_KILOGRAM: (
        Measure.POTENTIAL,
        ("litre degrees a kilo", "litre degrees per kilo", "litre degrees", "liter degrees per kilogram"),
    ),
}
_SPOKEN_ONLY_HERE: Final[dict[Unit, tuple[str, ...]]] = {
    Unit.METRE: ("metres", "metre", "meters", "meter", "m"),
    Unit.DAY: ("days", "day"),
}
_MEASURE: Final[dict[Dimension, Measure]] = {
    Dimension.GRAVITY: Measure.GRAVITY,
    Dimension.TEMPERATURE: Measure.TEMPERATURE,
    Dimension.VOLUME: Measure.VOLUME,
    Dimension.LENGTH: Measure.ALTITUDE,
    Dimension.MASS: Measure.MASS,
    Dimension.DURATION: Measure.DURATION,
    Dimension.PH: Measure.PH,
}
# A gauge in psi hangs on kegs everywhere, so it tells nothing.
US_UNITS: Final = frozenset(
    {
        *(Unit.FAHRENHEIT, Unit.US_GALLON, Unit.US_QUART, Unit.OUNCE, Unit.POUND, Unit.INCH),
        *(AskedUnit.FOOT, AskedUnit.GALLON_PER_HOUR, AskedUnit.OUNCE_PER_GALLON, AskedUnit.FLUID_OUNCE),
        *(AskedUnit.CUBIC_FOOT, AskedUnit.GALLON_PER_MINUTE, AskedUnit.BTU_PER_HOUR, AskedUnit.INCH_OF_MERCURY),
        *(AskedUnit.QUART_PER_POUND, AskedUnit.POINT_GALLON_PER_POUND),
    }
)
METRIC_UNITS: Final = frozenset(
    {
        *(Unit.CELSIUS, Unit.LITRE, Unit.MILLILITRE, Unit.METRE, Unit.KILOGRAM, Unit.GRAM),
        *(AskedUnit.BAR, AskedUnit.KILOPASCAL, AskedUnit.LITRE_PER_HOUR, AskedUnit.GRAM_PER_LITRE),
        *(AskedUnit.CUBIC_METRE, AskedUnit.LITRE_PER_MINUTE, AskedUnit.HECTOPASCAL, AskedUnit.LITRE_PER_KILOGRAM),
        AskedUnit.LITRE_DEGREE_PER_KILOGRAM,
    }
)


def _unit_phrases() -> dict[tuple[str, ...], Unit | AskedUnit]:
    found: dict[tuple[str, ...], Unit | AskedUnit] = {
        tuple(phrase.split()): unit
        for table in (SPOKEN_UNITS, TYPED_UNITS, _SPOKEN_ONLY_HERE)
        for unit, phrases in table.items()
        for phrase in phrases
    }
    found |= {tuple(phrase.split()): unit for unit, (_, phrases) in _ASKED.items() for phrase in phrases}
    return found


UNIT_PHRASES: Final = _unit_phrases()
# Degrees in the brewer's own scale.
DEGREES_SAID: Final = frozenset((word,) for word in (*DEGREES, *TYPED_DEGREES))


def measure_of(unit: Unit | AskedUnit) -> Measure:
    """Tell what `unit` measures."""
    if isinstance(unit, AskedUnit):
        return Measure.NUMBER if unit is AskedUnit.NUMBER else _ASKED[unit][0]
    return _MEASURE[dimension_of(unit)]
