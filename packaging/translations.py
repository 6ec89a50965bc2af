"""Which texts lack a translation, and which translations nothing uses any more.

    python packaging/translations.py            report; ends with 1 where anything is amiss
    python packaging/translations.py --update   add missing keys with an empty text, drop unused

Four kinds of text are looked after:

- what the window says: the literals in `tr("...")` and `marked("...")` below `workbench/window`,
  translated in `resources/translations/<code>.json`;
- what figures and sheets say: the literals in `.say("...")`, `.one_or_many(n, "...", "...")` and
  `marked("...")` below `workbench/catalogue` and `workbench/figures`, in `<code>/figures.json`, and
  below `workbench/reports`, in `<code>/sheets.json`;
- what stands in the drawings: their labels, titles and descriptions, in `<code>/drawings.json`;
- what the catalogue says: every text that its files are asked for as words (`catalogue/building`),
  in all other parts of `<code>/`, each text in one of them.

Source is read, not run. A translation must have the placeholders of its text, and begin and end
with the same spaces. What is not a plain literal in such a call cannot be found and is reported,
unless it is a bare variable or an attribute, whose texts are marked where they stand. `--update`
leaves the parts of the catalogue alone; they are written by system, in the order of the checks.
"""

from __future__ import annotations

import argparse
import ast
import json
import string
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from defusedxml import ElementTree

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from workbench.catalogue.assembling import build
from workbench.catalogue.loading import texts_of
from workbench.catalogue.wording import DRAWN_IN

ROOT = Path(__file__).resolve().parent.parent
WINDOW = ROOT / "workbench" / "window"
RESOURCES = ROOT / "resources"
DRAWINGS = RESOURCES / "drawings"
TABLES = RESOURCES / "translations"
SAID_BY = {"figures": ("catalogue", "figures"), "sheets": ("reports",)}
"""Parts of a language that translate what layers say, and the layers below `workbench`."""
DRAWN = Path(DRAWN_IN).stem
"""The part of a language that translates what stands in the drawings."""
_WORDED = ("text", "title", "desc")
_TEXTS_OF = {
    **dict.fromkeys(("tr", "marked", "say"), slice(0, 1)),
    "one_or_many": slice(1, 3),
}
"""Calls that say a text, and which of their arguments it is."""


@dataclass(frozen=True)
class Found:
    """What a folder of source says: texts with where they stand first, and uses that are no key."""

    texts: dict[str, str]
    unusable: tuple[str, ...]


def texts_in(folder: Path) -> Found:
    """Every text to be translated below a folder, in the order of files and lines."""
    texts: dict[str, str] = {}
    unusable: list[str] = []
    for file in sorted(folder.rglob("*.py")):
        for call in _calls(ast.parse(file.read_text(encoding="utf-8"))):
            place = f"{file.relative_to(folder).as_posix()}:{call.lineno}"
            for part in _said(call):
                if isinstance(part, ast.Constant) and isinstance(part.value, str):
                    texts.setdefault(part.value, place)
                elif not isinstance(part, ast.Name | ast.Attribute | ast.Subscript):
                    unusable.append(f"{place}  {ast.unparse(call)}")
    return Found(texts, tuple(unusable))


def said_by(part: str) -> Found:
    """Every text that the layers of a part say, with the layer before its place."""
    texts: dict[str, str] = {}
    unusable: list[str] = []
    for layer in SAID_BY[part]:
        found = texts_in(ROOT / "workbench" / layer)
        for text, place in found.texts.items():
            texts.setdefault(text, f"{layer}/{place}")
        unusable += found.unusable
    return Found(texts, tuple(unusable))


def _calls(tree: ast.Module) -> Iterator[ast.Call]:
    calls = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and node.args and _name(node.func) in _TEXTS_OF
    ]
    yield from sorted(calls, key=lambda call: (call.lineno, call.col_offset))


def _name(function: ast.expr) -> str:
    """`tr` and `marked` are called by their names, `say` and `one_or_many` of a wording."""
    if isinstance(function, ast.Name):
        return function.id if function.id in ("tr", "marked") else ""
    if isinstance(function, ast.Attribute) and _is_wording(function.value):
        return function.attr
    return ""


def _is_wording(owner: ast.expr) -> bool:
    return ast.unparse(owner).rpartition(".")[2].lstrip("_") == "wording"


def _said(call: ast.Call) -> Iterator[ast.expr]:
    for argument in call.args[_TEXTS_OF[_name(call.func)]]:
        yield from _parts(argument)


def _parts(argument: ast.expr) -> Iterator[ast.expr]:
    """An argument, or both ends of `one if ... else other`."""
    if isinstance(argument, ast.IfExp):
        yield from _parts(argument.body)
        yield from _parts(argument.orelse)
    else:
        yield argument


def placeholders(text: str) -> list[str]:
    """The names in braces, sorted; 'a {b} {c}' has b and c."""
    return sorted(name for _, name, _, _ in string.Formatter().parse(text) if name is not None)


def faults_of(text: str, translation: str) -> tuple[str, ...]:
    """What a translation does not keep of its text; nothing for an empty one."""
    if not translation:
        return ()
    faults = []
    if placeholders(text) != placeholders(translation):
        faults.append("other placeholders")
    for side, strip in (("start", str.lstrip), ("end", str.rstrip)):
        ours, theirs = len(text) - len(strip(text)), len(translation) - len(strip(translation))
        if ours != theirs:
            faults.append(f"other spaces at the {side}")
    return tuple(faults)


@dataclass(frozen=True)
class Report:
    """What is amiss with one table."""

    missing: tuple[str, ...]
    unused: tuple[str, ...]
    faulty: tuple[str, ...]


def report_of(texts: dict[str, str], table: dict[str, str]) -> Report:
    """Compare the texts of the source with a table of translations."""
    missing = tuple(text for text in texts if not table.get(text))
    unused = tuple(text for text in table if text not in texts)
    faulty = tuple(
        f"{text!r}: {', '.join(faults)}"
        for text, translation in table.items()
        if (faults := faults_of(text, translation))
    )
    return Report(missing, unused, faulty)


def read_table(file: Path) -> dict[str, str]:
    """A table of translations."""
    table: dict[str, str] = json.loads(file.read_text(encoding="utf-8"))
    return table


def write_table(file: Path, table: dict[str, str]) -> None:
    """Write a table with sorted keys, so that a change is a small difference."""
    text = json.dumps(table, ensure_ascii=False, indent=1, sort_keys=True)
    file.write_text(f"{text}\n", encoding="utf-8")


def updated(texts: dict[str, str], table: dict[str, str]) -> dict[str, str]:
    """The table with every text of the source as a key, and no other."""
    return {text: table.get(text, "") for text in texts}


class _Asked(Mapping[str, str]):
    """Translations that hold none, and keep what they were asked for."""

    def __init__(self) -> None:
        self.texts: dict[str, str] = {}

    def __getitem__(self, text: str) -> str:
        if any(sign.isalpha() for sign in text):
            self.texts.setdefault(text, "the catalogue")
        raise KeyError(text)

    def __iter__(self) -> Iterator[str]:
        return iter(())

    def __len__(self) -> int:
        return 0


def texts_of_the_catalogue(resources: Path = RESOURCES) -> dict[str, str]:
    """Every text of the shipped catalogue that a person reads, in the order of its files."""
    asked = _Asked()
    build(texts_of(resources), asked)
    return asked.texts


def texts_of_the_drawings(folder: Path = DRAWINGS) -> dict[str, str]:
    """Every label, title and description of the drawings that holds a letter, with its file."""
    texts: dict[str, str] = {}
    for file in sorted(folder.glob("*.svg")):
        for element in ElementTree.parse(file).iter():
            text = " ".join("".join(element.itertext()).split())
            if element.tag.rpartition("}")[2] in _WORDED and any(sign.isalpha() for sign in text):
                texts.setdefault(text, file.name)
    return texts


@dataclass(frozen=True)
class Language:
    """A language's tables.

    Attributes
    ----------
    window
        The table of the window's texts.
    said
        The tables of what figures and sheets say, by part.
    drawn
        The table of what stands in the drawings.
    catalogue
        The tables of the catalogue's texts, by part.
    """

    window: dict[str, str]
    said: dict[str, dict[str, str]]
    drawn: dict[str, str]
    catalogue: dict[str, dict[str, str]]


def language_of(file: Path) -> Language:
    """All tables of the language whose window texts are in `file`."""
    parts = {part.stem: part for part in sorted(file.with_suffix("").glob("*.json"))}
    return Language(
        read_table(file),
        {name: read_table(parts[name]) for name in SAID_BY if name in parts},
        read_table(parts[DRAWN]) if DRAWN in parts else {},
        {name: read_table(part) for name, part in parts.items() if name not in (*SAID_BY, DRAWN)},
    )


def report_of_catalogue(texts: dict[str, str], parts: dict[str, dict[str, str]]) -> Report:
    """Compare the catalogue's texts with the parts that translate it."""
    merged: dict[str, str] = {}
    twice: list[str] = []
    for name, part in parts.items():
        plain = {text.strip(): said.strip() for text, said in part.items()}
        twice += [f"{text!r}: again in {name}" for text in plain if text in merged]
        merged.update(plain)
    report = report_of(texts, merged)
    return Report(report.missing, report.unused, (*report.faulty, *twice))


def main(arguments: list[str] | None = None) -> int:
    """Report, or bring the tables up to date."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--update", action="store_true", help="add and drop keys")
    asked = parser.parse_args(arguments)
    window = texts_in(WINDOW)
    said = {part: said_by(part) for part in SAID_BY}
    drawn, written = texts_of_the_drawings(), texts_of_the_catalogue()
    unusable = [use for found in (window, *said.values()) for use in found.unusable]
    for use in unusable:
        print(f"no key: {use}")
    amiss = bool(unusable)
    for file in sorted(TABLES.glob("*.json")):
        if asked.update:
            _update(file, window.texts)
            for part, found in said.items():
                _update(file.with_suffix("") / f"{part}.json", found.texts)
            _update(file.with_suffix("") / DRAWN_IN, drawn)
        language = language_of(file)
        amiss |= _print_report(file.stem, report_of(window.texts, language.window), window.texts)
        for part, found in said.items():
            report = report_of(found.texts, language.said.get(part, {}))
            amiss |= _print_report(f"{file.stem}, {part}", report, found.texts)
        amiss |= _print_report(f"{file.stem}, {DRAWN}", report_of(drawn, language.drawn), drawn)
        report = report_of_catalogue(written, language.catalogue)
        amiss |= _print_report(f"{file.stem}, catalogue", report, written)
    return int(amiss)


def _update(file: Path, texts: dict[str, str]) -> None:
    """Give a table every text as a key, and no other; a table of no text is not made."""
    if texts or file.is_file():
        write_table(file, updated(texts, read_table(file) if file.is_file() else {}))


def _print_report(language: str, report: Report, texts: dict[str, str]) -> bool:
    for text in report.missing:
        print(f"{language}  missing: {texts[text]}  {text!r}")
    for text in report.unused:
        print(f"{language}  unused: {text!r}")
    for fault in report.faulty:
        print(f"{language}  faulty: {fault}")
    print(
        f"{language}: {len(texts)} texts, {len(report.missing)} missing, "
        f"{len(report.unused)} unused, {len(report.faulty)} faulty"
    )
    return bool(report.missing or report.unused or report.faulty)


if __name__ == "__main__":
    sys.exit(main())
