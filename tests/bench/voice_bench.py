"""How long rendering takes, and how loud it is: `python tests/bench/voice_bench.py [VOICE] [WORDS_PER_MINUTE]`.

Cold: the first sentence, with the start of the rendering process. Warm: a sentence in the running process.
Kept: read back from the folder.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from assistant.messages import AudioChunk
from assistant.voice.mixing import level_dbfs, speech_level_dbfs, to_floats
from assistant.voice.renderer import DEFAULT_VOICE, Renderer

SENTENCES = (
    "In.",
    "On target: ten forty-four.",
    "One five, or five zero?",
    "Now: bittering hops in, twenty-two grams. Watch the foam. Say done.",
    "Chiller goes in now: five minutes in the boil makes it safe. Hot splash: lower it slowly. Say done.",
    "About ten forty-five, give or take one. It was hot: I added nineteen points. Cool a cup to be sure;"
    " I will ask in ten minutes.",
)
STARTS = 5


def timed(renderer: Renderer, text: str) -> tuple[float, AudioChunk]:
    """Seconds that rendering took, and the sound."""
    began = time.perf_counter()
    sound = renderer.render(text)
    return time.perf_counter() - began, sound


def main() -> None:
    """Print the table."""
    voice = sys.argv[1] if len(sys.argv) > 1 else None
    words_per_minute = int(sys.argv[2]) if len(sys.argv) > 2 else 165
    cold: list[float] = []
    warm: dict[str, list[float]] = {text: [] for text in SENTENCES}
    kept: dict[str, list[float]] = {text: [] for text in SENTENCES}
    sounds: dict[str, AudioChunk] = {}
    library: str | None = None
    for _ in range(STARTS):
        with tempfile.TemporaryDirectory() as folder:
            renderer = Renderer(Path(folder), voice=voice, words_per_minute=words_per_minute)
            cold.append(timed(renderer, "Ready when you are.")[0])
            for text in SENTENCES:
                seconds, sounds[text] = timed(renderer, text)
                warm[text].append(seconds)
                kept[text].append(timed(renderer, text)[0])
            library = renderer.library
            renderer.close()
    print(f"voice {voice or DEFAULT_VOICE}, {words_per_minute} words a minute, speech library: {library}")
    print(f"cold: median {statistics.median(cold) * 1000:.0f} ms, worst {max(cold) * 1000:.0f} ms of {STARTS}\n")
    print(" warm ms  kept ms  sound s  words/min  RMS dBFS  speech dBFS   peak  sentence")
    for text, sound in sounds.items():
        rate = len(text.replace("-", " ").split()) / sound.seconds * 60
        print(
            f"{statistics.median(warm[text]) * 1000:8.1f} {statistics.median(kept[text]) * 1000:8.1f}"
            f" {sound.seconds:8.2f} {rate:10.0f} {level_dbfs(sound):9.1f} {speech_level_dbfs(sound):12.1f}"
            f" {abs(to_floats(sound)).max():6.2f}  {text}"
        )


if __name__ == "__main__":
    main()
