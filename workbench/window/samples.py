"""The sample search, copied into the user's documents before it is opened; the first stays."""

from __future__ import annotations

from pathlib import Path

from workbench.paths import documents_folder, resources_root
from workbench.store.errors import stopped
from workbench.store.folder import Opened, open_project
from workbench.store.mending import save_copy
from workbench.window.texts import tr

_BESIDE = "sample_projects"


def sample_places() -> tuple[Path, ...]:
    """The searches that came with the program."""
    resources = resources_root()
    for folder in (resources / _BESIDE, resources.parent / _BESIDE):
        if folder.is_dir():
            return tuple(
                sorted(one for one in folder.iterdir() if (one / "project.json").is_file())
            )
    return ()


def open_sample() -> Opened:
    """Open the user's own copy of the sample, made on first use.

    Raises
    ------
    StoreError
        When there is no sample, or the copy cannot be made or opened.
    """
    places = sample_places()
    if not places:
        raise stopped(tr("Sample"), tr("The sample is missing."), tr("Install the program again."))
    target = documents_folder() / "Hardstand" / places[0].name
    if (target / "project.json").is_file():
        return open_project(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    shipped = open_project(places[0])
    try:
        return save_copy(shipped.project, target, source=shipped.folder)
    finally:
        shipped.folder.close()
