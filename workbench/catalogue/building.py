"""From catalogue tables to records: one function for each kind of table.

Every function notes its faults in the table and answers a record all the same, so that one pass
over the files reports all that is wrong with them. Links between records are not looked at here;
`linking` does that when everything is read.
"""

from __future__ import annotations

from decimal import Decimal

from workbench.domain.frozen import FrozenMap
from workbench.domain.quantity import UNITS, Quantity
from workbench.domain.vocabulary import ClaimRule, Grade, When

from .model import (
    AccessTask,
    Band,
    Caution,
    Check,
    Choice,
    Condition,
    Dimension,
    Entry,
    Fact,
    Handover,
    Judgement,
    Look,
    OwnWork,
    Prior,
    Remedy,
    Rule,
    Source,
    Station,
    Suspicion,
    System,
    WorkLine,
)
from .reading import Table

Lines = dict[str, list[int]]
BASES = ("published", "common-practice", "memory")


def source(table: Table) -> Source:
    """Where a statement comes from."""
    made = Source(
        basis=table.choice("basis", BASES),
        title=table.text("title", ""),
        edition=table.text("edition", ""),
        clause=table.text("clause", ""),
        note=table.words("note", ""),
    )
    if made.basis == "published" and not made.title:
        table.fault("A published source needs its title.", 'Add title = "...".', "source")
    table.nothing_else()
    return made


def choices(table: Table, key: str = "choices") -> tuple[Choice, ...]:
    """The choices of a fact or an entry."""
    made = tuple(
        Choice(one.id(), one.words("label"), one.words("help", "")) for one in table.tables(key)
    )
    if len({one.id for one in made}) != len(made):
        table.fault("Two choices have the same id.", "", key)
    return made


def fact(table: Table) -> Fact:
    """A fit-out fact."""
    made = Fact(
        table.id(), table.words("label"), table.words("help"), choices(table), table.text("default")
    )
    if made.default not in {choice.id for choice in made.choices}:
        table.fault(f"The default “{made.default}” is not one of the choices.", "", "default")
    table.nothing_else()
    return made


def dimension(table: Table) -> Dimension:
    """A measured particular."""
    made = Dimension(
        id=table.id(),
        label=table.words("label"),
        help=table.words("help"),
        unit=_unit(table, "unit"),
        imperial_unit=_unit(table, "imperial_unit"),
        low=table.decimal("low"),
        high=table.decimal("high"),
    )
    table.nothing_else()
    return made


def _unit(table: Table, key: str, default: str | None = None) -> str:
    name = table.text(key, default)
    if name and name not in UNITS:
        table.fault(f"“{name}” is not a unit this program knows.", "", key)
        return "count"
    return name


def caution(table: Table) -> Caution:
    """A caution."""
    made = Caution(table.id(), table.words("title"), table.words("text"), table.texts("hazards"))
    table.nothing_else()
    return made


def station(table: Table) -> Station:
    """A place on the walk round the boat."""
    made = Station(table.id(), table.words("label"), table.whole("order"))
    table.nothing_else()
    return made


def system(table: Table) -> System:
    """A part of the boat."""
    made = System(table.id(), table.words("title"), table.whole("order"), table.words("intro"))
    table.nothing_else()
    return made


def access_task(table: Table) -> AccessTask:
    """A task of the access graph."""
    made = AccessTask(
        table.id(),
        table.words("title"),
        table.texts("requires", ()),
        table.text("item"),
        table.words("note", ""),
    )
    table.nothing_else()
    return made


def look(table: Table) -> Look:
    """A professional's look or an event."""
    made = Look(
        id=table.id(),
        title=table.words("title"),
        who=table.words("who"),
        fee=table.span("fee"),
        sees=chance(table, "sees"),
        false_alarm=chance(table, "false_alarm"),
        systems=table.texts("systems", ()),
        checks=table.texts("checks", ()),
        note=table.words("note", ""),
        source=source(table.table("source", required=True)),
    )
    table.nothing_else()
    return made


def chance(table: Table, key: str) -> Decimal:
    """A chance between 0 and 1, written as text."""
    value = table.decimal(key)
    if not 0 <= value <= 1:
        table.fault(f"“{key}” is a chance between 0 and 1.", "", key)
        return Decimal("0.5")
    return value


def condition(facts: Table, between: Table | None = None) -> Condition:
    """When something holds."""
    asked = FrozenMap({key: facts.texts(key) for key in facts.data})
    ranges: dict[str, tuple[Quantity | None, Quantity | None]] = {}
    for key in between.data if between is not None else ():
        ends = between.texts(key) if between is not None else ()
        if between is not None and len(ends) != 2:
            between.fault(
                f"“{key}” needs a lower and an upper end.", 'Leave one open with "".', key
            )
        elif between is not None:
            low, high = (between.quantity(end, key) for end in ends)
            ranges[key] = (low, high)
    return Condition(asked, FrozenMap(ranges))


def entry(table: Table) -> Entry:
    """A field of a reading."""
    kind = table.choice("kind", ("number", "choice", "year", "text"))
    unit = _unit(table, "unit", None if kind == "number" else "")
    made = Entry(
        id=table.id(),
        label=table.words("label"),
        kind=kind,
        unit="calendar year" if kind == "year" else unit,
        imperial_unit=_unit(table, "imperial_unit", unit),
        low=table.optional_decimal("low"),
        high=table.optional_decimal("high"),
        choices=choices(table) if kind == "choice" else (),
        help=table.words("help", ""),
        required=table.flag("required", default=True),
    )
    if kind == "number" and (made.low is None or made.high is None):
        table.fault("A number needs sensible limits.", "Add low and high.", "low")
    if kind == "choice" and len(made.choices) < 2:
        table.fault("A choice needs at least two choices.", "", "choices")
    table.nothing_else()
    return made


def rule(table: Table) -> Rule:
    """A way from a reading to a grade."""
    kind = table.choice("kind", ("bands", "choice", "age", "method"))
    worse = table.choice("worse", ("higher", "lower"), "higher")
    of = table.text("of", "")
    entry_id = table.text("entry")
    made = Rule(
        id=table.id(),
        entry=entry_id,
        kind=kind,
        source=source(table.table("source", required=True)),
        scope=table.words("scope", ""),
        group=table.text("group", f"{entry_id}-{kind}-{worse}"),
        lead=table.flag("lead", default=True),
        form=table.choice("form", ("value", "ratio", "loss", "difference"), "value"),
        of=of,
        times=table.decimal("times", "1"),
        unit=_unit(table, "unit", ""),
        worse=worse,
        bands=_bands(table, worse) if kind in ("bands", "age") else (),
        grades=_grades(table.table("grades")) if kind in ("choice", "method") else FrozenMap(),
        method=table.text("method") if kind == "method" else "",
        new=table.optional_decimal("new"),
        only_if=condition(table.table("only_if"), table.table("only_between")),
        says=table.words("says", ""),
    )
    if made.form != "value" and not of:
        table.fault(f"A rule on a {made.form} needs what it is taken of.", 'Add of = "...".', "of")
    table.nothing_else()
    return made


def _bands(table: Table, worse: str) -> tuple[Band, ...]:
    made = tuple(
        Band(one.member("grade", Grade), one.decimal("at"), one.flag("inclusive", default=True))
        for one in table.tables("bands")
    )
    if not made:
        table.fault("A rule by bands needs at least one band.", "", "bands")
    ordered = sorted(made, key=lambda band: band.at, reverse=worse == "lower")
    severities = [band.grade.severity for band in ordered]
    if severities != sorted(severities):
        table.fault("A worse reading would get a better grade.", "Put the bands in order.", "bands")
    return tuple(ordered)


def _grades(table: Table) -> FrozenMap[str, Grade]:
    return FrozenMap({key: table.member(key, Grade) for key in table.data})


def remedy(table: Table) -> Remedy:
    """A way to put a finding right."""
    own = table.table("own", required=True)
    made = Remedy(
        id=table.id(),
        title=table.words("title"),
        grades=_grade_list(table),
        when=table.member("when", When),
        claim=table.member("claim", ClaimRule),
        claim_why=table.words("claim_why"),
        own=OwnWork(
            own.flag("may", default=False), own.decimal("hours_share", "1"), own.words("note", "")
        ),
        work=tuple(_work_line(one) for one in table.tables("work")),
        access=table.texts("access", ()),
        covers=table.texts("covers", ()),
        detail=table.words("detail", ""),
    )
    own.nothing_else()
    table.nothing_else()
    return made


def _grade_list(table: Table) -> tuple[Grade, ...]:
    known = {grade.value: grade for grade in (Grade.WORN, Grade.DUE, Grade.UNSAFE)}
    words = table.texts("grades")
    for word in words:
        if word not in known:
            table.fault(f"“{word}” is no grade that needs a remedy.", "", "grades")
    return tuple(known[word] for word in words if word in known)


def _work_line(table: Table) -> WorkLine:
    made = WorkLine(
        id=table.id(),
        title=table.words("title"),
        item=table.text("item"),
        count=table.decimal("count", "1"),
        count_entry=table.text("count_entry", ""),
        count_dimension=table.text("count_dimension", ""),
        count_unit=_unit(table, "count_unit", ""),
    )
    table.nothing_else()
    return made


def _suspicion(table: Table) -> Suspicion:
    known = {grade.value: grade for grade in Grade}
    made = Suspicion(
        check=table.text("check"),
        at=tuple(known[word] for word in table.texts("at") if word in known),
        factor=table.decimal("factor"),
        why=table.words("why"),
    )
    if made.factor <= 0:
        table.fault("A factor on the odds is above 0.", "", "factor")
    table.nothing_else()
    return made


def _prior(table: Table) -> Prior:
    rows = table.raw("prior")
    made: list[tuple[int | None, Decimal]] = []
    for row in rows if isinstance(rows, list) else []:
        if not isinstance(row, list) or len(row) != 2:
            table.fault("A prior is a list of [age, chance].", "", "prior")
            continue
        age, chance = row
        made.append((age if isinstance(age, int) else None, _as_chance(table, chance)))
    if not made or made[-1][0] is not None:
        table.fault('The last prior must be for ["older", chance].', "", "prior")
        made.append((None, Decimal("0.1")))
    return Prior(tuple(made))


def _as_chance(table: Table, value: object) -> Decimal:
    wrapped = Table({"chance": value}, table.file, table.line, [], table.faults)
    return chance(wrapped, "chance")


def _judgement(table: Table) -> Judgement:
    made = Judgement(
        table.choice("judges", ("yes", "partly", "no")),
        chance(table, "sees"),
        chance(table, "false_alarm"),
    )
    if made.sees <= made.false_alarm:
        table.fault("A look must see a real fault more often than it sees a false one.", "", "sees")
    table.nothing_else()
    return made


def check(table: Table, system_id: str, lines: Lines, order: int) -> Check:
    """One thing to look at."""
    meaning = table.table("meaning", required=True)
    handover = table.table("handover", required=True)
    life = table.raw("life_years")
    made = Check(
        id=table.id(),
        system=system_id,
        station=table.text("station"),
        title=table.words("title"),
        part=table.words("part"),
        looks=table.choice("looks", ("ashore", "afloat", "either")),
        applies=condition(table.table("applies"), table.table("applies_between")),
        tools=table.word_list("tools", ()),
        minutes=table.whole("minutes"),
        steps=table.word_list("steps"),
        feel=table.words("feel"),
        entries=tuple(entry(one) for one in table.tables("entry", "check.entry", lines)),
        rules=tuple(rule(one) for one in table.tables("rule", "check.rule", lines)),
        meaning=FrozenMap({Grade(key): meaning.words(key) for key in _grade_keys(meaning)}),
        leads_to=table.words("leads_to"),
        hazards=table.texts("hazards", ()),
        cautions=table.texts("cautions", ()),
        handover=Handover(handover.words("who"), handover.words("when")),
        judgement=_judgement(table.table("judgement", required=True)),
        prior=_prior(table),
        remedies=tuple(remedy(one) for one in table.tables("remedy", "check.remedy", lines)),
        suspicions=tuple(
            _suspicion(one) for one in table.tables("suspicion", "check.suspicion", lines)
        ),
        drawing=table.text("drawing", ""),
        life_years=(life[0], life[1]) if isinstance(life, list) and len(life) == 2 else None,
        life_source=source(table.table("life_source")) if table.raw("life_source") else None,
        worn_share=table.decimal("worn_share", "0.5"),
        order=order,
    )
    if life is not None and made.life_source is None:
        table.fault("A typical life needs its source.", 'Add life_source = { basis = "..." }.')
    table.nothing_else()
    return made


def _grade_keys(table: Table) -> list[str]:
    known = {grade.value for grade in Grade}
    for key in table.data:
        if key not in known:
            table.fault(f"“{key}” is not a grade.", "", key)
    return [key for key in table.data if key in known]
