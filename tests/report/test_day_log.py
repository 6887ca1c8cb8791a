"""The log of a day and the report of a rehearsal, as text."""

from __future__ import annotations

import inspect
from datetime import timedelta

from brew_day import START

from assistant.day import facts as f
from assistant.day.facts import Fact, Recorded
from assistant.messages import Moment
from assistant.report.day_log import _LINES, day_log
from assistant.report.rehearsal_report import Figures, Spoken, rehearsal_report


def recorded(*turns: tuple[Fact, ...]) -> list[Recorded]:
    """Facts in turns, a minute apart."""
    found: list[Recorded] = []
    for turn, facts in enumerate(turns, start=1):
        moment = Moment(60.0 * turn, START + timedelta(minutes=turn))
        found += [Recorded(len(found) + place + 1, moment, turn, fact) for place, fact in enumerate(facts)]
    return found


GRAVITY = f.GravityRead(1.026, 65.0, 1.04512, 0.00123, "1.026 SG")


def test_a_day_reads_as_it_went() -> None:
    """Each fact has its line with its time; a gravity tells what was read, at what temperature, and what it is."""
    log = day_log(
        recorded((f.DayBegun("Hollow Lane", "", ""),), (GRAVITY,), (f.CallMade("boil3.knockout", 2, 4.0),))
    )
    assert (
        "09:01:00  day       Hollow Lane begun",
        "09:02:00  gravity   1.026 SG at 65.0 °C by hydrometer -> SG 1.0451 ± 0.0012 at 20 °C",
        "09:03:00  call      boil3.knockout, time 2, 4 s late",
    ) == log


def test_what_was_taken_back_is_marked_and_kept() -> None:
    """A turn that was taken back is still in the log, marked; nothing vanishes from the book."""
    log = day_log(recorded((GRAVITY,), (f.TurnWithdrawn(1),), (GRAVITY,)))
    assert [True, False, False] == ["(taken back)" in line for line in log]


# Facts that a brewer does not want to read again: they are about the talk, not about the beer.
UNTOLD = {f.CallSpoken, f.NothingToWithdraw, f.InformationAsked, f.VoiceChanged, f.Fact}


def test_every_fact_has_its_line_or_is_left_out_on_purpose() -> None:
    """A new kind of fact must get a line in the log, or be named here as talk."""
    kinds = {item for _, item in inspect.getmembers(f, inspect.isclass) if issubclass(item, f.Fact)}
    assert kinds - set(_LINES) == UNTOLD


FIGURES = Figures("Hollow Lane", "an ear", 12.3, 17_000.0, 9, 7, 1, 0, 1)
SPOKEN = [
    Spoken("sixty-four degrees ten forty-four", "sixty four degrees ten forty four", "right", 14.0, True, ""),
    Spoken("done", "done", "right", 24.0, False, "missed call"),
    Spoken("what is next " * 9, "", "not heard", None, False, ""),
]


def test_the_report_states_its_figures_and_what_they_are_not() -> None:
    """All counts are in the report, and that voices and burner are synthetic."""
    text = "\n".join(rehearsal_report(FIGURES, SPOKEN))
    assert "readings: 9; taken right at once 7, right after a question 1, wrong 0, lost 1" in text
    assert "orders and answers: 1 not heard, 1 right" in text
    assert "a day of 4.7 h in 12 s" in text
    assert "synthetic: these are no figures of a real kettle" in text
    assert "(missed call)" in text


def test_the_report_fits_the_screen() -> None:
    """No line of the report is wider than 100 columns, however much was said."""
    assert max(len(line) for line in rehearsal_report(FIGURES, SPOKEN)) <= 100
