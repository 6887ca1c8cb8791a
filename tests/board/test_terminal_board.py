"""The day on a terminal."""

from __future__ import annotations

import io
from datetime import UTC, datetime

import pytest

from assistant.board.terminal_board import PlainBoard, TranscriptBoard, line_of
from assistant.messages import Moment
from assistant.ports import Shown

MOMENT = Moment(60.0, datetime(2026, 11, 25, 14, 5, 9, tzinfo=UTC))
ON_TARGET = Shown("assistant", MOMENT, "On target: ten forty-four.")


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def shown(board_stream: io.StringIO, line: Shown, **options: object) -> str:
    PlainBoard(board_stream, **options).show(line)  # type: ignore[arg-type]
    return board_stream.getvalue()


def test_a_line_has_time_who_and_text() -> None:
    """Each sentence is one line with its wall time and who said it."""
    assert "14:05:09  assistant  On target: ten forty-four.\n" == shown(io.StringIO(), ON_TARGET)
    assert "14:05:09  brewer     ten forty-four\n" == shown(
        io.StringIO(), Shown("brewer", MOMENT, "ten forty-four")
    )


def test_long_text_wraps_under_itself() -> None:
    """No line is wider than the board, nothing is lost, and the text stays in its own column."""
    text = "Twenty-six point two litres, a bit over. Boil as planned and you end at ten fifty-two."
    lines = shown(io.StringIO(), Shown("assistant", MOMENT, text), width=50).splitlines()
    assert max(len(line) for line in lines) <= 50
    assert text == " ".join(line[21:] for line in lines)
    assert {" " * 21} == {line[:21] for line in lines[1:]}


def test_a_narrow_window_still_gets_its_words() -> None:
    """A window too narrow for anything is written as if it were a little wider."""
    lines = shown(io.StringIO(), ON_TARGET, width=5).splitlines()
    assert "On target: ten forty-four." == " ".join(line[21:] for line in lines)


def test_a_file_is_not_wrapped() -> None:
    """What goes to no terminal is one line each."""
    assert 1 == shown(io.StringIO(), Shown("note", MOMENT, "word " * 100)).count("\n")


@pytest.mark.parametrize(
    ("stream", "no_color", "asked", "coloured"),
    [
        (Terminal, None, None, True),
        (Terminal, "1", None, False),
        (Terminal, "", None, True),  # no-color.org: only when not empty
        (Terminal, "1", True, True),
        (Terminal, None, False, False),
        (io.StringIO, None, None, False),
        (io.StringIO, None, True, True),
    ],
)
def test_colour_is_a_choice(
    monkeypatch: pytest.MonkeyPatch,
    stream: type[io.StringIO],
    no_color: str | None,
    asked: bool | None,
    coloured: bool,
) -> None:
    """Colour goes only to a terminal without NO_COLOR, and what was asked for outright wins."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    if no_color is not None:
        monkeypatch.setenv("NO_COLOR", no_color)
    assert coloured == ("\x1b[" in shown(stream(), ON_TARGET, use_colour=asked))


def test_a_terminal_gives_its_width(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a width the lines fit the terminal's columns."""
    monkeypatch.setenv("COLUMNS", "44")
    lines = shown(Terminal(), Shown("note", MOMENT, "word " * 50), use_colour=False).splitlines()
    assert max(len(line) for line in lines) <= 44
    assert len(lines) > 1


def test_text_cannot_steer_the_terminal() -> None:
    """Escape signs and newlines from a plan or a keyboard are taken out."""
    text = shown(io.StringIO(), Shown("note", MOMENT, "a\x1b[2Jb\nc\x07\x9bd\ud800"))
    assert "14:05:09  note       a [2Jb c d\n" == text


def test_a_poor_terminal_loses_a_sign_not_the_day() -> None:
    """Where the terminal has no degree sign, a question mark stands for it."""
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii", newline="\n")
    PlainBoard(stream).show(Shown("note", MOMENT, "64 °C"))
    assert b"14:05:09  note       64 ?C\n" == raw.getvalue()


def test_a_screen_that_went_away_stops_nothing() -> None:
    """Showing on a closed or broken stream passes without an error."""

    class Broken(io.StringIO):
        def write(self, _text: str) -> int:
            raise BrokenPipeError

    closed = io.StringIO()
    board = PlainBoard(closed)
    board.show(ON_TARGET)
    closed.close()
    board.show(ON_TARGET)
    PlainBoard(Broken()).show(ON_TARGET)


def test_a_transcript_collects_in_order() -> None:
    """The transcript has every line as it was shown, unwrapped and without colour."""
    board = TranscriptBoard()
    board.show(Shown("brewer", MOMENT, "ten forty-four"))
    board.show(ON_TARGET)
    expected = ("14:05:09  brewer     ten forty-four", "14:05:09  assistant  On target: ten forty-four.")
    assert expected == board.lines
    assert "".join(f"{line}\n" for line in expected) == board.text


def test_a_table_stands_below_its_line_as_it_is() -> None:
    """The lines of a table keep their columns, are not wrapped, and cannot steer a terminal."""
    moment = Moment(0.0, datetime(2026, 11, 25, 9, 0, tzinfo=UTC))
    shown = Shown("note", moment, "What you can do.", (" 1  extract    460 g", " 2  leave  \x1b[31m"))
    lines = line_of(shown, 40).split("\n")
    assert "09:00:00  note       What you can do." == lines[0]
    assert [" 1  extract    460 g", " 2  leave   [31m"] == lines[1:]
    assert lines == line_of(shown).split("\n")
