"""Extract from a grain bill: kept as mass, undone by the efficiencies, refused where it cannot be."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.calculation import extract, grain_bill, scales
from assistant.calculation.grain_bill import Fermentable, Potential
from assistant.calculation.mash import water_l_to_kg
from assistant.calculation.results import Verdict
from assistant.calculation.sources import SOURCES
from assistant.quantities import Measured, OutsideRange

EXACT = 0.0
BILLS = st.lists(
    st.builds(
        Fermentable,
        st.floats(0.5, 4.0).map(lambda kg: Measured(kg, EXACT)),
        st.floats(60.0, 85.0).map(lambda percent: Measured(percent, EXACT)),
        moisture=st.floats(0.0, 0.08),
    ),
    min_size=1,
    max_size=4,
)
SUGAR = Fermentable(
    Measured(0.5, EXACT), Measured(100.0, EXACT), Potential.PERCENT_AS_IS, moisture=0.0, mashed=False
)


def _within_the_scale(bill: list[Fermentable], litres: float, share: float) -> bool:
    """Whether the wort of `bill` is one that the gravity scale reaches, a little room left."""
    held_kg = share * grain_bill.potential_extract_kg(bill).value + 0.5
    return held_kg < extract.extract_kg(litres, scales.HIGHEST_SG - 0.001)


def _pale(mass_kg: float, percent: float = 80.0, sd: float = 0.0) -> Fermentable:
    return Fermentable(Measured(mass_kg, EXACT), Measured(percent, sd))


@given(BILLS, st.floats(15.0, 60.0), st.floats(0.3, 1.0), st.booleans())
def test_efficiency_undoes_the_expected_gravity(
    bill: list[Fermentable], litres: float, share: float, sugar: bool
) -> None:
    """The efficiency found from a gravity is the one it was expected with, sugar in the bill or not."""
    assume(_within_the_scale(bill, litres, share))
    whole = [*bill, SUGAR] if sugar else bill
    expected = grain_bill.expected_sg(whole, Measured(litres, EXACT), Measured(share, EXACT))

    found = grain_bill.efficiency(whole, Measured(litres, EXACT), Measured(expected.value, EXACT))

    assert math.isclose(share, found.value, rel_tol=1e-6)


@given(BILLS, st.floats(15.0, 60.0), st.floats(0.3, 1.0))
def test_extract_is_kept(bill: list[Fermentable], litres: float, share: float) -> None:
    """The wort holds the efficiency times the grain's extract and all of the sugar's, as mass."""
    assume(_within_the_scale(bill, litres, share))
    whole = [*bill, SUGAR]
    held_kg = grain_bill.potential_extract_kg(bill).value

    wort = grain_bill.expected_sg(whole, Measured(litres, EXACT), Measured(share, EXACT))

    assert math.isclose(share * held_kg + 0.5, extract.extract_kg(litres, wort.value), rel_tol=1e-9)
    assert math.isclose(held_kg + 0.5, grain_bill.potential_extract_kg(whole).value, rel_tol=1e-12)


@given(st.floats(0.0, 0.3), st.floats(0.5, 60.0))
def test_gravity_of_extract_undoes_extract_of_gravity(mass_fraction: float, litres: float) -> None:
    """The gravity of a mass of extract in a volume gives that mass again."""
    sg = scales.sg_from_mass_fraction(mass_fraction)

    assert math.isclose(sg, grain_bill.sg_of_extract(extract.extract_kg(litres, sg), litres), abs_tol=1e-9)


@given(BILLS, st.floats(2.0, 6.0), st.floats(0.4, 1.0))
def test_conversion_undoes_the_first_wort(bill: list[Fermentable], ratio: float, share: float) -> None:
    """The conversion found from a first wort is the one that the first wort was reckoned with."""
    litres = Measured(ratio * sum(item.mass_kg.value for item in bill), EXACT)
    wort = grain_bill.first_wort_sg(bill, litres, Measured(share, EXACT))

    found = grain_bill.conversion_efficiency(bill, litres, Measured(wort.value, EXACT))

    assert math.isclose(share, found.value, rel_tol=1e-6)


@given(BILLS, st.floats(2.0, 6.0), st.floats(0.1, 1.0))
def test_a_thinner_mash_has_a_thinner_first_wort(bill: list[Fermentable], ratio: float, more: float) -> None:
    """The highest first wort falls with each litre of mash water."""
    grain_kg = sum(item.mass_kg.value for item in bill)
    thick, thin = (
        grain_bill.first_wort_sg(bill, Measured(litres * grain_kg, EXACT), Measured(1.0, EXACT)).value
        for litres in (ratio, ratio + more)
    )

    assert thin < thick


@given(st.floats(0.85, 1.0), st.floats(0.5, 1.0))
def test_conversion_times_lautering_is_the_mash(conversion: float, lautering: float) -> None:
    """Conversion times lauter efficiency is the mash's efficiency: three readings, one balance."""
    bill = [_pale(5.0)]
    in_kettle_kg = conversion * lautering * 3.84
    sg = grain_bill.sg_of_extract(in_kettle_kg, 27.0)
    kettle = (Measured(27.0, EXACT), Measured(sg, EXACT))

    found = grain_bill.lauter_efficiency(bill, Measured(conversion, EXACT), *kettle)

    assert math.isclose(lautering, found.value, rel_tol=1e-9)
    assert math.isclose(conversion * found.value, grain_bill.efficiency(bill, *kettle).value, rel_tol=1e-9)


def test_a_bill_told_in_four_ways_is_one_bill() -> None:
    """80 % of dry matter at 4 %, 76.8 % as is, and their points and litre-degrees are the same extract."""
    points = 1000.0 * (grain_bill.sg_of_extract(0.768 * 0.45359237, 3.785411784) - 1.0)
    litre_degrees = 10_000.0 * (grain_bill.sg_of_extract(0.768, 10.0) - 1.0)

    told = [
        grain_bill.extract_fraction(80.0, Potential.PERCENT_DRY, 0.04),
        grain_bill.extract_fraction(76.8, Potential.PERCENT_AS_IS),
        grain_bill.extract_fraction(points, Potential.POINTS_LB_GAL),
        grain_bill.extract_fraction(litre_degrees, Potential.POINTS_L_KG),
    ]

    assert told == pytest.approx([0.768] * 4, abs=1e-9)
    assert points == pytest.approx(35.5, abs=0.1)
    assert litre_degrees == pytest.approx(296.0, abs=1.0)


def test_moisture_of_the_malt_is_water_in_the_mash() -> None:
    """5 kg of malt with 4 % moisture bring 0.2 kg of water into the first wort."""
    expected = scales.sg_from_mass_fraction(3.84 / (3.84 + water_l_to_kg(15.0) + 0.2))

    told = grain_bill.first_wort_sg([_pale(5.0)], Measured(15.0, EXACT), Measured(1.0, EXACT))

    assert expected == pytest.approx(told.value, abs=1e-9)


def test_sugar_is_not_in_the_first_wort() -> None:
    """What goes into the kettle, not the tun, changes nothing about the first wort."""
    plain, sugared = (
        grain_bill.first_wort_sg(bill, Measured(15.0, EXACT), Measured(0.95, EXACT)).value
        for bill in ([_pale(5.0)], [_pale(5.0), SUGAR])
    )

    assert plain == sugared


def test_expected_gravity_uncertainty_meets_monte_carlo() -> None:
    """The uncertainty of an expected gravity is that of 4000 simulated days, within 5 %."""
    malt = Fermentable(Measured(5.0, 0.05), Measured(80.0, 1.2))
    told = grain_bill.expected_sg([malt], Measured(23.0, 0.4), Measured(0.75, 0.03))
    rng = np.random.default_rng(13)
    draws = zip(
        rng.normal(5.0, 0.05, 4000),
        rng.normal(80.0, 1.2, 4000),
        rng.normal(23.0, 0.4, 4000),
        rng.normal(0.75, 0.03, 4000),
        strict=True,
    )

    simulated = [
        grain_bill.sg_of_extract(share * kg * percent / 100.0 * 0.96, litres)
        for kg, percent, litres, share in draws
    ]

    assert float(np.std(simulated)) == pytest.approx(told.sd, rel=0.05)
    assert float(np.mean(simulated)) == pytest.approx(told.value, abs=1e-4)


def test_a_little_above_one_is_told_as_doubtful() -> None:
    """101 % within the uncertainty is near the limit and says so; 120 % is refused as a wrong reading."""
    bill = [_pale(5.0, sd=1.5)]
    sg = grain_bill.sg_of_extract(3.84 * 1.01, 25.0)
    doubtful = grain_bill.efficiency(bill, Measured(25.0, 0.3), Measured(sg, 0.001))

    assert Verdict.NEAR_LIMIT is doubtful.verdict
    assert "read again" in doubtful.note
    assert doubtful.source in SOURCES
    with pytest.raises(OutsideRange, match="not 120 %"):
        grain_bill.efficiency(
            bill, Measured(25.0, 0.3), Measured(grain_bill.sg_of_extract(3.84 * 1.2, 25.0), 0.001)
        )


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: grain_bill.potential_extract_kg([]), "at least one fermentable"),
        (lambda: grain_bill.potential_extract_kg([_pale(-1.0)]), "at least 0 kg, not -1 kg"),
        (lambda: grain_bill.extract_fraction(110.0, Potential.PERCENT_DRY), "0 to 100 %, not 110 %"),
        (lambda: grain_bill.extract_fraction(80.0, Potential.POINTS_LB_GAL), "0 to 48 points, not 80 points"),
        (lambda: grain_bill.extract_fraction(0.8, Potential.PERCENT_DRY, 0.5), "0 to 0.15, not 0.5"),
        (lambda: grain_bill.sg_of_extract(30.0, 10.0), "would be above 1.170"),
        (lambda: grain_bill.expected_sg([_pale(5.0)], Measured(25.0, 0.0), Measured(1.2, 0.0)), "0 to 1, not 1.2"),
        (lambda: grain_bill.expected_sg([_pale(5.0)], Measured(0.0, 0.0), Measured(0.8, 0.0)), "more than 0 L"),
        (lambda: grain_bill.efficiency([SUGAR], Measured(25.0, 0.0), Measured(1.04, 0.0)), "more than 0 kg"),
        (
            lambda: grain_bill.conversion_efficiency([_pale(5.0)], Measured(0.0, 0.0), Measured(1.08, 0.0)),
            "more than 0 L, not 0 L",
        ),
        (
            lambda: grain_bill.conversion_efficiency([_pale(5.0)], Measured(15.0, 0.0), Measured(1.12, 0.0)),
            "a volume, gravity or weight is wrong",
        ),
        (
            lambda: grain_bill.lauter_efficiency([_pale(5.0)], Measured(1.3, 0.0), *[Measured(1.04, 0.0)] * 2),
            "0 to 1, not 1.3",
        ),
    ],
)
def test_a_bill_that_cannot_be_is_refused(call: object, words: str) -> None:
    """Potentials, readings and efficiencies that no grain has get one sentence with the limit."""
    assert callable(call)
    with pytest.raises(OutsideRange) as refusal:
        call()

    assert words in str(refusal.value)
