"""The whole of an offer as a plain table for the screen: at most 80 columns, in the brewer's own units."""

from __future__ import annotations

from typing import Final

from assistant.calculation import scales
from assistant.day import facts as f
from assistant.day.plan import Plan
from assistant.day.ways import WayKind
from assistant.quantities import Unit, from_core

WIDTH: Final = 80
# Doubt is shown as it is spoken, as two standard uncertainties.
_BAND_SD: Final = 2.0
_COLUMNS: Final = ((2, ">"), (8, "<"), (20, "<"), (13, "<"), (12, "<"), (6, ">"), (6, ">"), (7, ">"), (5, ">"))


def offer_table(given: f.AdviceGiven, plan: Plan) -> tuple[str, ...]:
    """A line for each way, best first: what to do, where the boil ends, what it takes; empty without figures.

    Offers of earlier versions of the program have no figures.
    """
    if not given.chances:
        return ()
    volume = plan.units.volume
    gravity = "ends at P" if plan.units.gravity is Unit.PLATO else "ends at"
    rows = [("", "way", "what to do", gravity, f"kettle {volume.value}", volume.value, "IBU", "chance", "cost")]
    for place, kind in enumerate(given.kinds):
        acts = _acts(given, place, plan)
        end = _gravity(given.results_sg[place], given.results_sd_sg[place], plan)
        kettle = _with_band(given.results_l[place], given.results_sd_l[place], volume, 1)
        change = _signed(from_core(given.changes_l[place], volume), 1 if volume is Unit.LITRE else 2)
        bitter = f"{given.bitterness_ibu[place]:+.1f}" if given.bitterness_ibu and kind != WayKind.LEAVE else ""
        chance = f"{100.0 * given.chances[place]:.0f} %"
        cost = f"{given.costs[place]:.2f}"
        rows.append((str(place + 1), kind, acts[0], end, kettle, change, bitter, chance, cost))
        rows.extend(("", "", act, "", "", "", "", "", "") for act in acts[1:])
    lines = [_line(row) for row in rows]
    lines.extend(f" -  {kind:<7} not now: {why}" for kind, _, why in given.not_possible)
    if given.assumed:
        lines.append("    The volume is the plan's, not read: the chance is of the gravity alone.")
    return tuple(line[:WIDTH].rstrip() for line in lines)


def _line(row: tuple[str, ...]) -> str:
    cells = (f"{cell:{side}{width}}" for cell, (width, side) in zip(row, _COLUMNS, strict=True))
    return f"{next(cells)} {''.join(cells)}"


def _acts(given: f.AdviceGiven, place: int, plan: Plan) -> list[str]:
    acts = []
    if given.minutes[place]:
        band = f" ±{_BAND_SD * given.minutes_sd[place]:.0f}" if given.minutes_sd[place] else ""
        acts.append(f"boil {given.minutes[place]:+.0f}{band} min")
    for mass_kg, what in ((given.extract_kg[place], "extract"), (given.sugar_kg[place], "sugar")):
        if mass_kg:
            acts.append(f"{_mass(mass_kg, given.sizes_sd[place], plan)} {what}")
    if given.water_l[place]:
        water = _with_band(given.water_l[place], given.water_sd_l[place], plan.units.volume, 1)
        acts.append(f"{water} {plan.units.volume.value} water")
    return acts or ["nothing"]


def _mass(mass_kg: float, sd_kg: float, plan: Plan) -> str:
    small = plan.units.small_mass
    in_small = small is Unit.GRAM or from_core(mass_kg, plan.units.large_mass) < 1.0
    unit = small if in_small else plan.units.large_mass
    places = 0 if unit is Unit.GRAM else 1
    return f"{_with_band(mass_kg, sd_kg, unit, places)} {unit.value}"


def _with_band(value: float, sd: float, unit: Unit, places: int) -> str:
    places = 2 if unit is Unit.US_GALLON else places
    band = f" ±{from_core(_BAND_SD * sd, unit):.{places}f}" if sd else ""
    return f"{from_core(value, unit):.{places}f}{band}"


def _signed(value: float, places: int) -> str:
    return "" if round(value, places) == 0.0 else f"{value:+.{places}f}"


def _gravity(sg: float, sd_sg: float, plan: Plan) -> str:
    if plan.units.gravity is Unit.PLATO:
        return f"{scales.plato_from_sg(sg):.1f} ±{_BAND_SD * sd_sg * 250.0:.1f}"
    return f"{sg:.3f} ±{_BAND_SD * sd_sg:.3f}"
