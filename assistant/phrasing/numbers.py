"""Numbers as words for the voice, the way brewers say them.

All functions are pure and give words only, lower case, hyphens inside a number below a hundred
("forty-four"). Rounding is half away from zero, on the decimal digits of the value as it prints, so
that 1.0445 is said as it would be rounded by hand.

What is said here as a gravity, a temperature or an amount is also understood when it is said back.
"""

from __future__ import annotations

from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from assistant.quantities import Unit
from assistant.understanding import number_forms
from assistant.understanding.phrases import SPOKEN_UNITS

Number = int | float | Decimal

_QUARTERS: Final = {1: "a quarter", 2: "a half", 3: "three quarters"}
# Within this of a quarter, an amount in gallons, quarts, inches, ounces or pounds is said in quarters.
_QUARTER_SLACK: Final = Decimal("0.03")
_IN_QUARTERS: Final = frozenset({Unit.US_GALLON, Unit.US_QUART, Unit.INCH, Unit.OUNCE, Unit.POUND})
_MINUTE_S: Final = 60
_HOUR_S: Final = 3600
_DAY_S: Final = 86400


def _exact(value: Number) -> Decimal:
    exact = value if isinstance(value, Decimal) else Decimal(str(value))
    if not exact.is_finite():
        raise ValueError(f"only a finite number has words, not {value}")
    return exact


def _rounded(value: Number, places: int) -> Decimal:
    return _exact(value).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


def _small(value: int) -> str:
    return number_forms.small_words(value).replace(" ", "-")


def digit_words(figures: str) -> str:
    """Figures one by one: "15" is "one five".

    Raises:
        ValueError: if `figures` holds anything but 0-9.
    """
    return number_forms.digit_words(figures)


def cardinal(value: int) -> str:
    """A whole number in full, British style, below a million either way.

    Raises:
        ValueError: from a million on.

    >>> cardinal(152)
    'one hundred and fifty-two'
    """
    if value < 0:
        return f"minus {cardinal(-value)}"
    if value < 100:
        return _small(value)
    if value < 1000:
        hundreds, rest = divmod(value, 100)
        return f"{_small(hundreds)} hundred" + (f" and {_small(rest)}" if rest else "")
    if value >= 1_000_000:
        raise ValueError(f"no words for a million or more: {value}")
    thousands, rest = divmod(value, 1000)
    joint = " and " if rest < 100 else " "
    return f"{cardinal(thousands)} thousand" + (f"{joint}{cardinal(rest)}" if rest else "")


def _short(value: int) -> str:
    """0-999 the short way: "one oh four", "two twelve", "a hundred"."""
    if value < 100:
        return _small(value)
    hundreds, rest = divmod(value, 100)
    if rest == 0:
        return "a hundred" if hundreds == 1 else f"{_small(hundreds)} hundred"
    return f"{_small(hundreds)} {'oh ' if rest < 10 else ''}{_small(rest)}"


def decimal_words(value: Number, places: int) -> str:
    """A number with up to `places` figures after the point; noughts at the end are not said.

    >>> decimal_words(12.4, 1)
    'twelve point four'
    """
    rounded = _rounded(value, places)
    whole, _, figures = f"{abs(rounded):f}".partition(".")
    figures = figures.rstrip("0")
    words = cardinal(int(whole)) + (f" point {digit_words(figures)}" if figures else "")
    return f"minus {words}" if rounded < 0 else words


def gravity_words(gravity_sg: Number) -> str:
    """A specific gravity, 0.900-1.199, to the nearest thousandth.

    Raises:
        ValueError: if it is outside.

    >>> gravity_words(1.044), gravity_words(1.004), gravity_words(0.998), gravity_words(1.1)
    ('ten forty-four', 'ten oh four', 'nine ninety-eight', 'eleven hundred')
    """
    thousandths = int(_rounded(gravity_sg, 3).scaleb(3))
    if not 900 <= thousandths <= 1199:
        raise ValueError(f"a specific gravity from 0.900 to 1.199 has words, not {gravity_sg}")
    if thousandths < 1000:
        return _short(thousandths)
    lead, rest = divmod(thousandths, 100)
    if rest == 0:
        return "one thousand" if lead == 10 else "eleven hundred"
    return f"{_small(lead)} {'oh ' if rest < 10 else ''}{_small(rest)}"


def points_words(points: Number) -> str:
    """Gravity points, to the nearest whole: "forty-four points", "one point"."""
    whole = int(_rounded(points, 0))
    return f"{cardinal(whole)} {'point' if abs(whole) == 1 else 'points'}"


def gravity_in(value: Number, unit: Unit) -> str:
    """A gravity in its own scale, with the name of the scale where it has one.

    Raises:
        ValueError: if `unit` is no gravity scale, or the value has no words in it.

    >>> gravity_in(12.4, Unit.PLATO)
    'twelve point four plato'
    """
    if unit is Unit.SPECIFIC_GRAVITY:
        return gravity_words(value)
    if unit is Unit.POINTS:
        return points_words(value)
    if unit in (Unit.PLATO, Unit.BRIX):
        return f"{decimal_words(value, 1)} {SPOKEN_UNITS[unit][0]}"
    raise ValueError(f"{unit} is no gravity scale")


def temperature_words(value: Number, places: int = 0) -> str:
    """A temperature without its unit, below 1000 either way: whole degrees, or with `places` after the point.

    Raises:
        ValueError: from a thousand on.

    >>> temperature_words(104.0), temperature_words(151.6), temperature_words(66.5, 1), temperature_words(-1)
    ('one oh four', 'one fifty-two', 'sixty-six point five', 'minus one')
    """
    rounded = _rounded(value, places)
    whole, _, figures = f"{abs(rounded):f}".partition(".")
    if int(whole) > 999:
        raise ValueError(f"a temperature below 1000 has words, not {value}")
    figures = figures.rstrip("0")
    words = _short(int(whole)) + (f" point {digit_words(figures)}" if figures else "")
    return f"minus {words}" if rounded < 0 else words


# --- amounts


def _named(unit: Unit) -> tuple[str, str]:
    """Plural and singular of a unit."""
    names = SPOKEN_UNITS[unit]
    return names[0], names[1] if len(names) > 1 else names[0]


def _amount_words(value: Number, unit: Unit, places: int) -> str:
    plural, singular = _named(unit)
    exact = _exact(value)
    if unit in _IN_QUARTERS and exact > 0:
        quarters = int((exact * 4).quantize(Decimal(1), rounding=ROUND_HALF_UP))
        whole, part = divmod(quarters, 4)
        if part and abs(exact - Decimal(quarters) / 4) <= _QUARTER_SLACK:
            if whole:
                return f"{cardinal(whole)} and {_QUARTERS[part]} {plural}"
            article = "an" if singular[0] in "aeiou" else "a"
            return f"half {article} {singular}" if part == 2 else f"{_QUARTERS[part]} of {article} {singular}"
    rounded = _rounded(exact, places)
    if rounded == Decimal("0.5"):
        return f"half {'an' if singular[0] in 'aeiou' else 'a'} {singular}"
    return f"{decimal_words(rounded, places)} {singular if abs(rounded) == 1 else plural}"


def volume_words(value: Number, unit: Unit) -> str:
    """A volume with its unit: tenths, or quarters of gallons and quarts where they fit.

    >>> volume_words(26.24, Unit.LITRE), volume_words(7.25, Unit.US_GALLON), volume_words(1, Unit.LITRE)
    ('twenty-six point two litres', 'seven and a quarter gallons', 'one litre')
    """
    return _amount_words(value, unit, 0 if unit is Unit.MILLILITRE else 1)


def depth_words(value: Number, unit: Unit) -> str:
    """A depth with its unit: tenths of centimetres, whole millimetres, quarters of inches where they fit."""
    return _amount_words(value, unit, 0 if unit is Unit.MILLIMETRE else 1)


def mass_words(value: Number, unit: Unit) -> str:
    """A mass with its unit: whole grams from ten on, hundredths of kilograms, quarters where they fit.

    >>> mass_words(410.2, Unit.GRAM), mass_words(3.5, Unit.OUNCE), mass_words(0.41, Unit.KILOGRAM)
    ('four hundred and ten grams', 'three and a half ounces', 'zero point four one kilograms')
    """
    if unit is Unit.GRAM:
        return _amount_words(value, unit, 0 if abs(_exact(value)) >= 10 else 1)
    return _amount_words(value, unit, 2 if unit is Unit.KILOGRAM else 1)


# --- time


def _counted(count: int, unit: Unit) -> str:
    plural, singular = _named(unit)
    return f"{cardinal(count)} {singular if count == 1 else plural}"


def minutes_words(seconds: Number) -> str:
    """A span to the nearest whole minute: "thirty-six minutes", "one minute"; seconds >= 0."""
    return _counted(int(_rounded(_exact(seconds) / _MINUTE_S, 0)), Unit.MINUTE)


def clock_left_words(seconds: Number) -> str:
    """What a clock that counts down shows: "forty-one ten", "forty-one oh five", "twenty seconds"; seconds >= 0.

    >>> clock_left_words(41 * 60 + 10), clock_left_words(60), clock_left_words(20)
    ('forty-one ten', 'one minute', 'twenty seconds')
    """
    minutes, rest = divmod(int(_rounded(seconds, 0)), _MINUTE_S)
    if minutes == 0:
        return _counted(rest, Unit.SECOND)
    if rest == 0:
        return _counted(minutes, Unit.MINUTE)
    return f"{cardinal(minutes)} {'oh ' if rest < 10 else ''}{_small(rest)}"


def span_words(seconds: Number) -> str:
    """A span of time, as fine as it matters; seconds >= 0.

    Seconds below a minute, halves of minutes below three, minutes below two hours, then hours and
    minutes, and days from two days on.

    >>> span_words(20), span_words(60), span_words(90), span_words(36 * 60)
    ('twenty seconds', 'one minute', 'one and a half minutes', 'thirty-six minutes')
    """
    whole = int(_rounded(seconds, 0))
    if whole < _MINUTE_S:
        return _counted(whole, Unit.SECOND)
    halves = int(_rounded(Decimal(whole) / 30, 0))
    if halves in (3, 5):
        return f"{cardinal(halves // 2)} and a half minutes"
    minutes = int(_rounded(Decimal(whole) / _MINUTE_S, 0))
    if minutes < 120:
        return _counted(minutes, Unit.MINUTE)
    if whole >= 2 * _DAY_S:
        return f"{cardinal(int(_rounded(Decimal(whole) / _DAY_S, 0)))} days"
    hours, rest = divmod(minutes, 60)
    return _counted(hours, Unit.HOUR) + (f" and {_counted(rest, Unit.MINUTE)}" if rest else "")


def time_of_day_words(when: datetime, hours: int = 12) -> str:
    """A time of day to the minute below: "eight past three", or "fifteen oh eight" with `hours` 24.

    Raises:
        ValueError: if `hours` is neither 12 nor 24.
    """
    if hours not in (12, 24):
        raise ValueError(f"a clock has 12 or 24 hours, not {hours}")
    if hours == 24:
        past = f"{'oh ' if when.minute < 10 else ''}{_small(when.minute)}" if when.minute else "o'clock"
        return f"{_small(when.hour)} {past}"
    to_next = when.minute > 30
    hour = (when.hour + to_next) % 24
    name = {0: "midnight", 12: "noon"}.get(hour) or _small(hour % 12)
    if when.minute == 0:
        return name if hour in (0, 12) else f"{name} o'clock"
    if when.minute == 30:
        return f"half past {name}"
    minutes = 60 - when.minute if to_next else when.minute
    spoken = "a quarter" if minutes == 15 else _small(minutes)
    return f"{spoken} {'to' if to_next else 'past'} {name}"
