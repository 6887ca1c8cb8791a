"""Every word we understand, apart from the number words: units, orders, separators, corrections, fillers.

The parser and the word list of the ear are made from these tables, so that nothing can be understood
that cannot be heard. Spoken words are in lower case and spelled as words. What only a keyboard brings
(symbols, short forms, other spellings) stands apart and never reaches the ear.
"""

from __future__ import annotations

from typing import Final

from assistant.quantities import Unit
from assistant.understanding.said import Command, Kind

# --- units

# Singular and plural; the first is said after numbers other than one.
SPOKEN_UNITS: Final[dict[Unit, tuple[str, ...]]] = {
    Unit.POINTS: ("points",),
    Unit.PLATO: ("plato", "degrees plato"),
    Unit.BRIX: ("brix", "degrees brix"),
    Unit.CELSIUS: ("celsius", "degrees celsius"),
    Unit.FAHRENHEIT: ("fahrenheit", "degrees fahrenheit"),
    Unit.LITRE: ("litres", "litre"),
    Unit.MILLILITRE: ("millilitres", "millilitre"),
    Unit.US_GALLON: ("gallons", "gallon"),
    Unit.US_QUART: ("quarts", "quart"),
    Unit.CENTIMETRE: ("centimetres", "centimetre"),
    Unit.MILLIMETRE: ("millimetres", "millimetre"),
    Unit.INCH: ("inches", "inch"),
    Unit.KILOGRAM: ("kilograms", "kilogram", "kilos", "kilo"),
    Unit.GRAM: ("grams", "gram"),
    Unit.OUNCE: ("ounces", "ounce"),
    Unit.POUND: ("pounds", "pound"),
    Unit.SECOND: ("seconds", "second"),
    Unit.MINUTE: ("minutes", "minute", "more minutes"),
    Unit.HOUR: ("hours", "hour"),
    Unit.PH: ("ph",),
}
# A temperature in the brewer's own unit.
DEGREES: Final[tuple[str, ...]] = ("degrees", "degree")

TYPED_UNITS: Final[dict[Unit, tuple[str, ...]]] = {
    Unit.SPECIFIC_GRAVITY: ("sg",),
    Unit.POINTS: ("pts",),
    Unit.PLATO: ("p", "° p", "°p"),
    Unit.BRIX: ("bx", "° bx", "°bx"),
    Unit.CELSIUS: ("c", "° c", "degrees c"),
    Unit.FAHRENHEIT: ("f", "° f", "degrees f"),
    Unit.LITRE: ("l", "liters", "liter"),
    Unit.MILLILITRE: ("ml", "milliliters", "milliliter"),
    Unit.US_GALLON: ("gal",),
    Unit.US_QUART: ("qt", "qts"),
    Unit.CENTIMETRE: ("cm", "centimeters", "centimeter"),
    Unit.MILLIMETRE: ("mm", "millimeters", "millimeter"),
    Unit.INCH: ("in",),
    Unit.KILOGRAM: ("kg",),
    Unit.GRAM: ("g",),
    Unit.OUNCE: ("oz",),
    Unit.POUND: ("lb", "lbs"),
    Unit.SECOND: ("s", "sec"),
    Unit.MINUTE: ("min", "mins"),
    Unit.HOUR: ("h",),
}
TYPED_DEGREES: Final[tuple[str, ...]] = ("°", "deg")

# Said in front of a number, it tells what the number is.
KIND_WORDS: Final[dict[str, Kind]] = {
    "gravity": Kind.GRAVITY,
    "temperature": Kind.TEMPERATURE,
    "volume": Kind.VOLUME,
    "depth": Kind.DEPTH,
    "ph": Kind.PH,
    "weight": Kind.MASS,
}

# --- between and around readings

AT: Final = "at"
AND: Final = "and"
COMMA: Final = ","
UNKNOWN: Final = "[unk]"
CORRECTIONS: Final[tuple[str, ...]] = ("no", "correction", "i mean", "make that")
# Words that mean nothing. "now" and "well" are kept out: they sound like "no" and "twelve".
FILLERS: Final[tuple[str, ...]] = ("um", "uh", "the", "it's", "is", "okay", "please")

# --- orders

# The first phrase of each is the one we teach. Kept short, few, and distinct in sound: no pair of
# orders differs in "on" against "off" alone.
COMMANDS: Final[dict[Command, tuple[str, ...]]] = {
    Command.BEGIN: ("start the day", "begin the day", "begin"),
    Command.DONE: ("done", "that's done", "all done"),
    Command.SKIP: ("skip", "skip it", "skip that"),
    Command.YES: ("yes", "that's right"),
    Command.NO: ("no", "that's wrong"),
    Command.HOLD: ("stop the clock", "hold the clock"),
    Command.GO_ON: ("carry on", "go on", "start the clock"),
    Command.MASH_IN: ("mash is in", "mashed in"),
    Command.RUN_OFF: ("run off", "start the run off"),
    Command.KETTLE_FULL: ("kettle is full",),
    Command.BOIL_ON: ("boil is on", "it's boiling"),
    Command.KNOCKOUT: ("knockout", "knock out", "flame out"),
    Command.CHILL_ON: ("water is on", "chill is on", "chiller is on"),
    Command.CHILL_DONE: ("chill is done", "cold enough"),
    Command.TRANSFER_DONE: ("transfer is done", "fermenter is full"),
    Command.OXYGEN_DONE: ("oxygen is done", "air is in"),
    Command.PITCHED: ("yeast is in", "yeast is pitched"),
    Command.ADD_TIME: ("add minutes", "add time"),
    Command.TAKE_TIME: ("take minutes", "take time"),
    Command.WHAT_NEXT: ("what is next", "what's next"),
    Command.HOW_LONG: ("how long", "how long to go"),
    Command.HOW_BITTER: ("how bitter is it", "how bitter"),
    Command.WHERE_ARE_WE: ("where are we",),
    Command.WHAT_ELSE: ("what else", "tell me more"),
    Command.SAY_AGAIN: ("say again", "say that again", "repeat that"),
    Command.SCRATCH_THAT: ("scratch that", "scratch it"),
    Command.WHY: ("why", "tell me why"),
    Command.NOTE: ("make a note", "take a note"),
    Command.LOUDER: ("louder", "speak up"),
    Command.QUIETER: ("softer", "quieter"),
    Command.QUIET: ("quiet", "be quiet"),
    Command.HELP: ("help", "what can i say"),
    Command.SOUND_CHECK: ("sound check",),
    Command.CHOOSE_LONGER: ("longer", "boil longer"),
    # "shorter" alone is heard as "softer", "sugar" as "all done", "both" as "go"; the longer ones were heard 15
    # times of 15, by five synthetic voices in quiet and in burner noise 14 and 10 dB below.
    Command.CHOOSE_SHORTER: ("boil shorter",),
    Command.CHOOSE_EXTRACT: ("extract", "add extract"),
    Command.CHOOSE_SUGAR: ("white sugar",),
    Command.CHOOSE_WATER: ("water", "add water"),
    Command.CHOOSE_BOTH: ("both it is", "both"),
    Command.CHOOSE_LEAVE: ("leave", "leave it"),
    # "I have a question" loses its beginning beside a burner (5 of 10 heard); "question" was heard 30 times of 30.
    Command.QUESTION: ("question", "a question"),
    Command.NEVER_MIND: ("never mind",),
}
# Orders with a span of time behind them: "add ten minutes", "take off five minutes".
TIMED: Final[dict[Command, tuple[str, ...]]] = {
    Command.ADD_TIME: ("add",),
    Command.TAKE_TIME: ("take", "take off"),
}
# "five more minutes" adds time without a word in front.
MORE: Final = "more"
# Always live: whoever wants silence must get it.
ALWAYS_LIVE: Final[frozenset[Command]] = frozenset({Command.QUIET})

# After the name of a thing on the sanitation list.
AFTER_A_NAME: Final[tuple[str, ...]] = ("wet", "done")
# Things that commonly touch cooled wort, so that the ear can be made to hear them beforehand.
THINGS: Final[tuple[str, ...]] = (
    "fermenter",
    "tube",
    "thermometer",
    "chiller",
    "hose",
    "siphon",
    "hydrometer",
    "jar",
    "bung",
    "airlock",
    "funnel",
    "lid",
    "bucket",
    "spoon",
    "ladle",
    "strainer",
    "valve",
    "tap",
    "pump",
    "stone",
    "bottle",
    "flask",
    "scissors",
    "packet",
    "keg",
    "wand",
    "clamp",
    "tray",
)


def taught_phrase(command: Command) -> str:
    """The phrase we teach for `command`, with minutes where it takes them ("add ten minutes")."""
    if command in TIMED:
        return f"{TIMED[command][0]} {'ten' if command is Command.ADD_TIME else 'five'} minutes"
    return COMMANDS[command][0]
