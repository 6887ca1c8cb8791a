"""The command `kettleside`: arguments -> verb. Errors are one sentence on standard error; 0 only on success."""

from __future__ import annotations

import argparse
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

from assistant import wiring
from assistant.day.facts import Stage
from assistant.day.plan_file import PlanMistakes
from assistant.ports import BrewerMistake, DeviceFailure, JournalRefusal
from assistant.verbs import asking, brewing, hearing, rehearsing
from assistant.verbs.common import UNITS

_STAGES = [stage.value for stage in Stage]


class _Parser(argparse.ArgumentParser):
    """A parser that tells a mistake in one sentence instead of the whole usage."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {message}; see {self.prog} --help\n")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="kettleside", description="Calls a brew day aloud, hears your readings, keeps the book.")
    verb = parser.add_subparsers(dest="verb", required=True, metavar="VERB")

    def add(name: str, run: Callable[..., int], about: str, example: str) -> argparse.ArgumentParser:
        added = verb.add_parser(name, help=about, description=about, epilog=f"example: kettleside {example}")
        added.set_defaults(run=run)
        return added

    rehearse = add("rehearse", rehearsing.rehearse, "A whole day at speed, with a made-up brewer.", "rehearse")
    rehearse.add_argument("plan", nargs="?", type=Path, help="the plan; an example plan when left out")
    rehearse.add_argument("--typed", action="store_true", help="without any sound, in a second or two")
    rehearse.add_argument("--with-history", action="store_true", help="with what your own days say of the rig")

    brew = add("brew", brewing.brew, "Brew a day.", "brew plans/hollow-lane.toml")
    brew.add_argument("plan", type=Path, help="the plan of the day")
    brew.add_argument(
        "--without",
        action="append",
        default=[],
        metavar="DAY",
        help="leave out what this earlier day taught",
    )
    resume = add("resume", brewing.resume, "Go on with the day that was cut off.", "resume")
    resume.add_argument("day", nargs="?", type=Path, help="its folder; the latest unfinished when left out")
    for live in (brew, resume):
        live.add_argument("--typed", action="store_true", help="the keyboard instead of a microphone")
        live.add_argument("--microphone", type=Path, metavar="FILE.wav", help="a recording instead of a microphone")
        live.add_argument("--loudspeaker", metavar="NAME", help="the loudspeaker, by its name or a part of it")
        live.add_argument("--no-voice", action="store_true", help="print the sentences instead of speaking them")

    add("plan", asking.show_plan, "Targets and timetable of a plan.", "plan plans/hollow-lane.toml").add_argument(
        "plan", type=Path, help="the plan"
    )
    ask = add("ask", asking.answer, "Understand and answer typed words.", 'ask "ten thirty-seven at one sixty"')
    ask.add_argument("words", nargs="*", help="a reading or a question, as you would say it")
    ask.add_argument("--why", action="store_true", help="with formula, range, source and uncertainty of the answer")
    ask.add_argument("--list", action="store_true", help="what can be asked, with an example of each")
    hear = add("hear", hearing.hear, "What the ear makes of recordings.", "hear reading.wav --json")
    hear.add_argument("files", nargs="+", type=Path, metavar="FILE", help="WAV recordings")
    hear.add_argument("--question", action="store_true", help="the recordings are a question: topic, then values")
    for understanding in (ask, hear):
        understanding.add_argument("--json", action="store_true", help="one JSON object a line, for programs")
        understanding.add_argument("--units", choices=sorted(UNITS), help="units meant where none is said")
        understanding.add_argument("--plan", type=Path, help="compare with the targets of this plan")
        understanding.add_argument("--stage", choices=_STAGES, help="the stage to compare with")

    check = add("check", hearing.check, "Microphone, loudspeaker, speech, ear and noise.", "check")
    check.add_argument("--fetch-model", action="store_true", help="let vosk fetch its small general English model")
    report = add("report", asking.report, "The log of a day.", "report")
    report.add_argument("day", nargs="?", type=Path, help="the folder of the day; the latest when left out")
    for listening in (rehearse, brew, resume, hear, check):
        listening.add_argument("--model", type=Path, metavar="FOLDER", help="a general Vosk model, not our own")
    for keeping in (rehearse, brew, resume, report):
        keeping.add_argument("--folder", type=Path, help="where days are kept, instead of ~/kettleside/days")
    return parser


def main(arguments: list[str] | None = None) -> int:
    """Run one verb; return the exit code."""
    parsed = _parser().parse_args(arguments)
    try:
        return int(parsed.run(parsed, print))
    except PlanMistakes as mistakes:
        for mistake in mistakes.mistakes:
            print(mistake.sentence(), file=sys.stderr)
    except (BrewerMistake, DeviceFailure, JournalRefusal) as sentence:
        print(sentence, file=sys.stderr)
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
    except BrokenPipeError:
        sys.stderr.close()
    except OSError as refusal:
        print(_refused_file(refusal), file=sys.stderr)
    except Exception as bug:  # noqa: BLE001 - a brewer is told in a sentence; the rest is for whoever mends it
        print(_own_mistake(bug), file=sys.stderr)
    return 1


def _refused_file(refusal: OSError) -> str:
    place = f" at {refusal.filename}" if refusal.filename else ""
    reason = (refusal.strerror or str(refusal)).lower()
    return f"The system refused a file{place} ({reason}); make room or choose another folder with --folder."


def _own_mistake(bug: Exception) -> str:
    """The sentence for a mistake of ours; its details go into a file."""
    details = wiring.home() / "trouble.txt"
    try:
        details.parent.mkdir(parents=True, exist_ok=True)
        details.write_text("".join(traceback.format_exception(bug)), encoding="utf-8")
        where = f"details are in {details}"
    except OSError:
        where = f"{type(bug).__name__}: {bug}"
    return f"Kettleside itself made a mistake ({where}); the book of a day is kept, go on with: kettleside resume"


if __name__ == "__main__":
    raise SystemExit(main())
