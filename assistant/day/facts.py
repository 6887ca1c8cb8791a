"""Facts: what happened, in the past tense and final. The state of the day is a fold of these.

A fact holds only text, numbers, booleans and tuples of those, so that any journal can keep it.
Adding a field: give it a default. Changing a meaning: raise `version` and add a step to
`journal.encoding`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import ClassVar

from assistant.messages import Moment


class Stage(StrEnum):
    """Where the day stands."""

    SETTING_UP = "setting up"
    STRIKE = "strike water"
    MASH = "mash"
    RUN_OFF = "run-off"
    PRE_BOIL = "before the boil"
    BOIL = "boil"
    HOP_STAND = "hop stand"
    CHILL = "chill"
    TRANSFER = "transfer"
    PITCH = "oxygenate and pitch"
    FERMENTING = "fermenting"


@dataclass(frozen=True, slots=True)
class Fact:
    """The base of all facts. `version` is stored beside each one."""

    version: ClassVar[int] = 1


# --- the day itself


@dataclass(frozen=True, slots=True)
class DayBegun(Fact):
    """A day was opened for a plan; the text of the plan is kept so that the day can be resumed."""

    beer: str
    plan_text: str
    plan_file: str = ""


@dataclass(frozen=True, slots=True)
class DayResumed(Fact):
    """The program started again after `away_s` seconds; not `clock_trusted` when wall time had gone back."""

    away_s: float
    clock_trusted: bool = True


@dataclass(frozen=True, slots=True)
class StageReached(Fact):
    """The day moved to another stage."""

    stage: Stage


# --- the rig, from day to day


@dataclass(frozen=True, slots=True)
class RigKnown(Fact):
    """What the earlier days of this rig say, as the day begins: what is to be expected of today.

    figures: (name, mean, standard uncertainty, days that told it); the names are those of `day.rig.Figure`.
    days: the days they were learnt from. left_out: days that the brewer wanted left out.
    """

    rig: str
    figures: tuple[tuple[str, float, float, int], ...]
    days: tuple[str, ...]
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RigLearned(Fact):
    """What this day alone said of the rig, earlier days and plan taken out, so that days can be weighed anew.

    figures: (name, value, standard uncertainty); flow_l_per_min: of the cooling water by the plan, None unknown.
    """

    rig: str
    figures: tuple[tuple[str, float, float], ...]
    flow_l_per_min: float | None = None


# --- what was heard


@dataclass(frozen=True, slots=True)
class UtteranceHeard(Fact):
    """Words reached us. decision: accept, ask or reject; doubt: why not accepted, empty otherwise."""

    words: str
    decision: str
    confidence: float
    engine: str
    doubt: str = ""
    noise_dbfs: float | None = None
    speech_dbfs: float | None = None


@dataclass(frozen=True, slots=True)
class QuestionAsked(Fact):
    """A doubtful reading was asked about.

    kind, unit: of the reading; candidates: values as text, likeliest first; times: how often asked by now.
    waiting: readings of the same breath that wait for the answer, as (kind, value, unit).
    """

    kind: str
    unit: str
    candidates: tuple[str, ...]
    doubt: str
    times: int = 1
    words: str = ""
    waiting: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class QuestionClosed(Fact):
    """A pending question was answered, skipped or no longer matters."""

    reason: str


# --- what the brewer asks about the physics; none of it is a reading of the kettle


@dataclass(frozen=True, slots=True)
class InquiryAsked(Fact):
    """The brewer asks something, and was asked back for what is missing.

    topic: empty while the topic is asked for. given: what is known, as (slot, value, unit), choices without a unit.
    slot: the value that is asked for. times: how often it was asked for by now.
    """

    topic: str = ""
    given: tuple[tuple[str, str, str], ...] = ()
    slot: str = ""
    times: int = 1


@dataclass(frozen=True, slots=True)
class InquiryAnswered(Fact):
    """A question had all that it needs, and was answered with the sentence `answer`."""

    topic: str
    given: tuple[tuple[str, str, str], ...]
    answer: str = ""


@dataclass(frozen=True, slots=True)
class InquiryNotUnderstood(Fact):
    """A typed question could not be answered: slots that were not told apart, or words that nothing allows."""

    topic: str
    unclear: tuple[str, ...] = ()
    unknown: str = ""


@dataclass(frozen=True, slots=True)
class InquiryClosed(Fact):
    """A question was left without an answer: never mind, no answer, not understood, or a call came."""

    reason: str


# --- readings


@dataclass(frozen=True, slots=True)
class TemperatureRead(Fact):
    """A temperature was taken as read, in °C with its standard uncertainty; `said` is value and unit as spoken."""

    temperature_c: float
    sd_c: float
    said: str


@dataclass(frozen=True, slots=True)
class GravityRead(Fact):
    """A gravity was taken as read.

    instrument_sg: as read off the instrument, SG. sample_c: temperature of the sample.
    gravity_sg, sd_sg: corrected to 20 °C with its standard uncertainty.
    instrument: "hydrometer" or "refractometer".
    """

    instrument_sg: float
    sample_c: float
    gravity_sg: float
    sd_sg: float
    said: str
    instrument: str = "hydrometer"


@dataclass(frozen=True, slots=True)
class GravityWaiting(Fact):
    """A gravity was read without a temperature; it is corrected when the temperature comes."""

    instrument_sg: float
    said: str
    instrument: str = "hydrometer"


@dataclass(frozen=True, slots=True)
class VolumeRead(Fact):
    """A volume was taken as read.

    volume_l: as it stands, hot. cold_l, sd_l: at 20 °C with standard uncertainty. depth_m: by dipstick, else None.
    """

    volume_l: float
    cold_l: float
    sd_l: float
    said: str
    depth_m: float | None = None


@dataclass(frozen=True, slots=True)
class OtherRead(Fact):
    """A reading that the day only keeps (pH, a mass), value and unit as said."""

    kind: str
    value: str
    unit: str


@dataclass(frozen=True, slots=True)
class ReadingRefused(Fact):
    """A value was heard and not taken; `why` is a sentence."""

    kind: str
    said: str
    why: str


@dataclass(frozen=True, slots=True)
class ReadingSetAside(Fact):
    """A reading of this turn does not fit what came before: it is kept, and the forecast does without it.

    kind: "gravity", "volume" or "temperature". value, expected: SG, litres at 20 °C, or °C.
    apart_sd: how far the two lie apart, in standard deviations of their difference.
    """

    kind: str
    value: float
    expected: float
    apart_sd: float


@dataclass(frozen=True, slots=True)
class SetAsideConfirmed(Fact):
    """A reading of this turn agrees with the one of its kind that was set aside: both are believed from now on."""

    kind: str
    value: float


@dataclass(frozen=True, slots=True)
class TurnWithdrawn(Fact):
    """All that turn number `turn` brought was taken back ("scratch that")."""

    turn: int


@dataclass(frozen=True, slots=True)
class NothingToWithdraw(Fact):
    """A "scratch that" found nothing young enough."""


# --- advice


@dataclass(frozen=True, slots=True)
class AdviceGiven(Fact):
    """Ways out of a miss were found, best first; all tuples but the last run in parallel.

    kinds: those of `day.ways.WayKind`. sizes, sizes_sd: the one number of a way (minutes, kg, L) and its standard
    uncertainty, which is that of its solids too. minutes: of boil, negative when fewer. results: where the boil
    ends, SG and litres at 20 °C, with their standard uncertainties. changes_l: of the volume against leaving it.
    chances: of ending on target. costs: what they were ranked by. met: whether what it goes for can be met.
    bitterness: its change, IBU; empty where the plan tells no alpha acid.
    not_possible: (kind, size, why not). cannot_be_told: the miss lies within the band of the forecast.
    assumed: the volume was the plan's. Offers of earlier versions have the first three alone.
    """

    kinds: tuple[str, ...]
    sizes: tuple[float, ...]
    results_sg: tuple[float, ...]
    sizes_sd: tuple[float, ...] = ()
    minutes: tuple[float, ...] = ()
    minutes_sd: tuple[float, ...] = ()
    extract_kg: tuple[float, ...] = ()
    sugar_kg: tuple[float, ...] = ()
    water_l: tuple[float, ...] = ()
    water_sd_l: tuple[float, ...] = ()
    results_sd_sg: tuple[float, ...] = ()
    results_l: tuple[float, ...] = ()
    results_sd_l: tuple[float, ...] = ()
    changes_l: tuple[float, ...] = ()
    chances: tuple[float, ...] = ()
    costs: tuple[float, ...] = ()
    met: tuple[bool, ...] = ()
    bitterness_ibu: tuple[float, ...] = ()
    bitterness_sd_ibu: tuple[float, ...] = ()
    not_possible: tuple[tuple[str, float, str], ...] = ()
    cannot_be_told: bool = False
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class AdviceChosen(Fact):
    """The brewer chose one of the ways; what it asks for, where that is more than its kind and size tell.

    minutes: of boil, negative when fewer; extract_kg, sugar_kg, water_l: into the kettle.
    """

    kind: str
    size: float
    minutes: float = 0.0
    extract_kg: float = 0.0
    sugar_kg: float = 0.0
    water_l: float = 0.0

    def in_full(self) -> AdviceChosen:
        """With what it asks for, which facts of earlier versions tell by kind and size alone."""
        if self.minutes or self.extract_kg or self.sugar_kg or self.water_l:
            return self
        match self.kind:
            case "longer":
                return replace(self, minutes=self.size)
            case "extract":
                return replace(self, extract_kg=self.size)
            case "water":
                return replace(self, water_l=self.size)
        return self


# --- bitterness


@dataclass(frozen=True, slots=True)
class BitternessMoved(Fact):
    """Hops went in late or not at all, or the boil was changed, by enough to be told.

    ibu, sd_ibu: as it goes now, at the end of the day; planned_ibu: what the plan comes to, reckoned alike.
    late_s: behind its time, for an addition that went in.
    addition: place in the plan of the hops that can make up for it, and mass_kg how much more of them, less when
    negative; -1 and 0 where none can, and why_not tells why.
    """

    ibu: float
    sd_ibu: float
    planned_ibu: float
    late_s: float = 0.0
    addition: int = -1
    mass_kg: float = 0.0
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class MakeUpTaken(Fact):
    """The brewer agreed to change a later addition, at this place in the plan, by so much."""

    addition: int
    mass_kg: float


@dataclass(frozen=True, slots=True)
class MakeUpLeft(Fact):
    """The brewer left the hops as planned."""


# --- calls


@dataclass(frozen=True, slots=True)
class CallMade(Fact):
    """A call came due and was handed to the voice. occurrence: 1 the first time; late_s: behind its due time."""

    key: str
    occurrence: int
    late_s: float = 0.0


@dataclass(frozen=True, slots=True)
class CallSpoken(Fact):
    """The voice spoke a call to its end."""

    key: str


@dataclass(frozen=True, slots=True)
class CallAcknowledged(Fact):
    """The brewer said it is done."""

    key: str


@dataclass(frozen=True, slots=True)
class CallSkipped(Fact):
    """The brewer said to skip it."""

    key: str


@dataclass(frozen=True, slots=True)
class CallDropped(Fact):
    """A call was too late to matter, or overtaken, and its policy lets it go."""

    key: str
    why: str
    late_s: float = 0.0


# --- the boil clock


@dataclass(frozen=True, slots=True)
class BoilStarted(Fact):
    """The boil clock was started with this many minutes on it."""

    minutes: float


@dataclass(frozen=True, slots=True)
class BoilHeld(Fact):
    """The boil clock was stopped."""


@dataclass(frozen=True, slots=True)
class BoilResumed(Fact):
    """The boil clock runs on."""


@dataclass(frozen=True, slots=True)
class BoilChanged(Fact):
    """Minutes were added to the boil clock, or taken from it when negative."""

    minutes: float


# --- rests and sanitation


@dataclass(frozen=True, slots=True)
class RestStarted(Fact):
    """Mash rest number `index` (from 0) began."""

    index: int


@dataclass(frozen=True, slots=True)
class ItemWet(Fact):
    """A thing on the sanitation list is in contact with its sanitiser, or in the boil."""

    name: str


# --- talk


@dataclass(frozen=True, slots=True)
class InformationAsked(Fact):
    """The brewer asked something that changes nothing ("how long")."""

    command: str


@dataclass(frozen=True, slots=True)
class OrderRefused(Fact):
    """An order made no sense now; `why` is the sentence that was answered."""

    command: str
    why: str


@dataclass(frozen=True, slots=True)
class NoteTaken(Fact):
    """A note: its words, and the file of its sound, empty when typed or not kept."""

    words: str
    sound_file: str = ""


@dataclass(frozen=True, slots=True)
class VoiceChanged(Fact):
    """The voice was made louder (+1), quieter (-1) or silenced (0)."""

    step: int


@dataclass(frozen=True, slots=True)
class DeviceReported(Fact):
    """A device failed or came back; `sentence` was said."""

    device: str
    working: bool
    sentence: str


@dataclass(frozen=True, slots=True)
class Recorded:
    """A fact in the journal.

    number: counts from 1 within the day. turn: all facts of one turn of the loop share it.
    """

    number: int
    moment: Moment
    turn: int
    fact: Fact
