"""Molar masses from the standard atomic weights, water of crystallisation included."""

from __future__ import annotations

import re
from typing import Final

from assistant.quantities import OutsideRange

# Abridged to five figures, each inside the interval or uncertainty of the standard table of 2021.
ATOMIC_WEIGHTS: Final[dict[str, float]] = {
    "H": 1.0080,
    "C": 12.011,
    "O": 15.999,
    "Na": 22.990,
    "Mg": 24.305,
    "P": 30.974,
    "S": 32.06,
    "Cl": 35.45,
    "K": 39.098,
    "Ca": 40.078,
}

_TOKEN: Final = re.compile(r"([A-Z][a-z]?)(\d*)|(\()|\)(\d*)")
_HYDRATE: Final = re.compile(r"(\d*)(.+)")


def molar_mass_g(formula: str) -> float:
    """Give the molar mass [g/mol] of `formula`, such as "CaSO4.2H2O" or "Ca(OH)2"; a full stop joins water.

    Valid: H, C, O, Na, Mg, P, S, Cl, K and Ca.

    Source: Commission on Isotopic Abundances and Atomic Weights, standard atomic weights 2021, abridged.

    Raises:
        OutsideRange: an element that is not listed, or what is no formula.

    >>> molar_mass_g("CaSO4.2H2O")
    172.16
    >>> molar_mass_g("Ca(OH)2")
    74.09
    """
    total = 0.0
    for part in formula.split("."):
        matched = _HYDRATE.fullmatch(part)
        if matched is None:
            raise _no_formula(formula)
        total += int(matched[1] or 1) * _mass_of(matched[2], formula)
    return total


def _mass_of(part: str, formula: str) -> float:
    levels = [0.0]
    at = 0
    while at < len(part):
        token = _TOKEN.match(part, at)
        if token is None or (token[1] and token[1] not in ATOMIC_WEIGHTS):
            raise _no_formula(formula)
        if token[1]:
            levels[-1] += ATOMIC_WEIGHTS[token[1]] * int(token[2] or 1)
        elif token[3]:
            levels.append(0.0)
        elif len(levels) > 1:
            inner = levels.pop() * int(token[4] or 1)
            levels[-1] += inner
        else:
            raise _no_formula(formula)
        at = token.end()
    if len(levels) != 1:
        raise _no_formula(formula)
    return levels[0]


def _no_formula(formula: str) -> OutsideRange:
    known = ", ".join(ATOMIC_WEIGHTS)
    return OutsideRange(f"{formula!r} must be a formula of {known}, such as CaSO4.2H2O.")
