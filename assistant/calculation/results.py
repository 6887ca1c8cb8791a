"""What a calculation hands to the brewer: the value, how sure it is, where it comes from, whether it holds here.

Formulas proper take and give floats. A function that answers a brewer's question returns a `Result`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """How the inputs lie to the range of a formula; beyond it `OutsideRange` is raised."""

    INSIDE = "inside the range"
    NEAR_LIMIT = "near the limit of the range"
    RULE_OF_THUMB = "a rule of the trade, no physics behind it"


@dataclass(frozen=True, slots=True)
class Result:
    """A value with its standard uncertainty in `unit`.

    unit: as written, such as "°C", "g", "mg/L"; empty for a plain number.
    source: a key of `sources.SOURCES`. note: one sentence that belongs to this very result, empty when none does.

    Raises:
        ValueError: if a number is not finite or the uncertainty is negative.
    """

    value: float
    sd: float
    unit: str
    source: str
    verdict: Verdict = Verdict.INSIDE
    note: str = ""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.sd)) or self.sd < 0:
            raise ValueError(f"a result needs finite numbers, sd >= 0: not {self.value} ± {self.sd}")
