"""What a brewer can get wrong: one clear sentence each, exit code 1, nothing lost."""

from __future__ import annotations

import json
import re
import sqlite3
import wave
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from command_line import (
    HOLLOW_LANE,
    RECORDING,
    Kettleside,
    assert_clear,
    begin_a_day,
    file,
    folder,
    only_sentence,
)
from noisy_speech import RATE_HZ, burner_noise

from assistant.day.facts import NoteTaken
from assistant.journal.days import journal_file
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Where the command of these tests keeps everything."""
    return tmp_path / "home"


# --- plans


def test_every_mistake_of_a_plan_is_told_at_once(kettleside: Kettleside, tmp_path: Path) -> None:
    """Four mistakes give four sentences, each with file, line, field and what would be right."""
    text = HOLLOW_LANE.read_text(encoding="utf-8")
    for right, wrong in (
        ('boil = "75 min"', 'boil = "75 L"'),
        ('boil_off = "3.1 L/h"', 'boil_of = "3.1 L/h"'),
        ('flow = "8 L/min"', 'flow = "800 L/min"'),
        ('pitch_at = "18 C"', 'pitch_at = "soon"'),
    ):
        assert text.count(right) == 1
        text = text.replace(right, wrong)
    plan = tmp_path / "wrong.toml"
    plan.write_text(text, encoding="utf-8")
    for verb in (("plan", plan), ("brew", plan, "--typed"), ("rehearse", "--typed", plan)):
        ran = kettleside(*verb)
        assert (1, "") == (ran.code, ran.out)
        assert len(ran.sentences) == 4
        for sentence in ran.sentences:
            assert_clear(sentence)
            assert re.match(rf"{re.escape(str(plan))} line \d+, ", sentence)
        for part in ("75 L", "boil_of", "800 L/min", "soon"):
            assert any(part in sentence for sentence in ran.sentences), part
    assert not (tmp_path / "home" / "days").exists()


@pytest.mark.parametrize(
    ("make", "part"),
    [
        (lambda at: at / "missing.toml", "no such file"),
        (lambda at: folder(at / "plan.toml"), "is a directory"),
        (lambda at: file(at / "plan.toml", b"\xff\xfe\x00beer"), "no text in UTF-8"),
        (lambda at: file(at / "plan.toml", b"[beer\nname = 1"), "line 1"),
        (lambda at: file(at / "plan.toml", b""), "beer"),
    ],
    ids=["missing", "folder", "binary", "no TOML", "empty"],
)
@pytest.mark.parametrize("verb", ["plan", "brew"])
def test_what_is_no_plan_is_told(
    kettleside: Kettleside, tmp_path: Path, make: Callable[[Path], Path], part: str, verb: str
) -> None:
    """A file that cannot be a plan is refused in clear sentences, and no day is begun with it."""
    ran = kettleside(verb, make(tmp_path))
    assert (1, "") == (ran.code, ran.out)
    assert part in ran.err
    for sentence in ran.sentences:
        assert_clear(sentence)
    assert not (tmp_path / "home" / "days").exists()


# --- recordings


@pytest.mark.parametrize(
    ("make", "part"),
    [
        (lambda at: at / "missing.wav", "missing.wav cannot be read"),
        (lambda at: folder(at / "folder.wav"), "folder.wav cannot be read"),
        (lambda at: file(at / "empty.wav", b""), "empty.wav is empty"),
        (lambda at: file(at / "text.wav", b"ten forty-four, honestly"), "not a WAV file"),
        (lambda at: file(at / "cut.wav", RECORDING.read_bytes()[:9000]), "cut off"),
        (lambda at: file(at / "torn.wav", RECORDING.read_bytes()[:30]), "broken"),
        (lambda at: file(at / "silent.wav", RECORDING.read_bytes()[:44]), "holds no sound"),
    ],
    ids=["missing", "folder", "empty", "text", "cut off", "torn", "no sound"],
)
def test_a_bad_recording_is_one_sentence(
    kettleside: Kettleside, tmp_path: Path, make: Callable[[Path], Path], part: str
) -> None:
    """`hear` tells what is wrong with one file and goes on with the next; `brew` begins no day with it."""
    bad = make(tmp_path)
    ran = kettleside("hear", bad, RECORDING)
    assert ran.code == 1
    first, second = (ran.out + ran.err).strip().split("\n")
    told, heard = (first, second) if part in first else (second, first)
    assert part in told
    assert_clear(told)
    assert "gravity 1.044" in heard

    as_json = kettleside("hear", "--json", bad)
    assert as_json.code == 1
    assert part in json.loads(as_json.out)["error"]

    assert part in only_sentence(kettleside("brew", HOLLOW_LANE, "--microphone", bad))
    assert not (tmp_path / "home" / "days").exists()


def write_wav(
    path: Path, samples: np.ndarray[tuple[int, ...], np.dtype[np.float64]], rate_hz: int = RATE_HZ
) -> Path:
    """Write a WAV file; full scale is 1, a second axis holds channels."""
    with wave.open(str(path), "wb") as out:
        out.setparams((1 if samples.ndim == 1 else samples.shape[1], 2, rate_hz, 0, "NONE", ""))
        out.writeframes((samples * 32767).astype("<i2").tobytes())
    return path


def test_a_recording_at_8_khz_in_stereo_is_heard(kettleside: Kettleside, tmp_path: Path) -> None:
    """Half the rate and two channels, as a cheap recorder makes them, still give the reading."""
    with wave.open(str(RECORDING), "rb") as source:
        samples = np.frombuffer(source.readframes(source.getnframes()), "<i2") / 32768
    halved = samples[: len(samples) // 2 * 2].reshape(-1, 2).mean(axis=1)
    ran = kettleside("hear", write_wav(tmp_path / "cheap.wav", np.stack([halved, halved], axis=1), 8_000))
    assert (0, "") == (ran.code, ran.err)
    assert "gravity 1.044 SG" in ran.out


@pytest.mark.parametrize(
    "sound",
    [np.zeros(5 * RATE_HZ), 0.03 * burner_noise(20 * RATE_HZ, seed=3)],
    ids=["silence", "noise only"],
)
def test_where_nobody_speaks_nothing_is_heard(
    kettleside: Kettleside, tmp_path: Path, sound: np.ndarray[tuple[int, ...], np.dtype[np.float64]]
) -> None:
    """Silence and burner noise give no reading and no order, and are no mistake of the brewer's."""
    ran = kettleside("hear", "--json", write_wav(tmp_path / "quiet.wav", sound))
    assert (0, "") == (ran.code, ran.err)
    for line in ran.out.strip().split("\n"):
        found = json.loads(line)
        assert [] == found["readings"]
        assert found["order"] is None
        assert found["decision"] != "accept"


# --- journals


def newer_tables(journal: Path) -> None:
    """Mark the tables as those of a later program."""
    with sqlite3.connect(journal) as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()


def test_a_day_of_a_newer_version_is_left_alone(kettleside: Kettleside, home: Path) -> None:
    """A journal that a later program wrote is refused with the reason, and stays as it is."""
    day = begin_a_day(kettleside, home)
    newer_tables(journal_file(day))
    before = journal_file(day).read_bytes()
    for verb in (("report", day), ("resume", day, "--typed", "--no-voice"), ("resume", "--typed", "--no-voice")):
        assert "newer" in only_sentence(kettleside(*verb))
    assert before == journal_file(day).read_bytes()


@pytest.mark.parametrize("verb", ["report", "resume"])
@pytest.mark.parametrize(
    ("make", "part"),
    [
        (lambda at: at / "nowhere", "there is no journal"),
        (lambda at: folder(at / "empty"), "there is no journal"),
        (
            lambda at: file(folder(at / "junk") / "day.journal", b"not a journal at all").parent,
            "no journal of a day",
        ),
        (lambda at: file(at / "a-file", b"x"), "there is no journal"),
    ],
    ids=["missing", "empty folder", "junk", "file"],
)
def test_what_is_no_day_is_told(
    kettleside: Kettleside, tmp_path: Path, make: Callable[[Path], Path], part: str, verb: str
) -> None:
    """A folder without a day, a file, or a journal that is none: one sentence, and nothing is changed."""
    assert part in only_sentence(kettleside(verb, make(tmp_path)))


@pytest.mark.parametrize("verb", ["report", "resume"])
def test_without_any_day_the_way_to_begin_is_told(kettleside: Kettleside, verb: str) -> None:
    """Where nothing was brewed yet, the sentence says how to start."""
    assert only_sentence(kettleside(verb)).endswith("start one with: kettleside brew PLAN")


def test_a_second_program_on_the_same_day_is_sent_away(kettleside: Kettleside, home: Path) -> None:
    """While one program writes a day another is told so; reading it is allowed, and nothing is lost."""
    day = begin_a_day(kettleside, home)
    held = SqliteJournal.open(journal_file(day), lambda: MachineTime("boot", 1.0))
    try:
        sentence = only_sentence(kettleside("resume", "--typed", "--no-voice"))
        assert "another kettleside is already writing this day" in sentence
        assert kettleside("report").code == 0
        (*_, last) = held.read()
        held.append([NoteTaken("still here")], last.moment, last.turn + 1)
    finally:
        held.close()
    assert "still here" in kettleside("report").out
