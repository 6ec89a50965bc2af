"""Which fonts the window writes with: the system's sans, tabular figures, four sizes by role.

Sizes are in device-independent pixels at the ordinary system font: 11 (small), 13 (body),
16 (heading), 22 (title). A larger system font, or the reader's own text scale, enlarges all four.
Where the system has no sans at all, the bundled DejaVu Sans serves.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from PySide6.QtGui import QFont, QFontDatabase, QFontInfo

ORDINARY_SYSTEM_PIXELS = 13.4
"""Largest usual size of a desktop's text, 10 pt at 96 dots per inch; above it more is wanted."""

FALLBACK_FAMILY = "DejaVu Sans"
FALLBACK_FILES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
TABULAR_FIGURES = QFont.Tag("tnum")


class TypeRole(StrEnum):
    """What a piece of text is, which decides its size."""

    SMALL = "small"
    BODY = "body"
    HEADING = "heading"
    TITLE = "title"


PIXELS = {
    TypeRole.SMALL: 11.0,
    TypeRole.BODY: 13.0,
    TypeRole.HEADING: 16.0,
    TypeRole.TITLE: 22.0,
}


def pixels(role: TypeRole, scale: float = 1.0) -> int:
    """Height of a role's type [device-independent pixels], rounded to whole ones."""
    return round(PIXELS[role] * scale)


def system_scale(system_font: QFont) -> float:
    """How much larger than ordinary the system's text is; never below 1."""
    return max(1.0, QFontInfo(system_font).pixelSize() / ORDINARY_SYSTEM_PIXELS)


def has_sans() -> bool:
    """Whether the system offers any font for Latin text."""
    latin = QFontDatabase.families(QFontDatabase.WritingSystem.Latin)
    return any(not QFontDatabase.isPrivateFamily(family) for family in latin)


def install_bundled_fonts(folder: Path) -> tuple[str, ...]:
    """Register the bundled fonts and return their families; empty where a file is missing."""
    families: list[str] = []
    for name in FALLBACK_FILES:
        number = QFontDatabase.addApplicationFont(str(folder / name))
        families += QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
    return tuple(dict.fromkeys(families))


def with_tabular_figures(font: QFont) -> QFont:
    """Return the font with figures of equal width, where the font has them."""
    tabular = QFont(font)
    tabular.setFeature(TABULAR_FIGURES, 1)
    return tabular


def application_font(system_font: QFont, scale: float, bundled: Path | None = None) -> QFont:
    """Return the body font of the whole window.

    Parameters
    ----------
    system_font
        The font the desktop gave the application.
    scale
        System scale times the reader's text scale.
    bundled
        Folder of the bundled fonts, used only where the system has no sans.
    """
    font = QFont(system_font)
    if bundled is not None and not has_sans():
        families = install_bundled_fonts(bundled)
        font.setFamilies(list(families) or [FALLBACK_FAMILY])
    font.setPixelSize(pixels(TypeRole.BODY, scale))
    font.setHintingPreference(QFont.HintingPreference.PreferVerticalHinting)
    return with_tabular_figures(font)


def scale_of(font: QFont) -> float:
    """How much larger than ordinary a body font is (1.0 at 13 pixels)."""
    # A font that was given its size in pixels says it at once; asking the system takes far longer.
    size = font.pixelSize()
    return (size if size > 0 else QFontInfo(font).pixelSize()) / PIXELS[TypeRole.BODY]


def role_font(body: QFont, role: TypeRole, *, strong: bool = False) -> QFont:
    """Return the font of a role, made from the body font so that scale and figures carry over."""
    font = QFont(body)
    font.setPixelSize(pixels(role, scale_of(body)))
    font.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    return font
