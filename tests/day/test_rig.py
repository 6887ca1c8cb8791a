"""What days teach of a rig, and what that makes of the next day."""

from __future__ import annotations

import math

import numpy as np
import pytest
from brew_day import BrewDay, altered, example
from simulated_kettle import PLAN

from assistant.day import advice, cooling, learning, rig
from assistant.day import facts as f
from assistant.day.rig import Figure
from assistant.day.state import State
from assistant.day.targets import gravity_target, volume_target_l
from assistant.phrasing.doubted import rig_remark

TAU_S, TAP_C = 330.0, 14.0
RIG = PLAN.rig.name


def learnt(**figures: tuple[float, float]) -> f.RigLearned:
    """A day that said this: figures by the names of `Figure`."""
    return f.RigLearned(RIG, tuple((Figure[name].value, *said) for name, said in figures.items()), 8.0)


def brewed(rate_l_per_h: float, tau_s: float = TAU_S, known: f.RigKnown | None = None) -> BrewDay:
    """A whole day on a kettle that boils off `rate_l_per_h`, with the readings that a brewer takes."""
    day = BrewDay(PLAN)
    day.loop.open(known=known)
    day.to_the_boil()
    day.types("31 cm")
    day.minutes_pass(40)
    before_l = day.state.volumes[-1].fact.cold_l
    points = 44.0 * before_l
    volume_l = before_l - rate_l_per_h * 40.0 / 60.0
    day.types(f"20 c {1.0 + points / volume_l / 1000.0:.4f} sg")
    day.minutes_pass(PLAN.beer.boil_min - 40.0)
    day.types("done", "chiller")
    if day.state.knockout_s is None:
        day.types("knockout")
    day.types("done")
    day.minutes_pass(0.5)
    day.types("water is on")
    for minutes in (3, 4, 5):
        day.minutes_pass(minutes)
        assert day.state.chill_on_s is not None
        seconds = day.now_s - day.state.chill_on_s
        day.types(f"{TAP_C + (99.0 - TAP_C) * math.exp(-seconds / tau_s):.1f} degrees")
    end_l = before_l - rate_l_per_h * PLAN.beer.boil_min / 60.0
    day.types("fermenter", "siphon", "thermometer")
    day.minutes_pass(3)
    day.types("18 degrees", "chill is done")
    day.minutes_pass(2)
    day.types("transfer is done")
    day.types(f"20 c {1.0 + points / end_l / 1000.0:.4f} sg")
    day.types("yeast is in")
    return day


def said_by(day: BrewDay, figure: Figure) -> tuple[float, float]:
    """What a day kept of a figure."""
    (kept,) = day.facts(f.RigLearned)
    assert isinstance(kept, f.RigLearned)
    return next((value, sd) for name, value, sd in kept.figures if name == figure)


@pytest.mark.parametrize("rate", [2.6, 3.1, 3.7])
def test_a_day_keeps_what_it_said_of_its_rig(rate: float) -> None:
    """When the yeast is in, boil-off, efficiency and chiller are in the journal, near the truth."""
    day = brewed(rate)
    said, sd = said_by(day, Figure.BOIL_OFF)
    assert rate == pytest.approx(said, abs=2.0 * sd)
    assert 0.1 < sd < 0.6
    log_tau, log_sd = said_by(day, Figure.CHILL_LOG_TAU)
    after_l = day.state.volumes[-1].fact.cold_l - rate * PLAN.beer.boil_min / 60.0
    assert math.log(TAU_S * rig.REFERENCE_L / after_l) == pytest.approx(log_tau, abs=2.0 * log_sd + 0.05)
    assert log_sd < 0.4
    said, sd = said_by(day, Figure.EXTRACT_PER_GRAIN)
    assert 0.55 < said < 0.70


def test_what_a_day_says_is_its_own() -> None:
    """A day that began with earlier days in mind says the same of its boil-off as one that knew nothing."""
    fresh = said_by(brewed(3.6), Figure.BOIL_OFF)
    history = rig.known(PLAN, [(name, learnt(BOIL_OFF=(3.7, 0.2))) for name in "abc"])
    knowing = said_by(brewed(3.6, known=history), Figure.BOIL_OFF)
    assert fresh == knowing


def test_only_days_of_the_same_rig_teach() -> None:
    """Another kettle's days, and a day left out, say nothing; the one left out is named."""
    other = f.RigLearned("another kettle", ((Figure.BOIL_OFF.value, 9.0, 0.1),))
    days = [("one", learnt(BOIL_OFF=(3.6, 0.2))), ("two", other), ("three", learnt(BOIL_OFF=(8.0, 0.2)))]
    found = rig.known(PLAN, days, left_out=["three"])
    assert found is not None
    assert (("one",), ("three",)) == (found.days, found.left_out)
    alone = rig.known(PLAN, days[:1])
    assert alone is not None
    assert alone.figures == found.figures
    assert rig.known(PLAN, days[1:2]) is None
    assert rig.known(PLAN, ()) is None


def test_three_days_move_forecast_target_and_chill() -> None:
    """With three days of 3.7 L/h the day reckons with that: more volume before the boil, and a sharper forecast."""
    three = [(name, learnt(BOIL_OFF=(3.7, 0.2), CHILL_LOG_TAU=(math.log(300.0), 0.1))) for name in "abc"]
    known = rig.known(PLAN, three)
    assert known is not None
    plain, taught = BrewDay.opened(PLAN), BrewDay(PLAN)
    taught.loop.open(known=known)
    assert any("boiled off three point" in text for text in taught.texts)
    for day in (plain, taught):
        day.to_the_boil()
    before = State(stage=f.Stage.PRE_BOIL, rig=known)
    wanted_l = volume_target_l(PLAN, before)
    wanted = gravity_target(PLAN, before, 0.0)
    assert wanted_l is not None
    assert wanted is not None
    rate = rig.boil_off_l_per_h(PLAN, taught.state)
    assert PLAN.volume_before_boil_l + (rate - PLAN.rig.boil_off_l_per_h) * 1.25 == pytest.approx(wanted_l)
    assert PLAN.beer.gravity_before_boil_sg - 0.0015 < wanted.gravity_sg < PLAN.beer.gravity_before_boil_sg
    unsure = advice.forecast(PLAN, plain.state, plain.now_s)
    sharper = advice.forecast(PLAN, taught.state, taught.now_s)
    assert unsure is not None
    assert sharper is not None
    assert sharper.volume_l.sd <= 0.95 * unsure.volume_l.sd
    assert sharper.volume_l.value < unsure.volume_l.value
    for day in (plain, taught):
        day.minutes_pass(76)
        day.types("knockout", "water is on")
    knows, guesses = cooling.at_start(PLAN, taught.state), cooling.at_start(PLAN, plain.state)
    assert knows is not None
    assert guesses is not None
    assert knows.covariance[2, 2] < 0.2 * guesses.covariance[2, 2]


def test_what_is_known_comes_back_with_the_journal() -> None:
    """After a power cut the day still reckons with its earlier days: they are in its own journal."""
    known = rig.known(PLAN, [("one", learnt(BOIL_OFF=(3.7, 0.1)))])
    day = BrewDay(PLAN)
    day.loop.open(known=known)
    day.types("start the day")
    day.power_cut(3)
    assert known == day.state.rig
    assert sum("boiled off" in text for text in day.texts) == 0  # said once, at the beginning


@pytest.mark.parametrize(
    ("rate", "sd", "days", "wanted"),
    [
        (
            3.6,
            0.15,
            3,
            "Your last three days boiled off three point six litres an hour,",
        ),
        (3.6, 0.15, 1, "Your last day boiled off three point six litres an hour"),
        (3.2, 0.15, 3, ""),
        (3.6, 0.40, 3, ""),
    ],
)
def test_another_boil_off_is_said_where_it_is_more_than_its_error(
    rate: float, sd: float, days: int, wanted: str
) -> None:
    """The plan is contradicted once, with both numbers and the one that counts, only where the days are sure."""
    known = f.RigKnown(RIG, ((Figure.BOIL_OFF.value, rate, sd, days),), ("a",))
    remark = rig_remark(known, PLAN)
    assert remark.startswith(wanted)
    assert bool(wanted) == remark.endswith("the plan says three point one: I reckon with three point six.")
    assert bool(wanted) == bool(remark)
    assert len(remark.split()) <= 24


def test_less_water_through_the_same_coil_cools_slower() -> None:
    """A day's chiller is moved to today's flow as a coil goes: slower with less water, and less sure for it."""
    slow = altered("hollow-lane", ('flow = "8 L/min"', 'flow = "5 L/min"'))
    days = [("one", learnt(CHILL_LOG_TAU=(math.log(350.0), 0.05)))]
    same, less = rig.known(PLAN, days), rig.known(slow, days)
    assert same is not None
    assert less is not None
    assert less.figures[0][1] > same.figures[0][1] + 0.1
    assert less.figures[0][2] > same.figures[0][2]


def test_a_day_that_read_nothing_teaches_nothing() -> None:
    """Without readings no figure is kept, and none is made up."""
    assert learning.of_day(PLAN, State()) is None


def test_a_days_figures_are_taken_back_with_its_end() -> None:
    """When "yeast is in" is taken back, the figures go with it, and come again with the next one."""
    day = brewed(3.4)
    day.types("scratch that")
    assert day.state.stage is not f.Stage.FERMENTING
    day.types("yeast is in")
    assert 2 == len(day.facts(f.RigLearned))


def test_a_plan_with_sugar_keeps_no_efficiency() -> None:
    """Sugar in the kettle would count as malt, so such a day says nothing of its grain."""
    sugar = altered("hollow-lane", ('kind = "nutrient"', 'kind = "sugar"'))
    assert sugar.additions != PLAN.additions
    day = BrewDay.opened(sugar)
    day.to_the_boil()
    day.types("31 cm")
    found = learning.of_day(sugar, day.state)
    assert found is None or Figure.EXTRACT_PER_GRAIN.value not in {name for name, _, _ in found.figures}
    plain = BrewDay.opened(example("hollow-lane"))
    plain.to_the_boil()
    plain.types("31 cm")
    with_malt = learning.of_day(PLAN, plain.state)
    assert with_malt is not None
    assert Figure.EXTRACT_PER_GRAIN.value in {name for name, _, _ in with_malt.figures}
    assert not np.isnan(with_malt.figures[0][1])
