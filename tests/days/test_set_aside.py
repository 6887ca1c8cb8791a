"""Stories of readings that do not fit: said so, left out, asked about, kept, and believed when two agree."""

from __future__ import annotations

import pytest
from brew_day import BrewDay, example

from assistant.day import advice
from assistant.day import facts as f
from assistant.report.day_log import day_log


@pytest.fixture
def boiling() -> BrewDay:
    """Hollow Lane twenty minutes into the boil, with gravity and volume read before it."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    day.types("30 cm")
    day.minutes_pass(20)
    return day


def test_a_gravity_that_does_not_fit_is_said_and_left_out(boiling: BrewDay) -> None:
    """Ten sixty-three amid forties: one sentence, no advice, the forecast as before, a line in the book."""
    before = advice.forecast(boiling.plan, boiling.state, boiling.now_s)
    said = boiling.types("20 c 1.063 sg")
    wanted = (
        "High by seventeen: ten sixty-three does not fit, I leave it out of the forecast. Stir, and read it again."
    )
    assert [wanted] == said
    assert len(said[0].split()) <= 22
    assert [] == boiling.facts(f.AdviceGiven)
    after = advice.forecast(boiling.plan, boiling.state, boiling.now_s)
    assert before is not None
    assert after is not None
    assert (before.gravity_sg.value, before.gravity_sg.sd) == pytest.approx(
        (after.gravity_sg.value, after.gravity_sg.sd)
    )
    (aside,) = boiling.facts(f.ReadingSetAside)
    assert isinstance(aside, f.ReadingSetAside)
    assert ("gravity", 1.063) == (aside.kind, aside.value)
    assert aside.apart_sd > 4.0
    assert any("set aside gravity SG 1.0630: SG 1.04" in line for line in day_log(boiling.loop.facts))
    assert any("1.063 SG at 20.0" in line for line in day_log(boiling.loop.facts))


def test_the_next_one_that_agrees_is_believed(boiling: BrewDay) -> None:
    """A second sample that tells the same is believed with the first, and said to be; advice may rest on it."""
    boiling.types("20 c 1.063 sg")
    boiling.minutes_pass(1)
    (answer,) = boiling.types("20 c 1.063 sg")
    assert "That agrees with the one before: I go by these two." in answer
    ahead = advice.forecast(boiling.plan, boiling.state, boiling.now_s)
    assert ahead is not None
    assert ahead.gravity_sg.value > 1.063
    assert any("confirmed gravity" in line for line in day_log(boiling.loop.facts))


def test_a_good_one_after_it_is_taken_as_ever(boiling: BrewDay) -> None:
    """After one bad reading a good one is answered as if the bad one had not been."""
    boiling.types("20 c 1.063 sg")
    boiling.minutes_pass(1)
    (answer,) = boiling.types("20 c 1.046 sg")
    assert answer.startswith("On target: ten forty-six")
    assert "agrees" not in answer


def test_one_taken_back_is_no_reading_to_agree_with(boiling: BrewDay) -> None:
    """A reading that was set aside and taken back is gone: the next odd one is the first of its kind."""
    boiling.types("20 c 1.063 sg", "scratch that")
    boiling.minutes_pass(1)
    (answer,) = boiling.types("20 c 1.063 sg")
    assert "does not fit" in answer


def test_a_volume_that_does_not_fit_names_the_stick(boiling: BrewDay) -> None:
    """Twelve centimetres in a kettle of thirty: the volume as it stands, left out, and the stick read again."""
    assert ["Ten litres does not fit, I leave it out of the forecast. Read the stick again."] == boiling.types(
        "12 cm"
    )
    assert [] == boiling.facts(f.AdviceGiven)


def test_a_set_aside_reading_asks_again_before_the_boil() -> None:
    """Before the boil a gravity that does not fit leaves the question open: it is asked for again."""
    day = BrewDay.opened(example("hollow-lane"))
    day.types("start the day", "mash is in")
    day.minutes_pass(61)
    day.types("run off")
    day.minutes_pass(20)
    day.types("kettle is full")
    day.seconds_pass(20)
    day.types("20 c 1.075 sg")
    assert any(text.startswith(("Temperature and gravity", "Gravity")) for text in day.minutes_pass(6))


def test_doubts_come_back_with_the_journal(boiling: BrewDay) -> None:
    """After a power cut the reading is still set aside, and the forecast the same."""
    boiling.types("20 c 1.063 sg")
    before = advice.forecast(boiling.plan, boiling.state, boiling.now_s)
    boiling.power_cut(1)
    assert boiling.state.gravities[-1].set_aside
    assert before == advice.forecast(boiling.plan, boiling.state, boiling.now_s)


def test_extract_that_went_in_is_reckoned_with() -> None:
    """Dry extract added on advice moves the belief by its weight: the next gravity fits, and is not set aside."""
    day = BrewDay.opened(example("hollow-lane"))
    day.types("start the day", "mash is in")
    day.minutes_pass(61)
    day.types("run off")
    day.minutes_pass(20)
    day.types("kettle is full")
    day.seconds_pass(20)
    day.types("20 c 1.036 sg", "29 cm", "extract")
    (chosen,) = day.facts(f.AdviceChosen)
    assert isinstance(chosen, f.AdviceChosen)
    before = advice.forecast(day.plan, day.state, day.now_s)
    day.seconds_pass(60)
    day.types("done")
    (done,) = day.state.carried_out
    assert chosen == done.fact
    after = advice.forecast(day.plan, day.state, day.now_s)
    assert before is not None
    assert after is not None
    assert after.gravity_sg.value - before.gravity_sg.value > 0.003
    day.types("20 c 1.043 sg")
    assert [] == day.facts(f.ReadingSetAside)
