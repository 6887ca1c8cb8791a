"""The command `ask` with questions about the physics: answer, why, list, JSON, exit codes."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Final

import pytest
from command_line import Kettleside, only_sentence

from assistant.understanding.inquiry_topics import SUBJECTS, TOPICS

STRIKE: Final = "strike for five kilos at sixty-seven with fifteen litres"
FERRY_LANTERN: Final = Path(__file__).parents[1] / "plans" / "ferry-lantern.toml"
LARK_RIDGE: Final = Path(__file__).parents[1] / "plans" / "lark-ridge.toml"


def test_a_question_is_answered_in_one_line(kettleside: Kettleside) -> None:
    """Typed as one text or as many words, the answer is one line that begins with the value."""
    ran, other = kettleside("ask", STRIKE), kettleside("ask", *STRIKE.split())
    assert (0, "", 1) == (ran.code, ran.err, ran.out.count("\n"))
    assert ran.out.startswith("Seventy-one point seven celsius")
    assert ran.out == other.out


def test_a_reading_is_still_a_reading(kettleside: Kettleside) -> None:
    """What can be read as a reading or an order is never taken for a question."""
    assert kettleside("ask", "ten thirty-seven at one sixty").out.startswith("Ten ")
    assert "it needs a day" in kettleside("ask", "boil is on").out


def test_why_adds_where_the_answer_comes_from(kettleside: Kettleside) -> None:
    """`--why` keeps the answer as the first line and adds formula, range, values, doubt, verdict and source."""
    ran = kettleside("ask", "--why", STRIKE)
    answer, formula, holds, *rest = ran.out.rstrip("\n").split("\n")
    assert (0, f"{answer}\n") == (ran.code, kettleside("ask", STRIKE).out)
    assert formula.startswith("Formula: T = target")
    assert holds.startswith("Holds for: grain > 0, water > 0")
    assert "Taken: grain 5 ± 0.05 kg." in rest
    assert any(
        re.fullmatch(r"Strike temperature: 71\.7\d+ ± 0\.\d+ °C .*inside the range\.", line) for line in rest
    )
    assert any("Pauls and Whites" in line and "[2ND: second-hand]" in line for line in rest)


def test_why_of_a_gravity_tells_the_correction(kettleside: Kettleside) -> None:
    """A corrected gravity has formula, range, uncertainty and source too; a plain reading says that it has none."""
    answer, *why = kettleside("ask", "--why", "ten thirty-seven at one sixty").out.rstrip("\n").split("\n")
    assert answer.startswith("Ten sixty")
    assert ["Formula", "Holds for", "Taken", "Gravity", "  Source"] == [line.partition(":")[0] for line in why]
    assert "Bubnik et al. (1995)" in why[-1]
    assert re.fullmatch(r"Gravity: 1\.0\d{3} ± 0\.00\d+ SG .*", why[3])
    plain = kettleside("ask", "--why", "sixty degrees")
    assert plain.out.endswith("Nothing was worked out: it was taken as read.\n")


def test_the_list_shows_every_topic_with_an_example(kettleside: Kettleside) -> None:
    """`--list` needs no words: by subject, what is worked out and a question below it, in 80 columns."""
    ran = kettleside("ask", "--list")
    assert (0, "") == (ran.code, ran.err)
    lines = ran.out.rstrip("\n").split("\n")
    assert max(map(len, lines)) <= 80
    assert [subject.upper() for subject in SUBJECTS] == [
        line for line in lines if line and not line.startswith(" ")
    ]
    read = " ".join(ran.out.split())
    places = [read.index(f'{topic.title} "{topic.example}"') for topic in TOPICS]
    assert sorted(places) == places
    listed = json.loads(kettleside("ask", "--list", "--json").out)
    assert [(topic.key, topic.example) for topic in TOPICS] == [(item["topic"], item["example"]) for item in listed]
    assert list(SUBJECTS) == list(dict.fromkeys(item["subject"] for item in listed))


def test_programs_get_results_with_their_sources(kettleside: Kettleside) -> None:
    """`--json` gives each result with value, uncertainty, unit, source, status, verdict, and the answer."""
    ran = kettleside("ask", "--json", "priming for nineteen litres at twenty degrees to two point four")
    found = json.loads(ran.out)
    assert ran.code == 0
    assert {"understood", "topic", "results", "why", "answer"} == set(found)
    assert ("Inquiry", "priming") == (found["understood"], found["topic"])
    sugar, left, bottle = found["results"]
    assert {"label", "value", "sd", "unit", "source", "status", "verdict"} == set(sugar)
    # 19 L for 18.927 L of the worked example: 111.7 g of sucrose (CALC).
    assert pytest.approx(0.1117 * 19.0 / 18.927, rel=0.01) == sugar["value"]
    assert ("kg", "CALC", "volumes") == (sugar["unit"], sugar["status"], left["unit"])
    assert ("CP", "a rule of the trade, no physics behind it") == (bottle["status"], bottle["verdict"])
    assert kettleside("ask", "priming for 19 L at 20 C to 2.4").out == found["answer"] + "\n"


@pytest.mark.parametrize(
    ("words", "understood", "part"),
    [
        ("alcohol from ten fifty", "Incomplete", "Add the final gravity, such as"),
        ("strike for five bananas", "Incomplete", 'I do not know what to do with "bananas"'),
        ("gas left at sixty degrees", "Refused", "must be from 0 to 30 °C, not 60 °C"),
    ],
)
def test_what_cannot_be_answered_is_no_success(
    kettleside: Kettleside, words: str, understood: str, part: str
) -> None:
    """A missing value, an unknown word and a value out of range are told in one line, with exit code 1."""
    ran = kettleside("ask", "--why", words)
    assert (1, "", 1) == (ran.code, ran.err, ran.out.count("\n"))
    assert part in ran.out
    found = json.loads(kettleside("ask", "--json", words).out)
    assert (understood, []) == (found["understood"], found["results"])


def test_units_and_plan_settle_what_a_bare_number_is(kettleside: Kettleside) -> None:
    """A bare temperature is °F for a US brewer, by `--units` or by the plan, whose rig then counts as well."""
    us = kettleside("ask", "--units", "us", "gas left at sixty-eight")
    assert (0, "Zero point eight six volumes") == (us.code, us.out[:28])
    assert kettleside("ask", "gas left at sixty-eight").code == 1
    assert kettleside("ask", "--plan", FERRY_LANTERN, "gas left at sixty-eight").code == 0
    # 0.718 volumes under the standard atmosphere at 1500 m (CALC, Carroll et al.), so less at 1600 m.
    found = json.loads(kettleside("ask", "--plan", LARK_RIDGE, "--json", "gas left at 20 C").out)
    assert (
        pytest.approx(0.718 * (83_524.0 - 2339.0) / (84_559.7 - 2339.0), abs=0.003) == found["results"][0]["value"]
    )


def test_unknown_words_point_to_the_list(kettleside: Kettleside) -> None:
    """Words that are neither a reading nor a question are told so, with where to see what can be asked."""
    ran = kettleside("ask", "how much treacle for nineteen litres")
    assert (1, 1) == (ran.code, ran.out.count("\n"))
    assert ran.out.endswith("kettleside ask --list.\n")


def test_nothing_asked_is_told_in_a_sentence(kettleside: Kettleside) -> None:
    """Without words and without `--list` one sentence tells how to ask."""
    assert "--list" in only_sentence(kettleside("ask"))
