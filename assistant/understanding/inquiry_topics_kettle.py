"""Questions about the kettle: how much is in it, what boiling does, what it costs."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_slots import (
    BOIL_OFF,
    NOW_C,
    NOW_SG,
    OPTIONAL_SG,
    WANTED_C,
    WANTED_SG,
    WORT,
)
from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_DIAMETER: Final = Slot(
    "diameter of the kettle",
    Measure.ALTITUDE,
    (
        "kettle of",
        "diameter",
        "diameter of",
        "wide",
        "across",
        "pot of",
        "in kettle of",
        "in pot of",
        "in a kettle of",
        "in a",
        "in",
    ),
    ("wide", "across", "diameter", "kettle", "pot", "in diameter"),
    required=False,
    named_only=True,
)
_DISH: Final = Slot(
    "depth of the bottom",
    Measure.ALTITUDE,
    ("dome", "dome of", "domed", "domed by", "domed bottom of", "dish of", "dished", "bottom of", "with a dome of"),
    ("dome", "dish", "domed", "of dome"),
    required=False,
    named_only=True,
)
_TORISPHERICAL: Final = Choice(
    "bottom",
    (
        ("flat", "flat"),
        ("flat bottom", "flat"),
        ("torispherical", "torispherical"),
        ("klopper head", "torispherical"),
    ),
    "flat",
    ("with", "on", "with a"),
)
_MINUTES: Final = Slot(
    "time of the boil",
    Measure.DURATION,
    ("for", "after", "in", "over", "boiled", "boiled for", "boil", "and", "within"),
    ("more", "of boil", "boil"),
)

KETTLE_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "kettle volume",
        (
            *("kettle volume", "volume in kettle", "volume at", "dipstick", "volume in pot", "volume of kettle"),
            *("how full", "litres at", "gallons at", "volume for depth", "volume in a kettle"),
        ),
        "how much a kettle holds at a depth",
        (
            Slot(
                "depth",
                Measure.ALTITUDE,
                ("at", "of", "filled", "for", "depth", "depth of", "reads"),
                ("deep", "on stick", "of wort", "depth"),
            ),
            _DIAMETER,
            _DISH,
        ),
        "kettle volume at thirty-one centimetres in a kettle of thirty-six centimetres",
        (_TORISPHERICAL,),
    ),
    Topic(
        "kettle depth",
        ("depth of", "kettle depth", "depth for", "deep", "depth in kettle"),
        "how deep a volume stands in a kettle",
        (Slot("volume", Measure.VOLUME, ("of", "for", "with")), _DIAMETER, _DISH),
        "depth of twenty-five litres in a kettle of thirty-six centimetres",
        (_TORISPHERICAL,),
    ),
    Topic(
        "cold volume",
        ("cold volume", "volume when cold", "shrinkage", "volume cold", "cooled volume"),
        "how much hot wort is left when it is cold",
        (
            Slot("hot volume", Measure.VOLUME, ("of", "for", "from"), ("wort",)),
            Slot("temperature", Measure.TEMPERATURE, ("at",)),
            OPTIONAL_SG,
        ),
        "cold volume of twenty-six litres at ninety-eight degrees",
    ),
    Topic(
        "hot volume",
        ("hot volume", "volume when hot", "volume hot"),
        "how much room cold wort takes when it is hot",
        (
            Slot("cold volume", Measure.VOLUME, ("of", "for", "from"), ("wort",)),
            Slot("temperature", Measure.TEMPERATURE, ("at",)),
            OPTIONAL_SG,
        ),
        "hot volume of twenty-five litres at ninety-eight degrees",
    ),
    Topic(
        "dilute",
        (
            "dilute",
            "dilution",
            "water to dilute",
            "thin",
            "water to thin",
            "water to add",
            "add water",
            "liquor back",
        ),
        "how much water thins wort to a gravity",
        (WORT, NOW_SG, WANTED_SG),
        "dilute twenty litres from ten fifty to ten forty",
    ),
    Topic(
        "boil",
        (
            "boil",
            "boil longer",
            "boil time",
            "longer boil",
            "time to boil",
            "longer to boil",
            "much longer to boil",
        ),
        "how long to boil wort to a gravity",
        (WORT, NOW_SG, WANTED_SG, BOIL_OFF),
        "boil twenty-five litres from ten forty to ten fifty at four litres an hour",
    ),
    Topic(
        "boil on",
        (
            "gravity after",
            "boil on",
            "boiling on",
            "after boiling",
            "gravity after boiling",
            "gravity if i boil",
            "boil for",
        ),
        "what wort is after more minutes of boil",
        (_MINUTES, WORT, Slot("gravity now", Measure.GRAVITY, ("from", "at", "of", "now")), BOIL_OFF),
        "gravity after twenty minutes with twenty-five litres at ten forty and four litres an hour",
    ),
    Topic(
        "both targets",
        ("hit both", "both targets", "correct", "hit", "fix", "hit volume and gravity", "both", "correction"),
        "what brings wort to a volume and a gravity at once",
        (
            Slot("volume of wort", Measure.VOLUME, ("from", "of", "with", "have")),
            Slot("gravity now", Measure.GRAVITY, ("at", "of")),
            Slot("volume wanted", Measure.VOLUME, ("to", "for", "into", "want"), named_only=True),
            Slot("gravity wanted", Measure.GRAVITY, ("at", "of", "to")),
            BOIL_OFF,
            Slot(
                "longest boil",
                Measure.DURATION,
                ("within", "at most", "in at most", "up to"),
                required=False,
                named_only=True,
            ),
        ),
        "hit both from twenty-five litres at ten forty to twenty-three litres at ten forty-eight,"
        " boiling off four litres an hour",
        ordered=True,
    ),
    Topic(
        "boil-off",
        ("boil off", "boil off rate", "evaporation", "evaporation rate", "boil off from", "boiloff"),
        "what boils off, from two volumes",
        (
            Slot("volume before", Measure.VOLUME, ("from", "of", "before", "started with"), ("before",)),
            Slot(
                "volume after",
                Measure.VOLUME,
                ("to", "down to", "after", "left"),
                ("after", "left"),
                named_only=True,
            ),
            Slot("time between", Measure.DURATION, ("in", "over", "for", "after", "within")),
            OPTIONAL_SG,
            Slot(
                "temperature of both",
                Measure.TEMPERATURE,
                ("measured at", "both at", "at"),
                required=False,
                named_only=True,
            ),
        ),
        "boil off from twenty-six litres to twenty-two in sixty minutes",
    ),
    Topic(
        "boil-off by power",
        (
            "boil off with",
            "boil off by",
            "evaporation with",
            "boil off by power",
            "power boils off",
            "evaporation by power",
        ),
        "what a net power boils off",
        (Slot("net power", Measure.POWER, ("with", "at", "of", "by", "from")),),
        "boil off with three kilowatts",
    ),
    Topic(
        "burner power",
        ("burner power", "net power", "power", "power of burner", "strong burner", "burner strength"),
        "what of a burner's power reaches the wort",
        (
            Slot("volume", Measure.VOLUME, ("for", "of", "with", "heated", "heating"), ("water", "wort")),
            NOW_C,
            WANTED_C,
            Slot("time", Measure.DURATION, ("in", "over", "took", "for", "after")),
            Slot("gravity", Measure.GRAVITY, ("wort at", "gravity"), required=False, named_only=True),
        ),
        "burner power for twenty litres from twenty to sixty-seven in twenty-two minutes",
    ),
    Topic(
        "fuel",
        (
            *("gas for", "fuel", "fuel for", "gas needed", "gas to heat", "gas to boil", "gas use", "gas"),
            *("propane", "butane", "electricity", "electric power"),
        ),
        "how much gas or electricity heats and boils a batch",
        (
            Slot("volume", Measure.VOLUME, ("for", "of", "heating", "heat", "to heat"), ("water", "wort")),
            NOW_C,
            WANTED_C,
            Slot(
                "water boiled off",
                Measure.VOLUME,
                ("boiling off", "boil off", "and boiling off", "boiled off"),
                ("boiled off",),
                required=False,
                named_only=True,
            ),
        ),
        "gas for thirty litres from fifteen to a hundred, boiling off four litres",
        (
            Choice(
                "fuel",
                (
                    ("propane", "propane"),
                    ("butane", "butane"),
                    ("natural gas", "methane"),
                    ("electricity", "electricity"),
                    ("electric power", "electricity"),
                ),
                "propane",
                opens=True,
            ),
        ),
    ),
)
