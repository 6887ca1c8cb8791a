"""What can be asked: every topic with the words that begin it, its values and an example.

A topic stands here only if `phrasing.inquiry_answers` answers it; a test walks both tables.
"""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_topics_cellar import CELLAR_TOPICS
from assistant.understanding.inquiry_topics_chill import CHILL_TOPICS
from assistant.understanding.inquiry_topics_ferment import FERMENT_TOPICS
from assistant.understanding.inquiry_topics_grist import GRIST_TOPICS
from assistant.understanding.inquiry_topics_hops import HOP_TOPICS
from assistant.understanding.inquiry_topics_instruments import INSTRUMENT_TOPICS
from assistant.understanding.inquiry_topics_kettle import KETTLE_TOPICS
from assistant.understanding.inquiry_topics_mash import MASH_TOPICS
from assistant.understanding.inquiry_topics_others import OTHER_TOPICS
from assistant.understanding.inquiry_topics_water import WATER_TOPICS
from assistant.understanding.inquiry_topics_yeast import YEAST_TOPICS
from assistant.understanding.inquiry_words import Topic

SUBJECTS: Final[dict[str, tuple[Topic, ...]]] = {
    "grain and extract": GRIST_TOPICS,
    "mash and the day's water": MASH_TOPICS,
    "kettle and boil": KETTLE_TOPICS,
    "hops": HOP_TOPICS,
    "chill": CHILL_TOPICS,
    "instruments and boiling points": INSTRUMENT_TOPICS,
    "yeast and oxygen": YEAST_TOPICS,
    "fermentation": FERMENT_TOPICS,
    "bottles and kegs": CELLAR_TOPICS,
    "brewing water": WATER_TOPICS,
    "cleaning and mixing": OTHER_TOPICS,
}
TOPICS: Final[tuple[Topic, ...]] = tuple(topic for topics in SUBJECTS.values() for topic in topics)
TOPIC: Final[dict[str, Topic]] = {topic.key: topic for topic in TOPICS}
