"""The verbs of a real day: `brew` and `resume`."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from pathlib import Path

from assistant import wiring
from assistant.ports import Microphone, Voice
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
    parts = wiring.new_day(plan, str(arguments.plan), settings, hears=not arguments.typed)
    return _run(parts, arguments, settings, say, lambda: parts.loop.open(str(arguments.plan)))


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
    say(f"Kept in {parts.folder}. You can type here as well. Ctrl-C stops; kettleside resume goes on.")
    finished = False
    try:
        for remark in (*parts.remarks, *parts.loop.plan.remarks):
            parts.loop.announce(remark)
        begin()
        if parts.ear is not None:
            parts.live.listen(
                _microphone(arguments.microphone, settings), parts.ear, retry=arguments.microphone is None
            )
        parts.live.read_keyboard(iter(sys.stdin), stop_at_end=arguments.typed)
        finished = parts.live.run(parts.loop)
        _let_it_finish(parts.voice)
    except KeyboardInterrupt:
        pass
    finally:
        parts.loop.close()
    say("The day is over; its book is kept." if finished else "Stopped. Go on with: kettleside resume")
    return 0


def _microphone(recording: Path | None, settings: Settings) -> Callable[[], Microphone]:
    if recording is None:
        return lambda: wiring.microphone(settings)
    return lambda: wiring.recorded_microphone(recording, settings)


def _let_it_finish(voice: Voice) -> None:
    until = time.monotonic() + _LONGEST_LAST_WORDS_S
    while voice.speaking() and time.monotonic() < until:
        time.sleep(0.05)
