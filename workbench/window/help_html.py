"""Help pages as the simple HTML that Qt's text browser sets: from our own Markdown, and by hand.

Only what the pages use is understood: headings, paragraphs, lists, tables, and within a line bold,
italics, code and links. Every text is escaped first, so what a person wrote in a check of their own
is shown as it stands and never read as markup.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Sequence

_BOLD = re.compile(r"\*\*(.+?)\*\*")
_ITALIC = re.compile(r"(?<![\w*])\*([^*\s][^*]*?)\*(?![\w*])")
_CODE = re.compile(r"`([^`]+)`")
_LINK = re.compile(r"\[([^\]]+)\]\(([^)\s]+)\)")
_HEADING = re.compile(r"^(#{1,3}) (.+)$")
_NUMBERED = re.compile(r"^\d+\. (.+)$")
_BULLET = re.compile(r"^- (.+)$")


def escaped(text: str) -> str:
    """A text that is shown as it stands."""
    return html.escape(text, quote=True)


def inline(text: str) -> str:
    """A line of our Markdown with its bold, italics, code and links."""
    made = escaped(text)
    made = _CODE.sub(r"<code>\1</code>", made)
    made = _BOLD.sub(r"<b>\1</b>", made)
    made = _ITALIC.sub(r"<i>\1</i>", made)
    return _LINK.sub(r'<a href="\2">\1</a>', made)


def heading(text: str, level: int) -> str:
    """A heading; `level` 1 to 3."""
    return f"<h{level}>{text}</h{level}>"


def paragraph(text: str, kind: str = "") -> str:
    """A paragraph of a kind: '' or 'quiet'."""
    return f'<p class="{kind}">{text}</p>' if kind else f"<p>{text}</p>"


def listed(items: Iterable[str], *, numbered: bool = False) -> str:
    """A list."""
    tag = "ol" if numbered else "ul"
    return f"<{tag}>{''.join(f'<li>{one}</li>' for one in items)}</{tag}>"


def table(rows: Sequence[Sequence[str]], heads: Sequence[str] = (), *, first: str = "28%") -> str:
    """A table of cells that are HTML already; `first` is the width of the first column."""
    lines = []
    if heads:
        lines.append("<tr>" + "".join(f'<th align="left">{one}</th>' for one in heads) + "</tr>")
    for row in rows:
        cells = [f'<td valign="top" width="{first}">{row[0]}</td>']
        cells += [f'<td valign="top">{cell}</td>' for cell in row[1:]]
        lines.append(f"<tr>{''.join(cells)}</tr>")
    return f'<table cellspacing="0" cellpadding="5" width="100%">{"".join(lines)}</table>'


def caution(text: str, lead: str) -> str:
    """A caution in its box."""
    cell = f'<td class="caution"><b>{lead}</b> {text}</td>'
    return f'<table cellspacing="0" cellpadding="8" width="100%"><tr>{cell}</tr></table>'


def from_markdown(text: str) -> str:
    """One of our Markdown files as HTML."""
    blocks = re.split(r"\n\s*\n", text.strip())
    return "\n".join(_block(block.split("\n")) for block in blocks)


def _block(lines: list[str]) -> str:
    found = _HEADING.match(lines[0])
    if found is not None:
        rest = lines[1:]
        head = heading(inline(found[2]), len(found[1]))
        return head + (_block(rest) if rest else "")
    if lines[0].startswith("|"):
        return _table(lines)
    if _NUMBERED.match(lines[0]):
        return listed(map(inline, _items(lines, _NUMBERED)), numbered=True)
    if _BULLET.match(lines[0]):
        return listed(map(inline, _items(lines, _BULLET)))
    return _lead_and_list(lines)


def _lead_and_list(lines: list[str]) -> str:
    """A paragraph, and the list that follows it without an empty line."""
    place = next((n for n, line in enumerate(lines) if _BULLET.match(line)), len(lines))
    made = paragraph(inline(" ".join(line.strip() for line in lines[:place])))
    return made + (_block(lines[place:]) if place < len(lines) else "")


def _items(lines: list[str], sign: re.Pattern[str]) -> list[str]:
    items: list[str] = []
    for line in lines:
        begun = sign.match(line)
        if begun is not None:
            items.append(begun[1])
        else:
            items[-1] += f" {line.strip()}"
    return items


def _table(lines: list[str]) -> str:
    rows = [[cell.strip() for cell in line.strip().strip("|").split("|")] for line in lines]
    body = [row for row in rows[1:] if not set("".join(row)) <= set("-: ")]
    return table([[inline(cell) for cell in row] for row in body], [inline(c) for c in rows[0]])


def plain(made: str) -> str:
    """The words of a page without its markup, for searching."""
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", made))).strip()
