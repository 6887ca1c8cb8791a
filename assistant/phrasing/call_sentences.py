"""A sentence for each call. The word that matters comes first; a caution comes before the hand moves.

Cautions name the hazard and the act. They are the trade's usual ones and do not replace local codes, the label of
a cleaner or sanitiser, or licensed practice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from assistant.day import targets
from assistant.day.calls import (
    AdditionGroup,
    Call,
    CallKind,
    LatePolicy,
    addition_groups,
    boil_items,
    not_sanitised,
    wet_items,
)
from assistant.day.due import Due
from assistant.day.plan import AdditionKind, AdditionTime, Plan, SanitationItem, Sanitised
from assistant.day.state import State
from assistant.day.timetable import WATER
from assistant.messages import Say
from assistant.phrasing import numbers, units
from assistant.phrasing.inquiry_dialogue import asked_text
from assistant.phrasing.questions import question_text
from assistant.phrasing.speakable import speakable


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a sentence is made from. `first` is False when the call is repeated."""

    call: Call
    first: bool
    plan: Plan
    state: State
    now_s: float


def call_sentence(item: Due, plan: Plan, state: State, now_s: float) -> Say:
    """What to say for a call that is due, with its chime and urgency."""
    call = item.call
    text = _text(_Asked(call, item.occurrence == 1, plan, state, now_s))
    if call.late is LatePolicy.SAY_WITH_AGE and item.late_s > call.grace_s and item.occurrence == 1:
        text = f"{numbers.span_words(item.late_s).capitalize()} ago: {text}"
    return Say(text, call.urgency, call.chime, call.key)


def _text(asked: _Asked) -> str:
    kind = asked.call.kind
    if kind in FIXED:
        return FIXED[kind][0 if asked.first else 1]
    return MADE[kind](asked)


def _ready(asked: _Asked) -> str:
    beer = asked.plan.beer
    return (
        f'{beer.name}, {units.volume(beer.into_fermenter_l, asked.plan)} into the fermenter. Say "start the day".'
    )


def _strike(asked: _Asked) -> str:
    mash = asked.plan.mash
    water = units.volume(mash.strike_volume_l, asked.plan)
    wanted = units.temperature(mash.strike_temperature_c, asked.plan)
    return (
        f"Strike water: {water} to {wanted}. It scalds: lift nothing full and hot. "
        'Tell me the temperature. With the grain in, say "mash is in".'
    )


def _mash_check(asked: _Asked) -> str:
    wanted_c = targets.temperature_target_c(asked.plan, asked.state)
    wanted = "" if wanted_c is None else f" Wanted {units.temperature(wanted_c, asked.plan)}."
    return f"Mash temperature? Stir first.{wanted}"


def _rest_over(asked: _Asked) -> str:
    rests, index = asked.plan.mash.rests, asked.call.index
    name = rests[index].name.capitalize()
    if index + 1 == len(rests):
        return f'{name} is over. Run off next. Say "run off".'
    following = rests[index + 1]
    wanted = units.temperature(following.temperature_c, asked.plan)
    return f"{name} is over. Heat to {wanted} for {following.name}, stirring. Say done when it is there."


def _addition_ahead(asked: _Asked) -> str:
    group = addition_groups(asked.plan)[asked.call.index]
    name, contents = units.group_name(group), units.group_contents(group, asked.plan, asked.state.made_up_kg)
    if asked.call.key.endswith(".weigh"):
        return f"Weigh before the boil, for the {name}: {contents}."
    return f"Two minutes to the {name}: weigh {contents}."


def _addition_now(asked: _Asked) -> str:
    group = addition_groups(asked.plan)[asked.call.index]
    if not asked.first:
        return f"{units.group_name(group).capitalize()}, now. Say done."
    contents = units.group_contents(group, asked.plan, asked.state.made_up_kg)
    return f"Now: {units.group_name(group)} in, {contents}.{_addition_caution(group)} Say done."


def _addition_caution(group: AdditionGroup) -> str:
    """Whatever goes into boiling wort can make it rise; sugar burns on the bottom as well."""
    if group.time is AdditionTime.FIRST_WORT:
        return " Hot wort: mind the splash."
    if group.time is AdditionTime.HOP_STAND:
        return " Steam scalds."
    if any(addition.kind is AdditionKind.SUGAR for addition in group.additions):
        return " Flame low: it foams and scorches. Stir."
    return " Watch the foam."


def _into_the_boil(asked: _Asked) -> str:
    item = boil_items(asked.plan)[asked.call.index]
    name = item.name.capitalize()
    if not asked.first:
        return f"{name} into the boil, now. Say done."
    contact = numbers.span_words(item.contact_s)
    return f"{name} into the boil now, for {contact}. Hot splash: lower it slowly. Say done."


def _item(asked: _Asked) -> SanitationItem:
    return wet_items(asked.plan)[asked.call.index]


def _wet(asked: _Asked) -> str:
    item = _item(asked)
    opening = ""
    if asked.first and asked.call.index == 0:
        count = numbers.cardinal(len(wet_items(asked.plan)))
        opening = f"Sanitise what touches the wort, {count} to do: gloves, goggles, and mix it by the label. "
    how = "in hot water, it scalds" if item.how is Sanitised.HOT_WATER else "wet with sanitiser"
    contact = numbers.span_words(item.contact_s)
    return f"{opening}{item.name.capitalize()} {how}, {contact}. Say {item.name} when it is."


def _contact_over(asked: _Asked) -> str:
    return f"{_item(asked).name.capitalize()}: contact time reached. Let it drain, and follow the label."


def _stand_cool(asked: _Asked) -> str:
    wanted_c = addition_groups(asked.plan)[asked.call.index].temperature_c or asked.plan.rig.boiling_point_c
    wanted = units.temperature(wanted_c, asked.plan)
    return f"Hop stand: cool to {wanted}, stirring, and tell me the temperature. Steam scalds."


def _names(items: tuple[SanitationItem, ...]) -> str:
    return ", ".join(item.name for item in items)


def _transfer_blocked(asked: _Asked) -> str:
    unsafe = not_sanitised(asked.plan, asked.state)
    return f"No transfer yet. Not safe: {_names(unsafe)}. Say each name when it is sanitised."


def _transfer(asked: _Asked) -> str:
    if not asked.first:
        return 'Let it flow, lift nothing full. Say "transfer is done" when it is.'
    return (
        f"Sanitised: {_names(asked.plan.sanitation)}. Transfer now. Glass breaks, full vessels strain: "
        'let it flow, do not lift. Then say "transfer is done".'
    )


def _pitch(asked: _Asked) -> str:
    if not asked.first:
        return "Pitch the yeast. Say done."
    yeast = asked.plan.yeast
    wanted = units.temperature(yeast.pitch_c, asked.plan)
    return f"Pitch {yeast.name}, {units.amount(yeast.amount)}, at {wanted}. Clean hands. Say done."


def _handed_over(asked: _Asked) -> str:
    later = asked.plan.later
    first = f" Next: day {numbers.cardinal(later[0].day)}, {speakable(later[0].what)}." if later else ""
    caution = "Airlock free, never sealed. It makes carbon dioxide: air the room before you stay in it."
    return f"Pitched. {caution}{first}"


def _correction(asked: _Asked) -> str:
    chosen = asked.state.chosen
    if chosen is None:
        raise ValueError("a correction was called that nobody chose")
    fact = chosen.fact
    if asked.call.index == WATER:
        water = units.volume(fact.water_l, asked.plan)
        return f"Add {water} of boiled water, slowly: it scalds and splashes. Say done."
    what, mass_kg = ("dry extract", fact.extract_kg) if fact.extract_kg else ("white sugar", fact.sugar_kg)
    weight = units.mass(mass_kg, asked.plan)
    return f"Weigh {weight} of {what}. Heat off first: it scorches and foams. Stir it in. Say done."


def _question_again(asked: _Asked) -> str:
    if asked.state.question is None:
        raise ValueError("a question was repeated that is not pending")
    return question_text(asked.state.question)


def _inquiry_again(asked: _Asked) -> str:
    if asked.state.inquiry is None:
        raise ValueError("a question was repeated that is not open")
    return asked_text(replace(asked.state.inquiry, times=min(2, asked.state.inquiry.times + 1)))


# Sentences that are always the same: the first time, and repeated.
FIXED: Final[dict[CallKind, tuple[str, str]]] = {
    CallKind.RUN_OFF: (
        'Hot wort and heavy: lift nothing full, hoses clamped. Run off slowly. Then say "kettle is full".',
        'Say "kettle is full" when it is.',
    ),
    CallKind.ASK_GRAVITY: (
        "Temperature and gravity, please. Stir, and draw the sample with a ladle: it scalds.",
        "Temperature and gravity?",
    ),
    CallKind.ASK_VOLUME: (
        "Volume next, by the stick. Mind the steam.",
        "Volume? I reckon with the plan's until then.",
    ),
    CallKind.HEAT_UP: (
        'Heat to the boil, lid off. It foams before it boils: stand by the valve. Then say "boil is on".',
        'Say "boil is on" when it boils.',
    ),
    CallKind.FOAM_WATCH: ("Foam watch. It can rise now: stand by the valve, lid off, hands clear.", "Foam watch."),
    CallKind.STILL_HELD: (
        'The boil clock is still held. Say "carry on".',
        'The boil clock is still held. Say "carry on".',
    ),
    CallKind.KNOCKOUT_AHEAD: ("Two minutes to knockout.", "Two minutes to knockout."),
    CallKind.KNOCKOUT: (
        "Knockout: flame off, pump off. The kettle stays scalding. Say done.",
        "Flame off, now. Say done.",
    ),
    CallKind.STAND_OVER: (
        'Hop stand over. Cooling water on slowly: the outlet runs scalding at first. Say "water is on".',
        'Say "water is on" when the chiller runs.',
    ),
    CallKind.CHILL_ON: (
        'Chill. Cooling water on slowly: the outlet runs scalding at first. Say "water is on".',
        'Say "water is on" when the chiller runs.',
    ),
    CallKind.ASK_TEMPERATURE: ("Temperature, please. Stir, it helps.", "Temperature?"),
    CallKind.CHILL_REACHED: (
        'Cool enough to pitch. Cooling water off. Say "chill is done".',
        'Say "chill is done".',
    ),
    CallKind.ASK_ORIGINAL_GRAVITY: (
        "Temperature and gravity of the wort, please, and the volume.",
        "Temperature and gravity?",
    ),
    CallKind.OXYGENATE: (
        "Oxygenate now. With bottled oxygen: no flame, no sparks, open the valve slowly. Say done.",
        "Oxygenate. Say done.",
    ),
    CallKind.SAMPLE_TEMPERATURE: ("Temperature of the sample?", "How warm is the sample?"),
    CallKind.QUESTION_DROPPED: (
        "No answer: not taken. Say the reading again when you can.",
        "No answer: not taken.",
    ),
    CallKind.INQUIRY_DROPPED: ("No answer: I leave that question.", "No answer: I leave that question."),
}

# Sentences made from the plan and the state.
MADE: Final[dict[CallKind, Callable[[_Asked], str]]] = {
    CallKind.READY: _ready,
    CallKind.STRIKE: _strike,
    CallKind.MASH_CHECK: _mash_check,
    CallKind.REST_OVER: _rest_over,
    CallKind.ADDITION_AHEAD: _addition_ahead,
    CallKind.ADDITION_NOW: _addition_now,
    CallKind.INTO_THE_BOIL: _into_the_boil,
    CallKind.CONTACT_OVER: _contact_over,
    CallKind.STAND_COOL: _stand_cool,
    CallKind.WET_ITEM: _wet,
    CallKind.TRANSFER_BLOCKED: _transfer_blocked,
    CallKind.TRANSFER: _transfer,
    CallKind.PITCH: _pitch,
    CallKind.HANDED_OVER: _handed_over,
    CallKind.CORRECTION: _correction,
    CallKind.QUESTION_AGAIN: _question_again,
    CallKind.INQUIRY_AGAIN: _inquiry_again,
}
