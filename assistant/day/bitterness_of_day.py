"""The bitterness of a day as it really goes, beside what its plan comes to: the same sums for both.

The hop bill is made from what was called, answered and skipped, the temperatures from the clocks and readings of
the day (`kettle_temperatures`), the wort from the estimator. What has not happened yet stands as it is planned, so
a day without a fact is the plan itself. Without alpha acids in the plan there is nothing to tell.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

from assistant.calculation import extract
from assistant.calculation.bitterness import bitterness
from assistant.calculation.boil_history import Points, time_of_boil_clock_s
from assistant.calculation.hop_utilisation import LONGEST_BOIL_S, HopAddition, HoppedWort, rager_ibu, tinseth_ibu
from assistant.calculation.results import Result
from assistant.day.calls import AdditionGroup, addition_groups
from assistant.day.estimate import end_of_boil
from assistant.day.kettle import believed
from assistant.day.kettle_temperatures import (
    FIRST_WORT_LEAD_S,
    KettleDay,
    closed_s,
    first_wort_key,
    kettle_day,
    stand_key,
    temperatures,
)
from assistant.day.plan import AdditionKind, AdditionTime, Plan
from assistant.day.rig import boil_off_l_per_h
from assistant.day.state import State
from assistant.quantities import Measured

# Hops lose alpha acid from the day the packet was printed, and a kitchen scale is one; judgements.
ALPHA_RELATIVE_SD: Final = 0.05
MASS_RELATIVE_SD: Final = 0.01


class HopsAre(StrEnum):
    """Where the hops of one addition are."""

    IN = "in"
    PLANNED = "planned"
    UNCONFIRMED = "unconfirmed"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class HopsOfDay:
    """The hops of one addition. place: in the plan; group: what goes in with it; key: the call that lets it in.

    hops: with when they went or will go in; due_s: when they were to, by the clock as it stands. Hops that were
    called and not answered are unconfirmed, and taken to be in at their time.
    """

    place: int
    group: int
    key: str
    hops: HopAddition
    due_s: float
    are: HopsAre

    @property
    def counted(self) -> bool:
        """Whether they give bitterness."""
        return self.are is not HopsAre.OUT


@dataclass(frozen=True, slots=True)
class DayBitterness:
    """The bitterness of a day [IBU]: in the wort `so_far`, and `at_end`; with what it was reckoned from."""

    so_far: Result
    at_end: Result
    bill: tuple[HopsOfDay, ...]
    history: Points
    wort: HoppedWort
    kettle: KettleDay

    @property
    def unconfirmed(self) -> tuple[HopsOfDay, ...]:
        """Hops that are counted though nobody said that they are in."""
        return tuple(item for item in self.bill if item.are is HopsAre.UNCONFIRMED)

    def of(self, item: HopsOfDay) -> Result:
        """What one addition gives at the end of the day [IBU]."""
        return bitterness([item.hops] if item.counted else [], self.history, self.wort, self.history[-1][0])


def trade_tables_ibu(day: DayBitterness) -> tuple[float, float]:
    """The bitterness of the same hops by Tinseth and by Rager [IBU], who know boiling times and no hop stand."""
    tinseth = rager = 0.0
    for item in day.bill:
        boiled_s = day.kettle.knockout_s - max(item.hops.in_at_s, day.kettle.boil_on_s)
        if item.counted and boiled_s > 0.0:
            boiled_s = min(boiled_s, LONGEST_BOIL_S)
            tinseth += tinseth_ibu(item.hops, boiled_s, day.wort).value
            rager += rager_ibu(item.hops, boiled_s, day.wort).value
    return tinseth, rager


def has_alpha(plan: Plan) -> bool:
    """Whether the plan tells the alpha acid of any hops."""
    return any(item.alpha_fraction is not None for item in plan.additions)


def without_alpha(plan: Plan) -> tuple[str, ...]:
    """Hops of the plan that are not reckoned with, since their alpha acid is not given."""
    return tuple(
        item.what for item in plan.additions if item.kind is AdditionKind.HOP and item.alpha_fraction is None
    )


def bitterness_of_day(plan: Plan, state: State, now_s: float, extra_min: float = 0.0) -> DayBitterness | None:
    """The bitterness at `now_s` and at the end of the day, with `extra_min` minutes of boil beyond its clock.

    None where the plan tells no alpha acid, or the day is beyond what the formulas hold for: a clock that was set
    back while the program was away can leave times that no kettle has.
    """
    if not has_alpha(plan):
        return None
    try:
        kettle = kettle_day(plan, state, now_s, extra_min)
        bill = hop_bill(plan, state, kettle, now_s)
        counted = [item.hops for item in bill if item.counted]
        start_s = min([kettle.boil_on_s, *(hops.in_at_s for hops in counted)])
        history = temperatures(plan, kettle, start_s, now_s)
        wort = wort_of_day(plan, state, kettle.boil_min)
        so_far = bitterness(counted, history, wort, min(max(now_s, start_s), history[-1][0]))
        at_end = bitterness(counted, history, wort, history[-1][0])
    except ValueError:
        return None
    return DayBitterness(so_far, at_end, bill, history, wort, kettle)


@lru_cache(maxsize=8)
def planned_bitterness(plan: Plan) -> DayBitterness | None:
    """What the plan itself comes to: a day to which nothing has happened."""
    return bitterness_of_day(plan, State(planned_boil_min=plan.beer.boil_min), 0.0)


def wort_of_day(plan: Plan, state: State, boil_min: float) -> HoppedWort:
    """The wort that the hops are in: volume at the end of the boil and mean gravity, from all that was read."""
    gravity, volume = end_of_boil(believed(plan, state), boil_min)
    boiled_off_l = boil_off_l_per_h(plan, state) * boil_min / 60.0
    at_first_sg = extract.add_water(volume.value, gravity.value, boiled_off_l)[1]
    return HoppedWort(volume, Measured((gravity.value + at_first_sg) / 2.0, gravity.sd))


def hop_bill(plan: Plan, state: State, kettle: KettleDay, now_s: float) -> tuple[HopsOfDay, ...]:
    """Every addition of hops whose alpha acid is known, at the time at which it is or will be in."""
    bill = []
    for index, group in enumerate(addition_groups(plan)):
        key, due_s = _due(group, index, state, kettle)
        are, at_s = _where(state, group, key, due_s, now_s)
        for addition in group.additions:
            mass_kg, alpha = addition.amount.mass_kg, addition.alpha_fraction
            if addition.kind is not AdditionKind.HOP or mass_kg is None or alpha is None:
                continue
            place = plan.additions.index(addition)
            mass_kg = max(0.0, mass_kg + state.made_up_kg.get(place, 0.0))
            hops = HopAddition(
                Measured(mass_kg, MASS_RELATIVE_SD * mass_kg),
                Measured(alpha, ALPHA_RELATIVE_SD * alpha),
                # Nothing goes into a boil that is over.
                min(at_s, kettle.knockout_s) if group.time is AdditionTime.BEFORE_KNOCKOUT else at_s,
            )
            bill.append(HopsOfDay(place, index, key, hops, due_s, are))
    return tuple(bill)


def _due(group: AdditionGroup, index: int, state: State, kettle: KettleDay) -> tuple[str, float]:
    """The key of the call that lets a group in, and when that is by the clock as it stands."""
    match group.time:
        case AdditionTime.FIRST_WORT:
            return first_wort_key(index), kettle.boil_on_s - FIRST_WORT_LEAD_S
        case AdditionTime.HOP_STAND:
            stand = next((item for item in kettle.stands if item.group == index), None)
            return stand_key(index), kettle.knockout_s if stand is None else stand.in_s
        case _:
            clock_s = max(0.0, (kettle.boil_min - (group.minutes or 0.0)) * 60.0)
            number = 0 if state.boil is None else state.boil.number
            due_s = time_of_boil_clock_s(clock_s, kettle.boil_on_s, kettle.holds)
            return f"boil{number}.addition.{index}.now", due_s


def _where(state: State, group: AdditionGroup, key: str, due_s: float, now_s: float) -> tuple[HopsAre, float]:
    """Where the hops of a call are, and when they went or will go in."""
    record, done_s = state.calls.get(key), closed_s(state, key)
    if done_s is not None:
        return HopsAre.IN, done_s
    if record is None or record.occurrences == 0:
        return (HopsAre.OUT if record is not None and record.closed else HopsAre.PLANNED), max(due_s, now_s)
    if record.closed == "skipped":
        return HopsAre.OUT, due_s
    if group.time is not AdditionTime.BEFORE_KNOCKOUT:
        return HopsAre.UNCONFIRMED, record.first_made_s
    # A longer boil moves a call that was made and not answered: it will be made again.
    if due_s <= (now_s if record.closed_s is None else record.closed_s):
        return HopsAre.UNCONFIRMED, due_s
    return (HopsAre.OUT if record.closed else HopsAre.PLANNED), due_s
