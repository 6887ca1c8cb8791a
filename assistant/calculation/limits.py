"""Where a formula holds: the one place that words a refusal."""

from __future__ import annotations

import math
from typing import Final

from assistant.quantities import OutsideRange

# A result that lies on a limit may be fed back although rounding moved it.
_ROUNDING: Final = 1e-9


def require_within(what: str, value: float, lowest: float, highest: float, unit: str = "") -> None:
    """Refuse `value` [`unit`] of `what` unless `lowest` <= value <= `highest` [`unit`].

    Bias: values beyond a limit by a billionth of it (rounding) pass.

    Valid: any float; a value that is no number is refused too.

    Source: rule of this project.

    Raises:
        OutsideRange: one sentence with both limits and the value.

    >>> require_within("The sample", 120.0, 0.0, 100.0, "°C")
    Traceback (most recent call last):
    assistant.quantities.OutsideRange: The sample must be from 0 to 100 °C, not 120 °C.
    """
    slack = _ROUNDING * max(abs(lowest), abs(highest))
    if not lowest - slack <= value <= highest + slack:
        span = f"from {_shown(lowest, unit)} to {_shown(highest, unit)}{_with_blank(unit)}"
        raise OutsideRange(f"{what} must be {span}, not {_shown(value, unit)}{_with_blank(unit)}.")


def require_at_least(what: str, value: float, lowest: float, unit: str = "") -> None:
    """Refuse `value` [`unit`] of `what` unless it is a finite number >= `lowest` [`unit`].

    Valid: any float; infinity and what is no number are refused too.

    Source: rule of this project.

    Raises:
        OutsideRange: one sentence with the limit and the value.

    >>> require_at_least("The volume", -2.0, 0.0, "L")
    Traceback (most recent call last):
    assistant.quantities.OutsideRange: The volume must be at least 0 L, not -2 L.
    """
    if not (math.isfinite(value) and value >= lowest):
        bound = f"at least {_shown(lowest, unit)}{_with_blank(unit)}"
        raise OutsideRange(f"{what} must be {bound}, not {_shown(value, unit)}{_with_blank(unit)}.")


def require_positive(what: str, value: float, unit: str = "") -> None:
    """Refuse `value` [`unit`] of `what` unless it is a finite number > 0.

    Valid: any float; infinity and what is no number are refused too.

    Source: rule of this project.

    Raises:
        OutsideRange: one sentence with the limit and the value.

    >>> require_positive("The boil-off", 0.0, "L/h")
    Traceback (most recent call last):
    assistant.quantities.OutsideRange: The boil-off must be more than 0 L/h, not 0 L/h.
    """
    if not (math.isfinite(value) and value > 0.0):
        raise OutsideRange(
            f"{what} must be more than 0{_with_blank(unit)}, not {_shown(value, unit)}{_with_blank(unit)}."
        )


def _shown(value: float, unit: str) -> str:
    if not math.isfinite(value):
        return "a value that is no number"
    return f"{value:.3f}" if unit == "SG" else f"{value:.4g}"


def _with_blank(unit: str) -> str:
    return f" {unit}" if unit else ""
