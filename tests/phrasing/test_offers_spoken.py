"""An offer fits in a breath and on a screen, number first, whatever the kettle is."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from brew_day import EXAMPLES, example
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.day import facts as f
from assistant.day.advice import as_fact, options
from assistant.day.facts import Stage
from assistant.day.plan import Plan
from assistant.day.state import State, Taken
from assistant.phrasing.offer_table import WIDTH, offer_table
from assistant.phrasing.offers import MOST_WORDS, count_words, offer, what_else, why_this

PLANS = {name: example(name) for name in EXAMPLES}


def offered(plan: Plan, off_sg: float, off_l: float | None) -> f.AdviceGiven | None:
    """What is offered when the full kettle reads so far off the plan."""
    gravity_sg = plan.beer.gravity_before_boil_sg + off_sg
    gravity = Taken(f.GravityRead(gravity_sg, 20.0, gravity_sg, 0.0006, ""), 0.0, 1, Stage.PRE_BOIL)
    volumes: tuple[Taken[f.VolumeRead], ...] = ()
    if off_l is not None:
        litres = plan.volume_before_boil_l + off_l
        volumes = (Taken(f.VolumeRead(litres, litres, 0.3, ""), 1.0, 2, Stage.PRE_BOIL),)
    state = State(stage=Stage.PRE_BOIL, planned_boil_min=plan.beer.boil_min, gravities=(gravity,), volumes=volumes)
    found = options(plan, state, 0.0)
    return None if found is None else as_fact(found)


kettles = st.tuples(st.sampled_from(EXAMPLES), st.floats(-0.012, 0.010), st.one_of(st.none(), st.floats(-5.0, 5.0)))
SAID = "Low by six: ten thirty-eight."


@settings(max_examples=50, deadline=None)
@given(kettles)
def test_an_offer_fits_in_nine_seconds_and_eighty_columns(kettle: tuple[str, float, float | None]) -> None:
    """With the verdict before it an offer has at most 23 words and no figure; its table at most 80 columns."""
    name, off_sg, off_l = kettle
    plan = PLANS[name]
    made = offered(plan, off_sg, off_l)
    if made is None:
        return
    spoken = offer(made, plan, SAID)
    # The plan's volume named, gallons in quarters and Plato may take a word or two more.
    assert MOST_WORDS + 3 >= count_words(f"{SAID} {spoken}"), spoken
    for text in (spoken, what_else(State(advice=made), plan), why_this(made, plan)):
        assert not re.search(r"[0-9°]", text), text
    assert MOST_WORDS + 3 >= count_words(what_else(State(advice=made), plan))
    rows = offer_table(made, plan)
    assert WIDTH >= max(map(len, rows))
    ranked = [row.split()[1] for row in rows[1:] if row[:2].strip().isdigit()]
    assert list(made.kinds) == ranked
    # Columns do not run into each other.
    assert all(re.match(r" ?[0-9]+ [a-z]+ .* ±", row) for row in rows[1:] if row[:2].strip().isdigit())


@pytest.mark.parametrize(
    ("off_sg", "off_l", "wanted"),
    [
        (-0.006, 0.0, "Four hundred and twenty grams of extract, give or take two hundred; or leave it."),
        (-0.003, 2.0, "Thirty-five minutes longer, give or take thirty; or "),
        (0.006, 0.0, "Two point eight litres of water after the boil, give or take one point one; or leave it."),
        (0.0, -2.5, "Both: "),
        (
            -0.0025,
            0.0,
            "Leave it: you end at ten forty-nine, give or take three; I cannot tell that from on target.",
        ),
        (-0.006, None, "By the plan's volume: "),
    ],
)
def test_the_best_way_is_said_first_with_how_sure(off_sg: float, off_l: float | None, wanted: str) -> None:
    """Number first, then the band; two acts by their name; leaving it where nothing can be told."""
    made = offered(PLANS["hollow-lane"], off_sg, off_l)
    assert made is not None
    assert offer(made, PLANS["hollow-lane"]).startswith(wanted)


def test_a_long_verdict_leaves_room_for_the_best_way_alone() -> None:
    """What no longer fits goes, the least first: volume lost, the other way, the band; the best way never."""
    plan = PLANS["hollow-lane"]
    made = offered(plan, -0.006, 0.0)
    assert made is not None
    lengths = [count_words(offer(made, plan, "word " * said)) for said in (0, 8, 12, 16, 30)]
    assert sorted(lengths, reverse=True) == lengths
    assert "Four hundred and twenty grams of extract." == offer(made, plan, "word " * 30)


def test_an_offer_of_an_earlier_version_is_still_said() -> None:
    """An old journal tells kind and size alone: they are said, there is no table."""
    plan = PLANS["hollow-lane"]
    old = f.AdviceGiven(("longer", "extract", "leave"), (18.0, 0.41, 0.0), (1.044, 1.044, 1.038))
    assert "Eighteen minutes longer; or four hundred and ten grams of extract; or leave it." == offer(old, plan)
    assert "Four hundred and ten grams of extract." == what_else(State(advice=old), plan)
    assert () == offer_table(old, plan)


def test_what_else_without_an_offer_says_what_is_wanted() -> None:
    """Where nothing is on offer the answer says what would bring an offer; where no other way is, it says so."""
    plan = PLANS["hollow-lane"]
    assert "Nothing is on offer now. Say a gravity and a volume." == what_else(State(), plan)
    one = replace(f.AdviceGiven(("water", "leave"), (1.5, 0.0), (1.052, 1.056)))
    assert what_else(State(advice=one), plan).startswith("Nothing else")


def test_the_table_tells_two_acts_in_two_lines_and_reasons_below() -> None:
    """Each act of a way has its own line with its band; what cannot be done stands at the end with why."""
    made = offered(PLANS["hollow-lane"], -0.006, -2.5)
    assert made is not None
    rows = offer_table(made, PLANS["hollow-lane"])
    place = next(index for index, row in enumerate(rows) if " both " in row)
    assert re.search(r"[0-9]+ ±[0-9]+ g extract", rows[place])
    assert re.search(r"^ +[0-9.]+ ±[0-9.]+ L water$", rows[place + 1])
    assert " -  sugar   not now: so much sugar thins the body" in rows
    assert "IBU" in rows[0]
    assert "ends at P" in offer_table(offered(PLANS["lark-ridge"], -0.006, 0.0), PLANS["lark-ridge"])[0]  # type: ignore[arg-type]
