"""A real day on real sound: spoken to over a burner, it answers, is deaf to itself, outlives its devices."""

from __future__ import annotations

import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from kettle_room import MOUTH, PLAN, ROOT, Loudspeaker, Program, Room, program, until
from pulse_server import PulseServer, pulse_server  # noqa: F401 - a fixture

from assistant.day import facts as f
from assistant.ear.choose import open_ear
from assistant.ear.hearing import hear_recording
from assistant.phrasing.asking import METRIC, neutral_listening
from assistant.settings import Settings
from assistant.sound.file_microphone import FileMicrophone
from assistant.sound.wav_file import write_wav

pytestmark = pytest.mark.pulse

RECORDING = ROOT / "tests" / "ear" / "recordings" / "what_is_next.wav"


@pytest.fixture(scope="module")
def room(
    pulse_server: PulseServer,  # noqa: F811
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Room]:
    """A room with a burner."""
    one = Room(pulse_server, tmp_path_factory.mktemp("room"))
    yield one
    one.close()


@pytest.fixture
def loudspeaker(room: Room, tmp_path: Path) -> Iterator[Loudspeaker]:
    """What comes out of the loudspeaker during a test."""
    one = Loudspeaker(room.server, tmp_path / "loudspeaker.raw")
    yield one
    one.close()


def begun(one: Program, loudspeaker: Loudspeaker) -> None:
    """Wait until the program listens; its greeting is cut short."""
    one.until_shown('Say "start the day".')
    until(lambda: loudspeaker.first_sound_s(0.0) is not None, "the greeting is heard", show=lambda: one.screen)
    one.type_line("quiet")
    loudspeaker.until_quiet()


def test_a_spoken_day_is_heard_answered_killed_and_resumed(
    room: Room, loudspeaker: Loudspeaker, tmp_path: Path
) -> None:
    """An order and a reading spoken over a burner come into the book and are answered; kill -9 loses nothing."""
    with program(room.server, tmp_path, "brew", str(PLAN)) as one:
        begun(one, loudspeaker)
        # The remark about the ear is less urgent: said first, it would be cut off by the greeting.
        assert one.screen.index("Hollow Lane, ") < one.screen.index("Ear: ")
        room.say("start the day")
        until(lambda: bool(one.of(f.StageReached)), "the day is started", show=lambda: one.screen)
        one.until_shown("Strike water")
        loudspeaker.until_quiet()
        asked_s = loudspeaker.seconds
        room.say("seventy-three degrees")
        until(lambda: bool(one.of(f.TemperatureRead)), "the reading is in the book", show=lambda: one.screen)
        until(lambda: loudspeaker.first_sound_s(asked_s) is not None, "the answer is heard")
        loudspeaker.until_quiet()
        answer = tmp_path / "answer.wav"
        write_wav(answer, loudspeaker.chunk_since(asked_s))

        assert [f.Stage.STRIKE] == [fact.stage for fact in one.of(f.StageReached)]
        assert [73.0] == [fact.temperature_c for fact in one.of(f.TemperatureRead)]
        assert ["start the day", "seventy three degrees"] == [
            fact.words for fact in one.of(f.UtteranceHeard) if fact.engine != "keyboard"
        ]
        words = " ".join(
            item.utterance.best.text
            for item in hear_recording(
                FileMicrophone(answer), open_ear(Settings(tmp_path)), neutral_listening(METRIC)
            )
        )
        assert "seventy three" in words, words
        assert -signal.SIGKILL == one.end(signal.SIGKILL)
        assert "" == one.errors

    with program(room.server, tmp_path, "resume") as again:
        again.until_shown("I was off for")
        until(lambda: loudspeaker.first_sound_s(loudspeaker.seconds - 1.0) is not None, "it speaks")
        again.type_line("quiet")
        loudspeaker.until_quiet()
        room.say("seventy-four degrees")
        until(lambda: len(again.of(f.TemperatureRead)) == 2, "the next reading", show=lambda: again.screen)

        assert [73.0, 74.0] == [fact.temperature_c for fact in again.of(f.TemperatureRead)]
        assert 0 == again.end()
        again.until_shown("Stopped. Go on with: kettleside resume")
        assert "" == again.errors


def test_it_does_not_act_on_its_own_voice(room: Room, loudspeaker: Loudspeaker, tmp_path: Path) -> None:
    """With the loudspeaker led into the microphone, nothing it says is heard, and the brewer is heard after it."""
    module = room.lead_the_loudspeaker_into_the_air()
    air = Loudspeaker(room.server, tmp_path / "air.raw", MOUTH)
    try:
        with program(room.server, tmp_path, "brew", str(PLAN)) as one:
            one.until_shown('Say "start the day".')
            for line in ("quiet", "start the day", "quiet", "seventy-four degrees", "sixty-eight degrees"):
                one.type_line(line)
                one.until_shown(f"brewer     {line}")
                loudspeaker.until_quiet(2.0)
            own = [fact.words for fact in one.of(f.UtteranceHeard) if fact.engine != "keyboard"]
            loudest = np.abs(air.since(0.0)).max()
            room.say("seventy-three degrees")
            until(lambda: len(one.of(f.TemperatureRead)) == 3, "the ear is open again", show=lambda: one.screen)

            assert [] == own
            assert loudest > 0.1, "its voice was not in the air, so this proves nothing"
            assert 0 == one.end()
    finally:
        air.close()
        room.server.control("unload-module", module)


def test_a_pulled_microphone_is_told_and_heard_again_when_it_is_back(
    room: Room, loudspeaker: Loudspeaker, tmp_path: Path
) -> None:
    """The loss is one spoken sentence, the return another, and then the brewer is heard without a restart."""
    with program(room.server, tmp_path, "brew", str(PLAN)) as one:
        begun(one, loudspeaker)
        quiet_s = loudspeaker.seconds
        room.pull_out()
        one.until_shown("The microphone went quiet.")
        until(lambda: loudspeaker.first_sound_s(quiet_s) is not None, "the loss is heard")
        room.plug_in()
        one.until_shown("I hear again.", 40.0)
        loudspeaker.until_quiet(longest_s=30.0)
        room.say("start the day")
        until(lambda: bool(one.of(f.StageReached)), "it hears", show=lambda: one.screen)

        assert [("microphone", False), ("microphone", True)] == [
            (fact.device, fact.working) for fact in one.of(f.DeviceReported)
        ]
        assert 0 == one.end()
        assert "" == one.errors


@pytest.mark.parametrize("flags", [(), ("--no-voice",)], ids=["aloud", "printed"])
def test_a_recording_stands_in_for_a_microphone(room: Room, tmp_path: Path, flags: tuple[str, ...]) -> None:
    """A recorded question is heard at its true speed; the day stays open and the exit code is 0."""
    with program(room.server, tmp_path, "brew", str(PLAN), "--microphone", str(RECORDING), *flags) as one:
        one.until_shown("brewer     what is next")
        one.type_line("quiet")
        try:
            assert 0 == one.process.wait(30)
        except subprocess.TimeoutExpired:
            pytest.fail(f"it does not end: {one.screen}")
        one.until_shown("Stopped. Go on with: kettleside resume")

        assert "The recording is over. The day stays open." in one.screen
        assert "" == one.errors
        assert ["what is next"] == [fact.words for fact in one.of(f.UtteranceHeard) if fact.engine != "keyboard"]
