"""The temperatures of a kettle over the day, as the hops see them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation.boil_history import Hold, boil_history, cooling_points, time_of_boil_clock_s
from assistant.quantities import OutsideRange


@given(st.floats(20.0, 105.0), st.floats(-5.0, 18.0), st.floats(60.0, 40_000.0), st.floats(0.05, 8.0))
def test_cooling_points_follow_the_curve(start_c: float, towards_c: float, tau_s: float, taus: float) -> None:
    """Between its points the straight lines stay within 0.15 K of the curve, but for the last 4 K."""
    until_s = 100.0 + taus * tau_s
    times, temperatures = zip(*cooling_points(100.0, start_c, towards_c, tau_s, until_s), strict=True)
    at_s = np.linspace(100.0, until_s, 400)
    curve = towards_c + (start_c - towards_c) * np.exp(-(at_s - 100.0) / tau_s)

    above = np.interp(at_s, times, temperatures) - curve

    assert above[curve - towards_c > 4.0].max(initial=0.0) < 0.15
    assert above.min() > -1e-6
    assert curve[-1] == pytest.approx(temperatures[-1])


@given(st.floats(0.0, 6000.0), st.lists(st.tuples(st.floats(0.0, 900.0), st.floats(0.0, 900.0)), max_size=4))
def test_the_boil_clock_stands_while_it_is_held(clock_s: float, gaps: list[tuple[float, float]]) -> None:
    """The day's clock is ahead of the boil clock by the holds that began before; never inside a hold."""
    holds, at_s = [], 500.0
    for boiled_s, held_s in gaps:
        holds.append(Hold(at_s + boiled_s, at_s + boiled_s + held_s, 92.0))
        at_s = holds[-1].until_s

    got = time_of_boil_clock_s(clock_s, 500.0, holds)
    held_s = math.fsum(hold.until_s - hold.from_s for hold in holds if hold.until_s <= got and hold.from_s < got)

    assert 500.0 + clock_s + held_s == pytest.approx(got)
    assert not any(hold.from_s < got < hold.until_s for hold in holds)


def test_early_hops_see_the_heating_up() -> None:
    """Points before the boil lead up to it, points after it lead away, in one history."""
    history = boil_history(600.0, 4200.0, 98.0, before=[(0.0, 70.0)], after=[(4500.0, 30.0)])

    assert ((0.0, 70.0), (600.0, 98.0), (4200.0, 98.0), (4500.0, 30.0)) == history


@pytest.mark.parametrize(
    "call",
    [
        lambda: boil_history(0.0, 0.0, 98.0),
        lambda: boil_history(0.0, 60.0, 140.0),
        lambda: time_of_boil_clock_s(-1.0, 0.0, []),
        lambda: cooling_points(0.0, 15.0, 15.0, 300.0, 60.0),
        lambda: cooling_points(0.0, 98.0, 15.0, 0.0, 60.0),
        lambda: cooling_points(60.0, 98.0, 15.0, 300.0, 60.0),
    ],
)
def test_a_day_that_cannot_be_is_refused(call: object) -> None:
    """A boil without length, a kettle over 130 °C, a cooling that warms: one sentence each."""
    assert callable(call)
    with pytest.raises(OutsideRange, match=r"\.$"):
        call()


@pytest.mark.parametrize(
    "call",
    [
        lambda: boil_history(0.0, 600.0, 98.0, holds=[Hold(500.0, 700.0, 90.0)]),
        lambda: boil_history(0.0, 600.0, 98.0, before=[(10.0, 70.0)]),
        lambda: boil_history(0.0, 600.0, 98.0, after=[(500.0, 70.0)]),
        lambda: time_of_boil_clock_s(60.0, 100.0, [Hold(50.0, 200.0, 90.0)]),
        lambda: time_of_boil_clock_s(60.0, 0.0, [Hold(50.0, 200.0, 90.0), Hold(150.0, 300.0, 90.0)]),
    ],
)
def test_points_out_of_order_are_a_mistake_of_the_caller(call: object) -> None:
    """Holds that overlap or reach beyond the boil, and points that run back, are refused as such."""
    assert callable(call)
    with pytest.raises(ValueError, match=r"hold|history"):
        call()
