"""How much oxygen wort can take up from air or from a bottle, before yeast goes in."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation import sucrose
from assistant.calculation.limits import require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import mass_fraction_from_sg
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange

LOWEST_C: Final = 0.0
HIGHEST_C: Final = 40.0
LOWEST_PA: Final = 45e3
HIGHEST_PA: Final = 110e3
HIGHEST_SG: Final = 1.13

# Salting-out by sugar, L/mol. From memory 0.12 to 0.15 for sucrose; a handbook's wort figures mean 0.28. Neither is
# confirmed, so both lie within one standard uncertainty of the middle.
SALTING_OUT_L_PER_MOL: Final = Measured(0.21, 0.09)

_ZERO_C_K: Final = 273.15
_ATMOSPHERE_PA: Final = 101_325.0
_SUCROSE_KG_PER_MOL: Final = 0.3422965
_OXYGEN_IN_AIR: Final = 0.20946
# The tables that the formula was made for agree to the last digit printed; air that is not quite saturated does
# not.
_WATER_RELATIVE_SD: Final = 0.005


class Gas(StrEnum):
    """What is bubbled or splashed into the wort."""

    AIR = "air"
    OXYGEN = "oxygen"


def in_water_mg_per_l(temperature_c: float, pressure_pa: float) -> float:
    """Give the oxygen [mg/L] in water at `temperature_c` [°C] in balance with moist air of `pressure_pa` [Pa].

    ln C = -139.34411 + 1.575701e5/T - 6.642308e7/T² + 1.243800e10/T³ - 8.621949e11/T⁴ at 101.325 kPa, times
    p (1 - pw/p)(1 - θ p) / ((1 - pw)(1 - θ)), p in atm, ln pw = 11.8571 - 3840.70/T - 216961/T²,
    θ = 0.000975 - 1.426e-5 t + 6.436e-8 t².

    Bias: 0.002 mg/L from the oceanographers' fit of the same measurements. The pressure on the spot, not the one
    reduced to sea level.

    Valid: 0 to 40 °C, 45 to 110 kPa.

    Source: Benson and Krause, Limnol. Oceanogr. 25 (1980) 662 and 29 (1984) 620 (citation from memory), in the form
    of Standard Methods 4500-O; constants seen in a river-model manual, those of the pressure in several public
    codes that agree.

    Raises:
        OutsideRange: outside that range.

    >>> in_water_mg_per_l(20.0, 101325.0)
    9.092
    """
    require_within("The temperature of the water", temperature_c, LOWEST_C, HIGHEST_C, "°C")
    require_within("The pressure", pressure_pa, LOWEST_PA, HIGHEST_PA, "Pa")
    kelvin, p = temperature_c + _ZERO_C_K, pressure_pa / _ATMOSPHERE_PA
    logarithm = (
        -139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2 + 1.2438e10 / kelvin**3 - 8.621949e11 / kelvin**4
    )
    vapour = math.exp(11.8571 - 3840.70 / kelvin - 216_961.0 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * temperature_c + 6.436e-8 * temperature_c**2
    of_pressure = (p - vapour) * (1.0 - theta * p) / ((1.0 - vapour) * (1.0 - theta))
    return math.exp(logarithm) * of_pressure


def in_water_under_oxygen_mg_per_l(temperature_c: float, pressure_pa: float) -> float:
    """Give the oxygen [mg/L] in water at `temperature_c` [°C] under moist pure oxygen of `pressure_pa` [Pa].

    As `in_water_mg_per_l`, divided by the 0.20946 of dry air that is oxygen.

    Bias: the small term for non-ideal gas is that of air; below 0.1 %. A bottle's gas that only bubbles through
    never gets there, and ten times less is wanted.

    Valid: 0 to 40 °C, 45 to 110 kPa.

    Source: Benson and Krause (1980, 1984); U.S. Standard Atmosphere, 1976, for the share of oxygen.

    Raises:
        OutsideRange: outside that range.

    >>> in_water_under_oxygen_mg_per_l(20.0, 101325.0)
    43.4
    """
    return in_water_mg_per_l(temperature_c, pressure_pa) / _OXYGEN_IN_AIR


def wort_factor(sg: float, salting_out_l_per_mol: float = SALTING_OUT_L_PER_MOL.value) -> float:
    """Give how much oxygen [0 to 1 of what water takes] wort of `sg` [20/20 °C] takes: 10^(-K c).

    c is the extract as moles of sucrose per litre, K = `salting_out_l_per_mol` [L/mol].

    Bias: not settled. With the K of sucrose solutions from memory it would be 0.89 at 12 °P, by a handbook's
    figures for wort about 0.79; the default is the middle, 0.84. Salts of the wort are not in it.

    Valid: SG 1.000 to 1.130, K 0 to 0.5 L/mol.

    Source: form of Sechenov's rule; K between memory of Rischbieter, Schumpe and Wunder, J. Chem. Eng. Data 41
    (1996) 809 (abstract read, constants not), and the wort figures of the Oxford Companion to Beer (second-hand).

    Raises:
        OutsideRange: outside that range.

    >>> wort_factor(1.04839)
    0.837
    """
    require_within("The gravity of the wort", sg, 1.0, HIGHEST_SG, "SG")
    require_within("The salting-out constant", salting_out_l_per_mol, 0.0, 0.5, "L/mol")
    mass_fraction = max(0.0, mass_fraction_from_sg(sg))
    moles_per_l = mass_fraction * sucrose.density_kg_m3(mass_fraction, 20.0) / 1000.0 / _SUCROSE_KG_PER_MOL
    return float(10.0 ** (-salting_out_l_per_mol * moles_per_l))


def saturation_mg_per_l(temperature_c: Measured, pressure_pa: Measured, sg: Measured, gas: Gas) -> Result:
    """Tell the most oxygen [mg/L] that wort of `sg` [20/20 °C] at `temperature_c` [°C] takes from `gas`.

    Formula: oxygen in water × 10^(-k c sugar).

    `pressure_pa` [Pa] is the absolute pressure on the spot, above the wort.

    Uncertainty: as given, 0.5 % for water, and for wort what is not settled about its sugar (±15 % at 12 °P, as two
    standard uncertainties).

    Bias: as `wort_factor`.

    Valid: 0 to 40 °C, 45 to 110 kPa, SG 1.000 to 1.130.

    Source: Benson and Krause (1980, 1984); `wort_factor`.

    Raises:
        OutsideRange: outside that range.

    >>> told = saturation_mg_per_l(Measured(18.0, 0.5), Measured(101325.0, 500.0), Measured(1.048, 0.001), Gas.AIR)
    >>> told.value, told.sd
    (7.9, 0.6)
    """
    of_water = in_water_mg_per_l if gas is Gas.AIR else in_water_under_oxygen_mg_per_l

    def formula(celsius: float, pascal: float, gravity: float, salting_out: float) -> float:
        return of_water(celsius, pascal) * wort_factor(gravity, salting_out)

    centre = formula(temperature_c.value, pressure_pa.value, sg.value, SALTING_OUT_L_PER_MOL.value)
    value = propagate(
        formula, temperature_c, pressure_pa, sg, SALTING_OUT_L_PER_MOL, model_sd=_WATER_RELATIVE_SD * centre
    )
    if sg.value <= 1.0:
        return Result(value.value, value.sd, "mg/L", "oxygen in water")
    return Result(value.value, value.sd, "mg/L", "oxygen in wort", Verdict.NEAR_LIMIT, _WORT_NOTE)


@dataclass(frozen=True, slots=True)
class OxygenReach:
    """Whether a gas can bring wort to what is wanted: `reached` is None where that cannot be told."""

    reached: bool | None
    saturation: Result
    note: str


def can_reach(wanted_mg_per_l: float, saturation: Result) -> OxygenReach:
    """Tell whether `wanted_mg_per_l` [mg/L] can be reached under a `saturation` [mg/L]; cannot be told near it.

    Near means within 1.645 standard uncertainties (90 % of cases inside).

    Valid: wanted 0 to 60 mg/L.

    Source: comparison of two numbers; the saturation's source counts.

    Raises:
        OutsideRange: outside that range.

    >>> air = saturation_mg_per_l(Measured(18.0, 0.5), Measured(101325.0, 500.0), Measured(1.048, 0.0), Gas.AIR)
    >>> can_reach(12.0, air).reached, can_reach(8.0, air).reached, can_reach(5.0, air).reached
    (False, None, True)
    """
    require_within("The oxygen wanted", wanted_mg_per_l, 0.0, 60.0, "mg/L")
    margin = 1.645 * saturation.sd
    if wanted_mg_per_l > saturation.value + margin:
        note = "This gas cannot bring the wort there however long it runs; take pure oxygen, or cooler wort."
        return OxygenReach(False, saturation, note)
    if wanted_mg_per_l >= saturation.value - margin:
        return OxygenReach(None, saturation, "It lies so near the most the wort takes that it cannot be told.")
    return OxygenReach(True, saturation, "")


@dataclass(frozen=True, slots=True)
class AerationRule:
    """A way to bring oxygen in: from `shortest_s` to `longest_s` [s], and what it is said to reach [mg/L]."""

    gas: Gas
    how: str
    shortest_s: float
    longest_s: float
    reaches_mg_per_l: tuple[float, float]


# Common practice, no source, for batches of 20 to 25 L: every figure here.
AERATION_RULES: Final = (
    AerationRule(Gas.AIR, "pouring and splashing", 60.0, 300.0, (3.0, 5.0)),
    AerationRule(Gas.AIR, "shaking the closed fermenter", 300.0, 600.0, (5.0, 8.0)),
    AerationRule(Gas.AIR, "air pump with a stone", 900.0, 1800.0, (6.0, 8.0)),
    AerationRule(Gas.OXYGEN, "pure oxygen with a stone, one litre a minute", 45.0, 120.0, (8.0, 14.0)),
)


def oxygen_wanted_mg_per_l(sg: Measured) -> Result:
    """Tell how much oxygen [mg/L] is said to be wanted in wort of `sg` [20/20 °C] when yeast goes in.

    8 mg/L to 1.050 and a milligram more for each ten points above it, to 14; ±2.

    Bias: a rule; strains differ, and dry yeast is said to need none for its first batch.

    Valid: SG 1.000 to 1.130.

    Source: common practice, no source.

    Raises:
        OutsideRange: outside that range.

    >>> oxygen_wanted_mg_per_l(Measured(1.070, 0.001)).value
    10.0
    """
    require_within("The gravity of the wort", sg.value, 1.0, HIGHEST_SG, "SG")
    value = min(14.0, 8.0 + max(0.0, sg.value - 1.050) * 100.0)
    return Result(value, 2.0, "mg/L", "oxygen practice", Verdict.RULE_OF_THUMB, _PRACTICE_NOTE)


def aeration_time_s(wanted_mg_per_l: float, saturation: Result, gas: Gas) -> Result:
    """Tell how long [s] `gas` should run for `wanted_mg_per_l` [mg/L] in wort of that `saturation` [mg/L].

    Formula: the middle of the range that the trade's quickest way takes.

    The middle of the range of the trade's quickest rule (`AERATION_RULES`) that is said to reach it; a quarter of
    the range as uncertainty.

    Bias: a rule for 20 to 25 L; stones, flows and heights differ more than its range. Only an oxygen meter tells.

    Valid: what a rule reaches, and not above the saturation where that can be told.

    Source: common practice, no source.

    Raises:
        OutsideRange: above the saturation, or no rule reaches it.

    >>> air = saturation_mg_per_l(Measured(18.0, 0.5), Measured(101325.0, 500.0), Measured(1.048, 0.0), Gas.AIR)
    >>> aeration_time_s(7.0, air, Gas.AIR).value / 60.0
    7.5
    """
    reach = can_reach(wanted_mg_per_l, saturation)
    if reach.reached is False:
        raise OutsideRange(
            f"At most {saturation.value:.1f} mg/L of oxygen can be reached here, not {wanted_mg_per_l:.1f}."
        )
    rules = [rule for rule in AERATION_RULES if rule.gas is gas and rule.reaches_mg_per_l[1] >= wanted_mg_per_l]
    if not rules:
        raise OutsideRange(f"No rule for {gas.value} reaches {wanted_mg_per_l:.1f} mg/L of oxygen.")
    rule = min(rules, key=lambda each: each.longest_s)
    middle_s, quarter_s = (rule.shortest_s + rule.longest_s) / 2.0, (rule.longest_s - rule.shortest_s) / 4.0
    note = f"{rule.how.capitalize()}, {rule.shortest_s / 60.0:.3g} to {rule.longest_s / 60.0:.3g} minutes."
    return Result(middle_s, quarter_s, "s", "oxygen practice", Verdict.RULE_OF_THUMB, note)


_WORT_NOTE: Final = "How much less than water wort takes is not settled; 75 to 90 % at ordinary gravities."
_PRACTICE_NOTE: Final = "Common practice, no source; only an oxygen meter tells."
