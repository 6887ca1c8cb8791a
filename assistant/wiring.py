"""The one file that knows every room: it builds the parts of a day and hands them to each other."""

from __future__ import annotations

import contextlib
import io
import logging
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, TextIO

from assistant.board.terminal_board import PlainBoard, TranscriptBoard
from assistant.clock.alarm import HandAlarm, SchedulerAlarm
from assistant.clock.hand_clock import HandClock
from assistant.clock.system_clock import SystemClock, local_wall, machine_time
from assistant.day.facts import DayBegun, RigKnown
from assistant.day.plan import Plan
from assistant.day.plan_file import read_plan
from assistant.day.rig import known
from assistant.ear.choose import open_ear
from assistant.ear.mute_gate import MuteGate
from assistant.ear.vosk_ear import VoskEar
from assistant.journal.days import journal_file, new_day_folder
from assistant.journal.memory_journal import MemoryJournal
from assistant.journal.rig_days import rig_days
from assistant.journal.sqlite_journal import SqliteJournal
from assistant.live import DeviceNews, LiveDay
from assistant.loop import DayLoop
from assistant.messages import AudioChunk, Moment
from assistant.ports import Board, BrewerMistake, DeviceFailure, Journal, Microphone, Shown, Voice
from assistant.rehearsal.brewer import MISSED_CALLS, Brewer
from assistant.rehearsal.rehearse import Rehearsal, SpeakingMouth, TypingMouth
from assistant.rehearsal.silent_voice import SilentVoice
from assistant.rehearsal.soundscape import RATE_HZ, StereoRecording
from assistant.rehearsal.world import World
from assistant.settings import Settings
from assistant.sound.file_microphone import FileMicrophone
from assistant.sound.microphone import SoundcardMicrophone
from assistant.sound.paced_microphone import PacedMicrophone
from assistant.sound.wav_file import write_wav
from assistant.understanding.grammar import every_word
from assistant.understanding.tokens import bare_words
from assistant.voice.loudspeaker import Loudspeaker
from assistant.voice.mixing import resampled
from assistant.voice.printed_voice import PrintedVoice
from assistant.voice.recorded_voice import RecordedVoice
from assistant.voice.renderer import Renderer
from assistant.voice.spoken_voice import SpokenVoice

# The made-up brewer speaks slower than the assistant, and as somebody else.
_BREWER_VOICE: Final = "en-gb-x-rp"
_BREWER_WORDS_PER_MINUTE: Final = 135
_REHEARSAL_START: Final = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
_REHEARSAL_SEED: Final = 20260307


def home() -> Path:
    """Where days, rehearsals and rendered speech are kept: KETTLESIDE_HOME, else ~/kettleside."""
    chosen = os.environ.get("KETTLESIDE_HOME")
    return Path(chosen) if chosen else Path.home() / "kettleside"


def load_plan(path: Path) -> Plan:
    """Read and check a plan.

    Raises:
        BrewerMistake: if there is no such file.
        PlanMistakes: with every mistake in it.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise BrewerMistake(f"{path} is no text in UTF-8; save the plan as plain text.") from error
    except OSError as error:
        reason = (error.strerror or "it cannot be read").lower()
        right = f"give the path of a plan, such as {example_plan()}"
        raise BrewerMistake(f"{path} cannot be read ({reason}); {right}.") from error
    return read_plan(text, str(path))


def plans_folder() -> Path:
    """The example plans, of an installed copy or of the project's own folder."""
    inside = Path(__file__).parent / "_bundled" / "plans"
    return inside if inside.is_dir() else Path(__file__).parents[1] / "plans"


def example_plan() -> Path:
    """The plan that is rehearsed when none is named."""
    return plans_folder() / "hollow-lane.toml"


@contextlib.contextmanager
def own_log(folder: Path) -> Iterator[None]:
    """Keep what goes wrong inside in a file of the day, made when it is needed; the screen is not for it."""
    handler = logging.FileHandler(folder / "trouble.txt", encoding="utf-8", delay=True)
    handler.setLevel(logging.WARNING)
    handler.setFormatter(logging.Formatter("%(asctime)s %(name)s: %(message)s"))
    root, raises = logging.getLogger(), logging.raiseExceptions
    root.addHandler(handler)
    logging.raiseExceptions = False  # a full disk must not write a complaint about itself across the screen
    try:
        yield
    finally:
        logging.raiseExceptions = raises
        root.removeHandler(handler)
        handler.close()


# --- a live day


@dataclass(frozen=True, slots=True)
class Parts:
    """What a verb needs to run a live day, and to say at its start."""

    loop: DayLoop
    live: LiveDay
    folder: Path
    voice: Voice
    ear: MuteGate | None
    remarks: tuple[tuple[str, str], ...]
    """What to say at the start: as it is shown, and shorter for the voice (empty: the same)."""


class _WithoutAssistant:
    """A board that leaves the assistant's sentences to a voice that prints them itself."""

    def __init__(self, board: Board) -> None:
        self._board = board

    def show(self, line: Shown) -> None:
        """Show all but the assistant's sentences."""
        if line.who != "assistant":
            self._board.show(line)


def _voice(settings: Settings, live: LiveDay, stream: TextIO) -> tuple[Voice, str]:
    """The voice of a live day and, when it is only printed, the sentence that says why."""
    printed = PrintedVoice(stream, local_wall)
    if settings.printed_voice:
        return printed, ""
    loudspeaker = Loudspeaker(settings.loudspeaker)
    try:
        loudspeaker.check()
    except DeviceFailure as failure:
        return printed, f"{failure} The sentences are printed until the program is started again."
    renderer = Renderer(home() / "speech", voice=None, words_per_minute=settings.speech_words_per_minute)
    voice = SpokenVoice(
        renderer,
        loudspeaker,
        PrintedVoice(io.StringIO(), local_wall),
        on_trouble=lambda failure: live.tell(DeviceNews("voice", False, str(failure))),
    )
    return voice, ""


def rig_known(plan: Plan, base: Path, left_out: Sequence[str] = ()) -> RigKnown | None:
    """What the days in `base` say of the plan's rig, those of these names left out.

    Raises:
        BrewerMistake: if a day to leave out is none of this rig's.
    """
    days = rig_days(base, plan.rig.name)
    unknown = sorted(set(left_out) - {name for name, _ in days})
    if unknown:
        names = ", ".join(name for name, _ in days) or "none yet"
        raise BrewerMistake(f"{unknown[0]} is no day that {plan.rig.name} was learnt from; these are: {names}.")
    return known(plan, days, left_out)


def new_day(plan: Plan, plan_file: str, settings: Settings, *, hears: bool) -> Parts:
    """Make the folder, the journal and everything else of a day that begins now.

    Raises:
        JournalRefusal, DeviceFailure: with a sentence for the brewer.
    """
    folder = new_day_folder(settings.folder, plan.beer.name, local_wall())
    journal = SqliteJournal.create(journal_file(folder), machine_time)
    return _day(plan, folder, journal, SystemClock(), settings, hears=hears)


def resumed_day(folder: Path, settings: Settings, *, hears: bool) -> tuple[Parts, float, bool]:
    """Open a day that was cut off; also how long it was away [s] and whether the clock can be trusted.

    Raises:
        JournalRefusal, DeviceFailure, BrewerMistake: with a sentence for the brewer.
    """
    journal = SqliteJournal.open(journal_file(folder), machine_time)
    begun = next((item.fact for item in journal.read() if isinstance(item.fact, DayBegun)), None)
    last = journal.last_written()
    if begun is None or last is None:
        journal.close()
        raise BrewerMistake(f"{folder} holds no day that was begun; start one with: kettleside brew PLAN")
    clock = SystemClock(last[0], last[1])
    plan = read_plan(begun.plan_text, begun.plan_file or str(folder))
    return _day(plan, folder, journal, clock, settings, hears=hears), clock.away_s, clock.trusted


def _day(
    plan: Plan, folder: Path, journal: Journal, clock: SystemClock, settings: Settings, *, hears: bool
) -> Parts:
    live = LiveDay()
    voice, remark = _voice(settings, live, sys.stdout)
    ear = open_ear(settings) if hears else None
    gate = None if ear is None else MuteGate(ear, live.voice_spoke, settings.mute_tail_s)
    board: Board = PlainBoard(sys.stdout)
    loop = DayLoop(
        plan,
        journal=journal,
        clock=clock,
        alarm=SchedulerAlarm(clock, live.wake),
        voice=voice,
        board=_WithoutAssistant(board) if isinstance(voice, PrintedVoice) else board,
        listen=live.listen_for,
        keep_note=_note_keeper(folder, live.tell),
    )
    voice.on_spoken(live.tell)
    shown = [*(ear_remarks(ear, plan) if ear is not None else ()), remark, *plan.remarks]
    shorter = {} if ear is None else {ear.card: f"Ear: {ear.name}. Its figures are on the screen."}
    remarks = tuple((text, shorter.get(text, "")) for text in shown if text)
    return Parts(loop, live, folder, voice, gate, remarks)


def ear_remarks(ear: VoskEar, plan: Plan | None = None) -> tuple[str, ...]:
    """Which ear listens, how well it measured, and the words it cannot hear, the plan's own names among them."""
    names = [word for item in plan.sanitation for word in bare_words(item.name)] if plan is not None else []
    missing = ear.missing_words((*every_word(), *names))
    deaf = (f"It cannot hear: {', '.join(missing)}.",) if missing else ()
    return (ear.card, *deaf)


def _note_keeper(folder: Path, tell: Callable[[DeviceNews], None]) -> Callable[[AudioChunk, Moment], str]:
    """Keeps the sound of a note; where that fails the words are kept all the same, and the brewer is told."""

    def keep(sound: AudioChunk, moment: Moment) -> str:
        name = f"note-{moment.wall:%H%M%S}.wav"
        try:
            write_wav(folder / name, sound)
        except OSError as refusal:
            reason = (refusal.strerror or str(refusal)).lower()
            tell(DeviceNews("disk", False, f"Only the words of the note are kept, not its sound: {reason}."))
            return ""
        return name

    return keep


def microphone(settings: Settings) -> Microphone:
    """The sound card's microphone, not opened yet."""
    return SoundcardMicrophone(settings.microphone, chunk_s=settings.chunk_s)


def recorded_microphone(path: Path, settings: Settings) -> Microphone:
    """A recording in the place of a microphone, at its true speed."""
    return PacedMicrophone(FileMicrophone(path, settings.chunk_s, tail_s=1.5))


# --- rehearsals


@dataclass(frozen=True, slots=True)
class RehearsalParts:
    """A rehearsal ready to run."""

    rehearsal: Rehearsal
    board: TranscriptBoard
    ear_name: str
    close: Callable[[], None]


def typed_rehearsal(plan: Plan, journal: Journal | None = None, missed_calls: int = MISSED_CALLS) -> RehearsalParts:
    """A rehearsal without any sound; the brewer misses so many calls of one addition."""
    clock, alarm, board = HandClock(_REHEARSAL_START), HandAlarm(), TranscriptBoard()
    voice = SilentVoice(Settings(Path()).speech_words_per_minute)
    loop = DayLoop(plan, journal=journal or MemoryJournal(), clock=clock, alarm=alarm, voice=voice, board=board)
    voice.on_spoken(loop.spoken)
    brewer = Brewer(plan, World(plan), missed_calls)
    rehearsal = Rehearsal(loop, brewer, TypingMouth(), voice, clock, alarm)
    return RehearsalParts(rehearsal, board, "keyboard", loop.close)


def spoken_rehearsal(plan: Plan, folder: Path, settings: Settings) -> RehearsalParts:
    """A rehearsal with two rendered voices, burner noise and the real ear; journal and recording go to `folder`.

    Raises:
        DeviceFailure: if there is no ear or nothing can be rendered.
    """
    clock, alarm, board = HandClock(_REHEARSAL_START), HandAlarm(), TranscriptBoard()
    ear = open_ear(settings)
    cache = home() / "speech"
    assistant = Renderer(cache, voice=None, words_per_minute=settings.speech_words_per_minute)
    brewer = Renderer(cache, voice=_BREWER_VOICE, words_per_minute=_BREWER_WORDS_PER_MINUTE)
    voice = RecordedVoice(assistant)
    recording = StereoRecording(folder / "both-voices.wav")
    loop = DayLoop(
        plan,
        journal=SqliteJournal.create(journal_file(folder), clock.machine_time),
        clock=clock,
        alarm=alarm,
        voice=voice,
        board=board,
        listen=ear.listen_for,
        keep_note=_note_keeper(folder, lambda _: None),
    )
    voice.on_spoken(loop.spoken)
    mouth = SpeakingMouth(
        speak=lambda text: resampled(brewer.render(text), RATE_HZ),
        feed=ear.feed,
        flush=ear.flush,
        seed=_REHEARSAL_SEED,
    )
    rehearsal = Rehearsal(
        loop,
        Brewer(plan, World(plan)),
        mouth,
        voice,
        clock,
        alarm,
        recording,
        resampled=lambda sound: resampled(sound, RATE_HZ),
    )

    def close() -> None:
        recording.close()
        loop.close()
        brewer.close()

    return RehearsalParts(rehearsal, board, ear.name, close)
