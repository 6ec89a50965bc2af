"""The page of what to look at next: its order, its sentence, its filter, and where it leads."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Show
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from tests.window.widgets.acting import type_text
from workbench.figures.best_survey import best_survey
from workbench.figures.next_look import next_looks
from workbench.window.models.looks import LOOK_ROLE, Looking, LookRow, LooksModel, Who
from workbench.window.pages.look_next_page import LookNextPage
from workbench.window.pages.look_panel import best_other, choice_words
from workbench.window.session import Session

Watch = QAbstractItemModelTester.FailureReportingMode.Fatal


@pytest.fixture
def page(session: Session, show: Show, qtbot: QtBot) -> LookNextPage:
    made = LookNextPage(session)
    show(made)
    qtbot.waitUntil(lambda: made.model.rowCount() > 0, timeout=20_000)
    return made


def rows(model: LooksModel) -> list[LookRow]:
    found = [model.look_at(number) for number in range(model.rowCount())]
    return [row for row in found if row is not None]


def look(boat: str, check: str, worth: int = 0, *, look_id: str = "", gain: int = 0) -> LookRow:
    return LookRow(
        boat=boat,
        boat_name=boat.title(),
        check=check,
        look=look_id,
        title=check,
        who="you",
        chance=0.5,
        worth=Decimal(worth),
        fee=Decimal(1),
        net=Decimal(worth - 1),
        if_found=Decimal(gain - 100),
        if_clear=Decimal(gain + 100),
        covers=1,
    )


# --- The list ---


def test_the_looks_stand_in_the_order_of_the_figures(page: LookNextPage, session: Session) -> None:
    assert session.assessment is not None
    advice = next_looks(session.assessment).advice
    shown = [row for row in rows(page.model) if not row.visit]

    assert [(row.boat, row.title) for row in shown] == [(one.boat, one.title) for one in advice]
    assert [row.net for row in shown] == [one.worth - one.fee for one in advice]
    assert [row.net for row in rows(page.model)] == sorted(
        (row.net for row in rows(page.model)), reverse=True
    )


def test_another_visit_to_a_boat_stands_among_the_looks_with_what_it_looks_at(
    page: LookNextPage, session: Session
) -> None:
    """One small look hardly ever pays by itself; the open checks of a boat together may."""
    assert session.assessment is not None
    visits = next_looks(session.assessment).visits
    shown = {row.boat: row for row in rows(page.model) if row.visit}
    visit, row = visits[0], shown[visits[0].boat]

    assert len(shown) == len(visits)
    assert (row.worth, row.fee, row.net) == (visit.worth, visit.fee, visit.net)
    assert (row.minutes, row.covers) == (visit.minutes, len(visit.checks))
    assert [one.check for one in row.covered] == list(visit.checks[: len(row.covered)])
    page.view.setCurrentIndex(page.model.index(page.model.number_of(row.key), 0))
    assert page.panel.title.text() == row.title
    assert page.panel._covered.isVisibleTo(page.panel)
    assert not page.panel._covered.caution.isVisibleTo(page.panel)


def test_the_sentence_says_what_the_figures_conclude(page: LookNextPage, session: Session) -> None:
    assert session.assessment is not None
    found, best = next_looks(session.assessment), rows(page.model)[0]

    if found.stop:
        assert best.net <= 0
        assert page.sentence.text().startswith("Stop here and decide")
    else:
        assert best.net > 0
        assert page.sentence.text().startswith(f"Look next: {best.title}, ")


def test_the_assumptions_are_named(page: LookNextPage) -> None:
    assert "Assumed" in page.explained.text()
    assert "0.50 USD" in page.explained.text()


def test_what_can_hurt_is_to_be_looked_at_whatever_it_is_worth(page: LookNextPage) -> None:
    assert "gas, seacocks, steering and rigging" in page.explained.text()


def test_the_filter_shows_one_boat_only(page: LookNextPage) -> None:
    page.boats.setCurrentIndex(page.boats.findData("brown-heron"))
    page.boats.activated.emit(page.boats.currentIndex())

    assert {row.boat for row in rows(page.model)} == {"brown-heron"}


@pytest.mark.parametrize(("place", "own"), [(1, True), (2, False)])
def test_the_filter_tells_me_from_professionals(
    page: LookNextPage, qtbot: QtBot, place: int, own: bool
) -> None:
    qtbot.mouseClick(page.who.segments()[place], Qt.MouseButton.LeftButton)

    assert {row.own for row in rows(page.model)} == {own}


def test_taking_the_choice_back_shows_all_again(page: LookNextPage, qtbot: QtBot) -> None:
    whole = page.model.rowCount()
    qtbot.mouseClick(page.who.segments()[1], Qt.MouseButton.LeftButton)
    qtbot.keyClick(page.who.segments()[1], Qt.Key.Key_Delete)

    assert page.model.rowCount() == whole
    assert page.who.choice() is Who.ALL


def test_without_boats_the_page_says_what_to_do(no_boats: Session, show: Show) -> None:
    page = LookNextPage(no_boats)
    show(page)

    assert page.stack.currentWidget() is page.empty


# --- Leading into the check ---


def first_own(page: LookNextPage) -> int:
    return next(number for number, row in enumerate(rows(page.model)) if row.own and not row.visit)


def first_professional(page: LookNextPage) -> int:
    return next(number for number, row in enumerate(rows(page.model)) if not row.own)


def test_enter_leads_into_the_check_of_the_boat(
    page: LookNextPage, session: Session, qtbot: QtBot
) -> None:
    number = first_own(page)
    row = rows(page.model)[number]
    page.view.setFocus()
    page.view.setCurrentIndex(page.model.index(number, 0))

    with qtbot.waitSignal(page.check_requested) as told:
        qtbot.keyClick(page.view, Qt.Key.Key_Return)

    assert told.args == [row.check]
    assert (session.boat_id, session.check_id) == (row.boat, row.check)


def test_the_button_does_the_same(page: LookNextPage, qtbot: QtBot) -> None:
    page.view.setCurrentIndex(page.model.index(first_own(page), 0))

    with qtbot.waitSignal(page.check_requested):
        qtbot.mouseClick(page.panel.go_button, Qt.MouseButton.LeftButton)


def test_a_professional_leads_into_the_weightiest_check_he_answers(
    page: LookNextPage, session: Session, qtbot: QtBot
) -> None:
    number = first_professional(page)
    row = rows(page.model)[number]
    page.view.setCurrentIndex(page.model.index(number, 0))

    with qtbot.waitSignal(page.check_requested) as told:
        qtbot.mouseClick(page.panel.go_button, Qt.MouseButton.LeftButton)

    assert told.args == [row.covered[0].check]
    assert session.boat_id == row.boat
    assert page.panel.go_button.text() == "Enter what was found"


# --- One look unfolded ---


def test_the_panel_tells_what_each_answer_would_do(page: LookNextPage) -> None:
    number = first_own(page)
    row = rows(page.model)[number]
    page.view.setCurrentIndex(page.model.index(number, 0))
    texts = [one.text() for one in page.panel.findChildren(type(page.sentence)) if one.isVisible()]

    assert row.if_found is not None
    assert row.if_clear is not None
    assert row.if_found <= row.if_clear
    assert "if you find it" in texts
    assert "if you see nothing wrong" in texts


def test_a_fee_of_ones_own_counts_from_then_on(
    page: LookNextPage, session: Session, qtbot: QtBot
) -> None:
    page.view.setCurrentIndex(page.model.index(first_professional(page), 0))
    row = page.panel.row
    assert row is not None
    field = page.panel.fee.line_edit
    field.setFocus()

    type_text(field, "123")
    qtbot.keyClick(field, Qt.Key.Key_Return)

    assert session.project.settings.look_fees[row.look] == 123
    qtbot.waitUntil(
        lambda: any(one.key == row.key and one.fee == 123 for one in rows(page.model)),
        timeout=20_000,
    )
    session.undo()
    assert row.look not in session.project.settings.look_fees


def test_a_fee_below_nothing_is_refused_at_the_field(
    page: LookNextPage, session: Session, qtbot: QtBot
) -> None:
    page.view.setCurrentIndex(page.model.index(first_professional(page), 0))
    field = page.panel.fee.line_edit
    field.setFocus()

    type_text(field, "-5")
    qtbot.keyClick(field, Qt.Key.Key_Return)

    assert page.panel.fee.problem() == "A fee cannot be below zero."
    assert not session.project.settings.look_fees


def test_the_chosen_look_stays_chosen_when_figures_change(
    page: LookNextPage, session: Session, qtbot: QtBot
) -> None:
    page.view.setCurrentIndex(page.model.index(2, 0))
    chosen = page.panel.row
    assert chosen is not None

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        session.request_figures()
    page.figures.finish()

    assert page.panel.row is not None
    assert page.panel.row.key == chosen.key


@pytest.mark.parametrize(
    ("gain", "choice"),
    [(500, "A is the choice."), (200, "B is the choice."), (-10, "B is the choice.")],
)
def test_the_choice_falls_to_the_boat_with_the_greatest_gain(gain: int, choice: str) -> None:
    looking = Looking(
        (), stop=False, gains={"a": Decimal(1), "b": Decimal(300)}, names={"b": "B"}, minute_worth=0
    )

    assert choice_words(look("a", "x"), Decimal(gain), looking) == choice


def test_where_nothing_gains_none_is_the_choice() -> None:
    looking = Looking((), stop=False, gains={"a": Decimal(1)}, names={"a": "A"}, minute_worth=0)

    assert choice_words(look("a", "x"), Decimal(-1), looking) == "None of them is the choice."
    assert best_other("a", {"a": Decimal(1), "b": Decimal(-5)}) == ("", Decimal(0))


def test_everything_on_the_page_has_a_name_and_can_be_reached(page: LookNextPage) -> None:
    for number in (first_own(page), first_professional(page)):
        page.view.setCurrentIndex(page.model.index(number, 0))

        assert nameless(page) == []
        assert out_of_reach(page) == []
        assert cut_labels(page) == []


# --- The model ---


def test_the_model_keeps_the_rules_of_item_models(page: LookNextPage) -> None:
    tester = QAbstractItemModelTester(page.model, Watch)
    page.model.set_filter("amber-tide", Who.ME)
    page.model.set_filter("", Who.ALL)
    page.model.take(())

    assert tester.model() is page.model
    assert page.model.look_at(0) is None


looks = st.lists(
    st.builds(
        look,
        st.sampled_from(["a", "b"]),
        st.sampled_from(["x", "y", "z"]),
        st.integers(0, 50),
        look_id=st.sampled_from(["", "surveyor"]),
    ),
    max_size=6,
    unique_by=lambda row: row.key,
)


@given(st.lists(looks, min_size=1, max_size=3), st.sampled_from(["", "a"]), st.sampled_from(Who))
def test_the_model_shows_what_the_filter_lets_through_in_order(
    taken: list[list[LookRow]], boat: str, who: Who
) -> None:
    model = LooksModel()
    tester = QAbstractItemModelTester(model, Watch)
    model.set_filter(boat, who)
    for offered in taken:
        model.take(tuple(offered))

        passing = [
            row
            for row in offered
            if boat in ("", row.boat) and (who is Who.ALL or row.own == (who is Who.ME))
        ]
        assert [model.index(n, 0).data(LOOK_ROLE) for n in range(model.rowCount())] == passing
    assert tester.model() is model


def test_which_boat_to_survey_first_is_said(page: LookNextPage, session: Session) -> None:
    assert session.assessment is not None
    found = best_survey(session.assessment)
    assert found.order

    assert found.order[0].name in page.survey.text()
    assert page.survey.isVisible()
