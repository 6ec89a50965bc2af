"""The photos and documents of one boat kept for another as well: what a copy of a boat needs."""

from __future__ import annotations

from workbench.domain.problem import HardstandError, Problem
from workbench.domain.project import Candidate

from . import layout
from .attachments import LARGEST, add_document, add_photo, resolve
from .project_folder import ProjectFolder


def copy_attachments(
    folder: ProjectFolder, candidate: Candidate, copy_id: str
) -> tuple[Problem, ...]:
    """Keep every photo and document that a boat's record names for another boat too.

    Files are named by their content, so the record of the copy fits without a change. What is
    missing or cannot be stored is told and left out; the rest is there.
    """
    problems: list[Problem] = []
    for photo in candidate.inspection.photos.values():
        try:
            data = _read(folder, candidate.boat.id, layout.PHOTOS, photo.file)
            add_photo(folder, copy_id, data, photo.original_name)
        except HardstandError as error:
            problems += error.problems
    documents = {quote.document for quote in candidate.ledger.quotes} | {candidate.boat.listing}
    for document in sorted(documents - {""}):
        try:
            data = _read(folder, candidate.boat.id, layout.DOCUMENTS, document)
            add_document(folder, copy_id, data, document)
        except HardstandError as error:
            problems += error.problems
    return tuple(problems)


def _read(folder: ProjectFolder, boat: str, kind: str, reference: str) -> bytes:
    return folder.files.read(resolve(folder, boat, kind, reference), LARGEST)
