"""How good the forecast of the end of the boil is, on simulated days: prints the table of DEVELOPERS.md.

Run it from the project's folder: `PYTHONPATH=tests python tests/bench/forecast_bench.py`.
"""

from __future__ import annotations

import time

from simulated_kettle import BOIL_MIN, PLAN, errors_after_three_days, shares_inside

from assistant.day import estimate as e

CASES = ((0.0,), (0.0, 30.0), (0.0, 20.0, 40.0), (0.0, 20.0, 40.0, 60.0))
DAYS = 1000
RIGS = 300


def main() -> None:
    """Print one row a case: when was read, the bands, the error beside that of the last gravity alone."""
    print("| read after (min of boil) | gravity inside its band | volume | error, points | last gravity | less |")
    print("|---|---|---|---|---|---|")
    for times in CASES:
        of_gravity, of_volume = shares_inside(times, DAYS, seed=1)
        ours, theirs = errors_after_three_days(times, RIGS, seed=2)
        when = ", ".join(f"{minutes:.0f}" for minutes in times)
        less = f"{100.0 * (1.0 - ours / theirs):.0f} %"
        shares = f"{100.0 * of_gravity:.1f} % | {100.0 * of_volume:.1f} %"
        print(f"| {when} | {shares} | {1000.0 * ours:.2f} | {1000.0 * theirs:.2f} | {less} |")
    seen = [
        e.Seen(e.Quantity.GRAVITY, 0.0, 1.044, 0.001),
        e.Seen(e.Quantity.VOLUME, 0.0, 25.0, 0.3),
        e.Seen(e.Quantity.GRAVITY, 30.0, 1.047, 0.001),
    ]
    began = time.perf_counter()
    for _ in range(50):
        e.end_of_boil(e.follow(PLAN, seen), BOIL_MIN)
    print(f"one forecast from {len(seen)} readings: {(time.perf_counter() - began) / 50 * 1000.0:.1f} ms")


if __name__ == "__main__":
    main()
