"""Runs a recording through the whole front end, for the verb `hear`."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.messages import Utterance
from assistant.ports import Ear, Microphone
from assistant.understanding.said import Listening


@dataclass(frozen=True, slots=True)
class Heard:
    """One utterance and when it ended, in seconds of sound from the start of the recording."""

    utterance: Utterance
    ended_s: float


def hear_recording(microphone: Microphone, ear: Ear, listening: Listening) -> list[Heard]:
    """Return everything `ear` hears from `microphone`; an empty list when there was nothing but noise.

    Raises:
        DeviceFailure: when the recording cannot be read.
    """
    ear.listen_for(listening)
    heard: list[Heard] = []
    elapsed_s = 0.0
    for chunk in microphone.chunks():
        elapsed_s += chunk.seconds
        utterance = ear.feed(chunk)
        if utterance:
            heard.append(Heard(utterance, elapsed_s))
    last = ear.flush()
    if last:
        heard.append(Heard(last, elapsed_s))
    return heard
