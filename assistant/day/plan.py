"""The checked plan of a day, in the core's units; `plan_file` makes it from a brewer's text.

Every value here has been checked: code behind it never meets an impossible plan.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from assistant.calculation.hydrometer import GLASS_EXPANSION_PER_K
from assistant.quantities import Dimension, Unit, dimension_of, to_core


@dataclass(frozen=True, slots=True)
class UnitChoice:
    """The units this brewer thinks, reads and is spoken to in."""

    temperature: Unit = Unit.CELSIUS
    volume: Unit = Unit.LITRE
    depth: Unit = Unit.CENTIMETRE
    small_mass: Unit = Unit.GRAM
    large_mass: Unit = Unit.KILOGRAM
    gravity: Unit = Unit.SPECIFIC_GRAVITY


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of something, in the plan's own words: `unit` None for counted things ("1 tablet")."""

    value: Decimal
    unit: Unit | None
    counted: str = ""

    @property
    def mass_kg(self) -> float | None:
        """The mass; None for what is counted or poured."""
        if self.unit is None or dimension_of(self.unit) is not Dimension.MASS:
            return None
        return to_core(float(self.value), self.unit)


@dataclass(frozen=True, slots=True)
class Beer:
    """What is brewed. Gravities are SG 20/20; the tolerances are half-widths of "on target".

    bitterness_ibu: what the brewer wants, None where the plan does not say.
    """

    name: str
    into_fermenter_l: float
    gravity_before_boil_sg: float
    gravity_after_boil_sg: float
    boil_min: float
    gravity_tolerance_sg: float = 0.002
    volume_tolerance_l: float = 0.5
    temperature_tolerance_c: float = 1.0
    bitterness_ibu: float | None = None


@dataclass(frozen=True, slots=True)
class Hydrometer:
    """A hydrometer: the temperature it was made for, its reading error, its offset in water, what it is made of.

    expansion_per_k: of its glass, by volume [1/K]; a plastic body (`glass` false) is not corrected for heat.
    """

    calibration_c: float = 20.0
    sd_sg: float = 0.0005
    reads_in_water_sg: float = 1.000
    glass: bool = True
    expansion_per_k: float = GLASS_EXPANSION_PER_K


@dataclass(frozen=True, slots=True)
class Refractometer:
    """A refractometer in Brix; `wort_factor` divides its reading."""

    wort_factor: float = 1.04
    compensates_temperature: bool = True
    sd_brix: float = 0.2


@dataclass(frozen=True, slots=True)
class Chiller:
    """A coil in the kettle and the water through it."""

    kind: str = "coil"
    coolant_c: float | None = None
    flow_l_per_min: float | None = None


@dataclass(frozen=True, slots=True)
class Rig:
    """The vessels and instruments. Either `dipstick` or `kettle_diameter_m` is there, or neither.

    dipstick: (depth in m, volume in L) pairs, both rising, at least two.
    boiling_point_c: of water, measured or from the altitude.
    """

    name: str
    boil_off_l_per_h: float
    kettle_loss_l: float = 0.0
    dipstick: tuple[tuple[float, float], ...] = ()
    kettle_diameter_m: float | None = None
    kettle_full_l: float | None = None
    volume_sd_l: float = 0.3
    hydrometer: Hydrometer = field(default_factory=Hydrometer)
    refractometer: Refractometer | None = None
    thermometer_sd_c: float = 0.5
    altitude_m: float | None = None
    boiling_point_c: float = 100.0
    chiller: Chiller | None = None


@dataclass(frozen=True, slots=True)
class Rest:
    """A time at a temperature in the mash."""

    name: str
    temperature_c: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Mash:
    """Strike water, grain and rests (at least one)."""

    strike_volume_l: float
    strike_temperature_c: float
    rests: tuple[Rest, ...]
    grain_kg: float | None = None


class AdditionKind(StrEnum):
    """What is added, since it decides the caution and the wording."""

    HOP = "hop"
    FININGS = "finings"
    NUTRIENT = "nutrient"
    SUGAR = "sugar"
    OTHER = "other"


class AdditionTime(StrEnum):
    """How the time of an addition is given."""

    BEFORE_KNOCKOUT = "minutes before knockout"
    FIRST_WORT = "first wort"
    HOP_STAND = "hop stand"


@dataclass(frozen=True, slots=True)
class Addition:
    """Something that goes into the kettle.

    minutes: before knockout, or length of the stand; None at first wort.
    temperature_c: of the stand, else None.
    alpha_fraction: alpha acid as a share of the hops' mass, None where the plan does not say.
    """

    what: str
    kind: AdditionKind
    amount: Amount
    time: AdditionTime
    minutes: float | None = None
    temperature_c: float | None = None
    alpha_fraction: float | None = None


class Sanitised(StrEnum):
    """How a thing is made safe for cooled wort."""

    IN_THE_BOIL = "in the boil"
    NO_RINSE = "no-rinse sanitiser"
    HOT_WATER = "hot water"


@dataclass(frozen=True, slots=True)
class SanitationItem:
    """A thing that touches cooled wort; contact time in seconds, > 0."""

    name: str
    how: Sanitised
    contact_s: float


@dataclass(frozen=True, slots=True)
class Yeast:
    """What is pitched, how much in the plan's words, and the temperature for it."""

    name: str
    amount: Amount
    pitch_c: float


@dataclass(frozen=True, slots=True)
class Later:
    """Something in the weeks after: whole days after pitching, and what to do."""

    day: int
    what: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole day and what follows. Additions in the order in which they go in."""

    beer: Beer
    rig: Rig
    mash: Mash
    additions: tuple[Addition, ...]
    sanitation: tuple[SanitationItem, ...]
    yeast: Yeast
    later: tuple[Later, ...] = ()
    units: UnitChoice = field(default_factory=UnitChoice)
    text: str = field(default="", repr=False)
    """The plan as written, kept in the journal so that a day can be resumed without the file."""
    remarks: tuple[str, ...] = ()
    """Sentences about what is doubtful in the plan and yet can be brewed."""

    @property
    def volume_before_boil_l(self) -> float:
        """Target volume before the boil at 20 °C, from the volume wanted, the losses and the boil-off."""
        return self.volume_after_boil_l + self.rig.boil_off_l_per_h * self.beer.boil_min / 60.0

    @property
    def volume_after_boil_l(self) -> float:
        """Target volume after the boil at 20 °C."""
        return self.beer.into_fermenter_l + self.rig.kettle_loss_l

    @property
    def has_hop_stand(self) -> bool:
        """Whether anything goes in between knockout and the chill to pitching temperature."""
        return any(addition.time is AdditionTime.HOP_STAND for addition in self.additions)
