"""Cooling without a tap that is cold enough: ice, and the air overnight."""

from __future__ import annotations

import math
from typing import Final

from assistant.calculation.chill_design import WATER_J_PER_KG_K
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

# At 0 °C and 101.325 kPa: TEOS-10 (IAPWS-06 for ice, IAPWS-95 for water) gives 333 426.5 J/kg.
FUSION_J_PER_KG: Final = 333_430.0
# Of ice at 0 °C by the same; 2.3 % less at -10 °C.
ICE_J_PER_KG_K: Final = 2097.0
# Judgement: what the room and the vessels melt besides.
_MELTED_BESIDES_RELATIVE_SD: Final = 0.10

_STEFAN_BOLTZMANN: Final = 5.670374e-8
_ZERO_C_K: Final = 273.15
# Correlations of free convection scatter by so much, and a kettle is neither plate nor alone; a judgement.
STILL_AIR_RELATIVE_SD: Final = 0.30


def ice_to_cool_kg(
    wort_kg: Measured,
    specific_heat_j_per_kg_k: float,
    from_c: Measured,
    to_c: float,
    *,
    ends_c: float = 0.0,
    ice_c: float = 0.0,
    bath_water_kg: float = 0.0,
    bath_water_c: float = 15.0,
) -> Result:
    """Tell what mass [kg] of ice, in a bath around the kettle, takes `wort_kg` [kg] from `from_c` to `to_c` [°C].

    Formula: m = [M c (T0 - T1) + W c_w (Tw - Te)] / [c_ice (0 - Ti) + L + c_w Te].

    Wort of `specific_heat_j_per_kg_k` [J/(kg K)]; ice of `ice_c` [°C] that melts, its water ending at `ends_c`
    [°C]; and `bath_water_kg` [kg] of water of `bath_water_c` [°C] that is cooled with it. The least ice:
    `ends_c` at the target; quickest: 0 °C.

    Uncertainty: as given, and 10 % for what room and vessel melt besides (judgement).

    Bias: wet ice is partly water already. Ice in the wort itself would thin it; this is ice around it.

    Valid: cooling from 110 °C at most; ends 0 °C to the target, not above it; ice -30 to 0 °C; bath water, if any,
    from where the bath ends to 100 °C.

    Source: heat balance; latent heat of fusion of TEOS-10 (IAPWS-06).

    Raises:
        OutsideRange: outside that range.

    >>> ice_to_cool_kg(Measured(20.93, 0.1), 3900.0, Measured(30.0, 0.5), 18.0).value
    2.94
    """
    require_positive("The mass of the wort", wort_kg.value, "kg")
    require_positive("The specific heat of the wort", specific_heat_j_per_kg_k, "J/(kg K)")
    require_within("The temperature of the wort", from_c.value, 0.0, 110.0, "°C")
    require_within("The temperature to cool to", to_c, 0.0, from_c.value, "°C")
    require_within("The temperature at which the bath ends", ends_c, 0.0, to_c, "°C")
    require_within("The temperature of the ice", ice_c, -30.0, 0.0, "°C")
    require_at_least("The water in the bath", bath_water_kg, 0.0, "kg")
    if bath_water_kg > 0.0:
        require_within("The temperature of the water in the bath", bath_water_c, ends_c, 100.0, "°C")
    takes_j_per_kg = -ice_c * ICE_J_PER_KG_K + FUSION_J_PER_KG + ends_c * WATER_J_PER_KG_K
    of_bath_j = bath_water_kg * WATER_J_PER_KG_K * (bath_water_c - ends_c)

    def mass(kilograms: float, start_c: float) -> float:
        return (kilograms * specific_heat_j_per_kg_k * (start_c - to_c) + of_bath_j) / takes_j_per_kg

    centre = mass(wort_kg.value, from_c.value)
    value = propagate(mass, wort_kg, from_c, model_sd=_MELTED_BESIDES_RELATIVE_SD * centre)
    return Result(value.value, value.sd, "kg", "ice", note="Ice around the kettle, not in the wort.")


def ice_bath_ends_c(
    wort_kg: float,
    specific_heat_j_per_kg_k: float,
    wort_c: float,
    ice_kg: float,
    *,
    bath_water_kg: float = 0.0,
    bath_water_c: float = 15.0,
) -> float:
    """Give the temperature [°C] at which kettle and bath come to rest with `ice_kg` [kg] of ice at 0 °C.

    `wort_kg` [kg] of `specific_heat_j_per_kg_k` [J/(kg K)] at `wort_c` [°C], in a bath of `bath_water_kg` [kg] of
    water at `bath_water_c` [°C]; 0 °C when ice is left. Heat is conserved.

    Bias: the room warms it meanwhile; the last degrees take long.

    Valid: wort > 0 kg, 0 to 100 °C; ice and bath water >= 0 kg; bath water 0 to 100 °C.

    Source: heat balance; latent heat of fusion of TEOS-10 (IAPWS-06).

    Raises:
        OutsideRange: outside that range.

    >>> ice_bath_ends_c(20.93, 3900.0, 30.0, 5.0, bath_water_kg=10.0)
    9.76
    """
    require_positive("The mass of the wort", wort_kg, "kg")
    require_positive("The specific heat of the wort", specific_heat_j_per_kg_k, "J/(kg K)")
    require_within("The temperature of the wort", wort_c, 0.0, 100.0, "°C")
    require_at_least("The ice", ice_kg, 0.0, "kg")
    require_at_least("The water in the bath", bath_water_kg, 0.0, "kg")
    require_within("The temperature of the water in the bath", bath_water_c, 0.0, 100.0, "°C")
    wort_j_per_k, bath_j_per_k = wort_kg * specific_heat_j_per_kg_k, bath_water_kg * WATER_J_PER_KG_K
    above_zero_j = wort_j_per_k * wort_c + bath_j_per_k * bath_water_c - ice_kg * FUSION_J_PER_KG
    return max(0.0, above_zero_j / (wort_j_per_k + bath_j_per_k + ice_kg * WATER_J_PER_KG_K))


def still_air_w_per_m2_k(surface_c: float, air_c: float, height_m: float, emissivity: float) -> float:
    """Give the heat transfer [W/(m² K)] from an upright wall of `surface_c` [°C] to still air of `air_c` [°C].

    1.42 (ΔT / H)^0.25 by convection, `height_m` [m] high, plus ε σ (Ts² + Ta²)(Ts + Ta) by radiation, `emissivity`
    [0 to 1]: about 0.2 for bright steel, 0.9 for plastic, glass and enamel (handbook figures, from memory).

    Bias: the convection is 3 to 12 % below Churchill and Chu's correlation for kettles. No wind; and no steam:
    an open hot kettle loses more by that than by its walls.

    Valid: surface above the air, both -10 to 110 °C; height 0.1 to 2 m; emissivity 0 to 1.

    Source: Cengel, Heat Transfer, simplified relations for air (second-hand); Stefan-Boltzmann law.

    Raises:
        OutsideRange: outside that range.

    >>> still_air_w_per_m2_k(60.0, 20.0, 0.40, 0.2)
    5.9
    """
    require_within("The temperature of the air", air_c, -10.0, 110.0, "°C")
    require_within("The temperature of the wall", surface_c, air_c, 110.0, "°C")
    require_within("The height of the wall", height_m, 0.1, 2.0, "m")
    require_within("The emissivity", emissivity, 0.0, 1.0)
    hot_k, cold_k = surface_c + _ZERO_C_K, air_c + _ZERO_C_K
    radiation = emissivity * _STEFAN_BOLTZMANN * (hot_k**2 + cold_k**2) * (hot_k + cold_k)
    return float(1.42 * ((surface_c - air_c) / height_m) ** 0.25 + radiation)


def natural_time_constant_s(
    wort_kg: float, specific_heat_j_per_kg_k: float, area_m2: float, transfer_w_per_m2_k: float
) -> float:
    """Give the time [s] in which a closed kettle in the air comes 63 % nearer to it: τ = M c / (h A).

    `wort_kg` [kg] of `specific_heat_j_per_kg_k` [J/(kg K)], wall and lid `area_m2` [m²], `transfer_w_per_m2_k`
    [W/(m² K)] from `still_air_w_per_m2_k`.

    Bias: h falls as it cools, so it is slower at the end than τ says.

    Valid: all > 0.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer.

    Raises:
        OutsideRange: outside that range.

    >>> natural_time_constant_s(20.93, 3900.0, 0.65, 6.0) / 3600.0
    5.81
    """
    require_positive("The mass of the wort", wort_kg, "kg")
    require_positive("The specific heat of the wort", specific_heat_j_per_kg_k, "J/(kg K)")
    require_positive("The area of wall and lid", area_m2, "m²")
    require_positive("The heat transfer to the air", transfer_w_per_m2_k, "W/(m² K)")
    return wort_kg * specific_heat_j_per_kg_k / (transfer_w_per_m2_k * area_m2)


def overnight_c(tau_s: Measured, start_c: Measured, air_c: Measured, seconds: float) -> Result:
    """Tell the temperature [°C] of wort left standing for `seconds` [s]: T = Ta + (T0 - Ta) exp(-t / τ).

    Formula: T = Ta + (T0 - Ta) exp(-t / τ), τ = M c / (h A).

    `tau_s` [s] from `natural_time_constant_s`, with `STILL_AIR_RELATIVE_SD` unless it was measured; `start_c`
    and `air_c` [°C].

    Bias: the air of a night is not steady; h falls as it cools.

    Valid: start 0 to 110 °C and not below the air, air from -30 °C, time >= 0, τ > 0.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer.

    Raises:
        OutsideRange: outside that range.

    >>> told = overnight_c(Measured(20900.0, 6300.0), Measured(98.0, 0.5), Measured(16.0, 2.0), 12 * 3600.0)
    >>> told.value, told.sd
    (26.4, 6.7)
    """
    require_at_least("The time of standing", seconds, 0.0, "s")
    _require_cooling(tau_s, start_c, air_c)

    def celsius(tau: float, hot_c: float, cold_c: float) -> float:
        return cold_c + (hot_c - cold_c) * math.exp(-seconds / tau)

    value = propagate(celsius, tau_s, start_c, air_c)
    return Result(value.value, value.sd, "°C", "still air", _coarse(tau_s), _STANDING_NOTE)


def standing_time_s(tau_s: Measured, start_c: Measured, air_c: Measured, target_c: float) -> Result:
    """Tell how long [s] wort must stand to come from `start_c` to `target_c` [°C] in air of `air_c` [°C].

    t = τ ln[(T0 - Ta) / (T - Ta)], `tau_s` [s] as in `overnight_c`.

    Bias: as `overnight_c`; near the temperature of the air the time says little.

    Valid: start 0 to 110 °C, air from -30 °C, a target above the air and not above the start.

    Source: lumped-capacity cooling, Incropera and DeWitt, Fundamentals of Heat and Mass Transfer.

    Raises:
        OutsideRange: air that is not cold enough, or a target above the start.

    >>> standing_time_s(Measured(20900.0, 6300.0), Measured(98.0, 0.5), Measured(16.0, 2.0), 25.0).value / 3600.0
    12.83
    """
    _require_cooling(tau_s, start_c, air_c)
    require_within("The target temperature", target_c, -5.0, start_c.value, "°C")

    def seconds(tau: float, hot_c: float, cold_c: float) -> float:
        if target_c <= cold_c:
            raise OutsideRange(
                "Air of {air} never cools wort to {target}.",
                air=Shown(cold_c, "°C"),
                target=Shown(target_c, "°C"),
            )
        return tau * math.log((hot_c - cold_c) / (target_c - cold_c))

    value = propagate(seconds, tau_s, start_c, air_c)
    return Result(value.value, value.sd, "s", "still air", _coarse(tau_s), _STANDING_NOTE)


_STANDING_NOTE: Final = "Keep it closed and clean: wort that stands warm for hours spoils."


def _coarse(tau_s: Measured) -> Verdict:
    """An h that was only reckoned makes a coarse answer."""
    return Verdict.NEAR_LIMIT if tau_s.sd > 0.2 * tau_s.value else Verdict.INSIDE


def _require_cooling(tau_s: Measured, start_c: Measured, air_c: Measured) -> None:
    require_positive("The time constant of the cooling", tau_s.value, "s")
    require_within("The temperature of the wort", start_c.value, 0.0, 110.0, "°C")
    require_within("The temperature of the air", air_c.value, -30.0, start_c.value, "°C")
