"""The offer: claims included or left, prices for the buyer alone, talks, words, and the sheet."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Builder, MakeSession, Show, StillSession, dollars
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from tests.window.widgets.acting import holds, type_text
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Overruling
from workbench.domain.ledger import Ledger, OfferMade
from workbench.domain.project import Candidate, Project
from workbench.domain.settings import Tax, TaxBand
from workbench.domain.vocabulary import Grade, Status
from workbench.edits.boats import set_status
from workbench.edits.costing import set_opening
from workbench.edits.edit import apply
from workbench.edits.inspecting import overrule
from workbench.edits.searching import change_settings
from workbench.figures.analogy import new_for_old_of
from workbench.figures.assess import assess
from workbench.figures.findings import age_of
from workbench.figures.line_shares import shares_of
from workbench.figures.purchase import terms_for
from workbench.figures.taxes import total_on
from workbench.window import formatting
from workbench.window.models.claims_table import ASKED, PUT, TITLE, ClaimsModel
from workbench.window.models.offer_reading import read_drops, read_prices
from workbench.window.models.offers_table import COLUMNS, OffersModel
from workbench.window.models.sheet_words import paragraphs_of
from workbench.window.opening import Openings
from workbench.window.pages.offer_page import OfferPage
from workbench.window.pages.offer_prices import basis_words
from workbench.window.pages.private_box import PrivateBox
from workbench.window.session import Session
from workbench.window.theme import Theme, ThemeMode

Watch = QAbstractItemModelTester.FailureReportingMode.Fatal
TODAY = date(2026, 5, 10)


@pytest.fixture
def page(session: Session, show: Show, qtbot: QtBot) -> OfferPage:
    made = OfferPage(session, Openings(lambda _: True))
    show(made)
    qtbot.waitUntil(lambda: made.prices.ladder.parts.rowCount() > 0, timeout=20_000)
    qtbot.waitUntil(lambda: bool(made.words.fields), timeout=20_000)
    return made


def claimed(session: Session) -> Decimal:
    assert session.boat is not None
    return session.boat.claim.total


def bearing(page: OfferPage) -> int:
    number = page.claims.model.number_of("stern-bearing-play")
    assert number >= 0
    return number


# --- Claims ---


def test_the_worn_out_bearing_is_put_whole_with_its_reason(page: OfferPage) -> None:
    line = page.claims.model.line(bearing(page))
    assert line is not None

    assert line.included
    assert line.share == 1.0
    assert page.claims.title.text() == line.title
    assert page.claims.why.text() == line.why


def test_new_for_old_is_shown_as_an_analogy_and_changes_no_claim(
    page: OfferPage, session: Session
) -> None:
    """York-Antwerp Rules (1974), Rule XIII; a buyer has no such right, and the words say so."""
    line = page.claims.model.line(bearing(page))
    assert line is not None
    assert session.boat is not None
    age = age_of(session.boat.candidate.boat, session.project.settings.as_of)
    found = new_for_old_of(line, age, session.boat.currency)
    assert found is not None
    assert found.deduction > 0

    assert page.claims.custom.isVisibleTo(page)
    assert page.claims.custom.text().startswith("By analogy only")
    assert formatting.whole(found.allowed) in page.claims.custom.text()
    assert line.amount == line.proposed


def test_a_cleared_tick_leaves_it_and_lowers_what_is_asked(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    before = claimed(session)
    index = page.claims.model.index(bearing(page), PUT)
    page.claims.model.setData(index, Qt.CheckState.Unchecked, Qt.ItemDataRole.CheckStateRole)

    qtbot.waitUntil(lambda: claimed(session) < before, timeout=20_000)
    assert index.data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Unchecked
    session.undo()
    qtbot.waitUntil(lambda: claimed(session) == before, timeout=20_000)


def test_another_amount_typed_in_its_cell_counts(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    index = page.claims.model.index(bearing(page), ASKED)
    page.claims.view.setFocus()
    page.claims.view.setCurrentIndex(index)
    page.claims.view.edit(index)
    line = page.claims.view.viewport().findChild(QLineEdit)
    assert line is not None
    line.selectAll()
    type_text(line, "450")
    qtbot.keyClick(line, Qt.Key.Key_Return)

    qtbot.waitUntil(lambda: claimed(session) == 450, timeout=20_000)
    assert page.claims.reset_button.isVisible()
    qtbot.mouseClick(page.claims.reset_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: claimed(session) != 450, timeout=20_000)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("much", "“much” is not a number. Write one such as 12.5 or 1/32."),
        ("-5", "A claim cannot be negative."),
    ],
)
def test_an_amount_that_cannot_be_is_refused(
    page: OfferPage, session: Session, typed: str, sentence: str
) -> None:
    index = page.claims.model.index(bearing(page), ASKED)

    assert page.claims.model.refusal(index, typed) == sentence
    assert not page.claims.model.setData(index, typed)
    assert page.claims.problem.text() == sentence
    assert not session.project.boats["amber-tide"].ledger.claims


def test_words_to_the_seller_are_kept_with_the_line(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    page.claims.view.setCurrentIndex(page.claims.model.index(bearing(page), TITLE))
    page.claims.wording.setFocus()
    type_text(page.claims.wording, "It knocks when it is lifted.")
    qtbot.keyClick(page.claims.wording, Qt.Key.Key_Return)

    choice = session.project.boats["amber-tide"].ledger.claims["stern-bearing-play"]
    assert choice.wording == "It knocks when it is lifted."


def test_the_line_leads_into_its_check(page: OfferPage, qtbot: QtBot) -> None:
    page.claims.view.setCurrentIndex(page.claims.model.index(bearing(page), TITLE))

    with qtbot.waitSignal(page.check_requested) as told:
        qtbot.mouseClick(page.claims.check_button, Qt.MouseButton.LeftButton)

    assert told.args == ["stern-bearing-play"]


def test_price_less_claims_is_summed_below_the_table(page: OfferPage, session: Session) -> None:
    assert session.boat is not None
    assert session.boat.asking is not None
    left = session.boat.asking - claimed(session)

    assert page.totals.left.text() == f"{left:,.0f}"


# --- Prices ---


def test_the_ladder_rises_from_opening_to_walk_away(session: Session) -> None:
    assert session.assessment is not None
    assert session.boat is not None
    offer = session.boat.offer
    prices = [step.price for step in read_prices(session.assessment, "amber-tide", TODAY).ladder]

    assert prices == sorted(prices)
    assert prices[0] == min(offer.opening or 0, offer.walk_away or 0)
    assert prices[-1] == offer.walk_away


def test_an_opening_of_ones_own_takes_the_place_of_the_suggested(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    field = page.prices.opening.line_edit
    suggested = field.placeholderText()
    field.setFocus()
    type_text(field, "9,000")
    qtbot.keyClick(field, Qt.Key.Key_Return)

    assert session.project.boats["amber-tide"].ledger.opening == dollars(9000)
    qtbot.waitUntil(
        lambda: page.prices.ladder.parts.index(0).data() == "Your opening", timeout=20_000
    )
    assert suggested in page.prices.opening_basis.text()


def test_an_opening_below_nothing_is_refused_at_its_field(page: OfferPage, qtbot: QtBot) -> None:
    field = page.prices.opening.line_edit
    field.setFocus()
    type_text(field, "-1")
    qtbot.keyClick(field, Qt.Key.Key_Return)

    assert page.prices.opening.problem() == "An offer cannot be negative."


def test_an_opening_above_the_walk_away_is_remarked(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    session.attempt(lambda project: set_opening(project, "amber-tide", dollars(90_000)))

    qtbot.waitUntil(
        lambda: "above the price at which you walk away" in page.prices.opening_basis.text(),
        timeout=20_000,
    )


def test_a_sheet_that_would_offer_above_the_limit_is_remarked_before_it_is_written(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    session.attempt(lambda project: set_opening(project, "amber-tide", dollars(90_000)))

    qtbot.waitUntil(lambda: "above your own limit" in page.notices.text(), timeout=20_000)

    assert page.notices.isVisible()


def test_what_binds_the_walk_away_is_said(page: OfferPage, session: Session) -> None:
    assert session.boat is not None

    assert page.prices.binding.text() == session.boat.offer.limit.why


def test_private_figures_stand_in_boxes_that_say_so(page: OfferPage) -> None:
    def box_of(widget: QWidget) -> PrivateBox | None:
        above = widget.parentWidget()
        while above is not None and not isinstance(above, PrivateBox):
            above = above.parentWidget()
        return above

    for widget in (page.prices.walk_away, page.prices.ladder, page.prices.opening):
        box = box_of(widget)
        assert box is not None
        assert box.mark.text() == "for you alone"
        assert "for you alone" in box.accessibleName()


def test_a_drop_is_the_difference_of_two_whole_assessments(session: Session) -> None:
    assessment = session.assessment
    assert assessment is not None
    drops = read_drops(assessment, "amber-tide")
    assert drops

    for one in drops[:2]:
        due = Overruling(Grade.DUE, "if it were found")
        project, _ = apply(session.project, overrule(session.project, "amber-tide", one.check, due))
        then = assess(project, assessment.catalogue).boats["amber-tide"].offer.walk_away
        now = assessment.boats["amber-tide"].offer.walk_away
        assert now is not None
        assert one.amount == (None if then is None else now - then)


def test_both_forms_cost_the_buyer_the_same_at_the_equal_price(
    filled: Builder, open_session: MakeSession
) -> None:
    tax = Tax("Sales tax", (TaxBand(Decimal(0), Decimal(6)),))
    filled.do(change_settings(filled.project, "Tax", taxes=(tax,)))
    filled.do(set_opening(filled.project, "amber-tide", dollars(9_000)))
    session = open_session(filled.project)
    assert session.assessment is not None
    forms = read_prices(session.assessment, "amber-tide", TODAY).forms
    assert forms is not None
    assert forms.equal is not None
    terms = terms_for(session.project.settings, session.project.boats["amber-tide"].boat)

    as_she_lies = total_on(forms.lower, terms) + forms.saved
    work_done = total_on(forms.equal, terms)

    assert abs(as_she_lies - work_done) <= Decimal("0.02")
    assert forms.equal < forms.lower + forms.saved


def test_what_one_job_done_saves_is_its_marginal_cost(
    filled: Builder, open_session: MakeSession
) -> None:
    filled.do(set_opening(filled.project, "amber-tide", dollars(9_000)))
    session = open_session(filled.project)
    assert session.assessment is not None
    assert session.boat is not None
    forms = read_prices(session.assessment, "amber-tide", TODAY).forms
    share = shares_of(session.boat).of_check("stern-bearing-play")
    assert forms is not None
    assert share is not None
    assert forms.jobs == 1

    assert forms.saved == pytest.approx(share.marginal, abs=Decimal("0.02"))


def test_a_sheet_that_names_no_price_is_explained(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    assert session.boat is not None
    assert session.boat.offer.held_down

    assert page.prices.as_she_lies.text().startswith("The sheet names no price")
    session.apply(set_opening(session.project, "amber-tide", dollars(9_000)))
    qtbot.waitUntil(
        lambda: page.prices.as_she_lies.text() == "9,000 USD as she lies.", timeout=20_000
    )


@pytest.mark.parametrize(
    ("basis", "words"),
    [
        ("target", "your aim, half-way to your limit"),
        ("target; walk-away price", "your aim, half-way to your limit; walk away above this"),
    ],
)
def test_rungs_say_what_they_rest_on(basis: str, words: str) -> None:
    assert basis_words(basis) == words


# --- Offers and answers ---


def test_an_offer_is_recorded_with_day_conditions_and_status(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    page.show_view("talks")
    type_text(page.talks.price.line_edit, "19,500")
    type_text(page.talks.conditions, "subject to survey")
    qtbot.keyClick(page.talks.conditions, Qt.Key.Key_Return)

    record = session.project.boats["amber-tide"]
    assert record.ledger.offers == (
        OfferMade("offer-1", dollars(19500), TODAY, "subject to survey"),
    )
    assert record.boat.status is Status.OFFER_MADE
    session.undo()
    assert session.project.boats["amber-tide"].ledger.offers == ()
    assert session.project.boats["amber-tide"].boat.status is Status.LOOKING


def test_a_boat_that_is_bought_stays_bought(page: OfferPage, session: Session) -> None:
    session.apply(set_status(session.project, "amber-tide", Status.BOUGHT, "signed"))
    page.talks.model.make(Decimal(100), "")

    assert session.project.boats["amber-tide"].boat.status is Status.BOUGHT


def test_an_offer_without_a_price_is_said_at_its_field(page: OfferPage, qtbot: QtBot) -> None:
    page.show_view("talks")
    qtbot.mouseClick(page.talks.make_button, Qt.MouseButton.LeftButton)

    assert page.talks.price.problem() == "Write the price that you offered."


def test_answer_and_counter_are_written_into_the_row(page: OfferPage, session: Session) -> None:
    page.talks.model.make(Decimal(19500), "")
    row = {column.title(): place for place, column in enumerate(COLUMNS)}
    for head, text in (("Answer", "too low"), ("Counter", "23,000"), ("Answered", "2026-05-12")):
        assert page.talks.model.setData(page.talks.model.index(0, row[head]), text)

    made = session.project.boats["amber-tide"].ledger.offers[0]
    assert (made.answer, made.counter, made.answered_on) == (
        "too low",
        dollars(23000),
        date(2026, 5, 12),
    )


def test_delete_takes_an_offer_off_record(page: OfferPage, session: Session, qtbot: QtBot) -> None:
    page.show_view("talks")
    page.talks.model.make(Decimal(19500), "")
    page.talks.view.setFocus()
    page.talks.view.setCurrentIndex(page.talks.model.index(0, 0))
    qtbot.keyClick(page.talks.view, Qt.Key.Key_Delete)

    assert session.project.boats["amber-tide"].ledger.offers == ()


def test_the_caution_about_binding_offers_stands_there(page: OfferPage) -> None:
    assert "An offer can bind you" in page.talks.caution.accessibleName()


# --- Words ---


def test_every_paragraph_shows_what_the_program_would_say(session: Session) -> None:
    assert session.assessment is not None
    paragraphs = {one.id: one for one in paragraphs_of(session.assessment, "amber-tide", TODAY)}

    assert paragraphs["intro"].usual.startswith("We looked at")
    assert "as she lies" in paragraphs["lower-price"].usual
    assert "survey" in paragraphs["conditions"].usual
    assert paragraphs["closing"].usual == ""


def test_other_words_stand_until_they_are_taken_back(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    page.show_view("words")
    field = page.words.fields["closing"]
    field.edit.setFocus()
    type_text(field.edit, "We could sign in June.")
    page.words.fields["intro"].edit.setFocus()

    assert session.project.boats["amber-tide"].ledger.wording["closing"] == "We could sign in June."
    qtbot.waitUntil(field.reset_button.isVisible, timeout=20_000)
    qtbot.mouseClick(field.reset_button, Qt.MouseButton.LeftButton)
    assert "closing" not in session.project.boats["amber-tide"].ledger.wording


def test_leaving_a_paragraph_as_it_is_changes_nothing(page: OfferPage, session: Session) -> None:
    page.show_view("words")
    before = session.project
    page.words.fields["intro"].commit()

    assert session.project is before


# --- The sheet ---


def test_the_sheet_is_written_into_the_exports_and_shown(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(page.writer.ended, timeout=60_000) as told:
        qtbot.mouseClick(page.write_button, Qt.MouseButton.LeftButton)

    assert told.args == [""]
    assert page.written is not None
    assert page.written.parent == session.place / "exports"
    assert page.written.is_file()
    assert page.written.name in page.said.text()
    assert page.views.currentWidget() is page.preview
    assert page.open_button.isVisible()
    assert page.openings.may_open(page.written)


def test_neither_limit_nor_budget_stands_on_the_sheet(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(page.writer.ended, timeout=60_000):
        page.write()
    assert page.written is not None
    text = "\n".join(one.extract_text() for one in PdfReader(page.written).pages)
    assert session.boat is not None
    limit = session.boat.offer.walk_away
    assert limit is not None

    assert "60,000" not in text
    assert f"{limit:,.0f}" not in text
    assert "Amber Tide" in text


def test_a_folder_that_cannot_be_written_is_said(
    page: OfferPage, session: Session, qtbot: QtBot
) -> None:
    (session.place / "exports").write_text("in the way", encoding="utf-8")
    with qtbot.waitSignal(page.writer.ended, timeout=60_000):
        page.write()

    assert page.problem.isVisible()
    assert page.written is None


# --- The page ---


def test_another_boat_brings_her_own_offer(page: OfferPage, session: Session, qtbot: QtBot) -> None:
    session.select_boat("cold-comfort")

    qtbot.waitUntil(lambda: page.sentence.text().startswith("0 findings"), timeout=20_000)
    assert page.claims.empty.isVisible() == (page.claims.model.rowCount() == 0)
    assert page.boat.currentText() == "Cold Comfort"


def test_without_boats_the_page_says_what_to_do(no_boats: Session, show: Show) -> None:
    page = OfferPage(no_boats)
    show(page)

    assert page.stack.currentWidget() is page.empty


@pytest.mark.parametrize("view", ["prices", "talks", "words", "sheet"])
def test_everything_on_the_page_has_a_name_and_can_be_reached(page: OfferPage, view: str) -> None:
    page.show_view(view)

    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []


def test_one_action_alone_is_the_primary_one(page: OfferPage) -> None:
    primary = [
        one.text()
        for one in page.findChildren(QPushButton)
        if one.property("role") == "primary" and one.isVisible()
    ]

    assert len(primary) == 1


# --- Models ---


def test_the_models_keep_the_rules_of_item_models(page: OfferPage, session: Session) -> None:
    testers = [
        QAbstractItemModelTester(model, Watch)
        for model in (
            page.claims.model,
            page.talks.model,
            page.prices.ladder.parts,
            page.prices.drops.parts,
        )
    ]
    page.talks.model.make(Decimal(1000), "as seen")
    page.talks.model.remove(0)
    session.select_boat("brown-heron")
    session.select_boat("amber-tide")
    page.prices.show_offer(None, None)

    assert all(one.model() is not None for one in testers)


def test_claims_of_no_boat_are_an_empty_table(no_boats: Session) -> None:
    model = ClaimsModel(no_boats)
    tester = QAbstractItemModelTester(model, Watch)

    assert model.rowCount() == 0
    assert tester.model() is model


typed = st.sampled_from(["", "19,500", "much", "-3", "2026-05-09", "9 May", "asks for more"])
steps = st.lists(
    st.tuples(st.sampled_from(["make", "type", "remove"]), st.integers(0, 3), typed), max_size=10
)


class _Talking(StillSession):
    """A still session that looks at one boat."""

    boat_id = "a"

    def __init__(self) -> None:
        boat = Candidate(Boat("a", "A"), ledger=Ledger())
        super().__init__(Project("p", "P", boats=FrozenMap({"a": boat})))
        self.today = lambda: TODAY

    @property
    def candidate(self) -> Candidate:
        return self.project.boats["a"]


@given(steps)
def test_the_table_of_offers_shows_the_ledger_whatever_is_done(
    steps: list[tuple[str, int, str]],
) -> None:
    session = _Talking()
    model = OffersModel(session)  # type: ignore[arg-type]
    tester = QAbstractItemModelTester(model, Watch)
    for what, number, text in steps:
        if what == "make":
            model.make(Decimal(number * 1000), text)
        elif what == "remove":
            model.remove(number)
        elif number < model.rowCount():
            index = model.index(number, len(text) % len(COLUMNS))
            taken = model.setData(index, text)
            assert taken is (model.refusal(index, text) == "")
        offers = session.project.boats["a"].ledger.offers
        assert model.rowCount() == len(offers)
        shown = [model.index(row, 2).data() for row in range(model.rowCount())]
        assert shown == [one.conditions for one in offers]
    assert tester.model() is model


def test_space_puts_a_line_or_leaves_it(page: OfferPage, session: Session, qtbot: QtBot) -> None:
    page.claims.view.setFocus()
    page.claims.view.setCurrentIndex(page.claims.model.index(bearing(page), PUT))
    qtbot.keyClick(page.claims.view, Qt.Key.Key_Space)

    assert not session.project.boats["amber-tide"].ledger.claims["stern-bearing-play"].included


@pytest.mark.parametrize("dark", [False, True])
def test_a_tick_shows_on_light_and_dark_ground(
    page: OfferPage, dressed: Theme, qtbot: QtBot, dark: bool
) -> None:
    dressed.set_mode(ThemeMode.DARK if dark else ThemeMode.LIGHT)
    qtbot.wait(0)
    view = page.claims.view
    cell = view.visualRect(page.claims.model.index(bearing(page), PUT))
    picture = view.viewport().grab(cell).toImage()

    assert holds(picture, dressed.palette.accent)
