"""A project folder in use: what lies in it as far as we know, and whether we may write there."""

from __future__ import annotations

from dataclasses import dataclass, field

from workbench.domain.project import Project
from workbench.store import layout
from workbench.store.file_system import FileSystem, Kind
from workbench.store.lock import Lock
from workbench.store.parts import Listed
from workbench.store.reading import FolderFiles, Known
from workbench.store.workplace import Workplace


@dataclass(slots=True)
class ProjectFolder:
    """A project folder in use, and what lies in it as far as this program knows.

    Attributes
    ----------
    read_only
        Why nothing may be saved, as a sentence; empty when it may.
    mendable
        Nothing may be saved only because something here is damaged: a backup may be restored.
    known
        Each file as last read or written.
    damaged
        Paths of files that are never written over.
    to_write
        Paths that a migration changed; the next save writes them.
    originals
        For a file that was written by hand: the record read from it and its bytes, so that taking
        every change back brings the very same bytes back.
    unfinished
        The folder of a save that must be ended, and whether it is to be completed or dropped.
    """

    root: str
    workplace: Workplace
    read_only: str = ""
    mendable: bool = False
    known: dict[str, Known] = field(default_factory=dict)
    damaged: set[str] = field(default_factory=set)
    listed: Listed = field(default_factory=Listed)
    to_write: frozenset[str] = frozenset()
    originals: dict[str, tuple[object, bytes]] = field(default_factory=dict)
    mine: dict[str, tuple[str, str]] = field(default_factory=dict)
    project_id: str = ""
    unfinished: tuple[str, bool] | None = None
    completed_saves: int = 0
    lock: Lock | None = None

    @property
    def files(self) -> FileSystem:
        """The file system."""
        return self.workplace.files

    @property
    def name(self) -> str:
        """The folder's own name."""
        return self.root.rpartition("/")[2]

    def remember(self, found: FolderFiles, project: Project, listed: Listed) -> None:
        """Take over what was read."""
        self.known = dict(found.known)
        self.damaged = {damaged.path for damaged in found.damaged}
        self.listed = listed
        self.project_id = project.id

    def names_in(self, boat: str, kind: str) -> set[str]:
        """The names of a boat's photos or documents."""
        path = f"{self.root}/{layout.boat_path(boat, kind)}"
        facts = self.files.facts(path)
        if facts is None or facts.kind is not Kind.FOLDER:
            return set()
        try:
            return set(self.files.names(path))
        except OSError:
            return set()  # each photo is then reported as missing, which is what can be said

    def close(self) -> None:
        """Let others open the folder for writing."""
        if self.lock is not None:
            self.lock.release()
            self.lock = None
