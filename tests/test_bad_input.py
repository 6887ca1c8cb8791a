"""What a brewer can get wrong, and what a machine can lack: one clear sentence each, exit code 1, nothing lost."""

from __future__ import annotations

import ctypes
import ctypes.util
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import threading
import wave
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Final

import numpy as np
import pytest
from command_line import Kettleside, Ran
from noisy_speech import RATE_HZ, burner_noise

from assistant import wiring
from assistant.day.facts import Fact, NoteTaken, Recorded, TemperatureRead
from assistant.journal.days import journal_file
from assistant.journal.refusals import refusing
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.live import DeviceNews, LiveDay, News
from assistant.messages import AudioChunk, MachineTime, Moment
from assistant.voice import render_worker

ROOT: Final = Path(__file__).parents[1]
HOLLOW_LANE: Final = ROOT / "plans" / "hollow-lane.toml"
RECORDING: Final = ROOT / "tests" / "ear" / "recordings" / "ten_forty_four.wav"
A_READING: Final = "start the day\nseventy-four degrees\n"


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


def folder(at: Path) -> Path:
    """A folder where a file should be."""
    at.mkdir()
    return at


def file(at: Path, content: bytes) -> Path:
    """A file with `content`."""
    at.write_bytes(content)
    return at


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


# --- disks


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 1 MB of its own; a skip where none can be mounted."""
    if sys.platform != "linux" or os.geteuid() != 0:
        pytest.skip("needs root on Linux to mount a small disk")
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1M", "tmpfs", disk], check=False).returncode:
        pytest.skip("this machine does not let even root mount a disk")
    yield disk
    subprocess.run(["umount", "--lazy", disk], check=True)


@pytest.mark.parametrize("verb", [("brew", HOLLOW_LANE, "--typed", "--no-voice"), ("rehearse", HOLLOW_LANE)])
def test_a_folder_that_must_not_be_written_is_told(
    kettleside: Kettleside, small_disk: Path, verb: tuple[object, ...]
) -> None:
    """On a read-only disk no day can begin: one sentence names the folder."""
    subprocess.run(["mount", "-o", "remount,ro", small_disk], check=True)
    sentence = only_sentence(kettleside(*verb, "--folder", small_disk / "days"))
    assert f"{small_disk}/days must not be written" in sentence


@pytest.mark.parametrize("verb", [("brew", HOLLOW_LANE, "--typed", "--no-voice"), ("rehearse", HOLLOW_LANE)])
def test_a_file_where_the_days_should_lie_is_told(
    kettleside: Kettleside, tmp_path: Path, verb: tuple[object, ...]
) -> None:
    """`--folder` with a file is one sentence, and the file stays."""
    there = file(tmp_path / "days", b"my shopping list")
    assert str(there) in only_sentence(kettleside(*verb, "--folder", there))
    assert there.read_bytes() == b"my shopping list"


def test_a_full_disk_lets_no_day_begin(kettleside: Kettleside, small_disk: Path) -> None:
    """With no room for a journal the brewer is told before the day, not during it."""
    with pytest.raises(OSError, match="No space"):
        (small_disk / "filler").write_bytes(bytes(2_000_000))
    sentence = only_sentence(kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", "--folder", small_disk))
    assert "the disk is full" in sentence


def test_a_disk_that_fills_up_during_the_day_loses_nothing(kettleside: Kettleside, small_disk: Path) -> None:
    """A reading that cannot be written is said to be unsaved, kept, and in the book once there is room again."""
    program = subprocess.Popen(
        [
            *(sys.executable, "-m", "assistant", "brew", str(HOLLOW_LANE), "--typed", "--no-voice"),
            *("--folder", str(small_disk)),
        ],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert program.stdin and program.stdout and program.stderr
    say_and_wait(program.stdin, program.stdout, "start the day", "Strike water")
    filler = small_disk / "filler"
    with pytest.raises(OSError, match="No space"), filler.open("wb", buffering=0) as out:
        while True:
            out.write(bytes(4096))
    # The write-ahead log may have room in a page that it holds already: go on until there is none.
    for _ in range(20):
        told = say_and_wait(program.stdin, program.stdout, "seventy-four degrees", "Not saved.|target")
        if "Not saved." in told:
            break
    assert "the disk is full" in told
    filler.unlink()
    say_and_wait(program.stdin, program.stdout, "seventy-three degrees", "journal is written again")
    _, errors = program.communicate("stop\n", timeout=20)
    assert (0, "") == (program.returncode, errors)
    report = kettleside("report", "--folder", small_disk).out
    assert report.count("74 °C = 74.0 °C") >= 1
    assert report.count("73 °C = 73.0 °C") == 1


def say_and_wait(keyboard: IO[str], out: IO[str], words: str, pattern: str) -> str:
    """Type `words` and read until a line matches `pattern`; returns what was read."""
    keyboard.write(words + "\n")
    keyboard.flush()
    text = ""
    while not re.search(pattern, text):
        line = out.readline()
        assert line, f"the program ended by itself after: {text}"
        text += line
    return text


def test_a_rehearsal_on_a_disk_without_room_is_one_sentence(kettleside: Kettleside, small_disk: Path) -> None:
    """A rehearsal whose recording does not fit ends with a sentence, not with a traceback."""
    ran = kettleside("rehearse", HOLLOW_LANE, "--folder", small_disk)
    assert ran.code == 1
    (sentence,) = ran.sentences
    assert sentence == (
        "The system refused a file (no space left on device); make room or choose another folder with --folder."
    )


def test_a_mistake_of_our_own_is_no_traceback(
    kettleside: Kettleside, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What nobody foresaw is one sentence too, with the details in a file for whoever mends it."""

    def broken(*_: object) -> None:
        raise RuntimeError("the sum is not the whole")

    monkeypatch.setattr("assistant.verbs.asking.plan_lines", broken)
    (sentence,) = kettleside("plan", HOLLOW_LANE).sentences
    assert f"details are in {home / 'trouble.txt'}" in sentence
    assert "kettleside resume" in sentence
    assert "RuntimeError: the sum is not the whole" in (home / "trouble.txt").read_text()


def test_a_note_without_room_for_its_sound_keeps_its_words(tmp_path: Path) -> None:
    """Where the sound of a note cannot be written the day goes on, and what is missing is told."""
    told: list[DeviceNews] = []
    keep = wiring._note_keeper(tmp_path / "gone", told.append)
    moment = Moment(1.0, datetime(2026, 3, 7, 9, 0, tzinfo=UTC))
    assert keep(AudioChunk(bytes(320), 16_000), moment) == ""
    (news,) = told
    assert news.sentence == "Only the words of the note are kept, not its sound: no such file or directory."


def test_a_simulated_full_disk_is_said_and_got_over(
    kettleside: Kettleside, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On every system: while SQLite says that the disk is full the day goes on in memory, and is written later."""
    real, left = SqliteJournal.append, 3

    def append(self: SqliteJournal, facts: Sequence[Fact], moment: Moment, turn: int) -> tuple[Recorded, ...]:
        nonlocal left
        if left and any(isinstance(fact, TemperatureRead) for fact in facts):
            left -= 1
            error = sqlite3.OperationalError("database or disk is full")
            error.sqlite_errorcode = sqlite3.SQLITE_FULL
            with refusing(Path("day.journal")):
                raise error
        return real(self, facts, moment, turn)

    monkeypatch.setattr(SqliteJournal, "append", append)
    typed = A_READING + "how long\nwhere are we\nwhat is next\n"
    ran = kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", typed=typed)
    assert (0, "") == (ran.code, ran.err)
    assert "Not saved. the disk is full" in ran.out
    assert "The journal is written again. Nothing is missing." in ran.out
    report = kettleside("report").out
    for words in typed.strip().split("\n"):
        assert f'heard     "{words}"' in report


# --- what a machine may lack


@pytest.fixture
def without_portaudio(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without the PortAudio library."""
    for name in [name for name in sys.modules if "sounddevice" in name]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(ctypes.util, "find_library", lambda _: None)


@pytest.mark.usefixtures("without_portaudio")
@pytest.mark.skipif(sys.platform != "linux", reason="other systems get PortAudio with sounddevice")
def test_without_portaudio_the_typed_day_works(kettleside: Kettleside) -> None:
    """One sentence says what to install; then the sentences of the day are printed."""
    ran = kettleside("brew", HOLLOW_LANE, "--typed", typed=A_READING)
    assert (0, "") == (ran.code, ran.err)
    (told,) = (line for line in ran.out.split("\n") if "libportaudio2" in line)
    assert_clear(told)
    assert "printed" in told
    assert "On target: seventy-four." in ran.out


@pytest.mark.usefixtures("without_portaudio")
@pytest.mark.skipif(sys.platform != "linux", reason="other systems get PortAudio with sounddevice")
def test_without_portaudio_the_keyboard_takes_the_place_of_the_microphone(
    kettleside: Kettleside, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A spoken day goes on by keyboard, and says why it does not hear."""
    real, reported = LiveDay.tell, threading.Event()

    def tell(self: LiveDay, news: News) -> None:
        real(self, news)
        if isinstance(news, DeviceNews):
            reported.set()

    def keyboard() -> Iterator[str]:
        yield from A_READING.split("\n")
        assert reported.wait(20)
        yield "stop"

    monkeypatch.setattr(LiveDay, "tell", tell)
    ran = kettleside("brew", HOLLOW_LANE, "--no-voice", typed=keyboard())
    assert (0, "") == (ran.code, ran.err)
    assert "On target: seventy-four." in ran.out
    (told,) = {line for line in ran.out.split("\n") if "The microphone went quiet." in line}
    assert "libportaudio2" in told


@pytest.mark.usefixtures("without_portaudio")
@pytest.mark.skipif(sys.platform != "linux", reason="other systems get PortAudio with sounddevice")
def test_without_portaudio_check_says_what_to_install(kettleside: Kettleside) -> None:
    """`check` has one sentence for each part, names the package, and fails."""
    ran = kettleside("check")
    assert (1, "") == (ran.code, ran.err)
    lines = dict(line.split(": ", 1) for line in ran.out.strip().split("\n"))
    assert {"ear", "microphone", "loudspeaker", "speech"} == set(lines)
    for part in ("microphone", "loudspeaker"):
        assert "libportaudio2" in lines[part]
    for part in ("ear", "speech"):
        assert "libportaudio2" not in lines[part]


WITHOUT_ESPEAK: Final = """
import ctypes, runpy, sys
real = ctypes.CDLL
class Hidden(real):
    def __init__(self, name, *more, **others):
        if "espeak" in str(name):
            raise OSError(f"{name}: cannot open shared object file")
        super().__init__(name, *more, **others)
ctypes.CDLL = ctypes.cdll.__class__.__call__ = Hidden
ctypes.cdll._dlltype = Hidden
script = sys.argv.pop(1)
runpy.run_path(script, run_name="__main__")
"""


@pytest.mark.skipif(sys.platform != "linux", reason="other systems speak with an engine of their own")
def test_without_any_speech_library_check_says_so(
    kettleside: Kettleside, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither the system's library nor the one that is shipped: one sentence, from `check` and from `rehearse`."""
    wrapper = file(tmp_path / "hidden.py", WITHOUT_ESPEAK.encode())
    command = (sys.executable, "-P", str(wrapper), str(Path(render_worker.__file__)), "--espeak", "auto")
    monkeypatch.setattr("assistant.voice.renderer.worker_command", lambda: command)
    ran = kettleside("check")
    assert (1, "") == (ran.code, ran.err)
    (told,) = (line for line in ran.out.split("\n") if line.startswith("speech: "))
    assert "could not render" in told
    assert_clear(told)
    rehearsed = kettleside("rehearse")
    assert rehearsed.code == 1
    (sentence,) = rehearsed.sentences
    assert "could not render" in sentence
    assert_clear(sentence)


def damaged(model: Path) -> None:
    """One byte of the acoustic model fell over."""
    with (model / "am" / "final.mdl").open("r+b") as out:
        out.seek(1000)
        byte = out.read(1)
        out.seek(1000)
        out.write(bytes([byte[0] ^ 1]))


@pytest.mark.parametrize(
    ("harm", "part"),
    [
        (shutil.rmtree, "not in this installation"),
        (lambda model: (model / "manifest.json").write_text("{"), "missing or broken"),
        (lambda model: (model / "graph" / "words.txt").unlink(), "graph/words.txt is missing"),
        (damaged, "am/final.mdl has changed"),
    ],
    ids=["missing", "broken manifest", "missing file", "damaged"],
)
def test_a_missing_or_damaged_model_is_told(
    kettleside: Kettleside,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    harm: Callable[[Path], object],
    part: str,
) -> None:
    """Without a whole model nothing is heard: one sentence says what to do, and the typed day still works."""
    package = tmp_path / "assistant"
    from assistant.ear import model_folder  # noqa: PLC0415

    model = package / "_bundled" / "models" / model_folder.OWN_MODEL
    shutil.copytree(model_folder.own_model_folder(), model)
    (package / "ear").mkdir()
    monkeypatch.setattr(model_folder, "__file__", str(package / "ear" / "model_folder.py"))
    assert model == model_folder.own_model_folder()
    harm(model)
    for verb in (("hear", RECORDING), ("rehearse",), ("brew", HOLLOW_LANE, "--no-voice")):
        sentence = only_sentence(kettleside(*verb))
        assert part in sentence
        assert "install" in sentence or "get the model again" in sentence
    assert kettleside("brew", HOLLOW_LANE, "--typed", "--no-voice", typed=A_READING).code == 0


@pytest.mark.parametrize(
    ("make", "part"), [(lambda at: at / "nowhere", "nowhere"), (lambda at: folder(at / "model"), "final.mdl")]
)
def test_a_model_that_is_none_is_told(
    kettleside: Kettleside, tmp_path: Path, make: Callable[[Path], Path], part: str
) -> None:
    """`--model` with a folder that is not there, or holds no model, is one sentence."""
    assert part in only_sentence(kettleside("hear", "--model", make(tmp_path), RECORDING))


def test_an_unwritable_speech_folder_takes_no_words_away(kettleside: Kettleside, home: Path) -> None:
    """Where rendered speech cannot be kept, `check` still renders."""
    home.mkdir()
    file(home / "speech", b"in the way")
    assert re.search(r"^speech: works", kettleside("check").out, re.M)
