"""From rest to rest: infusions, decoction, mash-out, and how a mash cools while it stands.

A `Mash` is what lies in the tun now. Water is in kg inside, in L at 20 °C in questions and answers. Water boils at
the brewer's own altitude, so the temperature of an infusion is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from assistant.calculation import water
from assistant.calculation.heat import WATER_J_PER_KG_K, malt_specific_heat_j_per_kg_k
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.mash import MALT_SD_J_PER_KG_K, USUAL_MOISTURE
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

# Common practice, no source: the room that a kilogram of malt takes up under water, the water that it holds back,
# the heat of a mash-out and where it should end.
GRAIN_L_PER_KG: Final = 0.67
HELD_L_PER_KG: Final = 1.0
MASH_OUT_C: Final = 76.0
HOTTEST_MASH_OUT_C: Final = 80.0

_HOTTEST_WATER_C: Final = 101.6  # where water boils 500 m below the sea
_LITRES_PER_M3: Final = 1000.0


@dataclass(frozen=True, slots=True)
class Mash:
    """Wet grain in the tun: `grain_kg` of malt and `water_kg` at `temperature_c`; the tun goes along with them.

    tun_j_per_k: heat capacity of the tun [J/K], 0 if it is left out. moisture: of the malt as weighed [kg/kg].
    """

    grain_kg: Measured
    water_kg: Measured
    temperature_c: Measured
    moisture: float = USUAL_MOISTURE
    tun_j_per_k: float = 0.0


def mash_volume_l(mash: Mash) -> Result:
    """Tell the volume [L] that `mash` takes up in the tun, as hot as it is: its water, and 0.67 L/kg of malt.

    Formula: V = water, as hot as it is, + 0.67 L/kg × malt.

    Bias: 0.67 L/kg is common practice without a source, and 0.03 L/kg its uncertainty by judgement.

    Valid: grain >= 0, water > 0, 0 to 100 °C.

    Source: common practice for the grain; `water.density_kg_m3`.

    Raises:
        OutsideRange: outside that range.

    >>> mash_volume_l(Mash(Measured(5.0, 0.0), Measured(15.0, 0.0), Measured(67.0, 0.0))).value
    18.66
    """

    def volume(grain: float, liquid: float, at_c: float, room: float) -> float:
        return grain * room + liquid / _kg_per_l(at_c)

    _require_mash(mash)
    told = propagate(volume, mash.grain_kg, mash.water_kg, mash.temperature_c, Measured(GRAIN_L_PER_KG, 0.03))
    return Result(told.value, told.sd, "L", "common practice", Verdict.RULE_OF_THUMB)


def infusion_l(mash: Mash, target_c: float, infusion_c: Measured) -> Result:
    """Tell how much water [L at 20 °C] of `infusion_c` [°C] brings `mash` to `target_c` [°C].

    Formula: V = (m_g c_g + m_w c_w + C)(T2 - T1) / (c_w (T_i - T2) ρ); cooler water brings it down by the same sum.

    Bias: water from the kettle loses a few degrees on its way into the mash; what is missing then is seen on the
    thermometer.

    Valid: target from the mash's temperature to the infusion's, that excluded, within 0 to 101.6 °C.

    Source: energy balance; Pauls and Whites Brewing Room Book, 1984/85, for the malt.

    Raises:
        OutsideRange: outside that range; water cannot bring a mash beyond its own temperature.

    >>> mash = Mash(Measured(5.0, 0.02), Measured(12.0, 0.2), Measured(52.0, 0.3))
    >>> infusion_l(mash, 66.0, Measured(100.0, 0.5)).value
    5.78
    """
    return step_infusions_l(mash, (target_c,), infusion_c)[0]


def step_infusions_l(
    mash: Mash, targets_c: Sequence[float], infusion_c: Measured, tun_l: float = math.inf
) -> tuple[Result, ...]:
    """Tell how much water [L at 20 °C] of `infusion_c` [°C] each step of `targets_c` [°C] takes, in their order.

    Each step finds the water of those before it in `mash`, and the mash at its last target. `tun_l` [L] is what the
    tun holds: a kilogram of malt takes up 0.67 L under water (common practice).

    Bias: as `infusion_l`; the heat that rests lose to the air is not seen: measure before each infusion.

    Valid: each target from the step before to the infusion, that excluded, within 0 to 101.6 °C.

    Source: energy balance; Pauls and Whites Brewing Room Book, 1984/85, for the malt.

    Raises:
        OutsideRange: outside that range, or where the tun would overflow.

    >>> mash = Mash(Measured(5.0, 0.02), Measured(10.0, 0.2), Measured(52.0, 0.3))
    >>> [round(step.value, 2) for step in step_infusions_l(mash, (63.0, 72.0), Measured(100.0, 0.5))]
    [3.57, 5.01]
    """
    _require_mash(mash)
    require_within("The temperature of the infusion", infusion_c.value, 0.0, _HOTTEST_WATER_C, "°C")
    before_c = mash.temperature_c.value
    for target_c in targets_c:
        _require_between(before_c, target_c, infusion_c.value)
        before_c = target_c
    results: list[Result] = []
    for count, target_c in enumerate(targets_c, 1):
        added_kg = _last_infusion(mash, targets_c[:count])
        told = propagate(added_kg, mash.grain_kg, mash.water_kg, mash.temperature_c, infusion_c, _malt(mash))
        results.append(Result(told.value / _kg_per_l(20.0), told.sd / _kg_per_l(20.0), "L", "malt heat"))
        in_tun_kg = mash.water_kg.value + _kg_per_l(20.0) * sum(step.value for step in results)
        filled_l = GRAIN_L_PER_KG * mash.grain_kg.value + in_tun_kg / _kg_per_l(target_c)
        if filled_l > tun_l:
            raise OutsideRange(
                "The step to {target} would fill the tun to {filled} and it holds {tun}: "
                "draw a decoction or heat the mash itself.",
                target=Shown(target_c, "°C"),
                filled=Shown(filled_l, "L"),
                tun=Shown(tun_l, "L"),
            )
    return tuple(results)


def mash_out_l(mash: Mash, infusion_c: Measured, target_c: float = MASH_OUT_C) -> Result:
    """Tell how much water [L at 20 °C] of `infusion_c` [°C] brings `mash` to the mash-out `target_c` [°C].

    Formula: V = (m_g c_g + m_w c_w + C)(T2 - T1) / (c_w (T_i - T2) ρ), as for any infusion.

    As `infusion_l`. 76 °C stops the enzymes and thins the wort; above 80 °C husks give off tannin: common practice.

    Bias: as `infusion_l`.

    Valid: target above the mash, at most 80 °C and below the infusion.

    Source: energy balance; the temperatures are common practice.

    Raises:
        OutsideRange: outside that range.

    >>> mash = Mash(Measured(5.0, 0.02), Measured(15.0, 0.2), Measured(66.0, 0.3))
    >>> mash_out_l(mash, Measured(99.0, 0.5)).value
    7.40
    """
    lowest_c = min(mash.temperature_c.value, HOTTEST_MASH_OUT_C)
    require_within("The mash-out", target_c, lowest_c, HOTTEST_MASH_OUT_C, "°C")
    return infusion_l(mash, target_c, infusion_c)


def decoction_l(mash: Mash, target_c: float, boiling_c: Measured, *, thin: bool = False) -> Result:
    """Tell how much [L, hot] of `mash` to boil at `boiling_c` [°C] and return, to reach `target_c` [°C].

    Formula: f = (K + C)(T2 - T1) / (K (T_b - T1)) of a thick mash, K = m_g c_g + m_w c_w; thin: m c_w (T_b -
    T1) = (K + C)(T2 - T1).

    A thick decoction has grain and water as the whole mash has: share f = (K + C)(T2 - T1) / (K (T_b - T1)),
    K = m_g c_g + m_w c_w. A `thin` one is liquid alone: m c_w (T_b - T1) = (K + C)(T2 - T1).

    Bias: what boils away while it boils is not counted (pull a tenth more: common practice), nor what the return
    loses to the air. A thick decoction that is drawn thicker than the mash carries less heat a litre.

    Valid: target between the mash and the boiling point; thick at most the whole mash, thin at most the liquid that
    the grain lets go (it holds 1 L/kg: common practice).

    Source: energy balance; Pauls and Whites Brewing Room Book, 1984/85, for the malt.

    Raises:
        OutsideRange: outside that range.

    >>> mash = Mash(Measured(5.0, 0.02), Measured(15.0, 0.2), Measured(64.0, 0.3))
    >>> decoction_l(mash, 72.0, Measured(100.0, 0.2)).value
    4.14
    >>> decoction_l(mash, 72.0, Measured(100.0, 0.2), thin=True).value
    3.85
    """
    _require_mash(mash)
    require_within("The boiling point", boiling_c.value, 60.0, 105.0, "°C")
    if target_c < mash.temperature_c.value:
        raise OutsideRange(
            "A decoction warms: {target} is below the {mash} of the mash.",
            target=Shown(target_c, "°C"),
            mash=Shown(mash.temperature_c.value, "°C"),
        )
    _require_between(mash.temperature_c.value, target_c, boiling_c.value)

    def pulled(grain: float, liquid: float, at_c: float, hot_c: float, specific: float) -> float:
        contents = grain * specific + liquid * WATER_J_PER_KG_K
        needed = (contents + mash.tun_j_per_k) * (target_c - at_c) / (hot_c - at_c)
        if thin:
            return needed / WATER_J_PER_KG_K / _kg_per_l(at_c)
        return needed / contents * (GRAIN_L_PER_KG * grain + liquid / _kg_per_l(at_c))

    told = propagate(pulled, mash.grain_kg, mash.water_kg, mash.temperature_c, boiling_c, _malt(mash))
    held_l = HELD_L_PER_KG * mash.grain_kg.value if thin else -GRAIN_L_PER_KG * mash.grain_kg.value
    most_l = mash.water_kg.value / _kg_per_l(mash.temperature_c.value) - held_l
    if told.value > most_l:
        raise OutsideRange(
            "{target} would take a decoction of {needed}, and at most {most} can be drawn: "
            "add hot water or heat the mash itself.",
            target=Shown(target_c, "°C"),
            needed=Shown(told.value, "L"),
            most=Shown(max(most_l, 0.0), "L"),
        )
    return Result(told.value, told.sd, "L", "malt heat", note="Pull a tenth more for what boils away.")


def after_infusion_c(mash: Mash, water_l: Measured, water_c: Measured) -> Result:
    """Tell the temperature [°C] of `mash` after `water_l` [L at 20 °C] of `water_c` [°C] is stirred in.

    Inverse of `infusion_l`, with its bias.

    Valid: water >= 0 at 0 to 101.6 °C.

    Source: energy balance; Pauls and Whites Brewing Room Book, 1984/85, for the malt.

    Raises:
        OutsideRange: outside that range.

    >>> mash = Mash(Measured(5.0, 0.02), Measured(12.0, 0.2), Measured(52.0, 0.3))
    >>> after_infusion_c(mash, Measured(5.777, 0.1), Measured(100.0, 0.5)).value
    66.0
    """

    def mixed(contents: float, at_c: float, litres: float, hot_c: float) -> float:
        require_at_least("The volume of water", litres, 0.0, "L")
        require_within("The temperature of the water", hot_c, 0.0, _HOTTEST_WATER_C, "°C")
        added = litres * _kg_per_l(20.0) * WATER_J_PER_KG_K
        return (contents * at_c + added * hot_c) / (contents + added)

    told = propagate(mixed, _capacity_j_per_k(mash), mash.temperature_c, water_l, water_c)
    return Result(told.value, told.sd, "°C", "malt heat")


def after_rest_c(mash: Mash, minutes: float, loss_w_per_k: Measured, room_c: Measured) -> Result:
    """Tell the temperature [°C] of `mash` after it stood `minutes` [min] in a room of `room_c` [°C].

    Newton: T = T_room + (T1 - T_room) exp(-k t / (m_g c_g + m_w c_w + C)), k = `loss_w_per_k` [W/K], see
    `tun_loss_w_per_k`.

    Bias: k is a constant only while nobody lifts the lid; top and rim are cooler than the middle.

    Valid: minutes >= 0, loss >= 0, room -20 to 60 °C.

    Source: Newton's law of cooling; energy balance.

    Raises:
        OutsideRange: outside that range.

    >>> mash = Mash(Measured(5.0, 0.0), Measured(15.0, 0.0), Measured(67.0, 0.0))
    >>> after_rest_c(mash, 60.0, Measured(1.0, 0.0), Measured(20.0, 0.0)).value
    64.68
    """

    def later(capacity: float, at_c: float, loss: float, around_c: float) -> float:
        require_at_least("The loss of the tun", loss, 0.0, "W/K")
        require_within("The temperature of the room", around_c, -20.0, 60.0, "°C")
        return around_c + (at_c - around_c) * math.exp(-loss * 60.0 * minutes / capacity)

    require_at_least("The time", minutes, 0.0, "min")
    told = propagate(later, _capacity_j_per_k(mash), mash.temperature_c, loss_w_per_k, room_c)
    return Result(told.value, told.sd, "°C", "heat balance")


def tun_loss_w_per_k(mash: Mash, later_c: Measured, minutes: float, room_c: Measured) -> Result:
    """Tell what the tun loses [W/K] when `mash` is at `later_c` [°C] after `minutes` [min] beside `room_c` [°C].

    Inverse of `after_rest_c`.

    Bias: a tenth of a degree on the thermometer is a tenth of the loss where a rest cools by one degree.

    Valid: minutes > 0, room -20 to 60 °C and below the later temperature, later at most the earlier.

    Source: Newton's law of cooling; energy balance.

    Raises:
        OutsideRange: outside that range.

    >>> mash = Mash(Measured(5.0, 0.0), Measured(15.0, 0.0), Measured(67.0, 0.0))
    >>> tun_loss_w_per_k(mash, Measured(64.68, 0.0), 60.0, Measured(20.0, 0.0)).value
    1.00
    """

    def loss(capacity: float, at_c: float, then_c: float, around_c: float) -> float:
        require_positive("The mash above the room", then_c - around_c, "K")
        require_positive("The mash above the room", at_c - around_c, "K")
        return capacity / (60.0 * minutes) * math.log((at_c - around_c) / (then_c - around_c))

    require_positive("The time", minutes, "min")
    require_within("The temperature of the room", room_c.value, -20.0, 60.0, "°C")
    require_at_least("The cooling of the mash", mash.temperature_c.value - later_c.value, 0.0, "K")
    told = propagate(loss, _capacity_j_per_k(mash), mash.temperature_c, later_c, room_c)
    return Result(told.value, told.sd, "W/K", "heat balance")


def _last_infusion(mash: Mash, targets_c: Sequence[float]) -> Callable[..., float]:
    def added_kg(grain: float, liquid: float, at_c: float, hot_c: float, specific: float) -> float:
        added = 0.0
        for target_c in targets_c:
            capacity = grain * specific + (liquid := liquid + added) * WATER_J_PER_KG_K + mash.tun_j_per_k
            rise_k, at_c = target_c - at_c, target_c
            added = capacity * rise_k / (WATER_J_PER_KG_K * (hot_c - target_c)) if rise_k else 0.0
        return added

    return added_kg


def _capacity_j_per_k(mash: Mash) -> Measured:
    _require_mash(mash)
    return propagate(
        lambda grain, liquid, specific: grain * specific + liquid * WATER_J_PER_KG_K + mash.tun_j_per_k,
        mash.grain_kg,
        mash.water_kg,
        _malt(mash),
    )


def _malt(mash: Mash) -> Measured:
    return Measured(malt_specific_heat_j_per_kg_k(mash.moisture), MALT_SD_J_PER_KG_K)


def _kg_per_l(temperature_c: float) -> float:
    return water.density_kg_m3(temperature_c) / _LITRES_PER_M3


def _require_mash(mash: Mash) -> None:
    require_at_least("The grain", mash.grain_kg.value, 0.0, "kg")
    require_positive("The water in the mash", mash.water_kg.value, "kg")
    require_within("The temperature of the mash", mash.temperature_c.value, 0.0, 100.0, "°C")
    require_at_least("The heat capacity of the tun", mash.tun_j_per_k, 0.0, "J/K")


def _require_between(from_c: float, target_c: float, infusion_c: float) -> None:
    if target_c == infusion_c:
        raise OutsideRange(
            "Water of {infusion} can bring a mash to just below or above that, not to it.",
            infusion=Shown(infusion_c, "°C"),
        )
    if target_c == from_c:
        return
    if not (from_c < target_c < infusion_c or infusion_c < target_c < from_c):
        raise OutsideRange(
            "Heat of {infusion} brings a mash of {mash} nearer to {infusion}, never to {target}.",
            infusion=Shown(infusion_c, "°C"),
            mash=Shown(from_c, "°C"),
            target=Shown(target_c, "°C"),
        )
