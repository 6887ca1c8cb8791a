"""What a rig's days teach: from what each day said by itself to what to expect of the next one.

Each day keeps its own figures in its journal (`facts.RigLearned`). A new day weighs those of its rig against its
plan (`known`) and keeps the result at its beginning (`facts.RigKnown`), so that nothing outside its journal is
needed to fold it. Days can be left out, and nothing has to be undone: every beginning weighs all of them anew.

Kettle loss and a bias of the stick are not learnt: a day reads the kettle and the fermenter once each, and the
difference of two such volumes is as unsure as the loss itself.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from enum import StrEnum
from typing import Final

from assistant.calculation import chill_design, extract, heat
from assistant.day import estimate
from assistant.day import facts as f
from assistant.day.estimate import RigFigures, weighed
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.quantities import Measured, OutsideRange

# Time constants of the chill are kept for this much wort: they grow in proportion to it.
REFERENCE_L: Final = 20.0
# Coils take from a quarter to nearly all of what their water could carry (judgement): half, within a factor 1.8.
_USUAL_EFFECTIVENESS: Final = 0.5
_EFFECTIVENESS_LOG_SD: Final = 0.6
# A chiller of which nothing is known: ten minutes, within a factor of 2.2 (judgement).
_TAU_UNKNOWN_S: Final = 600.0
_TAU_UNKNOWN_LOG_SD: Final = 0.8
# Tap water: as the plan states it for today; of an unknown house and season (judgements).
_STATED_COOLANT_SD_C: Final = 1.5
_COOLANT_UNKNOWN: Final = Measured(15.0, 6.0)
# How far days of one rig lie apart: malt and mash, stirring and tap (shares), season (°C). Judgements.
_YIELD_SCATTER: Final = 0.04
_TAU_LOG_SCATTER: Final = 0.15
_COOLANT_SCATTER_C: Final = 3.0
_TYPICAL_SG: Final = 1.045
_HALF_COOLED_C: Final = 50.0


class Figure(StrEnum):
    """The figures of a rig, as they are named in the journal."""

    BOIL_OFF = "boil-off, L/h"
    EXTRACT_PER_GRAIN = "extract, kg per kg of grain"
    CHILL_LOG_TAU = "chill, log of seconds for 20 L"
    COOLANT = "cooling water, °C"


def of_plan(plan: Plan) -> dict[Figure, Measured]:
    """What the plan alone lets expect."""
    figures = {
        Figure.BOIL_OFF: estimate.figures_of_plan(plan).boil_off_l_per_h,
        Figure.CHILL_LOG_TAU: _planned_log_tau(plan),
        Figure.COOLANT: _planned_coolant_c(plan),
    }
    if plan.mash.grain_kg is not None:
        extract_kg = extract.extract_kg(plan.volume_before_boil_l, plan.beer.gravity_before_boil_sg)
        share = extract_kg / plan.mash.grain_kg
        figures[Figure.EXTRACT_PER_GRAIN] = Measured(share, estimate.EXTRACT_SD * share)
    return figures


def expected(plan: Plan, state: State) -> dict[Figure, Measured]:
    """What is expected of the rig today: its earlier days where they tell, else the plan."""
    figures = of_plan(plan)
    if state.rig is not None:
        for name, mean, sd, _ in state.rig.figures:
            figures[Figure(name)] = Measured(mean, sd)
    return figures


def figures_of(plan: Plan, state: State) -> RigFigures:
    """The rig as the forecast of the boil needs it."""
    figures = expected(plan, state)
    days = {} if state.rig is None else {name: count for name, _, _, count in state.rig.figures}
    told = days.get(Figure.EXTRACT_PER_GRAIN.value, 0)
    return RigFigures(
        boil_off_l_per_h=figures[Figure.BOIL_OFF],
        days=days.get(Figure.BOIL_OFF.value, 0),
        extract_per_grain=figures.get(Figure.EXTRACT_PER_GRAIN) if told else None,
    )


def boil_off_l_per_h(plan: Plan, state: State) -> float:
    """The boil-off to reckon with today [L of water at 20 °C an hour]."""
    return expected(plan, state)[Figure.BOIL_OFF].value


def known(
    plan: Plan, days: Sequence[tuple[str, f.RigLearned]], left_out: Collection[str] = ()
) -> f.RigKnown | None:
    """What `days` (name of the day and what it said) of this plan's rig let expect of a day by `plan`.

    None where no day of this rig is left that said anything.
    """
    own = [(name, day) for name, day in days if day.rig == plan.rig.name]
    used = [(name, day) for name, day in own if name not in left_out and day.figures]
    figures = []
    for figure, before in of_plan(plan).items():
        said = [told for _, day in used if (told := _said(day, figure, plan)) is not None]
        if said and not (figure is Figure.COOLANT and _coolant_stated(plan)):
            mean = weighed(before, said, _scatter(figure, before))
            figures.append((figure.value, mean.value, mean.sd, len(said)))
    if not figures:
        return None
    dropped = tuple(name for name, _ in own if name in left_out)
    return f.RigKnown(plan.rig.name, tuple(figures), tuple(name for name, _ in used), dropped)


def _said(day: f.RigLearned, figure: Figure, plan: Plan) -> Measured | None:
    told = next((Measured(value, sd) for name, value, sd in day.figures if name == figure.value), None)
    if told is None or figure is not Figure.CHILL_LOG_TAU:
        return told
    return _at_flow(told, day.flow_l_per_min, flow_l_per_min(plan))


def _at_flow(log_tau: Measured, then_l_per_min: float | None, now_l_per_min: float | None) -> Measured:
    """A day's chill with the cooling water of today: the coil stays the same, what the water can carry does not."""
    if then_l_per_min is None or now_l_per_min is None or math.isclose(then_l_per_min, now_l_per_min, rel_tol=0.05):
        return log_tau
    wort_kg, wort_j_per_kg_k = _reference_wort()
    tau_s = math.exp(log_tau.value)
    try:
        coil = chill_design.strength_from_tau_w_per_k(
            Measured(tau_s, log_tau.sd * tau_s),
            Measured(wort_kg, 0.0),
            wort_j_per_kg_k,
            Measured(then_l_per_min, 0.0),
        )
        now_s = chill_design.time_constant_s(wort_kg, wort_j_per_kg_k, coil.value, now_l_per_min / 60.0)
    except OutsideRange:
        # Faster than that water could: one of the two flows is not what the plan says.
        return Measured(log_tau.value, math.hypot(log_tau.sd, _EFFECTIVENESS_LOG_SD))
    changed = math.log(now_s) - log_tau.value
    return Measured(log_tau.value + changed, math.hypot(log_tau.sd, 0.3 * changed))


def _scatter(figure: Figure, before: Measured) -> float:
    """How far days of one rig lie apart, in the unit of the figure."""
    match figure:
        case Figure.BOIL_OFF:
            return estimate.BETWEEN_DAYS * before.value
        case Figure.EXTRACT_PER_GRAIN:
            return _YIELD_SCATTER * before.value
        case Figure.CHILL_LOG_TAU:
            return _TAU_LOG_SCATTER
        case Figure.COOLANT:
            return _COOLANT_SCATTER_C


def _planned_log_tau(plan: Plan) -> Measured:
    flow = flow_l_per_min(plan)
    if flow is None:
        return Measured(math.log(_TAU_UNKNOWN_S), _TAU_UNKNOWN_LOG_SD)
    wort_kg, wort_j_per_kg_k = _reference_wort()
    shortest_s = wort_kg * wort_j_per_kg_k / (flow / 60.0 * chill_design.WATER_J_PER_KG_K)
    return Measured(math.log(shortest_s / _USUAL_EFFECTIVENESS), _EFFECTIVENESS_LOG_SD)


def _reference_wort() -> tuple[float, float]:
    """Mass [kg] and specific heat [J/(kg K)] of the reference volume of typical wort."""
    wort_kg = extract.wort_kg(REFERENCE_L, _TYPICAL_SG)
    share = extract.extract_kg(REFERENCE_L, _TYPICAL_SG) / wort_kg
    return wort_kg, heat.specific_heat_j_per_kg_k(share, _HALF_COOLED_C)


def flow_l_per_min(plan: Plan) -> float | None:
    """The cooling water [L/min] by the plan; None where it says nothing."""
    return None if plan.rig.chiller is None else plan.rig.chiller.flow_l_per_min


def _coolant_stated(plan: Plan) -> bool:
    return plan.rig.chiller is not None and plan.rig.chiller.coolant_c is not None


def _planned_coolant_c(plan: Plan) -> Measured:
    stated = None if plan.rig.chiller is None else plan.rig.chiller.coolant_c
    return _COOLANT_UNKNOWN if stated is None else Measured(stated, _STATED_COOLANT_SD_C)
