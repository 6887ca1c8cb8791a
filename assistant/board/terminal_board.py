"""The day on a terminal: one line for each sentence, with its time and who said it."""

from __future__ import annotations

import os
import shutil
import textwrap
import unicodedata
from collections.abc import Mapping
from typing import Final, TextIO

from assistant.ports import Shown

_WHO_WIDTH: Final = len("assistant")
_NARROWEST: Final = 40

# Who speaks -> how a terminal shows it (ECMA-48, select graphic rendition)
_COLOURS: Final[Mapping[str, str]] = {"assistant": "\x1b[1m", "brewer": "\x1b[36m", "note": "\x1b[2m"}
_PLAIN_AGAIN: Final = "\x1b[0m"


def line_of(line: Shown, width: int | None = None) -> str:
    """Set `line` as text: time, who, what; wrapped under its own text at `width` columns, None: not at all.

    Control characters in the text are taken out, so that nothing said or planned can steer a terminal.
    A table stands below, its lines as they are.
    """
    head = f"{line.moment.wall:%H:%M:%S}  {line.who:<{_WHO_WIDTH}}  "
    text = " ".join(_harmless(line.text).split())
    table = [_harmless(row).rstrip() for row in line.table]
    if width is None:
        return "\n".join(((head + text).rstrip(), *table))
    wrapped = textwrap.wrap(text, max(width, _NARROWEST), initial_indent=head, subsequent_indent=" " * len(head))
    return "\n".join((*(wrapped or [head.rstrip()]), *table))


def _harmless(text: str) -> str:
    return "".join(" " if unicodedata.category(sign) in ("Cc", "Cs") else sign for sign in text)


class PlainBoard:
    """Writes each line to a stream.

    use_colour: None: where the stream is a terminal and NO_COLOR is not set (no-color.org).
    width: in columns; None: of the terminal, and not wrapped at all where the stream is none.
    """

    def __init__(self, stream: TextIO, use_colour: bool | None = None, width: int | None = None) -> None:
        self._stream = stream
        self._is_terminal = stream.isatty()
        self._use_colour = (
            self._is_terminal and not os.environ.get("NO_COLOR") if use_colour is None else use_colour
        )
        self._width = width

    def show(self, line: Shown) -> None:
        """Write one line; a screen that has gone away is no reason to stop the day, so its errors are let pass."""
        text = line_of(line, self._columns())
        # A terminal that lacks a sign such as ° shows a question mark for it.
        encoding = self._stream.encoding or "utf-8"
        text = text.encode(encoding, errors="replace").decode(encoding)
        colour = _COLOURS.get(line.who, "") if self._use_colour else ""
        try:
            self._stream.write(f"{colour}{text}{_PLAIN_AGAIN if colour else ''}\n")
            self._stream.flush()
        except (OSError, ValueError):  # ValueError: the stream was closed
            return

    def _columns(self) -> int | None:
        if self._width is None and self._is_terminal:
            return shutil.get_terminal_size().columns
        return self._width


class TranscriptBoard:
    """Collects the lines of a day, unwrapped, for a transcript."""

    def __init__(self) -> None:
        self._lines: list[str] = []

    @property
    def lines(self) -> tuple[str, ...]:
        """What was shown, in order."""
        return tuple(self._lines)

    @property
    def text(self) -> str:
        """The whole transcript, each line ended by a newline."""
        return "".join(f"{line}\n" for line in self._lines)

    def show(self, line: Shown) -> None:
        """Add one line."""
        self._lines.append(line_of(line))
