"""A voice for a machine without a loudspeaker: the sentences appear with the time."""

from __future__ import annotations

import contextlib
import shutil
import textwrap
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TextIO

from assistant.messages import Say

_NARROWEST = 30


class PrintedVoice:
    """Prints each sentence at once as `HH:MM:SS  text`.

    stream: where to print.
    now: the wall-clock time to print, in the brewer's own time zone.
    """

    def __init__(self, stream: TextIO, now: Callable[[], datetime]) -> None:
        self._stream = stream
        self._now = now
        self._tell: Callable[[Say], None] | None = None

    def prepare(self, texts: Sequence[str]) -> None:
        """Nothing to do: print needs no preparation."""

    def say(self, sentence: Say) -> None:
        """Print `sentence` and tell that it was said; a screen that has gone away is no reason to stop the day."""
        # A terminal that lacks a sign such as ° shows a question mark for it.
        encoding = self._stream.encoding or "utf-8"
        text = sentence.text.encode(encoding, errors="replace").decode(encoding)
        with contextlib.suppress(OSError, ValueError):  # ValueError: the stream was closed
            print(self._on_the_screen(f"{self._now():%H:%M:%S}  {text}"), file=self._stream, flush=True)
        if self._tell is not None:
            self._tell(sentence)

    def _on_the_screen(self, line: str) -> str:
        """`line` broken between words where the stream is a terminal; whole where it is not."""
        if not self._stream.isatty():
            return line
        columns = max(_NARROWEST, shutil.get_terminal_size().columns)
        return textwrap.fill(line, columns, subsequent_indent=" " * 10, break_on_hyphens=False)

    def drop(self, key: str) -> None:
        """Nothing to do: it is printed already."""

    def silence(self) -> None:
        """Nothing to do: what is printed makes no sound."""

    def speaking(self) -> bool:
        """Always false: the ear need not be shut."""
        return False

    def change_volume(self, step: int) -> None:
        """Nothing to do."""

    def on_spoken(self, tell: Callable[[Say], None]) -> None:
        """Call `tell` with each sentence as it is printed."""
        self._tell = tell

    def close(self) -> None:
        """Nothing to do; the stream is not ours to close."""
