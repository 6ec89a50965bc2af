"""A boat as a small line sketch: her rig, keel and rudder as they differ, and nothing more.

The sketch lies in a field of 100 x 84 units, bow to the left, waterline at about 60.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.domain.record import dataclass
from workbench.window.palette import Palette
from workbench.window.texts import marked, tr
from workbench.window.widgets.surroundings import palette_of, qcolor, scale_of

FIELD = (100.0, 84.0)

RIGS = ("sloop", "cutter", "ketch", "yawl")
WORDS = (
    *(marked("sloop"), marked("cutter"), marked("ketch"), marked("yawl")),
    *(marked("fin keel"), marked("long keel"), marked("wing keel"), marked("twin keel")),
    marked("centreboard keel"),
    *(marked("transom rudder"), marked("skeg rudder"), marked("spade rudder")),
    marked("keel rudder"),
)
"""Every rig, keel and rudder as it is said."""

KEELS = ("fin", "long", "wing", "twin", "centreboard")
RUDDERS = ("transom", "skeg", "spade", "keel")

_Points = tuple[tuple[float, float], ...]

_KEELS: dict[str, tuple[_Points, ...]] = {
    "fin": (((43, 65), (60, 65), (57, 80), (46, 80)),),
    "long": (((22, 62), (31, 74), (40, 79), (79, 79), (84, 61)),),
    "wing": (((45, 65), (59, 65), (57, 76), (47, 76)), ((40, 76), (65, 76), (62, 79), (43, 79))),
    "twin": (((47, 65), (60, 65), (58, 78), (50, 78)), ((36, 65), (49, 65), (46, 78), (38, 78))),
    "centreboard": (
        ((42, 65), (61, 65), (59, 69), (44, 69)),
        ((47, 69), (53, 69), (65, 83), (60, 83)),
    ),
}
_RUDDERS: dict[str, tuple[_Points, ...]] = {
    "transom": (((91, 53), (96, 52), (97, 74), (90, 74)),),
    "skeg": (((71, 63), (82, 61), (82, 73)), ((82, 61), (88, 59), (88, 75), (82, 75))),
    "spade": (((80, 62), (88, 60), (87, 76), (81, 75)),),
    "keel": (((84, 61), (90, 57), (87, 79), (79, 79)),),
}
_MAINMAST = (41.0, 2.0)
_MIZZEN: dict[str, tuple[float, float, float]] = {
    "ketch": (74.0, 16.0, 92.0),
    "yawl": (89.0, 28.0, 103.0),
}
"""Where the mizzen stands, how high it reaches, and where its boom ends."""


@dataclass(frozen=True, slots=True)
class BoatSketch:
    """What a sketch shows of a boat: words of `RIGS`, `KEELS` and `RUDDERS`.

    A word that is not known is drawn as the first of its kind.
    """

    rig: str = "sloop"
    keel: str = "fin"
    rudder: str = "spade"

    def words(self) -> str:
        """Say the sketch: 'sloop, fin keel, spade rudder'."""
        named = (self.rig, f"{self.keel} keel", f"{self.rudder} rudder")
        return ", ".join(tr(name) for name in named)


def _hull() -> QPainterPath:
    path = QPainterPath(QPointF(3, 49))
    path.quadTo(QPointF(48, 57), QPointF(95, 50))
    path.lineTo(QPointF(90, 59))
    path.cubicTo(QPointF(74, 67), QPointF(40, 68), QPointF(20, 62))
    path.quadTo(QPointF(9, 57), QPointF(3, 49))
    path.closeSubpath()
    return path


_HULL = _hull()


def _polygon(points: _Points) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])


def _paint_rig(painter: QPainter, rig: str) -> None:
    mast, top = _MAINMAST
    lines = [
        ((mast, top), (mast, 53.5)),
        ((mast, top + 2), (4, 48.5)),
        ((mast, top + 1), (94, 50)),
        ((mast, 46), (72 if rig in _MIZZEN else 80, 44)),
    ]
    if rig == "cutter":
        lines.append(((mast, 16), (15, 50.5)))
    if rig in _MIZZEN:
        place, height, boom = _MIZZEN[rig]
        lines += [((place, height), (place, 52.5)), ((place, 46), (boom, 44.5))]
        lines[3] = ((mast, 46), (place - 4, 44.5))
    if rig == "yawl":
        lines[2] = ((mast, top + 1), (86, 51.5))
    for start, end in lines:
        painter.drawLine(QPointF(*start), QPointF(*end))


def paint_boat(painter: QPainter, rect: QRectF, sketch: BoatSketch, palette: Palette) -> None:
    """Paint the sketch as large as fits, in the middle of a rectangle."""
    unit = min(rect.width() / FIELD[0], rect.height() / FIELD[1])
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(
        rect.center().x() - FIELD[0] * unit / 2, rect.center().y() - FIELD[1] * unit / 2
    )
    painter.scale(unit, unit)
    pen = QPen(qcolor(palette.quiet), max(1.1, 1.5 * unit))
    pen.setCosmetic(True)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(qcolor(palette.hull))
    for part in _KEELS.get(sketch.keel, _KEELS["fin"]):
        painter.drawPolygon(_polygon(part))
    for part in _RUDDERS.get(sketch.rudder, _RUDDERS["spade"]):
        painter.drawPolygon(_polygon(part))
    painter.drawPath(_HULL)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    _paint_rig(painter, sketch.rig)
    painter.restore()


class BoatSilhouette(QWidget):
    """The sketch of one boat, read out as her rig, keel and rudder."""

    def __init__(
        self, sketch: BoatSketch | None = None, *, height: int = 46, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._height = height
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.set_sketch(sketch or BoatSketch())

    def set_sketch(self, sketch: BoatSketch) -> None:
        """Draw another boat."""
        self._sketch = sketch
        self.setAccessibleName(sketch.words())
        self.setToolTip(sketch.words())
        self.update()

    def sizeHint(self) -> QSize:
        """The field's proportions at the height asked for, grown with the text."""
        height = self._height * scale_of(self)
        return QSize(round(height * FIELD[0] / FIELD[1]), round(height))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the sketch."""
        with QPainter(self) as painter:
            paint_boat(painter, QRectF(self.rect()), self._sketch, palette_of(self))
