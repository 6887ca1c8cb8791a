"""Questions of bottles and kegs: gas, sugar, pressure, heat."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Choice, Slot, Topic

_BEER: Final = Slot("volume of beer", Measure.VOLUME, ("for", "of", "in"), ("beer", "wort"))
_CARBONATION: Final = Slot("carbonation wanted", Measure.CARBONATION, ("to", "for", "at", "of"))
_BEER_C: Final = Slot("temperature of the beer", Measure.TEMPERATURE, ("at", "and"))
_WARMEST_C: Final = Slot(
    "highest temperature since it fermented",
    Measure.TEMPERATURE,
    ("at", "up to", "from", "warmest", "fermented at", "got to"),
)
_ALTITUDE: Final = Slot("altitude", Measure.ALTITUDE, ("at", "in", "up at", "and"), required=False)
_SUGARS: Final = Choice(
    "sugar",
    (
        ("table sugar", "sucrose"),
        ("white sugar", "sucrose"),
        ("cane sugar", "sucrose"),
        ("beet sugar", "sucrose"),
        ("sucrose", "sucrose"),
        ("corn sugar", "glucose monohydrate"),
        ("dextrose", "glucose monohydrate"),
        ("glucose", "glucose monohydrate"),
        ("dry glucose", "glucose"),
        ("dry malt extract", "dry malt extract"),
        ("dry extract", "dry malt extract"),
        ("malt extract", "dry malt extract"),
        ("dme", "dry malt extract"),
        ("honey", "honey"),
    ),
    "sucrose",
    ("with", "of", "from", "using", "as"),
    opens=True,
)

CELLAR_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "priming",
        (
            *("priming", "priming sugar", "prime", "sugar to prime", "sugar for priming", "bottling sugar"),
            *("sugar to carbonate", "sugar for bottling", "sugar", "corn sugar", "dextrose", "table sugar"),
        ),
        "how much sugar carbonates a batch in bottles",
        (_BEER, _WARMEST_C, _CARBONATION, _ALTITUDE),
        "priming for nineteen litres at twenty degrees to two point four",
        (_SUGARS,),
    ),
    Topic(
        "bottle priming",
        (
            *("priming per bottle", "priming a bottle", "sugar per bottle", "sugar a bottle", "sugar in a bottle"),
            *("sugar in each bottle", "prime a bottle", "bottle priming", "priming each bottle"),
        ),
        "how much sugar carbonates one bottle",
        (
            Slot("volume of a bottle", Measure.VOLUME, ("of", "for", "in"), ("bottle", "bottles")),
            _WARMEST_C,
            _CARBONATION,
            _ALTITUDE,
        ),
        "priming per bottle of half a litre at twenty degrees to two point four",
        (_SUGARS,),
    ),
    Topic(
        "krausening",
        ("krausen", "krausening", "krausen to add", "prime with wort", "priming with wort", "speise", "gyle"),
        "how much krausen or kept-back wort carbonates a batch",
        (
            _BEER,
            _WARMEST_C,
            Slot("carbonation wanted", Measure.CARBONATION, ("to", "for", "at", "of"), ("volumes",)),
            Slot(
                "original gravity of the krausen", Measure.GRAVITY, ("original", "og", "brewed at"), named_only=True
            ),
            Slot(
                "gravity of the krausen now", Measure.GRAVITY, ("now", "stands at"), required=False, named_only=True
            ),
            Slot("final gravity of it", Measure.GRAVITY, ("final", "fg", "ends at", "ending at"), named_only=True),
            _ALTITUDE,
        ),
        "krausen for twenty litres at twenty degrees to two point four, original ten fifty, final ten twelve",
    ),
    Topic(
        "gas left",
        ("gas left", "residual gas", "residual carbonation", "carbonation left", "residual co 2"),
        "how much gas the beer has kept from fermenting",
        (_WARMEST_C, _ALTITUDE),
        "gas left at twenty degrees",
    ),
    Topic(
        "keg pressure",
        (
            *(
                "keg pressure",
                "pressure",
                "regulator",
                "carbonation pressure",
                "gas pressure",
                "regulator pressure",
            ),
            *("pressure to carbonate", "psi", "keg", "set regulator"),
        ),
        "what pressure carbonates a keg",
        (_CARBONATION, _BEER_C, _ALTITUDE),
        "keg pressure for two point five volumes at four degrees",
    ),
    Topic(
        "keg gas",
        ("keg gas", "carbonation", "volumes", "carbonation of a keg", "volumes of co 2", "gas in a keg"),
        "how much gas a keg holds under a pressure",
        (Slot("pressure on the gauge", Measure.PRESSURE, ("at", "under", "with")), _BEER_C, _ALTITUDE),
        "keg gas at twelve psi and four degrees",
    ),
    Topic(
        "bottle limit",
        ("bottles for", "bottle limit", "bottle for", "bottles", "bottle strength", "will bottles hold"),
        "which bottles hold a carbonation",
        (Slot("carbonation wanted", Measure.CARBONATION, ("to", "for", "at", "of", "with")),),
        "bottle limit for three point two volumes",
    ),
    Topic(
        "bottle risk",
        (
            *("bottle risk", "over carbonation", "overcarbonation", "bottles if it drops", "gas if it drops"),
            *("bottle bombs", "over carbonated", "bottle bomb risk"),
        ),
        "what a bottle gets if the beer was not finished",
        (
            Slot("carbonation now", Measure.CARBONATION, ("with", "at", "of")),
            Slot("original gravity", Measure.GRAVITY, ("original", "og", "brewed at"), named_only=True),
            Slot("gravity now", Measure.GRAVITY, ("from", "bottled at", "now"), named_only=True),
            Slot("gravity it drops to", Measure.GRAVITY, ("to", "down to", "drops to"), named_only=True),
        ),
        "bottle risk with two point four volumes original ten fifty from ten fourteen to ten twelve",
    ),
    Topic(
        "pasteurisation",
        (
            *("pasteurisation", "pasteurization", "pasteurise", "pasteurize", "pasteurisation units"),
            *("pasteurization units", "pu"),
        ),
        "how many pasteurisation units a hold gives",
        (
            Slot("time", Measure.DURATION, ("for", "of", "after")),
            Slot("temperature", Measure.TEMPERATURE, ("at",)),
        ),
        "pasteurisation for twenty minutes at sixty-three degrees",
    ),
    Topic(
        "pasteurisation time",
        (
            "pasteurisation time",
            "pasteurization time",
            "time to pasteurise",
            "time to pasteurize",
            "how long to pasteurise",
            "how long to pasteurize",
        ),
        "how long a hold is for some pasteurisation units",
        (
            Slot("pasteurisation units", Measure.UNITS, ("for", "of", "to")),
            Slot("temperature", Measure.TEMPERATURE, ("at",)),
        ),
        "pasteurisation time for fifteen units at sixty-two degrees",
    ),
    Topic(
        "warming and cooling",
        ("pasteurisation curve", "pasteurization curve", "warming and cooling"),
        "how many pasteurisation units bottles get as they warm and cool",
        (
            Slot("temperature", Measure.TEMPERATURE, ("at", "then", "of", "from")),
            Slot("minute of it", Measure.NUMBER, ("minute", "at minute", "after minute"), named_only=True),
        ),
        "pasteurisation curve twenty degrees minute zero, sixty degrees minute ten, thirty degrees minute thirty",
        repeated=("temperature", "minute of it"),
    ),
    Topic(
        "colour scale",
        (
            "colour scale",
            "color scale",
            "colour",
            "color",
            "srm",
            "ebc",
            "convert colour",
            "convert color",
            "lovibond",
        ),
        "a colour on the other scales",
        (Slot("colour", Measure.COLOUR, ("of", "for", "from", "at")),),
        "colour scale of ten srm",
    ),
)
