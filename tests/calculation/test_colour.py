"""Colour: scales undo each other, more and darker malt is darker, and what lies beyond is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import colour
from assistant.calculation.colour import ColouredGrain
from assistant.calculation.results import Verdict
from assistant.quantities import Measured, OutsideRange


@given(st.floats(0.0, 100.0))
def test_scales_of_colour_undo_each_other(srm: float) -> None:
    """SRM to EBC and back is the same colour."""
    assert srm == pytest.approx(colour.srm_from_ebc(colour.ebc_from_srm(srm)), abs=1e-9)


@given(st.floats(0.6, 600.0))
def test_malt_scales_undo_each_other(lovibond: float) -> None:
    """A malt's Lovibond to SRM, EBC and back is the same malt."""
    ebc = colour.ebc_from_srm(colour.srm_from_lovibond(lovibond))

    assert lovibond == pytest.approx(colour.lovibond_from_ebc(ebc), abs=1e-9)


@given(st.floats(0.5, 6.0), st.floats(1.0, 20.0), st.floats(10.0, 60.0), st.floats(0.01, 0.5))
def test_more_or_darker_malt_or_less_wort_is_darker(
    mass_kg: float, lovibond: float, volume_l: float, more: float
) -> None:
    """The colour rises with malt and its colour, and falls with the volume."""

    def srm(kilos: float, shade: float, litres: float) -> float:
        return colour.beer_colour([ColouredGrain(kilos, shade)], Measured(litres, 0.0)).value

    plain = srm(mass_kg, lovibond, volume_l)

    assert plain < srm(mass_kg + more, lovibond, volume_l)
    assert plain < srm(mass_kg, lovibond + more, volume_l)
    assert plain > srm(mass_kg, lovibond, volume_l + more)


def test_twice_the_batch_is_the_same_colour() -> None:
    """Twice the malt in twice the wort has the same colour."""
    single = [ColouredGrain(4.0, 3.0), ColouredGrain(0.2, 60.0)]
    double = [ColouredGrain(2.0 * grain.mass_kg, grain.lovibond) for grain in single]

    expected = colour.beer_colour(single, Measured(20.0, 0.0)).value

    assert expected == pytest.approx(colour.beer_colour(double, Measured(40.0, 0.0)).value, rel=1e-12)


def test_a_fifth_is_the_uncertainty_and_dark_beer_is_near_the_limit() -> None:
    """The colour is good to 20 %, and above 40 SRM the answer says that it is near the limit."""
    pale = colour.beer_colour([ColouredGrain(4.0, 3.0)], Measured(20.0, 0.0))
    dark = colour.beer_colour([ColouredGrain(4.0, 20.0), ColouredGrain(0.6, 400.0)], Measured(20.0, 0.0))

    assert pale.sd == pytest.approx(0.2 * pale.value)
    assert pale.verdict is Verdict.INSIDE
    assert dark.verdict is Verdict.NEAR_LIMIT


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: colour.beer_colour([ColouredGrain(9.0, 500.0)], Measured(20.0, 0.0)), "0 to 167.3 units"),
        (lambda: colour.beer_colour([ColouredGrain(-1.0, 3.0)], Measured(20.0, 0.0)), "at least 0 kg"),
        (lambda: colour.beer_colour([ColouredGrain(1.0, 3.0)], Measured(0.0, 0.0)), "more than 0 L"),
        (lambda: colour.daniels_srm(5.0), "10.5 to 167.3"),
        (lambda: colour.srm_from_lovibond(800.0), "0 to 700 °L"),
    ],
)
def test_colours_beyond_the_range_are_refused(call: object, words: str) -> None:
    """Blacker than black, negative malt and no wort get one sentence with the limit."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
