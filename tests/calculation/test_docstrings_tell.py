"""Every public function of the room tells its range and its source and shows a worked example."""

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


def _missing(function: Callable[..., object]) -> list[str]:
    text = inspect.getdoc(function) or ""
    starts = [line.split(":")[0] for line in text.splitlines() if ":" in line]
    absent = [mark for mark in ("Valid", "Source") if mark not in starts]
    return absent if doctest.DocTestParser().get_examples(text) else [*absent, "worked example"]


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: f"{function.__module__}.{function.__name__}")
def test_docstring_tells_range_source_and_example(function: Callable[..., object]) -> None:
    """A formula without its range, its source or a worked example is not finished."""
    assert not _missing(function)


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: f"{function.__module__}.{function.__name__}")
def test_docstring_names_every_argument(function: Callable[..., object]) -> None:
    """Each argument stands in the docstring by its name."""
    text = inspect.getdoc(function) or ""
    unnamed = [name for name in inspect.signature(function).parameters if not re.search(rf"\b{name}\b", text)]

    assert not unnamed


def test_the_walk_finds_the_room() -> None:
    """The walk reaches functions of every module, so an empty walk cannot pass for a good one."""
    found = {function.__module__.rsplit(".", 1)[1] for function in FUNCTIONS}

    # These two hold tables and value types, no formulas.
    assert {module.name for module in pkgutil.iter_modules(room.__path__)} - {"results", "sources"} == found


def test_a_bare_function_is_caught() -> None:
    """A function with no docstring would be reported for all three."""

    def bare(sg: float) -> float:
        return sg

    assert _missing(bare) == ["Valid", "Source", "worked example"]
