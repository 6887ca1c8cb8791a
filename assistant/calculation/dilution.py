"""Sanitiser and cleaner made up from a concentrate, and how long what kills must act.

The label of the product comes before any figure here.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

LABEL_NOTE: Final = (
    "Follow the label: strength, contact time, gloves and goggles are what it says, and never mix two products."
)
HOT_WATER_C: Final = 77.0
HOT_WATER_S: Final = 300.0


def concentrate_by_ratio_l(total_l: float, parts_water: float) -> float:
    """Give the concentrate [L] in `total_l` [L] of solution of one part and `parts_water` [parts] of water: 1 to n.

    A label's "1:300" or "1 to 300" is one part and 300 of water, 301 together. Where it says "1 in 300", 299 are
    water.

    Bias: volumes are taken to add, within 1 % for such thin solutions.

    Valid: total >= 0, parts of water > 0.

    Source: arithmetic of the ratio.

    Raises:
        OutsideRange: outside that range.

    >>> concentrate_by_ratio_l(19.0, 300.0)
    0.0631
    """
    require_at_least("The solution wanted", total_l, 0.0, "L")
    require_positive("The parts of water", parts_water)
    return total_l / (1.0 + parts_water)


def dose_by_ratio(total_l: Measured, parts_water: float) -> Result:
    """Give the concentrate [L] for `total_l` [L] of solution at one part to `parts_water` [parts] of water.

    Formula: concentrate = volume / (1 + parts of water).

    Valid: total > 0, parts of water > 0.

    Source: arithmetic of the ratio; the ratio is the label's.

    Raises:
        OutsideRange: outside that range.

    >>> dose = dose_by_ratio(Measured(19.0, 0.5), 300.0)
    >>> dose.value, dose.sd
    (0.0631, 0.0017)
    """
    require_positive("The solution wanted", total_l.value, "L")
    dose = propagate(lambda litres: concentrate_by_ratio_l(litres, parts_water), total_l)
    return Result(dose.value, dose.sd, "L", "label", note=LABEL_NOTE)


def dose_by_mass(total_l: Measured, grams_per_litre: float) -> Result:
    """Give the powder [kg] for `total_l` [L] of solution at `grams_per_litre` [g/L].

    Formula: powder = volume × strength.

    Valid: total > 0, 0 to 500 g/L.

    Source: mass balance; the strength is the label's.

    Raises:
        OutsideRange: outside that range.

    >>> dose_by_mass(Measured(20.0, 0.5), 7.5).value
    0.150
    """
    require_positive("The solution wanted", total_l.value, "L")
    require_within("The strength", grams_per_litre, 0.0, 500.0, "g/L")
    dose = propagate(lambda litres: litres * grams_per_litre / 1000.0, total_l)
    return Result(dose.value, dose.sd, "kg", "label", note=LABEL_NOTE)


def dose_by_strength(total_l: Measured, stock_percent: Measured, wanted_percent: float) -> Result:
    """Give the stock [L] of `stock_percent` [% w/v] that makes `total_l` [L] of `wanted_percent` [% w/v].

    Formula: V stock = V × wanted / strength of the stock.

    C1 V1 = C2 V2; 25 ppm are 0.0025 % w/v.

    Bias: a stock loses strength with age, chlorine bleach by several per cent a month (common practice).

    Valid: total > 0, wanted 0 to the strength of the stock, stock to 100 %.

    Source: mass balance; the strength is the label's.

    Raises:
        OutsideRange: outside that range; thinning cannot strengthen.

    >>> dose_by_strength(Measured(20.0, 0.5), Measured(1.75, 0.05), 0.0025).value
    0.0286
    """
    require_positive("The solution wanted", total_l.value, "L")
    require_within("The strength of the stock", stock_percent.value, 0.0, 100.0, "%")
    require_at_least("The strength wanted", wanted_percent, 0.0, "%")
    if wanted_percent > stock_percent.value:
        raise OutsideRange(
            "A stock of {stock} must be stronger than the {wanted} wanted.",
            stock=Shown(stock_percent.value, "%"),
            wanted=Shown(wanted_percent, "%"),
        )
    dose = propagate(lambda litres, stock: litres * wanted_percent / stock, total_l, stock_percent)
    return Result(dose.value, dose.sd, "L", "label", note=LABEL_NOTE)


class Agent(StrEnum):
    """What sanitises, as the rules name it."""

    HOT_WATER = "hot water"
    HOT_AIR = "hot air"
    STEAM_CABINET = "steam cabinet"
    CHLORINE = "chlorine"
    IODINE = "iodine"


@dataclass(frozen=True, slots=True)
class ContactRule:
    """What a rule asks of an agent.

    temperature_c: at least so hot, °C; None where the rule names none.
    parts_per_million: at least so strong, mg/L; None where strength has no meaning.
    seconds: at least so long, s.
    source: key of `sources.SOURCES`.
    """

    temperature_c: float | None
    parts_per_million: float | None
    seconds: float
    source: str


CONTACT_RULES: Final[dict[Agent, ContactRule]] = {
    Agent.HOT_WATER: ContactRule(HOT_WATER_C, None, HOT_WATER_S, "sanitising New York"),
    Agent.HOT_AIR: ContactRule(82.0, None, 1200.0, "sanitising California"),
    Agent.STEAM_CABINET: ContactRule(77.0, None, 900.0, "sanitising California"),
    Agent.CHLORINE: ContactRule(None, 100.0, 30.0, "sanitising California health"),
    Agent.IODINE: ContactRule(None, 25.0, 60.0, "sanitising California health"),
}


class Sanitised(StrEnum):
    """Whether hot water has done its work."""

    DONE = "sanitised"
    NOT_YET = "not yet"


@dataclass(frozen=True, slots=True)
class SanitisedCall:
    """The state with its reason in one sentence."""

    state: Sanitised
    reason: str


def hot_water_sanitises(temperature_c: Measured, contact_s: float) -> SanitisedCall:
    """Tell whether `contact_s` [s] under water of `temperature_c` [°C] sanitises: the rule is 77 °C for 5 minutes.

    The doubt in the thermometer counts against it: 1.645 of its standard uncertainties are taken off first.

    Bias: for clean equipment only; soil shields what it covers, and the coldest place counts.

    Valid: 0 to 100 °C, contact >= 0.

    Source: New York 1 NYCRR 2.18; California Food and Agricultural Code 33519.

    Raises:
        OutsideRange: outside that range.

    >>> hot_water_sanitises(Measured(80.0, 0.5), 300.0).state.value
    'sanitised'
    >>> hot_water_sanitises(Measured(77.5, 0.5), 600.0).reason
    'It may be only 76.7 °C: it must be 77 °C or more for 5 minutes. Mind the scald.'
    """
    require_within("The temperature of the water", temperature_c.value, 0.0, 100.0, "°C")
    require_at_least("The contact time", contact_s, 0.0, "s")
    sure_c = temperature_c.value - 1.645 * temperature_c.sd
    if sure_c < HOT_WATER_C:
        return SanitisedCall(
            Sanitised.NOT_YET,
            f"It may be only {sure_c:.1f} °C: it must be {HOT_WATER_C:g} °C or more for 5 minutes. Mind the scald.",
        )
    if contact_s < HOT_WATER_S:
        left_s = HOT_WATER_S - contact_s
        return SanitisedCall(Sanitised.NOT_YET, f"Hot enough: keep it under for {left_s:.0f} more seconds.")
    return SanitisedCall(
        Sanitised.DONE, f"At least {HOT_WATER_C:g} °C for 5 minutes: sanitised, if it was clean before."
    )
