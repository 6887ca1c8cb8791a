"""Questions of the hot side: mash, heat, boil, gravities, hops."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_WORT: Final = Slot("volume of wort", Measure.VOLUME, ("for", "of", "in", "to", "with"), ("wort",))
_WATER: Final = Slot("volume of water", Measure.VOLUME, ("with", "in", "for", "and", "using"), ("water",))
_GRAIN: Final = Slot("grain", Measure.MASS, ("for", "of", "with", "and"), ("grain", "malt"))
_NOW_SG: Final = Slot("gravity now", Measure.GRAVITY, ("from", "at", "of"), named_only=True)
_WANTED_SG: Final = Slot("gravity wanted", Measure.GRAVITY, ("to", "for", "down to", "up to"), named_only=True)

BREWHOUSE_TOPICS: Final[tuple[Topic, ...]] = (
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
    Topic(
        "expected gravity",
        ("expected gravity", "gravity from", "expect"),
        "what gravity a malt gives",
        (
            Slot("grain", Measure.MASS, ("for", "of", "from", "with"), ("grain", "malt")),
            Slot("volume of wort", Measure.VOLUME, ("in", "for", "to"), ("wort",)),
            Slot("efficiency", Measure.SHARE, ("at", "with"), ("efficiency",)),
            Slot(
                "extract of the malt",
                Measure.SHARE,
                ("malt of", "potential", "yield"),
                ("extract", "yield"),
                required=False,
                named_only=True,
            ),
        ),
        "expected gravity from five kilos in twenty-three litres at seventy-five per cent",
    ),
    Topic(
        "cold volume",
        ("cold volume", "volume when cold", "shrinkage"),
        "how much hot wort is left when it is cold",
        (
            Slot("hot volume", Measure.VOLUME, ("of", "for", "from"), ("wort",)),
            Slot("temperature", Measure.TEMPERATURE, ("at",)),
            Slot("gravity", Measure.GRAVITY, ("of", "and", "gravity"), required=False),
        ),
        "cold volume of twenty-six litres at ninety-eight degrees",
    ),
)
