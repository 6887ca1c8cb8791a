"""What is doubtful about a plan that can be brewed: one sentence each, never a refusal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from assistant.day.plan import AdditionKind, Plan, Sanitised
from assistant.day.plan_checks import HEAT_EXPANSION
from assistant.quantities import Dimension, dimension_of, from_core, to_core

# 100 g of sugar in a litre of solution makes SG 1.03857 (sucrose density at 20 °C).
_SUGAR_POINTS_L_PER_KG: Final = 385.7
# Room for foam under the rim, common practice, no source.
_FOAM_ROOM: Final = 0.1
# Shortest contact: hot water or boiling 5 min at 77 °C or more, chemicals 1 min (New York, 1 NYCRR 2.18).
_SHORTEST_CONTACT_S: Final = {Sanitised.IN_THE_BOIL: 300.0, Sanitised.HOT_WATER: 300.0, Sanitised.NO_RINSE: 60.0}


def find_remarks(plan: Plan) -> tuple[str, ...]:
    """Sentences about what does not fit in a plan, in the brewer's units."""
    return (*_mass_balance(plan), *_kettle(plan), *_chill(plan), *_sanitation(plan))


def gravity_by_boil_off_sg(plan: Plan) -> float:
    """The gravity after the boil that the plan's volumes and its gravity before the boil lead to [SG].

    Points times volume are kept, and sugar that goes into the kettle adds its own.
    Bias: extract per point changes by under 0.3 % between 1.030 and 1.100, so under 0.2 points.
    """
    points_l = (plan.beer.gravity_before_boil_sg - 1.0) * 1000.0 * plan.volume_before_boil_l
    for addition in plan.additions:
        unit = addition.amount.unit
        if addition.kind is AdditionKind.SUGAR and unit is not None and dimension_of(unit) is Dimension.MASS:
            points_l += _SUGAR_POINTS_L_PER_KG * to_core(float(addition.amount.value), unit)
    return 1.0 + points_l / plan.volume_after_boil_l / 1000.0


def _mass_balance(plan: Plan) -> Iterator[str]:
    reached_sg = gravity_by_boil_off_sg(plan)
    wanted_sg = plan.beer.gravity_after_boil_sg
    if abs(reached_sg - wanted_sg) > plan.beer.gravity_tolerance_sg:
        before, after = _volume(plan, plan.volume_before_boil_l), _volume(plan, plan.volume_after_boil_l)
        yield (
            f"The targets do not fit the boil-off: {before} at {plan.beer.gravity_before_boil_sg:.3f} "
            f"boiled down to {after} comes to {reached_sg:.3f}, and the plan wants {wanted_sg:.3f}."
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


def _volume(plan: Plan, volume_l: float) -> str:
    return f"{from_core(volume_l, plan.units.volume):.1f} {plan.units.volume}"


def _temperature(plan: Plan, temperature_c: float) -> str:
    return f"{from_core(temperature_c, plan.units.temperature):.0f} {plan.units.temperature}"
