"""The command from end to end: what each verb prints, and how it ends."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from itertools import pairwise
from pathlib import Path
from typing import IO, Any, Final

import pytest
from command_line import Kettleside

ROOT: Final = Path(__file__).parents[1]
PLANS: Final = sorted((ROOT / "plans").glob("*.toml"))
HOLLOW_LANE: Final = ROOT / "plans" / "hollow-lane.toml"
RECORDINGS: Final = ROOT / "tests" / "ear" / "recordings"

EVENING: Final = """
start the day
seventy-four degrees
mash is in
run off
kettle is full
twenty-four degrees, ten fifty
scratch that
twenty-four degrees, ten forty-four
thirty centimetres
boil is on
stop the clock
carry on
add ten minutes
how long
make a note the burner is weak tonight
flurble
knockout
water is on
fermenter
siphon
thermometer
seventy-one degrees
eighteen degrees
chill is done
eighteen degrees, ten fifty-two
nineteen litres
transfer is done
chiller
transfer is done
done
done
"""


def the_day(home: Path) -> Path:
    """The folder of the only day in `home`."""
    (folder,) = (home / "days").iterdir()
    return folder


def answered(out: str) -> list[str]:
    """What the brewer typed and the assistant answered, in order; a line still without an answer is left out."""
    lines = re.findall(r"^\d\d:\d\d:\d\d  (brewer     )?(.*)$", out, re.M)
    return [text for (brewer, text), (next_brewer, _) in pairwise(lines) if brewer and not next_brewer]


# --- plan


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.stem)
def test_a_plan_is_shown(kettleside: Kettleside, plan: Path) -> None:
    """Every example plan gives its targets and its timetable."""
    ran = kettleside("plan", plan)
    assert (0, "") == (ran.code, ran.err)
    for part in ("Targets", "before the boil", "Calls, in minutes before knockout", "knockout"):
        assert part in ran.out


# --- ask


def test_a_hot_gravity_is_corrected_with_its_uncertainty(kettleside: Kettleside) -> None:
    """160 can only be °F: the reading is corrected, given with its doubt, and a cool sample is asked for."""
    ran = kettleside("ask", "ten thirty-seven at one sixty")
    assert (0, "") == (ran.code, ran.err)
    assert re.fullmatch(r"Ten \S+, give or take \w+\. It was hot: .*Cool a cup to be sure\.\n", ran.out)


def test_readings_in_either_order_are_one_gravity(kettleside: Kettleside) -> None:
    """Temperature first or gravity first, typed as one text or as many words: the answer is the same."""
    one = kettleside("ask", "sixty degrees, ten fifty-nine")
    other = kettleside("ask", "ten", "fifty-nine", "at", "sixty", "degrees")
    assert one.code == 0
    assert one.out.startswith("Ten seventy-")
    assert one.out == other.out


def test_programs_get_one_object_with_readings_facts_and_answer(kettleside: Kettleside) -> None:
    """`--json` gives exact values as said, the facts they bring, and the spoken answer."""
    ran = kettleside("ask", "--json", "ten thirty-seven at one sixty")
    found = json.loads(ran.out)
    assert ran.code == 0
    assert set(found) == {"understood", "readings", "facts", "answer"}
    assert [
        {"kind": "gravity", "value": "1.037", "unit": "SG", "unit_said": True},
        {"kind": "temperature", "value": "160", "unit": "°F", "unit_said": False},
    ] == found["readings"]
    (fact,) = found["facts"]
    assert fact["fact"] == "GravityRead"
    assert pytest.approx((160 - 32) / 1.8) == fact["sample_c"]
    assert 1.055 < fact["gravity_sg"] < 1.065
    assert kettleside("ask", "ten thirty-seven at one sixty").out == found["answer"] + "\n"


def test_a_gravity_is_compared_with_the_target_of_a_stage(kettleside: Kettleside) -> None:
    """With a plan and a stage the answer tells on target or how far off."""
    at_stage = ("--plan", HOLLOW_LANE, "--stage", "before the boil")
    assert kettleside("ask", *at_stage, "ten forty-three at twenty-four").out.startswith("On target")
    assert kettleside("ask", *at_stage, "ten thirty-five at twenty-four").out.startswith("Low by")


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("flurble", "I do not know those words"),
        ("one hundred and thirty celsius", "Not taken: 130 °C is outside"),
        ("boil is on", "it needs a day"),
    ],
)
def test_what_brings_no_reading_is_no_success(kettleside: Kettleside, words: str, part: str) -> None:
    """Nonsense, the impossible and an order are answered in a sentence, and the exit code is 1."""
    ran = kettleside("ask", words)
    assert ran.code == 1
    assert part in ran.out
    assert ran.out.count("\n") == 1


# --- hear


def recordings() -> list[Path]:
    """The committed recordings; the name of each is what is said in it."""
    return sorted(RECORDINGS.glob("*.wav"))


def test_recordings_are_heard_as_objects_for_programs(kettleside: Kettleside) -> None:
    """`hear --json` gives one object a line, with every field that was promised, and hears what is said."""
    ran = kettleside("hear", "--json", *recordings())
    assert (0, "") == (ran.code, ran.err)
    found: list[dict[str, Any]] = [json.loads(line) for line in ran.out.strip().split("\n")]
    assert [str(path) for path in recordings()] == [item["file"] for item in found]
    assert [path.stem.replace("_", " ") for path in recordings()] == [item["words"] for item in found]
    for item in found:
        assert item["decision"] == "accept"
        assert 0.0 < item["confidence"] <= 1.0
        assert item["engine"].startswith("our own model")
        assert item["audio_seconds"] > 0.5
        assert item["computing_seconds"] > 0.0
        assert all(set(reading) == {"kind", "value", "unit"} for reading in item["readings"])
    (gravity,) = (item for item in found if item["words"] == "ten forty four")
    assert [{"kind": "gravity", "value": 1.044, "unit": "SG"}] == gravity["readings"]
    (order,) = (item for item in found if item["words"] == "scratch that")
    assert order["order"] == "scratch that"


QUESTION: Final = ("strike_water", "five_kilos", "sixty_seven_degrees", "fifteen_litres")


def question_recordings() -> list[Path]:
    """The breaths of one question, in order."""
    return [RECORDINGS / "question" / f"{name}.wav" for name in QUESTION]


def test_a_question_is_heard_from_recordings(kettleside: Kettleside) -> None:
    """Each breath is heard with the words of its step; the last line is the answer that `ask` gives."""
    ran = kettleside("hear", "--question", *question_recordings())
    *steps, answer = [line.split("]  ")[1] for line in ran.out.splitlines()]
    assert ["Strike. Grain?", "Five kilograms. Temperature of the mash?", "Sixty-seven. Volume of water?"] == steps
    asked = kettleside("ask", "strike for five kilos at sixty-seven with fifteen litres").out.strip()
    assert (0, asked.lower()) == (ran.code, answer.split(": ", 1)[1].lower())


def test_a_question_from_recordings_for_programs(kettleside: Kettleside) -> None:
    """As JSON each breath tells topic, values and what is asked for next; without an answer the exit code is 1."""
    ran = kettleside("hear", "--question", "--json", *question_recordings()[:2])
    found = [json.loads(line) for line in ran.out.splitlines()]
    assert 1 == ran.code
    assert ["grain", "temperature of the mash"] == [item["asks_for"] for item in found]
    assert [["grain", "5", "kg"]] == found[-1]["given"]
    assert [False, False] == [item["answered"] for item in found]


def test_recordings_are_heard_for_people(kettleside: Kettleside) -> None:
    """Without `--json` each recording is a line with words, decision and value."""
    ran = kettleside("hear", RECORDINGS / "twenty_six_point_five_litres.wav")
    assert ran.code == 0
    assert re.search(r"litres\.wav: twenty six point five litres  \[accept, .*\]  volume 26\.5 L\n$", ran.out)


# --- rehearse, brew, report


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.stem)
def test_a_typed_rehearsal_of_every_plan_goes_right(kettleside: Kettleside, plan: Path) -> None:
    """A whole day at the keyboard ends with no reading wrong or lost."""
    ran = kettleside("rehearse", "--typed", plan)
    assert (0, "") == (ran.code, ran.err)
    assert "wrong 0, lost 0" in ran.out
    for incident in ("scratch that", "held boil", "missed call"):
        assert incident in ran.out


def test_a_whole_evening_typed_through_a_pipe(kettleside: Kettleside, tmp_path: Path) -> None:
    """A scripted evening comes to its end; the book holds it in order, with what was taken back marked."""
    ran = kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", typed=EVENING)
    assert (0, "") == (ran.code, ran.err)
    assert "The day is over; its book is kept." in ran.out
    assert EVENING.strip().split("\n") == re.findall(r"  brewer     (.*)", ran.out)
    for sentence in (
        "High by",
        "Gone",
        "On target: ten forty-five",
        "Held at",
        "Noted",
        "I did not get that",
        "Nobody said these are safe: chiller.",
        "Pitched.",
    ):
        assert sentence in ran.out

    report = kettleside("report")
    assert (0, "") == (report.code, report.err)
    assert kettleside("report", the_day(tmp_path / "home")).out == report.out
    lines = report.out.strip().split("\n")
    (withdrawn,) = (line for line in lines if "gravity   1.050" in line)
    assert withdrawn.endswith("(taken back)")
    stages = [line.split("stage     ")[1] for line in lines if "  stage     " in line]
    assert [
        *("strike water", "mash", "run-off", "before the boil", "boil"),
        *("chill", "transfer", "oxygenate and pitch", "fermenting"),
    ] == stages
    assert "note      the burner is weak tonight" in report.out
    assert re.search(r"^Bitterness: \d+ IBU ± \d+, the plan 31; \d+ by Tinseth, \d+ by Rager$", report.out, re.M)
    assert report.out.count(" % alpha, ") == 3
    over = kettleside("resume")
    assert over.code == 1
    assert over.sentences == [
        f"No day in {tmp_path / 'home' / 'days'} was cut off; start one with: kettleside brew PLAN"
    ]


def test_the_end_of_the_keyboard_stops_a_typed_day_that_goes_on_later(kettleside: Kettleside) -> None:
    """When the pipe ends the day is kept open, and `resume` takes it up at its stage."""
    first = kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", typed="start the day\nmash is in\n")
    assert first.code == 0
    assert "Stopped. Go on with: kettleside resume" in first.out
    second = kettleside("resume", "--typed", "--no-voice", typed="where are we\n")
    assert second.code == 0
    assert "I was off for" in second.out
    assert "ash" in answer_to("where are we", second.out)


def answer_to(words: str, out: str) -> str:
    """What the assistant said right after the brewer typed `words`."""
    found = re.search(rf"  brewer     {re.escape(words)}\n\d\d:\d\d:\d\d  (.*)", out)
    assert found, f"{words} was not answered in: {out}"
    return found[1]


def test_a_day_is_heard_from_a_recording(kettleside: Kettleside) -> None:
    """`brew --microphone FILE.wav` hears the recording at its true speed and ends with it."""
    ran = kettleside("brew", HOLLOW_LANE, "--no-voice", "--microphone", RECORDINGS / "what_is_next.wav")
    assert (0, "") == (ran.code, ran.err)
    assert "our own model" in ran.out
    assert "start the day" in answer_to("what is next", ran.out)
    assert "The recording is over. The day stays open." in ran.out


# --- killed


def start(home: Path, *arguments: object) -> subprocess.Popen[str]:
    """Start the command as a program of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "assistant", *map(str, arguments)],
        cwd=ROOT,
        env=os.environ | {"KETTLESIDE_HOME": str(home)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def read_until_answers(out: IO[str], count: int) -> str:
    """Read lines until `count` of the brewer's lines have been answered."""
    text = ""
    while len(answered(text)) < count:
        line = out.readline()
        assert line, f"the program ended by itself after: {text}"
        text += line
    return text


@pytest.mark.skipif(os.name != "posix", reason="killing as POSIX has it")
@pytest.mark.parametrize("answers", [1, 8, 12, 21])
def test_a_killed_day_keeps_all_it_answered_and_goes_on(
    kettleside: Kettleside, tmp_path: Path, answers: int
) -> None:
    """After `kill -9` all that was answered is in the book; `resume` goes on and says how long it was off."""
    program = start(tmp_path / "home", "brew", HOLLOW_LANE, "--typed", "--no-voice")
    assert program.stdin and program.stdout and program.stderr
    program.stdin.write(EVENING)
    program.stdin.flush()
    out = read_until_answers(program.stdout, answers)
    program.send_signal(signal.SIGKILL)
    out += program.stdout.read()
    assert -signal.SIGKILL == program.wait()
    assert program.stderr.read() == ""
    for stream in (program.stdin, program.stdout, program.stderr):
        stream.close()

    report = kettleside("report")
    kept = re.findall(r'  heard     "(.*)"  \[', report.out)
    told = answered(out)
    assert len(told) >= answers
    assert told == kept[: len(told)]
    # Nothing is doubled or made up either: the book is a beginning of the evening.
    assert EVENING.strip().split("\n")[: len(kept)] == kept

    resumed = kettleside("resume", "--typed", "--no-voice", typed="where are we\n")
    assert (0, "") == (resumed.code, resumed.err)
    assert re.search(r"  I was off for (half a|one|a|\w+) \w+", resumed.out)
    again = kettleside("report")
    assert again.out.startswith(report.out.rstrip("\n"))
    assert "resumed after" in again.out


# --- mistakes on the command line


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        ((), "required: VERB"),
        (("brw",), "invalid choice: 'brw'"),
        (("brew",), "required: plan"),
        (("ask", "--stage", "lunch", "ten forty"), "invalid choice: 'lunch'"),
        (("hear", "--loud", "x.wav"), "unrecognized arguments: --loud"),
    ],
)
def test_a_mistyped_command_is_one_sentence(kettleside: Kettleside, arguments: tuple[str, ...], part: str) -> None:
    """What cannot be a command is told in one line with where to look, exit code 2."""
    ran = kettleside(*arguments)
    assert (2, "") == (ran.code, ran.out)
    (sentence,) = ran.sentences
    assert part in sentence
    assert re.search(r"see kettleside( \w+)? --help$", sentence)


def test_a_stage_needs_a_plan(kettleside: Kettleside) -> None:
    """A stage to compare with, but no plan, is one sentence."""
    ran = kettleside("ask", "--stage", "boil", "ten forty")
    assert (1, "") == (ran.code, ran.out)
    assert ran.sentences == ["--stage needs a plan to compare with; add --plan PLAN."]


def test_both_ways_of_calling_are_the_same_program() -> None:
    """`python -m assistant` answers as the installed command does, and exits with its code."""
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "ask", "flurble"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (1, "") == (done.returncode, done.stderr)
    assert "I do not know those words" in done.stdout


def test_a_closed_pipe_behind_the_command_is_no_traceback() -> None:
    """When the reader of the output goes away the program ends without a word on standard error."""
    done = subprocess.run(
        ["bash", "-c", f"{sys.executable} -m assistant plan plans/hollow-lane.toml | head -n 1"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.stdout, done.stderr) == ("Hollow Lane\n", "")


def test_ask_with_a_plan_tells_what_to_do_about_a_miss(kettleside: Kettleside) -> None:
    """The same advice as on the day: how much extract, or leave it."""
    ran = kettleside("ask", "--plan", HOLLOW_LANE, "--stage", "before the boil", "20 degrees 1.038")
    assert (0, "") == (ran.code, ran.err)
    assert ran.out.startswith("Low by six: ten thirty-eight")
    assert "grams of extract; or leave it." in ran.out
