"""Questions about grain and extract: what a bill gives, its colour, and what became of it."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_slots import (
    BILL,
    BILL_NAMES,
    GRAIN,
    MALT,
    NOW_SG,
    THICKNESS,
    WANTED_SG,
    WATER,
    WORT,
    WORT_SG,
)
from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_SHARE: Final = ("at", "with", "of", "and")
_CONVERSION: Final = Slot(
    "conversion",
    Measure.SHARE,
    ("conversion", "converted", "conversion of"),
    ("conversion",),
    required=False,
    named_only=True,
)

GRIST_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "expected gravity",
        (
            *(
                "expected gravity",
                "gravity from",
                "expect",
                "gravity of",
                "what gravity",
                "gravity with",
                "og from",
            ),
            *("expected og", "og of", "og", "original gravity from", "grain bill", "malt bill", "gravity for"),
        ),
        "what gravity malts and sugars give",
        (
            *BILL,
            Slot("volume of wort", Measure.VOLUME, ("in", "for", "to", "into", "makes", "making"), ("wort",)),
            Slot(
                "efficiency",
                Measure.SHARE,
                (*_SHARE, "efficiency", "efficiency of", "at an efficiency of"),
                ("efficiency",),
            ),
        ),
        "gravity from four kilos pale at eighty per cent and half a kilo crystal at seventy-five"
        " in twenty-three litres at seventy per cent",
        (MALT,),
        repeated=BILL_NAMES,
    ),
    Topic(
        "colour",
        (
            *(
                "colour of",
                "color of",
                "beer colour",
                "beer color",
                "colour from",
                "color from",
            ),
            *("colour with", "color with", "colour of beer from", "color of beer from"),
        ),
        "what colour malts give",
        (
            GRAIN,
            Slot("colour of the malt", Measure.COLOUR, ("at", "of", "with")),
            Slot("volume of wort", Measure.VOLUME, ("in", "for", "to", "into"), ("wort",)),
        ),
        "colour of four kilos pale at six ebc and half a kilo crystal at one fifty ebc in twenty-three litres",
        (MALT,),
        repeated=(GRAIN.name, MALT.name, "colour of the malt"),
    ),
    Topic(
        "first wort gravity",
        ("first wort gravity", "gravity of first wort", "first runnings gravity", "gravity of first runnings"),
        "what the first wort reads",
        (
            *BILL,
            WATER,
            THICKNESS,
            _CONVERSION,
        ),
        "first wort gravity from five kilos with fifteen litres",
        (MALT,),
        repeated=BILL_NAMES,
    ),
    Topic(
        "conversion",
        ("conversion", "conversion efficiency", "how far converted", "mash conversion"),
        "how much of the malt's extract is dissolved",
        (
            *BILL,
            WATER,
            THICKNESS,
            Slot(
                "gravity of the first wort",
                Measure.GRAVITY,
                (
                    "at",
                    "and",
                    "reads",
                    "reading",
                    "of",
                    "with",
                    "first wort",
                    "first wort reads",
                    "first wort of",
                    "first wort at",
                ),
            ),
        ),
        "conversion of five kilos in fifteen litres, first wort ten eighty",
        (MALT,),
        repeated=BILL_NAMES,
    ),
    Topic(
        "lauter efficiency",
        ("lauter efficiency", "lautering efficiency", "sparge efficiency", "lauter"),
        "how much of the dissolved extract came into the kettle",
        (
            *BILL,
            Slot("volume in the kettle", Measure.VOLUME, ("to", "in", "into", "for", "gave", "with"), ("wort",)),
            Slot("gravity in the kettle", Measure.GRAVITY, ("at", "of", "and", "reads")),
            _CONVERSION,
        ),
        "lauter efficiency from five kilos to twenty-seven litres at ten forty-two",
        (MALT,),
        repeated=BILL_NAMES,
    ),
    Topic(
        "efficiency",
        (
            "efficiency",
            "brewhouse efficiency",
            "mash efficiency",
            "what efficiency",
            "overall efficiency",
            "efficiency from",
        ),
        "what share of the malt's extract a wort holds",
        (
            *BILL,
            Slot("volume of wort", Measure.VOLUME, ("to", "in", "into", "for", "gave", "made", "with"), ("wort",)),
            WORT_SG,
        ),
        "efficiency from five kilos to twenty-three litres at ten forty-eight",
        (MALT,),
        repeated=BILL_NAMES,
    ),
    Topic(
        "mass of extract",
        (
            "extract in",
            "mass of extract",
            "mass of extract in",
            "how much extract in",
            "sugar in",
            "points in",
            "gravity points in",
        ),
        "how much extract a wort holds",
        (WORT, WORT_SG),
        "extract in twenty-five litres at ten forty",
    ),
    Topic(
        "plato",
        (
            *(
                "plato",
                "plato of",
                "convert",
                "in plato",
                "brix of",
                "brix",
                "sg of",
                "sg",
                "specific gravity of",
                "points of",
            ),
            *("specific gravity", "points", "in brix", "in sg", "gravity scale"),
        ),
        "a gravity on the other scales",
        (Slot("gravity", Measure.GRAVITY, ("of", "for", "at", "from")),),
        "plato of ten fifty",
        (
            Choice(
                "scale",
                (("plato", "all"), ("brix", "all"), ("sg", "all"), ("points", "all"), ("specific gravity", "all")),
                "all",
                ("to", "in", "into", "as"),
            ),
        ),
    ),
    Topic(
        "extract",
        ("malt extract", "extract", "extract to add", "add extract", "dme to add", "sugar to add"),
        "how much extract or sugar brings wort to a gravity",
        (WORT, NOW_SG, WANTED_SG),
        "malt extract for twenty-five litres from ten thirty-eight to ten forty-four",
        (
            Choice(
                "addition",
                (
                    *(
                        ("dry malt extract", "dry malt extract"),
                        ("dry extract", "dry malt extract"),
                        ("dme", "dry malt extract"),
                    ),
                    *(("liquid malt extract", "liquid malt extract"), ("liquid extract", "liquid malt extract")),
                    *(("lme", "liquid malt extract"), ("table sugar", "sugar"), ("sugar", "sugar")),
                    *(("dextrose", "glucose monohydrate"), ("corn sugar", "glucose monohydrate")),
                ),
                "dry malt extract",
            ),
        ),
    ),
)
