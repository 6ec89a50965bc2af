"""The one doorway to files: every read and write of a project folder goes through a `FileSystem`.

The real one is below. Tests use one in memory that can fail at any step or lose power, so nothing
else in the store may open, rename or delete a file by itself. Paths are absolute and written with
`/`. Every method raises OSError as the system does; `facts` alone answers None for what is missing.
"""

from __future__ import annotations

import errno
import os
import stat
import sys
import time
from enum import Enum
from pathlib import Path
from typing import Protocol

from workbench.domain.record import dataclass


class Kind(Enum):
    """What stands at a path; a link is never followed."""

    FILE = "file"
    FOLDER = "folder"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Facts:
    """What the system says of a path: kind, size in bytes, time of the last change in ns."""

    kind: Kind
    size: int = 0
    changed_ns: int = 0


class FileSystem(Protocol):
    """What the store asks of a file system."""

    def facts(self, path: str) -> Facts | None:
        """What stands there; None when nothing does."""

    def names(self, folder: str) -> list[str]:
        """The names in a folder, sorted."""

    def read(self, path: str, most: int) -> bytes:
        """The bytes of a regular file; OSError(EFBIG) above `most`, OSError(EINVAL) for others."""

    def create(self, path: str) -> int:
        """A handle on a new file; FileExistsError when anything stands there."""

    def write(self, handle: int, data: memoryview) -> int:
        """Write some of `data` and answer how many bytes."""

    def flush(self, handle: int) -> None:
        """Have the bytes on the disk before going on."""

    def close(self, handle: int) -> None:
        """Give the handle back; it is gone even when this raises."""

    def rename(self, old: str, new: str) -> None:
        """Give a file another name, replacing what stands there, all at once."""

    def unlink(self, path: str) -> None:
        """Delete a file."""

    def make_folder(self, path: str) -> None:
        """Make one folder."""

    def remove_folder(self, path: str) -> None:
        """Delete an empty folder."""

    def flush_folder(self, path: str) -> None:
        """Have the names in a folder on the disk before going on."""

    def may_write(self, folder: str) -> bool:
        """Whether the system would let files be made in a folder."""

    def pause(self, seconds: float) -> None:
        """Wait."""


class RealFileSystem:
    """The file system of the machine."""

    def facts(self, path: str) -> Facts | None:
        """See `FileSystem`."""
        try:
            found = os.lstat(path)
        except (FileNotFoundError, NotADirectoryError):
            return None
        kinds = {stat.S_IFREG: Kind.FILE, stat.S_IFDIR: Kind.FOLDER}
        kind = kinds.get(stat.S_IFMT(found.st_mode), Kind.OTHER)
        return Facts(kind, found.st_size, found.st_mtime_ns)

    def names(self, folder: str) -> list[str]:
        """See `FileSystem`."""
        return sorted(os.listdir(folder))

    def read(self, path: str, most: int) -> bytes:
        """See `FileSystem`; a link, a pipe or a device is refused without waiting on it."""
        only_there = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
        handle = os.open(path, os.O_RDONLY | _BINARY | only_there)
        with os.fdopen(handle, "rb") as file:
            found = os.fstat(handle)
            if not stat.S_ISREG(found.st_mode):
                raise OSError(errno.EINVAL, "Not a regular file", path)
            data = file.read(most + 1) if found.st_size <= most else b""
        if max(len(data), found.st_size) > most:
            raise OSError(errno.EFBIG, "File too large", path)
        return data

    def create(self, path: str) -> int:
        """See `FileSystem`."""
        return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o666)

    def write(self, handle: int, data: memoryview) -> int:
        """See `FileSystem`."""
        return os.write(handle, data)

    def flush(self, handle: int) -> None:
        """See `FileSystem`; macOS is asked to empty the drive's own cache too, where it can be."""
        if sys.platform == "darwin":
            import fcntl  # noqa: PLC0415 - not there on Windows

            try:
                fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
            except OSError as error:
                if error.errno not in _NO_SUCH_CALL:
                    raise
            else:
                return
        os.fsync(handle)

    def close(self, handle: int) -> None:
        """See `FileSystem`."""
        os.close(handle)

    def rename(self, old: str, new: str) -> None:
        """See `FileSystem`."""
        os.replace(old, new)

    def unlink(self, path: str) -> None:
        """See `FileSystem`."""
        os.unlink(path)

    def make_folder(self, path: str) -> None:
        """See `FileSystem`."""
        os.mkdir(path)

    def remove_folder(self, path: str) -> None:
        """See `FileSystem`."""
        os.rmdir(path)

    def flush_folder(self, path: str) -> None:
        """See `FileSystem`; Windows, and some network disks, have no such call."""
        if not flushes_folders(sys.platform):
            return
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_DIRECTORY", 0))
        try:
            os.fsync(handle)
        except OSError as error:
            if error.errno not in _NO_SUCH_CALL:
                raise
        finally:
            os.close(handle)

    def may_write(self, folder: str) -> bool:
        """See `FileSystem`."""
        return os.access(folder, os.W_OK | os.X_OK)

    def pause(self, seconds: float) -> None:
        """See `FileSystem`."""
        time.sleep(seconds)


_BINARY = getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
_NO_SUCH_CALL = frozenset({errno.EINVAL, errno.ENOTSUP, errno.ENOTTY})
"""What a disk answers to a flush that it knows nothing of. Every other error is a flush that
failed, and with it the save (POSIX fsync: EINVAL where synchronising is not supported)."""


def flushes_folders(platform: str) -> bool:
    """Whether a system can be asked to put the names in a folder on the disk."""
    return platform != "win32"


def plain_path(path: Path) -> str:
    """An absolute path as the store writes it, links resolved."""
    return path.resolve().as_posix()
