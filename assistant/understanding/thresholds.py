"""Every threshold of `weigh` in one place, to be tuned when an ear is measured again.

The first values follow from what was measured of the first own ear: the share of wrong answers by the
lowest word confidence, clean and in burner noise.
"""

from __future__ import annotations

import math
from typing import Final

from assistant.understanding.said import Command

# Lowest word confidence that a reading needs: at a likely value, without expectation, at a surprise.
SURE_WHEN_LIKELY: Final = 0.70
SURE_WHEN_UNKNOWN: Final = 0.85
SURE_WHEN_SURPRISING: Final = 0.90
# In noise close to the level of the speech, every reading needs this.
SURE_IN_NOISE: Final = 0.95
# Below this a reading is not worth a question.
WORTH_ASKING: Final = 0.40
# Below this nothing is said about what did not parse: it was hardly meant for us.
SILENT_BELOW: Final = 0.75
# Orders by what they cost when heard by mistake. Every order is read back and can be taken back; in 41 minutes
# of read books (speech not meant for it, though of speakers the first ear was trained on) no words came out that
# are an order, "note" apart, so the words themselves guard better than their confidence.
SURE_OF_QUIET: Final = 0.30
SURE_OF_A_QUESTION: Final = 0.40
SURE_OF_AN_ANSWER: Final = 0.50
SURE_OF_A_CHANGE: Final = 0.70
SURE_OF_A_NOTE: Final = 0.85
# A digit string or a name settles something that was asked.
SURE_OF_A_REPLY: Final = 0.70
# A topic and a value of the brewer's own question; both are read back at once.
SURE_OF_A_TOPIC: Final = 0.60
SURE_OF_A_VALUE: Final = 0.85
# Another string this close in natural-log likelihood is as good as the best.
CLOSE_SCORE: Final = 2.0
# A rival within this of what was said, in natural-log odds, is alive: a teen against its ten, others.
TEEN_MARGIN: Final = 3.0
OTHER_MARGIN: Final = 1.0
# The most that confidence can say for a teen or ten (0.99) and for other words (0.999).
TEEN_CAP: Final = math.log(0.99 / 0.01)
OTHER_CAP: Final = math.log(0.999 / 0.001)
# The most that the stage can spare in questions; what it can raise is not bounded.
HELP_MOST: Final = 3.0
# Spreads from the expected value: likely within the first, surprising beyond the second, asked back
# once beyond the third.
LIKELY_SPREADS: Final = 2.5
SURPRISING_SPREADS: Final = 4.0
FAR_SPREADS: Final = 8.0
# Speech over noise in dB: below the first nothing but "quiet" is trusted, below the second little.
DEAF_DB: Final = 1.0
NOISY_DB: Final = 6.0
# A stretch of words shorter than this is a knock, not speech.
SHORTEST_S: Final = 0.15

_QUESTIONS: Final = frozenset(
    {
        Command.WHAT_NEXT,
        Command.HOW_LONG,
        Command.HOW_BITTER,
        Command.WHERE_ARE_WE,
        Command.WHAT_ELSE,
        Command.SAY_AGAIN,
        Command.WHY,
        Command.LOUDER,
        Command.QUIETER,
        Command.HELP,
        Command.SOUND_CHECK,
    }
)
_ANSWERS: Final = frozenset(
    {
        Command.DONE,
        Command.SKIP,
        Command.YES,
        Command.NO,
        Command.GO_ON,
        Command.SCRATCH_THAT,
        Command.CHOOSE_LONGER,
        Command.CHOOSE_SHORTER,
        Command.CHOOSE_EXTRACT,
        Command.CHOOSE_SUGAR,
        Command.CHOOSE_WATER,
        Command.CHOOSE_BOTH,
        Command.CHOOSE_LEAVE,
        Command.NEVER_MIND,
    }
)


def confidence_needed(command: Command) -> float:
    """Lowest word confidence at which an order is followed, by what it costs when heard by mistake."""
    if command is Command.QUIET:
        return SURE_OF_QUIET
    if command is Command.NOTE:
        return SURE_OF_A_NOTE
    if command in _QUESTIONS:
        return SURE_OF_A_QUESTION
    return SURE_OF_AN_ANSWER if command in _ANSWERS else SURE_OF_A_CHANGE
