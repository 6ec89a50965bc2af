"""Every page of the help: those written by hand, the cautions together, and one for each check."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from workbench.catalogue.model import Catalogue, Check, Remedy, Rule
from workbench.catalogue.wording import Wording
from workbench.paths import ResourceError, resource, resource_names
from workbench.window import formatting
from workbench.window.help_html import (
    caution,
    escaped,
    from_markdown,
    heading,
    listed,
    paragraph,
    plain,
    table,
)
from workbench.window.texts import tr

FOLDER = "help"
CHECK = "check:"
DRAWING = "drawing:"


@dataclass(frozen=True)
class Topic:
    """One page.

    Attributes
    ----------
    key
        By which links name it: `help:<file>` or `check:<id>`.
    group
        Heading under which it is listed.
    body
        The page as HTML.
    """

    key: str
    title: str
    group: str
    body: str

    @functools.cached_property
    def words(self) -> str:
        """What is searched."""
        return plain(self.body).casefold()


def topics(catalogue: Catalogue) -> tuple[Topic, ...]:
    """Every page in the order in which it is listed."""
    checks = tuple(
        Topic(
            f"{CHECK}{check.id}",
            check.title,
            catalogue.systems[check.system].title,
            check_page(check, catalogue),
        )
        for check in catalogue.checks.values()
    )
    return (*written_pages(catalogue), *checks)


def written_pages(catalogue: Catalogue) -> tuple[Topic, ...]:
    """The pages written by hand, with the cautions of the catalogue in theirs."""
    made = []
    for name in resource_names(FOLDER, ".md"):
        stem = name.rpartition("/")[2].removesuffix(".md")
        number, _, key = stem.partition("-")
        text = _text(name, catalogue.wording.language)
        title = text.partition("\n")[0].removeprefix("# ").strip()
        body = from_markdown(text)
        if key == "cautions":
            body += _cautions(catalogue)
        made.append(Topic(f"help:{key}", title, _group(int(number)), body))
    changes = _text("changes.md", catalogue.wording.language)
    made.append(Topic("help:changes", tr("What changed"), _group(90), from_markdown(changes)))
    return tuple(made)


def _text(name: str, language: str) -> str:
    """A page in the language of the catalogue, or as it was first written."""
    try:
        found = resource(f"{FOLDER}/{language}/{name.rpartition('/')[2]}")
    except ResourceError:
        found = resource(name)
    return found.read_text(encoding="utf-8")


def _group(number: int) -> str:
    """The heading for a file by its number."""
    if number < 40:
        return tr("Using it")
    if number < 60:
        return tr("How the figures are made")
    return tr("Files, keys and changes")


def _cautions(catalogue: Catalogue) -> str:
    parts = []
    for one in catalogue.cautions.values():
        parts.append(heading(escaped(one.title), 2))
        parts.append(caution(escaped(one.text), escaped(tr("Take care."))))
    return "".join(parts)


# --- One check ---


def check_page(check: Check, catalogue: Catalogue) -> str:
    """Everything about a check on one page, to read and to print."""
    parts = [
        heading(escaped(check.title), 1),
        paragraph(escaped(_where(check, catalogue)), "quiet"),
    ]
    if check.own:
        parts.append(paragraph(escaped(tr("This check is one of your own.")), "quiet"))
    if check.drawing:
        parts.append(f'<p><img src="{DRAWING}{escaped(check.drawing)}"></p>')
    texts = [catalogue.cautions[name].text for name in check.cautions]
    if texts:
        parts.append(caution(escaped(" ".join(texts)), escaped(tr("Take care."))))
    parts.append(heading(escaped(tr("How to look")), 2))
    parts.append(listed(map(escaped, check.steps), numbered=True))
    parts.append(paragraph(escaped(check.feel)))
    wording = catalogue.wording
    parts += [_meanings(check), _rules(check, wording)]
    parts += [_remedies(check), _doubt(check, wording)]
    return "".join(parts)


def _where(check: Check, catalogue: Catalogue) -> str:
    looks = {"ashore": tr("ashore"), "afloat": tr("afloat"), "either": tr("ashore or afloat")}
    station = catalogue.stations.get(check.station)
    said = (
        catalogue.systems[check.system].title,
        station.label if station is not None else "",
        looks.get(check.looks, check.looks),
        tr("{n} minutes").format(n=check.minutes),
        ", ".join(check.tools) or tr("bare eyes"),
    )
    return ", ".join(one for one in said if one)


def _meanings(check: Check) -> str:
    rows = [
        (f"<b>{escaped(formatting.grade_word(grade))}</b>", escaped(words))
        for grade, words in check.meaning.items()
    ]
    made = heading(escaped(tr("What it means")), 2) + table(rows, first="14%")
    if check.leads_to:
        made += heading(escaped(tr("What it leads to if left")), 3)
        made += paragraph(escaped(check.leads_to))
    handover = tr("Call in: {who}. {when}")
    made += paragraph(escaped(handover.format(who=check.handover.who, when=check.handover.when)))
    return made


def _rules(check: Check, wording: Wording) -> str:
    if not check.rules:
        return ""
    rows = [(escaped(_rule(one)), escaped(wording.source(one.source))) for one in check.rules]
    return heading(escaped(tr("Rules and their sources")), 2) + table(
        rows, (escaped(tr("Rule")), escaped(tr("Source"))), first="55%"
    )


def _rule(rule: Rule) -> str:
    said = rule.says or rule.id.replace("-", " ")
    scope = f" ({rule.scope.rstrip('.')})" if rule.scope else ""
    beside = "" if rule.lead else f" {tr('Shown beside the leading one.')}"
    return f"{said}{scope}.{beside}"


def _remedies(check: Check) -> str:
    if not check.remedies:
        return ""
    rows = [
        (
            f"<b>{escaped(one.title)}</b><br>{escaped(one.detail)}",
            escaped(_offered(one)),
            escaped(_own(one)),
        )
        for one in check.remedies
    ]
    heads = (tr("Put right by"), tr("When"), tr("By yourself"))
    return heading(escaped(tr("Putting it right")), 2) + table(
        rows, [escaped(head) for head in heads], first="44%"
    )


def _offered(remedy: Remedy) -> str:
    grades = ", ".join(formatting.grade_word(grade) for grade in remedy.grades)
    return f"{formatting.when_word(remedy.when)}; {grades}"


def _own(remedy: Remedy) -> str:
    if not remedy.own.may:
        return tr("No. {note}").format(note=remedy.own.note).strip()
    return tr("Yes. {note}").format(note=remedy.own.note).strip()


def _doubt(check: Check, wording: Wording) -> str:
    """What is assumed about this check."""
    ages = []
    for up_to, chance in check.prior.bands:
        words = tr("up to {n} years").format(n=up_to) if up_to is not None else tr("older")
        ages.append(f"{words}: {formatting.percent(float(chance))}")
    judgement = check.judgement
    said = [
        tr("How common it is when nobody looked: {ages}.").format(ages="; ".join(ages)),
        tr("A careful layperson sees it {sees} of the time, and cries wolf {alarm}.").format(
            sees=formatting.percent(float(judgement.sees)),
            alarm=formatting.percent(float(judgement.false_alarm)),
        ),
    ]
    if check.life_years is not None:
        low, high = check.life_years
        source = wording.source(check.life_source) if check.life_source is not None else ""
        words = tr("It usually lasts {low} to {high} years ({source}).")
        said.append(words.format(low=low, high=high, source=source))
    made = heading(escaped(tr("What is assumed")), 2) + paragraph(escaped(" ".join(said)), "quiet")
    if check.suspicions:
        made += listed(escaped(one.why) for one in check.suspicions)
    return made


def found_in(pages: tuple[Topic, ...], text: str) -> tuple[Topic, ...]:
    """The pages that hold all the words, those with a word in their title first."""
    words = text.casefold().split()
    if not words:
        return pages
    hits = [one for one in pages if all(word in one.words for word in words)]
    return tuple(
        sorted(hits, key=lambda one: not all(word in one.title.casefold() for word in words))
    )
