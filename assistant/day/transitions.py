"""The stages of a day and every move between them, in one table.

House rules: every move lives here; a move that is not in the table does not exist, and asking for it
leaves the state untouched. A brewer may forget to say a step, so some moves skip stages; none goes back
(to go back is to withdraw the turn that went forward). Knockout leads to the hop stand only when the plan
has one: `target_of` knows.
"""

from __future__ import annotations

from typing import Final

from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.understanding.said import Command

TRANSITIONS: Final[dict[Stage, dict[Command, Stage]]] = {
    Stage.SETTING_UP: {Command.BEGIN: Stage.STRIKE},
    Stage.STRIKE: {Command.MASH_IN: Stage.MASH},
    Stage.MASH: {
        Command.RUN_OFF: Stage.RUN_OFF,
        Command.KETTLE_FULL: Stage.PRE_BOIL,
    },
    Stage.RUN_OFF: {
        Command.KETTLE_FULL: Stage.PRE_BOIL,
        Command.BOIL_ON: Stage.BOIL,
    },
    Stage.PRE_BOIL: {Command.BOIL_ON: Stage.BOIL},
    Stage.BOIL: {Command.KNOCKOUT: Stage.HOP_STAND},
    Stage.HOP_STAND: {Command.CHILL_ON: Stage.CHILL},
    Stage.CHILL: {
        Command.CHILL_DONE: Stage.TRANSFER,
        Command.TRANSFER_DONE: Stage.PITCH,
    },
    Stage.TRANSFER: {
        Command.TRANSFER_DONE: Stage.PITCH,
        Command.PITCHED: Stage.FERMENTING,
    },
    Stage.PITCH: {Command.PITCHED: Stage.FERMENTING},
    Stage.FERMENTING: {},
}

# The order that leads out of each stage, as it is taught to the brewer.
WAY_ON: Final[dict[Stage, Command]] = {
    Stage.SETTING_UP: Command.BEGIN,
    Stage.STRIKE: Command.MASH_IN,
    Stage.MASH: Command.RUN_OFF,
    Stage.RUN_OFF: Command.KETTLE_FULL,
    Stage.PRE_BOIL: Command.BOIL_ON,
    Stage.BOIL: Command.KNOCKOUT,
    Stage.HOP_STAND: Command.CHILL_ON,
    Stage.CHILL: Command.CHILL_DONE,
    Stage.TRANSFER: Command.TRANSFER_DONE,
    Stage.PITCH: Command.PITCHED,
}

MOVES: Final[frozenset[Command]] = frozenset(command for moves in TRANSITIONS.values() for command in moves)


def target_of(plan: Plan, stage: Stage, command: Command) -> Stage | None:
    """The stage that `command` leads to from `stage`, or None when there is no such move."""
    target = TRANSITIONS[stage].get(command)
    if target is Stage.HOP_STAND and not plan.has_hop_stand:
        return Stage.CHILL
    return target


def order_of(stage: Stage) -> int:
    """The place of `stage` in the day, from 0."""
    return list(Stage).index(stage)
