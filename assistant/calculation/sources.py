"""Where the formulas come from. A `Result` names its source by a key of this table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Source:
    """A publication, or a rule of the trade.

    status: SRC the source itself was read; 2ND in a secondary reproduction; LIB a reference library; CALC our own
    arithmetic from such; MEM from memory; CP common practice without a source.
    """

    title: str
    status: str


SOURCES: Final[dict[str, Source]] = {
    "mass balance": Source("conservation of extract and water", "CALC"),
    "atmosphere": Source("US Standard Atmosphere 1976 (ISO 2533)", "LIB"),
    "if97": Source("IAPWS R7-97(2012), industrial formulation IF97", "LIB"),
    "sucrose density": Source("Bubnik, Kadlec, Urban and Bruhns, Sugar Technologists Manual, 1995, p. 164", "2ND"),
}
