"""From one brewing water to another: which salts bring it there, and how much pure water thins it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.calculation.limits import require_positive, require_within
from assistant.calculation.results import Result
from assistant.calculation.uncertainty import propagate
from assistant.calculation.water_chemistry import Ion, Salt, Water, ion_share, ions_of, with_salts
from assistant.quantities import Measured, OutsideRange

_Floats = NDArray[np.float64]

_MG_PER_KG: Final = 1e6
_SALT_SD_SHARE: Final = 0.03
_HIGHEST_MG_PER_L: Final = 1000.0
# Salts that dissolve by stirring, in the order in which they are taken where two do the same.
USUAL_SALTS: Final = (Salt.GYPSUM, Salt.CALCIUM_CHLORIDE, Salt.EPSOM_SALT, Salt.TABLE_SALT, Salt.BAKING_SODA)


@dataclass(frozen=True, slots=True)
class SaltRecipe:
    """Salts [kg each] for a water, what the water is then [mg/L], and the widest miss of what was wanted [mg/L].

    too_much: ions that the water has more of than is wanted; no salt takes them out.
    """

    salts: dict[Salt, Result]
    water: Water
    miss_mg_per_l: float
    too_much: tuple[Ion, ...]


def salts_for_profile(
    start: Water, wanted_mg_per_l: Mapping[Ion, float], volume_l: Measured, salts: Sequence[Salt] = USUAL_SALTS
) -> SaltRecipe:
    """Give the `salts` that bring `volume_l` [L] of `start` [mg/L] nearest to the ions of `wanted_mg_per_l` [mg/L].

    Formula: masses >= 0 with the least Σ (level - wanted)² over the ions that are named.

    Least squares over the ions that are named, no mass below nothing: every choice among the salts is tried. Only
    salts whose ions are all named are taken, so that nothing rises unasked.

    The uncertainty joins that of the volume with 3 % for purity and water of crystal (judgement).

    Bias: all of it is taken to dissolve.

    Valid: volume > 0, 0 to 1000 mg/L each, two ions or more that a salt is made of.

    Source: mass balance; `water_chemistry.ion_share`.

    Raises:
        OutsideRange: outside that range, or when no salt brings the ions that are named.

    >>> made = salts_for_profile(Water(), {Ion.CALCIUM: 93.2, Ion.SULPHATE: 223.4}, Measured(20.0, 0.2))
    >>> made.salts[Salt.GYPSUM].value, made.miss_mg_per_l
    (0.008008, 0.009)
    """
    require_positive("The volume of water", volume_l.value, "L")
    for ion, level in wanted_mg_per_l.items():
        require_within(f"The {ion}", level, 0.0, _HIGHEST_MG_PER_L, "mg/L")
    ions = tuple(wanted_mg_per_l)
    fit_for = tuple(salt for salt in salts if ions_of(salt) <= set(ions))
    if not fit_for:
        named = " and ".join(ions) or "nothing"
        raise OutsideRange(f"No salt brings {named} alone: name both of its ions, such as calcium and sulphate.")
    rise = np.array([wanted_mg_per_l[ion] - getattr(start, ion.value) for ion in ions])
    too_much = tuple(ion for ion, more in zip(ions, rise, strict=True) if more < 0.0)
    per_l = _nearest(np.array([[ion_share(salt, ion) for salt in fit_for] for ion in ions]), rise)
    masses = {
        salt: float(level) * volume_l.value / _MG_PER_KG
        for salt, level in zip(fit_for, per_l, strict=True)
        if level > 0.0
    }
    water = with_salts(start, masses, volume_l.value)
    miss = max(abs(getattr(water, ion.value) - wanted_mg_per_l[ion]) for ion in ions)
    share = volume_l.sd / volume_l.value
    results = {
        salt: Result(kg, kg * float(np.hypot(share, _SALT_SD_SHARE)), "kg", "salts") for salt, kg in masses.items()
    }
    return SaltRecipe(results, water, miss, too_much)


def pure_water_l(total_l: Measured, now_mg_per_l: Measured, wanted_mg_per_l: float) -> Result:
    """Give how much [L] of `total_l` [L] must be pure water to thin an ion of `now_mg_per_l` [mg/L].

    Formula: pure = total (1 - wanted / now).

    To `wanted_mg_per_l` [mg/L]: total · (1 - wanted / now), for distilled water or such as holds next to nothing.
    All ions fall by the same share.

    Bias: water of reverse osmosis holds some per cent of what went in; a little more of it is needed then.

    Valid: total > 0, now more than 0 to 2000 mg/L, wanted 0 to that.

    Source: mass balance, as `water_chemistry.mixed`.

    Raises:
        OutsideRange: outside that range; pure water adds nothing.

    >>> pure_water_l(Measured(40.0, 0.4), Measured(240.0, 5.0), 60.0).value
    30.0
    """
    require_positive("The volume of water", total_l.value, "L")
    require_positive("The level now", now_mg_per_l.value, "mg/L")
    require_within("The level now", now_mg_per_l.value, 0.0, 2000.0, "mg/L")
    require_within("The level wanted", wanted_mg_per_l, 0.0, now_mg_per_l.value, "mg/L")
    pure = propagate(lambda total, now: total * (1.0 - wanted_mg_per_l / now), total_l, now_mg_per_l)
    return Result(max(0.0, pure.value), pure.sd, "L", "mass balance")


def _nearest(shares: _Floats, rise: _Floats) -> _Floats:
    """The levels >= 0 of the salts [mg/L] whose ions come nearest to `rise` [mg/L], in least squares."""
    count = shares.shape[1]
    best, least = np.zeros(count), float(rise @ rise)
    for size in range(1, count + 1):
        for chosen in combinations(range(count), size):
            part = shares[:, chosen]
            found, *_ = np.linalg.lstsq(part, rise, rcond=None)
            missed = rise - part @ found
            # A salt more has to be worth it: rounding alone is not.
            if float(found.min()) >= 0.0 and float(missed @ missed) < least - 1e-9:
                best, least = np.zeros(count), float(missed @ missed)
                best[list(chosen)] = found
    return best
