"""What a made-up brewer says: a line with the readings that are truly in it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.phrasing import numbers
from assistant.quantities import Unit
from assistant.understanding.said import Kind, Reading


@dataclass(frozen=True, slots=True)
class Line:
    """One thing said.

    gust: the burner roars louder meanwhile. tries: how often it was said before. typed: at last on the keyboard.
    """

    text: str
    truth: tuple[Reading, ...] = ()
    gust: bool = False
    tries: int = 0
    incident: str = ""
    typed: bool = False

    def again(self) -> Line:
        """The same line, said again in a calmer moment."""
        return replace(self, gust=False, tries=self.tries + 1)


def reading_line(*readings: Reading, gust: bool = False, incident: str = "") -> Line:
    """Readings in one breath, as a brewer says them."""
    return Line(" ".join(spoken(item) for item in readings), readings, gust, incident=incident)


def spoken(reading: Reading) -> str:
    """A reading in words."""
    value, unit = float(reading.value), reading.unit
    match reading.kind:
        case Kind.TEMPERATURE:
            return f"{numbers.temperature_words(value)} degrees"
        case Kind.GRAVITY if unit is Unit.SPECIFIC_GRAVITY:
            return numbers.gravity_words(value)
        case Kind.GRAVITY:
            return numbers.gravity_in(value, unit)
        case Kind.DEPTH:
            return numbers.depth_words(value, unit)
        case _:
            return numbers.volume_words(value, unit)
