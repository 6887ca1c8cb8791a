"""How likely a value is at this stage: heavy-tailed, so that a real surprise is never ruled out."""

from __future__ import annotations

import math
from typing import Final

from assistant.quantities import convert
from assistant.understanding.said import Listening, Reading

# Student's t with this many degrees of freedom around what is expected.
DEGREES_OF_FREEDOM: Final = 3.0


def spreads_away(reading: Reading, listening: Listening) -> float | None:
    """Distance from the expected value in spreads; None where nothing is expected or scales do not convert."""
    expected = listening.expectation(reading.kind)
    if expected is None:
        return None
    try:
        value = convert(float(reading.value), reading.unit, expected.unit)
    except ValueError:
        return None
    return abs(value - expected.value) / expected.spread


def log_plausibility(reading: Reading, listening: Listening) -> float:
    """Natural log of the likelihood against that of the expected value: 0 there, falling on both sides.

    Where nothing is expected every value is as likely: 0.
    """
    away = spreads_away(reading, listening)
    if away is None:
        return 0.0
    return -(DEGREES_OF_FREEDOM + 1.0) / 2.0 * math.log1p(away * away / DEGREES_OF_FREEDOM)
