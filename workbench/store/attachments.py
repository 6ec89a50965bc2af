"""Photos and documents: stored as they came, named by their content, found by one resolver.

    add_photo(folder, boat, source, name="") -> Photo          raises StoreError
    add_document(folder, boat, source, name="") -> Document    raises StoreError
    document_name(data, name) -> the name it will have
    resolve(folder, boat, kind, reference) -> path             raises StoreError

`source` is a path, or the bytes themselves. The file is in its place, whole and flushed, before
anything names it. What is in a photo is not looked at here beyond its first bytes: the type is told
by content, never by the ending of the name. The same bytes twice are one file. Removing a photo
from a boat leaves its file. A reference that leads out of the boat's folder opens nothing.
"""

from __future__ import annotations

import errno
import hashlib
import re
import unicodedata
from pathlib import Path

from workbench.domain.inspection import Photo
from workbench.domain.project import is_id
from workbench.domain.record import dataclass
from workbench.store import layout
from workbench.store.errors import StoreError, stopped, system_words
from workbench.store.file_system import FileSystem, Kind
from workbench.store.project_folder import ProjectFolder
from workbench.store.transaction import place_file

LARGEST = 200 * 2**20
_REFERENCE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}\.[a-z0-9]{1,5}")
_DEVICES = re.compile(r"^(con|prn|aux|nul|com[0-9]|lpt[0-9])\.", re.IGNORECASE)
_PHOTOS = (
    (re.compile(rb"\xff\xd8\xff"), "jpg"),
    (re.compile(rb"\x89PNG\r\n\x1a\n"), "png"),
    (re.compile(rb"RIFF....WEBP", re.DOTALL), "webp"),
    (re.compile(rb"II\*\0|MM\0\*"), "tif"),
    (re.compile(rb"GIF8[79]a"), "gif"),
    (re.compile(rb"....ftypavi[fs]", re.DOTALL), "avif"),
    (re.compile(rb"....ftyp(hei[cxms]|hevc|mif1|msf1)", re.DOTALL), "heic"),
)
"""First bytes by the published formats: JPEG (ISO/IEC 10918-1), PNG (ISO/IEC 15948), WebP
(RFC 9649), TIFF 6.0, GIF89a, and the brands of ISO/IEC 23008-12 (HEIC, AVIF)."""


@dataclass(frozen=True, slots=True)
class Document:
    """A stored document: the file's name below the boat's documents, its digest, its old name."""

    file: str
    sha256: str
    original_name: str = ""


def photo_type(start: bytes) -> str:
    """The ending for a photo by its first bytes; empty when it is no photo that is taken."""
    return next((ending for sign, ending in _PHOTOS if sign.match(start)), "")


def document_type(start: bytes, name: str) -> str:
    """The ending for a document by its first bytes, with the name's help where they say little."""
    if start[:5] == b"%PDF-":
        return "pdf"
    if photo_type(start):
        return photo_type(start)
    ending = name.rpartition(".")[2].lower()
    if start[:4] == b"PK\x03\x04":
        return ending if ending in ("xlsx", "docx", "odt", "ods", "zip") else "zip"
    if start[:2] in (b"MZ", b"#!") or start[:4] == b"\x7fELF":
        return ""
    if b"\0" not in start:
        return ending if ending in ("txt", "csv", "md", "eml") else "txt"
    return ""


def document_name(data: bytes, name: str) -> str:
    """The file name under which `add_document` stores bytes; empty when it would refuse them."""
    ending = document_type(data[:4096], name)
    if not ending or len(data) > LARGEST:
        return ""
    return _file_name(hashlib.sha256(data).hexdigest(), ending)


def add_photo(folder: ProjectFolder, boat: str, source: Path | bytes, name: str = "") -> Photo:
    """Store a photo for a boat and answer its record, ready to be added to her inspection.

    Raises
    ------
    StoreError
        When it is no photo, too large, not a regular file, or cannot be stored.
    """
    data, name = _taken(folder.files, source, name)
    ending = photo_type(data[:16])
    if not ending:
        raise stopped(
            name or "photo",
            "This is not a photo that is taken: JPEG, PNG, WebP, TIFF, GIF, HEIC or AVIF.",
            "Save it as JPEG, or add it to the boat's documents.",
        )
    file, sha256 = _stored(folder, boat, layout.PHOTOS, data, ending)
    return Photo(id=sha256[:40], file=file, sha256=sha256, original_name=visible(name))


def add_document(
    folder: ProjectFolder, boat: str, source: Path | bytes, name: str = ""
) -> Document:
    """Store a listing, a quote or a survey report for a boat.

    Raises
    ------
    StoreError
        When it is a program, too large, not a regular file, or cannot be stored.
    """
    data, name = _taken(folder.files, source, name)
    ending = document_type(data[:4096], name)
    if not ending:
        raise stopped(
            name or "document",
            "This is not a document that is taken: PDF, picture, text, spreadsheet or letter.",
            "Save it as PDF.",
        )
    file, sha256 = _stored(folder, boat, layout.DOCUMENTS, data, ending)
    return Document(file, sha256, visible(name))


def resolve(folder: ProjectFolder, boat: str, kind: str, reference: str) -> str:
    """The full path of a boat's photo or document.

    Raises
    ------
    StoreError
        When the reference is not a plain file name, or no regular file has it.
    """
    shown = visible(reference)[:80]
    if (
        not is_file_name(reference)
        or not is_id(boat)
        or kind not in (layout.PHOTOS, layout.DOCUMENTS)
    ):
        remedy = "Add the file again."
        raise stopped(f"boat {visible(boat)[:40]}", f"“{shown}” is not a file name.", remedy)
    path = layout.boat_path(boat, f"{kind}/{reference}")
    above = folder.root
    for part in path.split("/")[:-1]:
        above = f"{above}/{part}"
        facts = folder.files.facts(above)
        if facts is None or facts.kind is not Kind.FOLDER:
            raise _missing(path)
    facts = folder.files.facts(f"{folder.root}/{path}")
    if facts is None or facts.kind is not Kind.FILE:
        raise _missing(path)
    return f"{folder.root}/{path}"


def is_file_name(reference: str) -> bool:
    """Whether a reference can be that of a stored photo or document on any system."""
    return bool(_REFERENCE.fullmatch(reference)) and not _DEVICES.match(reference)


def visible(name: str) -> str:
    """A file name on one line, with the signs that hide or turn its text written out."""
    return "".join(
        f"‹U+{ord(sign):04X}›" if unicodedata.category(sign) in ("Cc", "Cf", "Cs") else sign
        for sign in name
    )


def photo_is_whole(folder: ProjectFolder, boat: str, photo: Photo) -> bool:
    """Whether the stored file has the digest of its record; reads the whole file."""
    data = folder.files.read(resolve(folder, boat, layout.PHOTOS, photo.file), LARGEST)
    return hashlib.sha256(data).hexdigest() == photo.sha256


def _taken(files: FileSystem, source: Path | bytes, name: str) -> tuple[bytes, str]:
    """The bytes of what is to be added, and its name."""
    if isinstance(source, bytes):
        if len(source) > LARGEST:
            raise _too_large(name)
        return source, name
    name = name or source.name
    try:
        return files.read(str(source), LARGEST), name
    except OSError as error:
        if error.errno == errno.EFBIG:
            raise _too_large(name) from error
        special = error.errno in (errno.EINVAL, errno.ELOOP, errno.ENXIO, errno.EISDIR)
        said = "this is a link or no regular file" if special else system_words(error)
        raise stopped(visible(name), f"It cannot be read: {said}.", "Choose a file.") from error


def _stored(
    folder: ProjectFolder, boat: str, kind: str, data: bytes, ending: str
) -> tuple[str, str]:
    """Put the bytes in their place unless they are there; answer file name and digest."""
    assert is_id(boat)  # noqa: S101 - a mistake of the caller
    if folder.read_only:
        raise stopped(folder.name, folder.read_only, "Work on a copy.")
    sha256 = hashlib.sha256(data).hexdigest()
    name = _file_name(sha256, ending)
    path = layout.boat_path(boat, f"{kind}/{name}")
    if not _holds(folder.files, f"{folder.root}/{path}", sha256):
        try:
            token = folder.workplace.token()
        except OSError as error:
            message = f"It was not stored: {system_words(error)}."
            raise stopped("application data", message, "Make room there.") from error
        place_file(folder.files, folder.root, token, path, data)
    return name, sha256


def _file_name(sha256: str, ending: str) -> str:
    return f"{sha256[:40]}.{ending}"


def _holds(files: FileSystem, path: str, sha256: str) -> bool:
    """Whether these very bytes lie there; a damaged earlier copy is replaced."""
    facts = files.facts(path)
    if facts is None or facts.kind is not Kind.FILE:
        return False
    try:
        return hashlib.sha256(files.read(path, LARGEST)).hexdigest() == sha256
    except OSError:
        return False


def _too_large(name: str) -> StoreError:
    message = f"The file is larger than {LARGEST // 2**20} MiB."
    return stopped(visible(name) or "file", message, "Make it smaller.")


def _missing(path: str) -> StoreError:
    return stopped(path, "The file is missing.", "Let the sync finish, or add it again.")
