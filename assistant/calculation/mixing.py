"""Two worts or waters in one vessel: volume and gravity by mass, temperature by heat.

Volumes for gravities are at 20 °C in L; volumes for temperatures are as hot as they stand. SG is 20/20 °C.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from assistant.calculation import sucrose, water
from assistant.calculation.extract import extract_kg, wort_from, wort_kg
from assistant.calculation.heat import SPECIFIC_HEAT_SD, specific_heat_j_per_kg_k
from assistant.calculation.limits import require_positive, require_within
from assistant.calculation.results import Result
from assistant.calculation.scales import HIGHEST_SG, mass_fraction_from_sg
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

_LITRES_PER_M3: Final = 1000.0


@dataclass(frozen=True, slots=True)
class Mixture:
    """What two worts make together: volume [L at 20 °C] and gravity [SG 20/20 °C]."""

    volume: Result
    gravity: Result


def mixed_worts(first_l: float, first_sg: float, second_l: float, second_sg: float) -> tuple[float, float]:
    """Give the volume [L at 20 °C] and SG of `first_l` of `first_sg` and `second_l` of `second_sg` [L, 20/20 °C].

    Extract and water are added as masses. Water is wort of 1.000.

    Bias: points times litres alone, the rule of the trade, is within 0.1 points to 1.080.

    Valid: volumes > 0, SG 1.000 to 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> volume_l, sg = mixed_worts(15.0, 1.060, 5.0, 1.020)
    >>> volume_l, sg
    (20.00, 1.0500)
    """
    require_positive("The first volume", first_l, "L")
    require_positive("The second volume", second_l, "L")
    dissolved_kg = extract_kg(first_l, first_sg) + extract_kg(second_l, second_sg)
    total_kg = wort_kg(first_l, first_sg) + wort_kg(second_l, second_sg)
    return wort_from(dissolved_kg, total_kg - dissolved_kg)


def mix_worts(first_l: Measured, first_sg: Measured, second_l: Measured, second_sg: Measured) -> Mixture:
    """Give volume and gravity of `first_l` of `first_sg` and `second_l` of `second_sg` [L at 20 °C, SG 20/20 °C].

    Formula: extract and water of both, added by mass.

    Valid: volumes > 0, SG 1.000 to 1.17.

    Source: as `mixed_worts`.

    Raises:
        OutsideRange: outside that range.

    >>> both = mix_worts(Measured(15.0, 0.2), Measured(1.060, 0.001), Measured(5.0, 0.1), Measured(1.020, 0.001))
    >>> both.gravity.value, both.gravity.sd
    (1.0500, 0.0009)
    """
    inputs = (first_l, first_sg, second_l, second_sg)
    volume = propagate(lambda *values: mixed_worts(*values)[0], *inputs)
    gravity = propagate(lambda *values: mixed_worts(*values)[1], *inputs)
    return Mixture(
        Result(volume.value, volume.sd, "L", "mixing"), Result(gravity.value, gravity.sd, "SG", "mixing")
    )


def litres_to_reach(first_l: Measured, first_sg: Measured, second_sg: Measured, target_sg: float) -> Result:
    """Give how much [L at 20 °C] of the second wort brings `first_l` [L] of `first_sg` [SG] to `target_sg` [SG].

    Formula: M2 = M1 (w1 - w) / (w - w2), w the share of extract.

    The second is of `second_sg` [SG 20/20 °C, as all of them]; inverse of `mixed_worts`.

    Valid: volume > 0, SG 1.000 to 1.17, target between the two and not that of the second.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range, or a target that the two cannot make.

    >>> litres_to_reach(Measured(15.0, 0.2), Measured(1.060, 0.001), Measured(1.020, 0.001), 1.050).value
    5.02
    """
    low, high = sorted((first_sg.value, second_sg.value))
    if not low <= target_sg <= high or target_sg == second_sg.value:
        raise OutsideRange(
            "Wort of {first:gravity} and {second:gravity} makes what lies between them, not {target:gravity}.",
            first=Shown(first_sg.value, "SG"),
            second=Shown(second_sg.value, "SG"),
            target=Shown(target_sg, "SG"),
        )

    def litres(volume_l: float, one_sg: float, other_sg: float) -> float:
        one, other, wanted = (max(0.0, mass_fraction_from_sg(sg)) for sg in (one_sg, other_sg, target_sg))
        kg = wort_kg(volume_l, one_sg) * (one - wanted) / (wanted - other)
        return kg / wort_kg(1.0, other_sg)

    require_positive("The volume", first_l.value, "L")
    added = propagate(litres, first_l, first_sg, second_sg)
    return Result(added.value, added.sd, "L", "mixing")


def mix_temperature(
    first_l: Measured,
    first_c: Measured,
    second_l: Measured,
    second_c: Measured,
    *,
    first_sg: float = 1.0,
    second_sg: float = 1.0,
) -> Result:
    """Give the temperature [°C] of `first_l` [L] at `first_c` [°C] and `second_l` [L] at `second_c` [°C] together.

    Formula: T = Σ m c T / Σ m c, the litres as hot as they stand, each m c of its own density and specific heat,
    `first_sg` and `second_sg` [20/20 °C]; waters are 1.000. The uncertainty joins those of the four with that of
    the specific heat where it is wort.

    Bias: the vessel and the air take heat: a cold pot makes it one to several kelvin less. c is taken at each
    start, which is within 0.1 K.

    Valid: volumes > 0, 0 to 100 °C, SG 1.000 to 1.17.

    Source: conservation of heat; Bubnik et al. (1995) for density and specific heat.

    Raises:
        OutsideRange: outside that range.

    >>> ten_l = Measured(10.0, 0.1)
    >>> both = mix_temperature(ten_l, Measured(80.0, 0.5), ten_l, Measured(20.0, 0.5))
    >>> both.value, both.sd
    (49.6, 0.5)
    """
    for sg in (first_sg, second_sg):
        require_within("The gravity", sg, 1.0, HIGHEST_SG, "SG")
    require_positive("The first volume", first_l.value, "L")
    require_positive("The second volume", second_l.value, "L")

    def joined(volume_l: float, one_c: float, other_l: float, other_c: float, error: float) -> float:
        one = (1.0 + error) * _heat_capacity_j_per_k(volume_l, one_c, first_sg)
        other = _heat_capacity_j_per_k(other_l, other_c, second_sg)
        return (one * one_c + other * other_c) / (one + other)

    doubt = Measured(0.0, SPECIFIC_HEAT_SD if first_sg != second_sg else 0.0)
    temperature = propagate(joined, first_l, first_c, second_l, second_c, doubt)
    return Result(temperature.value, temperature.sd, "°C", "mixing")


def _heat_capacity_j_per_k(volume_l: float, temperature_c: float, sg: float) -> float:
    mass_fraction = max(0.0, mass_fraction_from_sg(sg))
    require_within("The temperature", temperature_c, water.LOWEST_C, water.HIGHEST_C, "°C")
    kg = volume_l * sucrose.density_kg_m3(mass_fraction, temperature_c) / _LITRES_PER_M3
    return kg * specific_heat_j_per_kg_k(mass_fraction, temperature_c)
