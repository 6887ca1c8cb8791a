"""Questions about the mash: strike, steps, and the day's water."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_slots import BOIL_OFF, GRAIN, NOW_C, THICKNESS, WANTED_C, WATER
from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_MASH_NOW: Final = Slot(
    "temperature of the mash now",
    Measure.TEMPERATURE,
    ("from", "mash at", "to go from", "to get from"),
    named_only=True,
)
_NEXT: Final = Slot("temperature of the next rest", Measure.TEMPERATURE, ("to", "up to", "and to"), named_only=True)
_HOT_WATER: Final = Slot(
    "temperature of the infusion",
    Measure.TEMPERATURE,
    ("water at", "with water at", "infusion at", "using water at", "water of"),
    required=False,
    named_only=True,
)
_HELD: Final = Slot(
    "water the grain holds",
    Measure.THICKNESS,
    ("holding", "grain holds", "absorbing", "absorption", "absorption of"),
    required=False,
    named_only=True,
)
_DEAD: Final = Slot(
    "dead space of the tun",
    Measure.VOLUME,
    ("dead space", "dead space of", "under tun"),
    ("dead space", "of dead space"),
    required=False,
    named_only=True,
)

_DECOCTIONS: Final = (("thin decoction", "thin"), ("thick decoction", "thick"))

MASH_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "strike",
        (
            *("strike", "strike water", "strike temperature", "strike water temperature", "strike temp", "mash in"),
            *("hot should strike water be", "hot strike water", "temperature of strike water", "strike water temp"),
        ),
        "how hot the strike water must be",
        (
            GRAIN,
            Slot("temperature of the mash", Measure.TEMPERATURE, ("at", "to", "for", "mash at", "mash to")),
            WATER,
            THICKNESS,
            Slot(
                "temperature of the grain",
                Measure.TEMPERATURE,
                ("grain at", "malt at", "room at", "grain stands at"),
                required=False,
                named_only=True,
            ),
        ),
        "strike for five kilos at sixty-seven with fifteen litres",
    ),
    Topic(
        "infusion",
        ("infusion", "step infusion", "mash step", "boiling water", "hot water to add", "step mash", "step up"),
        "how much hot water brings the mash to its next rest",
        (GRAIN, WATER, THICKNESS, _MASH_NOW, _NEXT, _HOT_WATER),
        "infusion from fifty-two to sixty-six with five kilos and twelve litres",
    ),
    Topic(
        "mash out",
        ("mash out", "mash out water", "mashout", "water for mash out"),
        "how much hot water brings the mash to the mash-out",
        (
            GRAIN,
            WATER,
            THICKNESS,
            _MASH_NOW,
            Slot(
                "temperature of the mash-out",
                Measure.TEMPERATURE,
                ("to", "up to", "at"),
                required=False,
                named_only=True,
            ),
            _HOT_WATER,
        ),
        "mash out from sixty-six with five kilos and fifteen litres",
    ),
    Topic(
        "decoction",
        ("decoction", "decoction volume", "decoct", "boil a decoction", "thin decoction", "thick decoction"),
        "how much of the mash to boil for its next rest",
        (GRAIN, WATER, THICKNESS, _MASH_NOW, _NEXT),
        "decoction from fifty-two to sixty-five with five kilos and fifteen litres",
        (
            Choice(
                "part of the mash",
                (("thin", "thin"), ("thick", "thick"), ("thin mash", "thin"), *_DECOCTIONS),
                "thick",
                opens=True,
            ),
        ),
    ),
    Topic(
        "direct heat",
        ("direct heat", "heat mash", "heating mash", "mash heating", "ramp", "ramp mash", "step by burner"),
        "how long a burner takes to lift the mash",
        (
            GRAIN,
            WATER,
            THICKNESS,
            NOW_C,
            WANTED_C,
            Slot("net power", Measure.POWER, ("with", "at", "by", "on", "and")),
        ),
        "direct heat from fifty-two to sixty-seven for five kilos in fifteen litres with two kilowatts",
    ),
    Topic(
        "tun volume",
        ("mash volume", "tun volume", "volume of mash", "will it fit", "size of mash"),
        "how much room a mash takes up",
        (GRAIN, WATER, THICKNESS),
        "mash volume of five kilos with fifteen litres",
    ),
    Topic(
        "first wort volume",
        (
            "first wort volume",
            "first wort",
            "first runnings",
            "run off volume",
            "volume of first wort",
            "first runnings volume",
        ),
        "how much wort runs off before the sparge",
        (GRAIN, WATER, THICKNESS, _HELD, _DEAD),
        "first wort from five kilos with fifteen litres",
    ),
    Topic(
        "sparge",
        ("sparge", "sparge water", "sparge volume", "water to sparge", "sparge with"),
        "how much water to sparge with",
        (
            Slot(
                "volume wanted in the kettle",
                Measure.VOLUME,
                ("for", "to", "to get", "to collect", "into kettle", "wanted"),
                ("in kettle", "pre boil", "wort", "of wort"),
                named_only=True,
            ),
            GRAIN,
            Slot(
                "volume of water",
                Measure.VOLUME,
                ("with", "in", "and", "using", "mashed with", "mashed in", "mash water"),
                ("water", "mash water", "strike water", "in mash"),
            ),
            THICKNESS,
            _HELD,
            _DEAD,
        ),
        "sparge for twenty-seven litres from five kilos mashed with fifteen litres",
    ),
    Topic(
        "absorption",
        ("absorption", "grain absorption", "water grain holds", "held by grain", "absorbed"),
        "how much water a kilogram of grain held back",
        (
            GRAIN,
            Slot("volume of water", Measure.VOLUME, ("with", "in", "and", "from", "of"), ("water", "in")),
            Slot(
                "volume run off",
                Measure.VOLUME,
                ("gave", "run off", "ran off", "to", "out", "giving", "and got"),
                ("out", "run off", "wort"),
                named_only=True,
            ),
        ),
        "absorption of five kilos with twenty-eight litres, run off twenty-three litres",
    ),
    Topic(
        "water plan",
        (
            "water plan",
            "total water",
            "how much water",
            "water for day",
            "water volumes",
            "water needed",
            "water for brew",
            "all water",
        ),
        "how much water the whole day needs",
        (
            Slot(
                "volume for the fermenter",
                Measure.VOLUME,
                ("for", "into fermenter", "into", "to get", "of"),
                ("into fermenter", "in fermenter", "of beer"),
                named_only=True,
            ),
            GRAIN,
            Slot(
                "volume of mash water",
                Measure.VOLUME,
                ("with", "mashed with", "mashed in", "mash with", "and"),
                ("mash water", "strike water"),
                named_only=True,
            ),
            Slot(
                "thickness of the mash",
                Measure.THICKNESS,
                ("at", "with", "and", "of"),
                required=False,
                instead="volume of mash water",
            ),
            Slot(
                "time of the boil",
                Measure.DURATION,
                ("for", "boiled", "boil for", "boiled for", "boil", "and"),
                ("boil", "of boil"),
            ),
            BOIL_OFF,
            Slot("gravity", Measure.GRAVITY, ("at", "of", "and"), required=False),
            Slot(
                "loss in the kettle",
                Measure.VOLUME,
                ("losing", "trub", "loss", "loss of", "trub of"),
                ("trub", "of trub", "loss"),
                required=False,
                named_only=True,
            ),
            _HELD,
            _DEAD,
        ),
        "water plan for twenty litres from four and a half kilos mashed with fourteen litres,"
        " sixty minutes at three litres an hour",
    ),
    Topic(
        "heating",
        ("heating", "heating time", "heat", "time to heat", "heat up", "heat water", "bring to a boil"),
        "how long a burner takes to heat water or wort",
        (
            Slot("volume", Measure.VOLUME, ("for", "of"), ("water", "wort")),
            NOW_C,
            WANTED_C,
            Slot("net power", Measure.POWER, ("with", "at", "by", "on", "and")),
            Slot("gravity", Measure.GRAVITY, ("wort at", "gravity"), required=False, named_only=True),
        ),
        "heating time for twenty litres from twenty to sixty-seven with three kilowatts",
    ),
)
