"""Catalogue drawings in the window's colours, light and dark, with their description read out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from PySide6.QtWidgets import QWidget

from tests.window.widgets.acting import holds, spoken
from workbench.window.palette import DARK, LIGHT, Palette
from workbench.window.theme import Theme, ThemeMode
from workbench.window.widgets.drawing_view import DrawingView, description, recolour

Put = Callable[[QWidget], QWidget]
DRAWINGS = sorted((Path(__file__).resolve().parents[3] / "resources" / "drawings").glob("*.svg"))
SVG = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 200">
<title>Play</title><desc>Lift the shaft
  and feel for play.</desc>
<g data-role="hull" fill="#EFEBE2" stroke="none"><path d="M0 100 H360 V200 H0 Z"/></g>
<g data-role="accent" fill="#A33A00" stroke="none"><rect x="20" y="20" width="60" height="60"/></g>
<g fill="none" stroke="currentColor" stroke-width="8"><path d="M200 20 V180"/></g>
<text x="250" y="40">feel &amp; listen</text></svg>"""


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda palette: palette.name)
def test_each_colour_becomes_that_of_its_role(palette: Palette) -> None:
    root = ET.fromstring(recolour(SVG, palette))  # noqa: S314 - written two lines above
    groups = root.findall("{http://www.w3.org/2000/svg}g")
    text = root.find("{http://www.w3.org/2000/svg}text")

    assert [group.get("fill") for group in groups] == [palette.hull, palette.due, "none"]
    assert [group.get("stroke") for group in groups] == ["none", "none", palette.text]
    assert root.get("viewBox") == "0 0 360 200"
    assert text is not None
    assert (text.text, text.get("fill")) == ("feel & listen", palette.quiet)


def test_labels_title_and_description_are_said_in_the_words_handed_in() -> None:
    words = {
        "Play": "Spiel",
        "Lift the shaft and feel for play.": "Die Welle heben.",
        "feel & listen": "fühlen & <hören>",
    }
    root = ET.fromstring(recolour(SVG, LIGHT, words))  # noqa: S314 - written above

    assert [
        root.findtext(f"{{http://www.w3.org/2000/svg}}{name}") for name in ("title", "desc", "text")
    ] == list(words.values())
    assert description(SVG, words) == "Die Welle heben."
    assert recolour(SVG, LIGHT, {"feel": "fühlen"}) == recolour(SVG, LIGHT)


def test_a_view_reads_its_drawing_out_in_its_words(put: Put) -> None:
    view = DrawingView(words={"Lift the shaft and feel for play.": "Die Welle heben."})
    view.set_svg(SVG)
    put(view)

    assert spoken(view) == "Die Welle heben."


def test_a_broken_drawing_is_refused_with_its_line() -> None:
    with pytest.raises(ValueError, match="line 2"):
        recolour("<svg>\n<g></svg>", LIGHT)


def test_the_description_is_the_drawings_own() -> None:
    assert description(SVG) == "Lift the shaft and feel for play."
    assert description("<svg><title>Play</title></svg>") == "Play"
    assert description("<svg/>") == ""


def test_a_drawing_is_painted_in_the_palette_in_force_and_read_out(put: Put, theme: Theme) -> None:
    view = DrawingView()
    view.set_svg(SVG)
    view.resize(360, 200)
    put(view)

    assert spoken(view) == "Lift the shaft and feel for play."
    for mode, palette in ((ThemeMode.LIGHT, LIGHT), (ThemeMode.DARK, DARK)):
        theme.set_mode(mode)
        image = view.grab().toImage()
        assert image.pixelColor(50, 50).name().upper() == palette.due
        assert image.pixelColor(100, 150).name().upper() == palette.hull
        assert image.pixelColor(200, 60).name().upper() == palette.text


def test_a_drawing_keeps_its_proportions(put: Put) -> None:
    view = DrawingView(most_width=720)
    view.set_svg(SVG)
    put(view)

    assert view.heightForWidth(360) == 200
    assert view.heightForWidth(2000) == 400
    view.resize(720, 200)
    image = view.grab().toImage()
    assert not holds(image.copy(370, 0, 300, 200), LIGHT.hull, 0)


def test_no_drawing_takes_no_room(put: Put, tmp_path: Path) -> None:
    view = DrawingView()
    put(view)
    file = tmp_path / "play.svg"
    file.write_text(SVG, encoding="utf-8")

    view.set_file(file)
    assert view.isVisible()
    view.set_file(None)
    assert not view.isVisible()
    assert spoken(view) == ""


@pytest.mark.parametrize("file", DRAWINGS, ids=lambda file: file.stem)
def test_every_drawing_of_the_catalogue_leaves_no_fixed_colour_behind(file: Path) -> None:
    svg = file.read_text(encoding="utf-8")

    for palette in (LIGHT, DARK):
        written = recolour(svg, palette).decode("utf-8")
        own = {palette.text, palette.quiet, palette.due, palette.hull}
        colours = {
            value
            for element in ET.fromstring(written).iter()  # noqa: S314 - the project's own file
            for name, value in element.attrib.items()
            if name in {"fill", "stroke"} and value != "none"
        }
        assert colours <= own
    assert description(svg)
