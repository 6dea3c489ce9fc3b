"""
The lock that keeps two runs off one target.

It is on the open file and dies with its process: one left behind blocks nobody.
"""

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from geolayout.errors import FileError
from geolayout.handover.disk import plainly

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

__all__ = ["alone"]

_LOCK_TRIES = 100  # each fails only if another run ended in that very moment


@contextmanager
def alone(target: Path, *, lock: Path) -> Iterator[None]:
    """
    Hold the lock of a target, or say that another run holds it.

    Parameters
    ----------
    target : Path
        What is to be written.
    lock : Path
        The lock file: made here, in the folder of the target, and removed at the end.

    Raises
    ------
    FileError
        If another run holds the lock, or the disk gives no lock.
    """
    with plainly(f"Nothing can be written in {target.parent}"):
        descriptor = _take_lock(target, lock)
    try:
        yield
    finally:
        _drop_lock(lock, descriptor)


def _take_lock(target: Path, lock: Path) -> int:
    """Open the lock file and lock it; once more if its holder removed it in between."""
    for _ in range(_LOCK_TRIES):
        descriptor, locked = _open_lock(lock)
        standing = _is_file(descriptor, lock)
        if locked and standing:
            return descriptor
        os.close(descriptor)
        if standing:
            break
    raise FileError(
        f"Another run is writing {target}.",
        "Two at once would spoil each other's work.",
        "Wait until it has finished, or name another folder.",
    )


def _open_lock(lock: Path) -> tuple[int, bool]:
    """Return the open lock file, and whether it could be locked."""
    if lock.is_symlink():  # it would have us write elsewhere
        raise OSError(errno.ELOOP, f"{lock.name} is a link")
    descriptor = os.open(lock, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        return descriptor, _try_lock(descriptor)
    except OSError:  # a disk that knows no locks: refused, as two runs could not be kept apart
        os.close(descriptor)
        raise


def _is_file(descriptor: int, path: Path) -> bool:
    """Tell whether the open file still stands under its name."""
    try:
        return os.path.samestat(os.fstat(descriptor), path.stat(follow_symlinks=False))
    except FileNotFoundError:
        return False


if sys.platform == "win32":

    def _try_lock(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        return True

    def _drop_lock(lock: Path, descriptor: int) -> None:
        # Closed first: an open file cannot be removed there.
        os.close(descriptor)
        with suppress(OSError):  # the next holder has it open already, and removes it
            lock.unlink()

else:

    def _try_lock(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _drop_lock(lock: Path, descriptor: int) -> None:
        # Removed while still held: whoever has the old file open notices and makes a new one.
        try:
            with suppress(OSError):  # one that stays does no harm
                lock.unlink()
        finally:
            os.close(descriptor)
