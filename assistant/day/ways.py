"""The ways out of a miss, each with what it asks for and where the boil ends with it.

Extract and water are conserved as masses; boiling takes water alone. Every end comes from the day's belief with the
way done just so: its band is what is not known of the kettle, not the brewer's scale. Volumes at 20 °C.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from assistant.calculation import extract
from assistant.calculation.corrections import FRACTION, Addition, Means, Weights, hit_both
from assistant.day.endings import (
    LITRE_KG,
    End,
    Wanted,
    chance_on_target,
    end_of,
    over,
    with_solids,
    with_water,
)
from assistant.day.estimate import Belief, boiled, minutes_for_gravity
from assistant.quantities import Measured, OutsideRange

# Longer than this and the beer changes more than its gravity (judgement, no source).
LONGEST_EXTRA_MIN: Final = 60.0
# Sugar beyond this share of the extract thins the body (common practice, no source).
MOST_SUGAR: Final = 0.10
# Less than this is not worth a hand at the kettle (judgement).
_LEAST_MINUTES: Final = 3.0
_LEAST_SOLIDS_KG: Final = 0.030
_LEAST_WATER_L: Final = 0.3
_ALIKE: Final = 0.05
_TOO_FULL: Final = "the kettle is too full"
_NOTHING: Final = Measured(0.0, 0.0)


class WayKind(StrEnum):
    """What a way is called; the brewer chooses it by this word."""

    LONGER = "longer"
    SHORTER = "shorter"
    EXTRACT = "extract"
    SUGAR = "sugar"
    WATER = "water"
    BOTH = "both"
    LEAVE = "leave"


@dataclass(frozen=True, slots=True)
class Case:
    """A kettle before its boil is over, and what may be done with it.

    boil_min: length of the boil as it stands; shorter_min: how much may be taken off it, and shorter_why what
    stands in the way of more. room_l: under the rim, hot, [L] now; room_end_l: after the boil.
    volume_read: False where the volume is the plan's alone; it is then taken to be on target, and only a way's
    own change of it counts.
    """

    belief: Belief
    boil_min: float
    wanted: Wanted
    shorter_min: float = 0.0
    shorter_why: str = ""
    room_l: float = math.inf
    room_end_l: float = math.inf
    volume_read: bool = True


@dataclass(frozen=True, slots=True)
class Acts:
    """What to do: minutes of boil more, fewer when negative; dry extract, sugar; water after the boil.

    The values are what to do, the bands how well it is known that just this is wanted.
    """

    minutes: Measured = _NOTHING
    extract_kg: Measured = _NOTHING
    sugar_kg: Measured = _NOTHING
    water_l: Measured = _NOTHING


@dataclass(frozen=True, slots=True)
class Way:
    """One way out of a miss: what to do, and where the boil ends with it.

    change_l: of the volume against leaving it. chance: that it ends on target (gravity alone where the volume was
    not read). met: whether what it goes for can be met. bitterness_ibu: its change against leaving it, and
    bitterness_off_ibu: how far the day then ends off the plan's, None where unknown.
    why_not: why it cannot be done, empty where it can; it then ends as if left. cost: see `way_cost`.
    """

    kind: WayKind
    end: End
    acts: Acts = Acts()
    change_l: float = 0.0
    chance: float = 0.0
    bitterness_ibu: Measured | None = None
    bitterness_off_ibu: float | None = None
    met: bool = True
    why_not: str = ""
    cost: float = 0.0

    @property
    def size(self) -> Measured:
        """The one number of a way [min, kg or L]: its solids, else its water, else its minutes."""
        acts = self.acts
        each = (acts.extract_kg, acts.sugar_kg, acts.water_l, acts.minutes)
        size = next((act for act in each if act.value), _NOTHING)
        return replace(size, value=abs(size.value))


def ways_out(case: Case) -> tuple[Way, ...]:
    """All ways that make sense in `case`, those that cannot be done with the reason; to leave it is always one."""
    left = boiled(case.belief, case.boil_min)
    leave = _ended(case, WayKind.LEAVE, left)
    ways: list[Way] = []
    makers = (_longer, _shorter, _extract, _sugar, _water, *((_both,) if case.volume_read else ()))
    for make in makers:
        try:
            found = tuple(make(case, left, leave.end))
        except OutsideRange:
            # Wort beyond the range of its density: this way leads there, another may not.
            continue
        ways.extend(way for way in found if not any(way.kind is other.kind or _alike(way, other) for other in ways))
    return (*ways, leave)


# --- one way each


def _longer(case: Case, left: Belief, end: End) -> Iterator[Way]:
    needed = minutes_for_gravity(case.belief, case.boil_min, case.wanted.gravity_sg)
    if needed is None or needed.value < _LEAST_MINUTES:
        return
    minutes = replace(needed, value=float(round(needed.value)))
    if minutes.value > LONGEST_EXTRA_MIN:
        yield _refused(WayKind.LONGER, left, "over an hour more", Acts(minutes=minutes))
        return
    yield _ended(case, WayKind.LONGER, left, Acts(minutes=minutes))


def _shorter(case: Case, left: Belief, end: End) -> Iterator[Way]:
    """Water that is not boiled away; where there is volume to spare, boiling less only adds to it."""
    over_l = end.volume_l.value - case.wanted.volume_l
    rate_l_per_h = left.mean[2] / LITRE_KG
    if end.gravity_sg.value <= case.wanted.gravity_sg or rate_l_per_h <= 0.0:
        return
    if case.volume_read and over_l > case.wanted.volume_tolerance_l:
        return
    water = over(left, lambda volume_l, sg: extract.water_to_add_l(volume_l, sg, case.wanted.gravity_sg))
    rate_sd = math.sqrt(float(left.covariance[2, 2])) / LITRE_KG
    value = 60.0 * water.value / rate_l_per_h
    sd = math.hypot(60.0 * water.sd / rate_l_per_h, value * rate_sd / rate_l_per_h)
    if value < _LEAST_MINUTES:
        return
    minutes = Measured(-float(round(value)), sd)
    if value > case.shorter_min:
        yield _refused(WayKind.SHORTER, left, case.shorter_why, Acts(minutes=minutes))
        return
    yield _ended(case, WayKind.SHORTER, left, Acts(minutes=minutes))


def _extract(case: Case, left: Belief, end: End) -> Iterator[Way]:
    if end.gravity_sg.value >= case.wanted.gravity_sg:
        return
    mass = _solids(case, left, Addition.DRY_EXTRACT)
    if mass.value < _LEAST_SOLIDS_KG:
        return
    way = _ended(case, WayKind.EXTRACT, left, Acts(extract_kg=mass))
    if way.change_l > case.room_l:
        way = _refused(WayKind.EXTRACT, left, _TOO_FULL, way.acts)
    yield way


def _sugar(case: Case, left: Belief, end: End) -> Iterator[Way]:
    if end.gravity_sg.value >= case.wanted.gravity_sg:
        return
    mass = _solids(case, left, Addition.SUCROSE)
    if mass.value < _LEAST_SOLIDS_KG:
        return
    way = _ended(case, WayKind.SUGAR, left, Acts(sugar_kg=mass))
    if mass.value > MOST_SUGAR * left.mean[1]:
        way = _refused(WayKind.SUGAR, left, "so much sugar thins the body", way.acts)
    elif way.change_l > case.room_l:
        way = _refused(WayKind.SUGAR, left, _TOO_FULL, way.acts)
    yield way


def _water(case: Case, left: Belief, end: End) -> Iterator[Way]:
    if end.gravity_sg.value <= case.wanted.gravity_sg:
        return
    needed = over(left, lambda volume_l, sg: extract.water_to_add_l(volume_l, sg, case.wanted.gravity_sg))
    water = replace(needed, value=round(needed.value, 1))
    if water.value < _LEAST_WATER_L:
        return
    if water.value > case.room_end_l:
        yield _refused(WayKind.WATER, left, _TOO_FULL, Acts(water_l=water))
        return
    yield _ended(case, WayKind.WATER, left, Acts(water_l=water))


def _both(case: Case, left: Belief, end: End) -> Iterator[Way]:
    """What brings gravity and volume to target together; where nothing does, what misses least by tolerances.

    An act that moves its target by less than half a tolerance is left out; one act alone gives the way its kind.
    """
    wanted = case.wanted
    rate_l_per_h = left.mean[2] / LITRE_KG
    means = Means(Measured(rate_l_per_h, 0.0), LONGEST_EXTRA_MIN, water_l=max(0.0, case.room_end_l))
    weights = Weights(
        (wanted.volume_l / wanted.volume_tolerance_l) ** 2,
        ((wanted.gravity_sg - 1.0) / wanted.gravity_tolerance_sg) ** 2,
    )
    at = (Measured(end.volume_l.value, 0.0), Measured(end.gravity_sg.value, 0.0))
    done = hit_both(*at, wanted.volume_l, wanted.gravity_sg, means=means, weights=weights)
    half_sg, half_l = 0.5 * wanted.gravity_tolerance_sg, 0.5 * wanted.volume_tolerance_l
    least_kg = extract.dry_extract_to_add_kg(wanted.volume_l, wanted.gravity_sg - half_sg, wanted.gravity_sg)
    minutes = _worth(float(round(done.minutes.value)), 60.0 * half_l / max(rate_l_per_h, 1e-9))
    solids_kg = _worth(round(done.solids_kg.value, 2), least_kg)
    water_l = _worth(round(done.water_l.value, 1), half_l)
    if not (minutes or solids_kg or water_l):
        return
    bands = _bands_when_met(left, rate_l_per_h, solids_kg) if done.met else (0.0, 0.0, 0.0)
    acts = Acts(
        minutes=Measured(minutes, bands[0]) if minutes else _NOTHING,
        extract_kg=Measured(solids_kg, bands[1]) if solids_kg else _NOTHING,
        water_l=Measured(water_l, bands[2]) if water_l else _NOTHING,
    )
    asked = [
        kind
        for kind, value in ((WayKind.LONGER, minutes), (WayKind.EXTRACT, solids_kg), (WayKind.WATER, water_l))
        if value
    ]
    way = _ended(case, asked[0] if len(asked) == 1 else WayKind.BOTH, left, acts)
    if len(asked) == 1 and not done.met:
        band = _band_of_least_miss(way, end, wanted)
        banded = [replace(act, sd=band) if act.value else act for act in (acts.minutes, acts.water_l)]
        way = replace(way, acts=Acts(minutes=banded[0], water_l=banded[1]))
    full = solids_kg * extract.DRY_EXTRACT_FRACTION > case.room_l
    whole = len(asked) == sum(act.value > 0.0 for act in (done.minutes, done.solids_kg, done.water_l))
    yield replace(way, met=done.met and whole, why_not=_TOO_FULL if full else "")


def _bands_when_met(left: Belief, rate_l_per_h: float, solids_kg: float) -> tuple[float, float, float]:
    """The spread of what both targets want [min, kg, L]: linear in the water and extract that are there."""
    share = FRACTION[Addition.DRY_EXTRACT]
    covariance = left.covariance
    solids_sd = math.hypot(math.sqrt(float(covariance[1, 1])), solids_kg * share.sd) / share.value
    by_extract = (1.0 - share.value) / share.value if solids_kg else 0.0
    water_variance = covariance[0, 0] - 2.0 * by_extract * covariance[0, 1] + by_extract**2 * covariance[1, 1]
    water_l_sd = math.sqrt(max(0.0, float(water_variance))) / LITRE_KG
    return 60.0 * water_l_sd / max(rate_l_per_h, 1e-9), solids_sd, water_l_sd


def _band_of_least_miss(way: Way, end: End, wanted: Wanted) -> float:
    """The spread of one act that balances two misses, each squared in its tolerance (linear about the end)."""
    size = way.size.value
    by_gravity = (way.end.gravity_sg.value - end.gravity_sg.value) / size / wanted.gravity_tolerance_sg
    by_volume = (way.end.volume_l.value - end.volume_l.value) / size / wanted.volume_tolerance_l
    steep = by_gravity**2 + by_volume**2
    gravity = by_gravity / steep * end.gravity_sg.sd / wanted.gravity_tolerance_sg
    volume = by_volume / steep * end.volume_l.sd / wanted.volume_tolerance_l
    return math.sqrt(max(0.0, gravity**2 + volume**2 + 2.0 * end.correlation * gravity * volume))


def _worth(value: float, least: float) -> float:
    return value if value >= least else 0.0


def _alike(one: Way, other: Way) -> bool:
    """Whether two ways ask for the same, so that one name is enough."""
    pairs = (
        (one.acts.minutes, other.acts.minutes, _LEAST_MINUTES),
        (one.acts.extract_kg, other.acts.extract_kg, _LEAST_SOLIDS_KG),
        (one.acts.sugar_kg, other.acts.sugar_kg, _LEAST_SOLIDS_KG),
        (one.acts.water_l, other.acts.water_l, _LEAST_WATER_L),
    )
    return all(
        abs(first.value - second.value) <= max(least, _ALIKE * abs(second.value)) for first, second, least in pairs
    )


# --- what they share


def _solids(case: Case, left: Belief, addition: Addition) -> Measured:
    share = FRACTION[addition]
    wanted_sg = case.wanted.gravity_sg
    needed = over(left, lambda volume_l, sg: extract.dry_extract_to_add_kg(volume_l, sg, wanted_sg, share.value))
    # Packets differ: the mass is wanted as much more as its extract is less.
    sd = math.hypot(needed.sd, needed.value * share.sd / share.value)
    return Measured(round(needed.value, 2), sd)


def _refused(kind: WayKind, left: Belief, why: str, acts: Acts) -> Way:
    return Way(kind, end_of(left), acts, why_not=why)


def _ended(case: Case, kind: WayKind, left: Belief, acts: Acts = Acts()) -> Way:
    """The way done just so, and where it ends."""
    after = boiled(case.belief, case.boil_min + acts.minutes.value) if acts.minutes.value else left
    for addition, mass in ((Addition.DRY_EXTRACT, acts.extract_kg), (Addition.SUCROSE, acts.sugar_kg)):
        after = with_solids(after, mass.value, FRACTION[addition])
    end = end_of(with_water(after, acts.water_l.value))
    change_l = end.volume_l.value - end_of(left).volume_l.value
    seen = end
    if not case.volume_read:
        seen = replace(end, volume_l=Measured(case.wanted.volume_l + change_l, end.volume_l.sd))
    chance = chance_on_target(seen, case.wanted, case.volume_read)
    return Way(kind, end, acts, change_l, chance)
