"""A process of its own that turns texts into sound files with pyttsx3.

It is run by file name and imports nothing of ours, so that it starts quickly and can be killed at any time.
One JSON object a line comes in on standard input: `text`, `voice` (or null), `words_per_minute`, `path`,
`deadline_s`. One JSON object a line goes out on standard output: `{"error": null}` or `{"error": "why"}`,
and `library`, the speech library in use. A reply is a hint only: the caller looks at the file itself.

Linux: espeak-ng by the system's library; where there is none (or with `--espeak bundled`), by the one that
`espeakng_loader` ships. That works because the shipped library carries the name under which pyttsx3 asks for
it, and a library that is already loaded under its name is not looked for again.
Windows and macOS: the system's own engines. They get a fresh engine for each text, since a reused one was
reported to swallow all but the first; neither could be tried by us. macOS writes AIFF whatever the file is called.
"""

from __future__ import annotations

import ctypes
import json
import os
import sys
import time
from pathlib import Path
from typing import Any

_SYSTEM_LIBRARIES = ("libespeak-ng.so.1", "/usr/local/lib/libespeak-ng.so.1", "libespeak.so.1")
"""The names that pyttsx3 tries on Linux."""


def load_espeak(which: str) -> str:
    """Make the speech library ready on Linux; returns `system` or `bundled`.

    which: `auto` prefers the system's, `bundled` insists on the shipped one.

    Raises:
        ImportError, OSError: when there is no usable library.
    """
    if which == "auto":
        for name in _SYSTEM_LIBRARIES:
            try:
                ctypes.CDLL(name)
            except OSError:
                continue
            return "system"
    import espeakng_loader  # noqa: PLC0415 - only a machine without the library needs it

    os.environ["ESPEAK_DATA_PATH"] = espeakng_loader.get_data_path()
    ctypes.CDLL(espeakng_loader.get_library_path(), mode=ctypes.RTLD_GLOBAL)
    return "bundled"


class Speaker:
    """Renders one text after the other."""

    def __init__(self, which: str) -> None:
        self.library = load_espeak(which) if sys.platform == "linux" else "system"
        self._engine: Any = None
        self._manner: tuple[str | None, int] | None = None

    def render(
        self, text: str, voice: str | None, words_per_minute: int, path: Path, deadline_s: float
    ) -> str | None:
        """Render to `path`; returns why it failed, or None."""
        import pyttsx3  # noqa: PLC0415 - looks for the library while it is imported

        manner = (voice, words_per_minute)
        if self._engine is None or self._manner != manner or sys.platform != "linux":
            self._engine = None
            self._engine = pyttsx3.init()
            if (error := self._set_manner(voice, words_per_minute)) is not None:
                return error
            self._manner = manner
        self._engine.save_to_file(text, str(path))
        self._engine.runAndWait()
        until = time.monotonic() + deadline_s
        while not _complete(path) and time.monotonic() < until:
            time.sleep(0.005)
        return None if _complete(path) else "it wrote no complete file"

    def _set_manner(self, voice: str | None, words_per_minute: int) -> str | None:
        """Choose voice and rate; returns why it failed, or None."""
        errors: list[str] = []
        token = self._engine.connect("error", lambda exception, **_: errors.append(str(exception)))
        _let_espeak_settle()
        if voice is not None:
            self._engine.setProperty("voice", voice)
        self._engine.setProperty("rate", words_per_minute)
        if sys.platform == "linux":
            self._engine.runAndWait()  # the other engines take properties at once, and may hang with nothing to say
        _let_espeak_settle()
        self._engine.disconnect(token)
        if errors:
            return f"it does not know the voice {voice!r}" if "SetVoiceByName" in errors[0] else errors[0]
        if sys.platform == "linux" and self._engine.getProperty("rate") != words_per_minute:
            return f"it cannot speak {words_per_minute} words a minute"
        return None


def _let_espeak_settle() -> None:
    """Wait until espeak's own thread has carried out what it was given.

    It takes a rate in that thread but a voice in ours. Without this wait the rate was lost once in some three
    hundred starts, and the sentences came out too fast.
    """
    if sys.platform == "linux":
        from pyttsx3.drivers import _espeak  # noqa: PLC0415 - as above

        _espeak.Synchronize()


def _complete(path: Path) -> bool:
    """Whether a WAV or AIFF file has all the bytes that its header promises."""
    try:
        with path.open("rb") as file:
            head = file.read(8)
        size = path.stat().st_size
    except OSError:
        return False
    if len(head) < 8:
        return False
    order = "little" if head[:4] == b"RIFF" else "big"
    promised = int.from_bytes(head[4:8], order)  # type: ignore[arg-type]
    return size >= promised + 8 and promised > 36


def main() -> None:
    """Answer requests until standard input ends."""
    which = sys.argv[sys.argv.index("--espeak") + 1] if "--espeak" in sys.argv else "auto"
    with os.fdopen(os.dup(1), "w", encoding="utf-8") as replies, Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)  # pyttsx3 prints there
        speaker: Speaker | None = None
        for line in sys.stdin:
            request = json.loads(line)
            request["path"] = Path(request["path"])
            try:
                speaker = speaker or Speaker(which)
                error = speaker.render(**request)
            except Exception as failure:  # noqa: BLE001 - whatever the engine throws is the caller's to judge
                error = str(failure) or type(failure).__name__
            reply = {"error": error, "library": speaker.library if speaker else None}
            replies.write(json.dumps(reply) + "\n")
            replies.flush()


if __name__ == "__main__":
    main()
