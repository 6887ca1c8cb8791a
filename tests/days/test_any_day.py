"""Properties of any day: whatever is said and whenever, no call is lost, nothing raises, nothing is due twice."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from brew_day import BrewDay, example
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.day import facts as f
from assistant.day.calls import CallKind
from assistant.day.due import due
from assistant.day.facts import Stage
from assistant.day.state import BoilClock, History
from assistant.day.timetable import timetable
from assistant.understanding.phrases import COMMANDS, THINGS

ORDERS: Final = sorted({phrase for phrases in COMMANDS.values() for phrase in phrases})
READINGS: Final = (
    "20 c 1.044",
    "1.050",
    "20 c 1.038",
    "64 c",
    "26 litres",
    "30 cm",
    "18 c",
    "5.2 ph",
    "19 l",
    "80 c",
)
ANY_WORDS = st.one_of(
    st.sampled_from([*ORDERS, "add 5 minutes", "take 5 minutes", "add ten minutes"]),
    st.sampled_from(READINGS),
    st.sampled_from(["fermenter", "siphon", "thermometer", "chiller", "one five", "five zero", *THINGS[:3]]),
    st.text(max_size=30),
)
STEPS = st.lists(st.tuples(ANY_WORDS, st.sampled_from([0.0, 5.0, 21.0, 65.0, 600.0, 1900.0])), max_size=25)
# The boil of every plan with everything after it takes less than this, unattended.
_LONG_S: Final = 4.0 * 3600.0


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(["hollow-lane", "lark-ridge", "ferry-lantern"]), st.integers(0, 9), STEPS)
def test_nothing_that_is_said_breaks_a_day(name: str, forward: int, steps: list[tuple[str, float]]) -> None:
    """Any words at any stage: nothing raises or is due twice, refusals change nothing, the journal replays."""
    day = BrewDay.opened(example(name))
    onward = ["start the day", "mash is in", "run off", "kettle is full", "boil is on", "knockout", "water is on"]
    day.types(*onward[:forward])
    for words, wait_s in steps:
        before, known = day.state, len(day.loop.facts)
        day.types(words)
        # What is due was made: nothing is due again at the same moment.
        assert () == due(day.plan, day.state, day.now_s)
        new = [item.fact for item in day.loop.facts[known:]]
        if any(isinstance(fact, f.OrderRefused) for fact in new):
            turn = day.loop.facts[known].turn
            kinds = {type(item.fact) for item in day.loop.facts[known:] if item.turn == turn}
            assert {f.UtteranceHeard, f.OrderRefused} == kinds
            assert (before.stage, before.boil, before.wet, before.gravities) == (
                day.state.stage,
                day.state.boil,
                day.state.wet,
                day.state.gravities,
            )
        day.seconds_pass(wait_s)
    assert day.state == History(day.plan, day.journal.read()).state
    assert all(text.strip() for text in day.texts)


BOIL_STEPS = st.lists(
    st.tuples(
        st.sampled_from(
            [
                "",
                "",
                "done",
                "done",
                "stop the clock",
                "carry on",
                "add ten minutes",
                "add 3 minutes",
                "take 5 minutes",
                "take 20 minutes",
                "skip",
                "how long",
                "what is next",
                "scratch that",
            ]
        ),
        st.sampled_from([0.0, 7.0, 30.0, 130.0, 400.0, 900.0]),
    ),
    max_size=30,
)


@settings(max_examples=35, deadline=None)
@given(st.sampled_from(["hollow-lane", "ferry-lantern", "lark-ridge"]), BOIL_STEPS, st.booleans())
def test_no_call_of_a_boil_is_lost(name: str, steps: list[tuple[str, float]], early: bool) -> None:
    """Held, lengthened, shortened, answered or not: each addition is called at its time or named when left out.

    None is called before its time, and knockout always comes, unless it was said early.
    """
    day = BrewDay.opened(example(name))
    day.to_the_boil()
    day.types("done")
    day.minutes_pass(4)
    for words, wait_s in steps:
        if day.state.stage is not Stage.BOIL:
            break
        if words:
            day.types(words)
        # Nothing is called before its time: whatever was made has its moment behind it.
        for call in timetable(day.plan, day.state):
            record = day.state.calls.get(call.key)
            if record is not None and record.occurrences and call.due_s is not None and not record.closed:
                assert call.due_s <= day.now_s or record.last_made_s < call.due_s
        day.seconds_pass(wait_s)
    if day.state.stage is Stage.BOIL:
        if early:
            day.types("knockout")
        else:
            day.types("carry on")
            day.seconds_pass(_LONG_S)
    _each_addition_was_called_or_named(day)
    knockout = [key for key in day.state.calls if key.endswith(".knockout")]
    assert knockout or day.state.stage is not Stage.BOIL


def _each_addition_was_called_or_named(day: BrewDay) -> None:
    """What went by without a call, an answer or its name is lost; nothing may be."""
    number = next(item.number for item in reversed(day.loop.facts) if isinstance(item.fact, f.BoilStarted))
    made = {fact.key for fact in day.facts(f.CallMade) if isinstance(fact, f.CallMade)}
    named = {fact.key for fact in day.facts(f.CallDropped) if isinstance(fact, f.CallDropped)}
    in_the_boil = replace(day.state, stage=Stage.BOIL, boil=BoilClock(number, day.plan.beer.boil_min, 0.0))
    kinds = (CallKind.ADDITION_NOW, CallKind.INTO_THE_BOIL)
    wanted = {
        call.key for call in timetable(day.plan, in_the_boil) if call.kind in kinds and call.key.startswith("boil")
    }
    assert set() == wanted - made - named


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["fermenter", "siphon", "thermometer", "chiller", "done", "skip", "18 c"]),
            st.sampled_from([0.0, 40.0, 130.0]),
        ),
        max_size=12,
    )
)
def test_no_way_leads_past_the_sanitation_gate(steps: list[tuple[str, float]]) -> None:
    """Whatever is said in the chill and after it, no yeast goes in before every thing was named."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    day.types("knockout", "water is on")
    for words, wait_s in steps:
        day.types(words, "chill is done", "transfer is done", "yeast is in")
        day.seconds_pass(wait_s)
    if day.state.stage in (Stage.PITCH, Stage.FERMENTING):
        assert {item.name for item in day.plan.sanitation} <= set(day.state.wet)
