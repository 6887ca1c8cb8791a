"""The order in which sentences are spoken, and what happens to one that is cut off."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.messages import Say, Urgency
from assistant.voice.say_queue import SayQueue

SAFETY, DUE, ANSWER, NOTICE = Urgency.SAFETY, Urgency.DUE, Urgency.ANSWER, Urgency.NOTICE


def spoken_in_order(queue: SayQueue) -> list[Say]:
    """All that waits, said one after the other."""
    said = []
    while (sentence := queue.take()) is not None:
        queue.finish()
        said.append(sentence)
    return said


@pytest.mark.parametrize(
    ("cut_off", "being_said", "arriving"),
    [
        (False, SAFETY, SAFETY),
        (False, SAFETY, DUE),
        (False, SAFETY, ANSWER),
        (False, SAFETY, NOTICE),
        (True, DUE, SAFETY),
        (False, DUE, DUE),
        (False, DUE, ANSWER),
        (False, DUE, NOTICE),
        (True, ANSWER, SAFETY),
        (True, ANSWER, DUE),
        (False, ANSWER, ANSWER),
        (False, ANSWER, NOTICE),
        (True, NOTICE, SAFETY),
        (True, NOTICE, DUE),
        (True, NOTICE, ANSWER),
        (False, NOTICE, NOTICE),
    ],
)
def test_only_what_is_more_urgent_interrupts(cut_off: bool, being_said: Urgency, arriving: Urgency) -> None:
    """Safety interrupts due calls, due calls interrupt talk, and nothing interrupts its equal."""
    queue = SayQueue()
    queue.put(Say("first", being_said))
    queue.take()
    queue.put(Say("second", arriving))

    assert cut_off == queue.must_stop


def test_what_was_cut_off_is_said_again_before_its_equals() -> None:
    """A sentence that a more urgent one cut off comes next after it, before others that waited."""
    queue = SayQueue()
    answer, later, call = Say("answer"), Say("later"), Say("call", DUE)
    queue.put(answer)
    queue.put(later)
    queue.take()
    queue.put(call)
    queue.put_back()

    assert [call, answer, later] == spoken_in_order(queue)


def test_a_call_that_is_no_longer_true_is_not_said_again() -> None:
    """Dropping a call's key cuts off the sentence of that call and forgets those that wait, and no others."""
    queue = SayQueue()
    queue.put(Say("hops now", DUE, key="hops"))
    queue.put(Say("hops, now", DUE, key="hops"))
    queue.put(Say("finings", DUE, key="finings"))
    queue.take()
    queue.drop("hops")

    assert queue.must_stop
    queue.put_back()
    assert [Say("finings", DUE, key="finings")] == spoken_in_order(queue)


def test_an_empty_key_belongs_to_no_call() -> None:
    """Dropping the empty key forgets nothing: answers have no key."""
    queue = SayQueue()
    queue.put(Say("answer"))
    queue.drop("")

    assert [Say("answer")] == spoken_in_order(queue)


def test_a_newer_word_for_a_call_takes_the_place_of_the_older() -> None:
    """A superseding sentence is said and the older ones of its call are not."""
    queue = SayQueue()
    queue.put(Say("in two minutes", NOTICE, key="hops"))
    queue.put(Say("answer"))
    now = Say("now", DUE, key="hops")
    queue.supersede(now)

    assert [now, Say("answer")] == spoken_in_order(queue)


@pytest.mark.parametrize("being_said", list(Urgency))
def test_silence_forgets_all_but_safety(being_said: Urgency) -> None:
    """The stop word cuts off and forgets everything, except what is said or waits for the sake of safety."""
    queue = SayQueue()
    queue.put(Say("being said", being_said))
    queue.take()
    for urgency in Urgency:
        queue.put(Say(f"waits {urgency.name}", urgency))
    queue.silence()

    assert (being_said is not SAFETY) == queue.must_stop
    assert (Say("waits SAFETY", SAFETY),) == queue.waiting


def test_two_sentences_are_never_said_at_once() -> None:
    """Taking the next sentence before the last has ended is our own mistake and is refused."""
    queue = SayQueue()
    queue.put(Say("one"))
    queue.put(Say("two"))
    queue.take()

    with pytest.raises(RuntimeError):
        queue.take()


steps = st.lists(
    st.one_of(
        st.sampled_from(list(Urgency)),  # a sentence of this urgency arrives
        st.just("speak"),  # the speaker goes on: takes, or ends or gives way
    ),
    max_size=60,
)


@given(steps)
def test_nothing_is_lost_or_said_twice_and_order_holds(happenings: list[Urgency | str]) -> None:
    """Whatever arrives whenever: each sentence is said to its end exactly once, in order within its urgency."""
    queue = SayQueue()
    arrived: list[Say] = []
    said: list[Say] = []
    current: Say | None = None
    for happening in happenings:
        if isinstance(happening, Urgency):
            sentence = Say(str(len(arrived)), happening)
            arrived.append(sentence)
            queue.put(sentence)
        elif current is None:
            current = queue.take()
            if current is not None:
                assert all(current.urgency <= waiting.urgency for waiting in queue.waiting)
        else:
            if queue.must_stop:
                queue.put_back()
            else:
                said.append(current)
                queue.finish()
            current = None
    if current is not None:
        queue.put_back()
    said += spoken_in_order(queue)

    assert not queue.busy
    for urgency in Urgency:
        assert [s for s in arrived if s.urgency is urgency] == [s for s in said if s.urgency is urgency]
    assert len(arrived) == len(said)
