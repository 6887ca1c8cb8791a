"""Answers to readings: the verdict first, the number, then the reason and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from assistant.day import advice, cooling
from assistant.day import facts as f
from assistant.day.facts import Fact, Stage
from assistant.day.plan import Plan
from assistant.day.readings import to_be_read_again
from assistant.day.state import State
from assistant.day.targets import gravity_target, temperature_target_c, volume_target_l
from assistant.phrasing import numbers, units
from assistant.phrasing.chilling import chill_sentence
from assistant.phrasing.offers import offer

# A correction smaller than this is not worth a breath.
_SPOKEN_CORRECTION_SG: Final = 0.0008


def gravity_answer(fact: f.GravityRead, state: State, plan: Plan, now_s: float) -> str:
    """Gravity against the target of the stage, with its correction."""
    said = units.gravity(fact.gravity_sg, plan)
    target = gravity_target(plan, state, now_s)
    # Where an offer follows, the breath is kept for it; its own band says how sure it is.
    give = "" if state.advice is not None else f", give or take {units.give_or_take(fact.sd_sg, plan)}"
    correction = _correction_note(fact, plan)
    if target is None:
        return _join(f"{said.capitalize()}{give}.", correction)
    wanted = units.gravity(target.gravity_sg, plan)
    miss = round(fact.gravity_sg, 4) - target.gravity_sg
    if abs(miss) <= target.tolerance_sg:
        verdict = _join(f"On target: {said}{give}.", f"Wanted {wanted}." if state.advice is None else "")
    else:
        way = "Low" if miss < 0 else "High"
        verdict = f"{way} by {units.gravity_difference(miss, plan)}: {said}{give}."
    return _join(verdict, correction, _check_the_glass(miss))


def advice_after(facts: Sequence[Fact], state: State, plan: Plan, now_s: float, said: str = "") -> str:
    """What to do after the readings of one breath, once for all of them; `state` is the one after them.

    said: what is said before it in the same breath, which leaves it so much less room.

    Nothing is weighed or boiled longer for a sample that is to be read again.
    """
    if any(isinstance(fact, f.ReadingSetAside) for fact in facts):
        return ""
    if not any(isinstance(fact, f.GravityRead | f.VolumeRead) for fact in facts):
        return ""
    target = gravity_target(plan, state, now_s)
    for fact in facts:
        if not isinstance(fact, f.GravityRead) or target is None:
            continue
        if to_be_read_again(fact) or _check_the_glass(fact.gravity_sg - target.gravity_sg):
            return ""
    return _advice(state, plan, now_s, said)


def _correction_note(fact: f.GravityRead, plan: Plan) -> str:
    shift = fact.gravity_sg - fact.instrument_sg
    if fact.instrument != "hydrometer" or abs(shift) < _SPOKEN_CORRECTION_SG:
        return ""
    size = units.gravity_difference(shift, plan)
    if to_be_read_again(fact):
        return f"It was hot: I added {size}. Cool a cup to be sure."
    return f"I {'added' if shift > 0 else 'took off'} {size} for the temperature."


def _check_the_glass(miss: float) -> str:
    """Far off is more often a bad sample than a bad mash."""
    if abs(miss) <= advice.FAR_MISS_SG:
        return ""
    if miss < 0:
        return "Far under: taken as said. Stir well and sample again; thin wort floats."
    return "Far over: taken as said. Bubbles lift the glass; spin it and read again."


def _advice(state: State, plan: Plan, now_s: float, said: str) -> str:
    if state.advice is not None:
        return offer(state.advice, plan, said)
    ahead = advice.forecast(plan, state, now_s)
    if ahead is None or ahead.assumed or advice.options(plan, state, now_s) is not None:
        return ""
    return f"Boil as planned: you end at {units.gravity(ahead.gravity_sg.value, plan)}, {_end_volume(ahead, plan)}."


def _end_volume(ahead: advice.Forecast, plan: Plan) -> str:
    miss_l = ahead.volume_l.value - plan.volume_after_boil_l
    if abs(miss_l) <= plan.beer.volume_tolerance_l:
        return "on volume"
    return f"{units.volume(abs(miss_l), plan)} {'long' if miss_l > 0 else 'short'}"


def temperature_answer(fact: f.TemperatureRead, state: State, plan: Plan, now_s: float) -> str:
    """A temperature against the one wanted, and what it changes."""
    said = units.temperature(fact.temperature_c, plan)
    wanted_c = temperature_target_c(plan, state)
    if wanted_c is None:
        return f"{said.capitalize()}."
    wanted = units.temperature(wanted_c, plan)
    miss = fact.temperature_c - wanted_c
    if state.stage in (Stage.CHILL, Stage.HOP_STAND):
        return _join(f"{said.capitalize()}.", _cooling(state, plan, wanted_c, now_s))
    if abs(miss) <= plan.beer.temperature_tolerance_c:
        return f"On target: {said}."
    scale = 1.8 if plan.units.temperature.value == "°F" else 1.0
    size = numbers.cardinal(max(1, round(abs(miss) * scale)))
    return f"{'Cold' if miss < 0 else 'Hot'} by {size}: {said}. Wanted {wanted}."


def _cooling(state: State, plan: Plan, wanted_c: float, now_s: float) -> str:
    """When the wanted temperature will be there, from the readings of this stage."""
    wanted = units.temperature(wanted_c, plan)
    last = state.in_stage(state.temperatures)
    if last is None or last.fact.temperature_c <= wanted_c + plan.beer.temperature_tolerance_c:
        return ""
    ahead = cooling.chill_forecast(plan, state)
    return f"Going for {wanted}." if ahead is None else chill_sentence(ahead, wanted_c, plan, now_s)


def volume_answer(fact: f.VolumeRead, state: State, plan: Plan, now_s: float) -> str:
    """A volume against the target at 20 °C."""
    stands = units.volume(fact.volume_l, plan)
    target_l = volume_target_l(plan, state)
    if target_l is None:
        return f"{stands.capitalize()}."
    miss_l = fact.cold_l - target_l
    if abs(miss_l) <= plan.beer.volume_tolerance_l:
        cold = units.volume(fact.cold_l, plan)
        verdict = f"On target: {stands}." if cold == stands else f"On target: {stands}, {cold} when cold."
    else:
        word = "over" if miss_l > 0 else "short"
        off = units.volume(abs(miss_l), plan)
        if state.advice is not None:
            return f"{stands.capitalize()}, {off} {word}."
        verdict = f"{stands.capitalize()}, {off} {word} when cold."
    return verdict


def _join(*parts: str) -> str:
    return " ".join(part for part in parts if part)
