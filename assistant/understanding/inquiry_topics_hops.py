"""Questions about bitterness."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_slots import ALTITUDE
from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Slot, Topic

_HOPS: Final = Slot("hops", Measure.MASS, ("of", "for", "from", "with", "and", "forgot"), ("hops",))
_ALPHA: Final = Slot(
    "alpha acid", Measure.SHARE, ("at", "of", "with"), ("alpha", "alpha acid", "alpha acids", "aa")
)
_TIME: Final = Slot(
    "time in the boil",
    Measure.DURATION,
    ("for", "at", "boiled", "boiled for", "in at"),
    ("boil", "in boil", "before end"),
)
_VOLUME: Final = Slot("volume of wort", Measure.VOLUME, ("in", "for", "into"), ("wort",))
_SG: Final = Slot("gravity of the wort", Measure.GRAVITY, ("at", "of", "and", "in"))

HOP_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "bitterness",
        (
            *(
                "bitterness",
                "bitterness of",
                "ibu",
                "ibu of",
                "bitterness from",
                "ibus",
                "ibus from",
                "bitter",
                "ibu from",
            ),
            *("ibu for", "ibus for", "bitter with", "hop bitterness"),
        ),
        "what bitterness additions of hops give",
        (_HOPS, _ALPHA, _TIME, _VOLUME, _SG, ALTITUDE),
        "bitterness of thirty grams at six point five per cent for sixty minutes in twenty litres at ten fifty",
        repeated=(_HOPS.name, _ALPHA.name, _TIME.name),
    ),
    Topic(
        "hop stand",
        (
            "hop stand",
            "whirlpool",
            "hop stand bitterness",
            "whirlpool hops",
            "steep",
            "steeping",
            "whirlpool bitterness",
            "hopstand",
        ),
        "what bitterness hops give in a hop stand",
        (
            _HOPS,
            _ALPHA,
            Slot("temperature of the stand", Measure.TEMPERATURE, ("at", "stand at", "and", "in wort of")),
            Slot("time of the stand", Measure.DURATION, ("for", "over", "in"), ("stand",)),
            _VOLUME,
            _SG,
        ),
        "hop stand of forty grams at eight per cent for twenty minutes at eighty degrees"
        " in twenty litres at ten fifty",
    ),
    Topic(
        "no-chill hops",
        (
            "no chill bitterness",
            "no chill",
            "no chill hops",
            "bitterness without chilling",
            "bitterness no chill",
            "slow cooling hops",
        ),
        "what bitterness hops give when the wort cools by itself",
        (
            _HOPS,
            _ALPHA,
            _TIME,
            _VOLUME,
            _SG,
            Slot(
                "time to fall to a third",
                Measure.DURATION,
                ("cooling in", "falling to a third in", "time constant"),
                required=False,
                named_only=True,
            ),
            Slot(
                "temperature of the air",
                Measure.TEMPERATURE,
                ("air at", "room at", "in air of"),
                required=False,
                named_only=True,
            ),
        ),
        "no chill bitterness of thirty grams at six per cent for fifteen minutes in twenty litres at ten fifty",
    ),
    Topic(
        "make-up hops",
        (
            "make up hops",
            "make up for",
            "forgot hops",
            "forgot",
            "hops to make up",
            "make up",
            "forgotten hops",
            "missed hops",
            "i forgot",
        ),
        "what later hops make up for hops that were forgotten",
        (
            _HOPS,
            _ALPHA,
            _TIME,
            Slot(
                "time left in the boil",
                Measure.DURATION,
                ("with", "now at", "left", "make up at", "add at", "now"),
                ("left", "to go"),
                named_only=True,
            ),
            Slot(
                "alpha acid of the later hops",
                Measure.SHARE,
                ("with hops of", "hops at", "using", "with hops at"),
                ("alpha", "alpha acid", "alpha hops"),
                required=False,
                named_only=True,
            ),
            _VOLUME,
            _SG,
        ),
        "make up for thirty grams at six per cent for sixty minutes with twenty minutes left"
        " in twenty litres at ten fifty",
    ),
)
