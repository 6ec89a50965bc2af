"""Banners, cautions, empty pages, heads, totals, reasons, forms, searches and photos."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDragEnterEvent, QDropEvent, QFont, QImage
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

from tests.window.widgets.acting import click, holds, press, spoken, type_text
from workbench.window.palette import DARK, LIGHT
from workbench.window.theme import Theme, ThemeMode
from workbench.window.widgets.banner import Banner, BannerLevel
from workbench.window.widgets.boat_silhouette import BoatSketch
from workbench.window.widgets.caution_box import CautionBox
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.fading_figure import FadingFigure, changed_places
from workbench.window.widgets.form import Form
from workbench.window.widgets.labels import label
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.photo_strip import Photo, PhotoStrip
from workbench.window.widgets.search_field import SearchField
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import set_motion_reduced
from workbench.window.widgets.totals_bar import TotalsBar, TotalsFigure
from workbench.window.widgets.why_panel import WhyPanel

Put = Callable[[QWidget], QWidget]


def words_in(widget: QWidget) -> list[str]:
    return [part.text() for part in widget.findChildren(QLabel) if part.isVisible()]


# labels and cautions


def test_what_a_user_typed_is_shown_and_never_read_as_markup(put: Put) -> None:
    made = label("<b>Old</b> & 5 < 6")
    put(made)

    assert made.textFormat() == Qt.TextFormat.PlainText
    assert made.text() == "<b>Old</b> & 5 < 6"


def test_a_caution_is_read_out_whole_and_its_signs_are_kept(put: Put) -> None:
    box = CautionBox("Keep hands away where the gap is < 10 mm & the key is in.")
    put(box)

    assert spoken(box) == "Take care. Keep hands away where the gap is < 10 mm & the key is in."
    assert "&lt; 10 mm &amp; the key" in box.findChildren(QLabel)[0].text()


def test_a_caution_wraps_and_grows_with_its_words(put: Put) -> None:
    box = CautionBox("Never lean on a prop or stand. " * 6)
    put(box)

    assert box.heightForWidth(240) > 1.7 * box.heightForWidth(520)


def test_a_caution_has_a_bar_of_ink_on_its_own_ground(put: Put, theme: Theme) -> None:
    box = CautionBox("Ask the owner first.")
    box.resize(300, 50)
    put(box)

    for mode, palette in ((ThemeMode.LIGHT, LIGHT), (ThemeMode.DARK, DARK)):
        theme.set_mode(mode)
        image = box.grab().toImage()
        assert image.pixelColor(1, 20).name().upper() == palette.text
        assert image.pixelColor(image.width() - 5, 20).name().upper() == palette.caution


def test_without_a_caution_there_is_no_box(put: Put) -> None:
    page = QWidget()
    column = QVBoxLayout(page)
    box = CautionBox("Ask first.")
    column.addWidget(box)
    put(page)

    box.set_text("")

    assert not box.isVisible()


# banners, empty pages, heads


def test_a_banner_says_what_where_and_what_to_do(put: Put, qtbot: QtBot) -> None:
    banner = Banner()
    put(banner)
    banner.show_message(
        "The folder could not be written.",
        where="my search, boats",
        what_to_do="Free some room, then save again.",
        action="Save again",
        level=BannerLevel.PROBLEM,
    )

    assert words_in(banner) == [
        "The folder could not be written.",
        "my search, boats",
        "Free some room, then save again.",
    ]
    assert spoken(banner).startswith("The folder could not be written. my search, boats Free")
    assert banner.level is BannerLevel.PROBLEM
    with qtbot.waitSignal(banner.action_requested):
        click(banner.action_button)


def test_a_banner_shows_its_level_by_its_bar(put: Put) -> None:
    banner = Banner()
    put(banner)

    banner.show_message("Work of yesterday was recovered.")
    assert banner.grab().toImage().pixelColor(1, 12).name().upper() == LIGHT.accent
    banner.show_message("The folder could not be written.", level=BannerLevel.PROBLEM)
    assert banner.grab().toImage().pixelColor(1, 12).name().upper() == LIGHT.due


def test_a_banner_can_be_put_away_or_cleared(put: Put, qtbot: QtBot) -> None:
    banner = Banner()
    put(banner)
    banner.show_message("Recovered.")

    with qtbot.waitSignal(banner.dismissed):
        click(banner.close_button)
    assert not banner.isVisible()

    banner.show_message("Recovered.", dismissable=False)
    assert not banner.close_button.isVisible()
    with qtbot.assertNotEmitted(banner.dismissed):
        banner.clear()
    assert not banner.isVisible()


def test_an_empty_page_offers_its_one_next_step(put: Put, qtbot: QtBot) -> None:
    page = EmptyState("No boat yet", "Add one.", "Add a boat", sketch=BoatSketch())
    put(page)
    page.setFocus()

    assert page.button.hasFocus()
    with qtbot.waitSignal(page.next_step_requested):
        press(page.button, Qt.Key.Key_Space)
        page.button.click()
    assert spoken(page) == "No boat yet"


def test_a_section_head_shows_only_what_it_has(put: Put, qtbot: QtBot) -> None:
    head = SectionHeader("Before launching")
    put(head)
    assert words_in(head) == ["Before launching"]

    head.set_beside("3,780")
    head.set_action("by trade")
    assert words_in(head) == ["Before launching", "3,780"]
    with qtbot.waitSignal(head.action_requested):
        click(head.findChildren(type(EmptyState("", "", "").button))[0])


# totals


@pytest.mark.parametrize(
    ("old", "new", "changed"),
    [
        ("5,340", "5,390", (False, False, False, True, False)),
        ("980", "1,140", (True, True, True, True, False)),
        ("1,140", "980", (True, True, False)),
        ("5,340", "5,340", (False,) * 5),
        ("5,340", "", ()),
    ],
)
def test_changed_digits_are_found_from_the_right(
    old: str, new: str, changed: tuple[bool, ...]
) -> None:
    assert changed_places(old, new) == changed


def test_changed_digits_begin_in_the_accent_and_end_in_ink(put: Put, qtbot: QtBot) -> None:
    figure = FadingFigure("5,340")
    put(figure)

    figure.set_text("5,390")
    assert figure.freshness == 1.0
    assert holds(figure.grab().toImage(), LIGHT.accent, 30)

    qtbot.waitUntil(lambda: figure.freshness == 0.0, timeout=5000)
    assert not holds(figure.grab().toImage(), LIGHT.accent, 12)


def test_nothing_fades_where_motion_is_reduced(put: Put) -> None:
    figure = FadingFigure("5,340")
    set_motion_reduced(figure, reduced=True)
    put(figure)

    figure.set_text("5,390")

    assert figure.freshness == 0.0
    assert figure.text() == "5,390"


def test_a_figure_written_for_the_first_time_does_not_fade(put: Put) -> None:
    figure = FadingFigure()
    put(figure)

    figure.set_text("5,390")

    assert figure.freshness == 0.0


TOTALS = (
    TotalsFigure("due", "Deferred maintenance", "5,340", "4,700 to 6,350"),
    TotalsFigure("ready", "Cost to ready", "32,900", "", leading=True, question="why?"),
)


@pytest.mark.parametrize("orientation", [Qt.Orientation.Vertical, Qt.Orientation.Horizontal])
def test_sums_keep_their_place_when_they_change(put: Put, orientation: Qt.Orientation) -> None:
    bar = TotalsBar(TOTALS, orientation=orientation)
    put(bar)
    before = bar.amount_of("ready")
    place = before.mapTo(bar, QPoint(before.width(), 0))

    bar.set_figures((TOTALS[0], TotalsFigure("ready", "Cost to ready", "9,100", leading=True)))

    after = bar.amount_of("ready")
    assert after is before
    assert after.mapTo(bar, QPoint(after.width(), 0)) == place
    assert spoken(after) == "Cost to ready 9,100"


def test_the_question_of_a_sum_is_announced_with_its_key(put: Put, qtbot: QtBot) -> None:
    bar = TotalsBar(TOTALS)
    put(bar)
    link = next(
        one for one in bar.findChildren(QWidget) if one.accessibleName() == "why? Cost to ready"
    )

    with qtbot.waitSignal(bar.question_asked) as asked:
        click(link)

    assert asked.args == ["ready"]


def test_other_sums_take_the_place_of_the_old(put: Put) -> None:
    bar = TotalsBar(TOTALS)
    put(bar)

    bar.set_figures([TotalsFigure("offer", "Opening offer", "20,580")])

    assert bar.amount_of("offer").text() == "20,580"
    with pytest.raises(KeyError):
        bar.amount_of("ready")


# reasons


@dataclass(frozen=True, slots=True)
class Step:
    label: str
    detail: str = ""
    amount_text: str = ""
    children: tuple[Step, ...] = ()


STEPS = Step(
    "Cost to ready",
    "price and work",
    "32,900",
    (
        Step("Price asked", "listing of 2 May", "24,500"),
        Step("Bearing", "due", "980", (Step("Labour", "6 h", "450"), Step("Part", "", "110"))),
    ),
)


def test_reasons_are_asked_for_only_when_they_are_unfolded(put: Put, qtbot: QtBot) -> None:
    asked: list[int] = []

    def trace() -> Step:
        asked.append(1)
        return STEPS

    panel = WhyPanel(trace)
    put(panel)
    assert asked == []
    assert not panel.tree.isVisible()

    with qtbot.waitSignal(panel.unfolded) as unfolded:
        click(panel.link)

    assert unfolded.args == [True]
    assert asked == [1]
    assert panel.tree.isVisible()
    top = panel.tree.topLevelItem(0)
    assert top is not None
    assert [top.text(column) for column in range(3)] == [
        "Cost to ready",
        "price and work",
        "32,900",
    ]
    below = top.child(1)
    assert below is not None
    inner = [below.child(place) for place in range(2)]
    assert [step.text(0) for step in inner if step is not None] == ["Labour", "Part"]


def test_unfolding_a_step_makes_room_for_it_without_scrolling(put: Put) -> None:
    panel = WhyPanel(lambda: STEPS)
    page = QWidget()
    QVBoxLayout(page).addWidget(panel)
    put(page)
    panel.set_open(opened=True)
    before = panel.tree.height()

    top = panel.tree.topLevelItem(0)
    assert top is not None
    below = top.child(1)
    assert below is not None
    below.setExpanded(True)

    assert panel.tree.height() - before == 2 * 28
    assert not panel.tree.verticalScrollBar().isVisible()


def test_a_step_can_be_followed_to_its_place(put: Put, qtbot: QtBot) -> None:
    panel = WhyPanel(lambda: STEPS)
    put(panel)
    panel.set_open(opened=True)
    top = panel.tree.topLevelItem(0)
    assert top is not None

    with qtbot.waitSignal(panel.step_chosen) as chosen:
        panel.tree.itemActivated.emit(top.child(0), 0)

    assert chosen.args == [STEPS.children[0]]


def test_folding_away_hides_the_steps_and_nothing_to_tell_is_said(put: Put) -> None:
    panel = WhyPanel(lambda: None, question="where from?")
    put(panel)

    panel.set_open(opened=True)
    first = panel.tree.topLevelItem(0)
    assert first is not None
    assert first.text(0) == "Nothing to tell yet."
    panel.set_open(opened=False)
    assert not panel.tree.isVisible()
    assert panel.link.text() == "where from?"


def test_an_open_panel_follows_the_figure_it_tells_of(put: Put) -> None:
    panel = WhyPanel(lambda: STEPS)
    put(panel)
    panel.set_open(opened=True)

    panel.set_trace(lambda: STEPS.children[1])

    first = panel.tree.topLevelItem(0)
    assert first is not None
    assert first.text(0) == "Bearing"


# forms and search


def read(text: str) -> object:
    return text


def test_labels_of_a_form_name_their_fields(put: Put) -> None:
    form = Form()
    name, keel, length = QLineEdit(), QComboBox(), ParsedField(read, str)
    form.add_row("name", "Name", name)
    form.add_row("keel", "Keel", keel, hint="As built.")
    form.add_row("length", "Length over all", length)
    put(form)

    assert [spoken(one) for one in (name, keel, length.line_edit)] == [
        "Name",
        "Keel",
        "Length over all",
    ]
    assert keel.accessibleDescription() == "As built."
    assert form.field("keel") is keel


def test_a_problem_stands_at_its_own_field_and_takes_the_focus(put: Put) -> None:
    form = Form(labels_above=True)
    name, length = QLineEdit(), ParsedField(read, str)
    form.add_row("name", "Name", name)
    form.add_row("length", "Length", length)
    put(form)

    form.set_problems({"length": "Too long; check the unit.", "no such row": "x"})
    assert length.problem() == "Too long; check the unit."
    assert form.focus_first_problem()
    assert length.line_edit.hasFocus()

    form.set_problems({"name": "Give her a name."})
    assert form.problem("length") == ""
    assert form.problem("name") == "Give her a name."
    assert "Give her a name." in words_in(form)
    assert name.accessibleDescription() == "Give her a name."

    form.set_problems({})
    assert not form.focus_first_problem()


def test_a_row_can_be_hidden_with_its_problem(put: Put) -> None:
    form = Form()
    form.add_section("Particulars")
    form.add_row("name", "Name", QLineEdit(), hint="Of the boat.")
    form.set_problem("name", "Give her a name.")
    put(form)

    form.set_row_visible("name", visible=False)
    assert words_in(form) == ["Particulars"]
    form.set_row_visible("name", visible=True)
    assert set(words_in(form)) == {"Particulars", "Name", "Give her a name.", "Of the boat."}


def test_a_figure_keeps_off_the_border_of_its_spin_box(put: Put) -> None:
    form = Form()
    berths = QSpinBox()
    form.add_row("berths", "Berths", berths)
    put(form)

    assert berths.lineEdit().textMargins().left() == 5
    assert berths.height() == 28
    assert spoken(berths) == "Berths"


def test_two_rows_cannot_share_a_key() -> None:
    form = Form()
    form.add_row("name", "Name", QLineEdit())

    with pytest.raises(ValueError, match="'name' already"):
        form.add_row("name", "Name", QLineEdit())


def test_a_search_waits_until_the_typing_rests(put: Put, qtbot: QtBot) -> None:
    field = SearchField()
    put(field)
    heard: list[str] = []
    field.searched.connect(heard.append)

    with qtbot.waitSignal(field.searched):
        type_text(field, "keel é ")

    assert heard == ["keel é"]
    assert spoken(field) == "Find anything"


def test_enter_searches_at_once_and_escape_clears(put: Put, qtbot: QtBot) -> None:
    field = SearchField("Find a check")
    put(field)
    heard: list[str] = []
    field.searched.connect(heard.append)

    type_text(field, "bolt")
    press(field, Qt.Key.Key_Return)
    assert heard == ["bolt"]
    press(field, Qt.Key.Key_Escape)
    assert heard == ["bolt", ""]
    with qtbot.waitSignal(field.left_downwards):
        press(field, Qt.Key.Key_Down)


# photos


@pytest.fixture
def strip(put: Put) -> PhotoStrip:
    made = PhotoStrip(hint="Drop photos of the seacock here.")
    made.resize(500, 160)
    put(made)
    return made


def red_picture() -> QImage:
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(QColor("#B00020"))
    return image


def test_photos_show_their_captions_and_thumbnails_as_they_come(strip: PhotoStrip) -> None:
    strip.set_photos([Photo("a", "Stern bearing, 9 May"), Photo("b", "Galley seacock")])
    assert [strip.item(row).text() for row in range(2)] == [
        "Stern bearing, 9 May",
        "Galley seacock",
    ]
    assert not holds(strip.grab().toImage(), "#B00020", 6)

    strip.set_thumbnail("b", red_picture())
    assert holds(strip.grab().toImage(), "#B00020", 6)
    strip.set_thumbnail("gone", red_picture())

    strip.set_photos([Photo("b", "Galley seacock, stem green")])
    assert holds(strip.grab().toImage(), "#B00020", 6)
    assert strip.photos() == (Photo("b", "Galley seacock, stem green"),)


def drop(strip: PhotoStrip, mime: QMimeData) -> bool:
    """Drag something in and let it go; whether the strip was willing to take it."""
    action, button = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    keys = Qt.KeyboardModifier.NoModifier
    entering = QDragEnterEvent(QPoint(20, 20), action, mime, button, keys)
    QApplication.sendEvent(strip.viewport(), entering)
    if entering.isAccepted():
        falling = QDropEvent(QPointF(20, 20), action, mime, button, keys)
        QApplication.sendEvent(strip.viewport(), falling)
    return entering.isAccepted()


def test_dropped_files_are_announced_and_nothing_else(
    strip: PhotoStrip, qtbot: QtBot, tmp_path: Path
) -> None:
    mime = QMimeData()
    mime.setUrls(
        [QUrl.fromLocalFile(str(tmp_path / "keel ½.jpg")), QUrl("https://example.org/x.jpg")]
    )

    with qtbot.waitSignal(strip.files_dropped) as dropped:
        assert drop(strip, mime)
    assert dropped.args == [(tmp_path / "keel ½.jpg",)]

    words = QMimeData()
    words.setText("keel.jpg")
    with qtbot.assertNotEmitted(strip.files_dropped):
        assert not drop(strip, words)


def test_a_photo_is_opened_and_removed_by_key(strip: PhotoStrip, qtbot: QtBot) -> None:
    strip.set_photos([Photo("a", "Keel"), Photo("b", "Rudder")])
    strip.setCurrentRow(1)

    with qtbot.waitSignal(strip.photo_opened) as opened:
        press(strip, Qt.Key.Key_Return)
    assert opened.args == ["b"]
    with qtbot.waitSignal(strip.photo_removed) as removed:
        press(strip, Qt.Key.Key_Delete)
    assert removed.args == ["b"]
    assert strip.count() == 2


def test_the_bold_words_of_a_role_are_bold(put: Put) -> None:
    made = label("Before launching", "strong")
    put(made)

    assert made.font().weight() >= QFont.Weight.DemiBold
