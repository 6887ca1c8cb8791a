"""A calm day with each example plan: everything is called, answered and done, on both kinds of journal."""

from __future__ import annotations

import pytest
from brew_day import EXAMPLES, BrewDay, altered, example

from assistant.clock.hand_clock import HandClock
from assistant.day import facts as f
from assistant.day.calls import wet_items
from assistant.day.facts import Stage
from assistant.day.state import fold
from assistant.messages import Urgency
from assistant.ports import Journal


def brew_calmly(day: BrewDay) -> None:
    """Brew `day` to its end; every call is answered as it comes."""
    day.to_the_boil()
    for _ in range(100):
        if day.state.stage is not Stage.BOIL:
            break
        due_s = day.alarm.due_s
        assert due_s is not None
        day.until(due_s)
        if any(text.endswith("Say done.") for text in day.texts[-1:]):
            day.types("done")
    if day.state.stage is Stage.HOP_STAND:
        day.minutes_pass(5)
        day.types("80 degrees")
        day.types("done")
        day.minutes_pass(20)
        day.types("water is on")
    else:
        day.types("water is on")
    day.minutes_pass(0.5)
    for item in wet_items(day.plan):
        day.types(item.name)
    day.minutes_pass(10)
    pitch = "66 f" if day.plan.units.temperature.value == "°F" else f"{day.plan.yeast.pitch_c:.0f} c"
    day.types(pitch, "chill is done")
    day.minutes_pass(1)
    day.types(f"{pitch} {day.plan.beer.gravity_after_boil_sg:.3f} sg")
    day.types("transfer is done", "done", "done")


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_calm_day_comes_to_its_end(name: str, journal: Journal, hand_clock: HandClock) -> None:
    """All stages are reached in order, nothing is dropped or left open, and the journal folds to the same state."""
    day = BrewDay.opened(example(name), journal, hand_clock)
    brew_calmly(day)
    wanted = [stage for stage in Stage if stage is not Stage.HOP_STAND or day.plan.has_hop_stand]
    assert wanted[1:] == [fact.stage for fact in day.facts(f.StageReached)]
    assert day.loop.finished
    dropped = [fact.key for fact in day.facts(f.CallDropped) if not fact.key.endswith(".ahead")]
    assert [] == dropped
    assert day.texts[-1].startswith("Pitched. Airlock free")
    assert day.state == fold(journal.read(), day.plan)


# Step, in the order of the day -> words of its caution, and the beginning of what must not come before it.
CAUTIONS = (
    ("strike water", "It scalds: lift nothing full and hot", 'say "mash is in"'),
    ("running off", "Hot wort and heavy: lift nothing full, hoses clamped", 'Then say "kettle is full"'),
    ("foam before the boil", "It foams before it boils: stand by the valve", 'Then say "boil is on"'),
    ("drawing a sample", "draw the sample with a ladle: it scalds", None),
    ("foam at the boil", "Foam watch. It can rise now: stand by the valve, lid off", "Now: fifty-five-minute hops"),
    ("hops", "Now: fifty-five-minute hops in, twenty-two grams of bittering hops. Watch the foam", None),
    ("metal into the boil", "Hot splash: lower it slowly", None),
    ("knockout", "Knockout: flame off, pump off. The kettle stays scalding", "Chill. Cooling water on"),
    ("cooling water", "Cooling water on slowly: the outlet runs scalding at first", "Chill clock runs"),
    ("sanitiser", "gloves, goggles, and mix it by the label. Fermenter wet", "Siphon wet"),
    ("transfer", "Glass breaks, full vessels strain: let it flow, do not lift", "Oxygenate now"),
    ("oxygen", "no flame, no sparks, open the valve slowly", "Pitch "),
    ("carbon dioxide", "Airlock free, never sealed. It makes carbon dioxide: air the room", None),
)


def test_each_hazard_has_its_caution_before_the_step() -> None:
    """Walking a day, each hazardous step has its caution spoken before it, in the order of the day."""
    day = BrewDay.opened(example("hollow-lane"))
    brew_calmly(day)
    spoken = "\n".join(day.texts)
    places = [spoken.find(caution) for _, caution, _ in CAUTIONS]
    assert [] == [step for (step, _, _), place in zip(CAUTIONS, places, strict=True) if place < 0]
    assert sorted(places) == places
    for (step, _, act), place in zip(CAUTIONS, places, strict=True):
        assert act is None or spoken.find(act) > place, step


def test_cautions_of_stages_are_spoken_as_safety() -> None:
    """A stage that can hurt begins with a sentence of the highest urgency."""
    day = BrewDay.opened(example("hollow-lane"))
    brew_calmly(day)
    safety = {say.key for _, say in day.voice.said if say.urgency is Urgency.SAFETY}
    wanted = {"strike", "run-off", "heat-up", "chill.on", "transfer", "oxygen"}
    assert wanted <= safety


def test_a_hop_stand_hears_of_the_hot_outlet_before_the_tap() -> None:
    """After a hop stand the caution comes before "water is on", which need not be said twice."""
    day = BrewDay.opened(example("lark-ridge"))
    brew_calmly(day)
    spoken = day.texts
    caution = next(place for place, text in enumerate(spoken) if "the outlet runs scalding at first" in text)
    assert spoken[caution].startswith("Hop stand over.")
    runs = next(place for place, text in enumerate(spoken) if text.startswith("Chill clock runs."))
    assert caution < runs
    assert not any(text.startswith("Chill. ") for text in spoken)


def test_sugar_is_cautioned_against_scorching() -> None:
    """Sugar in the boil foams and burns on the bottom: its call says so."""
    day = BrewDay.opened(example("lark-ridge"))
    day.to_the_boil()
    said = day.minutes_pass(45.1)
    assert any("fifteen-minute sugar in" in text and "foams and scorches" in text for text in said)


def test_hot_water_for_sanitising_is_cautioned() -> None:
    """A thing made safe in hot water comes with the word that it scalds."""
    day = BrewDay.opened(example("ferry-lantern"))
    brew_calmly(day)
    assert any(text.startswith("Funnel in hot water, it scalds") for text in day.texts)


def test_answers_come_before_what_follows_from_them() -> None:
    """A thing named wet is confirmed before the next thing is called."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    day.types("knockout", "water is on")
    day.minutes_pass(1)
    first, second = day.types("fermenter")
    assert "Fermenter: two minutes contact from now." == first
    assert second.startswith("Siphon wet with sanitiser")


# --- the gate before the transfer


def at_the_gate() -> BrewDay:
    """Hollow Lane, boiled with its chiller, cold, with nothing wet yet."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    day.minutes_pass(68.5)
    day.types("chiller")
    day.minutes_pass(7)
    day.types("knockout", "water is on")
    day.seconds_pass(21)
    return day


def test_no_transfer_while_something_is_not_wet() -> None:
    """The transfer is not called, and not believed, while a thing on the list was not named; it names which."""
    day = at_the_gate()
    day.types("18 degrees", "fermenter", "siphon")
    said = " ".join(day.types("chill is done"))
    assert "No transfer yet. Not safe: thermometer. Say each name when it is sanitised." in said
    refused = "Nobody said these are safe: thermometer. Say each name when it is, then say it again."
    assert refused == day.types("transfer is done")[-1]
    assert day.state.stage is Stage.TRANSFER
    # Named, its contact time is counted before the transfer is called.
    day.types("thermometer")
    assert not any("Transfer now" in text for text in day.minutes_pass(1.9))
    assert any(
        "Sanitised: chiller, fermenter, siphon, thermometer. Transfer now." in t for t in day.minutes_pass(0.2)
    )


def test_what_touches_cooled_wort_cannot_be_skipped() -> None:
    """ "Skip" is refused for a thing on the list, and the thing is still asked for."""
    day = at_the_gate()
    assert day.texts[-1].endswith("Say fermenter when it is.")
    (answer,) = day.types("skip")
    assert answer.startswith("That one cannot be skipped")
    assert "fermenter" not in day.state.wet
    assert any("Fermenter wet" in text for text in day.minutes_pass(1.1))


def test_contact_time_is_counted_from_the_word() -> None:
    """Two minutes after a thing was named wet its contact time is over, and that is said once."""
    day = at_the_gate()
    day.types("fermenter")
    assert not any("contact time reached" in text for text in day.seconds_pass(119))
    said = day.seconds_pass(2)
    assert ["Fermenter: contact time reached. Let it drain, and follow the label."] == said


def test_a_thing_named_out_of_turn_is_not_asked_for_again() -> None:
    """The siphon named first is wet; its own call does not come, the others do."""
    day = at_the_gate()
    day.types("siphon")
    said = day.types("fermenter")
    assert any(text.startswith("Thermometer wet") for text in said)
    assert not any(text.startswith("Siphon wet") for text in day.minutes_pass(10))


def test_a_chiller_left_out_of_the_boil_blocks_the_transfer() -> None:
    """A chiller that never was in the boil is not counted as sanitised; named, it is."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    day.types("knockout", "water is on", "fermenter", "siphon", "thermometer", "18 degrees")
    assert any("Not safe: chiller." in text for text in day.types("chill is done"))
    day.types("chiller")
    assert any("Transfer now" in text for text in day.minutes_pass(7.1))


def test_wort_still_warm_at_the_transfer_is_said() -> None:
    """Chill declared done at forty degrees: the brewer hears that hot wort cracks glass and kills yeast."""
    day = at_the_gate()
    day.types("40 degrees")
    said = " ".join(day.types("chill is done"))
    assert "Last heard forty, wanted eighteen: hot wort cracks glass and kills yeast." in said


def test_a_held_name_that_is_no_word_of_the_ear_is_said_by_done() -> None:
    """A thing with a name of the brewer's own is answered by "done" as well."""
    plan = altered("hollow-lane", ('name = "siphon"', 'name = "silver spout"'))
    day = BrewDay.opened(plan)
    day.to_the_boil()
    day.types("knockout", "water is on")
    day.minutes_pass(1)
    day.types("done", "done")
    assert {"fermenter", "silver spout"} <= set(day.state.wet)


def test_a_contact_cut_short_is_named() -> None:
    """Wort that went over before a contact time was up brings a warning with the name of the thing."""
    day = BrewDay.opened(example("hollow-lane"))
    day.to_the_boil()
    day.types("knockout", "water is on")
    day.seconds_pass(30)
    day.types("chiller", "fermenter", "siphon", "thermometer", "chill is done")
    hasty = " ".join(day.types("transfer is done"))
    assert "Less contact than planned: chiller, fermenter, siphon, thermometer." in hasty
