"""The line drawings: small enough a vocabulary for a plain vector writer, and legible everywhere.

The drawings are set in a window, on paper in black and white and on a field form 70 mm wide, so
they keep to shapes that the three of them can draw (element and attribute names: W3C, Scalable
Vector Graphics 2), carry a text alternative (W3C, WCAG 2.2, success criterion 1.1.1) and use
colours that stand out from their ground (success criteria 1.4.3 and 1.4.11).
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

import pytest
from defusedxml import ElementTree

DRAWINGS = Path(__file__).parents[2] / "resources" / "drawings"
FILES = sorted(DRAWINGS.glob("*.svg"))

NAMESPACE = "{http://www.w3.org/2000/svg}"
WIDTH, HEIGHT = 360.0, 200.0
INK, ACCENT, HULL = "currentColor", "#A33A00", "#EFEBE2"
FONT_SIZE = 11.0
WIDTH_PER_CHARACTER_EM = 0.58

PAINT = {
    "stroke",
    "fill",
    "stroke-width",
    "stroke-dasharray",
    "stroke-linecap",
    "stroke-linejoin",
    "data-role",
}
VOCABULARY = {
    "svg": {"viewBox"},
    "title": set(),
    "desc": set(),
    "g": PAINT,
    "path": PAINT | {"d"},
    "line": PAINT | {"x1", "y1", "x2", "y2"},
    "polyline": PAINT | {"points"},
    "polygon": PAINT | {"points"},
    "rect": PAINT | {"x", "y", "width", "height", "rx"},
    "circle": PAINT | {"cx", "cy", "r"},
    "ellipse": PAINT | {"cx", "cy", "rx", "ry"},
    "text": PAINT | {"x", "y", "text-anchor", "font-size", "font-family"},
}
NUMBERS_PER_COMMAND = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Q": 4, "A": 7, "Z": 0}

Point = tuple[float, float]
Box = tuple[float, float, float, float]


class Element(Protocol):
    """What the checks need to know of a parsed element."""

    tag: str
    text: str | None
    attrib: dict[str, str]

    def iter(self, tag: str | None = None) -> "Iterator[Element]": ...

    def __iter__(self) -> "Iterator[Element]": ...


def parsed(text: str) -> Element:
    root: Element = ElementTree.fromstring(text)
    return root


def name_of(element: Element) -> str:
    return element.tag.removeprefix(NAMESPACE)


def painted(
    element: Element, inherited: dict[str, str]
) -> Iterator[tuple[Element, dict[str, str]]]:
    """Give every element with the paint attributes that reach it."""
    here = inherited | {key: value for key, value in element.attrib.items() if key in PAINT}
    yield element, here
    for child in element:
        yield from painted(child, here)


def vocabulary_faults(root: Element) -> list[str]:
    faults = []
    for element in root.iter():
        name = name_of(element)
        if name not in VOCABULARY:
            faults.append(f"element {name}")
            continue
        unknown = set(element.attrib) - VOCABULARY[name]
        faults += [f"attribute {key} on {name}" for key in sorted(unknown)]
    return faults


def colour_faults(root: Element) -> list[str]:
    """Colours outside the three of the house, or the accent and hull without their role."""
    faults = []
    for element, paint in painted(root, {}):
        for key in ("stroke", "fill"):
            colour, role = paint.get(key, "none"), paint.get("data-role")
            wanted = {ACCENT: "accent", HULL: "hull"}
            if colour not in {INK, ACCENT, HULL, "none"}:
                faults.append(f"colour {colour}")
            elif colour in wanted and role != wanted[colour]:
                faults.append(f"{colour} without its role on {name_of(element)}")
    return faults


def text_box(element: Element) -> Box:
    """Left, top, right and bottom of a label, by the usual width of a plain sans-serif."""
    x, y = float(element.attrib["x"]), float(element.attrib["y"])
    width = len(element.text or "") * FONT_SIZE * WIDTH_PER_CHARACTER_EM
    left = {"start": x, "middle": x - width / 2, "end": x - width}[element.attrib["text-anchor"]]
    return left, y - 0.8 * FONT_SIZE, left + width, y + 0.22 * FONT_SIZE


def labels(root: Element) -> list[Element]:
    return list(root.iter(NAMESPACE + "text"))


def text_faults(root: Element) -> list[str]:
    faults = []
    boxes = [(label.text or "", text_box(label)) for label in labels(root)]
    for text, (left, top, right, bottom) in boxes:
        if left < 0 or top < 0 or right > WIDTH or bottom > HEIGHT:
            faults.append(f"label outside the drawing: {text}")
    for index, (text, box) in enumerate(boxes):
        faults += [f"{text} over {other}" for other, rest in boxes[:index] if overlap(box, rest)]
    return faults


def overlap(one: Box, two: Box) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


def path_points(d: str) -> Iterator[Point]:
    """Walk a path and give every point it names, control points included."""
    tokens = re.findall(r"[A-Za-z]|-?\d*\.?\d+", d)
    x = y = start_x = start_y = 0.0
    command, position = "", 0
    while position < len(tokens):
        if tokens[position].isalpha():
            command, position = tokens[position], position + 1
        count = NUMBERS_PER_COMMAND[command.upper()]
        numbers = [float(token) for token in tokens[position : position + count]]
        position += count
        if command.upper() == "Z":
            x, y = start_x, start_y
            continue
        for x_named, y_named in step(command, numbers, (x, y)):
            yield x_named, y_named
            x, y = x_named, y_named
        if command in "Mm":
            start_x, start_y, command = x, y, "L" if command == "M" else "l"


def step(command: str, numbers: list[float], here: Point) -> list[Point]:
    """Points named by one command; the last one is where the pen ends."""
    kind, shift = command.upper(), here if command.islower() else (0.0, 0.0)
    if kind == "H":
        return [(numbers[0] + shift[0], here[1])]
    if kind == "V":
        return [(here[0], numbers[0] + shift[1])]
    pairs = numbers[5:] if kind == "A" else numbers
    return [(pairs[i] + shift[0], pairs[i + 1] + shift[1]) for i in range(0, len(pairs), 2)]


def shape_points(element: Element) -> list[Point]:
    name = name_of(element)
    if name == "path":
        return list(path_points(element.attrib["d"]))
    if name in {"polyline", "polygon"}:
        numbers = [float(n) for n in re.split(r"[\s,]+", element.attrib["points"].strip())]
        return list(zip(numbers[::2], numbers[1::2], strict=True))
    value = {key: float(number) for key, number in element.attrib.items() if key not in PAINT}
    if name == "line":
        return [(value["x1"], value["y1"]), (value["x2"], value["y2"])]
    if name == "rect":
        right, low = value["x"] + value["width"], value["y"] + value["height"]
        return [(value["x"], value["y"]), (right, low)]
    half_width, half_height = value.get("rx", value.get("r")), value.get("ry", value.get("r"))
    assert half_width is not None
    assert half_height is not None
    return [
        (value["cx"] - half_width, value["cy"] - half_height),
        (value["cx"] + half_width, value["cy"] + half_height),
    ]


SHAPES = {"path", "polyline", "polygon", "line", "rect", "circle", "ellipse"}


def stray_shapes(root: Element) -> list[str]:
    strays = []
    for element in root.iter():
        if name_of(element) in SHAPES:
            outside = [
                (x, y)
                for x, y in shape_points(element)
                if not (0 <= x <= WIDTH and 0 <= y <= HEIGHT)
            ]
            strays += [f"{name_of(element)} reaches {point}" for point in outside]
    return strays


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, definitions) of a colour written #RRGGBB."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, two: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(two)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


every_drawing = pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])


def root_of(path: Path) -> Element:
    return parsed(path.read_text(encoding="utf-8"))


def test_there_are_drawings_enough_for_the_walk_round() -> None:
    assert len(FILES) >= 24


@every_drawing
def test_a_drawing_is_named_in_small_letters_and_hyphens(path: Path) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z0-9]+)*\.svg", path.name)


@every_drawing
def test_a_drawing_has_the_one_format_of_the_house(path: Path) -> None:
    root = root_of(path)

    assert root.tag == NAMESPACE + "svg"
    assert root.attrib == {"viewBox": "0 0 360 200"}


@every_drawing
def test_a_drawing_keeps_to_the_small_vocabulary(path: Path) -> None:
    assert vocabulary_faults(root_of(path)) == []


@every_drawing
def test_a_drawing_uses_three_colours_and_says_which_is_which(path: Path) -> None:
    assert colour_faults(root_of(path)) == []


@every_drawing
def test_lines_come_in_two_weights(path: Path) -> None:
    stroked = [
        paint
        for element, paint in painted(root_of(path), {})
        if name_of(element) in SHAPES and paint.get("stroke", "none") != "none"
    ]

    assert {paint["stroke-width"] for paint in stroked} <= {"1.6", "0.9"}


@every_drawing
def test_paths_use_the_plain_commands_only(path: Path) -> None:
    for element in root_of(path).iter(NAMESPACE + "path"):
        assert set(re.findall(r"[A-Za-z]", element.attrib["d"])) <= set("MLHVCQAZmlhvcqaz")
        assert element.attrib["d"][0] in "Mm"


@every_drawing
def test_a_drawing_can_be_read_aloud(path: Path) -> None:
    """WCAG 2.2, 1.1.1: a title, and a whole sentence that says what the picture shows."""
    root = root_of(path)
    first, second = list(root)[:2]

    assert [name_of(first), name_of(second)] == ["title", "desc"]
    assert first.text
    assert second.text
    assert second.text[0].isupper()
    assert second.text.endswith(".")
    assert 12 <= len(second.text.split()) <= 60


@every_drawing
def test_labels_are_few_set_alike_and_clear_of_one_another(path: Path) -> None:
    root = root_of(path)

    assert 3 <= len(labels(root)) <= 7
    assert text_faults(root) == []
    for label in labels(root):
        assert label.attrib["font-size"] == "11"
        assert label.attrib["font-family"] == "sans-serif"
        assert label.text == (label.text or "").strip()


@every_drawing
def test_the_spot_to_touch_and_its_words_stand_in_the_accent(path: Path) -> None:
    accented = [
        name_of(element)
        for element, paint in painted(root_of(path), {})
        if paint.get("data-role") == "accent"
    ]

    assert "text" in accented
    assert SHAPES & set(accented)


@every_drawing
def test_nothing_is_drawn_outside_the_page(path: Path) -> None:
    assert stray_shapes(root_of(path)) == []


def test_titles_are_told_apart() -> None:
    titles = [next(root_of(path).iter(NAMESPACE + "title")).text for path in FILES]

    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize("ground", ["#FFFFFF", HULL])
def test_the_accent_stands_out_from_paper_and_from_the_hull(ground: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1 for text of this size."""
    assert contrast(ACCENT, ground) >= 4.5


def test_contrast_agrees_with_the_published_extremes() -> None:
    """WCAG 2.2, definition of contrast ratio: from 1 to 1 up to 21 to 1."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast(ACCENT, ACCENT) == pytest.approx(1)


def drawing(inside: str) -> Element:
    return parsed(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 200">{inside}</svg>')


@pytest.mark.parametrize(
    ("inside", "fault"),
    [
        ("<image/>", "element image"),
        ("<style>g{}</style>", "element style"),
        ('<g class="bold"/>', "attribute class on g"),
        ('<path d="M0 0" opacity="0.5"/>', "attribute opacity on path"),
    ],
)
def test_a_shape_outside_the_vocabulary_is_caught(inside: str, fault: str) -> None:
    assert vocabulary_faults(drawing(inside)) == [fault]


@pytest.mark.parametrize(
    ("inside", "fault"),
    [
        ('<line stroke="#FF0000"/>', "colour #FF0000"),
        ('<g stroke="#A33A00"><line/></g>', "#A33A00 without its role on line"),
        ('<rect data-role="accent" fill="#EFEBE2"/>', "#EFEBE2 without its role on rect"),
    ],
)
def test_a_colour_without_its_role_is_caught(inside: str, fault: str) -> None:
    assert fault in colour_faults(drawing(inside))


@pytest.mark.parametrize(
    ("inside", "fault"),
    [
        (
            '<text x="340" y="20" text-anchor="start">keel bolts</text>',
            "label outside the drawing: keel bolts",
        ),
        (
            (
                '<text x="5" y="20" text-anchor="start">keel</text>'
                '<text x="9" y="25" text-anchor="start">bolt</text>'
            ),
            "bolt over keel",
        ),
    ],
)
def test_a_label_that_runs_out_or_over_another_is_caught(inside: str, fault: str) -> None:
    assert text_faults(drawing(inside)) == [fault]


@pytest.mark.parametrize(
    "shape",
    [
        '<path d="M10 10 h400"/>',
        '<path d="M10 10 q0 0 20 20 L5 -4 Z"/>',
        '<path d="M10 190 A5 5 0 0 1 20 230"/>',
        '<circle cx="355" cy="10" r="9"/>',
        '<polyline points="1,1 5,201"/>',
        '<rect x="350" y="1" width="20" height="3"/>',
        '<line x1="0" y1="0" x2="-1" y2="0"/>',
    ],
)
def test_a_stroke_off_the_page_is_caught(shape: str) -> None:
    assert len(stray_shapes(drawing(shape))) == 1
