"""What the page of price anchors says in words: notes, misses, rates, and why one is left out."""

from __future__ import annotations

from workbench.catalogue.wording import Wording
from workbench.domain.project import Comparable
from workbench.window import formatting
from workbench.window.models.anchor_reading import AnchorReading
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.comparables import Indication


def why_not(one: Comparable | None, reading: AnchorReading | None) -> str:
    """Why a comparable counts for nothing; empty where it counts."""
    if one is None:
        return tr("Choose a comparable to see how she is held against the boat.")
    if reading is None:
        return ""
    return reading.left_out.get(one.id, reading.why_none)


def notes(found: Indication) -> list[str]:
    """What the figures say of the reading, and how the asked-to-sold factor moves it."""
    lines = [*found.notes]
    low, high = sorted(found.by_factor)
    if high - low >= 1:
        lines.append(
            tr("With your lowest and highest share of asked to sold: {low} to {high}.").format(
                low=formatting.estimate(low), high=formatting.estimate(high)
            )
        )
    return lines


def basis_words(reading: AnchorReading, wording: Wording) -> str:
    """The misses when one comparable is left out at a time, and the rates, said to be assumed."""
    lines = []
    if reading.indication is not None and reading.indication.errors:
        lines.append(tr("Told from the others, one left out at a time, prices are missed by:"))
        lines += [
            tr("{amount} by {method}").format(
                amount=formatting.estimate(miss), method=wording.word(method.value)
            )
            for method, miss in reading.indication.errors
        ]
    rates = reading.rates
    lines.append(
        tr(
            "Assumed, of a price: {metre} for a metre of length, {year} for a year of age, "
            "{step} for a step of condition, {share} of equipment's worth. The settings hold them."
        ).format(
            metre=formatting.percent(rates.per_metre),
            year=formatting.percent(rates.per_year_of_age),
            step=formatting.percent(rates.per_condition_step),
            share=formatting.percent(rates.equipment_share),
        )
    )
    return "\n".join(lines)
