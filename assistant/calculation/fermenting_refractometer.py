"""What a refractometer means in beer: alcohol bends light as well, so a reading alone tells no gravity.

Readings here are true ones: corrected for temperature and divided by the wort factor where a function does not do
it itself. Extracts are mass per cent (°P), gravities SG 20/20 °C.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from assistant.calculation.fermentation import (
    EXTRACT_PER_ALCOHOL,
    HIGHEST_ORIGINAL_PLATO,
    STRONG_PLATO,
    alcohol_by_weight_percent,
    real_extract_plato,
)
from assistant.calculation.limits import require_within
from assistant.calculation.results import Result, Verdict
from assistant.calculation.scales import plato_from_sg, sg_from_plato
from assistant.calculation.uncertainty import propagate
from assistant.quantities import Measured, OutsideRange

# A refractometer in beer shows the real extract, and 0.41 °Bx for each per cent by weight of alcohol.
BRIX_PER_ALCOHOL: Final = 0.41
MODEL_SD_SG: Final = 0.002
# Below it the fits to finished beer are no longer used for the spread; at 50 % they are 5 points low already.
FINISHED_ATTENUATION_PERCENT: Final = 65.0

_LOWEST_READING_SHARE: Final = 0.3


@dataclass(frozen=True, slots=True)
class FermentingGravity:
    """The gravity behind a refractometer reading in beer.

    model: the answer, from real extract and alcohol.
    published: what the published equations make of the same reading, for comparison.
    spread_sg: from the lowest to the highest of those that hold here, the model included, SG.
    attenuation_percent: apparent attenuation by the model, %.
    """

    model: Result
    published: tuple[Result, ...]
    spread_sg: float
    attenuation_percent: float


def reading_in_beer_brix(original_plato: float, apparent_plato: float) -> float:
    """Give what a refractometer shows [°Bx] in beer from `original_plato` [°P] that is at `apparent_plato` [°P].

    reading = RE + 0.41 ABW, both by the rules of `fermentation`.

    Bias: 0.41 follows from the refractive index of alcohol in water, 6.0e-4 to a per cent by weight (handbook
    figures from memory); old constants of the trade imply 6.5e-4, which would be 0.45.

    Valid: original 0 to 30 °P, apparent -5.3 °P to the original.

    Source: own arithmetic from refractive indices of sucrose and ethanol solutions and Balling's yields.

    Raises:
        OutsideRange: outside that range.

    >>> reading_in_beer_brix(12.0, 3.0)
    6.19
    """
    real = real_extract_plato(original_plato, apparent_plato)
    return real + BRIX_PER_ALCOHOL * alcohol_by_weight_percent(original_plato, real)


def apparent_plato_from_reading(original_plato: float, brix: float) -> float:
    """Give the apparent extract [°P] of beer from `original_plato` [°P] that shows `brix` [°Bx] on a refractometer.

    Inverse of `reading_in_beer_brix`; both rules behind it are straight lines in the apparent extract.

    Valid: original above 0 to 30 °P, reading 0.3 times to 1 times the original.

    Source: as `reading_in_beer_brix`.

    Raises:
        OutsideRange: outside that range; beer never shows more than its wort did.

    >>> apparent_plato_from_reading(12.0, 6.1866)
    3.00
    """
    require_within("The original extract", original_plato, 0.0, HIGHEST_ORIGINAL_PLATO, "°P")
    if brix > original_plato + 1e-9:
        raise OutsideRange(
            f"In fermenting beer the refractometer must show less than the {original_plato:.3g} °P of its wort, "
            f"not {brix:.3g} °Bx."
        )
    require_within("The reading in the beer", brix, _LOWEST_READING_SHARE * original_plato, original_plato, "°Bx")
    per_alcohol = BRIX_PER_ALCOHOL / (EXTRACT_PER_ALCOHOL - 0.010665 * original_plato)
    real = (brix - per_alcohol * original_plato) / (1.0 - per_alcohol)
    nothing_left = real_extract_plato(original_plato, 0.0)
    slope = real_extract_plato(original_plato, original_plato) - nothing_left
    return original_plato * (real - nothing_left) / slope if slope else 0.0


def terrill_linear_sg(original_brix: float, beer_brix: float) -> float:
    """Give the gravity [SG] of finished beer from `original_brix` and `beer_brix` [°Bx, true]: Terrill's line.

    FG = 1.0000 - 0.00085683 Bi + 0.0034941 Bf.

    Bias: for finished beer only: 5 points low at half attenuation, 11 at a quarter.

    Valid: 0 to 32 °Bx, the second at most the first.

    Source: Terrill, "Refractometer FG Results" (2011), the author's page.

    Raises:
        OutsideRange: outside that range.

    >>> terrill_linear_sg(12.0, 6.0)
    1.01068
    """
    _require_pair(original_brix, beer_brix)
    return 1.0 - 0.00085683 * original_brix + 0.0034941 * beer_brix


def terrill_cubic_sg(original_brix: float, beer_brix: float) -> float:
    """Give the gravity [SG] of finished beer from `original_brix` and `beer_brix` [°Bx, true]: Terrill's cubic.

    FG = 1.0000 - 0.0044993 Bi + 0.011774 Bf + 0.00027581 Bi² - 0.0012717 Bf² - 7.28e-6 Bi³ + 6.3293e-5 Bf³.

    Bias: for finished beer only: 5 points low at half attenuation, 9 at a quarter.

    Valid: 0 to 32 °Bx, the second at most the first.

    Source: Terrill, "Refractometer FG Results" (2011), the author's page.

    Raises:
        OutsideRange: outside that range.

    >>> terrill_cubic_sg(12.0, 6.0)
    1.01168
    """
    _require_pair(original_brix, beer_brix)
    first = original_brix * (-0.0044993 + original_brix * (0.00027581 - 7.28e-6 * original_brix))
    second = beer_brix * (0.011774 + beer_brix * (-0.0012717 + 6.3293e-5 * beer_brix))
    return 1.0 + first + second


def older_cubic_sg(original_brix: float, beer_brix: float) -> float:
    """Give the gravity [SG] of beer from `original_brix` and `beer_brix` [°Bx, true] by an older cubic.

    1.001843 - 0.002318474 Bi - 7.775e-6 Bi² - 3.4e-8 Bi³ + 0.00574 Bf + 3.344e-5 Bf² + 8.6e-8 Bf³.

    Bias: 2 to 5 points low in finished beer, fair on the way there.

    Valid: 0 to 32 °Bx, the second at most the first.

    Source: in wide circulation; attributed to Bonham, Zymurgy (2001), from memory; seen in secondary text only.

    Raises:
        OutsideRange: outside that range.

    >>> older_cubic_sg(12.0, 6.0)
    1.00851
    """
    _require_pair(original_brix, beer_brix)
    first = original_brix * (-0.002318474 + original_brix * (-7.775e-6 - 3.4e-8 * original_brix))
    second = beer_brix * (0.00574 + beer_brix * (3.344e-5 + 8.6e-8 * beer_brix))
    return 1.001843 + first + second


def gravity_from_reading(
    original_plato: Measured, reading_brix: Measured, wort_factor: Measured
) -> FermentingGravity:
    """Give the SG [20/20 °C] of beer from wort of `original_plato` [°P] that shows `reading_brix` [°Bx] as read.

    Formula: reading / wort factor = RE + 0.41 alcohol.

    The reading is divided by `wort_factor` [ratio] first, as in wort. The uncertainty joins those of the three with
    0.002 of the model's own. The published equations stand beside it, with the spread of those that hold here.

    Bias: fits to finished beer are 5 to 11 points low on the way there; they say so in their note below 65 %
    attenuation, and are kept out of the spread.

    Valid: original above 0 to 30 °P, wort factor 0.95 to 1.10, reading 0.3 times to 1 times the original.

    Source: own model, `reading_in_beer_brix`; Terrill (2011) and an older cubic for comparison.

    Raises:
        OutsideRange: outside that range.

    >>> beer = gravity_from_reading(Measured(12.0, 0.1), Measured(6.43, 0.1), Measured(1.04, 0.0))
    >>> beer.model.value, beer.attenuation_percent
    (1.0117, 75.0)
    >>> beer.spread_sg
    0.0027
    """
    require_within("The wort factor", wort_factor.value, 0.95, 1.10)

    def gravity(original: float, reading: float, factor: float) -> float:
        return sg_from_plato(apparent_plato_from_reading(original, reading / factor))

    found = propagate(gravity, original_plato, reading_brix, wort_factor, model_sd=MODEL_SD_SG)
    original, true_brix = original_plato.value, reading_brix.value / wort_factor.value
    attenuation = 100.0 * (1.0 - plato_from_sg(found.value) / original)
    strong = original > STRONG_PLATO
    model = Result(
        found.value,
        found.sd,
        "SG",
        "refractometer in beer",
        Verdict.NEAR_LIMIT if strong else Verdict.INSIDE,
        "A hydrometer settles it: a refractometer in beer is good to about two points.",
    )
    published = (
        _finished_fit(terrill_linear_sg(original, true_brix), "Terrill linear", found.value, attenuation),
        _finished_fit(terrill_cubic_sg(original, true_brix), "Terrill cubic", found.value, attenuation),
        Result(
            older_cubic_sg(original, true_brix),
            MODEL_SD_SG,
            "SG",
            "older refractometer cubic",
            Verdict.RULE_OF_THUMB,
            "Reads 2 to 5 points low in finished beer.",
        ),
    )
    usable = [model.value, *(fit.value for fit in published if fit.verdict is not Verdict.NEAR_LIMIT)]
    return FermentingGravity(model, published, max(usable) - min(usable), attenuation)


def _finished_fit(value: float, source: str, model_sg: float, attenuation_percent: float) -> Result:
    if attenuation_percent >= FINISHED_ATTENUATION_PERCENT:
        return Result(value, MODEL_SD_SG, "SG", source)
    low = 1000.0 * (model_sg - value)
    side = "below" if low >= 0.0 else "above"
    note = (
        f"Made for finished beer, not for {attenuation_percent:.0f} % attenuation: "
        f"{abs(low):.0f} points {side} the model here, so do not use it."
    )
    return Result(value, max(MODEL_SD_SG, abs(low) / 1000.0), "SG", source, Verdict.NEAR_LIMIT, note)


def _require_pair(original_brix: float, beer_brix: float) -> None:
    require_within("The refractometer reading of the wort", original_brix, 0.0, 32.0, "°Bx")
    require_within("The refractometer reading of the beer", beer_brix, 0.0, original_brix, "°Bx")
