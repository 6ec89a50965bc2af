"""How much longer a form for the screen takes than the same form for paper: at most 1.5 times.

Both are set in one process with every check of the catalogue that applies to a boat, some 250, so
the ratio holds on any machine.
"""

from __future__ import annotations

import io
from time import perf_counter
from typing import Any

from tests.reports.invented import DAY, MARIGOLD, two_boats
from workbench.catalogue.loading import load
from workbench.figures.assess import assess
from workbench.reports.document import Document
from workbench.reports.field_form import form_document
from workbench.reports.pdf import write_pdf
from workbench.reports.screen_form import screen_form_document

BUDGET = 1.5


def _set(document: Document) -> None:
    write_pdf(document, io.BytesIO())


def _seconds(document: Document) -> float:
    start = perf_counter()
    _set(document)
    return perf_counter() - start


def test_a_form_for_the_screen_takes_little_longer_than_one_for_paper(benchmark: Any) -> None:
    catalogue = load()
    boat = assess(two_boats(), catalogue).boats[MARIGOLD]
    paper = form_document(boat, catalogue, DAY, imperial=False)
    screen = screen_form_document(boat, catalogue, DAY, imperial=False)

    before = min(_seconds(paper) for _ in range(3))
    benchmark.pedantic(lambda: _set(screen), rounds=5, iterations=1)
    base = min(before, *(_seconds(paper) for _ in range(3)))
    ratio = benchmark.stats.stats.min / base

    benchmark.extra_info.update(ratio=ratio, limit=BUDGET, checks=len(boat.findings))
    assert ratio <= BUDGET
