"""A program that is killed outright: what it was told is written is there, and the day can be taken up again.

Killing a process shows that nothing is kept back in its memory. That the disk keeps it through a power cut rests on
SQLite's synchronous=FULL, which is asserted elsewhere, and on the disk being honest.
"""

from __future__ import annotations

import os
import random
import signal
import time
from collections.abc import Callable
from itertools import groupby
from pathlib import Path
from typing import BinaryIO

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.facts import Recorded
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.messages import MachineTime
from assistant.ports import JournalRefusal

if not hasattr(os, "fork"):
    pytest.skip("killing as POSIX has it", allow_module_level=True)

Machine = Callable[[], MachineTime]
KILLS = 25


class Child:
    """A process of its own that runs `work` until it is killed; `work` gets a function that tells the parent."""

    def __init__(self, work: Callable[[Callable[[int], None]], None]) -> None:
        reading, writing = os.pipe()
        self._process = os.fork()
        if self._process == 0:
            try:
                os.close(reading)
                work(lambda number: self._tell(writing, number))
            finally:
                os._exit(1)
        os.close(writing)
        self._told: BinaryIO = os.fdopen(reading, "rb", buffering=0)

    @staticmethod
    def _tell(writing: int, number: int) -> None:
        os.write(writing, number.to_bytes(8, "big"))

    def hear(self) -> int:
        """Wait for the next number that the child tells."""
        told = self._told.read(8)
        assert told, "the child ended by itself"
        return int.from_bytes(told, "big")

    def kill(self) -> None:
        """Kill the child as `kill -9` does."""
        os.kill(self._process, signal.SIGKILL)
        _, status = os.waitpid(self._process, 0)
        assert signal.SIGKILL == os.WTERMSIG(status), "the child ended by itself"

    def last_words(self) -> list[int]:
        """What the killed child had told and nobody had heard yet."""
        with self._told:
            rest = self._told.read() or b""
        return [int.from_bytes(rest[place : place + 8], "big") for place in range(0, len(rest) - 7, 8)]


def wait_busily(seconds: float) -> None:
    """Let the child run on for a moment; what is under test is where in its writing the kill falls."""
    until = time.perf_counter() + seconds
    while time.perf_counter() < until:
        pass


def turn_of(turn: int) -> list[f.NoteTaken]:
    """The facts of one turn, one to four; each tells its place, so that a torn turn shows."""
    size = turn % 4 + 1
    return [f.NoteTaken(f"{turn}: {place} of {size} " + "x" * (turn * 37 % 900)) for place in range(size)]


def check_order(recorded: tuple[Recorded, ...]) -> None:
    """Every turn from 1 is there, whole, once, in order, word for word."""
    turns = [(turn, [item.fact for item in items]) for turn, items in groupby(recorded, key=lambda item: item.turn)]
    assert [(turn, turn_of(turn)) for turn in range(1, len(turns) + 1)] == turns
    assert list(range(1, len(recorded) + 1)) == [item.number for item in recorded]


def test_what_was_told_as_written_survives_the_kill(path: Path, machine: Machine, hand_clock: HandClock) -> None:
    """Killed at twenty-five random points of one day, every announced fact is there and no turn is half there."""
    chance = random.Random(9)
    SqliteJournal.create(path, machine).close()

    def write_on(tell: Callable[[int], None]) -> None:
        journal = SqliteJournal.open(path, machine)
        turn = journal.read()[-1].turn if journal.read() else 0
        while True:
            turn += 1
            tell(journal.append(turn_of(turn), hand_clock.now(), turn)[-1].number)

    last_told = 0
    for _ in range(KILLS):
        child = Child(write_on)
        for _ in range(chance.randrange(1, 12)):
            last_told = child.hear()
        wait_busily(chance.uniform(0.0, 0.004))
        child.kill()
        last_told = max([last_told, *child.last_words()])
        reader = SqliteJournal.read_only(path)
        recorded = reader.read()
        reader.close()
        check_order(recorded)
        assert last_told <= len(recorded), "a fact that was announced is gone"
        # At most the one turn that was written and not yet announced.
        assert recorded[-1].turn - next(item.turn for item in recorded if item.number == last_told) <= 1
    journal = SqliteJournal.open(path, machine)
    check_order(journal.read())
    assert last_told > KILLS
    journal.close()


def test_a_kill_while_the_day_is_made(tmp_path: Path, machine: Machine) -> None:
    """Killed while it makes the file, the program leaves no journal or a whole empty one, never half of one."""
    chance = random.Random(10)
    began = time.perf_counter()
    SqliteJournal.create(tmp_path / "to see how long it takes", machine).close()
    takes_s = time.perf_counter() - began
    outcomes = set()
    for attempt in range(KILLS):
        path = tmp_path / f"day {attempt}.journal"

        def make(tell: Callable[[int], None], path: Path = path) -> None:
            tell(0)
            journal = SqliteJournal.create(path, machine)
            tell(1)
            while journal:
                signal.pause()

        child = Child(make)
        child.hear()
        # The first at once and the last when it is made, so that the kills fall on both sides on any disk.
        if attempt >= KILLS - 5:
            child.hear()
        elif attempt >= 5:
            wait_busily(chance.uniform(0.0, takes_s))
        child.kill()
        child.last_words()
        outcomes.add(path.exists())
        journal = SqliteJournal.open(path, machine) if path.exists() else SqliteJournal.create(path, machine)
        assert () == journal.read()
        journal.close()
    assert {False, True} == outcomes, "the kills must fall before and after, or they prove nothing"


def test_a_worker_that_outlives_its_parent_does_not_hold_the_day(path: Path, machine: Machine) -> None:
    """A forked worker left behind by a killed program does not keep the next one out."""
    SqliteJournal.create(path, machine).close()

    def write_with_a_worker(tell: Callable[[int], None]) -> None:
        journal = SqliteJournal.open(path, machine)
        if os.fork() == 0:
            tell(os.getpid())  # by now the worker has let go of what it inherited
        while journal:
            signal.pause()

    child = Child(write_with_a_worker)
    worker = child.hear()
    try:
        with pytest.raises(JournalRefusal, match="already writing this day"):
            SqliteJournal.open(path, machine)
        child.kill()
        SqliteJournal.open(path, machine).close()
    finally:
        os.kill(worker, signal.SIGKILL)
    child.last_words()
