"""Answers to questions about worts and waters that are mixed, and what salts make of water."""

from __future__ import annotations

from typing import Final

from assistant.calculation import mixing, water_chemistry
from assistant.calculation.water_chemistry import Ion, Salt
from assistant.phrasing.inquiry_parts import Given, Labelled, Method, Reply, figure

_SCALD: Final = "Mind the scald: hot water and steam."
_LEVELS: Final = ("calcium", "magnesium", "bicarbonate")


def _mix_worts(given: Given) -> Reply:
    names = ("first volume", "first gravity", "second volume", "second gravity")
    both = mixing.mix_worts(*(given.measured(name) for name in names))
    sentence = f"{given.gravity(both.gravity.value)}, {given.volume(both.volume.value)}."
    return Reply(sentence, (Labelled("gravity", both.gravity), Labelled("volume", both.volume)))


def _mix_waters(given: Given) -> Reply:
    names = ("first volume", "first temperature", "second volume", "second temperature")
    result = mixing.mix_temperature(*(given.measured(name) for name in names))
    sentence = f"{given.temperature(result.value)}, give or take {given.span(result.sd)}; a cold vessel takes more."
    return Reply(sentence, (Labelled("temperature", result),), _SCALD)


def _salt(given: Given) -> Reply:
    salt = Salt(given.choice("salt"))
    ions = [ion for ion in Ion if water_chemistry.ion_share(salt, ion) > 0.0]
    results = tuple(
        Labelled(
            ion,
            water_chemistry.ion_from_salt(
                salt, ion, given.measured("mass of the salt"), given.measured("volume of water")
            ),
        )
        for ion in ions
    )
    sentence = " and ".join(f"{figure(item.result.value, 0)} of {item.label}" for item in results)
    return Reply(f"{sentence} more, in milligrams per litre.", results)


def _alkalinity(given: Given) -> Reply:
    result = water_chemistry.residual_alkalinity(*(given.measured(ion) for ion in _LEVELS))
    sentence = (
        f"{figure(result.value, 0)} milligrams per litre as chalk, "
        f"{figure(water_chemistry.degrees_german(result.value), 1)} German degrees."
    )
    return Reply(sentence, (Labelled("residual alkalinity", result),))


MIXING: Final[dict[str, Method]] = {
    "mix worts": Method(_mix_worts, mixing.mix_worts),
    "mix waters": Method(_mix_waters, mixing.mix_temperature),
    "salt": Method(_salt, water_chemistry.ion_from_salt),
    "residual alkalinity": Method(_alkalinity, water_chemistry.residual_alkalinity),
}
