"""On which line each field of a TOML text stands; `tomllib` tells only what the fields are.

The text has been read by `tomllib` before, so nothing here needs to refuse bad TOML.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from typing import Final

Path = tuple[str | int, ...]
"""Where a value stands in the parsed document: keys, and positions in lists from 0."""

_BLANK: Final = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_KEY_PART: Final = re.compile(r"""[ \t]*("(?:\\.|[^"\\\n])*"|'[^'\n]*'|[A-Za-z0-9_-]+)[ \t]*""")
_STRING: Final = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}|' + r"'''.*?'{3,5}|" + r""""(?:\\.|[^"\\\n])*"|'[^'\n]*'""",
    re.DOTALL,
)
_SCALAR: Final = re.compile(r"[^,\]}#\n]*")


def find_places(text: str) -> dict[Path, int]:
    """Map the path of every table, field and list entry of valid TOML to its line, counted from 1.

    The empty path is the document and stands on line 1.
    """
    return _Scanner(text).scan()


class _Scanner:
    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._line_starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self._places: dict[Path, int] = {(): 1}
        self._list_lengths: dict[Path, int] = {}

    def scan(self) -> dict[Path, int]:
        table: Path = ()
        while self._skip(_BLANK) and self._at < len(self._text):
            before = self._at
            if self._text[self._at] == "[":
                table = self._heading()
            else:
                self._field(table)
            if self._at == before:  # not valid TOML after all; what was found so far still helps
                break
        return self._places

    def _skip(self, pattern: re.Pattern[str]) -> bool:
        found = pattern.match(self._text, self._at)
        self._at = found.end() if found else self._at
        return found is not None

    def _peek(self) -> str:
        return self._text[self._at : self._at + 1]

    def _mark(self, path: Path, offset: int) -> None:
        line = bisect_right(self._line_starts, offset)
        for length in range(1, len(path) + 1):
            self._places.setdefault(path[:length], line)

    def _key(self) -> list[str]:
        parts: list[str] = []
        while found := _KEY_PART.match(self._text, self._at):
            self._at = found.end()
            quoted = found[1][0] in "\"'"
            parts.append(str(tomllib.loads(f"key = {found[1]}")["key"]) if quoted else found[1])
            if self._peek() != ".":
                break
            self._at += 1
        return parts

    def _heading(self) -> Path:
        start = self._at
        brackets = 2 if self._text.startswith("[[", start) else 1
        self._at += brackets
        *outer, last = self._key() or [""]
        self._at += brackets
        path: Path = ()
        for part in outer:
            path = self._newest((*path, part))
        path = (*path, last)
        if brackets == 2:
            self._list_lengths[path] = self._list_lengths.get(path, 0) + 1
        path = self._newest(path)
        self._mark(path, start)
        self._places[path] = bisect_right(self._line_starts, start)
        return path

    def _newest(self, path: Path) -> Path:
        """The entry of a list of tables that headings below it belong to."""
        length = self._list_lengths.get(path)
        return path if length is None else (*path, length - 1)

    def _field(self, table: Path) -> None:
        start = self._at
        path = (*table, *self._key())
        self._mark(path, start)
        if self._peek() == "=":
            self._at += 1
            self._value(path)

    def _value(self, path: Path) -> None:
        self._skip(_BLANK)
        opening = self._peek()
        if opening == "[":
            self._entries(path, "]")
        elif opening == "{":
            self._entries(path, "}")
        elif not self._skip(_STRING):
            self._skip(_SCALAR)

    def _entries(self, path: Path, closing: str) -> None:
        self._at += 1
        index = 0
        while self._skip(_BLANK) and self._peek() not in (closing, ""):
            before = self._at
            if closing == "]":
                self._mark((*path, index), self._at)
                self._value((*path, index))
                index += 1
            else:
                self._field(path)
            self._skip(_BLANK)
            if self._peek() == ",":
                self._at += 1
            if self._at == before:
                break
        self._at += 1
