"""Answers to questions of the hot side: mash, heat, boil, gravities, hops, water."""

from __future__ import annotations

from typing import Final

from assistant.calculation import corrections, mixing, pressure, scales, volumes, water_chemistry
from assistant.calculation.chill_ice import ice_to_cool_kg
from assistant.calculation.extract import wort_kg
from assistant.calculation.grain_bill import Fermentable, expected_sg
from assistant.calculation.heat import heat_up_minutes, specific_heat_j_per_kg_k
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort, rager_ibu, tinseth_ibu
from assistant.calculation.instruments import boiling_water_c
from assistant.calculation.mash import strike_c, water_l_to_kg
from assistant.calculation.mash_steps import Mash, infusion_l
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.calculation.water_chemistry import Ion, Salt
from assistant.phrasing import numbers
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure
from assistant.quantities import Measured

_SCALD: Final = "Mind the scald: hot water and steam."
_ROOM: Final = Measured(20.0, 2.0)  # malt that stands in a room; a judgement
_WATER: Final = Measured(1.0, 0.0)
_TYPICAL_SG: Final = Measured(1.045, 0.015)
_EXTRACT: Final = Measured(0.80, 0.02)  # of dry pale malt; common practice, no source


def _strike(given: Given) -> Reply:
    grain_c = given.measured_or("temperature of the grain", _ROOM, "°C")
    result = strike_c(
        given.measured("grain"),
        given.measured("volume of water"),
        given.exact("temperature of the mash"),
        grain_c,
        boiling_c=given.boiling_c.value,
    )
    grain = "" if given.has("temperature of the grain") else f" Grain taken at {given.temperature(grain_c.value)}."
    sentence = (
        f"{given.temperature(result.value)} for the strike water, give or take {given.span(result.sd)}, "
        f"in a tun that is warm already.{grain}"
    )
    return Reply(sentence, (Labelled("strike temperature", result),), _SCALD)


def _infusion(given: Given) -> Reply:
    water_l, name = given.measured("volume of water"), "temperature of the infusion"
    kilograms = propagate(water_l_to_kg, water_l)
    infusion_c = given.measured(name) if given.has(name) else given.boiling_c
    mash = Mash(given.measured("grain"), kilograms, given.measured("temperature of the mash now"))
    result = infusion_l(mash, given.exact("temperature of the next rest"), infusion_c)
    sentence = f"{given.volume(result.value)} of water at {given.temperature(infusion_c.value)}, measured cold."
    return Reply(sentence, (Labelled("infusion", result),), _SCALD)


def _heating(given: Given) -> Reply:
    gravity = given.measured_or("gravity", _WATER, "SG")
    result = heat_up_minutes(
        given.measured("volume"),
        gravity,
        given.measured("temperature now"),
        given.measured("temperature wanted"),
        given.measured("net power"),
    )
    sentence = (
        f"{given.minutes(result.value)}, give or take {given.minutes(2.0 * result.sd)}, "
        f"if all of that power reaches the kettle."
    )
    return Reply(sentence, (Labelled("time", result),), "Stay with the flame.")


def _boiling_point(given: Given) -> Reply:
    result = boiling_water_c(altitude_m=given.measured("altitude"))
    sentence = f"{given.temperature(result.value)}, give or take {given.span(result.sd)} with the weather."
    return Reply(sentence, (Labelled("boiling point", result),))


def _altitude(given: Given) -> Reply:
    weather = Measured(0.0, 0.4)  # K, what weather moves the boiling point by, as in `boiling_water_c`
    found = propagate(
        lambda celsius, error: pressure.altitude_from_boiling_point_m(celsius + error),
        given.measured("boiling point"),
        weather,
    )
    result = Result(found.value, found.sd, "m", "atmosphere", note="An altitude in effect, not the one on the map.")
    sentence = f"{figure(round(result.value, -1), 0)} metres, give or take {figure(round(2.0 * result.sd, -1), 0)}."
    return Reply(sentence, (Labelled("altitude", result),))


def _plato(given: Given) -> Reply:
    sg = given.measured("gravity")
    plato = propagate(scales.plato_from_sg, sg)
    results = (
        Labelled("extract", Result(plato.value, plato.sd, "°P", "sucrose density")),
        Labelled("specific gravity", Result(sg.value, sg.sd, "SG", "sucrose density")),
    )
    return Reply(f"{figure(plato.value, 2)} plato is {numbers.gravity_words(sg.value)}.", results)


def _extract(given: Given) -> Reply:
    addition = corrections.Addition(given.choice("addition"))
    done = corrections.add_solids(
        given.measured("volume of wort"), given.measured("gravity now"), given.exact("gravity wanted"), addition
    )
    sentence = f"{given.mass(done.solids_kg.value)} of {addition}; it makes {given.volume(done.volume_l.value)}."
    results = (Labelled(str(addition), done.solids_kg), Labelled("volume after it", done.volume_l))
    return Reply(sentence, results, "Stir it in off the flame: it scorches, and the wort foams.")


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


def _bitterness(given: Given) -> Reply:
    hops = HopAddition(given.measured("hops"), given.measured("alpha acid"), 0.0)
    wort = HoppedWort(given.measured("volume of wort"), given.measured("gravity of the wort"))
    boil_s = given.exact("time in the boil")
    tinseth, rager = tinseth_ibu(hops, boil_s, wort), rager_ibu(hops, boil_s, wort)
    sentence = (
        f"{figure(tinseth.value, 0)} units of bitterness by Tinseth, {figure(rager.value, 0)} by Rager; "
        f"both are rules for sea level."
    )
    return Reply(sentence, (Labelled("bitterness by Tinseth", tinseth), Labelled("bitterness by Rager", rager)))


def _mix_worts(given: Given) -> Reply:
    names = ("first volume", "first gravity", "second volume", "second gravity")
    both = mixing.mix_worts(*(given.measured(name) for name in names))
    sentence = f"{given.gravity(both.gravity.value)}, {given.volume(both.volume.value)}."
    return Reply(sentence, (Labelled("gravity", both.gravity), Labelled("volume", both.volume)))


def _mix_waters(given: Given) -> Reply:
    names = ("first volume", "first temperature", "second volume", "second temperature")
    result = mixing.mix_temperature(*(given.measured(name) for name in names))
    sentence = f"{given.temperature(result.value)}, give or take {given.span(result.sd)}; a cold vessel takes more."
    return Reply(sentence, (Labelled("temperature", result),), _SCALD)


def _salt(given: Given) -> Reply:
    salt = Salt(given.choice("salt"))
    ions = [ion for ion in Ion if water_chemistry.ion_share(salt, ion) > 0.0]
    results = tuple(
        Labelled(
            ion,
            water_chemistry.ion_from_salt(
                salt, ion, given.measured("mass of the salt"), given.measured("volume of water")
            ),
        )
        for ion in ions
    )
    sentence = " and ".join(f"{figure(item.result.value, 0)} of {item.label}" for item in results)
    return Reply(f"{sentence} more, in milligrams per litre.", results)


def _alkalinity(given: Given) -> Reply:
    result = water_chemistry.residual_alkalinity(*(given.measured(ion) for ion in _LEVELS))
    sentence = (
        f"{figure(result.value, 0)} milligrams per litre as chalk, "
        f"{figure(water_chemistry.degrees_german(result.value), 1)} German degrees."
    )
    return Reply(sentence, (Labelled("residual alkalinity", result),))


def _expected_gravity(given: Given) -> Reply:
    potential = given.measured_or("extract of the malt", _EXTRACT, "as a share of dry malt")
    malt = Fermentable(given.measured("grain"), Measured(100.0 * potential.value, 100.0 * potential.sd))
    result = expected_sg((malt,), given.measured("volume of wort"), given.measured("efficiency"))
    assumed = "" if given.has("extract of the malt") else ", with malt of eighty per cent extract"
    sentence = f"{given.gravity(result.value)}, give or take {given.gravity_span(result.sd)}{assumed}."
    return Reply(sentence, (Labelled("gravity", result),))


def _cold_volume(given: Given) -> Reply:
    cold = propagate(
        volumes.volume_at_20c_l,
        given.measured("hot volume"),
        given.measured("temperature"),
        given.measured_or("gravity", _TYPICAL_SG, "SG"),
    )
    result = Result(cold.value, cold.sd, "L", "sucrose density")
    return Reply(f"{given.volume(cold.value)} at {given.temperature(20.0)}.", (Labelled("cold volume", result),))


def _ice(given: Given) -> Reply:
    litres, sg = given.measured("volume of wort"), given.measured_or("gravity of the wort", _TYPICAL_SG, "SG")
    start_c, wanted_c = given.measured("temperature now"), given.exact("temperature wanted")
    share = scales.mass_fraction_from_sg(sg.value)
    specific = specific_heat_j_per_kg_k(max(0.0, share), (start_c.value + wanted_c) / 2.0)
    result = ice_to_cool_kg(propagate(wort_kg, litres, sg), specific, start_c, wanted_c)
    sentence = (
        f"{given.mass(result.value)} of ice around the kettle, if its water stays ice cold; never into the wort."
    )
    return Reply(sentence, (Labelled("ice", result),))


_LEVELS: Final = ("calcium", "magnesium", "bicarbonate")

BREWHOUSE: Final[dict[str, Method]] = {
    "strike": Method(_strike, strike_c),
    "infusion": Method(_infusion, infusion_l),
    "heating": Method(_heating, heat_up_minutes),
    "boiling point": Method(_boiling_point, boiling_water_c),
    "altitude": Method(_altitude, pressure.altitude_from_boiling_point_m),
    "plato": Method(_plato, scales.plato_from_sg),
    "extract": Method(_extract, corrections.add_solids),
    "dilute": Method(_dilute, corrections.dilute),
    "boil": Method(_boil, corrections.boil_longer),
    "bitterness": Method(_bitterness, tinseth_ibu),
    "mix worts": Method(_mix_worts, mixing.mix_worts),
    "mix waters": Method(_mix_waters, mixing.mix_temperature),
    "salt": Method(_salt, water_chemistry.ion_from_salt),
    "expected gravity": Method(_expected_gravity, expected_sg),
    "cold volume": Method(_cold_volume, volumes.volume_at_20c_l),
    "ice": Method(_ice, ice_to_cool_kg),
    "residual alkalinity": Method(_alkalinity, water_chemistry.residual_alkalinity),
}
