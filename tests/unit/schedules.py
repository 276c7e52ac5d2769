"""Door schedules as architects, assessors and caretakers send them, ugly on purpose, and what
somebody who reads them with care takes out of them. All are invented.

Written while the reader was: those of schedules_unseen.py were written after it.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

# Excel's times have no zone
CHECKED = datetime(2026, 5, 11, 9, 30)  # noqa: DTZ001
DAY_MADE_OF_1_2 = datetime(2026, 2, 1)  # noqa: DTZ001
TO_COME = datetime(2027, 5, 11)  # noqa: DTZ001

Doors = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class Case:
    """One file. doors: what must be read, by number; a field with None must not be. last: the last
    checks. doubts: cells that must be told as not understood, and no others. refused: cells of rows
    that must be refused; left: of rows that are no door.
    """

    file: str
    content: bytes
    doors: Doors
    last: dict[str, str] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    said: dict[str, str] = field(default_factory=dict)


def workbook(fill: Callable[[Workbook], None]) -> bytes:
    workbook = Workbook()
    fill(workbook)
    saved = io.BytesIO()
    workbook.save(saved)
    return saved.getvalue()


def one_sheet(name: str, fill: Callable[[Worksheet], None]) -> bytes:
    def filled(workbook: Workbook) -> None:
        sheet = workbook.active
        assert isinstance(sheet, Worksheet)
        sheet.title = name
        fill(sheet)

    return workbook(filled)


def put(sheet: Worksheet, *rows: tuple[Any, ...]) -> None:
    for row in rows:
        sheet.append(row)


def cells(line: str, *more: Any) -> tuple[Any, ...]:
    """A row of a sheet, written with | between its cells; numbers are numbers. more: cells."""
    found = (each.strip() for each in line.split("|"))
    return (*(float(each) if re.fullmatch(r"\d+(\.\d+)?", each) else each for each in found), *more)


CARETAKER = Case(
    "my doors.csv",
    b"""Door No,Where,Fire rating,Closer,Hinges,Last checked,Notes
1,front stair,FD30S,overhead,3,11/05/2026,
2,front stair,fd 30 s,overhead,3,11/5/26,sticks in summer
3,boiler room,60,floor spring,1.5 pair,25 May 2026,
4,meter cupboard,half hour,none - kept locked,3,,key on hook 9
""",
    {
        "1": {"place": "front stair", "rating": "FD30S", "closer": "overhead", "hinges": 3},
        "2": {"rating": "FD30S", "remarks": "sticks in summer"},
        "3": {"rating": "FD60", "closer": "floor spring", "hinges": 3, "use": None},
        "4": {"rating": "30 min", "closer": "none, kept locked", "remarks": "key on hook 9"},
    },
    last={"1": "2026-05-11", "2": "2026-05-11", "3": "2026-05-25"},
)

SEMICOLONS = Case(
    "Türen.csv",
    (
        "sep=;\r\nRef;Level;Location;Fire resistance;Vision panel;Smoke seals\r\n"
        "D-01;Ground;Café;½ hr;Y;Y\r\nD-02;Ground;Servery – kitchen;1 hour;N;N\r\n"
        "D-03;Basement;Plant;1½ hr;n/a;tbc\r\n\r\n"
    ).encode("cp1252"),
    {
        "D-01": {
            "floor": "Ground",
            "place": "Café",
            "rating": "30 min",
            "glazing": None,
            "remarks": "Vision panel: Y; Smoke seals: yes",
        },
        "D-02": {
            "place": "Servery – kitchen",
            "rating": "60 min",
            "glazing": "none",
            "seals": None,
        },
        "D-03": {"floor": "Basement", "rating": "90 min", "glazing": None, "remarks": None},
    },
)

UTF_16 = Case(
    "export.txt",
    "Asset ID\tBlock\tFloor\tRoom\tRating\tSelf-closing device\n"
    "FD-0001\tBlock A\t1st\t1.02\tFD30(S)\tYes\n"
    "FD-0002\tBlock B\t2nd\t2.07\tNFR\tNo\n"
    "FD-0003\tBlock B\t2nd\tLaundry\tFD60S\tOHC\n".encode("utf-16"),
    {
        "FD-0001": {
            "building": "Block A",
            "floor": "1st",
            "place": "room 1.02",
            "rating": "FD30S",
            "closer": None,
            "remarks": "Self-closing device: Yes",
        },
        "FD-0003": {"building": "Block B", "closer": "overhead"},
    },
    left=("A3",),
)


def _architect(sheet: Worksheet) -> None:
    put(
        sheet,
        ("Alder House – Refurbishment",),
        ("Door Schedule", None, None, None, "Rev C", None, date(2026, 1, 12)),
        (),
        ("Door", "Level", "From / To", "Leaf", None, None, "Fire", None, "Ironmongery", None),
        (
            None,
            None,
            None,
            "Width (mm)",
            "Height (mm)",
            "No. of leaves",
            "Rating",
            "Smoke (Y/N)",
            "Closer",
            "Hold-open",
        ),
        ("D1.01", "01", "Corridor / Stair 1", 926, 2040, 1, "FD30", "Y", "Concealed", "None"),
        (
            "D1.02",
            "01",
            "Corridor / Corridor",
            "826+826",
            2040,
            2,
            "FD60",
            "Y",
            "Floor spring",
            "Electromagnetic",
        ),
        ("D1.03", "01", "Corridor / Office", 838, 1981, "single", "FD20", "N", "Type 4B", "N"),
    )
    for box in ("A4:A5", "B4:B5", "C4:C5", "D4:F4", "G4:H4", "I4:J4", "A1:J1"):
        sheet.merge_cells(box)


ARCHITECT = Case(
    "1234-A-DS-001 Door Schedule.xlsx",
    one_sheet("Door Schedule", _architect),
    {
        "D1.01": {
            "floor": "01",
            "place": "Corridor / Stair 1",
            "leaf_width_mm": 926.0,
            "leaf_height_mm": 2040.0,
            "leaves": "one",
            "rating": "FD30S",
            "closer": "concealed",
            "hold_open": "none",
        },
        "D1.02": {
            "leaves": "pair",
            "rating": "FD60S",
            "closer": "floor spring",
            "hold_open": "alarm-linked",
            "leaf_width_mm": None,
        },
        "D1.03": {
            "leaves": "one",
            "rating": "FD20",
            "closer": None,
            "leaf_width_mm": 838.0,
            "remarks": "Closer: Type 4B",
        },
    },
    doubts=("D7", "I8"),
)


def _merged_floors(workbook: Workbook) -> None:
    first = workbook.active
    assert isinstance(first, Worksheet)
    first.title = "Block A"
    put(
        first,
        ("Floor", "Door Number", "Location", "Fire Rating", "Intumescent strips", "Smoke seals"),
        ("Ground Floor", 1, "Lobby", "FD30S", "✓", "✓"),
        (None, 2, "Riser cupboard", "FD30", "✓", "x"),
        ("First Floor", 3, "Lobby", "FD30S", "✓", None),
        (None, 4, "Bin store", "FD60", "✓", "x"),
    )
    first.merge_cells("A2:A3")
    first.merge_cells("A4:A5")
    second = workbook.create_sheet("Block B")
    put(
        second,
        ("Floor", "Door Number", "Location", "Fire Rating", "Intumescent strips", "Smoke seals"),
        ("Ground", 1, "Lobby", "FD30S", "y", "y"),
        (None, 2, "Stair", "FD30S", "y", "y"),
        (None, 3, "Plant", "FD60S", "y", "y"),
    )
    hidden = workbook.create_sheet("old")
    put(hidden, ("Door Number", "Fire Rating"), (99, "FD30"))
    hidden.sheet_state = "hidden"
    put(workbook.create_sheet("Notes"), ("Prepared for the board.",))


MERGED_FLOORS = Case(
    "fire doors by block.xlsx",
    workbook(_merged_floors),
    {
        "Block A/1": {"floor": "Ground Floor", "seals": "intumescent with brush or fin"},
        "Block A/2": {"floor": "Ground Floor", "seals": "plain intumescent"},
        "Block A/3": {"floor": "First Floor", "seals": None, "remarks": "Intumescent seals: yes"},
        "Block A/4": {"floor": "First Floor", "seals": "plain intumescent"},
        "Block B/1": {"floor": "Ground"},
        "Block B/2": {"floor": "Ground", "seals": "intumescent with brush or fin"},
        "Block B/3": {"floor": "Ground", "rating": "FD60S"},
    },
)


def _american(sheet: Worksheet) -> None:
    put(
        sheet,
        ("DOOR AND FRAME SCHEDULE",),
        (
            "Opening No.",
            "Location",
            "Size",
            "Door Material",
            "Fire Rating",
            "HW Set",
            "Frame Type",
            "Date Inspected",
            "Inspected By",
        ),
        (
            "101A",
            "Corridor to Stair 1",
            "3'-0\" x 7'-0\"",
            "HM Steel",
            "90 MIN",
            "HW-3",
            "F2",
            "4/13/2026",
            "J. Doe",
        ),
        (
            "101B",
            "Mechanical",
            "2'-8\" x 6'-8\"",
            "Solid core wood",
            "3/4 HR",
            "HW-5",
            "F1",
            "4/2/2026",
            "J. Doe",
        ),
        ("102", "Office", "3'-0\" x 7'-0\"", "Wood", "20 MIN", "HW-1", "F1", "", ""),
    )


AMERICAN = Case(
    "A-601.xlsx",
    one_sheet("A-601", _american),
    {
        "101A": {
            "leaf_width_mm": 914.4,
            "leaf_height_mm": 2133.6,
            "material": "steel",
            "rating": "90 min",
            "remarks": "HW Set: HW-3; Frame Type: F2",
        },
        "101B": {
            "leaf_width_mm": 812.8,
            "leaf_height_mm": 2032.0,
            "material": "timber",
            "rating": "45 min",
        },
        "102": {"rating": "20 min", "material": "timber"},
    },
    last={"101A": "2026-04-13", "101B": "2026-04-02"},
)


def _numbers(sheet: Worksheet) -> None:
    put(
        sheet,
        ("No.", "Door ref", "Floor", "Rating", "Width", "Checked"),
        (1, 1.1, 1, 30, 0.926, CHECKED),
        (2, 1.2, 1, 60, 0.826, 46154),
        (3, DAY_MADE_OF_1_2, 2, 30, 0.926, "n/a"),
        (4, 7, "G", 45.0, 92.6, "May 2026"),
        (5, "#REF!", "G", 30, 0.926, None),
        (6, "1.30", 1, "30 ", 0.926, TO_COME),
    )
    for row in (2, 3):
        sheet.cell(row, 2).number_format = "0.00"
    sheet.cell(5, 2).number_format = "000"


NUMBERS = Case(
    "Kopie von doors (2).xlsx",
    one_sheet("Sheet1", _numbers),
    {
        "1.10": {"rating": "FD30", "leaf_width_mm": 926.0, "floor": "1", "remarks": None},
        "1.20": {"rating": "FD60", "leaf_width_mm": 826.0},
        "007": {"rating": "FD45", "floor": "G", "leaf_width_mm": None},
        "1.30": {"rating": "FD30"},
    },
    last={"1.10": "2026-05-11", "1.20": "2026-05-12", "007": "2026-05-01"},
    doubts=("E5", "F3", "F5", "F7"),
    refused=("B4", "B6"),
)

ASSESSOR = Case(
    "FRA doors - final v3.csv",
    b"""Fire door survey,,,,,,,,,,,
Property:,Alder House,,Client ref:,77,,,,,,,
,,,,,,,,,,,
Item,Door ID,Description,From room,To room,Leaf thickness (mm),FD rating,Gaps (mm),Signage,\
Next inspection,Inspection date,Action required
1,AH/G/01,Single leaf timber door,Lobby,Flat 1,44,FD30S,3-4,FDKS,01/12/2026,01/06/2026,Adjust closer
2,AH/G/02,Double leaf,Lobby,Stair,54,FD60S (nominal),6,Fire door keep shut,01/12/2026,01/06/2026,
3,AH/G/03,Riser cupboard,Lobby,,44,FD30,2,Keep locked shut,01/12/2026,01/06/2026,\
"Replace lock, refit ""keep locked"" sign"
Total,3,,,,,,,,,,
""",
    {
        "AH/G/01": {
            "site": "Alder House",
            "place": "Lobby to Flat 1",
            "leaves": "one",
            "rating": "FD30S",
            "sign": "Fire door keep shut",
            "leaf_width_mm": None,
            "remarks": "Description: Single leaf timber door; Leaf thickness (mm): 44;"
            " Gaps (mm): 3-4; Next inspection: 01/12/2026; Action required: Adjust closer",
        },
        "AH/G/02": {"leaves": "pair", "rating": "FD60S", "sign": "Fire door keep shut"},
        "AH/G/03": {"use": "riser", "place": "from Lobby", "sign": "Fire door keep locked shut"},
    },
    last={"AH/G/01": "2026-06-01", "AH/G/02": "2026-06-01", "AH/G/03": "2026-06-01"},
    left=("A8",),
)


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

FLATS = Case(
    "flat entrance doors.csv",
    b"""Building name,Flat no.,Door no.,Door use,Fire rating,Closer fitted?,Date last inspected
Mill Court,1,F1,Flat entrance,FD30S,Y,2026-03-02
Mill Court,2,F2,Flat entrance door,FD 30S,N,2026-03-02
Mill Court,3,F3,FED,FD30s,Y,never
Mill Court,2,F2,Flat entrance door,FD 30S,N,2026-03-02
Mill Court,4,F3,FED,FD60S,Y,
Mill Court,5,,FED,FD30S,Y,2026-03-02
""",
    {
        "F1": {
            "building": "Mill Court",
            "place": "flat 1",
            "use": "flat entrance",
            "closer": None,
            "remarks": "Closer fitted?: Y",
        },
        "F2": {"use": "flat entrance", "closer": "none"},
        "F3": {"use": "flat entrance", "rating": "FD30S", "place": "flat 3"},
    },
    last={"F1": "2026-03-02", "F2": "2026-03-02"},
    refused=("A7", "C6"),
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

QUOTED = Case(
    "caretaker list.csv",
    b'Number,"Location\n(as on plan)",Fire Rating,Closer,"Seals (type, condition)",Comment\n'
    b'A1,"Stair, north\nhalf landing",FD30S,OH closer,"Combined",\n'
    b",,,,,\n"
    b'A2,"  "" ",ditto,do.,"Intumescent only","He said ""fine"""\n'
    b"A3,Office,FD30S,Overhead closer leaking,none,\n"
    b"\n"
    b",,,,,Please check A3 again\n",
    {
        "A1": {
            "place": "Stair, north half landing",
            "closer": "overhead",
            "seals": "intumescent with brush or fin",
        },
        "A2": {
            "place": "Stair, north half landing",
            "rating": "FD30S",
            "closer": "overhead",
            "remarks": 'He said "fine"',
        },
        "A3": {"closer": "overhead", "remarks": "Closer: Overhead closer leaking", "seals": "none"},
    },
    left=("F7",),
)

EUROPEAN = Case(
    "schedule.csv",
    (
        "\ufeffDoor tag;Storey;Fire class;Width (cm);Height (cm);Weight [kg];Last inspection;"
        "Glass\n"
        "T-1;EG;EI2 30-Sa C5;92,6;204,0;45,5;11.05.2026;-\n"
        "T-2;1;EI230-C5 S200;101,0;213;60;12.05.2026;clear fire resisting\n"
        "T-3;1;E 30;90;200;abc;31.02.2026;6 mm\n"
    ).encode(),
    {
        "T-1": {
            "rating": "EI2 30-Sa-C5",
            "leaf_width_mm": 926.0,
            "leaf_height_mm": 2040.0,
            "leaf_mass_kg": 45.5,
            "glazing": None,
        },
        "T-2": {
            "rating": "EI2 30-S200-C5",
            "leaf_width_mm": 1010.0,
            "glazing": "clear fire-resisting",
        },
        "T-3": {
            "rating": "E 30",
            "leaf_mass_kg": None,
            "glazing": None,
            "remarks": "Weight [kg]: abc; Last inspection: 31.02.2026; Glass: 6 mm",
        },
    },
    last={"T-1": "2026-05-11", "T-2": "2026-05-12"},
    doubts=("F4", "G4", "H4"),
)

OWN_HEADINGS = Case(
    "weird.csv",
    b"""A,B,C,D
blue 1,thirty smoke,on the left of the hall,x
blue 2,sixty smoke,at the back,
""",
    {
        "blue 1": {"rating": "FD30S", "place": "on the left of the hall", "remarks": "D: x"},
        "blue 2": {"rating": "FD60S"},
    },
    said={"A": "number", "B": "rating", "C": "place"},
)


def _bare_xml() -> bytes:
    """A workbook as a small exporter writes it: strings in their cells, no styles, no references
    of cells.
    """
    rows = [
        ("Door reference", "Floor level", "Fire door rating", "Self closer", "Hold open device"),
        ("B-07", "Lower ground", "FD30S", "jamb closer", "Acoustic"),
        ("B-08", "Lower ground", "FD30 / FD30S", "removed", "no"),
    ]
    cells = "".join(
        "<row>" + "".join(f'<c t="inlineStr"><is><t>{text}</t></is></c>' for text in row) + "</row>"
        for row in rows
    )
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    package = "http://schemas.openxmlformats.org/package/2006"
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    files = {
        "[Content_Types].xml": f'<Types xmlns="{package}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.'
        'relationships+xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{kind}.sheet.main+xml"/>'
        f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{kind}.worksheet+xml"/>'
        "</Types>",
        "_rels/.rels": f'<Relationships xmlns="{package}/relationships"><Relationship Id="r1"'
        f' Type="{office}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{main}" xmlns:r="{office}"><sheets>'
        '<sheet name="export" sheetId="1" r:id="r1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{package}/relationships">'
        f'<Relationship Id="r1" Type="{office}/worksheet" Target="worksheets/sheet1.xml"/>'
        "</Relationships>",
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{main}"><sheetData>{cells}</sheetData>'
        "</worksheet>",
    }
    saved = io.BytesIO()
    with zipfile.ZipFile(saved, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, f'<?xml version="1.0" encoding="UTF-8"?>{text}')
    return saved.getvalue()


BARE_XML = Case(
    "report.xlsx",
    _bare_xml(),
    {
        "B-07": {"floor": "Lower ground", "closer": "concealed", "hold_open": "acoustic"},
        "B-08": {
            "rating": None,
            "closer": None,
            "hold_open": "none",
            "remarks": "Fire door rating: FD30 / FD30S; Self closer: removed",
        },
    },
    doubts=("C3", "D3"),
)

CASES = [
    CARETAKER,
    SEMICOLONS,
    UTF_16,
    ARCHITECT,
    MERGED_FLOORS,
    AMERICAN,
    NUMBERS,
    ASSESSOR,
    SECTIONS,
    FLATS,
    COBIE,
    QUOTED,
    EUROPEAN,
    OWN_HEADINGS,
    BARE_XML,
]
