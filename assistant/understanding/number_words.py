"""Number words as brewers say them, and their exact values.

Three readers share the tables at the top:

- `plain_number` reads an amount: "one fifty-two" is 152, "seven and a quarter" is 7.25, "six zero" is 60.
- `gravity_number` reads a specific gravity by its shape: "ten forty-four", "one point oh four four",
  "one oh four four", "nine ninety-eight". The shape tells it from every other amount.
- `digit_string` reads single digits and nothing else.

Each gives one value or None; none of them chooses between two. What can be cut in two ways ("ten
twenty one sixty") is cut by `readings`, which keeps both.

Values are scaled integers put into a Decimal, so they are exact. The one exception is a third, which
no Decimal holds: it is taken to three places, which is finer than any stick or scale at the kettle.

A spoken specific gravity needs all three places: "one point oh four" is no gravity, because an ear
that swallowed a digit of "one point oh four four" would hand over the same words. A typed 1.04 is
taken as 1.040, since a keyboard swallows nothing.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Final

DIGITS: Final[dict[str, int]] = {
    "zero": 0,
    "oh": 0,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
}
TEENS: Final[dict[str, int]] = {
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
}
TENS: Final[dict[str, int]] = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
HUNDRED: Final = "hundred"
THOUSAND: Final = "thousand"
POINT: Final = "point"
MINUS: Final = "minus"
AND: Final = "and"
# After "and", or alone: "seven and a quarter", "three quarters".
FRACTIONS: Final[dict[tuple[str, ...], Decimal]] = {
    ("a", "half"): Decimal("0.5"),
    ("a", "quarter"): Decimal("0.25"),
    ("three", "quarters"): Decimal("0.75"),
    ("a", "third"): Decimal("0.333"),
    ("two", "thirds"): Decimal("0.667"),
}
# Only in front of a unit: "half a gallon", "an hour", "half an ounce".
BEFORE_A_UNIT: Final[dict[tuple[str, ...], Decimal]] = {
    ("a",): Decimal(1),
    ("an",): Decimal(1),
    ("half", "a"): Decimal("0.5"),
    ("half", "an"): Decimal("0.5"),
    ("a", "quarter", "of", "a"): Decimal("0.25"),
    ("a", "quarter", "of", "an"): Decimal("0.25"),
    ("three", "quarters", "of", "a"): Decimal("0.75"),
    ("three", "quarters", "of", "an"): Decimal("0.75"),
}

# Words that one ear in two takes for each other. A teen and its ten differ in one unstressed
# syllable, so these are the pairs that count; the others are what our own ear was measured to mix up.
TEEN_AND_TEN: Final[tuple[tuple[str, str], ...]] = (
    ("thirteen", "thirty"),
    ("fourteen", "forty"),
    ("fifteen", "fifty"),
    ("sixteen", "sixty"),
    ("seventeen", "seventy"),
    ("eighteen", "eighty"),
    ("nineteen", "ninety"),
)
OTHER_PAIRS: Final[tuple[tuple[str, str], ...]] = (
    ("five", "nine"),
    ("oh", "four"),
    ("two", "three"),
    ("three", "eight"),
    ("eight", "nine"),
    ("four", "forty"),
    ("five", "fifty"),
    ("six", "sixty"),
    ("seven", "seventy"),
    ("eight", "eighty"),
    ("nine", "ninety"),
)

# What counts as the shape of a specific gravity, in thousandths: wider than what is possible, so that
# an impossible gravity is refused as a gravity.
GRAVITY_SHAPE: Final = range(900, 1300)
_MOST_DECIMALS: Final = 3
_MOST_DIGITS: Final = 4
_NUMERAL: Final = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+", re.ASCII)


def is_numeral(token: str) -> bool:
    """Whether `token` is a number in figures ("60", "1.044", ".5")."""
    return _NUMERAL.fullmatch(token) is not None


def below_hundred(words: Sequence[str]) -> int | None:
    """Value 0-99 of a digit, a teen, a ten, or a ten with a digit; "oh" alone is none."""
    if len(words) == 1:
        word = words[0]
        if word == "oh":
            return None
        return DIGITS.get(word, TEENS.get(word, TENS.get(word)))
    if len(words) == 2 and words[0] in TENS and DIGITS.get(words[1], 0) > 0:
        return TENS[words[0]] + DIGITS[words[1]]
    return None


def digit_string(words: Sequence[str]) -> str | None:
    """Figures of single digits ("one five" -> "15"), or of numerals without a point ("1 5", "15")."""
    if not words:
        return None
    figures = ""
    for word in words:
        if word in DIGITS:
            figures += str(DIGITS[word])
        elif word.isascii() and word.isdigit():
            figures += word
        else:
            return None
    return figures


def _spoken_digits(words: Sequence[str]) -> str | None:
    if not words or not all(word in DIGITS for word in words):
        return None
    return "".join(str(DIGITS[word]) for word in words)


def _after_and(words: Sequence[str]) -> Sequence[str]:
    return words[1:] if len(words) > 1 and words[0] == AND else words


def _hundreds(words: Sequence[str]) -> int | None:
    """Value of "a hundred", "one hundred and fifty-two", "eleven hundred"; 100-9999."""
    place = words.index(HUNDRED)
    front, back = words[:place], words[place + 1 :]
    count = 1 if tuple(front) == ("a",) else below_hundred(front)
    if not count:
        return None
    if not back:
        return count * 100
    rest = below_hundred(_after_and(back))
    return count * 100 + rest if rest else None


def _thousands(words: Sequence[str]) -> int | None:
    """Value of "a thousand", "one thousand and four", "one thousand one hundred and ten"; 1000-9999."""
    place = words.index(THOUSAND)
    front, back = words[:place], words[place + 1 :]
    count = 1 if tuple(front) == ("a",) else below_hundred(front)
    if not count or count > 9:
        return None
    if not back:
        return count * 1000
    tail = _after_and(back)
    rest = _hundreds(tail) if HUNDRED in tail else below_hundred(tail)
    return count * 1000 + rest if rest and rest < 1000 else None


def _short_hundreds(words: Sequence[str]) -> int | None:
    """Value of "one fifty-two", "two twelve", "nine ninety-eight"; 110-999."""
    if len(words) not in (2, 3) or not DIGITS.get(words[0], 0):
        return None
    rest = below_hundred(words[1:])
    return DIGITS[words[0]] * 100 + rest if rest is not None and rest >= 10 else None


def whole_number(words: Sequence[str]) -> int | None:
    """Value of a spoken whole number, 0-9999, in any of the forms, also digit by digit; None if it is none."""
    if THOUSAND in words:
        return _thousands(words)
    if HUNDRED in words:
        return _hundreds(words)
    small = below_hundred(words)
    if small is not None:
        return small
    digits = _spoken_digits(words)
    if digits is not None:
        return int(digits) if 1 < len(digits) <= _MOST_DIGITS and digits[0] != "0" else None
    return _short_hundreds(words)


def _with_point(words: Sequence[str]) -> Decimal | None:
    place = words.index(POINT)
    front, back = words[:place], words[place + 1 :]
    count = 0 if tuple(front) in ((), ("oh",)) else whole_number(front)
    digits = _spoken_digits(back)
    if count is None or digits is None or len(digits) > _MOST_DECIMALS:
        return None
    return Decimal(f"{count}.{digits}")


def plain_number(words: Sequence[str]) -> Decimal | None:
    """Exact value of an amount, or None if the words are no amount as a whole.

    >>> plain_number("one fifty two".split())
    Decimal('152')
    >>> plain_number("seven and a quarter".split())
    Decimal('7.25')
    """
    words = tuple(words)
    if words and words[0] == MINUS:
        value = None if MINUS in words[1:] else plain_number(words[1:])
        return None if value is None else -value
    if words in FRACTIONS:
        return FRACTIONS[words]
    if words == ("half",):
        return Decimal("0.5")
    if len(words) > 3 and words[-3] == AND and words[-2:] in FRACTIONS:
        count = _amount(words[:-3])
        if count is None or count != count.to_integral_value():
            return None
        return count + FRACTIONS[words[-2:]]
    return _amount(words)


def _amount(words: tuple[str, ...]) -> Decimal | None:
    """An amount without sign and without a fraction in words."""
    if len(words) == 1 and is_numeral(words[0]):
        return Decimal(words[0])
    if POINT in words:
        return _with_point(words)
    value = whole_number(words)
    return None if value is None else Decimal(value)


def _places(words: Sequence[str]) -> str | None:
    """Figures after "one" or "one point": three digits, or "oh" and a number of two figures."""
    digits = _spoken_digits(words)
    if digits is not None:
        return digits
    if len(words) > 1 and DIGITS.get(words[0]) == 0:
        rest = below_hundred(words[1:])
        return f"0{rest}" if rest is not None and rest >= 10 else None
    return None


def _thousandths(words: tuple[str, ...]) -> int | None:
    """Specific gravity in thousandths, read by its shape."""
    if POINT in words:
        front, places = words[: words.index(POINT)], _places(words[words.index(POINT) + 1 :])
        lead = {(): 0, ("zero",): 0, ("oh",): 0, ("one",): 1}.get(front)
        return None if lead is None or places is None or len(places) != 3 else lead * 1000 + int(places)
    if HUNDRED in words or THOUSAND in words:
        return whole_number(words)
    if words[0] in ("ten", "eleven") and len(words) > 1:
        return _after_ten(words)
    if words[0] == "one" and len(words) > 2:
        places = _places(words[1:])
        return 1000 + int(places) if places is not None and len(places) == 3 else None
    if words[0] == "nine" and len(words) > 1:
        return whole_number(words)
    return None


def _after_ten(words: tuple[str, ...]) -> int | None:
    """ "ten forty-four", "ten oh four", "eleven ten"; "ten four" is none, it may lack a word."""
    lead, rest = TEENS[words[0]] * 100, words[1:]
    if len(rest) == 2 and DIGITS.get(rest[0]) == 0:
        digit = DIGITS.get(rest[1])
        return lead + digit if digit else None
    value = below_hundred(rest)
    return lead + value if value is not None and value >= 10 else None


def _typed_gravity(words: tuple[str, ...]) -> Decimal | None:
    """ "1.044", "1.04", "1044", "998", or the two halves "10 44"."""
    if len(words) == 2:
        if words[0] not in ("10", "11") or len(words[1]) != 2 or not words[1].isdigit():
            return None
        return Decimal(int(words[0] + words[1])).scaleb(-3)
    if len(words) != 1:
        return None
    whole, point, places = words[0].partition(".")
    if point:
        return Decimal(words[0] + "0" * (3 - len(places))) if len(places) >= 2 else None
    return Decimal(int(whole)).scaleb(-3) if len(whole) in (3, 4) else None


def gravity_number(words: Sequence[str]) -> Decimal | None:
    """Exact specific gravity (0.900-1.299, typed to 1.999) if the words have the shape of one, else None.

    >>> gravity_number("ten oh four".split())
    Decimal('1.004')
    >>> gravity_number("one point oh four".split())
    """
    words = tuple(words)
    if not words:
        return None
    highest = Decimal("1.3")
    if all(is_numeral(word) for word in words):
        # A typed 1.300 can be nothing else, so it is refused as a gravity and never taken for a temperature.
        value, highest = _typed_gravity(words), Decimal(2)
    else:
        thousandths = _thousandths(words)
        value = None if thousandths is None else Decimal(thousandths).scaleb(-3)
    if value is None or not Decimal("0.9") <= value < highest:
        return None
    return value
