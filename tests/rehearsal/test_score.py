"""What became of a line: right, asked, wrong or unheard, measured from the facts that it brought."""

from __future__ import annotations

from decimal import Decimal

import pytest
from brew_day import example
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import hydrometer, scales
from assistant.day import facts as f
from assistant.day.facts import Fact
from assistant.quantities import Unit
from assistant.rehearsal.lines import Line, spoken
from assistant.rehearsal.score import Outcome, Scored, score, totals
from assistant.rehearsal.world import World
from assistant.understanding.said import Kind, Reading

TEMPERATURE = Reading(Kind.TEMPERATURE, Decimal(24), Unit.CELSIUS, "")
GRAVITY = Reading(Kind.GRAVITY, Decimal("1.044"), Unit.SPECIFIC_GRAVITY, "")
BOTH = Line("twenty-four degrees ten forty-four", (TEMPERATURE, GRAVITY))


def heard(decision: str = "accept") -> f.UtteranceHeard:
    """An utterance that was decided about."""
    return f.UtteranceHeard("words", decision, 0.9, "an ear")


def gravity(said: str, sample_c: float = 24.0) -> f.GravityRead:
    """A gravity that was taken."""
    return f.GravityRead(1.044, sample_c, 1.045, 0.001, said)


@pytest.mark.parametrize(
    ("new", "outcome"),
    [
        ((heard(), gravity("1.044 SG")), Outcome.RIGHT),
        ((heard(), gravity("1.0440 SG")), Outcome.RIGHT),
        ((heard(), gravity("1.040 SG")), Outcome.WRONG),
        ((heard(), gravity("1.044 SG", sample_c=34.0)), Outcome.WRONG),
        ((heard(), gravity("1.044 SG"), f.TemperatureRead(80.0, 0.5, "80 °C")), Outcome.WRONG),
        ((heard("ask"), f.QuestionAsked("gravity", "SG", ("1.014", "1.040"), "close")), Outcome.ASKED),
        ((heard("reject"),), Outcome.REFUSED),
        ((heard(), f.ReadingRefused("gravity", "9 SG", "outside")), Outcome.REFUSED),
        ((), Outcome.UNHEARD),
    ],
)
def test_a_reading_is_scored_by_what_was_taken(new: tuple[Fact, ...], outcome: Outcome) -> None:
    """Right only when every reading taken is one that was said, at the temperature that was said."""
    assert outcome is score(BOTH, new, 0.0, None, "words").outcome


@pytest.mark.parametrize(
    ("line", "words", "outcome"),
    [
        (Line("what is next"), "what is next", Outcome.RIGHT),
        (Line("twenty-minute thing"), "twenty minute thing", Outcome.RIGHT),
        (Line("done"), "no", Outcome.WRONG),
        (Line("done", typed=True), "done", Outcome.TYPED),
    ],
)
def test_an_order_is_scored_by_its_words(line: Line, words: str, outcome: Outcome) -> None:
    """An order is right when its words were heard, whether or not it made sense."""
    assert outcome is score(line, (heard(),), 0.0, None, words).outcome


def scored(*outcomes: Outcome) -> list[Scored]:
    """The same reading said again and again."""
    return [Scored(BOTH, "", outcome, 0.0, None) for outcome in outcomes]


@pytest.mark.parametrize(
    ("outcomes", "wanted"),
    [
        ((), (0, 0, 0, 0, 0)),
        ((Outcome.RIGHT,), (1, 1, 0, 0, 0)),
        ((Outcome.ASKED, Outcome.RIGHT), (1, 0, 1, 0, 0)),
        ((Outcome.REFUSED, Outcome.UNHEARD, Outcome.RIGHT), (1, 0, 1, 0, 0)),
        ((Outcome.WRONG,), (1, 0, 0, 1, 0)),
        ((Outcome.ASKED, Outcome.WRONG), (1, 0, 0, 1, 0)),
        ((Outcome.REFUSED, Outcome.REFUSED, Outcome.TYPED), (1, 0, 0, 0, 1)),
        ((Outcome.UNHEARD,), (1, 0, 0, 0, 1)),
        ((Outcome.RIGHT, Outcome.RIGHT), (2, 2, 0, 0, 0)),
    ],
)
def test_readings_are_counted_once(outcomes: tuple[Outcome, ...], wanted: tuple[int, ...]) -> None:
    """Readings, right at once, right after a question, wrong, lost: a repeated reading counts once."""
    counted = totals(scored(*outcomes))
    assert wanted == (
        counted.readings,
        counted.right_at_once,
        counted.right_after_question,
        counted.wrong,
        counted.lost,
    )
    assert counted.readings == sum(wanted[1:])


# --- the world


@given(st.sampled_from(["hollow-lane", "ferry-lantern"]), st.floats(1.010, 1.090), st.integers(10, 65))
def test_the_worlds_hydrometer_undoes_the_correction(name: str, true_sg: float, sample_c: int) -> None:
    """What the rehearsed hydrometer shows, corrected again, is the true gravity within half a step of its scale."""
    plan = example(name)
    shown = World(plan).hydrometer(true_sg, float(sample_c))
    glass = plan.rig.hydrometer
    corrected = hydrometer.correct(
        float(shown.value),
        float(sample_c),
        calibration_c=glass.calibration_c,
        reading_sd_sg=glass.sd_sg,
        thermometer_sd_c=plan.rig.thermometer_sd_c,
        reads_in_water_sg=glass.reads_in_water_sg,
    )
    assert true_sg == pytest.approx(corrected.value, abs=0.00056)


def test_readings_come_in_the_brewers_units_and_steps() -> None:
    """Plato, Fahrenheit, whole degrees, half centimetres: as this brewer's instruments show them."""
    metric, plato, us = (World(example(name)) for name in ("hollow-lane", "lark-ridge", "ferry-lantern"))
    assert (Decimal(151), Unit.FAHRENHEIT) == (us.temperature(66.0).value, us.temperature(66.0).unit)
    assert Unit.PLATO is plato.gravity(1.048).unit
    assert scales.plato_from_sg(1.048) == pytest.approx(float(plato.gravity(1.048).value), abs=0.051)
    assert Decimal("1.048") == metric.gravity(1.0481).value
    depth = metric.kettle_volume(25.0, 70.0, 1.044)
    assert (Kind.DEPTH, 0) == (depth.kind, depth.value * 2 % 1)
    assert Kind.VOLUME is us.kettle_volume(25.0, 70.0, 1.044).kind


def test_the_kettle_cools_towards_its_water() -> None:
    """The rehearsed chill falls all the time and never below the cooling water."""
    world = World(example("hollow-lane"))
    course = [world.chill_c(60.0 * minute) for minute in range(60)]
    assert sorted(course, reverse=True) == course
    assert 14.0 < course[-1] < 15.0


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (TEMPERATURE, "twenty-four degrees"),
        (GRAVITY, "ten forty-four"),
        (Reading(Kind.GRAVITY, Decimal("11.9"), Unit.PLATO, ""), "eleven point nine plato"),
        (Reading(Kind.DEPTH, Decimal("30.5"), Unit.CENTIMETRE, ""), "thirty point five centimetres"),
        (Reading(Kind.VOLUME, Decimal("5.3"), Unit.US_GALLON, ""), "five point three gallons"),
    ],
)
def test_readings_are_said_as_brewers_do(reading: Reading, words: str) -> None:
    """Each kind of reading in words."""
    assert words == spoken(reading)
