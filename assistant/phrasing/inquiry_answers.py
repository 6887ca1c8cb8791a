"""Questions about the physics answered: one spoken sentence, the results, and on demand where they come from."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from inspect import cleandoc
from textwrap import wrap
from typing import Final

from assistant.calculation.hydrometer import correct
from assistant.calculation.refractometer import sg_from_reading
from assistant.calculation.sources import SOURCES
from assistant.day.facts import Fact, GravityRead
from assistant.day.plan import Plan, UnitChoice
from assistant.day.refusals import refusal_in_units
from assistant.phrasing.asking import METRIC, US, neutral_listening, neutral_plan
from assistant.phrasing.inquiry_cellar import CELLAR
from assistant.phrasing.inquiry_chill import CHILL
from assistant.phrasing.inquiry_cleaning import CLEANING
from assistant.phrasing.inquiry_ferment import FERMENT
from assistant.phrasing.inquiry_grist import GRIST
from assistant.phrasing.inquiry_hops import HOPS
from assistant.phrasing.inquiry_instruments import INSTRUMENTS
from assistant.phrasing.inquiry_kettle import KETTLE
from assistant.phrasing.inquiry_mash import MASH
from assistant.phrasing.inquiry_mixing import MIXING
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply
from assistant.phrasing.inquiry_water import WATER
from assistant.phrasing.inquiry_yeast import YEAST
from assistant.quantities import OutsideRange
from assistant.understanding.inquiries import Incomplete, Inquiry, parse_inquiry
from assistant.understanding.inquiry_topics import SUBJECTS, TOPIC
from assistant.understanding.inquiry_units import METRIC_UNITS, US_UNITS

METHODS: Final[dict[str, Method]] = {
    **GRIST,
    **MASH,
    **KETTLE,
    **HOPS,
    **CHILL,
    **INSTRUMENTS,
    **YEAST,
    **FERMENT,
    **CELLAR,
    **WATER,
    **MIXING,
    **CLEANING,
}
_COLUMNS: Final = 80
STATUS_WORDS: Final[dict[str, str]] = {
    "SRC": "the source itself was read",
    "2ND": "second-hand",
    "LIB": "a reference library",
    "CALC": "own arithmetic from such",
    "MEM": "from memory",
    "CP": "common practice, no source",
}

_CORRECTIONS: Final[dict[str, Callable[..., object]]] = {
    "hydrometer": correct,
    "refractometer": sg_from_reading,
}


@dataclass(frozen=True, slots=True)
class InquiryAnswer:
    """The answer to a question, or the sentence that says why there is none (`results` empty then).

    understood: the type of what was read, or "Refused" where the formula does not hold. why: lines for a reader,
    not for the voice.
    """

    understood: str
    topic: str
    sentence: str
    results: tuple[Labelled, ...] = ()
    why: tuple[str, ...] = ()


def inquire(text: str, plan: Plan | None, units: UnitChoice | None) -> InquiryAnswer | None:
    """Answer `text` if a topic begins it, else None.

    Without plan and units metric counts, unless every unit that was said is a US one.
    """
    chosen = plan.units if plan else units or METRIC
    read = parse_inquiry(text, neutral_listening(chosen))
    if plan is None and units is None and isinstance(read, Inquiry):
        other = parse_inquiry(text, neutral_listening(US))
        if isinstance(other, Inquiry) and _says_us_units_only(read, other):
            chosen, read = US, other
    if read is None:
        return None
    if isinstance(read, Incomplete):
        return InquiryAnswer(type(read).__name__, read.topic, incomplete_sentence(read))
    return answer_inquiry(read, plan, chosen)


def answer_inquiry(inquiry: Inquiry, plan: Plan | None, units: UnitChoice) -> InquiryAnswer:
    """Answer `inquiry` in `units` with the rig of `plan`, or with instruments as they are sold at sea level."""
    method = METHODS[inquiry.topic]
    given = Given(inquiry, plan or neutral_plan(units))
    try:
        reply = method.reply(given)
        given.require_brewed()
    except OutsideRange as refusal:
        return InquiryAnswer("Refused", inquiry.topic, refusal_in_units(refusal, units))
    except ArithmeticError:
        # Such as an infusion at the very temperature that it is to reach.
        title = TOPIC[inquiry.topic].title
        return InquiryAnswer("Refused", inquiry.topic, f"These values leave no answer to {title}; check them.")
    sentence = reply.sentence[0].upper() + reply.sentence[1:]
    spoken = f"{sentence} {reply.caution}".strip()
    why = tuple(_why(given, method, reply))
    return InquiryAnswer(type(inquiry).__name__, inquiry.topic, spoken, reply.results, why)


def reading_why(facts: Sequence[Fact]) -> tuple[str, ...]:
    """Where the gravities among the facts of a reading come from: formula, range, uncertainty and source."""
    lines: list[str] = []
    for fact in facts:
        if not isinstance(fact, GravityRead):
            continue
        docstring = _CORRECTIONS[fact.instrument].__doc__ or ""
        lines += [
            f"Formula: {docstring_section(docstring, 'Formula')}",
            f"Holds for: {docstring_section(docstring, 'Valid')}",
            f"Taken: {fact.said} read at {fact.sample_c:.4g} °C.",
            f"Gravity: {fact.gravity_sg:.4f} ± {fact.sd_sg:.2g} SG at 20 °C (one standard uncertainty).",
            f"  Source: {docstring_section(docstring, 'Source')}",
        ]
    return tuple(lines) or ("Nothing was worked out: it was taken as read.",)


def incomplete_sentence(read: Incomplete) -> str:
    """One sentence that says what to add or to say otherwise."""
    topic = TOPIC[read.topic]
    example = f'such as "{topic.example}"'
    if read.missing:
        return f"Add {_listed(read.missing)}, {example}."
    if read.unclear:
        return f"I cannot tell {_listed(read.unclear)} apart: say which is which, {example}."
    return f'I do not know what to do with "{read.unknown}"; ask it with the units, {example}.'


def list_lines() -> tuple[str, ...]:
    """What can be asked, by subject: what a question works out and, below it, how it is asked; 80 columns."""
    lines: list[str] = []
    for subject, topics in SUBJECTS.items():
        lines += ["", subject.upper()] if lines else [subject.upper()]
        for topic in topics:
            lines += wrap(
                topic.title, _COLUMNS, initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False
            )
            lines += wrap(
                f'"{topic.example}"',
                _COLUMNS,
                initial_indent="      ",
                subsequent_indent="      ",
                break_on_hyphens=False,
            )
    return tuple(lines)


def _says_us_units_only(metric: Inquiry, us: Inquiry) -> bool:
    """Whether what reads alike in both, so what was said with its unit, has US units and no metric ones."""
    said = {value.unit for name, value in metric.values.items() if us.values.get(name) == value}
    return bool(said & US_UNITS) and not said & METRIC_UNITS


def _listed(names: tuple[str, ...]) -> str:
    *front, last = (f"the {name}" for name in names)
    return f"{', '.join(front)} and {last}" if front else last


def _why(given: Given, method: Method, reply: Reply) -> Iterator[str]:
    """What the docstring of the function tells, what was taken, each result with its doubt, source and verdict."""
    docstring = (reply.function or method.function).__doc__ or ""
    yield f"Formula: {docstring_section(docstring, 'Formula')}"
    yield f"Holds for: {docstring_section(docstring, 'Valid')}"
    bias = docstring_section(docstring, "Bias")
    if bias:
        yield f"Mind: {bias}"
    for name, taken in given.taken.items():
        doubt = f" ± {taken.value.sd:.2g}" if taken.value.sd else ""
        origin = "" if taken.said else ", which was not said"
        yield f"Taken: {name} {taken.value.value:.6g}{doubt} {taken.unit}".rstrip() + f"{origin}."
    for item in reply.results:
        source = SOURCES[item.result.source]
        yield (
            f"{item.label[0].upper()}{item.label[1:]}: {item.result.value:.5g} ± {item.result.sd:.2g} "
            f"{item.result.unit} (one standard uncertainty); {item.result.verdict.value}."
        )
        yield f"  Source: {source.title} [{source.status}: {STATUS_WORDS[source.status]}]."
        if item.result.note and item.result.note not in reply.caution:
            yield f"  {item.result.note}"


def docstring_section(docstring: str, name: str) -> str:
    """The paragraph of `docstring` that begins with `name` and a colon, on one line; "" if there is none."""
    for paragraph in cleandoc(docstring).split("\n\n"):
        head, colon, text = paragraph.partition(":")
        if colon and head == name:
            return " ".join(text.split()).replace("`", "")
    return ""
