"""A help page as a document: set in the colours of a palette, with the drawings of the catalogue.

The same page is shown on the screen, printed and kept as a PDF; nothing but those drawings is ever
loaded into it.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QByteArray, QMarginsF, QRectF, Qt, QUrl
from PySide6.QtGui import (
    QImage,
    QPagedPaintDevice,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QTextCharFormat,
    QTextCursor,
    QTextDocument,
    QTextFormat,
)
from PySide6.QtSvg import QSvgRenderer

from workbench.paths import ResourceError, resource
from workbench.window.fonts import TypeRole, pixels
from workbench.window.help_topics import DRAWING, Topic
from workbench.window.palette import LIGHT, Palette
from workbench.window.widgets.drawing_view import AS_WRITTEN, PROPORTION, recolour

DRAWING_WIDTH = 380
_PIXELS = QTextFormat.Property.FontPixelSize
_POINTS = QTextFormat.Property.FontPointSize


HEADINGS = {1: TypeRole.TITLE, 2: TypeRole.HEADING, 3: TypeRole.BODY}
ON_PAPER = 0.75
"""Points of paper for a pixel of the screen: body text of 9.75 points."""


def style(palette: Palette, sizes: dict[TypeRole, str]) -> str:
    """How a page is set, in the colours of a palette."""
    body, heading, title = (
        sizes[role] for role in (TypeRole.BODY, TypeRole.HEADING, TypeRole.TITLE)
    )
    strong = f"font-weight: 600; color: {palette.text}"
    return f"""
    body, p, li, td, th {{ color: {palette.text}; font-size: {body}; }}
    p {{ margin: 6px 0; }} li {{ margin: 3px 0; }}
    h1 {{ font-size: {title}; {strong}; margin: 0 0 8px 0; }}
    h2 {{ font-size: {heading}; {strong}; margin: 18px 0 4px 0; }}
    h3 {{ font-size: {body}; {strong}; margin: 12px 0 2px 0; }}
    th {{ color: {palette.quiet}; font-weight: 400; border-bottom: 1px solid {palette.text}; }}
    td {{ border-bottom: 1px solid {palette.line}; }}
    td.caution {{ background-color: {palette.caution}; border: 1px solid {palette.caution_line}; }}
    .quiet {{ color: {palette.quiet}; }} a {{ color: {palette.accent}; }}
    code {{ background-color: {palette.hover}; }}
    """


def drawing_image(
    name: str, palette: Palette, words: Mapping[str, str] = AS_WRITTEN, ratio: float = 2.0
) -> QImage:
    """A drawing of the catalogue as pixels, in the colours of a palette; null where missing."""
    try:
        svg = resource(f"drawings/{name}.svg").read_text(encoding="utf-8")
    except ResourceError:
        return QImage()
    width, height = DRAWING_WIDTH * ratio, DRAWING_WIDTH * PROPORTION * ratio
    image = QImage(round(width), round(height), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.transparent)
    renderer = QSvgRenderer(QByteArray(recolour(svg, palette, words)))
    with QPainter(image) as painter:
        renderer.render(painter, QRectF(0, 0, width, height))
    image.setDevicePixelRatio(ratio)
    return image


class HelpDocument(QTextDocument):
    """A document that finds the drawings of its page, and says their labels in other words."""

    def __init__(
        self,
        palette: Palette,
        sizes: dict[TypeRole, str],
        words: Mapping[str, str] = AS_WRITTEN,
    ) -> None:
        super().__init__()
        self._palette = palette
        self._words = words
        self.setDefaultStyleSheet(style(palette, sizes))
        self.setDocumentMargin(0)

    def loadResource(self, kind: int, name: QUrl | str) -> object:
        """Answer a drawing in the colours of the page; nothing else is ever loaded."""
        text = name.toString() if isinstance(name, QUrl) else name
        if text.startswith(DRAWING):
            return drawing_image(text.removeprefix(DRAWING), self._palette, self._words)
        return None


def document_of(
    topic: Topic, palette: Palette, scale: float, words: Mapping[str, str] = AS_WRITTEN
) -> HelpDocument:
    """A page for the screen, in the colours of a palette, its drawings in the words handed in."""
    sizes = {role: pixels(role, scale) for role in TypeRole}
    made = HelpDocument(palette, {role: f"{size}px" for role, size in sizes.items()}, words)
    made.setHtml(f"<html><body>{topic.body}</body></html>")
    held = {level: (_PIXELS, sizes[role]) for level, role in HEADINGS.items()}
    _hold_headings(made, held)
    return made


def _paper_document(topic: Topic, words: Mapping[str, str]) -> HelpDocument:
    """A page for paper, in ink."""
    sizes = {role: pixels(role) * ON_PAPER for role in TypeRole}
    made = HelpDocument(LIGHT, {role: f"{size}pt" for role, size in sizes.items()}, words)
    made.setHtml(f"<html><body>{topic.body}</body></html>")
    held = {level: (_POINTS, sizes[role]) for level, role in HEADINGS.items()}
    _hold_headings(made, held)
    return made


def _hold_headings(
    document: QTextDocument, sizes: Mapping[int, tuple[QTextFormat.Property, float]]
) -> None:
    """Set headings at their own size; Qt would enlarge them by steps and mind no style."""
    block = document.begin()
    while block.isValid():
        level = block.blockFormat().headingLevel()
        if level in sizes:
            cursor = QTextCursor(block)
            cursor.select(QTextCursor.SelectionType.BlockUnderCursor)
            held = QTextCharFormat(cursor.charFormat())
            held.clearProperty(QTextFormat.Property.FontSizeAdjustment)
            name, size = sizes[level]
            held.setProperty(name, int(size) if name is _PIXELS else size)
            cursor.setCharFormat(held)
        block = block.next()


def print_on(
    device: QPagedPaintDevice, topic: Topic, words: Mapping[str, str] = AS_WRITTEN
) -> None:
    """Set a page in ink on paper, its drawings in the words handed in."""
    _paper_document(topic, words).print_(device)


def write_pdf(topic: Topic, file: Path, words: Mapping[str, str] = AS_WRITTEN) -> bool:
    """Keep a page as a PDF; False where the file cannot be written."""
    try:
        file.touch()
    except OSError:
        return False
    writer = QPdfWriter(str(file))
    writer.setTitle(topic.title)
    writer.setCreator("")
    margins = QMarginsF(0, 0, 0, 0)  # the document brings its own
    layout = QPageLayout(
        QPageSize(QPageSize.PageSizeId.A4),
        QPageLayout.Orientation.Portrait,
        margins,
        QPageLayout.Unit.Millimeter,
    )
    writer.setPageLayout(layout)
    print_on(writer, topic, words)
    del writer  # the file is whole once the writer is gone
    return file.is_file() and file.stat().st_size > 0
