"""The verbs that need no sound: `plan`, `ask` and `report`."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict, replace

from assistant import wiring
from assistant.calculation.sources import SOURCES
from assistant.day.facts import DayBegun, Recorded, Stage
from assistant.day.plan_file import PlanMistakes, read_plan
from assistant.day.state import History
from assistant.journal.days import journal_file
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.phrasing.asking import Answered, ask
from assistant.phrasing.bitterness_words import report_lines
from assistant.phrasing.inquiry_answers import InquiryAnswer, inquire, list_lines, reading_why
from assistant.phrasing.plan_text import plan_lines
from assistant.ports import BrewerMistake
from assistant.report.day_log import day_log
from assistant.understanding.inquiry_topics import SUBJECTS
from assistant.understanding.said import NotUnderstood, Readings
from assistant.verbs.common import UNITS, Say, last_day, plan_and_stage, settings_from


def show_plan(arguments: argparse.Namespace, say: Say) -> int:
    """Show targets and timetable of a plan."""
    for line in plan_lines(wiring.load_plan(arguments.plan)):
        say(line)
    return 0


def answer(arguments: argparse.Namespace, say: Say) -> int:
    """Understand and answer typed words, a reading or a question; 1 when they brought neither.

    Raises:
        BrewerMistake: if there are no words and no list is wanted.
    """
    if arguments.list:
        return _list(arguments.json, say)
    if not arguments.words:
        raise BrewerMistake(
            'Say what you ask, such as: kettleside ask "ten forty"; --list shows what can be asked.'
        )
    plan, stage = plan_and_stage(arguments)
    text, units = " ".join(arguments.words), UNITS.get(arguments.units or "")
    answered = ask(text, plan, stage, units)
    if isinstance(answered.said, NotUnderstood):
        inquired = inquire(text, plan, units)
        if inquired is not None:
            return _tell_inquiry(inquired, arguments, say)
        answered = replace(answered, answer=f"{answered.answer} What can be asked: kettleside ask --list.")
    if arguments.json:
        say(json.dumps(_as_json(answered), ensure_ascii=False))
    else:
        why = reading_why(answered.facts) if arguments.why and answered.facts else ()
        for line in (answered.answer, *why):
            say(line)
    return 0 if answered.facts else 1


def _list(as_json: bool, say: Say) -> int:
    """Show what can be asked."""
    if as_json:
        topics = [
            {"subject": subject, "topic": item.key, "answers": item.title, "example": item.example}
            for subject, items in SUBJECTS.items()
            for item in items
        ]
        say(json.dumps(topics, ensure_ascii=False))
        return 0
    for line in list_lines():
        say(line)
    return 0


def _tell_inquiry(inquired: InquiryAnswer, arguments: argparse.Namespace, say: Say) -> int:
    """Tell the answer to a question; 1 when there is none."""
    if arguments.json:
        say(json.dumps(_inquiry_as_json(inquired), ensure_ascii=False))
    else:
        for line in (inquired.sentence, *(inquired.why if arguments.why else ())):
            say(line)
    return 0 if inquired.results else 1


def _inquiry_as_json(inquired: InquiryAnswer) -> dict[str, object]:
    return {
        "understood": inquired.understood,
        "topic": inquired.topic,
        "results": [
            {
                "label": item.label,
                "value": item.result.value,
                "sd": item.result.sd,
                "unit": item.result.unit,
                "source": SOURCES[item.result.source].title,
                "status": SOURCES[item.result.source].status,
                "verdict": item.result.verdict.value,
            }
            for item in inquired.results
        ],
        "why": list(inquired.why),
        "answer": inquired.sentence,
    }


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
        recorded = tuple(journal.read())
    finally:
        journal.close()
    for line in (*day_log(recorded), *_bitterness(recorded)):
        say(line)
    return 0


def _bitterness(recorded: tuple[Recorded, ...]) -> tuple[str, ...]:
    """The bitterness of a day that is over, as it came out; nothing where its plan tells no alpha acid."""
    begun = next((item.fact for item in recorded if isinstance(item.fact, DayBegun)), None)
    if begun is None:
        return ()
    try:
        plan = read_plan(begun.plan_text, begun.plan_file)
    except PlanMistakes:
        # A plan of an older program may not be one today; the log of its day is shown all the same.
        return ()
    state = History(plan, recorded).state
    return tuple(report_lines(plan, state, state.last_s)) if state.stage is Stage.FERMENTING else ()
