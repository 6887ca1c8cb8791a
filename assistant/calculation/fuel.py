"""What a brew burns: gas by mass, electricity by the kilowatt hour, and how much of it reaches the wort."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured

# Common practice, no source: an open ring burner under a bare kettle, and an element in the wort.
GAS_EFFICIENCY: Final = Measured(0.40, 0.10)
ELEMENT_EFFICIENCY: Final = Measured(0.95, 0.03)

_J_PER_KWH: Final = 3.6e6
# Standard enthalpies of formation at 25 °C [kJ/mol], vapour of water because flue gas leaves hot.
_CO2_KJ_MOL: Final = -393.51
_STEAM_KJ_MOL: Final = -241.826


class Fuel(StrEnum):
    """What heats the kettle."""

    PROPANE = "propane"
    BUTANE = "butane"
    METHANE = "methane"


# carbon atoms, enthalpy of formation of the gas [kJ/mol], molar mass [g/mol]
_GAS: Final = {
    Fuel.METHANE: (1, -74.6, 16.0425),
    Fuel.PROPANE: (3, -104.7, 44.0956),
    Fuel.BUTANE: (4, -125.7, 58.1222),
}


def heating_value_j_per_kg(fuel: Fuel) -> float:
    """Give the net (lower) heating value [J/kg] of `fuel`, the water leaving as steam.

    C_n H_2n+2 burns to n CO2 and n + 1 H2O; the difference of the enthalpies of formation.

    Bias: bottled gas is a mixture; propane and butane differ by 1.3 %. Natural gas is methane with some inert gas,
    up to 20 % lower by mass.

    Valid: each `Fuel`.

    Source: CODATA key values (1989) for CO2 and H2O, NIST Chemistry WebBook for the gases, from memory; confirmed
    with a reference library's table of heats of combustion.

    >>> heating_value_j_per_kg(Fuel.PROPANE) / 1e6
    46.33
    """
    carbon, formation_kj_mol, g_mol = _GAS[fuel]
    released_kj_mol = formation_kj_mol - carbon * _CO2_KJ_MOL - (carbon + 1) * _STEAM_KJ_MOL
    return released_kj_mol / g_mol * 1e6


def burner_efficiency(net_w: Measured, fuel_kg: Measured, minutes: Measured, fuel: Fuel = Fuel.PROPANE) -> Result:
    """Tell what share [ratio] of `fuel_kg` [kg] of `fuel` burnt in `minutes` [min] reached the wort as `net_w` [W].

    η = P t / (m H); `fuel_kg` is the bottle weighed before and after.

    Bias: kitchen scales see 5 g; weigh over at least half an hour.

    Valid: power >= 0, mass > 0, minutes > 0, results to 1.

    Source: energy balance with `heating_value_j_per_kg`.

    Raises:
        OutsideRange: outside that range; more than all of the heat cannot arrive.

    >>> burner_efficiency(Measured(3000.0, 60.0), Measured(0.35, 0.01), Measured(36.6, 0.5)).value
    0.406
    """
    heat_j_per_kg = heating_value_j_per_kg(fuel)

    def share(watt: float, mass_kg: float, time_min: float) -> float:
        require_at_least("The net power", watt, 0.0, "W")
        require_positive("The gas burnt", mass_kg, "kg")
        require_positive("The time", time_min, "min")
        return watt * 60.0 * time_min / (mass_kg * heat_j_per_kg)

    told = propagate(share, net_w, fuel_kg, minutes)
    require_within("The share of the heat that reached the wort", told.value, 0.0, 1.0)
    return Result(told.value, told.sd, "", "combustion")


def gas_needed_kg(heat_j: Measured, fuel: Fuel = Fuel.PROPANE, efficiency: Measured = GAS_EFFICIENCY) -> Result:
    """Tell how much `fuel` [kg] gives `heat_j` [J] to the wort at `efficiency` [ratio]: Q / (η H).

    Formula: m = Q / (η H), H the net heating value of the gas.

    Bias: the default efficiency of 0.40 ± 0.10 is common practice without a source; `burner_efficiency` finds your
    own.

    Valid: heat >= 0, efficiency 0.05 to 1.

    Source: energy balance with `heating_value_j_per_kg`; common practice for the default efficiency.

    Raises:
        OutsideRange: outside that range.

    >>> gas_needed_kg(Measured(6.6e6, 0.0), efficiency=Measured(0.4, 0.0)).value
    0.356
    """
    heat_j_per_kg = heating_value_j_per_kg(fuel)

    def mass(joule: float, share: float) -> float:
        require_at_least("The heat", joule, 0.0, "J")
        require_within("The efficiency", share, 0.05, 1.0)
        return joule / (share * heat_j_per_kg)

    told = propagate(mass, heat_j, efficiency)
    assumed = efficiency == GAS_EFFICIENCY
    return Result(told.value, told.sd, "kg", "combustion", *_rule(assumed, "40 % of the flame"))


def electricity_needed_kwh(heat_j: Measured, efficiency: Measured = ELEMENT_EFFICIENCY) -> Result:
    """Tell how much electricity [kWh] gives `heat_j` [J] to the wort at `efficiency` [ratio]: Q / η.

    Formula: E = Q / η.

    Bias: the default efficiency of 0.95 ± 0.03, an element in the wort, is common practice without a source.

    Valid: heat >= 0, efficiency 0.05 to 1.

    Source: energy balance; 1 kWh is 3.6 MJ by definition; common practice for the default efficiency.

    Raises:
        OutsideRange: outside that range.

    >>> electricity_needed_kwh(Measured(6.596e6, 0.0), Measured(1.0, 0.0)).value
    1.832
    """

    def energy(joule: float, share: float) -> float:
        require_at_least("The heat", joule, 0.0, "J")
        require_within("The efficiency", share, 0.05, 1.0)
        return joule / share / _J_PER_KWH

    told = propagate(energy, heat_j, efficiency)
    assumed = efficiency == ELEMENT_EFFICIENCY
    return Result(told.value, told.sd, "kWh", "heat balance", *_rule(assumed, "95 % of the element's heat"))


def _rule(assumed: bool, what: str) -> tuple[Verdict, str]:
    if assumed:
        return Verdict.RULE_OF_THUMB, f"It is assumed that {what} reaches the wort; common practice, no source."
    return Verdict.INSIDE, ""
