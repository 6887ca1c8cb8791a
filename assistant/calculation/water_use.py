"""How much water the day needs, and where it stays: in the grain, under the tun, in the air, with the trub.

Volumes are L at 20 °C unless they are called hot. What grain holds back is the water poured on it less the wort
that runs off, as brewers measure it; so the volume that dissolved extract takes up is in that figure.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from assistant.calculation.extract import add_water
from assistant.calculation.limits import require_at_least, require_positive, require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import HIGHEST_SG
from assistant.calculation.uncertainty import propagate
from assistant.calculation.volumes import volume_at_temperature_l
from assistant.quantities import Measured, OutsideRange, Shown

# Common practice, no source: a drained grain bed; 0.8 after a long run-off, 1.2 where little time is given.
HELD_L_PER_KG: Final = Measured(1.0, 0.1)
NOTHING: Final = Measured(0.0, 0.0)

_RULE: Final = "1 L/kg held by the grain is a rule of the trade; measure your own."


@dataclass(frozen=True, slots=True)
class Rig:
    """What a rig keeps for itself.

    held_l_per_kg: water that a kilogram of grain holds back. tun_dead_l: wort under the tun's outlet.
    kettle_loss_l: wort left with trub, hops and in the hoses, cold. boil_off_l_per_h: water at 20 °C.
    boiling_c: where wort boils.
    """

    held_l_per_kg: Measured = HELD_L_PER_KG
    tun_dead_l: Measured = NOTHING
    kettle_loss_l: Measured = NOTHING
    boil_off_l_per_h: Measured = NOTHING
    boiling_c: float = 100.0


@dataclass(frozen=True, slots=True)
class WaterPlan:
    """The day's volumes in L, backwards from the fermenter; `hot` ones as they stand at the boil.

    sparge_l: water for the sparge. pre_boil_sg: what the kettle reads before the boil if the end is to be right.
    """

    total_l: Result
    sparge_l: Result
    first_wort_l: Result
    pre_boil_l: Result
    pre_boil_hot_l: Result
    pre_boil_sg: Result
    post_boil_l: Result
    post_boil_hot_l: Result


def held_l(grain_kg: Measured, held_l_per_kg: Measured = HELD_L_PER_KG) -> Result:
    """Tell the water [L] that `grain_kg` [kg] of grain holds back at `held_l_per_kg` [L/kg].

    Bias: the default of 1.0 ± 0.1 L/kg is common practice without a source; `held_l_per_kg_from` measures yours.

    Valid: grain >= 0, held 0 to 3 L/kg.

    Source: common practice.

    Raises:
        OutsideRange: outside that range.

    >>> told = held_l(Measured(5.0, 0.0))
    >>> told.value, told.sd
    (5.0, 0.5)
    """
    told = propagate(_held_l, grain_kg, held_l_per_kg)
    return _answer(told, held_l_per_kg)


def held_l_per_kg_from(grain_kg: Measured, water_l: Measured, run_off_l: Measured) -> Result:
    """Tell what a kilogram of grain held back [L/kg]: `water_l` [L] on `grain_kg` [kg] gave `run_off_l` [L].

    Formula: (water - run-off) / grain.

    Bias: volumes at one temperature: hot run-off taken as cold hides 2 to 4 % of the water. A dead space is counted
    as held unless it is taken off the water first.

    Valid: grain > 0, run-off 0 to the water.

    Source: balance of volumes.

    Raises:
        OutsideRange: outside that range.

    >>> held_l_per_kg_from(Measured(5.0, 0.02), Measured(28.0, 0.2), Measured(23.2, 0.2)).value
    0.96
    """

    def held(grain: float, poured_l: float, ran_l: float) -> float:
        require_positive("The grain", grain, "kg")
        return (poured_l - ran_l) / grain

    require_at_least("The run-off", run_off_l.value, 0.0, "L")
    require_at_least("What the grain held", water_l.value - run_off_l.value, 0.0, "L")
    told = propagate(held, grain_kg, water_l, run_off_l)
    return Result(told.value, told.sd, "L/kg", "volume balance")


def first_wort_l(grain_kg: Measured, mash_water_l: Measured, rig: Rig) -> Result:
    """Tell the wort [L] that runs off `grain_kg` [kg] of grain mashed with `mash_water_l` [L], before a sparge.

    Formula: water - held by a kilogram × grain - dead space.

    Water less what the grain of `rig` holds and what stays under its outlet.

    Bias: the figure for the grain, see `held_l`.

    Valid: grain >= 0, water enough to leave any wort.

    Source: balance of volumes; common practice for what the grain holds.

    Raises:
        OutsideRange: outside that range: a mash that thick gives no wort.

    >>> first_wort_l(Measured(5.0, 0.0), Measured(15.0, 0.0), Rig(tun_dead_l=Measured(0.5, 0.1))).value
    9.5
    """
    told = propagate(_first_wort_l, grain_kg, mash_water_l, rig.held_l_per_kg, rig.tun_dead_l)
    if told.value < 0.0:
        raise OutsideRange(
            "{water} give no wort: grain and tun hold {held}; take more.",
            water=Shown(mash_water_l.value, "L"),
            held=Shown(mash_water_l.value - told.value, "L"),
        )
    return _answer(told, rig.held_l_per_kg)


def sparge_l(wanted_l: Measured, grain_kg: Measured, mash_water_l: Measured, rig: Rig) -> Result:
    """Tell the sparge water [L] for `wanted_l` [L] in the kettle from `grain_kg` [kg] and `mash_water_l` [L].

    Formula: wanted - (mash water - held by a kilogram × grain - dead space).

    Wanted less the first wort of `rig`: what the grain holds it holds already.

    Bias: the figure for the grain, see `held_l`.

    Valid: wanted at least the first wort.

    Source: balance of volumes; common practice for what the grain holds.

    Raises:
        OutsideRange: outside that range: the mash alone would give more than is wanted.

    >>> sparge_l(Measured(27.0, 0.0), Measured(5.0, 0.0), Measured(15.0, 0.0), Rig()).value
    17.0
    """

    def needed(target_l: float, *inputs: float) -> float:
        return target_l - _first_wort_l(*inputs)

    first_wort_l(grain_kg, mash_water_l, rig)
    told = propagate(needed, wanted_l, grain_kg, mash_water_l, rig.held_l_per_kg, rig.tun_dead_l)
    if told.value < 0.0:
        raise OutsideRange(
            "The mash alone gives {gives}, more than the {wanted} wanted: mash with {less} less.",
            gives=Shown(wanted_l.value - told.value, "L"),
            wanted=Shown(wanted_l.value, "L"),
            less=Shown(-told.value, "L"),
        )
    return _answer(told, rig.held_l_per_kg)


def hot_l(volume_l: Measured, temperature_c: Measured, sg: Measured) -> Result:
    """Tell how much [L] `volume_l` [L at 20 °C] of wort of `sg` [20/20 °C] fills at `temperature_c` [°C].

    Formula: V hot = V cold × ρ(w, 20) / ρ(w, t).

    `volumes.volume_at_temperature_l` with its uncertainty: at the boil 4.2 % more than cold.

    Bias: the kettle widens too, see there.

    Valid: volume >= 0, 0 to 105 °C (above 100 counts as 100), SG 0.98 to 1.17.

    Source: Bubnik et al. (1995) for the density.

    Raises:
        OutsideRange: outside that range.

    >>> hot_l(Measured(25.0, 0.2), Measured(98.0, 1.0), Measured(1.048, 0.001)).value
    26.0
    """
    told = propagate(volume_at_temperature_l, volume_l, temperature_c, sg)
    return Result(told.value, told.sd, "L", "sucrose density")


def water_plan(
    into_fermenter_l: Measured,
    og: Measured,
    *,
    grain_kg: Measured,
    mash_water_l: Measured,
    boil_minutes: Measured,
    rig: Rig,
) -> WaterPlan:
    """Tell the day's volumes [L] for `into_fermenter_l` [L] of `og` [SG 20/20 °C], backwards from the fermenter.

    Formula: fermenter + loss + what boils off, by mass, is the kettle before the boil; less the first wort it
    is the sparge.

    Plus what the kettle of `rig` keeps; plus the water that `boil_minutes` [min] drive off, by mass; less the first
    wort of `grain_kg` [kg] and `mash_water_l` [L]: the sparge.

    Bias: dead spaces and the grain's figure are as good as they were measured; extract added in the kettle is not
    looked at here.

    Valid: volumes > 0, OG 1.000 to 1.17, minutes >= 0; see `sparge_l`.

    Source: balances of mass and volume; Bubnik et al. (1995) for the density; common practice for what grain holds.

    Raises:
        OutsideRange: outside that range.

    >>> rig = Rig(kettle_loss_l=Measured(1.5, 0.3), boil_off_l_per_h=Measured(3.5, 0.3))
    >>> plan = water_plan(
    ...     Measured(20.0, 0.0),
    ...     Measured(1.048, 0.0),
    ...     grain_kg=Measured(4.5, 0.02),
    ...     mash_water_l=Measured(13.5, 0.1),
    ...     boil_minutes=Measured(60.0, 0.0),
    ...     rig=rig,
    ... )
    >>> [round(told.value, 2) for told in (plan.total_l, plan.sparge_l, plan.pre_boil_l, plan.pre_boil_hot_l)]
    [29.5, 16.0, 25.0, 26.04]
    """
    inputs = (
        into_fermenter_l,
        og,
        grain_kg,
        mash_water_l,
        boil_minutes,
        rig.held_l_per_kg,
        rig.tun_dead_l,
        rig.kettle_loss_l,
        rig.boil_off_l_per_h,
    )
    require_positive("The volume for the fermenter", into_fermenter_l.value, "L")

    def told(of: Callable[..., float], unit: str = "L") -> Result:
        measured = propagate(lambda *values: of(_Day(*values)), *inputs)
        return Result(measured.value, measured.sd, unit, "mass balance")

    def held(of: Callable[..., float]) -> Result:
        return _answer(propagate(lambda *values: of(_Day(*values)), *inputs), rig.held_l_per_kg)

    first_wort = first_wort_l(grain_kg, mash_water_l, rig)
    pre_boil = told(lambda day: day.pre_boil()[0])
    # Asked for its refusal: the mash alone may give too much.
    sparge_l(Measured(pre_boil.value, pre_boil.sd), grain_kg, mash_water_l, rig)
    return WaterPlan(
        total_l=held(lambda day: day.mash_water_l + day.sparge()),
        sparge_l=held(lambda day: day.sparge()),
        first_wort_l=first_wort,
        pre_boil_l=pre_boil,
        pre_boil_hot_l=told(
            lambda day: volume_at_temperature_l(day.pre_boil()[0], rig.boiling_c, day.pre_boil()[1])
        ),
        pre_boil_sg=told(lambda day: day.pre_boil()[1], "SG"),
        post_boil_l=told(lambda day: day.post_boil_l()),
        post_boil_hot_l=told(lambda day: volume_at_temperature_l(day.post_boil_l(), rig.boiling_c, day.og)),
    )


@dataclass(frozen=True, slots=True)
class _Day:
    fermenter_l: float
    og: float
    grain_kg: float
    mash_water_l: float
    minutes: float
    held_l_per_kg: float
    tun_dead_l: float
    kettle_loss_l: float
    boil_off_l_per_h: float

    def post_boil_l(self) -> float:
        require_at_least("What the kettle keeps", self.kettle_loss_l, 0.0, "L")
        return self.fermenter_l + self.kettle_loss_l

    def pre_boil(self) -> tuple[float, float]:
        require_at_least("The boiling time", self.minutes, 0.0, "min")
        require_at_least("The boil-off", self.boil_off_l_per_h, 0.0, "L/h")
        require_within("The gravity", self.og, 1.0, HIGHEST_SG, "SG")
        return add_water(self.post_boil_l(), self.og, self.boil_off_l_per_h * self.minutes / 60.0)

    def sparge(self) -> float:
        first_l = _first_wort_l(self.grain_kg, self.mash_water_l, self.held_l_per_kg, self.tun_dead_l)
        return self.pre_boil()[0] - first_l


def _first_wort_l(grain_kg: float, mash_water_l: float, held_l_per_kg: float, dead_l: float) -> float:
    require_positive("The water of the mash", mash_water_l, "L")
    require_at_least("The dead space of the tun", dead_l, 0.0, "L")
    return mash_water_l - _held_l(grain_kg, held_l_per_kg) - dead_l


def _held_l(grain_kg: float, held_l_per_kg: float) -> float:
    require_at_least("The grain", grain_kg, 0.0, "kg")
    require_within("What the grain holds", held_l_per_kg, 0.0, 3.0, "L/kg")
    return grain_kg * held_l_per_kg


def _answer(told: Measured, held_l_per_kg: Measured) -> Result:
    if held_l_per_kg == HELD_L_PER_KG:
        return Result(told.value, told.sd, "L", "common practice", Verdict.RULE_OF_THUMB, _RULE)
    return Result(told.value, told.sd, "L", "volume balance")
