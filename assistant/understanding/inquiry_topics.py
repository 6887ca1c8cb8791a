"""What can be asked: every topic with the words that begin it, its values and an example.

A topic stands here only if `phrasing.inquiry_answers` answers it; a test walks both tables.
"""

from __future__ import annotations

from typing import Final

from assistant.understanding.inquiry_topics_brewhouse import BREWHOUSE_TOPICS
from assistant.understanding.inquiry_topics_cellar import CELLAR_TOPICS
from assistant.understanding.inquiry_topics_ferment import FERMENT_TOPICS
from assistant.understanding.inquiry_topics_others import OTHER_TOPICS
from assistant.understanding.inquiry_topics_water import WATER_TOPICS
from assistant.understanding.inquiry_topics_yeast import YEAST_TOPICS
from assistant.understanding.inquiry_words import Topic

TOPICS: Final[tuple[Topic, ...]] = (
    *BREWHOUSE_TOPICS,
    *YEAST_TOPICS,
    *FERMENT_TOPICS,
    *CELLAR_TOPICS,
    *WATER_TOPICS,
    *OTHER_TOPICS,
)
TOPIC: Final[dict[str, Topic]] = {topic.key: topic for topic in TOPICS}
