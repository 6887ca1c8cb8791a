"""First-order propagation against simulated readings, for what a brewer asks of every subject.

Each formula is told the inputs with their uncertainties; then its values are worked for inputs drawn from normal
distributions. What the formula adds of its own (the model's error) is what is left when the inputs are exact.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pytest

from assistant.calculation import (
    bitterness,
    carbonation,
    chill_design,
    chill_ice,
    colour,
    corrections,
    dilution,
    fermentation,
    fuel,
    grain_bill,
    heat,
    hop_utilisation,
    hydrometer,
    instruments,
    mash,
    mash_steps,
    mixing,
    oxygen,
    pasteurisation,
    priming,
    refractometer,
    steam,
    water_chemistry,
    water_use,
    yeast,
)
from assistant.calculation.chill_design import CoilChill
from assistant.calculation.hop_utilisation import HopAddition, HoppedWort
from assistant.calculation.results import Result
from assistant.calculation.water_chemistry import Ion, Salt
from assistant.quantities import Measured

DRAWS = 1000
# 1000 draws know a standard deviation to 2.2 %; four of that, and what the second order adds.
TOLERANCE = 0.09

Told = Result | Measured
M = Measured


@dataclass(frozen=True)
class Case:
    """A formula of measured inputs, as it is asked."""

    name: str
    formula: Callable[..., Told]
    inputs: tuple[Measured, ...]


def _mash(grain: Measured, water: Measured, at_c: Measured) -> mash_steps.Mash:
    return mash_steps.Mash(grain, water, at_c)


def _bill(grain: Measured, potential: Measured) -> list[grain_bill.Fermentable]:
    return [grain_bill.Fermentable(grain, potential)]


def _coil(*inputs: Measured) -> CoilChill:
    kilograms, strength, flow, water_c, start_c = inputs
    return CoilChill(kilograms, 3900.0, strength, flow, water_c, start_c)


def _hops(mass_kg: Measured, alpha: Measured) -> HopAddition:
    return HopAddition(mass_kg, alpha, 0.0)


MASH = (M(5.0, 0.05), M(15.0, 0.3), M(66.0, 0.4))
BILL = (M(5.0, 0.05), M(80.0, 1.0))
WORT = (M(25.0, 0.3), M(1.040, 0.001))
COIL = (M(20.93, 0.2), M(400.0, 20.0), M(6.0, 0.3), M(15.0, 0.7), M(98.0, 0.5))
BEER = (M(1.060, 0.001), M(1.012, 0.0008))
HOPS = (M(0.030, 0.001), M(0.10, 0.006), M(20.0, 0.3), M(1.050, 0.001))
BOIL = ((0.0, 100.16), (3600.0, 100.16))
CELLS = (M(180.0, 10.0), M(0.85, 0.03))

CASES = (
    Case(
        "hydrometer, hot",
        lambda sg, at: hydrometer.correct(
            sg.value, at.value, calibration_c=20.0, reading_sd_sg=sg.sd, thermometer_sd_c=at.sd
        ),
        (M(1.040, 0.0007), M(45.0, 0.8)),
    ),
    Case(
        "refractometer",
        lambda brix, factor: refractometer.sg_from_reading(
            brix.value, wort_factor=factor.value, sd_brix=brix.sd, wort_factor_sd=factor.sd
        ),
        (M(12.5, 0.2), M(1.04, 0.01)),
    ),
    Case("hydrometer in water", lambda t: instruments.hydrometer_in_water_sg(t, 20.0), (M(45.0, 2.0),)),
    Case(
        "hydrometer offset",
        lambda sg, t: instruments.hydrometer_offset_sg(sg, t, 20.0),
        (M(1.002, 0.0005), M(30.0, 1.0)),
    ),
    Case(
        "refractometer zero",
        lambda brix, t: instruments.refractometer_zero_brix(brix, t, compensates=False),
        (M(0.1, 0.1), M(26.5, 1.0)),
    ),
    Case("boiling water", lambda at: instruments.boiling_water_c(altitude_m=at), (M(1500.0, 100.0),)),
    Case("boiling point of wort", steam.wort_boiling_point_c, (M(1.060, 0.002), M(85e3, 500.0))),
    Case("heating time", heat.heat_up_minutes, (*WORT, M(20.0, 0.5), M(95.0, 0.5), M(3000.0, 150.0))),
    Case("net power", heat.net_power_w, (*WORT, M(20.0, 0.5), M(95.0, 0.5), M(40.0, 1.0))),
    Case("direct heat", heat.direct_heat_minutes, (*MASH[:2], M(52.0, 0.3), M(67.0, 0.3), M(2000.0, 80.0))),
    Case("boil-off of a power", heat.boil_off_l_per_h, (M(3000.0, 100.0), M(98.0, 0.5))),
    Case("power for a boil-off", heat.power_for_boil_off_w, (M(4.0, 0.3), M(98.0, 0.5))),
    Case(
        "heat capacity of a tun",
        mash.tun_heat_capacity_j_per_k,
        (M(15.0, 0.1), M(72.0, 0.15), M(68.5, 0.15), M(20.0, 0.5)),
    ),
    Case("mash volume", lambda *m: mash_steps.mash_volume_l(_mash(*m)), MASH),
    Case(
        "after an infusion",
        lambda g, w, t, v, hot: mash_steps.after_infusion_c(_mash(g, w, t), v, hot),
        (*MASH, M(4.0, 0.2), M(98.0, 1.0)),
    ),
    Case(
        "mash-out",
        lambda g, w, t, hot: mash_steps.mash_out_l(_mash(g, w, t), hot),
        (*MASH, M(98.0, 1.0)),
    ),
    Case(
        "decoction",
        lambda g, w, t, boil: mash_steps.decoction_l(_mash(g, w, t), 76.0, boil),
        (*MASH, M(99.0, 0.5)),
    ),
    Case(
        "after a rest",
        lambda g, w, t, loss, room: mash_steps.after_rest_c(_mash(g, w, t), 60.0, loss, room),
        (*MASH, M(2.0, 0.3), M(18.0, 1.0)),
    ),
    Case(
        "loss of a tun",
        lambda g, w, t, then, room: mash_steps.tun_loss_w_per_k(_mash(g, w, t), then, 60.0, room),
        (MASH[0], MASH[1], M(67.0, 0.1), M(63.0, 0.1), M(20.0, 1.0)),
    ),
    Case("extract of a bill", lambda *b: grain_bill.potential_extract_kg(_bill(*b)), BILL),
    Case("efficiency", lambda g, p, v, sg: grain_bill.efficiency(_bill(g, p), v, sg), (*BILL, *WORT)),
    Case(
        "first wort",
        lambda g, p, w, c: grain_bill.first_wort_sg(_bill(g, p), w, c),
        (*BILL, M(16.0, 0.2), M(0.95, 0.01)),
    ),
    Case(
        "conversion",
        lambda g, p, w, sg: grain_bill.conversion_efficiency(_bill(g, p), w, sg),
        (*BILL, M(16.0, 0.2), M(1.070, 0.001)),
    ),
    Case(
        "lautering",
        lambda g, p, c, v, sg: grain_bill.lauter_efficiency(_bill(g, p), c, v, sg),
        (*BILL, M(0.95, 0.01), *WORT),
    ),
    Case("water to thin", lambda v, sg: corrections.dilute(v, sg, 1.035).water_l, WORT),
    Case("extract to add", lambda v, sg: corrections.add_solids(v, sg, 1.050).solids_kg, WORT),
    Case(
        "time to a volume",
        lambda v, sg, rate: corrections.hit_volume(v, sg, 21.0, rate).minutes,
        (*WORT, M(4.0, 0.2)),
    ),
    Case(
        "gravity after boiling on",
        lambda v, sg, rate: corrections.boil_on(v, sg, 60.0, rate).sg,
        (*WORT, M(4.0, 0.2)),
    ),
    Case(
        "bitterness",
        lambda m, a, v, sg: bitterness.bitterness([_hops(m, a)], BOIL, HoppedWort(v, sg), 3600.0),
        HOPS,
    ),
    Case(
        "make-up of hops",
        lambda a, v, sg: bitterness.mass_to_make_up_kg(
            30.0, [], HopAddition(M(0.0, 0.0), a, 1800.0), BOIL, HoppedWort(v, sg)
        ),
        HOPS[1:],
    ),
    Case(
        "Tinseth",
        lambda m, a, v, sg: hop_utilisation.tinseth_ibu(_hops(m, a), 3600.0, HoppedWort(v, sg)),
        HOPS,
    ),
    Case(
        "Rager",
        lambda m, a, v, sg: hop_utilisation.rager_ibu(_hops(m, a), 3600.0, HoppedWort(v, sg)),
        (*HOPS[:3], M(1.070, 0.001)),
    ),
    Case("chill time", lambda *c: chill_design.time_to_target_s(_coil(*c), 25.0), COIL),
    Case("chill water", lambda *c: chill_design.water_used_l(_coil(*c), 25.0), COIL),
    Case("wort after a chill", lambda *c: chill_design.temperature_after_c(_coil(*c), 600.0), COIL),
    Case("outlet of a coil", lambda *c: chill_design.outlet_c(_coil(*c), COIL[4]), (*COIL[:4], M(98.0, 0.0))),
    Case(
        "strength of a coil",
        lambda tau, kg, flow: chill_design.strength_from_tau_w_per_k(tau, kg, 3900.0, flow),
        (M(317.0, 4.0), M(20.93, 0.2), M(6.0, 0.15)),
    ),
    Case("ice", lambda kg, t: chill_ice.ice_to_cool_kg(kg, 3900.0, t, 18.0), (M(20.93, 0.5), M(30.0, 0.8))),
    Case(
        "overnight",
        lambda tau, hot, air: chill_ice.overnight_c(tau, hot, air, 6 * 3600.0),
        (M(20900.0, 1500.0), M(98.0, 0.5), M(16.0, 2.0)),
    ),
    Case("cells", lambda v, sg: yeast.cells_needed_e9(v, sg, yeast.Ferment.ALE), (M(20.0, 0.4), M(1.05, 0.002))),
    Case("dry yeast", yeast.dry_yeast_g, (CELLS[0], M(10.0, 0.6))),
    Case("slurry", yeast.slurry_ml, (*CELLS, M(1.2, 0.08))),
    Case("packs", yeast.liquid_packs, (*CELLS, M(100.0, 6.0))),
    Case("starter", yeast.starter_extract_g, (M(100.0, 8.0), M(240.0, 8.0))),
    Case("grown", yeast.cells_after_starter_e9, (M(100.0, 8.0), M(100.0, 4.0))),
    Case("speed of yeast", lambda t: yeast.fermentation_speed(t, 20.0), (M(15.0, 0.7),)),
    Case(
        "oxygen",
        lambda t, p, sg: oxygen.saturation_mg_per_l(t, p, sg, oxygen.Gas.AIR),
        (M(18.0, 1.0), M(95e3, 1500.0), M(1.050, 0.002)),
    ),
    Case("apparent attenuation", lambda *b: fermentation.attenuation(*b).apparent, BEER),
    Case("real attenuation", lambda *b: fermentation.attenuation(*b).real, BEER),
    Case("real extract", fermentation.real_extract, BEER),
    Case("alcohol by weight", fermentation.alcohol_by_weight, BEER),
    Case("short rule", lambda *b: fermentation.alcohol_by_volume(*b).short_rule, BEER),
    Case("energy", fermentation.energy, BEER),
    Case("keg gas", carbonation.keg_volumes, (M(82e3, 3e3), M(4.0, 0.7), M(95e3, 1e3))),
    Case(
        "krausen",
        lambda v, left, og, now, fg: priming.krausen_to_add(
            v, left, 2.4, original_sg=og, krausen_sg=now, final_sg=fg
        ),
        (M(20.0, 0.3), M(0.86, 0.04), M(1.048, 0.0005), M(1.040, 0.0005), M(1.012, 0.0005)),
    ),
    Case(
        "gas of a further drop",
        lambda held, og, now, fg: priming.if_it_drops(held, og, now, fg).volumes,
        (M(2.4, 0.1), M(1.050, 0.001), M(1.016, 0.0005), M(1.010, 0.0005)),
    ),
    Case(
        "colour",
        lambda v: colour.beer_colour((colour.ColouredGrain(4.2, 3.0), colour.ColouredGrain(0.3, 40.0)), v),
        (M(20.0, 0.8),),
    ),
    Case(
        "ion of a salt",
        lambda m, v: water_chemistry.ion_from_salt(Salt.GYPSUM, Ion.CALCIUM, m, v),
        (M(0.004, 0.0002), M(20.0, 0.4)),
    ),
    Case("pH", lambda ph: water_chemistry.ph_at_room_temperature(ph, 65.0), (M(5.2, 0.05),)),
    Case("units of a hold", pasteurisation.units, (M(20.0, 0.5), M(63.0, 0.3))),
    Case("minutes for units", lambda t: pasteurisation.minutes_for_units(15.0, t), (M(62.0, 0.4),)),
    Case("solution by ratio", lambda v: dilution.dose_by_ratio(v, 300.0), (M(19.0, 0.5),)),
    Case(
        "solution by strength",
        lambda v, s: dilution.dose_by_strength(v, s, 0.0025),
        (M(20.0, 0.5), M(1.75, 0.05)),
    ),
    Case("burner", fuel.burner_efficiency, (M(3000.0, 60.0), M(0.35, 0.01), M(36.6, 0.5))),
    Case("gas burnt", lambda q, e: fuel.gas_needed_kg(q, efficiency=e), (M(6.6e6, 1e5), M(0.45, 0.02))),
    Case(
        "litres to reach",
        lambda v, one, two: mixing.litres_to_reach(v, one, two, 1.045),
        (M(15.0, 0.2), M(1.060, 0.001), M(1.020, 0.001)),
    ),
    Case("two waters", mixing.mix_temperature, (M(10.0, 0.2), M(80.0, 0.8), M(10.0, 0.2), M(20.0, 0.8))),
    Case("hot volume", water_use.hot_l, (M(25.0, 0.3), M(90.0, 3.0), M(1.048, 0.002))),
    Case(
        "first run",
        lambda g, w, held: water_use.first_wort_l(g, w, water_use.Rig(held_l_per_kg=held)),
        (M(5.0, 0.05), M(15.0, 0.2), M(0.95, 0.06)),
    ),
    Case("held by grain", water_use.held_l_per_kg_from, (M(5.0, 0.05), M(28.0, 0.2), M(23.2, 0.2))),
)


def _exact(values: Iterator[float] | tuple[float, ...]) -> list[Measured]:
    return [Measured(value, 0.0) for value in values]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_uncertainty_is_that_of_simulated_readings(case: Case) -> None:
    """What the readings add to the uncertainty is the scatter of 1000 simulated ones, within 9 %."""
    generator = np.random.default_rng(20)
    drawn = [generator.normal(item.value, item.sd, DRAWS).tolist() for item in case.inputs]
    values = [case.formula(*_exact(inputs)).value for inputs in zip(*drawn, strict=True)]
    expected = float(np.std(values))

    told = case.formula(*case.inputs)
    of_the_model = case.formula(*_exact(tuple(item.value for item in case.inputs))).sd

    assert expected == pytest.approx(math.sqrt(told.sd**2 - of_the_model**2), rel=TOLERANCE)
