"""The truth of a rehearsed day: what the instruments would show, so that what was heard can be scored.

Nothing of this is known to the assistant. Small misses are put in on purpose, so that the day is not a fairy tale.
"""

from __future__ import annotations

from decimal import Decimal

from assistant.calculation import hydrometer, scales, volumes
from assistant.day.plan import Plan
from assistant.quantities import Unit, from_core
from assistant.understanding.said import Kind, Reading

# A sample cooled in a cup before it is read.
SAMPLE_C = 24.0
# The first runnings are read hot, as brewers do.
RUNNINGS_C = 62.0


class World:
    """What can be read off the instruments of this plan's rig, in the brewer's units and steps."""

    def __init__(self, plan: Plan) -> None:
        """Decide the truth of the day."""
        self._plan = plan
        self.before_boil_sg = plan.beer.gravity_before_boil_sg + 0.001
        self.before_boil_l = plan.volume_before_boil_l + 0.3
        self.after_boil_sg = plan.beer.gravity_after_boil_sg - 0.001

    def temperature(self, temperature_c: float) -> Reading:
        """A thermometer's reading, in whole degrees of the brewer's unit."""
        unit = self._plan.units.temperature
        return Reading(Kind.TEMPERATURE, Decimal(round(from_core(temperature_c, unit))), unit, "")

    def hydrometer(self, true_sg: float, sample_c: float) -> Reading:
        """What the hydrometer shows in wort of `true_sg` (SG 20/20) at `sample_c`: low, when the wort is hot."""
        low, high = true_sg - 0.05, true_sg + 0.02
        for _ in range(50):
            middle = (low + high) / 2.0
            if self._corrected_sg(middle, sample_c) < true_sg:
                low = middle
            else:
                high = middle
        return self.gravity((low + high) / 2.0)

    def _corrected_sg(self, shown_sg: float, sample_c: float) -> float:
        glass = self._plan.rig.hydrometer
        return hydrometer.correct(
            shown_sg,
            sample_c,
            calibration_c=glass.calibration_c,
            reading_sd_sg=glass.sd_sg,
            thermometer_sd_c=self._plan.rig.thermometer_sd_c,
            reads_in_water_sg=glass.reads_in_water_sg,
        ).value

    def gravity(self, shown_sg: float) -> Reading:
        """A gravity as this brewer reads it off the scale."""
        if self._plan.units.gravity is Unit.PLATO:
            plato = Decimal(str(round(scales.plato_from_sg(shown_sg), 1)))
            return Reading(Kind.GRAVITY, plato, Unit.PLATO, "")
        return Reading(Kind.GRAVITY, Decimal(f"{shown_sg:.3f}"), Unit.SPECIFIC_GRAVITY, "")

    def kettle_volume(self, cold_l: float, temperature_c: float, sg: float) -> Reading:
        """The kettle by the stick, or by volume where the rig has no table; hot wort stands higher."""
        hot_l = volumes.volume_at_temperature_l(cold_l, temperature_c, sg)
        if self._plan.rig.dipstick:
            unit = self._plan.units.depth
            depth = from_core(volumes.depth_of_volume_m(hot_l, self._plan.rig.dipstick), unit)
            return Reading(Kind.DEPTH, Decimal(str(round(depth * 2) / 2)), unit, "")
        return self.volume(hot_l)

    def volume(self, volume_l: float) -> Reading:
        """A volume off a sight glass or a marked fermenter, in tenths."""
        unit = self._plan.units.volume
        return Reading(Kind.VOLUME, Decimal(str(round(from_core(volume_l, unit), 1))), unit, "")

    def chill_c(self, seconds: float) -> float:
        """The kettle this long after the cooling water was turned on [°C]."""
        chiller = self._plan.rig.chiller
        coolant = 12.0 if chiller is None or chiller.coolant_c is None else chiller.coolant_c
        start = self._plan.rig.boiling_point_c - 4.0
        return float(coolant + (start - coolant) * 2.718281828 ** (-seconds / 420.0))
