"""Doughing in: how hot the strike water must be, what the mash then is, and what the tun takes of it."""

from __future__ import annotations

from bisect import bisect_right
from typing import Final

from assistant.calculation import water
from assistant.calculation.heat import WATER_J_PER_KG_K, malt_specific_heat_j_per_kg_k
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

USUAL_MOISTURE: Final = 0.04  # of pale malt in the sack; common practice, no source
# Grain and tun may come from a frosty shed; water boils between 60 °C (far above any brewery) and 105 °C.
COLDEST_C: Final = -20.0
LOWEST_BOILING_C: Final = 60.0
HIGHEST_BOILING_C: Final = 105.0
MALT_SD_J_PER_KG_K: Final = 0.02 * WATER_J_PER_KG_K

_LITRES_PER_M3: Final = 1000.0
_SLAKING_SD_K: Final = 0.3
# moisture [kg/kg] and rise [K] in the mash; at 3 % the °C column says 2.3, the °F column 1.9.
_SLAKING: Final = ((0.0, 3.0), (0.01, 2.8), (0.02, 2.3), (0.03, 2.3), (0.04, 1.5), (0.06, 1.3), (0.08, 1.0))
_SLAKING_THICKNESS: Final = 2.68


def water_l_to_kg(volume_l: float, temperature_c: float = 20.0) -> float:
    """Give the mass [kg] of `volume_l` [L] of water measured at `temperature_c` [°C].

    Bias: a litre of strike water measured hot is 2.4 % less water than a cold one; say how it was measured.

    Valid: volume >= 0, 0 to 100 °C.

    Source: `water.density_kg_m3`.

    Raises:
        OutsideRange: outside that range.

    >>> water_l_to_kg(15.0, 72.0)
    14.649
    """
    require_at_least("The volume of water", volume_l, 0.0, "L")
    return volume_l * water.density_kg_m3(temperature_c) / _LITRES_PER_M3


def slaking_heat_j_per_kg(moisture: float) -> float:
    """Give the heat [J/kg malt] that malt of `moisture` [kg/kg] sets free when it is wetted.

    The book's table has it as a rise in temperature; it is turned into heat with the thickness of the book's own
    example, 2.68 L/kg: q = rise (S + 2.68) 4186.8, S the malt's relative specific heat.

    Bias: ±0.3 K of rise; the table's °C and °F columns disagree by 0.4 K at 3 % moisture (the °C one is used). That
    its rises hold for 2.68 L/kg is our reading.

    Valid: moisture 0 to 0.08.

    Source: Pauls and Whites Brewing Room Book, 1984/85, table, seen in a secondary reproduction.

    Raises:
        OutsideRange: outside that range.

    >>> slaking_heat_j_per_kg(0.02) / 1000.0
    29.56
    """
    malt = malt_specific_heat_j_per_kg_k(moisture)
    above = min(max(bisect_right([row[0] for row in _SLAKING], moisture), 1), len(_SLAKING) - 1)
    (dry, high), (damp, low) = _SLAKING[above - 1], _SLAKING[above]
    rise_k = high + (low - high) * (moisture - dry) / (damp - dry)
    return rise_k * (malt + _SLAKING_THICKNESS * WATER_J_PER_KG_K)


def mash_temperature_c(
    grain_kg: float,
    grain_c: float,
    water_kg: float,
    water_c: float,
    *,
    moisture: float = USUAL_MOISTURE,
    slaking: bool = True,
    tun_j_per_k: float = 0.0,
    tun_c: float = 20.0,
) -> float:
    """Give the temperature [°C] of `grain_kg` [kg] at `grain_c` [°C] mashed with `water_kg` [kg] at `water_c` [°C].

    T = (m_g c_g T_g + m_w c_w T_w + C T_tun + m_g q) / (m_g c_g + m_w c_w + C), C = `tun_j_per_k` [J/K] at `tun_c`
    [°C], c_g and the heat of wetting q from `moisture` [kg/kg]; q is left out where `slaking` is false.

    Bias: heat lost to the air while doughing in is not seen.

    Valid: grain >= 0, water > 0, 0 to 100 °C (grain and tun from -20), moisture 0 to 0.08, tun >= 0.

    Source: energy balance; Pauls and Whites Brewing Room Book, 1984/85.

    Raises:
        OutsideRange: outside that range.

    >>> mash_temperature_c(100.0, 27.0, 268.0, 69.0, moisture=0.02)
    65.96
    """
    _require_amounts(grain_kg, water_kg, tun_j_per_k)
    for what, at_c in (("grain", grain_c), ("water", water_c), ("tun", tun_c)):
        require_within(f"The temperature of the {what}", at_c, COLDEST_C if what != "water" else 0.0, 100.0, "°C")
    malt = grain_kg * malt_specific_heat_j_per_kg_k(moisture)
    liquid = water_kg * WATER_J_PER_KG_K
    wetting_j = grain_kg * slaking_heat_j_per_kg(moisture) if slaking else 0.0
    heat_j = malt * grain_c + liquid * water_c + tun_j_per_k * tun_c + wetting_j
    return heat_j / (malt + liquid + tun_j_per_k)


def strike_c(
    grain_kg: Measured,
    water_l: Measured,
    target_c: float,
    grain_c: Measured,
    *,
    boiling_c: float,
    water_measured_c: float = 20.0,
    moisture: float = USUAL_MOISTURE,
    slaking: bool = True,
    tun_j_per_k: float = 0.0,
    tun_c: float | None = None,
) -> Result:
    """Tell how hot [°C] `water_l` [L measured at `water_measured_c`, °C] must be to make the mash `target_c` [°C].

    Formula: T = target + (grain c (target - T grain) - heat of wetting) / (water c).

    `grain_kg` [kg] at `grain_c` [°C], `moisture` [kg/kg], the heat of wetting unless `slaking` is false, the tun
    with `tun_j_per_k` [J/K] at `tun_c` [°C] (as the grain unless told); `boiling_c` [°C] is where water boils here.
    Inverse of `mash_temperature_c`.

    Bias: specific heat ±0.02 of water's and heat of wetting ±0.3 K are in the uncertainty; heat lost while doughing
    in is not. In a small cold tun the heat of wetting is eaten by the tun: count both or neither.

    Valid: grain > 0, water > 0, strike 0 °C to the boiling point, that from 60 to 105 °C; grain and tun -20 to
    100 °C; moisture 0 to 0.08.

    Source: energy balance; Pauls and Whites Brewing Room Book, 1984/85.

    Raises:
        OutsideRange: outside that range; the water that would do is told.

    >>> told = strike_c(
    ...     Measured(5.0, 0.02), Measured(15.0, 0.2), 67.0, Measured(20.0, 1.0), boiling_c=100.0, slaking=False
    ... )
    >>> told.value, told.sd
    (73.28, 0.35)
    """
    require_positive("The grain", grain_kg.value, "kg")
    require_within("The target of the mash", target_c, 0.0, 100.0, "°C")
    require_within("The boiling point", boiling_c, LOWEST_BOILING_C, HIGHEST_BOILING_C, "°C")
    require_within("The temperature of the grain", grain_c.value, COLDEST_C, 100.0, "°C")
    if tun_c is not None:
        require_within("The temperature of the tun", tun_c, COLDEST_C, 100.0, "°C")
    _require_amounts(grain_kg.value, water_l.value, tun_j_per_k)
    malt = malt_specific_heat_j_per_kg_k(moisture)
    wetting = slaking_heat_j_per_kg(moisture) if slaking else 0.0
    wetting_sd = _SLAKING_SD_K * (malt + _SLAKING_THICKNESS * WATER_J_PER_KG_K) if slaking else 0.0

    def lacking_j(grain: float, at_c: float, specific: float, wetting_j: float) -> float:
        started_c = at_c if tun_c is None else tun_c
        return grain * (specific * (target_c - at_c) - wetting_j) + tun_j_per_k * (target_c - started_c)

    def strike(grain: float, litres: float, at_c: float, specific: float, wetting_j: float) -> float:
        liquid = water_l_to_kg(litres, water_measured_c) * WATER_J_PER_KG_K
        return target_c + lacking_j(grain, at_c, specific, wetting_j) / liquid

    told = propagate(
        strike, grain_kg, water_l, grain_c, Measured(malt, MALT_SD_J_PER_KG_K), Measured(wetting, wetting_sd)
    )
    if told.value > boiling_c:
        lacking = lacking_j(grain_kg.value, grain_c.value, malt, wetting)
        if target_c < boiling_c:
            litre_j = water_l_to_kg(1.0, water_measured_c) * WATER_J_PER_KG_K * (boiling_c - target_c)
            way_out, enough_l = "at least {enough}", lacking / litre_j
        else:
            way_out, enough_l = "a lower target", 0.0
        raise OutsideRange(
            "{target} cannot be reached with {water}: the water would have to be {strike} and boils at {boiling}; "
            f"take {way_out}.",
            target=Shown(target_c, "°C"),
            water=Shown(water_l.value, "L"),
            strike=Shown(told.value, "°C"),
            boiling=Shown(boiling_c, "°C"),
            enough=Shown(enough_l, "L"),
        )
    require_within("The strike water", told.value, 0.0, 100.0, "°C")
    plain = strike(grain_kg.value, water_l.value, grain_c.value, malt, 0.0)
    note = f"Without the heat of wetting it would be {plain:.1f} °C." if slaking else ""
    return Result(told.value, told.sd, "°C", "malt heat", note=note)


def tun_heat_capacity_j_per_k(water_l: Measured, water_c: Measured, settled_c: Measured, tun_c: Measured) -> Result:
    """Tell the heat capacity [J/K] of a tun at `tun_c` in which water of `water_c` came to `settled_c` [all °C].

    `water_l` [L at 20 °C] as much as a mash has: C = m c (T_w - T_s) / (T_s - T_tun).

    Bias: the heat that the air took in the meantime is counted as the tun's; close the lid and wait five minutes.

    Valid: water > 0, water hotter than settled, settled hotter than the tun, 0 to 100 °C (the tun from -20).

    Source: energy balance.

    Raises:
        OutsideRange: outside that range.

    >>> exact = [Measured(value, 0.0) for value in (15.0, 72.0, 69.5, 20.0)]
    >>> tun_heat_capacity_j_per_k(*exact).value / 1000.0
    3.166
    """

    def capacity(litres: float, hot_c: float, between_c: float, cold_c: float) -> float:
        require_positive("The volume of water", litres, "L")
        require_within("The temperature of the water", hot_c, 0.0, 100.0, "°C")
        require_positive("The warming of the tun", between_c - cold_c, "K")
        return water_l_to_kg(litres) * WATER_J_PER_KG_K * (hot_c - between_c) / (between_c - cold_c)

    require_within("The temperature of the tun", tun_c.value, COLDEST_C, 100.0, "°C")
    require_at_least("The cooling of the water", water_c.value - settled_c.value, 0.0, "K")
    told = propagate(capacity, water_l, water_c, settled_c, tun_c)
    return Result(told.value, told.sd, "J/K", "heat balance")


def _require_amounts(grain_kg: float, water_kg: float, tun_j_per_k: float) -> None:
    require_at_least("The grain", grain_kg, 0.0, "kg")
    require_positive("The water", water_kg)
    require_at_least("The heat capacity of the tun", tun_j_per_k, 0.0, "J/K")
