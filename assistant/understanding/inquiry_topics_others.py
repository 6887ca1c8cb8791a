"""Questions about cleaning, mixing and ice."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Slot, Topic

OTHER_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "sanitiser",
        ("sanitiser", "sanitizer", "concentrate", "no rinse", "no rinse sanitiser", "no rinse sanitizer"),
        "how much concentrate a ratio of the label needs",
        (
            Slot("volume of solution", Measure.VOLUME, ("for", "in", "of"), ("water", "solution")),
            Slot(
                "parts of water",
                Measure.NUMBER,
                ("one to", "1 to", "at one to", "at 1 to", "one part to", "1 part to", "at one part to"),
                named_only=True,
            ),
        ),
        "sanitiser for nineteen litres at one to three hundred",
    ),
    Topic(
        "label dose",
        ("label dose", "dose", "label says", "dosage", "sanitiser dose", "sanitizer dose"),
        "how much of a product the dose on its label makes",
        (
            Slot("volume of solution", Measure.VOLUME, ("for",), ("solution",), named_only=True),
            Slot("dose on the label", Measure.VOLUME, ("at", "of", "says")),
            Slot("water on the label", Measure.VOLUME, ("to", "per", "in"), ("water",), named_only=True),
        ),
        "label dose for three gallons at one fluid ounce to five gallons",
    ),
    Topic(
        "cleaner",
        ("cleaner", "powder", "caustic", "acid cleaner", "cleaning powder", "caustic soda", "alkaline cleaner"),
        "how much powder a strength of the label needs",
        (
            Slot("volume of solution", Measure.VOLUME, ("for", "in", "of"), ("water", "solution")),
            Slot("strength", Measure.STRENGTH, ("at", "with", "of")),
        ),
        "cleaner for twenty litres at seven point five grams a litre",
    ),
    Topic(
        "stock",
        (
            "stock",
            "stock solution",
            "thin acid",
            "dilute acid",
            "dilute caustic",
            "thin caustic",
            "acid from stock",
        ),
        "how much of a strong acid or caustic makes a weaker one",
        (
            Slot("volume of solution", Measure.VOLUME, ("for", "in", "of"), ("water", "solution")),
            Slot("strength of the stock", Measure.SHARE, ("from", "of"), ("stock",), named_only=True),
            Slot("strength wanted", Measure.SHARE, ("to", "at", "for"), named_only=True),
        ),
        "stock for twenty litres to two per cent from thirty per cent",
    ),
    Topic(
        "parts per million",
        (
            *("iodine", "chlorine", "bleach", "iodophor", "parts per million", "sanitiser by strength"),
            *("sanitizer by strength", "iodine sanitiser", "iodine sanitizer"),
        ),
        "how much iodine or chlorine stock gives a strength in parts per million",
        (
            Slot("volume of solution", Measure.VOLUME, ("for", "in", "of"), ("water", "solution")),
            Slot("strength wanted", Measure.LEVEL, ("to", "at", "for")),
            Slot("strength of the stock", Measure.SHARE, ("from", "of"), ("stock",)),
        ),
        "iodine for twenty litres to twenty-five parts per million from one point seven five per cent",
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
        "blend to",
        ("blend to", "wort to blend", "wort to reach", "blend down", "blend up", "blending"),
        "how much of a second wort brings a wort to a gravity",
        (
            Slot("volume of wort", Measure.VOLUME, ("for", "of", "in", "to"), ("wort", "beer")),
            Slot("gravity now", Measure.GRAVITY, ("from",), named_only=True),
            Slot("gravity wanted", Measure.GRAVITY, ("to", "down to", "up to"), named_only=True),
            Slot("gravity of the second wort", Measure.GRAVITY, ("with", "with wort of", "using"), named_only=True),
        ),
        "wort to blend for fifteen litres from ten sixty to ten fifty with ten twenty",
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
