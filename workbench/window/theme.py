"""How the whole window looks: palette, fonts and style sheet, switched while it runs.

`Theme(application)` sets the Fusion style and follows the desktop's light or dark choice, unless a
mode is forced. A change repaints everything at once; widgets that paint themselves read their
colours from where they stand (`widgets.surroundings.palette_of`), so they need not be told.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from PySide6.QtCore import QObject, Qt, QTemporaryDir, Signal
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from workbench.window.fonts import PIXELS, TypeRole, application_font, pixels, system_scale
from workbench.window.palette import Palette, choose_palette
from workbench.window.widgets.glyphs import write_glyphs
from workbench.window.widgets.stylesheet import stylesheet
from workbench.window.widgets.surroundings import (
    PAGE_MARKER,
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
    Density,
    palette_of,
    row_height,
    set_density,
    set_motion_reduced,
    set_role,
)

SMALLEST_TEXT_SCALE = 0.8
LARGEST_TEXT_SCALE = 2.5


class ThemeMode(StrEnum):
    """Follow the desktop, or keep to one appearance."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


_FORCED = {
    ThemeMode.LIGHT: Qt.ColorScheme.Light,
    ThemeMode.DARK: Qt.ColorScheme.Dark,
    ThemeMode.SYSTEM: Qt.ColorScheme.Unknown,
}


def _roles(palette: Palette) -> dict[QPalette.ColorRole, str]:
    role = QPalette.ColorRole
    return {
        role.Window: palette.page,
        role.WindowText: palette.text,
        role.Base: palette.panel,
        role.AlternateBase: palette.page,
        role.Text: palette.text,
        role.PlaceholderText: palette.quiet,
        role.Button: palette.panel,
        role.ButtonText: palette.text,
        role.BrightText: palette.on_accent,
        role.ToolTipBase: palette.text,
        role.ToolTipText: palette.page,
        role.Highlight: palette.accent,
        role.HighlightedText: palette.on_accent,
        role.Accent: palette.accent,
        role.Link: palette.accent,
        role.LinkVisited: palette.accent,
        role.Light: palette.panel,
        role.Midlight: palette.hover,
        role.Mid: palette.line,
        role.Dark: palette.control_line,
        PAGE_MARKER: palette.page,
    }


def qt_palette(palette: Palette) -> QPalette:
    """Return Qt's palette for one of ours; what is disabled is written in faint ink."""
    made = QPalette()
    for role, colour in _roles(palette).items():
        made.setColor(QPalette.ColorGroup.All, role, QColor(colour))
    faint = QColor(palette.tint(palette.quiet, 0.62))
    for role in (
        QPalette.ColorRole.Text,
        QPalette.ColorRole.WindowText,
        QPalette.ColorRole.ButtonText,
    ):
        made.setColor(QPalette.ColorGroup.Disabled, role, faint)
    return made


def _is_dark(palette: QPalette) -> bool:
    """Whether a desktop that does not name its appearance writes light on dark."""
    role = QPalette.ColorRole
    return palette.color(role.Window).lightness() < palette.color(role.WindowText).lightness()


class Theme(QObject):
    """The appearance of the application, and the switch for it.

    Parameters
    ----------
    application
        The application to dress.
    mode
        Follow the desktop, or one appearance always.
    text_scale
        The reader's own enlargement, 0.8 to 2.5, on top of the desktop's.
    bundled_fonts
        Folder of the bundled fonts, for a system without any sans.
    put_on_later
        Hold the style sheet back until `put_on` is called. Under a style sheet Qt lays every tree
        out anew at each step that its page grows round it; a window that is built first and dressed
        then is there in half the time.

    Signals
    -------
    changed(Palette)
        The appearance changed; for pictures made ahead, such as icons.
    """

    changed = Signal(object)

    def __init__(
        self,
        application: QApplication,
        mode: ThemeMode = ThemeMode.SYSTEM,
        *,
        text_scale: float = 1.0,
        bundled_fonts: Path | None = None,
        put_on_later: bool = False,
    ) -> None:
        super().__init__(application)
        self._waits = put_on_later
        self._application = application
        self._mode = mode
        self._text_scale = text_scale
        self._bundled_fonts = bundled_fonts
        self._system_font = application.font()
        self._glyph_folder = QTemporaryDir()
        self._palette = choose_palette(dark=False)
        self._desktop_was_dark = _is_dark(application.palette())
        self._scheme = Qt.ColorScheme.Unknown
        self._dressed: tuple[Palette, float] | None = None
        application.setStyle("Fusion")
        # WORKAROUND(PySide6 6.11): what the style hints give out becomes invalid once nobody holds
        # the hints themselves, so the theme holds them for as long as it lives.
        self._hints = application.styleHints()
        self._contrast_hints = self._hints.accessibility()
        self._hints.colorSchemeChanged.connect(self._on_scheme_changed)
        self._contrast_hints.contrastPreferenceChanged.connect(self._on_contrast_changed)
        self.set_mode(mode)

    @property
    def palette(self) -> Palette:
        """The palette in force."""
        return self._palette

    @property
    def mode(self) -> ThemeMode:
        """Whether the desktop is followed or one appearance is kept."""
        return self._mode

    @property
    def scale(self) -> float:
        """Text scale in force: the desktop's times the reader's, in whole pixels of body text."""
        wanted = system_scale(self._system_font) * self._text_scale
        return pixels(TypeRole.BODY, wanted) / PIXELS[TypeRole.BODY]

    def set_mode(self, mode: ThemeMode) -> None:
        """Follow the desktop, or force light or dark."""
        self._mode = mode
        self._hints.setColorScheme(_FORCED[mode])
        self._scheme = self._hints.colorScheme()
        self._dress()

    def set_text_scale(self, text_scale: float) -> None:
        """Enlarge all text; held between 0.8 and 2.5."""
        self._text_scale = min(max(text_scale, SMALLEST_TEXT_SCALE), LARGEST_TEXT_SCALE)
        self._dress()

    def put_on(self) -> None:
        """Set the style sheet that was held back."""
        self._waits = False
        self._set_style_sheet()

    def _wanted_palette(self) -> Palette:
        if self._mode is not ThemeMode.SYSTEM:
            dark = self._mode is ThemeMode.DARK
        elif self._scheme == Qt.ColorScheme.Unknown:
            dark = self._desktop_was_dark
        else:
            dark = self._scheme == Qt.ColorScheme.Dark
        contrast = self._contrast_hints.contrastPreference()
        return choose_palette(
            dark=dark, more_contrast=contrast == Qt.ContrastPreference.HighContrast
        )

    def _on_scheme_changed(self, scheme: Qt.ColorScheme) -> None:
        self._scheme = scheme
        self._dress()

    def _on_contrast_changed(self) -> None:
        self._dress()

    def _dress(self) -> None:
        """Set palette, font and style sheet, unless they are set already."""
        wanted = (self._wanted_palette(), self.scale)
        if wanted == self._dressed:
            return
        self._dressed = wanted
        self._palette, scale = wanted
        self._application.setPalette(qt_palette(self._palette))
        self._application.setFont(application_font(self._system_font, scale, self._bundled_fonts))
        if not self._waits:
            self._set_style_sheet()
        self.changed.emit(self._palette)

    def _set_style_sheet(self) -> None:
        glyphs = write_glyphs(Path(self._glyph_folder.path()), self._palette)
        self._application.setStyleSheet(stylesheet(self._palette, self.scale, glyphs))


__all__ = [
    "SPACE_GROUPS",
    "SPACE_PAGE",
    "SPACE_RELATED",
    "SPACE_TIGHT",
    "Density",
    "Theme",
    "ThemeMode",
    "palette_of",
    "qt_palette",
    "row_height",
    "set_density",
    "set_motion_reduced",
    "set_role",
]
