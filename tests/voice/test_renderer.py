"""Sentences are rendered by the real engine, and a worker that dies, hangs or lies is survived."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.ports import DeviceFailure
from assistant.voice.mixing import speech_level_dbfs
from assistant.voice.renderer import SPEECH_DBFS, Renderer, worker_command

CALL = "Now: bittering hops in, twenty-two grams. Watch the foam. Say done."

Makes = Callable[..., Renderer]


@pytest.fixture
def make(tmp_path: Path) -> Iterator[Makes]:
    """Makes renderers with one cache folder and closes them."""
    made: list[Renderer] = []

    def one(**wishes: object) -> Renderer:
        settings: dict[str, object] = {"voice": None, "words_per_minute": 165} | wishes
        made.append(Renderer(tmp_path / "cache", **settings))  # type: ignore[arg-type]
        return made[-1]

    yield one
    for renderer in made:
        renderer.close()


@pytest.fixture
def worker(tmp_path: Path) -> Callable[[str], tuple[str, ...]]:
    """Makes the command of a worker that reads a request as `request` and then does what the test says."""

    def command(act: str) -> tuple[str, ...]:
        script = tmp_path / "worker.py"
        script.write_text(
            "import json, os, sys, time, wave\n"
            f"marker = {str(tmp_path / 'tried')!r}\n"
            "for line in sys.stdin:\n"
            "    request = json.loads(line)\n" + textwrap.indent(textwrap.dedent(act), "    ")
        )
        return (sys.executable, str(script))

    return command


REPLY = "print(json.dumps({'error': None, 'library': 'none'}), flush=True)\n"
TONE = """\
with wave.open(request["path"], "wb") as file:
    file.setparams((1, 2, 22050, 0, "NONE", ""))
    file.writeframes((b"\\0\\x20" * 20 + b"\\0\\xe0" * 20) * 1000)
"""


@pytest.mark.parametrize("espeak", ["auto", "bundled"])
def test_a_sentence_becomes_speech(make: Makes, espeak: str) -> None:
    """The system's library and the one we ship both render twelve words in a plausible time at our level.

    165 words a minute would be 4.4 s for twelve words; full stops and a colon add pauses.
    """
    renderer = make(worker=worker_command(espeak=espeak))
    sound = renderer.render(CALL)

    assert sound.sample_rate_hz == 22_050
    assert 4.0 < sound.seconds < 7.0
    assert pytest.approx(SPEECH_DBFS, abs=0.5) == speech_level_dbfs(sound)


@pytest.mark.skipif(sys.platform != "linux", reason="other systems speak with an engine of their own")
def test_the_shipped_library_is_the_one_in_use(make: Makes) -> None:
    """With the system's library set aside, only the shipped one is loaded in the worker."""
    renderer = make(worker=worker_command(espeak="bundled"))
    renderer.render("In.")
    loaded = {
        line.split()[-1]
        for line in Path(f"/proc/{renderer.worker_pid}/maps").read_text().splitlines()
        if "libespeak" in line
    }

    assert renderer.library == "bundled"
    assert len(loaded) == 1
    assert "espeakng_loader" in loaded.pop()


def test_a_sentence_is_rendered_once(make: Makes) -> None:
    """What was rendered is found again, also by the next renderer, without starting a process."""
    first = make()
    assert not first.cached(CALL)
    sound = first.render(CALL)
    second = make()

    assert second.cached(CALL)
    assert sound == second.render(CALL)
    assert second.worker_pid is None


def test_another_voice_or_rate_is_another_sound(make: Makes) -> None:
    """The rehearsal's brewer does not speak with the assistant's voice, and a changed rate is not overheard."""
    ours = make().render(CALL)
    theirs = make(voice="en-us+f3").render(CALL)
    faster = make(words_per_minute=220).render(CALL)

    assert ours.samples != theirs.samples
    assert pytest.approx(165 / 220, abs=0.08) == faster.seconds / ours.seconds


def test_an_unknown_voice_is_named(make: Makes) -> None:
    """A voice that the engine does not have is told by name, and not replaced in silence."""
    with pytest.raises(DeviceFailure, match="does not know the voice 'nobody'"):
        make(voice="nobody").render("In.")


def test_texts_are_prepared_in_the_background(make: Makes) -> None:
    """All calls of a day can be handed over at once, and are there when asked for."""
    renderer = make()
    texts = [f"Call number {number}." for number in ("one", "two", "three")]
    renderer.prepare(texts)
    for text in texts:
        renderer.render(text)

    assert all(renderer.cached(text) for text in texts)


def test_a_damaged_file_in_the_cache_is_made_again(make: Makes, tmp_path: Path) -> None:
    """A file cut short by a power cut is rendered again instead of spoken."""
    renderer = make()
    sound = renderer.render(CALL)
    (file,) = (tmp_path / "cache").glob("*.wav")
    file.write_bytes(file.read_bytes()[:2000])

    assert pytest.approx(sound.seconds, abs=0.01) == renderer.render(CALL).seconds


def test_a_full_disk_does_not_take_the_voice_away(make: Makes, tmp_path: Path) -> None:
    """When the folder cannot be written the sentence is spoken all the same."""
    (tmp_path / "cache").write_text("a file where the folder should be")

    assert make().render("In.").seconds > 0.1


def test_a_worker_killed_between_two_sentences_is_started_again(make: Makes) -> None:
    """After the real worker was killed the next sentence is rendered by a new one."""
    renderer = make()
    renderer.render("In.")
    killed = renderer.worker_pid
    assert killed is not None
    os.kill(killed, signal.SIGKILL)

    assert renderer.render(CALL).seconds > 4
    assert renderer.worker_pid not in (killed, None)


def test_a_worker_that_dies_at_work_is_tried_once_more(
    make: Makes, worker: Callable[[str], tuple[str, ...]]
) -> None:
    """A crash in the middle of a sentence costs one restart and no sentence."""
    crash_once = "if not os.path.exists(marker):\n    open(marker, 'w').close()\n    os._exit(139)\n"
    renderer = make(worker=worker(crash_once + TONE + REPLY))

    assert pytest.approx(1.81, abs=0.01) == renderer.render("In.").seconds


def test_a_worker_that_hangs_once_is_killed_and_replaced(
    make: Makes, worker: Callable[[str], tuple[str, ...]]
) -> None:
    """A hang ends at the deadline; the second try succeeds."""
    hang_once = "if not os.path.exists(marker):\n    open(marker, 'w').close()\n    time.sleep(600)\n"
    renderer = make(worker=worker(hang_once + TONE + REPLY), deadline_s=0.5)

    assert renderer.render("In.").seconds > 1


@pytest.mark.parametrize(
    ("why", "act"),
    [
        ("did not answer within 0.3 seconds", "time.sleep(600)\n"),
        ("died", "os._exit(1)\n"),
        ("answered nonsense", "print('fine', flush=True)\n"),
        ("wrote no sound file", REPLY),
        ("gave silence", TONE.replace("x20", "0").replace("xe0", "0") + REPLY),
        ("gave only 0.", TONE.replace("* 1000", "* 100") + REPLY),
        ("it hurts", "print(json.dumps({'error': 'it hurts', 'library': None}), flush=True)\n"),
    ],
)
def test_a_worker_that_fails_or_lies_is_a_failure_in_one_sentence(
    make: Makes, worker: Callable[[str], tuple[str, ...]], why: str, act: str
) -> None:
    """Whatever the worker reports, only real sound counts; the failure names the sentence and the reason."""
    renderer = make(worker=worker(act), deadline_s=0.3 if "sleep" in act else 10.0)

    with pytest.raises(DeviceFailure, match=why) as failure:
        renderer.render(CALL)
    assert "'Now: bittering hops in" in str(failure.value)
    assert not renderer.cached(CALL)
    assert renderer.worker_pid is None


def test_a_worker_that_cannot_be_started_is_told(make: Makes) -> None:
    """A missing program is a failure in one sentence."""
    with pytest.raises(DeviceFailure, match="cannot be started"):
        make(worker=("/nowhere/python",)).render("In.")


@pytest.mark.parametrize("text", ["", "  ", "...?"])
def test_a_sentence_without_words_is_refused(make: Makes, text: str) -> None:
    """Nothing to say is refused before any process is started."""
    with pytest.raises(DeviceFailure, match="nothing to say"):
        make().render(text)


def test_closing_ends_the_process_and_what_waits(make: Makes) -> None:
    """After closing no process is left and nothing is rendered any more; closing twice is safe."""
    renderer = make()
    renderer.render("In.")
    renderer.prepare([f"Number {n}" for n in range(200)])
    renderer.close()
    renderer.close()

    assert renderer.worker_pid is None
    with pytest.raises(DeviceFailure, match="shut down"):
        renderer.render("Something new.")


@pytest.mark.skipif(sys.platform != "linux", reason="aplay is a Linux program")
def test_no_player_program_is_needed(tmp_path: Path) -> None:
    """Rendering works with nothing on the search path, so neither aplay nor espeak-ng is called."""
    assert shutil.which("aplay", path=str(tmp_path)) is None
    code = (
        "import sys; from pathlib import Path; from assistant.voice.renderer import Renderer\n"
        "r = Renderer(Path(sys.argv[1]), voice=None, words_per_minute=165)\n"
        "print(r.render('In.').seconds); r.close()"
    )
    environment = os.environ | {"PATH": str(tmp_path), "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "cache")], env=environment, capture_output=True, check=True
    )

    assert float(done.stdout) > 0.1
