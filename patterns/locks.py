"""One writer at a time: a lock beside what is read and written again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from patterns.errors import WriteError


@contextmanager
def alone(lock: Path, patience_s: float, busy: str, failed: str) -> Iterator[None]:
    """Hold a lock file; `busy` is the line where another holds it too long, `failed` ends that where none can be had.

    Raises WriteError. NotImplementedError is what filelock raises on a disk without locks.
    """
    from filelock import FileLock, Timeout  # only storing needs it

    try:
        held = FileLock(lock, timeout=patience_s).acquire()
    except Timeout:
        raise WriteError(busy) from None
    except (OSError, NotImplementedError) as error:
        reason = getattr(error, "strerror", None) or error
        raise WriteError(f"{lock}: could not be locked ({reason}); {failed}") from error
    with held:
        yield
