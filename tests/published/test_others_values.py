"""Colour, pasteurisation, water chemistry, sanitising and mixing against values from elsewhere.

Statuses as in `test_published_values.py`.
"""

from __future__ import annotations

from collections.abc import Callable

import chemicals
import pytest
from CoolProp.CoolProp import PropsSI
from others_rows import Row, badly_told, name_of, rows_of, value_from

from assistant.calculation import colour, dilution, mixing, pasteurisation
from assistant.calculation import water_chemistry as chemistry
from assistant.calculation.molar_mass import ATOMIC_WEIGHTS, molar_mass_g
from assistant.quantities import Measured, Unit, convert

ROWS = rows_of("others_values.csv")

FORMULAE = (
    *(str(salt) for salt in chemistry.Salt),
    *("CO2", "C2H6O", "C12H22O11", "C6H12O6", "C6H12O6.H2O"),
)


def _exact(value: float) -> Measured:
    return Measured(value, 0.0)


def _bill(pounds: float, lovibond: float, more_pounds: float, darker: float) -> list[colour.ColouredGrain]:
    return [
        colour.ColouredGrain(convert(mass, Unit.POUND, Unit.KILOGRAM), shade)
        for mass, shade in ((pounds, lovibond), (more_pounds, darker))
    ]


def _units_of_bill(*figures: float) -> float:
    return colour.malt_colour_units(_bill(*figures[:4]), convert(figures[4], Unit.US_GALLON, Unit.LITRE))


def _colour_of_bill(*figures: float) -> float:
    litres = convert(figures[4], Unit.US_GALLON, Unit.LITRE)
    return colour.beer_colour(_bill(*figures[:4]), _exact(litres)).value


def _hardness(calcium: float, magnesium: float) -> float:
    """German degrees of hardness: 3.5 and 7 times what they take from the alkalinity."""
    taken = chemistry.residual_alkalinity(_exact(calcium), _exact(magnesium), _exact(0.0)).value
    return -chemistry.degrees_german(taken) * (3.5 if calcium else 7.0)


def _residual_degrees(alkalinity_mmol: float, calcium: float, magnesium: float) -> float:
    bicarbonate = alkalinity_mmol * molar_mass_g("HCO3")
    left = chemistry.residual_alkalinity(_exact(calcium), _exact(magnesium), _exact(bicarbonate))
    return chemistry.degrees_german(left.value)


def _fall_of_ph(temperature_c: float) -> float:
    return chemistry.ph_at_room_temperature(_exact(5.2), temperature_c).value - 5.2


def _seconds(agent: dilution.Agent) -> Callable[[float], float]:
    return lambda minutes: dilution.CONTACT_RULES[agent].seconds


def _strength(agent: dilution.Agent) -> Callable[[float], float]:
    return lambda time: dilution.CONTACT_RULES[agent].parts_per_million or 0.0


FORMULAS: dict[str, Callable[..., float]] = {
    "SRM of absorbance": colour.srm_from_absorbance,
    "EBC of absorbance": lambda absorbance: colour.ebc_from_srm(colour.srm_from_absorbance(absorbance)),
    "EBC of SRM": colour.ebc_from_srm,
    "SRM of Lovibond": colour.srm_from_lovibond,
    "Morey": colour.morey_srm,
    "malt colour units": _units_of_bill,
    "colour of a bill": _colour_of_bill,
    "Daniels": colour.daniels_srm,
    "Mosher": colour.mosher_srm,
    "pasteurisation units": lambda minutes, t: pasteurisation.units(_exact(minutes), _exact(t)).value,
    "minutes for units": lambda units, t: pasteurisation.minutes_for_units(units, _exact(t)).value,
    **{f"molar mass of {formula}": (lambda n, formula=formula: n * molar_mass_g(formula)) for formula in FORMULAE},
    "calcium of dry calcium chloride": lambda grams, litres: (
        chemistry.ion_from_salt(
            chemistry.Salt.CALCIUM_CHLORIDE_DRY,
            chemistry.Ion.CALCIUM,
            _exact(grams / 1000.0),
            _exact(litres),
        ).value
    ),
    "alkalinity": chemistry.alkalinity_mg_per_l,
    "calcium hardness": lambda calcium: _hardness(calcium, 0.0),
    "magnesium hardness": lambda magnesium: _hardness(0.0, magnesium),
    "residual alkalinity": _residual_degrees,
    "fall of pH": _fall_of_ph,
    "hot water temperature": lambda fahrenheit: dilution.HOT_WATER_C,
    "hot water seconds": _seconds(dilution.Agent.HOT_WATER),
    "hot air seconds": _seconds(dilution.Agent.HOT_AIR),
    "steam cabinet seconds": _seconds(dilution.Agent.STEAM_CABINET),
    "chlorine ppm": _strength(dilution.Agent.CHLORINE),
    "iodine ppm": _strength(dilution.Agent.IODINE),
    "mixed gravity": lambda *figures: mixing.mixed_worts(*figures)[1],
}


@pytest.mark.parametrize("row", ROWS, ids=name_of)
def test_other_answers_meet_published_values(row: Row) -> None:
    """Each value from elsewhere comes out of our formula or table within the tolerance beside it."""
    expected = float(row["value"])

    assert expected == pytest.approx(value_from(row, FORMULAS), abs=float(row["tolerance"]), rel=0)


def test_the_table_of_others_is_told() -> None:
    """Every row has source, status and tolerance, and every formula has a row."""
    assert not badly_told(ROWS)
    assert set(FORMULAS) == {row["quantity"] for row in ROWS}


def _counted(formula: str) -> dict[str, int]:
    counts: dict[str, int] = {}
    for part in formula.split("."):
        digits = len(part) - len(part.lstrip("0123456789"))
        times = int(part[:digits] or 1)
        for element, number in chemicals.elements.nested_formula_parser(part[digits:]).items():
            counts[element] = counts.get(element, 0) + times * int(number)
    return counts


@pytest.mark.parametrize("formula", FORMULAE)
def test_molar_masses_meet_another_listing(formula: str) -> None:
    """Each molar mass agrees within 0.02 g/mol with the elements listed by the library chemicals (LIB)."""
    expected = chemicals.elements.molecular_weight(_counted(formula))

    assert expected == pytest.approx(molar_mass_g(formula), abs=0.02)


# The interval or value ± uncertainty of the standard atomic weights 2021, read on the Commission's page (SRC).
STANDARD = {
    "H": (1.00784, 1.00811),
    "C": (12.0096, 12.0116),
    "O": (15.99903, 15.99977),
    "Na": (22.98976926, 22.98976930),
    "Mg": (24.304, 24.307),
    "P": (30.973761993, 30.973762003),
    "S": (32.059, 32.076),
    "Cl": (35.446, 35.457),
    "K": (39.0982, 39.0984),
    "Ca": (40.074, 40.082),
}


@pytest.mark.parametrize("element", ATOMIC_WEIGHTS)
def test_atomic_weights_are_the_standard_ones(element: str) -> None:
    """Each atomic weight is the standard one of 2021, rounded to five figures."""
    lowest, highest = STANDARD[element]
    rounding = 0.5e-3

    assert lowest - rounding <= ATOMIC_WEIGHTS[element] <= highest + rounding


@pytest.mark.parametrize("formula", ["CO2", "H2O", "C2H6O"])
def test_molar_masses_meet_coolprop(formula: str) -> None:
    """Gas, water and alcohol weigh what CoolProp says."""
    fluid = {"CO2": "CO2", "H2O": "Water", "C2H6O": "Ethanol"}[formula]
    expected = 1000.0 * PropsSI("M", fluid)

    assert expected == pytest.approx(molar_mass_g(formula), abs=0.005)


@pytest.mark.parametrize(("hot_c", "cold_c", "litres"), [(80.0, 20.0, 10.0), (95.0, 12.0, 4.0), (65.0, 55.0, 20.0)])
def test_mixed_water_meets_coolprop(hot_c: float, cold_c: float, litres: float) -> None:
    """Hot and cold water mix to the temperature at which CoolProp's enthalpies balance, within 0.25 K."""
    kg = {t: PropsSI("D", "T", t + 273.15, "P", 101_325.0, "Water") for t in (hot_c, cold_c)}
    heat = {t: PropsSI("H", "T", t + 273.15, "P", 101_325.0, "Water") for t in (hot_c, cold_c)}
    hot_kg, cold_kg = litres * kg[hot_c], 10.0 * kg[cold_c]
    both = (hot_kg * heat[hot_c] + cold_kg * heat[cold_c]) / (hot_kg + cold_kg)
    expected = PropsSI("T", "H", both, "P", 101_325.0, "Water") - 273.15

    joined = mixing.mix_temperature(_exact(litres), _exact(hot_c), _exact(10.0), _exact(cold_c))

    assert expected == pytest.approx(joined.value, abs=0.25)


def test_gypsum_carries_its_water() -> None:
    """Gypsum is 23.3 % calcium; the 29 % that is printed for it in places belongs to the salt without water."""
    calcium, gypsum = molar_mass_g("Ca"), chemistry.ion_share(chemistry.Salt.GYPSUM, chemistry.Ion.CALCIUM)
    expected = 0.2328

    assert expected == pytest.approx(gypsum, abs=1e-4)
    assert calcium / molar_mass_g("CaSO4") == pytest.approx(0.294, abs=1e-3)


def test_morey_exponent_is_not_the_misprint() -> None:
    """The author's exponent is 0.6859; 0.659, printed in places, would give 12 % less at 100 units (2ND)."""
    misprint = 1.4922 * 100.0**0.659
    expected = 35.1

    assert expected == pytest.approx(colour.morey_srm(100.0), abs=0.1)
    assert colour.morey_srm(100.0) > 1.1 * misprint
