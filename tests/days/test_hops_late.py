"""Stories of hops that went in late or not at all, checked against the bitterness of a history made by hand."""

from __future__ import annotations

import math

import pytest
from brew_day import BrewDay, altered, example
from pytest import approx

from assistant.calculation.bitterness import bitterness
from assistant.calculation.boil_history import Points
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort
from assistant.day import facts as f
from assistant.day.bitterness_moves import worth_ibu
from assistant.day.bitterness_of_day import bitterness_of_day, planned_bitterness
from assistant.quantities import Measured

# Hollow Lane boils at 99.57 degrees by its altitude (standard atmosphere, IAPWS), and its wort 0.23 K above that.
BOILS_C = 99.80
SLACK_IBU = 0.25


def by_hand(minutes_in: list[tuple[float, float, float]], boil_min: float, litres: float) -> float:
    """Bitterness [IBU] of hops (g, alpha in %, minutes from the boil's start to when they go in): boil, then chill.

    A minute passes to the cooling water; then 22 kg of wort of 3.95 kJ/(kg K) fall towards 14 degrees, and 8 litres
    of water a minute carry half of what they could: a time constant of 311 s.
    """
    out_s = boil_min * 60.0
    falling = [
        (out_s + 60.0 + 30.0 * step, 14.0 + (BOILS_C - 0.3 - 14.0) * math.exp(-30.0 * step / 311.0))
        for step in range(40)
    ]
    history: Points = ((0.0, BOILS_C), (out_s, BOILS_C), *falling)
    bill = [
        HopAddition(Measured(grams / 1000.0, 0.0), Measured(alpha / 100.0, 0.0), 60.0 * minutes)
        for grams, alpha, minutes in minutes_in
    ]
    wort = HoppedWort(Measured(litres, 0.0), Measured(1.048, 0.0))
    return bitterness(bill, history, wort, history[-1][0]).value


@pytest.fixture
def boiling() -> BrewDay:
    """Hollow Lane at the moment its boil of seventy-five minutes began."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    return day


def expected_ibu(day: BrewDay) -> float:
    """What the day is going for."""
    told = bitterness_of_day(day.plan, day.state, day.now_s)
    assert told is not None
    return told.at_end.value


def test_the_plan_comes_to_what_its_history_made_by_hand_gives() -> None:
    """A plan's bitterness is that of its hops in a boil and chill written down by hand."""
    planned = planned_bitterness(example("hollow-lane"))
    assert planned is not None
    direct = by_hand([(22.0, 9.8, 20.0), (18.0, 5.5, 55.0), (30.0, 5.5, 70.0)], 75.0, 21.0)
    assert approx(direct, abs=SLACK_IBU) == planned.at_end.value


def test_late_skipped_and_boiled_longer(boiling: BrewDay) -> None:
    """Eight minutes late, another skipped, ten minutes more: each time the day is where a history by hand is."""
    # The bittering hops go in eight minutes late.
    boiling.minutes_pass(28)
    (answer,) = boiling.types("done")
    late = by_hand([(22.0, 9.8, 28.0), (18.0, 5.5, 55.0), (30.0, 5.5, 70.0)], 75.0, 21.0)
    assert approx(late, abs=SLACK_IBU) == expected_ibu(boiling)
    begins = "Fifty-five-minute hops in, eight minutes late. Twenty-nine IBU instead of thirty-one. "
    assert answer.startswith(begins)
    assert answer.endswith(" grams more at the twenty-minute hops? Yes, or no.")
    # The twenty-minute hops are skipped. The five-minute hops are too few and too late to make up for that.
    boiling.minutes_pass(27.2)
    (answer,) = boiling.types("skip")
    skipped = by_hand([(22.0, 9.8, 28.0), (30.0, 5.5, 70.0)], 75.0, 21.0)
    assert approx(skipped, abs=SLACK_IBU) == expected_ibu(boiling)
    assert answer.startswith("Skipped: twenty-minute hops. Twenty-four IBU instead of thirty-one. ")
    assert answer.endswith("The hops to come are too few and too late to make it up.")
    # Ten minutes more boil the bittering hops longer, in half a litre less.
    boiling.types("add ten minutes")
    longer = by_hand([(22.0, 9.8, 28.0), (30.0, 5.5, 80.0)], 85.0, 21.0 - 3.1 / 6.0)
    assert approx(longer, abs=SLACK_IBU) == expected_ibu(boiling)
    assert skipped < longer < late


def test_what_makes_up_for_it_is_weighed_and_mends_it(boiling: BrewDay) -> None:
    """ "Yes" takes the offer: the call of those hops names both amounts, and the day is back at its plan."""
    boiling.minutes_pass(32)
    boiling.types("done")
    (moved,) = boiling.facts(f.BitternessMoved)
    assert isinstance(moved, f.BitternessMoved)
    (taken,) = boiling.types("yes")
    assert taken.endswith(" in all at the twenty-minute hops.")
    assert approx(moved.planned_ibu, abs=0.3) == expected_ibu(boiling)
    called = [text for text in boiling.minutes_pass(25) if text.startswith("Now: twenty-minute hops in, ")]
    assert "eighteen grams of twenty-minute hops, and eleven grams more to make up." in called[0]


def test_an_offer_is_not_taken_twice_nor_later(boiling: BrewDay) -> None:
    """A second "yes", or one after a minute, changes nothing."""
    boiling.minutes_pass(32)
    boiling.types("done", "yes", "yes")
    assert 1 == len(boiling.facts(f.MakeUpTaken))
    boiling.types("add ten minutes")
    boiling.minutes_pass(1.5)
    boiling.types("yes")
    assert 1 == len(boiling.facts(f.MakeUpTaken))


def test_no_leaves_the_hops_as_planned(boiling: BrewDay) -> None:
    """ "No" answers the offer, and nothing more is weighed."""
    boiling.minutes_pass(32)
    assert ["Left as planned."] == boiling.types("done", "no")[-1:]
    assert {} == dict(boiling.state.made_up_kg)


def test_scratch_that_takes_the_make_up_back(boiling: BrewDay) -> None:
    """An agreed make-up that is taken back is not called for."""
    boiling.minutes_pass(32)
    boiling.types("done", "yes", "scratch that")
    assert {} == dict(boiling.state.made_up_kg)


def test_on_time_nothing_is_said_of_it(boiling: BrewDay) -> None:
    """Hops answered within half a minute, and a clock held for three, are no news."""
    boiling.minutes_pass(20.4)
    boiling.types("done", "stop the clock")
    boiling.minutes_pass(3)
    boiling.types("carry on")
    assert [] == boiling.facts(f.BitternessMoved)


def test_a_long_hold_is_told(boiling: BrewDay) -> None:
    """A boil held for twenty minutes with the hops in makes the beer more bitter, and that is told going on."""
    boiling.minutes_pass(20.2)
    boiling.types("done", "stop the clock")
    boiling.minutes_pass(20)
    (going_on,) = boiling.types("carry on")
    assert " IBU instead of thirty-one." in going_on


def test_a_day_cut_off_goes_on_with_its_hops(boiling: BrewDay) -> None:
    """After a power cut the bitterness is that of the hops as they went in, and what was agreed still stands."""
    boiling.minutes_pass(32)
    boiling.types("done", "yes")
    before = expected_ibu(boiling)
    boiling.power_cut(4)
    assert approx(before, abs=0.05) == expected_ibu(boiling)


def test_without_alpha_acid_nothing_is_said() -> None:
    """Without alpha acids late hops bring no word of bitterness, and whoever asks for it hears why."""
    hops = tuple((f'alpha = "{share} %"\n', "") for share in ("9.8", "5.5"))
    day = BrewDay.opened(altered("hollow-lane", *hops))
    day.to_the_boil()
    day.minutes_pass(32)
    (answer,) = day.types("done")
    assert "IBU" not in answer
    assert ["The plan tells no alpha acid, so I cannot reckon the bitterness."] == day.types("how bitter")


def test_how_bitter_tells_what_it_goes_for_and_counts(boiling: BrewDay) -> None:
    """The answer has the number first, how sure, what is in, the plan's, and what it takes for granted."""
    wanted = "Thirty-one IBU as it goes, give or take fourteen; none so far. The plan: thirty-one."
    assert [wanted] == boiling.types("how bitter")
    boiling.minutes_pass(60)
    (answer,) = boiling.types("how bitter")
    assert "so far. The plan: thirty-one." in answer
    assert answer.endswith("I count the fifty-five-minute hops and the twenty-minute hops as in; nobody said so.")
    (reason,) = boiling.types("why")
    assert reason.startswith("Twenty-three from the fifty-five-minute hops, eight from the rest. ")
    assert reason.endswith("the trade's table says thirty-four, since it gives short boils more.")


def test_a_us_brewer_hears_ounces() -> None:
    """The make-up is in the units that the brewer weighs in."""
    day = BrewDay.opened(example("ferry-lantern"))
    day.to_the_boil()
    day.minutes_pass(12)
    (answer,) = day.types("done")
    assert "Zero point four ounces more at the twenty-minute hops? Yes, or no." in answer


@pytest.mark.parametrize("name", ["hollow-lane", "lark-ridge", "ferry-lantern"])
def test_a_calm_day_ends_at_its_plan(name: str) -> None:
    """Each addition answered at its call, the day comes out at the bitterness of the plan, and nothing is told."""
    day = BrewDay.opened(example(name))
    day.to_the_boil()
    planned = planned_bitterness(day.plan)
    assert planned is not None
    for _ in range(3 * int(day.plan.beer.boil_min)):
        if any(record.occurrences and not record.closed for record in day.state.calls.values()):
            day.types("done")
        day.minutes_pass(0.5)
    day.types("water is on")
    assert [] == day.facts(f.BitternessMoved)
    assert approx(planned.at_end.value, abs=0.7 * worth_ibu(planned.at_end.value)) == expected_ibu(day)
