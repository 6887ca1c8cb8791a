"""The voice: a chime, then speech, most urgent first; where sound fails, the chime and the printed line."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

from assistant.messages import AudioChunk, Chime, Say
from assistant.ports import DeviceFailure
from assistant.voice.chimes import chime
from assistant.voice.printed_voice import PrintedVoice
from assistant.voice.recorded_voice import with_chime
from assistant.voice.say_queue import SayQueue

_CHIME_RATE_HZ = 22_050
_T = TypeVar("_T")
LONGEST_WAIT_S = 4.0
"""A sentence whose sound is not there by then is printed."""

_FIRST_PAUSE_S, _LONGEST_PAUSE_S = 5.0, 60.0
# A device that does not let go must not keep the program from ending.
_LONGEST_GOODBYE_S = 3.0


class Renders(Protocol):
    """What is asked of a renderer; see `renderer.Renderer`."""

    def render(self, text: str) -> AudioChunk:
        """The sound of `text`; raises DeviceFailure."""

    def cached(self, text: str) -> bool:
        """Whether `render` would answer at once."""

    def prepare(self, texts: Sequence[str]) -> None:
        """Render ahead of time."""

    def close(self) -> None:
        """Stop."""


class Plays(Protocol):
    """What is asked of a loudspeaker; see `loudspeaker.Loudspeaker`."""

    def play(self, chunk: AudioChunk, stop: threading.Event) -> bool:
        """Play to the end (true) or until `stop` (false); raises DeviceFailure."""

    def change_volume(self, step: int) -> None:
        """Louder or quieter."""


class SpokenVoice:
    """Speaks through a loudspeaker, in a thread of its own.

    printed: where a sentence goes that cannot be heard; it then counts as said.
    on_trouble: told once when sound begins to fail, and again only after it has worked in between; from the
        voice's thread.
    now_s: a monotonic clock in seconds, for the pauses between attempts.
    """

    def __init__(
        self,
        renderer: Renders,
        loudspeaker: Plays,
        printed: PrintedVoice,
        *,
        on_trouble: Callable[[DeviceFailure], None],
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._renderer = renderer
        self._loudspeaker = loudspeaker
        self._printed = printed
        self._on_trouble = on_trouble
        self._now_s = now_s
        self._rendering = _Patience(self._report, now_s)
        self._playing = _Patience(self._report, now_s)
        self._queue = SayQueue()
        self._changed = threading.Condition()
        self._stop = threading.Event()
        self._closed = False
        self._tell: Callable[[Say], None] | None = None
        self._thread = threading.Thread(target=self._speak_all, name="voice", daemon=True)
        self._thread.start()

    def prepare(self, texts: Sequence[str]) -> None:
        """Render `texts` ahead of time; returns at once."""
        self._renderer.prepare(texts)

    def say(self, sentence: Say) -> None:
        """Queue `sentence`; one that is more urgent than the one being spoken interrupts it."""
        self._change(lambda: self._queue.put(sentence))

    def supersede(self, sentence: Say) -> None:
        """Queue `sentence` in the place of all that was to be said for the same call."""
        self._change(lambda: self._queue.supersede(sentence))

    def drop(self, key: str) -> None:
        """Forget what was to be said for the call `key`; cut it off if it is being spoken."""
        self._change(lambda: self._queue.drop(key))

    def silence(self) -> None:
        """Stop at once and forget what is queued; a sentence about safety is neither cut off nor forgotten."""
        self._change(self._queue.silence)

    def speaking(self) -> bool:
        """Whether sound is coming out or waiting to."""
        with self._changed:
            return self._queue.busy and not self._closed

    def change_volume(self, step: int) -> None:
        """Louder (+1) or quieter (-1), from now on."""
        self._loudspeaker.change_volume(step)

    def on_spoken(self, tell: Callable[[Say], None]) -> None:
        """Call `tell` from the voice's thread with each sentence that was spoken, or printed, to its end."""
        self._tell = tell

    def close(self) -> None:
        """Stop at once, whatever is being said; safe to call twice."""
        with self._changed:
            self._closed = True
            self._stop.set()
            self._changed.notify_all()
        self._renderer.close()
        if threading.current_thread() is not self._thread:
            self._thread.join(_LONGEST_GOODBYE_S)

    def _change(self, act: Callable[[], None]) -> None:
        with self._changed:
            act()
            if self._queue.must_stop:
                self._stop.set()
            self._changed.notify_all()

    def _speak_all(self) -> None:
        while True:
            with self._changed:
                while not self._closed and (sentence := self._queue.take()) is None:
                    self._changed.wait()
                if self._closed:
                    return
                assert sentence is not None
                self._stop = stop = threading.Event()
            try:
                said = self._speak(sentence, stop)
            except Exception as error:  # noqa: BLE001 - a voice that dies without a word would be worse
                self._report(DeviceFailure(f"The voice failed ({type(error).__name__}: {error})."))
                said = True
            with self._changed:
                if said:
                    self._queue.finish()
                else:
                    self._queue.put_back()
            if said and self._tell is not None:
                self._tell(sentence)

    def _speak(self, sentence: Say, stop: threading.Event) -> bool:
        """Whether `sentence` was said to its end, by sound or in print."""
        speech = self._speech(sentence.text, stop)
        if stop.is_set():
            return False
        if speech is None:
            # Without words a chime still makes the brewer look at the screen.
            kind = Chime.DUE if sentence.chime is Chime.NONE else sentence.chime
            self._printed.say(sentence)
            self._playing.attempt(lambda: self._loudspeaker.play(chime(kind, _CHIME_RATE_HZ), stop))
            return True
        sound = with_chime(sentence, speech)
        ended = self._playing.attempt(lambda: self._loudspeaker.play(sound, stop))
        if ended is None and not stop.is_set():
            self._printed.say(sentence)
            return True
        return ended is True

    def _speech(self, text: str, stop: threading.Event) -> AudioChunk | None:
        """The sound of `text`; None when it cannot be had, or `stop` came first."""
        if self._renderer.cached(text):
            return self._rendering.attempt(lambda: self._renderer.render(text), at_once=True)

        # An engine that hangs must not hold up a call that is ready to be played: rendering goes on by itself.
        def render() -> AudioChunk | None:
            outcome: queue.SimpleQueue[AudioChunk | Exception] = queue.SimpleQueue()
            give_up_at_s = self._now_s() + LONGEST_WAIT_S
            threading.Thread(target=_give, args=(self._renderer, text, outcome), name="render", daemon=True).start()
            while not stop.is_set():
                try:
                    given = outcome.get(timeout=0.02)
                except queue.Empty:
                    if self._now_s() > give_up_at_s:
                        raise DeviceFailure("The speech engine is too slow; the words are printed.") from None
                    continue
                if isinstance(given, Exception):
                    raise given
                return given
            return None

        return self._rendering.attempt(render)

    def _report(self, failure: DeviceFailure) -> None:
        if not self._closed:
            self._on_trouble(failure)


def _give(renderer: Renders, text: str, outcome: queue.SimpleQueue[AudioChunk | Exception]) -> None:
    try:
        outcome.put(renderer.render(text))
    except Exception as failure:  # noqa: BLE001 - raised again where it is waited for
        outcome.put(failure)


class _Patience:
    """Tries a device; after a failure leaves it alone for a while, twice as long each time."""

    def __init__(self, report: Callable[[DeviceFailure], None], now_s: Callable[[], float]) -> None:
        self._report = report
        self._now_s = now_s
        self._pause_s = 0.0
        self._not_before_s = float("-inf")

    def attempt(self, act: Callable[[], _T | None], *, at_once: bool = False) -> _T | None:
        """The result of `act`; None when it failed, gave none, or is being left alone.

        at_once: `act` leans on nothing that may be failing, so it is tried in any case and proves nothing.
        """
        if not at_once and self._now_s() < self._not_before_s:
            return None
        try:
            result = act()
        except Exception as error:  # noqa: BLE001 - a voice that dies without a word would be worse
            first = self._pause_s == 0
            self._pause_s = min(_LONGEST_PAUSE_S, max(_FIRST_PAUSE_S, 2 * self._pause_s))
            self._not_before_s = self._now_s() + self._pause_s
            if first:
                unforeseen = DeviceFailure(f"The voice failed ({type(error).__name__}: {error}).")
                self._report(error if isinstance(error, DeviceFailure) else unforeseen)
            return None
        if result is not None and not at_once:
            self._pause_s, self._not_before_s = 0.0, float("-inf")
        return result
