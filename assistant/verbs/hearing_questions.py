"""`hear --question`: recordings as the steps of one question, each breath heard with the words of its step."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from assistant.day import facts as f
from assistant.day.decide import decide
from assistant.day.facts import Fact, Recorded, Stage
from assistant.day.plan import Plan
from assistant.day.state import State, step
from assistant.day.targets import listening
from assistant.ear.vosk_ear import VoskEar
from assistant.messages import Moment, Utterance
from assistant.phrasing.asking import neutral_plan
from assistant.phrasing.inquiry_dialogue import answer_text, asked_text, closed_text
from assistant.ports import DeviceFailure
from assistant.sound.file_microphone import FileMicrophone
from assistant.understanding.weigh import weigh
from assistant.verbs.common import UNITS, Say

_NO_TIME = Moment(0.0, datetime(1970, 1, 1, tzinfo=UTC))


class _Question:
    """The question so far, as the day would keep it."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.state = State(stage=Stage.FERMENTING, inquiry=f.InquiryAsked())

    def hear(self, utterance: Utterance) -> tuple[Fact, ...]:
        """The facts that an utterance brings."""
        verdict = weigh(utterance, listening(self.plan, self.state, 0.0))
        facts = tuple(
            replace(fact, answer=answer_text(fact, self.plan)) if isinstance(fact, f.InquiryAnswered) else fact
            for fact in decide(verdict, utterance, self.state, self.plan, _NO_TIME)
        )
        for fact in facts:
            self.state = step(self.state, Recorded(0, _NO_TIME, 1, fact), self.plan)
        if self.state.inquiry is None:
            # The next breath begins another question.
            self.state = replace(self.state, inquiry=f.InquiryAsked())
        return facts


def hear_question(arguments: argparse.Namespace, ear: VoskEar, plan: Plan | None, say: Say) -> int:
    """Say what each breath brings to the question; 1 when a recording could not be read or nothing was answered."""
    question = _Question(plan or neutral_plan(UNITS[arguments.units or "metric"]))
    readable, answered = True, False
    ear.listen_for(listening(question.plan, question.state, 0.0))
    for path in arguments.files:
        try:
            for utterance in _breaths(path, ear):
                facts = question.hear(utterance)
                answered = answered or any(isinstance(fact, f.InquiryAnswered) for fact in facts)
                say(_line(path, utterance, facts, as_json=arguments.json))
                ear.listen_for(listening(question.plan, question.state, 0.0))
        except DeviceFailure as failure:
            readable = False
            say(json.dumps({"file": str(path), "error": str(failure)}) if arguments.json else str(failure))
    return 0 if readable and answered else 1


def _breaths(path: Path, ear: VoskEar) -> Iterator[Utterance]:
    """What is heard in a recording, as it ends: what to listen for next may depend on it."""
    for chunk in FileMicrophone(path, tail_s=1.5).chunks():
        utterance = ear.feed(chunk)
        if utterance is not None:
            yield utterance
    last = ear.flush()
    if last is not None:
        yield last


def _line(path: Path, utterance: Utterance, facts: tuple[Fact, ...], *, as_json: bool) -> str:
    heard = next((fact for fact in facts if isinstance(fact, f.UtteranceHeard)), None)
    decision = heard.decision if heard is not None else "reject"
    told = " ".join(text for fact in facts if (text := _text(fact)))
    words = utterance.best.text or "nothing heard"
    if not as_json:
        return f"{path}: {words}  [{decision}, {utterance.best.confidence:.2f}]  {told}".rstrip()
    now = next((fact for fact in facts if isinstance(fact, f.InquiryAsked | f.InquiryAnswered)), None)
    found = {
        "file": str(path),
        "words": utterance.best.text,
        "decision": decision,
        "doubt": heard.doubt or None if heard is not None else None,
        "confidence": round(utterance.best.confidence, 4),
        "topic": now.topic if now is not None else None,
        "given": [list(item) for item in now.given] if now is not None else [],
        "asks_for": now.slot if isinstance(now, f.InquiryAsked) else None,
        "answered": isinstance(now, f.InquiryAnswered),
        "says": told,
        "engine": utterance.engine,
    }
    return json.dumps(found, ensure_ascii=False)


def _text(fact: Fact) -> str:
    match fact:
        case f.InquiryAsked():
            return asked_text(fact)
        case f.InquiryAnswered():
            return fact.answer
        case f.InquiryClosed():
            return closed_text(fact)
        case _:
            return ""
