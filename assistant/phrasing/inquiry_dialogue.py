"""What is said while the brewer asks about the physics: what is missing still, then the answer."""

from __future__ import annotations

from decimal import Decimal

from assistant.day import facts as f
from assistant.day.plan import Plan
from assistant.phrasing import numbers
from assistant.phrasing.inquiry_answers import answer_inquiry, incomplete_sentence
from assistant.phrasing.speakable import speakable
from assistant.quantities import Unit
from assistant.understanding.inquiries import Incomplete, inquiry_of
from assistant.understanding.inquiry_grammar import words_said
from assistant.understanding.inquiry_reader import Quantity
from assistant.understanding.inquiry_steps import may_end, part_named, values_of
from assistant.understanding.inquiry_topics import TOPIC
from assistant.understanding.inquiry_units import UNIT_PHRASES, AskedUnit, Measure, measure_of
from assistant.understanding.inquiry_words import Choice, Slot, Topic
from assistant.understanding.phrases import DEGREES
from assistant.understanding.said import Asking

SUCH_AS = '"strike water", "boil time", "ice bath", "priming" or "keg pressure"'
# Said behind a call that came while a question was open.
LEFT_FOR_A_CALL = "Ask your question again later."
_CHOICES_TOLD = 3


def asked_text(fact: f.InquiryAsked) -> str:
    """What is asked for, the last value read back before it; the second time digit by digit, then by keyboard."""
    if fact.times >= 3:
        return "Type it on the keyboard, or say never mind."
    if not fact.topic:
        return "Ask." if fact.times == 1 else f'Say what about, such as {SUCH_AS}. Or say "never mind".'
    if fact.times == 2:
        return _again(fact)
    said = tuple(values_of(fact.topic, fact.given).values())
    front = value_words(said[-1], TOPIC[fact.topic]) if said else TOPIC[fact.topic].phrases[0]
    end = " Or done." if may_end(Asking(fact.topic, fact.slot, tuple(name for name, _, _ in fact.given))) else ""
    return f"{_capital(front)}. {_capital(fact.slot)}?{end}"


def _again(fact: f.InquiryAsked) -> str:
    part = part_named(TOPIC[fact.topic], fact.slot)
    if isinstance(part, Choice):
        kinds = list(dict.fromkeys(phrase for phrase, _ in part.phrases))[:_CHOICES_TOLD]
        return f"Say the {part.name}, such as {', '.join(kinds)}. Or never mind."
    return f'Say the {part.name} digit by digit, such as "{_example(part)}". Or never mind.'


def _example(slot: Slot) -> str:
    if slot.measure is Measure.GRAVITY:
        return "one oh four five"
    if slot.measure is Measure.TEMPERATURE:
        return f"one five {DEGREES[0]}"
    unit = next((" ".join(words) for words, unit in UNIT_PHRASES.items() if _is_of(slot, unit, words)), "")
    return f"one five {unit}".strip()


def _is_of(slot: Slot, unit: Unit | AskedUnit, words: tuple[str, ...]) -> bool:
    return unit is not AskedUnit.NUMBER and measure_of(unit) is slot.measure and words_said(" ".join(words))


def answer_text(fact: f.InquiryAnswered, plan: Plan) -> str:
    """All that was understood, and the answer in the units and with the rig of `plan`."""
    topic, values = TOPIC[fact.topic], values_of(fact.topic, fact.given)
    parts = [part.name for part in topic.parts]
    order = {name: parts.index(name) if name in parts else len(parts) for name in values}
    understood = ", ".join(value_words(values[name], topic) for name in sorted(values, key=order.__getitem__))
    answer = answer_inquiry(inquiry_of(topic, values), plan, plan.units)
    sentence = speakable(answer.sentence)
    if not understood:
        return sentence
    if not answer.results:
        return f"{_capital(understood)}. {sentence}"
    return f"{_capital(understood)}: {sentence[0].lower()}{sentence[1:]}"


def not_understood_text(fact: f.InquiryNotUnderstood) -> str:
    """What to say otherwise."""
    return incomplete_sentence(Incomplete(fact.topic, unclear=fact.unclear, unknown=fact.unknown))


def closed_text(fact: f.InquiryClosed) -> str:
    """Word of a question that was left; nothing where a call has said it."""
    return {
        "never mind": "Question left.",
        "not understood three times": "I leave that question. Type it when a hand is dry, or ask again.",
    }.get(fact.reason, "")


def value_words(value: Quantity | str, topic: Topic) -> str:
    """A value as understood, to its last figure; temperatures without their unit, choices by their first name."""
    if isinstance(value, str):
        return next((name for choice in topic.choices for name, meant in choice.phrases if meant == value), value)
    if value.unit is Unit.SPECIFIC_GRAVITY:
        return numbers.gravity_words(value.value)
    figures = numbers.decimal_words(value.value, _places(value.value))
    if value.unit in (Unit.CELSIUS, Unit.FAHRENHEIT):
        return numbers.temperature_words(value.value, _places(value.value))
    if value.unit is AskedUnit.NUMBER:
        return figures
    names = [" ".join(words) for words, unit in UNIT_PHRASES.items() if unit is value.unit]
    spoken = [name for name in names if words_said(name)] or names
    name = spoken[min(1, len(spoken) - 1)] if value.value == 1 else spoken[0]
    return f"{figures} {name}"


def _places(value: Decimal) -> int:
    """How many figures stand after the point."""
    exponent = value.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
