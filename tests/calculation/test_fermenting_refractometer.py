"""A refractometer in beer: inverses, order, uncertainty, and the fits that hold in finished beer only."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import fermenting_refractometer as refractometer
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange


@given(st.floats(4.0, 25.0), st.floats(0.0, 0.9))
def test_reading_leads_back_to_the_gravity(original_plato: float, attenuated: float) -> None:
    """What the refractometer would show leads back to the apparent extract it was computed from."""
    apparent = (1.0 - attenuated) * original_plato
    brix = refractometer.reading_in_beer_brix(original_plato, apparent)

    assert apparent == pytest.approx(refractometer.apparent_plato_from_reading(original_plato, brix), abs=1e-9)


@given(st.floats(6.0, 25.0), st.floats(0.45, 0.95), st.floats(0.005, 0.05))
def test_a_lower_reading_is_a_lower_gravity(original_plato: float, share: float, less: float) -> None:
    """The gravity falls with the reading."""
    higher = refractometer.apparent_plato_from_reading(original_plato, share * original_plato)

    assert higher > refractometer.apparent_plato_from_reading(original_plato, (share - less) * original_plato)


@given(st.floats(6.0, 25.0))
def test_wort_that_has_not_fermented_reads_itself(original_plato: float) -> None:
    """Without alcohol the reading is the extract."""
    read = refractometer.reading_in_beer_brix(original_plato, original_plato)

    assert original_plato == pytest.approx(read, abs=1e-9)


def _gravity(original_plato: float, apparent_plato: float) -> refractometer.FermentingGravity:
    brix = refractometer.reading_in_beer_brix(original_plato, apparent_plato)
    return refractometer.gravity_from_reading(
        Measured(original_plato, 0.1), Measured(1.04 * brix, 0.1), Measured(1.04, 0.01)
    )


@pytest.mark.parametrize(("apparent_plato", "least", "most"), [(6.0, 5.0, 6.5), (9.0, 8.0, 11.5)])
def test_finished_beer_fits_warn_half_way(apparent_plato: float, least: float, most: float) -> None:
    """At 50 and 25 % attenuation the fits to finished beer are 5 to 11 points low, say so, and are kept out."""
    beer = _gravity(12.0, apparent_plato)
    fits = [result for result in beer.published if result.source.startswith("Terrill")]

    assert len(fits) == 2
    for fit in fits:
        low = 1000.0 * (beer.model.value - fit.value)
        assert least - 0.5 < low < most
        assert fit.verdict is Verdict.NEAR_LIMIT
        assert f"{low:.0f} points below" in fit.note
        assert fit.sd >= low / 1000.0
    assert beer.spread_sg < 0.003


def test_finished_beer_shows_the_spread_of_all() -> None:
    """In finished beer the published equations all count, and lie within a few points of the model."""
    beer = _gravity(12.0, 3.0)
    values = [beer.model.value, *(fit.value for fit in beer.published)]

    assert beer.spread_sg == pytest.approx(max(values) - min(values))
    assert 0.001 < beer.spread_sg < 0.006
    assert beer.attenuation_percent == pytest.approx(75.0, abs=0.01)
    assert {"SRC", "2ND"} == {SOURCES[fit.source].status for fit in beer.published}


def test_uncertainty_of_the_gravity_meets_a_monte_carlo() -> None:
    """The propagated uncertainty is that of 3000 readings with such instruments, and never below two points."""
    generator = np.random.default_rng(2)
    draws = generator.normal((12.0, 6.5, 1.04), (0.2, 0.2, 0.01), (3000, 3))
    drawn = [
        refractometer.gravity_from_reading(
            Measured(float(original), 0.0), Measured(float(brix), 0.0), Measured(float(factor), 0.0)
        ).model.value
        for original, brix, factor in draws
    ]
    expected = np.hypot(np.std(drawn), 0.002)

    result = refractometer.gravity_from_reading(Measured(12.0, 0.2), Measured(6.5, 0.2), Measured(1.04, 0.01))

    assert expected == pytest.approx(result.model.sd, rel=0.04)
    assert result.model.sd >= refractometer.MODEL_SD_SG


@pytest.mark.parametrize(
    ("original", "reading", "factor", "words"),
    [
        (12.0, 13.0, 1.0, "must show less than the 12 °P"),
        (12.0, 3.0, 1.0, "3.6 to 12 °Bx, not 3 °Bx"),
        (31.0, 12.0, 1.0, "0 to 30 °P"),
        (12.0, 6.0, 1.3, "0.95 to 1.1"),
    ],
)
def test_impossible_readings_are_refused(original: float, reading: float, factor: float, words: str) -> None:
    """A reading above its wort, too low for beer, or beyond the range gets one sentence."""
    with pytest.raises(OutsideRange) as refusal:
        refractometer.gravity_from_reading(Measured(original, 0.0), Measured(reading, 0.0), Measured(factor, 0.0))

    assert words in str(refusal.value)
