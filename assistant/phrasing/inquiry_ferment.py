"""Answers to questions of the fermentation: how far it is, where it ends, what it made."""

from __future__ import annotations

from typing import Final

from assistant.calculation import scales
from assistant.calculation.fermentation import (
    alcohol_by_volume,
    alcohol_by_weight,
    attenuation,
    energy,
    real_extract,
)
from assistant.calculation.fermentation_gas import RoomAir, gas_made_l, in_a_closed_room
from assistant.calculation.fermentation_progress import (
    STEADY_SPAN_S,
    Finish,
    FinishCall,
    GravityAt,
    Stuck,
    forecast_end,
    is_finished,
    is_stuck,
)
from assistant.calculation.fermenting_refractometer import gravity_from_reading
from assistant.calculation.results import Result, Verdict
from assistant.calculation.uncertainty import propagate
from assistant.day.plan import Refractometer
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure, rough
from assistant.quantities import Measured, OutsideRange, Unit
from assistant.understanding.inquiry_words import numbered

_DAY_S: Final = 86_400.0
_SURE: Final = 1.645  # one side, 95 %, as `fermentation_progress`
_EXPECTED_SD_SG: Final = 0.002  # what a recipe says of the end; a judgement
_CUBIC_FEET: Final = 1.0 / 28.316846592
_GLASS_L: Final = Measured(0.33, 0.0)
_NOT_IN_BOTTLES: Final = "Do not bottle it: glass bursts."
_SMOTHERS: Final = "It smothers and lies low: air the room."
_ROOM_WORDS: Final = {
    RoomAir.LOW: "within what a working day allows",
    RoomAir.HIGH: "too much for a working day",
    RoomAir.DANGEROUS: "dangerous within minutes",
}


def _gravities(given: Given) -> tuple[Measured, Measured]:
    return given.measured("original gravity"), given.measured("final gravity")


def _readings(given: Given) -> list[GravityAt]:
    """The gravities in order of their days, in whatever order they were said."""
    readings, group = [], 1
    while given.has(numbered("gravity", group)):
        day = given.exact(numbered("day of it", group))
        readings.append(GravityAt(day * _DAY_S, given.measured(numbered("gravity", group))))
        group += 1
    return sorted(readings, key=lambda reading: reading.at_s)


def _expected(given: Given) -> Measured | None:
    name = "gravity expected"
    return Measured(given.exact(name), _EXPECTED_SD_SG) if given.has(name) else None


def _fall(call: FinishCall) -> Result:
    if call.fall is None:
        raise OutsideRange(call.reason)
    return call.fall


def _points_a_day(given: Given, points: float) -> str:
    if given.plan.units.gravity is Unit.PLATO:
        return f"{figure(points / 4.0, 1)} plato a day"
    words = figure(points, 1)
    return f"{words} {'point' if words == 'one' else 'points'} a day"


def _falling(given: Given, fall: Result) -> str:
    """ "zero point five points a day, give or take zero point six"."""
    doubt = _SURE * fall.sd / (4.0 if given.plan.units.gravity is Unit.PLATO else 1.0)
    return f"{_points_a_day(given, fall.value)}, give or take {figure(doubt, 1)}"


def _finished(given: Given) -> Reply:
    readings = _readings(given)
    call = is_finished(readings, _expected(given))
    fall = _fall(call)
    results = (Labelled("fall", fall),)
    if call.state is Finish.FINISHED and call.level is not None:
        most = _points_a_day(given, max(0.0, fall.value + _SURE * fall.sd))
        sentence = f"Finished: steady at {given.gravity(call.level.value)}; it falls less than {most}."
        return Reply(sentence, results, "Only if it stood warm: cold beer wakes again, and bottles burst.")
    if call.state is Finish.NOT_FINISHED:
        return Reply(f"Not finished: it falls {_falling(given, fall)}.", results, _NOT_IN_BOTTLES)
    if call.level is not None:
        sentence = (
            f"Cannot tell: it stands at {given.gravity(call.level.value)}, above what you expect; it may be stuck."
        )
    elif fall.value + _SURE * fall.sd < 0.0:
        sentence = "Cannot tell: it seems to rise. Check the sample for gas and warmth."
    elif readings[-1].at_s - readings[0].at_s < STEADY_SPAN_S:
        sentence = "Cannot tell yet: the readings are too close. Take one at least two days after the first."
    else:
        sentence = f"Cannot tell yet: it falls {_falling(given, fall)}. Read again in a day or two."
    return Reply(sentence, results, _NOT_IN_BOTTLES)


def _end(given: Given) -> Reply:
    end = forecast_end(_readings(given), _expected(given))
    days = end.days_left
    vague = " The readings say little yet." if end.final_sg.verdict is Verdict.NEAR_LIMIT else ""
    sentence = (
        f"{given.gravity(end.final_sg.value)}, give or take {given.gravity_span(end.final_sg.sd)}, in "
        f"{figure(days.value, 1)} days, give or take {figure(2.0 * days.sd, 1)}.{vague}"
    )
    return Reply(sentence, (Labelled("end", end.final_sg), Labelled("days left", days)))


def _stuck(given: Given) -> Reply:
    readings, expected = _readings(given), Measured(given.exact("gravity expected"), _EXPECTED_SD_SG)
    fall = _fall(is_finished(readings))
    call = is_stuck(readings, expected)
    above = Measured(1000.0 * (readings[-1].sg.value - expected.value), 0.0)
    above_sd = 1000.0 * (readings[-1].sg.sd ** 2 + expected.sd**2) ** 0.5
    results = (
        Labelled("fall", fall),
        Labelled("above what is expected", Result(above.value, above_sd, "points", "gravity trend")),
    )
    height = f"{figure(above.value, 0)} points above {given.gravity(expected.value)}"
    if given.plan.units.gravity is Unit.PLATO:
        height = f"{figure(above.value / 4.0, 1)} plato above {given.gravity(expected.value)}"
    if call.state is Stuck.STUCK:
        return Reply(
            f"Stuck: steady {height}. Warm it, rouse the yeast, and read again in two days.",
            results,
            _NOT_IN_BOTTLES,
        )
    if call.state is Stuck.CANNOT_TELL:
        return Reply(f"Cannot tell yet: it is {height}. Read again in a day or two.", results, _NOT_IN_BOTTLES)
    if fall.value - _SURE * fall.sd > 0.0:
        return Reply(f"Not stuck: it falls {_falling(given, fall)}.", results, _NOT_IN_BOTTLES)
    return Reply(f"Not stuck: it is where {given.gravity(expected.value)} was expected, within the doubt.", results)


def _alcohol(given: Given) -> Reply:
    beer, by_weight = alcohol_by_volume(*_gravities(given)), alcohol_by_weight(*_gravities(given))
    sentence = (
        f"{figure(beer.balling.value, 1)} per cent by volume, give or take {figure(2.0 * beer.balling.sd, 1)}; "
        f"the short rule says {figure(beer.short_rule.value, 1)}."
    )
    results = (
        Labelled("alcohol", beer.balling),
        Labelled("alcohol by the short rule", beer.short_rule),
        Labelled("alcohol by weight", by_weight),
    )
    return Reply(sentence, results)


def _attenuation(given: Given) -> Reply:
    beer = attenuation(*_gravities(given))
    doubt = figure(2.0 * max(beer.apparent.sd, beer.real.sd), 0)
    sentence = (
        f"{figure(beer.apparent.value, 0)} per cent apparent, {figure(beer.real.value, 0)} per cent real, "
        f"give or take {doubt}."
    )
    return Reply(
        sentence, (Labelled("apparent attenuation", beer.apparent), Labelled("real attenuation", beer.real))
    )


def _real_extract(given: Given) -> Reply:
    left = real_extract(*_gravities(given))
    sentence = f"{figure(left.value, 1)} plato truly left, give or take {figure(2.0 * left.sd, 1)}."
    return Reply(sentence, (Labelled("real extract", left),))


def _calories(given: Given) -> Reply:
    glass_l = given.measured_or("volume of a glass", _GLASS_L, "L").value
    result = energy(*_gravities(given), glass_l)
    sentence = (
        f"{figure(result.value, 0)} kilocalories in {given.small_volume(glass_l)}, give or take "
        f"{figure(2.0 * result.sd, 0)}."
    )
    return Reply(sentence, (Labelled("energy", result),))


def _refractometer(given: Given) -> Reply:
    tool = given.plan.rig.refractometer or Refractometer()
    original = propagate(scales.plato_from_sg, given.measured("original gravity"))
    reading = Measured(scales.sg_to(given.exact("reading now"), Unit.BRIX), tool.sd_brix)
    factor = given.assumed("wort factor", Measured(tool.wort_factor, 0.01), "")
    beer = gravity_from_reading(original, reading, factor)
    others = [item.value for item in beer.published if item.verdict is not Verdict.NEAR_LIMIT]
    lowest, highest = given.gravity(min(others)), given.gravity(max(others))
    span = lowest if lowest == highest else f"{lowest} to {highest}"
    sentence = (
        f"{given.gravity(beer.model.value)}, give or take {given.gravity_span(beer.model.sd)}; published equations "
        f"say {span}. A hydrometer settles it."
    )
    spread = Result(1000.0 * beer.spread_sg, 0.0, "points", beer.model.source)
    published = tuple(Labelled(f"by {item.source}", item) for item in beer.published)
    return Reply(sentence, (Labelled("gravity", beer.model), *published, Labelled("spread of them", spread)))


def _carbon_dioxide(given: Given) -> Reply:
    made = gas_made_l(given.measured("volume of beer"), *_gravities(given))
    us = given.plan.units.volume is Unit.US_GALLON
    factor, unit = (_CUBIC_FEET, "cubic feet") if us else (1.0, "litres")
    sentence = (
        f"{figure(rough(made.value * factor), 0)} {unit} of carbon dioxide, give or take "
        f"{figure(rough(2.0 * made.sd * factor), 0)}"
    )
    results = (Labelled("carbon dioxide", made),)
    if not given.has("room"):
        return Reply(f"{sentence}.", results, _SMOTHERS)
    room = in_a_closed_room(Measured(made.value, made.sd), given.measured("room"))
    sentence += f"; shut in, {figure(100.0 * room.share.value, 1)} per cent of the air, {_ROOM_WORDS[room.air]}."
    return Reply(sentence, (*results, Labelled("share of the air", room.share)), _SMOTHERS)


FERMENT: Final[dict[str, Method]] = {
    "finished": Method(_finished, is_finished),
    "end": Method(_end, forecast_end),
    "stuck": Method(_stuck, is_stuck),
    "alcohol": Method(_alcohol, alcohol_by_volume),
    "attenuation": Method(_attenuation, attenuation),
    "real extract": Method(_real_extract, real_extract),
    "calories": Method(_calories, energy),
    "refractometer": Method(_refractometer, gravity_from_reading),
    "carbon dioxide": Method(_carbon_dioxide, gas_made_l),
}
