"""Measures the program on this machine and prints one table: `python -m tests.bench [--write]`.

`--write` puts the table into DEVELOPERS.md. `ear_bench.py` and `voice_bench.py` beside this file measure the ear on
recordings of people, which are not part of the project, and the voice sentence by sentence.
"""

from __future__ import annotations

import argparse
import os
import platform
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(ROOT), str(HERE), str(ROOT / "tests"), str(ROOT / "tests" / "ear")]

from forecast_bench import whole_forecast_s  # noqa: E402 - found by the path above
from noisy_speech import RATE_HZ, in_noise, pieces  # noqa: E402 - found by the path above
from voice_bench import SENTENCES, timed  # noqa: E402

from assistant.clock.alarm import HandAlarm  # noqa: E402
from assistant.clock.system_clock import SystemClock, machine_time  # noqa: E402
from assistant.day.facts import DayBegun, NoteTaken, Stage, StageReached  # noqa: E402
from assistant.day.plan_file import read_plan  # noqa: E402
from assistant.ear.choose import open_ear  # noqa: E402
from assistant.ear.vosk_ear import VoskEar  # noqa: E402
from assistant.journal.sqlite_journal import SqliteJournal  # noqa: E402
from assistant.loop import DayLoop  # noqa: E402
from assistant.messages import AudioChunk, Say  # noqa: E402
from assistant.phrasing.asking import METRIC, neutral_listening  # noqa: E402
from assistant.rehearsal.silent_voice import SilentVoice  # noqa: E402
from assistant.settings import Settings  # noqa: E402
from assistant.sound.wav_file import read_wav, write_wav  # noqa: E402
from assistant.voice.renderer import Renderer  # noqa: E402

PLAN = ROOT / "plans" / "hollow-lane.toml"
RECORDINGS = sorted((ROOT / "tests" / "ear" / "recordings").glob("*.wav"))
LEVELS_DB = (None, 20.0, 10.0)
SEEDS = 4
BEGIN, END = "<!-- measured: begin -->", "<!-- measured: end -->"


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    what: str
    median: str
    ninety: str
    worst: str
    on: str


def spread(what: str, seconds: Sequence[float], on: str) -> Row:
    """A row of times [s], shown in milliseconds."""
    shown = [
        f"{1000 * value:.1f} ms" for value in (statistics.median(seconds), np.quantile(seconds, 0.9), max(seconds))
    ]
    return Row(what, *shown, f"{on}, {len(seconds)} times")


def single(what: str, value: str, on: str) -> Row:
    """A row with one value."""
    return Row(what, value, "", "", on)


class Board:
    """Shows nothing."""

    def show(self, line: object) -> None:
        """Nothing."""


class Listener(SilentVoice):
    """A silent voice that counts what it was given to say."""

    said = 0

    def say(self, sentence: Say) -> None:
        """Count, and be silent."""
        self.said += 1
        super().say(sentence)


def before_the_boil(folder: Path, ear: VoskEar) -> tuple[DayLoop, Listener]:
    """A day on a real disk that waits for the readings before the boil."""
    plan = read_plan(PLAN.read_text(encoding="utf-8"), str(PLAN))
    journal = SqliteJournal.create(folder / "day.journal", machine_time)
    clock, voice = SystemClock(), Listener(165)
    journal.append([DayBegun(plan.beer.name, plan.text, str(PLAN)), StageReached(Stage.PRE_BOIL)], clock.now(), 1)
    loop = DayLoop(
        plan, journal=journal, clock=clock, alarm=HandAlarm(), voice=voice, board=Board(), listen=ear.listen_for
    )
    loop.wake()
    return loop, voice


def utterances() -> Iterator[tuple[AudioChunk, float]]:
    """Each committed recording in each noise, and when its speech ends [s]."""
    for number, path in enumerate(RECORDINGS):
        sound = np.frombuffer(read_wav(path).samples, "<i2") / 32768
        loud = np.flatnonzero(np.abs(sound) > 0.02 * np.abs(sound).max())
        for level_db in LEVELS_DB:
            for seed in range(SEEDS):
                lead_s = 2.0
                yield in_noise(sound, level_db, lead_s, seed=100 * number + seed), lead_s + loud[-1] / RATE_HZ


def measure_answers(folder: Path, ear: VoskEar) -> list[Row]:
    """From the end of speech to the answer, through ear, weigh, decide, journal, phrasing."""
    loop, voice = before_the_boil(folder, ear)
    computing, waiting, silent, audio_s = [], [], 0, 0.0
    cpu = time.process_time()
    for sound, end_s in utterances():
        ear.reset()
        at_s, before = 0.0, voice.said
        for piece in pieces(sound):
            at_s += piece.seconds
            began = time.perf_counter()
            heard = ear.feed(piece)
            if heard is None:
                continue
            loop.hear(heard)
            if voice.said > before and at_s > end_s:
                computing.append(time.perf_counter() - began)
                waiting.append(at_s - end_s)
                break
        else:
            silent += 1
        audio_s += at_s
    share = (time.process_time() - cpu) / audio_s
    loop.close()
    noises = "quiet, burner 20 and 10 dB below"
    return [
        spread("end of speech to answer ready: computing", computing, f"committed recordings, {noises}"),
        spread(
            "the same: waiting for the pause that ends an utterance", waiting, "the same, in the recording's time"
        ),
        single("utterances without an answer", f"{silent} of {silent + len(computing)}", "the same"),
        single(
            "share of one core for all of that, an utterance every 4 s",
            f"{share:.3f}",
            f"{audio_s:.0f} s of sound",
        ),
    ]


def measure_listening(ear: VoskEar) -> Row:
    """The ear's real-time factor by processor time on whole recordings in noise."""
    ear.listen_for(neutral_listening(METRIC))
    sounds = [in_noise(np.frombuffer(read_wav(path).samples, "<i2") / 32768, 10.0) for path in RECORDINGS]
    began = time.process_time()
    for sound in sounds:
        for piece in pieces(sound):
            ear.feed(piece)
        ear.flush()
    seconds = sum(sound.seconds for sound in sounds)
    return single(
        "real-time factor of the ear, an utterance every 9 s",
        f"{(time.process_time() - began) / seconds:.3f}",
        f"{seconds:.0f} s of sound",
    )


def memory_mb(pid: int) -> float:
    """Resident memory of a process now [MB]."""
    found = re.search(r"VmRSS:\s+(\d+) kB", Path(f"/proc/{pid}/status").read_text(encoding="ascii"))
    return int(found[1]) / 1024 if found else float("nan")


def measure_live(folder: Path) -> list[Row]:
    """A live `brew` that hears a recording at its true speed: start, memory."""
    spoken = b"".join(read_wav(path).samples + bytes(2 * RATE_HZ) for path in RECORDINGS)
    recording = folder / "evening.wav"
    write_wav(recording, AudioChunk(bytes(4 * RATE_HZ) + spoken, RATE_HZ))
    starts, first_mb, later_mb, answers = [], [], [], 0
    for run in range(3):
        began = time.perf_counter()
        program = subprocess.Popen(
            [
                *(sys.executable, "-m", "assistant", "brew", str(PLAN), "--no-voice"),
                *("--folder", str(folder / f"live-{run}"), "--microphone", str(recording)),
            ],
            cwd=ROOT,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert program.stdout
        answers, latest_mb = 0, float("nan")
        for line in program.stdout:
            if "start the day" in line and len(starts) == run:
                starts.append(time.perf_counter() - began)
                first_mb.append(memory_mb(program.pid))
            if "  brewer  " in line:
                answers += 1
                latest_mb = memory_mb(program.pid)
        program.wait()
        if not answers:
            sys.exit("nothing measured: the live program heard none of the recordings")
        later_mb.append(latest_mb)
    return [
        spread("start of the program to listening", starts, "brew, no voice"),
        single("memory of the live program, listening", f"{max(first_mb):.0f} MB", "resident, highest of 3"),
        single(
            "memory of the live program, later", f"{max(later_mb):.0f} MB", f"resident, after {answers} utterances"
        ),
    ]


def measure_rendering() -> list[Row]:
    """Times to render a sentence: first of a process, and in a running one."""
    cold, warm, worker_mb = [], [], 0.0
    for _ in range(5):
        with tempfile.TemporaryDirectory() as folder:
            renderer = Renderer(Path(folder), voice=None, words_per_minute=165)
            cold.append(timed(renderer, "Ready when you are.")[0])
            warm += [timed(renderer, text)[0] for text in SENTENCES]
            if renderer.worker_pid is not None and sys.platform == "linux":
                worker_mb = max(worker_mb, memory_mb(renderer.worker_pid))
            renderer.close()
    return [
        spread("rendering the first sentence, with the start of the speech process", cold, "espeak-ng"),
        spread("rendering a sentence", warm, "1 to 27 words"),
        single("memory of the speech process", f"{worker_mb:.0f} MB", "beside the program, where it speaks"),
    ]


def measure_journal(folder: Path) -> Row:
    """Times to make one fact durable."""
    journal, clock, taken = SqliteJournal.create(folder / "bench.journal", machine_time), SystemClock(), []
    for turn in range(300):
        began = time.perf_counter()
        journal.append([NoteTaken("seventy-four degrees")], clock.now(), turn + 1)
        taken.append(time.perf_counter() - began)
    journal.close()
    return spread("journal: one fact made durable", taken, "SQLite, WAL, synchronous FULL, this machine's disk")


def measure_rehearsal(folder: Path) -> list[Row]:
    """Wall time of the spoken and the typed rehearsal."""
    rows = []
    for what, arguments in (
        ("spoken rehearsal, first time", ()),
        ("spoken rehearsal, again", ()),
        ("typed rehearsal", ("--typed",)),
    ):
        began = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-m", "assistant", "rehearse", *arguments],
            cwd=ROOT,
            env=os.environ | {"KETTLESIDE_HOME": str(folder / "home")},
            capture_output=True,
            text=True,
            check=False,
        )
        seconds = time.perf_counter() - began
        (readings,) = re.findall(r"readings: (.*)", done.stdout)
        rows.append(single(what, f"{seconds:.1f} s", readings))
    return rows


def table(rows: Sequence[Row]) -> str:
    """The rows as Markdown, with machine and date."""
    processor = platform.processor() or platform.machine()
    if sys.platform == "linux":
        names = re.findall(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text(encoding="utf-8"))
        processor = names[0] if names else processor
    load = f", load {os.getloadavg()[0]:.1f} at the end" if hasattr(os, "getloadavg") else ""
    lines = [
        f"Measured {datetime.now(UTC):%Y-%m-%d} on {os.cpu_count()} cores of {processor}, {platform.system()},"
        f" Python {platform.python_version()}{load}.",
        "",
        "| what | median or value | 90 % | worst | on |",
        "|---|---|---|---|---|",
        *(f"| {row.what} | {row.median} | {row.ninety} | {row.worst} | {row.on} |" for row in rows),
    ]
    return "\n".join(lines)


def main() -> None:
    """Measure everything and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="put the table into DEVELOPERS.md")
    use = parser.parse_args()
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ear = open_ear(Settings(folder))
        rows += [*measure_answers(folder, ear), measure_listening(ear)]
        if sys.platform == "linux":
            rows += measure_live(folder)
        whole = "days of the three plans, 4 readings before knockout, 4 of the chill"
        rows.append(spread("whole forecast: gravity, volume, bitterness, chill", whole_forecast_s(), whole))
        rows += [*measure_rendering(), measure_journal(folder), *measure_rehearsal(folder)]
    text = table(rows)
    print(text)
    if use.write:
        guide = ROOT / "DEVELOPERS.md"
        old = guide.read_text(encoding="utf-8")
        before, after = old.split(BEGIN)[0], old.split(END)[1]
        guide.write_text(f"{before}{BEGIN}\n{text}\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    main()
