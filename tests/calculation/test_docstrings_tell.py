"""Every public function of the room tells units, range and source, and shows a worked example.

A unit stands in square brackets: after each argument that is a number, and before the first of them for the
result. What has none says so there: [ratio], [0 to 1], [count], [any unit].
"""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable

import pytest

import assistant.calculation as room


def _public_functions() -> list[Callable[..., object]]:
    names = [module.name for module in pkgutil.iter_modules(room.__path__)]
    modules = [importlib.import_module(f"{room.__name__}.{name}") for name in names]
    return [
        function
        for module in modules
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if not name.startswith("_") and function.__module__ == module.__name__
    ]


FUNCTIONS = _public_functions()

# The unit that a name promises by how it ends; one of several where they are told apart by a bar.
UNIT_OF_ENDING = {
    "_j_per_kg_k": "J/(kg K)",
    "_w_per_m2_k": "W/(m² K)",
    "_w_per_k": "W/K",
    "_j_per_k": "J/K",
    "_j_per_kg": "J/kg",
    "_l_per_h": "L/h",
    "_l_per_min": "L/min",
    "_kg_per_s": "kg/s",
    "_l_per_kg": "L/kg",
    "_mg_per_l": "mg/L",
    "_g_per_l": "g/L",
    "_per_s": "1/s",
    "_per_k": "1/K",
    "_molar_mass_g": "g/mol",
    "_time_to_c": "s",
    "_l_per_mol": "L/mol",
    "_k_per_s": "K/s",
    "_kg_m3": "kg/m³",
    "_m2": "m²",
    "_kcal": "kcal",
    "_kwh": "kWh",
    "_mpa": "MPa",
    "_pa": "Pa",
    "_kg": "kg",
    "_g": "g",
    "_l": "L",
    "_ml": "mL",
    "_c": "°C",
    "_k": "K",
    "_s": "s",
    "_m": "m",
    "_w": "W",
    "_j": "J",
    "_h": "h",
    "_days": "days",
    "_ibu": "IBU",
    "_percent": "%",
    "_plato": "°P",
    "_brix": "°Bx",
    "_sg": "SG|20/20",
    "_srm": "SRM",
    "_ebc": "EBC",
    "_fraction": "kg/kg|0 to 1",
    "_e9": "10⁹",
    "_minutes": "min",
    "_boil_off": "L/h",
    "_efficiency": "ratio",
    "_moisture": "kg/kg",
    "_volumes": "L/L",
}
_ENDINGS = sorted(UNIT_OF_ENDING, key=len, reverse=True)


def _promised(name: str) -> str:
    plain = f"_{name}".split("_from_")[0]
    return next((UNIT_OF_ENDING[ending] for ending in _ENDINGS if plain.endswith(ending)), "")


def _told(function: Callable[..., object]) -> str:
    return (inspect.getdoc(function) or "").split(">>>")[0]


def _is_number(annotation: object) -> bool:
    return bool(re.search(r"\b(float|Measured|History|Result|Points)\b", str(annotation))) and (
        "Callable" not in str(annotation)
    )


def _numbers(function: Callable[..., object]) -> list[str]:
    """The arguments of the signature that are numbers, or made of numbers."""
    parameters = inspect.signature(function).parameters
    return [
        name for name, item in parameters.items() if _is_number(item.annotation) and item.annotation != "Result"
    ]


def _brackets_after(text: str, name: str) -> list[str]:
    """What stands in the first square bracket after each mention of `name` within its sentence."""
    found: list[str] = []
    for mention in re.finditer(rf"`{name}`", text):
        sentence = re.split(r"[.:;]\s|\n\n", text[mention.end() :])[0]
        bracket = re.search(r"\[([^\]]+)\]", sentence)
        if bracket:
            found.append(bracket.group(1))
    return found


def _agrees(unit: str, brackets: list[str]) -> bool:
    wanted = [re.compile(rf"(?<![\w/]){re.escape(one)}(?![\w/])") for one in unit.split("|")]
    return not unit or any(pattern.search(bracket) for pattern in wanted for bracket in brackets)


def _untold_arguments(function: Callable[..., object]) -> list[str]:
    told = _told(function)
    untold: list[str] = []
    for name in _numbers(function):
        brackets = _brackets_after(told, name)
        if not brackets or not _agrees(_promised(name), brackets):
            untold.append(f"{name}: {_promised(name) or 'a unit'}, not {brackets}")
    return untold


def _untold_result(function: Callable[..., object]) -> str:
    """What is wrong with the unit of the result, if it is a number."""
    if not _is_number(inspect.signature(function).return_annotation):
        return ""
    summary = _told(function).split("\n\n")[0]
    mentions = [found.start() for name in _numbers(function) if (found := re.search(rf"`{name}`", summary))]
    brackets = re.findall(r"\[([^\]]+)\]", summary[: min(mentions, default=len(summary))])
    if not brackets:
        return "the result has no unit"
    promised = _promised(function.__name__)
    return "" if _agrees(promised, brackets) else f"the result: {promised}, not {brackets}"


def _missing(function: Callable[..., object]) -> list[str]:
    text = inspect.getdoc(function) or ""
    starts = [line.split(":")[0] for line in text.splitlines() if ":" in line]
    absent = [mark for mark in ("Valid", "Source") if mark not in starts]
    return absent if doctest.DocTestParser().get_examples(text) else [*absent, "worked example"]


def _name(function: Callable[..., object]) -> str:
    return f"{function.__module__}.{function.__name__}"


@pytest.mark.parametrize("function", FUNCTIONS, ids=_name)
def test_docstring_tells_range_source_and_example(function: Callable[..., object]) -> None:
    """A formula without its range, its source or a worked example is not finished."""
    assert not _missing(function)


@pytest.mark.parametrize("function", FUNCTIONS, ids=_name)
def test_docstring_names_every_argument(function: Callable[..., object]) -> None:
    """Each argument stands in the docstring by its name."""
    unnamed = [
        name for name in inspect.signature(function).parameters if not re.search(rf"\b{name}\b", _told(function))
    ]

    assert not unnamed


@pytest.mark.parametrize("function", FUNCTIONS, ids=_name)
def test_docstring_names_nothing_that_is_gone(function: Callable[..., object]) -> None:
    """What the docstring shows with a unit as if it were an argument is one, as the signature has it now."""
    shown = re.findall(r"`([a-z][a-z0-9_]*)` \[", _told(function))

    assert set(shown) <= set(inspect.signature(function).parameters)


@pytest.mark.parametrize("function", FUNCTIONS, ids=_name)
def test_docstring_tells_the_unit_of_every_argument(function: Callable[..., object]) -> None:
    """Each number has its unit in square brackets, the one that its name promises."""
    assert not _untold_arguments(function)


@pytest.mark.parametrize("function", FUNCTIONS, ids=_name)
def test_docstring_tells_the_unit_of_the_result(function: Callable[..., object]) -> None:
    """The first sentence has the unit of the result in square brackets, the one that the name promises."""
    assert not _untold_result(function)


@pytest.mark.parametrize("function", FUNCTIONS, ids=_name)
def test_result_comes_in_the_unit_told(function: Callable[..., object]) -> None:
    """The unit that a `Result` carries is the one of the docstring."""
    if inspect.signature(function).return_annotation != "Result":
        return
    carried = re.findall(r"Result\(\s*[\w.]+,\s*[\w.]+,\s*\"([^\"]+)\"", inspect.getsource(function))
    brackets = re.findall(r"\[([^\]]+)\]", _told(function).split("\n\n")[0])

    assert not [unit for unit in carried if not _agrees(_IN_WORDS.get(unit, unit), brackets)]


# Units that a docstring tells as what they are.
_IN_WORDS = {"volumes": "L/L", "SG": "SG|20/20", "10⁹ cells": "10⁹", "packs": "count"}


def test_the_walk_finds_the_room() -> None:
    """The walk reaches functions of every module, so an empty walk cannot pass for a good one."""
    found = {function.__module__.rsplit(".", 1)[1] for function in FUNCTIONS}

    # These two hold tables and value types, no formulas.
    assert {module.name for module in pkgutil.iter_modules(room.__path__)} - {"results", "sources"} == found


def test_a_bare_function_is_caught() -> None:
    """A function with no docstring would be reported for all of it."""

    def bare(sg: float) -> float:
        return sg

    assert _missing(bare) == ["Valid", "Source", "worked example"]
    assert _untold_arguments(bare) == ["sg: SG|20/20, not []"]
    assert _untold_result(bare) == "the result has no unit"


def test_a_wrong_unit_is_caught() -> None:
    """A unit that is not the one of the name would be reported."""

    def boil_l(volume_l: float) -> float:
        """Give how much [gal] is left of `volume_l` [kg]."""
        return volume_l

    assert _untold_arguments(boil_l) == ["volume_l: L, not ['kg']"]
    assert _untold_result(boil_l) == "the result: L, not ['gal']"
