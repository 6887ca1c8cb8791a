"""Where a function of one unknown is least."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from assistant.quantities import OutsideRange

_GOLDEN: Final = (math.sqrt(5.0) - 1.0) / 2.0


def least_at(function: Callable[[float], float], low: float, high: float) -> float:
    """Give where [any unit] between `low` and `high` [the same unit] the `function` of one valley is least.

    Golden section.

    Bias: a valley is found to about 1e-8 of its place, since a function is flat at its foot; at an end it is within
    1e-9 of that end.

    Valid: low <= high, both finite; functions with one valley.

    Source: Kiefer, Proc. Amer. Math. Soc. 4 (1953) 502 (citation from memory).

    Raises:
        OutsideRange: if the ends are the wrong way round or not finite.

    >>> least_at(lambda x: (x - 2.0) ** 2 + 1.0, 0.0, 5.0)
    2.0000
    """
    if not (math.isfinite(low) and math.isfinite(high) and low <= high):
        raise OutsideRange(f"The least is sought from a lower to a higher number, not from {low:g} to {high:g}.")
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = function(left), function(right)
    while high - low > 1e-9 * (1.0 + abs(high)):
        if at_left <= at_right:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = function(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = function(right)
    return (low + high) / 2.0
