"""Of the schedules that mended the reading, those that are workbooks."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from schedule_cases import Case, one_sheet, put, workbook


def _housing(workbook: Workbook) -> None:
    heads = (
        "Door Ref.",
        "Door Location",
        "Communal / FED",
        "Door Rating",
        "Self Closer (Y/N)",
        "Intumescent Strips & Smoke Seals",
        "Date of Inspection",
        "Pass / Fail",
        "Comments",
    )
    first = workbook.active
    assert isinstance(first, Worksheet)
    first.title = "1-24 Quay Court"
    put(
        first,
        ("Quarterly Fire Door Inspection",),
        ("Block: Quay Court",),
        heads,
        ("QC/01", "Main entrance lobby", "Communal", "FD30s", "Y", "Yes", "3rd March 2026", "Pass"),
        (
            "QC/02",
            "Stairwell L1",
            "Communal",
            "FD30s",
            "Y",
            "No smoke seals",
            "3rd March 2026",
            "Fail",
            "Replace seals",
        ),
        ("QC/F7", "Flat 7", "FED", "FD30s", "N", "Intumescent only", "No access", None, None),
    )
    second = workbook.create_sheet("25-40 Quay Court")
    put(
        second,
        heads,
        ("QC/11", "Bin store", "Communal", "FD60", "Y", "Combined", "12-Mar-26", "Pass", None),
    )


HOUSING = Case(
    "Q1 inspections.xlsx",
    workbook(_housing),
    {
        "QC/01": {
            "building": "Quay Court",
            "place": "Main entrance lobby",
            "rating": "FD30S",
            "closer": None,
            "seals": None,
        },
        "QC/02": {"place": "Stairwell L1", "seals": None},
        "QC/F7": {"place": "Flat 7", "closer": "none", "seals": "plain intumescent"},
        "QC/11": {"rating": "FD60", "seals": "intumescent with brush or fin"},
    },
    last={"QC/01": "2026-03-03", "QC/02": "2026-03-03", "QC/11": "2026-03-12"},
    doubts=("F5", "G6"),
)


def _hospital(sheet: Worksheet) -> None:
    put(
        sheet,
        (
            "Estates – fire door asset list",
            None,
            None,
            None,
            None,
            None,
            None,
            None,
            "Printed 1/6/26",
        ),
        ("Dept", "Doorset", "Doorset", "Opening", "Opening", "Fire", "Fire", "Vision", "Hold"),
        (None, "No", "Type", "W", "H", "FR (mins)", "Smoke", "Panel", "Open"),
        ("Radiology", "R-001", "Double swing", 1500, 2100, 60, "Yes", "GWPP", "Mag"),
        (None, "R-002", "Single", 926, 2100, 30, "Yes", "None", "None"),
        ("Wards", "W-101", "Single", 926, 2100, 30, "No", "clear FR", "swing free"),
        (None, "W-102", "Single", 926, 2100, 60, "Yes", "TBC", "TBC"),
        (None, "W-103", "Single", 926, 2100, "?", "Yes", None, None),
    )


HOSPITAL = Case(
    "estates.xlsx",
    one_sheet("Assets", _hospital),
    {
        "R-001": {
            "rating": "FD60S",
            "glazing": "wired",
            "hold_open": "alarm-linked",
            "leaves": "pair",
        },
        "R-002": {"rating": "FD30S", "glazing": "none", "hold_open": "none", "leaves": "one"},
        "W-101": {"rating": "FD30", "glazing": "clear fire-resisting", "hold_open": "alarm-linked"},
        "W-102": {"rating": "FD60S", "glazing": None, "hold_open": None},
        "W-103": {"rating": None},
    },
    doubts=("D4",),
)


def _hotel(sheet: Worksheet) -> None:
    put(
        sheet,
        (
            "Lvl",
            "Rm",
            "Door ID",
            "FR",
            "Door closer",
            "H/O",
            "Int. strip",
            "Cold smoke seal",
            "Thresh. seal",
            "Insp.",
            "By",
        ),
        ("G", "Reception", "G-R1", "FD30S", "Overhead", "n/a", "X", "X", "", "04 Jun 2026", "KM"),
        ("1", "101", "101", "FD30S", "Concealed", "", "X", "X", "X", "04 Jun 2026", "KM"),
        ("1", "102", "102", "FD30S", "Concealed", "", "X", "X", "X", "05 Jun 2026", "KM"),
        ("1", "Linen", "1-L", "FD30", "Overhead", "", "X", "", "", "05 Jun 2026", "KM"),
    )


HOTEL = Case(
    "hotel.xlsx",
    one_sheet("Blad1", _hotel),
    {
        "G-R1": {
            "floor": "G",
            "place": "Reception",
            "closer": "overhead",
            "hold_open": None,
            "seals": "intumescent with brush or fin",
            "threshold_seal": None,
        },
        "101": {"floor": "1", "closer": "concealed", "threshold_seal": "fitted"},
        "102": {"seals": "intumescent with brush or fin"},
        "1-L": {"place": "Linen", "rating": "FD30", "seals": None},
    },
    last={"G-R1": "2026-06-04", "101": "2026-06-04", "102": "2026-06-05", "1-L": "2026-06-05"},
)
