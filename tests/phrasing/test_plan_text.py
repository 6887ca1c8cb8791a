"""A plan as a text for the terminal."""

from pathlib import Path

import pytest

from assistant.day.plan import Plan
from assistant.day.plan_file import read_plan
from assistant.phrasing.plan_text import WIDTH, plan_lines

FILES = sorted((Path(__file__).parents[2] / "plans").glob("*.toml"))


def example(name: str, old: str = "", new: str = "") -> Plan:
    """One of the example plans, with one edit."""
    text = next(file for file in FILES if file.stem == name).read_text(encoding="utf-8")
    assert old in text
    return read_plan(text.replace(old, new, 1), name)


def test_hollow_lane_reads_as_a_page() -> None:
    """Targets stand with their tolerances and calls in minutes before knockout, in the brewer's units."""
    expected = """\
Hollow Lane
30-litre kettle, 30.0 L to the rim; water boils at 99.6 °C

Targets
  strike water          16.0 L at 74 °C, for 4.6 kg of grain
  saccharification      67 °C for 60 min
  before the boil       1.044 ± 0.002, 24.9 L ± 0.5 L
  after the boil        1.052 ± 0.002, 21.0 L ± 0.5 L
  bitterness            31 IBU ± 14, wanted 31; 34 by Tinseth, 39 by Rager
  into the fermenter    19.0 L ± 0.5 L
  pitch                 dry ale yeast, 11 g, at 18 °C ± 1
  Volumes are at 20 °C; the same wort stands 4 % higher when it boils.

Calls, in minutes before knockout
      75                boil on
      55                bittering hops, 22 g of 9.8 % alpha
      20                twenty-minute hops, 18 g of 5.5 % alpha
      15                yeast nutrient, 2 g
      10                finings, 1 tablet
       7                chiller into the boil
       5                aroma hops, 30 g of 5.5 % alpha
       0                knockout

Clean and wet before the wort is cool
  chiller               in the boil, 7 min
  fermenter             no-rinse sanitiser, 2 min
  siphon                no-rinse sanitiser, 2 min
  thermometer           no-rinse sanitiser, 2 min

Weeks after
  day 10                take a gravity
  day 12                take a gravity: the same as on day ten means finished
  day 14                bottle, if the gravity has stood still"""

    assert expected.split("\n") == list(plan_lines(example("hollow-lane")))


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("ferry-lantern", "  strike water          4.00 gal at 166 °F, for 11 lb of grain"),
        ("ferry-lantern", "  before the boil       1.046 ± 0.002, 6.75 gal ± 0.10 gal"),
        ("ferry-lantern", "  pitch                 liquid ale yeast, 2 packs, at 66 °F ± 2"),
        ("ferry-lantern", "      60                bittering hops, 1.25 oz of 6.2 % alpha"),
        ("lark-ridge", "  before the boil       11.9 °P ± 0.5, 30.0 L ± 0.5 L"),
        ("lark-ridge", "  first wort            first-wort hops, 15 g of 12.5 % alpha"),
        ("lark-ridge", "  at 80 °C              aroma hops, 80 g of 11 % alpha, stand for 20 min"),
    ],
)
def test_each_brewer_reads_own_units(name: str, expected: str) -> None:
    """Gallons and Fahrenheit, or Plato, are shown to the brewer who plans in them."""
    assert expected in plan_lines(example(name))


@pytest.mark.parametrize("name", [file.stem for file in FILES])
def test_no_line_is_wider_than_a_terminal(name: str) -> None:
    """Long names and long words of the plan are wrapped, not cut."""
    long = "a very long thing to do that goes on and on until it is longer than a line of the terminal can be"
    text = example(name, 'what = "take a gravity"', f'what = "{long}"')

    lines = plan_lines(text)

    assert max(len(line) for line in lines) <= WIDTH
    assert long in " ".join(" ".join(lines).split())


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ('grain = "4.6 kg"\n', "", ["  strike water          16.0 L at 74 °C"]),
        (
            'name = "saccharification"',
            'name = "a rest that was given a long name"',
            ["  a rest that was given a long name", "                        67 °C for 60 min"],
        ),
    ],
)
def test_what_a_plan_leaves_out_or_spells_out_has_its_place(old: str, new: str, expected: list[str]) -> None:
    """Grain that is not given is not spoken of; a name too long for its column has a line of its own."""
    lines = list(plan_lines(example("hollow-lane", old, new)))
    start = lines.index(expected[0])

    assert expected == lines[start : start + len(expected)]


def test_remarks_close_the_page() -> None:
    """What is doubtful in the plan is the last thing read."""
    lines = plan_lines(example("hollow-lane", 'contact = "7 min"', 'contact = "2 min"'))

    expected = ("Look at these", "  chiller: 2 min in the boil is short; 5 min are safe.")
    assert expected == lines[-2:]
