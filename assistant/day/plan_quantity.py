"""Quantities as a brewer writes them in a plan: "19 L", "152 F", "1.044", "3.5 L/h".

Our own reader, because a general unit parser takes "152 F" for farads and "6,5 gal" for
65 gallons. Only the arithmetic of conversion is left to `quantities`.
"""

from __future__ import annotations

import difflib
import json
import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from assistant.quantities import Dimension, Unit, dimension_of


class FieldMistake(ValueError):  # noqa: N818 - named for the brewer's mistake, not for our error
    """A field cannot be taken: what is wrong with it, and what to write.

    below: positions inside a list, outermost first, that lead to the wrong entry.
    """

    def __init__(self, wrong: str, right: str, below: tuple[int, ...] = ()) -> None:
        super().__init__(f"{wrong}; {right}")
        self.wrong = wrong
        self.right = right
        self.below = below


@dataclass(frozen=True, slots=True)
class Written:
    """A number and its unit, exactly as written; `per` is the time unit of a rate."""

    value: Decimal
    unit: Unit
    per: Unit | None = None

    @property
    def noun(self) -> str:
        """What this measures, with its article."""
        return "a rate" if self.per else DIMENSION_NOUNS[dimension_of(self.unit)]

    def __str__(self) -> str:
        return f"{self.value:f} {self.unit}" + (f"/{self.per}" if self.per else "")


DIMENSION_NOUNS: Final[dict[Dimension, str]] = {
    Dimension.GRAVITY: "a gravity",
    Dimension.TEMPERATURE: "a temperature",
    Dimension.VOLUME: "a volume",
    Dimension.LENGTH: "a length",
    Dimension.MASS: "a mass",
    Dimension.DURATION: "a duration",
    Dimension.PH: "a pH",
}

_SPELLINGS: Final[dict[Unit, str]] = {
    Unit.SPECIFIC_GRAVITY: "sg",
    Unit.POINTS: "points point pts",
    Unit.PLATO: "°p p plato",
    Unit.BRIX: "°bx bx brix",
    Unit.CELSIUS: "°c c celsius degc",
    Unit.FAHRENHEIT: "°f f fahrenheit degf",
    Unit.LITRE: "l litre litres liter liters",
    Unit.MILLILITRE: "ml millilitre millilitres milliliter milliliters",
    Unit.US_GALLON: "gal gallon gallons",
    Unit.US_QUART: "qt quart quarts",
    Unit.METRE: "m metre metres meter meters",
    Unit.CENTIMETRE: "cm centimetre centimetres centimeter centimeters",
    Unit.MILLIMETRE: "mm millimetre millimetres millimeter millimeters",
    Unit.INCH: "in inch inches",
    Unit.KILOGRAM: "kg kilogram kilograms kilo kilos",
    Unit.GRAM: "g gram grams",
    Unit.OUNCE: "oz ounce ounces",
    Unit.POUND: "lb lbs pound pounds",
    Unit.SECOND: "s sec second seconds",
    Unit.MINUTE: "min minute minutes",
    Unit.HOUR: "h hr hour hours",
    Unit.DAY: "d day days",
    Unit.PH: "ph",
}

# spelling in lower case -> (unit, how many of it); a foot is twelve inches, exactly
UNIT_WORDS: Final[dict[str, tuple[Unit, int]]] = {
    **{word: (unit, 1) for unit, words in _SPELLINGS.items() for word in words.split()},
    **dict.fromkeys(("ft", "foot", "feet"), (Unit.INCH, 12)),
}

_NUMBER: Final = re.compile(r"\s*([+-]?\s?(?:\d+(?:\.\d+)?|\.\d+))(?![\d.])\s*(.*?)\s*", re.ASCII | re.DOTALL)
_MOST_DIGITS: Final = 12
_LONGEST_SHOWN: Final = 36


def shown(value: object) -> str:
    """A value of a plan as one short piece of a sentence."""
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and value.bit_length() > 64:
        return "a huge number"  # Python refuses to write out the longest ones
    if isinstance(value, str):
        return json.dumps(
            value if len(value) <= _LONGEST_SHOWN else value[:_LONGEST_SHOWN] + "...", ensure_ascii=False
        )
    return str(value)


def split_number(text: str, right: str) -> tuple[Decimal, str]:
    """Split "19 L" into the exact number and the words after it.

    Raises:
        FieldMistake: if `text` does not begin with a plain decimal number.
    """
    cleaned = text.replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ")
    if not cleaned.strip():
        raise FieldMistake(f"{shown(text)} is empty", right)
    if re.search(r"\d\s*,\s*\d", cleaned):
        raise FieldMistake(f"{shown(text)} has a comma in its number", f"{right}, with a decimal point")
    if re.search(r"\d\s*[/⁄]\s*\d|[¼½¾⅛⅓⅔]", cleaned):
        raise FieldMistake(f"{shown(text)} has a fraction", f"{right}, with decimals")
    found = _NUMBER.fullmatch(cleaned)
    if not found:
        raise FieldMistake(f"{shown(text)} does not begin with a number", right)
    digits = re.sub(r"\s", "", found[1])
    if len(digits) > _MOST_DIGITS:
        raise FieldMistake(f"{shown(text)} has too many digits", right)
    return Decimal(digits), found[2]


def find_unit(word: str) -> tuple[Unit, int] | None:
    """The unit that `word` spells and how many of it, or None; capitals do not matter."""
    return UNIT_WORDS.get(re.sub(r"^(°|deg\s)\s*", "°", word.strip().lower()))


def near_unit(word: str, *dimensions: Dimension) -> str | None:
    """The spelling that a mistyped unit was most likely meant to be; only units of `dimensions`, when given."""
    known = [text for text, (unit, _) in UNIT_WORDS.items() if not dimensions or dimension_of(unit) in dimensions]
    return next(
        iter(difflib.get_close_matches(word.lower(), [text for text in known if len(text) > 1], 1, 0.75)), None
    )


def read_written(text: str, right: str) -> Written:
    """Read a number with a unit, or a rate such as "3.5 L/h".

    Raises:
        FieldMistake: no number, no unit, or a unit that is not known; `right` tells what to write.
    """
    value, words = split_number(text, right)
    if not words:
        raise FieldMistake(f"{shown(text)} has no unit", right)
    word, slash, per_word = (part.strip() for part in re.sub(r"\bper\b", "/", words).partition("/"))
    unit, times = _known_unit(word, text, right)
    per = _known_unit(per_word, text, right)[0] if slash else None
    if per is not None and dimension_of(per) is not Dimension.DURATION:
        raise FieldMistake(f"{shown(text)} is not per hour or minute", right)
    return Written(value * times, unit, per)


def _known_unit(word: str, text: str, right: str) -> tuple[Unit, int]:
    found = find_unit(word)
    if found is None:
        near = near_unit(word)
        hint = f', the nearest is "{near}"' if near else ""
        raise FieldMistake(f"{shown(text)} has the unknown unit {shown(word)}{hint}", right)
    return found
