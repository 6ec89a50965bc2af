"""Only what nothing can bring back is moved to the trash, and only when asked (D9)."""

from __future__ import annotations

import errno

import pytest

from tests.store.memory_files import Fault, MemoryFiles
from tests.store.samples import ROOT, TARGET, memory_place, saved_sample, with_photos
from workbench.store.attachments import add_document
from workbench.store.backups import make_backup
from workbench.store.cleaning import move_to_trash, unused_attachments
from workbench.store.errors import StoreError
from workbench.store.folder import Opened, open_project, save_project


@pytest.fixture
def opened() -> Opened:
    """The sample, opened for writing."""
    place = memory_place()
    saved_sample(place)
    return open_project(TARGET, workplace=place)


def test_what_is_named_or_could_be_named_again_by_undo_is_spared(opened: Opened) -> None:
    changed = with_photos(opened.folder, opened.project, "boat-1", range(2))

    assert unused_attachments(opened.folder, [opened.project, changed]) == ()
    assert len(unused_attachments(opened.folder, [opened.project])) == 2


def test_what_a_backup_names_is_spared(opened: Opened) -> None:
    changed = with_photos(opened.folder, opened.project, "boat-1", range(2))
    save_project(opened.folder, changed, opened.project)
    make_backup(opened.folder)
    save_project(opened.folder, opened.project, changed)

    assert unused_attachments(opened.folder, [opened.project]) == ()


def test_what_nothing_names_is_moved_and_not_deleted(opened: Opened) -> None:
    document = add_document(opened.folder, "boat-1", b"%PDF-1.7", "old.pdf")
    (path,) = unused_attachments(opened.folder, [opened.project])

    assert move_to_trash(opened.folder, [path]) == 1

    assert path == f"boats/boat-1/documents/{document.file}"
    assert opened.folder.files.read(f"{ROOT}/trash/{path}", 100) == b"%PDF-1.7"
    assert unused_attachments(opened.folder, [opened.project]) == ()


def test_what_cannot_be_moved_is_told_and_stays(opened: Opened) -> None:
    add_document(opened.folder, "boat-1", b"%PDF-1.7", "old.pdf")
    (path,) = unused_attachments(opened.folder, [opened.project])
    files = opened.folder.files
    assert isinstance(files, MemoryFiles)
    files.log.clear()
    files.fault = Fault(0, "error", errno.EACCES, for_ever=True)

    with pytest.raises(StoreError, match="cannot be moved"):
        move_to_trash(opened.folder, [path])

    files.fault = None
    assert files.read(f"{ROOT}/{path}", 100) == b"%PDF-1.7"


def test_nothing_is_moved_in_a_read_only_folder(opened: Opened) -> None:
    opened.folder.read_only = "Another window has it."

    with pytest.raises(StoreError, match="Another window"):
        move_to_trash(opened.folder, ["boats/boat-1/photos/a.jpg"])
