"""An offer of ways out of a miss in one breath: the best with how sure, one other, and leaving it.

All of it comes from the fact in the journal. The rest is on the screen and behind "what else".
"""

from __future__ import annotations

import math
import re
from typing import Final

from assistant.day import facts as f
from assistant.day.plan import Plan
from assistant.day.state import State
from assistant.day.ways import WayKind
from assistant.phrasing import numbers, units
from assistant.quantities import Unit, from_core

# Nine seconds at 2.6 words a second, the slowest of our voices.
MOST_WORDS: Final = 23
_BAND_SD: Final = 2.0


def offer(given: f.AdviceGiven, plan: Plan, said: str = "") -> str:
    """What to do, best first, in the words that `said` leaves of a breath."""
    places = _others(given)
    basis = "By the plan's volume: " if given.assumed else ""
    if given.kinds[0] == WayKind.LEAVE:
        leads = _leave(given, plan)
        others = [f"; or {_what(given, place, plan)}" for place in places[:1]]
        return _fitting([f"{lead}{other}" for lead in leads for other in (*others, "")], basis, said)
    best = _what(given, places[0], plan)
    sure, price = _band(given, places[0], plan), _price(given, places[0], plan)
    other = f"; or {_what(given, places[1], plan)}" if len(places) > 1 else ""
    sayings = (
        f"{best}{sure}{price}{other}; or leave it",
        f"{best}{sure}{other}; or leave it",
        f"{best}{sure}{price}; or leave it",
        f"{best}{sure}; or leave it",
        f"{best}{other}; or leave it",
        f"{best}; or leave it",
        best,
    )
    return _fitting(list(sayings), basis, said)


def what_else(state: State, plan: Plan) -> str:
    """The ways that the offer had no breath for, and what cannot be done."""
    given = state.advice
    if given is None:
        return "Nothing is on offer now. Say a gravity and a volume."
    others = [_what(given, place, plan) for place in _others(given)[1:]]
    refused = [f"Not {kind}: {why}" for kind, _, why in given.not_possible]
    more, all_refused = "; or ".join(others), ". ".join(refused)
    sayings = [". ".join(filter(None, (more, tail))) for tail in (all_refused, *refused[:1], "")]
    sayings += [others[0]] if others else []
    if not any(sayings):
        return "Nothing else: that, or leave it. The figures are on the screen."
    return _fitting([saying for saying in sayings if saying], "", "")


def why_this(given: f.AdviceGiven, plan: Plan) -> str:
    """Where leaving it ends, and how likely the first ways are to end on target."""
    leave = given.kinds.index(WayKind.LEAVE)
    end = units.gravity(given.results_sg[leave], plan)
    give = units.give_or_take(given.results_sd_sg[leave], plan)
    places = sorted({*_others(given)[:2], leave})
    chances = ", ".join(f"{given.kinds[place]} {_in_ten(given.chances[place])}" for place in places)
    return f"Left, you end at {end}, give or take {give}. On target of ten such days: {chances}."


def count_words(text: str) -> int:
    """How many words a sentence has when it is spoken; "ten forty-four" are three."""
    return len([word for word in re.split(r"[\s-]+", text) if word])


def _others(given: f.AdviceGiven) -> list[int]:
    return [place for place, kind in enumerate(given.kinds) if kind != WayKind.LEAVE]


def _fitting(sayings: list[str], basis: str, said: str) -> str:
    """The first saying that fits in the breath, or the last."""
    room = MOST_WORDS - count_words(said) - count_words(basis)
    text = next((saying for saying in sayings if count_words(saying) <= room), sayings[-1])
    text = f"{basis}{text}."
    return text[0].upper() + text[1:]


def _what(given: f.AdviceGiven, place: int, plan: Plan) -> str:
    """What a way asks for, its number first: "eighteen minutes longer"."""
    if not given.minutes:
        asked = f.AdviceChosen(given.kinds[place], given.sizes[place]).in_full()
        minutes, extract_kg, sugar_kg, water_l = asked.minutes, asked.extract_kg, asked.sugar_kg, asked.water_l
    else:
        minutes, extract_kg = given.minutes[place], given.extract_kg[place]
        sugar_kg, water_l = given.sugar_kg[place], given.water_l[place]
    together = given.kinds[place] == WayKind.BOTH
    of = "" if together else " of"
    parts = []
    if extract_kg:
        parts.append(f"{units.mass(extract_kg, plan)}{of} extract")
    if sugar_kg:
        parts.append(f"{units.mass(sugar_kg, plan)}{of} white sugar")
    if water_l:
        parts.append(f"{units.volume(water_l, plan)}{of} water{'' if together else ' after the boil'}")
    if minutes:
        span = numbers.span_words(abs(minutes) * 60.0)
        parts.append(f"{span} longer" if minutes > 0.0 else f"boil {span} shorter")
    return f"{'both: ' if together else ''}{', '.join(parts)}"


def _band(given: f.AdviceGiven, place: int, plan: Plan) -> str:
    """How sure the size of a way of one act is; two acts would take a breath of their own."""
    if not given.sizes_sd or given.kinds[place] == WayKind.BOTH:
        return ""
    size, band = given.sizes[place], _BAND_SD * given.sizes_sd[place]
    match given.kinds[place]:
        case WayKind.LONGER | WayKind.SHORTER:
            said = numbers.cardinal(max(1, round(band)))
        case WayKind.EXTRACT | WayKind.SUGAR:
            said = _mass_band(size, band, plan)
        case _:
            said = numbers.decimal_words(max(0.1, round(from_core(band, plan.units.volume), 1)), 1)
    return f", give or take {said}"


def _mass_band(mass_kg: float, band_kg: float, plan: Plan) -> str:
    """In the unit in which the mass itself is said, without its name; grams to one figure."""
    large = from_core(mass_kg, plan.units.large_mass) >= 1.0
    unit = plan.units.large_mass if large else plan.units.small_mass
    value = from_core(band_kg, unit)
    if unit is not Unit.GRAM:
        return numbers.decimal_words(max(0.1, round(value, 1)), 1)
    step = 10 ** math.floor(math.log10(max(10.0, value)))
    return numbers.cardinal(max(10, round(value / step) * step))


def _price(given: f.AdviceGiven, place: int, plan: Plan) -> str:
    """The volume that boiling longer takes; what the other ways cost is in their size."""
    if given.kinds[place] != WayKind.LONGER or not given.changes_l:
        return ""
    return f", losing {units.volume(round(-given.changes_l[place], 1), plan)}"


def _leave(given: f.AdviceGiven, plan: Plan) -> tuple[str, ...]:
    """That leaving it is best, and why, the longest saying first."""
    place, beer = given.kinds.index(WayKind.LEAVE), plan.beer
    off_sg = given.results_sg[place] - beer.gravity_after_boil_sg
    if abs(off_sg) <= beer.gravity_tolerance_sg and given.results_l:
        end = units.volume(round(given.results_l[place], 1), plan)
        band = from_core(_BAND_SD * given.results_sd_l[place], plan.units.volume)
        give = numbers.decimal_words(max(0.1, round(band, 1)), 1)
    else:
        end = units.gravity(given.results_sg[place], plan)
        give = units.give_or_take(given.results_sd_sg[place], plan) if given.results_sd_sg else ""
    if not given.cannot_be_told:
        return f"leave it: you end at {end}", f"leave it: {end} at the end"
    return (
        f"leave it: you end at {end}, give or take {give}; I cannot tell that from on target",
        f"leave it: {end} at the end, give or take {give}, may be on target",
        f"leave it: {end}, give or take {give}, may be on target",
    )


def _in_ten(chance: float) -> str:
    tenths = round(10.0 * chance)
    return "none" if tenths == 0 else numbers.cardinal(tenths)
