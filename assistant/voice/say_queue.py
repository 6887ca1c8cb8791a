"""What is said next: most urgent first, in order within an urgency, nothing lost. No device, no thread in here."""

from __future__ import annotations

from collections import deque

from assistant.messages import Say, Urgency


class SayQueue:
    """Holds the sentences that wait and the one that is being said.

    The one who speaks calls `take`, says the sentence, and then `finish` or, when `must_stop` turned true on
    the way, `put_back`.
    """

    def __init__(self) -> None:
        self._waiting: dict[Urgency, deque[Say]] = {urgency: deque() for urgency in Urgency}
        self._current: Say | None = None
        self._current_forgotten = False

    @property
    def busy(self) -> bool:
        """Whether a sentence is being said or waits."""
        return self._current is not None or any(self._waiting.values())

    @property
    def waiting(self) -> tuple[Say, ...]:
        """What waits, in the order in which it would be said."""
        return tuple(sentence for urgency in Urgency for sentence in self._waiting[urgency])

    @property
    def must_stop(self) -> bool:
        """Whether the sentence being said must be cut off: a more urgent one waits, or it was forgotten."""
        if self._current is None:
            return False
        return self._current_forgotten or any(
            self._waiting[urgency] for urgency in Urgency if urgency < self._current.urgency
        )

    def put(self, sentence: Say) -> None:
        """Queue `sentence` behind those as urgent as it."""
        self._waiting[sentence.urgency].append(sentence)

    def take(self) -> Say | None:
        """The next sentence, which is then the one being said; None when nothing waits.

        Raises:
            RuntimeError: while another one is being said.
        """
        if self._current is not None:
            raise RuntimeError("the sentence before has not been finished")
        for urgency in Urgency:
            if self._waiting[urgency]:
                self._current = self._waiting[urgency].popleft()
                return self._current
        return None

    def finish(self) -> None:
        """The sentence was said to its end."""
        self._current, self._current_forgotten = None, False

    def put_back(self) -> None:
        """The sentence was cut off: it is said again, before others as urgent, unless it was forgotten."""
        if self._current is not None and not self._current_forgotten:
            self._waiting[self._current.urgency].appendleft(self._current)
        self.finish()

    def drop(self, key: str) -> None:
        """Forget all that was to be said for the call `key`, as it is no longer true; an empty key is no call's."""
        if not key:
            return
        for urgency, line in self._waiting.items():
            self._waiting[urgency] = deque(sentence for sentence in line if sentence.key != key)
        if self._current is not None and self._current.key == key:
            self._current_forgotten = True

    def supersede(self, sentence: Say) -> None:
        """Queue `sentence` in the place of all that was to be said for the same call."""
        self.drop(sentence.key)
        self.put(sentence)

    def silence(self) -> None:
        """Forget everything, also what is being said, except what is about safety."""
        for urgency in Urgency:
            if urgency is not Urgency.SAFETY:
                self._waiting[urgency].clear()
        if self._current is not None and self._current.urgency is not Urgency.SAFETY:
            self._current_forgotten = True
