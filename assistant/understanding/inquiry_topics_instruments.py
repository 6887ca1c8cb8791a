"""Questions about instruments and the air above the kettle."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_slots import ALTITUDE
from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_PRESSURE: Final = Slot(
    "pressure on the spot", Measure.PRESSURE, ("at", "under", "with", "and", "of"), required=False
)
_CALIBRATION: Final = Slot(
    "calibration temperature",
    Measure.TEMPERATURE,
    ("made for", "calibrated at", "calibrated for", "calibration", "calibrated to", "for"),
    ("calibration", "hydrometer"),
    required=False,
    named_only=True,
)
_GLASS: Final = Choice(
    "body", (("glass", "glass"), ("plastic", "plastic")), "glass", ("of", "a", "with a", "made of")
)
_BOILING_AT: Final = Slot(
    "boiling point",
    Measure.TEMPERATURE,
    ("water boils at", "boiling at", "where water boils at", "truly", "boiling point", "boiling point of"),
    required=False,
    named_only=True,
)
_COMPENSATES: Final = Choice(
    "temperature compensation",
    (
        *(("atc", "yes"), ("compensated", "yes"), ("compensation", "yes"), ("temperature compensation", "yes")),
        *(("no atc", "no"), ("without atc", "no"), ("without compensation", "no"), ("not compensated", "no")),
    ),
    "yes",
    ("with", "has"),
)
_PRISM: Final = Slot(
    "temperature of the prism", Measure.TEMPERATURE, ("prism at", "at", "prism", "and"), required=False
)

INSTRUMENT_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "boiling point",
        (
            *(
                "boiling point",
                "boiling point of water",
                "water boils",
                "where does water boil",
                "boiling temperature",
            ),
            *("water boil", "does water boil", "where water boils", "temperature does water boil"),
        ),
        "where water boils at an altitude or a pressure",
        (
            Slot("altitude", Measure.ALTITUDE, ("at", "in", "for")),
            Slot(
                "pressure on the spot",
                Measure.PRESSURE,
                ("at", "under", "with", "of"),
                required=False,
                instead="altitude",
            ),
            Slot(
                "pressure in the weather report",
                Measure.PRESSURE,
                ("weather report", "weather", "sea level", "report", "barometer at sea level", "qnh"),
                required=False,
                named_only=True,
            ),
        ),
        "boiling point at sixteen hundred metres",
    ),
    Topic(
        "wort boiling point",
        (
            "wort boiling point",
            "boiling point of wort",
            "where does wort boil",
            "boiling point elevation",
            "wort boils",
        ),
        "where wort boils",
        (Slot("gravity of the wort", Measure.GRAVITY, ("of", "at", "for", "with")), ALTITUDE, _PRESSURE),
        "boiling point of wort at ten sixty",
    ),
    Topic(
        "altitude",
        ("altitude", "how high", "altitude for boiling point", "how high am i"),
        "what altitude a measured boiling point means",
        (
            Slot(
                "boiling point",
                Measure.TEMPERATURE,
                ("at", "for", "from", "if water boils at", "boiling at", "when water boils at"),
            ),
        ),
        "altitude if water boils at ninety-five degrees",
    ),
    Topic(
        "hydrometer",
        (
            *("hydrometer", "hydrometer reading", "correct hydrometer", "hydrometer correction", "correct gravity"),
            *("true gravity", "temperature correction", "corrected gravity", "hydrometer reads", "real gravity"),
        ),
        "the gravity behind a hydrometer reading in a warm sample",
        (
            Slot("reading", Measure.GRAVITY, ("of", "reads", "shows", "for", "reading", "at")),
            Slot("temperature of the sample", Measure.TEMPERATURE, ("at", "sample at", "and", "wort at")),
            _CALIBRATION,
            Slot(
                "reading in water",
                Measure.GRAVITY,
                ("in water", "water reads", "reads in water", "in water at"),
                required=False,
                named_only=True,
            ),
        ),
        "hydrometer ten forty-four at forty degrees made for twenty degrees",
        (_GLASS,),
    ),
    Topic(
        "hydrometer in water",
        (
            "hydrometer in water",
            "check hydrometer",
            "hydrometer offset",
            "test hydrometer",
            "hydrometer check",
            "calibrate hydrometer",
        ),
        "how wrong a hydrometer is, from plain water",
        (
            Slot("reading", Measure.GRAVITY, ("of", "reads", "shows", "reading", "at", "with")),
            Slot(
                "temperature of the water",
                Measure.TEMPERATURE,
                ("at", "water at", "in water at", "and", "water of"),
            ),
            _CALIBRATION,
        ),
        "hydrometer in water reads one point oh oh two at twenty degrees",
        (_GLASS,),
    ),
    Topic(
        "thermometer in ice",
        ("thermometer in ice", "ice point", "ice water reads", "check thermometer in ice", "thermometer ice"),
        "how wrong a thermometer is, from ice",
        (Slot("reading in ice", Measure.TEMPERATURE, ("reads", "shows", "at", "of", "reading")),),
        "thermometer in ice reads one degree",
    ),
    Topic(
        "thermometer in boiling water",
        (
            *("thermometer in boiling water", "thermometer boiling", "check thermometer in boiling water"),
            *("thermometer at boil", "boiling water reads", "thermometer in boiling"),
        ),
        "how wrong a thermometer is, from boiling water",
        (
            Slot("reading in boiling water", Measure.TEMPERATURE, ("reads", "shows", "of", "reading")),
            ALTITUDE,
            _PRESSURE,
            _BOILING_AT,
        ),
        "thermometer in boiling water reads ninety-six degrees at sixteen hundred metres",
    ),
    Topic(
        "true temperature",
        (
            "true temperature",
            "correct thermometer",
            "corrected temperature",
            "real temperature",
            "thermometer correction",
        ),
        "the temperature behind a reading of a thermometer that was checked",
        (
            Slot("reading", Measure.TEMPERATURE, ("of", "for", "reads", "reading", "when it reads")),
            Slot(
                "reading in ice",
                Measure.TEMPERATURE,
                ("ice", "in ice", "ice at", "in ice it reads", "ice reads"),
                named_only=True,
            ),
            Slot(
                "reading in boiling water",
                Measure.TEMPERATURE,
                ("boiling", "in boiling water", "boil at", "in boiling", "boiling water reads"),
                named_only=True,
            ),
            ALTITUDE,
            _BOILING_AT,
        ),
        "true temperature of sixty-seven degrees, in ice one degree, in boiling water one hundred and one degrees",
    ),
    Topic(
        "refractometer in water",
        (
            "refractometer in water",
            "refractometer zero",
            "check refractometer",
            "zero refractometer",
            "calibrate refractometer",
            "refractometer check",
        ),
        "how wrong a refractometer is, from distilled water",
        (Slot("reading", Measure.GRAVITY, ("of", "reads", "shows", "reading", "at")), _PRISM),
        "refractometer in water reads zero point four brix at twenty-five degrees",
        (_COMPENSATES,),
    ),
    Topic(
        "refractometer in wort",
        (
            "refractometer in wort",
            "wort refractometer",
            "brix reading",
            "refractometer reading",
            "refractometer before fermentation",
        ),
        "the gravity behind a refractometer reading in wort",
        (
            Slot("reading", Measure.GRAVITY, ("of", "reads", "shows", "reading", "at")),
            _PRISM,
            Slot(
                "wort factor",
                Measure.NUMBER,
                ("factor", "wort factor", "factor of", "correction factor"),
                required=False,
                named_only=True,
            ),
        ),
        "refractometer in wort reads twelve point four brix",
        (_COMPENSATES,),
    ),
    Topic(
        "wort factor",
        ("wort factor", "refractometer factor", "wort correction factor", "refractometer correction factor"),
        "the wort factor of a refractometer, from both instruments",
        (
            Slot(
                "refractometer",
                Measure.GRAVITY,
                ("refractometer", "with refractometer", "refractometer at", "refractometer reads", "of", "from"),
                ("on refractometer", "refractometer"),
                named_only=True,
            ),
            Slot(
                "hydrometer",
                Measure.GRAVITY,
                ("hydrometer", "and hydrometer", "hydrometer at", "hydrometer reads", "against", "and"),
                ("on hydrometer", "hydrometer"),
                named_only=True,
            ),
        ),
        "wort factor from twelve point four brix against ten forty-eight",
    ),
)
