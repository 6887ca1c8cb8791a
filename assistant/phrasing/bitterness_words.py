"""The bitterness in words: how it goes, why, what a late addition does to it, and the lines of plan and report."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from assistant.day import facts as f
from assistant.day.bitterness_of_day import (
    DayBitterness,
    bitterness_of_day,
    has_alpha,
    planned_bitterness,
    trade_tables_ibu,
    without_alpha,
)
from assistant.day.calls import addition_groups
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.phrasing import numbers, units
from assistant.quantities import from_core

# Less is not worth a word of its own.
_LEAST_IBU: Final = 0.5
_LATE_S: Final = 60.0
_NO_ALPHA: Final = "The plan tells no alpha acid, so I cannot reckon the bitterness."
_BEYOND: Final = "The bitterness of this day is beyond what I can reckon."


def how_bitter(state: State, plan: Plan, now_s: float) -> str:
    """The bitterness that the day is going for, how sure, what is in so far, and what the plan comes to."""
    day, planned = bitterness_of_day(plan, state, now_s), planned_bitterness(plan)
    if day is None or planned is None:
        return _BEYOND if has_alpha(plan) else _NO_ALPHA
    ibu, give = day.at_end.value, numbers.cardinal(max(1, round(2.0 * day.at_end.sd)))
    so_far = day.so_far.value
    to_come = abs(ibu - so_far) >= _LEAST_IBU
    text = f"{_ibu(ibu)}{' as it goes' if to_come else ''}, give or take {give}"
    if to_come:
        text = f"{text}; {_figure(so_far) if so_far >= _LEAST_IBU else 'none'} so far"
    counted = _unconfirmed(day, plan)
    return f"{text}. The plan: {_figure(planned.at_end.value)}.{counted}"


def _unconfirmed(day: DayBitterness, plan: Plan) -> str:
    groups = addition_groups(plan)
    names = dict.fromkeys(units.group_name(groups[item.group]) for item in day.unconfirmed)
    return f" I count the {' and the '.join(names)} as in; nobody said so." if names else ""


def why_so_bitter(state: State, plan: Plan, now_s: float) -> str:
    """Where the bitterness comes from, and why it is not what the trade's table says."""
    day = bitterness_of_day(plan, state, now_s)
    if day is None:
        return _BEYOND if has_alpha(plan) else _NO_ALPHA
    groups = addition_groups(plan)
    shares = sorted(
        ((day.of(item).value, units.group_name(groups[item.group])) for item in day.bill if item.counted),
        reverse=True,
    )
    parts = [f"{_figure(ibu)} from the {name}" for ibu, name in shares[:1]]
    rest = sum(ibu for ibu, _ in shares[1:])
    if rest >= _LEAST_IBU:
        parts.append(f"{_figure(rest)} from the rest")
    tinseth, _ = trade_tables_ibu(day)
    text = ", ".join(parts)
    sentences = [f"{text[:1].upper()}{text[1:]}."] if parts else []
    sentences.append(f"By time and temperature; the trade's table says {_figure(tinseth)}{_apart(day, tinseth)}.")
    left_out = without_alpha(plan)
    if left_out:
        sentences.append(f"No alpha acid is given for {', '.join(left_out)}.")
    return " ".join(sentences)


def _apart(day: DayBitterness, tinseth_ibu: float) -> str:
    """What the table and the kinetics mostly differ by."""
    if tinseth_ibu > day.at_end.value:
        return ", since it gives short boils more"
    return ", since it knows no hop stand" if day.kettle.stands else ""


def bitterness_moved(fact: f.BitternessMoved, plan: Plan) -> str:
    """What it comes to instead of the plan, and what makes up for it."""
    text = f"{_ibu(fact.ibu)} instead of {_figure(fact.planned_ibu)}."
    if fact.why_not:
        return f"{text} {fact.why_not}."
    if fact.mass_kg == 0.0:
        return text
    mass = units.hop_mass(abs(fact.mass_kg), plan).capitalize()
    name = _name(fact.addition, plan)
    return f"{text} {mass} {'more' if fact.mass_kg > 0 else 'less'} at the {name}? Yes, or no."


def late_words(fact: f.BitternessMoved) -> str:
    """How late the hops went in that this is about."""
    return f", {numbers.span_words(fact.late_s)} late" if fact.late_s >= _LATE_S else ""


def make_up_taken(fact: f.MakeUpTaken, state: State, plan: Plan) -> str:
    """What will be weighed in all."""
    have_kg = plan.additions[fact.addition].amount.mass_kg or 0.0
    total = units.hop_mass(have_kg + state.made_up_kg.get(fact.addition, 0.0), plan)
    return f"{total.capitalize()} in all at the {_name(fact.addition, plan)}."


def _name(place: int, plan: Plan) -> str:
    item = plan.additions[place]
    return units.group_name(next(group for group in addition_groups(plan) if item in group.additions))


def _figure(ibu: float) -> str:
    return numbers.decimal_words(ibu, 0)


def _ibu(ibu: float) -> str:
    return f"{_figure(ibu).capitalize()} IBU"


# --- to read


def planned_line(plan: Plan) -> str:
    """The bitterness of a plan in one line for the page of its targets; empty where it tells no alpha acid."""
    planned = planned_bitterness(plan)
    if planned is None:
        return ""
    tinseth, rager = trade_tables_ibu(planned)
    wanted = "" if plan.beer.bitterness_ibu is None else f", wanted {plan.beer.bitterness_ibu:.0f}"
    told = planned.at_end
    return f"{told.value:.0f} IBU ± {2.0 * told.sd:.0f}{wanted}; {tinseth:.0f} by Tinseth, {rager:.0f} by Rager"


def report_lines(plan: Plan, state: State, now_s: float) -> Iterator[str]:
    """The bitterness of a day as it came out, beside the plan, with what each addition gives."""
    day, planned = bitterness_of_day(plan, state, now_s), planned_bitterness(plan)
    if day is None or planned is None:
        return
    tinseth, rager = trade_tables_ibu(day)
    told = day.at_end
    yield (
        f"Bitterness: {told.value:.0f} IBU ± {2.0 * told.sd:.0f}, the plan {planned.at_end.value:.0f};"
        f" {tinseth:.0f} by Tinseth, {rager:.0f} by Rager"
    )
    for item in day.bill:
        unit, percent = plan.units.small_mass, 100.0 * item.hops.alpha_fraction.value
        mass = f"{from_core(item.hops.mass_kg.value, unit):.3g} {unit}"
        name = plan.additions[item.place].what
        yield f"  {day.of(item).value:4.1f} IBU  {name}, {mass} of {percent:.1f} % alpha, {item.are.value}"
    if told.note:
        yield f"  {told.note}"
