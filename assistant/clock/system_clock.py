"""The clock of a real day: elapsed time by a counter that no wall-clock step moves, wall time for the book."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from assistant.messages import MachineTime, Moment

# A brew day that was away for longer than this is more likely a wrong wall clock.
_ABSURD_S: Final = 48 * 3600.0


def machine_time() -> MachineTime:
    """Read the machine's counter: through suspend on Linux and macOS; on Windows as far as the system counts it.

    On Linux the boot id tells whether two readings are of the same start of the machine; elsewhere it is empty.
    """
    return MachineTime(_BOOT_ID, _counter_s())


def local_wall() -> datetime:
    """The aware local time, with the offset that holds now."""
    return datetime.now().astimezone()


def _counter_s() -> float:
    if sys.platform == "linux":
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    if sys.platform == "darwin":
        # Here it is this one that counts on while the machine sleeps, and time.monotonic does not.
        return time.clock_gettime(time.CLOCK_MONOTONIC)
    return time.monotonic()


def _boot_id() -> str:
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except (OSError, UnicodeError):
        return ""


_BOOT_ID: Final = _boot_id()


class SystemClock:
    """The clock of a day that begins now, or goes on from where its journal ends.

    origin: the last moment in the journal; None when the day begins.
    origin_machine: the counter as it was written with it. In the same boot the time away is taken from it, exactly;
        else from the wall clock.
    machine, wall: where the counter and the wall time are read.
    """

    def __init__(
        self,
        origin: Moment | None = None,
        origin_machine: MachineTime | None = None,
        *,
        machine: Callable[[], MachineTime] = machine_time,
        wall: Callable[[], datetime] = local_wall,
    ) -> None:
        self._machine = machine
        self._wall = wall
        self._began = machine()
        self._away_s, self._trusted = self._time_away(origin, origin_machine)
        self._elapsed_at_start_s = (origin.elapsed_s if origin else 0.0) + self._away_s
        self._latest_s = self._elapsed_at_start_s
        self._one_at_a_time = threading.Lock()

    @property
    def away_s(self) -> float:
        """Seconds >= 0 between the last moment in the journal and the start of this clock; 0 for a new day."""
        return self._away_s

    @property
    def trusted(self) -> bool:
        """Whether `away_s` can be believed: not when wall time has gone back or jumped by over 48 h."""
        return self._trusted

    def now(self) -> Moment:
        """The present moment; `elapsed_s` never goes back, also between threads."""
        with self._one_at_a_time:
            running_s = self._machine().seconds - self._began.seconds
            self._latest_s = max(self._latest_s, self._elapsed_at_start_s + running_s)
            return Moment(self._latest_s, self._wall())

    def _time_away(self, origin: Moment | None, then: MachineTime | None) -> tuple[float, bool]:
        if origin is None:
            return 0.0, True
        if then is not None and then.boot_id and then.boot_id == self._began.boot_id:
            counted_s = self._began.seconds - then.seconds
            if counted_s >= 0:
                return counted_s, True
        by_wall_s = (self._wall().astimezone(UTC) - origin.wall.astimezone(UTC)).total_seconds()
        if by_wall_s < 0:
            return 0.0, False
        # An absurd jump is kept, for it may be true; `trusted` says that it needs asking.
        return by_wall_s, by_wall_s <= _ABSURD_S
