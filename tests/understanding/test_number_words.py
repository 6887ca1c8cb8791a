"""Number words have one exact value each, or none."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.understanding import number_forms
from assistant.understanding.number_words import (
    DIGITS,
    FRACTIONS,
    TEENS,
    TENS,
    digit_string,
    gravity_number,
    plain_number,
    whole_number,
)


@pytest.mark.parametrize("thousandths", range(980, 1171))
def test_every_form_of_a_gravity_is_that_gravity(thousandths: int) -> None:
    """Each way of saying a gravity reads back as exactly that gravity."""
    for form in number_forms.gravity_forms(thousandths):
        assert Decimal(thousandths).scaleb(-3) == gravity_number(form.split()), form


@pytest.mark.parametrize("value", range(1000))
def test_every_form_of_a_whole_number_is_that_number(value: int) -> None:
    """Each way of saying a whole number reads back as exactly that number."""
    for form in number_forms.whole_forms(value):
        assert value == whole_number(form.split()), form


@given(st.integers(0, 999), st.integers(0, 999))
def test_decimals_are_exact(whole: int, thousandths: int) -> None:
    """A decimal reads back to the last digit, noughts at the end included."""
    value = Decimal(f"{whole}.{thousandths:03d}")

    assert str(value) == str(plain_number(number_forms.decimal_form(value).split()))


@pytest.mark.parametrize("whole", range(1, 121))
def test_fractions_are_exact(whole: int) -> None:
    """ "And a half" and its like add exactly the fraction of the table."""
    for form, part in zip(number_forms.fraction_forms(whole), FRACTIONS.values(), strict=True):
        assert whole + part == plain_number(form.split())


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (None, ""),
        (None, "oh"),
        (None, "oh five"),
        (None, "zero five"),
        (0, "zero"),
        (9, "nine"),
        (None, "twenty ten"),
        (None, "twenty zero"),
        (None, "ten five"),
        (None, "five forty point"),
        (540, "five forty"),
        (None, "hundred"),
        (None, "zero hundred"),
        (None, "hundred hundred"),
        (None, "one hundred and"),
        (None, "one hundred zero"),
        (2500, "twenty five hundred"),
        (1110, "one thousand one hundred and ten"),
        (None, "ten thousand"),
        (None, "one two three four five"),
        (1234, "one two three four"),
        ("0.5", "point five"),
        ("0.5", "oh point five"),
        ("5.0", "five point oh"),
        (None, "five point ten"),
        (None, "five point"),
        (None, "five point one two three four"),
        (None, "five point two and a half"),
        (None, "and a half"),
        (None, "seven and half"),
        ("-7.5", "minus seven and a half"),
        (None, "minus"),
    ],
)
def test_amounts_and_malformed_amounts(value: int | str | None, words: str) -> None:
    """An amount in words has its value; words that are no amount have none."""
    assert (None if value is None else Decimal(value)) == plain_number(words.split())


@pytest.mark.parametrize(
    "words",
    [
        "",
        "ten",
        "ten four",
        "ten oh oh",
        "ten forty four four",
        "twelve ten",
        "one oh four",
        "one point oh four",
        "one point oh four four four",
        "two oh four four",
        "zero point four four four",
        "eleven hundred hundred",
        "five ninety eight",
        "thirteen hundred",
        "1.3",
        "1.0.4",
        "10 4",
        "12 37",
    ],
)
def test_what_has_no_shape_of_a_gravity(words: str) -> None:
    """A gravity that lacks a figure, or has one too many, is no gravity."""
    assert gravity_number(words.split()) is None


@given(st.lists(st.sampled_from([*DIGITS, *TEENS, *TENS, "hundred", "and", "point", "a", "half"]), max_size=6))
def test_a_gravity_and_an_amount_never_contradict(words: list[str]) -> None:
    """Words that are both a gravity and an amount are the same figures either way."""
    gravity, plain = gravity_number(words), plain_number(words)

    if gravity is not None and plain is not None:
        assert plain in (gravity, gravity.scaleb(3))


@pytest.mark.parametrize(
    ("digits", "words"),
    [("15", "one five"), ("00", "oh zero"), ("15", "15"), ("15", "1 5"), (None, "fifteen"), (None, "")],
)
def test_digit_strings(digits: str | None, words: str) -> None:
    """Only single digits make a string of digits."""
    assert digits == digit_string(words.split())


@pytest.mark.parametrize("figures", ["", "1.5", "-1", "a", "²"])
def test_digit_words_refuse_other_than_figures(figures: str) -> None:
    """Anything but the figures 0 to 9 is refused."""
    with pytest.raises(ValueError, match="figures"):
        number_forms.digit_words(figures)


@pytest.mark.parametrize("thousandths", [899, 1200])
def test_gravity_forms_end_where_the_words_end(thousandths: int) -> None:
    """A gravity that has no form of its own is refused."""
    with pytest.raises(ValueError, match="900 to 1199"):
        number_forms.gravity_forms(thousandths)
