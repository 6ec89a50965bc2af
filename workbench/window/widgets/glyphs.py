"""The few small pictures a style sheet needs (chevrons, a tick), written as SVG for one palette.

Qt's style sheets take pictures only from files, so the theme keeps them in a folder of its own that
disappears with the program. A file's name carries the palette's name, because Qt remembers
pictures by name.
"""

from __future__ import annotations

from pathlib import Path

from workbench.window.palette import Palette

_STROKE = (
    '<path d="{path}" fill="none" stroke="{colour}" stroke-width="{width}" '
    'stroke-linecap="round" stroke-linejoin="round"/>'
)
_FRAME = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="12" height="12" viewBox="0 0 12 12">{}</svg>'
)

GLYPHS = {
    "chevron_down": ("M2.5 4.2 L6 7.8 L9.5 4.2", "quiet", 1.5),
    "chevron_up": ("M2.5 7.8 L6 4.2 L9.5 7.8", "quiet", 1.5),
    "chevron_right": ("M4.2 2.5 L7.8 6 L4.2 9.5", "quiet", 1.5),
    "check": ("M2.2 6.4 L4.9 9 L9.8 3.2", "on_accent", 1.9),
    "check_ink": ("M2.2 6.4 L4.9 9 L9.8 3.2", "accent", 1.9),
    "dash": ("M2.6 6 L9.4 6", "on_accent", 1.9),
    "dot": ("M6 6 L6.01 6", "on_accent", 5.0),
}
"""Name -> path in a field of 12 x 12, role of its colour, width of the stroke."""


def glyph_svg(name: str, palette: Palette) -> str:
    """Return the SVG text of one picture."""
    path, role, width = GLYPHS[name]
    return _FRAME.format(_STROKE.format(path=path, colour=getattr(palette, role), width=width))


def write_glyphs(folder: Path, palette: Palette) -> dict[str, str]:
    """Write every picture for a palette into a folder and return their addresses by name."""
    addresses: dict[str, str] = {}
    for name in GLYPHS:
        stem = palette.name.replace(", ", "-").replace(" ", "-")
        target = folder / f"{name}-{stem}.svg"
        if not target.exists():
            target.write_text(glyph_svg(name, palette), encoding="utf-8")
        addresses[name] = target.as_posix()
    return addresses
