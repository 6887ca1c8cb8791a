"""A stirred kettle with a coil, from what is known of the rig: how fast, how cold, how much water.

The coil is a heat exchanger of one steady side (heat-capacity ratio zero): effectiveness ε = 1 - exp(-NTU),
NTU = UA / (ṁ c). What the rig's earlier days showed of UA becomes the prior of `chill.fit_chill`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from assistant.calculation import water
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

# Of water at 10 to 20 °C, within 0.1 % (IAPWS-95).
WATER_J_PER_KG_K: Final = 4186.0
# Common practice, no source: unstirred wort lies in layers and takes half to twice as long again.
UNSTIRRED_FACTOR: Final = Measured(2.0, 0.5)

# Nearer to the water than this the time grows without end and says little; a judgement.
_CLOSE_K: Final = 2.0


@dataclass(frozen=True, slots=True)
class CoilChill:
    """A chill: wort [kg], its specific heat [J/(kg K)], strength of the coil UA [W/K], cooling water [L/min, °C].

    `start_c` [°C] is the wort when the water is turned on; `stirred` whether it is kept moving.
    """

    wort_kg: Measured
    specific_heat_j_per_kg_k: float
    ua_w_per_k: Measured
    flow_l_per_min: Measured
    water_in_c: Measured
    start_c: Measured
    stirred: bool = True


def effectiveness(ntu: float) -> float:
    """Give the effectiveness [0 to 1] of a coil in a stirred kettle with `ntu` [transfer units]: 1 - exp(-NTU).

    Valid: NTU >= 0; any arrangement of the flow, since the kettle is one temperature throughout.

    Source: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, effectiveness at a heat-capacity ratio of
    zero.

    Raises:
        OutsideRange: below zero, or no number.

    >>> effectiveness(2.0)
    0.86466
    """
    require_at_least("The number of transfer units", ntu, 0.0)
    return -math.expm1(-ntu)


def time_constant_s(
    wort_kg: float, specific_heat_j_per_kg_k: float, ua_w_per_k: float, flow_kg_per_s: float
) -> float:
    """Give the time [s] in which a stirred kettle comes 63 % nearer to the water in its coil: τ = M c / (ε ṁ c_w).

    `wort_kg` [kg] of `specific_heat_j_per_kg_k` [J/(kg K)], coil of `ua_w_per_k` [W/K], water `flow_kg_per_s`
    [kg/s].

    Bias: the kettle's own metal (a few per cent of the wort's heat) and what the air takes are left out.

    Valid: all > 0.

    Source: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer.

    Raises:
        OutsideRange: outside that range.

    >>> time_constant_s(20.93, 3900.0, 400.0, 0.0999) / 60.0
    5.28
    """
    require_positive("The mass of the wort", wort_kg, "kg")
    require_positive("The specific heat of the wort", specific_heat_j_per_kg_k, "J/(kg K)")
    require_positive("The strength of the coil", ua_w_per_k, "W/K")
    require_positive("The flow of cooling water", flow_kg_per_s, "kg/s")
    capacity_w_per_k = flow_kg_per_s * WATER_J_PER_KG_K
    return wort_kg * specific_heat_j_per_kg_k / (effectiveness(ua_w_per_k / capacity_w_per_k) * capacity_w_per_k)


def tau_from_history(chill: CoilChill) -> Measured:
    """Give τ [s] of `chill` with what is not known of wort, coil and flow: the prior of `chill.fit_chill`.

    Unstirred, τ is multiplied by 2 ± 0.5 (common practice, no source).

    Valid: as `time_constant_s`.

    Source: as `time_constant_s`; JCGM 100:2008, equation 10, for the uncertainty.

    Raises:
        OutsideRange: outside that range.

    >>> rig = (Measured(20.93, 0.2), 3900.0, Measured(400.0, 40.0), Measured(6.0, 0.3))
    >>> coil = CoilChill(*rig, Measured(15.0, 1.0), Measured(98.0, 0.5))
    >>> tau_from_history(coil).value / 60.0, tau_from_history(coil).sd / 60.0
    (5.28, 0.34)
    """
    return propagate(
        lambda *of_tau: _tau_s(chill, *of_tau),
        chill.wort_kg,
        chill.ua_w_per_k,
        chill.flow_l_per_min,
        _stirring(chill),
    )


def strength_from_tau_w_per_k(
    tau_s: Measured, wort_kg: Measured, specific_heat_j_per_kg_k: float, flow_l_per_min: Measured
) -> Result:
    """Tell the strength UA [W/K] of a coil that gave `tau_s` [s], as `chill.fit_chill` finds it; for the history.

    Formula: UA = -ln(1 - M c / (τ ṁ c_w)) ṁ c_w, `wort_kg` [kg] of `specific_heat_j_per_kg_k` [J/(kg K)], water
    `flow_l_per_min` [L/min at 15 °C]. Inverse of `time_constant_s`.

    Bias: it holds for that stirring; a kettle that was not stirred shows a weaker coil.

    Valid: a τ longer than that of a perfect coil with this water.

    Source: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer.

    Raises:
        OutsideRange: a τ that no coil can reach with this water, with the shortest that one can.

    >>> strength_from_tau_w_per_k(Measured(316.9, 5.0), Measured(20.93, 0.2), 3900.0, Measured(6.0, 0.3)).value
    400.2
    """
    require_positive("The time constant", tau_s.value, "s")
    require_positive("The mass of the wort", wort_kg.value, "kg")
    require_positive("The specific heat of the wort", specific_heat_j_per_kg_k, "J/(kg K)")
    require_positive("The flow of cooling water", flow_l_per_min.value, "L/min")

    def strength(tau: float, kilograms: float, flow: float) -> float:
        capacity_w_per_k = _flow_kg_per_s(flow, 15.0) * WATER_J_PER_KG_K
        shortest_s = kilograms * specific_heat_j_per_kg_k / capacity_w_per_k
        if tau <= shortest_s:
            raise OutsideRange(
                f"No coil cools faster than {shortest_s:.0f} s with so little water; a time constant of {tau:.0f} s"
                " cannot be."
            )
        return -math.log1p(-shortest_s / tau) * capacity_w_per_k

    value = propagate(strength, tau_s, wort_kg, flow_l_per_min)
    return Result(value.value, value.sd, "W/K", "coil")


def time_to_target_s(chill: CoilChill, target_c: float) -> Result:
    """Tell how long [s] `chill` needs to `target_c` [°C]: t = τ ln[(T0 - Tin) / (T - Tin)].

    Formula: t = τ ln[(T0 - Tin) / (T - Tin)], τ = M c / (ε ṁ c_w), ε = 1 - exp(-UA / (ṁ c_w)).

    Bias: as `time_constant_s`; within 2 K of the water, or within two of its standard uncertainties, the time says
    little, and the verdict tells so.

    Valid: targets above the cooling water and below the start.

    Source: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer; unstirred: common practice, no source.

    Raises:
        OutsideRange: a target that this water cannot reach, or that lies above the start.

    >>> rig = (Measured(20.93, 0.2), 3900.0, Measured(400.0, 40.0), Measured(6.0, 0.3))
    >>> coil = CoilChill(*rig, Measured(15.0, 0.5), Measured(98.0, 0.5))
    >>> time_to_target_s(coil, 25.0).value / 60.0
    11.18
    """
    value = _propagated(chill, _time_to(chill, target_c))
    return Result(value.value, value.sd, "s", *_label(chill, target_c))


def water_used_l(chill: CoilChill, target_c: float) -> Result:
    """Tell how much cooling water [L] `chill` uses to `target_c` [°C]: flow times time.

    Bias: as `time_to_target_s`.

    Valid: as `time_to_target_s`.

    Source: as `time_to_target_s`.

    Raises:
        OutsideRange: as `time_to_target_s`.

    >>> rig = (Measured(20.93, 0.2), 3900.0, Measured(400.0, 40.0), Measured(6.0, 0.3))
    >>> coil = CoilChill(*rig, Measured(15.0, 0.5), Measured(98.0, 0.5))
    >>> water_used_l(coil, 25.0).value
    67.1
    """
    seconds = _time_to(chill, target_c)

    def litres(*inputs: float) -> float:
        flow_l_per_min = inputs[4]
        return seconds(*inputs) * flow_l_per_min / 60.0

    value = _propagated(chill, litres)
    return Result(value.value, value.sd, "L", *_label(chill, target_c))


def temperature_after_c(chill: CoilChill, seconds: float) -> Result:
    """Tell the temperature [°C] of the wort after `seconds` [s] of `chill`: T = Tin + (T0 - Tin) exp(-t / τ).

    Bias: as `time_constant_s`.

    Valid: times >= 0, a start from that of the water to 110 °C.

    Source: as `time_to_target_s`.

    Raises:
        OutsideRange: outside that range.

    >>> rig = (Measured(20.93, 0.2), 3900.0, Measured(400.0, 40.0), Measured(6.0, 0.3))
    >>> coil = CoilChill(*rig, Measured(15.0, 0.5), Measured(98.0, 0.5))
    >>> temperature_after_c(coil, 600.0).value
    27.5
    """
    require_at_least("The time of the chill", seconds, 0.0, "s")
    require_within("The start of the chill", chill.start_c.value, chill.water_in_c.value, 110.0, "°C")

    def celsius(water_c: float, start_c: float, *of_tau: float) -> float:
        return water_c + (start_c - water_c) * math.exp(-seconds / _tau_s(chill, *of_tau))

    value = _propagated(chill, celsius)
    return Result(value.value, value.sd, "°C", *_label(chill, None))


def outlet_c(chill: CoilChill, wort_c: Measured) -> Result:
    """Tell how warm [°C] the water leaves the coil of `chill` when the wort is at `wort_c` [°C]: Tin + ε (T - Tin).

    Hot at first: it scalds above 50 °C, so mind where the hose ends.

    Bias: an unstirred kettle cools its coil's neighbourhood, and the water comes out cooler.

    Valid: wort not colder than the water.

    Source: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer.

    Raises:
        OutsideRange: outside that range.

    >>> rig = (Measured(20.93, 0.2), 3900.0, Measured(400.0, 40.0), Measured(6.0, 0.3))
    >>> coil = CoilChill(*rig, Measured(15.0, 0.5), Measured(98.0, 0.5))
    >>> outlet_c(coil, Measured(98.0, 0.5)).value
    66.1
    """
    require_within("The temperature of the wort", wort_c.value, chill.water_in_c.value, 110.0, "°C")
    require_positive("The flow of cooling water", chill.flow_l_per_min.value, "L/min")

    def celsius(strength: float, flow: float, water_c: float, hot_c: float) -> float:
        flow_kg_per_s = _flow_kg_per_s(flow, chill.water_in_c.value)
        return water_c + effectiveness(strength / (flow_kg_per_s * WATER_J_PER_KG_K)) * (hot_c - water_c)

    value = propagate(celsius, chill.ua_w_per_k, chill.flow_l_per_min, chill.water_in_c, wort_c)
    return Result(value.value, value.sd, "°C", "coil")


def _flow_kg_per_s(flow_l_per_min: float, water_c: float) -> float:
    require_within("The cooling water", water_c, water.LOWEST_C, water.HIGHEST_C, "°C")
    require_positive("The flow of cooling water", flow_l_per_min, "L/min")
    return flow_l_per_min / 60.0 * water.density_kg_m3(water_c) / 1000.0


def _tau_s(chill: CoilChill, kilograms: float, strength: float, flow: float, stirring: float) -> float:
    flow_kg_per_s = _flow_kg_per_s(flow, chill.water_in_c.value)
    return stirring * time_constant_s(kilograms, chill.specific_heat_j_per_kg_k, strength, flow_kg_per_s)


def _stirring(chill: CoilChill) -> Measured:
    return Measured(1.0, 0.0) if chill.stirred else UNSTIRRED_FACTOR


def _propagated(chill: CoilChill, function: Callable[..., float]) -> Measured:
    return propagate(
        function,
        chill.water_in_c,
        chill.start_c,
        chill.wort_kg,
        chill.ua_w_per_k,
        chill.flow_l_per_min,
        _stirring(chill),
    )


def _time_to(chill: CoilChill, target_c: float) -> Callable[..., float]:
    require_within("The start of the chill", chill.start_c.value, 0.0, 110.0, "°C")
    require_within("The target temperature", target_c, 0.0, chill.start_c.value, "°C")

    def seconds(water_c: float, start_c: float, *of_tau: float) -> float:
        if target_c <= water_c:
            raise OutsideRange(
                "Water of {water} cannot cool wort to {target}; use an ice bath at the end.",
                water=Shown(water_c, "°C"),
                target=Shown(target_c, "°C"),
            )
        return _tau_s(chill, *of_tau) * math.log((start_c - water_c) / (target_c - water_c))

    return seconds


def _label(chill: CoilChill, target_c: float | None) -> tuple[str, Verdict, str]:
    if target_c is not None and target_c - chill.water_in_c.value < max(_CLOSE_K, 2.0 * chill.water_in_c.sd):
        note = "The target is so near to the water that the last degrees take much longer than the time says."
        return "coil" if chill.stirred else "unstirred", Verdict.NEAR_LIMIT, note
    if not chill.stirred:
        return "unstirred", Verdict.RULE_OF_THUMB, "Unstirred, taken as twice as slow: a rule, no source."
    return "coil", Verdict.INSIDE, ""
