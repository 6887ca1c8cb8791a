"""What can be asked: every topic with the words that begin it, its values and an example.

A topic stands here only if `phrasing.inquiry_answers` answers it; a test walks both tables.
"""

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
_WATER: Final = Slot("volume of water", Measure.VOLUME, ("with", "in", "for", "and", "using"), ("water",))
_GRAIN: Final = Slot("grain", Measure.MASS, ("for", "of", "with", "and"), ("grain", "malt"))
_NOW_SG: Final = Slot("gravity now", Measure.GRAVITY, ("from", "at", "of"), named_only=True)
_WANTED_SG: Final = Slot("gravity wanted", Measure.GRAVITY, ("to", "for", "down to", "up to"), named_only=True)
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

_HOT_SIDE: Final = (
    Topic(
        "strike",
        ("strike", "strike water", "strike temperature", "strike water temperature"),
        "how hot the strike water must be",
        (
            _GRAIN,
            Slot("temperature of the mash", Measure.TEMPERATURE, ("at", "to", "for", "mash at")),
            _WATER,
            Slot(
                "temperature of the grain",
                Measure.TEMPERATURE,
                ("grain at", "malt at", "room at"),
                required=False,
                named_only=True,
            ),
        ),
        "strike for five kilos at sixty-seven with fifteen litres",
    ),
    Topic(
        "infusion",
        ("infusion", "step infusion", "mash step", "boiling water"),
        "how much hot water brings the mash to its next rest",
        (
            _GRAIN,
            _WATER,
            Slot("temperature of the mash now", Measure.TEMPERATURE, ("from",), named_only=True),
            Slot("temperature of the next rest", Measure.TEMPERATURE, ("to", "up to"), named_only=True),
            Slot(
                "temperature of the infusion",
                Measure.TEMPERATURE,
                ("water at", "with water at", "infusion at"),
                required=False,
                named_only=True,
            ),
        ),
        "infusion from fifty-two to sixty-six with five kilos and twelve litres",
    ),
    Topic(
        "heating",
        ("heating", "heating time", "heat", "time to heat"),
        "how long a burner takes to heat water or wort",
        (
            Slot("volume", Measure.VOLUME, ("for", "of"), ("water", "wort")),
            Slot("temperature now", Measure.TEMPERATURE, ("from",), named_only=True),
            Slot("temperature wanted", Measure.TEMPERATURE, ("to", "up to"), named_only=True),
            Slot("net power", Measure.POWER, ("with", "at", "by")),
            Slot("gravity", Measure.GRAVITY, ("wort at", "gravity"), required=False, named_only=True),
        ),
        "heating time for twenty litres from twenty to sixty-seven with three kilowatts",
    ),
    Topic(
        "boiling point",
        ("boiling point", "boiling point of water", "water boils", "where does water boil"),
        "where water boils at an altitude",
        (Slot("altitude", Measure.ALTITUDE, ("at", "in", "for")),),
        "boiling point at sixteen hundred metres",
    ),
    Topic(
        "altitude",
        ("altitude", "how high", "altitude for boiling point"),
        "what altitude a measured boiling point means",
        (Slot("boiling point", Measure.TEMPERATURE, ("at", "for", "from", "if water boils at", "boiling at")),),
        "altitude if water boils at ninety-five degrees",
    ),
    Topic(
        "plato",
        ("plato", "plato of", "convert", "in plato"),
        "a gravity on the other scales",
        (Slot("gravity", Measure.GRAVITY, ("of", "for", "at")),),
        "plato of ten fifty",
    ),
    Topic(
        "extract",
        ("malt extract", "extract", "extract to add"),
        "how much extract or sugar brings wort to a gravity",
        (_WORT, _NOW_SG, _WANTED_SG),
        "malt extract for twenty-five litres from ten thirty-eight to ten forty-four",
        (
            Choice(
                "addition",
                (
                    ("dry malt extract", "dry malt extract"),
                    ("dry extract", "dry malt extract"),
                    ("liquid malt extract", "liquid malt extract"),
                    ("liquid extract", "liquid malt extract"),
                    ("table sugar", "sugar"),
                    ("sugar", "sugar"),
                    ("dextrose", "glucose monohydrate"),
                ),
                "dry malt extract",
            ),
        ),
    ),
    Topic(
        "dilute",
        ("dilute", "dilution", "water to dilute", "thin", "water to thin"),
        "how much water thins wort to a gravity",
        (_WORT, _NOW_SG, _WANTED_SG),
        "dilute twenty litres from ten fifty to ten forty",
    ),
    Topic(
        "boil",
        ("boil", "boil longer", "boil time", "longer boil"),
        "how long to boil wort to a gravity",
        (
            _WORT,
            _NOW_SG,
            _WANTED_SG,
            Slot("boil-off", Measure.RATE, ("at", "with", "losing", "boiling off")),
        ),
        "boil twenty-five litres from ten forty to ten fifty at four litres an hour",
    ),
    Topic(
        "bitterness",
        ("bitterness", "bitterness of", "ibu", "ibu of", "bitterness from"),
        "what bitterness one addition of hops gives",
        (
            Slot("hops", Measure.MASS, ("of", "for", "from", "with"), ("hops",)),
            Slot("alpha acid", Measure.SHARE, ("at", "of", "with"), ("alpha", "alpha acid")),
            Slot("time in the boil", Measure.DURATION, ("for", "at", "boiled")),
            Slot("volume of wort", Measure.VOLUME, ("in", "for"), ("wort",)),
            Slot("gravity of the wort", Measure.GRAVITY, ("at", "of", "and")),
        ),
        "bitterness of thirty grams at six point five per cent for sixty minutes in twenty litres at ten fifty",
    ),
)

_COLD_SIDE: Final = (
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

_OTHERS: Final = (
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
)

TOPICS: Final[tuple[Topic, ...]] = (*_HOT_SIDE, *_COLD_SIDE, *_OTHERS)
TOPIC: Final[dict[str, Topic]] = {topic.key: topic for topic in TOPICS}
