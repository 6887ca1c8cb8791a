"""From the text of a plan file to a checked `Plan`, or to every mistake in it with its line."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import Any, Final

from pydantic import ValidationError

from assistant.calculation.hydrometer import GLASS_EXPANSION_PER_K
from assistant.day.plan import (
    Addition,
    AdditionTime,
    Beer,
    Chiller,
    Hydrometer,
    Later,
    Mash,
    Plan,
    Refractometer,
    Rest,
    Rig,
    SanitationItem,
    UnitChoice,
    Yeast,
)
from assistant.day.plan_checks import boiling_point_c, find_contradictions
from assistant.day.plan_mistakes import Mistake, PlanMistakes, found_by_schema, mistake_of_syntax
from assistant.day.plan_places import find_places
from assistant.day.plan_remarks import find_remarks
from assistant.day.plan_schema import (
    AdditionTable,
    BeerTable,
    ChillerTable,
    MashTable,
    PlanTable,
    RefractometerTable,
    RigTable,
    UnitsTable,
)
from assistant.quantities import Unit

__all__ = ["Mistake", "PlanMistakes", "read_plan"]

_US_UNITS: Final = UnitChoice(
    temperature=Unit.FAHRENHEIT,
    volume=Unit.US_GALLON,
    depth=Unit.INCH,
    small_mass=Unit.OUNCE,
    large_mass=Unit.POUND,
)


def read_plan(text: str, file_name: str) -> Plan:
    """Read the text of a plan file; `file_name` is only for the sentences about mistakes.

    Raises:
        PlanMistakes: with every mistake that can be seen at once, in the order of the lines.
    """
    try:
        data = tomllib.loads(text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}"))
    except (ValueError, RecursionError) as refusal:
        raise PlanMistakes((mistake_of_syntax(refusal, text, file_name),)) from None
    units_in_a_word = isinstance(data.get("units"), str)
    if units_in_a_word:
        data["units"] = {"system": data["units"]}
    found = find_contradictions(data)
    table: PlanTable | None = None
    try:
        table = PlanTable.model_validate(data)
    except ValidationError as refusal:
        found = [*found_by_schema(refusal), *found]
    if found or table is None:
        places = find_places(text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}"))
        if units_in_a_word:
            found = [replace(one, path=("units",)) if one.path[0] == "units" else one for one in found]
        mistakes = [one.at(file_name, places) for one in found]
        raise PlanMistakes(tuple(sorted(mistakes, key=lambda mistake: mistake.line)))
    plan = _plan(table, text)
    return replace(plan, remarks=find_remarks(plan))


def _plan(table: PlanTable, text: str) -> Plan:
    return Plan(
        beer=_beer(table.beer),
        rig=_rig(table.rig),
        mash=_mash(table.mash),
        additions=tuple(sorted(map(_addition, table.addition), key=_order)),
        sanitation=tuple(SanitationItem(item.name, item.how, item.contact) for item in table.sanitation),
        yeast=Yeast(table.yeast.name, table.yeast.amount, table.yeast.pitch_at),
        later=tuple(Later(item.day, item.what) for item in sorted(table.later, key=lambda item: item.day)),
        units=_units(table.units),
        text=text,
    )


def _units(table: UnitsTable) -> UnitChoice:
    chosen: dict[str, Any] = table.model_dump(exclude={"system"}, exclude_none=True)
    return replace(_US_UNITS if table.system == "us" else UnitChoice(), **chosen)


def _beer(table: BeerTable) -> Beer:
    return Beer(
        name=table.name,
        into_fermenter_l=table.into_fermenter,
        gravity_before_boil_sg=table.gravity_before_boil,
        gravity_after_boil_sg=table.gravity_after_boil,
        boil_min=table.boil / 60.0,
        gravity_tolerance_sg=table.gravity_tolerance,
        volume_tolerance_l=table.volume_tolerance,
        temperature_tolerance_c=table.temperature_tolerance,
        bitterness_ibu=table.bitterness,
    )


def _rig(table: RigTable) -> Rig:
    hydrometer = table.hydrometer
    return Rig(
        name=table.name,
        boil_off_l_per_h=table.boil_off,
        kettle_loss_l=table.kettle_loss,
        dipstick=table.dipstick,
        kettle_diameter_m=None if table.dipstick else table.kettle_diameter,
        kettle_full_l=table.kettle_full,
        volume_sd_l=table.volume_uncertainty,
        hydrometer=Hydrometer(
            calibration_c=hydrometer.calibration,
            sd_sg=hydrometer.uncertainty,
            reads_in_water_sg=hydrometer.reads_in_water,
            glass=hydrometer.material is not None,
            expansion_per_k=GLASS_EXPANSION_PER_K if hydrometer.material is None else hydrometer.material,
        ),
        refractometer=_refractometer(table.refractometer),
        thermometer_sd_c=table.thermometer.uncertainty,
        altitude_m=table.altitude,
        boiling_point_c=boiling_point_c(table.altitude, table.boiling_point),
        chiller=_chiller(table.chiller),
    )


def _refractometer(table: RefractometerTable | None) -> Refractometer | None:
    if table is None:
        return None
    return Refractometer(
        wort_factor=table.wort_factor,
        compensates_temperature=table.compensates_temperature,
        sd_brix=table.uncertainty,
    )


def _chiller(table: ChillerTable | None) -> Chiller | None:
    return None if table is None else Chiller(table.kind, table.coolant, table.flow)


def _mash(table: MashTable) -> Mash:
    return Mash(
        strike_volume_l=table.strike_water,
        strike_temperature_c=table.strike_temperature,
        rests=tuple(Rest(rest.name, rest.at, rest.for_ / 60.0) for rest in table.rest),
        grain_kg=table.grain,
    )


def _addition(table: AdditionTable) -> Addition:
    at = table.at
    minutes = table.for_ / 60.0 if table.for_ is not None else at.minutes
    return Addition(table.what, table.kind, table.amount, at.time, minutes, at.temperature_c, table.alpha)


def _order(addition: Addition) -> tuple[int, float]:
    """First wort, then the longest boil first, then stands, the hottest first as the wort cools."""
    if addition.time is AdditionTime.FIRST_WORT:
        return 0, 0.0
    if addition.time is AdditionTime.BEFORE_KNOCKOUT:
        return 1, -(addition.minutes or 0.0)
    return 2, -(addition.temperature_c or 0.0)
