"""The words of a saved page, without its marks: nothing is drawn, run or fetched.

text_of_file(data, "advert.html") -> text
"""

from __future__ import annotations

from html.parser import HTMLParser

LARGEST_FILE = 8 * 2**20
_SILENT = frozenset(("script", "style", "noscript", "template", "svg", "title", "head"))
_BREAKING = frozenset(
    (
        *("p", "br", "div", "li", "ul", "ol", "tr", "table", "dt", "dd", "h1", "h2", "h3", "h4"),
        *("h5", "h6", "section", "article", "header", "footer", "main", "hr", "pre", "blockquote"),
    )
)
_CELLS = frozenset(("td", "th"))


class _Words(HTMLParser):
    """Collects what a reader of the page would see."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self._silent: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Leave out what is not shown; break the line where the page does."""
        del attrs
        if tag in _SILENT:
            self._silent.append(tag)
        elif tag == "body":
            self._silent.clear()
        elif tag in _BREAKING:
            self.parts.append("\n")
        elif tag in _CELLS:
            self.parts.append("\t")

    def handle_endtag(self, tag: str) -> None:
        """Go on after what was left out."""
        if tag in self._silent:
            while self._silent and self._silent.pop() != tag:
                pass
        elif tag in _BREAKING:
            self.parts.append("\n")

    def handle_data(self, data: str) -> None:
        """Keep the words."""
        if not self._silent:
            self.parts.append(" ".join(data.split()) if data.strip() else " ")
            if data[-1:].isspace() and data.strip():
                self.parts.append(" ")


def text_of_html(page: str) -> str:
    """The words of a page, a line for each of its lines."""
    reader = _Words()
    reader.feed(page)
    reader.close()
    lines = [
        "\t".join(" ".join(cell.split()) for cell in line.split("\t")).strip()
        for line in "".join(reader.parts).split("\n")
    ]
    return "\n".join(line for line in lines if line)


def text_of_file(data: bytes, name: str) -> str:
    """The text of a file: as it is, or without the marks where it is a page."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    start = text[:2_000].lstrip().lower()
    is_page = name.lower().endswith((".html", ".htm")) or start.startswith(
        ("<!doctype html", "<html")
    )
    return text_of_html(text) if is_page else text
