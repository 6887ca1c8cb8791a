"""What a day says of its rig by itself: its own figures, with the plan and the earlier days taken out."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from assistant.day import cooling, estimate, kettle, rig
from assistant.day import facts as f
from assistant.day.estimate import without_prior
from assistant.day.plan import AdditionKind, Plan
from assistant.day.rig import Figure
from assistant.day.state import State
from assistant.quantities import Measured

# A figure less sure than this (a share, or of the logarithm of τ) teaches nothing (judgement).
_USEFUL_SHARE: Final = 0.4
_USEFUL_COOLANT_SD_C: Final = 4.0
# A boil-off so far from the plan's is a mistake of the day, not the rig's (judgement).
_LEAST_OF_PLAN, _MOST_OF_PLAN = 0.3, 3.0


def of_day(plan: Plan, state: State) -> f.RigLearned | None:
    """The figures that this day alone tells of its rig; None where it tells none."""
    alone = replace(state, rig=None)
    found = {
        Figure.BOIL_OFF: _boil_off(plan, alone),
        Figure.EXTRACT_PER_GRAIN: _extract_per_grain(plan, alone),
        **_chill(plan, alone),
    }
    told = tuple((name.value, said.value, said.sd) for name, said in found.items() if said is not None)
    return f.RigLearned(plan.rig.name, told, rig.flow_l_per_min(plan)) if told else None


def _boil_off(plan: Plan, state: State) -> Measured | None:
    if state.boil is None:
        return None
    seen, planned = kettle.events(state, after_boil=True), plan.rig.boil_off_l_per_h
    said = estimate.said_boil_off(plan, seen, kettle.boiled_in_all_min(state))
    if said is None or not _LEAST_OF_PLAN * planned <= said.value <= _MOST_OF_PLAN * planned:
        return None
    return said if said.sd <= _USEFUL_SHARE * planned else None


def _extract_per_grain(plan: Plan, state: State) -> Measured | None:
    """Brewhouse efficiency, as extract in the kettle for each kilogram of grain; sugar would count as malt."""
    grain_kg, seen = plan.mash.grain_kg, kettle.events(state, after_boil=True)
    if grain_kg is None or not seen or any(item.kind is AdditionKind.SUGAR for item in plan.additions):
        return None
    belief = estimate.follow(plan, seen)
    added_kg = sum(event.extract_kg for event in seen if isinstance(event, estimate.Added))
    after = Measured((belief.mean[1] - added_kg) / grain_kg, float(belief.covariance[1, 1]) ** 0.5 / grain_kg)
    said = without_prior(after, rig.of_plan(plan)[Figure.EXTRACT_PER_GRAIN])
    return said if said is not None and said.value > 0.0 and said.sd <= _USEFUL_SHARE * said.value else None


def _chill(plan: Plan, state: State) -> dict[Figure, Measured | None]:
    """The chiller's τ for the reference volume, and the water that ran through it."""
    begun, belief = cooling.at_start(plan, state), cooling.believed(plan, state)
    if begun is None or belief is None or belief.taken < 2:
        return {}
    before, after = (
        [Measured(at.mean[place], math.sqrt(float(at.covariance[place, place]))) for place in (1, 2)]
        for at in (begun, belief)
    )
    coolant_c, log_tau = without_prior(after[0], before[0]), without_prior(after[1], before[1])
    if log_tau is not None:
        moved = log_tau.value - math.log(kettle.expected_after_boil_l(plan, state) / rig.REFERENCE_L)
        log_tau = Measured(moved, log_tau.sd) if log_tau.sd <= _USEFUL_SHARE else None
    if coolant_c is not None and coolant_c.sd > _USEFUL_COOLANT_SD_C:
        coolant_c = None
    return {Figure.CHILL_LOG_TAU: log_tau, Figure.COOLANT: coolant_c}
