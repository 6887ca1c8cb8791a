"""What the plan wants at each stage, and what the ear is to listen for there."""

from __future__ import annotations

from types import MappingProxyType

import pytest
from brew_day import EXAMPLES, example

from assistant.day import facts as f
from assistant.day.facts import Stage
from assistant.day.state import BoilClock, State
from assistant.day.targets import candidates_of, gravity_target, listening, temperature_target_c, volume_target_l
from assistant.understanding.said import Command, Kind

PLAN = example("hollow-lane")


@pytest.mark.parametrize(
    ("stage", "wanted"),
    [
        (Stage.STRIKE, None),
        (Stage.MASH, None),
        (Stage.RUN_OFF, None),
        (Stage.PRE_BOIL, 1.044),
        (Stage.CHILL, 1.052),
        (Stage.TRANSFER, 1.052),
        (Stage.PITCH, 1.052),
        (Stage.FERMENTING, None),
    ],
)
def test_gravity_wanted(stage: Stage, wanted: float | None) -> None:
    """A gravity is measured against the plan only where the plan says what it is to be."""
    target = gravity_target(PLAN, State(stage=stage), 0.0)
    assert wanted == (None if target is None else target.gravity_sg)


def test_gravity_wanted_rises_through_the_boil() -> None:
    """Points times volume stay while water leaves: checked by hand at the start, the middle and the end."""
    state = State(stage=Stage.BOIL, boil=BoilClock(1, 75.0, 0.0))
    for minute in (0.0, 37.5, 75.0):
        target = gravity_target(PLAN, state, minute * 60.0)
        assert target is not None
        # 21 L at the end (19 + 2), 3.1 L an hour more before.
        by_hand = 1.0 + 0.052 * 21.0 / (21.0 + 3.1 * (75.0 - minute) / 60.0)
        assert by_hand == pytest.approx(target.gravity_sg, abs=0.0005)


@pytest.mark.parametrize(
    ("stage", "wanted_c"),
    [(Stage.STRIKE, 74.0), (Stage.MASH, 67.0), (Stage.RUN_OFF, None), (Stage.BOIL, None), (Stage.CHILL, 18.0)],
)
def test_temperature_wanted(stage: Stage, wanted_c: float | None) -> None:
    """Strike, rest and pitching temperature where they belong."""
    assert wanted_c == temperature_target_c(PLAN, State(stage=stage))


def test_each_rest_has_its_temperature() -> None:
    """The second rest wants its own temperature."""
    plan = example("lark-ridge")
    wanted = [temperature_target_c(plan, State(stage=Stage.MASH, rest_index=index)) for index in (0, 1)]
    assert [66.0, 76.0] == wanted


@pytest.mark.parametrize(
    ("stage", "wanted_l"),
    [
        (Stage.STRIKE, 16.0),
        (Stage.MASH, None),
        # 19 L + 2 L of loss + 3.1 L/h for 75 min
        (Stage.PRE_BOIL, 24.875),
        (Stage.CHILL, 21.0),
        (Stage.TRANSFER, 19.0),
    ],
)
def test_volume_wanted(stage: Stage, wanted_l: float | None) -> None:
    """Volumes by hand from what is to go into the fermenter."""
    assert wanted_l == volume_target_l(PLAN, State(stage=stage))


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("stage", list(Stage))
def test_what_is_listened_for_makes_sense(name: str, stage: Stage) -> None:
    """In every stage what is expected is possible, each kind once, and help and silence are live."""
    state = State(stage=stage, boil=BoilClock(1, 60.0, 0.0) if stage is Stage.BOIL else None)
    ready = listening(example(name), state, 0.0)
    assert all(item.lowest < item.value < item.highest and item.spread > 0 for item in ready.expected)
    assert len({item.kind for item in ready.expected}) == len(ready.expected)
    assert {Command.HELP, Command.QUIET, Command.DONE, Command.SCRATCH_THAT} <= ready.commands


def test_the_boil_clock_is_heard_only_in_the_boil() -> None:
    """ "Stop the clock" is live in the boil alone, so that talk elsewhere cannot stop anything."""
    for stage in Stage:
        state = State(stage=stage, boil=BoilClock(1, 60.0, 0.0) if stage is Stage.BOIL else None)
        assert (stage is Stage.BOIL) is (Command.HOLD in listening(PLAN, state, 0.0).commands)


def test_names_are_heard_where_they_are_asked() -> None:
    """The chiller in the boil; the rest after it, and the chiller too where it was left out."""
    boil = State(stage=Stage.BOIL, boil=BoilClock(1, 75.0, 0.0))
    assert ("chiller",) == listening(PLAN, boil, 0.0).names
    wet = State(stage=Stage.CHILL, wet=MappingProxyType({"chiller": 0.0}))
    assert ("fermenter", "siphon", "thermometer") == listening(PLAN, wet, 0.0).names
    assert "chiller" in listening(PLAN, State(stage=Stage.CHILL), 0.0).names


def test_a_question_brings_its_digits() -> None:
    """While a question is open its digits, yes and no are live."""
    question = f.QuestionAsked("gravity", "SG", ("1.015", "1.050"), "close")
    ready = listening(PLAN, State(stage=Stage.PRE_BOIL, question=question), 0.0)
    assert ("15", "50") == ready.choices
    assert {Command.YES, Command.NO} <= ready.commands
    assert [Kind.GRAVITY, Kind.GRAVITY] == [item.kind for item in candidates_of(question)]
