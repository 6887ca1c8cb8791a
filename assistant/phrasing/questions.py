"""Questions about doubtful readings, never put the same way twice."""

from __future__ import annotations

from assistant.day.facts import QuestionAsked
from assistant.day.targets import candidates_of
from assistant.phrasing import numbers
from assistant.quantities import Unit
from assistant.understanding.rivals import digits_apart
from assistant.understanding.said import Doubt, Kind, Reading


def reading_words(reading: Reading) -> str:
    """A reading in words with its unit, as it was said."""
    value, unit = float(reading.value), reading.unit
    match reading.kind:
        case Kind.GRAVITY if unit is Unit.SPECIFIC_GRAVITY:
            return numbers.gravity_words(value)
        case Kind.GRAVITY:
            return numbers.gravity_in(value, unit)
        case Kind.TEMPERATURE:
            return f"{numbers.temperature_words(value)} degrees"
        case Kind.VOLUME:
            return numbers.volume_words(value, unit)
        case Kind.MASS:
            return numbers.mass_words(value, unit)
        case _:
            return f"{numbers.decimal_words(value, 2)} {unit.value}"


def question_text(question: QuestionAsked) -> str:
    """The question for its first, second or third time: choice, digits, then the keyboard."""
    candidates = candidates_of(question)
    if question.times >= 3:
        return f"Type the {question.kind} on the keyboard, or say skip."
    if len(candidates) >= 2:
        apart = digits_apart(candidates[0], candidates[1])
        if apart is not None and question.times == 1:
            first, second = (numbers.digit_words(text) for text in apart)
            return f"{first.capitalize()}, or {second}?"
        return f"Say the {question.kind} digit by digit."
    words = reading_words(candidates[0]).capitalize()
    if question.times == 2:
        return f"Say the {question.kind} digit by digit."
    if question.doubt == Doubt.SURPRISING.value:
        return f"{words}: far from what I expect. Is that right? Yes, or no."
    return f"{words}: did I hear that right? Yes, or no."
