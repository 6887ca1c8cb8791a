"""The voice that prints: whole lines for a file, lines broken between words for a terminal."""

from __future__ import annotations

import io
import os
from datetime import UTC, datetime

import pytest

from assistant.messages import Say
from assistant.voice.printed_voice import PrintedVoice

LONG = "Heat to the boil, lid off. It foams before it boils: stand by the valve. Then say boil is on."


class Terminal(io.StringIO):
    """A stream that says that it is a terminal."""

    def isatty(self) -> bool:
        """Yes."""
        return True


def printed(stream: io.StringIO) -> str:
    """What is on the stream after one long sentence."""
    PrintedVoice(stream, lambda: datetime(2026, 3, 7, 9, 0, tzinfo=UTC)).say(Say(LONG))
    return stream.getvalue()


def test_a_file_gets_whole_lines() -> None:
    """A sentence in a file is one line, for programs to read."""
    assert f"09:00:00  {LONG}\n" == printed(io.StringIO())


def test_a_terminal_gets_whole_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a terminal no line is wider than it, and no word is broken."""
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((40, 24)))
    lines = printed(Terminal()).splitlines()
    assert 40 >= max(len(line) for line in lines)
    assert f"09:00:00 {LONG}".split() == " ".join(lines).split()
