"""What was read of the full kettle, as the estimator takes it."""

from __future__ import annotations

from typing import Final

from assistant.day.estimate import Quantity, Seen
from assistant.day.facts import Stage
from assistant.day.state import State

FULL_KETTLE: Final = (Stage.PRE_BOIL, Stage.BOIL)


def seen_in_the_kettle(state: State) -> tuple[Seen, ...]:
    """The gravities and volumes of the full kettle so far, in order of time."""
    gravities = [
        (item.at_s, Seen(Quantity.GRAVITY, item.boiled_min, item.fact.gravity_sg, item.fact.sd_sg))
        for item in state.gravities
        if item.stage in FULL_KETTLE
    ]
    volumes = [
        (item.at_s, Seen(Quantity.VOLUME, item.boiled_min, item.fact.cold_l, item.fact.sd_l))
        for item in state.volumes
        if item.stage in FULL_KETTLE
    ]
    return tuple(seen for _, seen in sorted((*gravities, *volumes), key=lambda item: item[0]))
