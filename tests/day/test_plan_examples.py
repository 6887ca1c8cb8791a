"""The example plans: they read, fit themselves, and teach every field."""

from decimal import Decimal
from pathlib import Path

import pytest

from assistant.day.plan import (
    Addition,
    AdditionKind,
    AdditionTime,
    Amount,
    Beer,
    Plan,
    SanitationItem,
    Sanitised,
    UnitChoice,
    Yeast,
)
from assistant.day.plan_file import read_plan
from assistant.day.plan_schema import TABLES
from assistant.quantities import Unit, to_core

FOLDER = Path(__file__).parents[2] / "plans"
FILES = sorted(FOLDER.glob("*.toml"))


def example(name: str) -> Plan:
    """One of the example plans."""
    return read_plan((FOLDER / f"{name}.toml").read_text(encoding="utf-8"), f"plans/{name}.toml")


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_an_example_reads_without_a_doubt(file: Path) -> None:
    """Every example is a plan, keeps its own text, and leaves nothing to remark on."""
    text = file.read_text(encoding="utf-8")
    plan = read_plan(text, file.name)

    assert not plan.remarks
    assert text == plan.text


def asbc_plato(sg: float) -> float:
    """Plato by the ASBC polynomial (encyclopaedia article "Brix", 2ND), independent of our density model."""
    return -616.868 + 1111.14 * sg - 630.272 * sg**2 + 135.997 * sg**3


def extract_g_per_l(sg: float) -> float:
    """Extract in a litre of wort, from the polynomial and water of 998.2 g/L at 20 °C."""
    return asbc_plato(sg) / 100.0 * sg * 998.2


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_the_targets_of_an_example_keep_their_extract(file: Path) -> None:
    """Extract before the boil, with any sugar, is the extract after it: the gravities agree within one point."""
    plan = read_plan(file.read_text(encoding="utf-8"), file.name)
    sugar_g = sum(
        1000.0 * to_core(float(addition.amount.value), addition.amount.unit)
        for addition in plan.additions
        if addition.kind is AdditionKind.SUGAR and addition.amount.unit is not None
    )
    extract_g = extract_g_per_l(plan.beer.gravity_before_boil_sg) * plan.volume_before_boil_l + sugar_g

    low_sg, high_sg = 1.0, 1.15
    for _ in range(40):
        middle = (low_sg + high_sg) / 2.0
        too_thin = extract_g_per_l(middle) * plan.volume_after_boil_l < extract_g
        low_sg, high_sg = (middle, high_sg) if too_thin else (low_sg, middle)

    assert pytest.approx(low_sg, abs=0.001) == plan.beer.gravity_after_boil_sg


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_the_volumes_of_an_example_fit_its_boil_off(file: Path) -> None:
    """What goes into the kettle is what reaches the fermenter, what stays behind, and what boils away."""
    plan = read_plan(file.read_text(encoding="utf-8"), file.name)
    boiled_off_l = plan.rig.boil_off_l_per_h * plan.beer.boil_min / 60.0
    kept_l = plan.beer.into_fermenter_l + plan.rig.kettle_loss_l

    assert pytest.approx(kept_l + boiled_off_l) == plan.volume_before_boil_l


def test_hollow_lane_is_read_as_written() -> None:
    """The metric example arrives in the core's units with its additions in their order."""
    plan = example("hollow-lane")

    beer = Beer("Hollow Lane", 19.0, 1.044, 1.052, 75.0, 0.002, 0.5, 1.0, 31.0)
    times = [55, 20, 15, 10, 5]
    alphas = [0.098, 0.055, None, None, 0.055]
    days = [10, 12, 14]
    assert beer == plan.beer
    assert UnitChoice() == plan.units
    assert pytest.approx((0.3, 25.35)) == plan.rig.dipstick[3]
    assert times == [addition.minutes for addition in plan.additions]
    assert [pytest.approx(alpha) for alpha in alphas] == [addition.alpha_fraction for addition in plan.additions]
    assert SanitationItem("chiller", Sanitised.IN_THE_BOIL, 420.0) == plan.sanitation[0]
    assert Yeast("dry ale yeast", Amount(Decimal(11), Unit.GRAM), 18.0) == plan.yeast
    assert days == [item.day for item in plan.later]


def test_the_us_example_is_read_in_us_units() -> None:
    """Gallons, inches, Fahrenheit and ounces arrive converted, and the brewer keeps the units."""
    plan = example("ferry-lantern")

    assert pytest.approx(5.25 * 3.785411784) == plan.beer.into_fermenter_l
    assert pytest.approx(3.785411784) == plan.rig.boil_off_l_per_h
    assert pytest.approx(13.5 * 0.0254) == plan.rig.kettle_diameter_m
    assert pytest.approx(15.5556, abs=1e-4) == plan.rig.hydrometer.calibration_c
    assert pytest.approx(2 / 1.8) == plan.beer.temperature_tolerance_c
    assert Amount(Decimal("1.25"), Unit.OUNCE) == plan.additions[0].amount
    units = UnitChoice(Unit.FAHRENHEIT, Unit.US_GALLON, Unit.INCH, Unit.OUNCE, Unit.POUND)
    assert units == plan.units


def test_the_example_at_altitude_boils_lower() -> None:
    """At 1600 m water boils at 94.65 °C.

    Standard atmosphere with IAPWS-95 (LIB): 94.984 at 1500 m and 94.620 at 1609 m, so 94.651 between.
    """
    plan = example("lark-ridge")

    assert pytest.approx(94.651, abs=0.02) == plan.rig.boiling_point_c
    assert AdditionTime.FIRST_WORT is plan.additions[0].time
    eighty_grams = Amount(Decimal(80), Unit.GRAM)
    stand = Addition("aroma hops", AdditionKind.HOP, eighty_grams, AdditionTime.HOP_STAND, 20.0, 80.0, 0.11)
    assert stand == plan.additions[-1]
    assert plan.has_hop_stand
    assert Unit.PLATO is plan.units.gravity


def test_the_examples_show_every_field() -> None:
    """A brewer finds each name that a plan may hold written in one of the examples."""
    written = "\n".join(file.read_text(encoding="utf-8") for file in FILES)
    names = {info.alias or name for table in TABLES.values() for name, info in table.model_fields.items()}

    assert set() == {name for name in names if name not in written}
