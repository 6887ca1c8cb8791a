"""Fields with a form of their own: amounts, shares, the time of an addition, the dipstick."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.day.plan import AdditionTime, Amount
from assistant.day.plan_fields import PlanField, QuantityField, text_of
from assistant.day.plan_quantity import (
    DIMENSION_NOUNS,
    FieldMistake,
    find_unit,
    near_unit,
    read_written,
    shown,
    split_number,
)
from assistant.quantities import Dimension, dimension_of


@dataclass(frozen=True)
class AmountField(PlanField):
    """How much of an addition: a mass, a volume, or counted things such as "1 tablet"."""

    example: str = "22 g"
    counted: str = "1 tablet"

    @property
    def right(self) -> str:
        """What to write."""
        return f'write an amount such as "{self.example}" or "{self.counted}"'

    def read(self, value: object) -> Amount:
        """The amount exactly as written."""
        text = text_of(value, "an amount", self.right)
        number, words = split_number(text, self.right)
        if not words:
            raise FieldMistake(f"{shown(text)} has no unit", self.right)
        if number <= 0:
            raise FieldMistake(f"{shown(text)} is {'negative' if number else 'nothing'}", self.right)
        found = find_unit(words)
        if found:
            if dimension_of(found[0]) not in (Dimension.MASS, Dimension.VOLUME):
                raise FieldMistake(f"{shown(text)} is {DIMENSION_NOUNS[dimension_of(found[0])]}", self.right)
            return Amount(number, found[0])
        near = near_unit(words, Dimension.MASS, Dimension.VOLUME)
        if near:
            raise FieldMistake(f'{shown(text)} has an unknown unit, the nearest is "{near}"', self.right)
        if not words.replace(" ", "").replace("-", "").isalpha() or len(words) > 24:
            raise FieldMistake(f"{shown(text)} is no amount", self.right)
        return Amount(number, None, words)


@dataclass(frozen=True)
class MarkedNumberField(PlanField):
    """A number with a mark of its own that is no unit of measure, such as "5.5 %" or "32 IBU".

    example: what to write; its mark is the one that is asked for. lowest, highest: as written; the lowest is out.
    share: how much one of it is, in the core.
    """

    noun: str
    example: str
    lowest: float
    highest: float
    marks: tuple[str, ...]
    share: float = 1.0

    @property
    def right(self) -> str:
        """What to write."""
        return f'write {self.noun} such as "{self.example}"'

    def read(self, value: object) -> float:
        """The number in the core's measure."""
        text = text_of(value, self.noun, self.right)
        number, mark = split_number(text, self.right)
        if not mark:
            raise FieldMistake(f"{shown(text)} has no unit", self.right)
        if mark.lower() not in self.marks:
            raise FieldMistake(f"{shown(text)} is not in {self.marks[0]}", self.right)
        if not self.lowest < number <= self.highest:
            limits = f"above {self.lowest:g} and up to {self.highest:g} {self.example.split()[-1]}"
            raise FieldMistake(f"{shown(text)} is not {limits}", self.right)
        return float(number) * self.share


@dataclass(frozen=True, slots=True)
class When:
    """The `at` of an addition: a time, with its minutes or the temperature of a stand."""

    time: AdditionTime
    minutes: float | None = None
    temperature_c: float | None = None


@dataclass(frozen=True)
class WhenField(PlanField):
    """When an addition goes in: minutes before the end of the boil, first wort, or a temperature."""

    right: str = 'write "60 min" before the end of the boil, "first wort", or "80 C" for a hop stand'

    def read(self, value: object) -> When:
        """The time of the addition."""
        text = text_of(value, "a time", self.right)
        if " ".join(text.lower().split()) == "first wort":
            return When(AdditionTime.FIRST_WORT)
        written = read_written(text, self.right)
        dimension = dimension_of(written.unit)
        if written.per is not None or dimension not in (Dimension.DURATION, Dimension.TEMPERATURE):
            raise FieldMistake(f"{shown(text)} is {written.noun}", self.right)
        if dimension is Dimension.TEMPERATURE:
            stand = QuantityField("80 C", Dimension.TEMPERATURE, 40.0, 102.0)
            return When(AdditionTime.HOP_STAND, temperature_c=stand.read(text))
        before = QuantityField("60 min", Dimension.DURATION, 0.0, 5 * 3600.0)
        return When(AdditionTime.BEFORE_KNOCKOUT, minutes=before.read(text) / 60.0)


DEPTH = QuantityField("10 cm", Dimension.LENGTH, 0.0, 2.0)
KETTLE_VOLUME = QuantityField("9.8 L", Dimension.VOLUME, 0.0, 500.0)


@dataclass(frozen=True)
class DipstickField(PlanField):
    """The dipstick: at least two pairs of depth and volume, both rising."""

    right: str = 'write pairs such as ["10 cm", "9.8 L"], both rising'

    def read(self, value: object) -> tuple[tuple[float, float], ...]:
        """The pairs in metres and litres."""
        if not isinstance(value, list):
            raise FieldMistake(f"{shown(value)} is not a list of pairs", self.right)
        if len(value) < 2:
            raise FieldMistake("this has fewer than two pairs", self.right)
        pairs: list[tuple[float, float]] = []
        for row, pair in enumerate(value):
            if not isinstance(pair, list) or len(pair) != 2:
                raise FieldMistake(f"{shown(pair)} is not a pair of depth and volume", self.right, (row,))
            try:
                depth_m, volume_l = DEPTH.read(pair[0]), KETTLE_VOLUME.read(pair[1])
            except FieldMistake as mistake:
                raise FieldMistake(mistake.wrong, mistake.right, (row,)) from None
            if pairs and (depth_m <= pairs[-1][0] or volume_l <= pairs[-1][1]):
                raise FieldMistake(
                    f"{shown(pair[0])}, {shown(pair[1])} does not rise above the pair before it", self.right, (row,)
                )
            pairs.append((depth_m, volume_l))
        return tuple(pairs)
