"""Values that several topics of the hot side take."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot

GRAIN: Final = Slot("grain", Measure.MASS, ("for", "of", "with", "and", "from"), ("grain", "malt"))
WATER: Final = Slot(
    "volume of water",
    Measure.VOLUME,
    ("with", "in", "for", "and", "using"),
    ("water", "mash water", "strike water"),
)
THICKNESS: Final = Slot(
    "thickness of the mash",
    Measure.THICKNESS,
    ("at", "with", "and", "of"),
    required=False,
    instead=WATER.name,
)
WORT: Final = Slot("volume of wort", Measure.VOLUME, ("for", "of", "in", "to", "with", "into"), ("wort",))
NOW_SG: Final = Slot("gravity now", Measure.GRAVITY, ("from", "at", "of"), named_only=True)
WANTED_SG: Final = Slot("gravity wanted", Measure.GRAVITY, ("to", "for", "down to", "up to"), named_only=True)
WORT_SG: Final = Slot("gravity of the wort", Measure.GRAVITY, ("at", "of", "and", "reads", "reading", "with"))
OPTIONAL_SG: Final = Slot("gravity", Measure.GRAVITY, ("of", "and", "gravity", "at"), required=False)
BOIL_OFF: Final = Slot("boil-off", Measure.RATE, ("at", "with", "losing", "boiling off", "boil off", "and"))
NOW_C: Final = Slot("temperature now", Measure.TEMPERATURE, ("from", "now at"), named_only=True)
WANTED_C: Final = Slot("temperature wanted", Measure.TEMPERATURE, ("to", "up to", "down to"), named_only=True)
ALTITUDE: Final = Slot("altitude", Measure.ALTITUDE, ("at", "in", "for", "and"), required=False)
MALT_NAMES: Final = (
    *(
        ("pale malt", "pale"),
        ("pale ale malt", "pale"),
        ("pale", "pale"),
        ("pale ale", "pale"),
        ("two row", "pale"),
    ),
    *(("base malt", "pale"), ("maris otter", "pale"), ("2 row", "pale"), ("malt", "pale"), ("grain", "pale")),
    *(("pilsner malt", "pilsner"), ("pilsner", "pilsner"), ("pils", "pilsner"), ("lager malt", "pilsner")),
    *(("vienna malt", "vienna"), ("vienna", "vienna"), ("munich malt", "munich"), ("munich", "munich")),
    *(("wheat malt", "wheat"), ("wheat", "wheat"), ("rye malt", "rye"), ("rye", "rye")),
    *(("crystal malt", "crystal"), ("crystal", "crystal"), ("caramel malt", "crystal"), ("caramel", "crystal")),
    *(("cara", "crystal"), ("amber malt", "amber"), ("amber", "amber"), ("brown malt", "amber")),
    *(("chocolate malt", "roast"), ("chocolate", "roast"), ("black malt", "roast"), ("roast malt", "roast")),
    *(("roasted barley", "roast"), ("roast barley", "roast"), ("roasted malt", "roast"), ("roast", "roast")),
    *(("flaked oats", "oats"), ("oats", "oats"), ("flaked barley", "oats"), ("flaked wheat", "oats")),
    *(("flaked maize", "maize"), ("maize", "maize"), ("corn", "maize"), ("rice", "maize")),
    *(("sugar", "sugar"), ("table sugar", "sugar"), ("dextrose", "dextrose"), ("corn sugar", "dextrose")),
    *(("dry malt extract", "dry extract"), ("dry extract", "dry extract"), ("dme", "dry extract")),
    *(("liquid malt extract", "liquid extract"), ("liquid extract", "liquid extract"), ("lme", "liquid extract")),
    *(("honey", "honey"),),
)
MALT: Final = Choice("kind of malt", MALT_NAMES, "pale", ("of", "is"))
EXTRACT: Final = Slot(
    "extract of the malt",
    Measure.SHARE,
    ("at", "with", "of", "malt of", "potential", "yield", "malt at"),
    ("extract", "yield"),
    required=False,
)
POTENTIAL: Final = Slot(
    "potential of the malt",
    Measure.POTENTIAL,
    ("at", "with", "of", "potential"),
    required=False,
)
BILL: Final = (GRAIN, EXTRACT, POTENTIAL)
BILL_NAMES: Final = (GRAIN.name, MALT.name, EXTRACT.name, POTENTIAL.name)
