"""The verbs that listen: `hear` recordings, and `check` the devices."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from pathlib import Path

from assistant import wiring
from assistant.day.state import State
from assistant.day.targets import listening
from assistant.ear.choose import fetch_general_model, open_ear
from assistant.ear.hearing import hear_recording
from assistant.messages import Utterance
from assistant.phrasing.asking import neutral_listening
from assistant.ports import DeviceFailure, Microphone
from assistant.sound.file_microphone import FileMicrophone
from assistant.sound.level import rms_dbfs
from assistant.understanding.said import Accept, Ask, Listening, Order, Reading, Readings, Verdict
from assistant.understanding.weigh import weigh
from assistant.verbs.common import UNITS, Say, plan_and_stage, settings_from
from assistant.verbs.hearing_questions import hear_question
from assistant.voice.loudspeaker import Loudspeaker
from assistant.voice.renderer import Renderer

_NOISE_CHECK_S = 2.0
# A microphone below this hears nothing; above the other the burner drowns the brewer (judgement, no source).
_DEAF_DBFS = -75.0
_ROARING_DBFS = -25.0


def hear(arguments: argparse.Namespace, say: Say) -> int:
    """Say what the ear makes of recordings; 1 when one could not be read."""
    plan, stage = plan_and_stage(arguments)
    ready = neutral_listening(UNITS[arguments.units or "metric"])
    if plan is not None:
        ready = listening(plan, State(stage=stage or State().stage, planned_boil_min=plan.beer.boil_min), 0.0)
    ear = open_ear(settings_from(arguments))
    if arguments.question:
        return hear_question(arguments, ear, plan, say)
    failed = False
    for path in arguments.files:
        try:
            heard = hear_recording(FileMicrophone(path, tail_s=1.5), ear, ready)
        except DeviceFailure as failure:
            failed = True
            say(json.dumps({"file": str(path), "error": str(failure)}) if arguments.json else str(failure))
            continue
        utterances = [item.utterance for item in heard] or [Utterance((), ear.name)]
        for utterance in utterances:
            say(_line(path, utterance, ready, as_json=arguments.json))
    return 1 if failed else 0


def _line(path: Path, utterance: Utterance, ready: Listening, *, as_json: bool) -> str:
    verdict = weigh(utterance, ready)
    readings, confidence = _readings(verdict), round(verdict.confidence, 4)
    decision = type(verdict).__name__.lower()
    if as_json:
        found = {
            "file": str(path),
            "words": utterance.best.text,
            "readings": [
                {"kind": item.kind.value, "value": float(item.value), "unit": item.unit.value} for item in readings
            ],
            "order": verdict.said.command.value
            if isinstance(verdict, Accept) and isinstance(verdict.said, Order)
            else None,
            "decision": decision,
            "doubt": None if isinstance(verdict, Accept) else verdict.doubt.value,
            "confidence": confidence,
            "engine": utterance.engine,
            "audio_seconds": round(utterance.audio_seconds, 3),
            "computing_seconds": round(utterance.computing_seconds, 4),
        }
        return json.dumps(found, ensure_ascii=False)
    values = ", ".join(f"{item.kind.value} {item.value} {item.unit.value}" for item in readings)
    words = utterance.best.text or "nothing heard"
    return f"{path}: {words}  [{decision}, {confidence:.2f}]  {values}".rstrip()


def _readings(verdict: Verdict) -> tuple[Reading, ...]:
    match verdict:
        case Accept(said=Readings(readings)):
            return readings
        case Ask(candidates, others=others):
            return (*candidates, *others)
        case _:
            return ()


def check(arguments: argparse.Namespace, say: Say) -> int:
    """A sentence about ear, microphone, noise, loudspeaker and speech; 1 when one of them fails."""
    if arguments.fetch_model:
        folder = fetch_general_model()
        say(f"The general model is in {folder}; use it with: kettleside brew PLAN --model {folder}")
        return 0
    settings = settings_from(arguments)
    tests: tuple[tuple[str, Callable[[], str]], ...] = (
        ("ear", lambda: " ".join(wiring.ear_remarks(open_ear(settings))).removeprefix("Ear: ")),
        ("microphone", lambda: _microphone_sentence(wiring.microphone(settings))),
        ("loudspeaker", lambda: _loudspeaker_sentence(settings.loudspeaker)),
        ("speech", lambda: _speech_sentence(settings.speech_words_per_minute)),
    )
    results = []
    for name, test in tests:
        try:
            say(f"{name}: {test()}")
            results.append(True)
        except DeviceFailure as failure:
            say(f"{name}: {failure}")
            results.append(False)
    return 0 if all(results) else 1


def _microphone_sentence(microphone: Microphone) -> str:
    levels, seconds = [], 0.0
    try:
        for chunk in microphone.chunks():
            levels.append(rms_dbfs(chunk))
            seconds += chunk.seconds
            if seconds >= _NOISE_CHECK_S:
                break
    finally:
        microphone.close()
    level = sorted(levels)[len(levels) // 2]
    if level < _DEAF_DBFS:
        return f"it delivers silence ({level:.0f} dB): switch it on, or allow this program to use it."
    if level > _ROARING_DBFS:
        return f"works; the noise is high ({level:.0f} dB): put it nearer to your mouth or farther from the burner."
    return f"works; the noise here is {level:.0f} dB."


def _loudspeaker_sentence(device: str | None) -> str:
    Loudspeaker(device).check()
    return "works."


def _speech_sentence(words_per_minute: int) -> str:
    renderer = Renderer(wiring.home() / "speech", voice=None, words_per_minute=words_per_minute)
    try:
        sound = renderer.render("Sound check: ten fifteen, ten fifty.")
    finally:
        renderer.close()
    return f"works; a sentence of {sound.seconds:.1f} s was rendered."
