"""The whole way through PortAudio: what is said comes out of a loudspeaker, the chime first, and can be cut off."""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from pulse_server import PulseServer, pulse_server  # noqa: F401 - a fixture

from assistant.messages import Chime
from assistant.voice.chimes import chime
from assistant.voice.mixing import Floats, to_floats
from assistant.voice.renderer import SPEECH_DBFS, Renderer

pytestmark = pytest.mark.pulse

RATE_HZ = 22_050
CALL = "Now: bittering hops in, twenty-two grams."

PLAYS = """
import io, sys, threading, time
from datetime import UTC, datetime
from pathlib import Path
from assistant.messages import Chime, Say, Urgency
from assistant.voice.loudspeaker import Loudspeaker
from assistant.voice.printed_voice import PrintedVoice
from assistant.voice.renderer import Renderer
from assistant.voice.spoken_voice import SpokenVoice

cut_after_s = float(sys.argv[2])
ended = threading.Event()
voice = SpokenVoice(
    Renderer(Path(sys.argv[1]), voice=None, words_per_minute=165),
    Loudspeaker(),
    PrintedVoice(sys.stdout, lambda: datetime.now(UTC)),
    on_trouble=lambda failure: print("TROUBLE", failure),
)
voice.on_spoken(lambda sentence: ended.set())
voice.say(Say({call!r}, Urgency.DUE, Chime.DUE, "hops"))
if cut_after_s:
    time.sleep(cut_after_s)
    voice.silence()
    while voice.speaking():
        time.sleep(0.005)
else:
    ended.wait(20)
print("spoken" if ended.is_set() else "cut")
voice.close()
"""


@dataclass
class Heard:
    """What came out of the loudspeaker, full scale = 1, and what the program said of it."""

    samples: Floats
    words: str

    @property
    def loud(self) -> tuple[float, float]:
        """Seconds at which sound begins and ends."""
        where = np.flatnonzero(np.abs(self.samples) > 0.003)
        assert where.size, f"nothing was heard; the program said: {self.words}"
        return where[0] / RATE_HZ, where[-1] / RATE_HZ

    def place_of(self, sound: Floats) -> tuple[float, float]:
        """Where `sound` fits best: seconds from the start, and the correlation there (1: it is this sound)."""
        size = 1 << (self.samples.size + sound.size).bit_length()
        product = np.fft.irfft(np.fft.rfft(self.samples, size) * np.conj(np.fft.rfft(sound, size)), size)
        product = product[: self.samples.size - sound.size]
        energy = np.concatenate([[0.0], np.cumsum(self.samples**2)])
        windows = energy[sound.size : sound.size + product.size] - energy[: product.size]
        fit = product / np.sqrt(np.maximum(windows, 1e-3) * np.sum(sound**2))
        return int(fit.argmax()) / RATE_HZ, float(fit.max())


def hear(server: PulseServer, folder: Path, cut_after_s: float) -> Heard:
    """Speak `CALL` in a process of its own while the loudspeaker is recorded."""
    file = folder / f"heard-{cut_after_s}.raw"
    recorder = server.record(file, rate_hz=RATE_HZ)
    try:
        until = time.monotonic() + 10
        while (not file.exists() or file.stat().st_size == 0) and time.monotonic() < until:
            time.sleep(0.02)
        done = subprocess.run(
            [sys.executable, "-c", PLAYS.replace("{call!r}", repr(CALL)), str(folder / "cache"), str(cut_after_s)],
            env=server.environment | {"PYTHONPATH": ":".join(filter(None, sys.path))},
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        time.sleep(0.4)  # what is still on its way
    finally:
        recorder.terminate()
        recorder.wait()
    assert done.returncode == 0, done.stderr
    return Heard(np.frombuffer(file.read_bytes(), "<i2") / 32768, done.stdout.strip())


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the sentence is already rendered, so that it starts at once."""
    path = tmp_path_factory.mktemp("speech")
    renderer = Renderer(path / "cache", voice=None, words_per_minute=165)
    renderer.render(CALL)
    renderer.close()
    return path


@pytest.fixture(scope="module")
def speech(folder: Path) -> Floats:
    """The words alone, as rendered."""
    renderer = Renderer(folder / "cache", voice=None, words_per_minute=165)
    samples = to_floats(renderer.render(CALL))
    renderer.close()
    return samples


def test_a_call_arrives_whole_with_its_chime_first(
    pulse_server: PulseServer,  # noqa: F811
    folder: Path,
    speech: Floats,
) -> None:
    """The chime and then the words come out, complete to the last syllable, at the level they were rendered at."""
    heard = hear(pulse_server, folder, 0)
    bells = to_floats(chime(Chime.DUE, RATE_HZ))
    chime_at_s, chime_fit = heard.place_of(bells)
    first_words_at_s, first_fit = heard.place_of(speech[:RATE_HZ])
    last_words_at_s, last_fit = heard.place_of(speech[-RATE_HZ // 2 :])
    begins_s, ends_s = heard.loud
    sounding = heard.samples[round(first_words_at_s * RATE_HZ) : round(ends_s * RATE_HZ)]

    assert heard.words == "spoken"
    assert min(chime_fit, first_fit, last_fit) > 0.9
    assert pytest.approx(begins_s, abs=0.05) == chime_at_s
    assert pytest.approx(chime_at_s + bells.size / RATE_HZ, abs=0.03) == first_words_at_s
    assert pytest.approx(first_words_at_s + speech.size / RATE_HZ - 0.5, abs=0.03) == last_words_at_s
    assert pytest.approx(SPEECH_DBFS, abs=3) == 10 * np.log10(np.mean(sounding**2))


def test_silence_cuts_the_sound_at_once(
    pulse_server: PulseServer,  # noqa: F811
    folder: Path,
) -> None:
    """A four-second call that is silenced 1.5 s after `say` is off within 100 ms, and not told as spoken."""
    heard = hear(pulse_server, folder, 1.5)
    begins_s, ends_s = heard.loud

    assert heard.words == "cut"
    assert 0.5 < ends_s - begins_s < 1.5 + 0.1


def test_a_loudspeaker_that_goes_away_is_noticed_and_the_line_printed(
    folder: Path,
    pulse_server: PulseServer,  # noqa: F811
) -> None:
    """With no sound server behind the default device the call is printed, and the trouble told in a sentence."""
    nowhere = pulse_server.environment | {
        "PULSE_SERVER": f"unix:{folder}/nobody",
        "PYTHONPATH": ":".join(filter(None, sys.path)),
    }
    done = subprocess.run(
        [sys.executable, "-c", PLAYS.replace("{call!r}", repr(CALL)), str(folder / "cache"), "0"],
        env=nowhere,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )

    assert "TROUBLE No loudspeaker" in done.stdout
    assert CALL in done.stdout
    assert done.stdout.strip().endswith("spoken")
