"""What several verbs share: settings from the command line, and where a day is."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Final

from assistant import wiring
from assistant.day.facts import Stage
from assistant.day.plan import Plan, UnitChoice
from assistant.journal.days import latest_day, unfinished_days
from assistant.phrasing.asking import METRIC, US
from assistant.ports import BrewerMistake
from assistant.settings import Settings

UNITS: Final[dict[str, UnitChoice]] = {"metric": METRIC, "us": US}
Say = Callable[[str], None]


def settings_from(arguments: argparse.Namespace) -> Settings:
    """The settings that the command line asks for."""
    return Settings(
        folder=getattr(arguments, "folder", None) or wiring.home() / "days",
        model_folder=getattr(arguments, "model", None),
        loudspeaker=getattr(arguments, "loudspeaker", None),
        printed_voice=getattr(arguments, "no_voice", False),
    )


def plan_and_stage(arguments: argparse.Namespace) -> tuple[Plan | None, Stage | None]:
    """The plan and the stage to compare with, where they were named.

    Raises:
        BrewerMistake: if a stage is named without a plan.
    """
    if arguments.stage and not arguments.plan:
        raise BrewerMistake("--stage needs a plan to compare with; add --plan PLAN.")
    plan = wiring.load_plan(arguments.plan) if arguments.plan else None
    return plan, Stage(arguments.stage) if arguments.stage else None


def unfinished_day(settings: Settings) -> Path:
    """The folder of the latest day that was cut off.

    Raises:
        BrewerMistake: if there is none.
    """
    days = unfinished_days(settings.folder)
    if not days:
        raise BrewerMistake(f"No day in {settings.folder} was cut off; start one with: kettleside brew PLAN")
    return days[0]


def last_day(settings: Settings) -> Path:
    """The folder of the latest day.

    Raises:
        BrewerMistake: if there is none.
    """
    day = latest_day(settings.folder)
    if day is None:
        raise BrewerMistake(f"No day is kept in {settings.folder} yet; start one with: kettleside brew PLAN")
    return day
