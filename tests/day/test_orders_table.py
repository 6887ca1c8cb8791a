"""Every move of the table, and every order that makes no sense: refused with a sentence, the state untouched."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from types import MappingProxyType

import pytest
from brew_day import START, example

from assistant.day import facts as f
from assistant.day.facts import Fact, Recorded, Stage
from assistant.day.orders import carry_out
from assistant.day.state import BoilClock, State, step
from assistant.day.transitions import MOVES, TRANSITIONS, WAY_ON, target_of
from assistant.messages import Moment
from assistant.understanding.said import Command, Order

PLAN = example("hollow-lane")
WITH_STAND = example("lark-ridge")
NOW = Moment(1000.0, START + timedelta(seconds=1000))
ALL_WET = MappingProxyType({item.name: 0.0 for item in PLAN.sanitation})


def state_in(stage: Stage) -> State:
    """A state in `stage` with everything sanitised and, where it belongs, a boil clock."""
    boil = BoilClock(1, 75.0, 900.0) if stage is Stage.BOIL else None
    return State(stage=stage, stage_since_s=900.0, planned_boil_min=75.0, boil=boil, wet=ALL_WET)


def after(state: State, facts: tuple[Fact, ...]) -> State:
    """The state after `facts`."""
    for number, fact in enumerate(facts, start=10):
        state = step(state, Recorded(number, NOW, 5, fact), PLAN)
    return state


MOVES_ALLOWED = [
    (stage, command, target) for stage, moves in TRANSITIONS.items() for command, target in moves.items()
]
MOVES_REFUSED = [
    (stage, command)
    for stage in Stage
    for command in sorted(MOVES)
    if command not in TRANSITIONS[stage] and not (stage is Stage.CHILL and command is Command.CHILL_ON)
]


@pytest.mark.parametrize(("stage", "command", "target"), MOVES_ALLOWED)
def test_each_move_of_the_table_is_made(stage: Stage, command: Command, target: Stage) -> None:
    """An order of the table leads to its stage; knockout leads to the chill where there is no hop stand."""
    wanted = Stage.CHILL if target is Stage.HOP_STAND else target
    facts = carry_out(Order(command), state_in(stage), PLAN, NOW)
    assert wanted is after(state_in(stage), facts).stage
    assert target is target_of(WITH_STAND, stage, command)


@pytest.mark.parametrize(("stage", "command"), MOVES_REFUSED)
def test_each_other_move_is_refused(stage: Stage, command: Command) -> None:
    """A move that is not in the table brings one refusal with a sentence, and leaves the state as it was."""
    (refused,) = carry_out(Order(command), state_in(stage), PLAN, NOW)
    assert isinstance(refused, f.OrderRefused)
    assert refused.why.endswith(".")
    assert f"We are at {stage.value}." in refused.why
    before, later = state_in(stage), after(state_in(stage), (refused,))
    assert (before.stage, before.boil, before.calls, before.undoable) == (
        later.stage,
        later.boil,
        later.calls,
        later.undoable,
    )


def test_no_move_goes_back_and_each_stage_has_a_way_on() -> None:
    """Every move leads later in the day, and the order taught for a stage is one of its moves."""
    stages = list(Stage)
    assert all(stages.index(target) > stages.index(stage) for stage, _, target in MOVES_ALLOWED)
    assert {stage: command for stage, command in WAY_ON.items() if command in TRANSITIONS[stage]} == WAY_ON
    assert set(Stage) - set(WAY_ON) == {Stage.FERMENTING}


HELD = BoilClock(1, 75.0, 900.0, held_since_s=950.0)
NOT_RUNNING = 'The boil clock is not running. Say "boil is on" to start it.'
REFUSED = (
    # order, boil clock or None, stage, the sentence
    (Order(Command.HOLD), None, Stage.PRE_BOIL, NOT_RUNNING),
    (Order(Command.GO_ON), None, Stage.MASH, NOT_RUNNING),
    (Order(Command.HOLD), HELD, Stage.BOIL, 'It is held already. Say "carry on".'),
    (Order(Command.ADD_TIME, Decimal(5)), None, Stage.MASH, "There is no boil clock to change."),
    (Order(Command.ADD_TIME), HELD, Stage.BOIL, 'How many? Say "add ten minutes".'),
    (Order(Command.TAKE_TIME, Decimal(76)), None, Stage.PRE_BOIL, "There is less than that on the clock."),
    (Order(Command.TAKE_TIME, Decimal(75)), HELD, Stage.BOIL, "There is less than that on the clock."),
    (Order(Command.YES), None, Stage.BOIL, "Nothing was asked."),
    (Order(Command.NO), None, Stage.BOIL, "Nothing was asked."),
    (Order(Command.SKIP), None, Stage.CHILL, "Nothing is waiting to be skipped."),
    (Order(Command.CHOOSE_EXTRACT), None, Stage.PRE_BOIL, "That was not on offer."),
    (Order(Command.OXYGEN_DONE), None, Stage.BOIL, "That is not waiting now."),
    (Order(Command.DONE), None, Stage.MASH, 'Nothing is waiting for done. When this stage is over, say "run off".'),
    (Order(Command.DONE), None, Stage.FERMENTING, "Nothing is waiting for done."),
)


@pytest.mark.parametrize(("order", "boil", "stage", "sentence"), REFUSED)
def test_orders_that_make_no_sense_are_refused_in_a_sentence(
    order: Order, boil: BoilClock | None, stage: Stage, sentence: str
) -> None:
    """Each order that cannot be carried out now says why, and brings nothing else."""
    state = State(stage=stage, planned_boil_min=75.0, boil=boil)
    assert (f.OrderRefused(order.command.value, sentence),) == carry_out(order, state, PLAN, NOW)


def test_a_running_clock_cannot_go_on() -> None:
    """ "Carry on" with a running clock is refused."""
    (refused,) = carry_out(Order(Command.GO_ON), state_in(Stage.BOIL), PLAN, NOW)
    assert isinstance(refused, f.OrderRefused)


@pytest.mark.parametrize("stage", [Stage.CHILL, Stage.TRANSFER])
@pytest.mark.parametrize("missing", [item.name for item in PLAN.sanitation])
def test_the_transfer_is_not_believed_while_something_is_unsafe(stage: Stage, missing: str) -> None:
    """ "Transfer is done" names the one thing on the list that nobody said is sanitised."""
    wet = MappingProxyType({name: at_s for name, at_s in ALL_WET.items() if name != missing})
    state = State(stage=stage, planned_boil_min=75.0, wet=wet)
    (refused,) = carry_out(Order(Command.TRANSFER_DONE), state, PLAN, NOW)
    assert isinstance(refused, f.OrderRefused)
    assert f"Nobody said these are safe: {missing}." in refused.why


def test_every_order_is_carried_out_in_every_stage() -> None:
    """No order raises in any stage, and each brings at least one fact."""
    for stage in Stage:
        for command in Command:
            for minutes in (None, Decimal(5)):
                assert carry_out(Order(command, minutes, "words"), state_in(stage), PLAN, NOW)
