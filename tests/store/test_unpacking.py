"""A whole new folder is put in its place at once, or nothing is."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.store.memory_files import Fault, MemoryFiles, PowerCut
from tests.store.samples import memory_place, photo_bytes
from workbench.domain.problem import HardstandError
from workbench.store.unpacking import STAGED, is_attachment, place_folder

TARGET = Path("/boats/new")
FILES = {
    "boats/ann/boat.json": b"{}",
    "boats/ann/photos/a.jpg": photo_bytes(1),
    "project.json": b'{"id": "x"}',
}


def placed(files: MemoryFiles) -> None:
    place_folder(TARGET, FILES.items(), memory_place(files))


def steps() -> int:
    files = MemoryFiles()
    memory_place(files)
    files.log.clear()
    placed(files)
    return len(files.log)


def test_every_file_is_there_and_nothing_else() -> None:
    files = MemoryFiles()
    memory_place(files)

    placed(files)

    assert files.tree("/boats") == {f"new/{path}": data for path, data in FILES.items()}


@pytest.mark.parametrize("at", range(steps()))
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO])
def test_a_fault_at_any_step_leaves_all_of_it_or_nothing(at: int, code: int) -> None:
    """D2, H2: no half folder, and no remains of one."""
    files = MemoryFiles()
    memory_place(files)
    files.log.clear()
    files.fault = Fault(at, "error", code)

    refused = ""
    try:
        placed(files)
    except HardstandError as error:
        refused = error.problems[0].sentence()

    found = files.tree("/boats")
    assert found == ({} if refused else {f"new/{path}": data for path, data in FILES.items()})
    assert not refused or "Nothing was unpacked" in refused or "cannot be looked at" in refused


@pytest.mark.parametrize("at", range(steps()))
def test_a_kill_at_any_step_shows_all_of_it_or_nothing(at: int) -> None:
    """H1: what is left of the staged folder is hidden and is no search."""
    files = MemoryFiles()
    memory_place(files)
    files.log.clear()
    files.fault = Fault(at, "kill before")

    with pytest.raises(PowerCut):
        placed(files)

    found = files.after_kill().tree("/boats")
    shown = {path: data for path, data in found.items() if not path.startswith(STAGED)}
    assert shown in ({}, {f"new/{path}": data for path, data in FILES.items()})


def test_what_stops_the_files_leaves_nothing() -> None:
    files = MemoryFiles()

    def broken() -> Iterator[tuple[str, bytes]]:
        yield "project.json", b"{}"
        raise KeyError("stopped")

    with pytest.raises(KeyError):
        place_folder(TARGET, broken(), memory_place(files))

    assert files.tree("/boats") == {}


def test_an_empty_folder_is_filled_and_a_taken_one_is_left_alone() -> None:
    files = MemoryFiles()
    memory_place(files)
    files.put_folders("/boats/new")
    placed(files)
    before = files.tree("/boats")

    with pytest.raises(HardstandError, match="Something is there already"):
        placed(files)

    assert files.tree("/boats") == before


def test_a_file_where_the_folder_is_to_be_is_left_alone() -> None:
    files = MemoryFiles()
    memory_place(files)
    files.put("/boats/new", b"a letter")

    with pytest.raises(HardstandError, match="Something is there already"):
        placed(files)

    assert files.tree("/boats") == {"new": b"a letter"}


@pytest.mark.parametrize(
    ("path", "data", "is_one"),
    [
        ("boats/ann/photos/a.jpg", photo_bytes(1), True),
        ("boats/ann/photos/a.jpg", b"MZ a program", False),
        ("boats/ann/photos/a.jpg", b"%PDF-1.7", False),
        ("boats/ann/documents/a.pdf", b"%PDF-1.7", True),
        ("boats/ann/documents/a.pdf", b"\x7fELF", False),
        ("boats/ann/documents/a.csv", b"a;b", True),
    ],
)
def test_an_attachment_is_told_by_its_first_bytes(path: str, data: bytes, is_one: bool) -> None:
    assert is_attachment(path, data) is is_one
