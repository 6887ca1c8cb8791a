"""Bitterness in one breath: the number first, short enough for wet hands, no figure that a voice cannot read."""

from __future__ import annotations

import re
from types import MappingProxyType

import pytest
from brew_day import EXAMPLES, BrewDay, altered, example

from assistant.day import facts as f
from assistant.day.facts import Stage
from assistant.day.state import BoilClock, State
from assistant.phrasing.bitterness_words import (
    bitterness_moved,
    how_bitter,
    late_words,
    make_up_taken,
    planned_line,
    report_lines,
    why_so_bitter,
)

METRIC, _, US = (example(name) for name in EXAMPLES)
MOST_WORDS = 22


@pytest.mark.parametrize(
    ("fact", "wanted"),
    [
        (
            f.BitternessMoved(28.8, 6.5, 31.2, 480.0, 1, 0.007),
            "Twenty-nine IBU instead of thirty-one. Seven grams more at the twenty-minute hops? Yes, or no.",
        ),
        (
            f.BitternessMoved(33.6, 6.5, 31.2, 0.0, 4, -0.012),
            "Thirty-four IBU instead of thirty-one. Twelve grams less at the five-minute hops? Yes, or no.",
        ),
        (
            f.BitternessMoved(8.4, 2.0, 31.2, 0.0, -1, 0.0, "No hops are to come that make it up"),
            "Eight IBU instead of thirty-one. No hops are to come that make it up.",
        ),
        (f.BitternessMoved(29.4, 6.5, 31.2, 0.0, 1, 0.0), "Twenty-nine IBU instead of thirty-one."),
    ],
)
def test_what_it_comes_to_and_what_makes_up(fact: f.BitternessMoved, wanted: str) -> None:
    """The bitterness instead of the plan's, and the one change that mends it, or why there is none."""
    assert wanted == bitterness_moved(fact, METRIC)


def test_how_late_is_told_from_a_minute_on() -> None:
    """Half a minute is nobody's fault; eight are named."""
    assert "" == late_words(f.BitternessMoved(29.0, 6.0, 31.0, 30.0))
    assert ", eight minutes late" == late_words(f.BitternessMoved(29.0, 6.0, 31.0, 480.0))


def test_the_whole_mass_is_told_when_it_is_taken() -> None:
    """What the scale has to show in all, in grams or ounces."""
    taken = State(made_up_kg=MappingProxyType({1: 0.007}))
    assert "Twenty-five grams in all at the twenty-minute hops." == make_up_taken(
        f.MakeUpTaken(1, 0.007), taken, METRIC
    )
    ounces = State(made_up_kg=MappingProxyType({1: 0.4 * 0.028349523}))
    told = make_up_taken(f.MakeUpTaken(1, 0.4 * 0.028349523), ounces, US)
    assert "Zero point nine ounces in all at the twenty-minute hops." == told


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_word_of_it_can_be_spoken_in_a_breath(name: str) -> None:
    """Through a boil with late hops, each answer about bitterness has at most 22 words and no figures or signs."""
    day = BrewDay.opened(example(name))
    day.to_the_boil()
    said = []
    for _ in range(6):
        said += [text for text in day.types("done", "how bitter") if "IBU" in text]
        assert not re.search(r"[0-9%°±]", why_so_bitter(day.state, day.plan, day.now_s))
        day.minutes_pass(11)
    assert len(said) > 5
    for text in said:
        # What was taken for granted is a second breath; it is the brewer's own silence that is told.
        first = text.split(" I count ")[0]
        assert len(first.split()) <= MOST_WORDS, first
        assert not re.search(r"[0-9%°±]", text)


def test_after_the_day_there_is_nothing_to_come() -> None:
    """With the wort cold the answer is what is in, without "so far"."""
    boil = BoilClock(1, 75.0, 0.0)
    cold = State(stage=Stage.PITCH, planned_boil_min=75.0, boil=boil, knockout_s=4500.0, chill_on_s=4560.0)
    assert "none so far" not in how_bitter(cold, METRIC, 9000.0)
    assert "as it goes" not in how_bitter(cold, METRIC, 9000.0)


def test_the_plan_tells_kinetics_and_tables() -> None:
    """One line has the bitterness with its band, what the brewer wants, and both tables of the trade."""
    assert "31 IBU ± 14, wanted 31; 34 by Tinseth, 39 by Rager" == planned_line(METRIC)
    none = altered("hollow-lane", ('alpha = "9.8 %"\n', ""), ('alpha = "5.5 %"\n', ""))
    assert "" == planned_line(none)
    assert [] == list(report_lines(none, State(planned_boil_min=75.0), 0.0))


def test_the_report_has_a_line_for_each_addition() -> None:
    """The report tells the bitterness beside the plan, and what each addition gave, or that it was out."""
    total, *lines = report_lines(METRIC, State(planned_boil_min=75.0), 0.0)
    assert "Bitterness: 31 IBU ± 14, the plan 31; 34 by Tinseth, 39 by Rager" == total
    assert ["  22.9 IBU  bittering hops, 22 g of 9.8 % alpha, planned"] == lines[:1]
    assert 3 == len(lines)
