"""The sheets that carry the work: rates, labour, lines and access tasks, all live."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from workbench.domain.money import decimals_of
from workbench.figures.assessment import (
    SAILING,
    AccessCharge,
    Assessment,
    BoatAssessment,
    Line,
    Part,
)
from workbench.figures.pricing import NOTHING, LabourCost, Tariff

from .workbook_book import Book, Cell, Column, Formula, column_letters, rounded

RATES = (
    Column("Trade", width=22),
    Column("Rate", "money", 10, input=True),
    Column("Source", width=28),
)
LABOUR = (
    Column("Boat", width=16),
    Column("Line", width=44),
    Column("Trade", width=18),
    Column("Hours lowest", "number", 9, input=True),
    Column("Hours likely", "number", 9, input=True),
    Column("Hours highest", "number", 9, input=True),
    Column("Hours mean", "number", 9),
    Column("Rate", "money", 10),
    Column("Cost", "number", 11),
)
LINES = (
    Column("Boat", width=16),
    Column("Line", width=44),
    Column("Work", width=36),
    Column("System", width=18),
    Column("Account", width=9),
    Column("When", width=16),
    Column("Grade", width=8),
    Column("Basis", width=11),
    Column("Counts", "whole", 7),
    Column("Chance", "share", 8),
    Column("Number", "number", 8, input=True),
    Column("Labour each", "number", 11),
    Column("Materials lowest", "number", 10, input=True),
    Column("Materials likely", "number", 10, input=True),
    Column("Materials highest", "number", 10, input=True),
    Column("Materials mean", "number", 10),
    Column("Quote", "money", 10, input=True),
    Column("If needed", "money", 11),
    Column("Counted", "money", 11),
    Column("Used up", "share", 8),
    Column("Deferred", "money", 11),
    Column("In work", "whole", 7),
    Column("In allowance", "whole", 9),
    Column("Price from", width=34),
)
ACCESS = (
    Column("Boat", width=16),
    Column("Key", width=34),
    Column("Task", width=36),
    Column("When", width=16),
    Column("Jobs", "whole", 6),
    Column("Labour", "number", 11),
    Column("Materials lowest", "number", 10, input=True),
    Column("Materials likely", "number", 10, input=True),
    Column("Materials highest", "number", 10, input=True),
    Column("Quote", "money", 10, input=True),
    Column("Mean", "money", 11),
    Column("Counts", "whole", 7),
    Column("Needed by due work", "share", 10),
    Column("Needed by found work", "share", 10),
    Column("Needed by any", "share", 10),
    Column("Deferred", "money", 11),
    Column("In work", "money", 11),
    Column("In allowance", "money", 11),
)


def write_rates(book: Book, assessment: Assessment) -> dict[str, int]:
    """The price of an hour by trade; answers the spreadsheet row of each trade."""
    tariff = Tariff(assessment.project, assessment.catalogue)
    trades = assessment.catalogue.prices.trades
    rows: list[list[Cell]] = [
        [
            trade.id,
            tariff.rate(trade.id),
            "own figure"
            if trade.id in assessment.project.settings.rates
            else trade.source.sentence(),
        ]
        for trade in trades.values()
    ]
    book.table("Rates", RATES, rows)
    return {name: at + 2 for at, name in enumerate(trades)}


def write_labour(book: Book, assessment: Assessment, rate_rows: dict[str, int]) -> int:
    """Hours by trade of every line; answers how many rows there are."""
    at = column_letters(LABOUR)
    tariff = Tariff(assessment.project, assessment.catalogue)
    rows: list[list[Cell]] = []
    for boat, key, labour in _labour(assessment):
        place = len(rows) + 2
        live = labour.trade in rate_rows and labour.rate == tariff.rate(labour.trade)
        rate: Cell = (
            Formula(f"=Rates!$B${rate_rows[labour.trade]}", labour.rate) if live else labour.rate
        )
        lowest, likely, highest = labour.hours
        mean = f"=({at('Hours lowest')}{place}+4*{at('Hours likely')}{place}"
        rows.append(
            [
                boat,
                key,
                labour.trade,
                lowest,
                likely,
                highest,
                Formula(f"{mean}+{at('Hours highest')}{place})/6", labour.hours.mean),
                rate,
                Formula(f"={at('Hours mean')}{place}*{at('Rate')}{place}", labour.cost.mean),
            ]
        )
    book.table("Labour", LABOUR, rows)
    return max(len(rows), 1)


def _labour(assessment: Assessment) -> Iterable[tuple[str, str, LabourCost]]:
    """Boat, key and hours of every trade, of lines and of access tasks."""
    for boat in assessment.boats.values():
        for line in boat.lines:
            for labour in line.priced.labour if line.priced is not None else ():
                yield boat.id, line.key, labour
        for charge in boat.access:
            for labour in charge.priced.labour if charge.priced is not None else ():
                yield boat.id, charge.key, labour


def _labour_sum(row: int, labour_rows: int) -> str:
    """The labour of the boat and key that stand in the first two columns of a row."""
    end = labour_rows + 1
    return (
        f"=SUMIFS(Labour!$I$2:$I${end},Labour!$A$2:$A${end},$A{row},Labour!$B$2:$B${end},$B{row})"
    )


def write_lines(book: Book, assessment: Assessment, labour_rows: int) -> int:
    """Every work line, its cost and what it counts for; answers how many rows there are."""
    rows: list[list[Cell]] = []
    for boat in assessment.boats.values():
        for line in boat.lines:
            rows.append(_line(boat, line, len(rows) + 2, labour_rows))
    book.table("Lines", LINES, rows)
    return max(len(rows), 1)


def _line(boat: BoatAssessment, line: Line, row: int, labour_rows: int) -> list[Cell]:
    at = column_letters(LINES)
    digits = decimals_of(boat.currency)
    allowed = line.part.allowed_for
    work = not allowed and line.when in SAILING
    used = _used_share(line)
    low, likely, high, each = _materials(line)
    weight = 1 if line.triangular else 4
    labour = _labour_each(line)
    total = f"{at('Number')}{row}*({at('Labour each')}{row}+{at('Materials mean')}{row})"
    counted = f"{at('Counts')}{row}*{at('Chance')}{row}*{at('If needed')}{row}"
    deferred = f"{at('Counted')}{row}*{at('Used up')}{row}"
    quote = f"{at('Quote')}{row}"
    return [
        boat.id,
        line.key,
        line.title,
        line.system,
        line.part.value,
        line.when.value,
        line.grade.value,
        line.basis.value,
        1 if line.counts else 0,
        line.chance,
        _number(line),
        Formula(_labour_sum(row, labour_rows), labour),
        low,
        likely,
        high,
        Formula(
            f"=({at('Materials lowest')}{row}+{weight}*{at('Materials likely')}{row}"
            f"+{at('Materials highest')}{row})/{2 + weight}",
            each,
        ),
        line.mean if line.quote is not None else None,
        Formula(f'=IF({quote}="",{total},{quote})', line.mean),
        Formula(f"={rounded(counted, digits)}", float(line.counted)),
        used,
        Formula(
            f"={rounded(deferred, digits)}",
            float(line.deferred),
        ),
        1 if work else 0,
        1 if allowed else 0,
        _source(line),
    ]


def _number(line: Line) -> float:
    return line.priced.count if line.priced is not None else 1.0


def _labour_each(line: Line) -> float:
    return sum(one.cost.mean for one in line.priced.labour) if line.priced is not None else 0.0


def _materials(line: Line) -> tuple[float, float, float, float]:
    """Materials of one piece; an own line is all materials; an unpriced line has none."""
    if line.own is not None:
        low, likely, high = line.cost
        mean = line.cost.mean_of_triangle if line.triangular else line.cost.mean
        return low, likely, high, mean
    if line.priced is None or line.unpriced:
        return 0.0, 0.0, 0.0, 0.0
    low, likely, high = line.priced.materials
    return low, likely, high, line.priced.materials.mean


def _used_share(line: Line) -> float:
    if line.part in (Part.DUE, Part.OWN):
        return 1.0
    if line.part is Part.WORN and line.finding is not None:
        return float(line.finding.used_share)
    return 0.0


def _source(line: Line) -> str:
    if line.quote is not None:
        on = f", {line.quote.on.isoformat()}" if line.quote.on else ""
        return f"quote of {line.quote.yard}{on}"
    if line.unpriced:
        return f"not priced: {line.unpriced}"
    if line.priced is None:
        return "own entry"
    return "own figures" if line.priced.overridden else line.priced.source


def write_access(book: Book, assessment: Assessment, labour_rows: int) -> int:
    """Access tasks, charged once a lay-up; answers how many rows there are."""
    rows: list[list[Cell]] = []
    for boat in assessment.boats.values():
        for charge in boat.access:
            rows.append(_access(boat, charge, len(rows) + 2, labour_rows))
    book.table("Access", ACCESS, rows)
    return max(len(rows), 1)


def _access(boat: BoatAssessment, charge: AccessCharge, row: int, labour_rows: int) -> list[Cell]:
    at = column_letters(ACCESS)
    digits = decimals_of(boat.currency)
    priced = charge.priced
    labour = sum(one.cost.mean for one in priced.labour) if priced is not None else 0.0
    low, likely, high = priced.materials if priced is not None else NOTHING
    materials = (
        f"({at('Materials lowest')}{row}+4*{at('Materials likely')}{row}"
        f"+{at('Materials highest')}{row})/6"
    )
    quote = f"{at('Quote')}{row}"
    mean = f'=IF({quote}="",{at("Labour")}{row}+{materials},{quote})'

    def share(chance: str, value: Decimal) -> Formula:
        cost = f"({chance})*{at('Counts')}{row}*{at('Mean')}{row}"
        return Formula(f"={rounded(cost, digits)}", float(value))

    due, found, anything = (
        f"{at(head)}{row}"
        for head in ("Needed by due work", "Needed by found work", "Needed by any")
    )
    return [
        boat.id,
        charge.key,
        charge.task.title,
        charge.when.value,
        len(charge.users),
        Formula(_labour_sum(row, labour_rows), labour),
        low,
        likely,
        high,
        charge.cost.mean if charge.quote is not None else None,
        Formula(mean, charge.cost.mean),
        0 if charge.left_out else 1,
        charge.chance_due,
        charge.chance_found,
        charge.chance_any,
        share(due, charge.deferred),
        share(found, charge.counted_found),
        share(f"{anything}-{found}", charge.counted_allowed),
    ]
