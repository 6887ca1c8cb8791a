"""From what was said to facts in the core's units: every kind of reading, in every system of units."""

from __future__ import annotations

from decimal import Decimal

import pytest
from brew_day import altered, example

from assistant.day import facts as f
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.plan_file import read_plan
from assistant.day.readings import corrected_gravity, kettle_temperature_c, said_text, take
from assistant.day.state import State, Taken
from assistant.quantities import Unit
from assistant.understanding.said import Kind, Reading

METRIC, PLATO, US = example("hollow-lane"), example("lark-ridge"), example("ferry-lantern")
KETTLE = State(stage=Stage.PRE_BOIL, planned_boil_min=75.0)


def reading(kind: Kind, value: str, unit: Unit) -> Reading:
    """A reading as it was said."""
    return Reading(kind, Decimal(value), unit, "")


def temperature(value: str, unit: Unit = Unit.CELSIUS) -> Reading:
    """A temperature as it was said."""
    return reading(Kind.TEMPERATURE, value, unit)


def only(*readings: Reading, plan: Plan = METRIC, state: State = KETTLE) -> object:
    """The one fact that the readings bring."""
    (fact,) = take(readings, plan, state)
    return fact


@pytest.mark.parametrize(
    ("gravity", "sample", "plan", "corrected_sg"),
    [
        # At its calibration temperature a hydrometer is right as it reads.
        (("1.044", Unit.SPECIFIC_GRAVITY), ("20", Unit.CELSIUS), METRIC, 1.0440),
        (("44", Unit.POINTS), ("20", Unit.CELSIUS), METRIC, 1.0440),
        # 11 °P is SG 1.0442 (ASBC polynomial: 1.0442 at 20/20 °C; 2ND).
        (("11.0", Unit.PLATO), ("20", Unit.CELSIUS), PLATO, 1.0442),
        # The US hydrometer of the plan was made for 60 °F and reads a point high in water.
        (("1.046", Unit.SPECIFIC_GRAVITY), ("60", Unit.FAHRENHEIT), US, 1.0450),
    ],
)
def test_gravity_in_every_scale(
    gravity: tuple[str, Unit], sample: tuple[str, Unit], plan: Plan, corrected_sg: float
) -> None:
    """A gravity of any scale is kept as SG at 20 °C, with the temperature of its sample."""
    fact = only(temperature(*sample), reading(Kind.GRAVITY, *gravity), plan=plan)
    assert isinstance(fact, f.GravityRead)
    assert corrected_sg == pytest.approx(fact.gravity_sg, abs=0.0006)
    assert fact.sd_sg > 0.0


def test_a_hot_sample_reads_low() -> None:
    """A hot sample is corrected upwards, more the hotter it is, and is less sure."""
    warm, hot = (
        only(temperature(value), reading(Kind.GRAVITY, "1.040", Unit.SPECIFIC_GRAVITY)) for value in ("30", "60")
    )
    assert isinstance(warm, f.GravityRead)
    assert isinstance(hot, f.GravityRead)
    assert 1.040 < warm.gravity_sg < hot.gravity_sg
    assert warm.sd_sg < hot.sd_sg


def test_a_gravity_without_temperature_waits() -> None:
    """No temperature, no correction: the reading waits as it was read."""
    fact = only(reading(Kind.GRAVITY, "1.040", Unit.SPECIFIC_GRAVITY))
    assert f.GravityWaiting(1.040, "1.040 SG") == fact


def test_a_temperature_completes_the_gravity_that_waits() -> None:
    """The temperature that follows is the sample's: one gravity, and no temperature of the kettle."""
    waiting = State(stage=Stage.PRE_BOIL, gravity_waiting=f.GravityWaiting(1.040, "1.040 SG"))
    fact = only(temperature("30"), state=waiting)
    assert isinstance(fact, f.GravityRead)
    assert (1.040, 30.0, "1.040 SG") == (fact.instrument_sg, fact.sample_c, fact.said)


def test_a_refractometer_needs_no_temperature() -> None:
    """Brix on a compensating refractometer are taken at once, divided by the wort factor of the plan."""
    fact = only(reading(Kind.GRAVITY, "12.48", Unit.BRIX), plan=PLATO)
    assert isinstance(fact, f.GravityRead)
    assert "refractometer" == fact.instrument
    # 12.48 / 1.04 = 12.0 °P, SG 1.0484 (ASBC polynomial; 2ND).
    assert 1.0484 == pytest.approx(fact.gravity_sg, abs=0.0002)


@pytest.mark.parametrize(
    ("value", "unit", "celsius"),
    [("64", Unit.CELSIUS, 64.0), ("150", Unit.FAHRENHEIT, 65.5556), ("32", Unit.FAHRENHEIT, 0.0)],
)
def test_temperatures_of_both_scales(value: str, unit: Unit, celsius: float) -> None:
    """Temperatures are kept in °C with what the thermometer may be off."""
    fact = only(temperature(value, unit))
    assert isinstance(fact, f.TemperatureRead)
    assert celsius == pytest.approx(fact.temperature_c, abs=1e-3)
    assert METRIC.rig.thermometer_sd_c == fact.sd_c


@pytest.mark.parametrize(
    ("kind", "value", "unit", "plan", "litres"),
    [
        (Kind.VOLUME, "26.5", Unit.LITRE, METRIC, 26.5),
        # A US gallon is 3.785411784 L (231 in³ exactly; LIB scipy and pint).
        (Kind.VOLUME, "7", Unit.US_GALLON, US, 26.497882),
        # By the dipstick table of the plan: 30 cm are 25.35 L; half way from 20 to 30 cm.
        (Kind.DEPTH, "30", Unit.CENTIMETRE, METRIC, 25.35),
        (Kind.DEPTH, "25", Unit.CENTIMETRE, METRIC, 21.075),
        # A straight kettle 13.5 in wide: pi/4 * 13.5**2 * 10 cubic inches of 16.387064 mL.
        (Kind.DEPTH, "10", Unit.INCH, US, 23.456),
    ],
)
def test_volumes_by_glass_stick_and_width(kind: Kind, value: str, unit: Unit, plan: Plan, litres: float) -> None:
    """A volume as it stands, and less of it when cold: hot wort is wider."""
    fact = only(reading(kind, value, unit), plan=plan)
    assert isinstance(fact, f.VolumeRead)
    assert litres == pytest.approx(fact.volume_l, rel=1e-4)
    # Between 70 and 20 °C water shrinks by 2.0 % (densities 977.8 and 998.2 kg/m3; IAPWS-95 by CoolProp; LIB).
    assert 0.980 * litres == pytest.approx(fact.cold_l, rel=0.003)


def test_a_depth_without_stick_or_width_is_refused_in_a_sentence() -> None:
    """A kettle that nobody measured: the brewer hears to say the volume instead."""
    plan = altered("ferry-lantern", ('kettle_diameter = "13.5 in"', ""))
    fact = only(reading(Kind.DEPTH, "10", Unit.INCH), plan=plan)
    assert isinstance(fact, f.ReadingRefused)
    assert "say the volume instead" in fact.why


def test_one_refused_reading_leaves_the_others() -> None:
    """A value that no formula takes is refused by name; what was said beside it is kept."""
    taken = take([reading(Kind.DEPTH, "90", Unit.CENTIMETRE), temperature("64")], METRIC, KETTLE)
    assert [f.ReadingRefused, f.TemperatureRead] == [type(fact) for fact in taken]


def test_other_readings_are_kept_as_said() -> None:
    """pH and weights are noted with their unit."""
    assert f.OtherRead("pH", "5.25", "pH") == only(reading(Kind.PH, "5.25", Unit.PH))
    assert "12.4 °P" == said_text(reading(Kind.GRAVITY, "12.4", Unit.PLATO))


def test_no_target_bends_a_reading() -> None:
    """The same reading with another plan, stage or target is the same fact."""
    other = altered("hollow-lane", ("gravity_before_boil = 1.044", "gravity_before_boil = 1.046"))
    said = (temperature("24"), reading(Kind.GRAVITY, "1.015", Unit.SPECIFIC_GRAVITY))
    facts = [take(said, plan, State(stage=stage)) for plan in (METRIC, other) for stage in Stage]
    assert all(fact == facts[0] for fact in facts)


def test_the_kettle_is_as_warm_as_was_read_last_else_as_its_stage_is() -> None:
    """A temperature of this stage counts; without one the boil boils, and the chilled wort is cool."""
    read = f.TemperatureRead(80.0, 0.5, "80 °C")
    state = State(stage=Stage.PRE_BOIL, temperatures=(Taken(read, 0.0, 1, Stage.PRE_BOIL),))
    assert 80.0 == kettle_temperature_c(METRIC, state).value
    assert PLATO.rig.boiling_point_c == kettle_temperature_c(PLATO, State(stage=Stage.BOIL)).value
    assert METRIC.yeast.pitch_c == kettle_temperature_c(METRIC, State(stage=Stage.TRANSFER)).value


@pytest.mark.parametrize(("material", "points"), [("glass", 15.90), ("borosilicate glass", 16.55)])
def test_the_glass_of_the_plan_is_reckoned_with(material: str, points: float) -> None:
    """Borosilicate swells less than soda-lime glass: the heat of a sample of 60 °C is worth 0.65 points more."""
    text = METRIC.text.replace('material = "glass"', f'material = "{material}"')

    read = corrected_gravity(1.050, 60.0, "ten fifty", read_plan(text, "plan.toml"))

    assert points == pytest.approx(1000.0 * (read.gravity_sg - 1.050), abs=0.03)
