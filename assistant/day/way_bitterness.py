"""What a way out of a miss does to the bitterness of the day."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from assistant.calculation.hop_utilisation import tinseth_utilisation
from assistant.day.bitterness_of_day import DayBitterness, bitterness_of_day, planned_bitterness
from assistant.day.endings import End
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.day.ways import Way, WayKind
from assistant.quantities import Measured

# The gravity's part of Tinseth's utilisation is the same at any time.
_ANY_BOIL_S: Final = 3600.0


def with_bitterness(ways: tuple[Way, ...], plan: Plan, state: State, now_s: float) -> tuple[Way, ...]:
    """The ways with the change of bitterness [IBU] that each brings against leaving it; as they are without alpha.

    Minutes are reckoned from the hops of the day; what else is in the kettle shares the same bitterness out over
    another volume, and solids in the boil lower the utilisation as Tinseth has it.
    """
    left, planned = bitterness_of_day(plan, state, now_s), planned_bitterness(plan)
    if left is None or planned is None or left.at_end.value <= 0.0:
        return ways
    end = next(way.end for way in ways if way.kind is WayKind.LEAVE)
    found = []
    for way in ways:
        boiled = left
        if way.acts.minutes.value and not way.why_not:
            longer = bitterness_of_day(plan, state, now_s, way.acts.minutes.value)
            if longer is None:
                return ways
            boiled = longer
        ibu = left.at_end.value if way.why_not else _at_the_end(way, boiled, end)
        change = ibu - left.at_end.value
        told = Measured(change, abs(change) * left.at_end.sd / left.at_end.value)
        found.append(replace(way, bitterness_ibu=told, bitterness_off_ibu=ibu - planned.at_end.value))
    return tuple(found)


def _at_the_end(way: Way, boiled: DayBitterness, leave: End) -> float:
    """The bitterness [IBU] after a way, from that of the day with its minutes of boil."""
    boiled_l = boiled.wort.volume_l.value if way.acts.minutes.value else leave.volume_l.value
    ibu = boiled.at_end.value * boiled_l / way.end.volume_l.value
    if way.acts.extract_kg.value or way.acts.sugar_kg.value:
        thick, thin = max(way.end.gravity_sg.value, 1.0), max(leave.gravity_sg.value, 1.0)
        ibu *= tinseth_utilisation(_ANY_BOIL_S, thick) / tinseth_utilisation(_ANY_BOIL_S, thin)
    return ibu
