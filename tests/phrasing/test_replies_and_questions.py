"""Answers, questions and information: the word that matters first, nothing asked twice the same way."""

from __future__ import annotations

import re

import pytest
from brew_day import EXAMPLES, BrewDay, example

from assistant.day import facts as f
from assistant.day.facts import Stage
from assistant.day.state import State
from assistant.phrasing import units
from assistant.phrasing.questions import question_text
from assistant.phrasing.readbacks import gravity_answer, temperature_answer, volume_answer
from assistant.phrasing.speakable import speakable

METRIC, PLATO, US = (example(name) for name in EXAMPLES)
KETTLE = State(stage=Stage.PRE_BOIL, planned_boil_min=75.0)


@pytest.mark.parametrize(
    ("candidates", "kind", "unit", "doubt", "wanted"),
    [
        (
            ("1.015", "1.050"),
            "gravity",
            "SG",
            "two readings are close",
            [
                "One five, or five zero?",
                "Say the gravity digit by digit.",
                "Type the gravity on the keyboard, or say skip.",
            ],
        ),
        (
            ("64",),
            "temperature",
            "°C",
            "heard badly",
            [
                "Sixty-four degrees: did I hear that right? Yes, or no.",
                "Say the temperature digit by digit.",
                "Type the temperature on the keyboard, or say skip.",
            ],
        ),
        (
            ("1.015",),
            "gravity",
            "SG",
            "far from what this stage makes likely",
            ["Ten fifteen: far from what I expect. Is that right? Yes, or no."],
        ),
    ],
)
def test_questions_are_put_another_way_each_time(
    candidates: tuple[str, ...], kind: str, unit: str, doubt: str, wanted: list[str]
) -> None:
    """Choice or yes-no first, then digits, then the keyboard."""
    asked = [
        question_text(f.QuestionAsked(kind, unit, candidates, doubt, times + 1)) for times in range(len(wanted))
    ]
    assert wanted == asked


@pytest.mark.parametrize(
    ("gravity_sg", "begins"),
    [
        (1.044, "On target: ten forty-four, give or take one. Wanted ten forty-four."),
        (1.0461, "High by two: ten forty-six"),
        (1.038, "Low by six: ten thirty-eight"),
        (1.020, "Low by twenty-four: ten twenty"),
    ],
)
def test_a_gravity_is_answered_with_the_verdict_first(gravity_sg: float, begins: str) -> None:
    """On target, low or high, by how much, the number, and what was wanted."""
    fact = f.GravityRead(gravity_sg, 20.0, gravity_sg, 0.0005, "")
    assert gravity_answer(fact, KETTLE, METRIC, 0.0).startswith(begins)


def test_a_far_miss_doubts_the_sample_and_takes_it_as_said() -> None:
    """Far off, nothing is offered for sale: stir and sample again."""
    low = gravity_answer(f.GravityRead(1.015, 20.0, 1.015, 0.0005, ""), KETTLE, METRIC, 0.0)
    assert "Far under: taken as said. Stir well and sample again" in low
    high = gravity_answer(f.GravityRead(1.070, 20.0, 1.070, 0.0005, ""), KETTLE, METRIC, 0.0)
    assert "Far over: taken as said." in high


@pytest.mark.parametrize(
    ("plan", "temperature_c", "stage", "wanted"),
    [
        (METRIC, 74.0, Stage.STRIKE, "On target: seventy-four."),
        (METRIC, 70.0, Stage.STRIKE, "Cold by four: seventy. Wanted seventy-four."),
        (US, (170.0 - 32.0) / 1.8, Stage.STRIKE, "Hot by four: one seventy. Wanted one sixty-six."),
        (METRIC, 64.0, Stage.RUN_OFF, "Sixty-four."),
        (METRIC, 40.0, Stage.CHILL, "Forty."),
    ],
)
def test_a_temperature_against_the_one_wanted(
    plan: object, temperature_c: float, stage: Stage, wanted: str
) -> None:
    """Hot or cold by how many degrees of the brewer's own scale."""
    fact = f.TemperatureRead(temperature_c, 0.5, "")
    assert wanted == temperature_answer(fact, State(stage=stage), plan, 0.0)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("cold_l", "begins"),
    [
        (24.9, "On target: "),
        (26.0, "Twenty-six litres, one point one litres over when cold."),
        (23.0, "Twenty-three"),
    ],
)
def test_a_volume_is_compared_cold(cold_l: float, begins: str) -> None:
    """Over or short by how much, at 20 °C."""
    assert volume_answer(f.VolumeRead(cold_l, cold_l, 0.3, ""), KETTLE, METRIC, 0.0).startswith(begins)


@pytest.mark.parametrize(
    ("litres", "plan", "wanted"),
    [
        (19.0, METRIC, "nineteen litres"),
        (26.24, METRIC, "twenty-six point two litres"),
        (5.25 * 3.785411784, US, "five and a quarter gallons"),
        (0.1 * 3.785411784, US, "zero point one gallons"),
    ],
)
def test_volumes_in_words(litres: float, plan: object, wanted: str) -> None:
    """Tenths, or quarters of gallons where they fit."""
    assert wanted == units.volume(litres, plan)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("dry hops in, 40 grams", "dry hops in, forty grams"),
        (
            "150 °C is outside -5 to 106.5 °C",
            "one hundred and fifty celsius is outside minus five to one hundred and six point five celsius",
        ),
        (
            "from 0 to 1000 mg/L, not 1.5 %",
            "from zero to one thousand milligrams per litre, not one point five per cent",
        ),
        ("at most 4.5 L/h", "at most four point five litres an hour"),
        ("50 10⁹ cells", "fifty billion cells"),
        ("not 94703571 L", "not over a million litres"),
        ("no figures", "no figures"),
    ],
)
def test_figures_are_said_as_words(text: str, words: str) -> None:
    """Numbers and unit signs of a written sentence are words before they are spoken."""
    assert words == speakable(text)


LINES = (
    "how long",
    "what is next",
    "where are we",
    "say again",
    "why",
    "help",
    "sound check",
    "louder",
    "softer",
    "make a note the burner is weak",
    "done",
    "skip",
    "scratch that",
    "flurble",
    "yes",
)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_line_is_answered_in_words_at_every_stage(name: str) -> None:
    """Whatever is asked, at any stage: one answer, no figures in it, and not longer than a breath and a half."""
    day = BrewDay.opened(example(name))
    for onward in ("", "start the day", "mash is in", "run off", "kettle is full", "boil is on", "knockout"):
        if onward:
            day.types(onward)
        day.seconds_pass(30)
        for line in LINES:
            said = day.types(line)
            assert said, f"{line} was not answered at {day.state.stage}"
            if line != "make a note the burner is weak":
                assert not [text for text in said if re.search(r"[0-9°/]", text)], line
            assert max(len(re.split(r"[ -]+", text)) for text in said) * 60.0 / 165 <= 13.5, said


def test_silence_is_obeyed_without_a_word() -> None:
    """ "Quiet" is not answered: the voice stops."""
    day = BrewDay.opened(example("hollow-lane"))
    assert [] == day.types("quiet")
    assert 1 == day.voice.silenced


def test_say_again_repeats_the_last_sentence() -> None:
    """The last sentence is said once more as it was."""
    day = BrewDay.opened(example("hollow-lane"))
    last = day.texts[-1]
    assert [last] == day.types("say again")


def test_why_gives_the_reckoning() -> None:
    """ "Why" tells what was read, what it is when corrected, what was wanted."""
    day = BrewDay.opened(example("hollow-lane"))
    assert ["I have no gravity yet to reason from."] == day.types("why")
    day.to_the_boil()
    (reason,) = day.types("why")
    assert reason.startswith("Read ten forty-four at twenty, ten forty-four when corrected. Wanted ten forty-four.")
    assert "you end at " in reason
