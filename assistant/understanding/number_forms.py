"""Numbers back into the words of the tables: every form in which the ear has to know them.

Each form reads back to its own value (`number_words` is the reader, a test walks both).
"""

from __future__ import annotations

from decimal import Decimal

from assistant.understanding.number_words import (
    AND,
    DIGITS,
    FRACTIONS,
    HUNDRED,
    POINT,
    TEENS,
    TENS,
    THOUSAND,
)

_DIGIT_WORDS = {value: word for word, value in DIGITS.items() if word != "oh"}
_TEEN_WORDS = {value: word for word, value in TEENS.items()}
_TEN_WORDS = {value: word for word, value in TENS.items()}


def small_words(value: int) -> str:
    """Words of 0-99: "forty four".

    Raises:
        ValueError: if `value` is outside.
    """
    if not 0 <= value <= 99:
        raise ValueError(f"words for 0 to 99 only, not for {value}")
    if value < 10:
        return _DIGIT_WORDS[value]
    if value < 20:
        return _TEEN_WORDS[value]
    tens, digit = value - value % 10, value % 10
    return f"{_TEN_WORDS[tens]} {_DIGIT_WORDS[digit]}" if digit else _TEN_WORDS[tens]


def digit_words(figures: str, zero: str = "zero") -> str:
    """Each figure as a word: "15" is "one five"; `zero` is the word for 0.

    Raises:
        ValueError: if `figures` holds anything but 0-9.
    """
    if not figures.isascii() or not figures.isdigit():
        raise ValueError(f"figures 0 to 9 only, not {figures!r}")
    return " ".join(zero if figure == "0" else _DIGIT_WORDS[int(figure)] for figure in figures)


def short_words(value: int) -> str:
    """Words of 0-999 the short way: "one oh four", "one fifty two", "a hundred".

    Raises:
        ValueError: if `value` is outside.
    """
    if value < 100:
        return small_words(value)
    hundreds, rest = divmod(value, 100)
    if hundreds > 9:
        raise ValueError(f"words for 0 to 999 only, not for {value}")
    if rest == 0:
        return f"a {HUNDRED}" if hundreds == 1 else f"{_DIGIT_WORDS[hundreds]} {HUNDRED}"
    return f"{_DIGIT_WORDS[hundreds]} {'oh ' if rest < 10 else ''}{small_words(rest)}"


def whole_forms(value: int) -> tuple[str, ...]:
    """All ways to say 0-999: short, in full, digit by digit."""
    forms = [short_words(value)]
    hundreds, rest = divmod(value, 100)
    if hundreds:
        for lead in (f"{_DIGIT_WORDS[hundreds]} {HUNDRED}", *([f"a {HUNDRED}"] if hundreds == 1 else [])):
            forms.append(f"{lead} {AND} {small_words(rest)}" if rest else lead)
        if rest:
            forms.append(f"{_DIGIT_WORDS[hundreds]} {HUNDRED} {small_words(rest)}")
    if value >= 10:
        forms.append(digit_words(str(value)))
        forms.append(digit_words(str(value), "oh"))
    return tuple(dict.fromkeys(forms))


def decimal_form(value: Decimal) -> str:
    """Whole part the short way, "point", figures: "sixty six point five"; whole numbers without a point."""
    whole, point, figures = str(value).partition(".")
    spoken = short_words(int(whole))
    return f"{spoken} {POINT} {digit_words(figures)}" if point else spoken


def fraction_forms(value: int) -> tuple[str, ...]:
    """ "seven and a half" and the other fractions of the tables, after a whole number."""
    return tuple(f"{short_words(value)} {AND} {' '.join(words)}" for words in FRACTIONS)


def gravity_forms(thousandths: int) -> tuple[str, ...]:
    """All ways to say a specific gravity of 0.900-1.199, the brewer's own first.

    Raises:
        ValueError: if `thousandths` is outside 900-1199.
    """
    if not 900 <= thousandths <= 1199:
        raise ValueError(f"a gravity from 900 to 1199 thousandths has words, not {thousandths}")
    lead, rest = divmod(thousandths, 100)
    figures = f"{thousandths % 1000:03d}"
    if lead == 9:
        forms = [short_words(thousandths), digit_words(figures)]
        forms += [f"{front}{POINT} {digit_words(figures)}" for front in ("zero ", "oh ", "")]
        return tuple(dict.fromkeys(forms))
    forms = []
    if rest:
        forms.append(f"{_TEEN_WORDS[lead]} {'oh ' if rest < 10 else ''}{small_words(rest)}")
    if lead == 10:
        forms.append(f"one {THOUSAND}" + (f" {AND} {small_words(rest)}" if rest else ""))
        forms.append(f"a {THOUSAND}" + (f" {AND} {small_words(rest)}" if rest else ""))
    else:
        forms.append(f"{_TEEN_WORDS[lead]} {HUNDRED}" + (f" {AND} {small_words(rest)}" if rest else ""))
    for zero in ("oh", "zero"):
        forms += [f"one {POINT} {digit_words(figures, zero)}", f"one {digit_words(figures, zero)}"]
        if lead == 10 and rest >= 10:
            forms += [f"one {POINT} {zero} {small_words(rest)}", f"one {zero} {small_words(rest)}"]
    return tuple(dict.fromkeys(forms))
