"""A clock that is moved by hand, for rehearsals and tests: it jumps, and never goes back."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

from assistant.messages import MachineTime, Moment


class HandClock:
    """Stands still until it is moved.

    start: aware wall time at which the day begins.

    Raises:
        ValueError: if `start` has no time zone.
    """

    def __init__(self, start: datetime) -> None:
        if start.tzinfo is None:
            raise ValueError("a clock starts at an aware time")
        self._start = start
        self._elapsed_s = 0.0

    def now(self) -> Moment:
        """The moment to which the clock was moved."""
        # By way of UTC, or a jump over a change of the clocks would be an hour off.
        instant = self._start.astimezone(UTC) + timedelta(seconds=self._elapsed_s)
        return Moment(self._elapsed_s, instant.astimezone(self._start.tzinfo))

    def machine_time(self) -> MachineTime:
        """A counter that moves with this clock."""
        return MachineTime("moved by hand", self._elapsed_s)

    def advance(self, seconds: float) -> Moment:
        """Move on by `seconds` >= 0 and return the new moment.

        Raises:
            ValueError: if the clock would go back.
        """
        return self.advance_to(self._elapsed_s + seconds)

    def advance_to(self, elapsed_s: float) -> Moment:
        """Move to `elapsed_s` seconds since the day began and return the new moment.

        Raises:
            ValueError: if the clock would go back.
        """
        if not math.isfinite(elapsed_s) or elapsed_s < self._elapsed_s:
            raise ValueError(f"a clock never goes back: it stands at {self._elapsed_s} s, not {elapsed_s} s")
        self._elapsed_s = elapsed_s
        return self.now()
