"""Figures are the same in every language, and whatever they say is said in the one spoken.

The language here is English shouted: every text that has a translation is in capitals, so that one
that is said past the wording is found by its small letters.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from string import Formatter

import numpy as np
import pytest
from translations import said_by, texts_of_the_catalogue

from workbench.catalogue.assembling import build
from workbench.catalogue.loading import texts_of
from workbench.catalogue.model import Catalogue
from workbench.catalogue.wording import Wording, texts_in, wording_in
from workbench.domain.frozen import FrozenMap
from workbench.domain.project import Project
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment, BoatAssessment
from workbench.figures.best_survey import best_survey
from workbench.figures.comparison import compare
from workbench.figures.if_found import if_found
from workbench.figures.keeping import keeping_by_boat
from workbench.figures.next_look import next_looks
from workbench.figures.trace import (
    TraceStep,
    why_allowance,
    why_cost_to_ready,
    why_deferred,
    why_finding,
    why_later,
    why_offer,
)
from workbench.paths import resources_root
from workbench.store.folder import open_project


def shouted(text: str) -> str:
    """A text in capitals, its placeholders as they are."""
    parts = []
    for words, name, form, _ in Formatter().parse(text):
        parts.append(words.upper())
        if name is not None:
            parts.append(f"{{{name}:{form}}}" if form else f"{{{name}}}")
    return "".join(parts)


@functools.cache
def in_capitals() -> Catalogue:
    """The shipped catalogue with every text of its own and of the figures in capitals."""
    words = {text: text.upper() for text in texts_of_the_catalogue()}
    said = FrozenMap({text: shouted(text) for text in said_by("figures").texts})
    return build(texts_of(resources_root()), words, Wording("xx", said)).catalogue


@functools.cache
def in_language(language: str) -> Catalogue:
    """The shipped catalogue in a language of the program."""
    root = resources_root()
    return build(texts_of(root), texts_in(root, language), wording_in(root, language)).catalogue


@pytest.fixture(scope="module")
def project() -> Iterator[Project]:
    """The search that comes with the program."""
    opened = open_project(resources_root().parent / "sample_projects" / "two-yards-one-spring")
    yield opened.project
    opened.folder.close()


def steps(step: TraceStep) -> Iterator[str]:
    """All that a trace says."""
    yield from (step.label, step.detail)
    for child in step.children:
        yield from steps(child)


def said_of(boat: BoatAssessment, catalogue: Catalogue) -> Iterator[str]:
    """All that the figures of one boat say."""
    for why in (why_cost_to_ready, why_deferred, why_allowance, why_later, why_offer):
        yield from steps(why(boat, catalogue))
    for finding in boat.findings:
        yield from steps(why_finding(finding, catalogue.wording))
    for problem in boat.problems:
        yield from (problem.where, problem.message, problem.remedy)
    yield from (line.why for line in boat.claim.lines if line.own is None)
    yield from (line.unpriced for line in boat.lines)
    yield boat.offer.limit.why


def said_in(assessment: Assessment) -> Iterator[str]:
    """All that an assessment and what is made of it say."""
    for boat in assessment.boats.values():
        yield from said_of(boat, assessment.catalogue)
    first = next(iter(assessment.boats))
    yield from (one.why for one in if_found(assessment, first, 2))
    yield from (next_looks(assessment).sentence, best_survey(assessment).sentence)
    for keeping in keeping_by_boat(assessment).values():
        yield from (*keeping.missing, *(part.how for part in keeping.parts))
    for standing in compare(assessment).standings:
        yield from standing.missing_must_haves


def test_nothing_is_said_past_the_language(project: Project) -> None:
    assessment = assess(project, in_capitals())
    said = set(said_in(assessment))
    literals = [
        words.strip(" .,:;()")
        for text in said_by("figures").texts
        for words, _, _, _ in Formatter().parse(text)
    ]
    english = re.compile(
        "|".join(rf"\b{re.escape(one)}\b" for one in literals if len(one) > 9 and one.islower())
    )

    assert len(said) > 500
    assert sorted(text for text in said if english.search(text)) == []


def test_german_and_english_figures_are_the_same_bit_for_bit(project: Project) -> None:
    english, german = (assess(project, in_language(one)) for one in ("en", "de"))

    assert list(english.boats) == list(german.boats)
    for name, boat in english.boats.items():
        other = german.boats[name]
        assert (boat.deferred, boat.allowance, boat.work, boat.cost_to_ready) == (
            *(other.deferred, other.allowance, other.work, other.cost_to_ready),
        )
        assert [line.key for line in boat.lines] == [line.key for line in other.lines]
        assert [line.counted for line in boat.lines] == [line.counted for line in other.lines]
        assert [line.amount for line in boat.claim.lines] == [
            line.amount for line in other.claim.lines
        ]
        assert boat.offer.limit.price == other.offer.limit.price
        assert np.array_equal(boat.draws.ready, other.draws.ready)
        assert [one.grade for one in boat.findings] == [one.grade for one in other.findings]
    looks = [
        [(one.boat, one.check, one.look, one.net) for one in next_looks(made).advice]
        for made in (english, german)
    ]
    assert looks[0] == looks[1]


def test_a_german_assessment_speaks_german(project: Project) -> None:
    assessment = assess(project, in_language("de"))
    boat = next(iter(assessment.boats.values()))
    said = "\n".join(said_of(boat, assessment.catalogue))

    assert why_cost_to_ready(boat, assessment.catalogue).label == "Kosten bis segelklar"
    assert "wahrscheinlich" in said
    assert "Arbeit vor dem Segeln" in said
    assert re.search(r"\d\.\d{3} bis \d", said), "thousands are divided as in German"
    assert re.search(r"\d\N{NO-BREAK SPACE}% in dem Alter, angenommen", said)
