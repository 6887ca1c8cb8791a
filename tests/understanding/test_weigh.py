"""Taken, asked or refused: the decision follows the evidence and never changes a digit."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.messages import Hypothesis, Utterance, Word
from assistant.quantities import Unit
from assistant.understanding import number_forms
from assistant.understanding.number_words import DIGITS, TEENS, TENS
from assistant.understanding.parse import meanings
from assistant.understanding.plausible import log_plausibility, spreads_away
from assistant.understanding.rivals import COUNTERPARTS, digits_apart
from assistant.understanding.said import (
    Accept,
    Ask,
    Command,
    Digits,
    Doubt,
    Expected,
    Kind,
    Listening,
    Named,
    Order,
    OutOfLimits,
    Reading,
    Readings,
    Reject,
    Verdict,
)
from assistant.understanding.weigh import weigh

_STAGE = Listening(
    expected=(
        Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, 1.050, 0.005, 0.980, 1.170),
        Expected(Kind.TEMPERATURE, Unit.CELSIUS, 65.0, 10.0, -5.0, 105.0),
    )
)
_LATE = Listening(expected=(Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, 1.012, 0.003, 0.980, 1.170),))
_OPEN = Listening()
_QUESTION = Listening(expected=_STAGE.expected, choices=("15", "50"), names=("tube",))
_STAGES = {"stage": _STAGE, "late": _LATE, "open": _OPEN, "question": _QUESTION}


def _heard(text: str, *others: tuple[str, float], sure: float = 0.99, **levels: float) -> Utterance:
    """An utterance; "word/0.6" gives one word its own confidence, `sure` the others."""
    words = []
    for count, item in enumerate(text.split()):
        word, _, own = item.partition("/")
        words.append(Word(word, float(own) if own else sure, 0.3 * count, 0.3 * count + 0.25))
    rest = [
        Hypothesis(tuple(Word(word, 0.0, 0.0, 0.0) for word in other.split()), score) for other, score in others
    ]
    return Utterance((Hypothesis(tuple(words)), *rest), engine="test", **levels)  # type: ignore[arg-type]


def _told(verdict: Verdict) -> str:
    if isinstance(verdict, Accept):
        if isinstance(verdict.said, Readings):
            return "take " + ", ".join(str(item.value) for item in verdict.said.readings)
        return f"take {type(verdict.said).__name__}"
    if isinstance(verdict, Ask):
        asked = " or ".join(str(item.value) for item in verdict.candidates)
        rest = "".join(f" + {item.value}" for item in verdict.others)
        return f"ask {asked}{rest}: {verdict.doubt.name}"
    return f"{'silent' if verdict.silent else 'refuse'}: {verdict.doubt.name}"


@pytest.mark.parametrize(
    ("expected", "heard", "stage"),
    [
        # clear readings
        ("take 1.044", _heard("ten forty four"), "stage"),
        ("take 1.044", _heard("ten forty four", sure=0.75), "stage"),
        ("take 64, 1.044", _heard("sixty four degrees ten forty four"), "stage"),
        ("take 1.050", _heard("ten fifty"), "stage"),
        ("take 1.015", _heard("ten fifteen"), "late"),
        # heard badly
        ("ask 1.044: LOW_CONFIDENCE", _heard("ten forty four/0.6"), "stage"),
        ("ask 1.044: LOW_CONFIDENCE", _heard("ten forty four", sure=0.8), "open"),
        ("refuse: LOW_CONFIDENCE", _heard("ten forty four/0.3"), "stage"),
        ("silent: LOW_CONFIDENCE", _heard("sixty/0.3"), "stage"),
        ("ask 1.044 + 64: LOW_CONFIDENCE", _heard("sixty four ten forty/0.5 four"), "stage"),
        # a teen against its ten
        ("ask 1.050 or 1.015: CLOSE_CALL", _heard("ten fifteen", sure=1.0), "stage"),
        ("ask 1.050 or 1.015: CLOSE_CALL", _heard("ten fifty/0.45"), "stage"),
        ("take 1.050", _heard("ten fifty"), "open"),
        ("ask 1.050 or 1.015: CLOSE_CALL", _heard("ten fifty/0.94"), "open"),
        ("ask 1.015 or 1.050: CLOSE_CALL", _heard("ten fifty"), "late"),
        ("ask 1.050 or 1.015 + 64: CLOSE_CALL", _heard("sixty four ten fifteen"), "stage"),
        # digit by digit there is nothing to confuse
        ("take 1.015", _heard("one oh one five"), "stage"),
        # other words that are mixed up
        ("ask 1.045 or 1.049: CLOSE_CALL", _heard("ten forty five/0.71"), "open"),
        ("take 1.045", _heard("ten forty five/0.9"), "open"),
        # another string fits as well
        ("ask 1.044 or 1.043: CLOSE_CALL", _heard("ten forty four", ("ten forty three", -1.0)), "stage"),
        ("take 1.044", _heard("ten forty four", ("ten forty three", -4.0)), "stage"),
        ("take 1.044", _heard("ten forty four", ("ten forty for", -0.1)), "stage"),
        ("take 1.044", _heard("ten forty four", ("uh ten forty four", -0.1)), "stage"),
        ("refuse: CLOSE_CALL", _heard("sixty", ("ten sixty", -0.5)), "stage"),
        ("refuse: CLOSE_CALL", _heard("one degree", ("done", -0.5)), "stage"),
        # surprising without a rival
        ("take 1.072", _heard("ten seventy two"), "stage"),
        ("ask 1.072: LOW_CONFIDENCE", _heard("ten seventy two", sure=0.88), "stage"),
        ("ask 1.122: SURPRISING", _heard("eleven twenty two"), "stage"),
        # a gravity may have lost its last digit
        ("ask 104: LOW_CONFIDENCE", _heard("one oh four"), "stage"),
        ("take 104", _heard("one oh four degrees"), "stage"),
        ("take 1.012, 104", _heard("ten twelve at one oh four"), "late"),
        # impossible
        ("take OutOfLimits", _heard("eleven ninety two"), "stage"),
        ("refuse: LOW_CONFIDENCE", _heard("eleven ninety two", sure=0.5), "stage"),
        # two possible cuts
        ("silent: NOTHING", Utterance((), engine="test"), "stage"),
        ("silent: NOTHING", Utterance((Hypothesis(()),), engine="test"), "stage"),
        # no meaning
        ("refuse: PARTLY_UNKNOWN", _heard("ten [unk] fifty"), "stage"),
        ("silent: PARTLY_UNKNOWN", _heard("[unk] [unk] ten fifty"), "stage"),
        ("silent: PARTLY_UNKNOWN", _heard("ten [unk] fifty", sure=0.4), "stage"),
        ("silent: PARTLY_UNKNOWN", _heard("[unk] water leave"), "stage"),
        ("silent: PARTLY_UNKNOWN", _heard("[unk]"), "stage"),
        ("refuse: NO_MEANING", _heard("ten forty four degrees litres"), "stage"),
        ("silent: NO_MEANING", _heard("oh"), "stage"),
        ("refuse: NO_MEANING", _heard("oh", ("ten oh four", -1.0)), "stage"),
        # noise
        ("refuse: TOO_NOISY", _heard("ten forty four", speech_dbfs=-20.0, noise_dbfs=-20.5), "stage"),
        ("silent: TOO_NOISY", _heard("[unk] ten", speech_dbfs=-20.0, noise_dbfs=-20.5), "stage"),
        ("take Order", _heard("quiet/0.4", speech_dbfs=-20.0, noise_dbfs=-20.5), "stage"),
        (
            "ask 1.044: LOW_CONFIDENCE",
            _heard("ten forty four", sure=0.9, speech_dbfs=-20.0, noise_dbfs=-24.0),
            "stage",
        ),
        ("take 1.044", _heard("ten forty four", sure=0.9, speech_dbfs=-20.0, noise_dbfs=-40.0), "stage"),
        # corrected in the same breath: the words of the correction count too
        ("take 1.044", _heard("ten fifty no ten forty four"), "stage"),
        ("ask 1.044: LOW_CONFIDENCE", _heard("ten fifty no/0.6 ten forty four"), "stage"),
        # an open question
        ("take Digits", _heard("one five"), "question"),
        ("refuse: LOW_CONFIDENCE", _heard("one five", sure=0.6), "question"),
        ("refuse: CLOSE_CALL", _heard("fifteen", sure=1.0), "question"),
        ("refuse: CLOSE_CALL", _heard("one five", ("five zero", -1.0)), "question"),
        ("refuse: NO_MEANING", _heard("one six"), "question"),
        ("take 1.015", _heard("one oh one five"), "question"),
        ("ask 1.050 or 1.015: CLOSE_CALL", _heard("ten fifteen"), "question"),
        ("take 1.122", _heard("eleven twenty two"), "question"),
        ("take Named", _heard("tube"), "question"),
        ("refuse: CLOSE_CALL", _heard("tube", ("two degrees", -1.0)), "question"),
        ("refuse: LOW_CONFIDENCE", _heard("tube", sure=0.6), "question"),
    ],
)
def test_policy_for_readings_and_answers(expected: str, heard: Utterance, stage: str) -> None:
    """Each kind of evidence leads to the decision that the policy names."""
    assert expected == _told(weigh(heard, _STAGES[stage]))


@pytest.mark.parametrize(
    ("expected", "heard"),
    [
        ("take Order", _heard("quiet/0.31")),
        ("silent: LOW_CONFIDENCE", _heard("quiet/0.2")),
        ("take Order", _heard("how long", sure=0.45)),
        ("silent: LOW_CONFIDENCE", _heard("how long", sure=0.35)),
        ("take Order", _heard("done", sure=0.55)),
        ("refuse: LOW_CONFIDENCE", _heard("done", sure=0.45)),
        ("take Order", _heard("boil is on", sure=0.75)),
        ("refuse: LOW_CONFIDENCE", _heard("boil is on", sure=0.65)),
        ("refuse: CLOSE_CALL", _heard("boil is on", ("water is on", -1.0))),
        ("take Order", _heard("boil is on", ("oil is on", -1.0))),
        ("take Order", _heard("how long", ("longer", -1.0))),
        ("take Order", _heard("add ten minutes")),
        ("take Order", _heard("add fifteen minutes")),
        ("refuse: CLOSE_CALL", _heard("add fifteen/0.9 minutes")),
        ("refuse: CLOSE_CALL", _heard("add ten minutes", ("take ten minutes", -1.0))),
        ("take Order", _heard("make/0.9 a/0.95 note/0.9 [unk]/0.1 boil")),
        ("refuse: LOW_CONFIDENCE", _heard("make a/0.8 note boil")),
    ],
)
def test_policy_for_orders(expected: str, heard: Utterance) -> None:
    """What changes the day must be heard better than a question, and silence is granted most easily."""
    assert expected == _told(weigh(heard, _OPEN))


@pytest.mark.parametrize("command", list(Command))
def test_the_surer_the_dearer(command: Command) -> None:
    """No order needs less confidence than silence, none is followed at none, each at full."""
    phrase = "quiet" if command is Command.QUIET else command.value
    sure, unsure = weigh(_heard(phrase, sure=1.0), _OPEN), weigh(_heard(phrase, sure=0.29), _OPEN)

    assert isinstance(unsure, Reject)
    assert isinstance(sure, Accept | Reject)
    if isinstance(sure, Accept):
        assert isinstance(sure.said, Order)
        assert command is sure.said.command


def test_a_knock_is_no_speech() -> None:
    """Words in less time than it takes to say any are ignored in silence."""
    knock = Utterance((Hypothesis((Word("done", 0.99, 0.0, 0.1),)),), engine="test")

    assert _told(weigh(knock, _OPEN)) == "silent: LOW_CONFIDENCE"


@pytest.mark.parametrize(
    ("expected", "text", "stage"),
    [
        ("take 1.015", "ten fifteen", "stage"),
        ("take 1.160", "11 60", "stage"),
        ("take OutOfLimits", "1.190", "stage"),
        ("refuse: NO_MEANING", "ten fourty", "stage"),
        ("refuse: NO_MEANING", "[unk]", "stage"),
        ("take Digits", "15", "question"),
        ("take Digits", "fifteen", "question"),
        ("take 60", "60", "question"),
        ("refuse: NO_MEANING", "one six", "question"),
        ("take Order", "knockout", "stage"),
        ("silent: NOTHING", "", "stage"),
    ],
)
def test_typed_words_are_certain(expected: str, text: str, stage: str) -> None:
    """What was typed is taken as typed, surprising or not, or refused aloud."""
    assert expected == _told(weigh(Utterance.from_keyboard(text), _STAGES[stage]))


def test_degrees_of_extract_are_not_taken_for_warmth() -> None:
    """Where gravity is read in degrees and both are possible, "twelve degrees" is said again, not picked."""
    expected = Expected(Kind.GRAVITY, Unit.PLATO, 12.0, 0.5, 0.0, 25.0)
    listening = Listening(gravity_unit=Unit.PLATO, expected=(expected, _STAGE.expected[1]))

    assert _told(weigh(_heard("twelve degrees"), listening)) == "refuse: CLOSE_CALL"
    assert _told(weigh(_heard("sixty four degrees"), listening)) == "take 64"
    assert _told(weigh(_heard("twelve plato at twenty degrees"), listening)) == "take 12, 20"
    assert _told(weigh(_heard("sixty four degrees twelve degrees"), listening)) == "take 64, 12"


@pytest.mark.parametrize("typed", [True, False])
def test_two_cuts_are_asked(typed: bool) -> None:
    """Words with two possible cuts that differ in both readings are said again; none is picked."""
    us = Listening(temperature_unit=Unit.FAHRENHEIT)
    text = "ten twenty one sixty"

    verdict = weigh(Utterance.from_keyboard(text) if typed else _heard(text), us)

    assert _told(verdict) == "refuse: CLOSE_CALL"


def test_expectation_is_heavy_tailed() -> None:
    """The farther out, the less likely, but ever more slowly than a normal curve would have it."""
    away = [
        Reading(Kind.GRAVITY, Decimal(thousandths).scaleb(-3), Unit.SPECIFIC_GRAVITY, "")
        for thousandths in (1050, 1060, 1100)
    ]
    logs = [log_plausibility(reading, _STAGE) for reading in away]

    assert logs[0] == pytest.approx(0.0, abs=1e-12)
    assert logs[0] > logs[1] > logs[2] > -0.5 * 10.0**2
    assert pytest.approx([spreads_away(reading, _STAGE) for reading in away]) == [0.0, 2.0, 10.0]


def test_scales_that_do_not_convert_have_no_expectation() -> None:
    """A gravity in Plato is neither likely nor unlikely against an expectation in SG."""
    plato = Reading(Kind.GRAVITY, Decimal(12), Unit.PLATO, "")

    assert spreads_away(plato, _STAGE) is None
    assert log_plausibility(plato, _STAGE) == 0.0


def _sg(value: str) -> Reading:
    return Reading(Kind.GRAVITY, Decimal(value), Unit.SPECIFIC_GRAVITY, "")


def _c(value: str) -> Reading:
    return Reading(Kind.TEMPERATURE, Decimal(value), Unit.CELSIUS, "")


@pytest.mark.parametrize(
    ("figures", "one", "other"),
    [
        (("15", "50"), _sg("1.015"), _sg("1.050")),
        (("04", "14"), _sg("1.004"), _sg("1.014")),
        (("1050", "1150"), _sg("1.050"), _sg("1.150")),
        (("998", "1000"), _sg("0.998"), _sg("1.000")),
        (("15", "50"), _c("15"), _c("50")),
        (("52", "62"), _c("152"), _c("162")),
        (("6", "60"), _c("6"), _c("60")),
        (("5", "9"), _c("66.5"), _c("66.9")),
        (("15", "50"), _c("15.5"), _c("50.5")),
        (None, _c("15.5"), _c("50.1")),
        (None, _c("15"), _c("15.5")),
        (None, _c("-1"), _c("1")),
        (None, _c("15"), _c("15.0")),
        (None, _c("50"), _sg("1.050")),
    ],
)
def test_figures_that_tell_apart(figures: tuple[str, str] | None, one: Reading, other: Reading) -> None:
    """The question asks for the figures that differ, two where there are two, and only for figures."""
    assert figures == digits_apart(one, other)


# --- what must hold for any evidence

_JUMBLE = st.lists(
    st.sampled_from([*DIGITS, *TEENS, *TENS, "degrees", "at", "point", "no"]), min_size=1, max_size=6
)
_GRAVITY = st.integers(980, 1170).flatmap(lambda value: st.sampled_from(number_forms.gravity_forms(value)))
_WARM = st.integers(0, 110).map(number_forms.short_words)
_NUMBER = st.one_of(
    _JUMBLE,
    _GRAVITY.map(str.split),
    _WARM.map(str.split),
    st.tuples(_GRAVITY, st.sampled_from([" ", " at ", " no "]), st.one_of(_GRAVITY, _WARM)).map(
        lambda parts: "".join(parts).split()
    ),
)
_SURE = st.floats(0.0, 1.0)


@st.composite
def _utterances(draw: st.DrawFn) -> Utterance:
    texts = draw(st.lists(_NUMBER, min_size=1, max_size=4))
    hypotheses = [
        Hypothesis(
            tuple(Word(word, draw(_SURE), 0.2 * count, 0.2 * count + 0.2) for count, word in enumerate(words)),
            0.0 if number == 0 else draw(st.floats(-6.0, 0.0)),
        )
        for number, words in enumerate(texts)
    ]
    return Utterance(tuple(hypotheses), engine="test")


def _value(reading: Reading) -> tuple[Kind, Decimal, Unit]:
    return reading.kind, reading.value, reading.unit


def _values(text: str, listening: Listening) -> set[tuple[Kind, Decimal, Unit]]:
    return {
        _value(item)
        for said in meanings(text, listening)
        for item in (
            said.readings if isinstance(said, Readings) else [said.reading] if isinstance(said, OutOfLimits) else []
        )
    }


@given(_utterances(), st.sampled_from(sorted(_STAGES)))
def test_no_value_that_was_not_heard(utterance: Utterance, stage: str) -> None:
    """Taken values are those of the best string; asked ones those of some string, or one confusable word away."""
    listening = _STAGES[stage]
    verdict = weigh(utterance, listening)
    best = _values(utterance.best.text, listening)

    if isinstance(verdict, Accept) and isinstance(verdict.said, Readings):
        assert {_value(item) for item in verdict.said.readings} <= best
    if isinstance(verdict, Accept) and isinstance(verdict.said, Digits):
        assert verdict.said.digits in listening.choices
        assert verdict.said in meanings(utterance.best.text, listening)
    if isinstance(verdict, Ask):
        words = utterance.best.text.split()
        exchanged = [
            " ".join([*words[:place], other, *words[place + 1 :]])
            for place, word in enumerate(words)
            for other, _ in COUNTERPARTS.get(word, ())
        ]
        heard = [hypothesis.text for hypothesis in utterance.hypotheses]
        possible = set().union(*(_values(text, listening) for text in (*heard, *exchanged)))
        assert {_value(item) for item in verdict.candidates} & best
        assert {_value(item) for item in verdict.candidates} <= possible
        assert {_value(item) for item in verdict.others} <= best
        assert len({item.kind for item in verdict.candidates}) == 1
        assert len(verdict.candidates) <= 2


@given(_NUMBER, _SURE, _SURE)
def test_more_confidence_never_undoes_an_acceptance(words: list[str], low: float, high: float) -> None:
    """A reading that is taken at some confidence is taken at any higher one."""
    low, high = min(low, high), max(low, high)
    before, after = (weigh(_heard(" ".join(words), sure=sure), _STAGE) for sure in (low, high))

    if isinstance(before, Accept):
        assert isinstance(after, Accept)
        assert before.said == after.said


@given(_NUMBER, st.floats(1.0, 1.1))
def test_expectation_never_moves_a_value(words: list[str], centre: float) -> None:
    """Whatever the stage expects, the value that is taken is the value that was said."""
    moved = Listening(expected=(Expected(Kind.GRAVITY, Unit.SPECIFIC_GRAVITY, centre, 0.003, 0.980, 1.170),))
    fixed = Listening(expected=_STAGE.expected[:1])
    verdicts = [weigh(_heard(" ".join(words)), listening) for listening in (moved, fixed)]
    taken = [item.said for item in verdicts if isinstance(item, Accept) and isinstance(item.said, Readings)]

    assert all(taken[0] == said for said in taken)


def test_named_things_are_taken() -> None:
    """A name that was asked for is taken as that thing."""
    verdict = weigh(_heard("tube"), Listening(names=("tube",)))

    assert verdict == Accept(Named("tube", "tube"), 0.99)


def test_a_doubt_says_its_confidence() -> None:
    """Every decision carries the confidence of the words it rests on."""
    verdict = weigh(_heard("sixty four/0.98 ten forty/0.5 four"), _STAGE)

    assert isinstance(verdict, Ask)
    assert verdict.doubt is Doubt.LOW_CONFIDENCE
    assert verdict.confidence == 0.5
