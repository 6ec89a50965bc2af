"""The German help has the pages of the English one, each with the same parts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from workbench.paths import resources_root

HELP = resources_root() / "help"
PAGES = [*sorted(HELP.glob("*.md")), resources_root() / "changes.md"]


def parts(file: Path) -> tuple[list[str], int, int, int]:
    """Heading levels, points, rows of tables and numbered steps of a page, in their order."""
    lines = file.read_text(encoding="utf-8").splitlines()
    levels = [line.split(" ")[0] for line in lines if line.startswith("#")]
    return (
        levels,
        sum(line.startswith("- ") for line in lines),
        sum(line.startswith("|") for line in lines),
        sum(bool(re.match(r"\d+\. ", line)) for line in lines),
    )


def links(file: Path) -> list[str]:
    """Where a page leads, in its order."""
    return re.findall(r"\]\(([^)]*)\)", file.read_text(encoding="utf-8"))


def test_no_page_is_missing_and_none_is_left_over() -> None:
    assert {one.name for one in PAGES} == {one.name for one in (HELP / "de").glob("*.md")}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_german_page_has_the_parts_of_the_english_one(page: Path) -> None:
    german = HELP / "de" / page.name

    assert parts(german) == parts(page)
    assert links(german) == links(page)
    assert german.read_text(encoding="utf-8") != page.read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_what_is_cited_is_cited_in_german_too(page: Path) -> None:
    """Numbers of reports and years of publications stand on both pages."""
    cited = r"\b(?:FHWA-RD-01-020|GAO-20-195G|arXiv \d+\.\d+|(?:19|20)\d\d)\b"
    english = page.read_text(encoding="utf-8").replace("\n", " ")
    german = (HELP / "de" / page.name).read_text(encoding="utf-8").replace("\n", " ")

    assert re.findall(cited, german) == re.findall(cited, english)
