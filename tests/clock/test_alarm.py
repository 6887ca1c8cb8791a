"""What wakes the loop: on time, and no later than a heartbeat when the wall clock or the scheduler fails."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta

import pytest

from assistant.clock.alarm import HandAlarm, SchedulerAlarm
from assistant.clock.hand_clock import HandClock
from assistant.clock.system_clock import SystemClock
from assistant.messages import Moment
from assistant.ports import Clock

# Far more than any wake-up takes; only a lost one waits for so long.
PATIENCE_S = 20.0
NEVER_BEATS_S = 3600.0


class Bell:
    """Counts wake-ups and lets a test wait for one."""

    def __init__(self) -> None:
        self._rung = threading.Semaphore(0)

    def ring(self) -> None:
        self._rung.release()

    def rang(self, patience_s: float = PATIENCE_S) -> bool:
        return self._rung.acquire(timeout=patience_s)


class ShiftedClock:
    """A day whose wall clock is off from the system's by `shift`, as it is after the system's was set."""

    def __init__(self, shift: timedelta) -> None:
        self.elapsed_s = 0.0
        self._shift = shift

    def now(self) -> Moment:
        return Moment(self.elapsed_s, datetime.now(UTC) + self._shift)


@contextmanager
def alarm_on(clock: Clock, bell: Bell, heartbeat_s: float) -> Iterator[SchedulerAlarm]:
    alarm = SchedulerAlarm(clock, bell.ring, heartbeat_s)
    try:
        yield alarm
    finally:
        alarm.close()


@pytest.mark.parametrize("in_s", [0.05, 0.0, -10.0])
def test_the_scheduler_wakes_by_itself(in_s: float) -> None:
    """A time to come and a time that has passed both wake, with no heartbeat to help."""
    clock, bell = SystemClock(), Bell()
    with alarm_on(clock, bell, NEVER_BEATS_S) as alarm:
        alarm.set(clock.now().elapsed_s + in_s)
        assert bell.rang()
        assert clock.now().elapsed_s >= in_s


def test_a_wake_up_far_too_late_still_comes() -> None:
    """The scheduler's habit of dropping what it missed is switched off."""
    bell = Bell()
    with alarm_on(ShiftedClock(timedelta(days=-9)), bell, NEVER_BEATS_S) as alarm:
        alarm.set(0.0)
        assert bell.rang()


def test_a_new_time_replaces_the_old() -> None:
    """Only the time set last wakes, and None takes it away."""
    clock, bell = SystemClock(), Bell()
    with alarm_on(clock, bell, NEVER_BEATS_S) as alarm:
        alarm.set(clock.now().elapsed_s + 0.5)
        alarm.set(None)
        alarm.set(clock.now().elapsed_s + 0.5)
        alarm.set(clock.now().elapsed_s + 0.7)
        assert bell.rang()
        assert clock.now().elapsed_s >= 0.7
        assert not bell.rang(patience_s=0.05)


def test_the_heartbeat_covers_a_wall_clock_that_was_set_back() -> None:
    """When the scheduler would wait an hour too long, the heartbeat wakes as soon as the day's time has come."""
    clock, bell = ShiftedClock(timedelta(hours=1)), Bell()
    with alarm_on(clock, bell, 0.01) as alarm:
        alarm.set(10.0)
        assert not bell.rang(patience_s=0.1)
        clock.elapsed_s = 10.0
        assert bell.rang()


def test_the_heartbeat_repeats_until_it_is_heard() -> None:
    """A wake-up that nobody acted on comes again, until another time is set."""
    clock, bell = ShiftedClock(timedelta(hours=1)), Bell()
    with alarm_on(clock, bell, 0.01) as alarm:
        alarm.set(-1.0)
        assert bell.rang()
        assert bell.rang()
        alarm.set(None)
        while bell.rang(patience_s=0.0):
            pass
        bell.rang(patience_s=0.1)  # one may have been on its way
        assert not bell.rang(patience_s=0.1)


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_the_heartbeat_covers_a_dead_scheduler() -> None:
    """When the scheduler's thread has ended, wake-ups still come, and the alarm no longer says that it is well."""
    clock, bell = HandClock(datetime(2026, 11, 25, 9, 0, tzinfo=UTC)), Bell()
    with alarm_on(clock, bell, 0.01) as alarm:
        assert alarm.alive()

        # An error anywhere in the scheduler's loop ends its thread, and `running` goes on saying that all is well.
        def fail() -> None:
            raise SystemExit

        alarm._scheduler._process_jobs = fail
        alarm._scheduler.wakeup()
        alarm._scheduler._thread.join(PATIENCE_S)
        assert alarm._scheduler.running
        assert not alarm.alive()
        alarm.set(10.0)
        clock.advance(10.0)
        assert bell.rang()


def test_closed_means_silent() -> None:
    """After closing, twice for good measure, nothing wakes and nothing can be set."""
    clock, bell = SystemClock(), Bell()
    alarm = SchedulerAlarm(clock, bell.ring, 0.01)
    alarm.set(clock.now().elapsed_s + 0.05)
    alarm.close()
    alarm.close()
    alarm.set(0.0)
    assert not alarm.alive()
    while bell.rang(patience_s=0.0):
        pass
    assert not bell.rang(patience_s=0.2)


def test_the_hand_alarm_keeps_what_was_set() -> None:
    """The alarm of a rehearsal tells the time set last, and nothing once closed."""
    alarm = HandAlarm()
    assert alarm.due_s is None
    alarm.set(5.0)
    alarm.set(7.5)
    assert 7.5 == alarm.due_s
    alarm.close()
    assert (None, True) == (alarm.due_s, alarm.closed)
