"""Five door schedules that the reader was never tuned on: written, with what must come out of them,
when it was done, and tried once.

MISSED says what it did not read at that one try. Nothing was mended for them since.
"""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from schedule_cases import Case, one_sheet, put, workbook

THEATRE = Case(
    "theatre.csv",
    b"""Tag,Where,Leaf arrangement,FR period,Smoke?,Held open by,Panic hardware,Checked
T1,Foyer to auditorium left,Pair,60 minutes,Y,Magnets on alarm,Push bar,14 Jan 2026
T2,Foyer to auditorium right,Pair,60 minutes,Y,Magnets on alarm,Push bar,14 Jan 2026
T3,Stage left dock,Single,120 minutes,N,,Panic latch,15 Jan 2026
T4,Projection box,Single,30 minutes,Y,,,
,,,,,,,
* T3 key with duty manager,,,,,,,
""",
    {
        "T1": {
            "place": "Foyer to auditorium left",
            "leaves": "pair",
            "rating": "60 min S",
            "hold_open": "alarm-linked",
        },
        "T2": {"rating": "60 min S"},
        "T3": {"rating": "120 min", "leaves": "one", "hold_open": None},
        "T4": {"rating": "30 min S", "place": "Projection box"},
    },
    last={"T1": "2026-01-14", "T2": "2026-01-14", "T3": "2026-01-15"},
    left=("A7",),
)


def _office(workbook: Workbook) -> None:
    levels = (
        ("L00", (("00-01", "Reception", "FD30S"), ("00-02", "Bike store", "FD60S"))),
        ("L01", (("01-01", "Open plan", "FD30S"),)),
    )
    first = workbook.active
    assert isinstance(first, Worksheet)
    workbook.remove(first)
    for level, doors in levels:
        sheet = workbook.create_sheet(level)
        put(
            sheet,
            ("Tenant fire door list", None, None),
            ("DOOR", "LOCATION", "SPEC", "CLOSER TYPE", "VP?", "LAST INSPECTED"),
        )
        for number, place, rating in doors:
            put(sheet, (number, place, rating, "Rack & pinion overhead", "N", "2026/02/27"))


OFFICE = Case(
    "tenant list.xlsx",
    workbook(_office),
    {
        "00-01": {
            "floor": "L00",
            "place": "Reception",
            "rating": "FD30S",
            "closer": "overhead",
            "glazing": "none",
        },
        "00-02": {"floor": "L00", "rating": "FD60S"},
        "01-01": {"floor": "L01", "place": "Open plan"},
    },
    last={"00-01": "2026-02-27", "00-02": "2026-02-27", "01-01": "2026-02-27"},
)


def _mill(sheet: Worksheet) -> None:
    put(
        sheet,
        ("No", "Flr", "Desc.", "Rtg", "Clsr", "Hngs", "Wdth", "Hght", "Int.", "Smk", "Rmks"),
        (1, "G", "Stair 1 door", "FD30S", "O/H", 3, 762, 1981, "Y", "Y", ""),
        (2, "G", "Cupboard", "FD30", "None - kept locked", 3, 610, 1981, "Y", "N", "key 4"),
        (3, "1", "Stair 1 door", "FD30S", "O/H", 4, 838, 1981, "Y", "Y", "drags"),
    )


MILL = Case(
    "mill.xlsx",
    one_sheet("doors", _mill),
    {
        "1": {
            "floor": "G",
            "rating": "FD30S",
            "closer": "overhead",
            "hinges": 3,
            "leaf_width_mm": 762.0,
            "seals": "intumescent with brush or fin",
            "use": "stair",
        },
        "2": {
            "use": "cupboard",
            "closer": "none, kept locked",
            "seals": "plain intumescent",
            "remarks": "key 4",
        },
        "3": {"floor": "1", "hinges": 4, "leaf_height_mm": 1981.0},
    },
)

CHURCH = Case(
    "hall.csv",
    (
        "Fire doors in the hall;;;\r\n;;;\r\nDoor;Fire resistance (hours);Self closing?;"
        "Last serviced\r\nVestry;\u00bd;Yes - overhead;March 2025\r\n"
        "Kitchen;1;No;\r\nStage;\u00bd;Yes - concealed;06/25\r\n"
    ).encode("cp1252"),
    {
        "Vestry": {"rating": "30 min", "closer": "overhead"},
        "Kitchen": {"rating": "60 min", "closer": "none"},
        "Stage": {"rating": "30 min", "closer": "concealed"},
    },
)


def _lettings(sheet: Worksheet) -> None:
    put(
        sheet,
        (
            "Property address",
            "Flat",
            "Front door ID",
            "FD30S? (Y/N)",
            "Closer (type)",
            "Letterbox",
            "Access gained",
            "Inspected",
        ),
        ("Weir House, Mill Lane", 1, "WH-FED-01", "Y", "concealed jamb", "Y", "Y", "1-Jun-26"),
        ("Weir House, Mill Lane", 2, "WH-FED-02", "Y", "overhead", "N", "Y", "1-Jun-26"),
        ("Weir House, Mill Lane", 3, "WH-FED-03", "N", "none", "N", "Y", "2-Jun-26"),
        ("Weir House, Mill Lane", 4, "WH-FED-04", None, None, None, "N", None),
    )


LETTINGS = Case(
    "fed.xlsx",
    one_sheet("FED", _lettings),
    {
        "WH-FED-01": {
            "site": "Weir House, Mill Lane",
            "place": "flat 1",
            "rating": "FD30S",
            "closer": "concealed",
            "letter_plate": "fitted",
        },
        "WH-FED-02": {"closer": "overhead", "letter_plate": "none"},
        "WH-FED-03": {"rating": None, "closer": "none"},
        "WH-FED-04": {"place": "flat 4", "closer": None},
    },
    last={"WH-FED-01": "2026-06-01", "WH-FED-02": "2026-06-01", "WH-FED-03": "2026-06-02"},
)

UNSEEN = [THEATRE, OFFICE, MILL, CHURCH, LETTINGS]

MISSED = {
    "tenant list.xlsx": {"00-01": {"floor"}, "00-02": {"floor"}, "01-01": {"floor"}},
    "mill.xlsx": {
        "1": {"rating", "closer", "hinges", "leaf_width_mm", "seals", "use"},
        "2": {"use", "closer", "seals"},
        "3": {"hinges", "leaf_height_mm"},
    },
    "hall.csv": {"Vestry": {"rating"}, "Kitchen": {"rating"}, "Stage": {"rating"}},
    "fed.xlsx": {"WH-FED-01": {"rating"}},
}
"""What was not read, by file and door: 18 of 49 fields, none of 9 last checks; no value was wrong.
The floor that a sheet "L00" names; headings without vowels ("Rtg", "Hngs"), and what stood under
them; hours that only the heading names; a rating that is itself a question ("FD30S? (Y/N)"). All of
it stands in the remarks, but for the name of a sheet.
"""
