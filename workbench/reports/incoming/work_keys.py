"""The keys of work lines: whether one names work of this boat, and what that work is called.

`check/remedy/line` is a line of the catalogue, `own/<id>` a job of the buyer's, `access/<task>`
work that must be done first, with or without the lay-up it is for (`access/<task>@first-season`).
"""

from __future__ import annotations

from workbench.catalogue.model import Catalogue
from workbench.domain.ledger import Ledger

_ACCESS, _OWN = "access/", "own/"


def without_lay_up(key: str) -> str:
    """The key of access work, whichever lay-up it is for; any other key as it is."""
    return key.partition("@")[0] if key.startswith(_ACCESS) else key


def work_title(key: str, catalogue: Catalogue, ledger: Ledger | None) -> str:
    """What the work of a key is called; empty when it names none, or an own job of no ledger."""
    if key.startswith(_ACCESS):
        task = catalogue.access.get(without_lay_up(key).removeprefix(_ACCESS))
        return task.title if task is not None else ""
    if key.startswith(_OWN):
        wanted = key.removeprefix(_OWN)
        own = ledger.own_lines if ledger is not None else ()
        return next((one.title for one in own if one.id == wanted), "")
    check_id, _, rest = key.partition("/")
    remedy_id, _, line_id = rest.partition("/")
    check = catalogue.checks.get(check_id)
    remedy = check.remedy(remedy_id) if check is not None else None
    lines = remedy.work if remedy is not None else ()
    return next((line.title for line in lines if line.id == line_id), "")


def is_work(key: str, catalogue: Catalogue, ledger: Ledger) -> bool:
    """Whether a key names work that a quote can answer."""
    return bool(work_title(key, catalogue, ledger))
