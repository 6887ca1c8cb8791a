"""Advice against a mass balance written here by itself."""

from __future__ import annotations

from dataclasses import asdict

import pytest
from brew_day import example

from assistant.calculation import extract
from assistant.day import facts as f
from assistant.day.advice import Advice, as_fact, chosen_way, forecast, options
from assistant.day.facts import Stage
from assistant.day.state import State, Taken
from assistant.day.ways import Way

PLAN = example("hollow-lane")


def kettle(gravity_sg: float, volume_l: float, sd_sg: float = 0.0002, sd_l: float = 0.05) -> State:
    """The full kettle, read well enough that the readings decide."""
    gravity = f.GravityRead(gravity_sg, 20.0, gravity_sg, sd_sg, "")
    volume = f.VolumeRead(volume_l, volume_l, sd_l, "")
    return State(
        stage=Stage.PRE_BOIL,
        planned_boil_min=75.0,
        gravities=(Taken(gravity, 0.0, 1, Stage.PRE_BOIL),),
        volumes=(Taken(volume, 1.0, 2, Stage.PRE_BOIL),),
    )


def offered(state: State) -> dict[str, Way]:
    """The ways that are offered, by name."""
    found = options(PLAN, state, 0.0)
    assert isinstance(found, Advice)
    return {way.kind.value: way for way in found.ways}


@pytest.mark.parametrize(
    ("gravity_sg", "volume_l"), [(1.044, 24.9), (1.041, 25.0), (1.038, 25.5), (1.047, 25.0), (1.050, 24.0)]
)
def test_the_forecast_keeps_points_times_volume(gravity_sg: float, volume_l: float) -> None:
    """What was read before the boil, times its volume, is there at its end in what is left."""
    ahead = forecast(PLAN, kettle(gravity_sg, volume_l), 0.0)
    assert ahead is not None
    left_l = volume_l - 3.1 * 75.0 / 60.0
    points = 1.0 + (gravity_sg - 1.0) * volume_l / left_l
    # The belief of the plan has a small say beside two good readings: a point, and a quarter of a litre.
    assert points == pytest.approx(ahead.gravity_sg.value, abs=0.0015)
    assert left_l == pytest.approx(ahead.volume_l.value, abs=0.25)
    assert not ahead.assumed


@pytest.mark.parametrize("gravity_sg", [1.036, 1.038, 1.040])
def test_ways_to_raise_a_low_gravity_hit_the_target(gravity_sg: float) -> None:
    """Boiling longer by those minutes, or that much extract, ends at the gravity wanted: reckoned here again."""
    state = kettle(gravity_sg, 26.0)
    ahead = forecast(PLAN, state, 0.0)
    ways = offered(state)
    assert ahead is not None
    assert "leave" in ways
    assert "extract" in ways
    end_sg, end_l = ahead.gravity_sg.value, ahead.volume_l.value
    if "longer" in ways:
        left_l = end_l - 3.1 * ways["longer"].size.value / 60.0
        # Minutes are whole: half a minute of 3.1 L/h in 21 L is 0.06 points.
        assert 1.052 == pytest.approx(1.0 + (end_sg - 1.0) * end_l / left_l, abs=0.0005)
        assert left_l == pytest.approx(ways["longer"].end.volume_l.value, abs=0.05)
    # Extract and water in kilograms: what the kettle holds, and what the powder brings (95 % extract).
    extract_kg = extract.extract_kg(end_l, end_sg) + 0.95 * ways["extract"].size.value
    water_kg = (
        extract.wort_kg(end_l, end_sg) - extract.extract_kg(end_l, end_sg) + 0.05 * ways["extract"].size.value
    )
    assert 1.052 == pytest.approx(extract.wort_from(extract_kg, water_kg)[1], abs=0.0005)


@pytest.mark.parametrize("gravity_sg", [1.049, 1.051])
def test_water_lowers_a_high_gravity_to_the_target(gravity_sg: float) -> None:
    """The water offered brings points times volume to the gravity wanted."""
    state = kettle(gravity_sg, 26.0)
    ahead = forecast(PLAN, state, 0.0)
    ways = offered(state)
    assert ahead is not None
    assert {"water", "leave"} <= set(ways)
    assert not {"longer", "extract", "sugar"} & set(ways)
    thinned = 1.0 + (ahead.gravity_sg.value - 1.0) * ahead.volume_l.value / (
        ahead.volume_l.value + ways["water"].size.value
    )
    assert 1.052 == pytest.approx(thinned, abs=0.0005)


@pytest.mark.parametrize(("gravity_sg", "volume_l"), [(1.044, 24.9), (1.0445, 24.875), (1.015, 25.0)])
def test_nothing_is_offered_on_target_or_far_off(gravity_sg: float, volume_l: float) -> None:
    """On target there is nothing to do; far off the sample is doubted before anything is weighed."""
    assert None is options(PLAN, kettle(gravity_sg, volume_l), 0.0)


def test_no_forecast_without_a_gravity_or_after_the_boil() -> None:
    """Nothing is said about the end of a boil that nobody measured, or that is over."""
    assert None is forecast(PLAN, State(stage=Stage.PRE_BOIL, planned_boil_min=75.0), 0.0)
    assert None is forecast(PLAN, State(stage=Stage.CHILL), 0.0)


def test_the_offer_is_kept_as_it_was_made() -> None:
    """Kinds, sizes and all figures stand side by side in the journal, in the order of the ranking."""
    found = options(PLAN, kettle(1.038, 26.0), 0.0)
    assert found is not None
    given = as_fact(found)
    assert tuple(way.kind.value for way in found.ways) == given.kinds
    assert tuple(way.size.value for way in found.ways) == given.sizes
    parallel = {name: value for name, value in asdict(given).items() if isinstance(value, tuple)}
    refused = parallel.pop("not_possible")
    assert {len(found.ways)} == {len(value) for value in parallel.values()}
    assert tuple((way.kind.value, way.size.value, way.why_not) for way in found.not_possible) == refused


def test_a_chosen_way_tells_all_that_it_asks_for() -> None:
    """Of an offer, old or new, the choice carries minutes, extract and water: nothing must be looked up later."""
    found = options(PLAN, kettle(1.044, 22.5), 0.0)
    assert found is not None
    both = next(way for way in found.ways if way.kind == "both")
    chosen = chosen_way(as_fact(found), "both")
    assert (both.acts.extract_kg.value, both.acts.water_l.value) == (chosen.extract_kg, chosen.water_l)
    old = f.AdviceGiven(("longer", "extract", "leave"), (18.0, 0.41, 0.0), (1.044, 1.044, 1.038))
    assert f.AdviceChosen("longer", 18.0, minutes=18.0) == chosen_way(old, "longer")
    assert f.AdviceChosen("extract", 0.41, extract_kg=0.41) == chosen_way(old, "extract")
