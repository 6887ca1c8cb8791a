"""Answers to questions of bottles and kegs: gas, sugar, pressure, heat, colour."""

from __future__ import annotations

from typing import Final

from assistant.calculation import colour, pasteurisation, priming
from assistant.calculation.carbonation import gauge_for_volumes_pa, keg_pressure, keg_volumes, residual
from assistant.calculation.priming import BottleCall, BottleCaution, Sugar
from assistant.calculation.results import Result, Verdict
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure, rough
from assistant.quantities import Measured
from assistant.understanding.inquiry_words import numbered

_SUGAR_WORDS: Final = {
    Sugar.SUCROSE: "table sugar",
    Sugar.GLUCOSE: "dry glucose",
    Sugar.GLUCOSE_MONOHYDRATE: "corn sugar",
    Sugar.DRY_MALT_EXTRACT: "dry malt extract",
    Sugar.HONEY: "honey",
}
_BOTTLE_WORDS: Final = {
    BottleCaution.ORDINARY: "Sound ordinary bottles hold it.",
    BottleCaution.HEAVY_ONLY: "Only heavy bottles made for it hold it.",
    BottleCaution.NO_BOTTLE: "Do not bottle it: glass bursts and cuts.",
}
_FINISHED_ONLY: Final = "Finished beer only: an over-primed bottle bursts."
_KEG: Final = "Never above the stamp on the keg; leaking gas smothers: air the room."
_HOT_GLASS: Final = "Hot bottles burst: shield them, goggles on, cool them slowly."
_WARM_C: Final = 30.0
_SEA_LEVEL_PA: Final = 101_325.0
_PRIMED_SD: Final = 0.15  # volumes; how well priming hits what is wanted, a judgement
_SECONDS: Final = 60.0


def _left(given: Given) -> Result:
    return residual(given.measured("highest temperature since it fermented"), given.air_pa)


def _bottle_result(call: BottleCall) -> Labelled:
    result = Result(call.judged_by_volumes, 0.0, "volumes", "common practice", Verdict.RULE_OF_THUMB, call.reason)
    return Labelled("gas in the bottle, upper end of the band", result)


def _sugar(given: Given, litres: Measured) -> tuple[Result, Result, BottleCall]:
    """The sugar, the gas in the beer already, and what the glass says to what is wanted."""
    left, wanted = _left(given), given.exact("carbonation wanted")
    sugar = priming.priming_sugar(litres, Measured(left.value, left.sd), wanted, Sugar(given.choice("sugar")))
    # A share of the sugar is uncertain, so is that share of the gas that it makes.
    added = (wanted - left.value) * sugar.sd / sugar.value if sugar.value else left.sd
    return sugar, left, priming.bottle_caution(Measured(wanted, added))


def _warned(sentence: str, results: tuple[Labelled, ...], call: BottleCall, usual: str) -> Reply:
    """Where no bottle holds it that comes first, before there is anything to weigh."""
    results = (*results, _bottle_result(call))
    if call.caution is BottleCaution.NO_BOTTLE:
        return Reply(f"{_BOTTLE_WORDS[call.caution]} {sentence[0].upper()}{sentence[1:]}", results, _FINISHED_ONLY)
    return Reply(sentence, results, f"{usual} {_BOTTLE_WORDS[call.caution]}".strip())


def _priming(given: Given) -> Reply:
    name, small = _SUGAR_WORDS[Sugar(given.choice("sugar"))], given.plan.units.small_mass
    sugar, left, call = _sugar(given, given.measured("volume of beer"))
    sentence = (
        f"{given.small_mass(sugar.value, small)} of {name}, give or take {given.small_mass(2.0 * sugar.sd, small)}."
    )
    results = (Labelled(name, sugar), Labelled("gas in the beer already", left))
    return _warned(sentence, results, call, _FINISHED_ONLY)


def _bottle_priming(given: Given) -> Reply:
    name = _SUGAR_WORDS[Sugar(given.choice("sugar"))]
    sugar, left, call = _sugar(given, given.measured("volume of a bottle"))
    # A gram more or less counts in a bottle, so it is weighed in grams by everybody.
    grams = f"{figure(1000.0 * sugar.value, 1)} grams"
    sentence = f"{grams} of {name} in each bottle, give or take {figure(2000.0 * sugar.sd, 1)}."
    results = (Labelled(f"{name} in a bottle", sugar), Labelled("gas in the beer already", left))
    return _warned(sentence, results, call, "Finished beer only, and never twice: that bottle bursts.")


def _krausening(given: Given) -> Reply:
    left, wanted = _left(given), given.exact("carbonation wanted")
    original = given.measured("original gravity of the krausen")
    now = given.measured_or("gravity of the krausen now", original, "SG")
    krausen = priming.krausen_to_add(
        given.measured("volume of beer"),
        Measured(left.value, left.sd),
        wanted,
        original_sg=original,
        krausen_sg=now,
        final_sg=given.measured("final gravity of it"),
    )
    added = (wanted - left.value) * krausen.sd / krausen.value if krausen.value else left.sd
    what = "krausen" if given.has("gravity of the krausen now") else "unfermented wort"
    sentence = (
        f"{given.volume(krausen.value)} of {what}, give or take {given.small_volume(rough(2.0 * krausen.sd))}."
    )
    results = (Labelled("krausen", krausen), Labelled("gas in the beer already", left))
    return _warned(sentence, results, priming.bottle_caution(Measured(wanted, added)), _FINISHED_ONLY)


def _gas_left(given: Given) -> Reply:
    left = _left(given)
    sentence = f"{figure(left.value, 2)} volumes, give or take {figure(2.0 * left.sd, 2)}."
    return Reply(sentence, (Labelled("gas left", left),))


def _keg_pressure(given: Given) -> Reply:
    result = keg_pressure(
        given.measured("carbonation wanted"), given.measured("temperature of the beer"), given.air_pa
    )
    sentence = f"{given.pressure(result.value)} on the gauge, give or take {given.pressure(2.0 * result.sd)}."
    return Reply(sentence, (Labelled("pressure on the gauge", result),), _KEG)


def _keg_gas(given: Given) -> Reply:
    result = keg_volumes(
        given.measured("pressure on the gauge"), given.measured("temperature of the beer"), given.air_pa
    )
    sentence = f"{figure(result.value, 1)} volumes after some days, give or take {figure(2.0 * result.sd, 1)}."
    return Reply(sentence, (Labelled("carbonation", result),), _KEG)


def _bottle_limit(given: Given) -> Reply:
    wanted = given.exact("carbonation wanted")
    call = priming.bottle_caution(Measured(wanted, _PRIMED_SD))
    results = (_bottle_result(call),)
    if call.caution is BottleCaution.NO_BOTTLE:
        return Reply(f"No bottle for {figure(wanted, 1)} volumes: glass bursts and cuts; keg it.", results)
    warm_pa = gauge_for_volumes_pa(call.judged_by_volumes, _WARM_C, _SEA_LEVEL_PA)
    warm = Labelled("pressure in the warm", Result(max(0.0, warm_pa), 0.05 * max(0.0, warm_pa), "Pa", "keg table"))
    sentence = (
        f"{_BOTTLE_WORDS[call.caution][:-1]}: up to {given.pressure(rough(max(0.0, warm_pa)))} when it warms to "
        f"{given.temperature(_WARM_C)}."
    )
    return Reply(sentence, (*results, warm), "Chipped, scratched or old ones fail at less.")


def _bottle_risk(given: Given) -> Reply:
    names = ("carbonation now", "original gravity", "gravity now", "gravity it drops to")
    risk = priming.if_it_drops(*(given.measured(name) for name in names))
    then = risk.volumes
    sentence = f"{figure(then.value, 1)} volumes then, give or take {figure(2.0 * then.sd, 1)}."
    results = (Labelled("carbonation then", risk.volumes), _bottle_result(risk.bottle))
    caution = _BOTTLE_WORDS[risk.bottle.caution]
    if risk.bottle.caution is BottleCaution.NO_BOTTLE:
        caution += " Bottled already: goggles and gloves on, chill them, open them."
    return Reply(sentence, results, caution)


def _pasteurisation(given: Given) -> Reply:
    seconds = given.measured("time")
    minutes = Measured(seconds.value / _SECONDS, seconds.sd / _SECONDS)
    result = pasteurisation.units(minutes, given.measured("temperature"))
    sentence = f"{figure(result.value, 0)} pasteurisation units, give or take {figure(2.0 * result.sd, 0)}."
    return Reply(sentence, (Labelled("pasteurisation", result),), _HOT_GLASS)


def _pasteurisation_time(given: Given) -> Reply:
    result = pasteurisation.minutes_for_units(given.exact("pasteurisation units"), given.measured("temperature"))
    sentence = (
        f"{figure(result.value, 1)} minutes at the coldest place in the bottle, give or take "
        f"{figure(2.0 * result.sd, 1)}."
    )
    return Reply(sentence, (Labelled("time", result),), _HOT_GLASS)


def _warming_and_cooling(given: Given) -> Reply:
    points, group = [], 1
    while given.has(numbered("temperature", group)):
        minute = given.exact(numbered("minute of it", group))
        points.append((minute * _SECONDS, given.measured(numbered("temperature", group))))
        group += 1
    points.sort(key=lambda point: point[0])
    times, temperatures = [at for at, _ in points], [celsius.value for _, celsius in points]
    result = pasteurisation.units_of_history(times, temperatures, points[0][1].sd)
    sentence = f"{figure(result.value, 0)} pasteurisation units in all, give or take {figure(2.0 * result.sd, 0)}."
    return Reply(sentence, (Labelled("pasteurisation", result),), _HOT_GLASS)


def _colour_scale(given: Given) -> Reply:
    srm = given.measured("colour")
    ebc = colour.ebc_from_srm(srm.value)
    share = srm.sd / srm.value if srm.value else 0.0
    lovibond = colour.lovibond_from_ebc(ebc)
    values = {"SRM": srm.value, "EBC": ebc, "°L": lovibond}
    results = tuple(
        Labelled(
            {"°L": "as a malt"}.get(unit, f"colour in {unit}"), Result(value, share * value, unit, "colour scales")
        )
        for unit, value in values.items()
    )
    sentence = f"{figure(srm.value, 1)} SRM is {figure(ebc, 1)} EBC; as a malt, {figure(lovibond, 1)} lovibond."
    return Reply(sentence, results)


CELLAR: Final[dict[str, Method]] = {
    "priming": Method(_priming, priming.priming_sugar),
    "bottle priming": Method(_bottle_priming, priming.priming_sugar),
    "krausening": Method(_krausening, priming.krausen_to_add),
    "gas left": Method(_gas_left, residual),
    "keg pressure": Method(_keg_pressure, keg_pressure),
    "keg gas": Method(_keg_gas, keg_volumes),
    "bottle limit": Method(_bottle_limit, priming.bottle_caution),
    "bottle risk": Method(_bottle_risk, priming.if_it_drops),
    "pasteurisation": Method(_pasteurisation, pasteurisation.units),
    "pasteurisation time": Method(_pasteurisation_time, pasteurisation.minutes_for_units),
    "warming and cooling": Method(_warming_and_cooling, pasteurisation.units_of_history),
    "colour scale": Method(_colour_scale, colour.ebc_from_srm),
}
