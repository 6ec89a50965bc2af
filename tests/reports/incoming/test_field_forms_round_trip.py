"""A field form goes out, is filled in by several programs, and comes back as the same readings.

The programs are openpyxl, the IronCalc engine and, where it is installed, LibreOffice: none of them
is part of what is tested.
"""

from __future__ import annotations

import io
import shutil
import subprocess
from datetime import date
from decimal import Decimal
from pathlib import Path

import ironcalc
import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.worksheet.worksheet import Worksheet

from tests.figures.small_yard import mm, search, seen
from tests.reports.incoming.filling import (
    ROBIN,
    VISIT,
    Answers,
    as_file,
    filled,
    form,
    places,
    preview,
    saved,
    sheet_of,
    taken_in,
)
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Sight
from workbench.edits.edit import apply


def values(**said: Quantity | str) -> FrozenMap[str, Quantity | str]:
    """The values of a reading."""
    return FrozenMap(said)


ROBINS = {
    "bearing": Reading(
        f"{VISIT}-1",
        values(play=mm("0.7"), sound="knocks"),
        note="rocks <by> hand & creaks",
        taken=VISIT,
        by="Robin",
    ),
    "seacocks": Reading(
        f"{VISIT}-1",
        values(state="bad", number=Quantity(Decimal(3), "count")),
        sure=False,
        taken=VISIT,
        by="Robin",
    ),
    "rigging": Reading(
        f"{VISIT}-1", sight=Sight.NOT_SEEN, reason="mast is down", taken=VISIT, by="Robin"
    ),
    "seal": Reading(f"{VISIT}-1", sight=Sight.NOT_FITTED, taken=VISIT, by="Robin"),
}


def readings(project: Project) -> dict[str, tuple[Reading, ...]]:
    return dict(project.boats["ann"].inspection.readings)


def expected() -> dict[str, tuple[Reading, ...]]:
    return {check: (reading,) for check, reading in ROBINS.items()}


def by_ironcalc(folder: Path, data: bytes) -> bytes:
    """The form filled in as if typed, and saved, by the IronCalc engine."""
    model = ironcalc.load_from_xlsx(str(as_file(folder, data, "out.xlsx")), "en", "UTC", "en")
    rows, columns = places(sheet_of(openpyxl.load_workbook(io.BytesIO(data))))
    for name, said in ROBIN.items():
        for head, value in said.items():
            typed = value.isoformat() if isinstance(value, date) else str(value)
            model.set_user_input(0, rows[name], columns[head], typed)
    model.save_to_xlsx(str(folder / "back.xlsx"))
    return (folder / "back.xlsx").read_bytes()


def by_libreoffice(folder: Path, data: bytes, kind: str) -> bytes:
    """A filled form opened and saved by LibreOffice, as another kind of file where asked."""
    source = as_file(folder, filled(data, ROBIN), "in.xlsx")
    subprocess.run(
        [
            str(shutil.which("soffice")),
            f"-env:UserInstallation=file://{folder / 'profile'}",
            "--headless",
            "--convert-to",
            kind,
            "--outdir",
            str(folder / "out"),
            str(source),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    return next((folder / "out").iterdir()).read_bytes()


def test_a_form_filled_in_with_openpyxl_comes_back_as_the_same_readings() -> None:
    assert readings(taken_in(filled(form(), ROBIN))) == expected()


def test_a_form_filled_in_with_ironcalc_comes_back_as_the_same_readings(tmp_path: Path) -> None:
    assert readings(taken_in(by_ironcalc(tmp_path, form()))) == expected()


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
@pytest.mark.parametrize(
    "kind", ["xlsx", "csv:Text - txt - csv (StarCalc):59,34,76,1"], ids=["xlsx", "csv"]
)
def test_a_form_saved_by_libreoffice_comes_back_as_the_same_readings(
    kind: str, tmp_path: Path
) -> None:
    assert readings(taken_in(by_libreoffice(tmp_path, form(), kind))) == expected()


def test_a_second_import_of_the_same_file_changes_nothing() -> None:
    data = filled(form(), ROBIN)
    once = taken_in(data)

    again = preview(data, once)

    assert again.edit is None
    assert again.changes == ()
    assert again.unchanged == len(ROBINS)


def test_an_import_is_one_step_and_is_taken_back_whole() -> None:
    """U7: import = one command."""
    before = search({})
    edit = preview(filled(form(), ROBIN), before).edit
    assert edit is not None

    after, back = apply(before, edit)

    assert after != before
    assert apply(after, back)[0] == before
    assert "Robin" in edit.label


def test_an_empty_form_changes_nothing() -> None:
    seen_empty = preview(form())

    assert seen_empty.edit is None
    assert not seen_empty.faults
    assert seen_empty.rows == 0


def test_the_preview_tells_old_and_new_and_the_cell() -> None:
    before = search({"bearing": seen(play=mm("0.1"))})
    answers: Answers = {
        "form/by": {"Value": "robin"},
        "form/date": {"Value": date(2026, 5, 1)},
        "bearing/play": {"Value": 0.7},
    }

    changes = preview(filled(form(), answers), before).changes

    assert [(one.what, one.old, one.new) for one in changes] == [("Play", "0.1 mm", "0.7 mm")]
    rows, columns = places(sheet_of(openpyxl.load_workbook(io.BytesIO(form()))))
    assert changes[0].at == f"D{rows['bearing/play']}"
    assert columns["Value"] == 4


def test_what_the_form_leaves_empty_stays_as_it_was() -> None:
    before = search({"bearing": seen(play=mm("0.1"), sound="quiet")})
    answers: Answers = {
        "form/by": {"Value": "Robin"},
        "form/date": {"Value": date(2026, 5, 1)},
        "bearing/play": {"Value": 0.7},
    }

    (after,) = readings(taken_in(filled(form(), answers), before))["bearing"]

    assert dict(after.values) == {"play": mm("0.7"), "sound": "quiet"}


def test_the_forms_of_two_people_are_both_kept_and_their_difference_is_told() -> None:
    kims: Answers = {
        **ROBIN,
        "form/by": {"Value": "Kim"},
        "bearing/play": {"Value": 1.2},
    }
    once = taken_in(filled(form(), ROBIN))

    seen_second = preview(filled(form(), kims), once)
    both = taken_in(filled(form(), kims), once)

    assert {one.by for one in readings(both)["bearing"]} == {"Robin", "Kim"}
    assert readings(both)["bearing"][0].values["play"] == mm("0.7")
    told = [one.message for one in seen_second.notices if "Both are kept" in one.message]
    assert len(told) == 1
    assert "Robin reads" in told[0]
    assert "Kim reads" in told[0]
    assert preview(filled(form(), ROBIN), both).edit is None
    assert preview(filled(form(), kims), both).edit is None


def test_the_form_of_a_second_visit_adds_readings_beside_the_first() -> None:
    later: Answers = {
        **ROBIN,
        "form/date": {"Value": date(2026, 6, 1)},
        "bearing/play": {"Value": 0.9},
    }
    both = taken_in(filled(form(), later), taken_in(filled(form(), ROBIN)))

    assert [one.taken for one in readings(both)["bearing"]] == [VISIT, date(2026, 6, 1)]


def sort_upside_down(sheet: Worksheet) -> None:
    """All rows under the headings, the other way round."""
    rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=2)]
    sheet.delete_rows(2, len(rows))
    for row in reversed(rows):
        sheet.append(row)


def move_columns(sheet: Worksheet) -> None:
    """Two columns of somebody's own before all others, and an odd heading."""
    sheet.insert_cols(1, 2)
    sheet.cell(1, 1).value = "Mine"
    sheet.cell(5, 1).value = "see me"


def add_rows_above(sheet: Worksheet) -> None:
    """A title over the headings, which then stand in row 7 (B32)."""
    sheet.insert_rows(1, 6)
    sheet.cell(1, 1).value = "Filled in at the yard"


def drop_what_is_printed(sheet: Worksheet) -> None:
    """The columns that only help whoever fills in."""
    for head in ("How to look", "Where", "Minutes", "Check", "Enter"):
        _, columns = places(sheet)
        sheet.delete_cols(columns[head])


@pytest.mark.parametrize(
    "change", [sort_upside_down, move_columns, add_rows_above, drop_what_is_printed]
)
def test_rows_are_known_by_name_whatever_was_sorted_added_or_taken_out(
    change: object,
) -> None:
    assert callable(change)

    assert readings(taken_in(filled(form(), ROBIN, change))) == expected()


def test_a_reading_in_inches_keeps_its_unit() -> None:
    answers: Answers = {
        "form/by": {"Value": "Robin"},
        "form/date": {"Value": VISIT},
        "bearing/play": {"Value": "1/32"},
    }

    after = taken_in(filled(form(imperial=True), answers))

    assert readings(after)["bearing"][0].values["play"] == Quantity(Decimal("0.03125"), "in")


def test_a_person_and_a_day_of_one_row_count_for_that_row() -> None:
    answers: Answers = {
        **ROBIN,
        "seal/state": {"Value": "good", "By": "Kim", "Date": date(2026, 5, 20)},
    }

    (reading,) = readings(taken_in(filled(form(), answers)))["seal"]

    assert (reading.by, reading.taken) == ("Kim", date(2026, 5, 20))


def test_who_and_when_are_asked_where_the_form_does_not_say() -> None:
    data = filled(form(), {"bearing/play": {"Value": 0.7}})

    asked = {one.key for one in preview(data).questions}
    after = taken_in(data, answers={"by": "Robin", "date": "9 May 2026"})

    assert asked == {"by", "date"}
    assert preview(data).edit is None
    (reading,) = readings(after)["bearing"]
    assert (reading.by, reading.taken) == ("Robin", VISIT)


def test_the_form_of_another_boat_is_asked_about() -> None:
    data = filled(form(), ROBIN)
    book = openpyxl.load_workbook(io.BytesIO(data))
    sheet_of(book)["A2"] = "form/readings/1/zoe"

    asked = preview(saved(book)).questions

    assert [one.key for one in asked] == ["boat"]
    assert "“zoe”" in asked[0].text
    assert readings(taken_in(saved(book), answers={"boat": "ann"})) == expected()


ANY_ANSWER: st.SearchStrategy[Answers] = st.fixed_dictionaries(
    {
        "form/by": st.sampled_from(["Robin", "Kim & Lee", "=Ro"]).map(lambda by: {"Value": by}),
        "form/date": st.dates(date(2020, 1, 1), date(2030, 1, 1)).map(lambda on: {"Value": on}),
    },
    optional={
        "bearing/play": st.integers(0, 1000).map(lambda n: {"Value": n / 100}),
        "bearing/sound": st.sampled_from(["quiet", "knocks"]).map(lambda one: {"Value": one}),
        "seacocks/state": st.fixed_dictionaries(
            {"Value": st.sampled_from(["good", "bad"])},
            optional={"Note": st.text("aé <&=x\n", min_size=1).filter(str.strip)},
        ),
        "rigging/state": st.sampled_from(["locked", "no time"]).map(
            lambda why: {"Could not see, why": why}
        ),
        "seal/state": st.just({"Value": "good", "Not sure": "x"}),
    },
)


@settings(max_examples=25)
@given(ANY_ANSWER)
def test_whatever_was_answered_comes_back_once_and_leaves_nothing_more_to_change(
    answers: Answers,
) -> None:
    book = openpyxl.load_workbook(io.BytesIO(form()))
    sheet = sheet_of(book)
    rows, columns = places(sheet)
    for name, said in answers.items():
        for head, value in said.items():
            cell = sheet.cell(rows[name], columns[head])
            cell.value = value  # type: ignore[assignment]
            if isinstance(value, str):
                cell.data_type = "s"
    data = saved(book)

    after = taken_in(data)

    answered = {name.partition("/")[0] for name in answers} - {"form"}
    assert set(readings(after)) == answered
    for check, (reading,) in readings(after).items():
        assert reading.by == answers["form/by"]["Value"]
        assert reading.taken == answers["form/date"]["Value"]
        for entry, value in reading.values.items():
            told = answers[f"{check}/{entry}"]["Value"]
            assert told == (float(value.number) if isinstance(value, Quantity) else value)
    assert preview(data, after).edit is None
