"""Refusals speak the brewer's units."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.calculation.limits import require_at_least, require_within
from assistant.day.plan import UnitChoice
from assistant.day.refusals import refusal_in_units
from assistant.phrasing.asking import METRIC, US
from assistant.quantities import OutsideRange, Shown, Unit

PLATO = replace(METRIC, gravity=Unit.PLATO)


def refusal_of(lowest: float, highest: float, value: float, unit: str) -> OutsideRange:
    """The refusal of a value out of its limits."""
    with pytest.raises(OutsideRange) as caught:
        require_within("It", value, lowest, highest, unit)
    return caught.value


@pytest.mark.parametrize(
    ("limits", "choice", "told"),
    [
        ((0.0, 100.0, 120.0, "°C"), METRIC, "from 0 to 100 °C, not 120 °C"),
        ((0.0, 100.0, 120.0, "°C"), US, "from 32 to 212 °F, not 248 °F"),
        ((0.0, 5.0, 10.0, "K"), METRIC, "from 0 to 5 °C, not 10 °C"),
        ((0.0, 5.0, 10.0, "K"), US, "from 0 to 9 °F, not 18 °F"),
        ((0.0, 37.85411784, 75.70823568, "L"), US, "from 0 to 10 gal, not 20 gal"),
        ((0.0, 0.45359237, 0.90718474, "kg"), US, "from 0 to 1 lb, not 2 lb"),
        ((0.0, 0.028349523125, 0.05669904625, "kg"), US, "from 0 to 1 oz, not 2 oz"),
        ((0.0, 0.1, 0.2, "kg"), METRIC, "from 0 to 100 g, not 200 g"),
        ((0.0, 0.254, 0.508, "m"), US, "from 0 to 10 in, not 20 in"),
        ((0.0, 0.3, 0.6, "m"), METRIC, "from 0 to 30 cm, not 60 cm"),
        ((-304.8, 3048.0, 6096.0, "m"), US, "from -1000 to 10000 ft, not 20000 ft"),
        ((0.0, 3048.0, 6096.0, "m"), METRIC, "from 0 to 3048 m, not 6096 m"),
        ((0.0, 14400.0, 18000.0, "s"), METRIC, "from 0 to 240 min, not 300 min"),
        ((0.0, 30.0, 40.0, "s"), METRIC, "from 0 to 30 s, not 40 s"),
        ((1.0, 1.17, 1.2, "SG"), US, "from 1.000 to 1.170 SG, not 1.200 SG"),
        ((0.0, 200_000.0, 300_000.0, "Pa"), METRIC, "from 0 to 2 bar, not 3 bar"),
        ((0.0, 68_947.57, 137_895.15, "Pa"), US, "from 0 to 10 psi, not 20 psi"),
        ((0.0, 3.785411784, 7.570823568, "L/h"), US, "from 0 to 1 gal/h, not 2 gal/h"),
        ((0.0, 200.0, 300.0, "IBU"), US, "from 0 to 200 IBU, not 300 IBU"),
    ],
)
def test_limits_and_value_share_the_brewer_s_unit(
    limits: tuple[float, float, float, str], choice: UnitChoice, told: str
) -> None:
    """Each dimension is told in the unit of the choice, factors by definition; what has no other unit stays."""
    assert f"It must be {told}." == refusal_in_units(refusal_of(*limits), choice)


def test_a_gravity_is_in_plato_for_who_thinks_in_plato() -> None:
    """1.040 is 10 °P (ASBC table); what no Plato belongs to stays as it is."""
    refusal = OutsideRange("Not {low:gravity} or {far:gravity}.", low=Shown(1.040, "SG"), far=Shown(1.2, "SG"))
    assert "Not 10 °P or 1.200." == refusal_in_units(refusal, PLATO)


def test_no_number_is_told_as_such() -> None:
    """A value that is no number has no unit to convert into."""
    with pytest.raises(OutsideRange) as caught:
        require_at_least("It", float("nan"), 0.0, "L")
    assert "It must be at least 0 gal, not a value that is no number." == refusal_in_units(caught.value, US)


def test_a_sentence_without_values_stays() -> None:
    """Braces and all."""
    assert "Say {it} otherwise." == refusal_in_units(OutsideRange("Say {it} otherwise."), US)
