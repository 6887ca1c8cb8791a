"""An ear that cuts utterances out of the noise and decodes each with the words that are live."""

from __future__ import annotations

import logging
import time
from collections import deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from assistant.ear.recogniser import UNKNOWN, Recogniser
from assistant.ear.speech_gate import Cut, SpeechGate
from assistant.messages import AudioChunk, Hypothesis, Utterance, Word
from assistant.understanding.said import Listening

WordList = Callable[[Listening], Sequence[str]]
"""The words or phrases that are live in a state of the day."""

_log = logging.getLogger(__name__)


class VoskEar:
    """Implements `ports.Ear` with Vosk.

    Args:
        model_folder: a Vosk model that takes word lists.
        words_for: gives the words or phrases to listen for.
        name: which model this is, in a few words for the brewer.
        card: one sentence about how well it measured.
        gate: cuts the utterances; one of its own when None.

    Raises:
        DeviceFailure: when the model cannot be used.
    """

    def __init__(
        self,
        model_folder: Path,
        words_for: WordList,
        name: str = "Vosk",
        card: str = "",
        gate: SpeechGate | None = None,
    ) -> None:
        self._recogniser = Recogniser(model_folder)
        self._words_for = words_for
        self._name = name
        self._gate = gate or SpeechGate()
        self._wanted: Listening | None = None
        self._in_force: Listening | None = None
        self._waiting: deque[Cut] = deque()
        self.card = card
        """One sentence for the brewer: which ear this is and how well it measured."""
        self.unheard: tuple[str, ...] = ()
        """Words of the last word list that the model does not hold."""

    @property
    def name(self) -> str:
        """Which recogniser and model this is."""
        return self._name

    @property
    def noise_dbfs(self) -> float | None:
        """Level of the noise between utterances, dB relative to full scale; None before any was measured."""
        return self._gate.noise_dbfs

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of `words` that the model does not hold."""
        return self._recogniser.missing(words)

    def listen_for(self, listening: Listening) -> None:
        """Listen for the words of `listening`, from the next utterance on."""
        self._wanted = listening
        if not self._gate.speaking and not self._waiting:
            self._change_words()

    def feed(self, chunk: AudioChunk) -> Utterance | None:
        """Take the next sound; return an utterance when one has just ended and held more than noise.

        Raises:
            ValueError: when nothing was chosen to listen for, or the chunk has not the rate of the gate.
        """
        if self._in_force is None:
            self._change_words()
        self._waiting.extend(self._gate.push(chunk))
        return self._next_heard()

    def flush(self) -> Utterance | None:
        """End the utterance in progress, if there is one, and return it."""
        last = self._gate.flush()
        if last:
            self._waiting.append(last)
        return self._next_heard()

    def reset(self) -> None:
        """Forget the utterance in progress; the measured noise stays."""
        self._gate.reset()
        self._waiting.clear()
        if self._wanted is not None:
            self._change_words()

    def _next_heard(self) -> Utterance | None:
        while self._waiting:
            heard = self._hear(self._waiting.popleft())
            if not self._gate.speaking and not self._waiting:
                self._change_words()
            if heard:
                return heard
        return None

    def _hear(self, cut: Cut) -> Utterance | None:
        began = time.perf_counter()
        hypotheses = self._recogniser.decode(cut.sound)
        if not hypotheses:
            return None
        return Utterance(
            tuple(_mark_what_is_missing(hypothesis, cut) for hypothesis in hypotheses),
            engine=self._name,
            audio_seconds=cut.sound.seconds,
            computing_seconds=time.perf_counter() - began,
            speech_dbfs=cut.speech_dbfs,
            noise_dbfs=cut.noise_dbfs,
            audio=cut.sound,
        )

    def _change_words(self) -> None:
        if self._wanted is None:
            raise ValueError("choose what to listen for first")
        if self._wanted == self._in_force:
            return
        self.unheard = self._recogniser.listen_for(self._words_for(self._wanted))
        if self.unheard:
            _log.warning("%s cannot hear: %s", self._name, ", ".join(self.unheard))
        self._in_force = self._wanted


def _mark_what_is_missing(hypothesis: Hypothesis, cut: Cut) -> Hypothesis:
    """Put an unknown word where a very long utterance was cut, so that half a number is never taken for a whole."""
    words = hypothesis.words
    if cut.starts_short:
        words = (Word(UNKNOWN, 0.0, 0.0, 0.0), *words)
    if cut.ends_short:
        words = (*words, Word(UNKNOWN, 0.0, cut.sound.seconds, cut.sound.seconds))
    return replace(hypothesis, words=words)
