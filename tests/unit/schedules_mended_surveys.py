"""Of the schedules that mended the reading, those of contractors and surveyors."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from schedule_cases import Case, one_sheet, put, workbook


def _contractor(workbook: Workbook) -> None:
    cover = workbook.active
    assert isinstance(cover, Worksheet)
    cover.title = "Cover"
    put(cover, ("Fire door installation – O&M manual",), ("Issue", "P02"))
    doors = workbook.create_sheet("Doorsets")
    put(
        doors,
        (None, "DOORSET SCHEDULE"),
        (
            None,
            "Doorset Ref",
            "Lvl",
            "Location",
            "Leaf Qty",
            "Leaf W (mm)",
            "Leaf H (mm)",
            "Leaf Thk (mm)",
            "FR",
            "Core",
            "Vision Panel",
            "Hinge Qty",
            "Closer",
            "Lock Case",
            "Seal",
            "Cert No.",
        ),
        (
            None,
            "DS-001",
            "B1",
            "Plant / Corridor",
            2,
            826,
            2100,
            54,
            "FD60S",
            "Solid timber",
            "None",
            "2 x 4",
            "Overhead sz 4",
            "Mortice latch",
            "15x4 int + brush",
            "AB 1001",
        ),
        (
            None,
            "DS-002",
            "B1",
            "Store",
            1,
            926,
            2100,
            44,
            "FD30S",
            "Solid timber",
            "None",
            3,
            "Overhead sz 3",
            "Sash lock",
            "10x4 int + brush",
            "AB 1002",
        ),
        (
            None,
            "DS-003",
            "00",
            "Lift lobby",
            1,
            1010,
            2100,
            44,
            "FD30S",
            "Solid timber",
            "Clear FR 300x900",
            3,
            "Concealed",
            "None",
            "10x4 int + brush",
            "AB 1002",
        ),
        (None, None, None, None, 4),
    )


CONTRACTOR = Case(
    "O&M section 7.xlsx",
    workbook(_contractor),
    {
        "DS-001": {
            "floor": "B1",
            "leaves": "pair",
            "leaf_width_mm": 826.0,
            "rating": "FD60S",
            "material": "timber",
            "glazing": "none",
            "closer": "overhead",
            "latch": "latch",
            "seals": "intumescent with brush or fin",
            "evidence": "AB 1001",
        },
        "DS-002": {"leaves": "one", "hinges": 3, "latch": "lock", "closer": "overhead"},
        "DS-003": {
            "floor": "00",
            "place": "Lift lobby",
            "glazing": "clear fire-resisting",
            "closer": "concealed",
            "latch": "none",
        },
    },
    doubts=("L3",),
    refused=("E6",),
)


def _survey(sheet: Worksheet) -> None:
    put(
        sheet,
        ("Surveyor:", "K. Marsh", None, "Survey date:", "2 June 2026"),
        ("Building:", "Weir House"),
        (),
        (
            "Ref",
            "Level & area",
            "Door set type",
            "Nominal rating",
            "Smoke control Y/N",
            "Leaf material",
            "Opening size (w x h)",
            "Closing device observed",
            "Signage observed",
        ),
        (
            "WH-01",
            "G – entrance",
            "Single, glazed",
            "FD30",
            "Y",
            "Hardwood",
            "926 x 2040",
            "Overhead, arm disconnected",
            "Fire door keep shut",
        ),
        ("WH-02", "G – bins", "Pair", "FD60", "N", "Steel", "1800 x 2100", "Floor springs", "none"),
        (
            "WH-03",
            "1 – stair",
            "Single",
            "FD30",
            "Y",
            "Timber",
            "838 x 1981",
            "OHC",
            "Fire door keep shut",
        ),
        (
            "WH-03",
            "2 – stair",
            "Single",
            "FD30",
            "Y",
            "Timber",
            "838 x 1981",
            "OHC",
            "Fire door keep shut",
        ),
    )


SURVEY = Case(
    "survey sheet.xlsx",
    one_sheet("Survey", _survey),
    {
        "WH-01": {
            "building": "Weir House",
            "rating": "FD30S",
            "material": "timber",
            "closer": None,
            "sign": "Fire door keep shut",
            "leaves": "one",
        },
        "WH-02": {
            "rating": "FD60",
            "leaves": "pair",
            "material": "steel",
            "closer": "floor spring",
            "leaf_width_mm": None,
        },
        "WH-03": {"rating": "FD30S", "closer": "overhead", "leaf_width_mm": 838.0},
    },
    doubts=("H5", "G6"),
    refused=("A8",),
)
