"""What was heard, with its evidence, to a decision: take it, ask about it, or refuse it.

Why it is built like this. An ear gives a string of words, a confidence for each, and sometimes other
strings that fit nearly as well. Confidence ranks well and lies at the top: an ear can be quite sure of
a wrong digit. So no single sign is trusted. Five signs are looked at, and each can only make the
decision more careful:

1. *The words as a whole.* Leftover or unknown words refuse the utterance, whatever the rest says.
2. *Confidence* of the words that make the reading. How much is demanded depends on what is at stake
   and on how likely the value is at this stage: a question asked by mistake costs a sentence, a
   boil started by mistake costs the day, a wrong gravity bends every figure after it.
3. *Other strings.* When another one fits nearly as well and means another value, both are asked.
4. *Confusable words.* "fifteen" and "fifty" differ in one unstressed syllable that a burner drowns.
   Every such word is read the other way too, and the reading that results is kept as a rival.
5. *The stage.* What is expected is a heavy-tailed curve (Student's t, few degrees of freedom), so that
   a real surprise costs little more the farther out it lies. It may raise a rival, or demand more
   confidence; it may spare a question about a rival only within bounds.

A rival is alive when the evidence for what was said, in natural-log odds, does not lead it by a margin:
the log odds of the word's confidence, capped since confidence lies at the top, plus what the stage
says for the one against the other, bounded on the side that helps. With the cap, a teen that is
surprising while its ten is expected is asked about even at full confidence: that is meant.

**The digits are never changed.** A reading is accepted as the best string says it or not at all;
a rival only ever appears as a candidate in a question. Nothing is drawn towards the target: a
surprising reading without a living rival is taken as said, and only one far outside is asked back,
once. Where two readings of one breath are in doubt, the more important one is asked and the others
are left for the day to ask again.

Typed words are certain: they are parsed and taken, surprising or not. Only typed words may ask a whole question
about the physics at any time.

All thresholds stand together in `thresholds`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from assistant.messages import Hypothesis, Utterance
from assistant.understanding.inquiry_steps import question_in
from assistant.understanding.parse import meanings
from assistant.understanding.phrases import UNKNOWN
from assistant.understanding.plausible import log_plausibility, spreads_away
from assistant.understanding.rivals import Rival, differing, figures_of, may_be_cut_short, rivals_of
from assistant.understanding.said import (
    Accept,
    Ask,
    Asked,
    Command,
    Digits,
    Doubt,
    Kind,
    Listening,
    Named,
    NotUnderstood,
    Order,
    OutOfLimits,
    Reading,
    Readings,
    Reject,
    Said,
    Verdict,
)
from assistant.understanding.thresholds import (
    CLOSE_SCORE,
    DEAF_DB,
    FAR_SPREADS,
    HELP_MOST,
    LIKELY_SPREADS,
    NOISY_DB,
    OTHER_CAP,
    OTHER_MARGIN,
    SHORTEST_S,
    SILENT_BELOW,
    SURE_IN_NOISE,
    SURE_OF_A_QUESTION,
    SURE_OF_A_REPLY,
    SURE_OF_A_TOPIC,
    SURE_OF_A_VALUE,
    SURE_WHEN_LIKELY,
    SURE_WHEN_SURPRISING,
    SURE_WHEN_UNKNOWN,
    SURPRISING_SPREADS,
    TEEN_CAP,
    TEEN_MARGIN,
    WORTH_ASKING,
    confidence_needed,
)

# Asked about first when two readings of a breath are in doubt.
_BY_IMPORTANCE: Final = (
    Kind.GRAVITY,
    Kind.VOLUME,
    Kind.DEPTH,
    Kind.TEMPERATURE,
    Kind.PH,
    Kind.MASS,
    Kind.DURATION,
)


def weigh(utterance: Utterance, listening: Listening) -> Verdict:
    """Decide about `utterance`; an accepted reading is always exactly what the best hypothesis says."""
    best = utterance.best
    if not best.words:
        return Reject(Doubt.NOTHING, 0.0, silent=True)
    found = meanings(best.text, listening)
    if utterance.typed:
        return _typed(best, found, listening)
    if _is_knock(best):
        return Reject(Doubt.LOW_CONFIDENCE, best.confidence, best.text, silent=True)
    said = found[0]
    quiet = isinstance(said, Order) and said.command is Command.QUIET
    if _over_noise_db(utterance) < DEAF_DB and not quiet:
        return Reject(Doubt.TOO_NOISY, best.confidence, best.text, silent=isinstance(said, NotUnderstood))
    if len(found) > 1:
        return _ambiguous(best, tuple(item for item in found if isinstance(item, Readings)))
    if isinstance(said, NotUnderstood):
        return _no_meaning(utterance, listening)
    if isinstance(said, Order):
        return _order(said, utterance, listening)
    if isinstance(said, Named):
        return _named(said, utterance, listening)
    if isinstance(said, Digits):
        return _digits(said, utterance, listening)
    if isinstance(said, Asked):
        return _asked(said, utterance, listening)
    if isinstance(said, OutOfLimits):
        sure = _confidence_of(best, said.reading)
        return Accept(said, sure) if sure >= SURE_WHEN_LIKELY else _badly_heard(best)
    return _readings(said, utterance, listening)


# --- small parts


def _typed(best: Hypothesis, found: tuple[Said, ...], listening: Listening) -> Verdict:
    if len(found) > 1:
        return _ambiguous(best, tuple(item for item in found if isinstance(item, Readings)))
    said = found[0]
    if isinstance(said, NotUnderstood) and Command.QUESTION in listening.commands:
        # An order that does not fit here ("boil is on") is no question about boiling.
        always = replace(listening, commands=frozenset(Command))
        if not isinstance(meanings(best.text, always)[0], Order):
            said = question_in(best.text, listening) or said
    if isinstance(said, NotUnderstood) or (isinstance(said, Digits) and said.digits not in listening.choices):
        return Reject(Doubt.NO_MEANING, 1.0, best.text)
    return Accept(said, 1.0)


def _is_knock(best: Hypothesis) -> bool:
    length = best.words[-1].end_s - best.words[0].start_s
    return 0.0 < length < SHORTEST_S


def _over_noise_db(utterance: Utterance) -> float:
    """How far the speech stands over the noise; infinite when the ear did not measure."""
    if utterance.speech_dbfs is None or utterance.noise_dbfs is None:
        return math.inf
    return utterance.speech_dbfs - utterance.noise_dbfs


def _confidence_of(best: Hypothesis, reading: Reading) -> float:
    """Lowest confidence of the words that make the reading."""
    if len(best.text.split()) != len(best.words):
        return best.confidence
    own = best.words[reading.first_word : reading.last_word + 1]
    return min((word.confidence for word in own), default=best.confidence)


def _badly_heard(best: Hypothesis) -> Reject:
    return Reject(Doubt.LOW_CONFIDENCE, best.confidence, best.text, silent=best.confidence < WORTH_ASKING)


def _close_others(utterance: Utterance, listening: Listening) -> tuple[Said, ...]:
    """What the other hypotheses mean that fit as well as the best one; only what has a meaning."""
    found: list[Said] = []
    for other in utterance.hypotheses[1:]:
        if -other.score <= CLOSE_SCORE and other.words:
            found += [item for item in meanings(other.text, listening) if not isinstance(item, NotUnderstood)]
    return tuple(found)


def _no_meaning(utterance: Utterance, listening: Listening) -> Reject:
    """Refuse; silent unless it was most likely meant for us, with a badly heard word in it."""
    best = utterance.best
    known = [word for word in best.words if word.text != UNKNOWN]
    sure = min((word.confidence for word in known), default=0.0)
    if len(known) == len(best.words):
        doubt, spoken_to_us = Doubt.NO_MEANING, len(known) > 1
    else:
        said = meanings(" ".join(word.text for word in known), listening)
        doubt, spoken_to_us = Doubt.PARTLY_UNKNOWN, len(known) > len(best.words) / 2 and _any_reading(said)
    spoken_to_us = (spoken_to_us and sure >= SILENT_BELOW) or bool(_close_others(utterance, listening))
    # Whoever asks is about to speak; silence would leave them waiting.
    spoken_to_us = spoken_to_us or (listening.asking is not None and sure >= WORTH_ASKING)
    return Reject(doubt, sure, best.text, silent=not spoken_to_us)


def _any_reading(found: tuple[Said, ...]) -> bool:
    return any(isinstance(item, Readings | OutOfLimits) for item in found)


def _ambiguous(best: Hypothesis, found: tuple[Readings, ...]) -> Verdict:
    """The words can be cut in two ways: ask, if the cuts differ in one kind; else have it said again."""
    first, second = found[0].readings, found[1].readings
    apart = differing(first, second)
    if len(found) == 2 and len(apart) == 1 and len(first) == len(second):
        candidates, others = apart[0], tuple(item for item in first if item.kind is not apart[0][0].kind)
        return Ask(candidates, Doubt.CLOSE_CALL, best.confidence, others)
    return Reject(Doubt.CLOSE_CALL, best.confidence, best.text)


# --- orders, names, digits


def _order(order: Order, utterance: Utterance, listening: Listening) -> Verdict:
    best = utterance.best
    sure = best.confidence
    if order.command is Command.NOTE:
        # The free words behind were not meant for the tables, so only the order itself counts.
        lead = best.words[: len(best.words) - len(order.rest.split())]
        sure = min((word.confidence for word in lead), default=0.0)
    needed = confidence_needed(order.command)
    if sure < needed:
        return Reject(Doubt.LOW_CONFIDENCE, sure, best.text, silent=sure < WORTH_ASKING)
    if needed <= SURE_OF_A_QUESTION or order.command is Command.NOTE:
        return Accept(order, sure)
    others = _close_others(utterance, listening)
    if any(_means_another(order, other) for other in others):
        return Reject(Doubt.CLOSE_CALL, sure, best.text)
    if order.minutes is not None and _has_live_number_rival(order, utterance, listening):
        return Reject(Doubt.CLOSE_CALL, sure, best.text)
    return Accept(order, sure)


def _means_another(order: Order, other: Said) -> bool:
    if isinstance(other, Order):
        return (other.command, other.minutes) != (order.command, order.minutes)
    return True


def _has_live_number_rival(order: Order, utterance: Utterance, listening: Listening) -> bool:
    """Whether the minutes may have been others ("add fifteen minutes" against fifty)."""
    return any(
        isinstance(rival.said, Order) and rival.said.minutes != order.minutes and _lead(rival) < _margin(rival)
        for rival in rivals_of(utterance.best, listening)
    )


def _named(said: Named, utterance: Utterance, listening: Listening) -> Verdict:
    best = utterance.best
    if best.confidence < SURE_OF_A_REPLY:
        return _badly_heard(best)
    others = _close_others(utterance, listening)
    if any(not isinstance(other, Named) or other.name != said.name for other in others):
        return Reject(Doubt.CLOSE_CALL, best.confidence, best.text)
    return Accept(said, best.confidence)


def _digits(said: Digits, utterance: Utterance, listening: Listening) -> Verdict:
    """An answer to "one five, or five zero?": it settles the question, or the question stays."""
    best = utterance.best
    if best.confidence < SURE_OF_A_REPLY:
        return _badly_heard(best)
    if said.digits not in listening.choices:
        return Reject(Doubt.NO_MEANING, best.confidence, best.text)
    others = _close_others(utterance, listening)
    rivals = (rival.said for rival in rivals_of(best, listening) if rival.teen)
    for other in (*others, *rivals):
        if isinstance(other, Digits) and other.digits != said.digits and other.digits in listening.choices:
            return Reject(Doubt.CLOSE_CALL, best.confidence, best.text)
    return Accept(said, best.confidence)


def _asked(said: Asked, utterance: Utterance, listening: Listening) -> Verdict:
    """A part of a question: read back at once, so that asking again costs more than it does for a reading."""
    best = utterance.best
    value = bool(listening.asking and listening.asking.topic)
    needed = SURE_OF_A_VALUE if value else SURE_OF_A_TOPIC
    if _over_noise_db(utterance) < NOISY_DB:
        needed = SURE_IN_NOISE
    if best.confidence < needed:
        return _badly_heard(best)
    if said.unclear or said.unknown:
        return Reject(Doubt.NO_MEANING, best.confidence, best.text)
    rivals = [rival.said for rival in rivals_of(best, listening) if value and _lead(rival) < _margin(rival)]
    for other in (*_close_others(utterance, listening), *rivals):
        if not isinstance(other, Asked) or (other.topic, other.given) != (said.topic, said.given):
            return Reject(Doubt.CLOSE_CALL, best.confidence, best.text)
    return Accept(said, best.confidence)


# --- readings


def _margin(rival: Rival) -> float:
    return TEEN_MARGIN if rival.teen else OTHER_MARGIN


def _lead(rival: Rival, stage: float = 0.0) -> float:
    """Log odds of what was said over the rival. stage: log plausibility of the one less the other's."""
    confidence = min(max(rival.confidence, 1e-6), 1.0 - 1e-6)
    cap = TEEN_CAP if rival.teen else OTHER_CAP
    return min(math.log(confidence / (1.0 - confidence)), cap) + min(stage, HELP_MOST)


def _needed(reading: Reading, utterance: Utterance, listening: Listening) -> float:
    """Lowest confidence at which `reading` is taken without asking."""
    if _over_noise_db(utterance) < NOISY_DB:
        return SURE_IN_NOISE
    away = spreads_away(reading, listening)
    if away is None:
        return SURE_WHEN_UNKNOWN
    if away <= LIKELY_SPREADS:
        return SURE_WHEN_LIKELY
    return SURE_WHEN_UNKNOWN if away <= SURPRISING_SPREADS else SURE_WHEN_SURPRISING


def _readings(said: Readings, utterance: Utterance, listening: Listening) -> Verdict:
    best = utterance.best
    sure = best.confidence
    if not said.corrected_in_breath:
        sure = min(_confidence_of(best, reading) for reading in said.readings)
    if sure < WORTH_ASKING:
        return Reject(Doubt.LOW_CONFIDENCE, sure, best.text, silent=len(best.words) == 1)
    others = _close_others(utterance, listening)
    if any(not _same_kinds(said, other) for other in others):
        return Reject(Doubt.CLOSE_CALL, sure, best.text)
    doubtful: dict[Kind, Ask] = {}
    for reading in said.readings:
        question = _question(reading, said, others, utterance, listening)
        if question is not None:
            doubtful[reading.kind] = question
    if not doubtful:
        return Accept(said, sure)
    question = doubtful[min(doubtful, key=_BY_IMPORTANCE.index)]
    clear = tuple(reading for reading in said.readings if reading.kind not in doubtful)
    return Ask(question.candidates, question.doubt, question.confidence, clear)


def _same_kinds(said: Readings, other: Said) -> bool:
    """Whether another string reads the same instruments; an impossible one does not count against it."""
    if isinstance(other, Readings):
        return {item.kind for item in said.readings} == {item.kind for item in other.readings}
    return isinstance(other, OutOfLimits)


def _question(
    reading: Reading, said: Readings, others: tuple[Said, ...], utterance: Utterance, listening: Listening
) -> Ask | None:
    """What has to be asked about one reading of the breath, None when it is clear."""
    sure = utterance.best.confidence if said.corrected_in_breath else _confidence_of(utterance.best, reading)
    rivals: list[Reading] = []
    for other in others:
        if isinstance(other, Readings):
            rivals += [rival for mine, rival in differing(said.readings, other.readings) if mine == reading]
    for rival in rivals_of(utterance.best, listening):
        if not isinstance(rival.said, Readings):
            continue
        apart = differing(said.readings, rival.said.readings)
        if len(apart) != 1 or apart[0][0] != reading or len(rival.said.readings) != len(said.readings):
            continue
        stage = log_plausibility(reading, listening) - log_plausibility(apart[0][1], listening)
        if _lead(rival, stage) < _margin(rival) and not _settled(reading, rival, listening):
            rivals.append(apart[0][1])
    if rivals:
        rival_reading = max(rivals, key=lambda item: log_plausibility(item, listening))
        pair = sorted((reading, rival_reading), key=lambda item: -log_plausibility(item, listening))
        return Ask(tuple(pair), Doubt.CLOSE_CALL, sure)
    if sure < _needed(reading, utterance, listening):
        return Ask((reading,), Doubt.LOW_CONFIDENCE, sure)
    away = spreads_away(reading, listening)
    if may_be_cut_short(said, listening) and (away is None or away > LIKELY_SPREADS):
        return Ask((reading,), Doubt.LOW_CONFIDENCE, sure)
    if away is not None and away > FAR_SPREADS and not listening.choices:
        return Ask((reading,), Doubt.SURPRISING, sure)
    return None


def _settled(reading: Reading, rival: Rival, listening: Listening) -> bool:
    """Whether a question is open and the reading answers it in words that are not the ones in doubt."""
    if rival.teen or not listening.choices:
        return False
    whole, behind = figures_of(reading)
    return any((whole + behind).endswith(choice) for choice in listening.choices)
