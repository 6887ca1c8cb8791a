"""Where the formulas come from. A `Result` names its source by a key of this table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Source:
    """A publication, or a rule of the trade.

    status: SRC the source itself was read; 2ND in a secondary reproduction; LIB a reference library; CALC our own
    arithmetic from such; MEM from memory; CP common practice without a source.
    """

    title: str
    status: str


SOURCES: Final[dict[str, Source]] = {
    "mass balance": Source("conservation of extract and water", "CALC"),
    "atmosphere": Source("US Standard Atmosphere 1976 (ISO 2533)", "LIB"),
    "if97": Source("IAPWS R7-97(2012), industrial formulation IF97", "LIB"),
    "sucrose density": Source("Bubnik, Kadlec, Urban and Bruhns, Sugar Technologists Manual, 1995, p. 164", "2ND"),
    "asbc": Source(
        "American Society of Brewing Chemists, cubic of the extract table, as an encyclopaedia has it", "2ND"
    ),
    "comparison": Source("the brewer's own two instruments in one wort; sucrose density for the scale", "CALC"),
    "wort cp": Source("Bubnik et al., Sugar Technologists Manual, 1995: specific heat of sugar solutions", "2ND"),
    "malt heat": Source("Pauls and Whites Brewing Room Book, 1984/85: specific and slaking heat of malt", "2ND"),
    "latent heat": Source("Clapeyron's equation with IF97 and IAPWS SR1-86(1992), saturated vapour", "LIB"),
    "boiling elevation": Source("Starzak and Peacock, Zuckerindustrie 122, 1997: water activity of sucrose", "2ND"),
    "heat balance": Source("conservation of energy", "CALC"),
    "combustion": Source("standard enthalpies of formation, CODATA 1989 and NIST Chemistry WebBook", "LIB"),
    "attenuation": Source("definition of apparent attenuation, from extracts in mass per cent", "CALC"),
    "real extract": Source("real extract by 0.1808 OE + 0.8192 AE, tradition of Balling and the ASBC", "2ND"),
    "balling": Source("Balling's yields (1865), reviewed in Kvasny Prumysl 61 (2015) 120", "2ND"),
    "short alcohol rule": Source("131.25 times the fall of specific gravity", "CP"),
    "calories": Source("ASBC calorie rule, The Oxford Companion to Beer (2011), 'calories'", "2ND"),
    "refractometer in beer": Source("real extract + 0.41 alcohol by weight, from refractive indices", "CALC"),
    "Terrill linear": Source("Terrill, Refractometer FG Results (2011), linear", "SRC"),
    "Terrill cubic": Source("Terrill, Refractometer FG Results (2011), cubic", "SRC"),
    "older refractometer cubic": Source("cubic attributed to Bonham, Zymurgy (2001)", "2ND"),
    "isomerisation": Source(
        "Malowicki and Shellhammer, J. Agric. Food Chem. 53, 2005, 4434 (abstract; per minute is inferred)", "SRC"
    ),
    "common practice": Source("a rule of the trade", "CP"),
    "wort factor": Source("common practice, no source: the factor; sucrose density for the scale", "CP"),
    "carroll": Source("Carroll, Slupsky and Mather, J. Phys. Chem. Ref. Data 20 (1991) 1201", "SRC"),
    "keg table": Source("0.95 of the solubility in water: its ratio to a polynomial in circulation", "2ND"),
    "priming": Source("equation of fermentation, CIAAW standard atomic weights 2021", "CALC"),
    "priming practice": Source("gas yields of malt extract and honey used in the trade", "CP"),
    "krausening": Source("mass balance with Balling's yields (1865)", "CALC"),
    "over-carbonation": Source("mass balance, Balling's yields and the equation of fermentation", "CALC"),
    "fermentation gas": Source("Balling's yields (1865): 0.9565 g of carbon dioxide to a gram of alcohol", "2ND"),
    "carbon dioxide limits": Source("29 CFR 1910.1000 Table Z-1; NIOSH 76-194 and IDLH for carbon dioxide", "2ND"),
    "glass": Source("ISO 1768:1975, clause 3: expansion of glass hydrometers", "SRC"),
    "ice point": Source("International Temperature Scale of 1990: ice melts at 0.00 °C", "MEM"),
    "refractometer table": Source("international refractometer table of 1936", "2ND"),
    "bitterness": Source(
        "isomerisation (Malowicki and Shellhammer, 2005), recovery calibrated on Tinseth at 60 minutes", "CALC"
    ),
    "Tinseth": Source("Tinseth, Glenn's Hop Utilization Numbers, 1995 to 1997 (the numbers second-hand)", "2ND"),
    "Rager": Source("Rager, Zymurgy special issue 13(4), 1990 (table from memory)", "MEM"),
    "gravity trend": Source("weighted least squares over the last gravities, JCGM 100:2008", "CALC"),
    "gravity decay": Source("first-order decay fitted by least squares; a description, no kinetics", "CALC"),
    "geometry": Source("geometry of cylinder, sphere and torus; Jones, Chemical Processing, 2003", "CALC"),
    "oxygen in water": Source("Benson and Krause, 1980 and 1984, form of Standard Methods 4500-O", "2ND"),
    "oxygen in wort": Source("oxygen in water, less what sugar salts out (sources disagree, not confirmed)", "MEM"),
    "oxygen practice": Source("common practice, no source: oxygen wanted, time of aeration", "CP"),
    "colour scales": Source("EBC 25 A, SRM 12.7 A of one absorbance; malt 1.3546 L - 0.76", "2ND"),
    "morey": Source("Morey, 'Beer's Law', as quoted by others; real beers 20 % off", "2ND"),
    "salts": Source("formulas of the salts, CIAAW standard atomic weights 2021", "CALC"),
    "kolbach": Source("Kolbach (1953), residual alkalinity, as given in several secondary texts", "2ND"),
    "ph temperature": Source("Briggs et al., Brewing: Science and Practice (2004), as quoted by others", "2ND"),
    "pasteurisation units": Source("Del Vecchio, Dayharsh and Baselt, ASBC Proceedings (1951)", "2ND"),
    "label": Source("ratio or strength on the label of the product; arithmetic of the mixture", "CALC"),
    "sanitising New York": Source("New York 1 NYCRR 2.18", "SRC"),
    "sanitising California": Source("California Food and Agricultural Code 33519", "SRC"),
    "sanitising California health": Source("California Health and Safety Code 114099.6", "SRC"),
    "mixing": Source("conservation of extract, water and heat", "CALC"),
    "volume balance": Source("what is poured in, runs off or stays; volumes at one temperature", "CALC"),
    "pitching rate": Source("Fix, An Analysis of Brewing Techniques, ale 0.75, lager 1.5 million/(mL °P)", "2ND"),
    "yeast practice": Source("common practice, no source: counts, viability, starter growth, temperatures", "CP"),
    "cooling": Source("Incropera and DeWitt, Fundamentals of Heat and Mass Transfer: lumped cooling", "MEM"),
    "coil": Source("Incropera and DeWitt: effectiveness and NTU at a heat-capacity ratio of zero", "MEM"),
    "unstirred": Source("common practice, no source: unstirred wort chills about half as fast", "CP"),
    "ice": Source("latent heat of fusion of TEOS-10 (IAPWS-06); heat balance", "LIB"),
    "still air": Source("Cengel, Heat Transfer, simplified natural convection; Stefan-Boltzmann radiation", "2ND"),
}
