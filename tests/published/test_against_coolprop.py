"""Our water against IAPWS-95, computed by CoolProp (Bell et al., Ind. Eng. Chem. Res. 53 (2014) 2498)."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from assistant.calculation import pressure, volumes, water


@pytest.mark.parametrize("tenths", range(1, 1000, 7))
def test_water_density_meets_iapws_95(tenths: int) -> None:
    """From 0.1 to 99.5 °C our water is within 0.01 kg/m³ of IAPWS-95."""
    temperature_c = tenths / 10.0

    expected = PropsSI("D", "T", temperature_c + 273.15, "P", 101_325.0, "Water")

    assert expected == pytest.approx(water.density_kg_m3(temperature_c), abs=0.01, rel=0)


@pytest.mark.parametrize("pressure_pa", [1e3, 1e4, 5e4, 7e4, 8e4, 9e4, 1e5, 101_325.0, 1.1e5, 2e5])
def test_boiling_point_meets_iapws_95(pressure_pa: float) -> None:
    """Water boils within 0.005 K of where IAPWS-95 says, from 1 to 200 kPa."""
    expected = PropsSI("T", "P", pressure_pa, "Q", 0, "Water") - 273.15

    assert expected == pytest.approx(pressure.boiling_point_c(pressure_pa), abs=0.005, rel=0)


@pytest.mark.parametrize("temperature_c", [1.0, 40.0, 65.0, 80.0, 98.0])
def test_hot_water_shrinks_as_iapws_95_says(temperature_c: float) -> None:
    """Water of SG 1.000 shrinks to 20 °C by the ratio of the IAPWS-95 densities, within 0.001 %."""
    hot = PropsSI("D", "T", temperature_c + 273.15, "P", 101_325.0, "Water")
    cold = PropsSI("D", "T", 293.15, "P", 101_325.0, "Water")

    assert hot / cold == pytest.approx(volumes.volume_at_20c_l(1.0, temperature_c, 1.0), abs=1e-5, rel=0)
