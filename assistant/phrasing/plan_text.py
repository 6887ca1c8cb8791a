"""A plan as a text to read on a terminal: targets, and what is called when."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Final

from assistant.calculation.scales import sg_to
from assistant.day.plan import Addition, AdditionTime, Amount, Mash, Plan, Sanitised, UnitChoice
from assistant.phrasing.bitterness_words import planned_line
from assistant.quantities import Unit, from_core

WIDTH: Final = 80
"""Columns that no line goes beyond."""

_LABEL: Final = 20
_DECIMALS: Final = {Unit.LITRE: 1, Unit.US_GALLON: 2, Unit.US_QUART: 1}


def plan_lines(plan: Plan) -> tuple[str, ...]:
    """The plan in the brewer's units, at most `WIDTH` columns wide; an empty line between its parts."""
    return tuple(line for part in _parts(plan) for line in part)


def _parts(plan: Plan) -> Iterator[list[str]]:
    yield [*_wrapped(plan.beer.name, ""), *_wrapped(_rig(plan), "")]
    yield ["", "Targets", *_targets(plan)]
    yield ["", "Calls, in minutes before knockout", *_calls(plan)]
    stands = [addition for addition in plan.additions if addition.time is AdditionTime.HOP_STAND]
    if stands:
        yield ["", "After knockout", *(line for stand in stands for line in _stand(plan, stand))]
    yield ["", "Clean and wet before the wort is cool", *_sanitation(plan)]
    if plan.later:
        yield ["", "Weeks after", *(line for item in plan.later for line in _row(f"day {item.day}", item.what))]
    if plan.remarks:
        yield ["", "Look at these", *(line for remark in plan.remarks for line in _wrapped(remark, "  "))]


def _rig(plan: Plan) -> str:
    full_l = plan.rig.kettle_full_l
    full = f", {_volume(full_l, plan.units)} to the rim" if full_l is not None else ""
    return f"{plan.rig.name}{full}; water boils at {_temperature(plan.rig.boiling_point_c, plan.units, 1)}"


def _targets(plan: Plan) -> Iterator[str]:
    beer, units = plan.beer, plan.units
    volume_slack = f"± {_volume(beer.volume_tolerance_l, units)}"
    yield from _row("strike water", _strike(plan.mash, units))
    for rest in plan.mash.rests:
        yield from _row(rest.name, f"{_temperature(rest.temperature_c, units)} for {rest.minutes:g} min")
    for label, volume_l, sg in (
        ("before the boil", plan.volume_before_boil_l, beer.gravity_before_boil_sg),
        ("after the boil", plan.volume_after_boil_l, beer.gravity_after_boil_sg),
    ):
        gravity = _gravity(sg, beer.gravity_tolerance_sg, units.gravity)
        yield from _row(label, f"{gravity}, {_volume(volume_l, units)} {volume_slack}")
    bitterness = planned_line(plan)
    if bitterness:
        yield from _row("bitterness", bitterness)
    yield from _row("into the fermenter", f"{_volume(beer.into_fermenter_l, units)} {volume_slack}")
    yeast = plan.yeast
    slack = from_core(beer.temperature_tolerance_c, units.temperature) - from_core(0.0, units.temperature)
    pitch = f"{_temperature(yeast.pitch_c, units)} ± {slack:.2g}"
    yield from _row("pitch", f"{yeast.name}, {amount_text(yeast.amount)}, at {pitch}")
    cold = _temperature(20.0, units)
    yield from _wrapped(f"Volumes are at {cold}; the same wort stands 4 % higher when it boils.", "  ")


def _strike(mash: Mash, units: UnitChoice) -> str:
    water = f"{_volume(mash.strike_volume_l, units)} at {_temperature(mash.strike_temperature_c, units)}"
    if mash.grain_kg is None:
        return water
    return f"{water}, for {from_core(mash.grain_kg, units.large_mass):.3g} {units.large_mass} of grain"


def _calls(plan: Plan) -> Iterator[str]:
    calls: list[tuple[float, str]] = [(plan.beer.boil_min, "boil on")]
    for addition in plan.additions:
        text = f"{addition.what}, {amount_text(addition.amount)}{_alpha(addition)}"
        if addition.time is AdditionTime.FIRST_WORT:
            yield from _row("first wort", text)
        elif addition.minutes is not None and addition.time is AdditionTime.BEFORE_KNOCKOUT:
            calls.append((addition.minutes, text))
    for item in plan.sanitation:
        if item.how is Sanitised.IN_THE_BOIL:
            calls.append((item.contact_s / 60.0, f"{item.name} into the boil"))
    for minutes, text in [*sorted(calls, key=lambda call: -call[0]), (0.0, "knockout")]:
        yield from _row(f"{minutes:6.4g}", text)


def _stand(plan: Plan, stand: Addition) -> Iterator[str]:
    assert stand.temperature_c is not None
    label = f"at {_temperature(stand.temperature_c, plan.units)}"
    text = f"{stand.what}, {amount_text(stand.amount)}{_alpha(stand)}, stand for {stand.minutes:g} min"
    return _row(label, text)


def _alpha(addition: Addition) -> str:
    share = addition.alpha_fraction
    return "" if share is None else f" of {100.0 * share:.3g} % alpha"


def _sanitation(plan: Plan) -> Iterator[str]:
    for item in plan.sanitation:
        yield from _row(item.name, f"{item.how}, {item.contact_s / 60:g} min")


def amount_text(amount: Amount) -> str:
    """An amount as the plan wrote it: "22 g", "1 tablet"."""
    return f"{amount.value:f} {amount.unit or amount.counted}"


def _volume(volume_l: float, units: UnitChoice) -> str:
    decimals = _DECIMALS.get(units.volume, 1)
    return f"{from_core(volume_l, units.volume):.{decimals}f} {units.volume}"


def _temperature(temperature_c: float, units: UnitChoice, decimals: int = 0) -> str:
    number = f"{from_core(temperature_c, units.temperature):.{max(decimals, 1)}f}"
    return f"{number if decimals else number.removesuffix('.0')} {units.temperature}"


def _gravity(sg: float, tolerance_sg: float, unit: Unit) -> str:
    slack = sg_to(sg + tolerance_sg, unit) - sg_to(sg, unit)
    if unit is Unit.SPECIFIC_GRAVITY:
        return f"{sg:.3f} ± {slack:.3f}"
    return f"{sg_to(sg, unit):.1f} {unit} ± {slack:.1f}"


def _row(label: str, text: str) -> Iterator[str]:
    if len(label) > _LABEL:
        yield from _wrapped(label, "  ")
        label = ""
    indent = " " * (_LABEL + 4)
    yield from textwrap.wrap(text, WIDTH, initial_indent=f"  {label:<{_LABEL}}  ", subsequent_indent=indent)


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
