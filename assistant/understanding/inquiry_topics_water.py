"""Questions of brewing water: salts, profiles, thinning, mixing, pH."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_WATER: Final = Slot("volume of water", Measure.VOLUME, ("in", "to", "for", "into", "with", "of"), ("water",))
SALT_WORDS: Final[tuple[tuple[str, str], ...]] = (
    ("gypsum", "CaSO4.2H2O"),
    ("calcium sulphate", "CaSO4.2H2O"),
    ("calcium sulfate", "CaSO4.2H2O"),
    ("calcium chloride", "CaCl2.2H2O"),
    ("dry calcium chloride", "CaCl2"),
    ("epsom salt", "MgSO4.7H2O"),
    ("epsom", "MgSO4.7H2O"),
    ("epsom salts", "MgSO4.7H2O"),
    ("magnesium chloride", "MgCl2.6H2O"),
    ("table salt", "NaCl"),
    ("baking soda", "NaHCO3"),
    ("slaked lime", "Ca(OH)2"),
    ("lime", "Ca(OH)2"),
    ("chalk", "CaCO3"),
)
_SALT: Final = Choice("salt", SALT_WORDS, "", ("with", "of", "from", "for", "in", "using"), opens=True)
IONS: Final = ("calcium", "magnesium", "sodium", "sulphate", "chloride", "bicarbonate")
_SPELLED: Final = {"sulphate": ("sulphate", "sulfate"), "bicarbonate": ("bicarbonate", "bicarb")}
_ION: Final = Choice(
    "ion",
    (
        *((ion, ion) for ion in IONS),
        *(("sulfate", "sulphate"), ("bicarb", "bicarbonate")),
    ),
    "",
    ("of", "for", "in", "with", "to raise", "raise", "more"),
)


def _level(ion: str, *leads: str, required: bool = False) -> Slot:
    """A level of `ion`, with its name in front of it or behind, and one of the `leads` in front of that."""
    names = _SPELLED.get(ion, (ion,))
    plain = tuple(
        f"{lead} {name}".strip() for name in names for lead in ("", "of", "with", "to", "for", "and") if not leads
    )
    plain += () if leads else ("with", "of", "to", "for")
    led = tuple(f"{lead} {name}" for name in names for lead in leads)
    return Slot(
        f"{leads[0]} {ion}" if leads else ion,
        Measure.LEVEL,
        plain or led,
        () if leads else names,
        required=required,
        named_only=True,
    )


WATER_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "salt",
        ("salt", "brewing salt", "water salt", "ions from", "one salt"),
        "what a brewing salt adds to the water",
        (
            Slot("mass of the salt", Measure.MASS, ("of", "from", "with", "for")),
            _WATER,
        ),
        "salt four grams of gypsum in twenty litres",
        (_SALT,),
    ),
    Topic(
        "salts",
        ("salts", "several salts", "brewing salts", "water salts", "salts together", "minerals"),
        "what several salts together make of a water",
        (
            _WATER,
            *(
                Slot(
                    name,
                    Measure.MASS,
                    (),
                    tuple(word for word, formula in SALT_WORDS if formula == wanted),
                    required=False,
                    named_only=True,
                )
                for name, wanted in (
                    ("gypsum", "CaSO4.2H2O"),
                    ("calcium chloride", "CaCl2.2H2O"),
                    ("dry calcium chloride", "CaCl2"),
                    ("epsom salt", "MgSO4.7H2O"),
                    ("magnesium chloride", "MgCl2.6H2O"),
                    ("table salt", "NaCl"),
                    ("baking soda", "NaHCO3"),
                    ("slaked lime", "Ca(OH)2"),
                    ("chalk", "CaCO3"),
                )
            ),
            *(_level(ion) for ion in IONS),
        ),
        "salts four grams of gypsum and three grams of calcium chloride in twenty litres",
    ),
    Topic(
        "salts for a profile",
        (
            *("salts for a profile", "salts for profile", "water profile", "salts to reach", "salts wanted"),
            *("profile", "build water", "salts for", "which salts", "salts to get"),
        ),
        "which salts bring a water to the ions that are wanted",
        (
            _WATER,
            *(_level(ion) for ion in IONS),
            *(_level(ion, "starting", "from", "present") for ion in IONS),
        ),
        "water profile for twenty litres, calcium one hundred, sulphate one fifty, chloride eighty",
    ),
    Topic(
        "salt for an ion",
        (
            *("salt for an ion", "raise", "salt to raise", "salt to add", "to raise", "gypsum", "calcium chloride"),
            *("epsom salt", "table salt", "baking soda", "slaked lime", "chalk"),
        ),
        "how much of a salt brings more of one ion",
        (
            Slot("rise of the ion", Measure.LEVEL, ("by", "for"), named_only=True),
            _WATER,
        ),
        "raise calcium by fifty in twenty litres with calcium chloride",
        (_ION, _SALT),
    ),
    Topic(
        "residual alkalinity",
        ("residual alkalinity", "alkalinity", "kolbach", "ra"),
        "the residual alkalinity of a brewing water",
        tuple(_level(ion, required=True) for ion in ("calcium", "magnesium", "bicarbonate")),
        "residual alkalinity with calcium one hundred, magnesium twenty, bicarbonate two fifty",
    ),
    Topic(
        "distilled water",
        (
            *("distilled water", "distilled", "pure water", "ro water", "reverse osmosis water", "thin water"),
            *("dilute water", "water to thin water", "soften water"),
        ),
        "how much of a water must be distilled for an ion to fall",
        (
            Slot("volume of water", Measure.VOLUME, ("for", "in", "of", "to make"), ("water", "in all", "total")),
            Slot("level now", Measure.LEVEL, ("from",), named_only=True),
            Slot("level wanted", Measure.LEVEL, ("to", "down to"), named_only=True),
        ),
        "distilled water for forty litres from two hundred and forty to sixty",
        (
            Choice(
                "ion",
                _ION.phrases,
                "any ion",
                ("of", "for", "in", "with", "from"),
            ),
        ),
    ),
    Topic(
        "mix ions",
        ("mix ions", "mixed ions", "ions of two waters", "blend waters", "blend water"),
        "the level of an ion in two waters together",
        (
            Slot("first volume", Measure.VOLUME, ("of",), ("water",)),
            Slot("first level", Measure.LEVEL, ("at", "with", "of")),
            Slot("second volume", Measure.VOLUME, ("with", "and", "into"), ("water",), named_only=True),
            Slot("second level", Measure.LEVEL, ("at", "with", "of")),
        ),
        "mix ions ten litres at two hundred with thirty litres at forty",
        ordered=True,
    ),
    Topic(
        "mix waters",
        ("mix waters", "mix water", "mixed water", "water mix"),
        "how warm two waters are together",
        (
            Slot("first volume", Measure.VOLUME, ("of",), ("water",)),
            Slot("first temperature", Measure.TEMPERATURE, ("at", "of")),
            Slot("second volume", Measure.VOLUME, ("with", "and", "into"), ("water",), named_only=True),
            Slot("second temperature", Measure.TEMPERATURE, ("at", "of")),
        ),
        "mix waters ten litres at eighty with ten litres at twenty",
        ordered=True,
    ),
    Topic(
        "mash ph",
        ("mash ph", "ph of mash", "room temperature ph", "hot ph", "ph when cold", "wort ph"),
        "what a pH read hot is at room temperature",
        (
            Slot("ph", Measure.PH, ("of", "read", "reads")),
            Slot("temperature of the sample", Measure.TEMPERATURE, ("at",)),
        ),
        "mash ph of five point two at sixty-five degrees",
    ),
)
