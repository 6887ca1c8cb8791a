"""Answers to questions of the cold side: yeast, oxygen, alcohol, gas, bottles, kegs, cleaning."""

from __future__ import annotations

from typing import Final

from assistant.calculation import dilution, pasteurisation, priming, scales
from assistant.calculation.carbonation import keg_pressure, keg_volumes, residual
from assistant.calculation.fermentation import alcohol_by_volume, attenuation, energy
from assistant.calculation.fermenting_refractometer import gravity_from_reading
from assistant.calculation.oxygen import Gas, oxygen_wanted_mg_per_l, saturation_mg_per_l
from assistant.calculation.priming import Sugar
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.calculation.yeast import Ferment, cells_needed_e9, dry_yeast_g
from assistant.day.plan import Refractometer
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure
from assistant.quantities import Measured, Unit

_SUGAR_WORDS: Final = {
    Sugar.SUCROSE: "table sugar",
    Sugar.GLUCOSE: "dry glucose",
    Sugar.GLUCOSE_MONOHYDRATE: "corn sugar",
    Sugar.DRY_MALT_EXTRACT: "dry malt extract",
    Sugar.HONEY: "honey",
}
_BOTTLES: Final = "Only for beer that is finished: an over-primed bottle bursts."
_KEG: Final = "Never above what is stamped on the keg; leaking carbon dioxide smothers, so air the room."
_GLASS_L: Final = Measured(0.33, 0.0)


def _gravities(given: Given) -> tuple[Measured, Measured]:
    return given.measured("original gravity"), given.measured("final gravity")


def _yeast(given: Given) -> Reply:
    ferment = Ferment(given.choice("kind of beer"))
    cells = cells_needed_e9(given.measured("volume of wort"), given.measured("gravity of the wort"), ferment)
    dry = dry_yeast_g(Measured(cells.value, cells.sd))
    sentence = (
        f"{figure(cells.value, 0)} billion cells for {'an' if ferment is Ferment.ALE else 'a'} {ferment}, "
        f"about {given.small_mass(dry.value / 1000.0, Unit.GRAM)} of dry yeast; a rule, the packet goes before."
    )
    return Reply(sentence, (Labelled("cells", cells), Labelled("dry yeast", dry)))


def _oxygen(given: Given) -> Reply:
    gas, sg = Gas(given.choice("gas")), given.measured("gravity of the wort")
    most = saturation_mg_per_l(given.measured("temperature of the wort"), given.air_pa, sg, gas)
    wanted = oxygen_wanted_mg_per_l(sg)
    sentence = (
        f"{figure(most.value, 1)} milligrams per litre at most under {gas}, give or take "
        f"{figure(2.0 * most.sd, 1)}; {figure(wanted.value, 0)} is said to be wanted."
    )
    caution = "Pure oxygen feeds any fire: no flame near it." if gas is Gas.OXYGEN else ""
    return Reply(sentence, (Labelled("most oxygen", most), Labelled("oxygen wanted", wanted)), caution)


def _alcohol(given: Given) -> Reply:
    beer = alcohol_by_volume(*_gravities(given))
    sentence = (
        f"{figure(beer.balling.value, 1)} per cent by volume, give or take {figure(2.0 * beer.balling.sd, 1)}; "
        f"the short rule says {figure(beer.short_rule.value, 1)}."
    )
    return Reply(
        sentence, (Labelled("alcohol", beer.balling), Labelled("alcohol by the short rule", beer.short_rule))
    )


def _attenuation(given: Given) -> Reply:
    beer = attenuation(*_gravities(given))
    sentence = f"{figure(beer.apparent.value, 0)} per cent apparent, {figure(beer.real.value, 0)} per cent real."
    return Reply(
        sentence, (Labelled("apparent attenuation", beer.apparent), Labelled("real attenuation", beer.real))
    )


def _calories(given: Given) -> Reply:
    glass_l = given.measured_or("volume of a glass", _GLASS_L, "L").value
    result = energy(*_gravities(given), glass_l)
    sentence = f"{figure(result.value, 0)} kilocalories in {given.volume(glass_l)}."
    return Reply(sentence, (Labelled("energy", result),))


def _refractometer(given: Given) -> Reply:
    tool = given.plan.rig.refractometer or Refractometer()
    original = propagate(scales.plato_from_sg, given.measured("original gravity"))
    reading = Measured(scales.sg_to(given.exact("reading now"), Unit.BRIX), tool.sd_brix)
    beer = gravity_from_reading(original, reading, Measured(tool.wort_factor, 0.01))
    sentence = (
        f"{given.gravity(beer.model.value)}, give or take {given.gravity_span(beer.model.sd)}, "
        f"with a wort factor of {figure(tool.wort_factor, 2)}; a hydrometer settles it."
    )
    published = tuple(Labelled(f"by {item.source}", item) for item in beer.published)
    return Reply(sentence, (Labelled("gravity", beer.model), *published))


def _left(given: Given) -> Result:
    return residual(given.measured("highest temperature since it fermented"), given.air_pa)


def _priming(given: Given) -> Reply:
    sugar, wanted = Sugar(given.choice("sugar")), given.exact("carbonation wanted")
    left = _left(given)
    result = priming.priming_sugar(given.measured("volume of beer"), Measured(left.value, left.sd), wanted, sugar)
    small = given.plan.units.small_mass
    # A share of the sugar is uncertain, so is that share of the gas that it makes.
    added = (wanted - left.value) * result.sd / result.value if result.value else left.sd
    bottle = priming.bottle_caution(Measured(wanted, added))
    sentence = (
        f"{given.small_mass(result.value, small)} of {_SUGAR_WORDS[sugar]}, give or take "
        f"{given.small_mass(2.0 * result.sd, small)}; {figure(left.value, 2)} volumes are in the beer already."
    )
    results = (Labelled(_SUGAR_WORDS[sugar], result), Labelled("gas in the beer already", left))
    return Reply(sentence, results, f"{_BOTTLES} {bottle.reason}")


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


def _bottle_risk(given: Given) -> Reply:
    names = ("carbonation now", "original gravity", "gravity now", "gravity it drops to")
    risk = priming.if_it_drops(*(given.measured(name) for name in names))
    sentence = f"{figure(risk.volumes.value, 1)} volumes in the bottle then."
    return Reply(sentence, (Labelled("carbonation then", risk.volumes),), risk.bottle.reason)


def _pasteurisation(given: Given) -> Reply:
    seconds = given.measured("time")
    result = pasteurisation.units(Measured(seconds.value / 60.0, seconds.sd / 60.0), given.measured("temperature"))
    sentence = f"{figure(result.value, 0)} pasteurisation units, give or take {figure(2.0 * result.sd, 0)}."
    caution = "Hot bottles under pressure burst: shield them, and let them cool."
    return Reply(sentence, (Labelled("pasteurisation", result),), caution)


def _sanitiser(given: Given) -> Reply:
    parts = given.exact("parts of water")
    result = dilution.dose_by_ratio(given.measured("volume of solution"), parts)
    sentence = f"{given.volume(result.value)} of concentrate, filled up with water."
    return Reply(sentence, (Labelled("concentrate", result),), result.note)


def _cleaner(given: Given) -> Reply:
    result = dilution.dose_by_mass(given.measured("volume of solution"), given.exact("strength"))
    sentence = f"{given.small_mass(result.value, given.plan.units.small_mass)} of powder, into the water."
    return Reply(
        sentence, (Labelled("powder", result),), f"{result.note} Caustic and acid go into water, never the reverse."
    )


CELLAR: Final[dict[str, Method]] = {
    "yeast": Method(_yeast, cells_needed_e9),
    "oxygen": Method(_oxygen, saturation_mg_per_l),
    "alcohol": Method(_alcohol, alcohol_by_volume),
    "attenuation": Method(_attenuation, attenuation),
    "calories": Method(_calories, energy),
    "refractometer": Method(_refractometer, gravity_from_reading),
    "priming": Method(_priming, priming.priming_sugar),
    "gas left": Method(_gas_left, residual),
    "keg pressure": Method(_keg_pressure, keg_pressure),
    "keg gas": Method(_keg_gas, keg_volumes),
    "bottle risk": Method(_bottle_risk, priming.if_it_drops),
    "pasteurisation": Method(_pasteurisation, pasteurisation.units),
    "sanitiser": Method(_sanitiser, dilution.dose_by_ratio),
    "cleaner": Method(_cleaner, dilution.dose_by_mass),
}
