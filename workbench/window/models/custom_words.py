"""What custom in another trade would leave of a claim, in words that say it is only an analogy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr

if TYPE_CHECKING:
    from workbench.figures.assessment import ClaimLine


def custom_words(session: Session, line: ClaimLine) -> str:
    """New for old beside a claim that is made; '' where it takes nothing off or cannot be said."""
    from workbench.figures.analogy import new_for_old_of  # noqa: PLC0415 - numpy comes with it
    from workbench.figures.findings import age_of  # noqa: PLC0415

    boat = session.boat
    if boat is None or not line.included:
        return ""
    age = age_of(boat.candidate.boat, session.project.settings.as_of)
    found = new_for_old_of(line, age, boat.currency)
    if found is None or not found.deduction:
        return ""
    return tr(
        "By analogy only: between ship and cargo custom takes a third off new material on a ship "
        "over 15 years old, here {deduction}, and leaves {allowed} (York-Antwerp Rules, XIII). "
        "It gives neither side of a sale a right and changes nothing here."
    ).format(deduction=formatting.whole(found.deduction), allowed=formatting.whole(found.allowed))
