# ruff: noqa: E501 - each case is one line, so that the tables read as tables
"""Mistakes in a plan: each is one edit of a good plan, and the exact sentence that answers it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.day.plan_file import PlanMistakes, read_plan

GOOD = """\
units = "metric"
[beer]
name = "Quiet Weir"
into_fermenter = "19 L"
gravity_before_boil = 1.044
gravity_after_boil = 1.052
boil = "75 min"
[rig]
name = "30-litre kettle"
kettle_full = "30 L"
boil_off = "3.1 L/h"
kettle_loss = "2 L"
altitude = "120 m"
dipstick = [
    ["10 cm", "8.3 L"],
    ["20 cm", "16.8 L"],
    ["34 cm", "28.75 L"],
]
[rig.hydrometer]
calibration = "20 C"
material = "glass"
[rig.chiller]
coolant = "14 C"
[mash]
strike_water = "16 L"
strike_temperature = "74 C"
[[mash.rest]]
at = "67 C"
for = "60 min"
[[addition]]
what = "bittering hops"
kind = "hop"
amount = "22 g"
at = "55 min"
[[addition]]
what = "aroma hops"
kind = "hop"
amount = "30 g"
at = "80 C"
for = "20 min"
[[sanitation]]
name = "chiller"
how = "in the boil"
contact = "7 min"
[[sanitation]]
name = "fermenter"
how = "no-rinse sanitiser"
contact = "2 min"
[yeast]
name = "dry ale yeast"
amount = "11 g"
pitch_at = "18 C"
[[later]]
day = 10
what = "take a gravity"
"""


def sentences(text: str) -> list[str]:
    """What is said about the mistakes in `text`; nothing when there are none."""
    try:
        read_plan(text, "x.toml")
    except PlanMistakes as mistakes:
        return [mistake.sentence() for mistake in mistakes.mistakes]
    return []


def edited(*edits: tuple[str, str]) -> str:
    """The good plan with each edit made where it fits first; an edit that fits nowhere fails."""
    text = GOOD
    for old, new in edits:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


SANITATION = GOOD[GOOD.index("[[sanitation]]") : GOOD.index("[yeast]")]
REST = '[[mash.rest]]\nat = "67 C"\nfor = "60 min"\n'
YEAST = '[yeast]\nname = "dry ale yeast"\namount = "11 g"\npitch_at = "18 C"\n'
DIPSTICK = GOOD[GOOD.index("dipstick") : GOOD.index("[rig.hydrometer]")]
LATER = '[[later]]\nday = 10\nwhat = "take a gravity"\n'

# Pieces and values that are apt to break a reader.
# fmt: off
PIECES = ("", "\n", '"', "'", "[", "]", "[[", "= ", "{", "}", "#", ".", '"""', "[beer]", "[[mash.rest]]", "[units]", "name = ", "\\", "\x00", "1e400")
VALUES = (
    "nan", "-inf", "1e400", "0", "-1", "true", "[]", "{}", "[[]]", "{a = 1}", "1979-05-27T07:32:00Z", "07:32:00", "0x" + "f" * 5000, "9" * 4000,
    '""', '" "', '"1e400 L"', '"١٩ L"', '"19 L L"', '"1 / h"', '"/h"', '"-0 L"', '"0.000001 gal"', '"-459.67 F"', '"999999999999 C"', '"11 P"',
    '"1 point"', '"first wort"', '"80 C"', '"60 min"', '"5 per h"', '"1 L/h/h"', '"19\\tL"', '"½ oz"', '"1 per day"', '"us"', '"""a\nb"""',
    '["10 cm", "9.8 L"]', '[["0 cm", "0 L"], ["1 in", "400 L"]]', '"500 L"', "1.15", "1.0", '"0.001 L"', '"100 L/h"', '"300 min"',
)

# Each case: what stands in the good plan, what stands there instead, the line, the field, and the sentence.
UNITS_AND_TYPES = [
    ('"3.1 L/h"', '"3.1 L"', 11, "boil_off", '"3.1 L" is a volume; write a rate such as "3.5 L/h".'),
    ('"19 L"', '"19 kg"', 4, "into_fermenter", '"19 kg" is a mass; write a volume such as "19 L".'),
    ('"19 L"', '"3 L/h"', 4, "into_fermenter", '"3 L/h" is a rate; write a volume such as "19 L".'),
    ('"75 min"', "75", 7, "boil", '75 has no unit; write a duration such as "75 min".'),
    ('"75 min"', '"75"', 7, "boil", '"75" has no unit; write a duration such as "75 min".'),
    ('"75 min"', '"75 C"', 7, "boil", '"75 C" is a temperature; write a duration such as "75 min".'),
    ('"75 min"', "true", 7, "boil", 'true is not a duration; write a duration such as "75 min".'),
    ('"75 min"', '["75 min"]', 7, "boil", 'a list is not a duration; write a duration such as "75 min".'),
    ('"19 L"', '"19 litters"', 4, "into_fermenter", '"19 litters" has the unknown unit "litters", the nearest is "liters"; write a volume such as "19 L".'),
    ('"19 L"', '"19 cups"', 4, "into_fermenter", '"19 cups" has the unknown unit "cups"; write a volume such as "19 L".'),
    ('"19 L"', '"5,25 gal"', 4, "into_fermenter", '"5,25 gal" has a comma in its number; write a volume such as "19 L", with a decimal point.'),
    ('"19 L"', '"5 1/4 gal"', 4, "into_fermenter", '"5 1/4 gal" has a fraction; write a volume such as "19 L", with decimals.'),
    ('"19 L"', '"19.00000000001 L"', 4, "into_fermenter", '"19.00000000001 L" has too many digits; write a volume such as "19 L".'),
    ('"22 g"', '"22 %"', 33, "amount", '"22 %" is no amount; write an amount such as "22 g" or "1 tablet".'),
    ('"3.1 L/h"', '"3.1 L/h/h"', 11, "boil_off", '"3.1 L/h/h" has the unknown unit "h/h"; write a rate such as "3.5 L/h".'),
    ('"75 min"', '"1 h 15 min"', 7, "boil", '"1 h 15 min" has the unknown unit "h 15 min"; write a duration such as "75 min".'),
    ("dipstick = [", 'boiling_point = "96 points"\ndipstick = [', 14, "boiling_point", '"96 points" is a gravity; write a temperature such as "99 C".'),
    ('units = "metric"', "units = 3", 1, "units", "3 is not a table; write [units] and its fields below it."),
    ('"19 L"', '"some"', 4, "into_fermenter", '"some" does not begin with a number; write a volume such as "19 L".'),
    ('"19 L"', '""', 4, "into_fermenter", '"" is empty; write a volume such as "19 L".'),
    ('"22 g"', '"22 gramms"', 33, "amount", '"22 gramms" has an unknown unit, the nearest is "grams"; write an amount such as "22 g" or "1 tablet".'),
    ('"22 g"', '"22 min"', 33, "amount", '"22 min" is a duration; write an amount such as "22 g" or "1 tablet".'),
    ('"22 g"', '"22"', 33, "amount", '"22" has no unit; write an amount such as "22 g" or "1 tablet".'),
    ('"22 g"', "22", 33, "amount", '22 has no unit; write an amount such as "22 g" or "1 tablet".'),
    ('"22 g"', '"0 g"', 33, "amount", '"0 g" is nothing; write an amount such as "22 g" or "1 tablet".'),
    ('"22 g"', '"-1 tablet"', 33, "amount", '"-1 tablet" is negative; write an amount such as "22 g" or "1 tablet".'),
    ("1.044", "1044", 5, "gravity_before_boil", '1044 is not a gravity from 1.000 to 1.150; write a gravity such as 1.044 or "44 points".'),
    ("1.044", '"19 L"', 5, "gravity_before_boil", '"19 L" is a volume; write a gravity such as 1.044 or "44 points".'),
    ("1.044", '"45 P"', 5, "gravity_before_boil", '"45 P" is not a gravity from 1.000 to 1.150; write a gravity such as 1.044 or "44 points".'),
    ("1.044", "true", 5, "gravity_before_boil", 'true is not a gravity; write a gravity such as 1.044 or "44 points".'),
    ('"3.1 L/h"', '"3.1 L/m"', 11, "boil_off", '"3.1 L/m" is not per hour or minute; write a rate such as "3.5 L/h".'),
    ('"3.1 L/h"', '"3.1 g/h"', 11, "boil_off", '"3.1 g/h" is not a volume in a time; write a rate such as "3.5 L/h".'),
    ('"Quiet Weir"', "3", 3, "name", '3 is not a text; write a few words such as "Hollow Lane".'),
    ('"Quiet Weir"', '" "', 3, "name", '" " is empty; write a few words such as "Hollow Lane".'),
    ('"Quiet Weir"', '"Quiet\\nWeir"', 3, "name", '"Quiet\\nWeir" is not one plain line; write a few words such as "Hollow Lane".'),
    ('kind = "hop"', 'kind = "hops"', 32, "kind", '"hops" is not known here; write "hop".'),
    ('"in the boil"', '"boiled"', 43, "how", '"boiled" is not known here; write "in the boil", "no-rinse sanitiser" or "hot water".'),
    ('"glass"', '"wood"', 21, "material", '"wood" is not known here; write "glass", "borosilicate glass" or "plastic".'),
    ('= "metric"', '= "imperial"', 1, "units", '"imperial" is not known here; write "metric" or "us".'),
    ("day = 10", 'day = "ten"', 54, "day", '"ten" is not a whole number; write a whole number from 1 to 730 such as 10.'),
    ("day = 10", "day = 0", 54, "day", "0 is out of range; write a whole number from 1 to 730 such as 10."),
    ('at = "55 min"', 'at = "55 g"', 34, "at", '"55 g" is a mass; write "60 min" before the end of the boil, "first wort", or "80 C" for a hop stand.'),
    ('at = "55 min"', 'at = "early"', 34, "at", '"early" does not begin with a number; write "60 min" before the end of the boil, "first wort", or "80 C" for a hop stand.'),
    ('    ["10 cm", "8.3 L"]', '    "10 cm"', 15, "dipstick", '"10 cm" is not a pair of depth and volume; write pairs such as ["10 cm", "9.8 L"], both rising.'),
    ('["20 cm", "16.8 L"]', '["20 C", "16.8 L"]', 16, "dipstick", '"20 C" is a temperature; write a length such as "10 cm".'),
    ('units = "metric"', 'units = {temperature = "K"}', 1, "temperature", '"K" is not known here; write "C" or "F".'),
]

WRITING = [
    ("[rig]", '[rig]\nvolume = "3 L"', 9, "volume", "this is no field of [rig]; the nearest name is volume_uncertainty."),
    ("boil_off", "boiloff", 11, "boiloff", "this is no field of [rig]; the nearest name is boil_off."),
    ('boil = "75 min"\n', "", 2, "boil", 'this is missing from [beer]; write a duration such as "75 min".'),
    ('[yeast]\n', '[yeasts]\n', 49, "yeasts", "this is no field of a plan; the nearest name is yeast."),
    (YEAST, "", 1, "yeast", "this table is missing; write [yeast] and its fields below it."),
    ('[beer]\n', '[beer]\ncolour = 12\n', 3, "colour", "this is no field of [beer]; write one of name, into_fermenter, gravity_before_boil, gravity_after_boil, boil, gravity_tolerance, volume_tolerance, temperature_tolerance, bitterness."),
    ('[beer]\n', '[beer]\nboil_off = "3 L/h"\n', 3, "boil_off", "this is no field of [beer]; it belongs in [rig]."),
    (REST, 'rest = []\n', 27, "rest", "the list is empty; write [[mash.rest]] and its fields below it."),
    (SANITATION, "", 1, "sanitation", "this table is missing; write [[sanitation]] and its fields below it."),
    ("[[later]]", "[later]", 53, "later", "this is one table and not a list; write [[later]] and its fields below it."),
    ('for = "20 min"\n', "", 35, "for", 'this is missing for a hop stand; write how long it stands, such as "20 min".'),
    ('at = "55 min"', 'at = "55 min"\nfor = "5 min"', 35, "for", 'only a hop stand has this; leave it out, or write at = "80 C".'),
    ('at = "55 min"', 'at = "55 min"\nalpha = "9.5"', 35, "alpha", '"9.5" has no unit; write alpha acid such as "5.5 %".'),
    ('at = "55 min"', 'at = "55 min"\nalpha = "9,5 %"', 35, "alpha", '"9,5 %" has a comma in its number; write alpha acid such as "5.5 %", with a decimal point.'),
    ('at = "55 min"', 'at = "55 min"\nalpha = "0 %"', 35, "alpha", '"0 %" is not above 0 and up to 70 %; write alpha acid such as "5.5 %".'),
    ('at = "55 min"', 'at = "55 min"\nalpha = "95 %"', 35, "alpha", '"95 %" is not above 0 and up to 70 %; write alpha acid such as "5.5 %".'),
    ('at = "55 min"', 'at = "55 min"\nalpha = 9.5', 35, "alpha", '9.5 has no unit; write alpha acid such as "5.5 %".'),
    ('at = "55 min"', 'at = "55 min"\nalpha = "9.5 g"', 35, "alpha", '"9.5 g" is not in per cent; write alpha acid such as "5.5 %".'),
    ('kind = "hop"\namount = "22 g"', 'kind = "sugar"\nalpha = "9.5 %"\namount = "22 g"', 33, "alpha", 'only hops have alpha acid; leave it out, or write kind = "hop".'),
    ('amount = "22 g"', 'alpha = "9.5 %"\namount = "1 handful"', 34, "amount", '"1 handful" is no mass, and alpha acid is a share of the mass; write how much the hops weigh, such as "22 g", or leave out alpha.'),
    ('boil = "75 min"', 'bitterness = 32\nboil = "75 min"', 7, "bitterness", '32 has no unit; write a bitterness such as "32 IBU".'),
    ('boil = "75 min"', 'bitterness = "32 EBU"\nboil = "75 min"', 7, "bitterness", '"32 EBU" is not in IBU; write a bitterness such as "32 IBU".'),
    ('boil = "75 min"', 'bitterness = "320 IBU"\nboil = "75 min"', 7, "bitterness", '"320 IBU" is not above 0 and up to 150 IBU; write a bitterness such as "32 IBU".'),
]

LIMITS = [
    ('"19 L"', '"-19 L"', 4, "into_fermenter", '"-19 L" is negative; write a volume such as "19 L".'),
    ('"19 L"', '"0 L"', 4, "into_fermenter", '"0 L" is nothing; write a volume such as "19 L".'),
    ('"75 min"', '"0 min"', 7, "boil", '"0 min" is nothing; write a duration such as "75 min".'),
    ('"75 min"', '"400 min"', 7, "boil", '"400 min" is above 300 min; write a duration such as "75 min".'),
    ('"19 L"', '"900 gal"', 4, "into_fermenter", '"900 gal" is above 132.1 gal; write a volume such as "19 L".'),
    ('"20 C"', '"40 C"', 20, "calibration", '"40 C" is above 30 °C; write a temperature such as "20 C".'),
    ('"20 C"', '"40 F"', 20, "calibration", '"40 F" is below 50 °F; write a temperature such as "20 C".'),
    ('"18 C"', '"41 C"', 52, "pitch_at", '"41 C" is above 40 °C; write a temperature such as "18 C".'),
    ('"18 C"', '"110 F"', 52, "pitch_at", '"110 F" is above 104 °F; write a temperature such as "18 C".'),
    ('"2 min"', '"0 s"', 48, "contact", '"0 s" is nothing; write a duration such as "2 min".'),
    ("[yeast]", '[rig.refractometer]\nuncertainty = "5 Bx"\n[yeast]', 50, "uncertainty", '"5 Bx" is not an error from 0 to 2 Brix; write an error such as "0.2 Bx".'),
    ("[yeast]", '[rig.refractometer]\ncompensates_temperature = "yes"\n[yeast]', 50, "compensates_temperature", '"yes" is neither true nor false; write true or false, without quotes.'),
    ("[yeast]", "[rig.refractometer]\nwort_factor = 2\n[yeast]", 50, "wort_factor", "2 is out of range; write a number from 0.9 to 1.2 such as 1.04."),
    ('material = "glass"', "reads_in_water = 0.9", 21, "reads_in_water", '0.9 is not a gravity from 0.980 to 1.020; write a gravity such as 1.001 or "1 point".'),
    ("Quiet Weir", "Quiet Weir and all that comes down it in the spring of a wet year", 3, "name", '"Quiet Weir and all that comes down i..." is longer than 60 letters; write a few words such as "Hollow Lane".'),
    ('"120 m"', '"-1000 m"', 13, "altitude", '"-1000 m" is below -430 m; write a length such as "120 m".'),
    ('"80 C"', '"30 C"', 39, "at", '"30 C" is below 40 °C; write a temperature such as "80 C".'),
    ('"3.1 L/h"', '"200 L/h"', 11, "boil_off", '"200 L/h" is above 100 L/h; write a rate such as "3.5 L/h".'),
    (DIPSTICK, 'dipstick = [["10 cm", "8.3 L"]]\n', 14, "dipstick", 'this has fewer than two pairs; write pairs such as ["10 cm", "9.8 L"], both rising.'),
    (DIPSTICK, 'dipstick = "10 cm"\n', 14, "dipstick", '"10 cm" is not a list of pairs; write pairs such as ["10 cm", "9.8 L"], both rising.'),
    ('"3.1 L/h"', '"0 L/h"', 11, "boil_off", '"0 L/h" is nothing; write a rate such as "3.5 L/h".'),
    ('"2 L"', '"-2 L"', 12, "kettle_loss", '"-2 L" is negative; write a volume such as "2 L".'),
    ('"3.1 L/h"', '"-1 gal/h"', 11, "boil_off", '"-1 gal/h" is negative; write a rate such as "3.5 L/h".'),
    ('"120 m"', '"9000 m"', 13, "altitude", '"9000 m" is above 5200 m; write a length such as "120 m".'),
    ("[yeast]", '[rig.thermometer]\nuncertainty = "30 F"\n[yeast]', 50, "uncertainty", '"30 F" is above 18 °F; write a difference of temperature such as "1 C".'),
    ("into_f", 'gravity_tolerance = "1 P"\ninto_f', 4, "gravity_tolerance", '"1 P" is not in points; write points such as "2 points".'),
    ("into_f", 'gravity_tolerance = 0.5\ninto_f', 4, "gravity_tolerance", '0.5 is not between 0 and 20 points; write points such as "2 points".'),
]

TOGETHER = [
    ("1.052", "1.040", 6, "gravity_after_boil", "1.04 is below the 1.044 before the boil; boiling only raises it, write the higher gravity here."),
    ('"55 min"', '"80 min"', 34, "at", '80 minutes before the end is before the 75-minute boil starts; write 75 minutes or fewer, or "first wort".'),
    ('"30 L"', '"25 L"', 10, "kettle_full", "the kettle holds 25.0 L and 25.9 L come to the boil; plan a smaller batch or a bigger kettle."),
    ('"7 min"', '"76 min"', 44, "contact", "76 minutes in the boil is longer than the 75-minute boil; write 75 minutes or fewer."),
    ('["20 cm", "16.8 L"]', '["20 cm", "8.3 L"]', 16, "dipstick", '"20 cm", "8.3 L" does not rise above the pair before it; write pairs such as ["10 cm", "9.8 L"], both rising.'),
    ("kettle_full", 'kettle_diameter = "40 cm"\nkettle_full', 10, "kettle_diameter", '"40 cm" contradicts the dipstick, which makes it 32.9 cm; keep only the one that was measured.'),
    ("altitude", 'boiling_point = "95 C"\naltitude', 13, "boiling_point", '"95 C" contradicts the altitude, at which water boils at 99.6 °C; keep only the one that was measured.'),
    ('"80 C"', '"101 C"', 39, "at", '"101 C" is above the 99.6 °C at which water boils here; write a temperature below that.'),
    ('"74 C"', '"100 C"', 26, "strike_temperature", '"100 C" is above the 99.6 °C at which water boils here; write a temperature below that.'),
    ('what = "aroma hops"\nkind = "hop"\namount = "30 g"\nat = "80 C"\nfor = "20 min"', 'what = "Bittering hops"\nkind = "hop"\namount = "3 g"\nat = "55 min"', 36, "what", '"Bittering hops" is here a second time; keep one and write the whole amount there.'),
    ('name = "fermenter"', 'name = "chiller"', 46, "name", '"chiller" is here a second time; give each thing a name of its own.'),
]

SYNTAX = [
    ('boil = "75 min"', "boil = 75 min # long", 7, "boil", 'a value with words or a unit stands in quotes; write boil = "75 min".'),
    ('"Quiet Weir"', "Quiet Weir", 3, "name", 'a value with words or a unit stands in quotes; write name = "Quiet Weir".'),
    ('"Quiet Weir"', '"Quiet Weir', 3, "name", 'a quote is not closed; write a field such as boil = "75 min".'),
    ('boil = "75 min"', 'boil "75 min"', 7, "", 'this line has no equals sign after its name; write a field such as boil = "75 min".'),
    ("kettle_full =", 'name = "x"\nkettle_full =', 10, "name", "this name is here a second time; keep one of the two."),
    ("[mash]", "[mash", 24, "", "this heading is not closed; write a heading such as [beer]."),
    ("[[addition]]", "[[addition]", 30, "", "this heading is not closed; write a heading such as [[addition]]."),
    ("[mash]", '[beer]\n[mash]', 24, "", "this table is here a second time; keep one of the two, or use double brackets for a list."),
    ('    ["34 cm", "28.75 L"],\n]\n', '    ["34 cm", "28.75 L"],\n', 18, "", "a list before this line is not closed; close it with ]."),
    ("[yeast]", "[yeast", 49, "", "this heading is not closed; write a heading such as [beer]."),
    ("19 L", '19 \x00 L', 4, "into_fermenter", "this has a character that cannot be read; write plain letters and figures."),
    ('boil = "75 min"', "boil = ", 7, "boil", 'there is nothing after the equals sign; write a field such as boil = "75 min".'),
    ('boil = "75 min"', '= "75 min"', 7, "", 'this line does not begin with a name; write a field such as boil = "75 min".'),
    ("19 L", '19 \\L', 4, "into_fermenter", "this has a backslash; leave it out."),
    ('units = "metric"', 'units = {system = "us", system = "us"}', 1, "units", "this name is here a second time; keep one of the two."),
    ('what = "take a gravity"', 'what = ["take a gravity"', 56, "", "a list is not closed; close it with ]."),
    ("[[later]]", "[[rig]]", 53, "", "this name is here a second time; keep one of the two."),
]
# fmt: on

CASES = [*UNITS_AND_TYPES, *WRITING, *LIMITS, *TOGETHER, *SYNTAX]


@pytest.mark.parametrize(("old", "new", "line", "field", "said"), CASES)
def test_each_mistake_is_answered_by_its_own_sentence(old: str, new: str, line: int, field: str, said: str) -> None:
    """One wrong place in a plan gives one sentence with its line, its field, what is wrong and what would be right."""
    place = f"x.toml line {line}, {field}" if field else f"x.toml line {line}"

    assert [f"{place}: {said}"] == sentences(edited((old, new)))


def test_the_good_plan_is_good() -> None:
    """The plan that all cases are edits of has no mistake of its own."""
    assert sentences(GOOD) == []


@pytest.mark.parametrize(
    ("table", "text", "said"),
    [
        ("yeast = 3", YEAST, "yeast: 3 is not a table; write [yeast] and its fields below it."),
        (
            "sanitation = []",
            SANITATION,
            "sanitation: the list is empty; write [[sanitation]] and its fields below it.",
        ),
        ("later = [1]", LATER, "later: 1 is not a table; write [[later]] and its fields below it."),
    ],
)
def test_a_table_of_the_wrong_form_is_one_mistake(table: str, text: str, said: str) -> None:
    """A value where a table belongs is answered on its own line with the table to write."""
    assert [f"x.toml line 2, {said}"] == sentences(edited((text, ""), ("[beer]", f"{table}\n[beer]")))


def test_all_mistakes_come_at_once_in_the_order_of_the_lines() -> None:
    """A plan is read to its end: one bad field hides neither another one nor a contradiction between good ones."""
    text = edited(
        ('"2 min"', '"0 s"'),
        ('"19 L"', '"19 kg"'),
        ("1.052", "1.040"),
        ('"55 min"', '"80 min"'),
        ("kettle_loss", "kettle_lost"),
        ('amount = "11 g"\n', ""),
    )

    expected = [
        'x.toml line 4, into_fermenter: "19 kg" is a mass; write a volume such as "19 L".',
        "x.toml line 6, gravity_after_boil: 1.04 is below the 1.044 before the boil; boiling only raises it, write the higher gravity here.",
        "x.toml line 12, kettle_lost: this is no field of [rig]; the nearest name is kettle_loss.",
        'x.toml line 34, at: 80 minutes before the end is before the 75-minute boil starts; write 75 minutes or fewer, or "first wort".',
        'x.toml line 48, contact: "0 s" is nothing; write a duration such as "2 min".',
        'x.toml line 49, amount: this is missing from [yeast]; write an amount such as "11 g" or "1 packet".',
    ]
    assert expected == sentences(text)


def test_sentences_speak_in_the_units_of_the_brewer() -> None:
    """A limit that follows from the plan is told in gallons to a brewer who thinks in gallons."""
    text = edited(('"metric"', '"us"'), ('"30 L"', '"25 L"'))

    expected = "x.toml line 10, kettle_full: the kettle holds 6.6 gal and 6.8 gal come to the boil; plan a smaller batch or a bigger kettle."
    assert [expected] == sentences(text)


def test_lines_are_those_of_the_file_whatever_its_line_ends() -> None:
    """A file written on another system, with a byte order mark and carriage returns, has the same lines."""
    text = "\N{ZERO WIDTH NO-BREAK SPACE}" + edited(('"75 min"', '"75"')).replace("\n", "\r\n")

    assert sentences(text) == ['x.toml line 7, boil: "75" has no unit; write a duration such as "75 min".']


@settings(max_examples=150, deadline=None)
@given(st.text())
def test_any_text_is_read_or_answered(text: str) -> None:
    """Whatever a file holds, the answer is a plan or sentences, never anything else."""
    assert all(sentence.endswith(".") for sentence in sentences(text))


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_a_mangled_plan_is_read_or_answered(data: st.DataObject) -> None:
    """A good plan with pieces cut out, doubled or overwritten gives a plan or sentences with lines that exist."""
    text = GOOD
    pieces = st.one_of(st.sampled_from(PIECES), st.text(max_size=6))
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = data.draw(st.integers(start, min(len(text), start + 40)))
        text = text[:start] + data.draw(pieces) + text[end:]

    for sentence in sentences(text):
        line = int(sentence.removeprefix("x.toml line ").split(":")[0].split(",")[0])
        assert 1 <= line <= text.count("\n") + 1


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_a_plan_with_other_values_is_read_or_answered(data: st.DataObject) -> None:
    """Well-formed TOML with any value in any field, huge numbers and dates too, gives a plan or sentences."""
    lines = GOOD.split("\n")
    fields = [number for number, line in enumerate(lines) if " = " in line and not line.endswith("[")]
    for number in data.draw(st.lists(st.sampled_from(fields), min_size=1, max_size=4)):
        lines[number] = lines[number].split(" = ")[0] + " = " + data.draw(st.sampled_from(VALUES))

    for sentence in sentences("\n".join(lines)):
        assert "\n" not in sentence
        assert sentence.endswith(".")
