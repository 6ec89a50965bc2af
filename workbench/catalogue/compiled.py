"""The shipped catalogue as it was last built, kept in the cache folder so that it loads at once.

Reading fifty TOML files and building fourteen thousand records takes half a second; reading back
what was built takes a tenth of that. The compiled form is one line that says of which sources it
was made, then one line of JSON. It is used only when every source has the size and the time of
change that it had then, the program's own modules included, and when no byte of it is damaged;
otherwise it is as if it were not there, and it is made anew. Nothing but time is lost with it, so a
folder that cannot be written is no fault. Every language has a compiled form of its own.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
import zlib
from collections.abc import Iterable
from pathlib import Path

from workbench.domain.packing import pack, unpack
from workbench.paths import cache_folder

from .language import ENGLISH
from .model import Catalogue

Mark = list[str | int]
"""A source as it was: its name, its size [bytes], its time of change [ns]."""


def marks_of(sources: Iterable[Path]) -> list[Mark]:
    """How the sources stand now, and the program that reads them."""
    here = Path(__file__).resolve().parent
    program = (*here.glob("*.py"), *(here.parent / "domain").glob("*.py"))
    marks: list[Mark] = []
    for path in (*sources, *sorted(program)):
        facts = path.stat()
        marks.append([str(path), facts.st_size, facts.st_mtime_ns])
    return marks


def name_of(language: str) -> str:
    """The file that the catalogue of a language is compiled to."""
    return "catalogue.json" if language == ENGLISH else f"catalogue-{language}.json"


def read_compiled(marks: list[Mark], language: str = ENGLISH) -> Catalogue | None:
    """The catalogue compiled from exactly these sources; None when there is none whole."""
    try:
        text = (cache_folder() / name_of(language)).read_bytes()
        head, _, body = text.partition(b"\n")
        if json.loads(head) != {"sources": marks, "sum": zlib.crc32(body)}:
            return None
        return unpack(Catalogue, json.loads(body))
    except (OSError, ValueError):  # unreadable, not JSON, not a catalogue (UnpackError)
        return None


def write_compiled(catalogue: Catalogue, marks: list[Mark]) -> None:
    """Keep a catalogue for the next start; a folder that cannot be written is left as it is."""
    kept_as = name_of(catalogue.wording.language)
    body = json.dumps(pack(catalogue), ensure_ascii=False, separators=(",", ":")).encode()
    head = json.dumps({"sources": marks, "sum": zlib.crc32(body)}).encode()
    place = cache_folder()
    with contextlib.suppress(OSError):
        place.mkdir(parents=True, exist_ok=True)
        staged, name = tempfile.mkstemp(dir=place, prefix=kept_as)
        try:
            with os.fdopen(staged, "wb") as file:
                file.write(head + b"\n" + body)
            os.replace(name, place / kept_as)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
