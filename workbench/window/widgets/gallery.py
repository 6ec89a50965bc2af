"""Pictures of every widget, light and dark: `python -m workbench.window.widgets.gallery --out DIR`.

Runs without a screen. `--text-scale 2` writes all text twice as large; dense screens are tried with
the environment variable QT_SCALE_FACTOR. `--sheet` joins all samples of one appearance in one
picture.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QPoint, QSize
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QApplication, QWidget

from workbench.window.theme import Theme, ThemeMode
from workbench.window.widgets.gallery_samples import SAMPLES

WIDTH = 560


def picture(widget: QWidget, scale: float) -> QPixmap:
    """Return the picture of a sample at its ordinary width."""
    width = round(WIDTH * max(1.0, scale * 0.8))
    widget.ensurePolished()
    widget.resize(width, widget.sizeHint().height())
    widget.show()
    QApplication.processEvents()
    height = widget.heightForWidth(width) if widget.hasHeightForWidth() else 0
    widget.resize(width, max(height, widget.sizeHint().height()))
    QApplication.processEvents()
    return widget.grab()


def join(pictures: Sequence[QPixmap], columns: int = 3) -> QPixmap:
    """Lay pictures out in columns, each under the shortest column so far."""
    ratio = pictures[0].devicePixelRatio()
    heights = [0] * columns
    places: list[QPoint] = []
    width = max(one.width() for one in pictures)
    for one in pictures:
        at = heights.index(min(heights))
        places.append(QPoint(round(at * width / ratio), round(heights[at] / ratio)))
        heights[at] += one.height()
    sheet = QPixmap(QSize(width * columns, max(heights)))
    sheet.setDevicePixelRatio(ratio)
    sheet.fill(QApplication.palette().window().color())
    with QPainter(sheet) as painter:
        for one, place in zip(pictures, places, strict=True):
            painter.drawPixmap(place, one)
    return sheet


def write(theme: Theme, folder: Path, *, sheet: bool, names: Sequence[str] = ()) -> list[Path]:
    """Write the pictures of all samples, light and dark, and return the files."""
    folder.mkdir(parents=True, exist_ok=True)
    files: list[Path] = []
    for mode in (ThemeMode.LIGHT, ThemeMode.DARK):
        theme.set_mode(mode)
        wanted = {name: make for name, make in SAMPLES.items() if not names or name in names}
        made = {name: make() for name, make in wanted.items()}
        pictures = {name: picture(widget, theme.scale) for name, widget in made.items()}
        if sheet:
            pictures = {"sheet": join(list(pictures.values()))}
        for name, pixmap in pictures.items():
            target = folder / f"{name}-{mode}.png"
            pixmap.save(str(target))
            files.append(target)
        for widget in made.values():
            widget.deleteLater()
    return files


def main(arguments: Sequence[str] | None = None) -> int:
    """Write the gallery; returns the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--text-scale", type=float, default=1.0)
    parser.add_argument("--sheet", action="store_true")
    parser.add_argument("--only", nargs="*", default=())
    chosen = parser.parse_args(arguments)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    application = QApplication.instance() or QApplication([])
    if not isinstance(application, QApplication):
        parser.error("a window cannot be made in an application without one")
    theme = Theme(application, ThemeMode.LIGHT, text_scale=chosen.text_scale)
    files = write(theme, chosen.out, sheet=chosen.sheet, names=chosen.only)
    print(f"{len(files)} pictures")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
