"""The workbook: boats, readings, work lines and totals, with formulas that stay alive.

    write_workbook(assessment, path, private=False)

Change a rate, an hour, a price or a quote in a tinted cell and every total follows, to the cents
the program itself would show. What was drawn (P50, P80) is written as a value and called so. The
buyer's own secrets (budget, walk-away price, offers, private notes, contacts) are in it only when
`private` is asked for.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

from workbench.domain.money import decimals_of
from workbench.domain.settings import Fee, Settings, Tax
from workbench.figures.assessment import Assessment, BoatAssessment
from workbench.figures.findings import shown_reading
from workbench.figures.pricing import limits_of

from .workbook_book import Book, Cell, Column, Formula, column_letters, rounded
from .workbook_work import write_access, write_labour, write_lines, write_rates

_WORDS = """
Figures of a buyer who looked these boats over ashore. Not a survey, no valuation, no warranty.
Tinted cells may be changed; everything that depends on them follows.
Each amount is rounded once, half up, to the currency's own decimals; totals add rounded amounts.
Means are (lowest + 4 likely + highest) / 6 of a curve that passes the book's ends one time in ten;
of a job drawn as a triangle (lowest + likely + highest) / 3.
Chances are the program's: how common a fault is at her age (assumed), moved by what was seen.
An access task is needed when any work that needs it is; it is charged once a lay-up.
P50 and P80 were drawn by the program and do not follow changes made here.
Work on gas, mains, structure and rig belongs to licensed trades under the local code.
""".strip().splitlines()
TOTALS = (
    Column("Boat", width=18),
    Column("Name", width=24),
    Column("Asking", "money", 12),
    Column("Purchase", "money", 12),
    Column("Deferred maintenance", "money", 13),
    Column("Share of asking", "share", 9),
    Column("Allowance", "money", 12),
    Column("Work before sailing", "money", 12),
    Column("Cost to ready", "money", 12),
    Column("P50, drawn", "money", 12),
    Column("P80, drawn", "money", 12),
    Column("Claim", "money", 12),
    Column("Checks", "whole", 8),
    Column("Looked at", "whole", 8),
    Column("Not priced", "whole", 8),
)
BOATS = (
    Column("Boat", width=18),
    Column("Name", width=24),
    Column("Design", width=20),
    Column("Builder", width=22),
    Column("Built", "whole", 7),
    Column("Lies at", width=22),
    Column("Status", width=12),
)
READINGS = (
    Column("Boat", width=18),
    Column("Check", width=28),
    Column("What", width=34),
    Column("Reading", width=30),
    Column("Grade", width=9),
    Column("Counts as", width=9),
    Column("Rule and source", width=50),
    Column("Note", width=40),
    Column("By", width=12),
    Column("On", "date", 11),
)
PURCHASE = (
    Column("Boat", width=18),
    Column("Part", width=28),
    Column("Amount", "money", 12),
)
COMPARABLES = (
    Column("Comparable", width=34),
    Column("Price", "money", 12),
    Column("Currency", width=9),
    Column("Asked or sold", width=12),
    Column("Built", "whole", 7),
    Column("Length", "number", 9),
    Column("Unit", width=6),
    Column("On", "date", 11),
    Column("Condition", "whole", 9),
    Column("Equipment", "money", 11),
    Column("Used", "whole", 6),
    Column("Source", width=30),
)
OFFERS = (
    Column("Boat", width=18),
    Column("Anchor", "money", 12),
    Column("Basis", width=60),
    Column("Opening", "money", 12),
    Column("Target", "money", 12),
    Column("Walk away", "money", 12),
    Column("Why", width=70),
    Column("Private note", width=40),
    Column("Contact", width=40),
)
OFFERS_MADE = (
    Column("Boat", width=18),
    Column("On", "date", 11),
    Column("Price", "money", 12),
    Column("Currency", width=9),
    Column("Conditions", width=40),
    Column("Answer", width=40),
    Column("Answered on", "date", 12),
    Column("Counter offer", "money", 13),
    Column("Counter currency", width=9),
)


def write_workbook(
    assessment: Assessment,
    path: Path,
    *,
    private: bool = False,
    created: datetime | None = None,
) -> Path:
    """Write the workbook of a search to `path` and answer it."""
    settings = assessment.project.settings
    when = created or _start_of(settings.as_of)
    book = Book(path, assessment.project.name, settings.currency, when)
    _write_words(book, assessment)
    lines = sum(len(boat.lines) for boat in assessment.boats.values())
    access = sum(len(boat.access) for boat in assessment.boats.values())
    purchase = _purchase_rows(assessment)
    _write_totals(book, assessment, max(lines, 1), max(access, 1), max(len(purchase), 1))
    _write_boats(book, assessment)
    _write_readings(book, assessment)
    labour = write_labour(book, assessment, write_rates(book, assessment))
    write_lines(book, assessment, labour)
    write_access(book, assessment, labour)
    book.table("Purchase", PURCHASE, purchase)
    _write_comparables(book, assessment)
    if private:
        _write_offers(book, assessment)
    book.close()
    return path


def _start_of(day: date | None) -> datetime:
    on = day or date(2026, 1, 1)
    return datetime(on.year, on.month, on.day)


def _write_words(book: Book, assessment: Assessment) -> None:
    sheet = book.add_sheet("About")
    sheet.set_column(0, 0, 100)
    book.words(sheet, 0, assessment.project.name, title=True)
    settings = assessment.project.settings
    prices = assessment.catalogue.prices
    as_of = settings.as_of.isoformat() if settings.as_of else "an unknown day"
    facts = (
        f"All amounts in {settings.currency}, as of {as_of}. Price book: {prices.region}, "
        f"{prices.dated}, {prices.currency}."
    )
    for row, words in enumerate((facts, *_WORDS), 2):
        book.words(sheet, row, words)


def _write_totals(book: Book, assessment: Assessment, lines: int, access: int, parts: int) -> None:
    rows = [
        _totals(boat, at, lines + 1, access + 1, parts + 1)
        for at, boat in enumerate(assessment.boats.values(), 2)
    ]
    book.table("Totals", TOTALS, rows)
    for name, column in (("DeferredMaintenance", "E"), ("CostToReady", "I"), ("Asking", "C")):
        book.define(name, f"=Totals!${column}$2:${column}${max(len(rows), 1) + 1}")


def _totals(boat: BoatAssessment, row: int, lines: int, access: int, parts: int) -> list[Cell]:
    at = column_letters(TOTALS)

    def total(*terms: tuple[str, str, str]) -> str:
        """The sum of a column over the rows of this boat, optionally where a flag is 1."""
        made: list[str] = []
        for sheet, column, flag in terms:
            end = {"Lines": lines, "Access": access, "Purchase": parts}[sheet]
            where = f",{sheet}!${flag}$2:${flag}${end},1" if flag else ""
            made.append(
                f"SUMIFS({sheet}!${column}$2:${column}${end},{sheet}!$A$2:$A${end},$A{row}{where})"
            )
        return "=" + "+".join(made)

    asking = float(boat.asking) if boat.asking is not None else None
    bought = float(boat.purchase.total) if boat.purchase else 0.0
    share = float(boat.deferred.mean) / asking if asking else 0.0
    deferred = total(("Lines", "U", ""), ("Access", "P", ""))
    ready = f"={at('Purchase')}{row}+{at('Work before sailing')}{row}+{at('Allowance')}{row}"
    return [
        boat.id,
        boat.candidate.boat.name,
        asking,
        Formula(total(("Purchase", "C", "")), bought),
        Formula(deferred, float(boat.deferred.mean)),
        Formula(_share(f"{at('Asking')}{row}", f"{at('Deferred maintenance')}{row}"), share),
        Formula(total(("Lines", "S", "W"), ("Access", "R", "")), float(boat.allowance.mean)),
        Formula(total(("Lines", "S", "V"), ("Access", "Q", "")), float(boat.work.mean)),
        Formula(ready, float(boat.cost_to_ready.mean)),
        boat.cost_to_ready.p50,
        boat.cost_to_ready.p80,
        boat.claim.total,
        boat.coverage.checks,
        boat.coverage.looked,
        boat.coverage.unpriced,
    ]


def _share(asking: str, deferred: str) -> str:
    return f"=IF(N({asking})=0,0,{deferred}/{asking})"


def _write_boats(book: Book, assessment: Assessment) -> None:
    dimensions = assessment.catalogue.dimensions
    columns = [
        *BOATS,
        *(Column(f"{one.label} [{one.unit}]", "number", 12) for one in dimensions.values()),
    ]
    rows: list[list[Cell]] = []
    for figures in assessment.boats.values():
        boat = figures.candidate.boat
        measured: list[Cell] = [
            boat.dimensions[name].value(one.unit) if name in boat.dimensions else None
            for name, one in dimensions.items()
        ]
        rows.append(
            [
                boat.id,
                boat.name,
                boat.design,
                boat.builder,
                boat.year,
                boat.lies_at,
                boat.status.value,
                *measured,
            ]
        )
    book.table("Boats", columns, rows)


def _write_readings(book: Book, assessment: Assessment) -> None:
    rows: list[list[Cell]] = []
    for boat in assessment.boats.values():
        for finding in boat.findings:
            for judged in finding.judged:
                reading, verdict = judged.reading, judged.verdict
                rule = verdict.deciding.rule if verdict.deciding else None
                rows.append(
                    [
                        boat.id,
                        finding.check.id,
                        finding.check.title,
                        shown_reading(finding.check, reading),
                        verdict.grade.value,
                        finding.grade.value,
                        f"{rule.says} ({rule.source.sentence()})" if rule else "",
                        reading.note,
                        reading.by,
                        reading.taken,
                    ]
                )
    book.table("Readings", READINGS, rows)


def _purchase_rows(assessment: Assessment) -> list[list[Cell]]:
    """Price, each tax and each fee of every boat, by formulas over the price above them."""
    settings = assessment.project.settings
    rows: list[list[Cell]] = []
    for figures in assessment.boats.values():
        if figures.purchase is None:
            continue
        parts = dict(figures.purchase.parts)
        price_row = len(rows) + 2
        rows.append([figures.id, "price", float(figures.purchase.price)])
        for tax in settings.taxes:
            if tax.bands:
                formula = _tax(tax, f"$C${price_row}", decimals_of(settings.currency))
                rows.append([figures.id, tax.label, Formula(formula, float(parts[tax.label]))])
        for fee in settings.fees:
            if not fee.only or figures.id in fee.only:
                formula = _fee(fee, figures, settings, f"$C${price_row}")
                rows.append([figures.id, fee.label, Formula(formula, float(parts[fee.label]))])
    return rows


def _tax(tax: Tax, price: str, digits: int) -> str:
    """Each band on its slice of the base, rounded once, never above the cap."""
    base = f"MAX({price},{tax.minimum_base})"
    bands = sorted(tax.bands, key=lambda band: band.above)
    uppers = [*(band.above for band in bands[1:]), None]
    slices = [
        f"MAX(0,{_below(base, upper)}-{band.above})*{band.percent / Decimal(100)}"
        for band, upper in zip(bands, uppers, strict=True)
    ]
    whole = rounded("+".join(slices), digits)
    return f"={whole}" if tax.cap is None else f"=MIN({whole},{tax.cap})"


def _below(base: str, upper: Decimal | None) -> str:
    return base if upper is None else f"MIN({base},{upper})"


def _fee(fee: Fee, figures: BoatAssessment, settings: Settings, price: str) -> str:
    digits = decimals_of(settings.currency)
    distance = figures.candidate.boat.distance
    away = distance.value("nmi") if distance is not None else 0.0
    fixed = rounded(repr(limits_of(fee.amount).mean), digits)
    way = rounded(f"{fee.per_nautical_mile}*{away!r}", digits)
    whole = f"{fixed}+{way}+{price}*{fee.percent / Decimal(100)}"
    return f"={rounded(whole, digits)}"


def _write_comparables(book: Book, assessment: Assessment) -> None:
    rows: list[list[Cell]] = [
        [
            one.title,
            one.price.amount,
            one.price.currency,
            one.asked.value,
            one.year,
            one.length.number if one.length else None,
            one.length.unit if one.length else "",
            one.on,
            one.condition,
            one.equipment,
            1 if one.used else 0,
            one.source,
        ]
        for one in assessment.project.comparables
    ]
    book.table("Comparables", COMPARABLES, rows)


def _write_offers(book: Book, assessment: Assessment) -> None:
    """For the buyer alone."""
    rows: list[list[Cell]] = []
    for figures in assessment.boats.values():
        offer, boat = figures.offer, figures.candidate.boat
        rows.append(
            [
                figures.id,
                offer.anchor.value,
                offer.anchor.basis,
                offer.opening,
                offer.target,
                offer.walk_away,
                offer.limit.why,
                boat.private_note,
                boat.contact,
            ]
        )
    book.table("For you alone", OFFERS, rows)
    made: list[list[Cell]] = [
        [
            figures.id,
            one.on,
            one.price.amount,
            one.price.currency,
            one.conditions,
            one.answer,
            one.answered_on,
            one.counter.amount if one.counter else None,
            one.counter.currency if one.counter else None,
        ]
        for figures in assessment.boats.values()
        for one in figures.candidate.ledger.offers
    ]
    if made:
        book.table("Offers made", OFFERS_MADE, made)
