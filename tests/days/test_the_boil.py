"""Stories of the boil: its clock held, lengthened and shortened, calls missed, knockout said early."""

from __future__ import annotations

import pytest
from brew_day import EXAMPLES, BrewDay, example

from assistant.day.facts import Stage


@pytest.fixture
def boiling() -> BrewDay:
    """Hollow Lane at the moment its boil of seventy-five minutes began."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    return day


def test_a_call_that_nobody_answers_is_repeated_until_done(boiling: BrewDay) -> None:
    """A missed addition is called again after 20, 20, 15, 15, 30 s and then every minute, until "done"."""
    # Nobody answers the bittering hops.
    began_s = boiling.now_s + 20 * 60.0
    boiling.minutes_pass(25)
    times = [round(at_s - began_s) for at_s, say in boiling.voice.said if say.key.endswith("addition.0.now")]
    assert [0, 20, 40, 55, 70, 100, 160, 220, 280] == times
    # The repeats are short, and chime like the first.
    repeats = [say for _, say in boiling.voice.said if say.key.endswith("addition.0.now")][1:]
    assert {"Fifty-five-minute hops, now. Say done."} == {say.text for say in repeats}
    # "Done" ends it, tells what is on the clock, and what comes next.
    (answer,) = boiling.types("done")
    assert (
        "Fifty-five-minute hops in, at fifty minutes left. Next: twenty-minute hops, in thirty minutes." == answer
    )
    assert [] == boiling.minutes_pass(20)


def test_a_held_boil_moves_everything_behind_it(boiling: BrewDay) -> None:
    """While the clock is held nothing of the boil is called; going on, each call comes later by the time held."""
    # The clock is stopped for ten minutes after ten.
    start_s = boiling.now_s
    boiling.minutes_pass(10)
    assert ['Held at sixty-five minutes. Say "carry on".'] == boiling.types("stop the clock")
    assert 2 * ['The boil clock is still held. Say "carry on".'] == boiling.minutes_pass(10)
    (going_on,) = boiling.types("carry on")
    assert "Going on, sixty-five minutes. Next: fifty-five-minute hops, in ten minutes." == going_on
    # The hops that were due at twenty minutes are called at thirty; knockout comes ten minutes later as well.
    boiling.minutes_pass(9.9)
    assert not any(key.endswith("addition.0.now") for key in boiling.state.calls)
    assert any(text.startswith("Now: fifty-five-minute hops in") for text in boiling.seconds_pass(10))
    boiling.types("done")
    boiling.until(start_s + 85 * 60.0 - 1.0)
    assert boiling.state.boil is not None
    assert not any(key.endswith(".knockout") for key in boiling.state.calls)
    assert any(text.startswith("Knockout: flame off") for text in boiling.seconds_pass(2))


def test_what_was_called_before_the_hold_can_be_done_in_it(boiling: BrewDay) -> None:
    """ "Done" is taken while the clock is held: the hops are in, whatever the clock does."""
    boiling.minutes_pass(20.1)
    boiling.types("stop the clock")
    assert ["Fifty-five-minute hops in, at fifty-four fifty-four left."] == boiling.types("done")
    boiling.minutes_pass(2)
    # Going on does not call them again.
    boiling.types("carry on")
    assert not any("Fifty-five" in text or "fifty-five" in text for text in boiling.minutes_pass(10))


def test_a_longer_boil_calls_again_what_was_not_done(boiling: BrewDay) -> None:
    """An addition called but not done is called again at its new time; one that is done is not."""
    # The bittering hops are done, the twenty-minute hops are called and not done when ten minutes are added.
    boiling.minutes_pass(20)
    boiling.types("done")
    boiling.minutes_pass(35)
    assert boiling.texts[-1].startswith("Now: twenty-minute hops in")
    (longer,) = boiling.types("add ten minutes")
    assert longer.startswith("Ten minutes more: thirty minutes left. ")
    # Quiet until two minutes before the new time; then both calls come again.
    assert [] == boiling.minutes_pass(7.9)
    said = boiling.minutes_pass(2.2)
    assert said[0].startswith("Two minutes to the twenty-minute hops")
    assert said[1].startswith("Now: twenty-minute hops in")
    # Knockout has moved by ten minutes too.
    boiling.types("done")
    boiling.until(boiling.now_s + 19.8 * 60.0)
    assert not any(key.endswith(".knockout") for key in boiling.state.calls)
    boiling.minutes_pass(0.3)
    assert any(key.endswith(".knockout") for key in boiling.state.calls)


def test_a_shorter_boil_calls_at_once_what_its_time_has_passed(boiling: BrewDay) -> None:
    """What a shorter boil overtakes is called at once with its age; nothing is lost."""
    boiling.minutes_pass(21)
    boiling.types("done")
    said = boiling.types("take 40 minutes")
    assert any(text.startswith("Forty minutes less: fourteen minutes left. ") for text in said)
    late = [text for text in said if " ago: Now: " in text]
    assert [
        "Six minutes ago: Now: twenty-minute hops in",
        "One minute ago: Now: fifteen-minute yeast nutrient in",
    ] == [text.split(",")[0] for text in late]


def test_more_than_is_on_the_clock_cannot_be_taken(boiling: BrewDay) -> None:
    """Taking more minutes than are left is refused with a sentence, and the clock stands as before."""
    boiling.minutes_pass(70)
    boil = boiling.state.boil
    assert "There is less than that on the clock." == boiling.types("take 10 minutes")[-1]
    assert boil == boiling.state.boil


def test_knockout_said_early_names_what_is_left_out(boiling: BrewDay) -> None:
    """Knockout with additions outstanding is believed, and what did not go in is named, with the usual caution."""
    # The bittering hops were called and nobody confirmed them; the others were not due yet.
    boiling.minutes_pass(21)
    said = " ".join(boiling.types("knockout"))
    assert "Not confirmed: fifty-five-minute hops." in said
    left_out = "Left out: twenty-minute hops, fifteen-minute yeast nutrient, ten-minute finings, five-minute hops"
    assert f"{left_out}, chiller into the boil." in said
    assert "Flame off, pump off. The kettle stays scalding." in said
    assert boiling.state.stage is Stage.CHILL


def test_knockout_from_a_held_clock_names_what_is_left_out(boiling: BrewDay) -> None:
    """A held clock has no times, and its additions are named all the same when the flame goes off."""
    boiling.minutes_pass(20)
    boiling.types("done", "stop the clock")
    said = " ".join(boiling.types("knockout"))
    assert "Left out: twenty-minute hops, fifteen-minute yeast nutrient" in said


def test_first_wort_hops_that_were_never_called_are_named() -> None:
    """A brewer who says at once that the kettle is full hears that the first-wort hops were left out."""
    day = BrewDay.opened(example("lark-ridge"))
    day.types("start the day", "mash is in")
    day.minutes_pass(49)
    assert any(text.startswith("Left out: first-wort hops. ") for text in day.types("kettle is full"))


def test_hop_stand_hops_that_were_never_called_are_named() -> None:
    """Cooling water before the hop stand was reached names the hops of the stand."""
    day = BrewDay.opened(example("lark-ridge"))
    day.to_the_boil()
    day.types("knockout")
    said = " ".join(day.types("water is on"))
    assert "Not confirmed: hop stand." in said
    assert "Left out: hop-stand hops." in said


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_addition_of_an_unattended_boil_is_lost(name: str) -> None:
    """Every addition of a boil is called not before its time and within a second of it, answered or not."""
    day = BrewDay.opened(example(name))
    day.to_the_boil()
    boil = day.state.boil
    assert boil is not None
    day.minutes_pass(boil.minutes + 1)
    first = {}
    for at_s, say in day.voice.said:
        first.setdefault(say.key, at_s)
    for index, addition in enumerate(_boil_groups(day)):
        wanted_s = boil.started_s + (boil.minutes - addition) * 60.0
        assert 0.0 <= first[f"boil{boil.number}.addition.{index}.now"] - wanted_s < 1.0
    assert boil.started_s + boil.minutes * 60.0 == pytest.approx(first[f"boil{boil.number}.knockout"], abs=1.0)


def _boil_groups(day: BrewDay) -> list[float]:
    """Minutes before knockout of each group of the example plans that goes into the boil, by its place."""
    return {"Hollow Lane": [55, 20, 15, 10, 5], "Ferry Lantern": [60, 20, 15, 12]}.get(day.plan.beer.name, [])


def test_additions_after_first_wort_keep_their_times() -> None:
    """First-wort hops among the additions do not shift the others: sugar at fifteen, nutrient at twelve."""
    day = BrewDay.opened(example("lark-ridge"))
    day.to_the_boil()
    day.minutes_pass(44.9)
    assert not any(".now" in key and key.startswith("boil") for key in day.state.calls)
    assert any(text.startswith("Now: fifteen-minute sugar in") for text in day.minutes_pass(0.2))
    day.types("done")
    assert any(text.startswith("Now: twelve-minute yeast nutrient in") for text in day.minutes_pass(3))
