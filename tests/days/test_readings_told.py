"""Stories of readings: misheard, taken back, hot, low, and never answered."""

from __future__ import annotations

import pytest
from brew_day import BrewDay, example, heard

from assistant.day import facts as f
from assistant.day.facts import Stage
from assistant.phrasing.offers import count_words


@pytest.fixture
def full_kettle() -> BrewDay:
    """Hollow Lane with the kettle full, asked for a temperature and a gravity."""
    day = BrewDay.opened(example("hollow-lane"))
    day.types("start the day", "mash is in")
    day.minutes_pass(61)
    day.types("run off")
    day.minutes_pass(20)
    day.types("kettle is full")
    day.seconds_pass(10)
    assert day.texts[-1].startswith("Temperature and gravity, please.")
    return day


def doubtful(day: BrewDay) -> list[str]:
    """The ear brings a gravity that may be fifteen or fifty."""
    return day.hears(heard("sixty four degrees ten fifteen", "sixty four degrees ten fifty", sure=0.8))


def test_a_teen_is_asked_with_digits_and_answered_with_digits(full_kettle: BrewDay) -> None:
    """Fifteen or fifty is asked as one five or five zero; digits decide, and what was sure is kept."""
    assert ["Five zero, or one five?"] == doubtful(full_kettle)
    assert [] == full_kettle.facts(f.GravityRead)
    (answer,) = full_kettle.types("five zero")
    (gravity,) = full_kettle.facts(f.GravityRead)
    assert isinstance(gravity, f.GravityRead)
    assert (1.050, 64.0) == (gravity.instrument_sg, gravity.sample_c)
    assert "High by" in answer
    assert full_kettle.state.question is None


def test_the_other_digits_take_the_other_reading(full_kettle: BrewDay) -> None:
    """The same question answered with one five takes ten fifteen, far under the plan as it is."""
    doubtful(full_kettle)
    (answer,) = full_kettle.types("one five")
    (gravity,) = full_kettle.facts(f.GravityRead)
    assert isinstance(gravity, f.GravityRead)
    assert 1.015 == gravity.instrument_sg
    assert answer.startswith("Low by twelve: ten thirty-two")


def test_a_question_is_never_put_the_same_way_twice_and_goes_to_the_keyboard(full_kettle: BrewDay) -> None:
    """Not understood: choice, then digit by digit, then the keyboard; then it is dropped and the day goes on."""
    mumbled = heard("[unk] ten [unk]", sure=0.8)
    questions = doubtful(full_kettle)
    questions += full_kettle.types("flurble")
    questions += full_kettle.types("flurble")
    assert [
        "Five zero, or one five?",
        "Say the gravity digit by digit.",
        "Type the gravity on the keyboard, or say skip.",
    ] == questions
    assert ["Not taken. Type it on the keyboard when a hand is dry."] == full_kettle.types("flurble")
    assert full_kettle.state.question is None
    assert [] == full_kettle.facts(f.GravityRead)
    # Noise afterwards brings nothing back.
    full_kettle.hears(mumbled)
    assert [] == full_kettle.facts(f.GravityRead)


def test_a_question_without_answer_is_put_again_and_dropped_after_a_minute(full_kettle: BrewDay) -> None:
    """After twenty seconds it is asked again, after a minute it is let go with a sentence, and nothing is taken."""
    doubtful(full_kettle)
    assert ["Five zero, or one five?"] == full_kettle.seconds_pass(21)
    assert full_kettle.state.question is not None
    assert ["No answer: not taken. Say the reading again when you can."] == full_kettle.seconds_pass(40)
    assert full_kettle.state.question is None
    assert [] == full_kettle.facts(f.GravityRead, f.TemperatureRead)


def test_a_question_left_behind_by_the_day_is_said_to_be_dropped(full_kettle: BrewDay) -> None:
    """When the boil is on, a gravity still in question is not taken, and that is said."""
    doubtful(full_kettle)
    said = " ".join(full_kettle.types("boil is on"))
    assert "The reading I asked about is not taken." in said
    assert full_kettle.state.question is None


def test_a_question_may_be_skipped_or_denied(full_kettle: BrewDay) -> None:
    """ "Skip" and "no" close the question without a reading."""
    doubtful(full_kettle)
    assert ["Skipped, not taken."] == full_kettle.types("skip")
    doubtful(full_kettle)
    assert ["Not taken. Say the reading again."] == full_kettle.types("no")
    assert [] == full_kettle.facts(f.GravityRead)


# --- scratch that


def test_a_reading_taken_back_is_named_and_the_one_before_stands(full_kettle: BrewDay) -> None:
    """ "Scratch that" names what went and what stands now."""
    full_kettle.types("20 c 1.044")
    full_kettle.types("20 c 1.050")
    assert ["Gone: ten fifty. The last is ten forty-four."] == full_kettle.types("scratch that")
    assert 1.044 == full_kettle.state.gravities[-1].fact.instrument_sg


def test_a_boil_start_taken_back_returns_to_the_full_kettle(full_kettle: BrewDay) -> None:
    """The boil clock said too early is taken back; started again, it has its full time and all its calls."""
    full_kettle.types("boil is on")
    full_kettle.minutes_pass(1)
    assert ["Gone. We are back at before the boil."] == full_kettle.types("scratch that")
    assert (Stage.PRE_BOIL, None) == (full_kettle.state.stage, full_kettle.state.boil)
    full_kettle.minutes_pass(10)
    full_kettle.types("boil is on")
    start_s = full_kettle.now_s
    full_kettle.minutes_pass(76)
    first = {say.key.split(".", 1)[1]: at_s for at_s, say in reversed(full_kettle.voice.said) if "boil" in say.key}
    assert start_s + 20 * 60.0 == pytest.approx(first["addition.0.now"], abs=1.0)
    assert start_s + 75 * 60.0 == pytest.approx(first["knockout"], abs=1.0)


def test_a_done_taken_back_is_called_again(full_kettle: BrewDay) -> None:
    """ "Done" said by mistake is taken back by name; the addition is called on until it is done."""
    full_kettle.types("boil is on")
    full_kettle.minutes_pass(20)
    full_kettle.types("done")
    assert ["Gone: fifty-five-minute hops is open again."] == full_kettle.types("scratch that")
    assert any("Fifty-five-minute hops, now." in text for text in full_kettle.seconds_pass(25))
    assert any("Fifty-five-minute hops in" in text for text in full_kettle.types("done"))


def test_a_taken_back_answer_takes_its_question_with_it(full_kettle: BrewDay) -> None:
    """Taking the answer back drops the reading as a whole; the next reading is heard like any other."""
    doubtful(full_kettle)
    full_kettle.types("one five")
    full_kettle.seconds_pass(25)
    (gone,) = full_kettle.types("scratch that")
    assert gone.startswith("Gone: ten ")
    assert full_kettle.state.question is None
    full_kettle.types("20 c 1.050")
    assert 1.050 == full_kettle.state.gravities[-1].fact.instrument_sg


def test_scratch_that_drops_the_reading_that_is_being_asked_about(full_kettle: BrewDay) -> None:
    """While a question is open nothing of it was taken yet: it goes, and what was taken before stays."""
    full_kettle.types("20 c 1.044")
    doubtful(full_kettle)
    full_kettle.types("scratch that")
    assert full_kettle.state.question is None
    assert 1 == len(full_kettle.state.gravities)


def test_what_is_older_than_three_minutes_is_not_taken_back(full_kettle: BrewDay) -> None:
    """Beyond its window "scratch that" takes nothing and says what to do instead."""
    full_kettle.types("20 c 1.044")
    full_kettle.minutes_pass(3.1)
    (answer,) = full_kettle.types("scratch that")
    assert answer.startswith("Nothing young enough to take back.")
    assert 1 == len(full_kettle.state.gravities)


# --- hot, low, high


def test_a_hot_sample_is_corrected_and_a_cool_one_asked_for(full_kettle: BrewDay) -> None:
    """A hot sample says how much was added, and to cool a cup."""
    (answer,) = full_kettle.types("65 c 1.026")
    assert "It was hot: I added " in answer
    assert "Cool a cup to be sure." in answer
    (gravity,) = full_kettle.facts(f.GravityRead)
    assert isinstance(gravity, f.GravityRead)
    assert 1.042 < gravity.gravity_sg < 1.048
    assert gravity.sd_sg > 0.0005


def test_nothing_is_offered_for_a_sample_too_hot_to_trust(full_kettle: BrewDay) -> None:
    """Low by a hot sample: a cool cup is asked for before anything is weighed, and nothing can be chosen."""
    (answer,) = full_kettle.types("65 c 1.020")
    assert answer.endswith("Cool a cup to be sure.")
    assert full_kettle.state.advice is None
    # The cooled cup brings the offer.
    (answer,) = full_kettle.types("22 c 1.038")
    assert answer.endswith("or leave it.")
    assert full_kettle.state.advice is not None


def test_what_fits_nowhere_here_is_answered_with_help(full_kettle: BrewDay) -> None:
    """Typed words are certain, so that saying them again would not help: the brewer is shown to "help"."""
    full_kettle.types("boil is on")
    wanted = 'I did not get that, or it does not fit here. Say "help" for what does.'
    assert [wanted] == full_kettle.types("boil is on")


def low_gravity(day: BrewDay) -> str:
    """Six points low with the volume on target; the answer with its ways out."""
    day.types("20 c 1.038")
    day.seconds_pass(15)
    (answer,) = day.types("26 litres")
    return answer


def test_longer_moves_the_boil(full_kettle: BrewDay) -> None:
    """Low, and "longer" chosen: the boil that starts afterwards is longer by the minutes offered."""
    offer = low_gravity(full_kettle)
    assert offer.endswith("or leave it.")
    advice = full_kettle.state.advice
    assert advice is not None
    minutes = advice.sizes[advice.kinds.index("longer")]
    (answer,) = full_kettle.types("longer")
    assert "more: a boil of " in answer
    full_kettle.types("boil is on")
    assert full_kettle.state.boil is not None
    assert 75.0 + minutes == full_kettle.state.boil.minutes


def test_extract_is_called_with_its_caution_until_done(full_kettle: BrewDay) -> None:
    """Extract chosen: its call says how much, and heat off first since it scorches and foams; it is repeated."""
    low_gravity(full_kettle)
    (call,) = full_kettle.types("extract")
    assert call.startswith("Weigh ")
    assert "Heat off first: it scorches and foams." in call
    assert [call] == full_kettle.seconds_pass(61)
    assert ["Correction: done."] == full_kettle.types("done")
    assert not any(text.startswith("Weigh ") for text in full_kettle.minutes_pass(10))


def test_leave_is_answered_and_changes_nothing(full_kettle: BrewDay) -> None:
    """ "Leave" is answered; boil and kettle stay as planned."""
    low_gravity(full_kettle)
    assert ["Left as it is."] == full_kettle.types("leave")
    assert 75.0 == full_kettle.state.planned_boil_min


def test_water_is_called_when_the_boil_is_over(full_kettle: BrewDay) -> None:
    """Water offered for after the boil is kept, and called at knockout with its caution."""
    full_kettle.types("20 c 1.051")
    full_kettle.seconds_pass(15)
    (offer,) = full_kettle.types("26 litres")
    assert "of water after the boil" in offer
    (answer,) = full_kettle.types("water")
    assert answer.endswith("of water at knockout. Boil it until then.")
    assert not any("boiled water" in text for text in full_kettle.minutes_pass(5))
    full_kettle.types("boil is on")
    assert any("of boiled water, slowly: it scalds and splashes." in text for text in full_kettle.types("knockout"))


def test_what_was_not_offered_cannot_be_chosen(full_kettle: BrewDay) -> None:
    """Without an offer the words of a choice bring no fact but that they were heard."""
    full_kettle.types("longer")
    assert [] == full_kettle.facts(f.AdviceChosen, f.BoilChanged)
    assert 75.0 == full_kettle.state.planned_boil_min


def test_a_gravity_without_temperature_waits_and_is_completed(full_kettle: BrewDay) -> None:
    """A gravity alone waits; the temperature is asked for, and completes it."""
    assert ["Ten forty. Temperature of the sample?"] == full_kettle.types("1.040")
    assert [] == full_kettle.facts(f.GravityRead)
    assert ["Temperature of the sample?"] == full_kettle.seconds_pass(26)
    full_kettle.types("30 c")
    (gravity,) = full_kettle.facts(f.GravityRead)
    assert isinstance(gravity, f.GravityRead)
    assert (1.040, 30.0) == (gravity.instrument_sg, gravity.sample_c)
    # It was the temperature of the sample, not of the kettle.
    assert [] == full_kettle.facts(f.TemperatureRead)


def test_a_breath_of_two_readings_brings_advice_once(full_kettle: BrewDay) -> None:
    """Gravity and volume in one breath are answered each, and what to do follows once, at the end."""
    (answer,) = full_kettle.types("20 c 1.038 24 litres")
    assert 1 == answer.count("grams of extract")
    assert answer.startswith("Low by six: ten thirty-eight. Twenty-four litres, ")
    assert 23 >= count_words(answer)


def test_both_targets_are_met_with_two_calls(full_kettle: BrewDay) -> None:
    """Short, on gravity: both is offered; extract is called at once, water at knockout, each until it is done."""
    full_kettle.types("20 c 1.044")
    full_kettle.seconds_pass(15)
    (offer,) = full_kettle.types("23 litres")
    assert "Both: two hundred and forty grams extract, two litres water; or leave it." in offer
    answer, call = full_kettle.types("both")
    assert "Two litres of water at knockout. Boil it until then." == answer
    assert call.startswith(
        "Weigh two hundred and forty grams of dry extract. Heat off first: it scorches and foams."
    )
    full_kettle.types("done", "boil is on")
    assert "Add two litres of boiled water, slowly: it scalds" in full_kettle.types("knockout")[-1]
    # The water was called last, so that it is what "done" is about, and not the chiller that was called with it.
    assert ["Correction: done."] == full_kettle.types("done")
    done = [item.fact for item in full_kettle.state.carried_out]
    assert [(0.24, 0.0), (0.0, 2.0)] == [(fact.extract_kg, fact.water_l) for fact in done]


def test_what_was_put_in_is_not_advised_again(full_kettle: BrewDay) -> None:
    """After the extract is in, a gravity that shows it is on target, and no more extract is spoken of."""
    low_gravity(full_kettle)
    full_kettle.types("extract", "done")
    full_kettle.types("boil is on")
    (answer,) = full_kettle.types("20 c 1.045")
    assert answer.startswith("On target: ten forty-five. Leave it: ")
    assert full_kettle.state.advice is not None
    assert "extract" not in full_kettle.state.advice.kinds


def test_what_else_tells_the_other_ways_and_shows_them_all(full_kettle: BrewDay) -> None:
    """The question is answered with the ways that were not said, and the whole table stands on the screen twice."""
    low_gravity(full_kettle)
    (answer,) = full_kettle.types("what else")
    assert "minutes longer" in answer
    shown = [line for line in full_kettle.board.lines if "What you can do, best first." in line]
    assert 3 == len(shown)
    assert shown[-1] == shown[-2].replace(shown[-2][:8], shown[-1][:8], 1)
    kinds = {row.split()[1] for row in shown[-1].split("\n")[2:] if row[:2].strip()}
    assert {"both", "extract", "longer", "leave", "sugar"} == kinds


def test_a_volume_on_target_takes_a_stale_offer_away(full_kettle: BrewDay) -> None:
    """An offer made on the plan's volume does not stand once a volume shows that nothing is amiss."""
    full_kettle.types("20 c 1.0415")
    assert full_kettle.state.advice is not None
    full_kettle.types("25.9 litres")
    given = full_kettle.state.advice
    assert given is None or not given.assumed


def test_a_shorter_boil_is_chosen_by_its_word(full_kettle: BrewDay) -> None:
    """Where fewer minutes are on offer, "boil shorter" takes them off the boil that starts afterwards."""
    full_kettle.types("20 c 1.044")
    full_kettle.seconds_pass(15)
    full_kettle.types("23 litres")
    (answer,) = full_kettle.types("boil shorter")
    assert "eight minutes less" in answer.lower()
    assert 67.0 == full_kettle.state.planned_boil_min
