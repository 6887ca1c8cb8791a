"""The tables and fields of a plan file: what may be written where, and within which limits.

Limits here are of what is possible at all at a small kettle; what is merely odd becomes a remark.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Annotated, Final

from pydantic import BaseModel, ConfigDict, Field

from assistant.calculation.hydrometer import BOROSILICATE_EXPANSION_PER_K, GLASS_EXPANSION_PER_K
from assistant.day.plan import AdditionKind, Amount, Sanitised
from assistant.day.plan_fields import (
    BrixStepField,
    ChoiceField,
    GravityField,
    GravityStepField,
    NumberField,
    QuantityField,
    RateField,
    TextField,
    UnitField,
    YesNoField,
)
from assistant.day.plan_kettle_fields import AmountField, DipstickField, MarkedNumberField, When, WhenField
from assistant.quantities import Dimension, Unit

_NAME = TextField("Hollow Lane")
_VOLUME = QuantityField("19 L", Dimension.VOLUME, 0.0, 500.0, above_lowest=True)
_VOLUME_OR_NONE = QuantityField("2 L", Dimension.VOLUME, 0.0, 100.0)
_VOLUME_STEP = QuantityField("0.5 L", Dimension.VOLUME, 0.0, 20.0, above_lowest=True)
_TEMPERATURE_STEP = QuantityField(
    "1 C", Dimension.TEMPERATURE, 0.0, 10.0, above_lowest=True, difference=True, noun="a difference of temperature"
)
_BOIL = QuantityField("75 min", Dimension.DURATION, 0.0, 5 * 3600.0, above_lowest=True)
_REST = QuantityField("60 min", Dimension.DURATION, 0.0, 24 * 3600.0, above_lowest=True)
_STAND = QuantityField("20 min", Dimension.DURATION, 0.0, 5 * 3600.0, above_lowest=True)
_CONTACT = QuantityField("2 min", Dimension.DURATION, 0.0, 24 * 3600.0, above_lowest=True)
_MASH_TEMPERATURE = QuantityField("67 C", Dimension.TEMPERATURE, 20.0, 102.0)
# Above 40 °C pitching yeast means killing or crippling it (common practice, no source).
_PITCH = QuantityField("18 C", Dimension.TEMPERATURE, 0.0, 40.0)
_COOLANT = QuantityField("14 C", Dimension.TEMPERATURE, -10.0, 40.0)
_CALIBRATION = QuantityField("20 C", Dimension.TEMPERATURE, 10.0, 30.0)
_BOILING_POINT = QuantityField("99 C", Dimension.TEMPERATURE, 80.0, 102.0)
_ALTITUDE = QuantityField("120 m", Dimension.LENGTH, -430.0, 5200.0)
_DIAMETER = QuantityField("36 cm", Dimension.LENGTH, 0.05, 2.0)
_GRAIN = QuantityField("4.6 kg", Dimension.MASS, 0.0, 200.0, above_lowest=True)
# The strongest extracts of hops hold 70 % of alpha acid.
_ALPHA = MarkedNumberField("alpha acid", "5.5 %", 0.0, 70.0, ("per cent", "%", "percent"), 0.01)
_BITTERNESS = MarkedNumberField("a bitterness", "32 IBU", 0.0, 150.0, ("IBU", "ibu"))

_VOLUMES = MappingProxyType({"L": Unit.LITRE, "gal": Unit.US_GALLON, "qt": Unit.US_QUART})
_MASSES = MappingProxyType({"g": Unit.GRAM, "kg": Unit.KILOGRAM, "oz": Unit.OUNCE, "lb": Unit.POUND})
_HOW = MappingProxyType({how.value: how for how in Sanitised})
_KINDS = MappingProxyType({kind.value: kind for kind in AdditionKind})
_SYSTEMS = MappingProxyType({"metric": "metric", "us": "us"})


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, arbitrary_types_allowed=True)


class UnitsTable(_Table):
    """[units]: the units the brewer thinks in."""

    system: Annotated[str, ChoiceField(_SYSTEMS)] = "metric"
    temperature: Annotated[Unit | None, UnitField({"C": Unit.CELSIUS, "F": Unit.FAHRENHEIT})] = None
    volume: Annotated[Unit | None, UnitField(_VOLUMES)] = None
    depth: Annotated[Unit | None, UnitField({"cm": Unit.CENTIMETRE, "mm": Unit.MILLIMETRE, "in": Unit.INCH})] = None
    small_mass: Annotated[Unit | None, UnitField(_MASSES)] = None
    large_mass: Annotated[Unit | None, UnitField(_MASSES)] = None
    gravity: Annotated[Unit | None, UnitField({"SG": Unit.SPECIFIC_GRAVITY, "P": Unit.PLATO})] = None


class BeerTable(_Table):
    """[beer]: what is wanted."""

    name: Annotated[str, _NAME]
    into_fermenter: Annotated[float, _VOLUME]
    gravity_before_boil: Annotated[float, GravityField(example="1.044")]
    gravity_after_boil: Annotated[float, GravityField(example="1.052")]
    boil: Annotated[float, _BOIL]
    gravity_tolerance: Annotated[float, GravityStepField()] = 0.002
    volume_tolerance: Annotated[float, _VOLUME_STEP] = 0.5
    temperature_tolerance: Annotated[float, _TEMPERATURE_STEP] = 1.0
    bitterness: Annotated[float | None, _BITTERNESS] = None


# A plastic body has none that could be reckoned with.
_EXPANSION_PER_K: Final = MappingProxyType(
    {"glass": GLASS_EXPANSION_PER_K, "borosilicate glass": BOROSILICATE_EXPANSION_PER_K, "plastic": None}
)


class HydrometerTable(_Table):
    """[rig.hydrometer]."""

    calibration: Annotated[float, _CALIBRATION] = 20.0
    material: Annotated[float | None, ChoiceField(_EXPANSION_PER_K)] = GLASS_EXPANSION_PER_K
    uncertainty: Annotated[float, GravityStepField("0.5 points", 0.005)] = 0.0005
    reads_in_water: Annotated[float, GravityField(0.98, 1.02, "1.001")] = 1.000


class RefractometerTable(_Table):
    """[rig.refractometer]."""

    wort_factor: Annotated[float, NumberField("1.04", 0.9, 1.2)] = 1.04
    compensates_temperature: Annotated[bool, YesNoField()] = True
    uncertainty: Annotated[float, BrixStepField()] = 0.2


class ThermometerTable(_Table):
    """[rig.thermometer]."""

    uncertainty: Annotated[float, _TEMPERATURE_STEP] = 0.5


class ChillerTable(_Table):
    """[rig.chiller]."""

    kind: Annotated[str, TextField("coil")] = "coil"
    coolant: Annotated[float | None, _COOLANT] = None
    flow: Annotated[float | None, RateField("8 L/min", 100.0, Unit.MINUTE)] = None


class RigTable(_Table):
    """[rig]: the vessels and instruments."""

    name: Annotated[str, TextField("30-litre kettle")]
    kettle_full: Annotated[float | None, _VOLUME] = None
    dipstick: Annotated[tuple[tuple[float, float], ...], DipstickField()] = ()
    kettle_diameter: Annotated[float | None, _DIAMETER] = None
    boil_off: Annotated[float, RateField("3.5 L/h", 100.0)]
    kettle_loss: Annotated[float, _VOLUME_OR_NONE] = 0.0
    volume_uncertainty: Annotated[float, _VOLUME_STEP] = 0.3
    altitude: Annotated[float | None, _ALTITUDE] = None
    boiling_point: Annotated[float | None, _BOILING_POINT] = None
    hydrometer: HydrometerTable = HydrometerTable()
    refractometer: RefractometerTable | None = None
    thermometer: ThermometerTable = ThermometerTable()
    chiller: ChillerTable | None = None


class RestTable(_Table):
    """[[mash.rest]]."""

    name: Annotated[str, TextField("saccharification")] = "mash"
    at: Annotated[float, _MASH_TEMPERATURE]
    for_: Annotated[float, _REST] = Field(alias="for")


class MashTable(_Table):
    """[mash]."""

    strike_water: Annotated[float, _VOLUME]
    strike_temperature: Annotated[float, _MASH_TEMPERATURE]
    grain: Annotated[float | None, _GRAIN] = None
    rest: list[RestTable] = Field(min_length=1)


class AdditionTable(_Table):
    """[[addition]]."""

    what: Annotated[str, TextField("bittering hops")]
    kind: Annotated[AdditionKind, ChoiceField(_KINDS)]
    amount: Annotated[Amount, AmountField()]
    at: Annotated[When, WhenField()]
    for_: Annotated[float | None, _STAND] = Field(default=None, alias="for")
    alpha: Annotated[float | None, _ALPHA] = None


class SanitationTable(_Table):
    """[[sanitation]]."""

    name: Annotated[str, TextField("fermenter")]
    how: Annotated[Sanitised, ChoiceField(_HOW)]
    contact: Annotated[float, _CONTACT]


class YeastTable(_Table):
    """[yeast]."""

    name: Annotated[str, TextField("dry ale yeast")]
    amount: Annotated[Amount, AmountField("11 g", "1 packet")]
    pitch_at: Annotated[float, _PITCH]


class LaterTable(_Table):
    """[[later]]."""

    day: Annotated[int, NumberField("10", 1, 730, whole=True)]
    what: Annotated[str, TextField("take a gravity", 120)]


class PlanTable(_Table):
    """The whole document."""

    units: UnitsTable = UnitsTable()
    beer: BeerTable
    rig: RigTable
    mash: MashTable
    addition: list[AdditionTable] = []
    sanitation: list[SanitationTable] = Field(min_length=1)
    yeast: YeastTable
    later: list[LaterTable] = []


TABLES: Final[dict[tuple[str, ...], type[BaseModel]]] = {
    (): PlanTable,
    ("units",): UnitsTable,
    ("beer",): BeerTable,
    ("rig",): RigTable,
    ("rig", "hydrometer"): HydrometerTable,
    ("rig", "refractometer"): RefractometerTable,
    ("rig", "thermometer"): ThermometerTable,
    ("rig", "chiller"): ChillerTable,
    ("mash",): MashTable,
    ("mash", "rest"): RestTable,
    ("addition",): AdditionTable,
    ("sanitation",): SanitationTable,
    ("yeast",): YeastTable,
    ("later",): LaterTable,
}

LISTS: Final = frozenset({("mash", "rest"), ("addition",), ("sanitation",), ("later",)})
"""The tables that are written with double brackets, as often as needed."""
