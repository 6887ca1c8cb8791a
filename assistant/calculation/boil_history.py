"""The temperatures of a kettle over the day: heating, boil with its holds, stand and cooling.

A history is a tuple of (time in s, temperature in °C) points, as `hop_kinetics` takes it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.quantities import OutsideRange, Shown

Points = tuple[tuple[float, float], ...]

_STEP_K: Final = 2.0


@dataclass(frozen=True, slots=True)
class Hold:
    """A stretch in which the boil clock stood: from `from_s` to `until_s` [s], the wort at `temperature_c` [°C]."""

    from_s: float
    until_s: float
    temperature_c: float


def time_of_boil_clock_s(boil_clock_s: float, boil_on_s: float, holds: Sequence[Hold]) -> float:
    """Give the time [s, on the day's clock] at which the boil clock shows `boil_clock_s` [s since the boil began].

    The clock starts at `boil_on_s` [s] and stands during `holds`.

    Valid: boil clock >= 0; holds in order, apart, after the boil began.

    Source: rule of this project.

    Raises:
        OutsideRange: a boil clock below 0.
        ValueError: if the holds overlap, run backwards or begin before the boil.

    >>> time_of_boil_clock_s(3600.0, 1000.0, [Hold(1600.0, 2200.0, 90.0)])
    5200.0
    """
    require_at_least("The boil clock", boil_clock_s, 0.0, "s")
    _require_holds(boil_on_s, holds)
    at_s = boil_on_s + boil_clock_s
    for hold in holds:
        if at_s > hold.from_s:
            at_s += hold.until_s - hold.from_s
    return at_s


def boil_history(
    boil_on_s: float,
    flame_out_s: float,
    boiling_c: float,
    *,
    holds: Sequence[Hold] = (),
    before: Sequence[tuple[float, float]] = (),
    after: Sequence[tuple[float, float]] = (),
) -> Points:
    """Give the history [(s, °C)] of a boil at `boiling_c` [°C] from `boil_on_s` to `flame_out_s` [s].

    `holds` interrupt it at their temperature. `before` are points of the heating up, for hops that are in already,
    `after` points of stand and cooling, both [(s, °C)]; straight lines lead to and from the boil.

    Bias: the wort is taken to fall to the temperature of a hold, and to rise from it, at once.

    Valid: flame-out after the boil began; holds within the boil; points before and after it, in order; 0 to 130 °C.

    Source: rule of this project.

    Raises:
        OutsideRange: outside that range.
        ValueError: if points or holds are out of order.

    >>> boil_history(0.0, 3600.0, 98.3, holds=[Hold(600.0, 900.0, 92.0)], after=[(4800.0, 80.0)])
    ((0.0, 98.3), (600.0, 98.3), (600.0, 92.0), (900.0, 92.0), (900.0, 98.3), (3600.0, 98.3), (4800.0, 80.0))
    """
    if not flame_out_s > boil_on_s:
        raise OutsideRange(f"The boil must end after it began at {boil_on_s:g} s, not at {flame_out_s:g} s.")
    _require_holds(boil_on_s, holds)
    if holds and holds[-1].until_s > flame_out_s:
        raise ValueError("a hold lasts beyond the end of the boil")
    points: list[tuple[float, float]] = [*before, (boil_on_s, boiling_c)]
    for hold in holds:
        points += [(hold.from_s, boiling_c), (hold.from_s, hold.temperature_c)]
        points += [(hold.until_s, hold.temperature_c), (hold.until_s, boiling_c)]
    points += [(flame_out_s, boiling_c), *after]
    for _, temperature_c in points:
        require_within("A temperature of the kettle", temperature_c, 0.0, 130.0, "°C")
    if not (all(math.isfinite(at_s) for at_s, _ in points) and all(a[0] <= b[0] for a, b in pairwise(points))):
        raise ValueError("the points of a history must not run back in time")
    return tuple(points)


def cooling_points(start_s: float, start_c: float, towards_c: float, tau_s: float, until_s: float) -> Points:
    """Give points [(s, °C)] of wort of `start_c` [°C] at `start_s` [s] that falls towards `towards_c` [°C].

    T = T∞ + (T0 - T∞) exp(-t / τ), a point each 2 K and one at `until_s` [s]; `tau_s` [s] is minutes with a
    chiller, hours in the air (no-chill).

    Bias: the straight lines between the points lie up to 0.15 K above the curve, more in its last 4 K.

    Valid: start above what it falls towards, τ > 0, until after start, 0 to 130 °C.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer.

    Raises:
        OutsideRange: outside that range.

    >>> points = cooling_points(0.0, 98.0, 15.0, 316.8, 600.0)
    >>> points[-1]
    (600.0, 27.5)
    """
    require_within("The temperature of the wort", start_c, 0.0, 130.0, "°C")
    require_within("The temperature it falls towards", towards_c, -5.0, 130.0, "°C")
    require_positive("The time constant of the cooling", tau_s, "s")
    span = start_c - towards_c
    if span <= 0.0:
        raise OutsideRange(
            "Wort of {wort} does not cool towards {towards}.",
            wort=Shown(start_c, "°C"),
            towards=Shown(towards_c, "°C"),
        )
    if not (until_s > start_s and math.isfinite(until_s - start_s)):
        raise OutsideRange(f"The cooling must end after it began at {start_s:g} s, not at {until_s:g} s.")
    points = [(start_s, start_c)]
    for step in range(1, math.ceil(span / _STEP_K)):
        at_s = start_s + tau_s * math.log(span / (span - step * _STEP_K))
        if at_s >= until_s:
            break
        points.append((at_s, start_c - step * _STEP_K))
    last_c = towards_c + span * math.exp(-(until_s - start_s) / tau_s)
    return (*points, (until_s, last_c))


def _require_holds(boil_on_s: float, holds: Sequence[Hold]) -> None:
    edges = [boil_on_s, *(edge for hold in holds for edge in (hold.from_s, hold.until_s))]
    if not (all(math.isfinite(edge) for edge in edges) and all(a <= b for a, b in pairwise(edges))):
        raise ValueError("the holds of a boil must follow it and one another")
