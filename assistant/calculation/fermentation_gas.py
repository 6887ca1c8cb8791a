"""The carbon dioxide of a fermentation, and what it is in the air of a closed room."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation import water
from assistant.calculation.carbonation import VOLUME_G_PER_L
from assistant.calculation.fermentation import CO2_PER_ALCOHOL, alcohol_by_weight
from assistant.calculation.limits import require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import REFERENCE_C
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured

_ROOM_C: Final = 20.0
_ZERO_C_K: Final = 273.15
# Yields of single fermentations differ by 1 to 2 %, and more sugar for less yeast gives up to a tenth more gas.
_YIELD_SD_SHARE: Final = 0.05
# Shares of the air. OSHA's limit over 8 hours, NIOSH's ceiling for ten minutes, and what it calls immediately
# dangerous to life or health.
DAY_LONG_SHARE: Final = 0.005
TEN_MINUTES_SHARE: Final = 0.03
DANGEROUS_SHARE: Final = 0.04
HIGHEST_ROOM_M3: Final = 10_000.0


class RoomAir(StrEnum):
    """What a share of carbon dioxide in the air means for somebody in it."""

    LOW = "below what is allowed for a working day"
    HIGH = "above what is allowed for a working day"
    DANGEROUS = "dangerous within minutes"


@dataclass(frozen=True, slots=True)
class RoomGas:
    """The share [ratio] of carbon dioxide in the air of a room that nothing leaves, and what it means."""

    share: Result
    air: RoomAir


def gas_made_l(volume_l: Measured, original_sg: Measured, final_sg: Measured) -> Result:
    """Give the carbon dioxide [L of gas] of `volume_l` [L] of beer from `original_sg` to `final_sg` [20/20 °C].

    Formula: V = 0.9565 × alcohol by weight × mass of the beer / 1.842 g/L.

    The gas at 20 °C and 101.325 kPa. 0.9565 g to a gram of alcohol; a litre of the gas is 1.842 g at 20 °C.

    The uncertainty joins those of the three with 5 % of the yield (judgement).

    Bias: what stays dissolved, a litre or so to a litre of beer, is counted as made.

    Valid: volume > 0, original 1.000 to 30 °P (1.13), final 0.98 to the original.

    Source: Balling's yields (1865), as `fermentation.alcohol_by_weight`; definition of the volume by `carbonation`.

    Raises:
        OutsideRange: outside that range.

    >>> made = gas_made_l(Measured(20.0, 0.3), Measured(1.050, 0.0005), Measured(1.010, 0.0005))
    >>> made.value, made.sd
    (435.4, 25.5)
    """
    require_positive("The volume of beer", volume_l.value, "L")
    alcohol = alcohol_by_weight(original_sg, final_sg)
    per_l = VOLUME_G_PER_L * _ZERO_C_K / (_ZERO_C_K + _ROOM_C)

    def litres(volume: float, percent: float, final: float) -> float:
        beer_g = 1000.0 * volume * final * water.density_kg_m3(REFERENCE_C) / 1000.0
        return beer_g * percent / 100.0 * CO2_PER_ALCOHOL / per_l

    percent = Measured(alcohol.value, alcohol.sd)
    centre = litres(volume_l.value, percent.value, final_sg.value)
    made = propagate(litres, volume_l, percent, final_sg, model_sd=_YIELD_SD_SHARE * abs(centre))
    return Result(made.value, made.sd, "L", "fermentation gas", alcohol.verdict)


def in_a_closed_room(gas_l: Measured, room_m3: Measured) -> RoomGas:
    """Tell what share [ratio] of the air `gas_l` [L] of carbon dioxide is in a closed room of `room_m3` [m³].

    All of it in the room at once, evenly, none leaving: what it comes to at worst, except near the floor and in
    pits, where the heavy gas gathers. Judged by the upper end of the band (95 %): above 0.5 % it is above what is
    allowed for a working day, above 3 % dangerous within minutes.

    Bias: a fermentation takes days and rooms leak, so the true share is lower; in a cupboard or a chest it is not.

    Valid: gas >= 0, room more than 0 to 10000 m³, not more gas than room.

    Source: 29 CFR 1910.1000, Table Z-1 (5000 ppm over 8 hours, second-hand); NIOSH 76-194 (30 000 ppm for 10
    minutes, its abstract was read), NIOSH IDLH (40 000 ppm, second-hand).

    Raises:
        OutsideRange: outside that range.

    >>> room = in_a_closed_room(Measured(436.0, 24.0), Measured(30.0, 1.5))
    >>> room.share.value, room.air.name
    (0.0145, 'HIGH')
    """
    require_positive("The room", room_m3.value, "m³")
    require_within("The room", room_m3.value, 0.0, HIGHEST_ROOM_M3, "m³")
    require_within("The gas", gas_l.value, 0.0, 1000.0 * room_m3.value, "L")
    share = propagate(lambda gas, room: gas / 1000.0 / room, gas_l, room_m3)
    upper = share.value + 1.645 * share.sd
    if upper >= TEN_MINUTES_SHARE:
        air = RoomAir.DANGEROUS
    else:
        air = RoomAir.HIGH if upper > DAY_LONG_SHARE else RoomAir.LOW
    verdict = Verdict.NEAR_LIMIT if upper >= DANGEROUS_SHARE else Verdict.INSIDE
    return RoomGas(Result(share.value, share.sd, "", "carbon dioxide limits", verdict), air)
