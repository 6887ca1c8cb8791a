"""The right to write a day: held by one program at a time, and let go by the system when that program dies.

SQLite's own exclusive mode would keep readers out as well, so the lock is on a file beside the journal.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path


class WriterLock:
    """Holds the file `path` until `release`, or until this program ends in any way at all.

    Raises:
        BlockingIOError: if another program, or another journal in this one, holds it.
        OSError: if the file cannot be made.
    """

    def __init__(self, path: Path) -> None:
        self._descriptor: int | None = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(self._descriptor)
        except BaseException:
            os.close(self._descriptor)
            raise
        if hasattr(os, "register_at_fork"):
            # A forked worker would keep the lock alive after its parent was killed.
            os.register_at_fork(after_in_child=self.release)

    def release(self) -> None:
        """Let go; safe to call twice."""
        if self._descriptor is not None:
            descriptor, self._descriptor = self._descriptor, None
            os.close(descriptor)


if sys.platform == "win32":
    import msvcrt

    def _lock(descriptor: int) -> None:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except PermissionError as error:
            raise BlockingIOError(*error.args) from error

else:
    import fcntl

    def _lock(descriptor: int) -> None:
        # flock, not lockf: it also holds against a second journal in the same program.
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
