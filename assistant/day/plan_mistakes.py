"""Mistakes in a plan file as sentences for the brewer: which line, what is wrong, what would be right."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BaseModel, ValidationError

from assistant.day.plan_fields import PlanField
from assistant.day.plan_places import Path
from assistant.day.plan_quantity import FieldMistake, shown
from assistant.day.plan_schema import LISTS, TABLES


@dataclass(frozen=True, slots=True)
class Mistake:
    """One thing in a plan file that cannot be taken.

    line: from 1. field: its name, empty when the line could not be read at all.
    wrong: what is wrong; right: what to write instead.
    """

    file: str
    line: int
    field: str
    wrong: str
    right: str

    def sentence(self) -> str:
        """The mistake as one sentence."""
        place = f"{self.file} line {self.line}" + (f", {self.field}" if self.field else "")
        return f"{place}: {self.wrong}; {self.right}."


class PlanMistakes(ValueError):  # noqa: N818 - named for what the brewer's file holds
    """A plan file cannot be taken; `mistakes` holds every reason in the order of the lines, at least one."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__("\n".join(mistake.sentence() for mistake in mistakes))
        self.mistakes = mistakes


@dataclass(frozen=True, slots=True)
class Found:
    """A mistake and the path of the field that has it, before its line is known."""

    path: Path
    wrong: str
    right: str

    def at(self, file: str, places: Mapping[Path, int]) -> Mistake:
        """The mistake with its line: that of the field, or else of the nearest table around it."""
        known = self.path
        while known not in places:
            known = known[:-1]
        names = [part for part in self.path if isinstance(part, str)]
        return Mistake(file, places[known], names[-1] if names else "", self.wrong, self.right)


def plan_field(model: type[BaseModel], name: str) -> PlanField | None:
    """The kind of field `name` is in its table, by the name written in the file; None for tables."""
    kinds = (
        kind
        for python_name, info in model.model_fields.items()
        for kind in info.metadata
        if (info.alias or python_name) == name and isinstance(kind, PlanField)
    )
    return next(kinds, None)


def field_names(model: type[BaseModel]) -> list[str]:
    """The names that may be written in a table."""
    return [info.alias or name for name, info in model.model_fields.items()]


def table_name(names: tuple[str, ...]) -> str:
    """A table as it is written, with its brackets."""
    dotted = ".".join(names)
    return f"[[{dotted}]]" if names in LISTS else f"[{dotted}]"


def found_by_schema(refusal: ValidationError) -> list[Found]:
    """What pydantic found, in our words."""
    errors: list[dict[str, Any]] = [dict(error) for error in refusal.errors(include_url=False)]
    # A misspelt name is one mistake, although the right name is missing because of it.
    misspelt = [error["loc"] for error in errors if error["type"] == "extra_forbidden"]
    meant = {(*path[:-1], _near(_names(path))) for path in misspelt}
    return [_found(error) for error in errors if error["type"] != "missing" or error["loc"] not in meant]


def _names(path: Path) -> tuple[str, ...]:
    return tuple(part for part in path if isinstance(part, str))


def _near(names: tuple[str, ...]) -> str | None:
    """The name in the same table that an unknown one was most likely meant to be."""
    if _only_home(names[-1]):
        return None
    return next(iter(difflib.get_close_matches(names[-1], field_names(TABLES[names[:-1]]), 1, 0.5)), None)


def _only_home(name: str) -> str | None:
    """The one table that has a field of this name, when there is just one."""
    homes = [table for table, model in TABLES.items() if name in field_names(model)]
    # The fields of [units] are named for what they measure: a "volume" elsewhere was not meant for it.
    return table_name(homes[0]) if len(homes) == 1 and homes[0] not in ((), ("units",)) else None


def _found(error: dict[str, Any]) -> Found:
    path: Path = tuple(error["loc"])
    names = _names(path)
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, FieldMistake):
        return Found((*path, *cause.below), cause.wrong, cause.right)
    if error["type"] == "missing":
        return _missing(path, names)
    if error["type"] == "extra_forbidden":
        return _unknown(path, names)
    value = error["input"]
    if value == []:
        wrong = "the list is empty"
    elif isinstance(value, dict):
        wrong = "this is one table and not a list"
    else:
        wrong = f"{shown(value)} is not a table"
    return Found(path, wrong, f"write {table_name(names)} and its fields below it")


def _missing(path: Path, names: tuple[str, ...]) -> Found:
    if names in TABLES:
        return Found(path, "this table is missing", f"write {table_name(names)} and its fields below it")
    kind = plan_field(TABLES[names[:-1]], names[-1])
    assert kind is not None, names
    return Found(path, f"this is missing from {table_name(names[:-1])}", kind.right)


def _unknown(path: Path, names: tuple[str, ...]) -> Found:
    near, home = _near(names), _only_home(names[-1])
    place = table_name(names[:-1]) if names[:-1] else "a plan"
    if home:
        right = f"it belongs in {home}"
    elif near:
        right = f"the nearest name is {near}"
    else:
        right = f"write one of {', '.join(field_names(TABLES[names[:-1]]))}"
    return Found(path, f"this is no field of {place}", right)


_FIELD_EXAMPLE: Final = 'write a field such as boil = "75 min"'
# what tomllib's message holds -> what is wrong and what would be right
_SYNTAX: Final[tuple[tuple[str, str, str], ...]] = (
    ("Expected '='", "this line has no equals sign after its name", _FIELD_EXAMPLE),
    ("Invalid initial character for a key", "this line does not begin with a name", _FIELD_EXAMPLE),
    ("Invalid statement", "this line does not begin with a name", _FIELD_EXAMPLE),
    ("Cannot overwrite", "this name is here a second time", "keep one of the two"),
    ("Duplicate inline", "this name is here a second time", "keep one of the two"),
    ("twice", "this table is here a second time", "keep one of the two, or use double brackets for a list"),
    ("Cannot", "this name is already used in another way", "keep one of the two"),
    ("end of a table declaration", "this heading is not closed", "write a heading such as [beer]"),
    ("end of an array declaration", "this heading is not closed", "write a heading such as [[addition]]"),
    ("Unclosed array", "a list is not closed", "close it with ]"),
    ("Illegal character '\\n'", "a quote is not closed", _FIELD_EXAMPLE),
    ("Unterminated", "a quote is not closed", _FIELD_EXAMPLE),
    ("Illegal character", "this has a character that cannot be read", "write plain letters and figures"),
    ("Unescaped", "this has a backslash", "leave it out"),
)
_LINE: Final = re.compile(r"\s*(?P<key>[A-Za-z0-9_.-]+)\s*=\s*(?P<value>.*?)\s*")
_BARE_VALUE: Final = re.compile(r"""[^#"'\[\]{}]*""")


def mistake_of_syntax(refusal: ValueError | RecursionError, text: str, file: str) -> Mistake:
    """What `tomllib` refused, in our words, with the line it names."""
    message = str(refusal)
    lines = text.split("\n")
    numbered = re.search(r"at line (\d+)", message)
    number = int(numbered[1]) if numbered else len(lines)
    line = lines[number - 1].rstrip("\r")
    written = _LINE.fullmatch(line)
    key = written["key"] if written else ""
    for part, wrong, right in _SYNTAX:
        if part in message:
            return Mistake(file, number, key, wrong, right)
    if line.lstrip().startswith("["):
        return Mistake(file, number, "", "a list before this line is not closed", "close it with ]")
    bare = _BARE_VALUE.match(written["value"]) if written else None
    value = bare[0].strip() if bare else ""
    if written and not written["value"].split("#")[0]:
        return Mistake(file, number, key, "there is nothing after the equals sign", _FIELD_EXAMPLE)
    if value and value.isprintable():
        return Mistake(
            file, number, key, "a value with words or a unit stands in quotes", f'write {key} = "{value}"'
        )
    return Mistake(file, number, key, "this cannot be read", _FIELD_EXAMPLE)
