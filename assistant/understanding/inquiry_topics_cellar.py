"""Questions of the cold side: yeast, oxygen, alcohol, gas, bottles, kegs."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_FROM: Final = ("from", "original", "og", "original gravity", "at")
_TO: Final = ("to", "down to", "final", "fg", "final gravity", "and")
_ORIGINAL: Final = Slot("original gravity", Measure.GRAVITY, _FROM, named_only=True)
_FINAL: Final = Slot("final gravity", Measure.GRAVITY, _TO, named_only=True)
_BEER: Final = Slot("volume of beer", Measure.VOLUME, ("for", "of", "in"), ("beer", "wort"))
_WORT: Final = Slot("volume of wort", Measure.VOLUME, ("for", "of", "in", "to", "with"), ("wort",))
_CARBONATION: Final = Slot("carbonation wanted", Measure.CARBONATION, ("to", "for", "at", "of"))
_BEER_C: Final = Slot("temperature of the beer", Measure.TEMPERATURE, ("at", "and"))
_WARMEST_C: Final = Slot("highest temperature since it fermented", Measure.TEMPERATURE, ("at", "up to", "from"))
_SUGARS: Final = Choice(
    "sugar",
    (
        ("table sugar", "sucrose"),
        ("white sugar", "sucrose"),
        ("sucrose", "sucrose"),
        ("corn sugar", "glucose monohydrate"),
        ("dextrose", "glucose monohydrate"),
        ("glucose", "glucose monohydrate"),
        ("dry glucose", "glucose"),
        ("dry malt extract", "dry malt extract"),
        ("dry extract", "dry malt extract"),
        ("honey", "honey"),
    ),
    "sucrose",
)
_GAS: Final = Choice("gas", (("air", "air"), ("oxygen", "oxygen"), ("pure oxygen", "oxygen")), "air")
_FERMENT: Final = Choice(
    "kind of beer", (("ale", "ale"), ("lager", "lager"), ("ales", "ale"), ("lagers", "lager")), "ale"
)

CELLAR_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "yeast",
        ("yeast", "pitching rate", "yeast cells", "cells", "dry yeast", "pitch"),
        "how many cells and how much dry yeast are wanted",
        (_WORT, Slot("gravity of the wort", Measure.GRAVITY, ("at", "of", "and"))),
        "yeast for twenty litres at ten fifty",
        (_FERMENT,),
    ),
    Topic(
        "oxygen",
        ("oxygen", "dissolved oxygen", "oxygen saturation", "aeration"),
        "how much oxygen wort can take up",
        (
            Slot("temperature of the wort", Measure.TEMPERATURE, ("at", "and")),
            Slot("gravity of the wort", Measure.GRAVITY, ("at", "of", "in", "for", "and")),
        ),
        "oxygen at eighteen degrees in ten fifty",
        (_GAS,),
    ),
    Topic(
        "alcohol",
        ("alcohol", "abv", "strength", "alcohol by volume"),
        "how much alcohol the beer has",
        (_ORIGINAL, _FINAL),
        "alcohol from ten fifty to ten ten",
    ),
    Topic(
        "attenuation",
        ("attenuation", "apparent attenuation"),
        "how far the extract has fermented",
        (_ORIGINAL, _FINAL),
        "attenuation from ten fifty to ten ten",
    ),
    Topic(
        "calories",
        ("calories", "energy"),
        "how much energy a glass of beer has",
        (_ORIGINAL, _FINAL, Slot("volume of a glass", Measure.VOLUME, ("in", "of", "for"), required=False)),
        "calories from ten fifty to ten ten in half a litre",
    ),
    Topic(
        "refractometer",
        ("refractometer", "refractometer in beer"),
        "the gravity behind a refractometer reading in beer",
        (
            Slot("original gravity", Measure.GRAVITY, ("from", "original", "og"), named_only=True),
            Slot("reading now", Measure.GRAVITY, ("to", "now", "at", "reads", "shows"), named_only=True),
        ),
        "refractometer from twelve plato to six point four brix",
    ),
    Topic(
        "priming",
        ("priming", "priming sugar", "prime", "sugar to prime"),
        "how much sugar carbonates a batch in bottles",
        (_BEER, _WARMEST_C, _CARBONATION),
        "priming for nineteen litres at twenty degrees to two point four",
        (_SUGARS,),
    ),
    Topic(
        "gas left",
        ("gas left", "residual gas", "residual carbonation", "carbonation left"),
        "how much gas the beer has kept from fermenting",
        (_WARMEST_C,),
        "gas left at twenty degrees",
    ),
    Topic(
        "keg pressure",
        ("keg pressure", "pressure", "regulator", "carbonation pressure", "gas pressure"),
        "what pressure carbonates a keg",
        (_CARBONATION, _BEER_C),
        "keg pressure for two point five volumes at four degrees",
    ),
    Topic(
        "keg gas",
        ("keg gas", "carbonation", "volumes", "carbonation of a keg"),
        "how much gas a keg holds under a pressure",
        (Slot("pressure on the gauge", Measure.PRESSURE, ("at", "under", "with")), _BEER_C),
        "keg gas at twelve psi and four degrees",
    ),
    Topic(
        "bottle risk",
        ("bottle risk", "over carbonation", "overcarbonation", "bottles if it drops", "gas if it drops"),
        "what a bottle gets if the beer was not finished",
        (
            Slot("carbonation now", Measure.CARBONATION, ("with", "at", "of")),
            Slot("original gravity", Measure.GRAVITY, ("original", "og", "brewed at"), named_only=True),
            Slot("gravity now", Measure.GRAVITY, ("from",), named_only=True),
            Slot("gravity it drops to", Measure.GRAVITY, ("to", "down to"), named_only=True),
        ),
        "bottle risk with two point four volumes original ten fifty from ten fourteen to ten twelve",
    ),
    Topic(
        "pasteurisation",
        ("pasteurisation", "pasteurization", "pasteurise", "pasteurisation units"),
        "how many pasteurisation units a hold gives",
        (
            Slot("time", Measure.DURATION, ("for", "of")),
            Slot("temperature", Measure.TEMPERATURE, ("at",)),
        ),
        "pasteurisation for twenty minutes at sixty-three degrees",
    ),
)
