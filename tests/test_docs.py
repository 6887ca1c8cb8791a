"""What README.md, DEVELOPERS.md and .ci/run say is what the program is."""

from __future__ import annotations

import argparse
import ast
import json
import re
import shlex
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from assistant.__main__ import _parser, main
from assistant.day.facts import Stage
from assistant.day.transitions import TRANSITIONS
from assistant.ear.model_folder import OWN_MODEL
from assistant.phrasing.asking import METRIC, US, neutral_listening
from assistant.understanding.inquiry_topics import SUBJECTS, TOPICS
from assistant.understanding.parse import parse
from assistant.understanding.phrases import COMMANDS, MORE, TIMED, taught_phrase
from assistant.understanding.said import Command, Listening, Order, Readings

ROOT: Final = Path(__file__).parents[1]
README: Final = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS: Final = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT: Final[dict[str, Any]] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))

# Files in examples that a reader makes himself, and files of a day.
MADE_BY_THE_READER: Final = frozenset({"my-beer.toml", "reading.wav", "day.journal"})


def table(text: str, head: str) -> list[list[str]]:
    """The cells of the rows of the Markdown table that begins with the line `head`."""
    lines = text.split("\n")
    rows = []
    for line in lines[lines.index(head) + 2 :]:
        if not line.startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    return rows


def shell_blocks(text: str) -> list[str]:
    """The lines of all blocks of shell commands."""
    return [line for block in re.findall(r"```sh\n(.*?)```", text, re.S) for line in block.strip().split("\n")]


def kettleside_commands(text: str) -> Iterator[list[str]]:
    """The arguments of every `kettleside ...` in code, alone on a line or in backticks."""
    for code in (*shell_blocks(text), *re.findall(r"`([^`\n]+)`", text)):
        for part in code.split(" && "):
            words = shlex.split(part)
            if len(words) > 1 and words[0].rsplit("/", 1)[-1] == "kettleside":
                yield words[1:]


def verbs() -> dict[str, argparse.ArgumentParser]:
    """The parser of each verb of the command."""
    (action,) = (item for item in _parser()._actions if isinstance(item, argparse._SubParsersAction))
    found: dict[str, argparse.ArgumentParser] = action.choices
    return found


def set_up_commands() -> list[str]:
    """The README's commands that make a virtual environment."""
    return [line for line in shell_blocks(README) if " -m venv " in line]


# --- set-up


def test_two_commands_set_everything_up() -> None:
    """The README has exactly two set-up commands of one line: one rehearses a day, one runs the tests."""
    rehearses, tests = set_up_commands()
    assert rehearses.endswith("/kettleside rehearse")
    assert tests.endswith("/pytest")
    for command in (rehearses, tests):
        make, install, *_ = command.split(" && ")
        folder = make.split()[-1]
        assert f"python3 -m venv {folder}" == make
        assert install.startswith(f"{folder}/bin/pip install ")


def test_the_environments_are_ignored_by_git() -> None:
    """What the set-up commands make is not offered to git."""
    patterns = (ROOT / ".gitignore").read_text().split("\n")
    for command in set_up_commands():
        folder = command.split(" && ", maxsplit=1)[0].split()[-1]
        assert any(Path(folder).match(pattern.rstrip("/")) for pattern in patterns if pattern)


def test_the_checks_run_the_readme_s_own_commands() -> None:
    """.ci/run takes the two lines out of the README and has none of its own."""
    script = (ROOT / ".ci" / "run").read_text()
    (found,) = re.findall(r"mapfile -t commands < <\((grep '[^']+' README\.md)\)", script)
    done = subprocess.run(shlex.split(found), cwd=ROOT, capture_output=True, text=True, check=True)
    assert set_up_commands() == done.stdout.strip().split("\n")
    assert "pip install" not in script
    for command in ('"$set_up_and_test"', '"$set_up_and_rehearse"'):
        assert f"-c {command}" in script


def test_the_checks_are_a_sound_script() -> None:
    """.ci/run is executable, parses, and stops at the first failure."""
    script = ROOT / ".ci" / "run"
    assert script.stat().st_mode & 0o111
    assert "\nset -euo pipefail\n" in script.read_text()
    subprocess.run(["bash", "-n", str(script)], check=True)


def test_the_extras_hold_what_the_checks_call() -> None:
    """Every tool that DEVELOPERS.md and .ci/run call is in the extra `test`."""
    extra = {re.split(r"[<>=]", item)[0] for item in PROJECT["project"]["optional-dependencies"]["test"]}
    called = set(re.findall(r"\.venv-test/bin/(\w+)", (ROOT / ".ci" / "run").read_text() + DEVELOPERS))
    assert called - {"python", "pip"} <= extra


def modules_of(node: ast.AST) -> list[str]:
    """The modules that an import statement names."""
    if isinstance(node, ast.ImportFrom):
        return [node.module or ""]
    return [alias.name for alias in node.names] if isinstance(node, ast.Import) else []


def test_every_dependency_is_imported_and_has_a_lower_bound() -> None:
    """No run-time dependency is idle, none is missing, and each has a lower bound."""
    names = {re.match(r"[A-Za-z0-9-]+", item)[0] for item in PROJECT["project"]["dependencies"]}  # type: ignore[index]
    assert all(">=" in item for item in PROJECT["project"]["dependencies"])
    imported = {
        module.split(".")[0]
        for path in (ROOT / "assistant").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        for module in modules_of(node)
    }
    ours = imported - sys.stdlib_module_names - {"assistant", "__future__"}
    # pydantic_core is pydantic's own other half.
    assert {name.replace("-", "_") for name in names} == ours - {"pydantic_core"}


def test_an_installed_copy_brings_its_ear_and_plans() -> None:
    """The wheel holds the model that is used and the example plans."""
    included = PROJECT["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert f"assistant/_bundled/models/{OWN_MODEL}" == included[f"models/{OWN_MODEL}"]
    assert included["plans"] == "assistant/_bundled/plans"
    assert all((ROOT / source).exists() for source in included)


# --- commands


def test_the_readme_names_only_commands_that_exist() -> None:
    """Every `kettleside ...` of the documents is understood by the command, flag by flag."""
    found = [*kettleside_commands(README), *kettleside_commands(DEVELOPERS)]
    assert len(found) > 10
    for words in found:
        if "--help" not in words:
            _parser().parse_args(words)


def test_the_readme_names_every_verb() -> None:
    """No verb is hidden from the reader."""
    assert set(verbs()) == {words[0] for words in kettleside_commands(README)}


@pytest.mark.parametrize("verb", sorted(verbs()))
def test_every_verb_has_help_with_an_example(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`--help` of each verb ends with an example that the command itself understands, and explains each flag."""
    with pytest.raises(SystemExit, match="0"):
        main([verb, "--help"])
    *_, last = capsys.readouterr().out.strip().split("\n")
    assert last.startswith(f"example: kettleside {verb}")
    assert verb == _parser().parse_args(shlex.split(last.removeprefix("example: kettleside "))).verb
    assert [] == [item.dest for item in verbs()[verb]._actions if not item.help]


def test_the_answer_in_the_readme_is_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """The worked examples of `ask`, of a reading and of a question, give what the README says."""
    examples = [words for words in kettleside_commands(README) if words[0] == "ask" and " " in words[-1]]
    assert len(examples) == 2
    for words in examples:
        assert main(words) == 0
        assert f"answers `{capsys.readouterr().out.strip()}`" in README


# --- what can be said


def other_phrases(command: Command) -> list[str]:
    """What is understood beside the phrase we teach."""
    if command not in TIMED:
        return list(COMMANDS[command][1:])
    more = [f"five {MORE} minutes"] if command is Command.ADD_TIME else []
    return [f"{lead} five minutes" for lead in TIMED[command][1:]] + more


def test_the_table_of_phrases_is_that_of_the_program() -> None:
    """The README's table has a row for every order, with the phrases of the tables that parser and ear use."""
    expected = [
        [f'"{taught_phrase(command)}"', ", ".join(f'"{other}"' for other in other_phrases(command))]
        for command in Command
    ]
    assert expected == [row[1:] for row in table(README, "| what it does | say | or |")]


def test_the_phrases_of_the_readme_are_understood() -> None:
    """Each phrase of the README's table is the order of its row."""
    rows = table(README, "| what it does | say | or |")
    for command, (_, *phrases) in zip(Command, rows, strict=True):
        for phrase in re.findall('"([^"]+)"', " ".join(phrases)):
            said = parse(phrase, Listening())
            assert isinstance(said, Order), phrase
            assert command is said.command, phrase


def test_the_readings_of_the_readme_are_understood() -> None:
    """Each example of a reading in the README is taken as one by a metric or a US brewer's program."""
    rows = table(README, "| reading | such as |")
    phrases = re.findall('"([^"]+)"', " ".join(row[1] for row in rows))
    assert len(phrases) > 12
    for phrase in phrases:
        said = [parse(phrase, neutral_listening(units)) for units in (METRIC, US)]
        assert any(isinstance(one, Readings) for one in said), phrase


def test_the_questions_of_the_readme_are_those_that_are_answered(capsys: pytest.CaptureFixture[str]) -> None:
    """The README's table counts the topics of each subject and shows one; every topic's example is answered."""
    rows = table(README, "| about | questions | such as |")
    assert [[subject, str(len(topics))] for subject, topics in SUBJECTS.items()] == [row[:2] for row in rows]
    for row, topics in zip(rows, SUBJECTS.values(), strict=True):
        assert row[2].strip('"') in {topic.example for topic in topics}
    for topic in TOPICS:
        assert main(["ask", topic.example]) == 0
        assert capsys.readouterr().out.count("\n") == 1


# --- figures and tables


def test_the_ear_s_figures_are_those_of_its_manifest() -> None:
    """Each figure of the README's table of the ear stands in the model's manifest, and no set is left out."""
    measured = json.loads((ROOT / "models" / OWN_MODEL / "manifest.json").read_text())["measured"]
    noises = ("none", "burner-like, 10 dB", "burner-like, 5 dB", "burner-like, 0 dB")
    figures = {(item["on"], item["noise"]): f"{item['right'] * 100:.0f} %" for item in measured}
    expected = [
        [on, *(figures.get((on, noise), "") for noise in noises)]
        for on in dict.fromkeys(item["on"] for item in measured)
    ]
    (head,) = (line for line in README.split("\n") if line.startswith("| share of utterances right"))
    assert expected == table(README, head)


def test_the_table_of_stages_is_the_one_that_the_day_runs_on() -> None:
    """The state table in DEVELOPERS.md is the transition table of the code."""
    expected = [
        [
            stage.value,
            ", ".join(f'"{taught_phrase(order)}" -> {to.value}' for order, to in TRANSITIONS[stage].items()),
        ]
        for stage in Stage
    ]
    assert expected == table(DEVELOPERS, "| stage | what leads on |")


# --- paths


def paths_named(text: str) -> Iterator[str]:
    """What looks like a file or a folder of the repository in backticks or in a link."""
    for code in re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.S)):
        for word in code.split():
            if re.fullmatch(r"[\w.-]+(/[\w.*-]+)*/?", word) and (
                "/" in word or re.search(r"\.(toml|md|py|csv)$", word)
            ):
                yield word
    yield from re.findall(r"\]\(([^)#]+)\)", text)


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_path_in_the_documents_exists(document: str) -> None:
    """No document points to a file or folder that is not there."""
    text = (ROOT / document).read_text(encoding="utf-8")
    ours = [
        path for path in paths_named(text) if path not in MADE_BY_THE_READER and not path.startswith((".venv", "~"))
    ]
    assert len(ours) > 4
    assert [] == [path for path in ours if not any(ROOT.glob(path.rstrip("/")))]
