"""The filter of `estimate` fed by a day: which readings and additions it takes, and what it makes of each."""

from __future__ import annotations

from typing import Final

from assistant.calculation import extract
from assistant.day import estimate, rig
from assistant.day import facts as f
from assistant.day.estimate import Added, Belief, Quantity, Seen, Verdict
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.state import State, Taken

FULL_KETTLE: Final = (Stage.PRE_BOIL, Stage.BOIL)
_AFTER_BOIL: Final = (Stage.HOP_STAND, Stage.CHILL, Stage.TRANSFER, Stage.PITCH)
# Steam that leaves between knockout and the sample adds this much doubt to its gravity (judgement).
_AFTER_BOIL_SD_SG: Final = 0.0005
# What is weighed out wet-handed beside a kettle is this far off (a share; judgement).
_WEIGHED_SD: Final = 0.03


def boiled_in_all_min(state: State) -> float:
    """Minutes of boil: to knockout where that was, else as the clock or the plan has it."""
    if state.boil is None:
        return state.planned_boil_min
    if state.knockout_s is None:
        return state.boil.minutes
    return max(0.0, state.boil.minutes - state.boil.left_s(state.knockout_s) / 60.0)


def events(state: State, *, after_boil: bool = False) -> tuple[Seen | Added, ...]:
    """Gravities and volumes of the full kettle and what was added, in order of time.

    after_boil: with the gravities after knockout too, which tell how much was boiled off.
    """
    found: list[tuple[float, int, Seen | Added]] = [
        (item.at_s, item.turn, _gravity(item, item.boiled_min))
        for item in state.gravities
        if item.stage in FULL_KETTLE
    ]
    found += [
        (item.at_s, item.turn, Seen(Quantity.VOLUME, item.boiled_min, item.fact.cold_l, item.fact.sd_l))
        for item in state.volumes
        if item.stage in FULL_KETTLE
    ]
    found += [(item.at_s, item.turn, made) for item in state.carried_out if (made := _added(item.fact)) is not None]
    if after_boil:
        ended_min = boiled_in_all_min(state)
        found += [
            (item.at_s, item.turn, _gravity(item, ended_min, _AFTER_BOIL_SD_SG))
            for item in state.gravities
            if item.stage in _AFTER_BOIL
        ]
    # Of what was said at one moment, the earlier turn comes first: an addition is in what was read after it.
    return tuple(event for _, _, event in sorted(found, key=lambda item: item[:2]))


def readings(state: State) -> tuple[Seen, ...]:
    """The gravities and volumes of the full kettle, in order of time."""
    return tuple(event for event in events(state) if isinstance(event, Seen))


def _gravity(item: Taken[f.GravityRead], boiled_min: float, more_sd: float = 0.0) -> Seen:
    return Seen(Quantity.GRAVITY, boiled_min, item.fact.gravity_sg, (item.fact.sd_sg**2 + more_sd**2) ** 0.5)


def _added(fact: f.AdviceChosen) -> Added | None:
    """What a correction that was carried out put into the kettle."""
    extract_kg = extract.DRY_EXTRACT_FRACTION * fact.extract_kg + fact.sugar_kg
    water_kg = fact.extract_kg - extract.DRY_EXTRACT_FRACTION * fact.extract_kg
    water_kg += extract.wort_kg(fact.water_l, 1.0) if fact.water_l else 0.0
    total_kg = extract_kg + water_kg
    return Added(extract_kg, water_kg, _WEIGHED_SD * total_kg) if total_kg else None


def believed(plan: Plan, state: State) -> Belief:
    """What the kettle is believed to hold, from plan, earlier days and all that was read."""
    return estimate.follow(plan, events(state), rig.figures_of(plan, state))


def verdict_of_last(plan: Plan, state: State, quantity: Quantity) -> tuple[Verdict, float, float] | None:
    """What the filter made of the last reading of `quantity`; what it expected instead, and how many sd apart.

    None where nothing of the full kettle was read.
    """
    of_day = events(state)
    place = next(
        (i for i in range(len(of_day) - 1, -1, -1) if isinstance(e := of_day[i], Seen) and e.quantity is quantity),
        None,
    )
    if place is None:
        return None
    seen = of_day[place]
    assert isinstance(seen, Seen)
    before = estimate.follow(plan, of_day[:place], rig.figures_of(plan, state))
    carried = estimate.boiled(before, seen.boiled_min)
    gravity, volume = estimate.standing(carried)
    expected = gravity if quantity is Quantity.GRAVITY else volume
    return estimate.take(carried, seen)[1], expected.value, estimate.surprise(carried, seen)


def expected_after_boil_l(plan: Plan, state: State) -> float:
    """The volume at the end of the boil [L at 20 °C], as it is believed to be."""
    return estimate.end_of_boil(believed(plan, state), boiled_in_all_min(state))[1].value
