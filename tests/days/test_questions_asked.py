"""A brewer asks about the physics in the middle of a day: step by step, and the day goes on untouched."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Final

import pytest
from brew_day import BrewDay, example, heard

from assistant.day import facts as f
from assistant.day.state import State
from assistant.day.targets import listening
from assistant.report.day_log import day_log

STRIKE: Final = ("question", "strike water", "five kilos", "sixty-seven degrees")
ANSWER: Final = "Five kilograms, sixty-seven, fifteen litres: seventy-one point seven celsius for the strike water"


@pytest.fixture
def day() -> BrewDay:
    """A day that waits for "start the day"."""
    return BrewDay.opened(example("hollow-lane"))


def without_question(state: State) -> State:
    """A state without the record of the question and without what merely counts turns."""
    bare = replace(state, inquiry=None, inquiry_since_s=0.0, inquiry_turn=0)
    return replace(bare, turn=0, last_s=0.0, undoable=(), calls=MappingProxyType({}))


def ear_hears(day: BrewDay, *lines: str) -> list[str]:
    """The ear brings these lines, each in the step that the question stands at."""
    return [text for line in lines for text in day.hears(heard(line.replace("-", " "), sure=0.97))]


def test_a_question_goes_breath_by_breath(day: BrewDay) -> None:
    """The topic first, then each value, read back before the next is asked for; the answer repeats them all."""
    *steps, answer = ear_hears(day, *STRIKE, "fifteen litres")
    assert [
        "Ask.",
        "Strike. Grain?",
        "Five kilograms. Temperature of the mash?",
        "Sixty-seven. Volume of water?",
    ] == steps
    assert answer.startswith(ANSWER)
    assert day.state.inquiry is None


def test_the_keyboard_asks_at_once(day: BrewDay) -> None:
    """A whole typed question is answered in the day, without the opener and with the same sentence."""
    (typed,) = day.types("strike for five kilos at sixty-seven with fifteen litres")
    assert typed.startswith(ANSWER)
    assert ["Sixty-seven. Grain?"] == day.types("strike water at 67")


def test_a_question_in_us_units_is_answered_in_them() -> None:
    """A brewer who thinks in pounds, Fahrenheit and gallons asks and is answered in those."""
    day = BrewDay.opened(example("ferry-lantern"))
    *_, answer = ear_hears(day, *STRIKE[:2], "eleven pounds", "one fifty two degrees", "four gallons")
    assert answer.startswith("Eleven pounds, one fifty-two, four gallons: one ")
    assert "fahrenheit" in answer


def test_the_rig_counts() -> None:
    """At altitude the answer is that of the rig: the boiling water of the infusion is cooler there."""
    line = "infusion from fifty-two to sixty-six with five kilos and twelve litres"
    low, high = (BrewDay.opened(example(name)).types(line)[0] for name in ("hollow-lane", "lark-ridge"))
    assert low != high


def test_nothing_of_a_question_reaches_the_day(day: BrewDay) -> None:
    """Before, during and after a question the state of the day is the same; no reading and no stage is recorded."""
    day.types("start the day")
    day.seconds_pass(120)
    before = without_question(day.state)
    for line in (*STRIKE, "ten forty-four", "fifteen litres"):
        ear_hears(day, line)
        assert before == without_question(day.state)
    assert [] == day.facts(f.TemperatureRead, f.GravityRead, f.VolumeRead, f.GravityWaiting)


def test_a_reading_in_between_is_not_swallowed(day: BrewDay) -> None:
    """A reading of the kettle said to the question is neither taken nor passed over: it is asked for again."""
    ear_hears(day, "question", "strike water")
    (again,) = ear_hears(day, "sixty-four degrees ten forty-four")
    assert again == 'Say the grain digit by digit, such as "one five kilograms". Or never mind.'


def test_what_is_not_understood_is_asked_three_times(day: BrewDay) -> None:
    """Asked again another way, then by keyboard, then left with word of it."""
    ear_hears(day, "question", "strike water")
    told = [ear_hears(day, "twenty")[0] for _ in range(3)]
    assert told[0].startswith("Say the grain digit by digit")
    assert told[1].startswith("Type it on the keyboard")
    assert told[2].startswith("I leave that question.")
    assert day.state.inquiry is None


def test_a_wrong_value_is_taken_back(day: BrewDay) -> None:
    """ "Scratch that" asks for the last value again, before that for the one before, and at last for the topic."""
    ear_hears(day, *STRIKE)
    assert ["Five kilograms. Temperature of the mash?"] == ear_hears(day, "scratch that")
    assert ["Strike. Grain?"] == ear_hears(day, "scratch that")
    assert ["Ask."] == ear_hears(day, "scratch that")
    assert ["Question left."] == ear_hears(day, "scratch that")


def test_taking_back_an_answer_leaves_the_readings_alone(day: BrewDay) -> None:
    """Behind an answer "scratch that" asks for its last value again; the reading before the question stays."""
    day.to_the_boil()
    day.types("20 c 1.044 sg")
    gravities = day.state.gravities
    ear_hears(day, *STRIKE, "fifty litres")
    assert ["Gone. Sixty-seven. Volume of water?"] == ear_hears(day, "scratch that")
    assert gravities == day.state.gravities
    assert ear_hears(day, "fifteen litres")[0].startswith(ANSWER)


@pytest.mark.parametrize("word", ["never mind", "skip"])
def test_a_question_can_be_left(day: BrewDay, word: str) -> None:
    """Both words leave the question, and readings are heard again."""
    ear_hears(day, "question", "strike water")
    assert ["Question left."] == ear_hears(day, word)
    assert listening(day.plan, day.state, day.now_s).asking is None


def test_a_question_without_an_answer_is_dropped_with_word_of_it(day: BrewDay) -> None:
    """Asked once more, then left: a forgotten question does not keep the ear from hearing readings."""
    day.types("start the day")
    day.seconds_pass(100)
    ear_hears(day, "question", "strike water")
    said = day.seconds_pass(60)
    assert ['Say the grain digit by digit, such as "one five kilograms". Or never mind.'] == said[:1]
    assert ["No answer: I leave that question."] == said[1:]
    assert day.state.inquiry is None


def test_a_call_ends_the_question(day: BrewDay) -> None:
    """What comes due is said, and the question is left with word of it: what is said next is meant for the call."""
    day.to_the_boil()
    first = day.plan.beer.boil_min - max(item.minutes or 0.0 for item in day.plan.additions)
    day.minutes_pass(max(0.0, first - 0.2))
    asked = ear_hears(day, "question")
    said = day.minutes_pass(2) if asked == ["Ask."] else []
    ended = [text for text in said if text.endswith("Ask your question again later.")]
    assert len(ended) == 1
    assert day.state.inquiry is None
    assert [f.InquiryClosed("a call came")] == day.facts(f.InquiryClosed)


def test_the_book_tells_what_was_asked_and_answered(day: BrewDay) -> None:
    """The journal holds the values as said and the sentence that answered; the log shows both."""
    (answer,) = day.types("strike for five kilos at sixty-seven with fifteen litres")
    (fact,) = day.facts(f.InquiryAnswered)
    assert fact == f.InquiryAnswered(
        "strike",
        (("grain", "5", "kg"), ("temperature of the mash", "67", "°C"), ("volume of water", "15", "L")),
        answer,
    )
    assert any(answer in line and "grain 5 kg" in line for line in day_log(day.loop.facts))


def test_a_power_cut_leaves_the_question(day: BrewDay) -> None:
    """After a restart the open question is left with word of it, and the day goes on."""
    day.types("start the day")
    day.seconds_pass(100)
    ear_hears(day, "question", "strike water")
    assert "No answer: I leave that question." in day.power_cut(5)
    assert day.state.inquiry is None


def test_choices_are_said_alone(day: BrewDay) -> None:
    """A choice with a default may be said at any step; one without is asked for, and both are read back."""
    ear_hears(day, "question", "priming", "nineteen litres", "twenty degrees")
    assert ["Corn sugar. Carbonation wanted?"] == ear_hears(day, "corn sugar")
    assert "corn sugar: " in ear_hears(day, "two point four volumes")[0]


def test_groups_are_said_one_after_the_other_until_done(day: BrewDay) -> None:
    """Of a topic whose values come in groups one more is offered until the brewer says "done"."""
    steps = ear_hears(day, "question", "warming and cooling", "sixty degrees", "zero")
    assert steps[-1].endswith("Second temperature? Or done.")
    steps = ear_hears(day, "sixty-four degrees", "ten", "done")
    assert steps[-2].endswith("Third temperature? Or done.")
    assert day.facts(f.InquiryAnswered)


def test_a_kind_belongs_to_the_group_that_it_is_said_with(day: BrewDay) -> None:
    """A kind of malt said with the second grain is that grain's, said alone the one's before it."""
    ear_hears(day, "question", "expected gravity", "four kilos", "twenty three litres", "seven five per cent")
    ear_hears(day, "half a kilo crystal", "done")
    (fact,) = day.facts(f.InquiryAnswered)
    assert isinstance(fact, f.InquiryAnswered)
    assert {"grain": "4", "second grain": "0.5", "second kind of malt": "crystal"}.items() <= {
        name: value for name, value, _ in fact.given
    }.items()
    ear_hears(day, "question", "expected gravity", "five kilos", "crystal")
    assert day.state.inquiry is not None
    assert ("kind of malt", "crystal", "") in day.state.inquiry.given


def test_unanswerable_values_are_refused_with_what_was_understood(day: BrewDay) -> None:
    """A value outside what holds is read back and refused in a sentence; nothing breaks."""
    (answer,) = day.types("priming for nineteen litres at ninety-five degrees to two point four")
    assert answer.startswith("Nineteen litres, ninety-five, two point four volumes")
    assert day.state.inquiry is None


def test_help_and_typed_nonsense(day: BrewDay) -> None:
    """Help tells what can be asked; an order that does not fit is no question."""
    ear_hears(day, "question")
    assert 'such as "strike water"' in day.types("help")[0]
    day.types("never mind")
    assert 'I did not get that. Say "start the day", or "help".' == day.types("boil is on")[0]


def test_no_question_is_opened_while_a_reading_is_asked_about(day: BrewDay) -> None:
    """While a doubtful reading waits for its answer the opener is not live: first things first."""
    day.to_the_boil()
    day.hears(heard("twenty degrees ten fifteen", sure=0.9))
    assert day.state.question is not None
    day.types("question")
    assert day.state.inquiry is None
