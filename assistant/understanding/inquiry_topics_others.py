"""Questions about cleaning, mixing, ice and water."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_SALTS: Final = Choice(
    "salt",
    (
        ("gypsum", "CaSO4.2H2O"),
        ("calcium sulphate", "CaSO4.2H2O"),
        ("calcium chloride", "CaCl2.2H2O"),
        ("dry calcium chloride", "CaCl2"),
        ("epsom salt", "MgSO4.7H2O"),
        ("magnesium chloride", "MgCl2.6H2O"),
        ("table salt", "NaCl"),
        ("baking soda", "NaHCO3"),
        ("slaked lime", "Ca(OH)2"),
        ("chalk", "CaCO3"),
    ),
    "",
)

OTHER_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "sanitiser",
        ("sanitiser", "sanitizer", "concentrate"),
        "how much concentrate a ratio of the label needs",
        (
            Slot("volume of solution", Measure.VOLUME, ("for", "in", "of"), ("water", "solution")),
            Slot(
                "parts of water",
                Measure.NUMBER,
                ("one to", "1 to", "at one to", "at 1 to", "at one in", "one part to"),
                named_only=True,
            ),
        ),
        "sanitiser for nineteen litres at one to three hundred",
    ),
    Topic(
        "cleaner",
        ("cleaner", "powder", "caustic", "acid cleaner"),
        "how much powder a strength of the label needs",
        (
            Slot("volume of solution", Measure.VOLUME, ("for", "in", "of"), ("water", "solution")),
            Slot("strength", Measure.STRENGTH, ("at", "with", "of")),
        ),
        "cleaner for twenty litres at seven point five grams a litre",
    ),
    Topic(
        "mix worts",
        ("mix worts", "blend", "mix wort", "blend worts"),
        "volume and gravity of two worts together",
        (
            Slot("first volume", Measure.VOLUME, ("of",), ("wort",)),
            Slot("first gravity", Measure.GRAVITY, ("at", "of")),
            Slot("second volume", Measure.VOLUME, ("with", "and", "into"), ("wort",), named_only=True),
            Slot("second gravity", Measure.GRAVITY, ("at", "of")),
        ),
        "blend fifteen litres at ten sixty with five litres at ten twenty",
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
        "salt",
        ("salt", "salts", "brewing salt", "water salt", "ions from"),
        "what a brewing salt adds to the water",
        (
            Slot("mass of the salt", Measure.MASS, ("of", "from", "with")),
            Slot("volume of water", Measure.VOLUME, ("in", "to", "for"), ("water",)),
        ),
        "salt four grams of gypsum in twenty litres",
        (_SALTS,),
    ),
    Topic(
        "residual alkalinity",
        ("residual alkalinity", "alkalinity"),
        "the residual alkalinity of a brewing water",
        tuple(
            Slot(ion, Measure.LEVEL, (ion, f"of {ion}", f"with {ion}"), (ion,), named_only=True)
            for ion in ("calcium", "magnesium", "bicarbonate")
        ),
        "residual alkalinity with calcium one hundred, magnesium twenty, bicarbonate two fifty",
    ),
    Topic(
        "ice",
        ("ice", "ice needed", "ice bath"),
        "how much ice around the kettle cools wort",
        (
            Slot("volume of wort", Measure.VOLUME, ("for", "of", "to cool"), ("wort",)),
            Slot("temperature now", Measure.TEMPERATURE, ("from",), named_only=True),
            Slot("temperature wanted", Measure.TEMPERATURE, ("to", "down to"), named_only=True),
            Slot("gravity of the wort", Measure.GRAVITY, ("at", "of"), required=False),
        ),
        "ice for twenty litres from thirty to eighteen",
    ),
)
