"""From readings as said to facts in the core's units, corrected for temperature and instrument.

Nothing here bends a value towards a target: the plan decides only what is said about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from assistant.calculation import hydrometer, refractometer, scales, volumes
from assistant.day import facts as f
from assistant.day.facts import Fact, Stage
from assistant.day.plan import Plan
from assistant.day.refusals import refusal_in_units
from assistant.day.state import State
from assistant.day.targets import WARM_WORT_C
from assistant.quantities import Measured, OutsideRange, Unit, to_core
from assistant.understanding.said import Kind, Reading

# A kettle whose temperature nobody measured.
_UNKNOWN_TEMPERATURE_SD_C: Final = 12.0
# A cooled sample says nothing about the kettle it came from.
_SAMPLE_STRAIGHT_FROM_KETTLE_C: Final = 50.0
_TYPICAL_SG: Final = 1.045


def to_be_read_again(fact: Fact) -> bool:
    """Whether `fact` is a hot sample in a hydrometer: a cup is cooled and read before anything follows from it."""
    return (
        isinstance(fact, f.GravityRead)
        and fact.instrument == "hydrometer"
        and hydrometer.too_hot_to_trust(fact.sample_c)
    )


def said_text(reading: Reading) -> str:
    """Value and unit as they are kept in the journal, such as "12.4 °P"."""
    return f"{reading.value} {reading.unit.value}"


def take(readings: Sequence[Reading], plan: Plan, state: State) -> list[Fact]:
    """The facts that `readings`, said in one breath, bring.

    A temperature beside a gravity is the temperature of the sample; a temperature alone completes a gravity
    that waits for one, and is the temperature of the wort otherwise. A value that no formula can take comes
    back as `ReadingRefused` with the reason; the others are taken.
    """
    temperature = next((item for item in readings if item.kind is Kind.TEMPERATURE), None)
    sample_c = None if temperature is None else to_core(float(temperature.value), temperature.unit)
    has_gravity = any(item.kind is Kind.GRAVITY for item in readings)
    facts: list[Fact] = []
    for reading in readings:
        if reading.kind is Kind.TEMPERATURE and has_gravity:
            continue
        try:
            facts.append(_take_one(reading, sample_c, plan, state))
        except OutsideRange as refusal:
            why = refusal_in_units(refusal, plan.units)
            facts.append(f.ReadingRefused(reading.kind.value, said_text(reading), why))
    return facts


def _take_one(reading: Reading, sample_c: float | None, plan: Plan, state: State) -> Fact:
    match reading.kind:
        case Kind.GRAVITY:
            return _gravity(reading, sample_c, plan)
        case Kind.TEMPERATURE:
            return _temperature(reading, plan, state)
        case Kind.VOLUME | Kind.DEPTH:
            return _volume(reading, sample_c, plan, state)
        case _:
            return f.OtherRead(reading.kind.value, str(reading.value), reading.unit.value)


def _gravity(reading: Reading, sample_c: float | None, plan: Plan) -> Fact:
    if reading.unit is Unit.BRIX and plan.rig.refractometer is not None:
        brix, instrument = float(reading.value), plan.rig.refractometer
        if not instrument.compensates_temperature and sample_c is not None:
            brix += refractometer.temperature_correction_brix(brix, sample_c)
        corrected = refractometer.sg_from_reading(
            brix, wort_factor=instrument.wort_factor, sd_brix=instrument.sd_brix
        )
        raw_sg = scales.sg_from(float(reading.value), Unit.BRIX)
        return f.GravityRead(
            raw_sg, sample_c or 20.0, corrected.value, corrected.sd, said_text(reading), "refractometer"
        )
    instrument_sg = scales.sg_from(float(reading.value), reading.unit)
    if sample_c is None:
        return f.GravityWaiting(instrument_sg, said_text(reading))
    return corrected_gravity(instrument_sg, sample_c, said_text(reading), plan)


def corrected_gravity(instrument_sg: float, sample_c: float, said: str, plan: Plan) -> f.GravityRead:
    """A hydrometer's reading [SG] at `sample_c` [°C], corrected to 20 °C with the plan's hydrometer.

    Raises:
        OutsideRange: when no correction holds there; the message is a sentence for the brewer.
    """
    glass = plan.rig.hydrometer
    corrected = hydrometer.correct(
        instrument_sg,
        sample_c,
        calibration_c=glass.calibration_c,
        reading_sd_sg=glass.sd_sg,
        thermometer_sd_c=plan.rig.thermometer_sd_c,
        reads_in_water_sg=glass.reads_in_water_sg,
        glass=glass.glass,
        expansion_per_k=glass.expansion_per_k,
    )
    return f.GravityRead(instrument_sg, sample_c, corrected.value, corrected.sd, said)


def _temperature(reading: Reading, plan: Plan, state: State) -> Fact:
    temperature_c = to_core(float(reading.value), reading.unit)
    waiting = state.gravity_waiting
    if waiting is not None:
        return corrected_gravity(waiting.instrument_sg, temperature_c, waiting.said, plan)
    return f.TemperatureRead(temperature_c, plan.rig.thermometer_sd_c, said_text(reading))


def kettle_temperature_c(plan: Plan, state: State) -> Measured:
    """The temperature of the wort now [°C], as well as it is known."""
    taken = state.in_stage(state.temperatures)
    if taken is not None:
        return Measured(taken.fact.temperature_c, taken.fact.sd_c)
    gravity = state.in_stage(state.gravities)
    if gravity is not None and gravity.fact.sample_c >= _SAMPLE_STRAIGHT_FROM_KETTLE_C:
        return Measured(gravity.fact.sample_c, 2.0)
    match state.stage:
        case Stage.BOIL | Stage.HOP_STAND:
            return Measured(plan.rig.boiling_point_c, 2.0)
        case Stage.CHILL | Stage.TRANSFER | Stage.PITCH | Stage.FERMENTING:
            return Measured(plan.yeast.pitch_c, 4.0)
        case _:
            return Measured(WARM_WORT_C, _UNKNOWN_TEMPERATURE_SD_C)


def _volume(reading: Reading, said_c: float | None, plan: Plan, state: State) -> Fact:
    depth_m = None
    if reading.kind is Kind.DEPTH:
        depth_m = to_core(float(reading.value), reading.unit)
        volume_l = _volume_at_depth_l(depth_m, plan)
    else:
        volume_l = to_core(float(reading.value), reading.unit)
    gravity = state.gravities[-1].fact.gravity_sg if state.gravities else _TYPICAL_SG
    known = kettle_temperature_c(plan, state)
    temperature = known if said_c is None else Measured(said_c, plan.rig.thermometer_sd_c)
    cold_l = volumes.volume_at_20c_l(volume_l, temperature.value, gravity)
    # Water and wort swell by about 0.06 % a kelvin near 70 °C: what an unsure temperature costs.
    sd_l = (plan.rig.volume_sd_l**2 + (volume_l * 6e-4 * temperature.sd) ** 2) ** 0.5
    return f.VolumeRead(volume_l, cold_l, sd_l, said_text(reading), depth_m)


def _volume_at_depth_l(depth_m: float, plan: Plan) -> float:
    rig = plan.rig
    if rig.dipstick:
        return volumes.volume_at_depth_l(depth_m, rig.dipstick)
    if rig.kettle_diameter_m is not None:
        return volumes.cylinder_volume_l(depth_m, rig.kettle_diameter_m)
    raise OutsideRange("The plan has no dipstick table and no kettle diameter: say the volume instead.")
