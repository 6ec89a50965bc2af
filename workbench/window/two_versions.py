"""Two versions of a search that grew from one: seen side by side, and put together.

Theirs is read as it lies on the disk, without taking anything of it over. When both are put
together, what is unsaved here is kept first and the files on the disk go into a backup, so whatever
is chosen, both are still there whole.
"""

from __future__ import annotations

from collections.abc import Collection

from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.edits.edit import Edit, Path
from workbench.edits.merging import put_together, take_over
from workbench.store.autosave import keep_autosave
from workbench.store.backups import make_backup
from workbench.store.folder import Opened, hand_back, reload_project
from workbench.store.project_folder import ProjectFolder
from workbench.store.watching import project_on_disk
from workbench.window.texts import tr


@dataclass(frozen=True, slots=True)
class TwoVersions:
    """What was last read or saved, what lies on the disk now, and what the window holds."""

    before: Project
    theirs: Project
    mine: Project


def seen_now(folder: ProjectFolder, before: Project, mine: Project) -> TwoVersions:
    """Both versions as they are now.

    Raises
    ------
    StoreError
        When theirs is damaged or still on its way.
    """
    return TwoVersions(before, project_on_disk(folder), mine)


def read_theirs(folder: ProjectFolder, before: Project, mine: Project) -> Opened:
    """Theirs read into the window's place; ours and theirs are kept whole first.

    Raises
    ------
    StoreError
        When theirs cannot be read or a copy of it cannot be kept.
    OSError
        When ours cannot be kept.
    """
    keep_autosave(folder, mine, before)
    opened = reload_project(folder)
    try:
        make_backup(opened.folder)
    except BaseException:
        hand_back(folder, opened)
        raise
    return opened


def steps(versions: TwoVersions, keep: Collection[Path]) -> tuple[Edit, ...]:
    """The two steps from theirs: to mine as it was, and on to both together."""
    together = put_together(versions.before, versions.theirs, versions.mine, keep).project
    return (
        take_over(versions.mine, tr("Go back to your version")),
        take_over(together, tr("Put both versions together")),
    )
