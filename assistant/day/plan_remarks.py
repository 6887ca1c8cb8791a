"""What is doubtful about a plan that can be brewed: one sentence each, never a refusal."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from assistant.calculation.extract import SUCROSE_FRACTION, extract_kg, wort_from, wort_kg
from assistant.calculation.scales import HIGHEST_SG, sg_to
from assistant.calculation.water import density_kg_m3
from assistant.day.bitterness_of_day import has_alpha, planned_bitterness, trade_tables_ibu, without_alpha
from assistant.day.plan import AdditionKind, Plan, Sanitised
from assistant.day.plan_checks import HEAT_EXPANSION
from assistant.quantities import OutsideRange, Unit, from_core

# Room for foam under the rim, common practice, no source.
_FOAM_ROOM: Final = 0.1
# Shortest contact: hot water or boiling 5 min at 77 °C or more, chemicals 1 min (New York, 1 NYCRR 2.18).
_SHORTEST_CONTACT_S: Final = {Sanitised.IN_THE_BOIL: 300.0, Sanitised.HOT_WATER: 300.0, Sanitised.NO_RINSE: 60.0}

# Farther from all three ways to reckon it than this, a wanted bitterness is another beer's (judgement).
_HOPS_OFF: Final = 0.15


def find_remarks(plan: Plan) -> tuple[str, ...]:
    """Sentences about what does not fit in a plan, in the brewer's units."""
    return (*_mass_balance(plan), *_kettle(plan), *_chill(plan), *_sanitation(plan), *_hops(plan))


def gravity_by_boil_off_sg(plan: Plan) -> float:
    """The gravity after the boil [SG] that the plan's volume and gravity before it lead to.

    Extract is kept, the boil-off takes water, and sugar that is weighed into the kettle adds its own.

    Raises:
        OutsideRange: when it would be beyond SG 1.17.
    """
    before_l, before_sg = plan.volume_before_boil_l, plan.beer.gravity_before_boil_sg
    dissolved_kg = extract_kg(before_l, before_sg)
    water_kg = wort_kg(before_l, before_sg) - dissolved_kg
    boiled_off_kg = (before_l - plan.volume_after_boil_l) * density_kg_m3(20.0) / 1000.0
    return wort_from(dissolved_kg + _sugar_kg(plan), water_kg - boiled_off_kg)[1]


def _sugar_kg(plan: Plan) -> float:
    weighed = [addition.amount.mass_kg for addition in plan.additions if addition.kind is AdditionKind.SUGAR]
    return sum(mass_kg for mass_kg in weighed if mass_kg is not None) * SUCROSE_FRACTION


def _mass_balance(plan: Plan) -> Iterator[str]:
    wanted_sg = plan.beer.gravity_after_boil_sg
    try:
        reached_sg = gravity_by_boil_off_sg(plan)
    except OutsideRange:
        reached_sg = math.inf
    if abs(reached_sg - wanted_sg) > plan.beer.gravity_tolerance_sg:
        before, after = _volume(plan, plan.volume_before_boil_l), _volume(plan, plan.volume_after_boil_l)
        comes_to = _gravity(plan, reached_sg) if math.isfinite(reached_sg) else f"over {_gravity(plan, HIGHEST_SG)}"
        yield (
            f"The targets do not fit the boil-off: {before} at {_gravity(plan, plan.beer.gravity_before_boil_sg)} "
            f"boiled down to {after} comes to {comes_to}, and the plan wants {_gravity(plan, wanted_sg)}."
        )


def _kettle(plan: Plan) -> Iterator[str]:
    hot_l = plan.volume_before_boil_l * HEAT_EXPANSION
    full_l = plan.rig.kettle_full_l
    if full_l is not None and hot_l > full_l * (1.0 - _FOAM_ROOM):
        yield (
            f"Little room for foam: {_volume(plan, hot_l)} come to the boil in a kettle "
            f"that holds {_volume(plan, full_l)}."
        )
    if plan.rig.dipstick and hot_l > plan.rig.dipstick[-1][1]:
        top = _volume(plan, plan.rig.dipstick[-1][1])
        yield f"The dipstick ends at {top}, and {_volume(plan, hot_l)} stand in the kettle before the boil."


def _chill(plan: Plan) -> Iterator[str]:
    coolant_c = plan.rig.chiller.coolant_c if plan.rig.chiller else None
    if coolant_c is not None and coolant_c >= plan.yeast.pitch_c:
        water, pitch = _temperature(plan, coolant_c), _temperature(plan, plan.yeast.pitch_c)
        yield f"Cooling water at {water} cannot bring the wort to {pitch}: have ice, or pitch later."


def _sanitation(plan: Plan) -> Iterator[str]:
    for item in plan.sanitation:
        shortest_s = _SHORTEST_CONTACT_S[item.how]
        if item.contact_s < shortest_s:
            yield f"{item.name}: {item.contact_s / 60:g} min {item.how} is short; {shortest_s / 60:g} min are safe."


def _hops(plan: Plan) -> Iterator[str]:
    planned, wanted_ibu = planned_bitterness(plan), plan.beer.bitterness_ibu
    if planned is None:
        if wanted_ibu is not None and not has_alpha(plan):
            yield "A bitterness is wanted, and it cannot be reckoned without the alpha acid of the hops."
        return
    left_out = without_alpha(plan)
    if left_out:
        yield f"No alpha acid is given for {', '.join(left_out)}: the bitterness is reckoned without."
    told = (planned.at_end.value, *trade_tables_ibu(planned))
    if wanted_ibu is not None and not (1 - _HOPS_OFF) * min(told) <= wanted_ibu <= (1 + _HOPS_OFF) * max(told):
        yield (
            f"The hops come to {told[0]:.0f} IBU, {told[1]:.0f} by Tinseth and {told[2]:.0f} by Rager, "
            f"and the plan wants {wanted_ibu:.0f}."
        )


def _gravity(plan: Plan, sg: float) -> str:
    unit = plan.units.gravity
    return f"{sg:.3f}" if unit is Unit.SPECIFIC_GRAVITY else f"{sg_to(sg, unit):.1f} {unit}"


def _volume(plan: Plan, volume_l: float) -> str:
    return f"{from_core(volume_l, plan.units.volume):.1f} {plan.units.volume}"


def _temperature(plan: Plan, temperature_c: float) -> str:
    return f"{from_core(temperature_c, plan.units.temperature):.0f} {plan.units.temperature}"
