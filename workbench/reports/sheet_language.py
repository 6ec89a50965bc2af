"""The language of the sheets: English, whatever language the figures were made in.

A sheet is in one language throughout. Its own words are English, so what it takes from the
catalogue and the figures is made again in English where the window or the command speaks another.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbench.catalogue.language import ENGLISH

if TYPE_CHECKING:
    from workbench.figures.assessment import Assessment


def for_sheets(assessment: Assessment) -> Assessment:
    """The same figures in the language of the sheets; a second's work where that is another."""
    if assessment.catalogue.wording.language == ENGLISH:
        return assessment
    from workbench.catalogue.loading import load  # noqa: PLC0415 - seldom needed
    from workbench.figures.assess import assess  # noqa: PLC0415

    return assess(assessment.project, load())
