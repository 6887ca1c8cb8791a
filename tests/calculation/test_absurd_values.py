"""No absurd number is taken silently: not one that is none, not one that no brewery ever saw."""

from __future__ import annotations

import ast
import copy
import dataclasses
import doctest
import importlib
import inspect
import math
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from test_docstrings_tell import FUNCTIONS

from assistant.calculation import (
    boil_history,
    carbonation,
    chill_design,
    chill_ice,
    heat,
    hop_kinetics,
    hydrometer,
    mash,
    mash_steps,
    volumes,
    water_chemistry,
    water_use,
)
from assistant.calculation.boil_history import Hold
from assistant.calculation.chill_design import CoilChill
from assistant.calculation.mash_steps import Mash
from assistant.quantities import Measured, OutsideRange

NO_NUMBERS = (math.nan, math.inf, -math.inf)
# What an example may do with its numbers besides giving them to the formula.
_NOT_OF_THE_FORMULA = {"round", "range", "enumerate"}


def _given_numbers(tree: ast.AST, *, inside: bool = False) -> Iterator[ast.Constant]:
    """The numbers that an example gives to a formula or to what it takes, not those it reckons with afterwards."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Constant) and type(node.value) in (int, float) and inside:
            yield node
        elif isinstance(node, ast.Subscript):
            yield from _given_numbers(node.value, inside=inside)
        else:
            called = isinstance(node, ast.Call) and getattr(node.func, "id", "") not in _NOT_OF_THE_FORMULA
            yield from _given_numbers(node, inside=inside or called)


class _WrittenOut(ast.NodeTransformer):
    def visit_Constant(self, node: ast.Constant) -> ast.expr:
        if isinstance(node.value, float) and not math.isfinite(node.value):
            return ast.parse(f"float('{node.value}')", mode="eval").body
        return node


def _worked(example: ast.Module, names: dict[str, Any]) -> list[Any]:
    """What the lines of the example give."""
    given: list[Any] = []
    for line in ast.fix_missing_locations(_WrittenOut().visit(copy.deepcopy(example))).body:
        if isinstance(line, ast.Expr):
            given.append(eval(compile(ast.Expression(line.value), "example", "eval"), names))
        else:
            exec(compile(ast.Module([line], []), "example", "exec"), names)
    return given


def _is_sound(value: Any) -> bool:
    if isinstance(value, float):
        return math.isfinite(value)
    if dataclasses.is_dataclass(value):
        return all(_is_sound(getattr(value, field.name)) for field in dataclasses.fields(value))
    if isinstance(value, tuple | list):
        return all(_is_sound(item) for item in value)
    return True


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: f"{function.__module__}.{function.__name__}")
def test_what_is_no_number_never_comes_out(function: Callable[..., object]) -> None:
    """The worked example of every formula, with any of its numbers replaced by none, is refused or stays finite."""
    names = vars(importlib.import_module(function.__module__))
    examples = doctest.DocTestParser().get_examples(inspect.getdoc(function) or "")
    example = ast.parse("".join(item.source for item in examples if not item.exc_msg))
    unsound: list[str] = []
    for number in _given_numbers(example):
        right = number.value
        for wrong in NO_NUMBERS:
            number.value = wrong
            try:
                worked = _worked(example, dict(names))
            except (OutsideRange, ValueError):
                continue
            finally:
                number.value = right
            if not _is_sound(worked):
                unsound.append(f"{wrong} for {right} in line {number.lineno}")

    assert not unsound


def test_the_walk_would_find_a_hole() -> None:
    """A formula that lets through what is no number is seen by the walk."""
    example = ast.parse("careless(2.0)")
    names: dict[str, Any] = {"careless": lambda value: value * 3.0}
    next(_given_numbers(example)).value = math.nan

    assert not _is_sound(_worked(example, names))


_COIL = (Measured(21.0, 0.1), 3900.0, Measured(400.0, 40.0), Measured(6.0, 0.3), Measured(15.0, 1.0))
_MASH = Mash(Measured(5.0, 0.0), Measured(15.0, 0.0), Measured(67.0, 0.0))
_SURE = Measured(20.0, 0.0)
_TUN = tuple(Measured(value, 0.0) for value in (15.0, 72.0, 69.5, -300.0))
_DIPS = tuple(Measured(value, 0.0) for value in (26.0, 22.0, 60.0, 1.044, 150.0))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: mash.strike_c(Measured(5, 0), Measured(15, 0), 67.0, _SURE, boiling_c=400.0), "60 to 105 °C"),
        (lambda: mash.strike_c(Measured(5, 0), Measured(15, 0), 67.0, Measured(-90, 0), boiling_c=100.0), "grain"),
        (
            lambda: mash.strike_c(Measured(5, 0), Measured(15, 0), 67.0, _SURE, boiling_c=100.0, tun_c=200.0),
            "The temperature of the tun must be from -20 to 100 °C",
        ),
        (lambda: mash.tun_heat_capacity_j_per_k(*_TUN), "tun must be from -20 to 100 °C, not -300 °C"),
        (
            lambda: mash_steps.tun_loss_w_per_k(_MASH, Measured(64.0, 0.0), 60.0, Measured(-300.0, 0.0)),
            "room must be from -20 to 60 °C",
        ),
        (
            lambda: chill_design.temperature_after_c(CoilChill(*_COIL, Measured(300.0, 0.0)), 60.0),
            "start of the chill must be from 15 to 110 °C, not 300 °C",
        ),
        (lambda: chill_ice.ice_to_cool_kg(_SURE, 3900.0, Measured(300.0, 0.0), 18.0), "from 0 to 110 °C"),
        (
            lambda: chill_ice.overnight_c(Measured(2e4, 1e3), Measured(300.0, 0.0), Measured(16.0, 1.0), 60.0),
            "wort must be from 0 to 110 °C",
        ),
        (
            lambda: hydrometer.correct(
                1.05, 30.0, calibration_c=20.0, reading_sd_sg=0.0, thermometer_sd_c=0.0, expansion_per_k=200e-6
            ),
            "expansion of the glass must be from",
        ),
        (lambda: carbonation.gauge_for_volumes_pa(2.4, 4.0, 0.0), "air pressure must be from"),
        (lambda: carbonation.volumes_in_beer(2e5, 4.0, -1.0), "air pressure must be from"),
        (lambda: water_chemistry.Water(calcium=-5.0), "calcium of a water must be at least 0 mg/L, not -5 mg/L"),
        (lambda: water_chemistry.degrees_german(1e6), "hardness must be from"),
        (
            lambda: water_use.held_l_per_kg_from(Measured(5.0, 0.0), Measured(28.0, 0.0), Measured(-1.0, 0.0)),
            "run-off must be at least 0 L, not -1 L",
        ),
        (lambda: water_use.hot_l(_SURE, Measured(200.0, 0.0), Measured(1.05, 0.0)), "from 0 to 105 °C, not 200 °C"),
        (lambda: heat.boil_off_from_dipsticks_l_per_h(*_DIPS), "from 0 to 105 °C, not 150 °C"),
        (lambda: boil_history.cooling_points(0.0, 98.0, 15.0, 300.0, math.inf), "cooling must end"),
    ],
)
def test_absurd_values_are_refused_with_the_limit(call: Callable[[], object], words: str) -> None:
    """What no brewery ever saw is refused in a sentence with the limit, not reckoned with."""
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)


@pytest.mark.parametrize(
    "call",
    [
        lambda: volumes.volume_at_depth_l(0.3, ((0.05, -4.0), (0.4, 30.0))),
        lambda: volumes.volume_at_depth_l(0.3, ((0.05, 4.0), (math.inf, 30.0))),
        lambda: boil_history.time_of_boil_clock_s(60.0, 0.0, [Hold(10.0, math.inf, 90.0)]),
        lambda: boil_history.boil_history(0.0, 60.0, 98.0, after=[(math.nan, 80.0)]),
        lambda: hop_kinetics.after_history([(0.0, 100.0), (math.nan, 100.0), (60.0, 100.0)], 0.0, 60.0),
    ],
)
def test_impossible_marks_and_times_are_refused(call: Callable[[], object]) -> None:
    """A dipstick with marks below nothing, or a history with times that are none, is refused."""
    with pytest.raises(ValueError, match=r"dipstick|holds|history"):
        call()


def test_wort_on_the_boil_has_a_cold_volume() -> None:
    """Wort boils a little above 100 °C: its volume is taken as at 100, not refused."""
    expected = volumes.volume_at_20c_l(26.0, 100.0, 1.050)

    assert expected == volumes.volume_at_20c_l(26.0, 100.4, 1.050)
