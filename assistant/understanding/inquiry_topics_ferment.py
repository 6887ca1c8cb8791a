"""Questions of the fermentation: how far it is, where it ends, what it made."""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_units import Measure
from assistant.understanding.inquiry_words import Slot, Topic

_FROM: Final = (
    *("from", "original", "og", "original gravity", "at", "started at", "start", "with og", "from og", "with"),
    *("with original", "with original gravity"),
)
_TO: Final = (
    *("to", "down to", "final", "fg", "final gravity", "and", "ended at", "finished at", "now", "to fg", "it now"),
    *("with final", "with fg"),
)
_ORIGINAL: Final = Slot("original gravity", Measure.GRAVITY, _FROM)
_FINAL: Final = Slot("final gravity", Measure.GRAVITY, _TO, named_only=True)
# A gravity and the day on which it was read, again and again.
_READ: Final = Slot("gravity", Measure.GRAVITY, ("at", "with", "of", "from", "then", "was", "read"))
_DAY: Final = Slot("day of it", Measure.NUMBER, ("day", "on day"), named_only=True)
_READINGS: Final = (_READ, _DAY)
_EXPECTED_WORDS: Final = ("expected", "expecting", "should end at", "should be", "target", "supposed to end at")
_EXPECTED: Final = Slot("gravity expected", Measure.GRAVITY, _EXPECTED_WORDS, required=False, named_only=True)
_GROUP: Final = ("gravity", "day of it")

FERMENT_TOPICS: Final[tuple[Topic, ...]] = (
    Topic(
        "finished",
        (
            *(
                "finished",
                "it finished",
                "beer finished",
                "fermentation finished",
                "it done",
                "beer done",
                "done fermenting",
            ),
            *("fermentation done", "can i bottle", "bottle now", "ready to bottle", "it ready to bottle", "over"),
            *("fermentation over", "finished fermenting", "it finished fermenting"),
        ),
        "whether gravities over days say that the beer is finished",
        (*_READINGS, _EXPECTED),
        "finished with ten twelve on day ten, ten eleven on day twelve",
        repeated=_GROUP,
    ),
    Topic(
        "end",
        (
            *(
                "expected end",
                "end",
                "when finished",
                "when will it finish",
                "finish",
                "will it finish",
                "end forecast",
            ),
            *("where will it end", "final gravity forecast", "until finished", "until it finished", "will it end"),
        ),
        "where and when a fermentation will end",
        (*_READINGS, _EXPECTED),
        "expected end ten fifty day zero, ten thirty-two day one, ten twenty-two day two, ten sixteen day three",
        repeated=_GROUP,
    ),
    Topic(
        "stuck",
        (
            "stuck",
            "it stuck",
            "beer stuck",
            "fermentation stuck",
            "stuck fermentation",
            "stopped",
            "has it stopped",
        ),
        "whether a fermentation has stopped too early",
        (*_READINGS, Slot("gravity expected", Measure.GRAVITY, _EXPECTED_WORDS, named_only=True)),
        "stuck with ten twenty on day six, ten twenty on day nine, expected ten twelve",
        repeated=_GROUP,
    ),
    Topic(
        "alcohol",
        (
            "alcohol",
            "abv",
            "strength",
            "alcohol by volume",
            "alcohol content",
            "how strong",
            "how strong it",
            "alcohol by weight",
        ),
        "how much alcohol the beer has",
        (_ORIGINAL, _FINAL),
        "alcohol from ten fifty to ten ten",
    ),
    Topic(
        "attenuation",
        ("attenuation", "apparent attenuation", "real attenuation"),
        "how far the extract has fermented",
        (_ORIGINAL, _FINAL),
        "attenuation from ten fifty to ten ten",
    ),
    Topic(
        "real extract",
        ("real extract", "true extract", "extract left", "extract left in beer"),
        "how much extract is truly left in the beer",
        (_ORIGINAL, _FINAL),
        "real extract from ten fifty to ten ten",
    ),
    Topic(
        "calories",
        ("calories", "energy", "kilocalories"),
        "how much energy a glass of beer has",
        (
            _ORIGINAL,
            _FINAL,
            Slot("volume of a glass", Measure.VOLUME, ("in", "of", "for"), ("glass", "bottle"), required=False),
        ),
        "calories from ten fifty to ten ten in half a litre",
    ),
    Topic(
        "refractometer",
        ("refractometer", "refractometer in beer", "refractometer after fermentation", "brix in beer"),
        "the gravity behind a refractometer reading in beer",
        (
            Slot("original gravity", Measure.GRAVITY, ("from", "original", "og", "started at"), named_only=True),
            Slot("reading now", Measure.GRAVITY, ("to", "now", "at", "reads", "shows", "reading"), named_only=True),
        ),
        "refractometer from twelve plato to six point four brix",
    ),
    Topic(
        "carbon dioxide",
        (
            *("carbon dioxide", "co 2", "fermentation gas", "gas made", "carbon dioxide made", "gas in room"),
            *("co 2 in room", "carbon dioxide in room", "closed room"),
        ),
        "how much gas a fermentation makes, and what it is in a closed room",
        (
            Slot("volume of beer", Measure.VOLUME, ("for", "of", "from", "with"), ("beer", "wort")),
            _ORIGINAL,
            _FINAL,
            Slot("room", Measure.ROOM, ("in", "in a room of", "room of"), ("room",), required=False),
        ),
        "carbon dioxide of twenty litres from ten fifty to ten ten in thirty cubic metres",
    ),
)
