"""What the rules of a check make of one reading: a grade, the rules behind it, and their spread.

Rules of one group are different sources for the same question. The lead decides the grade; the
others are answered beside it, so that a reading between two published limits shows as "worn by one
rule, due by another" and never as one hard edge. Groups are different questions about the same
part (how much play, does it knock); the worst of them is the grade.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from workbench.catalogue.model import Band, Catalogue, Check, Condition, Rule
from workbench.catalogue.names import dimension_words
from workbench.catalogue.wording import ENGLISH_WORDING, Wording, marked
from workbench.domain.boat import Boat
from workbench.domain.hull_number import read_hull_number
from workbench.domain.inspection import Reading
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade, worst

YEARS = marked("years")


@dataclass(frozen=True, slots=True)
class RuleResult:
    """What one rule says of one reading.

    Attributes
    ----------
    compared
        The number that was held against the bands, as text with its unit; empty for a choice.
    missing
        Why the rule could not be applied; the grade is then unseen.
    used_share
        Share of life used up, 0 to 1, where the rule can say; None where it cannot.
    """

    rule: Rule
    grade: Grade
    compared: str = ""
    missing: str = ""
    used_share: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What all rules of a check say of one reading.

    Attributes
    ----------
    grade
        The worst of the lead rules.
    best, worst
        The mildest and the harshest grade among the rules of the group that decided.
    deciding
        The lead rule behind the grade; None when no rule could be applied.
    used_share
        Share of life used up where it is worn.
    """

    grade: Grade
    best: Grade
    worst: Grade
    results: tuple[RuleResult, ...]
    deciding: RuleResult | None
    used_share: Decimal | None = None

    @property
    def split(self) -> bool:
        """Whether sources disagree about this reading."""
        return self.best is not self.worst


def holds(
    condition: Condition, facts: Mapping[str, str], dimensions: Mapping[str, Quantity]
) -> bool:
    """Whether a condition holds for a boat; an unknown dimension does not exclude."""
    for fact, values in condition.facts.items():
        if facts.get(fact) not in values:
            return False
    for name, (low, high) in condition.between.items():
        measured = dimensions.get(name)
        if measured is None:
            continue
        if low is not None and measured.exact(low.unit) < low.number:
            return False
        if high is not None and measured.exact(high.unit) >= high.number:
            return False
    return True


def judge(
    check: Check,
    reading: Reading,
    boat: Boat,
    facts: Mapping[str, str],
    as_of: date | None,
    catalogue: Catalogue | None = None,
) -> Verdict:
    """Hold a reading against the rules of its check.

    Parameters
    ----------
    facts
        The boat's fit-out facts with the catalogue's defaults filled in.
    as_of
        The day ages are reckoned to, when the reading itself has no date.
    catalogue
        In whose words it is said why a rule cannot be applied; without one, in plain English.
    """
    bench = _Bench(check, reading, boat, reading.taken or as_of, catalogue)
    results = tuple(
        bench.apply(rule)
        for rule in check.rules
        if rule.entry in reading.values and holds(rule.only_if, facts, boat.dimensions)
    )
    applied = [result for result in results if not result.missing]
    leads = _leads(applied)
    if not leads:
        return Verdict(Grade.UNSEEN, Grade.UNSEEN, Grade.UNSEEN, results, None)
    grade = worst([result.grade for result in leads])
    deciding = next(result for result in leads if result.grade is grade)
    group = [one.grade for one in applied if one.rule.group == deciding.rule.group]
    mildest = min(group, key=lambda one: one.severity)
    return Verdict(grade, mildest, worst(group), results, deciding, _used(leads, grade))


def _leads(applied: list[RuleResult]) -> list[RuleResult]:
    """One deciding result per group: its lead, or the first that could be applied."""
    by_group: dict[str, RuleResult] = {}
    for result in applied:
        held = by_group.get(result.rule.group)
        if held is None or (result.rule.lead and not held.rule.lead):
            by_group[result.rule.group] = result
    return list(by_group.values())


def _used(leads: list[RuleResult], grade: Grade) -> Decimal | None:
    if grade is not Grade.WORN:
        return None
    shares = [one.used_share for one in leads if one.used_share is not None]
    return max(shares, default=None)


class _Bench(NamedTuple):
    """One reading of one boat, held against the rules of its check."""

    check: Check
    reading: Reading
    boat: Boat
    on: date | None
    catalogue: Catalogue | None

    @property
    def wording(self) -> Wording:
        """The language in which it is said what stands in the way."""
        return ENGLISH_WORDING if self.catalogue is None else self.catalogue.wording

    def apply(self, rule: Rule) -> RuleResult:
        """What one rule says of the reading."""
        wording, value = self.wording, self.reading.values[rule.entry]
        if rule.kind == "choice":
            grade = rule.grades.get(value) if isinstance(value, str) else None
            if grade is None:
                why = wording.say("The choice is not one of this check.")
                return RuleResult(rule, Grade.UNSEEN, missing=why)
            return RuleResult(rule, grade)
        if rule.kind == "method":
            return _by_method(rule, str(value), wording)
        if not isinstance(value, Quantity):
            return RuleResult(rule, Grade.UNSEEN, missing=wording.say("A number is needed."))
        try:
            compared, unit = self._compared(rule, value)
        except EntryError as error:
            return RuleResult(rule, Grade.UNSEEN, missing=str(error))
        grade = _grade_at(rule, compared)
        shown = f"{wording.number(_plain(compared))} {wording.word(unit)}".strip()
        return RuleResult(rule, grade, shown, used_share=_used_share(rule, compared))

    def _compared(self, rule: Rule, value: Quantity) -> tuple[Decimal, str]:
        """The number that is held against the bands, and its unit as shown."""
        if rule.kind == "age":
            if self.on is None:
                why = self.wording.say("The age needs a date: say when the reading was taken.")
                raise EntryError(why)
            return Decimal(self.on.year) - value.number, YEARS
        entry = self.check.entry(rule.entry)
        unit = rule.unit or (entry.unit if entry else value.unit)
        if rule.form == "value":
            return _number(value, unit) * rule.times, unit
        other = self._other(rule)
        if rule.form == "difference":
            return (_number(value, unit) - _number(other, unit)) * rule.times, unit
        base = other.exact(value.unit) if other.kind == value.kind else None
        if not base:
            what = self._words(rule.of)
            why = self.wording.say("{what} must be above zero, in the same kind.", what=what)
            raise EntryError(why)
        ratio = _decimal_of(value.exact(value.unit) / base) * rule.times
        return (Decimal(1) - ratio if rule.form == "loss" else ratio), ""

    def _other(self, rule: Rule) -> Quantity:
        """What the reading is taken of: another entry, or a size of the boat."""
        what = self._words(rule.of)
        if rule.of.startswith("entry:"):
            other = self.reading.values.get(rule.of.removeprefix("entry:"))
            if not isinstance(other, Quantity):
                why = self.wording.say("This rule also needs the field “{what}”.", what=what)
                raise EntryError(why)
            return other
        measured = self.boat.dimensions.get(rule.of)
        if measured is None:
            raise EntryError(self.wording.say("This rule needs the boat's {what}.", what=what))
        return measured

    def _words(self, of: str) -> str:
        """An entry by its label, or a dimension as it stands in a sentence."""
        if of.startswith("entry:"):
            entry = self.check.entry(of.removeprefix("entry:"))
            return entry.label if entry is not None else of.removeprefix("entry:")
        if self.catalogue is None:
            return of.replace("-", " ")
        return dimension_words(self.catalogue, of)


def _number(quantity: Quantity, unit: str) -> Decimal:
    return quantity.number if quantity.unit == unit else quantity.to(unit).number


def _decimal_of(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _plain(number: Decimal) -> str:
    return f"{number.quantize(Decimal('0.001')).normalize():f}"


def _grade_at(rule: Rule, compared: Decimal) -> Grade:
    grade = Grade.SOUND
    for band in rule.bands:  # in ascending severity
        if _reached(band, compared, rule.worse):
            grade = band.grade
    return grade


def _reached(band: Band, compared: Decimal, worse: str) -> bool:
    # Converted fractions may miss an edge in the 27th digit; an edge is met to the 12th.
    compared = round(compared, 12)
    if worse == "higher":
        return compared > band.at or (band.inclusive and compared == band.at)
    return compared < band.at or (band.inclusive and compared == band.at)


def _used_share(rule: Rule, compared: Decimal) -> Decimal | None:
    """How much of the way from new to due the compared number has gone."""
    due = next((band.at for band in rule.bands if band.grade.needs_work), None)
    if due is None or rule.new is None or due == rule.new:
        return None
    return min(max((compared - rule.new) / (due - rule.new), Decimal(0)), Decimal(1))


def _by_method(rule: Rule, text: str, wording: Wording) -> RuleResult:
    if rule.method == "hull-number":
        read = read_hull_number(text)
        outcome = "refused" if not read.valid else "doubtful" if read.warnings else "well-formed"
        return RuleResult(rule, rule.grades.get(outcome, Grade.UNSEEN), " ".join(read.sentences))
    why = wording.say("The method “{name}” is not known.", name=rule.method)
    return RuleResult(rule, Grade.UNSEEN, missing=why)
