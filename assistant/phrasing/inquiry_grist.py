"""Answers to questions about grain and extract."""

from __future__ import annotations

from typing import Final

from assistant.calculation import corrections, grain_bill, scales
from assistant.calculation.colour import EBC_PER_SRM, ColouredGrain, beer_colour, ebc_from_srm, lovibond_from_ebc
from assistant.calculation.corrections import FRACTION, Addition
from assistant.calculation.extract import extract_kg
from assistant.calculation.grain_bill import Fermentable, Potential
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.phrasing import numbers
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure, mash_water_l, per_cent
from assistant.quantities import Measured, Unit
from assistant.understanding.inquiry_slots import EXTRACT, GRAIN, MALT, POTENTIAL
from assistant.understanding.inquiry_words import numbered

_SAID_SD: Final = 1.0  # per cent points that one lot of malt strays from its maltster's figure; a judgement
_SAID_SD_SHARE: Final = 0.02
_CONVERSION: Final = Measured(0.95, 0.03)  # of a mash that is done; common practice, no source
# Extract in per cent of dry matter, what maltsters print; common practice, no source.
_MALTS: Final[dict[str, Measured]] = {
    "pale": Measured(80.0, 2.0),
    "pilsner": Measured(81.0, 2.0),
    "vienna": Measured(79.0, 2.0),
    "munich": Measured(78.0, 2.0),
    "wheat": Measured(83.0, 2.0),
    "rye": Measured(80.0, 3.0),
    "crystal": Measured(74.0, 3.0),
    "amber": Measured(74.0, 3.0),
    "roast": Measured(68.0, 4.0),
    "oats": Measured(70.0, 4.0),
    "maize": Measured(88.0, 3.0),
}
_DISSOLVED: Final[dict[str, Measured]] = {
    "sugar": FRACTION[Addition.SUCROSE],
    "dextrose": FRACTION[Addition.GLUCOSE],
    "dry extract": FRACTION[Addition.DRY_EXTRACT],
    "liquid extract": FRACTION[Addition.LIQUID_EXTRACT],
    "honey": Measured(0.80, 0.02),  # common practice, no source
}


def _bill(given: Given) -> list[Fermentable]:
    """The grain bill as it was said, with usual extracts where none was."""
    return [_fermentable(given, group) for group in range(1, given.groups(GRAIN.name) + 1)]


def _fermentable(given: Given, group: int) -> Fermentable:
    kilograms = given.measured(numbered(GRAIN.name, group))
    kind = given.choice_or(numbered(MALT.name, group), MALT.default)
    mashed = kind not in _DISSOLVED
    share, potential = numbered(EXTRACT.name, group), numbered(POTENTIAL.name, group)
    if given.has(potential):
        pounds = given.unit(potential) == "points"
        sd = _SAID_SD_SHARE * abs(given.exact(potential))
        unit = Potential.POINTS_LB_GAL if pounds else Potential.POINTS_L_KG
        return Fermentable(kilograms, given.read(potential, sd), unit, mashed=mashed)
    if given.has(share):
        said = given.read(share, _SAID_SD / 100.0)
        return Fermentable(kilograms, _per_cent(said), mashed=mashed)
    if mashed:
        usual = _MALTS[kind]
        given.assumed(share, Measured(usual.value / 100.0, usual.sd / 100.0), "as a share of dry malt")
        return Fermentable(kilograms, usual)
    usual = given.assumed(share, _DISSOLVED[kind], "as a share")
    return Fermentable(kilograms, _per_cent(usual), Potential.PERCENT_AS_IS, mashed=False)


def _per_cent(share: Measured) -> Measured:
    return Measured(100.0 * share.value, 100.0 * share.sd)


def _usual(given: Given) -> str:
    """What is said where the extract of a malt was not."""
    lacking = [
        group
        for group in range(1, given.groups(GRAIN.name) + 1)
        if not given.has(numbered(EXTRACT.name, group)) and not given.has(numbered(POTENTIAL.name, group))
    ]
    if not lacking:
        return ""
    if given.groups(GRAIN.name) == 1 and given.choice_or(MALT.name, MALT.default) == "pale":
        return ", with malt of eighty per cent extract"
    return ", with usual extracts"


def _expected_gravity(given: Given) -> Reply:
    bill = _bill(given)
    share = given.measured("efficiency")
    result = grain_bill.expected_sg(bill, given.measured("volume of wort"), share)
    sentence = (
        f"{given.gravity(result.value)}, give or take {given.gravity_span(result.sd)}, at {per_cent(share.value)} "
        f"efficiency{_usual(given)}."
    )
    return Reply(sentence, (Labelled("gravity", result),))


def _colour(given: Given) -> Reply:
    grains = []
    for group in range(1, given.groups(GRAIN.name) + 1):
        kilograms = given.measured(numbered(GRAIN.name, group))
        srm = given.measured(numbered("colour of the malt", group))
        grains.append(ColouredGrain(kilograms.value, lovibond_from_ebc(ebc_from_srm(srm.value))))
    result = beer_colour(grains, given.measured("volume of wort"))
    ebc = Result(result.value * EBC_PER_SRM, result.sd * EBC_PER_SRM, "EBC", result.source, result.verdict)
    metric = given.plan.units.volume is Unit.LITRE
    first, unit, second, other = (ebc, "EBC", result, "SRM") if metric else (result, "SRM", ebc, "EBC")
    sentence = (
        f"{figure(first.value, 0)} {unit}, give or take {figure(2.0 * first.sd, 0)}; that is "
        f"{figure(second.value, 0)} {other}."
    )
    return Reply(sentence, (Labelled("colour", result), Labelled("colour in EBC", ebc)))


def _first_wort_gravity(given: Given) -> Reply:
    conversion = given.measured_or("conversion", _CONVERSION, "as a share")
    result = grain_bill.first_wort_sg(_bill(given), mash_water_l(given), conversion)
    sentence = (
        f"{given.gravity(result.value)}, give or take {given.gravity_span(result.sd)}, when "
        f"{per_cent(conversion.value)} is converted{_usual(given)}."
    )
    return Reply(sentence, (Labelled("first wort", result),))


def _conversion(given: Given) -> Reply:
    result = grain_bill.conversion_efficiency(
        _bill(given), mash_water_l(given), given.measured("gravity of the first wort")
    )
    return _share(given, "conversion", result, "Stir before you read.")


def _lauter(given: Given) -> Reply:
    result = grain_bill.lauter_efficiency(
        _bill(given),
        given.measured_or("conversion", _CONVERSION, "as a share"),
        given.measured("volume in the kettle"),
        given.measured("gravity in the kettle"),
    )
    said = "" if given.has("conversion") else f"Conversion taken as {per_cent(_CONVERSION.value)}."
    return _share(given, "lauter efficiency", result, said)


def _efficiency(given: Given) -> Reply:
    result = grain_bill.efficiency(
        _bill(given), given.measured("volume of wort"), given.measured("gravity of the wort")
    )
    return _share(given, "efficiency", result, "Volumes cold.")


def _share(given: Given, label: str, result: Result, remark: str) -> Reply:
    sentence = f"{per_cent(result.value)}, give or take {figure(200.0 * result.sd, 0)}{_usual(given)}. {remark}"
    return Reply(sentence.strip(), (Labelled(f"{label} as a share", result),))


def _mass_of_extract(given: Given) -> Reply:
    litres, sg = given.measured("volume of wort"), given.measured("gravity of the wort")
    mass = propagate(extract_kg, litres, sg)
    strength = propagate(lambda gravity: 1000.0 * extract_kg(1.0, gravity), sg)
    points = 1000.0 * (sg.value - 1.0)
    results = (
        Labelled("extract", Result(mass.value, mass.sd, "kg", "sucrose density")),
        Labelled("extract in a litre", Result(strength.value, strength.sd, "g/L", "sucrose density")),
        Labelled("gravity points", Result(points, 1000.0 * sg.sd, "points", "sucrose density")),
    )
    each = f"{figure(strength.value, 0)} grams a litre"
    if given.plan.units.volume is Unit.US_GALLON:
        each = f"{figure(points, 0)} points in each gallon"
    return Reply(f"{given.mass(mass.value)} of extract, {each}.", results)


def _plato(given: Given) -> Reply:
    sg = given.measured("gravity")
    plato = propagate(scales.plato_from_sg, sg)
    results = [
        Labelled("extract", Result(plato.value, plato.sd, "°P", "sucrose density")),
        Labelled("specific gravity", Result(sg.value, sg.sd, "SG", "sucrose density")),
        Labelled("gravity points", Result(1000.0 * (sg.value - 1.0), 1000.0 * sg.sd, "points", "sucrose density")),
    ]
    if 1.0 <= sg.value <= scales.HIGHEST_ASBC_SG:
        cubic = propagate(scales.plato_from_sg_asbc, sg)
        results.append(Labelled("by the trade's cubic", Result(cubic.value, cubic.sd, "°P", "asbc")))
    sentence = (
        f"{figure(plato.value, 2)} plato, and as much brix, is {numbers.gravity_words(sg.value)}: "
        f"{figure(1000.0 * (sg.value - 1.0), 1)} points."
    )
    return Reply(sentence, tuple(results))


def _extract(given: Given) -> Reply:
    addition = corrections.Addition(given.choice("addition"))
    done = corrections.add_solids(
        given.measured("volume of wort"), given.measured("gravity now"), given.exact("gravity wanted"), addition
    )
    sentence = f"{given.mass(done.solids_kg.value)} of {addition}; it makes {given.volume(done.volume_l.value)}."
    results = (Labelled(str(addition), done.solids_kg), Labelled("volume after it", done.volume_l))
    return Reply(sentence, results, "Stir it in off the flame: it scorches, and the wort foams.")


GRIST: Final[dict[str, Method]] = {
    "expected gravity": Method(_expected_gravity, grain_bill.expected_sg),
    "colour": Method(_colour, beer_colour),
    "first wort gravity": Method(_first_wort_gravity, grain_bill.first_wort_sg),
    "conversion": Method(_conversion, grain_bill.conversion_efficiency),
    "lauter efficiency": Method(_lauter, grain_bill.lauter_efficiency),
    "efficiency": Method(_efficiency, grain_bill.efficiency),
    "mass of extract": Method(_mass_of_extract, extract_kg),
    "plato": Method(_plato, scales.plato_from_sg),
    "extract": Method(_extract, corrections.add_solids),
}
