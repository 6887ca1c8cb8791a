"""Figures and unit signs of a written sentence as words, so that a voice reads it as a brewer would."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

from assistant.phrasing import numbers

# "in" is left out: behind a number it is as often a word as inches.
_SIGNS: Final = {
    "°C": "celsius",
    "°F": "fahrenheit",
    "°P": "plato",
    "°Bx": "brix",
    "SG": "",
    "L": "litres",
    "gal": "gallons",
    "qt": "quarts",
    "cm": "centimetres",
    "mm": "millimetres",
    "kg": "kilograms",
    "oz": "ounces",
    "lb": "pounds",
    "min": "minutes",
    "mL": "millilitres",
    "g": "grams",
    "m": "metres",
    "ft": "feet",
    "s": "seconds",
    "K": "degrees",
    "W": "watts",
    "kW": "kilowatts",
    "Pa": "pascal",
    "psi": "psi",
    "mg/L": "milligrams per litre",
    "g/L": "grams per litre",
    "L/h": "litres an hour",
    "gal/h": "gallons an hour",
    "L/min": "litres a minute",
    "gal/min": "gallons a minute",
    "W/K": "watts per kelvin",
    "kg/s": "kilograms a second",
    "bar": "bar",
    "L°/kg": "litre degrees per kilogram",
    "L/kg": "litres per kilogram",
    "qt/lb": "quarts per pound",
    "m³": "cubic metres",
    "%": "per cent",
    "10⁹ cells": "billion cells",
    "10⁹ per g": "billion per gram",
    "10⁹ per mL": "billion per millilitre",
    "PU": "pasteurisation units",
    "L/mol": "litres per mole",
}
_ANY_SIGN: Final = "|".join(re.escape(sign) for sign in sorted(_SIGNS, key=len, reverse=True))
_QUANTITY: Final = re.compile(rf"(?<!\w)(-?\d+(?:\.\d+)?)(?: ?({_ANY_SIGN})(?![\w/]))?")
_MANY: Final = 1_000_000


def speakable(text: str) -> str:
    """`text` with its numbers and the unit signs behind them as words.

    >>> speakable("150 °C is outside -5 to 106.5 °C")
    'one hundred and fifty celsius is outside minus five to one hundred and six point five celsius'
    """
    return _QUANTITY.sub(_in_words, text)


def _in_words(found: re.Match[str]) -> str:
    value, sign = Decimal(found[1]), found[2]
    exponent = value.normalize().as_tuple().exponent
    places = max(0, -exponent) if isinstance(exponent, int) else 0
    if abs(value) >= _MANY:
        number = "over a million"
    else:
        number = numbers.decimal_words(abs(value), places) if places else numbers.cardinal(int(abs(value)))
    unit = f" {_SIGNS[sign]}" if sign and _SIGNS[sign] else ""
    return f"{'minus ' if value < 0 else ''}{number}{unit}"
