"""Which texts of the window lack a translation, and which translations nothing uses any more.

    python packaging/translations.py            report; ends with 1 where anything is amiss
    python packaging/translations.py --update   add missing keys with an empty text, drop unused

Texts are the literals in `tr("...")` and `marked("...")` anywhere below `workbench/window`, found
by reading the source, not by running it. A translation must have the placeholders of its text, and
begin and end with the same spaces. What is not a plain literal inside `tr` cannot be found and is
reported, unless it is a bare variable or an attribute, whose texts are marked where they stand.
"""

from __future__ import annotations

import argparse
import ast
import json
import string
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
WINDOW = ROOT / "workbench" / "window"
TABLES = ROOT / "resources" / "translations"


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
            for part in _parts(call.args[0]):
                if isinstance(part, ast.Constant) and isinstance(part.value, str):
                    texts.setdefault(part.value, place)
                elif not isinstance(part, ast.Name | ast.Attribute | ast.Subscript):
                    unusable.append(f"{place}  {ast.unparse(call)}")
    return Found(texts, tuple(unusable))


def _calls(tree: ast.Module) -> Iterator[ast.Call]:
    calls = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.args
        if node.func.id in ("tr", "marked")
    ]
    yield from sorted(calls, key=lambda call: (call.lineno, call.col_offset))


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


def main(arguments: list[str] | None = None) -> int:
    """Report, or bring the tables up to date."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--update", action="store_true", help="add and drop keys")
    asked = parser.parse_args(arguments)
    found = texts_in(WINDOW)
    for use in found.unusable:
        print(f"no key: {use}")
    amiss = bool(found.unusable)
    for file in sorted(TABLES.glob("*.json")):
        table = read_table(file)
        if asked.update:
            table = updated(found.texts, table)
            write_table(file, table)
        amiss |= _print_report(file.stem, report_of(found.texts, table), found.texts)
    return int(amiss)


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
