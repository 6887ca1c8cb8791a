"""What answers to questions are made of: the values that were given, in the core's units, and words for results."""

from __future__ import annotations

import operator
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from assistant.calculation import pressure, scales
from assistant.calculation.carbonation import PSI_PA
from assistant.calculation.colour import EBC_PER_SRM, srm_from_lovibond
from assistant.calculation.instruments import WEATHER_SD_PA
from assistant.calculation.limits import require_within
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.day.plan import Plan
from assistant.phrasing import numbers, units
from assistant.quantities import (
    CORE_UNIT,
    Dimension,
    Measured,
    OutsideRange,
    Unit,
    dimension_of,
    from_core,
    to_core,
)
from assistant.understanding.inquiries import Inquiry
from assistant.understanding.inquiry_reader import Quantity
from assistant.understanding.inquiry_units import AskedUnit
from assistant.understanding.inquiry_words import numbered

FLUID_OUNCE_L: Final = 3.785411784 / 128.0
# The slot by which a topic takes another altitude than that of the rig.
ALTITUDE: Final = "altitude"
THICKNESS: Final = "thickness of the mash"
# Of wort that nobody has told the gravity of.
TYPICAL_SG: Final = Measured(1.045, 0.015)
_THICKNESS_SHARE: Final = 0.02
_DAY_S: Final = 86_400.0
_MONTH_DAYS: Final = 30.4375
# How many of the core's unit it is, and the sign of that.
_IN_CORE: Final[dict[AskedUnit, tuple[float, str]]] = {
    AskedUnit.FOOT: (0.3048, "m"),
    AskedUnit.VOLUMES: (1.0, "volumes"),
    AskedUnit.PSI: (PSI_PA, "Pa"),
    AskedUnit.BAR: (1e5, "Pa"),
    AskedUnit.KILOPASCAL: (1e3, "Pa"),
    AskedUnit.PER_CENT: (0.01, "as a share"),
    AskedUnit.WATT: (1.0, "W"),
    AskedUnit.KILOWATT: (1e3, "W"),
    AskedUnit.LITRE_PER_HOUR: (1.0, "L/h"),
    AskedUnit.GALLON_PER_HOUR: (3.785411784, "L/h"),
    AskedUnit.MILLIGRAM_PER_LITRE: (1.0, "mg/L"),
    AskedUnit.GRAM_PER_LITRE: (1.0, "g/L"),
    AskedUnit.OUNCE_PER_GALLON: (28.349523125 / 3.785411784, "g/L"),
    AskedUnit.FLUID_OUNCE: (FLUID_OUNCE_L, "L"),
    AskedUnit.WEEK: (7.0 * _DAY_S, "s"),
    AskedUnit.MONTH: (_MONTH_DAYS * _DAY_S, "s"),
    AskedUnit.BILLION: (1.0, "10⁹ cells"),
    AskedUnit.SRM: (1.0, "SRM"),
    AskedUnit.EBC: (1.0 / EBC_PER_SRM, "SRM"),
    AskedUnit.LOVIBOND: (1.0, "SRM"),
    AskedUnit.CUBIC_METRE: (1.0, "m³"),
    AskedUnit.CUBIC_FOOT: (0.028316846592, "m³"),
    AskedUnit.PASTEURISATION_UNIT: (1.0, "PU"),
    AskedUnit.LITRE_PER_MINUTE: (1.0, "L/min"),
    AskedUnit.GALLON_PER_MINUTE: (3.785411784, "L/min"),
    # The British thermal unit of ISO 31-4.
    AskedUnit.BTU_PER_HOUR: (1055.056 / 3600.0, "W"),
    AskedUnit.WATT_PER_KELVIN: (1.0, "W/K"),
    AskedUnit.HECTOPASCAL: (100.0, "Pa"),
    # 25.4 mm of mercury at 0 °C.
    AskedUnit.INCH_OF_MERCURY: (3386.389, "Pa"),
    AskedUnit.LITRE_PER_KILOGRAM: (1.0, "L/kg"),
    AskedUnit.QUART_PER_POUND: (0.946352946 / 0.45359237, "L/kg"),
    AskedUnit.POINT_GALLON_PER_POUND: (1.0, "points"),
    AskedUnit.LITRE_DEGREE_PER_KILOGRAM: (1.0, "L°/kg"),
    AskedUnit.NUMBER: (1.0, ""),
}
# From least to most of what anybody brews with, by the core's unit: beyond it a value was mistyped.
_BREWED: Final[dict[str, tuple[float, float]]] = {
    "°C": (-20.0, 150.0),
    "L": (0.0, 10_000.0),
    "kg": (0.0, 5_000.0),
    "m": (-500.0, 9_000.0),
    "s": (0.0, 2.0 * 365.25 * _DAY_S),
    "W": (0.0, 500_000.0),
    "L/h": (0.0, 1_000.0),
    "mg/L": (0.0, 20_000.0),
    "g/L": (0.0, 1_000.0),
    "10⁹ cells": (0.0, 100_000.0),
    "m³": (0.0, 10_000.0),
    "L/min": (0.0, 500.0),
    "W/K": (0.0, 50_000.0),
    "L/kg": (0.0, 50.0),
    "": (0.0, 100_000.0),
}
# Judgements: a stick or a jug, a scale, an altitude off a map, and what else is read or guessed.
_VOLUME_SHARE: Final = 0.02
_MASS_SHARE: Final = 0.01
_ALTITUDE_SD_M: Final = 30.0
_OTHER_SHARE: Final = 0.05


@dataclass(frozen=True, slots=True)
class Labelled:
    """A result with what it is a result of."""

    label: str
    result: Result


@dataclass(frozen=True, slots=True)
class Reply:
    """What a topic answers: one sentence to speak, a caution ("" if none), and the results behind them.

    function: the calculation that did it, where it is not that of the topic.
    """

    sentence: str
    results: tuple[Labelled, ...]
    caution: str = ""
    function: Callable[..., object] | None = None


@dataclass(frozen=True, slots=True)
class Method:
    """How a topic is answered. function: the calculation that does it; its docstring tells formula and range."""

    reply: Callable[[Given], Reply]
    function: Callable[..., object]


@dataclass(frozen=True, slots=True)
class Taken:
    """A value as it went into the sum, with its unit; said: whether the brewer said it."""

    value: Measured
    unit: str
    said: bool = True


@dataclass(frozen=True, slots=True)
class Given:
    """The values of a question with the uncertainty of such readings, and the plan whose units and rig count.

    Temperatures are as uncertain as the rig's thermometer, gravities as its hydrometer; volumes as its dipstick, at
    most 2 %; masses 1 %, altitudes 30 m, the rest 5 % (judgements). What is wished for is exact.
    taken: every value that was used, by its name, for whoever asks why.
    """

    inquiry: Inquiry
    plan: Plan
    taken: dict[str, Taken] = field(default_factory=dict)

    def has(self, name: str) -> bool:
        """Whether a value was said."""
        return name in self.inquiry.values

    def exact(self, name: str) -> float:
        """The value in the core's unit, without uncertainty."""
        return self._take(name, 0.0).value

    def measured(self, name: str) -> Measured:
        """The value in the core's unit with its standard uncertainty."""
        value, unit = in_core(self.inquiry.values[name]), self.inquiry.values[name].unit
        if isinstance(unit, AskedUnit):
            sd = _ALTITUDE_SD_M if unit is AskedUnit.FOOT else _OTHER_SHARE * abs(value)
            return self._take(name, 0.0 if unit in (AskedUnit.NUMBER, AskedUnit.VOLUMES) else sd)
        sds = {
            Dimension.TEMPERATURE: self.plan.rig.thermometer_sd_c,
            Dimension.GRAVITY: self.plan.rig.hydrometer.sd_sg,
            Dimension.VOLUME: min(self.plan.rig.volume_sd_l, _VOLUME_SHARE * abs(value)),
            Dimension.MASS: _MASS_SHARE * abs(value),
            Dimension.LENGTH: _ALTITUDE_SD_M,
        }
        return self._take(name, sds.get(dimension_of(unit), 0.0))

    def read(self, name: str, sd: float) -> Measured:
        """The value in the core's unit with a standard uncertainty of `sd` in that unit."""
        return self._take(name, sd)

    def groups(self, name: str) -> int:
        """How many times a repeated value was said."""
        group = 0
        while self.has(numbered(name, group + 1)):
            group += 1
        return group

    def assumed(self, name: str, value: Measured, unit: str) -> Measured:
        """A value that the brewer did not say."""
        self.taken[name] = Taken(value, unit, said=False)
        return value

    def measured_or(self, name: str, value: Measured, unit: str) -> Measured:
        """The value as said, else `value` in `unit`, the core's."""
        return self.measured(name) if self.has(name) else self.assumed(name, value, unit)

    def _take(self, name: str, sd: float) -> Measured:
        quantity = self.inquiry.values[name]
        value = Measured(in_core(quantity), sd)
        self.taken[name] = Taken(value, core_sign(quantity.unit))
        return value

    def require_brewed(self) -> None:
        """Refuse what nobody brews with; called behind the formulas, whose limits are narrower and told first.

        Raises:
            OutsideRange: if a value that was said is beyond all that is brewed.
        """
        for name, quantity in self.inquiry.values.items():
            sign = core_sign(quantity.unit)
            if quantity.unit is AskedUnit.PER_CENT:
                require_within(f"The {name}", float(quantity.value), 0.0, 100.0, "%")
            elif sign in _BREWED:
                require_within(f"The {name}", in_core(quantity), *_BREWED[sign], sign)

    def unit(self, name: str) -> str:
        """The sign of the core's unit of a value."""
        return core_sign(self.inquiry.values[name].unit)

    def choice_or(self, name: str, default: str) -> str:
        """What was chosen, or `default`: for the choices of a repeated group."""
        return self.inquiry.choices.get(name, default)

    def choice(self, name: str) -> str:
        """What was chosen, or the default."""
        return self.inquiry.choices[name]

    @property
    def boiling_c(self) -> Measured:
        """Where water boils at this rig [°C]."""
        rig = self.plan.rig
        return self.assumed("boiling point of water", Measured(rig.boiling_point_c, rig.thermometer_sd_c), "°C")

    @property
    def air_pa(self) -> Measured:
        """Pressure of the air [Pa]: by the altitude said, else by the rig, else at sea level."""
        rig = self.plan.rig
        if self.has(ALTITUDE):
            value = pressure.pressure_pa(self.measured(ALTITUDE).value)
        elif rig.altitude_m is not None:
            value = pressure.pressure_pa(rig.altitude_m)
        elif rig.boiling_point_c != 100.0:
            value = pressure.vapour_pressure_pa(rig.boiling_point_c)
        else:
            value = 101_325.0
        return self.assumed("pressure of the air", Measured(value, WEATHER_SD_PA), "Pa")

    def temperature(self, celsius: float) -> str:
        """ "seventy-two point one celsius", in the brewer's scale."""
        fahrenheit = self.plan.units.temperature is Unit.FAHRENHEIT
        value = sayable(from_core(celsius, self.plan.units.temperature), 999.0)
        return f"{numbers.temperature_words(value, 1)} {'fahrenheit' if fahrenheit else 'celsius'}"

    def span(self, sd_k: float) -> str:
        """Two standard uncertainties of a temperature: "one point four degrees"."""
        return self.difference(2.0 * sd_k)

    def difference(self, kelvin: float) -> str:
        """A difference of temperatures: "one point four degrees"."""
        words = figure(kelvin * (1.8 if self.plan.units.temperature is Unit.FAHRENHEIT else 1.0), 1)
        return f"{words} {'degree' if words == 'one' else 'degrees'}"

    def gravity_step(self, sg: float, places: int = 1) -> str:
        """A difference of gravities: "seven points", to `places`, or "one point eight plato"."""
        if self.plan.units.gravity is Unit.PLATO:
            return f"{figure(250.0 * sg, 1)} plato"
        words = figure(1000.0 * sg, places)
        return f"{words} {'point' if words == 'one' else 'points'}"

    def gravity(self, sg: float) -> str:
        """A gravity on the brewer's scale: "ten fifty", or "twelve point four plato"."""
        return units.gravity(sg, self.plan)

    def gravity_span(self, sd_sg: float) -> str:
        """Two standard uncertainties of a gravity: "six points", or "one point five plato"."""
        words = units.give_or_take(sd_sg, self.plan)
        if self.plan.units.gravity is Unit.PLATO:
            return f"{words} plato"
        return f"{words} {'point' if words == 'one' else 'points'}"

    def volume(self, litres: float) -> str:
        """A volume in the brewer's unit; below a tenth of a litre in millilitres."""
        if litres < 0.1:
            return numbers.volume_words(litres * 1000.0, Unit.MILLILITRE)
        unit = self.plan.units.volume
        return numbers.volume_words(round(sayable(from_core(litres, unit)), 2), unit)

    def small_volume(self, litres: float) -> str:
        """A volume in millilitres below a litre, or in fluid ounces below a quart, else in the brewer's unit."""
        if self.plan.units.volume is Unit.US_GALLON:
            ounces = litres / FLUID_OUNCE_L
            if ounces < 32.0:
                words = figure(ounces, 1)
                return f"{words} fluid {'ounce' if words == 'one' else 'ounces'}"
        elif litres < 1.0:
            words = figure(1000.0 * litres, 0 if litres >= 0.01 else 1)
            return f"{words} {'millilitre' if words == 'one' else 'millilitres'}"
        return self.volume(litres)

    def mass(self, kilograms: float) -> str:
        """A mass in the brewer's smaller or larger unit, whichever reads better."""
        large, small = self.plan.units.large_mass, self.plan.units.small_mass
        value = sayable(from_core(kilograms, large))
        return numbers.mass_words(round(value, 2), large) if value >= 1.0 else self.small_mass(kilograms, small)

    @staticmethod
    def small_mass(kilograms: float, unit: Unit) -> str:
        """A mass in `unit`, to tenths below ten."""
        return numbers.mass_words(round(sayable(from_core(kilograms, unit)), 1), unit)

    @staticmethod
    def minutes(minutes: float) -> str:
        """A span in whole minutes."""
        return numbers.minutes_words(60.0 * sayable(minutes))

    def pressure(self, pascal: float) -> str:
        """A pressure in psi for a brewer in US units, else in bar."""
        if self.plan.units.volume is Unit.US_GALLON:
            return f"{figure(pascal / PSI_PA, 1)} psi"
        return f"{figure(pascal / 1e5, 2)} bar"


def mash_water_l(given: Given, name: str = "volume of water") -> Measured:
    """The water of a mash [L]: as said, or by its thickness."""
    if given.has(name):
        return given.measured(name)
    thickness = given.read(THICKNESS, _THICKNESS_SHARE * abs(given.exact(THICKNESS)))
    return propagate(operator.mul, thickness, given.measured("grain"))


def per_cent(share: float) -> str:
    """A share in words: "seventy-five per cent"."""
    return f"{figure(100.0 * share, 0)} per cent"


def rough(value: float) -> float:
    """`value` to two figures, for a doubt: more would claim to know the doubt itself."""
    return float(f"{value:.2g}")


def sayable(value: float, highest: float = 999_999.0) -> float:
    """`value` itself.

    Raises:
        OutsideRange: if there are no words for it.
    """
    if not abs(value) <= highest:
        raise OutsideRange("The answer is beyond all that is brewed: check the values and their units.")
    return value


def in_core(quantity: Quantity) -> float:
    """A value in the core's unit (°C, L, kg, m, s, SG 20/20 °C, Pa, share, W, L/h, mg/L, g/L, 10⁹ cells, SRM, m³).

    Raises:
        OutsideRange: a malt's colour in degrees Lovibond that no malt has.
    """
    value = float(quantity.value)
    if quantity.unit is AskedUnit.LOVIBOND:
        return srm_from_lovibond(value)
    if isinstance(quantity.unit, AskedUnit):
        return value * _IN_CORE[quantity.unit][0]
    if dimension_of(quantity.unit) is Dimension.GRAVITY:
        return scales.sg_from(value, quantity.unit)
    return to_core(value, quantity.unit)


def core_sign(unit: Unit | AskedUnit) -> str:
    """The sign of the core's unit for what is said in `unit`."""
    return _IN_CORE[unit][1] if isinstance(unit, AskedUnit) else CORE_UNIT[dimension_of(unit)].value


def figure(value: float, places: int) -> str:
    """A number in words with up to `places` figures after the point, more where it would be nought."""
    sayable(value)
    while places < 4 and value and abs(value) < 0.5 * 10.0**-places:
        places += 1
    return numbers.decimal_words(value, places)
