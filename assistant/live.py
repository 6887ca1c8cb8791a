"""The live day: device threads put their news into one queue, and one thread turns the loop.

Nothing but the thread in `LiveDay.run` touches the loop. A device that fails is reported, said by what still works,
and tried again with a growing wait; calls go on meanwhile. Nothing that goes wrong ends a thread without a word.
"""

from __future__ import annotations

import logging
import queue
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from assistant.loop import DayLoop
from assistant.messages import AudioChunk, Say, Utterance
from assistant.ports import DeviceFailure, Ear, Microphone
from assistant.sound.level import is_flat
from assistant.understanding.said import Listening

_log = logging.getLogger(__name__)

_FIRST_RETRY_S: Final = 2.0
_LONGEST_RETRY_S: Final = 30.0
# Sound that waits for a busy ear; what is beyond waits in the microphone's own queue.
_LONGEST_BACKLOG: Final = 150
# How long a thread waits before it looks whether the day has ended; also how soon Ctrl-C is seen on Windows.
_LOOK_S: Final = 0.5
# Without news for this long the loop is asked all the same: no lost wake-up and no failed write waits longer.
_QUIET_S: Final = 5.0
_REPEAT_FAILURE_S: Final = 60.0
# Longest time that is spent waiting for the threads of the devices at the end.
_PATIENCE_S: Final = 5.0


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


@dataclass(frozen=True, slots=True)
class _Heard:
    """A piece of sound, and whether the voice spoke when it came from the microphone."""

    chunk: AudioChunk
    voice_spoke: bool


class _Broken:
    """The sound broke off: what was begun is half a sentence."""


class _Ended:
    """The recording is over."""


class LiveDay:
    """Runs a `DayLoop` with real devices until it is finished or stopped.

    wait: waits for the event or so many seconds, true when the event came; how long a failed device is left alone.
    quiet_s: without news for so long the loop is asked for what is due, > 0.
    """

    def __init__(
        self, *, wait: Callable[[threading.Event, float], bool] = threading.Event.wait, quiet_s: float = _QUIET_S
    ) -> None:
        # A simple queue, since its `put` may interrupt its `get`: a signal handler puts as well.
        self._news: queue.SimpleQueue[News] = queue.SimpleQueue()
        self._sound: queue.Queue[_Heard | _Broken | _Ended] = queue.Queue(_LONGEST_BACKLOG)
        self._wait = wait
        self._quiet_s = quiet_s
        self._wake_waits = threading.Event()
        self._stopping = threading.Event()
        self._wanted: Listening | None = None
        self._voice_spoke = False
        self._failures: dict[str, float] = {}
        self._threads: list[threading.Thread] = []
        self.cut = threading.Event()
        """Set when the day is to stop at once, in the middle of a sentence."""

    # --- from any thread

    def tell(self, news: News) -> None:
        """Hand over news; safe from any thread."""
        self._news.put(news)

    def wake(self) -> None:
        """Something may be due; safe from any thread. Wakes do not pile up while the loop is busy."""
        if not self._wake_waits.is_set():
            self._wake_waits.set()
            self._news.put(Wake())

    def stop(self) -> None:
        """Stop at once; safe from any thread and from a signal handler."""
        self.cut.set()
        self._news.put(Stop())

    def listen_for(self, listening: Listening) -> None:
        """Have the ear listen for this; its own thread makes the change, before the next piece of sound."""
        self._wanted = listening

    def voice_spoke(self) -> bool:
        """Whether the voice spoke when the sound that the ear is being given came from the microphone."""
        return self._voice_spoke

    # --- the loop's thread

    def run(self, loop: DayLoop) -> bool:
        """Turn the loop until the day is finished (True) or stopped (False)."""
        try:
            while not loop.finished:
                news = self._next_news()
                if isinstance(news, Stop):
                    return False
                self._take(loop, news)
            return True
        finally:
            self._stopping.set()

    def settle(self, loop: DayLoop) -> None:
        """Take what was still said and what failed before the end; nothing new is heard any more."""
        while True:
            try:
                news = self._news.get_nowait()
            except queue.Empty:
                return
            if isinstance(news, Say | DeviceNews):
                self._take(loop, news)

    def _next_news(self) -> News:
        until = time.monotonic() + self._quiet_s
        while (left_s := until - time.monotonic()) > 0:
            try:
                return self._news.get(timeout=min(_LOOK_S, left_s))
            except queue.Empty:
                continue
        return Wake()

    def _take(self, loop: DayLoop, news: News) -> None:
        known = len(loop.facts)
        try:
            match news:
                case Wake():
                    self._wake_waits.clear()
                    loop.wake()
                case Utterance():
                    loop.hear(news)
                case Say():
                    loop.spoken(news)
                case DeviceNews(device, working, sentence):
                    loop.report_device(device, working, sentence)
        except Exception as error:  # noqa: BLE001 - whatever it was, the day goes on
            _log.exception("a turn of the loop failed")
            self._tell_failed(loop, news, kept=len(loop.facts) > known, reason=f"{type(error).__name__}: {error}")

    def _tell_failed(self, loop: DayLoop, news: News, kept: bool, reason: str) -> None:
        """One sentence about a mistake of our own; the day goes on, with all that is in its book."""
        now_s = time.monotonic()
        if not isinstance(news, Utterance):
            if now_s - self._failures.get(reason, -_REPEAT_FAILURE_S) < _REPEAT_FAILURE_S:
                return
            self._failures[reason] = now_s
            what = "Something is due that I cannot say: look at your plan. I keep trying."
        elif kept:
            what = "It is kept, but I cannot answer."
        else:
            what = "It is not kept: say it in other words."
        try:
            loop.report_device("program", False, f"I made a mistake ({reason}). {what}")
        except Exception:  # noqa: BLE001 - then its file alone tells it
            _log.exception("the failure could not be told")

    # --- hearing

    def listen(
        self,
        open_microphone: Callable[[], Microphone],
        ear: Ear,
        *,
        retry: bool,
        speaking: Callable[[], bool] = lambda: False,
    ) -> None:
        """Start the threads that bring sound to `ear`; with `retry` a lost microphone is opened again and again.

        speaking: whether the voice speaks. It is asked when sound comes in and not when the ear gets to it, so
        that an ear that is behind does not hear the voice.
        """
        for name, work in (
            ("microphone", lambda: self._bring_sound(open_microphone, retry, speaking)),
            ("ear", lambda: self._hear_sound(ear)),
        ):
            thread = threading.Thread(target=work, name=name, daemon=True)
            self._threads.append(thread)
            thread.start()

    def close(self, patience_s: float = _PATIENCE_S) -> None:
        """Wait until nothing is inside a sound or speech library any more; safe to call twice.

        The interpreter unloads those libraries when it ends, and one that is still being opened takes the whole
        program down with it.
        """
        self._stopping.set()
        until_s = time.monotonic() + patience_s
        for thread in self._threads:
            thread.join(max(0.0, until_s - time.monotonic()))

    def _bring_sound(
        self, open_microphone: Callable[[], Microphone], retry: bool, speaking: Callable[[], bool]
    ) -> None:
        advice = "I still speak; use the keyboard. I keep trying."
        trouble = _Trouble("microphone", "The microphone went quiet.", advice, self.tell)
        while not self._stopping.is_set():
            try:
                for chunk in self._chunks(open_microphone):
                    # A dead microphone often opens well and then delivers the same sample for ever.
                    if trouble.lasts and not is_flat(chunk):
                        trouble.is_over()
                    self._pass_on(_Heard(chunk, _safely(speaking)))
                if not retry:
                    self._pass_on(_Ended())
                    return
            except Exception as error:  # noqa: BLE001 - hearing must not end without a word
                trouble.happened(error)
                self._pass_on(_Broken())
            if self._wait(self._stopping, trouble.next_wait_s()):
                return

    def _chunks(self, open_microphone: Callable[[], Microphone]) -> Iterator[AudioChunk]:
        microphone = open_microphone()
        try:
            for chunk in microphone.chunks():
                if self._stopping.is_set():
                    return
                yield chunk
        finally:
            microphone.close()

    def _pass_on(self, sound: _Heard | _Broken | _Ended) -> None:
        while not self._stopping.is_set():
            try:
                self._sound.put(sound, timeout=_LOOK_S)
            except queue.Full:
                continue
            return

    def _hear_sound(self, ear: Ear) -> None:
        trouble = _Trouble("ear", "I did not hear that.", "Say it again, or type it.", self.tell)
        in_force: Listening | None = None
        while not self._stopping.is_set():
            try:
                sound = self._sound.get(timeout=_LOOK_S)
            except queue.Empty:
                continue
            try:
                wanted = self._wanted
                if wanted is not None and wanted is not in_force:
                    ear.listen_for(wanted)
                    in_force = wanted
                if in_force is not None and self._hear(ear, sound):
                    trouble.is_over()
            except Exception as error:  # noqa: BLE001 - hearing must not end without a word
                trouble.happened(error)
            if isinstance(sound, _Ended):
                self.tell(DeviceNews("microphone", False, "The recording is over. The day stays open."))
                self.tell(Stop())
                return

    def _hear(self, ear: Ear, sound: _Heard | _Broken | _Ended) -> bool:
        """Whether words were heard."""
        match sound:
            case _Heard(chunk, voice_spoke):
                self._voice_spoke = voice_spoke
                utterance = ear.feed(chunk)
            case _Ended():
                utterance = ear.flush()
            case _Broken():
                # Half a reading is worse than none.
                ear.flush()
                utterance = None
        if utterance is not None:
            self.tell(utterance)
        return utterance is not None

    # --- the keyboard

    def read_keyboard(self, lines: Iterator[str], *, stop_at_end: bool) -> threading.Thread:
        """Start the thread that takes typed lines; an empty line is ignored, `stop` alone ends the program."""

        def read() -> None:
            try:
                for line in lines:
                    text = line.strip()
                    if text.lower() in ("stop", "exit"):
                        self.stop()
                        return
                    if text:
                        self.tell(Utterance.from_keyboard(text))
            except (OSError, ValueError) as error:  # the terminal has gone, or was closed
                _log.info("keyboard: %s", error)
            if stop_at_end:
                self.tell(Stop())

        thread = threading.Thread(target=read, name="keyboard", daemon=True)
        thread.start()
        return thread


class _Trouble:
    """What is wrong with a device: told once when it begins and once when it is over; the waits between grow."""

    def __init__(self, device: str, headline: str, advice: str, tell: Callable[[DeviceNews], None]) -> None:
        self._device = device
        self._headline = headline
        self._advice = advice
        self._tell = tell
        self._wait_s = _FIRST_RETRY_S
        self.lasts = False

    def happened(self, error: Exception) -> None:
        _log.info("%s: %s", self._device, error, exc_info=not isinstance(error, DeviceFailure))
        if not self.lasts:
            unforeseen = f"The {self._device} failed ({type(error).__name__}: {error})."
            text = str(error) if isinstance(error, DeviceFailure) else unforeseen
            self._tell(DeviceNews(self._device, False, f"{self._headline} {text} {self._advice}"))
        self.lasts = True

    def is_over(self) -> None:
        if self.lasts:
            self._tell(DeviceNews(self._device, True, "I hear again."))
        self._wait_s, self.lasts = _FIRST_RETRY_S, False

    def next_wait_s(self) -> float:
        wait_s, self._wait_s = self._wait_s, min(2.0 * self._wait_s, _LONGEST_RETRY_S)
        return wait_s


def _safely(speaking: Callable[[], bool]) -> bool:
    try:
        return speaking()
    except Exception:  # noqa: BLE001 - whatever is wrong with the voice, the ear opens
        _log.exception("the voice does not say whether it speaks; the ear stays open")
        return False
