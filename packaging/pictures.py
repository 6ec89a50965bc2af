"""Makes the pictures of the README: `python packaging/pictures.py [FOLDER]`.

It opens a copy of the sample project in the real window, offscreen, and keeps what is on screen; it
writes the sample's sheets and keeps their first pages. Run it after a change of the look.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
sys.path.insert(0, str(ROOT))

from PySide6.QtCore import QEventLoop, QLocale, QSettings, QTimer  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from workbench.store.folder import open_project  # noqa: E402
from workbench.window.app import build  # noqa: E402
from workbench.window.main_window import MainWindow  # noqa: E402
from workbench.window.theme import ThemeMode  # noqa: E402

SAMPLE = ROOT / "sample_projects" / "two-yards-one-spring"
PICTURES = ROOT / "resources" / "pictures"
SIZE = (1440, 900)
CHECK = "stern-bearing-play"
PAGES = (
    ("boats", ThemeMode.LIGHT),
    ("shortlist", ThemeMode.LIGHT),
    ("side-by-side", ThemeMode.LIGHT),
    ("look-next", ThemeMode.LIGHT),
    ("offer", ThemeMode.LIGHT),
    ("boats", ThemeMode.DARK),
)
"""What the README shows, in an order in which the appearance changes once."""
SHEETS = ("offer", "field-form")


def main(arguments: list[str]) -> int:
    """Write every picture."""
    out = Path(arguments[0]) if arguments else PICTURES
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as temporary:
        os.environ["HARDSTAND_HOME"] = temporary
        copy = Path(temporary) / "sample"
        shutil.copytree(SAMPLE, copy)
        application = QApplication([])
        QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))
        settings = QSettings(str(Path(temporary) / "w.ini"), QSettings.Format.IniFormat)
        window = build(application, open_project(copy), settings)
        _screens(window, out)
        _sheets(copy, out)
        window.session.close()
    print(f"The pictures lie in {out}.")
    return 0


def _screens(window: MainWindow, out: Path) -> None:
    window.resize(*SIZE)
    window.show()
    _settle(window, 2500)
    for key, mode in PAGES:
        window.theme.set_mode(mode)
        window.show_page(key)
        if key == "boats":
            window.session.select_check(CHECK)
        _settle(window, 1500)
        window.grab().save(str(out / f"{key}-{mode.value}.png"))


def _settle(window: MainWindow, milliseconds: int) -> None:
    """Let the background and the screen come to rest."""
    loop = QEventLoop(window)
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def _sheets(folder: Path, out: Path) -> None:
    import pypdfium2  # noqa: PLC0415 - only for the pictures of sheets

    from workbench.catalogue.loading import load  # noqa: PLC0415
    from workbench.figures.assess import assess  # noqa: PLC0415
    from workbench.reports.export import export_sheets  # noqa: PLC0415

    opened = open_project(folder)
    opened.folder.close()
    assessment = assess(opened.project, load())
    boats = [next(iter(opened.project.boats))]
    with tempfile.TemporaryDirectory() as temporary:
        for sheet in SHEETS:
            made = export_sheets(assessment, folder, Path(temporary), [sheet], boats, "a4")
            first = next(path for path in made if path.suffix == ".pdf")
            document = pypdfium2.PdfDocument(str(first))
            document[0].render(scale=1.3).to_pil().save(out / f"sheet-{sheet}.png")
            document.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
