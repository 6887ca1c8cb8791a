"""Facts as stored text: any fact of `day.facts` becomes a name, a version and JSON, and comes back equal.

Nothing here knows a single fact: the fields and their types say how each is kept. A payload is ASCII
JSON with sorted keys; floats are written with the shortest digits that read back to the same float.

When a fact changes its meaning, raise its `version` and add to `STEPS` the function that lifts the payload
of the old version by one. Old rows are never rewritten: they are lifted each time they are read.
"""

from __future__ import annotations

import json
import math
import types
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Any, Final, Union, cast, get_args, get_origin, get_type_hints

from assistant.day import facts as day_facts
from assistant.day.facts import Fact
from assistant.ports import JournalRefusal

Payload = dict[str, Any]
Step = Callable[[Payload], Payload]


@dataclass(frozen=True, slots=True)
class EncodedFact:
    """A fact as it is stored. name: of its class; version: of that class; payload: ASCII JSON of its fields."""

    name: str
    version: int
    payload: str


class _Mismatch(ValueError):  # noqa: N818 - named for what is wrong with the value
    """A value does not have the type that its field declares; the message says what it is instead."""


@dataclass(frozen=True, slots=True)
class _Codec:
    """How one field is kept; both functions raise `_Mismatch`."""

    to_json: Callable[[Any], Any]
    from_json: Callable[[Any], Any]


def _refuse(wanted: str, value: object) -> _Mismatch:
    return _Mismatch(f"{value!r} is not {wanted}")


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise _refuse("text", value)
    return str(value)


def _truth(value: object) -> bool:
    if not isinstance(value, bool):
        raise _refuse("true or false", value)
    return value


def _whole(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise _refuse("a whole number", value)
    return int(value)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _refuse("a number", value)
    try:
        number = float(value)
    except OverflowError:
        raise _refuse("a number that fits", value) from None
    if not math.isfinite(number) or number != value:
        raise _refuse("a finite number that is kept exactly", value)
    return number


def _nothing(value: object) -> None:
    if value is not None:
        raise _refuse("nothing", value)


_PLAIN: Final[dict[Any, Callable[[Any], Any]]] = {
    str: _text,
    bool: _truth,
    int: _whole,
    float: _number,
    types.NoneType: _nothing,
}


def _codec_for(hint: Any) -> _Codec:
    """Find how a field of this type is kept.

    Raises:
        TypeError: if a fact declares a type that a journal does not keep.
    """
    if hint in _PLAIN:
        return _Codec(_PLAIN[hint], _PLAIN[hint])
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return _enum_codec(hint)
    if get_origin(hint) is tuple:
        return _tuple_codec(get_args(hint))
    if get_origin(hint) in (Union, types.UnionType):
        return _union_codec(get_args(hint))
    raise TypeError(f"a fact holds only text, numbers, booleans, None and tuples of those, not {hint!r}")


def _enum_codec(members: type[StrEnum]) -> _Codec:
    def to_json(value: object) -> str:
        if not isinstance(value, members):
            raise _refuse(f"a {members.__name__}", value)
        return str(value.value)

    def from_json(value: object) -> StrEnum:
        try:
            return members(_text(value))
        except ValueError:
            raise _refuse(f"a {members.__name__}", value) from None

    return _Codec(to_json, from_json)


def _tuple_codec(arguments: tuple[Any, ...]) -> _Codec:
    if len(arguments) == 2 and arguments[1] is Ellipsis:
        each = _codec_for(arguments[0])

        def codecs(length: int) -> Iterable[_Codec]:
            return (each,) * length
    else:
        places = tuple(_codec_for(argument) for argument in arguments)

        def codecs(length: int) -> Iterable[_Codec]:
            if length != len(places):
                raise _Mismatch(f"{length} values stand where {len(places)} belong")
            return places

    def to_json(value: object) -> list[Any]:
        if not isinstance(value, tuple):
            raise _refuse("a tuple", value)
        return [codec.to_json(item) for codec, item in zip(codecs(len(value)), value, strict=True)]

    def from_json(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list):
            raise _refuse("a list", value)
        return tuple(codec.from_json(item) for codec, item in zip(codecs(len(value)), value, strict=True))

    return _Codec(to_json, from_json)


def _union_codec(arguments: tuple[Any, ...]) -> _Codec:
    arms = tuple(_codec_for(argument) for argument in arguments)
    wanted = " or ".join(str(getattr(argument, "__name__", argument)) for argument in arguments)

    def first_fit(value: object, ways: Iterable[Callable[[Any], Any]]) -> Any:
        for way in ways:
            try:
                return way(value)
            except _Mismatch:
                continue
        raise _refuse(wanted, value)

    return _Codec(
        lambda value: first_fit(value, (arm.to_json for arm in arms)),
        lambda value: first_fit(value, (arm.from_json for arm in arms)),
    )


class FactEncoding:
    """The encoding of a set of fact classes with the steps that lift their older versions.

    Raises:
        TypeError: if a class has a field that no journal keeps.
        ValueError: if a version between the first and the present one has no step.
    """

    def __init__(self, classes: Iterable[type[Fact]], steps: Mapping[tuple[str, int], Step]) -> None:
        self._classes = {fact_class.__name__: fact_class for fact_class in classes}
        self._steps = dict(steps)
        self._codecs: dict[str, dict[str, _Codec]] = {}
        for name, fact_class in self._classes.items():
            hints = get_type_hints(fact_class)
            self._codecs[name] = {item.name: _codec_for(hints[item.name]) for item in fields(fact_class)}
            missing = [version for version in range(1, fact_class.version) if (name, version) not in self._steps]
            if missing:
                raise ValueError(f"no step lifts {name} from version {missing[0]}")

    @property
    def classes(self) -> tuple[type[Fact], ...]:
        """The fact classes that can be stored."""
        return tuple(self._classes.values())

    def encode(self, fact: Fact) -> EncodedFact:
        """Turn `fact` into stored text.

        Raises:
            JournalRefusal: if a field holds what its type does not allow (a number that is not finite).
        """
        name = type(fact).__name__
        if self._classes.get(name) is not type(fact):
            raise JournalRefusal(f"{name} cannot be written: the journal knows no such fact.")
        payload: Payload = {}
        for field_name, codec in self._codecs[name].items():
            try:
                payload[field_name] = codec.to_json(getattr(fact, field_name))
            except _Mismatch as error:
                raise JournalRefusal(f"{name} cannot be written: in {field_name}, {error}.") from error
        return EncodedFact(name, type(fact).version, json.dumps(payload, sort_keys=True, allow_nan=False))

    def decode(self, encoded: EncodedFact) -> Fact:
        """Turn stored text back into the fact, lifting it from an older version if need be.

        Raises:
            JournalRefusal: if the fact is from a newer program, or damaged.
        """
        name, version = encoded.name, encoded.version
        fact_class = self._classes.get(name)
        if fact_class is None:
            raise JournalRefusal(
                f"this journal was written by a newer version of kettleside: it holds {name}, which this one "
                "does not know; use the newer version."
            )
        if version > fact_class.version:
            raise JournalRefusal(
                f"this journal was written by a newer version of kettleside: it holds {name} in version {version}, "
                f"and this one knows version {fact_class.version}; use the newer version."
            )
        if version < 1:
            raise _damaged(name, f"version {version} never was")
        payload = _object_in(name, encoded.payload)
        try:
            for old in range(version, fact_class.version):
                payload = self._steps[name, old](payload)
        except (KeyError, TypeError, ValueError) as error:
            raise _damaged(name, f"it does not lift from version {version}") from error
        return self._build(fact_class, payload)

    def _build(self, fact_class: type[Fact], payload: Payload) -> Fact:
        name = fact_class.__name__
        codecs = self._codecs[name]
        unknown = sorted(payload.keys() - codecs.keys())
        if unknown:
            # A field is added with a default and without a new version, so this is a newer program's fact.
            raise JournalRefusal(
                f"this journal was written by a newer version of kettleside: its {name} holds {unknown[0]}, which "
                "this one does not know; use the newer version."
            )
        values: Payload = {}
        for field_name, stored in payload.items():
            try:
                values[field_name] = codecs[field_name].from_json(stored)
            except _Mismatch as error:
                raise _damaged(name, f"in {field_name}, {error}") from error
        try:
            return fact_class(**values)
        except TypeError as error:
            absent = sorted(codecs.keys() - values.keys())
            raise _damaged(name, f"{', '.join(absent)} is missing") from error


def _object_in(name: str, payload: str) -> Payload:
    try:
        found = json.loads(payload)
    except ValueError as error:
        raise _damaged(name, "its text is no JSON") from error
    if not isinstance(found, dict):
        raise _damaged(name, "its text is no JSON object")
    return cast(Payload, found)


def _damaged(name: str, why: str) -> JournalRefusal:
    return JournalRefusal(
        f"a {name} in this journal is damaged: {why}; copy the folder of the day before you go on."
    )


def _all_fact_classes() -> tuple[type[Fact], ...]:
    # Not Fact.__subclasses__(): a dataclass with slots leaves the class it was made from in there.
    return tuple(
        found
        for found in vars(day_facts).values()
        if isinstance(found, type) and issubclass(found, Fact) and found is not Fact
    )


# (name, old version) -> what lifts a payload of that version to the next one
STEPS: Final[Mapping[tuple[str, int], Step]] = {}

FACTS: Final = FactEncoding(_all_fact_classes(), STEPS)
"""The encoding of all facts of the day."""
