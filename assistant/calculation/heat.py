"""Heat: what wort and malt take up, what steam carries off, and how long a burner needs for it.

Low-level formulas are in SI (J, W, kg, K) with the temperature in °C; answers for the brewer are in min, L/h, W.
Net power is what reaches the liquid. `steam` holds where wort boils and what evaporation costs.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import Final

from assistant.calculation import sucrose, water
from assistant.calculation.extract import wort_kg
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result
from assistant.calculation.scales import HIGHEST_SG, REFERENCE_C, mass_fraction_from_sg
from assistant.calculation.steam import HIGHEST_MASS_FRACTION, latent_heat_j_per_kg
from assistant.calculation.uncertainty import propagate
from assistant.calculation.volumes import HOTTEST_WORT_C
from assistant.quantities import Measured, OutsideRange, Shown

WATER_J_PER_KG_K: Final = 4186.8
SPECIFIC_HEAT_SD: Final = 0.0125  # the spread of 2.5 % between the published rules taken as two deviations

_BUBNIK: Final = (4.1868, 0.0297, 4.6e-5, 7.5e-5)
_LITRES_PER_M3: Final = 1000.0
_SECONDS_PER_HOUR: Final = 3600.0
# moisture [kg/kg] and specific heat relative to water, from the brewing room book.
_MALT: Final = ((0.0, 0.38), (0.01, 0.38), (0.02, 0.39), (0.03, 0.40), (0.04, 0.40), (0.06, 0.41), (0.08, 0.42))
HIGHEST_MOISTURE: Final = 0.08


def specific_heat_j_per_kg_k(mass_fraction: float, temperature_c: float, purity: float = 1.0) -> float:
    """Give the specific heat [J/(kg K)] of wort of `mass_fraction` [kg/kg] at `temperature_c` [°C].

    c = 4186.8 - B (29.7 - 4.6 q) + 0.075 B t, B in mass %, `purity` q [kg/kg] the share of sucrose in the extract.

    Bias: published rules for sugar solutions differ by 2.5 %, wort extract is no sucrose; for water alone it is
    0.1 % high at 20 °C and 0.7 % low at 100 °C.

    Valid: mass fraction 0 to 0.40, 0 to 105 °C, purity 0 to 1.

    Source: Bubnik et al. (1995); coefficients seen in a code that cites Llano (2005), form from memory.

    Raises:
        OutsideRange: outside that range.

    >>> specific_heat_j_per_kg_k(0.12, 60.0)
    3939.6
    """
    require_within("The mass fraction of extract", mass_fraction, 0.0, HIGHEST_MASS_FRACTION)
    require_within("The temperature of the wort", temperature_c, 0.0, 105.0, "°C")
    require_within("The purity", purity, 0.0, 1.0)
    base, per_percent, per_purity, per_kelvin = _BUBNIK
    brix = 100.0 * mass_fraction
    return 1000.0 * (base - brix * (per_percent - per_purity * 100.0 * purity) + per_kelvin * brix * temperature_c)


def heat_to_warm_j(mass_kg: float, mass_fraction: float, from_c: float, to_c: float) -> float:
    """Give the heat [J] that brings `mass_kg` [kg] of wort of `mass_fraction` [kg/kg] `from_c` [°C] `to_c` [°C].

    m c (t2 - t1) with c in the middle of the span, exact because c is a straight line in t; below 0 for cooling.

    Bias: 2.5 % from the specific heat; nothing evaporates and the vessel is not warmed.

    Valid: mass >= 0, mass fraction 0 to 0.40, 0 to 105 °C.

    Source: Bubnik et al. (1995), see `specific_heat_j_per_kg_k`.

    Raises:
        OutsideRange: outside that range.

    >>> heat_to_warm_j(20.929, 0.12, 20.0, 100.0)
    6.597e6
    """
    require_at_least("The mass of wort", mass_kg, 0.0, "kg")
    for end_c in (from_c, to_c):
        require_within("The temperature of the wort", end_c, 0.0, 105.0, "°C")
    return mass_kg * specific_heat_j_per_kg_k(mass_fraction, (from_c + to_c) / 2.0) * (to_c - from_c)


def malt_specific_heat_j_per_kg_k(moisture: float) -> float:
    """Give the specific heat [J/(kg K)] of malt of `moisture` [kg/kg].

    Straight lines between the entries 0.38 (0 to 1 %) to 0.42 (8 %) of water's 4186.8.

    Bias: ±0.02 of water's; adjuncts and dark malts are taken as pale malt.

    Valid: moisture 0 to 0.08.

    Source: Pauls and Whites Brewing Room Book, 1984/85, table, seen in a secondary reproduction.

    Raises:
        OutsideRange: outside that range.

    >>> malt_specific_heat_j_per_kg_k(0.04)
    1674.7
    """
    require_within("The moisture of the malt", moisture, 0.0, HIGHEST_MOISTURE)
    above = min(max(bisect_right([row[0] for row in _MALT], moisture), 1), len(_MALT) - 1)
    (dry, low), (damp, high) = _MALT[above - 1], _MALT[above]
    return WATER_J_PER_KG_K * (low + (high - low) * (moisture - dry) / (damp - dry))


def heat_up_minutes(
    volume_l: Measured,
    sg: Measured,
    from_c: Measured,
    to_c: Measured,
    net_w: Measured,
    *,
    vessel_j_per_k: float = 0.0,
) -> Result:
    """Tell how long [min] `net_w` [W] takes to bring `volume_l` [L at 20 °C] of wort `from_c` [°C] `to_c` [°C].

    The wort is of `sg` [20/20 °C].

    Formula: t = (∫ m c dT + C (T2 - T1)) / P, C = `vessel_j_per_k` [J/K] of the vessel.

    Bias: losses grow as the kettle gets hot; a net power found near the start promises too much near the end.

    Valid: volume > 0, SG 1.000 to 1.17, 0 to 105 °C, from <= to, power > 0, vessel >= 0.

    Source: energy balance; Bubnik et al. (1995) for the specific heat.

    Raises:
        OutsideRange: outside that range; a burner cannot cool.

    >>> exact = [Measured(value, 0.0) for value in (20.0, 1.04839, 20.0, 100.0, 3000.0)]
    >>> told = heat_up_minutes(*exact)
    >>> told.value, told.sd
    (36.6, 0.46)
    """
    require_at_least("The heat capacity of the vessel", vessel_j_per_k, 0.0, "J/K")

    def minutes(litres: float, gravity: float, start_c: float, end_c: float, watt: float) -> float:
        require_positive("The net power", watt, "W")
        heat_j = _warming_j(litres, gravity, start_c, end_c) + vessel_j_per_k * (end_c - start_c)
        return heat_j / watt / 60.0

    _require_warmer(from_c.value, to_c.value)
    told = _with_specific_heat_sd(propagate(minutes, volume_l, sg, from_c, to_c, net_w))
    return Result(told.value, told.sd, "min", "wort cp")


def net_power_w(
    volume_l: Measured,
    sg: Measured,
    from_c: Measured,
    to_c: Measured,
    minutes: Measured,
    *,
    vessel_j_per_k: float = 0.0,
) -> Result:
    """Tell the net power [W] that brought `volume_l` [L at 20 °C] of wort `from_c` [°C] `to_c` [°C] in `minutes`.

    Formula: P = (∫ m c dT + C (T2 - T1)) / t.

    Inverse of `heat_up_minutes`; `sg` [20/20 °C], `minutes` [min], `vessel_j_per_k` [J/K].

    Bias: a mean over the span: losses to the air are already taken off, and are larger at the boil.

    Valid: volume > 0, SG 1.000 to 1.17, 0 to 105 °C, from < to, minutes > 0, vessel >= 0.

    Source: energy balance; Bubnik et al. (1995) for the specific heat.

    Raises:
        OutsideRange: outside that range.

    >>> exact = [Measured(value, 0.0) for value in (20.0, 1.04839, 20.0, 100.0, 36.65)]
    >>> net_power_w(*exact).value / 1000.0
    3.000
    """
    require_at_least("The heat capacity of the vessel", vessel_j_per_k, 0.0, "J/K")
    _require_warmer(from_c.value, to_c.value)
    require_positive("The rise in temperature", to_c.value - from_c.value, "K")

    def watt(litres: float, gravity: float, start_c: float, end_c: float, time_min: float) -> float:
        require_positive("The time", time_min, "min")
        heat_j = _warming_j(litres, gravity, start_c, end_c) + vessel_j_per_k * (end_c - start_c)
        return heat_j / (60.0 * time_min)

    told = _with_specific_heat_sd(propagate(watt, volume_l, sg, from_c, to_c, minutes))
    return Result(told.value, told.sd, "W", "wort cp")


def direct_heat_minutes(
    grain_kg: Measured,
    water_kg: Measured,
    from_c: Measured,
    to_c: Measured,
    net_w: Measured,
    *,
    moisture: float = 0.04,
) -> Result:
    """Tell how long [min] `net_w` [W] takes to lift a mash `from_c` [°C] `to_c` [°C].

    Formula: t = (m_grain c_malt + m_water c_water)(T2 - T1) / P.

    The mash holds `grain_kg` [kg] of malt of `moisture` [kg/kg] and `water_kg` [kg]:
    t = (m_grain c_malt + m_water c_water)(T2 - T1) / P.

    Bias: a mash that is not stirred is hot below and cold above, and scorches; the vessel itself is not counted.

    Valid: grain >= 0, water > 0, 0 to 105 °C, from <= to, power > 0, moisture 0 to 0.08.

    Source: energy balance; Pauls and Whites Brewing Room Book, 1984/85, for the malt.

    Raises:
        OutsideRange: outside that range; a burner cannot cool.

    >>> exact = [Measured(value, 0.0) for value in (5.0, 15.0, 52.0, 67.0, 2000.0)]
    >>> direct_heat_minutes(*exact).value
    8.90
    """
    _require_warmer(from_c.value, to_c.value)
    malt = malt_specific_heat_j_per_kg_k(moisture)

    def minutes(malt_kg: float, liquid_kg: float, start_c: float, end_c: float, watt: float) -> float:
        require_at_least("The grain", malt_kg, 0.0, "kg")
        require_positive("The water in the mash", liquid_kg, "kg")
        require_positive("The net power", watt, "W")
        for at_c in (start_c, end_c):
            require_within("The temperature of the mash", at_c, 0.0, 105.0, "°C")
        return (malt_kg * malt + liquid_kg * WATER_J_PER_KG_K) * (end_c - start_c) / watt / 60.0

    told = propagate(minutes, grain_kg, water_kg, from_c, to_c, net_w)
    note = "Stir while you heat: the bottom scorches and the top lags."
    return Result(told.value, told.sd, "min", "malt heat", note=note)


def boil_off_l_per_h(net_w: Measured, boiling_c: Measured) -> Result:
    """Tell how much water [L/h at 20 °C] `net_w` [W] boils off at `boiling_c` [°C]: P / (Δh ρ).

    Formula: P / (Δh ρ), Δh the heat that a kilogram takes to become steam.

    Bias: an upper bound: net power is what is left after losses, and a kettle loses more when it boils than when it
    was warmed.

    Valid: power >= 0, 60 to 105 °C.

    Source: IAPWS by way of `steam.latent_heat_j_per_kg`.

    Raises:
        OutsideRange: outside that range.

    >>> boil_off_l_per_h(Measured(1000.0, 0.0), Measured(99.974, 0.0)).value
    1.598
    """

    def rate(watt: float, at_c: float) -> float:
        require_at_least("The net power", watt, 0.0, "W")
        require_within("The boiling point", at_c, 60.0, 105.0, "°C")
        return watt / latent_heat_j_per_kg(at_c) * _SECONDS_PER_HOUR / _water_kg_per_l()

    told = propagate(rate, net_w, boiling_c)
    return Result(told.value, told.sd, "L/h", "latent heat")


def power_for_boil_off_w(boil_off: Measured, boiling_c: Measured) -> Result:
    """Tell what net power [W] boils off `boil_off` [L/h of water at 20 °C] at `boiling_c` [°C].

    Inverse of `boil_off_l_per_h`, with its bias: what the burner must give is more.

    Valid: boil-off >= 0, 60 to 105 °C.

    Source: IAPWS by way of `steam.latent_heat_j_per_kg`.

    Raises:
        OutsideRange: outside that range.

    >>> power_for_boil_off_w(Measured(3.0, 0.0), Measured(99.974, 0.0)).value / 1000.0
    1.877
    """

    def watt(litres_per_h: float, at_c: float) -> float:
        require_at_least("The boil-off", litres_per_h, 0.0, "L/h")
        require_within("The boiling point", at_c, 60.0, 105.0, "°C")
        return litres_per_h * _water_kg_per_l() / _SECONDS_PER_HOUR * latent_heat_j_per_kg(at_c)

    told = propagate(watt, boil_off, boiling_c)
    return Result(told.value, told.sd, "W", "latent heat")


def boil_off_from_dipsticks_l_per_h(
    before_l: Measured, after_l: Measured, minutes: Measured, sg_before: Measured, wort_c: Measured
) -> Result:
    """Tell the boil-off [L/h of water at 20 °C] from two volumes as hot as they stood, `minutes` [min] apart.

    Formula: (mass that filled the first volume - mass that fills the second, with the same extract) / time.

    `before_l` and `after_l` [L at `wort_c`, °C] with `sg_before` [20/20 °C] at the first: the extract stays, so
    the mass that fills the second volume is known, and the difference of masses is water.

    Bias: 26 L of hot wort less 22 L are 3.85 L of cold water, not 4; foam and a rolling surface spoil a dipstick.

    Valid: before >= after > 0, minutes > 0, SG 1.000 to 1.17 before and after, 0 to 105 °C (above 100
    counts as 100).

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range; boiling does not add water.

    >>> exact = [Measured(value, 0.0) for value in (26.0, 22.0, 60.0, 1.044, 98.0)]
    >>> boil_off_from_dipsticks_l_per_h(*exact).value
    3.85
    """
    if after_l.value > before_l.value:
        raise OutsideRange(
            "Boiling takes volume away: the second dipstick must be at most {before}, not {after}.",
            before=Shown(before_l.value, "L"),
            after=Shown(after_l.value, "L"),
        )

    def rate(first_l: float, second_l: float, time_min: float, gravity: float, at_c: float) -> float:
        require_within("The temperature of the wort", at_c, water.LOWEST_C, HOTTEST_WORT_C, "°C")
        require_positive("The second volume", second_l, "L")
        require_positive("The time", time_min, "min")
        require_within("The gravity of the wort", gravity, 1.0, HIGHEST_SG, "SG")
        hot_c = min(at_c, water.HIGHEST_C)
        share = max(0.0, mass_fraction_from_sg(gravity))
        first_kg = first_l * sucrose.density_kg_m3(share, hot_c) / _LITRES_PER_M3
        lost_kg = first_kg - _mass_filling_kg(second_l, share * first_kg, hot_c)
        return lost_kg / _water_kg_per_l() * 60.0 / time_min

    told = propagate(rate, before_l, after_l, minutes, sg_before, wort_c)
    return Result(told.value, told.sd, "L/h", "mass balance")


def _mass_filling_kg(volume_l: float, extract_kg: float, temperature_c: float) -> float:
    """The mass of wort with `extract_kg` in it that fills `volume_l`; the density changes little with the mass."""
    mass_kg = volume_l
    for _ in range(60):
        share = extract_kg / mass_kg
        require_within("The mass fraction of extract", share, 0.0, HIGHEST_MASS_FRACTION)
        following = volume_l * sucrose.density_kg_m3(share, temperature_c) / _LITRES_PER_M3
        if abs(following - mass_kg) < 1e-13 * mass_kg:
            break
        mass_kg = following
    return mass_kg


def _warming_j(volume_l: float, sg: float, from_c: float, to_c: float) -> float:
    require_positive("The volume", volume_l, "L")
    require_within("The gravity of the wort", sg, 1.0, HIGHEST_SG, "SG")
    return heat_to_warm_j(wort_kg(volume_l, sg), max(0.0, mass_fraction_from_sg(sg)), from_c, to_c)


def _with_specific_heat_sd(told: Measured) -> Measured:
    return Measured(told.value, (told.sd**2 + (SPECIFIC_HEAT_SD * told.value) ** 2) ** 0.5)


def _water_kg_per_l() -> float:
    return water.density_kg_m3(REFERENCE_C) / _LITRES_PER_M3


def _require_warmer(from_c: float, to_c: float) -> None:
    if to_c < from_c:
        raise OutsideRange(
            "A burner cannot cool: the target must be at least {now}, not {target}.",
            now=Shown(from_c, "°C"),
            target=Shown(to_c, "°C"),
        )
