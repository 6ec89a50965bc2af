"""A catalogue drawing shown in the colours of the window, with its description read out.

A drawing is an SVG with viewBox 0 0 360 200. `currentColor` becomes ink; in a group marked
`data-role="accent"` every other colour becomes that of what is pointed at, in one marked
`data-role="hull"` that of the hull. Labels, title and description are said in the language of the
words handed in, where these have them. Nothing else is changed, and the proportions are kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from PySide6.QtCore import QByteArray, QEvent, QRectF, QSize, Qt, QXmlStreamReader, QXmlStreamWriter
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.window.palette import Palette
from workbench.window.widgets.surroundings import palette_of, scale_of

PROPORTION = 200 / 360
"""Height over width of every drawing."""

AS_WRITTEN: Mapping[str, str] = MappingProxyType({})
"""No translations: the drawing speaks as it was written."""

_WORDED = ("text", "title", "desc")
_PAINTED = ("fill", "stroke")
_Token = QXmlStreamReader.TokenType


def _role_colours(palette: Palette) -> dict[str, str]:
    return {"accent": palette.due, "hull": palette.hull}


def _recoloured(name: str, value: str, role: str, palette: Palette) -> str:
    """Value of one attribute in the palette's colours."""
    if value == "currentColor":
        return palette.text
    if name in _PAINTED and role and value != "none":
        return _role_colours(palette)[role]
    return value


def _worded(text: str, words: Mapping[str, str]) -> str:
    """A text in another language; as it was written where there is no translation."""
    return words.get(" ".join(text.split()), text)


def _write_start(
    reader: QXmlStreamReader, writer: QXmlStreamWriter, role: str, palette: Palette
) -> None:
    writer.writeStartElement(reader.name())
    if reader.name() == "svg":
        writer.writeAttribute("xmlns", "http://www.w3.org/2000/svg")
    attributes = reader.attributes()
    for place in range(attributes.size()):
        attribute = attributes.at(place)
        name, value = attribute.qualifiedName(), attribute.value()
        writer.writeAttribute(name, _recoloured(name, value, role, palette))
    if reader.name() == "text" and not role and not attributes.hasAttribute("fill"):
        writer.writeAttribute("fill", palette.quiet)


def recolour(svg: str, palette: Palette, words: Mapping[str, str] = AS_WRITTEN) -> bytes:
    """Return a drawing in the colours of a palette.

    Parameters
    ----------
    words
        Translations by the English text, line breaks in it written as spaces.

    Raises
    ------
    ValueError
        Where the text is no well-formed drawing, saying where it breaks.
    """
    reader = QXmlStreamReader(svg)
    out = QByteArray()
    writer = QXmlStreamWriter(out)
    roles, names = [""], [""]
    while not reader.atEnd():
        token = reader.readNext()
        if token == _Token.StartElement:
            own = reader.attributes().value("data-role")
            roles.append(own if own in _role_colours(palette) else roles[-1])
            names.append(reader.name())
            _write_start(reader, writer, roles[-1], palette)
        elif token == _Token.EndElement:
            roles.pop()
            names.pop()
            writer.writeEndElement()
        elif token == _Token.Characters:
            text = reader.text()
            writer.writeCharacters(_worded(text, words) if names[-1] in _WORDED else text)
    if reader.hasError():
        message = f"the drawing breaks off in line {reader.lineNumber()}: {reader.errorString()}"
        raise ValueError(message)
    return bytes(out.data())


def description(svg: str, words: Mapping[str, str] = AS_WRITTEN) -> str:
    """Return the text of the drawing's <desc>; its <title> where it has none."""
    reader = QXmlStreamReader(svg)
    found = {"desc": "", "title": ""}
    while not reader.atEnd():
        if reader.readNext() == _Token.StartElement and reader.name() in found:
            found[reader.name()] = " ".join(reader.readElementText().split())
    return _worded(found["desc"] or found["title"], words)


class DrawingView(QWidget):
    """One drawing, as wide as the place allows.

    Parameters
    ----------
    file
        The SVG file; None shows nothing.
    most_width
        Widest the drawing is drawn [device-independent pixels], growing with the text.
    words
        Translations of what stands in the drawing, by the English text.
    """

    def __init__(
        self,
        file: Path | None = None,
        *,
        most_width: int = 432,
        words: Mapping[str, str] = AS_WRITTEN,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._words = words
        self._svg = ""
        self._file: Path | None = None
        self._painted_for: Palette | None = None
        self._renderer = QSvgRenderer(self)  # goes when the view goes, whoever still holds the view
        self._renderer.setAspectRatioMode(Qt.AspectRatioMode.KeepAspectRatio)
        self._most_width = most_width
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_file(file)

    def set_file(self, file: Path | None) -> None:
        """Show another drawing; None shows nothing and takes no room.

        Raises
        ------
        OSError
            Where the file cannot be read.
        """
        if file is not None and file == self._file:
            return
        self._file = file
        self.set_svg(file.read_text(encoding="utf-8") if file is not None else "")

    def set_svg(self, svg: str) -> None:
        """Show a drawing given as text; '' shows nothing."""
        self._svg = svg
        self._painted_for = None
        words = description(svg, self._words) if svg else ""
        self.setAccessibleName(words)
        self.setToolTip(words)
        self.setVisible(bool(svg))
        self.updateGeometry()
        self.update()

    def _widest(self) -> float:
        return self._most_width * scale_of(self)

    def heightForWidth(self, width: int) -> int:
        """Height that keeps the proportions."""
        return round(min(width, self._widest()) * PROPORTION)

    def sizeHint(self) -> QSize:
        """The drawing at its own size."""
        width = 360 * scale_of(self)
        return QSize(round(width), round(width * PROPORTION))

    def minimumSizeHint(self) -> QSize:
        """The lettering is still readable at this width."""
        return QSize(260, round(260 * PROPORTION))

    def changeEvent(self, event: QEvent) -> None:
        """Draw in the new colours when the appearance changes."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.PaletteChange, QEvent.Type.StyleChange}:
            self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the drawing from the upper left."""
        if not self._svg:
            return
        palette = palette_of(self)
        if palette is not self._painted_for:
            self._renderer.load(QByteArray(recolour(self._svg, palette, self._words)))
            self._painted_for = palette
        width = min(self.width(), self._widest(), self.height() / PROPORTION)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._renderer.render(painter, QRectF(0, 0, width, width * PROPORTION))
