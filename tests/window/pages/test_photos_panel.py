"""Photos taken in by drop, paste and choice; looked at large; ringed by mouse and keyboard."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QColor, QGuiApplication, QImage
from PySide6.QtWidgets import QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Show
from tests.window.pages.saved_search import CHECK
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from tests.window.test_photo_loading import picture
from workbench.domain.inspection import Inspection, Photo, Reading
from workbench.store.attachments import photo_is_whole
from workbench.window.pages.photo_view import PhotoView
from workbench.window.pages.photos_panel import PhotosPanel
from workbench.window.session import Session

WAIT = 20_000


@pytest.fixture
def page(kept: Session, show: Show) -> QWidget:
    """A page with the panel on it and the large view over it."""
    ground = QWidget()
    kept.select_boat("marigold-rae")
    kept.select_check(CHECK)
    panel = PhotosPanel(kept, parent=ground)
    panel.setGeometry(20, 20, 420, 300)
    view = PhotoView(kept, panel.loader, ground)
    panel.photo_opened.connect(view.open_photo)
    show(ground)
    return ground


@pytest.fixture
def panel(page: QWidget) -> PhotosPanel:
    found = page.findChild(PhotosPanel)
    assert found is not None
    return found


@pytest.fixture
def view(page: QWidget) -> PhotoView:
    found = page.findChild(PhotoView)
    assert found is not None
    return found


@pytest.fixture
def files(tmp_path: Path) -> list[Path]:
    """Two photos as a phone names them."""
    made = []
    for number, taken in enumerate(("2026:05:09 10:00:00", "2026:05:09 10:01:00")):
        file = tmp_path / f"IMG_{number}.jpg"
        file.write_bytes(picture((400 + number, 300), taken=taken))
        made.append(file)
    return made


def inspection(session: Session) -> Inspection:
    assert session.candidate is not None
    return session.candidate.inspection


def readings(session: Session) -> tuple[Reading, ...]:
    return inspection(session).readings.get(session.check_id, ())


def drop(panel: PhotosPanel, files: list[Path], qtbot: QtBot) -> None:
    with qtbot.waitSignal(panel.storer.ended, timeout=WAIT):
        panel.strip.files_dropped.emit(tuple(files))


def test_dropped_photos_are_stored_and_go_with_the_reading_of_the_check(
    panel: PhotosPanel, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    drop(panel, files, qtbot)

    (reading,) = readings(kept)
    photos = inspection(kept).photos
    assert set(reading.photos) == set(photos)
    assert [one.original_name for one in photos.values()] == ["IMG_0.jpg", "IMG_1.jpg"]
    assert next(iter(photos.values())).taken == datetime(2026, 5, 9, 10, 0, 0)
    assert all(photo_is_whole(kept.folder, "marigold-rae", one) for one in photos.values())
    assert reading.values["sound"] == "knocks"  # what was read before is still there


def test_several_photos_at_once_are_one_step_to_undo(
    panel: PhotosPanel, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    drop(panel, files, qtbot)
    assert kept.history.undo_label == "Add 2 photos"

    kept.undo()

    assert len(inspection(kept).photos) == 0
    assert panel.strip.count() == 0


def test_a_photo_of_a_check_nobody_has_read_begins_a_reading_that_waits_for_its_values(
    panel: PhotosPanel, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    other = next(one for one in kept.catalogue.checks if one != CHECK)
    kept.select_check(other)
    drop(panel, files[:1], qtbot)

    (reading,) = readings(kept)
    assert (len(reading.values), reading.by, reading.taken) == (0, "Robin", date(2026, 5, 10))
    assert len(reading.photos) == 1


def test_a_photo_of_all_of_her_goes_with_no_check(
    panel: PhotosPanel, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    panel.whose.segments()[1].click()
    drop(panel, files, qtbot)

    assert readings(kept)[0].photos == ()
    assert panel.strip.count() == 2
    panel.whose.segments()[0].click()
    assert panel.strip.count() == 0


def test_thumbnails_come_from_the_background(
    panel: PhotosPanel, files: list[Path], qtbot: QtBot
) -> None:
    drop(panel, files, qtbot)

    def shown() -> bool:
        image = panel.strip.item(0).icon().pixmap(132, 96).toImage()
        colour = image.pixelColor(image.width() // 4, image.height() // 4)
        return colour.red() > 150 and colour.green() < 100

    qtbot.waitUntil(shown, timeout=WAIT)


def test_a_damaged_photo_is_kept_and_shown_as_words(
    panel: PhotosPanel, kept: Session, tmp_path: Path, qtbot: QtBot
) -> None:
    file = tmp_path / "cut.jpg"
    file.write_bytes(picture()[:1500])
    drop(panel, [file], qtbot)

    (photo,) = inspection(kept).photos.values()
    assert photo_is_whole(kept.folder, "marigold-rae", photo)
    qtbot.waitUntil(lambda: photo.id in panel._pictures, timeout=WAIT)
    assert "cannot be read" in panel._pictures[photo.id].words


def test_what_is_no_photo_is_told_and_the_others_are_taken(
    panel: PhotosPanel, kept: Session, files: list[Path], tmp_path: Path, qtbot: QtBot
) -> None:
    wrong = tmp_path / "drawing.svg"
    wrong.write_text("<svg/>")

    drop(panel, [files[0], wrong, files[1]], qtbot)

    assert len(inspection(kept).photos) == 2
    assert "drawing.svg" in panel.problem.text()
    assert "not a photo" in panel.problem.text()


def test_the_same_photo_again_keeps_its_caption(
    panel: PhotosPanel, view: PhotoView, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    drop(panel, files[:1], qtbot)
    (photo,) = inspection(kept).photos.values()
    view.open_photo(photo.id)
    retype(view.caption, "Play", qtbot)

    drop(panel, files[:1], qtbot)

    (again,) = inspection(kept).photos.values()
    assert again.caption == "Play"


def test_a_picture_that_was_copied_is_pasted(
    panel: PhotosPanel, kept: Session, qtbot: QtBot
) -> None:
    image = QImage(60, 40, QImage.Format.Format_RGB32)
    image.fill(QColor("red"))
    QGuiApplication.clipboard().setImage(image)
    panel.strip.setFocus()

    with qtbot.waitSignal(panel.storer.ended, timeout=WAIT):
        qtbot.keyClick(panel.strip, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)

    (photo,) = inspection(kept).photos.values()
    assert photo.file.endswith(".png")


def test_files_that_were_copied_are_pasted(
    panel: PhotosPanel, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    held = QMimeData()
    held.setUrls([QUrl.fromLocalFile(str(file)) for file in files])
    QGuiApplication.clipboard().setMimeData(held)

    with qtbot.waitSignal(panel.storer.ended, timeout=WAIT):
        panel.paste_button.click()

    assert len(inspection(kept).photos) == 2


def test_a_clipboard_without_a_photo_is_told(panel: PhotosPanel) -> None:
    QGuiApplication.clipboard().setText("no photo")
    panel.paste_button.click()

    assert "photo" in panel.problem.text()


def test_photos_are_chosen_with_a_file_chooser(
    panel: PhotosPanel,
    kept: Session,
    files: list[Path],
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    chosen = [str(file) for file in files]
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_: (chosen, ""))
    with qtbot.waitSignal(panel.storer.ended, timeout=WAIT):
        panel.add_button.click()

    assert len(inspection(kept).photos) == 2


def test_delete_takes_a_photo_off_the_record_and_its_file_stays(
    panel: PhotosPanel, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    drop(panel, files[:1], qtbot)
    (photo,) = inspection(kept).photos.values()
    panel.strip.setCurrentRow(0)
    qtbot.keyClick(panel.strip, Qt.Key.Key_Delete)
    assert len(inspection(kept).photos) == 0
    assert readings(kept)[0].photos == ()
    assert photo_is_whole(kept.folder, "marigold-rae", photo)

    kept.undo()

    assert readings(kept)[0].photos == (photo.id,)


def test_another_boat_shows_her_own_photos(
    panel: PhotosPanel, kept: Session, files: list[Path], qtbot: QtBot
) -> None:
    drop(panel, files, qtbot)

    kept.select_boat("linden-lea")

    assert panel.strip.count() == 0


# the large view


def retype(line: QWidget, text: str, qtbot: QtBot) -> None:
    line.setFocus()
    qtbot.keyClick(line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)


@pytest.fixture
def opened(
    panel: PhotosPanel, view: PhotoView, kept: Session, files: list[Path], qtbot: QtBot
) -> PhotoView:
    """The large view on the first of two photos."""
    drop(panel, files, qtbot)
    panel.strip.setFocus()
    panel.strip.setCurrentRow(0)
    with qtbot.waitSignal(panel.loader.loaded, timeout=WAIT):
        qtbot.keyClick(panel.strip, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: view.canvas._image is not None, timeout=WAIT)
    return view


def first(session: Session) -> Photo:
    return next(iter(inspection(session).photos.values()))


def test_return_shows_a_photo_large_and_escape_leads_back(
    opened: PhotoView, panel: PhotosPanel, qtbot: QtBot
) -> None:
    assert opened.isVisible()
    below = opened.parentWidget()
    assert below is not None
    assert opened.geometry() == below.rect()
    assert opened.place.text() == "photo 1 of 2"

    qtbot.keyClick(opened.canvas, Qt.Key.Key_Escape)

    assert not opened.isVisible()
    assert panel.strip.hasFocus()


def test_caption_time_and_privacy_are_shown_and_changed(
    opened: PhotoView, kept: Session, qtbot: QtBot
) -> None:
    assert "10:00" in opened.taken.text()
    retype(opened.caption, "Stern bearing, 1 mm", qtbot)
    opened.private.click()

    assert first(kept).caption == "Stern bearing, 1 mm"
    assert first(kept).private


def test_a_caption_is_never_read_as_markup(
    opened: PhotoView, panel: PhotosPanel, kept: Session, qtbot: QtBot
) -> None:
    retype(opened.caption, "<b>x</b>", qtbot)

    assert first(kept).caption == "<b>x</b>"
    assert panel.strip.item(0).text() == "<b>x</b>"


def test_a_ring_is_drawn_with_the_mouse_from_its_middle_outwards(
    opened: PhotoView, kept: Session, qtbot: QtBot
) -> None:
    canvas = opened.canvas
    place = canvas.picture_rect()
    middle = place.center().toPoint()
    reach = QPoint(round(place.width() / 10), 0)
    qtbot.mousePress(canvas, Qt.MouseButton.LeftButton, pos=middle)
    qtbot.mouseMove(canvas, middle + reach)
    qtbot.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=middle + reach)

    (ring,) = first(kept).marks
    assert (ring.x, ring.y) == pytest.approx((0.5, 0.5), abs=0.01)
    assert ring.radius == pytest.approx(0.1, abs=0.01)


def test_a_mere_click_draws_nothing(opened: PhotoView, kept: Session, qtbot: QtBot) -> None:
    qtbot.mouseClick(opened.canvas, Qt.MouseButton.LeftButton)

    assert first(kept).marks == ()


def test_a_ring_is_put_moved_sized_and_taken_away_by_keys(
    opened: PhotoView, kept: Session, qtbot: QtBot
) -> None:
    canvas = opened.canvas
    qtbot.keyClick(canvas, Qt.Key.Key_R)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Plus):
        qtbot.keyClick(canvas, key)

    (ring,) = first(kept).marks
    assert (ring.x, ring.y, ring.radius) == pytest.approx((0.52, 0.49, 0.09))
    qtbot.keyClick(canvas, Qt.Key.Key_Delete)
    assert first(kept).marks == ()


def test_a_ring_never_leaves_the_picture(opened: PhotoView, kept: Session, qtbot: QtBot) -> None:
    qtbot.keyClick(opened.canvas, Qt.Key.Key_R)
    for _ in range(80):
        qtbot.keyClick(opened.canvas, Qt.Key.Key_Left)
        qtbot.keyClick(opened.canvas, Qt.Key.Key_Minus)

    (ring,) = first(kept).marks
    assert ring.x == 0.0
    assert ring.radius >= 0.01


def test_tab_goes_from_ring_to_ring_and_then_on(
    opened: PhotoView, kept: Session, qtbot: QtBot
) -> None:
    canvas = opened.canvas
    for _ in range(2):
        qtbot.keyClick(canvas, Qt.Key.Key_R)
    canvas.light(-1)
    for wanted in (0, 1):
        qtbot.keyClick(canvas, Qt.Key.Key_Tab)
        assert canvas.lit_place == wanted
    assert "ring 2 is lit" in canvas.accessibleDescription()

    qtbot.keyClick(canvas, Qt.Key.Key_Tab)

    assert not canvas.hasFocus()


def test_a_ring_gets_words(opened: PhotoView, kept: Session, qtbot: QtBot) -> None:
    qtbot.keyClick(opened.canvas, Qt.Key.Key_R)
    retype(opened._labels[0], "gap at the top", qtbot)

    assert first(kept).marks[0].label == "gap at the top"


def test_undo_takes_a_ring_back_on_the_picture(
    opened: PhotoView, kept: Session, qtbot: QtBot
) -> None:
    opened.ring_button.click()
    assert len(opened.canvas.marks()) == 1

    kept.undo()

    assert opened.canvas.marks() == ()


def test_page_down_turns_to_the_next_photo_and_round(opened: PhotoView, qtbot: QtBot) -> None:
    for wanted in ("photo 2 of 2", "photo 1 of 2"):
        qtbot.keyClick(opened.canvas, Qt.Key.Key_PageDown)
        assert opened.place.text() == wanted


def test_taking_the_photo_away_shows_the_next_and_after_the_last_the_page(
    opened: PhotoView, kept: Session
) -> None:
    opened.remove_button.click()
    assert opened.isVisible()
    assert len(inspection(kept).photos) == 1

    opened.remove_button.click()

    assert not opened.isVisible()
    assert len(inspection(kept).photos) == 0


def test_everything_on_panel_and_view_has_a_name_and_is_reached_by_keys(
    opened: PhotoView, panel: PhotosPanel, qtbot: QtBot
) -> None:
    qtbot.keyClick(opened.canvas, Qt.Key.Key_R)
    for part in (opened, panel):
        assert nameless(part) == []
        assert out_of_reach(part) == []
        assert cut_labels(part) == []
