"""The only place that talks to Vosk; everything that could kill the process is checked before it gets there.

Vosk 0.3.45 dies without an exception on a grammar that is no list of words, on an empty one, and on a
change of grammar in the middle of an utterance. So every utterance gets recognisers of its own, made of
a checked grammar; that takes less than a millisecond.
"""

from __future__ import annotations

import json
import logging
import time
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from assistant.messages import AudioChunk, Hypothesis, Word
from assistant.ports import DeviceFailure

UNKNOWN = "[unk]"
"""What a model of this kind answers for a stretch that is none of the listed words."""

_NEEDED_FILES = ("am/final.mdl", "conf/model.conf", "graph/words.txt", "graph/HCLr.fst", "graph/Gr.fst")
_ALTERNATIVES = 6
_WANTED_RMS, _HIGHEST_PEAK, _MOST_GAIN = 0.08, 0.95, 200.0
"""Full scale = 1. The model was trained at -40 to -12 dB; at -58 dB it hears nothing at all."""
_SLOW_S = 1.5
"""Looking for alternatives costs as much as the first decoding; after one this slow it is left out."""

_log = logging.getLogger(__name__)


class Recogniser:
    """A Vosk model with the word list that is live.

    Args:
        model_folder: a Vosk model with a graph that takes word lists (graph/HCLr.fst and graph/Gr.fst).

    Raises:
        DeviceFailure: when the folder is no such model, or Vosk cannot be loaded on this machine.
    """

    def __init__(self, model_folder: Path) -> None:
        check_model_files(model_folder)
        self._vosk = load_vosk()
        try:
            self._model = self._vosk.Model(str(model_folder))
        except Exception as error:
            raise DeviceFailure(f"Vosk cannot load the model in {model_folder}; get the model again.") from error
        self._grammar: str | None = None
        if self.missing([UNKNOWN]):
            raise DeviceFailure(
                f"The model in {model_folder} has no word for unknown sounds and would take noise for readings;"
                " choose another model."
            )

    def missing(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of `words` that the model does not hold, each once, in the order given."""
        find = self._model.vosk_model_find_word
        return tuple(dict.fromkeys(word for word in words if find(word) < 0))

    def listen_for(self, phrases: Sequence[str]) -> tuple[str, ...]:
        """Hear only sequences of the words in `phrases` from now on; return the words the model does not hold.

        Phrases with such a word cannot be heard; all others can.

        Raises:
            ValueError: when `phrases` is not a list of non-empty texts, or none of them can be heard.
        """
        if isinstance(phrases, str) or not all(isinstance(phrase, str) and phrase.split() for phrase in phrases):
            raise ValueError("a word list is a list of non-empty texts")
        missing = self.missing(word for phrase in phrases for word in phrase.split())
        lost = set(missing)
        heard = [" ".join(phrase.split()) for phrase in phrases if lost.isdisjoint(phrase.split())]
        # A phrase that stands there more than once counts more in the bigram: that is how orders are weighed.
        heard = [phrase for phrase in heard if phrase != UNKNOWN]
        if not heard:
            raise ValueError("none of the words to listen for is in the model")
        # Vosk's reader of JSON does not know \\u escapes.
        self._grammar = json.dumps([*heard, UNKNOWN], ensure_ascii=False)
        return missing

    def decode(self, sound: AudioChunk) -> tuple[Hypothesis, ...]:
        """Return what was said: the best hypothesis with word confidences, then distinct alternatives.

        Words of alternatives have confidence 0, since Vosk measures none; their scores are relative
        to the likeliest path. Empty when nothing was said.

        Raises:
            ValueError: before the first `listen_for`.
        """
        if self._grammar is None:
            raise ValueError("choose the words to listen for first")
        sound = _levelled(sound)
        began = time.perf_counter()
        best = _words(self._run(sound, alternatives=0).get("result", ()))
        if not best:
            return ()
        if time.perf_counter() - began > _SLOW_S:
            _log.warning("an utterance of %.1f s took long; its alternatives were not looked for", sound.seconds)
            return (Hypothesis(best),)
        found = self._run(sound, alternatives=_ALTERNATIVES).get("alternatives", ())
        return (Hypothesis(best), *_alternatives(found, Hypothesis(best).text))

    def _run(self, sound: AudioChunk, alternatives: int) -> dict[str, Any]:
        recogniser = self._vosk.KaldiRecognizer(self._model, sound.sample_rate_hz, self._grammar)
        recogniser.SetWords(True)
        recogniser.SetMaxAlternatives(alternatives)
        # Given in one piece, an utterance is not split at its pauses.
        ended = recogniser.AcceptWaveform(sound.samples)
        answer: dict[str, Any] = json.loads(recogniser.Result() if ended else recogniser.FinalResult())
        return answer


def check_model_files(folder: Path) -> None:
    """Check that a folder holds a Vosk model that takes word lists.

    Raises:
        DeviceFailure: one sentence that says what is missing.
    """
    if not folder.is_dir():
        raise DeviceFailure(f"There is no model folder {folder}; give the folder of an unpacked Vosk model.")
    missing = [name for name in _NEEDED_FILES if not (folder / name).is_file()]
    if missing and all(name.startswith("graph/") and name.endswith(".fst") for name in missing):
        raise DeviceFailure(
            f"The model in {folder} takes no word list ({' and '.join(missing)} missing);"
            " choose a small Vosk model, those take one."
        )
    if missing:
        raise DeviceFailure(f"{folder} is not a Vosk model: {missing[0]} is missing.")


def load_vosk() -> Any:
    """Load Vosk, with its own messages on standard error switched off.

    Raises:
        DeviceFailure: when it cannot be loaded on this machine.
    """
    try:
        import vosk  # noqa: PLC0415 - loads a C library, which some platforms lack
    except (ImportError, OSError) as error:
        raise DeviceFailure(f"The recogniser Vosk cannot be loaded ({error}); install the package vosk.") from error
    vosk.SetLogLevel(-2)
    return vosk


def _levelled(sound: AudioChunk) -> AudioChunk:
    """The same sound at the loudness for which the model was trained."""
    samples = np.frombuffer(sound.samples, dtype="<i2").astype(np.float64)
    peak = float(np.abs(samples).max(initial=0.0)) / 32_768.0
    if not peak:
        return sound
    rms = float(np.sqrt(np.mean(samples**2))) / 32_768.0
    gain = min(_WANTED_RMS / rms, _HIGHEST_PEAK / peak, _MOST_GAIN)
    return AudioChunk(np.rint(samples * gain).astype("<i2").tobytes(), sound.sample_rate_hz)


def _words(found: Iterable[dict[str, Any]]) -> tuple[Word, ...]:
    return tuple(
        Word(item["word"], min(1.0, float(item.get("conf", 0.0))), float(item["start"]), float(item["end"]))
        for item in found
    )


def _alternatives(found: Sequence[dict[str, Any]], best_text: str) -> list[Hypothesis]:
    if not found:
        return []
    top = max(float(item["confidence"]) for item in found)
    distinct: dict[str, Hypothesis] = {}
    for item in found:
        hypothesis = Hypothesis(_words(item.get("result", ())), score=float(item["confidence"]) - top)
        if hypothesis.text != best_text:
            distinct.setdefault(hypothesis.text, hypothesis)
    return sorted(distinct.values(), key=lambda hypothesis: -hypothesis.score)
