"""Photos and documents are stored as they came; nothing leads out of the folder (D9, B54 to B66).

What needs a decoder (bombs, orientation, colour models) is tested where photos are shown.
"""

from __future__ import annotations

import errno
import hashlib
import os
from pathlib import Path

import pytest

from tests.store.memory_files import Fault, MemoryFiles
from tests.store.samples import ROOT, TARGET, memory_place, photo_bytes, saved_sample, with_photos
from workbench.store import attachments
from workbench.store.attachments import (
    add_document,
    add_photo,
    document_type,
    photo_is_whole,
    photo_type,
    resolve,
    visible,
)
from workbench.store.errors import NotSavedError, StoreError
from workbench.store.folder import Opened, create_project, open_project, save_project

PHOTOS = f"{ROOT}/boats/boat-1/photos"


@pytest.fixture
def opened() -> Opened:
    """The sample in memory, opened for writing."""
    place = memory_place()
    saved_sample(place)
    return open_project(TARGET, workplace=place)


@pytest.fixture
def files(opened: Opened) -> MemoryFiles:
    """Its files."""
    found = opened.folder.files
    assert isinstance(found, MemoryFiles)
    return found


@pytest.fixture
def real(tmp_path: Path) -> Opened:
    """A new project on the real disk."""
    return create_project(tmp_path / "search", "Mine")


def test_a_photo_is_stored_as_it_came_under_the_name_of_its_content(
    opened: Opened, files: MemoryFiles
) -> None:
    data = photo_bytes(1)

    photo = add_photo(opened.folder, "boat-1", data, "IMG_0001.JPG")

    digest = hashlib.sha256(data).hexdigest()
    assert (photo.id, photo.sha256, photo.file) == (digest[:40], digest, f"{digest[:40]}.jpg")
    assert photo.original_name == "IMG_0001.JPG"
    assert files.read(f"{PHOTOS}/{photo.file}", 10**6) == data
    assert photo_is_whole(opened.folder, "boat-1", photo)


def test_the_same_photo_twice_is_one_file(opened: Opened, files: MemoryFiles) -> None:
    """B63."""
    first = add_photo(opened.folder, "boat-1", photo_bytes(1), "a.jpg")
    steps = len(files.log)
    second = add_photo(opened.folder, "boat-1", photo_bytes(1), "b.jpg")

    assert first.file == second.file
    assert len(files.log) == steps
    assert len(files.names(PHOTOS)) == 1


def test_a_damaged_copy_is_replaced_by_the_whole_one(opened: Opened, files: MemoryFiles) -> None:
    photo = add_photo(opened.folder, "boat-1", photo_bytes(1), "a.jpg")
    files.put(f"{PHOTOS}/{photo.file}", b"\0" * 10)
    assert not photo_is_whole(opened.folder, "boat-1", photo)

    add_photo(opened.folder, "boat-1", photo_bytes(1), "a.jpg")

    assert photo_is_whole(opened.folder, "boat-1", photo)


@pytest.mark.parametrize(
    ("start", "ending"),
    [
        (b"\xff\xd8\xff\xe1", "jpg"),
        (b"\x89PNG\r\n\x1a\n", "png"),
        (b"RIFF\x10\0\0\0WEBPVP8 ", "webp"),
        (b"II*\0\x08\0\0\0", "tif"),
        (b"MM\0*\0\0\0\x08", "tif"),
        (b"GIF89a", "gif"),
        (b"GIF87a", "gif"),
        (b"\0\0\0\x18ftypheic", "heic"),
        (b"\0\0\0\x18ftypmif1", "heic"),
        (b"\0\0\0\x18ftypavif", "avif"),
    ],
)
def test_the_type_of_a_photo_is_told_by_its_content_and_not_its_name(
    opened: Opened, start: bytes, ending: str
) -> None:
    """B54, B55: one without a decoder is stored all the same."""
    photo = add_photo(opened.folder, "boat-1", start + b"\0" * 20, "picture.exe")

    assert photo.file.endswith(f".{ending}")


@pytest.mark.parametrize(
    "start",
    [
        b"<svg xmlns=",
        b"%!PS-Adobe-3.0 EPSF",
        b"%PDF-1.7",
        b"SIMPLE  =   ",
        b"\xd7\xcd\xc6\x9a\0\0",
        b"BM\x36\0\0\0",
        b"MZ\x90\0",
        b"RIFF\x10\0\0\0WAVEfmt ",
        b"\0\0\0\x18ftypmp42",
        b"",
        b"\xff\xd8",
    ],
)
def test_what_is_no_photo_is_refused_whatever_its_name(opened: Opened, start: bytes) -> None:
    """B60."""
    with pytest.raises(StoreError, match="not a photo") as caught:
        add_photo(opened.folder, "boat-1", start, "photo.jpg")

    assert "JPEG" in caught.value.problems[0].remedy


def test_a_file_that_is_too_large_is_refused_before_it_is_read(
    opened: Opened, real: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """B64."""
    monkeypatch.setattr(attachments, "LARGEST", 1000)
    path = tmp_path / "big.jpg"
    path.write_bytes(b"\xff\xd8\xff" + b"\0" * 1000)

    for source in (path, path.read_bytes()):
        with pytest.raises(StoreError, match="larger"):
            add_photo(real.folder, "boat-1", source, "big.jpg")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_links_pipes_and_devices_are_refused_without_waiting(real: Opened, tmp_path: Path) -> None:
    """B59."""
    (tmp_path / "real.jpg").write_bytes(photo_bytes(1))
    (tmp_path / "link.jpg").symlink_to(tmp_path / "real.jpg")
    os.mkfifo(tmp_path / "pipe.jpg")

    for source in (tmp_path / "link.jpg", tmp_path / "pipe.jpg", tmp_path, Path(os.devnull)):
        with pytest.raises(StoreError, match="link or no regular file"):
            add_photo(real.folder, "boat-1", source)
    with pytest.raises(StoreError, match="cannot be read"):
        add_photo(real.folder, "boat-1", tmp_path / "missing.jpg")


def test_a_second_name_of_a_file_outside_is_copied_in(real: Opened, tmp_path: Path) -> None:
    """B62: a later change outside does not reach the stored photo."""
    outside, other = tmp_path / "a.jpg", tmp_path / "b.jpg"
    outside.write_bytes(photo_bytes(1))
    other.hardlink_to(outside)

    photo = add_photo(real.folder, "boat-1", other)
    outside.write_bytes(b"changed")

    assert photo_is_whole(real.folder, "boat-1", photo)


def test_a_file_that_changes_while_it_is_read_gets_the_digest_of_what_was_stored(
    opened: Opened, files: MemoryFiles, monkeypatch: pytest.MonkeyPatch
) -> None:
    """B65."""
    reads = iter((photo_bytes(1), photo_bytes(2)))
    monkeypatch.setattr(
        MemoryFiles, "read", lambda self, path, most: next(reads) if path == "camera" else b""
    )
    photo = add_photo(opened.folder, "boat-1", Path("camera"), "a.jpg")
    monkeypatch.undo()

    assert photo_is_whole(opened.folder, "boat-1", photo)
    assert files.read(f"{PHOTOS}/{photo.file}", 10**6) == photo_bytes(1)


def test_a_name_that_hides_its_ending_is_shown_with_its_signs() -> None:
    """B66."""
    assert visible("photo\u202egpj.exe") == "photo‹U+202E›gpj.exe"
    assert visible("a\x1b[0m\u200b\ud800") == "a‹U+001B›[0m‹U+200B›‹U+D800›"
    assert visible("Größe 日本.jpg") == "Größe 日本.jpg"


@pytest.mark.parametrize(
    "reference",
    [
        *("../../x.jpg", "../x.jpg", "/etc/passwd", "C:\\x.jpg", "C:x.jpg", "\\\\host\\x.jpg"),
        *("//host/x.jpg", "a.jpg:ads", "file:///x.jpg", "a\0.jpg", "", ".", "..", "a/b.jpg"),
        *("a\\b.jpg", "./a.jpg", " a.jpg", "a.jpg ", "a.jpg.", "~/a.jpg", "con.jpg", "NUL.txt"),
        *("a.jpg\n", "%2e%2e%2fx.jpg", "a..jpg", "-a.jpg", ".jpg", "ａ.jpg", "a" * 65 + ".jpg"),
    ],
)
def test_a_reference_that_is_no_plain_name_opens_nothing(
    opened: Opened, reference: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """B61: not even a look at the disk."""
    asked: list[str] = []
    monkeypatch.setattr(MemoryFiles, "facts", lambda self, path: asked.append(path))
    monkeypatch.setattr(MemoryFiles, "read", lambda self, path, most: asked.append(path))

    with pytest.raises(StoreError, match="not a file name"):
        resolve(opened.folder, "boat-1", "photos", reference)
    with pytest.raises(StoreError, match="not a file name"):
        resolve(opened.folder, reference, "photos", "a.jpg")
    with pytest.raises(StoreError, match="not a file name"):
        resolve(opened.folder, "boat-1", reference, "a.jpg")

    assert asked == []


@pytest.mark.parametrize("linked", ["photos/x.jpg", "photos", ""])
def test_a_link_on_the_way_to_a_photo_is_not_followed(
    opened: Opened, files: MemoryFiles, linked: str
) -> None:
    """B61, B59."""
    way = f"{ROOT}/boats/boat-1/{linked}".rstrip("/")
    files.put_folders(PHOTOS)
    files.put(f"{PHOTOS}/x.jpg", photo_bytes(1))
    assert resolve(opened.folder, "boat-1", "photos", "x.jpg") == f"{PHOTOS}/x.jpg"
    files.rename(way, f"{ROOT}/was")
    files.put_other(way)

    with pytest.raises(StoreError, match="missing"):
        resolve(opened.folder, "boat-1", "photos", "x.jpg")


def test_a_photo_is_in_its_place_before_anything_names_it(
    opened: Opened, files: MemoryFiles
) -> None:
    """D9: the record exists only when the file does."""
    files.log.clear()
    files.fault = Fault(3, "error", errno.ENOSPC)

    with pytest.raises(NotSavedError):
        add_photo(opened.folder, "boat-1", photo_bytes(1), "a.jpg")

    assert opened.folder.names_in("boat-1", "photos") == set()


def test_removing_a_photo_leaves_its_file(opened: Opened, files: MemoryFiles) -> None:
    """D9: undo may need it."""
    changed = with_photos(opened.folder, opened.project, "boat-1", range(1))
    save_project(opened.folder, changed, opened.project)

    save_project(opened.folder, opened.project, changed)

    assert len(files.names(PHOTOS)) == 1


def test_nothing_is_added_to_a_read_only_folder(opened: Opened, files: MemoryFiles) -> None:
    """C8."""
    opened.folder.read_only = "Another window has it."
    files.log.clear()

    with pytest.raises(StoreError, match="Another window"):
        add_photo(opened.folder, "boat-1", photo_bytes(1), "a.jpg")

    assert files.log == []


@pytest.mark.parametrize(
    ("start", "name", "ending"),
    [
        (b"%PDF-1.7", "quote", "pdf"),
        (b"\xff\xd8\xff\xe0", "scan.pdf", "jpg"),
        (b"PK\x03\x04", "sheet.XLSX", "xlsx"),
        (b"PK\x03\x04", "thing.exe", "zip"),
        (b"Dear Sir", "letter.txt", "txt"),
        (b"a;b", "list.csv", "csv"),
        (b"text", "page.html", "txt"),
        (b"MZ\x90\0", "survey.pdf", ""),
        (b"\x7fELF", "survey.pdf", ""),
        (b"#!/bin/sh", "survey.txt", ""),
        (b"\0\x01\x02", "survey.txt", ""),
    ],
)
def test_a_document_is_named_by_what_it_is(start: bytes, name: str, ending: str) -> None:
    assert document_type(start, name) == ending


def test_a_document_is_stored_and_a_program_is_not(opened: Opened, files: MemoryFiles) -> None:
    document = add_document(opened.folder, "boat-1", b"%PDF-1.7 ...", "Quote.pdf")

    assert document.original_name == "Quote.pdf"
    path = resolve(opened.folder, "boat-1", "documents", document.file)
    assert files.read(path, 1000) == b"%PDF-1.7 ..."
    with pytest.raises(StoreError, match="not a document"):
        add_document(opened.folder, "boat-1", b"MZ\x90\0", "Quote.pdf")


def test_a_photo_type_needs_no_more_than_the_first_bytes() -> None:
    assert photo_type(b"RIFF\n\n\n\nWEBP") == "webp"
    assert photo_type(b"xRIFF\n\n\n\nWEBP") == ""
