"""The comparables: typed in cells, pasted as a table, adjusted to the boat, and read together."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QLocale, QModelIndex, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Builder, MakeSession, Show, StillSession, dollars
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from tests.window.widgets.acting import type_text
from workbench.domain.boat import Boat
from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable, Project
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Asked
from workbench.edits.boats import add_boat
from workbench.figures.anchor import indication_of
from workbench.window.models.anchor_reading import read_anchor
from workbench.window.models.comparable_fields import KINDS, Field, blank, typed_text
from workbench.window.models.comparables_table import COLUMN, ComparablesModel
from workbench.window.models.pasted_comparables import (
    comparables_of,
    field_named,
    read_pasted,
    with_field,
)
from workbench.window.models.typed_days import read_day
from workbench.window.pages.anchors_page import AnchorsPage
from workbench.window.session import Session

Watch = QAbstractItemModelTester.FailureReportingMode.Fatal
SETTINGS = Settings(as_of=date(2026, 5, 10))


@pytest.fixture
def page(session: Session, show: Show, qtbot: QtBot) -> AnchorsPage:
    made = AnchorsPage(session)
    show(made)
    qtbot.waitUntil(lambda: made.adjustments.parts.rowCount() > 0, timeout=20_000)
    return made


def cell(page: AnchorsPage, row: int, field: Field) -> QModelIndex:
    return page.model.index(row, COLUMN[field])


def open_editor(page: AnchorsPage, row: int, field: Field) -> QLineEdit | QComboBox:
    """Open the editor of a cell as F2 does."""
    page.view.setFocus()
    page.view.setCurrentIndex(cell(page, row, field))
    page.view.edit(cell(page, row, field))
    editor = page.view.viewport().findChild(QLineEdit) or page.view.viewport().findChild(QComboBox)
    assert editor is not None
    return editor


# --- Editing in the cells ---


def test_a_price_typed_in_its_cell_is_an_edit_that_can_be_undone(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    line = open_editor(page, 0, Field.PRICE)
    assert isinstance(line, QLineEdit)
    line.selectAll()
    type_text(line, "23,500")
    qtbot.keyClick(line, Qt.Key.Key_Return)

    qtbot.waitUntil(lambda: session.project.comparables[0].price.amount == 23500)
    session.undo()
    assert session.project.comparables[0].price.amount == 22000


def test_what_cannot_be_read_stays_in_its_editor_with_the_sentence(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    before = session.project.comparables
    line = open_editor(page, 0, Field.PRICE)
    assert isinstance(line, QLineEdit)
    line.selectAll()
    type_text(line, "dear")
    qtbot.keyClick(line, Qt.Key.Key_Return)

    said = page.editing.sentence
    assert said.text() == "“dear” is not a number. Write one such as 12.5 or 1/32."
    assert said.isVisible()
    assert line.text() == "dear"
    assert line.property("wrong") == "true"
    assert session.project.comparables is before

    qtbot.keyClick(line, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not said.isVisible())


def test_what_is_left_unreadable_is_said_below_the_table(page: AnchorsPage) -> None:
    page.model.setData(cell(page, 0, Field.YEAR), "79")

    assert page.problem.text() == "“79” is no year she can be of."


def test_asked_or_sold_is_chosen_from_a_list(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    box = open_editor(page, 0, Field.ASKED)
    assert isinstance(box, QComboBox)
    box.setCurrentIndex(box.findData("sold"))
    box.activated.emit(box.currentIndex())

    assert session.project.comparables[0].asked is Asked.SOLD


def test_a_cleared_tick_leaves_her_in_the_table_and_out_of_the_figures(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    index = cell(page, 0, Field.USED)
    page.model.setData(index, Qt.CheckState.Unchecked, Qt.ItemDataRole.CheckStateRole)

    assert page.model.rowCount() == 3
    assert not session.project.comparables[0].used
    qtbot.waitUntil(lambda: "from 2 comparables" in page.basis.text(), timeout=20_000)


def test_the_adjusted_price_cannot_be_typed(page: AnchorsPage) -> None:
    flags = page.model.flags(cell(page, 0, Field.ADJUSTED))

    assert not flags & Qt.ItemFlag.ItemIsEditable


def test_delete_removes_the_chosen_ones_in_one_step(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    page.view.setFocus()
    chosen = page.view.selectionModel()
    for row in (0, 2):
        chosen.select(cell(page, row, Field.TITLE), chosen.SelectionFlag.Select)

    qtbot.keyClick(page.view, Qt.Key.Key_Delete)

    assert [one.title for one in session.project.comparables] == ["Newer, longer"]
    session.undo()
    assert len(session.project.comparables) == 3


# --- Entering one ---


def test_a_comparable_is_entered_by_keys_alone(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    lines = page.entry.lines
    lines[Field.TITLE].setFocus()
    for field, text in (
        (Field.TITLE, "Grey Plover"),
        (Field.PRICE, "26,000"),
        (Field.YEAR, "1983"),
        (Field.LENGTH, "31 ft"),
    ):
        type_text(lines[field], text)
    qtbot.keyClick(lines[Field.LENGTH], Qt.Key.Key_Return)

    made = session.project.comparables[-1]
    assert (made.title, made.price.amount, made.year) == ("Grey Plover", Decimal(26000), 1983)
    assert lines[Field.TITLE].text() == ""


def test_a_missing_price_is_said_at_its_field(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    type_text(page.entry.lines[Field.TITLE], "Grey Plover")
    page.entry.commit()

    assert page.entry.problem.text() == "There is no number here. Write one such as 12.5."
    assert page.entry.lines[Field.PRICE].property("wrong") == "true"
    assert len(session.project.comparables) == 3


# --- Pasting ---

TABLE = (
    "Boat\tPrice (EUR)\tBuilt\tLOA (ft)\tColour\n"
    "First\t22,000\t1980\t31\tblue\n"
    "Second\tdear\t1981\t32\tred\n"
    "\t30000\t1981\t32\tred\n"
)


def test_pasted_columns_are_known_by_their_heads() -> None:
    pasted = read_pasted(TABLE)

    assert pasted.fields == (Field.TITLE, Field.PRICE, Field.YEAR, Field.LENGTH, None)


def test_each_row_gives_a_comparable_or_its_reason() -> None:
    made, problems = comparables_of(read_pasted(TABLE), SETTINGS)

    assert [(one.title, one.price.amount, one.price.currency) for one in made] == [
        ("First", Decimal(22000), "EUR")
    ]
    assert made[0].length is not None
    assert made[0].length.unit == "ft"
    assert [(one.number, one.sentence) for one in problems] == [
        (3, "“dear” is not a number. Write one such as 12.5 or 1/32."),
        (4, "No boat is named."),
    ]


def test_without_heads_the_order_of_the_table_is_taken() -> None:
    made, problems = comparables_of(
        read_pasted("Grey Plover\t21,000\tUSD\tsold\t1980\t9.5 m"), SETTINGS
    )

    assert problems == ()
    assert (made[0].title, made[0].asked, made[0].year) == ("Grey Plover", Asked.SOLD, 1980)


def test_a_field_moved_to_another_column_leaves_its_first() -> None:
    pasted = with_field(read_pasted(TABLE), 4, Field.TITLE)

    assert pasted.fields == (None, Field.PRICE, Field.YEAR, Field.LENGTH, Field.TITLE)


@pytest.mark.parametrize(
    ("head", "field"),
    [
        ("Asking price", Field.PRICE),
        ("LOA [m]", Field.LENGTH),
        ("year_built", Field.YEAR),
        ("Sold on:", Field.ON),
        ("engine", None),
    ],
)
def test_heads_are_known_in_the_words_people_use(head: str, field: Field | None) -> None:
    assert field_named(head) is field


def test_pasting_shows_the_table_first_and_adds_in_one_step(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    QGuiApplication.clipboard().setText(TABLE)
    page.view.setFocus()
    qtbot.keyClick(page.view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)

    assert page.paste.isVisible()
    assert page.paste.said.text() == "1 of 3 rows can be read."
    assert page.paste.problems.text().startswith("Row 3: “dear”")
    assert len(session.project.comparables) == 3

    qtbot.mouseClick(page.paste.add_button, Qt.MouseButton.LeftButton)
    assert session.project.comparables[-1].title == "First"
    assert not page.paste.isVisible()
    session.undo()
    assert len(session.project.comparables) == 3


def test_another_column_can_be_named(page: AnchorsPage) -> None:
    page.paste.show_text(TABLE)
    box = page.paste.boxes[4]
    box.setCurrentIndex(box.findData(Field.NOTE))
    box.activated.emit(box.currentIndex())

    assert page.paste._pasted.fields[4] is Field.NOTE


def test_an_empty_clipboard_is_said(page: AnchorsPage) -> None:
    QGuiApplication.clipboard().clear()
    page.paste_rows()

    assert page.problem.text() == "There is no table on the clipboard. Copy its rows first."


words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=8)


@given(st.lists(st.lists(words, min_size=1, max_size=8), max_size=6))
def test_whatever_is_pasted_every_row_is_accounted_for(table: list[list[str]]) -> None:
    pasted = read_pasted("\n".join("\t".join(row) for row in table))
    made, problems = comparables_of(pasted, SETTINGS)

    assert len(made) + len(problems) == len(pasted.rows)
    assert all(one.title and one.price.amount > 0 for one in made)


# --- What they say of the boat ---


def test_the_sentence_is_that_of_the_figures(page: AnchorsPage, session: Session) -> None:
    boat = session.project.boats["amber-tide"].boat
    found = indication_of(session.project, boat, Decimal(24500))
    assert found is not None

    assert page.basis.text() == found.sentence()
    assert "not an appraisal" in page.basis.text()
    assert "24,500 is asked" in page.sentence.text()


def test_price_and_adjustments_add_up_to_the_adjusted_price(session: Session) -> None:
    boat = session.project.boats["amber-tide"].boat
    reading = read_anchor(session.project, boat, Decimal(24500))

    for one in session.project.comparables:
        adjusted = reading.adjusted[one.id]
        total = float(one.price.amount) + sum(line.amount for line in adjusted.lines)
        assert adjusted.adjusted == pytest.approx(total)


def test_the_band_at_her_own_year_is_her_indication(session: Session) -> None:
    boat = session.project.boats["amber-tide"].boat
    reading = read_anchor(session.project, boat, Decimal(24500))
    assert reading.indication is not None
    years = [place.x for place in reading.band]

    assert years == sorted(years)
    assert all(place.low <= place.middle <= place.high for place in reading.band)
    near = min(reading.band, key=lambda place: abs(place.x - 1981))
    again = read_anchor(session.project, boat, Decimal(24500)).indication
    assert again == reading.indication
    assert near.low <= reading.indication.high


def test_one_without_a_year_is_shown_and_says_why_it_is_left_out(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    page.model.setData(cell(page, 0, Field.YEAR), "")
    qtbot.waitUntil(lambda: cell(page, 0, Field.ADJUSTED).data() == "–", timeout=20_000)

    tip = cell(page, 0, Field.ADJUSTED).data(Qt.ItemDataRole.ToolTipRole)
    assert tip == "No year is known, so she is left out."


def test_another_boat_is_read_when_it_is_chosen(
    page: AnchorsPage, session: Session, qtbot: QtBot
) -> None:
    page.boat.setCurrentIndex(page.boat.findData("cold-comfort"))
    page.boat.activated.emit(page.boat.currentIndex())

    assert session.boat_id == "cold-comfort"
    qtbot.waitUntil(lambda: "16,400 is asked" in page.sentence.text(), timeout=20_000)


def test_a_point_of_the_scatter_leads_to_its_row(page: AnchorsPage, session: Session) -> None:
    key = session.project.comparables[2].id
    page.scatter.mark_chosen.emit(key)

    assert page.view.currentIndex().row() == 2


def test_without_comparables_the_page_says_what_belongs_there(
    builder: Builder, open_session: MakeSession, show: Show, qtbot: QtBot
) -> None:
    builder.do(add_boat(builder.project, Boat("", "Only One")))
    page = AnchorsPage(open_session(builder.project))
    show(page)

    assert page.empty.isVisible()
    qtbot.waitUntil(lambda: "no comparables yet" in page.sentence.text(), timeout=20_000)


def test_without_boats_the_page_says_so(no_boats: Session, show: Show) -> None:
    page = AnchorsPage(no_boats)
    show(page)

    assert page.sentence.text().startswith("Enter a boat first")


def test_everything_on_the_page_has_a_name_and_can_be_reached(page: AnchorsPage) -> None:
    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []


# --- Fields and days ---


@pytest.mark.parametrize(
    "kind", [one for one in KINDS if one.read], ids=lambda one: one.field.value
)
def test_what_an_editor_shows_reads_back_as_the_same(kind: object, session: Session) -> None:
    assert hasattr(kind, "read")
    for one in session.project.comparables:
        again = kind.read(one, typed_text(one, kind.field), SETTINGS)  # type: ignore[attr-defined]
        assert again == one


@pytest.mark.parametrize(
    ("typed", "amount", "currency"),
    [("22,000", 22000, "USD"), ("€ 18.500,00", 18500, "EUR"), ("21000 gbp", 21000, "GBP")],
)
def test_a_price_may_carry_its_currency(typed: str, amount: int, currency: str) -> None:
    read = KINDS[COLUMN[Field.PRICE]].read
    assert read is not None
    price = read(blank(SETTINGS), typed, SETTINGS).price

    assert (int(price.amount), price.currency) == (amount, currency)


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        (Field.YEAR, "79"),
        (Field.YEAR, "2050"),
        (Field.LENGTH, "200 m"),
        (Field.CONDITION, "3"),
        (Field.CURRENCY, "XXQ"),
        (Field.PRICE, "0"),
        (Field.ASKED, "maybe"),
        (Field.ON, "yesterday"),
        (Field.TITLE, " "),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(field: Field, typed: str) -> None:
    read = KINDS[COLUMN[field]].read
    assert read is not None

    with pytest.raises(EntryError, match=r"\w+.*\."):
        read(blank(SETTINGS), typed, SETTINGS)


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-05-09", date(2026, 5, 9)),
        ("2026-05", date(2026, 5, 1)),
        ("5/9/26", date(2026, 5, 9)),
        ("5/9/98", date(1998, 5, 9)),
        ("", None),
    ],
)
def test_days_are_read_as_people_write_them(typed: str, day: date | None) -> None:
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))

    assert read_day(typed) == day


# --- The model ---


def test_the_model_keeps_the_rules_of_item_models(page: AnchorsPage, session: Session) -> None:
    tester = QAbstractItemModelTester(page.model, Watch)
    other = QAbstractItemModelTester(page.adjustments.parts, Watch)
    page.model.remove([0])
    session.undo()
    page.model.setData(cell(page, 1, Field.NOTE), "seen at the quay")
    page.model.take(None)

    assert tester.model() is page.model
    assert other.model() is page.adjustments.parts


typed = st.sampled_from(["", "22,000", "dear", "1980", "9.4 m", "sold", "2026-05-09", "2", "EUR"])
steps = st.lists(st.tuples(st.integers(0, 2), st.sampled_from(Field), typed), max_size=8)


@given(steps)
def test_any_typing_changes_the_search_or_is_refused_and_undo_brings_all_back(
    steps: list[tuple[int, Field, str]],
) -> None:
    session = StillSession(
        Project(
            "p",
            "P",
            SETTINGS,
            comparables=tuple(
                Comparable(name, name, dollars(20_000), year=1980) for name in ("a", "b", "c")
            ),
        )
    )
    model = ComparablesModel(session)  # type: ignore[arg-type]
    tester = QAbstractItemModelTester(model, Watch)
    for row, field, text in steps:
        index = model.index(row, COLUMN[field])
        if not index.flags() & Qt.ItemFlag.ItemIsEditable:
            continue
        taken = model.setData(index, text)
        assert taken is (model.refusal(index, text) == "")
        shown = [model.comparable(number) for number in range(model.rowCount())]
        assert tuple(shown) == session.project.comparables
    assert tester.model() is model
