"""Facts as stored text: all of them, exactly, and old ones lifted."""

from __future__ import annotations

import json
import math
import types
from dataclasses import dataclass, fields
from enum import IntEnum, StrEnum
from typing import Any, ClassVar, Union, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.day import facts as f
from assistant.day.facts import Fact, Stage
from assistant.journal.encoding import FACTS, EncodedFact, FactEncoding
from assistant.ports import JournalRefusal

GRAVITY = f.GravityRead(1.026, 65.55555555555556, 1.0446, 0.0007, "ten twenty-six")
GRAVITY_TEXT = (
    '{"gravity_sg": 1.0446, "instrument": "hydrometer", "instrument_sg": 1.026, "said": "ten twenty-six", '
    '"sample_c": 65.55555555555556, "sd_sg": 0.0007}'
)


def values_of(hint: Any) -> st.SearchStrategy[Any]:
    """Any value that a field of this type can hold, edges included."""
    if hint is float:
        return st.floats(allow_nan=False, allow_infinity=False)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return st.sampled_from(list(hint))
    if get_origin(hint) is tuple:
        arguments = get_args(hint)
        if arguments[1:] == (Ellipsis,):
            return st.lists(values_of(arguments[0]), max_size=4).map(tuple)
        return st.tuples(*map(values_of, arguments))
    if get_origin(hint) in (Union, types.UnionType):
        return st.one_of(*map(values_of, get_args(hint)))
    plain: dict[Any, st.SearchStrategy[Any]] = {
        str: st.text(st.characters(exclude_categories=())),
        int: st.integers(),
        bool: st.booleans(),
        types.NoneType: st.none(),
    }
    return plain[hint]


def facts_of(fact_class: type[Fact]) -> st.SearchStrategy[Fact]:
    """Any fact of one class."""
    hints = get_type_hints(fact_class)
    return st.builds(fact_class, **{item.name: values_of(hints[item.name]) for item in fields(fact_class)})


@pytest.mark.parametrize("fact_class", FACTS.classes, ids=lambda fact_class: fact_class.__name__)
def test_any_fact_comes_back_equal(fact_class: type[Fact]) -> None:
    """Whatever its fields hold, a fact is kept as ASCII and comes back equal, with the same types."""

    @settings(max_examples=40, deadline=None)
    @given(facts_of(fact_class))
    def comes_back(fact: Fact) -> None:
        encoded = FACTS.encode(fact)
        assert encoded.payload.isascii()
        again = FACTS.decode(encoded)
        assert repr(fact) == repr(again)
        assert encoded == FACTS.encode(again)

    comes_back()


def test_all_facts_of_the_day_are_known() -> None:
    """The encoding covers each class that the facts of the day define, and nothing else."""
    text = {name for name in vars(f) if isinstance(vars(f)[name], type) and issubclass(vars(f)[name], Fact)}
    assert text - {"Fact"} == {fact_class.__name__ for fact_class in FACTS.classes}
    assert {"DayBegun", "GravityRead", "BoilHeld", "DeviceReported"} <= text


def test_the_stored_text_stays_as_it_is() -> None:
    """The text is sorted ASCII JSON with the shortest exact digits, the same in each version of the program."""
    assert EncodedFact("GravityRead", 1, GRAVITY_TEXT) == FACTS.encode(GRAVITY)
    assert '{"stage": "run-off"}' == FACTS.encode(f.StageReached(Stage.RUN_OFF)).payload
    assert '{"name": "caf\\u00e9 \\ud83c\\udf7a"}' == FACTS.encode(f.ItemWet("café 🍺")).payload
    question = f.QuestionAsked("gravity", "SG", ("1.015",), "why", 1, "", (("volume", "26", "L"),))
    assert [["volume", "26", "L"]] == json.loads(FACTS.encode(question).payload)["waiting"]


def test_a_subclass_of_text_is_kept_as_text() -> None:
    """An enum given for text, and a whole number given for a float, come back as the plain types declared."""

    class Way(StrEnum):
        LONGER = "longer"

    class Size(IntEnum):
        TWO = 2

    kept = FACTS.decode(FACTS.encode(f.AdviceChosen(Way.LONGER, Size.TWO)))
    assert f.AdviceChosen("longer", 2.0) == kept
    assert repr(kept).startswith("AdviceChosen(kind='longer', size=2.0, ")


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        (f.BoilStarted(math.nan), "minutes, nan is not a finite number"),
        (f.BoilStarted(math.inf), "minutes, inf is not a finite number"),
        (f.BoilStarted(10**400), "minutes, 1000"),
        (f.BoilStarted(2**53 + 1), "kept exactly"),
        (f.BoilStarted("sixty"), "minutes, 'sixty' is not a number"),  # type: ignore[arg-type]
        (f.BoilStarted(True), "True is not a number"),
        (f.RestStarted(1.0), "index, 1.0 is not a whole number"),  # type: ignore[arg-type]
        (f.RestStarted(False), "False is not a whole number"),
        (f.CallSpoken(b"x"), "key, b'x' is not text"),  # type: ignore[arg-type]
        (f.DeviceReported("ear", 1, ""), "working, 1 is not true or false"),  # type: ignore[arg-type]
        (f.StageReached("mash"), "stage, 'mash' is not a Stage"),  # type: ignore[arg-type]
        (f.AdviceGiven(["a"], (), ()), "kinds, ['a'] is not a tuple"),  # type: ignore[arg-type]
        (f.QuestionAsked("", "", (), "", 1, "", (("a", "b"),)), "waiting, 2 values stand where 3 belong"),  # type: ignore[arg-type]
        (f.VolumeRead(1.0, 1.0, 1.0, "", "x"), "depth_m, 'x' is not float or NoneType"),  # type: ignore[arg-type]
    ],
    ids=repr,
)
def test_what_a_field_cannot_hold_is_refused(fact: Fact, words: str) -> None:
    """A value of the wrong type, or a float that is none, is refused with the fact, the field and the value."""
    with pytest.raises(JournalRefusal) as refusal:
        FACTS.encode(fact)
    assert f"{type(fact).__name__} cannot be written: in " in str(refusal.value)
    assert words in str(refusal.value)


@pytest.mark.parametrize(
    ("name", "version", "payload", "words"),
    [
        ("MoonSeen", 1, "{}", "written by a newer version of kettleside: it holds MoonSeen"),
        ("BoilHeld", 2, "{}", "written by a newer version of kettleside: it holds BoilHeld in version 2"),
        ("BoilHeld", 1, '{"why": "x"}', "written by a newer version of kettleside: its BoilHeld holds why"),
        ("BoilHeld", 0, "{}", "a BoilHeld in this journal is damaged: version 0 never was"),
        ("BoilStarted", 1, "{}", "a BoilStarted in this journal is damaged: minutes is missing"),
        ("BoilStarted", 1, '{"minutes": "x"}', "damaged: in minutes, 'x' is not a number"),
        ("BoilStarted", 1, '{"minutes": NaN}', "damaged: in minutes, nan is not a finite number"),
        ("BoilStarted", 1, '{"minutes": 1e999}', "damaged: in minutes, inf is not a finite number"),
        ("BoilStarted", 1, '{"minutes": 6', "damaged: its text is no JSON"),
        ("BoilStarted", 1, "[60]", "damaged: its text is no JSON object"),
        ("StageReached", 1, '{"stage": "lunch"}', "damaged: in stage, 'lunch' is not a Stage"),
        ("AdviceGiven", 1, '{"kinds": "ab", "sizes": [], "results_sg": []}', "in kinds, 'ab' is not a list"),
    ],
)
def test_what_cannot_be_read_is_refused(name: str, version: int, payload: str, words: str) -> None:
    """A fact of a newer program, and a damaged one, are told apart and refused in one sentence."""
    with pytest.raises(JournalRefusal) as refusal:
        FACTS.decode(EncodedFact(name, version, payload))
    assert words in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_a_field_added_with_a_default_reads_from_old_rows() -> None:
    """A row written before a field was there takes the field's default."""
    old = EncodedFact("GravityRead", 1, GRAVITY_TEXT.replace('"instrument": "hydrometer", ', ""))
    assert GRAVITY == FACTS.decode(old)


@dataclass(frozen=True, slots=True)
class GristWeighed(Fact):
    """An invented fact in its third version. First it had pounds, then kilograms, now grams and a name."""

    grams: float
    malt: str
    version: ClassVar[int] = 3


@dataclass(frozen=True, slots=True)
class Boxed(Fact):
    """An invented fact that holds what no journal keeps."""

    things: dict[str, str]


def pounds_to_kilograms(payload: dict[str, Any]) -> dict[str, Any]:
    return {"kilograms": payload["pounds"] * 0.5}


def kilograms_to_grams(payload: dict[str, Any]) -> dict[str, Any]:
    return {"grams": payload["kilograms"] * 1000.0, "malt": "pale"}


LIFTED = FactEncoding(
    [GristWeighed], {("GristWeighed", 1): pounds_to_kilograms, ("GristWeighed", 2): kilograms_to_grams}
)


@pytest.mark.parametrize(
    ("version", "payload"),
    [(1, '{"pounds": 8}'), (2, '{"kilograms": 4.0}'), (3, '{"grams": 4000.0, "malt": "pale"}')],
)
def test_old_versions_are_lifted_step_by_step(version: int, payload: str) -> None:
    """A row of each past version reads as the present fact, and is written in the present version."""
    fact = LIFTED.decode(EncodedFact("GristWeighed", version, payload))
    assert GristWeighed(4000.0, "pale") == fact
    assert EncodedFact("GristWeighed", 3, '{"grams": 4000.0, "malt": "pale"}') == LIFTED.encode(fact)


def test_a_row_that_does_not_lift_is_damaged() -> None:
    """An old row that lacks what its step needs is refused as damaged."""
    with pytest.raises(JournalRefusal, match="damaged: it does not lift from version 1"):
        LIFTED.decode(EncodedFact("GristWeighed", 1, '{"stone": 8}'))


def test_a_version_without_its_step_is_found_at_once() -> None:
    """A raised version without the step from the one before is our mistake, found when the program starts."""
    with pytest.raises(ValueError, match="no step lifts GristWeighed from version 2"):
        FactEncoding([GristWeighed], {("GristWeighed", 1): pounds_to_kilograms})


def test_a_field_that_no_journal_keeps_is_found_at_once() -> None:
    """A fact that declares a type outside text, numbers and tuples is our mistake, found at the start."""
    with pytest.raises(TypeError, match="a fact holds only text, numbers, booleans, None and tuples"):
        FactEncoding([Boxed], {})


def test_a_fact_that_is_not_the_journals_is_refused() -> None:
    """A class that only has the name of a known fact is not written."""

    @dataclass(frozen=True, slots=True)
    class BoilHeld(Fact):
        pass

    with pytest.raises(JournalRefusal, match="BoilHeld cannot be written: the journal knows no such fact"):
        FACTS.encode(BoilHeld())
