"""Turns sentences into sound ahead of time, in a process that can be killed and restarted.

A speech engine may hang, crash, or say that it spoke when it did not. So nothing it reports is believed: the
file is read back, and must be long enough and not silent. What was rendered once is kept in a folder.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import queue
import subprocess
import sys
import tempfile
import threading
from collections.abc import Mapping, Sequence
from pathlib import Path

from assistant.messages import AudioChunk
from assistant.ports import DeviceFailure
from assistant.voice import render_worker
from assistant.voice.mixing import level_dbfs, trimmed, with_speech_level
from assistant.voice.sound_file import UnreadableSound, read_sound, write_wav

SPEECH_DBFS = -18.0
"""RMS level to which the speech in every rendered sentence is brought."""

DEFAULT_VOICE = "en-us" if sys.platform == "linux" else None
"""The assistant's voice; None is the system's own choice."""

_CACHE_VERSION = 1
"""Raise when the same text, voice and rate would sound different."""

_SILENT_BELOW_DBFS = -60.0
_SHORTEST_S_PER_LETTER = 0.015
"""A quarter of the pace of a voice at 165 words a minute: less is speech that was cut off."""


class Renderer:
    """Renders sentences to mono 16-bit sound at the engine's own rate (22,050 Hz with espeak-ng).

    cache_folder: where rendered sentences are kept; made when missing.
    voice: name of the voice as the engine of this system knows it; None for ours.
    words_per_minute: speed, 80-450.
    deadline_s: longest time one sentence may take, > 0.
    worker: the command of the rendering process.
    """

    def __init__(
        self,
        cache_folder: Path,
        *,
        voice: str | None,
        words_per_minute: int,
        deadline_s: float = 10.0,
        worker: Sequence[str] | None = None,
    ) -> None:
        self._cache_folder = cache_folder
        self._voice = DEFAULT_VOICE if voice is None else voice
        self._words_per_minute = words_per_minute
        self._deadline_s = deadline_s
        self._process = _WorkerProcess(worker or worker_command())
        self._one_at_a_time = threading.Lock()
        self._closed = threading.Event()
        self._wanted: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._preparing: threading.Thread | None = None

    @property
    def worker_pid(self) -> int | None:
        """The process that renders; None when none is running."""
        return self._process.pid

    @property
    def library(self) -> str | None:
        """`system` or `bundled`: the speech library in use; None before the first rendering."""
        return self._process.library

    def cached(self, text: str) -> bool:
        """Whether `text` is ready to be played."""
        return self._path(text).exists()

    def render(self, text: str) -> AudioChunk:
        """The sound of `text`, from the folder or freshly made.

        Raises:
            DeviceFailure: when the engine failed twice, or the sound it made is not speech.
        """
        kept = self._read_cache(text)
        if kept is not None:
            return kept
        if not any(letter.isalnum() for letter in text):
            raise DeviceFailure("There is nothing to say in a sentence without words.")
        with self._one_at_a_time:
            kept = self._read_cache(text)
            if kept is not None:
                return kept
            try:
                return self._render_twice(text)
            finally:
                if self._closed.is_set():
                    self._process.kill()  # it may have been started again while `close` ran

    def prepare(self, texts: Sequence[str]) -> None:
        """Render `texts` in the background; returns at once. Failures show when the text is asked for."""
        for text in texts:
            self._wanted.put(text)
        if self._preparing is None and not self._closed.is_set():
            self._preparing = threading.Thread(target=self._prepare_all, name="prepare speech", daemon=True)
            self._preparing.start()

    def close(self) -> None:
        """Stop the process; safe to call twice."""
        self._closed.set()
        self._wanted.put(None)
        self._process.kill()
        if self._preparing is not None:
            self._preparing.join()

    def _prepare_all(self) -> None:
        while (text := self._wanted.get()) is not None and not self._closed.is_set():
            with contextlib.suppress(DeviceFailure):
                self.render(text)

    def _render_twice(self, text: str) -> AudioChunk:
        reason = ""
        for _ in range(2):
            if self._closed.is_set():
                raise DeviceFailure("The voice was shut down.")
            with tempfile.TemporaryDirectory(prefix="speech-", ignore_cleanup_errors=True) as folder:
                path = Path(folder) / "sentence.wav"
                request = {
                    "text": text,
                    "voice": self._voice,
                    "words_per_minute": self._words_per_minute,
                    "path": str(path),
                    "deadline_s": self._deadline_s,
                }
                try:
                    self._process.ask(request, self._deadline_s)
                    chunk = with_speech_level(self._checked(trimmed(read_sound(path)), text), SPEECH_DBFS)
                except (_WorkerFailure, UnreadableSound) as failure:
                    reason = str(failure)
                    self._process.kill()
                    continue
            self._write_cache(text, chunk)
            return chunk
        raise DeviceFailure(f"The voice could not render {_short(text)!r}: {reason}")

    def _checked(self, chunk: AudioChunk, text: str) -> AudioChunk:
        """`chunk`, if it can be the sound of `text`.

        Raises:
            UnreadableSound: when it is silent or far too short.
        """
        if level_dbfs(chunk) < _SILENT_BELOW_DBFS:
            raise UnreadableSound("the speech engine gave silence.")
        letters = sum(letter.isalnum() for letter in text)
        if chunk.seconds < letters * _SHORTEST_S_PER_LETTER * 165 / self._words_per_minute:
            raise UnreadableSound(f"the speech engine gave only {chunk.seconds:.1f} seconds of sound.")
        return chunk

    def _path(self, text: str) -> Path:
        """The file of `text`; the rate and the voice are part of its name, so that a change is not overheard."""
        identity = json.dumps([_CACHE_VERSION, self._voice, self._words_per_minute, text])
        return self._cache_folder / f"{hashlib.sha256(identity.encode()).hexdigest()[:32]}.wav"

    def _read_cache(self, text: str) -> AudioChunk | None:
        path = self._path(text)
        if not path.exists():
            return None
        try:
            return self._checked(read_sound(path), text)
        except UnreadableSound:
            return None

    def _write_cache(self, text: str, chunk: AudioChunk) -> None:
        # A full disk must not take the voice away: then the sentence is spoken all the same, and rendered again.
        with contextlib.suppress(OSError):
            self._cache_folder.mkdir(parents=True, exist_ok=True)
            path = self._path(text)
            unfinished = path.with_suffix(f".{os.getpid()}.{threading.get_ident()}.part")
            write_wav(unfinished, chunk)
            unfinished.replace(path)


def worker_command(*, espeak: str = "auto") -> tuple[str, ...]:
    """The command that starts the rendering process; espeak: `auto` or `bundled` (Linux only)."""
    # -P: the folder of the script stays off the import path, where its neighbours could shadow other modules.
    return (sys.executable, "-P", str(Path(render_worker.__file__)), "--espeak", espeak)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."


class _WorkerFailure(Exception):  # noqa: N818
    """The rendering process died, hung or refused; one clause that says which."""


class _WorkerProcess:
    """One child process with lines in and lines out, started when it is first needed."""

    def __init__(self, command: Sequence[str]) -> None:
        self._command = list(command)
        self._child: subprocess.Popen[str] | None = None
        self._replies: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self.library: str | None = None

    @property
    def pid(self) -> int | None:
        child = self._child
        return child.pid if child is not None and child.poll() is None else None

    def ask(self, request: Mapping[str, object], deadline_s: float) -> None:
        """Send one request and wait for its reply.

        Raises:
            _WorkerFailure: when there is no good reply in time.
        """
        child = self._running_child()
        assert child.stdin is not None
        try:
            child.stdin.write(json.dumps(request) + "\n")
            child.stdin.flush()
        except (OSError, ValueError) as error:
            raise _WorkerFailure("the speech process has gone.") from error
        try:
            line = self._replies.get(timeout=deadline_s)
        except queue.Empty:
            raise _WorkerFailure(f"the speech engine did not answer within {deadline_s:g} seconds.") from None
        if line is None:
            raise _WorkerFailure("the speech process died.")
        try:
            reply = json.loads(line)
            complaint, self.library = reply["error"], reply["library"]
        except (ValueError, KeyError, TypeError):
            raise _WorkerFailure("the speech process answered nonsense.") from None
        if complaint is not None:
            raise _WorkerFailure(f"the speech engine says: {complaint}.")

    def kill(self) -> None:
        """End the process at once; the next request starts another."""
        child, self._child = self._child, None
        if child is None:
            return
        child.kill()
        child.wait()
        if child.stdin is not None:
            with contextlib.suppress(OSError):
                child.stdin.close()

    def _running_child(self) -> subprocess.Popen[str]:
        if self._child is not None and self._child.poll() is None:
            return self._child
        self.kill()
        try:
            child = subprocess.Popen(
                self._command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                encoding="utf-8",
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            )
        except OSError as error:
            raise _WorkerFailure(f"the speech process cannot be started ({error.strerror}).") from error
        # A queue of its own for each child: a late answer of a killed one is never taken for the next one's.
        replies: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        threading.Thread(target=_read_lines, args=(child, replies), name="speech replies", daemon=True).start()
        self._child, self._replies = child, replies
        return child


def _read_lines(child: subprocess.Popen[str], replies: queue.SimpleQueue[str | None]) -> None:
    assert child.stdout is not None
    with child.stdout:
        for line in child.stdout:
            replies.put(line)
    replies.put(None)
