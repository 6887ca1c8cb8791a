"""Whatever the kettle: masses are kept in each way, its end is the direct sum, and it ends where it says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from brew_day import example
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.calculation import extract
from assistant.day import facts as f
from assistant.day.advice import options
from assistant.day.endings import Wanted
from assistant.day.estimate import Belief, boiled
from assistant.day.facts import Stage
from assistant.day.state import BoilClock, State, Taken
from assistant.day.ways import Case, Way, WayKind, ways_out
from assistant.quantities import Measured

PLAN = example("hollow-lane")
# kg of water in a litre at 20 °C (Kell 1975), of extract in a kilogram of dry extract (common practice).
LITRE_KG, DRY = 0.99820, 0.95

cases = st.builds(
    lambda sg, litres, off_sg, off_l, rate, sd: Case(
        belief=_belief(sg, litres, rate, sd),
        boil_min=60.0,
        wanted=Wanted(sg + off_sg, litres + off_l, 0.002, 0.5),
        shorter_min=20.0,
        shorter_why="an addition would be late",
        room_l=2.0,
        room_end_l=3.0,
    ),
    sg=st.floats(1.030, 1.085),
    litres=st.floats(8.0, 60.0),
    off_sg=st.floats(-0.015, 0.015),
    off_l=st.floats(-4.0, 4.0),
    rate=st.floats(1.5, 6.0),
    sd=st.floats(0.001, 0.03),
)


def _belief(sg: float, litres: float, rate_l_per_h: float, sd: float) -> Belief:
    """A kettle that ends at `sg` and `litres` after an hour."""
    extract_kg = extract.extract_kg(litres, sg)
    water_kg = extract.wort_kg(litres, sg) - extract_kg + rate_l_per_h * LITRE_KG
    spread = np.diag(np.square([sd * water_kg, sd * extract_kg, 0.05 * rate_l_per_h]))
    return Belief(0.0, (water_kg, extract_kg, rate_l_per_h * LITRE_KG), spread)


def end_by_hand(case: Case, way: Way) -> tuple[float, float]:
    """Volume and gravity after what the way asks for, from the masses alone."""
    acts = way.acts
    water_kg, extract_kg, rate = case.belief.mean
    hours = (case.boil_min + acts.minutes.value) / 60.0
    extract_kg += DRY * acts.extract_kg.value + acts.sugar_kg.value
    water_kg += (1.0 - DRY) * acts.extract_kg.value + LITRE_KG * acts.water_l.value - rate * hours
    return extract.wort_from(extract_kg, water_kg)


@settings(max_examples=60, deadline=None)
@given(cases)
def test_every_way_ends_where_its_masses_lead(case: Case) -> None:
    """Extract and water of each way are conserved: its end is the sum made here by itself."""
    for way in ways_out(case):
        if not way.why_not:
            volume_l, sg = end_by_hand(case, way)
            assert volume_l == pytest.approx(way.end.volume_l.value, abs=0.002)
            assert sg == pytest.approx(way.end.gravity_sg.value, abs=0.00002)


@settings(max_examples=60, deadline=None)
@given(cases)
def test_nothing_negative_is_asked_for(case: Case) -> None:
    """No way asks for less than nothing, but minutes of a shorter boil; leaving it asks for nothing."""
    for way in ways_out(case):
        acts = way.acts
        assert min(acts.extract_kg.value, acts.sugar_kg.value, acts.water_l.value, way.size.value) >= 0.0
        assert (acts.minutes.value < 0.0) == (way.kind is WayKind.SHORTER)
        assert (way.kind is WayKind.LEAVE) == (way.size.value == 0.0)
        assert way.why_not or 0.0 <= way.chance <= 1.0


@settings(max_examples=60, deadline=None)
@given(cases)
def test_a_way_that_is_met_ends_on_target(case: Case) -> None:
    """Each single way reaches the gravity, and both reach both, to the step that is weighed, poured or waited."""
    wanted = case.wanted
    for way in ways_out(case):
        if way.why_not or not way.met or way.kind is WayKind.LEAVE:
            continue
        # Ten grams, a tenth of a litre and a minute in ten litres or more; what was left out as too little.
        near_sg = 0.0013 if way.kind is WayKind.BOTH else 0.0008
        assert wanted.gravity_sg == pytest.approx(way.end.gravity_sg.value, abs=near_sg)
        if way.kind is WayKind.BOTH:
            assert wanted.volume_l == pytest.approx(way.end.volume_l.value, abs=0.35)


@settings(max_examples=40, deadline=None)
@given(cases)
def test_the_compromise_misses_no_more_than_leaving_it(case: Case) -> None:
    """Where both cannot be met, what is offered for it lessens the miss in tolerances, squared and summed."""

    def miss(way: Way) -> float:
        wanted = case.wanted
        gravity = (way.end.gravity_sg.value - wanted.gravity_sg) / wanted.gravity_tolerance_sg
        return gravity**2 + ((way.end.volume_l.value - wanted.volume_l) / wanted.volume_tolerance_l) ** 2

    *ways, leave = ways_out(case)
    for way in ways:
        if not way.met and not way.why_not:
            assert miss(way) <= miss(leave) + 1e-6


@pytest.mark.parametrize("kind", [WayKind.EXTRACT, WayKind.WATER, WayKind.LONGER, WayKind.BOTH])
def test_the_band_of_a_size_is_that_of_many_kettles(kind: WayKind) -> None:
    """The spread of what is asked for is the spread of what many kettles of the belief would ask for."""
    off_sg, off_l = {WayKind.WATER: (-0.006, 0.0), WayKind.BOTH: (0.004, 2.0)}.get(kind, (0.005, -0.3))
    case = Case(_belief(1.050, 20.0, 3.0, 0.01), 60.0, Wanted(1.050 + off_sg, 20.0 + off_l, 0.002, 0.5))
    way = next(way for way in ways_out(case) if way.kind is kind)
    random = np.random.default_rng(11)
    sizes = []
    for _ in range(250):
        drawn = random.multivariate_normal(case.belief.mean, case.belief.covariance)
        one = replace(case, belief=replace(case.belief, mean=tuple(float(item) for item in drawn)))
        found = next((item for item in ways_out(one) if item.kind is kind), None)
        sizes.append(0.0 if found is None else found.size.value)
    assert np.std(sizes) == pytest.approx(way.size.sd, rel=0.15)


def exact_kettle(gravity_sg: float, volume_l: float, boil: BoilClock | None = None, at_min: float = 0.0) -> State:
    """The full kettle, read without error."""
    stage = Stage.PRE_BOIL if boil is None else Stage.BOIL
    gravity = f.GravityRead(gravity_sg, 20.0, gravity_sg, 1e-7, "")
    volume = f.VolumeRead(volume_l, volume_l, 1e-6, "")
    return State(
        stage=stage,
        planned_boil_min=75.0,
        boil=boil,
        gravities=(Taken(gravity, 0.0, 1, stage, at_min),),
        volumes=(Taken(volume, 1.0, 2, stage, at_min),),
    )


@pytest.mark.parametrize(("gravity_sg", "volume_l"), [(1.038, 25.5), (1.0405, 23.0), (1.049, 24.0), (1.044, 22.0)])
def test_with_exact_readings_the_ends_are_the_direct_sum(gravity_sg: float, volume_l: float) -> None:
    """Where the readings leave no doubt, each way ends where boil, extract and water lead from them."""
    found = options(PLAN, exact_kettle(gravity_sg, volume_l), 0.0)
    assert found is not None
    for way in found.ways:
        acts, (end_l, end_sg) = way.acts, extract.boil(volume_l, gravity_sg, 75.0, 3.1)
        if acts.minutes.value:
            end_l, end_sg = extract.boil(volume_l, gravity_sg, 75.0 + acts.minutes.value, 3.1)
        end_l, end_sg = extract.add_solids(end_l, end_sg, acts.extract_kg.value, DRY)
        end_l, end_sg = extract.add_solids(end_l, end_sg, acts.sugar_kg.value, 1.0)
        end_l, end_sg = extract.add_water(end_l, end_sg, acts.water_l.value)
        # A sample is not the whole kettle (0.4 points): the plan keeps a small say.
        assert end_sg == pytest.approx(way.end.gravity_sg.value, abs=0.0003)
        assert end_l == pytest.approx(way.end.volume_l.value, abs=0.02)


def test_the_boil_may_be_shortened_only_before_what_is_to_come() -> None:
    """With twelve minutes left and hops at five, nothing is taken off that would make them late."""
    boil = BoilClock(1, 100.0, 0.0)
    now_s = 88.0 * 60.0
    found = options(PLAN, exact_kettle(1.056, 20.6, boil, at_min=88.0), now_s)
    assert found is not None
    short = [way for way in (*found.ways, *found.not_possible) if way.kind is WayKind.SHORTER]
    assert all(-way.acts.minutes.value <= 2.0 or way.why_not == "an addition would be late" for way in short)
    assert short


def test_boil_bands_widen_with_the_time() -> None:
    """Boiling longer leaves more in doubt than leaving it: the boil-off is not known exactly."""
    case = Case(_belief(1.045, 22.0, 3.0, 0.01), 60.0, Wanted(1.050, 21.0, 0.002, 0.5))
    ways = {way.kind: way for way in ways_out(case)}
    longer, leave = ways[WayKind.LONGER].end, ways[WayKind.LEAVE].end
    assert longer.volume_l.sd > leave.volume_l.sd
    assert boiled(case.belief, 60.0).mean[1] == case.belief.mean[1]
    assert isinstance(longer.gravity_sg, Measured)
