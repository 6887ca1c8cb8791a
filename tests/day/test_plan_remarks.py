"""What is doubtful in a plan is said, and does not stop the day."""

from pathlib import Path

import pytest

from assistant.day.plan import AdditionTime
from assistant.day.plan_file import read_plan

HOLLOW_LANE = (Path(__file__).parents[2] / "plans" / "hollow-lane.toml").read_text(encoding="utf-8")
SUGAR = '[[addition]]\nwhat = "sugar"\nkind = "sugar"\namount = "500 g"\nat = "30 min"\n'


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "gravity_after_boil = 1.052",
            "gravity_after_boil = 1.060",
            "The targets do not fit the boil-off: 24.9 L at 1.044 boiled down to 21.0 L comes to 1.052, "
            "and the plan wants 1.060.",
        ),
        (
            "[yeast]",
            f"{SUGAR}[yeast]",
            "The targets do not fit the boil-off: 24.9 L at 1.044 boiled down to 21.0 L comes to 1.060, "
            "and the plan wants 1.052.",
        ),
        (
            'kettle_full = "30 L"',
            'kettle_full = "27 L"',
            "Little room for foam: 25.9 L come to the boil in a kettle that holds 27.0 L.",
        ),
        (
            '    ["30 cm", "25.35 L"],\n    ["34 cm", "28.75 L"],\n',
            "",
            "The dipstick ends at 16.8 L, and 25.9 L stand in the kettle before the boil.",
        ),
        (
            'coolant = "14 C"',
            'coolant = "21 C"',
            "Cooling water at 21 °C cannot bring the wort to 18 °C: have ice, or pitch later.",
        ),
        ('contact = "7 min"', 'contact = "2 min"', "chiller: 2 min in the boil is short; 5 min are safe."),
        (
            'how = "no-rinse sanitiser"\ncontact = "2 min"',
            'how = "no-rinse sanitiser"\ncontact = "30 s"',
            "fermenter: 0.5 min no-rinse sanitiser is short; 1 min are safe.",
        ),
        (
            'bitterness = "31 IBU"',
            'bitterness = "60 IBU"',
            "The hops come to 31 IBU, 34 by Tinseth and 39 by Rager, and the plan wants 60.",
        ),
        (
            'at = "5 min"\nalpha = "5.5 %"',
            'at = "5 min"',
            "No alpha acid is given for aroma hops: the bitterness is reckoned without.",
        ),
    ],
)
def test_what_is_doubtful_is_remarked_on(old: str, new: str, expected: str) -> None:
    """One doubtful line in a plan gives one remark, and the plan is read all the same."""
    assert old in HOLLOW_LANE

    assert (expected,) == read_plan(HOLLOW_LANE.replace(old, new, 1), "x.toml").remarks


def test_the_hottest_boil_down_is_remarked_on_and_not_a_failure() -> None:
    """Targets that would boil to more than any formula knows are doubtful like others."""
    text = HOLLOW_LANE.replace("gravity_before_boil = 1.044", "gravity_before_boil = 1.149")
    text = text.replace("gravity_after_boil = 1.052", "gravity_after_boil = 1.150")

    (remark,) = read_plan(text, "x.toml").remarks

    assert "comes to over 1.170" in remark


def test_additions_stand_in_the_order_in_which_they_go_in() -> None:
    """First wort, then the longest boil first, then stands as the wort cools, whatever the order of the file."""
    times = ["0 min", "70 C", "first wort", "90 C", "12 min", "75 min"]
    tables = "".join(
        f'[[addition]]\nwhat = "hops {number}"\nkind = "hop"\namount = "1 g"\nat = "{at}"\n'
        + ('for = "10 min"\n' if at.endswith("C") else "")
        for number, at in enumerate(times)
    )
    start, end = HOLLOW_LANE.index("[[addition]]\n"), HOLLOW_LANE.index("[[sanitation]]\n")

    plan = read_plan(HOLLOW_LANE[:start] + tables + HOLLOW_LANE[end:], "x.toml")

    expected = ["hops 2", "hops 5", "hops 4", "hops 0", "hops 3", "hops 1"]
    assert expected == [item.what for item in plan.additions]
    assert AdditionTime.FIRST_WORT is plan.additions[0].time


@pytest.mark.parametrize(
    ("expected", "altitude"),
    [(99.974, ""), (96.649, 'altitude = "1000 m"'), (99.2, 'boiling_point = "99.2 C"')],
)
def test_the_boiling_point_is_measured_or_follows_from_the_altitude(expected: float, altitude: str) -> None:
    """Water boils as measured, else by the altitude (1000 m: IAPWS-95, LIB), else as at sea level."""
    text = HOLLOW_LANE.replace('altitude = "120 m"', altitude)

    assert pytest.approx(expected, abs=0.02) == read_plan(text, "x.toml").rig.boiling_point_c
