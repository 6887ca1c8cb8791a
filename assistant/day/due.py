"""What is due now, and when to look again: pure functions of plan, state and time.

Wake-ups come from elsewhere and may be late or lost; these functions alone decide, so a call cannot be lost.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.day.calls import Call, LatePolicy
from assistant.day.plan import Plan
from assistant.day.state import CallRecord, State
from assistant.day.timetable import timetable


@dataclass(frozen=True, slots=True)
class Due:
    """A call whose time has come. `late_s` counts from the due time; `drop` when its policy lets it go."""

    call: Call
    occurrence: int
    late_s: float
    drop: bool = False


def _next_time(call: Call, record: CallRecord | None) -> tuple[float, int] | None:
    """When `call` is to be made next and for which time in a row; None when never (for now)."""
    if call.due_s is None or (record is not None and record.closed):
        return None
    # A call made before its present due time was moved since: it is due afresh.
    if record is None or record.occurrences == 0 or record.last_made_s < call.due_s:
        return call.due_s, 1
    if not call.repeat_s or (call.most and record.occurrences >= call.most):
        return None
    wait = call.repeat_s[min(record.occurrences, len(call.repeat_s)) - 1]
    return record.last_made_s + wait, record.occurrences + 1


def due(plan: Plan, state: State, now_s: float) -> tuple[Due, ...]:
    """The calls to make at `now_s`, most urgent first; those to be let go are marked."""
    found = []
    for call in timetable(plan, state):
        coming = _next_time(call, state.calls.get(call.key))
        if coming is None or coming[0] > now_s:
            continue
        late_s = now_s - coming[0]
        drop = call.late is LatePolicy.DROP and late_s > call.grace_s
        found.append(Due(call, coming[1], late_s, drop))
    return tuple(sorted(found, key=lambda item: (item.call.urgency, item.call.due_s)))


def next_due_s(plan: Plan, state: State, now_s: float) -> float | None:
    """The earliest time from `now_s` on at which something will be due; None when nothing is known."""
    times = []
    for call in timetable(plan, state):
        coming = _next_time(call, state.calls.get(call.key))
        if coming is not None:
            times.append(max(coming[0], now_s))
    return min(times, default=None)


def waiting_for_answer(plan: Plan, state: State) -> tuple[Call, ...]:
    """Calls that were made and still need an answer, the one that was said last first."""
    open_calls = [
        # Of those made at one moment the less urgent is said later.
        (record.last_made_s, record.first_made_s, call.urgency, position, call)
        for position, call in enumerate(timetable(plan, state))
        if call.needs_answer
        and (record := state.calls.get(call.key)) is not None
        and not record.closed
        and _still_stands(call, record, state)
    ]
    return tuple(item[-1] for item in sorted(open_calls, key=lambda item: item[:4], reverse=True))


def _still_stands(call: Call, record: CallRecord, state: State) -> bool:
    """Whether a call that was made is not overtaken: neither moved to a later time nor one that has lost its time.

    A held boil clock has no times, and yet what was called before it was held can be done meanwhile.
    """
    if call.due_s is not None:
        return record.last_made_s >= call.due_s
    held = state.boil is not None and state.boil.held_since_s is not None
    return held and call.of_the_boil and record.occurrences > 0


def coming(plan: Plan, state: State, now_s: float) -> tuple[tuple[float, Call], ...]:
    """What is still to come, as (when, call), soonest first; calls already made are left out."""
    ahead = [
        (call.due_s, position, call)
        for position, call in enumerate(timetable(plan, state))
        if call.due_s is not None and call.due_s > now_s and not _is_over(state, call)
    ]
    return tuple((when, call) for when, _, call in sorted(ahead, key=lambda item: item[:2]))


def _is_over(state: State, call: Call) -> bool:
    record = state.calls.get(call.key)
    return record is not None and (bool(record.closed) or (call.due_s or 0.0) <= record.last_made_s)
