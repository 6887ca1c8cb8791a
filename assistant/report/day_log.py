"""A day as plain text: what was called, what was heard, what was made of it, in order."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any, Final

from assistant.day import facts as f
from assistant.day.facts import Fact, Recorded
from assistant.day.rig import Figure


def day_log(recorded: Iterable[Recorded]) -> tuple[str, ...]:
    """One line for each fact that a brewer wants to read again; withdrawn turns are marked."""
    items = tuple(recorded)
    withdrawn = {item.fact.turn for item in items if isinstance(item.fact, f.TurnWithdrawn)}
    lines = []
    for item in items:
        make = _LINES.get(type(item.fact))
        if make is not None:
            mark = "  (taken back)" if item.turn in withdrawn else ""
            lines.append(f"{item.moment.wall:%H:%M:%S}  {make(item.fact)}{mark}")
    return tuple(lines)


def _heard(fact: f.UtteranceHeard) -> str:
    doubt = f", {fact.doubt}" if fact.doubt else ""
    return f'heard     "{fact.words}"  [{fact.decision}{doubt}, {fact.confidence:.2f}, {fact.engine}]'


def _gravity(fact: f.GravityRead) -> str:
    return (
        f"gravity   {fact.said} at {fact.sample_c:.1f} °C by {fact.instrument}"
        f" -> SG {fact.gravity_sg:.4f} ± {fact.sd_sg:.4f} at 20 °C"
    )


def _call(fact: f.CallMade) -> str:
    late = f", {fact.late_s:.0f} s late" if fact.late_s >= 1.0 else ""
    again = f", time {fact.occurrence}" if fact.occurrence > 1 else ""
    return f"call      {fact.key}{again}{late}"


def _in_unit(kind: str, value: float) -> str:
    shown = {"gravity": f"SG {value:.4f}", "volume": f"{value:.1f} L at 20 °C", "temperature": f"{value:.1f} °C"}
    return shown.get(kind, f"{value:g}")


def _known(fact: f.RigKnown) -> str:
    told = "; ".join(f"{_figure(name, mean, sd)}, {count} d" for name, mean, sd, count in fact.figures)
    without = f"; left out: {', '.join(fact.left_out)}" if fact.left_out else ""
    return f"rig       {fact.rig}, by {', '.join(fact.days)}{without}: {told}"


def _learned(fact: f.RigLearned) -> str:
    told = "; ".join(_figure(name, value, sd) for name, value, sd in fact.figures)
    return f"rig       {fact.rig}, this day alone: {told}"


def _figure(name: str, value: float, sd: float) -> str:
    if name == Figure.CHILL_LOG_TAU:
        return f"chill: 63 % of the way in {math.exp(value) / 60.0:.1f} min ± {100.0 * sd:.0f} %, 20 L"
    return f"{name} {value:.3g} ± {sd:.2g}"


def _advice(fact: f.AdviceGiven) -> str:
    """Each way with its size, and where it ends where that is known."""
    ways = []
    for place, kind in enumerate(fact.kinds):
        size = f" {fact.sizes[place]:g}" if fact.sizes[place] else ""
        chance = f", {100.0 * fact.chances[place]:.0f} %" if fact.chances else ""
        ways.append(f"{kind}{size} (ends at SG {fact.results_sg[place]:.4f}{chance})")
    refused = [f"not {kind}: {why}" for kind, _, why in fact.not_possible]
    return f"advice    {'; '.join((*ways, *refused))}"


def _inquiry_asked(fact: f.InquiryAsked) -> str:
    known = f": {_values(fact.given)}" if fact.given else ""
    again = f", time {fact.times}" if fact.times > 1 else ""
    return f"question  {fact.topic or 'begun'}{known}{f', {fact.slot}?' if fact.slot else ''}{again}"


def _values(given: tuple[tuple[str, str, str], ...]) -> str:
    return ", ".join(f"{name} {value} {unit}".rstrip() for name, value, unit in given)


_LINES: Final[dict[type[Fact], Callable[[Any], str]]] = {
    f.DayBegun: lambda fact: f"day       {fact.beer} begun",
    f.DayResumed: lambda fact: f"day       resumed after {fact.away_s:.0f} s",
    f.StageReached: lambda fact: f"stage     {fact.stage.value}",
    f.UtteranceHeard: _heard,
    f.QuestionAsked: lambda fact: f"asked     {' or '.join(fact.candidates)} {fact.unit} ({fact.doubt})",
    f.QuestionClosed: lambda fact: f"answer    {fact.reason}",
    f.InquiryAsked: _inquiry_asked,
    f.InquiryAnswered: lambda fact: f"answered  {fact.topic}: {_values(fact.given)} -> {fact.answer}",
    f.InquiryNotUnderstood: lambda fact: f"question  {fact.topic}: not understood",
    f.InquiryClosed: lambda fact: f"question  left: {fact.reason}",
    f.GravityRead: _gravity,
    f.GravityWaiting: lambda fact: f"gravity   {fact.said} as read, waits for its temperature",
    f.TemperatureRead: lambda fact: f"temp.     {fact.said} = {fact.temperature_c:.1f} °C ± {fact.sd_c:.1f}",
    f.VolumeRead: lambda fact: f"volume    {fact.said} = {fact.volume_l:.1f} L, {fact.cold_l:.1f} L at 20 °C",
    f.OtherRead: lambda fact: f"reading   {fact.value} {fact.unit}",
    f.ReadingRefused: lambda fact: f"refused   {fact.said}: {fact.why}",
    f.ReadingSetAside: lambda fact: (
        f"set aside {fact.kind} {_in_unit(fact.kind, fact.value)}: {_in_unit(fact.kind, fact.expected)} was"
        f" expected, {fact.apart_sd:.1f} standard deviations off; the forecast does without it"
    ),
    f.SetAsideConfirmed: lambda fact: (
        f"confirmed {fact.kind} {_in_unit(fact.kind, fact.value)} agrees with the one set aside; both count"
    ),
    f.RigKnown: _known,
    f.RigLearned: _learned,
    f.TurnWithdrawn: lambda fact: "taken back",
    f.AdviceGiven: _advice,
    f.AdviceChosen: lambda fact: f"chosen    {fact.kind} {fact.size:g}",
    f.BitternessMoved: lambda fact: f"bitter    {fact.ibu:.1f} IBU, planned {fact.planned_ibu:.1f}",
    f.MakeUpTaken: lambda fact: f"make-up   addition {fact.addition + 1} {1000.0 * fact.mass_kg:+.0f} g",
    f.MakeUpLeft: lambda fact: "make-up   left as planned",
    f.CallMade: _call,
    f.CallAcknowledged: lambda fact: f"done      {fact.key}",
    f.CallSkipped: lambda fact: f"skipped   {fact.key}",
    f.CallDropped: lambda fact: f"dropped   {fact.key}: {fact.why}",
    f.BoilStarted: lambda fact: f"boil      started, {fact.minutes:g} min",
    f.BoilHeld: lambda fact: "boil      held",
    f.BoilResumed: lambda fact: "boil      going on",
    f.BoilChanged: lambda fact: f"boil      {fact.minutes:+g} min",
    f.RestStarted: lambda fact: f"rest      {fact.index + 1}",
    f.ItemWet: lambda fact: f"sanitised {fact.name}",
    f.NoteTaken: lambda fact: f"note      {fact.words} {fact.sound_file}".rstrip(),
    f.DeviceReported: lambda fact: f"device    {fact.device}: {fact.sentence}",
    f.OrderRefused: lambda fact: f"refused   {fact.command}: {fact.why}",
}
