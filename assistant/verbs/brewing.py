"""The verbs of a real day: `brew` and `resume`."""

from __future__ import annotations

import argparse
import contextlib
import io
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType

from assistant import wiring
from assistant.ports import Microphone
from assistant.settings import Settings
from assistant.sound.wav_file import read_wav
from assistant.verbs.common import Say, settings_from, unfinished_day

# A sentence takes under ten seconds; a voice that claims to speak for longer is not waited for.
_LONGEST_LAST_WORDS_S = 20.0


def brew(arguments: argparse.Namespace, say: Say) -> int:
    """Brew a day."""
    plan = wiring.load_plan(arguments.plan)
    settings = settings_from(arguments)
    _check_recording(arguments.microphone)
    known = wiring.rig_known(plan, settings.folder, arguments.without)
    parts = wiring.new_day(plan, str(arguments.plan), settings, hears=not arguments.typed)
    return _run(parts, arguments, settings, say, lambda: parts.loop.open(str(arguments.plan), known))


def resume(arguments: argparse.Namespace, say: Say) -> int:
    """Go on with the day that was cut off."""
    settings = settings_from(arguments)
    _check_recording(arguments.microphone)
    folder = arguments.day or unfinished_day(settings)
    parts, away_s, trusted = wiring.resumed_day(folder, settings, hears=not arguments.typed)
    return _run(parts, arguments, settings, say, lambda: parts.loop.resume(away_s, trusted))


def _check_recording(path: Path | None) -> None:
    """Find out that a recording cannot be read before a day is begun with it."""
    if path is not None:
        read_wav(path)


def _run(
    parts: wiring.Parts, arguments: argparse.Namespace, settings: Settings, say: Say, begin: Callable[[], None]
) -> int:
    def tell(text: str) -> None:
        # A screen that has gone away is no reason to stop the day, nor to end it with a complaint.
        with contextlib.suppress(OSError, ValueError):
            say(text)

    tell(f"Kept in {parts.folder}. You can type here as well. Ctrl-C stops; kettleside resume goes on.")
    finished = False
    with wiring.own_log(parts.folder), _signals_to(parts.live.stop):
        try:
            begin()
            # After the greeting, which is more urgent and would cut the remarks off in their first word.
            for shown, spoken in parts.remarks:
                parts.loop.announce(shown, spoken)
            if parts.ear is not None:
                open_microphone = _microphone(arguments.microphone, settings)
                if arguments.microphone is None:
                    parts.live.listen(open_microphone, parts.ear, retry=True, speaking=parts.voice.speaking)
                else:  # a recording does not hear the loudspeaker, so none of it is kept from the ear
                    parts.live.listen(open_microphone, parts.ear, retry=False)
            parts.live.read_keyboard(_typed_lines(), stop_at_end=arguments.typed)
            finished = parts.live.run(parts.loop)
            _let_it_finish(parts)
        except KeyboardInterrupt:
            pass
        finally:
            parts.loop.close()
            parts.live.close()
    if parts.live.cut.is_set() and sys.stdout.isatty():
        tell("")  # the terminal shows ^C where it was typed
    tell("The day is over; its book is kept." if finished else "Stopped. Go on with: kettleside resume")
    return 0


@contextlib.contextmanager
def _signals_to(stop: Callable[[], None]) -> Iterator[None]:
    """Ctrl-C, a plain kill and a closed terminal call `stop`, so that no turn is broken off; a second one does.

    A signal that the program was started to ignore stays ignored.
    """
    asked = False

    def end(_number: int, _frame: FrameType | None) -> None:
        nonlocal asked
        if asked:
            raise KeyboardInterrupt
        asked = True
        stop()

    if threading.current_thread() is not threading.main_thread():
        yield
        return
    numbers = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {number: signal.getsignal(number) for number in numbers}
    heeded = [number for number, handler in before.items() if handler not in (signal.SIG_IGN, None)]
    for number in heeded:
        signal.signal(number, end)
    try:
        yield
    finally:
        for number in heeded:
            signal.signal(number, before[number])


def _microphone(recording: Path | None, settings: Settings) -> Callable[[], Microphone]:
    if recording is None:
        return lambda: wiring.microphone(settings)
    return lambda: wiring.recorded_microphone(recording, settings)


def _typed_lines() -> Iterator[str]:
    """The lines from the keyboard; none where the program was started without one."""
    if sys.stdin is None:
        return iter(())
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")  # a stray byte must not end the typing
    return iter(sys.stdin)


def _let_it_finish(parts: wiring.Parts) -> None:
    """Let the voice say what is queued, unless the brewer wants to stop at once, and keep what it said."""
    until = time.monotonic() + _LONGEST_LAST_WORDS_S
    while parts.voice.speaking() and time.monotonic() < until and not parts.live.cut.wait(0.05):
        pass
    parts.live.settle(parts.loop)
