"""Density of sucrose solutions: the stand-in for wort, whose extract weighs nearly the same."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from assistant.calculation import water
from assistant.calculation.limits import require_within

HIGHEST_MASS_FRACTION: Final = 0.70
# Beer can be lighter than water; the polynomial is followed a little below nothing for it.
LOWEST_CONTINUED: Final = -0.07

# _C[k][i]: factor of w^(i+1) x^k, x = (t - 20)/100. One printing has -3.9646 for -3.9643; it does not matter.
_C: Final = (
    (385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890),
    (-46.2720, -7.1720, 1.1597, 5.1126, 17.5254),
    (59.7712, 7.2491, 12.3630, -35.4791),
    (-47.2207, -21.6977, 27.6301),
    (18.3184, 12.3081),
)


def density_kg_m3(mass_fraction: float, temperature_c: float) -> float:
    """Give the density [kg/m³] of sucrose in water, `mass_fraction` [kg/kg], at `temperature_c` [°C].

    ρ = ρ_water(t) + Σ_k x^k Σ_i c[k][i] w^(i+1), x = (t - 20)/100.

    Bias: within 0.07 kg/m³ of a handbook table (which prints 0.1) at 20 °C; above 50 °C no second source was
    found, take 0.5 kg/m³.

    Valid: mass fraction 0 to 0.70, 0 to 100 °C.

    Source: Bubnik, Kadlec, Urban and Bruhns, Sugar Technologists Manual (Bartens, 1995), p. 164; coefficients
    seen in two public codes that agree, not in the book.

    Raises:
        OutsideRange: outside that range.

    >>> density_kg_m3(0.12, 20.0)
    1046.44
    """
    require_within("The mass fraction of sugar", mass_fraction, 0.0, HIGHEST_MASS_FRACTION)
    return water.density_kg_m3(temperature_c) + excess_kg_m3(mass_fraction, temperature_c)


def excess_kg_m3(mass_fraction: float, temperature_c: float) -> float:
    """Give how much denser [kg/m³] than water a solution of `mass_fraction` [kg/kg] is at `temperature_c` [°C].

    Below zero it is the smooth continuation of the polynomial: not a solution, but what "degrees Plato" of a
    beer lighter than water means.

    Valid: mass fraction -0.07 to 0.70, 0 to 100 °C.

    Source: Bubnik et al. (1995), as `density_kg_m3`.

    Raises:
        OutsideRange: outside that range.

    >>> excess_kg_m3(0.10, 20.0)
    39.912
    """
    require_within("The mass fraction of sugar", mass_fraction, LOWEST_CONTINUED, HIGHEST_MASS_FRACTION)
    require_within("The temperature of the wort", temperature_c, water.LOWEST_C, water.HIGHEST_C, "°C")
    return _polynomial(_coefficients_of_w(temperature_c), mass_fraction)


def mass_fraction_from_excess(excess_kg_m3: float, temperature_c: float) -> float:
    """Give the mass fraction [kg/kg] that is `excess_kg_m3` [kg/m³] denser than water at `temperature_c` [°C].

    Inverse of `excess_kg_m3` by Newton's rule inside a bracket that always shrinks.

    Valid: results from -0.07 to 0.70, 0 to 100 °C.

    Source: inversion of Bubnik et al. (1995).

    Raises:
        OutsideRange: outside that range; the message gives the limits as densities above water.

    >>> mass_fraction_from_excess(39.9122, 20.0)
    0.1000
    """
    require_within("The temperature of the wort", temperature_c, water.LOWEST_C, water.HIGHEST_C, "°C")
    coefficients = _coefficients_of_w(temperature_c)
    low, high = LOWEST_CONTINUED, HIGHEST_MASS_FRACTION
    floor, ceiling = _polynomial(coefficients, low), _polynomial(coefficients, high)
    require_within("The density above that of water", excess_kg_m3, floor, ceiling, "kg/m³")
    slopes = tuple((power + 1) * coefficient for power, coefficient in enumerate(coefficients))
    guess = min(max(excess_kg_m3 / coefficients[0], low), high)
    for _ in range(100):
        error = _polynomial(coefficients, guess) - excess_kg_m3
        if error > 0.0:
            high = guess
        else:
            low = guess
        slope = _polynomial(slopes, guess) / guess if guess else slopes[0]
        step = guess - error / slope
        following = step if low <= step <= high else (low + high) / 2.0
        if abs(following - guess) < 1e-15:
            return following
        guess = following
    return guess


def mass_fraction_from_density(density_kg_m3: float, temperature_c: float) -> float:
    """Give the mass fraction [kg/kg] of the solution of `density_kg_m3` [kg/m³] at `temperature_c` [°C].

    Inverse of `density_kg_m3`.

    Valid: densities from that of water to that of a 0.70 solution, 0 to 100 °C.

    Source: inversion of Bubnik et al. (1995).

    Raises:
        OutsideRange: outside that range, with the limits as densities.

    >>> mass_fraction_from_density(1046.44, 20.0)
    0.1200
    """
    lightest = water.density_kg_m3(temperature_c)
    heaviest = lightest + excess_kg_m3(HIGHEST_MASS_FRACTION, temperature_c)
    require_within("The density of the solution", density_kg_m3, lightest, heaviest, "kg/m³")
    return max(0.0, mass_fraction_from_excess(density_kg_m3 - lightest, temperature_c))


def _coefficients_of_w(temperature_c: float) -> tuple[float, ...]:
    return _collected(_C, temperature_c)


# Nearly all that is reckoned is at 20 °C.
@lru_cache(maxsize=64)
def _collected(rows: tuple[tuple[float, ...], ...], temperature_c: float) -> tuple[float, ...]:
    x = (temperature_c - 20.0) / 100.0
    return tuple(sum(row[i] * x**k for k, row in enumerate(rows) if i < len(row)) for i in range(len(rows[0])))


def _polynomial(coefficients: tuple[float, ...], w: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = (total + coefficient) * w
    return total
