"""The appearance of the window: followed, forced, enlarged, and read off by widgets."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontInfo, QPalette
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QListWidget, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tests.window.widgets.acting import holds, near
from workbench.window import fonts
from workbench.window.palette import DARK, LIGHT, PALETTES, contrast
from workbench.window.theme import Theme, ThemeMode, qt_palette
from workbench.window.widgets.glyphs import GLYPHS, glyph_svg
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.stylesheet import stylesheet
from workbench.window.widgets.surroundings import (
    Density,
    font_of,
    motion_is_reduced,
    palette_of,
    row_height,
    scale_of,
    set_density,
    set_motion_reduced,
    set_role,
)

Put = Callable[[QWidget], QWidget]


def test_a_forced_appearance_is_kept_and_announced(theme: Theme, qtbot: QtBot) -> None:
    with qtbot.waitSignal(theme.changed) as change:
        theme.set_mode(ThemeMode.DARK)

    assert change.args == [DARK]
    assert theme.palette is DARK
    assert QApplication.palette().color(QPalette.ColorRole.Window).name().upper() == DARK.page


def test_setting_the_same_appearance_again_announces_nothing(theme: Theme, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(theme.changed):
        theme.set_mode(ThemeMode.LIGHT)


def test_the_desktops_choice_is_followed_while_the_window_runs(theme: Theme, qtbot: QtBot) -> None:
    theme.set_mode(ThemeMode.SYSTEM)

    with qtbot.waitSignal(theme.changed):
        QApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert theme.palette is DARK

    with qtbot.waitSignal(theme.changed):
        QApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Light)
    assert theme.palette is LIGHT


def test_a_forced_appearance_does_not_follow_the_desktop(theme: Theme) -> None:
    theme.set_mode(ThemeMode.LIGHT)

    QApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)

    assert theme.palette is LIGHT


def test_a_widget_knows_the_palette_it_stands_on_as_it_changes(put: Put, theme: Theme) -> None:
    ground = surface("panel")
    inner = QLineEdit(ground)
    put(ground)

    assert palette_of(inner) is LIGHT
    theme.set_mode(ThemeMode.DARK)
    assert palette_of(inner) is DARK


def test_a_panel_is_painted_in_the_palette_in_force(put: Put, theme: Theme) -> None:
    ground = surface("panel")
    ground.resize(60, 40)
    put(ground)

    assert near(ground.grab().toImage().pixelColor(30, 20), LIGHT.panel, 1)
    theme.set_mode(ThemeMode.DARK)
    assert near(ground.grab().toImage().pixelColor(30, 20), DARK.panel, 1)


@pytest.mark.parametrize("palette", PALETTES, ids=lambda palette: palette.name)
def test_every_palette_can_be_told_from_qts_palette(
    put: Put, theme: Theme, palette: object
) -> None:
    del theme
    widget = put(QWidget())
    wanted = next(one for one in PALETTES if one is palette)

    widget.setPalette(qt_palette(wanted))

    assert palette_of(widget) is wanted


def test_text_grows_with_the_readers_scale_and_stays_in_bounds(put: Put, theme: Theme) -> None:
    title, body = label("Stern bearing play", "title"), label("Stern bearing play")
    put(title)
    put(body)
    ordinary = QFontInfo(body.font()).pixelSize(), QFontInfo(title.font()).pixelSize()

    theme.set_text_scale(2.0)

    assert (QFontInfo(body.font()).pixelSize(), QFontInfo(title.font()).pixelSize()) == (
        2 * ordinary[0],
        2 * ordinary[1],
    )
    assert ordinary == (13, 22)
    theme.set_text_scale(9.0)
    assert theme.scale == pytest.approx(2.5, abs=0.05)
    theme.set_text_scale(0.1)
    assert theme.scale == pytest.approx(0.8, abs=0.05)


def test_rows_are_higher_for_cold_hands_and_for_larger_text(put: Put, theme: Theme) -> None:
    ground = QWidget()
    inner = QWidget(ground)
    put(ground)

    assert row_height(inner) == 28
    set_density(ground, Density.COLD_HANDS)
    assert row_height(inner) == 36
    theme.set_text_scale(1.5)
    assert row_height(inner) == round(36 * theme.scale)
    assert scale_of(inner) == theme.scale == pytest.approx(1.5, abs=0.05)


def test_buttons_fields_and_rows_grow_for_cold_hands(put: Put) -> None:
    ground = surface("panel")
    button, field, rows = QPushButton("Save", ground), QLineEdit(ground), QListWidget(ground)
    rows.addItem("Keel bolts")
    put(ground)
    before = button.sizeHint().height(), field.sizeHint().height(), rows.sizeHintForRow(0)

    set_density(ground, Density.COLD_HANDS)

    after = button.sizeHint().height(), field.sizeHint().height(), rows.sizeHintForRow(0)
    assert before == (28, 28, 28)
    assert after == (36, 36, 36)


def test_motion_is_off_where_an_ancestor_says_so(put: Put) -> None:
    ground = QWidget()
    inner = QWidget(ground)
    put(ground)

    set_motion_reduced(ground, reduced=True)
    assert motion_is_reduced(inner)
    set_motion_reduced(ground, reduced=False)
    assert not motion_is_reduced(inner)


def test_a_role_changes_the_size_of_a_label(put: Put) -> None:
    made = QLabel("Old Barnaby")
    put(made)
    before = made.sizeHint().width()

    set_role(made, "title")

    assert made.sizeHint().width() > 1.4 * before


@pytest.mark.parametrize("kind", [QPushButton, QLineEdit])
def test_the_focus_can_be_seen(put: Put, kind: type[QWidget]) -> None:
    ground = surface("panel")
    first, second = kind(ground), kind(ground)
    first.resize(90, 30)
    second.setGeometry(0, 40, 90, 30)
    ground.resize(120, 80)
    put(ground)

    second.setFocus(Qt.FocusReason.TabFocusReason)
    assert not holds(first.grab().toImage(), LIGHT.accent, 2)
    assert holds(second.grab().toImage(), LIGHT.accent, 2)


def test_what_stands_in_an_empty_field_can_be_read(put: Put, theme: Theme) -> None:
    field = QLineEdit()
    field.setPlaceholderText("Name of the boat")
    put(field)

    for mode, palette in ((ThemeMode.LIGHT, LIGHT), (ThemeMode.DARK, DARK)):
        theme.set_mode(mode)
        written = field.palette().color(QPalette.ColorRole.PlaceholderText)
        assert written.alpha() == 255
        assert contrast(written.name(), palette.field) >= 4.5


def test_figures_are_of_equal_width(theme: Theme) -> None:
    font = QApplication.font()
    assert font.isFeatureSet(fonts.TABULAR_FIGURES)
    assert font.featureValue(fonts.TABULAR_FIGURES) == 1
    assert theme.scale >= 1.0


def test_sizes_by_role_are_those_of_the_notebook() -> None:
    assert [fonts.pixels(role) for role in fonts.TypeRole] == [11, 13, 16, 22]
    assert [fonts.pixels(role, 2.0) for role in fonts.TypeRole] == [22, 26, 32, 44]


def test_a_larger_system_font_enlarges_and_a_smaller_one_does_not(theme: Theme) -> None:
    del theme
    large, small = QFont(), QFont()
    large.setPixelSize(27)
    small.setPixelSize(10)

    assert fonts.system_scale(large) == pytest.approx(2.0, abs=0.05)
    assert fonts.system_scale(small) == 1.0


def test_role_fonts_keep_scale_and_figures(put: Put, theme: Theme) -> None:
    widget = put(QWidget())
    theme.set_text_scale(2.0)

    heading = font_of(widget, fonts.TypeRole.HEADING, strong=True)

    assert heading.pixelSize() == 32
    assert heading.weight() == QFont.Weight.DemiBold
    assert heading.isFeatureSet(fonts.TABULAR_FIGURES)


def test_the_style_sheet_fills_every_place_it_names() -> None:
    glyphs = {name: f"{name}.svg" for name in GLYPHS}

    for palette in PALETTES:
        assert "$" not in stylesheet(palette, 1.25, glyphs)


def test_the_small_pictures_are_drawn_in_the_palettes_ink() -> None:
    assert LIGHT.quiet in glyph_svg("chevron_down", LIGHT)
    assert DARK.on_accent in glyph_svg("check", DARK)
