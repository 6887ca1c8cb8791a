"""What a reading can be at all: the stage's own limits, or those of kettles and instruments.

The limits outside a stage are common practice, no source: what a home brewer's instruments can show.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from functools import lru_cache
from typing import Final

from assistant.quantities import Dimension, Unit, convert, dimension_of
from assistant.understanding.said import Kind, Listening, OutOfLimits, Reading

KIND_OF: Final[dict[Dimension, Kind]] = {
    Dimension.GRAVITY: Kind.GRAVITY,
    Dimension.TEMPERATURE: Kind.TEMPERATURE,
    Dimension.VOLUME: Kind.VOLUME,
    Dimension.LENGTH: Kind.DEPTH,
    Dimension.MASS: Kind.MASS,
    Dimension.DURATION: Kind.DURATION,
    Dimension.PH: Kind.PH,
}
# kind -> (unit, lowest, highest)
HARD_LIMITS: Final[dict[Kind, tuple[Unit, Decimal, Decimal]]] = {
    Kind.GRAVITY: (Unit.SPECIFIC_GRAVITY, Decimal("0.980"), Decimal("1.170")),
    Kind.TEMPERATURE: (Unit.CELSIUS, Decimal(-5), Decimal(105)),
    Kind.VOLUME: (Unit.LITRE, Decimal(0), Decimal(500)),
    Kind.DEPTH: (Unit.METRE, Decimal(0), Decimal(2)),
    Kind.PH: (Unit.PH, Decimal(2), Decimal(12)),
    Kind.MASS: (Unit.KILOGRAM, Decimal(0), Decimal(100)),
    Kind.DURATION: (Unit.HOUR, Decimal(0), Decimal(24)),
}
# Plato and Brix need a density model to convert, which is not ours to have: their own limits.
EXTRACT_LIMITS: Final[tuple[Decimal, Decimal]] = (Decimal(-5), Decimal(40))
_STEP: Final = Decimal("0.000001")


def kind_of(unit: Unit) -> Kind:
    """The kind of reading that `unit` belongs to."""
    return KIND_OF[dimension_of(unit)]


@lru_cache(maxsize=512)
def _converted(value: float, unit: Unit, to: Unit) -> Decimal:
    if unit is to:
        return Decimal(str(value))
    return Decimal(convert(value, unit, to)).quantize(_STEP, rounding=ROUND_HALF_EVEN).normalize()


def limits_for(kind: Kind, unit: Unit, listening: Listening) -> tuple[Decimal, Decimal]:
    """Lowest and highest possible value in `unit`: the stage's where it has any, else the hard ones.

    A stage's gravity limits in a scale that does not convert to `unit` give way to the hard ones.
    """
    expected = listening.expectation(kind)
    if expected is not None:
        try:
            return (
                _converted(expected.lowest, expected.unit, unit),
                _converted(expected.highest, expected.unit, unit),
            )
        except ValueError:
            pass
    if unit in (Unit.PLATO, Unit.BRIX):
        return EXTRACT_LIMITS
    hard_unit, lowest, highest = HARD_LIMITS[kind]
    return _converted(float(lowest), hard_unit, unit), _converted(float(highest), hard_unit, unit)


def fits(kind: Kind, value: Decimal, unit: Unit, listening: Listening) -> bool:
    """Whether `value` is possible."""
    lowest, highest = limits_for(kind, unit, listening)
    return lowest <= value <= highest


def beyond(reading: Reading, listening: Listening) -> OutOfLimits | None:
    """The refusal that `reading` deserves, None when it is possible."""
    lowest, highest = limits_for(reading.kind, reading.unit, listening)
    return None if lowest <= reading.value <= highest else OutOfLimits(reading, (lowest, highest))
