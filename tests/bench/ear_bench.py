"""Measures the ear on human recordings: `python tests/bench/ear_bench.py [--every N]`. Prints tables."""

from __future__ import annotations

import argparse
import resource
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / "ear"), str(Path(__file__).parents[2])]

from noisy_speech import (  # noqa: E402 - the two folders are found above
    RATE_HZ,
    Recording,
    an4,
    audible,
    burner_noise,
    in_noise,
    is_number,
    pieces,
    to_chunk,
    why_missing,
)

from assistant.ear.choose import own_model_folder  # noqa: E402
from assistant.ear.speech_gate import SpeechGate  # noqa: E402
from assistant.ear.vosk_ear import VoskEar  # noqa: E402
from assistant.messages import AudioChunk, Utterance  # noqa: E402
from assistant.understanding.grammar import phrases_for, word_list  # noqa: E402
from assistant.understanding.number_words import DIGITS  # noqa: E402
from assistant.understanding.said import Listening  # noqa: E402

LEVELS_DB = (None, 20.0, 10.0, 5.0, 0.0)
LEAD_S = 6.0


def with_enter(listening: Listening) -> tuple[str, ...]:
    """The program's own phrases, and "enter" before a digit, which the speakers of AN4 say."""
    return (*phrases_for(listening), *(f"enter {digit}" for digit in DIGITS))


def words_with_enter(listening: Listening) -> tuple[str, ...]:
    """The program's words without any order."""
    return (*word_list(listening), "enter")


@dataclass
class Tally:
    """What became of the utterances in one kind of noise."""

    right: list[bool] = field(default_factory=list)
    among: list[bool] = field(default_factory=list)
    sure: list[bool] = field(default_factory=list)
    computing_s: list[float] = field(default_factory=list)


def hear(ear: VoskEar, sound: AudioChunk) -> list[Utterance]:
    """Everything an ear hears in a stretch of sound."""
    heard = [ear.feed(piece) for piece in pieces(sound)]
    heard.append(ear.flush())
    return [utterance for utterance in heard if utterance]


def measure_words(recordings: Sequence[Recording], title: str, ear: VoskEar) -> None:
    """Print shares of strings that came out exactly right, through gate and recogniser."""
    ear.listen_for(Listening())
    print(f"\n{title}, {len(recordings)} utterances; shares: right | right among the alternatives |")
    print("taken for sure (one utterance, confidence >= 0.9, nothing unknown) | wrong among those taken for sure")
    for snr_db in LEVELS_DB:
        tally = Tally()
        for number, recording in enumerate(recordings):
            heard = hear(ear, in_noise(recording.sound, snr_db, LEAD_S, seed=number))
            heard = [utterance for utterance in heard if set(utterance.best.text.split()) != {"[unk]"}]
            tally.right.append(" ".join(utterance.best.text for utterance in heard) == recording.words)
            only = heard[0] if len(heard) == 1 else None
            tally.among.append(only is not None and recording.words in {one.text for one in only.hypotheses})
            tally.sure.append(
                only is not None and only.best.confidence >= 0.9 and "[unk]" not in only.best.text.split()
            )
            tally.computing_s += [utterance.computing_seconds for utterance in heard]
        wrong = [not right for right, sure in zip(tally.right, tally.sure, strict=True) if sure]
        print(
            f"{_level(snr_db):>10}  {np.mean(tally.right):.2f} | {np.mean(tally.among):.2f} | "
            f"{np.mean(tally.sure):.2f} | {np.mean(wrong) if wrong else 0:.2f}   answer after the end was seen: "
            f"median {np.median(tally.computing_s):.2f} s, 90 % {np.quantile(tally.computing_s, 0.9):.2f} s, "
            f"worst {max(tally.computing_s):.2f} s",
            flush=True,
        )


def measure_gate(recordings: Sequence[Recording]) -> None:
    """Print how the gate cuts utterances out of burner noise."""
    print(f"\nSpeech gate, {len(recordings)} utterances; shares: whole | start lost | end lost | split | missed")
    for snr_db in LEVELS_DB:
        counts = {"whole": 0, "start": 0, "end": 0, "split": 0, "missed": 0}
        for number, recording in enumerate(recordings):
            gate = SpeechGate()
            cuts = [
                cut
                for piece in pieces(in_noise(recording.sound, snr_db, LEAD_S, seed=number))
                for cut in gate.push(piece)
            ]
            last = gate.flush()
            begin, end = (at + LEAD_S for at in audible(recording.sound))
            spans = [(cut.start_s, cut.start_s + cut.sound.seconds) for cut in (*cuts, *([last] if last else []))]
            hits = [span for span in spans if span[1] > begin and span[0] < end]
            if not hits:
                counts["missed"] += 1
                continue
            start_lost, end_lost = hits[0][0] > begin + 0.02, hits[-1][1] < end - 0.02
            counts["start"] += start_lost
            counts["end"] += end_lost
            counts["split"] += len(hits) > 1
            counts["whole"] += len(hits) == 1 and not start_lost and not end_lost
        shares = " | ".join(f"{count / len(recordings):.2f}" for count in counts.values())
        print(f"{_level(snr_db):>10}  {shares}", flush=True)


def measure_noise_only(ear: VoskEar, minutes: int) -> None:
    """Print what is heard where nobody speaks."""
    ear.listen_for(Listening())
    print(f"\nBurner noise alone at -30 dBFS, {minutes} minutes each")
    for waver in (0.0, 0.15, 0.3):
        noise = to_chunk(burner_noise(RATE_HZ * 60 * minutes, seed=9, waver=waver) * 10 ** (-30 / 20))
        gate = SpeechGate()
        cuts = sum(len(gate.push(piece)) for piece in pieces(noise))
        heard = hear(ear, noise)
        words = [one for one in heard if "[unk]" not in one.best.text.split()]
        sure = [one.best.text for one in words if one.best.confidence >= 0.9]
        per_hour = 60 / minutes
        print(
            f"flutter {waver:.0%}: cuts {cuts * per_hour:.0f} an hour; as words {len(words) * per_hour:.0f},"
            f" of these at confidence 0.9 or more {len(sure) * per_hour:.0f} {sure[:5]}",
            flush=True,
        )


def measure_speed(recordings: Sequence[Recording], ear: VoskEar) -> None:
    """Print the share of one core that listening needs."""
    sound = [in_noise(recording.sound, 10.0, lead_s=1.0) for recording in recordings[:20]]
    began = time.process_time()
    for one in sound:
        hear(ear, one)
    seconds = sum(one.seconds for one in sound)
    print(f"\nReal-time factor (processor time): {(time.process_time() - began) / seconds:.3f}")


def _level(snr_db: float | None) -> str:
    return "quiet" if snr_db is None else f"{snr_db:.0f} dB"


def main() -> None:
    """Measure everything; `--every N` takes every N-th utterance only."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--every", type=int, default=1, metavar="N", help="take every N-th utterance only")
    parser.add_argument("--part", choices=("test", "train"), default="test", help="train: the development speakers")
    parser.add_argument("--words", action="store_true", help="also measure a word list without phrases")
    parser.add_argument("--minutes", type=int, default=10, help="length of the noise without speech")
    use = parser.parse_args()
    missing = why_missing()
    if missing:
        sys.exit(f"nothing measured: {missing}")
    began = time.perf_counter()
    ear = VoskEar(own_model_folder(), with_enter)
    print(f"{ear.name}: loaded in {time.perf_counter() - began:.2f} s")
    everything = list(an4(use.part))[:: use.every]
    numbers = [recording for recording in an4(use.part) if is_number(recording)][:: use.every]
    measure_words(numbers, "Spoken numbers, phrases", ear)
    if use.words:
        measure_words(numbers, "Spoken numbers, word list", VoskEar(own_model_folder(), words_with_enter))
    measure_gate(everything)
    measure_noise_only(ear, use.minutes)
    measure_speed(numbers, ear)
    print(
        f"Memory of the whole process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB at most"
    )


if __name__ == "__main__":
    main()
