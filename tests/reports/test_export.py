"""Writing sheets: names, places, whole or not at all, stopping, and what is refused."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import IO

import pytest

from tests.reports.invented import BARNABY, DAY, MARIGOLD, read_text
from workbench.domain.problem import EntryError
from workbench.figures.assessment import Assessment
from workbench.reports.export import SHEETS, Progress, Stopped, export_sheets
from workbench.reports.shelf import FolderShelf, place_sheet

BOTH = [MARIGOLD, BARNABY]
PDFS = [name for name, sheet in SHEETS.items() if sheet.ending == "pdf"]


def write_x(target: IO[bytes]) -> None:
    target.write(b"x")


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("sheet", PDFS)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_sheet_is_written(
    sheet: str, paper: str, assessment: Assessment, tmp_path: Path
) -> None:
    made = export_sheets(assessment, None, tmp_path, [sheet], BOTH, paper, on=DAY)

    assert len(made) == (2 if SHEETS[sheet].per_boat else 1)
    for path in made:
        assert path.read_bytes().startswith(b"%PDF-")
        assert path.read_bytes().rstrip().endswith(b"%%EOF")
        assert "page 1 of" in read_text(path)
    assert names(tmp_path) == sorted(path.name for path in made)


def test_names_carry_the_day_the_sheet_and_the_boat(assessment: Assessment, tmp_path: Path) -> None:
    export_sheets(assessment, None, tmp_path, ["offer", "comparison"], BOTH, on=DAY)

    assert names(tmp_path) == [
        "2026-05-10 Comparison.pdf",
        "2026-05-10 Offer support, Marigold Rae.pdf",
        "2026-05-10 Offer support, Old Barnaby.pdf",
    ]


def test_an_older_sheet_is_never_written_over(assessment: Assessment, tmp_path: Path) -> None:
    first = export_sheets(assessment, None, tmp_path, ["season-list"], [MARIGOLD], on=DAY)
    first[0].write_bytes(b"what was handed out")

    second = export_sheets(assessment, None, tmp_path, ["season-list"], [MARIGOLD], on=DAY)

    assert first[0].read_bytes() == b"what was handed out"
    assert second[0].name == "2026-05-10 Work list, Marigold Rae 2.pdf"


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ('a/b\\c:d*e?f"g<h>i|j', "2026-05-10 a b c d e f g h i j.pdf"),  # C12
        ("CON", "2026-05-10 _CON.pdf"),
        ("dots. . .", "2026-05-10 dots.pdf"),
        ("turn\u202eed", "2026-05-10 turn ed.pdf"),
        ("", "2026-05-10 export.pdf"),
    ],
)
def test_names_are_ones_that_every_system_takes(title: str, name: str, tmp_path: Path) -> None:
    path = place_sheet(tmp_path, title, DAY, "pdf", write_x)

    assert path.name == name


def test_a_very_long_name_is_shortened(tmp_path: Path) -> None:
    path = place_sheet(tmp_path, "é" * 300, DAY, "pdf", lambda target: None)

    assert len(path.name.encode()) <= 124


def test_a_failure_leaves_nothing(tmp_path: Path) -> None:
    def fail(target: object) -> None:
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space"):
        place_sheet(tmp_path, "a", DAY, "pdf", fail)
    assert names(tmp_path) == []


def test_two_at_once_each_get_a_name_of_their_own(tmp_path: Path) -> None:
    def write_beside(target: object) -> None:
        # While the first is being written somebody else takes its name.
        (tmp_path / "2026-05-10 a.pdf").write_bytes(b"the other's")

    path = place_sheet(tmp_path, "a", DAY, "pdf", write_beside)

    assert path.name == "2026-05-10 a 2.pdf"
    assert (tmp_path / "2026-05-10 a.pdf").read_bytes() == b"the other's"


def test_a_file_system_without_second_names_is_served_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", no_links)
    path = place_sheet(tmp_path, "a", DAY, "pdf", write_x)

    assert path.read_bytes() == b"x"
    assert names(tmp_path) == ["2026-05-10 a.pdf"]


def test_progress_names_every_sheet_before_it_is_begun(
    assessment: Assessment, tmp_path: Path
) -> None:
    heard: list[Progress] = []

    export_sheets(
        assessment, None, tmp_path, ["offer", "comparison"], BOTH, on=DAY, progress=heard.append
    )

    assert [(one.done, one.of) for one in heard] == [(0, 3), (1, 3), (2, 3)]
    assert heard[-1].sheet == "Comparison"


@pytest.mark.parametrize("after", [0, 1, 2, 3, 5, 8])
def test_a_stop_leaves_whole_sheets_only(
    after: int, assessment: Assessment, tmp_path: Path
) -> None:
    asked = 0

    def stop() -> bool:
        nonlocal asked
        asked += 1
        return asked > after

    with pytest.raises(Stopped) as stopped:
        export_sheets(assessment, None, tmp_path, PDFS, BOTH, on=DAY, stop=stop)

    assert names(tmp_path) == sorted(path.name for path in stopped.value.made)
    for path in stopped.value.made:
        assert path.read_bytes().rstrip().endswith(b"%%EOF")


def test_a_stop_is_asked_for_at_every_page_and_photo(
    assessment: Assessment, tmp_path: Path
) -> None:
    asked = 0

    def stop() -> bool:
        nonlocal asked
        asked += 1
        return False

    made = export_sheets(assessment, None, tmp_path, ["field-form"], [MARIGOLD], on=DAY, stop=stop)

    pages = made[0].read_bytes().count(b"/Type /Page\n")
    assert asked > pages


@pytest.mark.parametrize(
    ("sheets", "boats", "paper", "said"),
    [
        (["nothing"], BOTH, "a4", "There is no sheet “nothing”. There are: offer, comparison"),
        (["offer"], ["nobody"], "a4", "There is no boat “nobody”. There are: marigold-rae"),
        (["offer"], BOTH, "a3", "There is no paper “a3”. There are: a4, letter."),
    ],
)
def test_what_does_not_exist_is_named_with_what_does(
    sheets: list[str],
    boats: list[str],
    paper: str,
    said: str,
    assessment: Assessment,
    tmp_path: Path,
) -> None:
    with pytest.raises(EntryError) as refused:
        export_sheets(assessment, None, tmp_path, sheets, boats, paper)

    assert said in str(refused.value)
    assert names(tmp_path) == []


def test_the_day_is_today_where_none_is_given(assessment: Assessment, tmp_path: Path) -> None:
    made = export_sheets(assessment, None, tmp_path, ["comparison"], BOTH)

    assert made[0].name.startswith(date.today().isoformat())


@pytest.mark.parametrize(
    "reference",
    ["../../project.json", "/etc/hostname", "a/b.jpg", "", ".", "x\0.jpg", "C:x.jpg", "a.jpg:s"],
)
def test_a_photo_reference_leads_nowhere_else(reference: str, tmp_path: Path) -> None:
    # B61
    (tmp_path / "boats" / MARIGOLD / "photos").mkdir(parents=True)
    (tmp_path / "project.json").write_text("secret")

    assert FolderShelf(tmp_path).photo(MARIGOLD, reference) is None


def test_the_list_of_sheets_loads_no_heavy_library() -> None:
    # The window and the command line list the sheets at start; writing them comes later.
    code = (
        "import sys, workbench.reports.export as e; assert e.SHEETS;"
        "names = {'reportlab', 'PIL', 'openpyxl', 'xlsxwriter', 'pandas', 'numpy'};"
        "heavy = names & set(sys.modules);"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert run.returncode == 0, run.stderr
