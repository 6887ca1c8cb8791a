"""Where a formula holds: the one place that words a refusal."""

from __future__ import annotations

import math
from typing import Final

from assistant.quantities import OutsideRange, Shown

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
        raise OutsideRange(
            _escaped(what) + " must be from {lowest:bare} to {highest}, not {value}.",
            lowest=Shown(lowest, unit),
            highest=Shown(highest, unit),
            value=Shown(value, unit),
        )


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
        raise OutsideRange(
            _escaped(what) + " must be at least {lowest}, not {value}.",
            lowest=Shown(lowest, unit),
            value=Shown(value, unit),
        )


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
            _escaped(what) + " must be more than {nothing}, not {value}.",
            nothing=Shown(0.0, unit),
            value=Shown(value, unit),
        )


def _escaped(what: str) -> str:
    return what.replace("{", "{{").replace("}", "}}")
