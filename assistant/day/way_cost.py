"""What a way out of a miss costs, in one number, so that the ways can be ranked.

The unit is what a brewer loses by a gravity half a tolerance beyond its tolerance. The weights are judgements of
the trade, no source; each stands with its reason in `WEIGHTS`, and tests hold the order that they give.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from assistant.day.ways import Case, Way, WayKind

# Doubt is spoken as two standard uncertainties everywhere; a miss inside it cannot be told from on target.
_BAND_SD: Final = 2.0


@dataclass(frozen=True, slots=True)
class Weight:
    """What one `per` of something costs, and why."""

    cost: float
    per: str
    why: str


WEIGHTS: Final[dict[str, Weight]] = {
    "gravity": Weight(2.0, "tolerance beyond the tolerance", "the recipe's strength and balance hang on it"),
    "short": Weight(0.4, "tolerance beyond the tolerance", "bottles that are not filled, but the beer is right"),
    "over": Weight(0.2, "tolerance beyond the tolerance", "beer that does not fit can be left in the kettle"),
    "a hand": Weight(0.1, "way but to leave it", "what mends next to nothing is not worth a hand at the kettle"),
    "longer": Weight(0.015, "minute", "time, flame, darker wort, hops that boil on"),
    "shorter": Weight(0.02, "minute", "less of the off-flavours boils away, and it cannot be undone"),
    "shorter at all": Weight(0.3, "way", "the hop times move under the brewer's hands"),
    "weighing": Weight(0.3, "way", "flame off, weighing, stirring, foam; and it may not be in the house"),
    "extract": Weight(1.2, "kg", "its price"),
    "sugar": Weight(4.0, "kg", "it thins the body"),
    "pouring": Weight(0.15, "way", "water to boil beside the kettle"),
    "water": Weight(0.05, "L", "more of it takes longer to boil"),
    "together": Weight(0.1, "way of two acts", "two things to get right at a hot kettle"),
    "bitterness": Weight(0.05, "IBU off the plan", "the beer is more bitter or less than wanted"),
}


def misses(way: Way, case: Case) -> tuple[float, float]:
    """How far the end misses gravity and volume, in tolerances; negative when low or short.

    A volume that was not read is taken to be on target, so that only the way's own change counts.
    """
    wanted = case.wanted
    gravity = (way.end.gravity_sg.value - wanted.gravity_sg) / wanted.gravity_tolerance_sg
    volume_l = way.end.volume_l.value - wanted.volume_l if case.volume_read else way.change_l
    return gravity, volume_l / wanted.volume_tolerance_l


def miss_cost(way: Way, case: Case) -> float:
    """What is left of the miss, as a cost; 0 within both tolerances."""
    gravity, volume = misses(way, case)
    side = "short" if volume < 0.0 else "over"
    return WEIGHTS["gravity"].cost * _beyond(gravity) + WEIGHTS[side].cost * _beyond(volume)


def cost(way: Way, case: Case) -> float:
    """All that a way costs: what it leaves of the miss, and what it asks for."""
    acts = way.acts
    minutes = acts.minutes.value
    total = miss_cost(way, case)
    if way.kind is not WayKind.LEAVE:
        total += WEIGHTS["a hand"].cost
    total += WEIGHTS["longer"].cost * max(0.0, minutes)
    if minutes < 0.0:
        total += WEIGHTS["shorter at all"].cost - WEIGHTS["shorter"].cost * minutes
    if acts.extract_kg.value or acts.sugar_kg.value:
        total += WEIGHTS["weighing"].cost
    total += WEIGHTS["extract"].cost * acts.extract_kg.value + WEIGHTS["sugar"].cost * acts.sugar_kg.value
    if acts.water_l.value:
        total += WEIGHTS["pouring"].cost + WEIGHTS["water"].cost * acts.water_l.value
    if way.kind is WayKind.BOTH:
        total += WEIGHTS["together"].cost
    if way.bitterness_off_ibu is not None:
        total += WEIGHTS["bitterness"].cost * abs(way.bitterness_off_ibu)
    return total


def cannot_be_told(leave: Way, case: Case) -> bool:
    """Whether every miss of leaving it lies within the band of the forecast: it may as well be on target."""
    gravity, volume = misses(leave, case)
    wanted = case.wanted
    band_sg = leave.end.gravity_sg.sd / wanted.gravity_tolerance_sg
    band_l = leave.end.volume_l.sd / wanted.volume_tolerance_l
    return all(abs(miss) <= max(1.0, _BAND_SD * band) for miss, band in ((gravity, band_sg), (volume, band_l)))


def ranked(ways: tuple[Way, ...], case: Case) -> tuple[Way, ...]:
    """The ways that can be done and mend something, cheapest first, and to leave it; each with its cost.

    Where the miss cannot be told from on target, leaving it comes first whatever the others cost.
    """
    leave = next(way for way in ways if way.kind is WayKind.LEAVE)
    left = miss_cost(leave, case)
    useful = [way for way in ways if not way.why_not and (way is leave or miss_cost(way, case) < left)]
    first = leave if cannot_be_told(leave, case) else None
    costed = [(way is not first, cost(way, case), way) for way in useful]
    return tuple(replace(way, cost=round(price, 3)) for _, price, way in sorted(costed, key=lambda item: item[:2]))


def _beyond(miss: float) -> float:
    return max(0.0, abs(miss) - 1.0)
