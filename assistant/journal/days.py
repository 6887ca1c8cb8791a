"""Where the days live: one folder for each, named by its date and its beer, with the journal in it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Final

from assistant.day.facts import DayBegun, Recorded, Stage, StageReached, TurnWithdrawn
from assistant.journal.refusals import refusing
from assistant.journal.sqlite_journal import SqliteJournal, make_names_durable
from assistant.ports import JournalRefusal

JOURNAL_NAME: Final = "day.journal"
_LONGEST_NAME: Final = 40


def journal_file(folder: Path) -> Path:
    """The journal of the day that lives in `folder`."""
    return folder / JOURNAL_NAME


def new_day_folder(base: Path, beer: str, wall: datetime) -> Path:
    """Make and return the folder of a new day, such as `2026-11-25-hollow-lane`; only its owner may look inside.

    A second day of the same beer and date gets `-2` behind its name. `base` is made where it is missing.

    Raises:
        JournalRefusal: if the folder cannot be made.
    """
    name = f"{wall.date().isoformat()}-{_file_name(beer)}"
    with refusing(base):
        base.mkdir(parents=True, exist_ok=True)
    number = 1
    while True:
        folder = base / (name if number == 1 else f"{name}-{number}")
        with refusing(folder):
            try:
                folder.mkdir(mode=0o700)
            except FileExistsError:
                number += 1
                continue
            # The base may be new as well, and a day must not vanish with its folder.
            make_names_durable(base)
            make_names_durable(base.parent)
            return folder


def unfinished_days(base: Path) -> tuple[Path, ...]:
    """The folders of days that were begun and have not come to the fermentation, latest first.

    A day whose journal cannot be read counts as unfinished: opening it says why.
    """
    return tuple(day.folder for day in _days(base) if not day.finished)


def latest_day(base: Path) -> Path | None:
    """The folder of the day that was begun last, finished or not; None when there is none."""
    return next((day.folder for day in _days(base)), None)


@dataclass(frozen=True, slots=True)
class _Day:
    folder: Path
    begun: str
    finished: bool


def _days(base: Path) -> list[_Day]:
    """All days that were begun, latest first."""
    found = list(_look(base))
    return sorted(found, key=lambda day: (day.begun, day.folder.name), reverse=True)


def day_journals(base: Path) -> Iterator[tuple[Path, Callable[[], tuple[Recorded, ...]]]]:
    """The folder of each day in `base`, by name, and what reads its facts.

    Raises:
        JournalRefusal: if `base` cannot be looked into; the reading itself, if that journal cannot be read.
    """
    with refusing(base):
        folders = sorted(base.iterdir()) if base.is_dir() else []
    for folder in folders:
        if journal_file(folder).is_file():
            yield folder, partial(_read, journal_file(folder))


def _look(base: Path) -> Iterator[_Day]:
    for folder, read in day_journals(base):
        try:
            recorded = read()
        except JournalRefusal:
            # The end of the day that its name tells, so that a damaged day of today is not overlooked.
            yield _Day(folder, f"{folder.name[:10]}T24", finished=False)
            continue
        begun = next((item for item in recorded if isinstance(item.fact, DayBegun)), None)
        # A program that died between making the file and writing the first fact began nothing.
        if begun is not None:
            yield _Day(folder, begun.moment.wall.isoformat(), _is_finished(recorded))


def _read(path: Path) -> tuple[Recorded, ...]:
    journal = SqliteJournal.read_only(path)
    try:
        return journal.read()
    finally:
        journal.close()


def _is_finished(recorded: tuple[Recorded, ...]) -> bool:
    withdrawn = {item.fact.turn for item in recorded if isinstance(item.fact, TurnWithdrawn)}
    stages = [
        item.fact.stage for item in recorded if isinstance(item.fact, StageReached) and item.turn not in withdrawn
    ]
    return bool(stages) and stages[-1] is Stage.FERMENTING


def _file_name(beer: str) -> str:
    plain = unicodedata.normalize("NFKD", beer.casefold()).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST_NAME].strip("-") or "day"
