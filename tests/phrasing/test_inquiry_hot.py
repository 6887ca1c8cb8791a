"""Questions of the hot side in the words that a brewer types, and what their answers rest on."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculation import grain_bill
from assistant.calculation.bitterness import bitterness
from assistant.calculation.colour import ColouredGrain, beer_colour, ebc_from_srm, lovibond_from_ebc
from assistant.calculation.corrections import Means, hit_both
from assistant.calculation.fuel import electricity_needed_kwh
from assistant.calculation.grain_bill import Fermentable, Potential
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort
from assistant.calculation.hydrometer import correct
from assistant.calculation.steam import wort_boiling_point_c
from assistant.calculation.volumes import volume_at_depth_l
from assistant.day.plan import Plan, UnitChoice
from assistant.phrasing.asking import METRIC, US, neutral_plan
from assistant.phrasing.inquiry_answers import InquiryAnswer, docstring_section, inquire
from assistant.quantities import Measured, Unit

AIR: Final = Measured(101_325.0, 1500.0)
STICK: Final = ((0.05, 4.0), (0.30, 25.0), (0.45, 38.0))


def asked(text: str, plan: Plan | None = None, units: UnitChoice | None = None) -> InquiryAnswer:
    """The answer to a question that has one."""
    answer = inquire(text, plan, units)
    assert answer is not None
    assert answer.results, answer.sentence
    return answer


def a(value: float, sd: float) -> Measured:
    """A measured value."""
    return Measured(value, sd)


@pytest.mark.parametrize(
    ("text", "topic", "start"),
    [
        (
            "what og will i get from 4 kg pale and 500 g crystal in 23 L at 72 %",
            "expected gravity",
            "Ten forty-one",
        ),
        (
            "gravity from 10 lb pale at 37 ppg and 1 lb crystal at 34 ppg in 6 gallons at 70 percent",
            "expected gravity",
            "Ten forty-seven",
        ),
        (
            "og from ten pounds two row and half a pound crystal in five and a half gallons at seventy per cent"
            " efficiency",
            "expected gravity",
            "Ten forty-seven",
        ),
        (
            "grain bill 4 kg pale, 0.5 kg munich, 0.2 kg chocolate in 20 litres at 75 %",
            "expected gravity",
            "Ten fifty-two",
        ),
        ("what gravity from 3 kg dme and 200 g crystal in 20 litres at 70", "expected gravity", "Ten fifty-seven"),
        (
            "color from 10 lb pale at 2 lovibond and 1 lb crystal at 60 lovibond in 5.5 gallons",
            "colour",
            "Nine SRM",
        ),
        (
            "what is the gravity of the first wort from 10 lb with 4 gallons",
            "first wort gravity",
            "Ten seventy-three",
        ),
        (
            "first runnings gravity from ten pounds at 1.5 quarts per pound",
            "first wort gravity",
            "Ten seventy-seven",
        ),
        ("conversion efficiency 10 lb with 4 gallons, first wort reads 1.070", "conversion", "Ninety per cent"),
        ("what is my mash efficiency with 5 kg, 27 litres at 1.042", "efficiency", "Seventy-seven per cent"),
        ("efficiency 10 lb pale at 37 ppg to 6.5 gallons at 1.045", "efficiency", "Seventy-nine per cent"),
        ("points in 6 gallons at 1.045", "mass of extract", "Five point nine pounds of extract, forty-five points"),
        ("what is 1.048 in plato", "plato", "Eleven point nine one plato"),
        ("convert 12 brix to sg", "plato", "Twelve plato"),
        (
            "how hot should the strike water be for 5 kg at 67 with 15 l",
            "strike",
            "Seventy-one point seven celsius",
        ),
        (
            "strike for ten pounds at one fifty-two at 1.5 quarts per pound",
            "strike",
            "One sixty point one fahrenheit",
        ),
        (
            "how much boiling water to go from 52 to 66 with 5 kg and 12 litres",
            "infusion",
            "Five point eight litres",
        ),
        ("mash out 10 lb with 4 gallons from 152 to 168", "mash out", "One point six gallons"),
        ("thin decoction from 67 to 76 for 5 kg with 15 litres", "decoction", "Four point seven litres of thin"),
        ("heat the mash from 125 to 152 with 10 lb and 4 gallons at 10000 btu", "direct heat", "Six minutes"),
        ("will it fit 6 kg with 18 litres", "tun volume", "Twenty-two point four litres"),
        (
            "first wort from 5 kg with 15 litres, absorption 0.9 litres per kilo",
            "first wort volume",
            "Ten point five",
        ),
        (
            "how much sparge water for 7 gallons with 10 lb mashed with 4 gallons",
            "sparge",
            "Four point two gallons",
        ),
        ("grain absorption 5 kg with 28 litres gave 23 litres", "absorption", "One litre a kilo"),
        (
            "total water for 5 gallons with 10 lb mashed with 4 gallons, 60 minutes at 1 gallon an hour",
            "water plan",
            "Seven point two gallons in all",
        ),
        ("how much water for 20 litres, 5 kg at 3 litres a kilo, 75 minute boil at 4 l/h", "water plan", "Thirty"),
        ("how long to heat 8 gallons from 60 to 152 with 20000 btu", "heating", "Eighteen minutes"),
        ("kettle volume at 12 inches, 15 inches wide", "kettle volume", "Nine point two gallons"),
        ("how full at 25 cm in a kettle of 36 cm domed by 4 cm", "kettle volume", "Twenty-three point four litres"),
        ("depth of 25 litres in a 36 cm kettle", "kettle depth", "Twenty-four point six centimetres"),
        ("how deep is 6 gallons in a kettle of 15 inches", "kettle depth", "Seven point eight inches"),
        ("how much longer to boil 25 litres from 1.040 to 1.045 at 4 litres an hour", "boil", "Forty-two minutes"),
        (
            "gravity if i boil 20 more minutes, 7 gallons at 1.045, 1.25 gallons an hour",
            "boil on",
            "Ten forty-eight",
        ),
        (
            "fix 6.5 gallons at 1.044 to 5.5 gallons at 1.050 boiling off 1 gallon an hour",
            "both targets",
            "Boil fifty-four minutes more: five point six gallons at ten fifty-one, as near to both as it goes",
        ),
        ("boil off from 7 gallons to 5.75 in 60 minutes", "boil-off", "One point two gallons an hour"),
        ("boil off with 15000 btu", "boil-off by power", "One point nine gallons an hour at most"),
        (
            "how strong is my burner, 5 gallons from 60 f to 150 f in 20 minutes",
            "burner power",
            "Three point three",
        ),
        (
            "how much propane for 7 gallons from 60 to 212 boiling off a gallon",
            "fuel",
            "Two point one pounds of pro",
        ),
        (
            "electricity for 30 litres from 15 to 100 boiling off 4 litres",
            "fuel",
            "Five point eight kilowatt hours",
        ),
        ("boiling point at 29.5 inches of mercury", "boiling point", "Two eleven point two fahrenheit"),
        ("boiling point at 1600 m, weather report 1020 hPa", "boiling point", "Ninety-four point eight celsius"),
        ("wort boils at 1.050 at 1600 metres", "wort boiling point", "Ninety-four point nine celsius"),
        ("hydrometer 1.044 at 104 f made for 60 f", "hydrometer", "Ten fifty-one"),
        ("correct gravity 1.050 at 30 C calibrated at 15 C", "hydrometer", "Ten fifty-four"),
        ("check hydrometer 1.002 at 20", "hydrometer in water", "Two points too much: take it off"),
        (
            "hydrometer in water reads 0.998 at 68 f made for 60 f",
            "hydrometer in water",
            "One point three points too",
        ),
        ("thermometer in ice reads 33 f", "thermometer in ice", "One degree too much, which may be chance"),
        (
            "thermometer in boiling water reads 98 at 1600 metres",
            "thermometer in boiling water",
            "Three point three degrees too much",
        ),
        (
            "refractometer zero 0.4 brix at 25 without atc",
            "refractometer in water",
            "Zero point seven brix too much",
        ),
        ("brix reading 12.4 brix factor 1.03", "refractometer in wort", "Ten forty-nine"),
        (
            "wort factor 12.4 brix on the refractometer, 1.048 on the hydrometer",
            "wort factor",
            "One point zero four",
        ),
        ("ibu of 30 g at 6.5 for 60 minutes in 20 l at 1.050", "bitterness", "Twenty-two IBU"),
        (
            "ibus from 1 oz at 6% for 60 minutes and 1 oz at 4% for 10 minutes in 5 gallons at 1.050",
            "bitterness",
            "Twenty-four IBU",
        ),
        ("hop stand 2 oz at 12% for 30 minutes at 170 in 5 gallons at 1.060", "hop stand", "Seven IBU"),
        ("no chill bitterness 30 g at 6% for 15 minutes in 20 L at 1.050", "no-chill hops", "Twenty-two IBU"),
        ("i forgot 30 g at 6% for 60 minutes, 20 minutes left, 20 L at 1.050", "make-up hops", "Sixty-six grams"),
        (
            "how long to chill 5 gallons from 208 to 68, tap water at 55, 2 gallons a minute",
            "chiller",
            "Eleven min",
        ),
        (
            "chill 20 litres from 98 to 20 with water at 12, 8 litres per minute, not stirred",
            "chiller",
            "Twenty-three minutes",
        ),
        (
            "left standing 5 gallons from 200 f, room at 65 f, for 12 hours",
            "overnight",
            "One oh six point five fahr",
        ),
    ],
)
def test_plain_words_are_answered(text: str, topic: str, start: str) -> None:
    """Hasty words, in metric or US units, bring the topic that was meant and its number first."""
    answer = asked(text)
    assert topic == answer.topic
    assert answer.sentence.startswith(start), answer.sentence


@pytest.mark.parametrize(
    ("text", "part"),
    [
        # A share beside a malt is the malt's, so the efficiency is missing; it is not taken for it.
        ("gravity from 5 kg pale at 80 % in 23 L", "Add the efficiency"),
        ("strike for 5 kg at 67", "Add the volume of water"),
        ("boil off from 26 litres in 60 minutes", "Add the volume after"),
        ("kettle volume at 31 cm", "How wide is the kettle?"),
        ("gravity from 5 kg at 0.8 in 23 litres at 75 %", "I do not know what to do with"),
        ("first wort from 5 kg with 3 litres", "3 L give no wort: grain and tun hold 5 L"),
        ("sparge for 8 litres from 5 kg mashed with 15 litres", "mash with 2 L less"),
        ("efficiency from 5 kg to 40 litres at 1.048", "The efficiency must be from 0 to 100 %"),
        (
            "chiller for 20 litres from 98 to 12, tap at 15, 6 litres a minute",
            "Water of 15 °C cannot cool wort to 12",
        ),
        ("make up for 30 g at 6 % for 10 minutes with 20 minutes left in 20 L at 1.050", "must be at least 20 min"),
    ],
)
def test_what_is_lacking_or_cannot_be_is_one_sentence(text: str, part: str) -> None:
    """Nothing is guessed: the value that is missing is asked for, and what cannot be is refused with its limit."""
    answer = inquire(text, None, None)
    assert answer is not None
    assert () == answer.results
    assert part in answer.sentence


def test_a_bill_is_the_calculation_called_directly() -> None:
    """Every malt has its own extract, as said or as usual, and sugar is not lautered."""
    answer = asked("gravity from 4 kg pale at 81 %, 300 g crystal and 200 g sugar in 23 L at 70 %")
    bill = [
        Fermentable(a(4.0, 0.04), a(81.0, 1.0)),
        Fermentable(a(0.3, 0.003), a(74.0, 3.0)),
        Fermentable(a(0.2, 0.002), a(100.0, 0.0), Potential.PERCENT_AS_IS, mashed=False),
    ]
    expected = grain_bill.expected_sg(bill, a(23.0, 0.3), a(0.70, 0.035))
    assert pytest.approx((expected.value, expected.sd)) == (
        answer.results[0].result.value,
        answer.results[0].result.sd,
    )
    assert any(line.startswith("Taken: second extract of the malt 0.74 ± 0.03") for line in answer.why)


def test_colours_are_those_of_the_malts() -> None:
    """EBC of a malt is brought to degrees Lovibond before the rule that asks for them."""
    result = asked("colour of 4 kg at 6 ebc and 300 g at 150 ebc in 20 L").results[0].result
    grains = [ColouredGrain(4.0, lovibond_from_ebc(6.0)), ColouredGrain(0.3, lovibond_from_ebc(150.0))]
    expected = beer_colour(grains, a(20.0, 0.3))
    assert pytest.approx(expected.value, rel=1e-6) == result.value
    assert pytest.approx(6.0) == ebc_from_srm(1.3546 * lovibond_from_ebc(6.0) - 0.76)


def test_hops_boil_as_long_as_they_are_in() -> None:
    """Each addition goes in so long before the end of the longest; the wort boils where this air lets it."""
    text = "bitterness of 30 g at 6 % for 60 minutes and 20 g at 5 % for 10 minutes in 20 L at 1.050"
    wort = HoppedWort(a(20.0, 0.3), a(1.050, 0.0005))
    boiling_c = wort_boiling_point_c(wort.sg, AIR).value
    hops = [
        HopAddition(a(0.030, 0.0003), a(0.06, 0.003), 0.0),
        HopAddition(a(0.020, 0.0002), a(0.05, 0.0025), 3000.0),
    ]
    assert bitterness(hops, [(0.0, boiling_c), (3600.0, boiling_c)], wort, 3600.0) == asked(text).results[0].result


def test_both_targets_are_those_of_the_correction() -> None:
    """Minutes, extract and what comes of them are the calculation's own."""
    answer = asked("hit both from 25 l at 1.040 to 23 l at 1.048 at 4 l/h within 60 minutes")
    means = Means(boil_off=a(4.0, 0.2), minutes=60.0)
    done = hit_both(a(25.0, 0.3), a(1.040, 0.0005), 23.0, 1.048, means=means)
    assert [done.minutes, done.solids_kg, done.water_l, done.volume_l, done.sg] == [
        item.result for item in answer.results
    ]


def test_a_hydrometer_is_made_for_what_was_said() -> None:
    """15 °C, 60 °F and an offset in water count, and a plastic body is not corrected far from its own."""
    expected = correct(
        1.050, 30.0, calibration_c=15.0, reading_sd_sg=0.0005, thermometer_sd_c=0.5, reads_in_water_sg=1.002
    )
    answer = asked("hydrometer 1.050 at 30 C, calibrated at 15 C, reads in water 1.002")
    assert expected.value == answer.results[0].result.value
    refused = inquire("hydrometer 1.050 at 104 f made for 60 f plastic", None, None)
    assert refused is not None
    assert "to within 5.4 °F of 60 °F, not 104 °F" in refused.sentence


def test_the_plan_s_dipstick_is_read() -> None:
    """Without a width the stick of the plan counts, and the formula shown is that of the stick."""
    plan = neutral_plan(METRIC)
    plan = replace(plan, rig=replace(plan.rig, dipstick=STICK))
    answer = asked("kettle volume at 31 cm", plan)
    assert volume_at_depth_l(0.31, STICK) == pytest.approx(answer.results[0].result.value)
    formula = docstring_section(volume_at_depth_l.__doc__ or "", "Formula")
    assert f"Formula: {formula}" == answer.why[0]


def test_another_choice_shows_its_own_formula() -> None:
    """Electricity is not explained with the burning of gas."""
    why = asked("electricity for 30 litres from 15 to 100").why
    assert f"Formula: {docstring_section(electricity_needed_kwh.__doc__ or '', 'Formula')}" == why[0]


def test_a_brewer_at_altitude_needs_more_hops() -> None:
    """At 1600 m wort boils cooler, and the same hops give less."""
    low, high = (
        asked(f"bitterness of 30 g at 6 % for 60 minutes in 20 L at 1.050{where}").results[0].result.value
        for where in ("", " at 1600 metres")
    )
    assert high < 0.85 * low


@given(st.integers(5, 59), st.integers(6, 60))
def test_less_time_left_wants_more_hops(shorter: int, longer: int) -> None:
    """What makes up for forgotten hops grows as the boil runs out, and is never less than what was forgotten."""
    shorter, longer = sorted((shorter, longer))
    question = "make up for 30 g at 6 % for 60 minutes with {} minutes left in 20 L at 1.050"
    late, early = (inquire(question.format(minutes), None, None) for minutes in (shorter, longer))
    assert late is not None
    assert early is not None
    if late.results:
        assert late.results[0].result.value >= early.results[0].result.value >= 0.030 * 0.999


@given(st.integers(20, 90), st.integers(20, 90))
def test_more_efficiency_is_more_gravity(one: int, other: int) -> None:
    """The expected gravity grows with the efficiency that is asked with."""
    low, high = sorted((one, other))
    values = [asked(f"gravity from 5 kg in 23 L at {share} %").results[0].result.value for share in (low, high)]
    assert values == sorted(values)


@pytest.mark.parametrize("units", [METRIC, US, replace(METRIC, gravity=Unit.PLATO)])
def test_efficiency_undoes_the_expected_gravity(units: UnitChoice) -> None:
    """The efficiency that was asked with comes back from the gravity that was answered."""
    sg = asked("gravity from 5 kg in 23 L at 75 %", None, units).results[0].result.value
    back = asked(f"efficiency from 5 kg to 23 L at {sg:.5f}", None, units).results[0].result.value
    assert pytest.approx(0.75, abs=0.0005) == back
