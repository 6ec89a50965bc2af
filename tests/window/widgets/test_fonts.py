"""The bundled font takes over where the system has no sans at all."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QFont

from workbench.window import fonts
from workbench.window.theme import Theme

BUNDLED = Path(__file__).resolve().parents[3] / "resources" / "fonts"


def test_the_bundled_fonts_can_be_registered(theme: Theme) -> None:
    del theme
    assert fonts.install_bundled_fonts(BUNDLED) == (fonts.FALLBACK_FAMILY,)


def test_missing_files_register_nothing(theme: Theme, tmp_path: Path) -> None:
    del theme
    assert fonts.install_bundled_fonts(tmp_path) == ()


def test_without_any_sans_the_bundled_font_is_written(
    theme: Theme, monkeypatch: pytest.MonkeyPatch
) -> None:
    del theme
    monkeypatch.setattr(fonts, "has_sans", lambda: False)

    font = fonts.application_font(QFont("no such family"), 1.0, BUNDLED)

    assert font.families() == [fonts.FALLBACK_FAMILY]
    assert font.pixelSize() == 13


def test_a_system_with_a_sans_keeps_its_own(theme: Theme) -> None:
    del theme
    system = QFont()

    font = fonts.application_font(system, 1.5, BUNDLED)

    assert fonts.has_sans()
    assert font.families() == system.families()
    assert font.pixelSize() == 20
