"""Whether the parts of a catalogue fit together: every link leads somewhere, nothing is missing.

`faults_of` answers all faults at once, each at the place of the record that names what is missing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from workbench.domain.problem import Problem, Severity
from workbench.domain.vocabulary import Grade

from .model import AccessTask, Catalogue, Check, Condition, PriceItem, Remedy, Rule

METHODS = ("hull-number",)
_JUDGED = (Grade.WORN, Grade.DUE, Grade.UNSAFE)


def faults_of(catalogue: Catalogue, places: Mapping[str, str] | None = None) -> list[Problem]:
    """Every link that leads nowhere and every rule of the format that is broken.

    Parameters
    ----------
    places
        File and line of each record by what it is and its id, such as `check seal`.
    """
    found: list[tuple[str, str]] = []
    for check in catalogue.checks.values():
        found += [(f"check {check.id}", fault) for fault in _check_faults(check, catalogue)]
    for item in catalogue.prices.items.values():
        found += [(f"price {item.id}", fault) for fault in _price_faults(item, catalogue)]
    for task in catalogue.access.values():
        found += [(f"access task {task.id}", fault) for fault in _task_faults(task, catalogue)]
    for look in catalogue.looks.values():
        unknown = [system for system in look.systems if system not in catalogue.systems]
        found += [(f"look {look.id}", f"There is no system “{system}”.") for system in unknown]
    ring = ring_of({task.id: task.requires for task in catalogue.access.values()})
    if ring:
        found.append(("access tasks", f"They need each other in a ring: {' → '.join(ring)}."))
    known = places or {}
    return [
        Problem(_place(where, known), message, "", Severity.PROBLEM) for where, message in found
    ]


def _place(where: str, places: Mapping[str, str]) -> str:
    """What is meant, with its file and line before it where they are known."""
    return f"{places[where]}: {where}" if where in places else where


def _price_faults(item: PriceItem, catalogue: Catalogue) -> Iterator[str]:
    for labour in item.labour:
        if labour.trade not in catalogue.prices.trades:
            yield f"The trade “{labour.trade}” is not known."
    for scale in item.scales:
        if scale.dimension not in catalogue.dimensions:
            yield f"“{scale.dimension}” is not a dimension."


def _task_faults(task: AccessTask, catalogue: Catalogue) -> Iterator[str]:
    if task.item not in catalogue.prices.items:
        yield f"The price item “{task.item}” is not in the price book."
    for other in task.requires:
        if other not in catalogue.access:
            yield f"It requires “{other}”, which is no access task."


def ring_of(requires: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """A ring in the access tasks, first name repeated at the end; empty when there is none."""
    done: set[str] = set()

    def walk(task: str, trail: tuple[str, ...]) -> tuple[str, ...]:
        if task in trail:
            return (*trail[trail.index(task) :], task)
        if task in done:
            return ()
        for other in requires.get(task, ()):
            ring = walk(other, (*trail, task))
            if ring:
                return ring
        done.add(task)
        return ()

    for task in requires:
        ring = walk(task, ())
        if ring:
            return ring
    return ()


def _check_faults(check: Check, catalogue: Catalogue) -> Iterator[str]:
    if check.station not in catalogue.stations:
        yield f"The station “{check.station}” is not known."
    yield from _condition_faults(check.applies, catalogue)
    yield from _caution_faults(check, catalogue)
    for rule in check.rules:
        yield from _rule_faults(rule, check, catalogue)
    yield from _lead_faults(check)
    for suspicion in check.suspicions:
        if suspicion.check not in catalogue.checks:
            yield f"It raises suspicion of “{suspicion.check}”, which is no check."
    for remedy in check.remedies:
        yield from _remedy_faults(remedy, check, catalogue)
    yield from _grade_faults(check)


def _condition_faults(condition: Condition, catalogue: Catalogue) -> Iterator[str]:
    for key, values in condition.facts.items():
        fact = catalogue.facts.get(key)
        if fact is None:
            yield f"“{key}” is not a fit-out fact."
            continue
        known = {choice.id for choice in fact.choices}
        for value in values:
            if value not in known:
                yield f"The fact “{key}” cannot be “{value}”."
    for key in condition.between:
        if key not in catalogue.dimensions:
            yield f"“{key}” is not a dimension."


def _caution_faults(check: Check, catalogue: Catalogue) -> Iterator[str]:
    covered: set[str] = set()
    for name in check.cautions:
        caution = catalogue.cautions.get(name)
        if caution is None:
            yield f"The caution “{name}” is not known."
        else:
            covered.update(caution.hazards)
    for hazard in check.hazards:
        if hazard not in covered:
            yield f"The hazard “{hazard}” has no caution at this check."


def _rule_faults(rule: Rule, check: Check, catalogue: Catalogue) -> Iterator[str]:
    entry = check.entry(rule.entry)
    if entry is None:
        yield f"Rule {rule.id} reads “{rule.entry}”, which is no entry of this check."
        return
    wanted = {"bands": ("number",), "choice": ("choice",), "age": ("year",)}.get(rule.kind)
    if wanted and entry.kind not in wanted:
        yield f"Rule {rule.id} is by {rule.kind} and cannot read a {entry.kind}."
    if rule.kind == "method" and rule.method not in METHODS:
        yield f"Rule {rule.id} names the method “{rule.method}”, which is not known."
    if rule.kind == "choice":
        yield from _choice_faults(rule, {choice.id for choice in entry.choices})
    if rule.of.startswith("entry:"):
        if check.entry(rule.of.removeprefix("entry:")) is None:
            yield f"Rule {rule.id} is taken of “{rule.of}”, which is no entry of this check."
    elif rule.of and rule.of not in catalogue.dimensions:
        yield f"Rule {rule.id} is taken of “{rule.of}”, which is no dimension."
    yield from _condition_faults(rule.only_if, catalogue)


def _choice_faults(rule: Rule, known: set[str]) -> Iterator[str]:
    for name in rule.grades:
        if name not in known:
            yield f"Rule {rule.id} grades “{name}”, which is no choice."
    for name in sorted(known - set(rule.grades)):
        yield f"Rule {rule.id} does not say what “{name}” means."


def _lead_faults(check: Check) -> Iterator[str]:
    """Rules of one group that can hold at once need exactly one lead among them."""
    groups: dict[str, list[Rule]] = {}
    for rule in check.rules:
        groups.setdefault(rule.group, []).append(rule)
    for name, rules in groups.items():
        leads = [rule for rule in rules if rule.lead]
        overlapping = [rule for rule in leads if rule.only_if == leads[0].only_if]
        if not leads or len(overlapping) > 1:
            yield f"The rules of group “{name}” need one lead; they have {len(leads)}."


def _remedy_faults(remedy: Remedy, check: Check, catalogue: Catalogue) -> Iterator[str]:
    for line in remedy.work:
        if line.item not in catalogue.prices.items:
            yield f"Remedy {remedy.id} uses price “{line.item}”, which is not in the price book."
        if line.count_entry and check.entry(line.count_entry) is None:
            yield f"Remedy {remedy.id} counts “{line.count_entry}”, which is no entry."
        if line.count_dimension and line.count_dimension not in catalogue.dimensions:
            yield f"Remedy {remedy.id} counts by “{line.count_dimension}”, which is no dimension."
    for other in remedy.covers:
        if other not in catalogue.checks:
            yield f"Remedy {remedy.id} covers “{other}”, which is no check."
    for task in remedy.access:
        if task not in catalogue.access:
            yield f"Remedy {remedy.id} needs “{task}”, which is no access task."


def _grade_faults(check: Check) -> Iterator[str]:
    given: set[Grade] = set()
    for rule in check.rules:
        given.update(band.grade for band in rule.bands)
        given.update(rule.grades.values())
    offered = {grade for remedy in check.remedies for grade in remedy.grades}
    for grade in _JUDGED:
        if grade in given and grade not in offered:
            yield f"A rule can give {grade.value}, but no remedy is offered for it."
        if grade in given and grade not in check.meaning:
            yield f"A rule can give {grade.value}, but its meaning is not written."
    due = check.default_remedy(Grade.DUE)
    if due is None or not due.work:
        yield "The first remedy for due must say what work it is; the unseen is reckoned with it."
    if not check.entries:
        yield "A check needs at least one entry."
    if not check.rules:
        yield "A check needs at least one rule."
