"""Answers to questions about the chill."""

from __future__ import annotations

import math
from typing import Final

from assistant.calculation import chill_design, chill_ice, scales
from assistant.calculation.chill_design import CoilChill
from assistant.calculation.extract import wort_kg
from assistant.calculation.heat import specific_heat_j_per_kg_k
from assistant.calculation.limits import require_positive, require_within
from assistant.calculation.uncertainty import propagate
from assistant.phrasing.inquiry_parts import TYPICAL_SG, Given, Labelled, Method, Reply, figure
from assistant.quantities import Measured

# A coil of eight to ten metres of copper in an ordinary kettle; a judgement, no source.
_COIL: Final = Measured(400.0, 120.0)
# Still air and radiation beside a steel kettle; the correlations of `chill_ice` give 5 to 9.
_STILL_AIR_W_PER_M2_K: Final = Measured(6.5, 1.5)
_WALL_AND_LID: Final = 1.25 * math.pi  # of a kettle as tall as it is wide, over its diameter squared
_HOT_WATER: Final = "The water leaves the coil scalding: mind the hose."
_DAY_H: Final = 24.0


def _specific_heat(sg: Measured, celsius: float) -> float:
    share = max(0.0, scales.mass_fraction_from_sg(sg.value))
    return specific_heat_j_per_kg_k(share, min(max(celsius, 0.0), 105.0))


def _wort(given: Given) -> tuple[Measured, Measured]:
    """Mass [kg] and gravity of the wort."""
    sg = given.measured_or("gravity", TYPICAL_SG, "SG")
    return propagate(wort_kg, given.measured("volume of wort"), sg), sg


def _chiller(given: Given) -> Reply:
    kilograms, sg = _wort(given)
    start_c, target_c = given.measured("temperature now"), given.exact("temperature wanted")
    stirred = given.choice("stirring") == "stirred"
    coil = CoilChill(
        kilograms,
        _specific_heat(sg, (start_c.value + target_c) / 2.0),
        given.measured_or("strength of the coil", _COIL, "W/K"),
        given.measured("flow of the tap"),
        given.measured("temperature of the tap"),
        start_c,
        stirred=stirred,
    )
    time = chill_design.time_to_target_s(coil, target_c)
    used = chill_design.water_used_l(coil, target_c)
    usual = "" if given.has("strength of the coil") else ", with a usual coil"
    sentence = (
        f"{given.minutes(time.value / 60.0)}, give or take {given.minutes(2.0 * time.sd / 60.0)}, and "
        f"{given.volume(round(used.value))} of water{usual}, {'stirred' if stirred else 'not stirred'}."
    )
    return Reply(sentence, (Labelled("time", time), Labelled("water used", used)), _HOT_WATER)


def _coil_strength(given: Given) -> Reply:
    kilograms, sg = _wort(given)
    start_c, wanted_c = given.measured("temperature now"), given.measured("temperature wanted")
    tap_c, seconds = given.measured("temperature of the tap"), given.exact("time of the chill")
    require_positive("The time of the chill", seconds, "s")
    require_within("The temperature that was reached", wanted_c.value, tap_c.value + 0.5, start_c.value - 0.5, "°C")

    def tau(hot_c: float, cold_c: float, water_c: float, time_s: float) -> float:
        return time_s / math.log((hot_c - water_c) / (cold_c - water_c))

    tau_s = propagate(tau, start_c, wanted_c, tap_c, Measured(seconds, 15.0))
    specific = _specific_heat(sg, (start_c.value + wanted_c.value) / 2.0)
    result = chill_design.strength_from_tau_w_per_k(tau_s, kilograms, specific, given.measured("flow of the tap"))
    sentence = (
        f"{figure(result.value, 0)} watts per kelvin, give or take {figure(2.0 * result.sd, 0)}. "
        f'Say "coil of {figure(result.value, 0)} watts per kelvin" when you ask for a chill.'
    )
    return Reply(sentence, (Labelled("strength of the coil", result),))


def _overnight(given: Given) -> Reply:
    litres = given.measured("volume of wort")
    kilograms, sg = _wort(given)
    start_c, air_c = given.measured("temperature now"), given.measured("temperature of the air")
    seconds = given.exact("time")

    def tau(mass_kg: float, volume_l: float, transfer: float) -> float:
        diameter_m = (4.0 * volume_l / 1000.0 / math.pi) ** (1.0 / 3.0)
        specific = _specific_heat(sg, (start_c.value + air_c.value) / 2.0)
        return chill_ice.natural_time_constant_s(mass_kg, specific, _WALL_AND_LID * diameter_m**2, transfer)

    tau_s = propagate(tau, kilograms, litres, _STILL_AIR_W_PER_M2_K)
    result = chill_ice.overnight_c(tau_s, start_c, air_c, seconds)
    sentence = f"{given.temperature(result.value)}, give or take {given.span(result.sd)}."
    return Reply(sentence, (Labelled("temperature", result),), result.note)


def _ice(given: Given) -> Reply:
    litres, sg = given.measured("volume of wort"), given.measured_or("gravity of the wort", TYPICAL_SG, "SG")
    start_c, wanted_c = given.measured("temperature now"), given.exact("temperature wanted")
    share = scales.mass_fraction_from_sg(sg.value)
    specific = specific_heat_j_per_kg_k(max(0.0, share), (start_c.value + wanted_c) / 2.0)
    result = chill_ice.ice_to_cool_kg(propagate(wort_kg, litres, sg), specific, start_c, wanted_c)
    sentence = (
        f"{given.mass(result.value)} of ice around the kettle, if its water stays ice cold; never into the wort."
    )
    return Reply(sentence, (Labelled("ice", result),))


CHILL: Final[dict[str, Method]] = {
    "chiller": Method(_chiller, chill_design.time_to_target_s),
    "coil strength": Method(_coil_strength, chill_design.strength_from_tau_w_per_k),
    "ice": Method(_ice, chill_ice.ice_to_cool_kg),
    "overnight": Method(_overnight, chill_ice.overnight_c),
}
