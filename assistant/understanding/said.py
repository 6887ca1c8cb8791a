"""What a brewer can have said: readings, commands, answers, and the typed ways of not understanding.

Everything here is a value. `parse` turns words into a `Said`; `weigh` turns an utterance with its
evidence into a `Verdict`. Neither ever picks between digits: where two readings are alive, the
verdict is `Ask`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from assistant.quantities import Unit


class Kind(StrEnum):
    """What a reading is a reading of."""

    GRAVITY = "gravity"
    TEMPERATURE = "temperature"
    VOLUME = "volume"
    DEPTH = "depth"
    PH = "pH"
    MASS = "mass"
    DURATION = "duration"


class Command(StrEnum):
    """What a brewer can order; the value names it in the journal."""

    BEGIN = "begin"
    DONE = "done"
    SKIP = "skip"
    YES = "yes"
    NO = "no"
    HOLD = "hold"
    GO_ON = "go on"
    MASH_IN = "mash is in"
    RUN_OFF = "run off"
    KETTLE_FULL = "kettle is full"
    BOIL_ON = "boil is on"
    KNOCKOUT = "knockout"
    CHILL_ON = "chill is on"
    CHILL_DONE = "chill is done"
    TRANSFER_DONE = "transfer is done"
    OXYGEN_DONE = "oxygen is done"
    PITCHED = "yeast is in"
    ADD_TIME = "add minutes"
    TAKE_TIME = "take minutes"
    WHAT_NEXT = "what is next"
    HOW_LONG = "how long"
    HOW_BITTER = "how bitter"
    WHERE_ARE_WE = "where are we"
    WHAT_ELSE = "what else"
    SAY_AGAIN = "say again"
    SCRATCH_THAT = "scratch that"
    WHY = "why"
    NOTE = "note"
    LOUDER = "louder"
    QUIETER = "quieter"
    QUIET = "quiet"
    HELP = "help"
    SOUND_CHECK = "sound check"
    CHOOSE_LONGER = "longer"
    CHOOSE_SHORTER = "shorter"
    CHOOSE_EXTRACT = "extract"
    CHOOSE_SUGAR = "sugar"
    CHOOSE_WATER = "water"
    CHOOSE_BOTH = "both"
    CHOOSE_LEAVE = "leave"
    QUESTION = "question"
    NEVER_MIND = "never mind"


@dataclass(frozen=True, slots=True)
class Reading:
    """One value read off an instrument, exactly as said.

    value: exact; for specific gravity the full figure (1.044), for points the points (44).
    unit: always definite; `unit_said` tells whether the brewer said it or the stage implied it.
    words: the words it came from; first_word, last_word: their positions in the utterance, inclusive.
    """

    kind: Kind
    value: Decimal
    unit: Unit
    words: str
    unit_said: bool = True
    first_word: int = 0
    last_word: int = 0


@dataclass(frozen=True, slots=True)
class Readings:
    """One or more readings in one breath, in the order said, corrections already applied.

    note: set when a value was corrected in the same breath ("ten fifty, no, ten fifteen").
    """

    readings: tuple[Reading, ...]
    corrected_in_breath: bool = False


@dataclass(frozen=True, slots=True)
class Order:
    """A command, with the minutes for ADD_TIME and TAKE_TIME, and the free words after NOTE."""

    command: Command
    minutes: Decimal | None = None
    rest: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class Digits:
    """A string of single digits ("one five"), the answer to a question about digits."""

    digits: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Named:
    """The name of a thing on the list that was being asked about (a sanitation item)."""

    name: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class OutOfLimits:
    """A value that was heard and is impossible here; carries the value and the limits.

    limits: lowest and highest possible, in `reading.unit`.
    """

    reading: Reading
    limits: tuple[Decimal, Decimal]

    @property
    def why(self) -> str:
        """Half a sentence with the value and the limits, these to the step that is read off an instrument."""
        unit, places = self.reading.unit, 3 if self.reading.unit is Unit.SPECIFIC_GRAVITY else 1
        low, high = (f"{round(limit, places):f}".rstrip("0").rstrip(".") for limit in self.limits)
        return f"{self.reading.value} {unit.value} is outside {low} to {high} {unit.value}"


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """Words that no phrase of the tables allows; `words` is empty when nothing was heard."""

    words: str = ""


@dataclass(frozen=True, slots=True)
class Asking:
    """Where a question of the brewer about the physics stands.

    topic: key of the topic, empty before it is known. slot: the value or choice that was asked for.
    given: names of the values that are known already.
    """

    topic: str = ""
    slot: str = ""
    given: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """A question about the physics, whole or a part of it: nothing here is a reading of the kettle.

    given: values in the order said, as (slot, value, unit); a choice has an empty unit.
    unclear: slots among which the words can be shared out in more than one way. unknown: words that nothing allows.
    """

    topic: str
    given: tuple[tuple[str, str, str], ...] = ()
    unclear: tuple[str, ...] = ()
    unknown: str = ""
    words: str = ""


Said = Readings | Order | Digits | Named | OutOfLimits | Asked | NotUnderstood


@dataclass(frozen=True, slots=True)
class Expected:
    """What the state of the day finds plausible for one kind of reading, in `unit`.

    Only the choice between taking and asking depends on it, never a digit.
    value, spread: centre and scale of a heavy-tailed expectation; spread > 0.
    lowest, highest: what is possible at all; beyond is `OutOfLimits`.
    """

    kind: Kind
    unit: Unit
    value: float
    spread: float
    lowest: float
    highest: float


@dataclass(frozen=True, slots=True)
class Listening:
    """What the day is ready to hear: the words that are live, and what a bare number means.

    temperature_unit, volume_unit, depth_unit, mass_unit: meant when the brewer says no unit.
    gravity_unit: SPECIFIC_GRAVITY or PLATO; how this brewer reads gravity.
    expected: most expected kind first; a bare number is the first kind it can be.
    commands: the orders that are live now.
    choices: answers of a pending question; each a string of digits ("15", "50").
    names: things that may be named now (sanitation items).
    asking: set while a question of the brewer is open; then no words are a reading.
    """

    temperature_unit: Unit = Unit.CELSIUS
    volume_unit: Unit = Unit.LITRE
    depth_unit: Unit = Unit.CENTIMETRE
    mass_unit: Unit = Unit.GRAM
    gravity_unit: Unit = Unit.SPECIFIC_GRAVITY
    expected: tuple[Expected, ...] = ()
    commands: frozenset[Command] = field(default_factory=lambda: frozenset(Command))
    choices: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    asking: Asking | None = None

    def expectation(self, kind: Kind) -> Expected | None:
        """The expectation for `kind`, or None when the stage has none."""
        return next((item for item in self.expected if item.kind is kind), None)


class Doubt(StrEnum):
    """Why something heard is asked about or refused instead of taken."""

    CLOSE_CALL = "two readings are close"
    SURPRISING = "far from what this stage makes likely"
    LOW_CONFIDENCE = "heard badly"
    PARTLY_UNKNOWN = "some of the words were no known words"
    TOO_NOISY = "too noisy to trust"
    NO_MEANING = "no phrase allows these words"
    NOTHING = "nothing was heard"


@dataclass(frozen=True, slots=True)
class Accept:
    """Taken as said; confidence 0-1 (1 for typed words)."""

    said: Said
    confidence: float


@dataclass(frozen=True, slots=True)
class Ask:
    """In doubt: `candidates` are the readings that are alive, likeliest first (one: to be confirmed).

    others: readings of the same breath that are not in doubt; taken once the answer is there.
    """

    candidates: tuple[Reading, ...]
    doubt: Doubt
    confidence: float
    others: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class Reject:
    """Refused. `silent` when it was most likely no speech meant for us, so nothing is said about it."""

    doubt: Doubt
    confidence: float
    words: str = ""
    silent: bool = False


Verdict = Accept | Ask | Reject
