"""One writer at a time: a kernel lock on a file in application data, keyed by the folder's path.

The kernel frees the lock when its holder dies, so there are no stale locks, and nothing with a host
or a user name enters the project folder. What the lock file says is only shown to the person; if it
is garbage the lock works all the same.

    take_lock(workplace, root) -> (Lock, "") or (None, why the folder is read-only)

Where there is no place for locks, or the system has none, the lock is not `real`: two windows could
then write at once, and only the comparison before each save stands between them.
"""

from __future__ import annotations

import hashlib
import os
import sys
from dataclasses import dataclass
from datetime import datetime

from workbench.store.file_system import RealFileSystem
from workbench.store.workplace import Workplace

_LOCKED_AT = 2**30
"""The byte that is locked on Windows, far behind the text, which others may then still read."""


@dataclass(slots=True)
class Lock:
    """A lock that is held; `handle` is -1 where there is none to hold."""

    handle: int = -1
    real: bool = True

    def release(self) -> None:
        """Give it back."""
        if self.handle >= 0:
            os.close(self.handle)
            self.handle = -1


def take_lock(workplace: Workplace, root: str) -> tuple[Lock | None, str]:
    """The lock for writing in `root`, or a sentence that says who holds it."""
    if not isinstance(workplace.files, RealFileSystem):
        return Lock(), ""
    folder = f"{workplace.own}/locks"
    try:
        workplace.make_folders(folder)
        key = hashlib.sha256(os.path.normcase(root).encode("utf-8", "surrogateescape")).hexdigest()
        handle = os.open(f"{folder}/{key[:32]}", os.O_RDWR | os.O_CREAT, 0o600)
    except OSError:
        return Lock(real=False), ""
    taken = _lock(handle)
    if taken is not False:
        _say_who(handle)
        return Lock(handle, real=bool(taken)), ""
    words = _who(handle)
    os.close(handle)
    return None, f"{words} has this search open. It can be looked at here, but not changed."


def _lock(handle: int) -> bool | None:
    """Take the kernel's lock without waiting; None where the system has no such locks."""
    try:
        if sys.platform == "win32":  # pragma: no cover - another system
            import msvcrt  # noqa: PLC0415 - not there elsewhere

            os.lseek(handle, _LOCKED_AT, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl  # noqa: PLC0415 - not there on Windows

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        return None
    return True


def _say_who(handle: int) -> None:
    words = f"process {os.getpid()}, since {datetime.now().astimezone():%Y-%m-%d %H:%M}"
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        os.ftruncate(handle, 0)
        os.write(handle, words.encode())
    except OSError:
        return  # it only helps the person find the other window


def _who(handle: int) -> str:
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        text = os.read(handle, 80).decode("ascii", errors="replace")
    except OSError:
        text = ""
    shown = "".join(sign for sign in text if sign.isprintable() and sign != "\ufffd").strip()
    return f"Another window ({shown})" if shown else "Another window"
