"""Answers to questions about instruments, and where water and wort boil."""

from __future__ import annotations

from typing import Final

from assistant.calculation import hydrometer, instruments, pressure, refractometer, scales
from assistant.calculation.instruments import ThermometerCheck, boiling_water_c
from assistant.calculation.results import Result
from assistant.calculation.steam import wort_boiling_point_c
from assistant.calculation.uncertainty import propagate
from assistant.day.plan import Refractometer
from assistant.phrasing.inquiry_parts import ALTITUDE, Given, Labelled, Method, Reply, Taken, figure
from assistant.quantities import Measured, Unit

_BAROMETER_SD_PA: Final = 100.0  # a barometer in the house; a judgement
_REPORT_SD_PA: Final = 200.0  # of another place and hour; a judgement
_BRIX_SD: Final = 0.1  # half a line of the scale; a judgement
_SPOT: Final = "pressure on the spot"
_REPORT: Final = "pressure in the weather report"
_BOILING: Final = "boiling point"
_SURE_POINTS: Final = 0.0005
_COOL_A_CUP: Final = "It was hot: cool a cup to be sure."


def _boiling_water(given: Given) -> Result:
    """Where water boils: by the pressure that was said, else by the altitude, else at this rig."""
    if given.has(_SPOT):
        return boiling_water_c(station_pa=given.read(_SPOT, _BAROMETER_SD_PA))
    if given.has(ALTITUDE):
        return boiling_water_c(altitude_m=given.measured(ALTITUDE))
    here_c = given.boiling_c
    return Result(here_c.value, here_c.sd, "°C", "if97")


def _boiling_point(given: Given) -> Reply:
    if given.has(_REPORT) and given.has(ALTITUDE):
        report_pa, altitude_m = given.read(_REPORT, _REPORT_SD_PA), given.measured(ALTITUDE)
        result = boiling_water_c(station_pa=propagate(instruments.station_pressure_pa, report_pa, altitude_m))
    else:
        result = _boiling_water(given)
    weather = "" if given.has(_SPOT) or given.has(_REPORT) else " with the weather"
    sentence = f"{given.temperature(result.value)}, give or take {given.span(result.sd)}{weather}."
    return Reply(sentence, (Labelled("boiling point", result),))


def _wort_boiling_point(given: Given) -> Reply:
    air_pa = given.read(_SPOT, _BAROMETER_SD_PA) if given.has(_SPOT) else given.air_pa
    result = wort_boiling_point_c(given.measured("gravity of the wort"), air_pa)
    water = propagate(pressure.boiling_point_c, air_pa)
    higher = Result(result.value - water.value, 0.1 * (result.value - water.value), "K", "boiling elevation")
    sentence = f"{given.temperature(result.value)}, {given.difference(higher.value)} above water."
    return Reply(sentence, (Labelled("boiling point", result), Labelled("elevation", higher)))


def _altitude(given: Given) -> Reply:
    weather = Measured(0.0, 0.4)  # K, what weather moves the boiling point by, as in `boiling_water_c`
    found = propagate(
        lambda celsius, error: pressure.altitude_from_boiling_point_m(celsius + error),
        given.measured(_BOILING),
        weather,
    )
    result = Result(found.value, found.sd, "m", "atmosphere", note="An altitude in effect, not the one on the map.")
    us = given.plan.units.volume is Unit.US_GALLON
    factor, unit = (1.0 / 0.3048, "feet") if us else (1.0, "metres")
    high, doubt = (figure(round(factor * value, -1), 0) for value in (result.value, 2.0 * result.sd))
    return Reply(f"{high} {unit}, give or take {doubt}.", (Labelled("altitude", result),))


def _hydrometer(given: Given) -> Reply:
    rig = given.plan.rig
    calibration_c = _calibration_c(given)
    name, sample_c = "reading in water", given.measured("temperature of the sample")
    reading = given.measured("reading")
    result = hydrometer.correct(
        reading.value,
        sample_c.value,
        calibration_c=calibration_c,
        reading_sd_sg=reading.sd,
        thermometer_sd_c=rig.thermometer_sd_c,
        reads_in_water_sg=given.exact(name) if given.has(name) else rig.hydrometer.reads_in_water_sg,
        glass=given.choice("body") == "glass",
    )
    change = result.value - reading.value
    moved = f": I {'added' if change > 0.0 else 'took off'} {given.gravity_step(abs(change), 0)}"
    sentence = f"{given.gravity(result.value)}, give or take {given.gravity_span(result.sd)}"
    sentence += f"{moved if abs(change) >= _SURE_POINTS else ''}."
    hot = hydrometer.too_hot_to_trust(sample_c.value)
    return Reply(sentence, (Labelled("gravity", result),), _COOL_A_CUP if hot else "")


def _calibration_c(given: Given) -> float:
    name, own = "calibration temperature", given.plan.rig.hydrometer.calibration_c
    return given.exact(name) if given.has(name) else given.assumed(name, Measured(own, 0.0), "°C").value


def _hydrometer_in_water(given: Given) -> Reply:
    result = instruments.hydrometer_offset_sg(
        given.measured("reading"),
        given.measured("temperature of the water"),
        _calibration_c(given),
        glass=given.choice("body") == "glass",
    )
    sentence = _off(given.gravity_step(abs(result.value)), result)
    return Reply(sentence, (Labelled("offset", result),))


def _off(words: str, result: Result) -> str:
    """ "one point too much: take it off": what an offset means for a reading."""
    much = "too much" if result.value > 0.0 else "too little"
    if abs(result.value) < 2.0 * result.sd:
        return f"{words} {much}, which may be chance: leave it."
    return f"{words} {much}: {'take it off' if result.value > 0.0 else 'add it'}."


def _thermometer_in_ice(given: Given) -> Reply:
    result = instruments.ice_offset_k(given.measured("reading in ice"))
    sentence = _off(given.difference(abs(result.value)), result)
    return Reply(sentence, (Labelled("offset", result),))


def _thermometer_in_boiling(given: Given) -> Reply:
    boiling = _truly_boiling(given)
    result = instruments.boiling_offset_k(given.measured("reading in boiling water"), boiling)
    truth = f"Water boils at {given.temperature(boiling.value)} there."
    sentence = f"{_off(given.difference(abs(result.value)), result)} {truth}"
    return Reply(sentence, (Labelled("offset", result),), "Mind the steam.")


def _truly_boiling(given: Given) -> Measured:
    if given.has(_BOILING):
        return given.measured(_BOILING)
    told = _boiling_water(given)
    return Measured(told.value, told.sd)


def _true_temperature(given: Given) -> Reply:
    check = ThermometerCheck(
        given.measured("reading in ice"), given.measured("reading in boiling water"), _truly_boiling(given)
    )
    result = instruments.true_temperature_c(given.measured("reading"), check)
    sentence = f"{given.temperature(result.value)}, give or take {given.span(result.sd)}."
    return Reply(sentence, (Labelled("temperature", result),))


def _brix(given: Given, name: str) -> float:
    """A reading of a refractometer in degrees Brix, which is on its glass even where a gravity was said."""
    said = given.inquiry.values[name]
    brix = (
        float(said.value)
        if said.unit in (Unit.BRIX, Unit.PLATO)
        else scales.plato_from_sg(given.measured(name).value)
    )
    given.taken[name] = Taken(Measured(brix, _BRIX_SD), "°Bx")
    return brix


def _compensates(given: Given) -> bool:
    return given.choice("temperature compensation") == "yes"


def _refractometer_in_water(given: Given) -> Reply:
    result = instruments.refractometer_zero_brix(
        Measured(_brix(given, "reading"), _BRIX_SD), _prism_c(given), compensates=_compensates(given)
    )
    words = f"{figure(abs(result.value), 1)} brix"
    return Reply(f"{_off(words, result)} Or set its screw.", (Labelled("offset", result),))


def _prism_c(given: Given) -> Measured:
    return given.measured_or("temperature of the prism", Measured(20.0, 1.0), "°C")


def _refractometer_in_wort(given: Given) -> Reply:
    own = given.plan.rig.refractometer or Refractometer()
    name = "wort factor"
    factor = (
        given.exact(name) if given.has(name) else given.assumed(name, Measured(own.wort_factor, 0.01), "").value
    )
    brix = _brix(given, "reading")
    if not _compensates(given):
        brix += refractometer.temperature_correction_brix(brix, _prism_c(given).value)
    result = refractometer.sg_from_reading(brix, wort_factor=factor, sd_brix=_BRIX_SD)
    said = "" if given.has(name) else f", with a wort factor of {figure(factor, 2)}"
    sentence = (
        f"{given.gravity(result.value)}, give or take {given.gravity_span(result.sd)}{said}. Before yeast only."
    )
    return Reply(sentence, (Labelled("gravity", result),))


def _wort_factor(given: Given) -> Reply:
    brix = Measured(_brix(given, "refractometer"), _BRIX_SD)
    result = refractometer.wort_factor(brix, given.measured("hydrometer"))
    sentence = f"{figure(result.value, 3)}, give or take {figure(2.0 * result.sd, 3)}, if both were clear and cool."
    return Reply(sentence, (Labelled("wort factor", result),))


INSTRUMENTS: Final[dict[str, Method]] = {
    "boiling point": Method(_boiling_point, boiling_water_c),
    "wort boiling point": Method(_wort_boiling_point, wort_boiling_point_c),
    "altitude": Method(_altitude, pressure.altitude_from_boiling_point_m),
    "hydrometer": Method(_hydrometer, hydrometer.correct),
    "hydrometer in water": Method(_hydrometer_in_water, instruments.hydrometer_offset_sg),
    "thermometer in ice": Method(_thermometer_in_ice, instruments.ice_offset_k),
    "thermometer in boiling water": Method(_thermometer_in_boiling, instruments.boiling_offset_k),
    "true temperature": Method(_true_temperature, instruments.true_temperature_c),
    "refractometer in water": Method(_refractometer_in_water, instruments.refractometer_zero_brix),
    "refractometer in wort": Method(_refractometer_in_wort, refractometer.sg_from_reading),
    "wort factor": Method(_wort_factor, refractometer.wort_factor),
}
