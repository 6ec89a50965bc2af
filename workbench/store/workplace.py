"""Where the store works: a file system and this installation's own folder in application data.

The own folder holds the random token that marks this installation's saves, the locks, the backups
and the recovery data. The token says nothing about the machine or the person.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime

from workbench import paths
from workbench.store.file_system import FileSystem, RealFileSystem, plain_path
from workbench.store.transaction import write_file

_MARK_FILE = "installation"


@dataclass(slots=True)
class Workplace:
    """A file system and the folder for data of this installation.

    Attributes
    ----------
    own
        Absolute path of the folder in application data; made when first needed.
    now
        What time it is, in UTC.
    """

    files: FileSystem
    own: str
    now: Callable[[], datetime] = field(default=lambda: datetime.now(UTC))
    _token: str = field(default="")

    def token(self) -> str:
        """The token of this installation, made when there is none."""
        self._token = self._token or self.known_token() or self._new_token()
        return self._token

    def known_token(self) -> str:
        """The token when there is one; empty otherwise, and nothing is written."""
        path = f"{self.own}/{_MARK_FILE}"
        if self._token or self.files.facts(path) is None:
            return self._token
        text = self.files.read(path, 64).decode("ascii", errors="replace").strip()
        return text if len(text) == 16 and text.isalnum() else ""

    def _new_token(self) -> str:
        token = secrets.token_hex(8)
        self.put(_MARK_FILE, token.encode())
        return token

    def names(self, path: str) -> list[str]:
        """The names in a folder below the own one, sorted; none when it is missing."""
        place = f"{self.own}/{path}"
        return self.files.names(place) if self.files.facts(place) is not None else []

    def put(self, path: str, data: bytes) -> str:
        """Write a file below the own folder all at once and answer its full path."""
        place = f"{self.own}/{path}"
        folder = place.rpartition("/")[0]
        self.make_folders(folder)
        stage = f"{place}.{secrets.token_hex(4)}.tmp"
        try:
            write_file(self.files, stage, data)
            self.files.rename(stage, place)
        except OSError:
            self.forget(stage)
            raise
        self.files.flush_folder(folder)
        return place

    def forget(self, place: str) -> bool:
        """Delete a file that is not needed; answer whether it is gone."""
        try:
            if self.files.facts(place) is not None:
                self.files.unlink(place)
        except OSError:
            return False
        return True

    def make_folders(self, folder: str) -> None:
        """Make a folder and those above it."""
        if self.files.facts(folder) is not None:
            return
        above = folder.rpartition("/")[0]
        self.make_folders(above)
        try:
            self.files.make_folder(folder)
        except FileExistsError:
            return  # another window was quicker
        self.files.flush_folder(above)


def stamp_of(moment: datetime) -> str:
    """A moment as it stands in file names: 20260531T140500Z."""
    return moment.strftime("%Y%m%dT%H%M%SZ")


def here() -> Workplace:
    """The workplace of this installation on this machine."""
    return Workplace(RealFileSystem(), plain_path(paths.data_folder()))
