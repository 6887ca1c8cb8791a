"""What the fields of a plan say together: the impossible is a mistake, the doubtful a remark.

The checks for mistakes run on whatever could be read, so that one bad field hides no other mistake.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from assistant.calculation.pressure import boiling_point_at_altitude_c
from assistant.calculation.water import density_kg_m3
from assistant.day.plan import AdditionKind, AdditionTime, Amount, Sanitised
from assistant.day.plan_kettle_fields import When
from assistant.day.plan_mistakes import Found, plan_field
from assistant.day.plan_places import Path
from assistant.day.plan_quantity import FieldMistake, shown
from assistant.day.plan_schema import TABLES
from assistant.quantities import Unit, from_core

SEA_LEVEL_BOILING_POINT_C: Final = 99.974
"""Water at 101.325 kPa (IAPWS-95), when a plan gives neither altitude nor boiling point."""

HEAT_EXPANSION: Final = density_kg_m3(20.0) / density_kg_m3(100.0)
"""How much more room wort takes on the boil than at 20 °C; that of water, which is within 0.5 % of wort's."""

# Weather moves the boiling point by about 0.8 K either way; the rest is the error of a kitchen thermometer.
_BOILING_POINT_SLACK_K: Final = 1.5
# A kettle is no perfect cylinder and a dipstick is read to a few millimetres.
_DIAMETER_SLACK: Final = 0.15


@dataclass(frozen=True, slots=True)
class Draft:
    """A table of a plan as far as it can be read; a field that is missing or mistaken is None."""

    data: dict[str, Any]
    path: Path = ()

    @property
    def _names(self) -> tuple[str, ...]:
        return tuple(part for part in self.path if isinstance(part, str))

    def table(self, name: str) -> Draft:
        """The table `name` within this one; empty when there is none."""
        inner = self.data.get(name)
        return Draft(inner if isinstance(inner, dict) else {}, (*self.path, name))

    def rows(self, name: str) -> list[Draft]:
        """The tables of the list `name`."""
        rows = self.data.get(name)
        entries = enumerate(rows) if isinstance(rows, list) else ()
        return [Draft(row, (*self.path, name, index)) for index, row in entries if isinstance(row, dict)]

    def value(self, name: str) -> object:
        """The field `name` as its kind reads it."""
        kind = plan_field(TABLES[self._names], name)
        if kind is None or name not in self.data:
            return None
        try:
            return kind.read(self.data[name])
        except FieldMistake:
            return None

    def number(self, name: str, default: float | None = None) -> float | None:
        """A field that is a number in the core's unit; `default` only when it is not there at all."""
        if name not in self.data:
            return default
        value = self.value(name)
        return value if isinstance(value, float) else None

    def found(self, name: str, wrong: str, right: str) -> Found:
        """A mistake in the field `name`."""
        return Found((*self.path, name), wrong, right)


def find_contradictions(data: dict[str, Any]) -> list[Found]:
    """Every way in which the readable fields of a plan contradict each other or what can be."""
    plan = Draft(data)
    return [found for check in _CHECKS for found in check(plan)]


def boiling_point_c(altitude_m: float | None, measured_c: float | None) -> float:
    """The boiling point of water on this rig: as measured, else from the altitude, else at sea level."""
    if measured_c is not None:
        return measured_c
    return SEA_LEVEL_BOILING_POINT_C if altitude_m is None else boiling_point_at_altitude_c(altitude_m)


def _in_units(plan: Draft, core: float, name: str, metric: Unit, us: Unit) -> str:
    """A value in the unit that the brewer chose for it, as far as the choice can be read."""
    units = plan.table("units")
    unit = units.value(name) or (us if units.value("system") == "us" else metric)
    return f"{from_core(core, Unit(str(unit))):.1f} {unit}"


def _volume(plan: Draft, volume_l: float) -> str:
    return _in_units(plan, volume_l, "volume", Unit.LITRE, Unit.US_GALLON)


def _temperature(plan: Draft, temperature_c: float) -> str:
    return _in_units(plan, temperature_c, "temperature", Unit.CELSIUS, Unit.FAHRENHEIT)


def _gravities(plan: Draft) -> Iterator[Found]:
    beer = plan.table("beer")
    before, after = beer.number("gravity_before_boil"), beer.number("gravity_after_boil")
    if before is not None and after is not None and after < before:
        written_before, written_after = beer.data["gravity_before_boil"], beer.data["gravity_after_boil"]
        yield beer.found(
            "gravity_after_boil",
            f"{shown(written_after)} is below the {shown(written_before)} before the boil",
            "boiling only raises it, write the higher gravity here",
        )


def _boil_length(plan: Draft) -> Iterator[Found]:
    boil_s = plan.table("beer").number("boil")
    if boil_s is None:
        return
    for addition in plan.rows("addition"):
        at = addition.value("at")
        if isinstance(at, When) and at.minutes is not None and at.minutes * 60.0 > boil_s + 1e-6:
            wrong = f"{at.minutes:g} minutes before the end is before the {boil_s / 60:g}-minute boil starts"
            yield addition.found("at", wrong, f'write {boil_s / 60:g} minutes or fewer, or "first wort"')
    for item in plan.rows("sanitation"):
        contact_s = item.number("contact")
        if item.value("how") is Sanitised.IN_THE_BOIL and contact_s is not None and contact_s > boil_s:
            wrong = f"{contact_s / 60:g} minutes in the boil is longer than the {boil_s / 60:g}-minute boil"
            yield item.found("contact", wrong, f"write {boil_s / 60:g} minutes or fewer")


def _kettle(plan: Draft) -> Iterator[Found]:
    beer, rig = plan.table("beer"), plan.table("rig")
    into, boil_s = beer.number("into_fermenter"), beer.number("boil")
    boil_off, loss = rig.number("boil_off"), rig.number("kettle_loss", 0.0)
    full = rig.number("kettle_full")
    if into is None or boil_s is None or boil_off is None or loss is None or full is None:
        return
    hot_l = (into + loss + boil_off * boil_s / 3600.0) * HEAT_EXPANSION
    if hot_l > full:
        yield rig.found(
            "kettle_full",
            f"the kettle holds {_volume(plan, full)} and {_volume(plan, hot_l)} come to the boil",
            "plan a smaller batch or a bigger kettle",
        )


def _dipstick(plan: Draft) -> Iterator[Found]:
    rig = plan.table("rig")
    dipstick, diameter_m = rig.value("dipstick"), rig.number("kettle_diameter")
    if not isinstance(dipstick, tuple) or not dipstick or diameter_m is None:
        return
    (first_m, first_l), (last_m, last_l) = dipstick[0], dipstick[-1]
    by_stick_m = math.sqrt(4 * (last_l - first_l) / 1000.0 / math.pi / (last_m - first_m))
    # The volume goes with the square of the diameter.
    if abs((by_stick_m / diameter_m) ** 2 - 1) > _DIAMETER_SLACK:
        yield rig.found(
            "kettle_diameter",
            f"{shown(rig.data['kettle_diameter'])} contradicts the dipstick, which makes it "
            f"{_in_units(plan, by_stick_m, 'depth', Unit.CENTIMETRE, Unit.INCH)}",
            "keep only the one that was measured",
        )


def _boiling_point(plan: Draft) -> Iterator[Found]:
    rig = plan.table("rig")
    altitude_m, measured_c = rig.number("altitude"), rig.number("boiling_point")
    if altitude_m is None or measured_c is None:
        return
    by_altitude_c = boiling_point_at_altitude_c(altitude_m)
    if abs(by_altitude_c - measured_c) > _BOILING_POINT_SLACK_K:
        yield rig.found(
            "boiling_point",
            f"{shown(rig.data['boiling_point'])} contradicts the altitude, at which water boils "
            f"at {_temperature(plan, by_altitude_c)}",
            "keep only the one that was measured",
        )


def _too_hot(plan: Draft) -> Iterator[Found]:
    rig = plan.table("rig")
    boils_c = boiling_point_c(rig.number("altitude"), rig.number("boiling_point"))
    mash = plan.table("mash")
    fields = [(mash, "strike_temperature"), *((rest, "at") for rest in mash.rows("rest"))]
    for table, name in [*fields, *((addition, "at") for addition in plan.rows("addition"))]:
        value = table.value(name)
        temperature_c = value.temperature_c if isinstance(value, When) else value
        if isinstance(temperature_c, float) and temperature_c > boils_c:
            wrong = (
                f"{shown(table.data[name])} is above the {_temperature(plan, boils_c)} at which water boils here"
            )
            yield table.found(name, wrong, "write a temperature below that")


def _stands(plan: Draft) -> Iterator[Found]:
    for addition in plan.rows("addition"):
        at = addition.value("at")
        if not isinstance(at, When):
            continue
        if at.time is AdditionTime.HOP_STAND and "for" not in addition.data:
            yield addition.found(
                "for", "this is missing for a hop stand", 'write how long it stands, such as "20 min"'
            )
        if at.time is not AdditionTime.HOP_STAND and "for" in addition.data:
            yield addition.found("for", "only a hop stand has this", 'leave it out, or write at = "80 C"')


def _alpha_acid(plan: Draft) -> Iterator[Found]:
    for addition in plan.rows("addition"):
        kind, amount = addition.value("kind"), addition.value("amount")
        if "alpha" not in addition.data:
            continue
        if isinstance(kind, AdditionKind) and kind is not AdditionKind.HOP:
            yield addition.found("alpha", "only hops have alpha acid", 'leave it out, or write kind = "hop"')
        elif isinstance(amount, Amount) and amount.mass_kg is None:
            wrong = f"{shown(addition.data['amount'])} is no mass, and alpha acid is a share of the mass"
            yield addition.found(
                "amount", wrong, 'write how much the hops weigh, such as "22 g", or leave out alpha'
            )


def _repeated(plan: Draft) -> Iterator[Found]:
    for name, fields, right in (
        ("addition", ("what", "at"), "keep one and write the whole amount there"),
        ("sanitation", ("name",), "give each thing a name of its own"),
        ("later", ("day", "what"), "keep one of the two"),
    ):
        seen: set[tuple[object, ...]] = set()
        for row in plan.rows(name):
            values = [row.value(field) for field in fields]
            key = tuple(value.casefold() if isinstance(value, str) else value for value in values)
            if None not in key and key in seen:
                subject = next(value for value in values if isinstance(value, str))
                yield row.found("what" if "what" in fields else "name", f'"{subject}" is here a second time', right)
            seen.add(key)


_CHECKS: Final[Iterable[Callable[[Draft], Iterator[Found]]]] = (
    _gravities,
    _boil_length,
    _kettle,
    _dipstick,
    _boiling_point,
    _too_hot,
    _stands,
    _alpha_acid,
    _repeated,
)
