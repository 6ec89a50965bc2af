"""One sample of every widget, with invented contents, for the gallery and for looking at.

Each function makes a fresh widget; `SAMPLES` names them in the order of the gallery. The figures
are placeholders that need not agree with each other.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QLinearGradient, QPainter
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QProgressBar,
    QRadioButton,
    QSlider,
    QSpinBox,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.record import dataclass
from workbench.window.palette import GRADES
from workbench.window.widgets.banner import Banner, BannerLevel
from workbench.window.widgets.boat_silhouette import (
    KEELS,
    RIGS,
    RUDDERS,
    BoatSilhouette,
    BoatSketch,
)
from workbench.window.widgets.buttons import NavBar, button
from workbench.window.widgets.caution_box import CautionBox
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.cost_bar import CostBar, CostParts
from workbench.window.widgets.drawing_view import DrawingView
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.form import Form, set_up_spin_box
from workbench.window.widgets.gallery_charts import CHART_SAMPLES
from workbench.window.widgets.gallery_layout import (
    column,
    read_number,
    row,
    show_money,
    show_thousandths,
)
from workbench.window.widgets.gallery_rows import ROW_SAMPLES
from workbench.window.widgets.grade_label import GradeLabel
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.money_field import MoneyField
from workbench.window.widgets.photo_strip import Photo, PhotoStrip
from workbench.window.widgets.quantity_field import QuantityField
from workbench.window.widgets.range_bar import Range, RangeBar
from workbench.window.widgets.remedy_list import RemedyList, RemedyRow
from workbench.window.widgets.search_field import SearchField
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.three_point_field import ThreePointField
from workbench.window.widgets.totals_bar import TotalsBar, TotalsFigure
from workbench.window.widgets.why_panel import WhyPanel

SAMPLE_DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 200">
<desc>A shaft through its bearing: lift it close to the bearing and feel for play.</desc>
<g data-role="hull" fill="#EFEBE2" stroke="none">
<path d="M0 26 C80 30 130 44 168 52 L160 130 H96 C84 84 50 52 0 50 Z"/></g>
<g fill="none" stroke="currentColor" stroke-width="1.6">
<path d="M0 26 C80 30 130 44 168 52 L160 130 H96 C84 84 50 52 0 50"/>
<path d="M60 84 H310 M60 94 H310"/><rect x="120" y="76" width="46" height="26"/></g>
<g data-role="accent" fill="none" stroke="#A33A00" stroke-width="1.8">
<path d="M180 50 V72 M174 65 L180 72 L186 65"/></g>
<text x="190" y="60" font-family="sans-serif" font-size="11">lift here, feel, listen</text></svg>"""


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the sample trace."""

    label: str
    detail: str
    amount_text: str = ""
    children: tuple[Step, ...] = ()


TRACE = Step(
    "Cost to ready",
    "price asked, work due, allowance",
    "32,900",
    (
        Step("Price asked", "listing of 2 May", "24,500"),
        Step(
            "Renew the stern bearing",
            "1.0 mm of play, knocks: due",
            "980",
            (
                Step("Labour, 6 h", "yard rate 75 an hour", "450"),
                Step("Bearing, 25 mm", "price book, assumed", "110"),
            ),
        ),
        Step("Allowance for the unseen", "25 checks", "2,310"),
    ),
)


def type_and_buttons() -> QWidget:
    """Every role of type and every kind of button."""
    pages = [
        ("boats", "Boats"),
        ("side", "Side by side"),
        ("next", "Look next"),
        ("offer", "Offer"),
    ]
    quiet = button("Not available")
    quiet.setEnabled(False)
    return column(
        NavBar(pages),
        label("Running gear, ashore, 2 minutes, bare hands", "small"),
        label("Stern bearing play", "title"),
        label("What it leads to", "heading"),
        label("Vibration up the shaft: stuffing box, then the gearbox output seal.", wrap=True),
        label(
            "A small job and a point for the talk. No reason to drop a boat.", "quiet", wrap=True
        ),
        label("The measured play is more than the shaft's radius; look again.", "problem"),
        row(button("Add a boat", "primary"), button("Save a copy"), button("Not now", "quiet")),
        row(button("why?", "link"), quiet),
    )


def grades() -> QWidget:
    """Every grade, small and large, and counted."""
    small = [GradeLabel(grade) for grade in GRADES]
    counted = [GradeLabel(grade, count=place + 2) for place, grade in enumerate(GRADES)]
    large = [GradeLabel(grade, large=True) for grade in GRADES[:4]]
    return column(row(*small), row(*counted), row(*large), GradeLabel("worn", overruled=True))


def fields() -> QWidget:
    """Fields for quantities, money and estimates, one of them with a problem."""
    play = QuantityField(
        read_number,
        lambda value: f"{value:.1f}",
        unit="mm",
        convert=show_thousandths,
        characters=5,
        name="Play",
    )
    play.set_value(1.0)
    play.set_large()
    wrong = QuantityField(read_number, str, unit="mm", name="Shaft")
    wrong.line_edit.setText("thick")
    wrong.commit()
    asked = MoneyField(read_number, show_money, currency="USD", name="Price asked")
    asked.set_value(24500.0)
    estimate = ThreePointField(
        read_number,
        show_money,
        unit="USD",
        limits="One time in ten below the low limit, one in ten above the high one.",
        name="Renew the bearing",
    )
    estimate.set_span((740.0, 980.0, 1450.0))
    return column(play, wrong, asked, estimate, SearchField())


def choices() -> QWidget:
    """Choices side by side and as joined rows."""
    knock = ChoiceRow([("quiet", "quiet"), ("knocks", "knocks")], large=True, name="Sound")
    knock.set_choice("knocks")
    several = ChoiceRow([(grade, grade) for grade in GRADES], name="Grade")
    several.set_choice("due")
    remedies = RemedyList(
        [
            RemedyRow(1, "Yard renews the bearing, shaft drawn", "price book, 6 h", "980"),
            RemedyRow(2, "Own work, shaft drawn by the yard", "", "590"),
            RemedyRow(3, "Leave one season, look again", "not advised where it knocks", "0"),
        ],
        name="Put right by",
    )
    remedies.set_choice(1)
    caution = "Key out, gearbox in neutral, owner asked. Never lean on a prop or stand."
    return column(CautionBox(caution), knock, several, label("Put right by", "small"), remedies)


def native_controls() -> QWidget:
    """Qt's own controls in the window's dress."""
    when = QComboBox()
    when.addItems(["by when", "by trade"])
    chosen, free = QCheckBox("Own work"), QCheckBox("Strip places from photos")
    chosen.setChecked(True)
    first, second = QRadioButton("Metric"), QRadioButton("Inches and feet")
    first.setChecked(True)
    progress = QProgressBar()
    progress.setValue(40)
    slider = QSlider(Qt.Orientation.Horizontal)
    slider.setValue(60)
    line = QLineEdit()
    line.setPlaceholderText("Name of the boat")
    note = QPlainTextEdit("Green at the stem of the galley seacock.")
    note.setMaximumHeight(70)
    berth = QSpinBox()
    set_up_spin_box(berth)
    for part, name in ((line, "Name"), (note, "Note"), (berth, "Berths"), (when, "Order")):
        part.setAccessibleName(name)
    progress.setAccessibleName("Looked at")
    slider.setAccessibleName("Own work")
    tabs = QTabWidget()
    tabs.addTab(column(line, row(when, berth), note), "Particulars")
    tabs.addTab(QWidget(), "Where she lies")
    return column(row(chosen, free), row(first, second), tabs, slider, progress)


def bars() -> QWidget:
    """Ranges and cost bars on shared axes."""
    boats = (
        CostParts(24500, 3780, 1245, 2310, 31200, 34900, 38000),
        CostParts(31000, 1300, 2600, 1400, 35600, 37300, 38000),
        CostParts(16800, 9100, 3300, 4800, 31800, 40200, 38000),
    )
    greatest = max(parts.reach() for parts in boats)
    costs = [CostBar(show_money, parts, maximum=greatest) for parts in boats]
    ranges = [
        RangeBar(Range(740, 980, 1450), (0, 2000), role="due", words="740 to 1,450"),
        RangeBar(Range(400, 540, 900), (0, 2000), role="worn", words="400 to 900"),
        RangeBar(Range(0, 700, 1900), (0, 2000), role="unseen", words="0 to 1,900"),
    ]
    return column(*costs, *ranges)


def silhouettes() -> QWidget:
    """Every rig, keel and rudder."""
    sketches = [BoatSketch(rig=rig) for rig in RIGS]
    sketches += [BoatSketch(keel=keel, rudder="skeg") for keel in KEELS]
    sketches += [BoatSketch(keel="fin", rudder=rudder) for rudder in RUDDERS]
    sketches.append(BoatSketch("ketch", "long", "keel"))
    ground = QWidget()
    flow = FlowLayout(ground, spacing=16, line_spacing=16)
    for sketch in sketches:
        flow.addWidget(BoatSilhouette(sketch, height=64))
    return column(ground)


def drawing() -> QWidget:
    """A drawing in the window's colours."""
    view = DrawingView()
    view.set_svg(SAMPLE_DRAWING)
    return column(view)


def totals() -> QWidget:
    """The sums of a boat, in a column and across the foot; a figure with its reasons unfolded."""
    figures = (
        TotalsFigure("due", "Deferred maintenance", "5,340", "4,700 to 6,350"),
        TotalsFigure("unseen", "Allowance for the unseen", "2,310", "0 to 4,900"),
        TotalsFigure(
            "ready",
            "Cost to ready",
            "32,900",
            "four in five to stay under 34,900",
            leading=True,
            question="why?",
        ),
    )
    why = WhyPanel(lambda: TRACE)
    why.set_open(opened=True)
    across = TotalsBar(figures, orientation=Qt.Orientation.Horizontal)
    return column(
        TotalsBar(figures), SectionHeader("Before launching", beside="3,780"), across, why
    )


def messages() -> QWidget:
    """Banners of both levels."""
    told, problem = Banner(), Banner()
    told.show_message("Work of yesterday was recovered.", what_to_do="Nothing is lost.")
    problem.show_message(
        "The folder could not be written.",
        where="my search, boats, marigold-rae",
        what_to_do="Free some room on the disk, then save again.",
        action="Save again",
        level=BannerLevel.PROBLEM,
    )
    return column(told, problem)


def empty_page() -> QWidget:
    """A page with nothing on it yet."""
    ground = surface("page")
    lines = QVBoxLayout(ground)
    lines.addWidget(
        EmptyState(
            "No boat yet",
            "Add the boats you mean to look at. Two or more can be compared side by side, and each "
            "gets its own list of things to look at.",
            "Add a boat",
            sketch=BoatSketch("cutter", "long", "keel"),
        )
    )
    return ground


def _sample_photo(shade: int) -> QImage:
    picture = QImage(400, 300, QImage.Format.Format_RGB32)
    with QPainter(picture) as painter:
        wash = QLinearGradient(0, 0, 400, 300)
        wash.setColorAt(0, Qt.GlobalColor.lightGray)
        wash.setColorAt(1, Qt.GlobalColor.darkCyan if shade % 2 else Qt.GlobalColor.darkYellow)
        painter.fillRect(picture.rect(), wash)
    return picture


def photos() -> QWidget:
    """A strip of photos, and one still empty."""
    filled = PhotoStrip()
    captions = ("Stern bearing, 9 May", "Galley seacock, handle frozen", "Port lower shroud")
    filled.set_photos([Photo(place, caption) for place, caption in enumerate(captions)])
    for place in range(2):
        filled.set_thumbnail(place, _sample_photo(place))
    empty = PhotoStrip(hint="Drop photos of the stern bearing here.")
    empty.setMaximumHeight(90)
    return column(filled, empty)


def form() -> QWidget:
    """A form with sections, hints and a problem."""
    made = Form()
    made.add_section("Particulars")
    made.add_row("name", "Name", QLineEdit("Marigold Rae"))
    made.add_row(
        "length",
        "Length over all",
        QuantityField(read_number, lambda value: f"{value:.2f}", unit="m"),
        hint="Of the hull, without pulpit and self-steering.",
    )
    keel = QComboBox()
    keel.addItems(["fin", "long", "wing", "twin", "centreboard"])
    made.add_row("keel", "Keel", keel)
    made.set_problem("length", "Longer than the mast is high; check the unit.")
    return column(made)


SAMPLES: dict[str, Callable[[], QWidget]] = {
    "type-and-buttons": type_and_buttons,
    "grades": grades,
    "fields": fields,
    "choices": choices,
    "native-controls": native_controls,
    "bars": bars,
    "silhouettes": silhouettes,
    "drawing": drawing,
    "totals": totals,
    "messages": messages,
    "empty-page": empty_page,
    "photos": photos,
    "form": form,
    **ROW_SAMPLES,
    **CHART_SAMPLES,
}
"""Name of a sample -> function that makes it."""
