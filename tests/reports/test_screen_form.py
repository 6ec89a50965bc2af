"""The field form for a screen: every answer has one field, in its place, with a name and a tip.

Fields are looked at by pypdf and PDFium, which have no part in writing them.
"""

from __future__ import annotations

import functools
import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from pypdf import PdfReader

from tests.reports.conftest import SetAs
from tests.reports.invented import DAY, MARIGOLD, assessed, two_boats
from tests.reports.screen_filling import Typist, by_pdfium, by_pypdf
from tests.reports.test_privacy import figured_secrets, found_in, planted
from workbench.catalogue.loading import load
from workbench.catalogue.model import Catalogue
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment, BoatAssessment
from workbench.reports.document import Field, FieldKind, Form
from workbench.reports.export import export_sheets
from workbench.reports.field_form import form_document
from workbench.reports.pdf import Hooks, write_pdf
from workbench.reports.pdf_base import MARGIN
from workbench.reports.pdf_page import FRAME_FOOT
from workbench.reports.screen_form import screen_form_document

PAPERS = ("a4", "letter")
OWN_NAMES = {"form/readings/1/marigold-rae", "form/units", "form/by", "form/date"}
REMARKS = ("sight", "not-seen", "note")
HIDDEN, READ_ONLY, SEVERAL_LINES = 2, 1, 1 << 12
Box = tuple[float, float, float, float]


@functools.cache
def shipped() -> tuple[Catalogue, BoatAssessment]:
    catalogue = load()
    return catalogue, assess(two_boats(), catalogue).boats[MARIGOLD]


@functools.cache
def whole_form(paper: str) -> bytes:
    """The form of a boat with the shipped catalogue; in inches on Letter."""
    catalogue, boat = shipped()
    document = screen_form_document(boat, catalogue, DAY, imperial=paper == "letter")
    kept = io.BytesIO()
    write_pdf(document, kept, paper)
    return kept.getvalue()


def small_form(assessment: Assessment, *, imperial: bool = False) -> bytes:
    boat = assessment.boats[MARIGOLD]
    kept = io.BytesIO()
    write_pdf(screen_form_document(boat, assessment.catalogue, DAY, imperial=imperial), kept, "a4")
    return kept.getvalue()


def opened(data: bytes) -> Any:
    """A file as pypdf reads it; it tells little of the types of what it finds."""
    return PdfReader(io.BytesIO(data))


def widgets_of(page: Any) -> list[Any]:
    """What can be filled in on a page, in the order in which it stands in the file."""
    found = (one.get_object() for one in page.get("/Annots", ()))
    return [one for one in found if not int(one["/F"]) & HIDDEN]


def box_of(widget: Any) -> Box:
    left, foot, right, top = (float(one) for one in widget["/Rect"])
    return left, foot, right, top


def name_of(widget: Any) -> str:
    held = widget if "/T" in widget else widget["/Parent"]
    return str(held["/T"])


def names_wanted() -> list[str]:
    _, boat = shipped()
    checks = [finding.check for finding in boat.findings]
    of_entries = [f"{check.id}/{entry.id}" for check in checks for entry in check.entries]
    return [*OWN_NAMES, *of_entries, *(f"{one.id}/{of}" for one in checks for of in REMARKS)]


# Which fields there are


@pytest.mark.parametrize("paper", PAPERS)
def test_every_entry_of_every_check_that_applies_has_one_field(paper: str) -> None:
    root: Any = opened(whole_form(paper)).trailer["/Root"]
    names = [str(one.get_object()["/T"]) for one in root["/AcroForm"]["/Fields"]]

    assert Counter(names) == Counter(names_wanted())


def test_a_choice_has_a_box_for_each_of_its_answers_and_no_other() -> None:
    _, boat = shipped()
    fields = opened(whole_form("a4")).get_fields() or {}
    for finding in boat.findings:
        for entry in finding.check.entries:
            if entry.kind != "choice":
                continue
            boxes = [one.get_object() for one in fields[f"{finding.check.id}/{entry.id}"]["/Kids"]]
            stand_for = [set(box["/AP"]["/N"]) - {"/Off"} for box in boxes]
            assert stand_for == [{f"/{choice.id}"} for choice in entry.choices]


def test_many_choices_are_a_list_that_drops_down(as_pdf: SetAs) -> None:
    values = tuple(f"v{number}" for number in range(12))
    words = tuple(f"answer {number}" for number in range(12))
    field = Field(
        "own/which", "Which", FieldKind.CHOICE, choices=words, tip="Own: Which:", values=values
    )

    made = as_pdf(Form("Own check", "", ("Look.",), (field,)))
    filled = by_pypdf(made, {"own/which": "v7"})

    (listed,) = (opened(made).get_fields() or {}).values()
    assert listed["/FT"] == "/Ch"
    root: Any = opened(made).trailer["/Root"]
    options = root["/AcroForm"]["/Fields"][0]["/Opt"]
    assert [(str(value), str(said)) for value, said in options] == [
        ("", ""),
        *zip(values, words, strict=True),
    ]
    assert Typist(filled).said() == {"own/which": "v7"}


def test_fields_are_empty_at_the_start(assessment: Assessment) -> None:
    said = Typist(small_form(assessment)).said()

    marks = {"form/readings/1/marigold-rae": "Marigold Rae", "form/units": "metric"}
    assert {name: value for name, value in said.items() if value not in ("", "Off")} == marks


def test_the_marks_of_the_form_are_not_seen_and_not_written_in(assessment: Assessment) -> None:
    (page, *_) = opened(small_form(assessment, imperial=True)).pages
    hidden = [one.get_object() for one in page["/Annots"] if int(one.get_object()["/F"]) & HIDDEN]

    assert {str(one["/T"]): str(one["/V"]) for one in hidden} == {
        "form/readings/1/marigold-rae": "Marigold Rae",
        "form/units": "imperial",
    }
    assert all(int(one["/Ff"]) & READ_ONLY for one in hidden)


# What a field says of itself


def test_a_tip_names_the_check_the_entry_the_unit_and_the_limits(assessment: Assessment) -> None:
    metric, imperial = (
        opened(small_form(assessment, imperial=wanted)).get_fields() or {}
        for wanted in (False, True)
    )

    said = "Stern bearing play: Play at the bearing, in {}. Between 0 and {}."
    assert metric["bearing/play"]["/TU"] == said.format("mm", "10")
    # 10 mm / 25.4 mm = 0.3937 in, by the international inch of 1959.
    assert imperial["bearing/play"]["/TU"] == said.format("in", "0.3937")


def test_every_field_and_every_box_has_a_tip() -> None:
    whole = opened(whole_form("a4"))
    fields = whole.get_fields() or {}

    assert all(str(field["/TU"]).strip() for field in fields.values())
    for page in whole.pages:
        tips = [str(widget["/TU"]) for widget in widgets_of(page)]
        assert all(tips)
        assert len(set(tips)) == len(tips)  # whoever only hears them can tell them apart


def test_unit_and_limits_stand_beside_the_box(assessment: Assessment) -> None:
    text = opened(small_form(assessment)).pages[0].extract_text()

    assert "mm, 0 to 10" in text


# Where fields are


@pytest.mark.parametrize("paper", PAPERS)
def test_no_field_leaves_its_page_or_lies_over_another(paper: str) -> None:
    faults = [
        fault
        for page in opened(whole_form(paper)).pages
        for fault in misplaced(page, widgets_of(page))
    ]

    assert faults == []


def misplaced(page: Any, widgets: list[Any]) -> Iterator[str]:
    """Fields outside the margins, too small to be hit, or over each other."""
    right, top = float(page.mediabox.width) - MARGIN, float(page.mediabox.height) - MARGIN
    boxes = [(name_of(widget), box_of(widget)) for widget in widgets]
    for place, (name, one) in enumerate(boxes):
        if one[0] < MARGIN or one[1] < FRAME_FOOT or one[2] > right or one[3] > top:
            yield f"{name} is outside"
        if min(one[2] - one[0], one[3] - one[1]) < 10:
            yield f"{name} is too small"
        for other, two in boxes[place + 1 :]:
            across, down = (
                min(one[2], two[2]) - max(one[0], two[0]),
                min(one[3], two[3]) - max(one[1], two[1]),
            )
            if across > 0 and down > 0:
                yield f"{name} lies over {other}"


def test_the_probe_finds_fields_that_lie_over_each_other_or_outside(
    assessment: Assessment,
) -> None:
    page = opened(small_form(assessment)).pages[0]
    widgets = widgets_of(page)

    assert list(misplaced(page, widgets)) == []
    assert list(misplaced(page, [*widgets, widgets[0]]))
    page.mediabox.upper_right = (300, 842)
    assert list(misplaced(page, widgets))


def test_each_field_lies_in_the_box_that_is_drawn_for_it(assessment: Assessment) -> None:
    """The page has a rectangle round every field, as PDFium finds them."""
    made = small_form(assessment)
    page = pypdfium2.PdfDocument(made)[0]
    drawn = [one.get_bounds() for one in page.get_objects(filter=[2])]  # paths

    for widget in widgets_of(opened(made).pages[0]):
        left, foot, right, top = box_of(widget)
        around = [
            box
            for box in drawn
            if 0 <= left - box[0] < 2
            and 0 <= foot - box[1] < 2
            and 0 <= box[2] - right < 2
            and 0 <= box[3] - top < 2
        ]
        assert around, name_of(widget)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_tab_key_goes_down_the_page_as_it_is_read(paper: str) -> None:
    for page in opened(whole_form(paper)).pages:
        widgets = widgets_of(page)
        if not widgets:
            continue
        assert page["/Tabs"] == "/R"  # row by row (ISO 32000-2, table 31)
        boxes = [box_of(widget) for widget in widgets]
        assert boxes == by_rows(boxes)


def by_rows(boxes: list[Box]) -> list[Box]:
    """Boxes from the top, each row from the left; a row is all whose middle its first one meets."""
    left = sorted(boxes, key=lambda box: -box[3])
    made: list[Box] = []
    while left:
        first = left[0]
        row = [box for box in left if first[1] < (box[1] + box[3]) / 2 < first[3]]
        made += sorted(row)
        left = [box for box in left if box not in row]
    return made


# How it looks


def test_every_font_is_embedded_and_fields_are_set_in_one_that_is_whole() -> None:
    whole = opened(whole_form("a4"))
    form: Any = whole.trailer["/Root"]["/AcroForm"]

    (key, font), *more = form["/DR"]["/Font"].items()
    described = font["/DescendantFonts"][0]["/FontDescriptor"]
    assert more == []
    assert str(form["/DA"]).startswith(f"{key} ")
    shapes = Path("resources/fonts/DejaVuSans.ttf").read_bytes()
    assert described["/FontFile2"].get_data() == shapes
    for record in fonts_in(whole):
        below = record.get("/DescendantFonts", [record])[0].get_object()
        assert "/FontFile2" in below["/FontDescriptor"], record


def fonts_in(whole: Any) -> Iterator[Any]:
    """Every font of a file, wherever it stands."""
    for number in range(1, int(whole.trailer["/Size"])):
        one = whole.get_object(number)
        if (
            isinstance(one, dict)
            and one.get("/Type") == "/Font"
            and "CIDFont" not in str(one.get("/Subtype"))
        ):
            yield one


def test_a_field_has_a_look_before_anything_is_in_it() -> None:
    for page in opened(whole_form("a4")).pages:
        for widget in widgets_of(page):
            look = widget["/AP"]["/N"].get_object()
            assert "/Subtype" in look or set(look) > {"/Off"}


def test_accents_greek_and_fractions_that_are_typed_show(assessment: Assessment) -> None:
    """They are set by pypdf in the form's font; PDFium makes a plain page of it and reads that."""
    typed = {"form/by": "Zoë Ζορμπάς", "bearing/note": "½ to ¾ — ‘rocks’, Ωμέγα, Łódź"}
    typist = Typist(by_pypdf(small_form(assessment), typed))
    typist.flatten()

    document = pypdfium2.PdfDocument(typist.saved())
    text = "".join(page.get_textpage().get_text_bounded() for page in document)
    for words in typed.values():
        assert words in text


def test_what_is_typed_in_a_browsers_engine_shows(assessment: Assessment) -> None:
    made = small_form(assessment)
    filled = by_pdfium(made, {"bearing/play": "1/32 in ½ é", "bearing/sound": "knocks"})

    for name in ("bearing/play", "bearing/sound"):
        before, after = ink_in(made, name), ink_in(filled, name)
        assert before == 0
        assert after > 20


def ink_in(data: bytes, name: str) -> int:
    """How many dots inside the last box of a field are dark, at two dots to the point."""
    page = opened(data).pages[0]
    box = [box_of(one) for one in widgets_of(page) if name_of(one) == name][-1]
    document = pypdfium2.PdfDocument(data)
    document.init_forms()
    picture = document[0].render(scale=2).to_pil().convert("L")
    left, foot, right, top = (round(2 * edge) for edge in box)
    inside = (left + 2, picture.height - top + 2, right - 2, picture.height - foot - 2)
    return sum(picture.crop(inside).histogram()[:128])


# The file


def test_the_paper_form_has_no_fields_and_says_the_same_of_every_check(
    assessment: Assessment, as_pdf: SetAs
) -> None:
    boat = assessment.boats[MARIGOLD]
    paper = as_pdf(form_document(boat, assessment.catalogue, DAY, imperial=False))

    assert not opened(paper).get_fields()
    screen_text = "".join(page.extract_text() for page in opened(small_form(assessment)).pages)
    for finding in boat.findings:
        assert finding.check.title in screen_text
    assert "Read on 9 May 2026: Play at the bearing: 1.0 mm, knocks." in " ".join(
        screen_text.split()
    )


def test_the_same_form_gives_the_same_bytes(assessment: Assessment) -> None:
    assert small_form(assessment) == small_form(assessment)


def test_the_form_says_what_it_is_and_has_its_pages_counted(assessment: Assessment) -> None:
    whole = opened(small_form(assessment))

    assert whole.metadata is not None
    assert whole.metadata.title == "Marigold Rae: field form for a screen"
    assert not whole.metadata.author
    assert [entry["/Title"] for entry in whole.outline if not isinstance(entry, list)] == [
        "Marigold Rae"
    ]
    last = len(whole.pages)
    assert f"page {last} of {last}" in whole.pages[-1].extract_text()


def test_nothing_in_the_form_runs_or_leads_out(assessment: Assessment) -> None:
    whole = opened(small_form(assessment))
    records = [whole.get_object(number) for number in range(1, int(whole.trailer["/Size"]))]

    acting = {"/JS", "/JavaScript", "/A", "/AA", "/OpenAction", "/URI", "/EmbeddedFiles"}
    assert all(not acting & set(one) for one in records if isinstance(one, dict))


def test_a_stop_is_asked_for_on_every_page_of_the_form() -> None:
    catalogue, boat = shipped()
    pages: list[int] = []

    def stop_at_the_third() -> None:
        if len(pages) >= 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_pdf(
            screen_form_document(boat, catalogue, DAY, imperial=False),
            io.BytesIO(),
            hooks=Hooks(stop_at_the_third, pages.append),
        )
    assert pages == [1, 2, 3]


def test_the_form_carries_no_secret(tmp_path: Path) -> None:
    """P2 and P4: no budget, no other boat, no private note, no seller, no path."""
    project, canary, _ = planted()
    canary.words["home"] = str(Path.home())
    canary.words["out"] = str(tmp_path)

    (made,) = export_sheets(
        assessed(project), None, tmp_path, ["field-form-fillable"], [MARIGOLD], on=DAY
    )

    assert found_in(made, canary, figured_secrets(project)) == []
