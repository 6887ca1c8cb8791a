"""Answers to questions about the mash and the day's water."""

from __future__ import annotations

from typing import Final

from assistant.calculation import mash_steps, water_use
from assistant.calculation.heat import direct_heat_minutes, heat_up_minutes
from assistant.calculation.mash import strike_c, water_l_to_kg
from assistant.calculation.mash_steps import Mash
from assistant.calculation.uncertainty import propagate
from assistant.calculation.water_use import HELD_L_PER_KG, NOTHING, Rig
from assistant.phrasing.inquiry_parts import TYPICAL_SG, Given, Labelled, Method, Reply, figure, mash_water_l
from assistant.quantities import Measured, Unit

_SCALD: Final = "Mind the scald: hot water and steam."
_SCORCH: Final = "Stir while you heat: the bottom scorches."
_ROOM: Final = Measured(20.0, 2.0)  # malt that stands in a room; a judgement
_WATER: Final = Measured(1.0, 0.0)
_MASH_OUT_C: Final = Measured(76.0, 0.0)  # common practice, no source
_QUART_A_POUND: Final = 0.946352946 / 0.45359237


def _strike(given: Given) -> Reply:
    grain_c = given.measured_or("temperature of the grain", _ROOM, "°C")
    water_l = mash_water_l(given)
    result = strike_c(
        given.measured("grain"),
        water_l,
        given.exact("temperature of the mash"),
        grain_c,
        boiling_c=given.boiling_c.value,
    )
    grain = "" if given.has("temperature of the grain") else f", with grain at {given.temperature(grain_c.value)}"
    water = "" if given.has("volume of water") else f"{given.volume(water_l.value)} of "
    sentence = (
        f"{given.temperature(result.value)} for the {water}strike water, give or take {given.span(result.sd)}, "
        f"in a warm tun{grain}."
    )
    return Reply(sentence, (Labelled("strike temperature", result),), _SCALD)


def _mash(given: Given, temperature: str) -> Mash:
    kilograms = propagate(water_l_to_kg, mash_water_l(given))
    return Mash(given.measured("grain"), kilograms, given.measured(temperature))


def _hot_water_c(given: Given) -> Measured:
    name = "temperature of the infusion"
    return given.measured(name) if given.has(name) else given.boiling_c


def _infusion(given: Given) -> Reply:
    infusion_c = _hot_water_c(given)
    mash = _mash(given, "temperature of the mash now")
    result = mash_steps.infusion_l(mash, given.exact("temperature of the next rest"), infusion_c)
    sentence = f"{given.volume(result.value)} of water at {given.temperature(infusion_c.value)}, measured cold."
    return Reply(sentence, (Labelled("infusion", result),), _SCALD)


def _mash_out(given: Given) -> Reply:
    infusion_c = _hot_water_c(given)
    name = "temperature of the mash-out"
    target_c = given.exact(name) if given.has(name) else given.assumed(name, _MASH_OUT_C, "°C").value
    mash = _mash(given, "temperature of the mash now")
    result = mash_steps.mash_out_l(mash, infusion_c, target_c)
    sentence = (
        f"{given.volume(result.value)} of water at {given.temperature(infusion_c.value)}, measured cold, "
        f"for {given.temperature(target_c)}."
    )
    return Reply(sentence, (Labelled("mash-out water", result),), _SCALD)


def _decoction(given: Given) -> Reply:
    part = given.choice("part of the mash")
    mash = _mash(given, "temperature of the mash now")
    target_c = given.exact("temperature of the next rest")
    result = mash_steps.decoction_l(mash, target_c, given.boiling_c, thin=part == "thin")
    sentence = (
        f"{given.volume(result.value)} of {part} mash to boil and return, give or take "
        f"{given.volume(2.0 * result.sd)}, and a tenth more for what boils away."
    )
    return Reply(sentence, (Labelled("decoction", result),), "Stir it: it scorches and spits.")


def _direct_heat(given: Given) -> Reply:
    kilograms = propagate(water_l_to_kg, mash_water_l(given))
    names = ("temperature now", "temperature wanted", "net power")
    result = direct_heat_minutes(given.measured("grain"), kilograms, *(given.measured(name) for name in names))
    return Reply(_span_of_heat(given, result.value, result.sd), (Labelled("time", result),), _SCORCH)


def _heating(given: Given) -> Reply:
    result = heat_up_minutes(
        given.measured("volume"),
        given.measured_or("gravity", _WATER, "SG"),
        given.measured("temperature now"),
        given.measured("temperature wanted"),
        given.measured("net power"),
    )
    return Reply(_span_of_heat(given, result.value, result.sd), (Labelled("time", result),), "Stay with the flame.")


def _span_of_heat(given: Given, minutes: float, sd: float) -> str:
    doubt = given.minutes(2.0 * sd)
    return f"{given.minutes(minutes)}, give or take {doubt}, if all of that power reaches the kettle."


def _tun_volume(given: Given) -> Reply:
    kilograms = propagate(water_l_to_kg, mash_water_l(given))
    result = mash_steps.mash_volume_l(Mash(given.measured("grain"), kilograms, Measured(67.0, 3.0)))
    sentence = f"{given.volume(result.value)} in the tun, give or take {given.volume(2.0 * result.sd)}."
    return Reply(sentence, (Labelled("volume", result),))


def _rig(given: Given, *, boil_off: Measured = NOTHING) -> Rig:
    """What the rig keeps for itself: as said, else by the plan, else by rule."""
    loss_l = Measured(given.plan.rig.kettle_loss_l, 0.0)
    return Rig(
        held_l_per_kg=given.measured_or("water the grain holds", HELD_L_PER_KG, "L/kg"),
        tun_dead_l=given.measured_or("dead space of the tun", NOTHING, "L"),
        kettle_loss_l=given.measured_or("loss in the kettle", loss_l, "L"),
        boil_off_l_per_h=boil_off,
        boiling_c=given.boiling_c.value,
    )


def _held(given: Given) -> str:
    """ "the grain holding one litre a kilo", where that was not said."""
    if given.has("water the grain holds"):
        return ""
    return f", the grain holding {_thickness(given, HELD_L_PER_KG.value)}"


def _thickness(given: Given, litres_per_kg: float) -> str:
    if given.plan.units.volume is Unit.US_GALLON:
        return f"{figure(litres_per_kg / _QUART_A_POUND, 2)} quarts a pound"
    words = figure(litres_per_kg, 2)
    return f"{words} {'litre' if words == 'one' else 'litres'} a kilo"


def _first_wort_volume(given: Given) -> Reply:
    rig = _rig(given)
    result = water_use.first_wort_l(given.measured("grain"), mash_water_l(given), rig)
    sentence = f"{given.volume(result.value)}, give or take {given.volume(2.0 * result.sd)}{_held(given)}."
    return Reply(sentence, (Labelled("first wort", result),))


def _sparge(given: Given) -> Reply:
    wanted_l = given.measured("volume wanted in the kettle")
    result = water_use.sparge_l(wanted_l, given.measured("grain"), mash_water_l(given), _rig(given))
    sentence = f"{given.volume(result.value)}, give or take {given.volume(2.0 * result.sd)}{_held(given)}."
    return Reply(sentence, (Labelled("sparge water", result),), _SCALD)


def _absorption(given: Given) -> Reply:
    names = ("grain", "volume of water", "volume run off")
    result = water_use.held_l_per_kg_from(*(given.measured(name) for name in names))
    sentence = f"{_thickness(given, result.value)}, give or take {figure(2.0 * result.sd, 1)}, both measured cold."
    if given.plan.units.volume is Unit.US_GALLON:
        doubt = figure(2.0 * result.sd / _QUART_A_POUND, 2)
        sentence = f"{_thickness(given, result.value)}, give or take {doubt}, both measured cold."
    return Reply(sentence, (Labelled("held by the grain", result),))


def _water_plan(given: Given) -> Reply:
    seconds = given.exact("time of the boil")
    day = water_use.water_plan(
        given.measured("volume for the fermenter"),
        given.measured_or("gravity", TYPICAL_SG, "SG"),
        grain_kg=given.measured("grain"),
        mash_water_l=mash_water_l(given, "volume of mash water"),
        boil_minutes=Measured(seconds / 60.0, 0.0),
        rig=_rig(given, boil_off=given.measured("boil-off")),
    )
    sentence = (
        f"{given.volume(day.total_l.value)} in all, {given.volume(day.sparge_l.value)} of it to sparge; "
        f"{given.volume(day.pre_boil_hot_l.value)} hot in the kettle before the boil{_held(given)}."
    )
    results = (
        Labelled("water in all", day.total_l),
        Labelled("sparge water", day.sparge_l),
        Labelled("first wort", day.first_wort_l),
        Labelled("before the boil, cold", day.pre_boil_l),
        Labelled("before the boil, hot", day.pre_boil_hot_l),
        Labelled("gravity before the boil", day.pre_boil_sg),
        Labelled("after the boil, cold", day.post_boil_l),
        Labelled("after the boil, hot", day.post_boil_hot_l),
    )
    return Reply(sentence, results)


MASH: Final[dict[str, Method]] = {
    "strike": Method(_strike, strike_c),
    "infusion": Method(_infusion, mash_steps.infusion_l),
    "mash out": Method(_mash_out, mash_steps.mash_out_l),
    "decoction": Method(_decoction, mash_steps.decoction_l),
    "direct heat": Method(_direct_heat, direct_heat_minutes),
    "heating": Method(_heating, heat_up_minutes),
    "tun volume": Method(_tun_volume, mash_steps.mash_volume_l),
    "first wort volume": Method(_first_wort_volume, water_use.first_wort_l),
    "sparge": Method(_sparge, water_use.sparge_l),
    "absorption": Method(_absorption, water_use.held_l_per_kg_from),
    "water plan": Method(_water_plan, water_use.water_plan),
}
