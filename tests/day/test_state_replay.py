"""The state is a fold and nothing else: growing it fact by fact equals folding them all."""

from __future__ import annotations

from datetime import timedelta

from brew_day import START, example
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.day import facts as f
from assistant.day.facts import Fact, Recorded, Stage
from assistant.day.state import History, fold
from assistant.messages import Moment

PLAN = example("lark-ridge")
KEYS = st.sampled_from(["strike", "boil3.knockout", "item.0", "chill.on", "stand.3.cool"])
FACTS: st.SearchStrategy[Fact] = st.one_of(
    st.builds(f.StageReached, st.sampled_from(Stage)),
    st.builds(f.BoilStarted, st.floats(1, 120)),
    st.builds(f.BoilHeld),
    st.builds(f.BoilResumed),
    st.builds(f.BoilChanged, st.floats(-20, 20)),
    st.builds(f.CallMade, KEYS, st.integers(1, 4)),
    st.builds(f.CallSpoken, KEYS),
    st.builds(f.CallAcknowledged, KEYS),
    st.builds(f.CallSkipped, KEYS),
    st.builds(f.CallDropped, KEYS, st.just("too late")),
    st.builds(f.TemperatureRead, st.floats(0, 100), st.just(0.5), st.just("20 °C")),
    st.builds(
        f.GravityRead, st.just(1.040), st.just(20.0), st.floats(1.0, 1.1), st.just(0.001), st.just("1.040 SG")
    ),
    st.builds(f.GravityWaiting, st.just(1.040), st.just("1.040 SG")),
    st.builds(f.VolumeRead, st.just(26.0), st.floats(20, 30), st.just(0.3), st.just("26 L")),
    st.builds(f.ItemWet, st.sampled_from(["fermenter", "siphon"])),
    st.builds(f.RestStarted, st.integers(0, 1)),
    st.builds(f.AdviceGiven, st.just(("longer", "leave")), st.just((9.0, 0.0)), st.just((1.05, 1.05))),
    st.builds(f.AdviceChosen, st.sampled_from(["longer", "extract", "leave"]), st.floats(0, 20)),
    st.builds(f.QuestionAsked, st.just("gravity"), st.just("SG"), st.just(("1.015", "1.050")), st.just("close")),
    st.builds(f.QuestionClosed, st.just("answered")),
    st.builds(f.TurnWithdrawn, st.integers(1, 30)),
)


@st.composite
def histories(draw: st.DrawFn) -> list[Recorded]:
    """Facts in turns of one to three, at rising times; turns that are taken back come from anywhere before."""
    recorded: list[Recorded] = []
    elapsed_s = 0.0
    for turn in range(1, draw(st.integers(1, 16))):
        elapsed_s += draw(st.floats(0, 600))
        moment = Moment(elapsed_s, START + timedelta(seconds=elapsed_s))
        for fact in draw(st.lists(FACTS, min_size=1, max_size=3)):
            recorded.append(Recorded(len(recorded) + 1, moment, turn, fact))
    return recorded


@settings(max_examples=150, deadline=None)
@given(histories())
def test_growing_equals_replaying(recorded: list[Recorded]) -> None:
    """After every fact the state that grew equals the state folded from the beginning."""
    history = History(PLAN)
    for place, item in enumerate(recorded, start=1):
        history.add([item])
        assert fold(recorded[:place], PLAN) == history.state
    assert tuple(recorded) == history.recorded


@settings(max_examples=100, deadline=None)
@given(histories())
def test_time_and_turns_never_go_back(recorded: list[Recorded]) -> None:
    """Whatever is taken back, the last time and the last turn only grow, so that turns are never numbered twice."""
    history = History(PLAN)
    last = (0.0, 0)
    for item in recorded:
        state = history.add([item])
        assert last <= (state.last_s, state.turn)
        assert item.turn <= state.turn
        last = (state.last_s, state.turn)


def test_what_is_taken_back_leaves_no_trace_but_itself() -> None:
    """A turn that is taken back changes nothing any more, and its facts are still told."""
    moment = Moment(10.0, START)
    gravity = Recorded(1, moment, 1, f.GravityRead(1.040, 20.0, 1.040, 0.001, "1.040 SG"))
    history = History(PLAN, [gravity, Recorded(2, moment, 2, f.TurnWithdrawn(1))])
    assert () == history.state.gravities
    assert gravity == history.recorded[0]
    assert (gravity.fact,) == history.of_turn(1)
