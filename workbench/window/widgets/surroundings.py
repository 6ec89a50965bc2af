"""What a widget learns from the place where it stands: colours, scale, row height, motion.

Nothing here is global. The theme writes the page colour into a role of Qt's palette that no style
touches, so any widget can tell which palette it stands on, and two windows may differ. Density and
motion are dynamic properties of an ancestor.
"""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QAbstractItemView, QStyle, QWidget

from workbench.window import fonts
from workbench.window.fonts import TypeRole
from workbench.window.palette import Palette, palette_by_page

PAGE_MARKER = QPalette.ColorRole.Shadow
"""The role of Qt's palette that carries the page colour; style sheets never set it."""

SPACE_TIGHT = 4
SPACE_RELATED = 8
SPACE_GROUPS = 16
SPACE_PAGE = 24

ROW_POINTER = 28
ROW_COLD_HANDS = 36
RADIUS = 5.0


class Density(StrEnum):
    """How large the things to touch are: for a pointer, or for cold hands at the boat."""

    POINTER = "pointer"
    COLD_HANDS = "cold"


_BY_PAGE: dict[int, Palette] = {}


def palette_of(widget: QWidget) -> Palette:
    """Return the palette a widget stands on."""
    colour = widget.palette().color(PAGE_MARKER)
    key = colour.rgb()
    found = _BY_PAGE.get(key)
    if found is None:
        found = _BY_PAGE[key] = palette_by_page(colour.name())
    return found


def qcolor(colour: str, opacity: float = 1.0) -> QColor:
    """Return a colour '#RRGGBB' for painting, with an opacity of 0 to 1."""
    made = QColor(colour)
    made.setAlphaF(opacity)
    return made


def _inherited(widget: QWidget, name: str) -> object:
    place: QWidget | None = widget
    while place is not None:
        value: object = place.property(name)
        if value is not None:
            return value
        place = place.parentWidget()
    return None


def set_density(widget: QWidget, density: Density) -> None:
    """Make everything inside a widget as large as `density` says."""
    widget.setProperty("density", str(density))
    for part in (widget, *widget.findChildren(QWidget)):
        part.style().unpolish(part)
        part.style().polish(part)
        part.updateGeometry()
        if isinstance(part, QAbstractItemView):
            forget_sizes = getattr(part.itemDelegate(), "forget_sizes", None)
            if forget_sizes is not None:
                forget_sizes()
            part.scheduleDelayedItemsLayout()
    widget.update()


def density_of(widget: QWidget) -> Density:
    """Return the density that the nearest ancestor asks for."""
    found = _inherited(widget, "density")
    return Density.COLD_HANDS if found == str(Density.COLD_HANDS) else Density.POINTER


def scale_of(widget: QWidget) -> float:
    """How much larger than ordinary text is written around a widget."""
    application_font = QFont(widget.window().font())
    return fonts.scale_of(application_font)


def row_height(widget: QWidget) -> int:
    """Height of one row [device-independent pixels] at the widget's density and text scale."""
    base = ROW_COLD_HANDS if density_of(widget) is Density.COLD_HANDS else ROW_POINTER
    return round(base * scale_of(widget))


def font_of(widget: QWidget, role: TypeRole = TypeRole.BODY, *, strong: bool = False) -> QFont:
    """Return the font of a role at the text scale around a widget."""
    return fonts.role_font(widget.window().font(), role, strong=strong)


def show_part(part: QWidget, *, shown: bool) -> None:
    """Show or hide a part of something.

    A part that nothing holds yet would be shown as a window of its own, for a moment, and take the
    keyboard with it; it is shown together with what will hold it.
    """
    if shown and part.parentWidget() is None:
        part.setAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide, on=False)
    else:
        part.setVisible(shown)


def set_motion_reduced(widget: QWidget, *, reduced: bool) -> None:
    """Turn movement inside a widget off or on."""
    widget.setProperty("motion", "reduced" if reduced else "full")


def motion_is_reduced(widget: QWidget) -> bool:
    """Whether nothing should move: asked for here, or by a desktop without animations."""
    asked = _inherited(widget, "motion")
    if asked is not None:
        return asked == "reduced"
    hint = QStyle.StyleHint.SH_Widget_Animation_Duration
    return bool(widget.style().styleHint(hint, None, widget) == 0)


def set_role(widget: QWidget, role: str) -> None:
    """Give a widget its role ('title', 'quiet', 'primary' ...) and draw it accordingly."""
    if widget.property("role") == role:
        return
    widget.setProperty("role", role)
    redress(widget)


def redress(widget: QWidget) -> None:
    """Let the style sheet see a property that changed, where it has looked at the widget already.

    A widget that was never shown is dressed with the rest of its page. Dressing it while the page
    is built would have it dressed again at every step of the building.
    """
    if widget.testAttribute(Qt.WidgetAttribute.WA_WState_Polished):
        widget.style().unpolish(widget)
        widget.style().polish(widget)
        widget.updateGeometry()
