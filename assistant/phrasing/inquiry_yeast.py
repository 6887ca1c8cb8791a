"""Answers to questions of pitching: cells, what they come in, their age, starters, oxygen."""

from __future__ import annotations

from typing import Final

from assistant.calculation.oxygen import (
    Gas,
    aeration_time_s,
    oxygen_wanted_mg_per_l,
    saturation_mg_per_l,
)
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.calculation.yeast import (
    STARTER_G_PER_L,
    Ferment,
    cells_needed_e9,
    dry_yeast_g,
    liquid_packs,
    slurry_ml,
    starter_extract_g,
    viability,
)
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure, rough
from assistant.quantities import Measured, Unit

_DAY_S: Final = 86_400.0
_FRESH: Final = Measured(0.0, 1.0)  # days; what is not told is taken as fresh, and said so
_PACK: Final = Measured(100.0, 10.0)  # 10⁹ cells; common practice, no source
_ONE_PACK: Final = Measured(1.0, 0.0)
_FLAME: Final = "Pure oxygen feeds any fire: no flame near it."


def _measured(result: Result) -> Measured:
    return Measured(result.value, result.sd)


def _cells(given: Given) -> Result:
    ferment = Ferment(given.choice("kind of beer"))
    return cells_needed_e9(given.measured("volume of wort"), given.measured("gravity of the wort"), ferment)


def _living(given: Given) -> Result:
    name = "age of the yeast"
    if not given.has(name):
        return viability(given.assumed(name, _FRESH, "days"))
    seconds = given.measured(name)
    # Nobody knows the age of a yeast to less than a day.
    return viability(Measured(seconds.value / _DAY_S, max(1.0, seconds.sd / _DAY_S)))


def _share(living: Result) -> str:
    return f"{figure(100.0 * living.value, 0)} per cent alive"


def _yeast(given: Given) -> Reply:
    cells = _cells(given)
    dry = dry_yeast_g(_measured(cells))
    kind = "an ale" if given.choice("kind of beer") == Ferment.ALE else "a lager"
    sentence = (
        f"{figure(rough(cells.value), 0)} billion cells for {kind}, or "
        f"{given.small_mass(dry.value / 1000.0, Unit.GRAM)} of dry yeast, give or take "
        f"{figure(2.0 * dry.sd, 0)}. A rule; the packet goes before."
    )
    return Reply(sentence, (Labelled("cells", cells), Labelled("dry yeast", dry)))


def _liquid_yeast(given: Given) -> Reply:
    cells, living = _cells(given), _living(given)
    per_pack = given.measured_or("cells of a fresh pack", _PACK, "10⁹ cells")
    packs = liquid_packs(_measured(cells), _measured(living), per_pack)
    sentence = (
        f"{figure(packs.value, 1)} packs of {figure(per_pack.value, 0)} billion, give or take "
        f"{figure(2.0 * packs.sd, 1)}, with {_share(living)}. A rule; a starter saves packs."
    )
    return Reply(sentence, _with_yeast("packs", packs, cells, living))


def _slurry(given: Given) -> Reply:
    cells, living = _cells(given), _living(given)
    slurry = slurry_ml(_measured(cells), _measured(living))
    sentence = (
        f"{given.small_volume(rough(slurry.value / 1000.0))} of settled slurry, give or take "
        f"{given.small_volume(rough(2.0 * slurry.sd / 1000.0))}, "
        f"with {_share(living)}. A rule; keep all that touches it sanitised."
    )
    return Reply(sentence, _with_yeast("slurry", slurry, cells, living))


def _with_yeast(label: str, amount: Result, cells: Result, living: Result) -> tuple[Labelled, ...]:
    return (Labelled(label, amount), Labelled("cells wanted", cells), Labelled("share alive", living))


def _viability(given: Given) -> Reply:
    living = _living(given)
    sentence = (
        f"{_share(living)}, give or take {figure(200.0 * living.sd, 0)}. A rule for liquid yeast kept cold; only a "
        f"count tells."
    )
    return Reply(sentence, (Labelled("share alive", living),))


def _starter(given: Given) -> Reply:
    cells, living = _cells(given), _living(given)
    packs = given.measured_or("number of packs", _ONE_PACK, "")
    per_pack = given.measured_or("cells of a fresh pack", _PACK, "10⁹ cells")
    start = propagate(lambda count, fresh, alive: count * fresh * alive, packs, per_pack, _measured(living))
    extract = starter_extract_g(start, _measured(cells))
    results = (
        Labelled("dry malt extract", extract),
        Labelled("cells wanted", cells),
        Labelled("share alive", living),
    )
    if not extract.value:
        return Reply(f"No starter: {figure(start.value, 0)} billion cells are enough. A rule.", results)
    small = given.plan.units.small_mass
    sentence = (
        f"{given.small_mass(extract.value / 1000.0, small)} of dry extract in "
        f"{given.small_volume(rough(extract.value / STARTER_G_PER_L))}, stirred, give or take "
        f"{given.small_mass(2.0 * extract.sd / 1000.0, small)}. A rule."
    )
    return Reply(sentence, results, "It boils over and scalds; cool it before the yeast.")


def _saturation(given: Given) -> Result:
    return saturation_mg_per_l(
        given.measured("temperature of the wort"),
        given.air_pa,
        given.measured("gravity of the wort"),
        Gas(given.choice("gas")),
    )


def _oxygen(given: Given) -> Reply:
    most = _saturation(given)
    wanted = oxygen_wanted_mg_per_l(given.measured("gravity of the wort"))
    sentence = (
        f"{figure(most.value, 1)} milligrams per litre at most under {given.choice('gas')}, give or take "
        f"{figure(2.0 * most.sd, 1)}; {figure(wanted.value, 0)} is said to be wanted."
    )
    return Reply(
        sentence, (Labelled("most oxygen", most), Labelled("oxygen wanted", wanted)), _flame(given.choice("gas"))
    )


def _aeration_time(given: Given) -> Reply:
    gas, most = Gas(given.choice("gas")), _saturation(given)
    name = "oxygen wanted"
    if given.has(name):
        wanted = given.exact(name)
    else:
        rule = oxygen_wanted_mg_per_l(given.measured("gravity of the wort"))
        wanted = given.assumed(name, _measured(rule), "mg/L").value
    time = aeration_time_s(wanted, most, gas)
    how = time.note.partition(",")[0].lower()
    sentence = (
        f"{figure(time.value / 60.0, 1)} minutes of {how}, "
        f"give or take {figure(2.0 * time.sd / 60.0, 1)}. A rule; only a meter tells."
    )
    return Reply(sentence, (Labelled("time", time), Labelled("most oxygen", most)), _flame(gas))


def _flame(gas: str) -> str:
    return _FLAME if gas == Gas.OXYGEN else ""


YEAST: Final[dict[str, Method]] = {
    "yeast": Method(_yeast, cells_needed_e9),
    "liquid yeast": Method(_liquid_yeast, liquid_packs),
    "slurry": Method(_slurry, slurry_ml),
    "viability": Method(_viability, viability),
    "starter": Method(_starter, starter_extract_g),
    "oxygen": Method(_oxygen, saturation_mg_per_l),
    "aeration time": Method(_aeration_time, aeration_time_s),
}
