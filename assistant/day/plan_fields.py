"""The kinds of field a plan has: each reads one value of the text, or says what would be right.

An instance stands in the `Annotated` type of a schema field; pydantic calls its `read`.
"""

from __future__ import annotations

import difflib
import math
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from assistant.calculation.scales import sg_from
from assistant.day.plan_quantity import (
    DIMENSION_NOUNS,
    FieldMistake,
    Written,
    find_unit,
    read_written,
    shown,
    split_number,
)
from assistant.quantities import Dimension, OutsideRange, Unit, dimension_of, from_core, to_core


class PlanField(ABC):
    """Reads one value out of a plan."""

    @property
    @abstractmethod
    def right(self) -> str:
        """What a brewer should write, as the end of a sentence."""

    @abstractmethod
    def read(self, value: object) -> object:
        """The value in the core's units.

        Raises:
            FieldMistake: when it cannot be taken.
        """

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Let pydantic call `read` and nothing else for this field."""
        return core_schema.no_info_plain_validator_function(self.read)


def text_of(value: object, noun: str, right: str) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise FieldMistake(f"{shown(value)} has no unit", right)
    raise FieldMistake(f"{shown(value)} is not {noun}", right)


@dataclass(frozen=True)
class QuantityField(PlanField):
    """A number with a unit of one dimension, kept as a float in the core's unit.

    lowest, highest: allowed, in the core's unit; `above_lowest` leaves the lowest itself out.
    difference: a temperature is a difference, so 1.8 °F are 1 °C.
    """

    example: str
    dimension: Dimension
    lowest: float
    highest: float
    above_lowest: bool = False
    difference: bool = False
    noun: str = ""

    @property
    def right(self) -> str:
        """What to write."""
        return f'write {self.noun or DIMENSION_NOUNS[self.dimension]} such as "{self.example}"'

    def read(self, value: object) -> float:
        """The value in the core's unit of the dimension."""
        text = text_of(value, self.noun or DIMENSION_NOUNS[self.dimension], self.right)
        written = read_written(text, self.right)
        if written.per is not None or dimension_of(written.unit) is not self.dimension:
            raise FieldMistake(f"{shown(text)} is {written.noun}", self.right)
        core = _core_difference(written) if self.difference else to_core(float(written.value), written.unit)
        self._check_limits(text, written, core)
        return core

    def _check_limits(self, text: str, written: Written, core: float) -> None:
        if self.above_lowest and core == self.lowest:
            raise FieldMistake(f"{shown(text)} is {self._limit(self.lowest, written.unit)}", self.right)
        if core < self.lowest:
            below = (
                "negative"
                if self.lowest == 0 and not self._offset
                else f"below {self._limit(self.lowest, written.unit)}"
            )
            raise FieldMistake(f"{shown(text)} is {below}", self.right)
        if core > self.highest:
            raise FieldMistake(f"{shown(text)} is above {self._limit(self.highest, written.unit)}", self.right)

    @property
    def _offset(self) -> bool:
        return self.dimension is Dimension.TEMPERATURE and not self.difference

    def _limit(self, core: float, unit: Unit) -> str:
        if core == 0 and not self._offset:
            return "nothing"
        in_unit = (
            from_core(core, unit) if not self.difference else core / _core_difference(Written(Decimal(1), unit))
        )
        return f"{in_unit:.4g} {unit}"


def _core_difference(written: Written) -> float:
    return float(written.value) / (1.8 if written.unit is Unit.FAHRENHEIT else 1.0)


@dataclass(frozen=True)
class RateField(PlanField):
    """A volume in a time, kept in litres per `per`."""

    example: str
    highest: float
    per: Unit = Unit.HOUR

    @property
    def right(self) -> str:
        """What to write."""
        return f'write a rate such as "{self.example}"'

    def read(self, value: object) -> float:
        """The rate in litres per hour or minute, above nothing."""
        text = text_of(value, "a rate", self.right)
        written = read_written(text, self.right)
        if written.per is None:
            raise FieldMistake(f"{shown(text)} is {written.noun}", self.right)
        if dimension_of(written.unit) is not Dimension.VOLUME:
            raise FieldMistake(f"{shown(text)} is not a volume in a time", self.right)
        litres = to_core(float(written.value), written.unit)
        rate = litres * to_core(1.0, self.per) / to_core(1.0, written.per)
        if rate <= 0:
            raise FieldMistake(f"{shown(text)} is {'negative' if rate < 0 else 'nothing'}", self.right)
        if rate > self.highest:
            raise FieldMistake(f"{shown(text)} is above {self.highest:g} L/{self.per}", self.right)
        return rate


@dataclass(frozen=True)
class GravityField(PlanField):
    """A gravity: 1.044 with or without quotes, "44 points", "11 P"; kept as specific gravity at 20/20 °C."""

    lowest: float = 1.0
    highest: float = 1.15
    example: str = "1.044"

    @property
    def right(self) -> str:
        """What to write."""
        points = round((float(self.example) - 1.0) * 1000.0)
        return f'write a gravity such as {self.example} or "{points} point{"s" if points > 1 else ""}"'

    def read(self, value: object) -> float:
        """The specific gravity."""
        bare = isinstance(value, int | float) and not isinstance(value, bool)
        text = shown(value) if bare else text_of(value, "a gravity", self.right)
        number, words = split_number(text, self.right)
        written = read_written(text if words else f"{number} SG", self.right)
        if written.per is not None or dimension_of(written.unit) is not Dimension.GRAVITY:
            raise FieldMistake(f"{shown(text)} is {written.noun}", self.right)
        try:
            sg = sg_from(float(written.value), written.unit)
        except OutsideRange:
            sg = math.nan
        if not self.lowest <= sg <= self.highest:
            limits = f"from {self.lowest:.3f} to {self.highest:.3f}"
            raise FieldMistake(f"{shown(value)} is not a gravity {limits}", self.right)
        return sg


@dataclass(frozen=True)
class GravityStepField(PlanField):
    """A difference of gravity, "2 points" or 0.002, kept in SG."""

    example: str = "2 points"
    highest: float = 0.02

    @property
    def right(self) -> str:
        """What to write."""
        return f'write points such as "{self.example}"'

    def read(self, value: object) -> float:
        """The difference in SG, above nothing."""
        bare = isinstance(value, int | float) and not isinstance(value, bool)
        text = f"{shown(value)} SG" if bare else text_of(value, "a difference of gravity", self.right)
        written = read_written(text, self.right)
        if written.per is not None or written.unit not in (Unit.SPECIFIC_GRAVITY, Unit.POINTS):
            raise FieldMistake(f"{shown(value)} is not in points", self.right)
        step = float(written.value) / (1000.0 if written.unit is Unit.POINTS else 1.0)
        if not 0 < step <= self.highest:
            raise FieldMistake(f"{shown(value)} is not between 0 and {self.highest * 1000:g} points", self.right)
        return step


@dataclass(frozen=True)
class NumberField(PlanField):
    """A bare number without a unit; `whole` for whole numbers only."""

    example: str
    lowest: float
    highest: float
    whole: bool = False

    @property
    def right(self) -> str:
        """What to write."""
        kind = "a whole number" if self.whole else "a number"
        return f"write {kind} from {self.lowest:g} to {self.highest:g} such as {self.example}"

    def read(self, value: object) -> float | int:
        """The number itself."""
        if isinstance(value, bool) or not isinstance(value, int if self.whole else int | float):
            raise FieldMistake(
                f"{shown(value)} is not {'a whole number' if self.whole else 'a number'}", self.right
            )
        if not self.lowest <= value <= self.highest:
            raise FieldMistake(f"{shown(value)} is out of range", self.right)
        return value if self.whole else float(value)


@dataclass(frozen=True)
class BrixStepField(PlanField):
    """The reading error of a refractometer, "0.2 Bx"."""

    right: str = 'write an error such as "0.2 Bx"'

    def read(self, value: object) -> float:
        """The error in Brix, above nothing and at most 2."""
        written = read_written(text_of(value, "an error in Brix", self.right), self.right)
        if written.per is not None or written.unit is not Unit.BRIX or not 0 < written.value <= 2:
            raise FieldMistake(f"{shown(value)} is not an error from 0 to 2 Brix", self.right)
        return float(written.value)


@dataclass(frozen=True)
class YesNoField(PlanField):
    """true or false."""

    right: str = "write true or false, without quotes"

    def read(self, value: object) -> bool:
        """The truth value."""
        if not isinstance(value, bool):
            raise FieldMistake(f"{shown(value)} is neither true nor false", self.right)
        return value


@dataclass(frozen=True)
class TextField(PlanField):
    """A name or a few words on one line; they are spoken."""

    example: str
    longest: int = 60

    @property
    def right(self) -> str:
        """What to write."""
        return f'write a few words such as "{self.example}"'

    def read(self, value: object) -> str:
        """The words without blanks around them."""
        if not isinstance(value, str):
            raise FieldMistake(f"{shown(value)} is not a text", self.right)
        text = value.strip()
        if not text:
            raise FieldMistake(f"{shown(value)} is empty", self.right)
        if not text.isprintable():
            raise FieldMistake(f"{shown(value)} is not one plain line", self.right)
        if len(text) > self.longest:
            raise FieldMistake(f"{shown(value)} is longer than {self.longest} letters", self.right)
        return text


@dataclass(frozen=True)
class ChoiceField(PlanField):
    """One of a few words; `choices` gives the value of each."""

    choices: Mapping[str, object] = field(hash=False)

    @property
    def right(self) -> str:
        """What to write."""
        names = [f'"{name}"' for name in self.choices]
        return f"write {', '.join(names[:-1])} or {names[-1]}"

    def read(self, value: object) -> object:
        """The chosen value."""
        if not isinstance(value, str):
            raise FieldMistake(f"{shown(value)} is not a word", self.right)
        word = " ".join(value.lower().split())
        if word in self.choices:
            return self.choices[word]
        near = difflib.get_close_matches(word, self.choices, 1)
        raise FieldMistake(f"{shown(value)} is not known here", f'write "{near[0]}"' if near else self.right)


@dataclass(frozen=True)
class UnitField(ChoiceField):
    """The unit a brewer wants to read something in."""

    def read(self, value: object) -> object:
        """The unit, in any spelling of it."""
        found = find_unit(value) if isinstance(value, str) else None
        return found[0] if found and found[1] == 1 and found[0] in self.choices.values() else super().read(value)
