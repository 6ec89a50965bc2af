"""A search as it may be handed to somebody else: what of every record goes along, field by field.

Like every view for other eyes it is an allow-list: each record is made anew from the fields named
here, so that whatever is added to a record later stays inside until somebody adds it here. What
stays inside: budget, loan, limits and costs of keeping her; what the buyer's own hour is worth and
what the buyer means to do alone; offers, claims, opening price and edited wording; private notes
and private photos; seller, contact and where the advert stands; how far from home a boat lies;
documents and the words of the advert; notes on prices, lines and quotes; names that files had and
what this program could not read.

Whoever looked is called Person 1, Person 2: two people stay two, because their disagreement counts,
and neither is named.
"""

from __future__ import annotations

from collections.abc import Mapping

from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection, Overruling, Photo, PhotoMark, Reading
from workbench.domain.ledger import Ledger, LineChange, OwnLine, Quote
from workbench.domain.project import Candidate, Comparable, Overrides, PriceOverride, Project
from workbench.domain.settings import ExchangeRate, Fee, Settings, Tax, TaxBand
from workbench.domain.vocabulary import Status, When

Copies = Mapping[tuple[str, str], str]
"""The SHA-256 of the copy that is handed out, by boat and photo id; a missing photo stays inside.
"""


def shared_search(project: Project, copies: Copies) -> Project:
    """The search without what is for the buyer alone."""
    people = _people(project)
    return Project(
        id=project.id,
        name=project.name,
        settings=_settings(project.settings),
        boats=FrozenMap(
            (boat_id, _candidate(one, people, copies)) for boat_id, one in project.boats.items()
        ),
        comparables=tuple(map(_comparable, project.comparables)),
        overrides=Overrides(
            FrozenMap((key, _price(one)) for key, one in project.overrides.prices.items()),
            project.overrides.checks,
        ),
        format=project.format,
    )


def photo_name(sha256: str) -> str:
    """The file name of a photo's copy."""
    return f"{sha256[:40]}.jpg"


def _people(project: Project) -> dict[str, str]:
    """What each person is called, in the order in which they first stand in the search."""
    found: dict[str, str] = {}
    for candidate in project.boats.values():
        inspection = candidate.inspection
        names = [one.by for all_of in inspection.readings.values() for one in all_of]
        names += [one.by for one in inspection.overrulings.values()]
        for name in names:
            if name.strip():
                found.setdefault(name.strip().casefold(), f"Person {len(found) + 1}")
    return found


def _called(name: str, people: Mapping[str, str]) -> str:
    return people.get(name.strip().casefold(), "")


# --- For the whole search ---


def _settings(own: Settings) -> Settings:
    return Settings(
        currency=own.currency,
        units=own.units,
        as_of=own.as_of,
        rates=own.rates,
        price_level=own.price_level,
        spreads=own.spreads,
        exchange=tuple(
            ExchangeRate(one.currency, one.rate, one.on, one.source) for one in own.exchange
        ),
        taxes=tuple(map(_tax, own.taxes)),
        fees=tuple(map(_fee, own.fees)),
        asked_to_sold=own.asked_to_sold,
        value_rates=own.value_rates,
        discount_percent=own.discount_percent,
        look_fees=own.look_fees,
        seed=own.seed,
        draws=own.draws,
    )


def _tax(own: Tax) -> Tax:
    bands = tuple(TaxBand(one.above, one.percent) for one in own.bands)
    return Tax(own.label, bands, own.minimum_base, own.cap)


def _fee(own: Fee) -> Fee:
    return Fee(own.id, own.label, own.amount, own.percent, own.per_nautical_mile, own.only)


def _comparable(own: Comparable) -> Comparable:
    return Comparable(
        id=own.id,
        title=own.title,
        price=own.price,
        asked=own.asked,
        year=own.year,
        length=own.length,
        on=own.on,
        condition=own.condition,
        equipment=own.equipment,
        source=own.source,
        used=own.used,
    )


def _price(own: PriceOverride) -> PriceOverride:
    return PriceOverride(own.hours, own.materials, on=own.on)


# --- For one boat ---


def _candidate(own: Candidate, people: Mapping[str, str], copies: Copies) -> Candidate:
    boat_id = own.boat.id
    photos = {
        photo.id: copies[boat_id, photo.id]
        for photo in own.inspection.photos.values()
        if not photo.private and (boat_id, photo.id) in copies
    }
    inspection = _inspection(own.inspection, people, photos)
    return Candidate(_boat(own.boat, photos), inspection, _ledger(own.ledger))


def _boat(own: Boat, photos: Mapping[str, str]) -> Boat:
    return Boat(
        id=own.id,
        name=own.name,
        design=own.design,
        builder=own.builder,
        year=own.year,
        hull_number=own.hull_number,
        dimensions=own.dimensions,
        facts=own.facts,
        asking=tuple(AskingPrice(one.price, one.on) for one in own.asking),
        lies_at=own.lies_at,
        status=Status.LOOKING if own.status is Status.OFFER_MADE else own.status,
        archived=own.archived,
        equipment_note=own.equipment_note,
        portrait=photos.get(own.portrait, "")[:40],
        stream=own.stream,
    )


def _inspection(
    own: Inspection, people: Mapping[str, str], photos: Mapping[str, str]
) -> Inspection:
    kept = [photo for photo in own.photos.values() if photo.id in photos]
    return Inspection(
        readings=FrozenMap(
            (check, tuple(_reading(one, people, photos) for one in all_of))
            for check, all_of in own.readings.items()
        ),
        overrulings=FrozenMap(
            (check, Overruling(one.grade, one.reason, _called(one.by, people), one.on))
            for check, one in own.overrulings.items()
        ),
        photos=FrozenMap((photos[one.id][:40], _photo(one, photos[one.id])) for one in kept),
    )


def _reading(own: Reading, people: Mapping[str, str], photos: Mapping[str, str]) -> Reading:
    return Reading(
        id=own.id,
        values=own.values,
        sight=own.sight,
        sure=own.sure,
        note=own.note,
        reason=own.reason,
        photos=tuple(photos[name][:40] for name in own.photos if name in photos),
        taken=own.taken,
        by=_called(own.by, people),
    )


def _photo(own: Photo, sha256: str) -> Photo:
    return Photo(
        id=sha256[:40],
        file=photo_name(sha256),
        sha256=sha256,
        caption=own.caption,
        taken=own.taken,
        marks=tuple(PhotoMark(one.x, one.y, one.radius, one.label) for one in own.marks),
    )


def _ledger(own: Ledger) -> Ledger:
    return Ledger(
        choices=own.choices,
        changes=FrozenMap((key, _change(one)) for key, one in own.changes.items()),
        quotes=tuple(map(_quote, own.quotes)),
        own_lines=tuple(_own_line(one) for one in own.own_lines if one.when is not When.WISH),
    )


def _change(own: LineChange) -> LineChange:
    return LineChange(
        hours=own.hours,
        rates=own.rates,
        materials=own.materials,
        count=own.count,
        chance=own.chance,
        when=own.when,
        left_out=own.left_out,
    )


def _quote(own: Quote) -> Quote:
    return Quote(own.id, own.yard, own.amount, own.answers, own.on, own.valid_until)


def _own_line(own: OwnLine) -> OwnLine:
    return OwnLine(
        id=own.id,
        title=own.title,
        cost=own.cost,
        system=own.system,
        when=own.when,
        chance=own.chance,
        basis=own.basis,
        access=own.access,
        shape=own.shape,
    )
