"""Runs of the command in a test: what they give, and what a sentence for a brewer must be."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[1]
HOLLOW_LANE: Final = ROOT / "plans" / "hollow-lane.toml"
RECORDING: Final = ROOT / "tests" / "ear" / "recordings" / "ten_forty_four.wav"
A_READING: Final = "start the day\nseventy-four degrees\n"


@dataclass(frozen=True)
class Ran:
    """What a run of the command left: its exit code and what it printed."""

    code: int
    out: str
    err: str

    @property
    def sentences(self) -> list[str]:
        """The lines on standard error."""
        return self.err.strip().split("\n") if self.err.strip() else []


Kettleside = Callable[..., Ran]


def only_sentence(ran: Ran, code: int = 1) -> str:
    """The one sentence on standard error of a run that failed and printed nothing else."""
    assert (code, "") == (ran.code, ran.out)
    (sentence,) = ran.sentences
    assert_clear(sentence)
    return sentence


def assert_clear(sentence: str) -> None:
    """A sentence for a brewer: it ends as one, and no inside of the program shows."""
    assert re.search(r"[.)]$", sentence) or "kettleside" in sentence, sentence
    for inside in ("Traceback", "Error:", "Exception", "<class", "0x", "None"):
        assert inside not in sentence
    assert len(sentence) < 300


def begin_a_day(kettleside: Kettleside, home: Path) -> Path:
    """A day with a reading, cut off; returns its folder."""
    ran = kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", typed=A_READING)
    assert ran.code == 0
    return max((home / "days").iterdir())


def folder(at: Path) -> Path:
    """A folder where a file should be."""
    at.mkdir()
    return at


def file(at: Path, content: bytes) -> Path:
    """A file with `content`."""
    at.write_bytes(content)
    return at
