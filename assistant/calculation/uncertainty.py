"""First-order propagation of standard uncertainties through any formula."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from assistant.quantities import Measured, OutsideRange

# Small enough to be a derivative, large enough to stand clear of rounding.
_STEP_IN_SD: Final = 0.01


def propagate(function: Callable[..., float], *inputs: Measured, model_sd: float = 0.0) -> Measured:
    """Give what `function` makes [its own unit] of `inputs` [each its own unit], with its standard uncertainty.

    sd² = Σ (∂f/∂x_i · sd_i)² + model_sd², derivatives by central difference; at the edge of a formula's
    range by a one-sided one. `model_sd` [unit of the result] is the formula's own error.

    Bias: first order only; wrong where the formula bends within one sd. Inputs are taken as independent.

    Valid: functions that are smooth at the values given.

    Source: JCGM 100:2008 (GUM), section 5.1.2, equation 10.

    Raises:
        OutsideRange: if the function refuses the values themselves.

    >>> power = propagate(lambda volt, ampere: volt * ampere, Measured(10.0, 0.3), Measured(2.0, 0.08))
    >>> power.value, power.sd
    (20.0, 1.0)
    """
    values = [item.value for item in inputs]
    centre = function(*values)
    variance = model_sd**2
    for index, item in enumerate(inputs):
        if item.sd > 0.0:
            variance += (_slope(function, values, index, _STEP_IN_SD * item.sd, centre) * item.sd) ** 2
    return Measured(centre, math.sqrt(variance))


def _slope(function: Callable[..., float], values: list[float], index: int, step: float, centre: float) -> float:
    above = _shifted(function, values, index, step)
    below = _shifted(function, values, index, -step)
    if above is None and below is None:
        raise OutsideRange(
            f"The formula holds only at {values[index]:g} itself, so its uncertainty cannot be told."
        )
    if above is None:
        above, step = centre, step / 2.0
    if below is None:
        below, step = centre, step / 2.0
    return (above - below) / (2.0 * step)


def _shifted(function: Callable[..., float], values: list[float], index: int, step: float) -> float | None:
    moved = list(values)
    moved[index] += step
    try:
        return function(*moved)
    except OutsideRange:
        return None
