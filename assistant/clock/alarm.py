"""What wakes the loop when the next call is due.

The scheduler plans by the wall clock, which may be set, and its wait stands still while the machine is suspended.
So a heartbeat of its own looks at the day's clock every second: no wake-up is lost, and none is later than that.
A heartbeat among the scheduler's jobs would not do: it would stop with the scheduler, and after a wall clock was
set back it would wait for the old time to come again.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from datetime import UTC, timedelta
from typing import Final

from apscheduler.executors.debug import DebugExecutor
from apscheduler.schedulers.background import BackgroundScheduler

from assistant.ports import Clock

_JOB: Final = "next call"

# Without a handler a library's warnings would reach the brewer's screen.
logging.getLogger("apscheduler").addHandler(logging.NullHandler())


class _WatchedScheduler(BackgroundScheduler):  # type: ignore[misc] # ships no type information
    def thread_lives(self) -> bool:
        """Whether the thread runs; `running` stays true after it has died."""
        return self._thread is not None and self._thread.is_alive()


class SchedulerAlarm:
    """Calls `wake` when the time that was set comes, and once a heartbeat from then on until another is set.

    clock: of the day. wake: must only pass word on: return at once, not raise, not set the alarm; called from
        other threads.
    heartbeat_s: how late a wake-up can be that the scheduler missed, > 0.
    """

    def __init__(self, clock: Clock, wake: Callable[[], None], heartbeat_s: float = 1.0) -> None:
        self._clock = clock
        self._wake = wake
        self._due_s: float | None = None
        self._heartbeat_s = heartbeat_s
        self._closing = threading.Event()
        # A wake-up runs in the scheduler's own thread, since it only passes word on: a pool can be too busy for it.
        self._scheduler = _WatchedScheduler(
            timezone=UTC,
            executors={"default": DebugExecutor()},
            job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1},
        )
        self._scheduler.start()
        self._heartbeat = threading.Thread(target=self._beat, name="alarm heartbeat", daemon=True)
        self._heartbeat.start()

    def set(self, elapsed_s: float | None) -> None:
        """Wake at this time of the day, at once when it has passed; None: nothing is due."""
        if self._closing.is_set():
            return
        self._due_s = elapsed_s
        if elapsed_s is None:
            self._scheduler.remove_all_jobs()
            return
        now = self._clock.now()
        at = now.wall.astimezone(UTC) + timedelta(seconds=elapsed_s - now.elapsed_s)
        self._scheduler.add_job(self._wake, "date", run_date=at, id=_JOB, replace_existing=True)

    def alive(self) -> bool:
        """Whether both the scheduler and the heartbeat still run."""
        return not self._closing.is_set() and self._scheduler.thread_lives() and self._heartbeat.is_alive()

    def close(self) -> None:
        """Stop; safe to call twice."""
        if self._closing.is_set():
            return
        self._closing.set()
        self._scheduler.shutdown(wait=False)

    def _beat(self) -> None:
        while not self._closing.wait(self._heartbeat_s):
            due_s = self._due_s
            if due_s is not None and self._clock.now().elapsed_s >= due_s:
                self._wake()


class HandAlarm:
    """Keeps the time that was set, for whoever moves the clock by hand.

    due_s: the time of the day that was set last; None: nothing is due. closed: whether it was closed.
    """

    def __init__(self) -> None:
        self.due_s: float | None = None
        self.closed = False

    def set(self, elapsed_s: float | None) -> None:
        """Keep this time in place of the last."""
        self.due_s = elapsed_s

    def close(self) -> None:
        """Nothing is due any more; safe to call twice."""
        self.due_s = None
        self.closed = True
