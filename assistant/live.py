"""The live day: device threads put their news into one queue, and one thread turns the loop.

Nothing but the thread in `LiveDay.run` touches the loop. A device that fails is reported, said by what still works,
and tried again with a growing wait; calls go on meanwhile.
"""

from __future__ import annotations

import logging
import queue
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from assistant.loop import DayLoop
from assistant.messages import Say, Utterance
from assistant.ports import DeviceFailure, Ear, Microphone

_log = logging.getLogger(__name__)

_FIRST_RETRY_S: Final = 2.0
_LONGEST_RETRY_S: Final = 30.0


@dataclass(frozen=True, slots=True)
class DeviceNews:
    """A device failed or came back."""

    device: str
    working: bool
    sentence: str


class Stop:
    """Ends the live day; what was recorded stays and can be resumed."""


class Wake:
    """Something may be due."""


News = Utterance | Say | DeviceNews | Stop | Wake


class LiveDay:
    """Runs a `DayLoop` with real devices until it is finished or stopped."""

    def __init__(self) -> None:
        """Make the queue that device threads write to."""
        self._news: queue.Queue[News] = queue.Queue()
        self._stopping = threading.Event()

    def tell(self, news: News) -> None:
        """Hand over news; safe from any thread."""
        self._news.put(news)

    def wake(self) -> None:
        """Something may be due; safe from any thread."""
        self._news.put(Wake())

    def run(self, loop: DayLoop) -> bool:
        """Turn the loop until the day is finished (True) or stopped (False)."""
        try:
            while not loop.finished:
                match self._news.get():
                    case Stop():
                        return False
                    case Wake():
                        loop.wake()
                    case Utterance() as utterance:
                        loop.hear(utterance)
                    case Say() as sentence:
                        loop.spoken(sentence)
                    case DeviceNews(device, working, sentence):
                        loop.report_device(device, working, sentence)
            return True
        finally:
            self._stopping.set()

    def listen(self, open_microphone: Callable[[], Microphone], ear: Ear, *, retry: bool) -> threading.Thread:
        """Start the thread that feeds `ear`; with `retry` a lost microphone is opened again and again."""
        thread = threading.Thread(
            target=self._listen, args=(open_microphone, ear, retry), name="microphone", daemon=True
        )
        thread.start()
        return thread

    def _listen(self, open_microphone: Callable[[], Microphone], ear: Ear, retry: bool) -> None:
        wait_s, failed = _FIRST_RETRY_S, False
        while not self._stopping.is_set():
            try:
                for _ in self._feed(open_microphone(), ear):
                    if failed:
                        self.tell(DeviceNews("microphone", True, "I hear again."))
                        wait_s, failed = _FIRST_RETRY_S, False
                if not retry:
                    self.tell(DeviceNews("microphone", False, "The recording is over. The day stays open."))
                    self.tell(Stop())
                    return
            except DeviceFailure as failure:
                if not failed:
                    text = f"The microphone went quiet. {failure} I still speak; use the keyboard. I keep trying."
                    self.tell(DeviceNews("microphone", False, text))
                failed = True
                _log.info("microphone: %s", failure)
            if self._stopping.wait(wait_s):
                return
            wait_s = min(2.0 * wait_s, _LONGEST_RETRY_S)

    def _feed(self, microphone: Microphone, ear: Ear) -> Iterator[None]:
        """Feed the ear, yielding after each piece of sound."""
        try:
            for chunk in microphone.chunks():
                if self._stopping.is_set():
                    return
                utterance = ear.feed(chunk)
                if utterance is not None:
                    self.tell(utterance)
                yield
            last = ear.flush()
            if last is not None:
                self.tell(last)
        finally:
            microphone.close()

    def read_keyboard(self, lines: Iterator[str], *, stop_at_end: bool) -> threading.Thread:
        """Start the thread that takes typed lines; an empty line is ignored, `stop` alone ends the program."""

        def read() -> None:
            for line in lines:
                text = line.strip()
                if text.lower() in ("stop", "exit"):
                    break
                if text:
                    self.tell(Utterance.from_keyboard(text))
            else:
                if not stop_at_end:
                    return
            self.tell(Stop())

        thread = threading.Thread(target=read, name="keyboard", daemon=True)
        thread.start()
        return thread
