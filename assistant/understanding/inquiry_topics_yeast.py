"""Questions of pitching: cells, what they come in, their age, starters, oxygen."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_WORT: Final = Slot("volume of wort", Measure.VOLUME, ("for", "of", "in", "to", "with", "into"), ("wort", "beer"))
_WORT_SG: Final = Slot("gravity of the wort", Measure.GRAVITY, ("at", "of", "and", "in", "for", "original"))
_AGE: Final = Slot(
    "age of the yeast", Measure.DURATION, ("at", "of", "age", "from"), ("old", "ago"), required=False
)
_PER_PACK: Final = Slot(
    "cells of a fresh pack",
    Measure.CELLS,
    ("with", "of", "from", "at"),
    ("pack", "packet", "a pack", "a packet", "per pack", "per packet", "each"),
    required=False,
)
_PACKS: Final = Slot(
    "number of packs",
    Measure.NUMBER,
    (),
    ("packs", "packets", "pack", "packet", "vials", "vial", "packs of yeast", "pack of yeast"),
    required=False,
    named_only=True,
)
_GAS: Final = Choice(
    "gas",
    (("air", "air"), ("oxygen", "oxygen"), ("pure oxygen", "oxygen"), ("o 2", "oxygen")),
    "air",
)
_FERMENT: Final = Choice(
    "kind of beer",
    (("ale", "ale"), ("lager", "lager"), ("ales", "ale"), ("lagers", "lager"), ("pilsner", "lager")),
    "ale",
    ("with", "for", "for a", "for an", "of", "in", "an", "a"),
)
_WORT_C: Final = Slot("temperature of the wort", Measure.TEMPERATURE, ("at", "and"))
_ALTITUDE: Final = Slot("altitude", Measure.ALTITUDE, ("at", "in", "up at", "and"), required=False)

YEAST_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "yeast",
        (
            *(
                "yeast",
                "pitching rate",
                "yeast cells",
                "cells",
                "dry yeast",
                "pitch",
                "yeast to pitch",
                "grams of yeast",
            ),
            *("grams of dry yeast", "yeast needed"),
        ),
        "how many cells and how much dry yeast are wanted",
        (_WORT, _WORT_SG),
        "yeast for twenty litres at ten fifty",
        (_FERMENT,),
    ),
    Topic(
        "liquid yeast",
        (
            "liquid yeast",
            "packs of yeast",
            "liquid packs",
            "yeast packs",
            "packets of liquid yeast",
            "packs of liquid yeast",
            "packs",
        ),
        "how many packs of liquid yeast of some age are wanted",
        (_WORT, _WORT_SG, _AGE, _PER_PACK),
        "liquid yeast for twenty litres at ten fifty, two months old, one hundred billion a pack",
        (_FERMENT,),
    ),
    Topic(
        "slurry",
        ("slurry", "yeast slurry", "repitch", "settled yeast", "harvested yeast", "yeast cake", "slurry to pitch"),
        "how much settled yeast of some age is wanted",
        (_WORT, _WORT_SG, _AGE),
        "slurry for twenty litres at ten fifty, two weeks old",
        (_FERMENT,),
    ),
    Topic(
        "viability",
        (
            "viability",
            "viability of yeast",
            "yeast viability",
            "yeast age",
            "living yeast",
            "yeast alive",
            "old yeast",
        ),
        "how much of a liquid yeast is still alive",
        (
            Slot(
                "age of the yeast",
                Measure.DURATION,
                ("at", "of", "after", "for", "when", "in"),
                ("old", "old yeast"),
            ),
        ),
        "viability of yeast two months old",
    ),
    Topic(
        "starter",
        ("starter", "starter size", "yeast starter", "big starter", "starter wort", "how big a starter"),
        "how much dry malt extract a yeast starter wants",
        (_WORT, _WORT_SG, _PACKS, _PER_PACK, _AGE),
        "starter for twenty litres at ten sixty with one pack, one month old, one hundred billion a pack",
        (_FERMENT,),
    ),
    Topic(
        "oxygen",
        ("oxygen", "dissolved oxygen", "oxygen saturation", "aeration", "oxygen in wort", "most oxygen"),
        "how much oxygen wort can take up",
        (_WORT_C, _WORT_SG, _ALTITUDE),
        "oxygen at eighteen degrees in ten fifty",
        (_GAS,),
    ),
    Topic(
        "aeration time",
        ("aeration time", "aerate", "oxygenate", "oxygen time", "air pump time", "run oxygen", "aerate for"),
        "how long air or oxygen should run into the wort",
        (
            _WORT_C,
            _WORT_SG,
            Slot(
                "oxygen wanted", Measure.LEVEL, ("to", "for", "up to"), ("oxygen",), required=False, named_only=True
            ),
            _ALTITUDE,
        ),
        "aeration time with oxygen at eighteen degrees in ten fifty",
        (_GAS,),
    ),
)
