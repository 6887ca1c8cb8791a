"""Brewing physics, pure: floats in, floats or `Measured` out, each unit in the name.

Subjects, one module each:
water, sucrose                  densities that everything else rests on
scales                          specific gravity, points, Plato, Brix, reference temperatures
hydrometer, refractometer       what an instrument means
pressure                        air at an altitude, where water boils
volumes                         dipstick, cylinder, shrinking of hot wort
extract                         mass balance of boiling and adding
chill                           learning the cooling as it goes
limits, uncertainty             refusing outside the range; propagating uncertainty

Specific gravity is apparent, 20/20 °C. Outside its range a formula raises `quantities.OutsideRange`.
"""
