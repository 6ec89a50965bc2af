"""The style sheet of the window for one palette and one text scale, as text.

Roles are dynamic properties: a QLabel's `role` is 'title', 'heading', 'strong', 'small', 'quiet',
'problem', 'figure' or 'link'; a QPushButton's is 'primary', 'quiet', 'link', 'nav' or 'segment'
(none is the ordinary button); a QFrame's `surface` is 'page', 'panel', 'card', 'foot' or 'nav'.
Inside a widget whose `density` is 'cold', everything to touch is 36 high instead of 28.
"""

from __future__ import annotations

from collections.abc import Mapping
from string import Template

from workbench.window.fonts import TypeRole, pixels
from workbench.window.palette import Palette
from workbench.window.widgets.surroundings import ROW_COLD_HANDS, ROW_POINTER

_TEXT = """
QLabel[role="title"] { font-size: ${title}px; font-weight: 600; }
QLabel[role="heading"] { font-size: ${heading}px; font-weight: 600; }
QLabel[role="strong"] { font-weight: 600; }
QLabel[role="small"] { font-size: ${small}px; color: $quiet; }
QLabel[role="quiet"] { color: $quiet; }
QLabel[role="problem"] { font-size: ${small}px; color: $due; font-weight: 600; }
QLabel[role="figure"] { font-size: ${heading}px; font-weight: 600; }
QLabel[role="link"] { color: $accent; }
"""

_SURFACES = """
QMainWindow, QDialog, QFrame[surface="page"] { background: $page; }
QFrame[surface="panel"] { background: $panel; }
QFrame[surface="card"] { background: $panel; border: 1px solid $line; border-radius: 6px; }
QFrame[surface="card"]:hover { border-color: $control_line; }
QFrame[surface="card"][chosen="true"] { border: 1px solid $accent; }
QFrame[surface="card"]:focus { border: 2px solid $accent; }
QFrame[surface="foot"] { background: $panel; border: none; border-top: 1px solid $text; }
QFrame[surface="nav"] { background: $page; border: none; border-bottom: 1px solid $line; }
QFrame[surface="rule"] { background: $line; border: none; max-height: 1px; min-height: 1px; }
QToolTip { background: $tip; color: $tip_text; border: 1px solid $tip_line; padding: 4px 6px; }
QSplitter::handle { background: $line; }
QSplitter::handle:horizontal { width: 1px; }
QSplitter::handle:vertical { height: 1px; }
QSplitter::handle:hover, QSplitter::handle:pressed { background: $accent; }
QStatusBar { background: $page; color: $quiet; border-top: 1px solid $line; }
QStatusBar::item { border: none; }
"""

_BUTTONS = """
QPushButton {
  background: $panel; color: $text; border: 1px solid $control_line; border-radius: 5px;
  padding: 1px 12px; min-height: ${button}px;
}
QPushButton:hover { background: $hover; }
QPushButton:pressed, QPushButton:checked { background: $selection; }
QPushButton:focus { border: 2px solid $accent; padding: 0px 11px; }
QPushButton:disabled { color: $faint; border-color: $line; }
QPushButton::menu-indicator { image: url("$chevron_down"); width: 10px; right: 8px;
  subcontrol-origin: padding; subcontrol-position: center right; }
QPushButton[role="primary"] {
  background: $accent; color: $on_accent; border-color: $accent; font-weight: 600;
}
QPushButton[role="primary"]:hover { background: $accent_strong; border-color: $accent_strong; }
QPushButton[role="primary"]:focus { border: 2px solid $text; }
QPushButton[role="primary"]:disabled {
  background: $line; color: $faint; border-color: $line;
}
QPushButton[role="quiet"] { background: transparent; border-color: transparent; color: $quiet; }
QPushButton[role="quiet"]:hover { background: $hover; color: $text; }
QPushButton[role="quiet"]:focus { border-color: $accent; color: $text; }
QPushButton[role="link"] {
  background: transparent; border: 1px solid transparent; color: $accent; padding: 0px 1px;
  min-height: ${link}px;
}
QPushButton[role="link"]:hover { text-decoration: underline; }
QPushButton[role="link"]:focus { border: 1px solid $accent; text-decoration: underline; }
QPushButton[role="nav"] {
  background: transparent; border: none; border-bottom: 2px solid transparent; border-radius: 0px;
  color: $quiet; padding: 2px 2px 1px 2px; min-height: ${button}px; text-align: center;
}
QPushButton[role="nav"]:hover { color: $text; }
QPushButton[role="nav"]:checked { color: $text; border-bottom: 2px solid $accent; }
QPushButton[role="nav"]:focus {
  color: $text; background: $hover; border-bottom: 2px solid $text; border-radius: 3px;
}
QPushButton[role="nav"]:checked:focus { border-bottom: 2px solid $accent; }
QToolButton {
  background: transparent; border: 1px solid transparent; border-radius: 5px; color: $text;
  padding: 3px;
}
QToolButton:hover { background: $hover; }
QToolButton:checked, QToolButton:pressed { background: $selection; }
QToolButton:focus { border: 2px solid $accent; padding: 2px; }
QToolButton::menu-indicator { image: none; }
QCheckBox, QRadioButton { spacing: 8px; padding: 3px 2px; border: 1px solid transparent;
  border-radius: 4px; }
QCheckBox:focus, QRadioButton:focus { border: 1px solid $accent; }
QCheckBox:disabled, QRadioButton:disabled { color: $faint; }
QCheckBox::indicator, QAbstractItemView::indicator { width: ${tick}px; height: ${tick}px;
  border: 1px solid $control_line; border-radius: 3px; background: $field; }
QCheckBox::indicator:hover, QRadioButton::indicator:hover { border-color: $accent; }
QCheckBox::indicator:checked, QAbstractItemView::indicator:checked { background: $accent;
  border-color: $accent; image: url("$check"); }
QCheckBox::indicator:indeterminate, QAbstractItemView::indicator:indeterminate {
  background: $accent; border-color: $accent; image: url("$dash"); }
QCheckBox::indicator:disabled { background: $page; border-color: $line; }
QRadioButton::indicator { width: ${tick}px; height: ${tick}px; border: 1px solid $control_line;
  border-radius: ${tick_radius}px; background: $field; }
QRadioButton::indicator:checked { border: 1px solid $accent; background: $accent;
  image: url("$dot"); }
"""

_FIELDS = """
QLineEdit, QAbstractSpinBox, QComboBox, QPlainTextEdit, QTextEdit, QDateEdit {
  background: $field; color: $text; border: 1px solid $control_line; border-radius: 5px;
  padding: 1px 7px; min-height: ${button}px;
  selection-background-color: $accent; selection-color: $on_accent;
}
QLineEdit, QPlainTextEdit, QTextEdit { placeholder-text-color: $quiet; }
QPlainTextEdit, QTextEdit { padding: 5px 6px; }
QLineEdit:focus, QAbstractSpinBox:focus, QComboBox:focus, QPlainTextEdit:focus, QTextEdit:focus,
QComboBox:on { border: 2px solid $accent; padding: 0px 6px; }
QPlainTextEdit:focus, QTextEdit:focus { padding: 4px 5px; }
QLineEdit:read-only { background: transparent; border-color: $line; }
QLineEdit:disabled, QAbstractSpinBox:disabled, QComboBox:disabled { color: $faint;
  border-color: $line; background: $page; }
QLineEdit[wrong="true"] { border-color: $due; }
QLineEdit[wrong="true"]:focus { border: 2px solid $due; }
QLineEdit[role="large"] { font-size: ${heading}px; min-height: ${button_large}px; }
QComboBox { padding-right: ${arrow_room}px; combobox-popup: 0; }
QComboBox:focus, QComboBox:on { padding-right: ${arrow_room}px; }
QComboBox::drop-down, QDateEdit::drop-down { border: none; width: ${arrow_room}px;
  subcontrol-origin: border; subcontrol-position: center right; }
QComboBox::down-arrow, QDateEdit::down-arrow { image: url("$chevron_down");
  width: ${arrow}px; height: ${arrow}px; }
QComboBox QAbstractItemView { background: $panel; border: 1px solid $control_line; padding: 3px;
  selection-background-color: $selection; selection-color: $text; outline: 0; }
QComboBox QLineEdit, QComboBox QLineEdit:focus { border: none; background: transparent;
  padding: 0px; min-height: 0px; }
QAbstractSpinBox { padding-right: ${arrow_room}px; max-height: ${button}px; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { border: none; width: ${arrow_room}px;
  background: transparent; }
QAbstractSpinBox::up-button:hover, QAbstractSpinBox::down-button:hover { background: $hover; }
QAbstractSpinBox::up-arrow, QAbstractSpinBox::down-arrow { width: ${arrow_small}px;
  height: ${arrow_small}px; }
QAbstractSpinBox::up-arrow { image: url("$chevron_up"); }
QAbstractSpinBox::down-arrow { image: url("$chevron_down"); }
QSlider:horizontal { min-height: 20px; }
QSlider::groove:horizontal { height: 4px; background: $line; border-radius: 2px; }
QSlider::sub-page:horizontal { background: $accent; border-radius: 2px; }
QSlider::handle:horizontal { width: 14px; height: 14px; margin: -6px 0; border-radius: 8px;
  background: $panel; border: 2px solid $accent; }
QSlider::handle:horizontal:focus { background: $accent; }
QProgressBar { background: $line; border: none; border-radius: 2px; max-height: 4px;
  min-height: 4px; color: transparent; }
QProgressBar::chunk { background: $accent; border-radius: 2px; }
"""

_VIEWS = """
QAbstractItemView { background: $panel; alternate-background-color: $panel; color: $text;
  border: 1px solid transparent; outline: 0; selection-background-color: $selection;
  selection-color: $text; gridline-color: $line; }
QAbstractItemView[ground="page"] { background: $page; }
QTreeView:focus, QTableView:focus, QListView:focus { border: 1px solid $accent; }
QTableView::item { border: none; border-bottom: 1px solid $line; padding: 0px 8px; }
QTreeView::item { height: ${row}px; padding: 0px 4px; border: none; }
QListView::item { height: ${row}px; padding: 0px 8px; border: none; }
QTreeView::item:hover, QListView::item:hover { background: $hover; }
QTreeView::item:selected, QListView::item:selected, QTableView::item:selected {
  background: $selection; color: $text; }
QTreeView::branch { background: transparent; }
QTreeView::branch:selected { background: $selection; }
QTreeView::branch:has-children:closed { image: url("$chevron_right"); }
QTreeView::branch:has-children:open { image: url("$chevron_down"); }
QHeaderView { background: transparent; border: none; }
QHeaderView::section { background: $panel; color: $quiet; border: none;
  border-bottom: 1px solid $text; padding: 3px 8px; font-size: ${small}px; }
QHeaderView::section:hover { color: $text; }
QHeaderView::down-arrow { image: url("$chevron_down"); width: ${arrow}px; height: ${arrow}px; }
QHeaderView::up-arrow { image: url("$chevron_up"); width: ${arrow}px; height: ${arrow}px; }
QTableCornerButton::section { background: $panel; border: none; }
QAbstractScrollArea::corner { background: transparent; border: none; }
QScrollArea { background: transparent; border: none; }
QScrollArea > QWidget > QWidget[surface="clear"] { background: transparent; }
QScrollBar { background: transparent; border: none; }
QScrollBar:vertical { width: 10px; margin: 0px; }
QScrollBar:horizontal { height: 10px; margin: 0px; }
QScrollBar::handle { background: $scroll; border-radius: 3px; }
QScrollBar::handle:vertical { min-height: 32px; margin: 1px 2px; }
QScrollBar::handle:horizontal { min-width: 32px; margin: 2px 1px; }
QScrollBar::handle:hover, QScrollBar::handle:pressed { background: $quiet; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0px; height: 0px; border: none; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
"""

_MENUS = """
QMenuBar { background: $page; color: $text; border-bottom: 1px solid $line; padding: 1px 8px; }
QMenuBar::item { background: transparent; padding: 4px 8px; border-radius: 4px; }
QMenuBar::item:selected { background: $selection; }
QMenu { background: $panel; color: $text; border: 1px solid $control_line; padding: 4px; }
QMenu::item { padding: 4px 28px 4px 22px; border-radius: 4px; min-height: ${menu_row}px; }
QMenu::item:selected { background: $selection; }
QMenu::item:disabled { color: $faint; }
QMenu::separator { height: 1px; background: $line; margin: 4px 8px; }
QMenu::icon { padding-left: 6px; }
QMenu::indicator { width: 12px; height: 12px; left: 6px; }
QMenu::indicator:checked { image: url("$check_ink"); }
QMenu::right-arrow { image: url("$chevron_right"); width: ${arrow}px; height: ${arrow}px;
  right: 8px; }
QTabWidget::pane { border: none; border-top: 1px solid $line; top: -1px; }
QTabBar { qproperty-drawBase: 0; }
QTabBar::tab { background: transparent; color: $quiet; padding: 5px 4px 4px 4px;
  margin-right: 16px; border: none; border-bottom: 2px solid transparent; }
QTabBar::tab:hover { color: $text; }
QTabBar::tab:selected { color: $text; border-bottom: 2px solid $accent; }
QTabBar::tab:focus { background: $hover; color: $text; }
QGroupBox { border: none; margin-top: ${group_top}px; padding: 0px; font-weight: 600; }
QGroupBox::title { subcontrol-origin: margin; subcontrol-position: top left; padding: 0px; }
"""

_COLD_HANDS = """
[density="cold"] QPushButton, [density="cold"] QLineEdit, [density="cold"] QComboBox,
[density="cold"] QAbstractSpinBox { min-height: ${cold_button}px; }
[density="cold"] QAbstractSpinBox { max-height: ${cold_button}px; }
[density="cold"] QPushButton[role="link"] { min-height: ${cold_button}px; padding: 0px 8px; }
[density="cold"] QTreeView::item, [density="cold"] QListView::item { height: ${cold_row}px; }
[density="cold"] QCheckBox, [density="cold"] QRadioButton { padding: 7px 2px; }
"""

_ALL = Template(_TEXT + _SURFACES + _BUTTONS + _FIELDS + _VIEWS + _MENUS + _COLD_HANDS)


def _sizes(scale: float) -> dict[str, int]:
    """Lengths of the style sheet [device-independent pixels] by name."""
    row, cold_row = round(ROW_POINTER * scale), round(ROW_COLD_HANDS * scale)
    tick = round(14 * scale)
    return {
        "small": pixels(TypeRole.SMALL, scale),
        "heading": pixels(TypeRole.HEADING, scale),
        "title": pixels(TypeRole.TITLE, scale),
        "row": row,
        "cold_row": cold_row,
        "button": row - 4,
        "button_large": row + 4,
        "cold_button": cold_row - 4,
        "link": round(18 * scale),
        "menu_row": round(18 * scale),
        "arrow": round(10 * scale),
        "arrow_small": round(8 * scale),
        "arrow_room": round(22 * scale),
        "tick": tick,
        "tick_radius": tick // 2 + 1,
        "group_top": round(22 * scale),
    }


def _colours(palette: Palette) -> dict[str, str]:
    """Colours of the style sheet by name; those that are mixed from the palette's own included."""
    own = {name: str(getattr(palette, name)) for name in palette.__slots__ if name != "dark"}
    return own | {
        "faint": palette.tint(palette.quiet, 0.62),
        "accent_strong": palette.tint(palette.accent, 0.86)
        if palette.dark
        else palette.tint(palette.accent, 0.9),
        "scroll": palette.tint(palette.quiet, 0.45),
        "tip": palette.selection if palette.dark else palette.text,
        "tip_text": palette.text if palette.dark else palette.page,
        "tip_line": palette.control_line if palette.dark else palette.text,
    }


def stylesheet(palette: Palette, scale: float, glyphs: Mapping[str, str]) -> str:
    """Return the style sheet of the window.

    Parameters
    ----------
    scale
        Text scale; 1.0 writes body text 13 pixels high.
    glyphs
        Address of each small picture by its name in `glyphs.GLYPHS`.
    """
    return _ALL.substitute(_colours(palette) | _sizes(scale) | dict(glyphs))
