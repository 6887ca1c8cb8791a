"""Answers to a reading or a question without a day around it, for the verbs `ask` and `hear`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from typing import Final

from assistant.day import advice
from assistant.day import facts as f
from assistant.day.facts import Fact, Recorded, Stage
from assistant.day.plan import (
    Amount,
    Beer,
    Hydrometer,
    Mash,
    Plan,
    Rest,
    Rig,
    UnitChoice,
    Yeast,
)
from assistant.day.readings import take
from assistant.day.state import State, step
from assistant.day.targets import listening
from assistant.messages import Moment
from assistant.phrasing import numbers
from assistant.phrasing.readbacks import advice_after, gravity_answer, temperature_answer, volume_answer
from assistant.quantities import Unit, from_core
from assistant.understanding.parse import parse
from assistant.understanding.said import (
    Expected,
    Kind,
    Listening,
    NotUnderstood,
    Order,
    OutOfLimits,
    Readings,
    Said,
)

METRIC: Final = UnitChoice()
US: Final = UnitChoice(
    temperature=Unit.FAHRENHEIT,
    volume=Unit.US_GALLON,
    depth=Unit.INCH,
    small_mass=Unit.OUNCE,
    large_mass=Unit.POUND,
)
_NO_DAY: Final = Stage.FERMENTING
_NO_TIME: Final = Moment(0.0, datetime(1970, 1, 1, tzinfo=UTC))


@dataclass(frozen=True, slots=True)
class Answered:
    """What was understood, the facts it would bring, and the answer as it would be spoken."""

    said: Said
    facts: tuple[Fact, ...]
    answer: str


def neutral_plan(units: UnitChoice) -> Plan:
    """A plan without wishes: instruments as they are sold, no targets; a US hydrometer is made for 60 °F."""
    calibration_c = 20.0 if units.temperature is Unit.CELSIUS else (60.0 - 32.0) / 1.8
    return Plan(
        beer=Beer("no plan", 19.0, 1.045, 1.050, 60.0),
        rig=Rig("no rig", 3.5, hydrometer=Hydrometer(calibration_c=calibration_c)),
        mash=Mash(15.0, 73.0, (Rest("rest", 67.0, 60.0),)),
        additions=(),
        sanitation=(),
        yeast=Yeast("yeast", Amount(Decimal(1), None, "packet"), 18.0),
        units=units,
    )


def neutral_listening(units: UnitChoice) -> Listening:
    """Ready for any reading and any order; a bare number is a temperature where it can be one."""
    fahrenheit = units.temperature is Unit.FAHRENHEIT
    temperature = (
        Expected(Kind.TEMPERATURE, Unit.FAHRENHEIT, 130.0, 200.0, 20.0, 225.0)
        if fahrenheit
        else Expected(Kind.TEMPERATURE, Unit.CELSIUS, 55.0, 100.0, -5.0, 107.0)
    )
    gravity = Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, 1.045, 0.2, 0.980, 1.170)
    return Listening(
        temperature_unit=units.temperature,
        volume_unit=units.volume,
        depth_unit=units.depth,
        mass_unit=units.small_mass,
        gravity_unit=units.gravity,
        expected=(temperature, gravity),
    )


def ask(text: str, plan: Plan | None, stage: Stage | None, units: UnitChoice | None) -> Answered:
    """Understand `text` and answer it: against the targets of a plan's stage, or by itself without a plan.

    Without plan and units metric is tried first; a bare temperature that is impossible in °C is taken in °F.
    """
    if plan is not None:
        state = State(stage=stage or Stage.PRE_BOIL, planned_boil_min=plan.beer.boil_min)
        said = parse(text, listening(plan, state, 0.0))
        return _answer(said, plan, state)
    for choice in (units,) if units is not None else (METRIC, US):
        said = parse(text, neutral_listening(choice))
        answered = _answer(said, neutral_plan(choice), State(stage=_NO_DAY))
        if not isinstance(said, OutOfLimits | NotUnderstood):
            return answered
    return answered


def _answer(said: Said, plan: Plan, state: State) -> Answered:
    match said:
        case Readings(readings):
            facts = tuple(take(readings, plan, state))
            after = state
            for fact in facts:
                # So that the forecast and its advice know the reading.
                after = step(after, Recorded(0, _NO_TIME, 1, fact), plan)
            found = advice.options(plan, after, 0.0)
            if found is not None:
                after = step(after, Recorded(0, _NO_TIME, 1, advice.as_fact(found)), plan)
            answer = " ".join(text for fact in facts if (text := _fact_answer(fact, plan, after)))
            return Answered(said, facts, f"{answer} {advice_after(facts, after, plan, 0.0, answer)}".strip())
        case OutOfLimits():
            return Answered(said, (), f"Not taken: {said.why}.")
        case Order(command):
            return Answered(said, (), f'That is the order "{command.value}"; it needs a day: kettleside brew.')
        case _:
            return Answered(
                said, (), 'I do not know those words. Say a reading, such as "sixty degrees ten fifty-nine".'
            )


def _fact_answer(fact: Fact, plan: Plan, state: State) -> str:
    free = state.stage is _NO_DAY
    match fact:
        case f.GravityRead():
            return gravity_answer(fact, state, plan, 0.0)
        case f.GravityWaiting():
            return f"{fact.said} as read. Say the temperature of the sample too, and I correct it."
        case f.TemperatureRead() if free:
            celsius, fahrenheit = fact.temperature_c, from_core(fact.temperature_c, Unit.FAHRENHEIT)
            return (
                f"{numbers.temperature_words(celsius)} celsius, {numbers.temperature_words(fahrenheit)} fahrenheit."
            )
        case f.TemperatureRead():
            return temperature_answer(fact, state, plan, 0.0)
        case f.VolumeRead() if free:
            gallons = numbers.volume_words(round(from_core(fact.volume_l, Unit.US_GALLON), 2), Unit.US_GALLON)
            return f"{numbers.volume_words(round(fact.volume_l, 1), Unit.LITRE)}, {gallons}."
        case f.VolumeRead():
            return volume_answer(fact, state, plan, 0.0)
        case f.ReadingRefused():
            return f"Not taken: {fact.why}"
        case f.OtherRead():
            return f"{fact.value} {fact.unit}."
    return ""
