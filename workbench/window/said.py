"""Sentences that the layers below make, in the language of the window.

Those layers know no window and speak English, with figures already put in. `said` finds the
pattern that a sentence was made from and fills its translation with the same figures:

    “x” is not a number.   ->  “{a}” is not a number.   ->  „{a}“ ist keine Zahl.   ->  „x“ ist ...

A sentence that is not listed here is shown as it is, in English. A test holds every pattern to the
source of the layers below, so that none outlives its sentence.
"""

from __future__ import annotations

import functools
import re

from workbench.window.texts import marked, tr

SENTENCES: tuple[str, ...] = (
    # what was typed
    marked("There is no number here. Write one such as 12.5."),
    marked("“{a}” is not a number. Write one such as 12.5 or 1/32."),
    marked("“{a}” is not a number."),
    marked("“{a}” divides by zero."),
    marked("“{a}” can be read as {b} or as {c}. Write {d} or {e}0."),
    marked("The thousands in “{a}” do not stand in threes."),
    marked("“{a}” is larger than anything on a boat."),
    marked("“{a}” is not a measurement. Write one such as 12.5 {b}."),
    marked("The unit in “{a}” is not one this program knows. Write {b}."),
    marked("“{a}” is not a {b}. Write it in {c}."),
    marked("“{a}” is not the code of a currency in use. Write one such as USD, EUR or GBP."),
    marked("{a} is not an amount that a boat could cost."),
    marked("{a} and {b} cannot be added without an exchange rate."),
    marked("Low ({a}) is above likely ({b}). Lower it."),
    marked("Likely ({a}) is above high ({b}). Raise high."),
    # what an edit refuses
    marked("There is a boat “{a}” already."),
    marked("Hours and materials cannot be negative."),
    marked("An hour costs more than nothing. Write a rate above 0."),
    marked("There cannot be fewer than none of them."),
    marked("A chance lies between 0 and 100 %."),
    marked("A quote cannot be negative."),
    marked("Say which yard or trade the quote is from."),
    marked("Say what the job is."),
    marked("A job cannot cost less than nothing."),
    marked("A chance or a share lies between 0 and 100 %."),
    marked("Choose the lines first."),
    marked("Choose the checks first."),
    marked("An opening price cannot be negative."),
    marked("Say why the rule does not hold here."),
    marked("Give the search a name."),
    marked("A budget cannot be negative."),
    marked("The confidence lies between 50 and 99 %."),
    marked("A factor is above 0."),
    marked("Your own hour cannot be worth less than nothing. Write 0 or more."),
    marked("Draws lie between 1,200 and 65,400, in steps of 200."),
    marked("A seed is 0 or above."),
    marked("A fee cannot be negative."),
    marked("A percentage lies between 0 and 100."),
    marked("A loan is repaid over 0 to 1,200 months."),
    marked("What later work counts less by lies between -50 and 100 % a year."),
    marked("{a} cannot be the rate of {b}. Write one above 0."),
    marked("{a}: a tax lies between 0 and 100 %."),
    # what the disk refuses
    marked("The folder cannot be written to. Save a copy elsewhere to work on it."),
    marked("No lock can be taken for this search, so another window could write to it too."),
    marked("Keep it open in one window only."),
    marked("The folder was read again since."),
    marked("The folder cannot be made: {a}."),
    marked("Choose another place."),
    marked("Something is there already."),
    marked("Choose an empty folder."),
    marked("The file is larger than {a} MiB."),
    marked("Make it smaller."),
    marked("The file is missing."),
    marked("Let the sync finish, or add it again."),
    marked("This is not a photo that is taken: JPEG, PNG, WebP, TIFF, GIF, HEIC or AVIF."),
    marked("Save it as JPEG, or add it to the boat's documents."),
    marked("It cannot be read: {a}."),
    marked("It was not stored: {a}."),
    marked("It was not written: {a}."),
    marked("Make room there."),
    marked("No backup could be made: {a}."),
    marked("The backup is damaged."),
    marked("Take an older one."),
    marked("The photo “{a}” is missing."),
    marked("Let the sync finish, or put the file back into the boat's photos."),
    marked("Restore it from a backup, or repair it in a text editor."),
    # what an archive refuses
    marked("It is no archive, or it is cut short or damaged."),
    marked("Ask whoever packed it to write the archive again."),
    marked("It holds no {a}, so it is no search."),
    marked("Choose an archive that this program wrote, or one of a whole search folder."),
    marked("It is made of more than {a} parts."),
    marked("It is made of {a} parts; {b} is the limit."),
    marked("Unpacked it would be larger than {a} GiB; no search is."),
    marked("A part of it is named “{a}”, which leads out of it."),
    marked("A part of it is locked by a password."),
    marked("A part of it is a link to some other place."),
    marked("Two of its parts have the same name."),
    marked("A part of it is not as long as the archive says."),
    marked("A part of it swells far beyond its size when it is unpacked."),
    marked("{a} of its parts belong to no search and stayed out."),
    marked("It is neither photo nor document, and stayed out."),
    marked("Nothing was unpacked: {a}."),
    marked("Make room there, or choose another place."),
    marked("Choose an empty folder, or a name that is not taken."),
    # before a sheet leaves the house
    marked("Asking price less claims is above your own limit, so the sheet names no price."),
    marked("Settle an opening price, or claim more."),
    marked("The sheet names no price."),
    marked("Settle an opening price."),
    marked("The sheet offers {a}, which is above your own limit of {b}."),
    marked("Settle a lower opening price."),
    marked("{a} of {b} are unseen and become conditions."),
    marked("Look at more before you hand it out, or say why."),
    # the sheets and their paragraphs
    marked("Offer support"),
    marked("Comparison"),
    marked("Brief for the surveyor"),
    marked("Briefs for the trades"),
    marked("Request for a quote"),
    marked("Field form"),
    marked("Field form for a screen"),
    marked("Walk list"),
    marked("Work list"),
    marked("Field form to fill in"),
    marked("Request for a quote, to fill in"),
    marked("Workbook"),
    marked("Workbook with my offers and notes"),
    marked("the paragraph below the three figures"),
    marked("the first way to settle: a lower price"),
    marked("the second way to settle: the work done"),
    marked("what is ordinary wear and not claimed"),
    marked("what could not be seen and becomes a condition"),
    marked("the conditions and dates at the end"),
    marked("a last paragraph of the buyer's own; nothing stands there without it"),
)
"""Patterns of sentences; the parts in braces are figures and names."""

LABELS: tuple[str, ...] = (
    marked("{a} of {b}"),
    marked("Add {a}"),
    marked("Duplicate {a}"),
    marked("Remove {a}"),
    marked("Asking price of {a}"),
    marked("Status of {a}"),
    marked("Put away {a}"),
    marked("Bring back {a}"),
    marked("Remove {a} boats"),
    marked("Put away {a} boats"),
    marked("Bring back {a} boats"),
    marked("Picture"),
    marked("Worth to me"),
    marked("Remedy for {a}"),
    marked("Quote of {a}"),
    marked("Remove quote"),
    marked("Claim for {a}"),
    marked("Wording of the offer"),
    marked("Offer made"),
    marked("Remove offer"),
    marked("Reading of {a}"),
    marked("Remove reading of {a}"),
    marked("Add photo {a}"),
    marked("Remove photo"),
    marked("Name of the search"),
    marked("Remove comparable"),
    marked("Change {a} lines"),
    marked("Readings of {a} checks"),
    marked("Own price"),
)
"""Patterns of the names of edits, as undo says them."""


def said(sentence: str) -> str:
    """A sentence of a lower layer in the language of the window; itself where none is known."""
    return _said(sentence, SENTENCES)


def edit_words(label: str) -> str:
    """The name of an edit in the language of the window; itself where none is known."""
    return _said(label, LABELS)


def _said(sentence: str, patterns: tuple[str, ...]) -> str:
    whole = tr(sentence)
    if whole != sentence or tr(patterns[0]) == patterns[0]:
        return whole
    for pattern, matcher in _matchers(patterns):
        found = matcher.fullmatch(sentence)
        if found is not None:
            parts = {name: tr(part) for name, part in found.groupdict().items()}
            return tr(pattern).format(**parts)
    return sentence


@functools.cache
def _matchers(patterns: tuple[str, ...]) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Each pattern that holds a figure, the one with the most words of its own first."""
    holding = [pattern for pattern in patterns if "{" in pattern]
    holding.sort(key=lambda pattern: -len(re.sub(r"\{.\}", "", pattern)))
    return tuple((pattern, _matcher(pattern)) for pattern in holding)


def _matcher(pattern: str) -> re.Pattern[str]:
    parts = re.split(r"\{(.)\}", pattern)
    words = (
        re.escape(part) if place % 2 == 0 else f"(?P<{part}>.+?)"
        for place, part in enumerate(parts)
    )
    return re.compile("".join(words), re.DOTALL)
