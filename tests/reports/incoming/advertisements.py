"""Invented advertisements in several styles and two languages, and what stands in each."""

from __future__ import annotations

from collections.abc import Mapping

Expected = Mapping[str, str | None]
"""By field: the value as it is shown, None where it is named and not taken."""

LIST = (
    """Kestrel Bay 31 for sale
Built: 1986
LOA 31 ft 6 in / 9.6 m
Beam: 10'2" (3.10 m)
Draft 1,65 m
Displacement 4,8 t
Engine: 3-cyl diesel, saildrive, 1,200 h, 20 hp
Asking £24,500 ONO
Lying: North Yard, Tarnmouth
masthead sloop, tiller steered. New sails 2019, re-engined 2010.
HIN: ZZZ12345C585
https://boats.example/ad/17.""",
    {
        "year": "1986",
        "size/loa": "31.5 ft",
        "size/beam": "10.1667 ft",
        "size/draft": "1.65 m",
        "size/displacement": "4.8 t",
        "size/engine-hours": "1200 h",
        "size/engine-power": "20 hp",
        "price": "24,500 GBP",
        "lies_at": "North Yard, Tarnmouth",
        "fact/rig": "sloop",
        "fact/steering": "tiller",
        "fact/drive": "saildrive",
        "fact/engine": "inboard-diesel",
        "hull_number": "ZZZ12345C585",
        "listing_address": "https://boats.example/ad/17",
    },
)
GERMAN_LIST = (
    """Verkaufe unsere Segelyacht
Name: Nebelkrähe
Werft: Bootsbau Ellerhoop
Baujahr: 1979
Länge über alles: 9,60 m
Breite: 3,10 m
Tiefgang: 1,20 - 1,80 m
Verdrängung: 4.800 kg
Preis: 24.500 € VB
Liegeplatz: Musterhafen
Hubkiel, Pinne, Rollfock
Motor: Diesel 20 PS, Baujahr 2010, 1.200 Betriebsstunden
Kojen: 6, Stehhöhe 1,85 m""",
    {
        "name": "Nebelkrähe",
        "builder": "Bootsbau Ellerhoop",
        "year": "1979",
        "size/loa": "9.6 m",
        "size/beam": "3.1 m",
        "size/draft": "1.8 m",
        "size/displacement": "4800 kg",
        "size/engine-hours": "1200 h",
        "size/engine-power": "14.71 kW",
        "size/berths": "6",
        "size/headroom": "1.85 m",
        "price": "24,500 EUR",
        "lies_at": "Musterhafen",
        "fact/keel": "swing",
        "fact/steering": "tiller",
        "fact/headsail-furler": "fitted",
    },
)
PROSE = (
    (
        "She is a 9.6 m long ketch, 3.1 m wide and draws 1.65 m. Built by Harnser Boats in 1986. "
        "Lying in Tarnmouth. Price reduced from £29,000 to £24,500. Sleeps six. No windlass."
    ),
    {
        "size/loa": "9.6 m",
        "size/beam": "3.1 m",
        "size/draft": "1.65 m",
        "builder": "Harnser Boats",
        "year": "1986",
        "lies_at": "Tarnmouth",
        "earlier_price": "29,000 GBP",
        "price": "24,500 GBP",
        "size/berths": "6",
        "fact/rig": "ketch",
    },
)
GERMAN_PROSE = (
    (
        "Gebaut 1984, 8,20 m lang und 2,75 m breit, Langkieler mit Wellenanlage. "
        "Statt 14.900 € jetzt "
        "nur noch 12.500 €. Die Yacht liegt in Ellerhoop. Ohne Ankerwinde, Teakdeck."
    ),
    {
        "year": "1984",
        "size/loa": "8.2 m",
        "size/beam": "2.75 m",
        "earlier_price": "14,900 EUR",
        "price": "12,500 EUR",
        "lies_at": "Ellerhoop",
        "fact/keel": None,
        "fact/drive": None,
        "fact/deck": "teak-on-grp",
    },
)
LABELS_ABOVE = (
    (
        "Year built\n1991\nLength overall\n10.40 m\nDraught\n1.75 m\nBerths\n7\n"
        "Asking price\n€ 38.900,-\n"
        "Location\nSouth Pier\n"
    ),
    {
        "year": "1991",
        "size/loa": "10.4 m",
        "size/draft": "1.75 m",
        "size/berths": "7",
        "price": "38,900 EUR",
        "lies_at": "South Pier",
    },
)
TABS = (
    (
        "Model\tPintail 28\nBuilder\tMarram Yachts\nYear\t1977\nLOA (ft)\t28.0\n"
        "Displacement\t7,900 lb\n"
        "Price\tUSD 11,500\nKeel\tbilge keels\nRudder\tskeg hung rudder\n"
    ),
    {
        "design": "Pintail 28",
        "builder": "Marram Yachts",
        "year": "1977",
        "size/displacement": "7900 lb",
        "price": "11,500 USD",
        "fact/keel": "twin",
        "fact/rudder": "skeg",
    },
)
ROW = (
    (
        "Typ: Strandläufer 26; L x B x T: 7,90 x 2,60 x 1,30 m; Bj. 1974; "
        "VHB 6.900 Euro; Pinnensteuerung"
    ),
    {
        "design": "Strandläufer 26",
        "size/loa": "7.9 m",
        "size/beam": "2.6 m",
        "size/draft": "1.3 m",
        "year": "1974",
        "price": "6,900 EUR",
        "fact/steering": "tiller",
    },
)
REVERSED = (
    "31 ft LOA, 26 ft LWL, 10 ft beam, 5 ft 3 in draught, 6 berths. 1,150 engine hours. £18k",
    {
        "size/loa": "31 ft",
        "size/lwl": "26 ft",
        "size/beam": "10 ft",
        "size/draft": "5.25 ft",
        "size/berths": "6",
        "size/engine-hours": "1150 h",
        "price": "18,000 GBP",
    },
)
OTHER_YEARS = (
    (
        "Refit 2015. New sails 2019, engine built 2010, rigging renewed 2012.\nYear built: 1982\n"
        "Mooring fees £1,200 per year. Price: £16,750"
    ),
    {"year": "1982", "price": "16,750 GBP"},
)
SENSELESS = (
    "Draft: 31 m\nLOA ft\nDisplacement 5 tons\nBuilt: 2199\nBerth length: 2.0 m\nPOA",
    {"size/draft": None, "size/displacement": None, "year": None},
)
AT_ODDS = (
    "LOA: 9.6 m (35 ft)\nlong keel, later: twin keels\nBeam: 10\nwheel steering",
    {"size/loa": None, "fact/keel": None, "size/beam": None, "fact/steering": None},
)
NARROWED = (
    (
        "GRP, solid laminate. Windlass, an electric windlass. Sea toilet with holding tank.\n"
        "Fin keel (bolted on fin keel). Tiller pilot. Diesel heater."
    ),
    {
        "fact/hull-material": "grp-solid",
        "fact/windlass": "electric",
        "fact/heads": "holding-tank",
        "fact/keel": "bolted-fin",
        "fact/heating": "diesel",
    },
)
NOTHING: tuple[str, Expected] = (
    "Lovely old lady, must be seen. Call any time, all day, 24 hours.",
    {},
)
ALL: dict[str, tuple[str, Expected]] = {
    "list": LIST,
    "german list": GERMAN_LIST,
    "prose": PROSE,
    "german prose": GERMAN_PROSE,
    "labels above": LABELS_ABOVE,
    "tabs": TABS,
    "row of sizes": ROW,
    "figures first": REVERSED,
    "other years": OTHER_YEARS,
    "senseless": SENSELESS,
    "at odds": AT_ODDS,
    "narrowed": NARROWED,
    "nothing": NOTHING,
}
