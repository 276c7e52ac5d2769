"""Door schedules written as workbooks, by architects and in plain XML."""

from __future__ import annotations

import io
import zipfile
from datetime import date

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from schedule_cases import CHECKED, DAY_MADE_OF_1_2, TO_COME, Case, one_sheet, put, workbook


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
