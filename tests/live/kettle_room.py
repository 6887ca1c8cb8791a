"""A room with a kettle: a sound server, a brewer who speaks over a burner, and the program as its own process."""

from __future__ import annotations

import os
import queue
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import numpy as np
from pulse_server import SINK, PulseServer

from assistant.day.facts import Fact
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import AudioChunk
from assistant.ports import JournalRefusal
from assistant.rehearsal.soundscape import RATE_HZ, Burner, as_chunk, as_samples
from assistant.sound.wav_file import write_wav
from assistant.voice.mixing import resampled
from assistant.voice.renderer import Renderer

ROOT: Final = Path(__file__).parents[2]
PLAN: Final = ROOT / "plans" / "hollow-lane.toml"
BREWER: Final = "en-gb-scotland"
"""Another voice than the assistant's."""
BURNER_DBFS: Final = -45.0
MOUTH: Final = "kettle_air"
HEARD_HZ: Final = 16_000
LOUD: Final = 0.003
"""Of full scale: what comes out of the loudspeaker above this is sound."""


class Room:
    """What sounds beside the kettle; the burner burns until `close`."""

    def __init__(self, server: PulseServer, folder: Path) -> None:
        self.server, self.folder = server, folder
        self._module = ""
        self._burner: subprocess.Popen[bytes] | None = None
        self._renderer = Renderer(folder / "brewer", voice=BREWER, words_per_minute=135)
        burner = folder / "burner.wav"
        write_wav(burner, as_chunk(Burner(20260307).noise(90.0, BURNER_DBFS)))
        self._burner_file = burner
        # Where the microphone is gone, the server falls back on this, and not on what the loudspeaker plays.
        server.control("load-module", "module-null-source", "source_name=nothing")
        self.plug_in()

    def plug_in(self) -> None:
        """Put up the microphone: whatever sounds in the air is what it hears."""
        self._module = self.server.control(
            "load-module", "module-null-sink", f"sink_name={MOUTH}", "rate=16000", "channels=1"
        ).strip()
        self.server.control("set-default-source", f"{MOUTH}.monitor")
        self.server.control("set-default-sink", SINK)
        self._burner = self._play(self._burner_file)

    def pull_out(self) -> None:
        """Take the microphone away, and silence every other source."""
        if self._burner is not None:
            self._burner.terminate()
            self._burner.wait()
        self.server.control("unload-module", self._module)

    def say(self, text: str) -> float:
        """The brewer speaks; returns the moment, by `time.monotonic`, at which the last sample was handed over."""
        speech = as_samples(resampled(self._renderer.render(text), RATE_HZ))
        path = self.folder / f"{abs(hash(text))}.wav"
        write_wav(path, as_chunk(speech))
        self._play(path).wait(30)
        return time.monotonic()

    def lead_the_loudspeaker_into_the_air(self) -> str:
        """Lead what the loudspeaker plays into the microphone; returns the module to unload."""
        return self.server.control(
            "load-module", "module-loopback", f"source={SINK}.monitor", f"sink={MOUTH}", "latency_msec=30"
        ).strip()

    def close(self) -> None:
        """End the noise."""
        if self._burner is not None:
            self._burner.kill()
            self._burner.wait()
        self._renderer.close()

    def _play(self, path: Path) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            ["paplay", f"--device={MOUTH}", "--latency-msec=40", str(path)],
            env=self.server.environment,
            stderr=subprocess.DEVNULL,
        )


class Loudspeaker:
    """What comes out of a loudspeaker, or with `MOUTH` what is in the air, recorded."""

    def __init__(self, server: PulseServer, path: Path, sink: str = SINK) -> None:
        self._path = path
        self._recorder = subprocess.Popen(
            [
                *("parec", f"--device={sink}.monitor", "--format=s16le", "--channels=1", f"--rate={HEARD_HZ}"),
                *("--latency-msec=20", "--raw", str(path)),
            ],
            env=server.environment,
            stderr=subprocess.DEVNULL,
        )
        until(lambda: self.seconds > 0, "the recorder runs")

    @property
    def seconds(self) -> float:
        """Length so far."""
        return self._path.stat().st_size / 2 / HEARD_HZ if self._path.exists() else 0.0

    def since(self, start_s: float) -> np.ndarray[Any, np.dtype[np.float64]]:
        """The samples from `start_s` on, full scale = 1."""
        raw = self._path.read_bytes()[2 * round(start_s * HEARD_HZ) :]
        return np.frombuffer(raw[: len(raw) // 2 * 2], "<i2") / 32768

    def first_sound_s(self, start_s: float) -> float | None:
        """When sound begins after `start_s`; None while it has not."""
        where = np.flatnonzero(np.abs(self.since(start_s)) > LOUD)
        return start_s + where[0] / HEARD_HZ if where.size else None

    def until_quiet(self, for_s: float = 1.2, longest_s: float = 20.0) -> None:
        """Wait until nothing has come out for a while."""
        began_s = self.seconds
        until(
            lambda: self.seconds - began_s >= for_s and not (np.abs(self.since(self.seconds - for_s)) > LOUD).any(),
            "the loudspeaker is quiet",
            longest_s,
        )

    def chunk_since(self, start_s: float) -> AudioChunk:
        """As sound for an ear."""
        return as_chunk(self.since(start_s))

    def close(self) -> None:
        """End the recording."""
        self._recorder.terminate()
        self._recorder.wait()


class Program:
    """`kettleside` in a process of its own, with its screen and keyboard."""

    def __init__(self, server: PulseServer, home: Path, *arguments: str) -> None:
        self.home = home
        self.began_s = time.monotonic()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "assistant", *arguments],
            cwd=ROOT,
            env=server.environment | {"KETTLESIDE_HOME": str(home), "PYTHONUNBUFFERED": "1"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=(home / "errors.txt").open("wb"),
            text=True,
        )
        self.lines: list[str] = []
        self._coming: queue.SimpleQueue[str] = queue.SimpleQueue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._coming.put(line)

    @property
    def screen(self) -> str:
        """Everything shown so far."""
        while not self._coming.empty():
            self.lines.append(self._coming.get())
        return "".join(self.lines)

    def until_shown(self, text: str, longest_s: float = 20.0) -> None:
        """Wait for `text` on the screen."""
        until(lambda: text in self.screen, f"{text!r} is shown", longest_s, lambda: self.screen)

    def type_line(self, line: str) -> None:
        """Type a line."""
        assert self.process.stdin is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    @property
    def facts(self) -> list[Fact]:
        """What the book holds now."""
        (day,) = (self.home / "days").iterdir()
        try:
            journal = SqliteJournal.read_only(day / "day.journal")
        except JournalRefusal:
            return []
        try:
            return [item.fact for item in journal.read()]
        finally:
            journal.close()

    def of(self, kind: type[Fact]) -> list[Any]:
        """The facts of one kind."""
        return [fact for fact in self.facts if isinstance(fact, kind)]

    def end(self, number: int = signal.SIGTERM) -> int:
        """Send a signal and return the exit code."""
        if self.process.poll() is None:
            self.process.send_signal(number)
        code = self.process.wait(15)
        if self.process.stdin is not None:
            self.process.stdin.close()
        return code

    @property
    def errors(self) -> str:
        """What went to standard error, without the complaints of the C libraries about the sound system."""
        text = (self.home / "errors.txt").read_text(errors="replace")
        foreign = ("ALSA lib", "Expression ", "PaAlsa", "jack", "Cannot connect", "connect(2)")
        return "\n".join(line for line in text.splitlines() if line and not line.startswith(foreign))


def until(
    found: Callable[[], bool], what: str, longest_s: float = 20.0, show: Callable[[], str] = lambda: ""
) -> float:
    """Wait for a real device until `found`; return how long it took, seconds."""
    began_s = time.monotonic()
    while not found():
        assert time.monotonic() - began_s < longest_s, f"not within {longest_s:.0f} s: {what}\n{show()}"
        time.sleep(0.02)
    return time.monotonic() - began_s


@contextmanager
def program(server: PulseServer, home: Path, *arguments: str) -> Iterator[Program]:
    """A program that is ended in any case."""
    home.mkdir(exist_ok=True)
    one = Program(server, home, *arguments)
    try:
        yield one
    finally:
        if one.process.poll() is None:
            one.process.kill()
        one.process.wait()
        for stream in (one.process.stdin, one.process.stdout):
            if stream is not None and os.name == "posix":
                with_stream_closed(stream)


def with_stream_closed(stream: Any) -> None:
    """Close a pipe whose other end may be gone."""
    try:
        stream.close()
    except OSError:
        return
