"""Every widget as a whole: nothing cut at any text scale, everything reachable and named."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)

from workbench.window.theme import Theme, ThemeMode
from workbench.window.widgets.choice_row import Segment
from workbench.window.widgets.fading_figure import FadingFigure
from workbench.window.widgets.gallery import picture, write
from workbench.window.widgets.gallery_samples import SAMPLES
from workbench.window.widgets.grade_label import GradeLabel

Put = Callable[[QWidget], QWidget]
WRITTEN = (QLabel, QPushButton, GradeLabel, Segment, FadingFigure)


def cut_parts(ground: QWidget) -> Iterator[str]:
    """Name the visible parts that have less room than their words need."""
    for part in ground.findChildren(QWidget):
        if not part.isVisible() or not isinstance(part, WRITTEN):
            continue
        words = part.text() if isinstance(part, QLabel | QAbstractButton) else part.accessibleName()
        if isinstance(part, QLabel) and part.wordWrap():
            if part.height() < part.heightForWidth(part.width()):
                yield f"{words}: {part.height()} high"
        elif part.width() < part.sizeHint().width() or part.height() < part.sizeHint().height():
            yield f"{words}: {part.size().toTuple()} of {part.sizeHint().toTuple()}"
        edge = part.mapTo(ground, part.rect().bottomRight())
        if edge.x() > ground.width() or edge.y() > ground.height():
            yield f"{words}: reaches beyond the page"


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("name", list(SAMPLES))
def test_no_text_is_cut_at_any_scale(put: Put, theme: Theme, name: str, scale: float) -> None:
    theme.set_text_scale(scale)
    ground = SAMPLES[name]()
    put(ground)

    picture(ground, theme.scale)

    assert list(cut_parts(ground)) == []


def test_a_cut_label_would_be_found(put: Put) -> None:
    ground = QWidget()
    part = QLabel("Two seacocks, galley and heads", ground)
    part.resize(40, 20)
    put(ground)

    assert len(list(cut_parts(ground))) == 1


OPERABLE = (QAbstractButton, QLineEdit, QAbstractItemView, QPlainTextEdit)


@pytest.mark.parametrize("name", list(SAMPLES))
def test_everything_one_can_operate_has_a_name_and_takes_the_focus(put: Put, name: str) -> None:
    ground = SAMPLES[name]()
    put(ground)

    nameless = []
    for part in ground.findChildren(QWidget):
        own = not part.objectName().startswith("qt_")
        of_table = part.metaObject().className() in {"QTableCornerButton", "QHeaderView"}
        if not (part.isVisible() and isinstance(part, OPERABLE) and own) or of_table:
            continue
        interface = QAccessible.queryAccessibleInterface(part)
        assert interface is not None
        said = interface.text(QAccessible.Text.Name)
        reachable = part.focusPolicy() != Qt.FocusPolicy.NoFocus or not part.isEnabled()
        if not said or not reachable:
            nameless.append(f"{type(part).__name__} {part.objectName()} {said!r}")
    assert nameless == []


@pytest.mark.parametrize("name", list(SAMPLES))
def test_light_and_dark_are_different_pictures(put: Put, theme: Theme, name: str) -> None:
    ground = SAMPLES[name]()
    put(ground)
    light = ground.grab().toImage()

    theme.set_mode(ThemeMode.DARK)

    dark = ground.grab().toImage()
    assert light.pixelColor(3, 3).lightness() > 200
    assert dark.pixelColor(3, 3).lightness() < 60


def test_the_gallery_writes_a_picture_of_each_widget_light_and_dark(
    theme: Theme, tmp_path: Path
) -> None:
    files = write(theme, tmp_path / "pictures", sheet=False, names=("grades", "bars"))

    assert sorted(file.name for file in files) == [
        "bars-dark.png",
        "bars-light.png",
        "grades-dark.png",
        "grades-light.png",
    ]
    assert all(file.stat().st_size > 1000 for file in files)
    QApplication.processEvents()


def test_on_a_dense_screen_the_pictures_are_twice_as_fine(tmp_path: Path) -> None:
    environment = {**os.environ, "QT_SCALE_FACTOR": "2", "QT_QPA_PLATFORM": "offscreen"}

    subprocess.run(
        [
            *(sys.executable, "-m", "workbench.window.widgets.gallery"),
            *("--out", str(tmp_path), "--only", "bars", "--sheet"),
        ],
        env=environment,
        check=True,
        capture_output=True,
        timeout=120,
    )

    image = QImage(str(tmp_path / "sheet-light.png"))
    assert image.width() == 3 * 2 * 560
