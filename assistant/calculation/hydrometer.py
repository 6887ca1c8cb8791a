"""What a glass hydrometer means: its own error, its calibration temperature, and the heat of the sample."""

from __future__ import annotations

from typing import Final

from assistant.calculation import sucrose, water
from assistant.calculation.limits import require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import (
    AIR_KG_M3,
    HIGHEST_SG,
    LOWEST_READING_SG,
    LOWEST_SG,
    mass_fraction_from_sg,
    sg_from_mass_fraction,
    sg_from_reference,
)
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange, Shown

GLASS_EXPANSION_PER_K: Final = 25e-6
# Three times the linear 3.3e-6 /K of ISO 3585 (from memory): the glass of laboratory ware.
BOROSILICATE_EXPANSION_PER_K: Final = 10e-6
TOO_HOT_C: Final = 60.0
PLASTIC_SPAN_K: Final = 3.0
_MODEL_SD_SG: Final = 0.0002
_MODEL_SD_HOT_SG: Final = 0.0005
_PLASTIC_SD_SG_PER_K: Final = 0.0002
_HOT_NOTE: Final = "No published correction reaches so hot a sample: cool a cup and read again."
_PLASTIC_NOTE: Final = "Plastic is not corrected for heat; read it at its calibration temperature."


def correct(
    reading_sg: float,
    sample_c: float,
    *,
    calibration_c: float,
    reading_sd_sg: float,
    thermometer_sd_c: float,
    reads_in_water_sg: float = 1.0,
    glass: bool = True,
    expansion_per_k: float = GLASS_EXPANSION_PER_K,
) -> Result:
    """Tell the SG [20/20 °C] of wort in which a hydrometer shows `reading_sg` [SG] at `sample_c` [°C].

    Formula: density at the mark of the warm glass, the sugar that has it there, its gravity at 20 °C.

    1. The instrument's own error goes first: `reads_in_water_sg` [SG] is what it shows in water at its calibration
       temperature `calibration_c` [°C] = t0.
    2. Mark R of a glass body stands for ρ_liquid(t) = [ρ_air + R (ρ_water(t0) - ρ_air)] / [1 + β (t - t0)],
       β = `expansion_per_k` [1/K], 25e-6 of soda-lime glass unless told; borosilicate has 10e-6.
    3. w solves ρ_sucrose(w, t) = ρ_liquid(t); the result is the apparent SG 20/20 of w.

    The result is always on the 20/20 scale. An instrument made for 60 °F (15.56 °C) shows SG 60/60, so even at
    60 °F it is not left alone: 1.0402 on it is 1.0400 at 20/20.

    The uncertainty joins `reading_sd_sg` [SG], `thermometer_sd_c` [°C] through the slope of the correction, and the
    model's own error, taken as one standard deviation: 0.0002 to 60 °C, 0.0005 above.

    Bias: wort sugars are not sucrose (the model's own error above). Borosilicate taken for soda-lime glass makes
    the result 0.6 points low at 60 °C. A water-only correction would be 1 point low for wort of 1.050 there.
    A liquid lighter than water is taken to expand as water does; alcohol makes it expand more. Foam and bubbles
    lift the glass.

    A plastic body (`glass` false) is not corrected for heat: within 3 K of its calibration the reading stands, with
    0.0002 per K more uncertainty (judgement); farther off it is refused.

    Valid: sample and calibration 0 to 100 °C, readings 0.95 to 1.17, results 0.98 to 1.17, glass of 5e-6 to
    35e-6 /K.

    Source: ISO 1768:1975, clause 3 for β; Bubnik et al. (1995) for the densities; agrees with the table of Plato
    (1900) reprinted in NBS Circular 440 (1942), recalled from memory, within 0.05 °Bx from 10 to 60 °C.

    Raises:
        OutsideRange: outside that range, or plastic too far from its calibration.

    >>> hot = correct(1.026, 65.5556, calibration_c=20.0, reading_sd_sg=0.0005, thermometer_sd_c=0.5)
    >>> hot.value, hot.sd
    (1.0442, 0.0008)
    >>> correct(1.0402, 15.5556, calibration_c=15.5556, reading_sd_sg=0.0005, thermometer_sd_c=0.5).value
    1.0400
    """
    require_within("The temperature of the sample", sample_c, water.LOWEST_C, water.HIGHEST_C, "°C")
    require_within("The calibration temperature", calibration_c, water.LOWEST_C, water.HIGHEST_C, "°C")
    require_within("The hydrometer's reading in water", reads_in_water_sg, 0.98, 1.02, "SG")
    require_within("The expansion of the glass", expansion_per_k, 5e-6, 35e-6, "/K")
    require_within("The hydrometer reading", reading_sg, LOWEST_READING_SG, HIGHEST_SG, "SG")
    reading = Measured(reading_sg, reading_sd_sg)
    offset_sg = reads_in_water_sg - 1.0
    if not glass:
        off_k = abs(sample_c - calibration_c)
        if off_k > PLASTIC_SPAN_K:
            raise OutsideRange(
                "A plastic hydrometer cannot be corrected for heat: cool the sample to within "
                "{span} of {calibration}, not {sample}.",
                span=Shown(PLASTIC_SPAN_K, "K"),
                calibration=Shown(calibration_c, "°C"),
                sample=Shown(sample_c, "°C"),
            )
        told = propagate(
            lambda shown: sg_from_reference(shown - offset_sg, calibration_c),
            reading,
            model_sd=_MODEL_SD_SG + _PLASTIC_SD_SG_PER_K * off_k,
        )
        return Result(told.value, told.sd, "SG", "sucrose density", Verdict.NEAR_LIMIT, _PLASTIC_NOTE)
    hot = too_hot_to_trust(sample_c)
    told = propagate(
        lambda shown, sample: _glass_sg(shown - offset_sg, sample, calibration_c, expansion_per_k),
        reading,
        Measured(sample_c, thermometer_sd_c),
        model_sd=_MODEL_SD_HOT_SG if hot else _MODEL_SD_SG,
    )
    return Result(
        told.value, told.sd, "SG", "glass", Verdict.NEAR_LIMIT if hot else Verdict.INSIDE, _HOT_NOTE if hot else ""
    )


def too_hot_to_trust(sample_c: float) -> bool:
    """Tell whether a sample of `sample_c` [°C] should be cooled and read again rather than corrected.

    Bias: 60 °C is a judgement: above it no published correction was found to test against.

    Valid: any temperature.

    Source: range of the saccharometer correction table of Plato (1900), NBS Circular 440 (1942): it ends at 60 °C.

    >>> too_hot_to_trust(60.0), too_hot_to_trust(65.0)
    (False, True)
    """
    return sample_c > TOO_HOT_C


def _glass_sg(mark_sg: float, sample_c: float, calibration_c: float, expansion_per_k: float) -> float:
    scale_kg_m3 = water.density_kg_m3(calibration_c) - AIR_KG_M3
    at_mark_kg_m3 = AIR_KG_M3 + mark_sg * scale_kg_m3
    liquid_kg_m3 = at_mark_kg_m3 / (1.0 + expansion_per_k * (sample_c - calibration_c))
    water_kg_m3 = water.density_kg_m3(sample_c)
    if liquid_kg_m3 < water_kg_m3:
        sg = (liquid_kg_m3 - AIR_KG_M3) / (water_kg_m3 - AIR_KG_M3)
    else:
        mass_fraction = sucrose.mass_fraction_from_density(liquid_kg_m3, sample_c)
        if mass_fraction > mass_fraction_from_sg(HIGHEST_SG):
            raise OutsideRange(
                "A reading of {mark:gravity} at {sample} would be wort above {highest}, where the correction ends.",
                mark=Shown(mark_sg, "SG"),
                sample=Shown(sample_c, "°C"),
                highest=Shown(HIGHEST_SG, "SG"),
            )
        sg = sg_from_mass_fraction(mass_fraction)
    require_within("The corrected gravity", sg, LOWEST_SG, HIGHEST_SG, "SG")
    return sg
