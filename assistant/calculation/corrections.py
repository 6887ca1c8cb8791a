"""Putting a wort right: boil longer, dissolve extract or sugar, dilute; one target, both, or the least miss.

Volumes are L at 20 °C, gravities SG 20/20 °C. Extract and water are conserved as masses in all of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.calculation import extract
from assistant.calculation.grain_bill import sg_of_extract
from assistant.calculation.least import least_at
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.mash import water_l_to_kg
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import HIGHEST_SG, mass_fraction_from_sg
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange

_LITRE_KG: Final = water_l_to_kg(1.0)
_MOST_EXTRACT: Final = mass_fraction_from_sg(HIGHEST_SG)
_ROUNDING_KG: Final = 1e-9
_NONE: Final = Measured(0.0, 0.0)


class Addition(StrEnum):
    """Something that dissolves in the wort."""

    DRY_EXTRACT = "dry malt extract"
    LIQUID_EXTRACT = "liquid malt extract"
    SUCROSE = "sugar"
    GLUCOSE = "glucose monohydrate"


# kg of extract in a kilogram; malt extracts by common practice, packets differ by 2 %; glucose by its molar masses.
FRACTION: Final = {
    Addition.DRY_EXTRACT: Measured(extract.DRY_EXTRACT_FRACTION, 0.01),
    Addition.LIQUID_EXTRACT: Measured(0.80, 0.01),
    Addition.SUCROSE: Measured(extract.SUCROSE_FRACTION, 0.0),
    Addition.GLUCOSE: Measured(180.156 / 198.171, 0.0),
}
_BY_RULE: Final = (Addition.DRY_EXTRACT, Addition.LIQUID_EXTRACT)


@dataclass(frozen=True, slots=True)
class Means:
    """What may be done: at most `minutes` at `boil_off` [L/h], `solids_kg` of `addition`, and `water_l`."""

    boil_off: Measured = _NONE
    minutes: float = math.inf
    addition: Addition = Addition.DRY_EXTRACT
    solids_kg: float = math.inf
    water_l: float = math.inf


@dataclass(frozen=True, slots=True)
class Weights:
    """What a miss costs: volume and gravity points each as a share of the target, squared, times these weights."""

    volume: float = 1.0
    gravity: float = 1.0


@dataclass(frozen=True, slots=True)
class Correction:
    """What to do, and what comes of it.

    minutes: to boil on. solids_kg: of `addition`. water_l: to add. volume_l, sg: after it; change_l: of the volume.
    met: whether both targets are met (where one was asked for, that one).
    """

    minutes: Result
    solids_kg: Result
    water_l: Result
    volume_l: Result
    sg: Result
    change_l: Result
    addition: Addition
    met: bool
    note: str = ""


def boil_longer(volume_l: Measured, sg: Measured, target_sg: float, boil_off: Measured) -> Correction:
    """Tell how long [min] to boil `volume_l` [L] of `sg` [20/20 °C] at `boil_off` [L/h] for `target_sg` [20/20 °C].

    Formula: t = (wort - extract / wanted share) / boil-off, by mass.

    `extract.minutes_to_gravity` with its uncertainty, and what volume it costs. All at 20 °C.

    Bias: the boil-off is taken as steady; hops in the kettle get more bitter and late ones lose aroma.

    Valid: volume > 0, 1.000 < sg <= target <= 1.17, boil-off > 0.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range; boiling cannot thin wort.

    >>> done = boil_longer(Measured(25.0, 0.2), Measured(1.040, 0.001), 1.04995, Measured(4.0, 0.3))
    >>> done.minutes.value, done.volume_l.value, done.change_l.value
    (75.0, 20.0, -5.0)
    """

    def minutes(litres: float, gravity: float, rate: float) -> float:
        return extract.minutes_to_gravity(litres, gravity, target_sg, rate)

    told = propagate(minutes, volume_l, sg, boil_off)
    boiled = Means(boil_off=boil_off)
    return _correction(volume_l, sg, boiled, _Acts(told, _NONE, _NONE), met=True)


def boil_on(volume_l: Measured, sg: Measured, minutes: float, boil_off: Measured) -> Correction:
    """Tell what `volume_l` [L] of `sg` [20/20 °C] is after `minutes` [min] more at `boil_off` [L/h of water].

    Formula: w = extract / (wort - boil-off × time), all by mass; the volume follows from the density.

    `extract.boil` with its uncertainty; all at 20 °C.

    Bias: the boil-off is taken as steady.

    Valid: volume > 0, SG 1.000 to 1.17 before and after, minutes >= 0, boil-off >= 0.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> done = boil_on(Measured(25.0, 0.2), Measured(1.040, 0.001), 75.0, Measured(4.0, 0.3))
    >>> done.volume_l.value, done.sg.value, done.sg.sd
    (20.0, 1.04995, 0.0016)
    """
    extract.boil(volume_l.value, sg.value, minutes, boil_off.value)
    asked = _Acts(Measured(minutes, 0.0), _NONE, _NONE)
    return _correction(volume_l, sg, Means(boil_off=boil_off), asked, met=True)


def add_solids(
    volume_l: Measured, sg: Measured, target_sg: float, addition: Addition = Addition.DRY_EXTRACT
) -> Correction:
    """Tell how much of `addition` [kg] brings `volume_l` [L at 20 °C] of `sg` to `target_sg` [both 20/20 °C].

    Formula: m = (wanted - present extract) / (share - wanted share).

    `extract.dry_extract_to_add_kg` with its uncertainty, and the volume it brings.

    Bias: 0.95 kg/kg for dry and 0.80 for liquid malt extract are common practice without a source.

    Valid: volume > 0, 1.000 <= sg <= target <= 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density; common practice for malt extracts.

    Raises:
        OutsideRange: outside that range; extract cannot thin wort.

    >>> done = add_solids(Measured(25.0, 0.2), Measured(1.038, 0.001), 1.044)
    >>> done.solids_kg.value, done.change_l.value
    (0.445, 0.284)
    """

    def solids(litres: float, gravity: float, share: float) -> float:
        return extract.dry_extract_to_add_kg(litres, gravity, target_sg, share)

    told = propagate(solids, volume_l, sg, FRACTION[addition])
    return _correction(volume_l, sg, Means(addition=addition), _Acts(_NONE, told, _NONE), met=True)


def dilute(volume_l: Measured, sg: Measured, target_sg: float) -> Correction:
    """Tell how much water [L] thins `volume_l` [L, all at 20 °C] of `sg` to `target_sg` [both 20/20 °C].

    Formula: water = extract / wanted share - wort, by mass.

    `extract.water_to_add_l` with its uncertainty, and the new volume. After the boil, water is boiled first.

    Bias: volumes of wort and water do not quite add.

    Valid: volume > 0, 1.000 < target <= sg <= 1.17.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range; water cannot thicken wort.

    >>> done = dilute(Measured(20.0, 0.2), Measured(1.04995, 0.001), 1.040)
    >>> done.water_l.value, done.volume_l.value
    (5.00, 25.0)
    """
    told = propagate(lambda litres, gravity: extract.water_to_add_l(litres, gravity, target_sg), volume_l, sg)
    note = "Boil the water first if the boil is over."
    return _correction(volume_l, sg, Means(), _Acts(_NONE, _NONE, told), met=True, note=note)


def hit_volume(volume_l: Measured, sg: Measured, target_l: float, boil_off: Measured) -> Correction:
    """Tell how long [min] to boil at `boil_off` [L/h], or what water [L] to add, for `target_l` [L].

    From `volume_l` [L] of `sg` [20/20 °C]: the water whose mass lacks, or is too much, for that volume with the
    extract that is there; all at 20 °C.

    Bias: the gravity goes where it goes; it is in the answer.

    Valid: volumes > 0, SG 1.000 to 1.17 before and after, boil-off > 0 where volume must go.

    Source: mass balance; Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> done = hit_volume(Measured(25.0, 0.2), Measured(1.040, 0.001), 20.0, Measured(4.0, 0.3))
    >>> done.minutes.value, done.sg.value
    (75.0, 1.04995)
    """
    require_positive("The volume", volume_l.value, "L")
    require_positive("The wanted volume", target_l, "L")

    def lacking_l(litres: float, gravity: float) -> float:
        dissolved_kg = extract.extract_kg(litres, gravity)
        wanted_kg = extract.wort_kg(target_l, sg_of_extract(dissolved_kg, target_l))
        return (wanted_kg - extract.wort_kg(litres, gravity)) / _LITRE_KG

    if target_l < volume_l.value:
        require_positive("The boil-off", boil_off.value, "L/h")
        told = propagate(
            lambda litres, gravity, rate: -60.0 * lacking_l(litres, gravity) / rate, volume_l, sg, boil_off
        )
        return _correction(volume_l, sg, Means(boil_off=boil_off), _Acts(told, _NONE, _NONE), met=True)
    told = propagate(lacking_l, volume_l, sg)
    return _correction(volume_l, sg, Means(), _Acts(_NONE, _NONE, told), met=True)


def hit_both(
    volume_l: Measured,
    sg: Measured,
    target_l: float,
    target_sg: float,
    *,
    means: Means,
    weights: Weights = Weights(),
) -> Correction:
    """Tell what brings `volume_l` [L] of `sg` [20/20 °C] to `target_l` [L] and `target_sg` [20/20 °C], or nearest.

    Formula: mass of extract that lacks / share of it in the addition; water by mass is poured in or boiled off.

    Extract that lacks comes from the addition of `means`, water that lacks is poured in, water too much is boiled
    off. Where `means` do not reach, or there is too much extract, the least of
    w_V ((V - V_t) / V_t)² + w_G ((G - G_t) / G_t)² within them, G in points: with `weights` of 1 and 1 a miss of
    1 % in volume counts as much as one of 1 % in points.

    Bias: as the single corrections. What leaving some wort out would do is told in the note, not done.

    Valid: volumes > 0, 1.000 < SG <= 1.17, target 1.001 to 1.17, means and weights >= 0, one weight > 0.

    Source: mass balance; Bubnik et al. (1995) for the density; the weights are ours.

    Raises:
        OutsideRange: outside that range.

    >>> means = Means(boil_off=Measured(4.0, 0.3), minutes=60.0)
    >>> done = hit_both(Measured(25.0, 0.2), Measured(1.040, 0.001), 23.0, 1.048, means=means)
    >>> done.met, done.solids_kg.value, done.minutes.value
    (True, 0.286, 32.7)
    """
    require_positive("The volume", volume_l.value, "L")
    require_positive("The wanted volume", target_l, "L")
    require_within("The wanted gravity", target_sg, 1.001, HIGHEST_SG, "SG")
    for what, most in (("time", means.minutes), ("addition", means.solids_kg), ("water", means.water_l)):
        require_at_least(f"The {what} that may be used", min(most, 1e9), 0.0)
    require_at_least("The boil-off", means.boil_off.value, 0.0, "L/h")
    if min(weights.volume, weights.gravity) < 0.0 or max(weights.volume, weights.gravity) <= 0.0:
        raise OutsideRange("The weights of a miss must be at least 0, and one of them more than 0.")
    target = _Target(target_l, target_sg, weights, means)
    solved: dict[tuple[float, ...], tuple[float, float]] = {}

    def acts(*inputs: float) -> tuple[float, float]:
        if inputs not in solved:
            solved[inputs] = target.water_and_solids_kg(*inputs)
        return solved[inputs]

    inputs = (volume_l, sg, means.boil_off, FRACTION[means.addition])
    litres, gravity, rate, share = (item.value for item in inputs)
    chosen = acts(litres, gravity, rate, share)
    solids = propagate(lambda *values: acts(*values)[1], *inputs)
    minutes = water = _NONE
    if chosen[0] < 0.0:
        minutes = propagate(lambda *values: -60.0 * acts(*values)[0] / _LITRE_KG / values[2], *inputs)
    else:
        water = propagate(lambda *values: acts(*values)[0] / _LITRE_KG, *inputs)
    met = math.dist(target.exact_kg(litres, gravity, share), chosen) < _ROUNDING_KG
    note = "" if met else target.note(litres, gravity, rate, share)
    return _correction(volume_l, sg, means, _Acts(minutes, solids, water), met=met, note=note)


@dataclass(frozen=True, slots=True)
class _Acts:
    minutes: Measured
    solids_kg: Measured
    water_l: Measured


def _correction(
    volume_l: Measured, sg: Measured, means: Means, acts: _Acts, *, met: bool, note: str = ""
) -> Correction:
    """What comes of `acts`, done just so, on a wort and with means that are known as well as they are."""

    def after(litres: float, gravity: float, rate: float, share: float) -> tuple[float, float]:
        dissolved_kg = extract.extract_kg(litres, gravity)
        water_kg = extract.wort_kg(litres, gravity) - dissolved_kg + (1.0 - share) * acts.solids_kg.value
        water_kg += _LITRE_KG * (acts.water_l.value - rate * acts.minutes.value / 60.0)
        return extract.wort_from(dissolved_kg + share * acts.solids_kg.value, water_kg)

    inputs = (volume_l, sg, means.boil_off, FRACTION[means.addition])
    volume = propagate(lambda *values: after(*values)[0], *inputs)
    change = propagate(lambda *values: after(*values)[0] - values[0], *inputs)
    gravity = propagate(lambda *values: after(*values)[1], *inputs)
    ruled = acts.solids_kg.value > 0.0 and means.addition in _BY_RULE
    fraction = FRACTION[means.addition].value
    of_solids = (
        f"It is taken to be {100.0 * fraction:.0f} % extract: common practice, packets differ." if ruled else ""
    )
    rule = Verdict.RULE_OF_THUMB if ruled else Verdict.INSIDE
    return Correction(
        minutes=Result(acts.minutes.value, acts.minutes.sd, "min", "mass balance"),
        solids_kg=Result(acts.solids_kg.value, acts.solids_kg.sd, "kg", "mass balance", rule, of_solids),
        water_l=Result(acts.water_l.value, acts.water_l.sd, "L", "mass balance"),
        volume_l=Result(volume.value, volume.sd, "L", "mass balance"),
        sg=Result(gravity.value, gravity.sd, "SG", "mass balance"),
        change_l=Result(change.value, change.sd, "L", "mass balance"),
        addition=means.addition,
        met=met,
        note=note,
    )


@dataclass(frozen=True, slots=True)
class _Target:
    volume_l: float
    sg: float
    weights: Weights
    means: Means

    def exact_kg(self, litres: float, gravity: float, share: float) -> tuple[float, float]:
        """Water and solids that would meet both targets; below 0 where there is too much of them."""
        dissolved_kg = extract.extract_kg(litres, gravity)
        wanted_kg = extract.extract_kg(self.volume_l, self.sg)
        solids_kg = (wanted_kg - dissolved_kg) / share
        wanted_water_kg = extract.wort_kg(self.volume_l, self.sg) - wanted_kg
        present_kg = extract.wort_kg(litres, gravity) - dissolved_kg
        return wanted_water_kg - present_kg - (1.0 - share) * solids_kg, solids_kg

    def water_and_solids_kg(self, litres: float, gravity: float, rate: float, share: float) -> tuple[float, float]:
        exact_water, exact_solids = self.exact_kg(litres, gravity, share)
        least_water, most_water = self._water_limits_kg(rate)
        water_kg = min(max(exact_water, least_water), most_water)
        solids_kg = min(max(exact_solids, 0.0), self.means.solids_kg)
        if water_kg == exact_water and solids_kg == exact_solids:
            return water_kg, solids_kg
        dissolved_kg = extract.extract_kg(litres, gravity)
        present_kg = extract.wort_kg(litres, gravity) - dissolved_kg

        def miss(more_kg: float, added_kg: float) -> float:
            return self._miss(dissolved_kg + share * added_kg, present_kg + more_kg + (1.0 - share) * added_kg)

        # The least miss lies where one of the broken limits holds: along it, one unknown is left.
        found: list[tuple[float, float]] = []
        if solids_kg != exact_solids:
            span = max(present_kg, extract.wort_kg(self.volume_l, self.sg))
            low, high = max(least_water, -present_kg), min(most_water, span)
            found.append((least_at(lambda more: miss(more, solids_kg), low, high), solids_kg))
        if water_kg != exact_water:
            high = min(self.means.solids_kg, extract.extract_kg(self.volume_l, HIGHEST_SG) / share)
            found.append((water_kg, least_at(lambda added: miss(water_kg, added), 0.0, high)))
        return min(found, key=lambda pair: miss(*pair))

    def _water_limits_kg(self, rate: float) -> tuple[float, float]:
        boiled_l = rate * self.means.minutes / 60.0 if rate > 0.0 else 0.0
        return -boiled_l * _LITRE_KG, self.means.water_l * _LITRE_KG

    def _miss(self, dissolved_kg: float, water_kg: float) -> float:
        """The weighted miss; beyond the range of the density it grows with the distance from it."""
        if water_kg <= 0.0:
            return 1e6 - water_kg
        mass_fraction = dissolved_kg / (dissolved_kg + water_kg)
        if mass_fraction > _MOST_EXTRACT:
            return 1e3 + mass_fraction
        volume_l, sg = extract.wort_from(dissolved_kg, water_kg)
        off_volume = (volume_l - self.volume_l) / self.volume_l
        off_gravity = (sg - self.sg) / (self.sg - 1.0)
        return self.weights.volume * off_volume**2 + self.weights.gravity * off_gravity**2

    def note(self, litres: float, gravity: float, rate: float, share: float) -> str:
        present_kg = extract.extract_kg(litres, gravity)
        surplus_kg = present_kg - extract.extract_kg(self.volume_l, self.sg)
        if surplus_kg <= 0.0:
            return "Both cannot be met with that; this misses least."
        out_l = litres * surplus_kg / present_kg
        least_kg, most_kg = self._water_limits_kg(rate)
        would_do = least_kg <= self.exact_kg(litres - out_l, gravity, share)[0] <= most_kg
        other = f" With {out_l:.2g} L left out both can be met." if would_do else ""
        return f"There is too much extract for both; this misses least.{other}"
