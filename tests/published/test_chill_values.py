"""Chill values from outside the project, each with its source, status and tolerance, against our formulas.

Status words as in `test_published_values`. The strengths of the coils in the table are illustrative, common
practice without a source; what is checked is the arithmetic of the tank.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import gsw
import ht
import pytest
from CoolProp.CoolProp import PropsSI

from assistant.calculation import chill_design, chill_ice
from assistant.calculation.chill_design import CoilChill
from assistant.quantities import Measured, OutsideRange

ROWS = list(csv.DictReader((Path(__file__).parent / "chill_values.csv").open(encoding="utf-8", newline="")))
STATUSES = {"SRC", "2ND", "LIB", "CALC", "MEM", "MEM+"}
LITRE_KG = 0.999


def _coil(flow: float, strength: float, water_c: float) -> CoilChill:
    return CoilChill(
        Measured(20.93, 0.0),
        3900.0,
        Measured(strength, 0.0),
        Measured(flow, 0.0),
        Measured(water_c, 0.0),
        Measured(98.0, 0.0),
    )


def _ntu(flow: float, strength: float) -> float:
    return strength / (flow / 60.0 * LITRE_KG * chill_design.WATER_J_PER_KG_K)


FORMULAS: dict[str, Callable[..., float]] = {
    "effectiveness": chill_design.effectiveness,
    "NTU of the coil": lambda flow, strength, _: _ntu(flow, strength),
    "effectiveness of the coil": lambda flow, strength, water_c: (
        (chill_design.outlet_c(_coil(flow, strength, water_c), Measured(98.0, 0.0)).value - water_c)
        / (98.0 - water_c)
    ),
    "tau of the tank": lambda flow, strength, water_c: (
        chill_design.tau_from_history(_coil(flow, strength, water_c)).value / 60.0
    ),
    "minutes to target": lambda flow, strength, water_c, target_c: (
        chill_design.time_to_target_s(_coil(flow, strength, water_c), target_c).value / 60.0
    ),
    "water to target": lambda flow, strength, water_c, target_c: (
        chill_design.water_used_l(_coil(flow, strength, water_c), target_c).value
    ),
    "temperature after": lambda flow, strength, water_c, minutes: (
        chill_design.temperature_after_c(_coil(flow, strength, water_c), 60.0 * minutes).value
    ),
    "latent heat of fusion": lambda: chill_ice.FUSION_J_PER_KG,
    "specific heat of ice": lambda: chill_ice.ICE_J_PER_KG_K,
    "specific heat of water": lambda: chill_design.WATER_J_PER_KG_K,
    "ice to cool a kilogram of water by a kelvin": lambda: (
        1000.0 * chill_ice.ice_to_cool_kg(Measured(1.0, 0.0), 4186.0, Measured(20.0, 0.0), 19.0).value
    ),
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['quantity']} {row['inputs']} {row['status']}")
def test_chill_formula_meets_published_value(row: dict[str, str]) -> None:
    """Each published value comes out of our formula within the tolerance written beside it."""
    inputs = [float(pair.split("=")[1]) for pair in row["inputs"].split(";") if pair]

    got = FORMULAS[row["quantity"]](*inputs)

    assert float(row["value"]) == pytest.approx(got, abs=float(row["tolerance"]), rel=0)


def test_every_chill_row_is_told_where_it_comes_from() -> None:
    """No published value stands without a source, a known status and a tolerance above zero."""
    assert ROWS
    assert not [row for row in ROWS if not row["source"] or row["status"] not in STATUSES]
    assert not [row for row in ROWS if not float(row["tolerance"]) > 0.0]
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}


def test_water_of_twenty_degrees_never_gets_to_twenty() -> None:
    """The row of the table that says "never" is a refusal, not a value that is no number."""
    with pytest.raises(OutsideRange, match="Water of 20 °C cannot cool wort to 20 °C"):
        chill_design.time_to_target_s(_coil(6.0, 400.0, 20.0), 20.0)


@pytest.mark.parametrize("ntu", [0.01, 0.1, 0.5, 0.957, 2.0, 5.0])
@pytest.mark.parametrize("arrangement", ["counterflow", "parallel", "crossflow"])
def test_a_heat_exchanger_library_agrees(ntu: float, arrangement: str) -> None:
    """The effectiveness of ht at a heat-capacity ratio of zero is ours, for any arrangement of the flow."""
    # The formula for crossed flow divides by the ratio: zero itself, or much less than this, drowns it in rounding.
    expected = ht.effectiveness_from_NTU(ntu, 1e-7, subtype=arrangement)

    assert expected == pytest.approx(chill_design.effectiveness(ntu), abs=1e-6)


def test_ice_is_that_of_the_standard() -> None:
    """Latent heat and heat capacity of ice are those of the TEOS-10 library at 0 °C."""
    assert float(gsw.latentheat_melting(0.0, 0.0)) == pytest.approx(chill_ice.FUSION_J_PER_KG, rel=1e-4)
    assert float(gsw.cp_ice(0.0, 0.0)) == pytest.approx(chill_ice.ICE_J_PER_KG_K, rel=1e-3)


@pytest.mark.parametrize(("wall_c", "air_c", "height_m"), [(95.0, 20.0, 0.4), (60.0, 20.0, 0.4), (35.0, 15.0, 0.3)])
def test_still_air_is_near_the_correlation_of_churchill_and_chu(
    wall_c: float, air_c: float, height_m: float
) -> None:
    """The simplified convection lies 0 to 15 % below the full correlation (ht, air of CoolProp)."""
    film = ("T", (wall_c + air_c) / 2.0 + 273.15, "P", 101_325.0, "Air")
    conductivity, density = PropsSI("L", *film), PropsSI("D", *film)
    viscosity, heat = PropsSI("V", *film), PropsSI("C", *film)
    grashof = 9.81 / film[1] * (wall_c - air_c) * height_m**3 * (density / viscosity) ** 2
    nusselt = ht.conv_free_immersed.Nu_vertical_plate_Churchill(viscosity * heat / conductivity, grashof)
    expected = nusselt * conductivity / height_m

    got = chill_ice.still_air_w_per_m2_k(wall_c, air_c, height_m, 0.0)

    assert 0.85 * expected < got < expected


def test_radiation_is_that_of_black_walls() -> None:
    """Between black walls of 60 and 20 °C, 279.7 W/m² pass: σ (T1⁴ - T2⁴) with σ of CODATA 2018."""
    black, bright = (chill_ice.still_air_w_per_m2_k(60.0, 20.0, 0.4, emissivity) for emissivity in (1.0, 0.0))

    assert 5.670374419e-8 * (333.15**4 - 293.15**4) == pytest.approx((black - bright) * 40.0, rel=1e-6)
