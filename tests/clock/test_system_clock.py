"""The clock of a real day, over restarts, reboots and wall clocks that were set."""

from __future__ import annotations

import sys
import time
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from assistant.clock.system_clock import SystemClock, local_wall, machine_time
from assistant.messages import MachineTime, Moment

NINE = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


class Machine:
    """A made-up machine whose counter and wall clock move apart as told."""

    def __init__(self, boot_id: str = "first boot", seconds: float = 500.0, wall: datetime = NINE) -> None:
        self.boot_id, self.seconds, self.wall = boot_id, seconds, wall

    def machine(self) -> MachineTime:
        return MachineTime(self.boot_id, self.seconds)

    def pass_time(self, seconds: float) -> None:
        self.seconds += seconds
        self.wall += timedelta(seconds=seconds)

    def clock(self, origin: Moment | None = None, then: MachineTime | None = None) -> SystemClock:
        return SystemClock(origin, then, machine=self.machine, wall=lambda: self.wall)


def test_a_new_day_begins_at_nought() -> None:
    """A day that begins now has elapsed nothing, was not away, and is trusted."""
    clock = Machine().clock()
    assert Moment(0.0, NINE) == clock.now()
    assert (0.0, True) == (clock.away_s, clock.trusted)


@pytest.mark.parametrize("step", [timedelta(hours=-3), timedelta(seconds=2), timedelta(days=400)])
def test_a_set_wall_clock_moves_no_hop(step: timedelta) -> None:
    """Elapsed time follows the counter whatever is done to the wall clock, which is told as it is."""
    machine = Machine()
    clock = machine.clock()
    machine.pass_time(60)
    machine.wall += step
    assert Moment(60.0, NINE + timedelta(seconds=60) + step) == clock.now()


def test_elapsed_time_never_goes_back() -> None:
    """A counter that stumbles back, as after a moved virtual machine, does not take the day back."""
    machine = Machine()
    clock = machine.clock()
    machine.pass_time(60)
    clock.now()
    machine.seconds -= 30
    assert 60.0 == clock.now().elapsed_s


@pytest.mark.parametrize("step", [timedelta(0), timedelta(days=-1), timedelta(days=30)])
def test_in_the_same_boot_the_counter_tells_the_time_away(step: timedelta) -> None:
    """A restarted program knows exactly how long it was away, even if the wall clock was set meanwhile."""
    machine = Machine()
    first = machine.clock()
    machine.pass_time(1000)
    last, then = first.now(), machine.machine()
    machine.pass_time(240)
    machine.wall += step
    again = machine.clock(last, then)
    assert (240.0, True, 1240.0) == (again.away_s, again.trusted, again.now().elapsed_s)
    machine.pass_time(5)
    assert 1245.0 == again.now().elapsed_s


@pytest.mark.parametrize(
    ("boot_id", "then"),
    [
        ("second boot", MachineTime("first boot", 1500.0)),
        ("", MachineTime("", 1500.0)),
        ("first boot", None),
        ("first boot", MachineTime("first boot", 99_999.0)),
    ],
)
@pytest.mark.parametrize(
    ("away", "away_s", "trusted"),
    [
        (timedelta(minutes=4), 240.0, True),
        (timedelta(0), 0.0, True),
        (timedelta(seconds=-1), 0.0, False),
        (timedelta(days=-3000), 0.0, False),
        (timedelta(hours=48), 172_800.0, True),
        (timedelta(hours=48, seconds=1), 172_801.0, False),
    ],
)
def test_after_a_reboot_the_wall_tells_the_time_away(
    boot_id: str, then: MachineTime | None, away: timedelta, away_s: float, trusted: bool
) -> None:
    """Where the counters cannot be compared the wall clock is used, and doubted when it went back or leapt."""
    last = Moment(1000.0, NINE)
    clock = Machine(boot_id, seconds=20.0, wall=NINE + away).clock(last, then)
    assert (away_s, trusted) == (clock.away_s, clock.trusted)
    assert 1000.0 + away_s == clock.now().elapsed_s


def test_a_change_of_zone_is_no_time_away() -> None:
    """The same instant written with another offset counts as no time at all."""
    last = Moment(1000.0, NINE.astimezone(timezone(timedelta(hours=2))))
    clock = Machine("second boot", wall=NINE.astimezone(timezone(timedelta(hours=1)))).clock(last)
    assert (0.0, True) == (clock.away_s, clock.trusted)


@pytest.mark.skipif(sys.platform != "linux", reason="the boot clock and boot id are Linux's")
def test_on_linux_the_counter_is_the_one_that_runs_through_suspend() -> None:
    """The counter reads CLOCK_BOOTTIME and names the boot by the kernel's id."""
    before = time.clock_gettime(time.CLOCK_BOOTTIME)
    found = machine_time()
    assert before <= found.seconds <= time.clock_gettime(time.CLOCK_BOOTTIME)
    assert Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip() == found.boot_id


def test_the_real_clock_goes_forward() -> None:
    """With nothing made up, the day moves on and the wall time is the system's, aware."""
    clock = SystemClock()
    looks = [clock.now() for _ in range(1000)]
    assert sorted(look.elapsed_s for look in looks) == [look.elapsed_s for look in looks]
    assert 0 < looks[-1].elapsed_s
    assert abs(looks[-1].wall - datetime.now(UTC)) < timedelta(minutes=1)
    assert local_wall().utcoffset() is not None
