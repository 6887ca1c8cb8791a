"""A made-up brewer who answers the calls of a day, with the mishaps that a real one has.

The mishaps: a thin sample off the top that sounds like another number and is asked again, a reading taken back
with "scratch that", a boil held and gone on with, and an addition that is answered only at the third call.
While the strike water heats, the brewer asks how hot it must be.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import count
from typing import Any, Final

from assistant.day import facts as f
from assistant.day.calls import Call, CallKind, addition_groups, wet_items
from assistant.day.facts import Fact, Stage
from assistant.day.plan import AdditionTime, Plan
from assistant.day.state import State
from assistant.day.targets import candidates_of
from assistant.phrasing import numbers
from assistant.quantities import from_core
from assistant.rehearsal.lines import Line, reading_line, spoken
from assistant.rehearsal.world import RUNNINGS_C, SAMPLE_C, World
from assistant.understanding.phrases import taught_phrase
from assistant.understanding.rivals import digits_apart
from assistant.understanding.said import Command

MOST_TRIES: Final = 3
# What the top of an unstirred kettle shows: a real reading, and the twin in sound of one on target.
_THIN_SG: Final = 1.015
MISSED_CALLS: Final = 2
# Asked about where the plan does not tell its grain.
_GRAIN_KG: Final = 5.0


class Brewer:
    """Decides what is said and when. Times are seconds of the day."""

    def __init__(self, plan: Plan, world: World, missed_calls: int = MISSED_CALLS) -> None:
        """Begin with nothing to say; of one addition so many calls are missed."""
        self._plan, self._world, self._missed_calls = plan, world, missed_calls
        self._lines: list[tuple[float, int, Line]] = []
        self._order = count()
        self._boil_groups = [
            index
            for index, group in enumerate(addition_groups(plan))
            if group.time is AdditionTime.BEFORE_KNOCKOUT and group.minutes
        ]
        self._answered: set[str] = set()

    # --- the line to say next

    def next_s(self) -> float | None:
        """When the next line is to be said; None while there is nothing to say."""
        return self._lines[0][0] if self._lines else None

    def take(self) -> Line:
        """The next line."""
        return heapq.heappop(self._lines)[2]

    def _later(self, at_s: float, line: Line | str) -> None:
        heapq.heappush(self._lines, (at_s, next(self._order), Line(line) if isinstance(line, str) else line))

    # --- what it reacts to

    def called(self, call: Call, occurrence: int, state: State, now_s: float) -> None:
        """A call was heard to its end."""
        if call.kind is CallKind.ADDITION_NOW:
            self._addition(call, occurrence, now_s)
            return
        if occurrence > 1 and call.kind is not CallKind.ASK_TEMPERATURE:
            return
        if call.kind in SIMPLE:
            delay_s, text = SIMPLE[call.kind]
            self._later(now_s + delay_s, text)
        elif call.kind in ACTS:
            ACTS[call.kind](self, call, state, now_s)

    def answered(self, line: Line, new: Sequence[Fact], state: State, now_s: float) -> None:
        """A line was said; `new` are the facts it brought."""
        if state.question is not None and any(isinstance(fact, f.QuestionAsked) for fact in new):
            self._answer_question(line, state.question, now_s)
            return
        asked = next((fact for fact in new if isinstance(fact, f.InquiryAsked)), None)
        if asked is not None:
            # Not heard twice: a dry hand goes to the keyboard.
            typed = asked.times >= MOST_TRIES
            said = Line(self._value(asked.slot), tries=asked.times - 1, incident="question", typed=typed)
            self._later(now_s + 2.0, said)
            return
        rejected = any(isinstance(fact, f.UtteranceHeard) and fact.decision == "reject" for fact in new)
        if (rejected or not new) and not line.typed:
            # Not heard three times: a dry hand goes to the keyboard, as the assistant asks.
            self._later(now_s + 4.0, replace(line.again(), typed=line.tries + 1 >= MOST_TRIES))
        elif line.incident == "thin sample" and any(isinstance(fact, f.GravityRead) for fact in new):
            self._later(now_s + 8.0, Line("scratch that", incident="scratch that"))
            self._later(now_s + 60.0, self._pre_boil_line())
        elif any(isinstance(fact, f.BitternessMoved) and fact.mass_kg for fact in new):
            self._later(now_s + 6.0, Line("yes", incident="make-up"))

    def _value(self, slot: str) -> str:
        """What is said of the strike water when it is asked for; the topic first."""
        plan, mash = self._plan, self._plan.mash
        large = plan.units.large_mass
        rest = self._world.temperature(mash.rests[0].temperature_c)
        grain = round(from_core(mash.grain_kg or _GRAIN_KG, large), 1)
        water = round(from_core(mash.strike_volume_l, plan.units.volume))
        return {
            "grain": numbers.mass_words(grain, large),
            "temperature of the mash": spoken(rest),
            "volume of water": numbers.volume_words(water, plan.units.volume),
        }.get(slot, "strike water")

    def _answer_question(self, line: Line, question: f.QuestionAsked, now_s: float) -> None:
        """Answer by what was truly read: digits where two are offered, yes or no where one is."""
        candidates = candidates_of(question)
        true = next((item for item in line.truth if item.kind is candidates[0].kind), None)
        apart = digits_apart(candidates[0], candidates[1]) if len(candidates) > 1 else None
        text = "no"
        if true is not None and apart is not None and question.times == 1:
            for place, candidate in enumerate(candidates[:2]):
                if candidate.value == true.value:
                    text = numbers.digit_words(apart[place])
        elif true is not None and (len(candidates) > 1 or question.times > 1):
            text = numbers.digit_words(str(true.value).replace(".", ""))
        elif true is not None and candidates[0].value == true.value:
            text = "yes"
        self._later(now_s + 2.0, Line(text, line.truth, tries=line.tries, incident=line.incident))
        if text == "no":
            self._later(now_s + 9.0, line.again())

    def _addition(self, call: Call, occurrence: int, now_s: float) -> None:
        second = len(self._boil_groups) > 1 and call.index == self._boil_groups[1]
        wanted = self._missed_calls + 1 if second else 1
        if occurrence >= wanted and call.key not in self._answered:
            self._answered.add(call.key)
            incident = "missed call" if second else ""
            self._later(now_s + 9.0, Line("done", incident=incident))
            if self._boil_groups and call.index == self._boil_groups[0]:
                self._hold_the_boil(now_s + 60.0)

    def _hold_the_boil(self, at_s: float) -> None:
        self._later(at_s, Line(taught_phrase(Command.HOLD), incident="held boil"))
        self._later(at_s + 45.0, "how long")
        self._later(at_s + 200.0, Line(taught_phrase(Command.GO_ON), incident="held boil"))
        self._later(at_s + 260.0, "what is next")
        self._later(at_s + 275.0, taught_phrase(Command.HOW_BITTER))

    def _strike(self, call: Call, state: State, now_s: float) -> None:
        strike = reading_line(self._world.temperature(self._plan.mash.strike_temperature_c - 1.0))
        self._later(now_s + 300.0, Line(taught_phrase(Command.QUESTION), incident="question"))
        self._later(now_s + 1500.0, strike)
        self._later(now_s + 1800.0, "mash is in")

    def _mash_check(self, call: Call, state: State, now_s: float) -> None:
        rest = self._plan.mash.rests[state.rest_index]
        self._later(now_s + 30.0, reading_line(self._world.temperature(rest.temperature_c)))

    def _rest_over(self, call: Call, state: State, now_s: float) -> None:
        last = call.index + 1 == len(self._plan.mash.rests)
        self._later(now_s + (600.0 if last else 480.0), "run off" if last else "done")

    def _run_off(self, call: Call, state: State, now_s: float) -> None:
        runnings = self._world.hydrometer(self._world.before_boil_sg + 0.020, RUNNINGS_C)
        self._later(now_s + 600.0, reading_line(self._world.temperature(RUNNINGS_C), runnings))
        self._later(now_s + 2400.0, "kettle is full")

    def _gravity(self, call: Call, state: State, now_s: float) -> None:
        thin = reading_line(
            self._world.temperature(SAMPLE_C), self._world.gravity(_THIN_SG), gust=True, incident="thin sample"
        )
        self._later(now_s + 40.0, thin)

    def _pre_boil_line(self) -> Line:
        true = self._world.hydrometer(self._world.before_boil_sg, SAMPLE_C)
        return reading_line(self._world.temperature(SAMPLE_C), true)

    def _volume(self, call: Call, state: State, now_s: float) -> None:
        world = self._world
        depth = world.kettle_volume(world.before_boil_l, 70.0, world.before_boil_sg)
        self._later(now_s + 30.0, reading_line(depth))

    def _wet(self, call: Call, state: State, now_s: float) -> None:
        self._later(now_s + 40.0, wet_items(self._plan)[call.index].name)

    def _chill(self, call: Call, state: State, now_s: float) -> None:
        if state.stage is Stage.CHILL and state.chill_on_s is not None:
            since_s = now_s + 12.0 - state.chill_on_s
            self._later(now_s + 12.0, reading_line(self._world.temperature(self._world.chill_c(since_s))))

    def _stand(self, call: Call, state: State, now_s: float) -> None:
        wanted_c = addition_groups(self._plan)[call.index].temperature_c or 80.0
        self._later(now_s + 240.0, reading_line(self._world.temperature(wanted_c)))

    def _original_gravity(self, call: Call, state: State, now_s: float) -> None:
        pitch_c = self._plan.yeast.pitch_c
        shown = self._world.hydrometer(self._world.after_boil_sg, pitch_c)
        self._later(now_s + 60.0, reading_line(self._world.temperature(pitch_c), shown))
        self._later(now_s + 200.0, reading_line(self._world.volume(self._plan.beer.into_fermenter_l)))


# Calls that are always answered with the same words, after so many seconds.
SIMPLE: Final[dict[CallKind, tuple[float, str]]] = {
    CallKind.READY: (5.0, taught_phrase(Command.BEGIN)),
    CallKind.HEAT_UP: (1500.0, "boil is on"),
    CallKind.INTO_THE_BOIL: (20.0, "done"),
    CallKind.KNOCKOUT: (8.0, "done"),
    CallKind.STAND_OVER: (60.0, "water is on"),
    CallKind.CHILL_ON: (30.0, "water is on"),
    CallKind.CHILL_REACHED: (40.0, "chill is done"),
    CallKind.TRANSFER: (720.0, "transfer is done"),
    CallKind.OXYGENATE: (90.0, "done"),
    CallKind.PITCH: (60.0, "done"),
    CallKind.CORRECTION: (60.0, "done"),
}

ACTS: Final[dict[CallKind, Callable[[Any, Call, State, float], None]]] = {
    CallKind.STRIKE: Brewer._strike,
    CallKind.MASH_CHECK: Brewer._mash_check,
    CallKind.REST_OVER: Brewer._rest_over,
    CallKind.RUN_OFF: Brewer._run_off,
    CallKind.ASK_GRAVITY: Brewer._gravity,
    CallKind.ASK_VOLUME: Brewer._volume,
    CallKind.WET_ITEM: Brewer._wet,
    CallKind.ASK_TEMPERATURE: Brewer._chill,
    CallKind.STAND_COOL: Brewer._stand,
    CallKind.ASK_ORIGINAL_GRAVITY: Brewer._original_gravity,
}
