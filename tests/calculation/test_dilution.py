"""Sanitiser and cleaner: nothing lost in thinning, one to n and not one in n, the label always named."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import dilution
from assistant.calculation.dilution import Sanitised
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

LITRES = st.floats(0.1, 200.0)


@given(LITRES, st.floats(1.0, 1000.0))
def test_one_to_n_is_one_part_and_n_of_water(total_l: float, parts_water: float) -> None:
    """Concentrate and n times as much water are the solution: one to n, where one in n would be a part less."""
    concentrate = dilution.dose_by_ratio(Measured(total_l, 0.0), parts_water).value

    assert total_l == pytest.approx(concentrate * (1.0 + parts_water))


@given(LITRES, st.floats(0.5, 30.0), st.floats(0.0, 1.0))
def test_thinning_loses_nothing(total_l: float, stock_percent: float, share: float) -> None:
    """What kills is as much in the solution as it was in the stock taken."""
    wanted = share * stock_percent
    dose = dilution.dose_by_strength(Measured(total_l, 0.0), Measured(stock_percent, 0.0), wanted).value

    assert dose * stock_percent == pytest.approx(total_l * wanted)


def test_every_dose_names_the_label() -> None:
    """No dose is told without the word that the label comes first, and that products are never mixed."""
    total_l = Measured(20.0, 0.5)
    doses = (
        dilution.dose_by_ratio(total_l, 300.0),
        dilution.dose_by_mass(total_l, 7.5),
        dilution.dose_by_strength(total_l, Measured(1.75, 0.0), 0.0025),
    )

    for dose in doses:
        assert "Follow the label" in dose.note
        assert "never mix two products" in dose.note
        assert dose.source in SOURCES


def test_the_doubt_in_the_volume_is_in_the_dose() -> None:
    """A volume good to 2.5 % gives a dose good to 2.5 %."""
    dose = dilution.dose_by_mass(Measured(20.0, 0.5), 7.5)

    assert dose.sd / dose.value == pytest.approx(0.025)


@pytest.mark.parametrize(
    ("temperature", "sd", "seconds", "expected"),
    [
        (80.0, 0.5, 300.0, Sanitised.DONE),
        (80.0, 0.5, 299.0, Sanitised.NOT_YET),
        (77.0, 0.0, 300.0, Sanitised.DONE),
        (77.0, 0.5, 3000.0, Sanitised.NOT_YET),
        (60.0, 0.5, 3000.0, Sanitised.NOT_YET),
    ],
)
def test_hot_water_must_be_hot_beyond_doubt(
    temperature: float, sd: float, seconds: float, expected: Sanitised
) -> None:
    """Hot water sanitises at 77 °C for five minutes, with the doubt in the thermometer against it."""
    assert expected is dilution.hot_water_sanitises(Measured(temperature, sd), seconds).state


def test_contact_rules_name_listed_sources() -> None:
    """Each rule of contact names a source that was read."""
    assert {SOURCES[rule.source].status for rule in dilution.CONTACT_RULES.values()} == {"SRC"}


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: dilution.dose_by_ratio(Measured(20.0, 0.0), 0.0), "more than 0"),
        (lambda: dilution.dose_by_strength(Measured(20.0, 0.0), Measured(1.0, 0.0), 2.0), "must be stronger"),
        (lambda: dilution.dose_by_mass(Measured(0.0, 0.0), 7.5), "more than 0 L"),
        (lambda: dilution.hot_water_sanitises(Measured(120.0, 0.0), 10.0), "0 to 100 °C"),
    ],
)
def test_impossible_doses_are_refused(call: object, words: str) -> None:
    """No water, a stock too weak and an empty bucket get one sentence."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
