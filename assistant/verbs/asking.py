"""The verbs that need no sound: `plan`, `ask` and `report`."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict

from assistant import wiring
from assistant.journal.days import journal_file
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.phrasing.asking import Answered, ask
from assistant.phrasing.plan_text import plan_lines
from assistant.report.day_log import day_log
from assistant.understanding.said import Readings
from assistant.verbs.common import UNITS, Say, last_day, plan_and_stage, settings_from


def show_plan(arguments: argparse.Namespace, say: Say) -> int:
    """Show targets and timetable of a plan."""
    for line in plan_lines(wiring.load_plan(arguments.plan)):
        say(line)
    return 0


def answer(arguments: argparse.Namespace, say: Say) -> int:
    """Understand and answer typed words; 1 when they brought no reading."""
    plan, stage = plan_and_stage(arguments)
    answered = ask(" ".join(arguments.words), plan, stage, UNITS.get(arguments.units or ""))
    say(json.dumps(_as_json(answered), ensure_ascii=False) if arguments.json else answered.answer)
    return 0 if answered.facts else 1


def _as_json(answered: Answered) -> dict[str, object]:
    readings = answered.said.readings if isinstance(answered.said, Readings) else ()
    return {
        "understood": type(answered.said).__name__,
        "readings": [
            {
                "kind": item.kind.value,
                "value": str(item.value),
                "unit": item.unit.value,
                "unit_said": item.unit_said,
            }
            for item in readings
        ],
        "facts": [{"fact": type(fact).__name__, **asdict(fact)} for fact in answered.facts],
        "answer": answered.answer,
    }


def report(arguments: argparse.Namespace, say: Say) -> int:
    """Print the log of a day."""
    folder = arguments.day or last_day(settings_from(arguments))
    journal = SqliteJournal.read_only(journal_file(folder))
    try:
        for line in day_log(journal.read()):
            say(line)
    finally:
        journal.close()
    return 0
