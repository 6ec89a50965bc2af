"""The rows of the comparison that say what the boats' proportions make of them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLocale

from workbench.catalogue.model import Catalogue
from workbench.catalogue.names import dimension_words
from workbench.figures.design_ratios import Missing, Ratio
from workbench.window.models.side_by_side_cells import Cell, Row
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.comparison import Standing


def _ratio_words() -> dict[str, tuple[str, str]]:
    """Title and meaning of each ratio."""
    return {
        "displacement/length": (
            tr("Displacement / length"),
            tr("How heavy she is for her waterline."),
        ),
        "sail area/displacement": (
            tr("Sail area / displacement"),
            tr("How much sail she carries for her weight."),
        ),
        "ballast ratio": (tr("Ballast ratio"), tr("Ballast as a share of her weight.")),
        "capsize screening": (
            tr("Capsize screening"),
            tr("Beam against weight; a comparison of shapes, not a measure of stability."),
        ),
        "motion comfort": (
            tr("Motion comfort"),
            tr("How slowly she moves in a sea; higher is slower."),
        ),
        "hull speed": (tr("Hull speed"), tr("The speed that belongs to her waterline.")),
    }


def ratio_rows(standings: Sequence[Standing], catalogue: Catalogue) -> list[Row]:
    """A row for each design ratio, with what the band tables call it."""
    words = _ratio_words()
    rows = []
    for place, first in enumerate(standings[0].ratios):
        title, tip = words.get(first.name, (first.name, ""))
        cells = tuple(_ratio(one.ratios[place], catalogue) for one in standings)
        rows.append(Row(f"ratio/{first.name}", title, cells, tip))
    return rows


def _ratio(ratio: Ratio | Missing, catalogue: Catalogue) -> Cell:
    if isinstance(ratio, Missing):
        ids = (field.rsplit("_", 1)[0].replace("_", "-") for field in ratio.needs)
        needs = ", ".join(dimension_words(catalogue, one) for one in ids)
        return Cell("–", tip=tr("Needs {what}.").format(what=needs))
    digits = 0 if ratio.value >= 100 else 1 if ratio.value >= 10 else 2
    text = QLocale().toString(ratio.value, "f", digits)
    unit = f" {ratio.unit}" if ratio.unit else ""
    word = catalogue.wording.word
    lines = [word(ratio.formula)]
    lines += [f"{word(one.label)} ({word(one.table)}; {word(one.source)})" for one in ratio.bands]
    lines.append(tr("Formula: {source}.").format(source=word(ratio.source)))
    note = word(ratio.bands[0].label) if ratio.bands else ""
    return Cell(f"{text}{unit}", note=note, tip="\n".join(lines))
