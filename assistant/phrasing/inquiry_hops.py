"""Answers to questions about bitterness: by what the hops go through, and by the trade's tables."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from assistant.calculation.bitterness import bitterness, mass_to_make_up_kg
from assistant.calculation.boil_history import Points, cooling_points
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort, rager_ibu, tinseth_ibu
from assistant.calculation.limits import require_at_least, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.steam import wort_boiling_point_c
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure
from assistant.quantities import Measured
from assistant.understanding.inquiry_words import numbered

_LONGEST_BOIL_S: Final = 4.0 * 3600.0
_LONGEST_STAND_S: Final = 24.0 * 3600.0
_ROOM: Final = Measured(20.0, 3.0)  # a judgement
# Twenty litres in a closed can lose two thirds of their heat in about five hours; a judgement.
_CAN_S: Final = Measured(5.0 * 3600.0, 1.5 * 3600.0)
_TIMES_TAU: Final = 5.0


def _wort(given: Given) -> HoppedWort:
    return HoppedWort(given.measured("volume of wort"), given.measured("gravity of the wort"))


def _boiling_c(given: Given, wort: HoppedWort) -> float:
    return wort_boiling_point_c(wort.sg, given.air_pa).value


def _boil_s(given: Given, name: str = "time in the boil") -> float:
    boil_s = given.exact(name)
    require_within("The time in the boil", boil_s, 0.0, _LONGEST_BOIL_S, "s")
    return boil_s


def _hops(given: Given, group: int, in_at_s: float) -> HopAddition:
    mass_kg, alpha = (given.measured(numbered(name, group)) for name in ("hops", "alpha acid"))
    return HopAddition(mass_kg, alpha, in_at_s)


def _sum(results: list[Result]) -> Result:
    """What several additions give by a table; what it strays, it strays for all of them alike."""
    total = sum(item.value for item in results)
    first = results[0]
    return Result(total, sum(item.sd for item in results), first.unit, first.source, first.verdict, first.note)


def _bitterness(given: Given) -> Reply:
    wort = _wort(given)
    groups = range(1, given.groups("hops") + 1)
    times_s = [_boil_s(given, numbered("time in the boil", group)) for group in groups]
    longest_s = max(times_s)
    boiling_c = _boiling_c(given, wort)
    additions = [_hops(given, group, longest_s - time_s) for group, time_s in zip(groups, times_s, strict=True)]
    history = [(0.0, boiling_c), (longest_s, boiling_c)]
    ours = bitterness(additions, history, wort, longest_s)

    def by(table: Callable[[HopAddition, float, HoppedWort], Result]) -> Result:
        return _sum([table(item, time_s, wort) for item, time_s in zip(additions, times_s, strict=True)])

    tinseth, rager = by(tinseth_ibu), by(rager_ibu)
    sentence = (
        f"{_ibu(ours)}, chilled at once; {figure(tinseth.value, 0)} by Tinseth, {figure(rager.value, 0)} by Rager."
    )
    results = (
        Labelled("bitterness", ours),
        Labelled("bitterness by Tinseth", tinseth),
        Labelled("bitterness by Rager", rager),
    )
    return Reply(sentence, results)


def _ibu(result: Result) -> str:
    return f"{figure(result.value, 0)} IBU, give or take {figure(2.0 * result.sd, 0)}"


def _coarse(result: Result) -> str:
    return " Coarse: nobody measured rates so cool." if result.verdict is Verdict.NEAR_LIMIT else ""


def _hop_stand(given: Given) -> Reply:
    wort = _wort(given)
    seconds, celsius = given.exact("time of the stand"), given.exact("temperature of the stand")
    require_within("The time of the stand", seconds, 0.0, _LONGEST_STAND_S, "s")
    history = [(0.0, celsius), (seconds, celsius)]
    result = bitterness([_hops(given, 1, 0.0)], history, wort, seconds)
    sentence = f"{_ibu(result)}, if it stays at {given.temperature(celsius)} and is chilled at once after it."
    return Reply(sentence + _coarse(result), (Labelled("bitterness", result),))


def _no_chill(given: Given) -> Reply:
    wort, boil_s = _wort(given), _boil_s(given)
    boiling_c = _boiling_c(given, wort)
    tau_s = given.measured_or("time to fall to a third", _CAN_S, "s").value
    require_within("The time to fall to a third", tau_s, 60.0, _LONGEST_STAND_S, "s")
    air_c = given.measured_or("temperature of the air", _ROOM, "°C").value
    end_s = boil_s + _TIMES_TAU * tau_s
    slow = _history(boil_s, boiling_c, cooling_points(boil_s, boiling_c, air_c, tau_s, end_s))
    hops = [_hops(given, 1, 0.0)]
    result = bitterness(hops, slow, wort, end_s)
    quick = bitterness(hops, _history(boil_s, boiling_c, ()), wort, boil_s)
    sentence = f"{_ibu(result)}; chilled at once it would be {figure(quick.value, 0)}."
    results = (Labelled("bitterness", result), Labelled("bitterness if chilled at once", quick))
    return Reply(sentence, results)


def _history(boil_s: float, boiling_c: float, after: Points) -> Points:
    return ((0.0, boiling_c), (boil_s, boiling_c), *after[1:])


def _make_up(given: Given) -> Reply:
    wort, boil_s = _wort(given), _boil_s(given)
    left_s = _boil_s(given, "time left in the boil")
    require_at_least("The time of the forgotten hops", boil_s, left_s, "s")
    boiling_c = _boiling_c(given, wort)
    history = _history(boil_s, boiling_c, ())
    forgotten = _hops(given, 1, 0.0)
    wanted = bitterness([forgotten], history, wort, boil_s)
    name = "alpha acid of the later hops"
    alpha = given.measured(name) if given.has(name) else forgotten.alpha_fraction
    later = HopAddition(Measured(0.0, 0.0), alpha, boil_s - left_s)
    result = mass_to_make_up_kg(wanted.value, [], later, history, wort)
    same = "" if given.has(name) else " of the same hops"
    sentence = (
        f"{given.small_mass(result.value, given.plan.units.small_mass)}{same} with {given.minutes(left_s / 60.0)} "
        f"left, for {figure(wanted.value, 0)} IBU."
    )
    return Reply(sentence, (Labelled("hops", result), Labelled("bitterness", wanted)), "Mind the foam.")


HOPS: Final[dict[str, Method]] = {
    "bitterness": Method(_bitterness, bitterness),
    "hop stand": Method(_hop_stand, bitterness),
    "no-chill hops": Method(_no_chill, bitterness),
    "make-up hops": Method(_make_up, mass_to_make_up_kg),
}
