"""Answers to questions about the kettle: volumes, boil, targets, power and fuel."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from assistant.calculation import corrections, fuel, heat, volumes
from assistant.calculation.corrections import Means
from assistant.calculation.fuel import Fuel
from assistant.calculation.mash import water_l_to_kg
from assistant.calculation.results import Result
from assistant.calculation.steam import latent_heat_j_per_kg
from assistant.calculation.uncertainty import propagate
from assistant.calculation.vessels import Bottom, Vessel, depth_in_vessel_m, vessel_volume_l
from assistant.calculation.volumes import depth_of_volume_m, volume_at_depth_l
from assistant.calculation.water_use import hot_l
from assistant.phrasing.inquiry_parts import TYPICAL_SG, Given, Labelled, Method, Reply, figure, per_cent, rough
from assistant.quantities import Measured, OutsideRange, Unit, from_core

_LENGTH_SD_M: Final = 0.003  # a stick read through steam; a judgement
_DIAMETER_SD_M: Final = 0.002  # a tape across the rim; a judgement
_WALL_M: Final = 2.0  # taller than any kettle here, so that the rim is no limit
_WATER: Final = Measured(1.0, 0.0)
_NO_WIDTH: Final = (
    'How wide is the kettle? Say "in a kettle of thirty-six centimetres", or ask with --plan for that of a plan.'
)
_BURNER_AIR: Final = "Burn gas only in open air: it makes carbon monoxide."


def _vessel(given: Given) -> Vessel:
    """The kettle that was said, else the plan's.

    Raises:
        OutsideRange: if nobody knows how wide it is.
    """
    diameter_m = given.plan.rig.kettle_diameter_m
    if given.has("diameter of the kettle"):
        diameter_m = given.read("diameter of the kettle", _DIAMETER_SD_M).value
    elif diameter_m is not None:
        given.assumed("diameter of the kettle", Measured(diameter_m, _DIAMETER_SD_M), "m")
    if diameter_m is None:
        raise OutsideRange(_NO_WIDTH)
    if given.has("depth of the bottom"):
        return Vessel(diameter_m, _WALL_M, Bottom.CAP, given.exact("depth of the bottom"))
    return Vessel(diameter_m, _WALL_M, Bottom(given.choice("bottom")))


def _by_stick(given: Given) -> bool:
    """Whether the plan's dipstick counts, because no kettle was told."""
    return bool(given.plan.rig.dipstick) and not given.has("diameter of the kettle")


def _kettle_volume(given: Given) -> Reply:
    depth_m = given.read("depth", _LENGTH_SD_M)
    if _by_stick(given):
        stick = given.plan.rig.dipstick
        told = propagate(lambda at_m: volume_at_depth_l(at_m, stick), depth_m)
        result = Result(told.value, told.sd, "L", "geometry", note="By the dipstick of the plan.")
    else:
        result = vessel_volume_l(_vessel(given), depth_m, _DIAMETER_SD_M)
    sentence = f"{given.volume(result.value)} as hot as it stands, give or take {given.volume(2.0 * result.sd)}."
    function = volume_at_depth_l if _by_stick(given) else None
    return Reply(sentence, (Labelled("volume", result),), function=function)


def _kettle_depth(given: Given) -> Reply:
    litres = given.measured("volume")
    if _by_stick(given):
        stick = given.plan.rig.dipstick
        told = propagate(lambda volume_l: depth_of_volume_m(volume_l, stick), litres)
    else:
        vessel = _vessel(given)
        told = propagate(lambda volume_l: depth_in_vessel_m(vessel, volume_l), litres)
    result = Result(told.value, told.sd, "m", "geometry")
    function = depth_of_volume_m if _by_stick(given) else None
    return Reply(f"{_length(given, result.value)} deep.", (Labelled("depth", result),), function=function)


def _length(given: Given, metres: float) -> str:
    unit = given.plan.units.depth
    words = figure(from_core(metres, unit), 1)
    if unit is Unit.INCH:
        return f"{words} {'inch' if words == 'one' else 'inches'}"
    return f"{words} {'millimetres' if unit is Unit.MILLIMETRE else 'centimetres'}"


def _cold_volume(given: Given) -> Reply:
    cold = propagate(
        volumes.volume_at_20c_l,
        given.measured("hot volume"),
        given.measured("temperature"),
        given.measured_or("gravity", TYPICAL_SG, "SG"),
    )
    result = Result(cold.value, cold.sd, "L", "sucrose density")
    return Reply(f"{given.volume(cold.value)} at {given.temperature(20.0)}.", (Labelled("cold volume", result),))


def _hot_volume(given: Given) -> Reply:
    celsius = given.measured("temperature")
    result = hot_l(given.measured("cold volume"), celsius, given.measured_or("gravity", TYPICAL_SG, "SG"))
    sentence = f"{given.volume(result.value)} at {given.temperature(celsius.value)}."
    return Reply(sentence, (Labelled("hot volume", result),))


def _dilute(given: Given) -> Reply:
    done = corrections.dilute(
        given.measured("volume of wort"), given.measured("gravity now"), given.exact("gravity wanted")
    )
    sentence = f"{given.volume(done.water_l.value)} of water; it makes {given.volume(done.volume_l.value)}."
    results = (Labelled("water", done.water_l), Labelled("volume after it", done.volume_l))
    return Reply(sentence, results, done.note)


def _boil(given: Given) -> Reply:
    done = corrections.boil_longer(
        given.measured("volume of wort"),
        given.measured("gravity now"),
        given.exact("gravity wanted"),
        given.measured("boil-off"),
    )
    sentence = (
        f"{given.minutes(done.minutes.value)} of boil, give or take "
        f"{given.minutes(2.0 * done.minutes.sd)}; {given.volume(done.volume_l.value)} will be left."
    )
    return Reply(sentence, (Labelled("boil", done.minutes), Labelled("volume after it", done.volume_l)))


def _boil_on(given: Given) -> Reply:
    minutes = given.exact("time of the boil") / 60.0
    done = corrections.boil_on(
        given.measured("volume of wort"), given.measured("gravity now"), minutes, given.measured("boil-off")
    )
    sentence = (
        f"{given.gravity(done.sg.value)}, give or take {given.gravity_span(done.sg.sd)}, and "
        f"{given.volume(done.volume_l.value)} left."
    )
    return Reply(sentence, (Labelled("gravity", done.sg), Labelled("volume", done.volume_l)))


def _both_targets(given: Given) -> Reply:
    longest_s = given.exact("longest boil") if given.has("longest boil") else float("inf")
    done = corrections.hit_both(
        given.measured("volume of wort"),
        given.measured("gravity now"),
        given.exact("volume wanted"),
        given.exact("gravity wanted"),
        means=Means(boil_off=given.measured("boil-off"), minutes=longest_s / 60.0),
    )
    acts = []
    if done.minutes.value > 0.0:
        acts.append(f"boil {given.minutes(done.minutes.value)} more")
    if done.solids_kg.value > 0.0:
        acts.append(f"add {given.mass(done.solids_kg.value)} of dry malt extract")
    if done.water_l.value > 0.0:
        acts.append(f"add {given.volume(done.water_l.value)} of water")
    end = f"{given.volume(done.volume_l.value)} at {given.gravity(done.sg.value)}"
    what = " and ".join(acts) or "leave it"
    sentence = f"{what}: {end}{'' if done.met else ', as near to both as it goes'}."
    caution = (
        "Extract goes in off the flame: it scorches, and the wort foams." if done.solids_kg.value > 0.0 else ""
    )
    results = (
        Labelled("boil", done.minutes),
        Labelled("dry malt extract", done.solids_kg),
        Labelled("water", done.water_l),
        Labelled("volume after it", done.volume_l),
        Labelled("gravity after it", replace(done.sg, note=done.note)),
    )
    return Reply(sentence, results, caution)


def _boil_off(given: Given) -> Reply:
    seconds = given.exact("time between")
    name = "temperature of both"
    result = heat.boil_off_from_dipsticks_l_per_h(
        given.measured("volume before"),
        given.measured("volume after"),
        Measured(seconds / 60.0, 0.5),
        given.measured_or("gravity", TYPICAL_SG, "SG"),
        given.measured(name) if given.has(name) else given.assumed(name, given.boiling_c, "°C"),
    )
    hot = "" if given.has(name) else ", both read at the boil"
    sentence = f"{_an_hour(given, result.value)}, give or take {figure(_rate(given, 2.0 * result.sd), 1)}{hot}."
    return Reply(sentence, (Labelled("boil-off", result),))


def _rate(given: Given, litres_per_h: float) -> float:
    return from_core(litres_per_h, given.plan.units.volume)


def _an_hour(given: Given, litres_per_h: float) -> str:
    return f"{given.volume(litres_per_h)} an hour"


def _boil_off_by_power(given: Given) -> Reply:
    result = heat.boil_off_l_per_h(given.measured("net power"), given.boiling_c)
    sentence = f"{_an_hour(given, result.value)} at most: losses take the rest of a burner's power."
    return Reply(sentence, (Labelled("boil-off", result),))


def _burner_power(given: Given) -> Reply:
    seconds = given.exact("time")
    result = heat.net_power_w(
        given.measured("volume"),
        given.measured_or("gravity", _WATER, "SG"),
        given.measured("temperature now"),
        given.measured("temperature wanted"),
        Measured(seconds / 60.0, 0.5),
    )
    kilowatt = f"{figure(result.value / 1000.0, 2)} kilowatts"
    sentence = f"{kilowatt} reach the kettle, give or take {figure(2.0 * result.sd / 1000.0, 2)}."
    return Reply(sentence, (Labelled("net power", result),))


def _fuel(given: Given) -> Reply:
    name = "water boiled off"
    off_l = given.measured_or(name, Measured(0.0, 0.0), "L")

    def joule(litres: float, from_c: float, to_c: float, boiled_l: float) -> float:
        warming_j = heat.heat_to_warm_j(water_l_to_kg(litres), 0.0, from_c, to_c)
        return warming_j + water_l_to_kg(boiled_l) * latent_heat_j_per_kg(given.boiling_c.value)

    names = ("volume", "temperature now", "temperature wanted")
    needed_j = propagate(joule, *(given.measured(name) for name in names), off_l)
    kind = given.choice("fuel")
    if kind == "electricity":
        result = fuel.electricity_needed_kwh(needed_j)
        sentence = f"{figure(result.value, 1)} kilowatt hours, give or take {figure(2.0 * result.sd, 1)}."
        return Reply(sentence, (Labelled("electricity", result),), function=fuel.electricity_needed_kwh)
    result = fuel.gas_needed_kg(needed_j, Fuel(kind))
    share = per_cent(fuel.GAS_EFFICIENCY.value)
    sentence = (
        f"{given.mass(result.value)} of {kind}, give or take {given.mass(rough(2.0 * result.sd))}, if {share} "
        f"of it reaches the kettle."
    )
    return Reply(sentence, (Labelled(kind, result),), _BURNER_AIR)


KETTLE: Final[dict[str, Method]] = {
    "kettle volume": Method(_kettle_volume, vessel_volume_l),
    "kettle depth": Method(_kettle_depth, depth_in_vessel_m),
    "cold volume": Method(_cold_volume, volumes.volume_at_20c_l),
    "hot volume": Method(_hot_volume, hot_l),
    "dilute": Method(_dilute, corrections.dilute),
    "boil": Method(_boil, corrections.boil_longer),
    "boil on": Method(_boil_on, corrections.boil_on),
    "both targets": Method(_both_targets, corrections.hit_both),
    "boil-off": Method(_boil_off, heat.boil_off_from_dipsticks_l_per_h),
    "boil-off by power": Method(_boil_off_by_power, heat.boil_off_l_per_h),
    "burner power": Method(_burner_power, heat.net_power_w),
    "fuel": Method(_fuel, fuel.gas_needed_kg),
}
