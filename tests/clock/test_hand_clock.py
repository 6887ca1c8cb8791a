"""The clock that is moved by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from assistant.clock.hand_clock import HandClock
from assistant.messages import MachineTime

START = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


def test_it_stands_still_until_moved() -> None:
    """Two looks without a move give the same moment."""
    clock = HandClock(START)
    assert clock.now() == clock.now()
    assert (0.0, START) == (clock.now().elapsed_s, clock.now().wall)


def test_both_hands_move_together() -> None:
    """The wall time moves by what the day moves, by either way of moving it."""
    clock = HandClock(START)
    clock.advance(90.5)
    moment = clock.advance_to(3600.0)
    assert (3600.0, START + timedelta(hours=1)) == (moment.elapsed_s, moment.wall)
    assert moment == clock.now()
    assert MachineTime("moved by hand", 3600.0) == clock.machine_time()


@pytest.mark.parametrize("seconds", [-0.001, float("nan"), float("inf"), float("-inf")])
def test_it_never_goes_back(seconds: float) -> None:
    """A move back, or to no time at all, is refused and leaves the clock where it was."""
    clock = HandClock(START)
    clock.advance(10)
    with pytest.raises(ValueError, match="never goes back"):
        clock.advance(seconds)
    with pytest.raises(ValueError, match="never goes back"):
        clock.advance_to(10 + seconds)
    assert clock.now().elapsed_s == 10


def test_a_change_of_the_clocks_moves_no_hop() -> None:
    """An hour over the end of summer time is an hour, though the wall clock shows the same hour twice."""
    clock = HandClock(datetime(2026, 10, 25, 2, 30, tzinfo=ZoneInfo("Europe/Berlin")))
    moment = clock.advance(3600)
    assert datetime(2026, 10, 25, 1, 30, tzinfo=UTC) == moment.wall.astimezone(UTC)
    assert (2, 30) == (moment.wall.hour, moment.wall.minute)


def test_it_needs_a_time_zone() -> None:
    """A start without a zone is refused."""
    with pytest.raises(ValueError, match="aware"):
        HandClock(datetime(2026, 11, 25, 9, 0))  # noqa: DTZ001 - the mistake under test
