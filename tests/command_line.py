"""What a run of the command in a test gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Ran:
    """What a run of the command left: its exit code and what it printed."""

    code: int
    out: str
    err: str

    @property
    def sentences(self) -> list[str]:
        """The lines on standard error."""
        return self.err.strip().split("\n") if self.err.strip() else []


Kettleside = Callable[..., Ran]
