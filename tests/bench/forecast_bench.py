"""How good the forecasts are on simulated days, and how fast: prints the tables of DEVELOPERS.md.

Run it from the project's folder: `PYTHONPATH=tests:. python tests/bench/forecast_bench.py`.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
from brew_day import EXAMPLES, BrewDay, example
from simulated_chill import LEARNT_SD, many_chills
from simulated_kettle import errors_after_three_days, narrower_after_three_days, shares_inside

from assistant.day import advice, cooling, estimate
from assistant.day.bitterness_of_day import bitterness_of_day

CASES = ((0.0,), (0.0, 30.0), (0.0, 20.0, 40.0), (0.0, 20.0, 40.0, 60.0))
CHILL_CASES = ((120.0,), (120.0, 300.0), (120.0, 300.0, 480.0, 660.0))
DAYS = 1000
RIGS = 300
TIMES = 100


def in_chill(name: str) -> tuple[BrewDay, Callable[[], object]]:
    """A day of the plan `name` with four readings of the boil and four of the chill; what forecasts all of it."""
    day = BrewDay.opened(example(name))
    day.to_the_boil()
    litres = day.plan.volume_before_boil_l
    day.types(f"{litres:.1f} litres")
    day.minutes_pass(30)
    points = 1000.0 * (day.plan.beer.gravity_before_boil_sg - 1.0)
    degrees = "68 f" if day.plan.units.temperature.value == "°F" else "20 c"
    day.types(f"{degrees} {1.0 + 1.06 * points / 1000.0:.4f} sg", f"{litres - 1.6:.1f} litres")
    boiling, boiling_s = day.state, day.now_s
    day.minutes_pass(day.plan.beer.boil_min - 30.0)
    day.types("knockout", "done", "water is on")
    for minutes in (3.0, 3.0, 3.0, 3.0):
        day.minutes_pass(minutes)
        since_s = 0.0 if day.state.chill_on_s is None else day.now_s - day.state.chill_on_s
        day.types(f"{14.0 + 84.0 * math.exp(-since_s / 420.0):.0f} c")

    def everything() -> object:
        return (
            advice.forecast(day.plan, boiling, boiling_s),
            bitterness_of_day(day.plan, day.state, day.now_s),
            cooling.chill_forecast(day.plan, day.state),
        )

    return day, everything


def whole_forecast_s() -> list[float]:
    """Times of a whole forecast [s] of each plan: gravity, volume, bitterness, chill; nothing kept from before."""
    taken = []
    for name in EXAMPLES:
        _, everything = in_chill(name)
        for _ in range(TIMES):
            estimate._judged.cache_clear()
            began = time.perf_counter()
            everything()
            taken.append(time.perf_counter() - began)
    return taken


def boil_table() -> None:
    """One row a case: when was read, the bands, the error beside that of the last gravity alone."""
    print("| read after (min of boil) | gravity inside its band | volume | with one bad reading | volume |", end="")
    print(" error, points | last gravity | less | band after three days |")
    print("|---|---|---|---|---|---|---|---|---|")
    for times in CASES:
        clean, bad = shares_inside(times, DAYS, seed=1), shares_inside(times, DAYS, seed=1, bad=1.0)
        ours, theirs = errors_after_three_days(times, RIGS, seed=2)
        narrower, _ = narrower_after_three_days(times, RIGS, seed=3)
        shares = " | ".join(f"{100.0 * share:.1f} %" for share in (*clean, *bad))
        errors = f"{1000.0 * ours:.2f} | {1000.0 * theirs:.2f} | {100.0 * (1.0 - ours / theirs):.0f} %"
        when = ", ".join(f"{minutes:.0f}" for minutes in times)
        print(f"| {when} | {shares} | {errors} | {np.mean(narrower):.2f} |")


def chill_table() -> None:
    """One row a case: when was read, what was known of the rig, how many bands hold the time, and their width."""
    print(
        "| read after (s of chill) | chiller | time inside its band | width, min | one bad in five days |", end=""
    )
    print(" one bad each day |")
    print("|---|---|---|---|---|---|")
    for times in CHILL_CASES:
        for what, sd in (("by the plan", None), ("known", LEARNT_SD)):
            told = [many_chills(times, DAYS, seed=1, log_tau_sd=sd, bad=bad) for bad in (0.0, 0.2, 1.0)]
            shares = " | ".join(f"{100.0 * item.inside:.1f} %" for item in told[1:])
            when = ", ".join(f"{seconds:.0f}" for seconds in times)
            print(f"| {when} | {what} | {100.0 * told[0].inside:.1f} % | {told[0].width_min:.1f} | {shares} |")


def main() -> None:
    """Print both tables, and how long a forecast takes."""
    boil_table()
    print()
    chill_table()
    milliseconds = 1000.0 * np.array(whole_forecast_s())
    print(
        f"\na whole forecast (gravity, volume, bitterness, chill): median {np.median(milliseconds):.1f} ms,"
        f" 90 % {np.quantile(milliseconds, 0.9):.1f} ms, worst {milliseconds.max():.1f} ms"
    )


if __name__ == "__main__":
    main()
