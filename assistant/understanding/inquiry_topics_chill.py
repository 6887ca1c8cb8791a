"""Questions about the chill: coil, tap, ice and patience."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_slots import NOW_C, OPTIONAL_SG, WANTED_C
from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_WORT: Final = Slot(
    "volume of wort", Measure.VOLUME, ("for", "of", "to cool", "to chill", "with", "chill", "cool"), ("wort",)
)
_TAP: Final = Slot(
    "temperature of the tap",
    Measure.TEMPERATURE,
    (
        "tap at",
        "water at",
        "with water at",
        "tap of",
        "tap water at",
        "tap",
        "with tap at",
        "with water of",
        "tap water",
    ),
    ("tap", "tap water"),
    named_only=True,
)
_FLOW: Final = Slot("flow of the tap", Measure.FLOW, ("at", "with", "flow", "flow of", "and", "running at"))
_STRENGTH: Final = Slot(
    "strength of the coil",
    Measure.CONDUCTANCE,
    ("coil of", "coil", "with a coil of", "at", "with", "strength"),
    required=False,
)
_STIRRED: Final = Choice(
    "stirring",
    (
        *(("stirred", "stirred"), ("stirring", "stirred"), ("unstirred", "unstirred")),
        *(("without stirring", "unstirred"), ("not stirred", "unstirred"), ("no stirring", "unstirred")),
    ),
    "stirred",
)
_AIR: Final = Slot(
    "temperature of the air",
    Measure.TEMPERATURE,
    ("air at", "in air of", "room at", "in", "outside at", "air of"),
    named_only=True,
)

CHILL_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "chiller",
        (
            *("chiller", "chill time", "chilling time", "chill", "time to chill", "chiller time", "cooling time"),
            *("long to chill", "cool down", "time to cool", "chiller water", "water for chilling", "chilling"),
        ),
        "how long a coil cools wort, and with how much water",
        (_WORT, NOW_C, WANTED_C, _TAP, _FLOW, _STRENGTH, OPTIONAL_SG),
        "chiller for twenty litres from ninety-eight to twenty-five, tap at fifteen, six litres a minute",
        (_STIRRED,),
    ),
    Topic(
        "coil strength",
        (
            "coil strength",
            "chiller strength",
            "strength of coil",
            "strength of chiller",
            "strong chiller",
            "strong coil",
        ),
        "how strong a coil is, from a chill that was timed",
        (
            _WORT,
            NOW_C,
            WANTED_C,
            _TAP,
            _FLOW,
            Slot("time of the chill", Measure.DURATION, ("in", "took", "for", "after", "within")),
            OPTIONAL_SG,
        ),
        "coil strength for twenty litres from ninety-eight to twenty-five in fifteen minutes,"
        " tap at fifteen, six litres a minute",
    ),
    Topic(
        "overnight",
        (
            "overnight",
            "cooling overnight",
            "left overnight",
            "cool overnight",
            "left standing",
            "standing",
            "temperature in morning",
            "cooling by itself",
        ),
        "how warm wort is that cools by itself",
        (
            _WORT,
            Slot("temperature now", Measure.TEMPERATURE, ("from", "at"), named_only=True),
            _AIR,
            Slot("time", Measure.DURATION, ("for", "after", "over")),
            OPTIONAL_SG,
        ),
        "overnight for twenty litres from ninety-eight, air at eighteen, for twelve hours",
    ),
)
