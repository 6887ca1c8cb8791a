"""Every call has one sentence, short enough for one breath, in words that a voice can say."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import Final

import pytest
from brew_day import EXAMPLES, altered, example

from assistant.day import facts as f
from assistant.day.calls import Call, CallKind
from assistant.day.due import Due
from assistant.day.facts import Stage
from assistant.day.plan import Amount, Plan
from assistant.day.state import State, Taken
from assistant.day.timetable import SOLIDS, WATER, timetable
from assistant.phrasing import names
from assistant.phrasing.ahead import all_texts
from assistant.phrasing.call_sentences import FIXED, MADE, call_sentence
from assistant.quantities import Unit

WORDS_PER_MINUTE: Final = 165
BREATH_S: Final = 9.0
CAUTION_S: Final = 12.0
# Words of a caution: what hurts, or what to keep from it.
CAUTIOUS: Final = re.compile(
    r"scald|foam|splash|lift|goggles|glass breaks|sparks|carbon dioxide|hot", re.IGNORECASE
)
SPOKEN: Final = re.compile(r"[A-Za-z][A-Za-z'-]*[,.:;?!]?|\"[A-Za-z' -]+\"[,.:;?!]?")


def seconds(text: str) -> float:
    """How long `text` takes to say; each part of a hyphened word is counted as a word."""
    return len(re.split(r"[ -]+", text)) * 60.0 / WORDS_PER_MINUTE


@pytest.mark.parametrize("kind", list(CallKind))
def test_every_call_has_exactly_one_sentence(kind: CallKind) -> None:
    """A kind of call is either always the same sentence or made from the plan, never both, never neither."""
    assert (kind in FIXED) is not (kind in MADE)


@pytest.mark.parametrize("kind", list(CallKind))
def test_every_call_has_a_short_name(kind: CallKind) -> None:
    """ "Next: ..." has a name for each kind of call."""
    by_plan = {
        CallKind.ADDITION_AHEAD,
        CallKind.ADDITION_NOW,
        CallKind.REST_OVER,
        CallKind.INTO_THE_BOIL,
        CallKind.WET_ITEM,
        CallKind.CONTACT_OVER,
    }
    assert (kind in names._NAMES) is not (kind in by_plan)


@pytest.mark.parametrize("name", EXAMPLES)
def test_sentences_of_a_plan_fit_in_one_breath(name: str) -> None:
    """No call of an example plan is longer than nine seconds at 165 words a minute; one with a caution, twelve."""
    longest = {text: seconds(text) for text in all_texts(example(name))}
    too_long = {
        text: round(took, 1)
        for text, took in longest.items()
        if took > (CAUTION_S if CAUTIOUS.search(text) else BREATH_S)
    }
    assert {} == too_long


@pytest.mark.parametrize("name", EXAMPLES)
def test_sentences_hold_only_words(name: str) -> None:
    """No figure and no sign reaches the voice, which would spell it."""
    for text in all_texts(example(name)):
        assert "" == SPOKEN.sub("", text).replace(" ", ""), text


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_call_of_a_plan_is_known_ahead(name: str) -> None:
    """Each call that the plan alone decides is rendered early, the first time and repeated."""
    plan = example(name)
    texts = all_texts(plan)
    for group in [item for item in plan.additions if item.minutes is not None]:
        assert any(text.startswith("Now: ") and group.what in text for text in texts)
    for item in plan.sanitation:
        assert any(text.lower().startswith(item.name) or f" {item.name.capitalize()} " in text for text in texts)
    assert any(text.startswith("Pitched.") for text in texts)
    assert len(set(texts)) == len(texts)


def test_a_repeated_call_is_never_longer_than_the_first() -> None:
    """What is repeated takes no longer, give or take a word: nobody listens to a caution five times."""
    for kind, (first, again) in FIXED.items():
        assert seconds(again) <= seconds(first) + 0.5, kind


MASHING = State(stage=Stage.MASH, rest_since_s=0.0)


def sentence(kind: CallKind, plan: Plan, state: State, index: int = 0, occurrence: int = 1) -> str:
    """The sentence of a call of `kind`."""
    return call_sentence(Due(Call("x.now", kind, 0.0, index=index), occurrence, 0.0), plan, state, 0.0).text


@pytest.mark.parametrize(
    ("kind", "name", "index", "wanted"),
    [
        (CallKind.READY, "hollow-lane", 0, 'Hollow Lane, nineteen litres into the fermenter. Say "start the day".'),
        (CallKind.READY, "ferry-lantern", 0, "Ferry Lantern, five and a quarter gallons into the fermenter."),
        (CallKind.STRIKE, "ferry-lantern", 0, "Strike water: four gallons to one sixty-six. It scalds:"),
        (CallKind.MASH_CHECK, "lark-ridge", 0, "Mash temperature? Stir first. Wanted sixty-six."),
        (
            CallKind.REST_OVER,
            "lark-ridge",
            0,
            "Saccharification is over. Heat to seventy-six for mash-out, stirring.",
        ),
        (CallKind.REST_OVER, "lark-ridge", 1, 'Mash-out is over. Run off next. Say "run off".'),
        (CallKind.ADDITION_NOW, "ferry-lantern", 1, "Now: twenty-minute hops in, half an ounce of flavour hops."),
        (
            CallKind.INTO_THE_BOIL,
            "hollow-lane",
            0,
            "Chiller into the boil now, for seven minutes. Hot splash: lower",
        ),
        (CallKind.STAND_COOL, "lark-ridge", 3, "Hop stand: cool to eighty, stirring, and tell me the temperature."),
        (
            CallKind.WET_ITEM,
            "ferry-lantern",
            1,
            "Funnel in hot water, it scalds, five minutes. Say funnel when it is.",
        ),
        (CallKind.PITCH, "lark-ridge", 0, "Pitch dry ale yeast, one point five packets, at nineteen. Clean hands."),
        (CallKind.HANDED_OVER, "lark-ridge", 0, "Pitched. Airlock free, never sealed."),
    ],
)
def test_sentences_made_from_the_plan(kind: CallKind, name: str, index: int, wanted: str) -> None:
    """Sentences carry the plan's own figures in the brewer's units."""
    assert sentence(kind, example(name), MASHING, index).startswith(wanted)


@pytest.mark.parametrize(
    ("kind", "size", "index", "wanted"),
    [
        (
            "extract",
            0.41,
            SOLIDS,
            "Weigh four hundred and ten grams of dry extract. Heat off first: it scorches and foams.",
        ),
        (
            "water",
            1.5,
            WATER,
            "Add one point five litres of boiled water, slowly: it scalds and splashes. Say done.",
        ),
    ],
)
def test_corrections_are_called_with_their_caution(kind: str, size: float, index: int, wanted: str) -> None:
    """Extract and water come with what hurts before the hand moves."""
    chosen = Taken(f.AdviceChosen(kind, size).in_full(), 0.0, 3, Stage.PRE_BOIL)
    assert sentence(CallKind.CORRECTION, example("hollow-lane"), State(chosen=chosen), index).startswith(wanted)


def test_a_correction_nobody_chose_is_a_defect() -> None:
    """Such a call cannot be put into words."""
    with pytest.raises(ValueError, match="nobody chose"):
        sentence(CallKind.CORRECTION, example("hollow-lane"), State())
    with pytest.raises(ValueError, match="not pending"):
        sentence(CallKind.QUESTION_AGAIN, example("hollow-lane"), State())


def test_a_blocked_transfer_names_only_what_was_never_wet() -> None:
    """The gate names each thing that nobody said is sanitised."""
    state = State(stage=Stage.TRANSFER, wet=MappingProxyType({"fermenter": 0.0, "chiller": 0.0}))
    wanted = "No transfer yet. Not safe: siphon, thermometer. Say each name when it is sanitised."
    assert wanted == sentence(CallKind.TRANSFER_BLOCKED, example("hollow-lane"), state)


def test_the_transfer_call_claims_nothing_that_was_not_said() -> None:
    """The transfer is called only in a state in which everything that it calls sanitised was named."""
    plan = example("hollow-lane")
    wet = {item.name: 0.0 for item in plan.sanitation}
    for missing in wet:
        partly = MappingProxyType({name: at_s for name, at_s in wet.items() if name != missing})
        state = State(stage=Stage.TRANSFER, stage_since_s=1000.0, wet=partly)
        assert [None] == [call.due_s for call in timetable(plan, state) if call.kind is CallKind.TRANSFER]


def test_figures_in_the_plans_later_days_are_said_as_words() -> None:
    """What a brewer wrote with figures for the weeks after is spoken in words."""
    plan = altered("hollow-lane", ('what = "take a gravity"', 'what = "dry hops, 40 g"'))
    plan = replace(plan, yeast=replace(plan.yeast, amount=Amount(Decimal("11.5"), Unit.GRAM)))
    assert not re.search(r"\d", sentence(CallKind.HANDED_OVER, plan, State()))
    assert not re.search(r"\d", sentence(CallKind.PITCH, plan, State()))
