"""How hot the kettle is through the day: as it was read and called, and as it will be by the plan.

The hops see these temperatures. What nobody read is taken as kettles usually do (the constants below).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from assistant.calculation.boil_history import Hold, Points, boil_history, cooling_points
from assistant.calculation.pressure import vapour_pressure_pa
from assistant.calculation.scales import mass_fraction_from_sg
from assistant.calculation.steam import boiling_point_elevation_k
from assistant.day import rig
from assistant.day.calls import addition_groups
from assistant.day.facts import Stage
from assistant.day.plan import AdditionTime, Plan
from assistant.day.state import BoilClock, State
from assistant.day.targets import WARM_WORT_C

# Judgements, no source: from the first runnings to the boil, and the last part of that under full flame.
FIRST_WORT_LEAD_S: Final = 65 * 60.0
HEATING_S: Final = 25 * 60.0
# An open kettle of 20 to 40 litres without a flame: about 500 W are lost, a third of a kelvin a minute (judgement).
AIR_C: Final = 20.0
AIR_TAU_S: Final = 4 * 3600.0
# From the flame to the cooling water (judgement).
_CHILL_LEAD_S: Final = 60.0
_FASTEST_TAU_S, _SLOWEST_TAU_S = 60.0, 7200.0
# What is closer to the cooling water than this is not reckoned with as a curve.
_NEAR_COOLANT_K: Final = 0.5


@dataclass(frozen=True, slots=True)
class Stand:
    """A hop stand: when the wort is cool enough for it, when the hops go in, when it is over [s], at what [°C]."""

    group: int
    cooled_s: float
    in_s: float
    over_s: float
    temperature_c: float


@dataclass(frozen=True, slots=True)
class KettleDay:
    """The times of a kettle [s of the day]; what has not happened yet stands as it is planned.

    boil_min: minutes on the boil clock in all. holds: where it stood, at their mean temperature.
    coolant_c, chill_tau_s: the cooling water, and how fast the rig cools with it.
    after: temperatures [°C] that were read after knockout and believed.
    """

    boil_on_s: float
    boil_min: float
    knockout_s: float
    holds: tuple[Hold, ...]
    stands: tuple[Stand, ...]
    chill_on_s: float
    coolant_c: float
    chill_tau_s: float
    after: tuple[tuple[float, float], ...] = ()


def wort_boils_at_c(plan: Plan) -> float:
    """Where the wort of this plan boils on its rig [°C]: water's boiling point and what the extract adds."""
    mean_sg = (plan.beer.gravity_before_boil_sg + plan.beer.gravity_after_boil_sg) / 2.0
    share = max(0.0, mass_fraction_from_sg(mean_sg))
    water_c = plan.rig.boiling_point_c
    return water_c + boiling_point_elevation_k(share, vapour_pressure_pa(water_c))


def closed_s(state: State, key: str) -> float | None:
    """When the call `key` was answered with "done"; None when it was not."""
    record = state.calls.get(key)
    return record.closed_s if record is not None and record.closed == "done" else None


def kettle_day(plan: Plan, state: State, now_s: float, extra_min: float = 0.0) -> KettleDay:
    """The times of the kettle as they are at `now_s`, with the boil `extra_min` longer than its clock."""
    boil, boils_c = state.boil, wort_boils_at_c(plan)
    boil_min = (state.planned_boil_min if boil is None else boil.minutes) + extra_min
    if boil is None:
        first_wort_s = _first_wort_in_s(plan, state)
        boil_on_s = (now_s if first_wort_s is None else first_wort_s) + FIRST_WORT_LEAD_S
        boil_on_s = max(now_s, boil_on_s)
    else:
        boil_on_s = boil.started_s
    holds = _holds(state, boil, now_s, boils_c)
    held_s = sum(hold.until_s - hold.from_s for hold in holds)
    knockout_s = state.knockout_s
    if knockout_s is None:
        knockout_s = max(boil_on_s + held_s + boil_min * 60.0, now_s)
    knockout_s = max(knockout_s, boil_on_s + 1.0)
    towards_c, tau_s = _chiller(plan, state)
    stands = _stands(plan, state, now_s, knockout_s, boils_c)
    after = (Stage.HOP_STAND, Stage.CHILL)
    return KettleDay(
        boil_on_s,
        boil_min,
        knockout_s,
        holds,
        stands,
        _chill_on_s(state, now_s, stands[-1].over_s if stands else knockout_s + _CHILL_LEAD_S),
        towards_c,
        tau_s,
        tuple(
            (item.at_s, min(item.fact.temperature_c, boils_c))
            for item in state.temperatures
            if item.stage in after and not item.set_aside
        ),
    )


def _first_wort_in_s(plan: Plan, state: State) -> float | None:
    times = [
        at_s
        for index, group in enumerate(addition_groups(plan))
        if group.time is AdditionTime.FIRST_WORT and (at_s := closed_s(state, first_wort_key(index))) is not None
    ]
    return min(times, default=None)


def first_wort_key(group: int) -> str:
    """The key of the call that lets the first-wort additions of `group` in."""
    return f"first-wort.{group}.now"


def stand_key(group: int) -> str:
    """The key of the call that lets the hop-stand additions of `group` in."""
    return f"stand.{group}.now"


def _stands(plan: Plan, state: State, now_s: float, knockout_s: float, boils_c: float) -> tuple[Stand, ...]:
    """The stands that were or will be; one that the day went past without is left out."""
    past = state.stage is not Stage.HOP_STAND and state.knockout_s is not None
    earliest_s = now_s if state.knockout_s is not None else knockout_s
    found, at_s, at_c = [], knockout_s, boils_c
    for index, group in enumerate(addition_groups(plan)):
        if group.time is not AdditionTime.HOP_STAND or group.temperature_c is None:
            continue
        cooled_s, in_s = closed_s(state, f"stand.{index}.cool"), closed_s(state, stand_key(index))
        record = state.calls.get(stand_key(index))
        gone = record is not None and record.closed in ("skipped", "dropped")
        if (past and in_s is None) or gone:
            continue
        wanted_c = min(group.temperature_c, at_c)
        if cooled_s is None:
            towards_c, tau_s = _chiller(plan, state)
            needed_s = tau_s * math.log((at_c - towards_c) / max(wanted_c - towards_c, 1.0))
            cooled_s = in_s if in_s is not None else max(at_s + max(0.0, needed_s), earliest_s)
        if in_s is None:
            in_s = max(cooled_s, earliest_s)
        over_s = in_s + (group.minutes or 0.0) * 60.0
        if past and state.chill_on_s is not None:
            over_s = max(in_s, min(over_s, state.chill_on_s))
        found.append(Stand(index, cooled_s, in_s, over_s, wanted_c))
        at_s, at_c = over_s, _drifted_c(wanted_c, over_s - cooled_s)
    return tuple(found)


def _chill_on_s(state: State, now_s: float, planned_s: float) -> float:
    if state.chill_on_s is not None:
        return state.chill_on_s
    return planned_s if state.knockout_s is None else max(planned_s, now_s)


def _chiller(plan: Plan, state: State) -> tuple[float, float]:
    """The cooling water [°C] and the time constant [s] of this rig, from earlier days or the plan.

    Brine below zero counts as ice water.
    """
    figures = rig.expected(plan, state)
    tau_s = math.exp(figures[rig.Figure.CHILL_LOG_TAU].value) * plan.volume_after_boil_l / rig.REFERENCE_L
    return max(0.0, figures[rig.Figure.COOLANT].value), min(max(tau_s, _FASTEST_TAU_S), _SLOWEST_TAU_S)


def temperatures(plan: Plan, day: KettleDay, start_s: float, until_s: float) -> Points:
    """The history [(s, °C)] from `start_s`, if that is before the boil, to the cold wort or `until_s`, if later."""
    boils_c = wort_boils_at_c(plan)
    before: list[tuple[float, float]] = []
    if start_s < day.boil_on_s:
        flame_s = max(start_s, day.boil_on_s - HEATING_S)
        before = [(start_s, WARM_WORT_C), (flame_s, WARM_WORT_C)]
    path = _Path([(day.knockout_s, boils_c)])
    for stand in day.stands:
        path.to(stand.cooled_s, stand.temperature_c)
        path.through(day.after, stand.over_s)
        path.drift(stand.over_s)
    path.through(day.after, day.chill_on_s)
    path.drift(day.chill_on_s)
    path.chill(day.after, day.coolant_c, day.chill_tau_s, until_s)
    return boil_history(
        day.boil_on_s, day.knockout_s, boils_c, holds=day.holds, before=before, after=path.points[1:]
    )


def _holds(state: State, boil: BoilClock | None, now_s: float, boils_c: float) -> tuple[Hold, ...]:
    """Where the boil clock stood, as warm as was read in it, else cooling in the air."""
    if boil is None:
        return ()
    end_s = now_s if state.knockout_s is None else state.knockout_s
    stretches = list(boil.holds)
    if boil.held_since_s is not None:
        stretches.append((boil.held_since_s, max(end_s, boil.held_since_s)))
    holds = []
    for from_s, until_s in stretches:
        read = [
            min(item.fact.temperature_c, boils_c)
            for item in state.temperatures
            if item.stage is Stage.BOIL and from_s <= item.at_s <= until_s and not item.set_aside
        ]
        taus = (until_s - from_s) / AIR_TAU_S
        cooling_c = AIR_C + (boils_c - AIR_C) * (-math.expm1(-taus) / taus if taus > 0.0 else 1.0)
        holds.append(Hold(from_s, until_s, math.fsum(read) / len(read) if read else cooling_c))
    return tuple(holds)


def _drifted_c(from_c: float, seconds: float) -> float:
    return AIR_C + (from_c - AIR_C) * math.exp(-max(0.0, seconds) / AIR_TAU_S)


class _Path:
    """The way of the wort after knockout, point by point."""

    def __init__(self, points: list[tuple[float, float]]) -> None:
        self.points = points

    def to(self, at_s: float, at_c: float) -> None:
        """Straight to a point; none that runs back in time."""
        if at_s >= self.points[-1][0]:
            self.points.append((at_s, at_c))

    def through(self, read: Sequence[tuple[float, float]], until_s: float) -> None:
        """Straight through what was read from here on to `until_s`."""
        for at_s, read_c in read:
            if at_s <= until_s:
                self.to(at_s, read_c)

    def drift(self, until_s: float) -> None:
        """Cooling in the air to `until_s`."""
        self._fall(until_s, AIR_C, AIR_TAU_S)

    def chill(self, read: Sequence[tuple[float, float]], towards_c: float, tau_s: float, until_s: float) -> None:
        """Cooling with the coil: through what was read, then on at the same strength until it is cold."""
        start_s, start_c = self.points[-1]
        for at_s, read_c in read:
            last_s, last_c = self.points[-1]
            if at_s <= last_s:
                continue
            near_c = towards_c + _NEAR_COOLANT_K
            if near_c < read_c < min(last_c, start_c):
                self._fall(at_s, towards_c, (at_s - last_s) / math.log((last_c - towards_c) / (read_c - towards_c)))
                whole_s = (at_s - start_s) / math.log((start_c - towards_c) / (read_c - towards_c))
                tau_s = min(max(whole_s, _FASTEST_TAU_S), _SLOWEST_TAU_S)
            self.to(at_s, read_c)
        end_s = max(self.points[-1][0] + 3.0 * tau_s, until_s)
        self._fall(end_s, towards_c, tau_s)
        self.to(end_s, self.points[-1][1])

    def _fall(self, until_s: float, towards_c: float, tau_s: float) -> None:
        from_s, from_c = self.points[-1]
        if until_s > from_s and from_c > towards_c + _NEAR_COOLANT_K:
            self.points += cooling_points(from_s, from_c, towards_c, tau_s, until_s)[1:]
