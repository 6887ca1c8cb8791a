"""The ear is shut while the voice speaks, and nothing can keep it shut."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from assistant.ear.mute_gate import MuteGate
from assistant.messages import AudioChunk, Utterance
from assistant.understanding.said import Listening

CHUNK = AudioChunk(bytes(3_200), 16_000)


class CountingEar:
    """An ear that counts what it is given."""

    name = "counting ear"

    def __init__(self) -> None:
        self.fed = 0
        self.resets = 0
        self.listening: Listening | None = None

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """All of them."""
        return tuple(words)

    def listen_for(self, listening: Listening) -> None:
        """Remember it."""
        self.listening = listening

    def feed(self, chunk: AudioChunk) -> Utterance | None:
        """Count it."""
        self.fed += 1
        return Utterance.from_keyboard("done")

    def flush(self) -> Utterance | None:
        """The end of what was begun."""
        return Utterance.from_keyboard("end")

    def reset(self) -> None:
        """Count it."""
        self.resets += 1


class Voice:
    """A voice that speaks when told to, or fails."""

    def __init__(self) -> None:
        self.now: bool | Exception = False

    def speaking(self) -> bool:
        """Whether it speaks."""
        if isinstance(self.now, Exception):
            raise self.now
        return self.now


@pytest.fixture
def voice() -> Voice:
    """A silent voice."""
    return Voice()


@pytest.fixture
def counting() -> CountingEar:
    """A fresh ear."""
    return CountingEar()


@pytest.fixture
def gate(counting: CountingEar, voice: Voice) -> MuteGate:
    """A gate with a tail of 0.4 s that opens after 2 s at the latest."""
    return MuteGate(counting, voice.speaking, tail_s=0.4, longest_s=2.0)


def test_while_nobody_speaks_everything_passes(gate: MuteGate, counting: CountingEar) -> None:
    """The ear behind is used as if there were no gate."""
    listening = Listening(names=("tube",))
    gate.listen_for(listening)

    assert gate.feed(CHUNK) == Utterance.from_keyboard("done")
    assert gate.flush() == Utterance.from_keyboard("end")
    assert counting.listening == listening
    assert gate.missing_words(["x"]) == ("x",)
    assert gate.name == "counting ear"
    assert not gate.shut


def test_the_voice_is_not_heard_and_the_tail_neither(gate: MuteGate, counting: CountingEar, voice: Voice) -> None:
    """Nothing passes while the voice speaks and for 0.4 s after; then everything does."""
    gate.feed(CHUNK)
    voice.now = True
    assert [gate.feed(CHUNK) for _ in range(10)] == [None] * 10
    assert gate.shut

    voice.now = False
    passed = [gate.feed(CHUNK) is not None for _ in range(8)]

    assert passed == [False] * 4 + [True] * 4
    assert counting.fed == 5
    assert not gate.shut


def test_half_an_utterance_is_forgotten_once(gate: MuteGate, counting: CountingEar, voice: Voice) -> None:
    """What the brewer had begun when the voice cut in is forgotten, so half a number is never taken."""
    voice.now = True
    for _ in range(5):
        gate.feed(CHUNK)

    assert counting.resets == 1


def test_a_voice_that_hangs_does_not_make_deaf(gate: MuteGate, voice: Voice) -> None:
    """A voice that claims to speak for ever is disbelieved after 2 s, and believed again after it was silent."""
    voice.now = True
    passed = [gate.feed(CHUNK) is not None for _ in range(40)]
    assert passed == [False] * 20 + [True] * 20

    voice.now = False
    gate.feed(CHUNK)
    voice.now = True
    assert gate.feed(CHUNK) is None


def test_a_voice_that_fails_does_not_make_deaf(gate: MuteGate, voice: Voice) -> None:
    """An error in the voice opens the ear after the tail."""
    voice.now = True
    gate.feed(CHUNK)
    voice.now = RuntimeError("the voice is gone")

    assert [gate.feed(CHUNK) is not None for _ in range(6)] == [False] * 4 + [True] * 2


def test_reset_opens(gate: MuteGate, counting: CountingEar, voice: Voice) -> None:
    """A reset forgets the tail as well."""
    voice.now = True
    gate.feed(CHUNK)
    voice.now = False

    gate.reset()

    assert gate.feed(CHUNK) is not None
    assert counting.resets == 2
