"""Publication history of the documents that rules cite: editions, and changes affecting what is
judged here.

All from memory unless marked "secondary": a date here helps to find the document and judges no
door.
"""

from __future__ import annotations

_NFPA_80 = (
    "NFPA 80: the list of items for swinging doors first stood in the 2007 edition; 2010, 2013,"
    " 2016, 2019, 2022 and 2025 followed (secondary, and from memory)",
    "NFPA 80-2013: holes and field modifications made plainer (secondary)",
    "NFPA 80-2016: 20-minute wood doors in hollow-metal frames may have 1/8 in ± 1/16 in, before"
    " that 1/8 in (secondary); no blocking or wedging stands there again (secondary)",
)
_EDITIONS: dict[str, tuple[str, ...]] = {
    "NFPA 80": _NFPA_80,
    "NFPA 101": ("NFPA 101: a new edition every three years (from memory)",),
    "NFPA 105": ("NFPA 105: smoke door assemblies, from 1985 (from memory)",),
    "ADA Standards": (
        "ADA Standards: 1991, 4.13.10: 3 s from 70°; 2010, 404.2.8.1: 5 s from 90° to 12°"
        " (2010 secondary, 1991 from memory)",
    ),
    "IBC": ("IBC: a new edition every three years (from memory)",),
    "BS 8214": (
        "BS 8214: 1990, 2008, 2016 (from memory); smoke seals unpainted and five coats on plain"
        " strips from 2008 at least (secondary); 0.5 mm from 2016 (secondary)",
    ),
    "BS 8300": ("BS 8300: 2001, 2009, 2018 in two parts (from memory)",),
    "BS 9999": ("BS 9999: 2008, 2017 (from memory)",),
    "BS 7273-4": ("BS 7273-4: 2007, 2015 (from memory)",),
    "BS EN 1155": ("BS EN 1155: 1997, amended 2002 (from memory)",),
    "BS EN 1158": ("BS EN 1158: 1997, amended 2002 (from memory)",),
    "EN 1154": ("EN 1154: 1996, amended 2002 (secondary)",),
    "EN 1935": ("EN 1935: 2002 (secondary)",),
    "Approved Document B": (
        "Approved Document B: 2000, 2006, 2019, with amendments since (from memory)",
    ),
    "Approved Document M": ("Approved Document M: 2004, 2015 (from memory)",),
    "Regulatory Reform (Fire Safety) Order 2005": (
        "Regulatory Reform (Fire Safety) Order 2005: in force from October 2006; flat entrance"
        " doors made plain by the Fire Safety Act 2021 (from memory)",
    ),
    "Fire Safety (England) Regulations 2022": (
        "Fire Safety (England) Regulations 2022: made 18 May 2022, in force from 23 January 2023"
        " (secondary)",
    ),
    "GOV.UK": (
        "GOV.UK, fire door guidance: first published for the regulations of 2022, updated"
        " 25 October 2023 (secondary)",
    ),
}
NO_DOCUMENT = "No document behind it: common practice, or the door's own evidence."


def source_history(source: str) -> list[str]:
    """Earlier editions of the cited documents, one line per document."""
    lines_of_edition = [
        line for name, lines in _EDITIONS.items() if name in source for line in lines
    ]
    return lines_of_edition or [NO_DOCUMENT]
