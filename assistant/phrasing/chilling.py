"""How the chill will end, in one breath: when, or where it stops and what helps."""

from __future__ import annotations

from assistant.calculation.chill import ChillEnd
from assistant.day.cooling import ChillForecast
from assistant.day.plan import Plan
from assistant.phrasing import numbers, units

# A time that may be this many times itself is none to plan by (judgement).
_WORTH_TELLING = 2.5


def chill_sentence(ahead: ChillForecast, wanted_c: float, plan: Plan, now_s: float) -> str:
    """When `wanted_c` [°C] will be there with its nine-in-ten band, or that it will not."""
    wanted = units.temperature(wanted_c, plan)
    tap = f"your water is near {units.temperature(ahead.coolant_c.value, plan)}"
    stops = f"near {units.temperature(ahead.stops_c.value, plan)}"
    if ahead.end is ChillEnd.STALLS:
        return f"It will stop {stops}: {tap}. Ice bath from there, or pitch later."
    time = _time(ahead, now_s)
    if ahead.end is ChillEnd.REACHES or ahead.latest_s is not None:
        return f"{wanted.capitalize()} {time}. Stir, it helps." if time else f"Going for {wanted}."
    if ahead.stops_c.value > wanted_c or not time:
        return f"It may stop {stops}: {tap}. Have ice ready."
    return f"{wanted.capitalize()} {time}, or it stops short: {tap}. Have ice ready."


def _time(ahead: ChillForecast, now_s: float) -> str:
    """Such as "in about fourteen minutes, give or take three"; from and to where the band is lopsided."""
    if ahead.reached_s is None or ahead.earliest_s is None:
        return ""
    early, middle = (_minutes(at_s - now_s) for at_s in (ahead.earliest_s, ahead.reached_s))
    if ahead.latest_s is None:
        return f"in {_span(early)} at best"
    late = _minutes(ahead.latest_s - now_s)
    if late > _WORTH_TELLING * middle + 1:
        return ""
    if abs((late - middle) - (middle - early)) > 1:
        return f"in {numbers.cardinal(early)} to {_span(late)}"
    off = max(1, round((late - early) / 2.0))
    return f"in about {_span(middle)}, give or take {numbers.cardinal(off)}"


def _minutes(seconds: float) -> int:
    return max(1, round(seconds / 60.0))


def _span(minutes: int) -> str:
    return numbers.span_words(60.0 * minutes)
