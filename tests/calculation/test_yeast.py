"""Yeast by rule: how many cells, in what, how old, how warm."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import yeast
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.calculation.yeast import Ferment, Pitching
from assistant.quantities import Measured, OutsideRange


def _exact(value: float) -> Measured:
    return Measured(value, 0.0)


@given(st.floats(1.0, 500.0), st.floats(1.002, 1.12))
def test_lager_wants_twice_the_cells_and_cells_go_with_the_extract(litres: float, sg: float) -> None:
    """Cells are proportional to the volume, rise with gravity, and lagers want twice as many."""
    ale, lager, double, heavier = (
        yeast.cells_needed_e9(_exact(volume), _exact(gravity), ferment).value
        for volume, gravity, ferment in (
            (litres, sg, Ferment.ALE),
            (litres, sg, Ferment.LAGER),
            (2.0 * litres, sg, Ferment.ALE),
            (litres, sg + 0.002, Ferment.ALE),
        )
    )

    assert [2.0 * ale] * 2 == pytest.approx([lager, double])
    assert heavier > ale


@given(st.floats(10.0, 400.0), st.floats(0.0, 2000.0))
def test_a_starter_is_found_again(start_e9: float, extract_g: float) -> None:
    """The extract told for what a starter made is the extract of that starter, unless it made nothing."""
    try:
        made = yeast.cells_after_starter_e9(_exact(start_e9), _exact(extract_g)).value
    except OutsideRange as refusal:
        assert "two steps" in str(refusal)
        return
    told = yeast.starter_extract_g(_exact(start_e9), _exact(made)).value

    assert made >= start_e9
    assert told == pytest.approx(extract_g, rel=1e-6, abs=1e-3) or made == pytest.approx(start_e9, rel=1e-6)


@given(st.floats(10.0, 300.0), st.floats(5.0, 100.0), st.floats(1.0, 100.0))
def test_more_extract_never_makes_fewer_cells(start_e9: float, extract_g: float, more_g: float) -> None:
    """Growth rises with the extract, and a gram of it never makes more than 1.4 billion cells."""
    try:
        less, more = (
            yeast.cells_after_starter_e9(_exact(start_e9), _exact(grams)).value
            for grams in (extract_g, extract_g + more_g)
        )
    except OutsideRange:
        return

    assert start_e9 <= less <= more
    assert less - start_e9 <= 1.4 * extract_g * (1.0 + 1e-12)


@given(st.floats(0.0, 300.0), st.floats(1.0, 60.0))
def test_older_yeast_is_less_alive_and_less_sure(age_days: float, more_days: float) -> None:
    """Viability falls with age from one, and what is not known of it grows."""
    younger, older = yeast.viability(_exact(age_days)), yeast.viability(_exact(age_days + more_days))

    assert 1.0 >= younger.value > older.value > 0.0
    assert younger.sd <= older.sd
    assert 1.0 == yeast.viability(_exact(0.0)).value


@given(st.floats(10.0, 1000.0), st.floats(0.1, 1.0))
def test_amounts_hold_the_cells(cells_e9: float, alive: float) -> None:
    """Grams, millilitres and packs, counted back, hold the cells that were wanted."""
    cells, living = _exact(cells_e9), _exact(alive)
    counted = [
        10.0 * yeast.dry_yeast_g(cells).value,
        1.2 * alive * yeast.slurry_ml(cells, living).value,
        100.0 * alive * yeast.liquid_packs(cells, living, _exact(100.0)).value,
    ]

    assert [cells_e9] * 3 == pytest.approx(counted)


@pytest.mark.parametrize(
    ("cells", "note"),
    [(90.0, "1 pack."), (100.0, "1 pack."), (101.0, "2 packs, or one"), (180.0, "2 packs, or one")],
)
def test_packs_are_rounded_up_in_the_note(cells: float, note: str) -> None:
    """The note tells whole packs, the value does not round."""
    told = yeast.liquid_packs(_exact(cells), _exact(1.0), _exact(100.0))

    assert told.note.startswith(note)
    assert cells / 100.0 == pytest.approx(told.value)


def test_the_uncertainty_of_a_slurry_is_that_of_random_trials() -> None:
    """100 000 trials of count, cells and life scatter as the propagated uncertainty says, within 5 %."""
    cells, living, count = Measured(180.0, 8.0), Measured(0.85, 0.05), Measured(1.2, 0.1)
    told = yeast.slurry_ml(cells, living, count)
    noise, trials = np.random.default_rng(8), 100_000
    volumes = noise.normal(cells.value, cells.sd, trials) / (
        noise.normal(living.value, living.sd, trials) * noise.normal(count.value, count.sd, trials)
    )

    assert told.sd == pytest.approx(float(volumes.std()), rel=0.05)
    assert told.value == pytest.approx(float(np.median(volumes)), rel=0.01)


def test_every_answer_is_labelled_a_rule() -> None:
    """All of it is marked as a rule of the trade, with a listed source; only the pitching rate has a book."""
    answers = [
        yeast.cells_needed_e9(_exact(20.0), _exact(1.048), Ferment.ALE),
        yeast.viability(_exact(30.0)),
        yeast.dry_yeast_g(_exact(180.0)),
        yeast.slurry_ml(_exact(180.0), _exact(0.9)),
        yeast.liquid_packs(_exact(180.0), _exact(0.9), _exact(100.0)),
        yeast.cells_after_starter_e9(_exact(100.0), _exact(100.0)),
        yeast.starter_extract_g(_exact(100.0), _exact(200.0)),
        yeast.starter_extract_g(_exact(200.0), _exact(100.0)),
        yeast.fermentation_speed(_exact(12.0), 20.0),
    ]

    assert {Verdict.RULE_OF_THUMB} == {answer.verdict for answer in answers}
    assert ["2ND", *["CP"] * 8] == [SOURCES[answer.source].status for answer in answers]
    assert all(answer.note for answer in answers)


@pytest.mark.parametrize(
    ("wort_c", "yeast_c", "what"),
    [
        (20.0, None, Pitching.PITCH),
        (20.0, 24.0, Pitching.PITCH),
        (20.0, 4.0, Pitching.TEMPER_YEAST),
        (24.0, None, Pitching.COOL_FIRST),
        (17.0, None, Pitching.WARM_FIRST),
        (22.8, None, Pitching.READ_AGAIN),
        (23.3, None, Pitching.READ_AGAIN),
        (17.8, None, Pitching.READ_AGAIN),
    ],
)
def test_when_to_pitch(wort_c: float, yeast_c: float | None, what: Pitching) -> None:
    """Inside the packet's range it goes in; outside, with cold yeast, or on the limit, something comes first."""
    of_yeast = None if yeast_c is None else Measured(yeast_c, 0.5)

    assert what is yeast.pitch_advice(Measured(wort_c, 0.5), (18.0, 23.0), of_yeast).what


def test_hot_wort_is_said_to_kill() -> None:
    """Where the wort would kill the yeast, the sentence says so; where it is only too warm, it does not."""
    assert "dies" in yeast.pitch_advice(Measured(60.0, 0.5), (18.0, 23.0)).why
    assert "dies" not in yeast.pitch_advice(Measured(30.0, 0.5), (18.0, 23.0)).why


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: yeast.cells_needed_e9(_exact(0.0), _exact(1.05), Ferment.ALE), "more than 0 L"),
        (
            lambda: yeast.cells_needed_e9(_exact(20.0), _exact(12.0), Ferment.ALE),
            "1.000 to 1.130 SG, not 12.000 SG",
        ),
        (lambda: yeast.viability(_exact(-1.0)), "from 0 to 365 days, not -1 days"),
        (lambda: yeast.dry_yeast_g(_exact(100.0), _exact(0.5)), "from 3 to 30 10⁹ per g"),
        (lambda: yeast.slurry_ml(_exact(100.0), _exact(90.0)), "from 0.05 to 1, not 90"),
        (lambda: yeast.liquid_packs(_exact(100.0), _exact(0.9), _exact(1.0)), "from 10 to 2000"),
        (
            lambda: yeast.starter_extract_g(_exact(10.0), _exact(200.0)),
            "over tenfold; make the starter in two steps",
        ),
        (lambda: yeast.cells_after_starter_e9(_exact(1.0), _exact(200.0)), "over tenfold"),
        (lambda: yeast.fermentation_speed(_exact(60.0), 20.0), "from 0 to 38 °C, not 60 °C"),
        (lambda: yeast.pitch_advice(_exact(20.0), (23.0, 18.0)), "lowest temperature must be from 2 to 18 °C"),
    ],
)
def test_what_no_rule_covers_is_refused(call: object, words: str) -> None:
    """Plato for gravity, percent for a share, and a starter that is too small get one sentence."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
