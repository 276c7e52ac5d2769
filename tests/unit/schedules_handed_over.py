"""Door schedules in sections and as COBie, as they are handed over."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from schedule_cases import Case, one_sheet, put, workbook


def _sections(sheet: Worksheet) -> None:
    heads = ("Door no.", "Position", "Type", "Fire rating", "Glazing", "Latch / lock")
    put(
        sheet,
        ("FIRE DOOR REGISTER",),
        heads,
        ("GROUND FLOOR",),
        (101, "By the lift", "FD30S", None, "Georgian wired", "Latch"),
        (102, "Post room", "Store", "30 min", "None", "Mortice deadlock"),
        ("Total", 2),
        heads,
        ("FIRST FLOOR",),
        (201, "By the lift", "FD30S", "FD60", "Clear FR", "Latch"),
        (202, "Kitchen", "Kitchen door", "FD30S", "No", "push/pull"),
        ("Page 1 of 1",),
    )


SECTIONS = Case(
    "register.xlsx",
    one_sheet("Register", _sections),
    {
        "101": {"floor": "GROUND FLOOR", "rating": "FD30S", "glazing": "wired", "latch": "latch"},
        "102": {"floor": "GROUND FLOOR", "use": "store", "rating": "30 min", "latch": "lock"},
        "201": {"floor": "FIRST FLOOR", "rating": "FD60", "glazing": "clear fire-resisting"},
        "202": {"use": "kitchen", "glazing": "none", "latch": "none"},
    },
    doubts=("C9",),
    left=("A6", "A11"),
)


def _cobie(workbook: Workbook) -> None:
    kinds = workbook.active
    assert isinstance(kinds, Worksheet)
    kinds.title = "Type"
    by = ("a@example.org", "2026-01-01T00:00:00")
    put(
        kinds,
        (
            "Name",
            "CreatedBy",
            "CreatedOn",
            "Category",
            "Description",
            "AssetType",
            "Material",
            "FireRating",
        ),
        (
            "DR-T1",
            *by,
            "Pr_30_59_24_30 : Fire-resisting doorsets",
            "Single leaf",
            "Fixed",
            "Timber",
            "FD30S",
        ),
        ("PMP-1", *by, "Pr_65_53_86 : Pumps", "Pump", "Fixed", "Steel", "n/a"),
    )
    floors = workbook.create_sheet("Floor")
    put(floors, ("Name", "CreatedBy", "CreatedOn", "Category"), ("Level 1", *by, "Floor"))
    spaces = workbook.create_sheet("Space")
    put(
        spaces,
        ("Name", "CreatedBy", "CreatedOn", "Category", "FloorName", "Description"),
        ("1.04", *by, "Room", "Level 1", "Linen store"),
    )
    parts = workbook.create_sheet("Component")
    put(
        parts,
        ("Name", "CreatedBy", "CreatedOn", "TypeName", "Space", "Description", "InstallationDate"),
        ("D-1.04", *by, "DR-T1", "1.04", "Linen store door", "2025-11-03"),
        ("P-01", *by, "PMP-1", "1.04", "Pump", "2025-11-03"),
        ("D-1.05", *by, "DR-T1", "n/a", "Lobby door", "n/a"),
    )
    put(workbook.create_sheet("Contact"), ("Email", "Company"), ("a@example.org", "n/a"))


COBIE = Case(
    "handover.xlsx",
    workbook(_cobie),
    {
        "D-1.04": {
            "floor": "Level 1",
            "place": "Linen store",
            "rating": "FD30S",
            "material": "timber",
            "leaves": "one",
        },
        "D-1.05": {"floor": None, "rating": "FD30S"},
    },
)
