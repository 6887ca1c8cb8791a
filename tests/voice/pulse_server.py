"""A PulseAudio server of the test's own: a loudspeaker that swallows everything, and a microphone that hears it."""

from __future__ import annotations

import ctypes.util
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

SINK = "kettleside_test"


@dataclass(frozen=True)
class PulseServer:
    """A running server.

    environment: for a child process whose PortAudio shall play to and record from this server; PortAudio
        reads its list of devices when it is loaded, so it must be loaded in a process with this environment.
    """

    environment: dict[str, str]

    def record(self, path: Path, *, rate_hz: int = 22_050) -> subprocess.Popen[bytes]:
        """Start to record what the loudspeaker plays, raw mono 16-bit, to `path`; terminate it to end."""
        return subprocess.Popen(
            [
                "parec",
                f"--device={SINK}.monitor",
                "--format=s16le",
                "--channels=1",
                f"--rate={rate_hz}",
                "--latency-msec=20",
                "--raw",
                str(path),
            ],
            env=self.environment,
            stderr=subprocess.DEVNULL,
        )

    def control(self, *words: str) -> str:
        """Run `pactl` with `words` on this server and return what it prints."""
        done = subprocess.run(
            ["pactl", *words], env=self.environment, capture_output=True, text=True, timeout=10, check=True
        )
        return done.stdout


def why_not() -> str | None:
    """Why no server can be started here; None when it can."""
    missing = [name for name in ("pulseaudio", "parec", "pactl") if shutil.which(name) is None]
    if missing:
        return f"{', '.join(missing)} not installed (Debian: apt install pulseaudio pulseaudio-utils)"
    if ctypes.util.find_library("portaudio") is None:
        return "libportaudio2 not installed"
    if not any(Path("/usr/lib").glob("**/alsa-lib/libasound_module_pcm_pulse.so")):
        return "the ALSA plug-in for PulseAudio is not installed (Debian: apt install libasound2-plugins)"
    return None


@contextmanager
def running_pulse_server() -> Iterator[PulseServer]:
    """A server with its own folder, that no other program of this machine sees; as any user, root included.

    Its default source is the monitor of its default sink: what is played is heard by the default microphone.
    """
    # A short path: a Unix socket's name has room for about 100 letters.
    folder = Path(tempfile.mkdtemp(prefix="pulse-"))
    script = folder / "start.pa"
    script.write_text(
        f"load-module module-native-protocol-unix auth-anonymous=1 socket={folder}/native\n"
        f"load-module module-null-sink sink_name={SINK} rate=44100 channels=2\n"
        f"set-default-sink {SINK}\n"
        f"set-default-source {SINK}.monitor\n"
    )
    alsa = folder / "asound.conf"
    alsa.write_text("pcm.!default { type pulse hint.description default }\nctl.!default { type pulse }\n")
    environment = os.environ | {
        "HOME": str(folder),
        "XDG_RUNTIME_DIR": str(folder),
        "PULSE_RUNTIME_PATH": str(folder),
        "PULSE_SERVER": f"unix:{folder}/native",
        "PULSE_COOKIE": str(folder / "cookie"),
        "ALSA_CONFIG_PATH": str(alsa),
    }
    server = subprocess.Popen(
        [
            *("pulseaudio", "-n", "-F", str(script), "--daemonize=no", "--exit-idle-time=-1"),
            *("--use-pid-file=no", "--disallow-exit=yes", "--realtime=no", "--high-priority=no"),
            "--log-target=stderr",
        ],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=(folder / "log").open("wb"),
    )
    pulse = PulseServer(environment)
    try:
        for _ in range(100):
            try:
                if SINK in pulse.control("info"):
                    break
            except subprocess.CalledProcessError:
                time.sleep(0.05)
        else:
            pytest.fail(f"PulseAudio did not start: {(folder / 'log').read_text()[-500:]}")
        yield pulse
    finally:
        server.terminate()
        try:
            server.wait(timeout=5)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="module")
def pulse_server() -> Iterator[PulseServer]:
    """A running server, or a skip with the reason."""
    reason = why_not()
    if reason is not None:
        pytest.skip(reason)
    with running_pulse_server() as server:
        yield server
