"""The order of the ways out of a miss is the one that a brewer would agree with."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from assistant.calculation import extract
from assistant.day.endings import Wanted, chance_on_target
from assistant.day.estimate import Belief
from assistant.day.way_cost import WEIGHTS, cannot_be_told, cost, ranked
from assistant.day.ways import Case, Way, WayKind, ways_out
from assistant.quantities import Measured

# Nineteen litres and two left in the kettle, two points and half a litre either way, 3.1 L an hour.
WANTED = Wanted(1.052, 21.0, 0.002, 0.5)
BOIL_MIN = 75.0
RATE_KG_H = 3.1 * 0.9982


def case(end_sg: float, end_l: float, sd: float = 0.001, **more: float | bool) -> Case:
    """A kettle that is known to end there, each mass to a share of `sd`."""
    extract_kg = extract.extract_kg(end_l, end_sg)
    water_kg = extract.wort_kg(end_l, end_sg) - extract_kg + RATE_KG_H * BOIL_MIN / 60.0
    spread = np.diag(np.square([sd * water_kg, sd * extract_kg, 0.001]))
    belief = Belief(0.0, (water_kg, extract_kg, RATE_KG_H), spread)
    return Case(belief, BOIL_MIN, WANTED, **more)  # type: ignore[arg-type]


def order(of: Case) -> list[str]:
    """The names of the ways that can be done, best first."""
    return [way.kind.value for way in ranked(ways_out(of), of)]


@pytest.mark.parametrize(
    ("end_sg", "end_l", "first"),
    [
        (1.049, 22.3, "longer"),
        (1.047, 23.5, "longer"),
        (1.048, 20.2, "extract"),
        (1.046, 21.0, "extract"),
        (1.055, 20.0, "water"),
        (1.058, 21.5, "water"),
        (1.046, 19.0, "both"),
        (1.052, 19.0, "both"),
        (1.052, 18.0, "both"),
        (1.052, 21.0, "leave"),
        (1.0535, 20.6, "leave"),
        (1.0505, 21.4, "leave"),
        (1.0497, 21.0, "leave"),
        (1.052, 20.0, "leave"),
        (1.052, 23.0, "leave"),
    ],
)
def test_the_best_way_is_the_brewer_s(end_sg: float, end_l: float, first: str) -> None:
    """Low and over: boil. Low and short: extract. High: water. Both far off: both. Within or just out: leave it."""
    assert first == order(case(end_sg, end_l))[0]


def test_what_cannot_be_done_is_told_with_its_reason_and_not_ranked() -> None:
    """Over an hour of boil, a kettle that is full, and much sugar stand apart with why."""
    full = case(1.044, 21.0, room_l=0.1)
    reasons = {way.kind.value: way.why_not for way in ways_out(full) if way.why_not}
    assert {"longer": "over an hour more", "extract": "the kettle is too full"}.items() <= reasons.items()
    assert "sugar" in reasons
    assert ["leave"] == order(full)
    brimful = case(1.058, 21.0, room_end_l=0.2)
    assert "the kettle is too full" == next(way.why_not for way in ways_out(brimful) if way.kind is WayKind.WATER)


def test_a_shorter_boil_is_offered_where_it_fits() -> None:
    """High before the boil is on: some minutes less are a way, unless something to come would be late for it."""
    able = case(1.0555, 20.5, shorter_min=40.0)
    shorter = next(way for way in ways_out(able) if way.kind is WayKind.SHORTER)
    assert shorter.acts.minutes.value < 0.0
    assert WANTED.gravity_sg == pytest.approx(shorter.end.gravity_sg.value, abs=0.0001)
    late = case(1.0555, 20.5, shorter_min=5.0, shorter_why="an addition would be late")
    assert "an addition would be late" == next(way.why_not for way in ways_out(late) if way.kind is WayKind.SHORTER)


def test_a_little_sugar_is_a_way_behind_extract() -> None:
    """Where the miss is small, sugar comes after extract: it is in the house, and thins the body."""
    assert ["extract", "sugar"] == [kind for kind in order(case(1.0492, 21.0)) if kind in ("extract", "sugar")]


def test_a_miss_inside_its_band_leaves_it_first() -> None:
    """What cannot be told from on target is left, whatever the ways cost; known sharply, it is mended."""
    sharp, blurred = case(1.048, 21.0, sd=0.002), case(1.048, 21.0, sd=0.06)
    leave = {name: ways_out(of)[-1] for name, of in (("sharp", sharp), ("blurred", blurred))}
    assert not cannot_be_told(leave["sharp"], sharp)
    assert "extract" == order(sharp)[0]
    assert cannot_be_told(leave["blurred"], blurred)
    assert "leave" == order(blurred)[0]


def test_a_volume_that_was_not_read_counts_by_its_change_alone() -> None:
    """Without a volume nobody is told to mend one: only what a way takes away or adds is a cost."""
    unread = case(1.048, 26.0, volume_read=False)
    assert "both" not in order(unread)
    assert "extract" == order(unread)[0]


def test_each_weight_raises_the_cost_of_its_ways() -> None:
    """A way that takes more of anything costs more: minutes, extract, sugar, water, bitterness."""
    of = case(1.048, 21.0)
    way = next(way for way in ways_out(of) if way.kind is WayKind.EXTRACT)
    more = [
        replace(way, acts=replace(way.acts, **{name: Measured(amount, 0.0)}))
        for name, amount in (("minutes", 9.0), ("extract_kg", 2.0), ("sugar_kg", 0.2), ("water_l", 1.0))
    ]
    more.append(replace(way, bitterness_off_ibu=-4.0))
    assert all(cost(dearer, of) > cost(way, of) for dearer in more)


def test_the_weights_say_why() -> None:
    """Each weight is positive and has its unit and its reason beside it."""
    assert all(weight.cost > 0.0 and weight.per and weight.why for weight in WEIGHTS.values())


@pytest.mark.parametrize(
    ("end_sg", "end_l", "sd"), [(1.0505, 20.7, 0.02), (1.049, 21.4, 0.03), (1.052, 21.0, 0.01)]
)
def test_the_chance_is_that_of_many_kettles(end_sg: float, end_l: float, sd: float) -> None:
    """Of many kettles drawn from the belief, as many end within both tolerances as the chance says."""
    of = case(end_sg, end_l, sd)
    random = np.random.default_rng(20261125)
    extract_kg, left_kg = of.belief.mean[1], of.belief.mean[0] - RATE_KG_H * BOIL_MIN / 60.0
    size = 20_000
    extracts = random.normal(extract_kg, of.belief.covariance[1, 1] ** 0.5, size)
    waters = random.normal(left_kg, of.belief.covariance[0, 0] ** 0.5, size)
    ends = [extract.wort_from(float(one), float(other)) for one, other in zip(extracts, waters, strict=True)]
    inside = [abs(sg - WANTED.gravity_sg) <= 0.002 and abs(litres - 21.0) <= 0.5 for litres, sg in ends]
    leave: Way = ways_out(of)[-1]
    assert np.mean(inside) == pytest.approx(leave.chance, abs=0.015)


def test_the_chance_of_gravity_alone_is_a_share_of_the_normal() -> None:
    """Two standard deviations of half-width hold 95.45 % (tables of the normal distribution)."""
    end = ways_out(case(1.052, 21.0))[-1].end
    broad = replace(end, gravity_sg=Measured(1.052, 0.001))
    assert 0.9545 == pytest.approx(chance_on_target(broad, WANTED, volume_read=False), abs=1e-4)
