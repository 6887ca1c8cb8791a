"""What a machine can lack, a disk, a library or a whole model: one clear sentence each, nothing lost."""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Final

import pytest
from command_line import (
    A_READING,
    HOLLOW_LANE,
    RECORDING,
    ROOT,
    Kettleside,
    assert_clear,
    file,
    folder,
    only_sentence,
)

from assistant import wiring
from assistant.day.facts import Fact, Recorded, TemperatureRead
from assistant.journal.refusals import refusing
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.live import DeviceNews, LiveDay, News
from assistant.messages import AudioChunk, Moment
from assistant.voice import render_worker


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Where the command of these tests keeps everything."""
    return tmp_path / "home"


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
