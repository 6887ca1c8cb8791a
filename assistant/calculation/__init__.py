"""Brewing physics, pure: floats in, floats or `Measured` out, each unit in the name.

Subjects, one module each:
water, sucrose                  densities that everything else rests on
scales                          specific gravity, points, Plato, Brix, reference temperatures
hydrometer, refractometer       what an instrument means
pressure                        air at an altitude, where water boils
volumes                         dipstick, cylinder, shrinking of hot wort
vessels, water_use              vessels by their measures; water from the tap to the fermenter
extract, corrections            mass balance of boiling and adding; hitting gravity and volume at once
grain_bill                      what the grain should give, and what it gave
heat, steam, fuel               warming, boiling off, what it burns
mash, mash_steps                strike water; infusions, decoctions, rests
instruments                     thermometer, hydrometer and refractometer against ice, steam and water
hop_kinetics, boil_history      alpha acid over the temperatures of the day
bitterness, hop_utilisation     bitterness by kinetics; the trade's tables beside it
chill, chill_design, chill_ice  learning the cooling as it goes; coils, ice, a night's rest
yeast, oxygen                   what is pitched, and the air it needs
fermentation, fermentation_progress, fermenting_refractometer   alcohol, whether it is finished, sugar in beer
carbonation, priming            gas in beer, and what makes it
colour, water_chemistry, molar_mass, dilution, mixing, pasteurisation   what else a brewer asks
results, sources                what an answer carries, and where it comes from
limits, uncertainty, least      refusing outside the range; propagating uncertainty; the lowest point of a curve

Specific gravity is apparent, 20/20 °C. Outside its range a formula raises `quantities.OutsideRange`.
"""
