"""The last two of schedules_later.py: a model's COBie workbook, and a caretaker's own list."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from schedule_cases import Case, cells, one_sheet, put, workbook


def _clinic(workbook: Workbook) -> None:
    first = workbook.active
    assert isinstance(first, Worksheet)
    workbook.remove(first)
    sheets = {
        "Facility": (("Name", "SiteName"), ("Mill Lane Clinic", "Mill Lane site")),
        "Floor": (("Name", "Category"), ("Level 00", "Floor"), ("Level 01", "Floor")),
        "Space": (
            ("Name", "FloorName", "Description"),
            ("0.01", "Level 00", "Waiting room"),
            ("0.02", "Level 00", "Corridor"),
            ("1.01", "Level 01", "Comms cupboard"),
        ),
        "Type": (
            ("Name", "Category", "Description", "AssetType", "NominalWidth", "Material"),
            cells(
                "DR-T1|Pr_30_59_24|FD60S single timber doorset, overhead closer|Fixed|926|Timber"
            ),
            ("DR-T2", "Pr_30_59_24: Doorsets", "Steel doorset", "Fixed", 1000, "Steel"),
            ("DR-T3", "Pr_30_59_24: Doorsets", "FD30 double doorset", "Fixed", 1500, "Timber"),
            ("LUM-1", "Pr_70_70_48: Luminaires", "LED panel", "Fixed", 600, "n/a"),
        ),
        "Component": (
            ("Name", "TypeName", "Space", "Description", "InstallationDate", "TagNumber"),
            ("Door:D001", "DR-T1", "0.01", "Waiting room to corridor", "2024-03-01", "D001"),
            ("Door:D002", "DR-T1", "0.02,0.01", "Corridor", "2024-03-01", "D002"),
            ("Door:D003", "DR-T2", "1.01", "Comms cupboard", "1900-12-31T23:59:59", "D003"),
            ("Door:D004", "DR-T3", "0.02", "Cross-corridor pair", "2024-03-01", "D004"),
            ("Luminaire:L001", "LUM-1", "0.01", "Light", "2024-03-01", "L001"),
        ),
        "Attribute": (
            ("Name", "Category", "SheetName", "RowName", "Value", "Unit"),
            ("FireRating", "As Built", "Type", "DR-T2", "FD60S", "n/a"),
            ("FireRating", "As Built", "Component", "Door:D002", "FD30S", "n/a"),
            ("SelfClosing", "As Built", "Component", "Door:D001", "TRUE", "n/a"),
            ("LeafWidth", "As Built", "Type", "DR-T2", 1000, "millimetres"),
        ),
    }
    for name, rows in sheets.items():
        put(workbook.create_sheet(name), *rows)


CLINIC = Case(
    "clinic.xlsx",
    workbook(_clinic),
    {
        "Door:D001": {"floor": "Level 00", "rating": "FD60S", "material": "timber", "closer": None},
        "Door:D002": {
            "floor": "Level 00",
            "place": "Corridor, Waiting room",
            "rating": "FD30S",
            "material": "timber",
        },
        "Door:D003": {
            "floor": "Level 01",
            "rating": "FD60S",
            "material": "steel",
            "leaf_width_mm": 1000,
        },
        "Door:D004": {"rating": "FD30", "leaves": "pair", "leaf_width_mm": None},
    },
    # its type says FD60S, the component itself FD30S
    doubts=("Type C2",),
)


def _own(sheet: Worksheet) -> None:
    put(
        sheet,
        ("my doors!!",),
        (),
        cells("#|where|what kind|how long|smoke?|shuts with|held open|glass|bottom seal|checked"),
        ("STAIR A",),
        cells("1|ground, by the post boxes|stair door|30|y|arm on top|no|wired|y|Sep 25|sticks"),
        cells('2|first|"|"|"|"|"|"|"|12/09/2025'),
        cells("3.0|2nd|do.|60 mins|x|arm on top|wedge!!|none|n|13/09/2025"),
        ("CORRIDORS",),
        cells("4a|1st east|corridor|1 hour|yes|as above|magnet, goes with alarm|n/a|TBC|13/9/25"),
        cells("4b|1st west|corridor|FD60 Smoke||spring in the floor|none|clear|yes|yesterday"),
        cells("5 & 6|2nd floor|corridor|FD30S|y|arm on top|no|none|y|13/09/2025|two doors"),
        cells("7|roof|plant|?|?|locked, no closer|no|none|?"),
        cells("4a|1st east|corridor|30|yes|arm on top|magnet|n/a"),
    )
    sheet["K3"] = "anything else"


OWN = Case(
    "my own.xlsx",
    one_sheet("doors 2025-26", _own),
    {
        "1": {
            "use": "stair",
            "rating": "FD30S",
            "closer": None,
            "hold_open": "none",
            "glazing": "wired",
            "threshold_seal": "fitted",
        },
        "2": {"use": "stair", "rating": "FD30S", "hold_open": "none", "glazing": "wired"},
        "3": {
            "use": "stair",
            "rating": "60 min",
            "hold_open": None,
            "glazing": "none",
            "threshold_seal": "none",
        },
        "4a": {"rating": "60 min S", "hold_open": "alarm-linked", "threshold_seal": None},
        "4b": {
            "rating": "FD60S",
            "closer": "floor spring",
            "hold_open": "none",
            "glazing": "clear fire-resisting",
        },
        "7": {"rating": None, "hold_open": "none", "glazing": "none", "threshold_seal": None},
    },
    last={"2": "2025-09-12", "3": "2025-09-13", "4a": "2025-09-13"},
    doubts=("F12", "F13", "F5", "F6", "F7", "F9", "G7", "J10", "J5"),
    refused=("A11", "A13"),
    left=("A4", "A8"),
    said={"what kind": "type", "how long": "rating", "shuts with": "closer"},
)
