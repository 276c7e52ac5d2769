"""Five more door schedules, these and those of schedules_own.py, written with what must come out of
them before the reader's code was read, and tried once.

At that try 24 of 30 doors were read, and 111 of 147 fields and last checks of all; the place of one
door was two codes of rooms; two titles and "5 & 6" became doors; openings.csv was refused whole
for its headings. What was mended since are rules, no words of these files but the headings "Opg.",
"Nom. Size", "Matl", "Fire Label" and "Lite".
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from schedule_cases import Case, cells, put, workbook

SURVEYED = datetime(2025, 11, 5)  # noqa: DTZ001
REGISTER = Case(
    "register.csv",
    """Larkhill Homes – Fire Door Register;;;;;;;;;;;;;;
Exported 03.06.2026 by Estates;;;;;;;;;;;;;;
;;;;;;;;;;;;;;
Block;Level;Door ref.;Location;Door type;Fire rating;No. of leaves;Leaf width [mm];\
Leaf thickness [mm];Self-closer;Smoke seals?;Vision panel;Hinges (no.);Last insp.;\
Condition / comments
Ash Court;Ground floor;AC/G/01;Main entrance lobby – café side;Lobby;FD60S;2;926;54;Overhead;Y;\
Georgian wired;3;11.05.2026;Latch stiff
Ash Court;Ground floor;AC/G/02;Electrical intake cupboard;Riser cupboard;FD 60 S;1;826;54;\
None – kept locked;N;None;3;2026-05-11;
Ash Court;Ground floor;AC/G/03;Flat 1;Flat entrance door;FD-60-S;1;838;54;Overhead;Y;No;3;\
11-May-26;Tenant refuses access
Ash Court;1st floor;AC/1/01;Stair A, landing;Staircase;60 min + smoke;1;926,5;54;Floor spring;Y;\
Clear FR glass;4;12.05.2026;Replaced 2024
Ash Court;1st floor;AC/1/02;Corridor by lift;Corridor (cross-corridor);FD60(S);2;926;54;\
Overhead, both leaves;Y;Clear FR;3;12.05.2026;£120 quoted
Ash Court;1st floor;AC/1/03;Flat 2;Flat entrance door;60/30S;1;838;54;Concealed;Y;No;3;12.05.2026;
Ash Court;2nd floor;AC/2/01;Cleaner's cupboard;Cupboard;FD30;1;726;44;Y;N;No;1½ pr;31.04.2026;\
key with caretaker
Ash Court;2nd floor;AC/2/02;Bin chute room;Store;NFR;1;726;44;N;N;No;2;;not a fire door
;;;;;;;;;;;;;;
Total doors: 8;;;;;;;;;;;;;;
""".encode("cp1252"),
    {
        "AC/G/01": {
            "building": "Ash Court",
            "rating": "FD60S",
            "use": "lobby",
            "leaves": "pair",
            "leaf_width_mm": 926,
            "glazing": "wired",
            "closer": "overhead",
            "hinges": 3,
        },
        "AC/G/02": {
            "rating": "FD60S",
            "use": "riser",
            "closer": "none, kept locked",
            "glazing": "none",
        },
        "AC/G/03": {"rating": "FD60S", "use": "flat entrance", "leaf_width_mm": 838},
        "AC/1/01": {
            "rating": "60 min S",
            "use": "stair",
            "leaf_width_mm": 926.5,
            "closer": "floor spring",
            "glazing": "clear fire-resisting",
            "hinges": 4,
        },
        "AC/1/02": {"rating": "FD60S", "use": None, "leaves": "pair", "closer": "overhead"},
        "AC/1/03": {"rating": None, "use": "flat entrance", "closer": "concealed"},
        "AC/2/01": {"rating": "FD30", "use": "cupboard", "closer": None, "hinges": 3},
    },
    last={
        "AC/G/01": "2026-05-11",
        "AC/G/02": "2026-05-11",
        "AC/G/03": "2026-05-11",
        "AC/1/01": "2026-05-12",
        "AC/1/02": "2026-05-12",
        "AC/1/03": "2026-05-12",
    },
    doubts=("F10", "N11"),
    left=("A14", "C12"),
)


def _floor(workbook: Workbook, name: str, *rows: tuple[Any, ...]) -> None:
    sheet = workbook.create_sheet(name)
    put(
        sheet,
        (f"WHARF HOUSE – {name.upper()} – surveyed 5 Nov 2025",),
        cells("Door||Leaf|||Ironmongery||||Survey"),
        cells("No|Area|Rating|Width (cm)|Weight kg|Hinges|Closing device|Hold open?|Letterbox"),
        *rows,
    )
    sheet["J3"] = "Date"
    sheet["K3"] = "Notes"
    for merged in ("A1:K1", "A2:B2", "C2:E2", "F2:I2", "J2:K2"):
        sheet.merge_cells(merged)


def _wharf(workbook: Workbook) -> None:
    notes = workbook.active
    assert isinstance(notes, Worksheet)
    notes.title = "Read me"
    put(notes, ("Fire door survey",), (), ("Widths in cm!",), ("Door no.", "see the floor sheets"))
    day = SURVEYED
    _floor(
        workbook,
        "Ground",
        cells("G1|Corridor|FD60 SC S|92.6|62|3|overhead|magnet|✗", day, "closes"),
        cells("G2||FD60s|92.6|62.5|3|overhead|✗|✗", day),
        cells("G3|Plant room|fd60 smoke|82.6||4|none (locked shut)|✗|✗|5/11/25|Sign missing"),
        cells("G4|Kitchen|FD60 + S|92.6|62 kg|3|free swing|✗|✗|5th November 2025|Shutter"),
    )
    workbook["Ground"]["B5"] = None
    workbook["Ground"].merge_cells("B4:B5")
    _floor(
        workbook,
        "First",
        cells("F1|Office 1.04|FD30S|92.6|48|3|overhead|✗|✓|05.11.2025|"),
        cells("F2|Stair 2|FD30 w/ smoke seals|92.6|48|3|concealed|acoustic|✗|45966|a number"),
        cells("F3|Store|not known|72.6|40|2|✓|✗|✗|?|mattresses"),
        cells("F2|Stair 2|FD30S|92.6|48|3|concealed|acoustic|✗", day, "twice"),
    )


SURVEY = Case(
    "wharf.xlsx",
    workbook(_wharf),
    {
        "G1": {
            "place": "Corridor",
            "rating": "FD60S",
            "leaf_width_mm": 926,
            "leaf_mass_kg": 62,
            "hold_open": "alarm-linked",
            "letter_plate": "none",
        },
        "G2": {"place": "Corridor", "rating": "FD60S", "leaf_mass_kg": 62.5, "hold_open": "none"},
        "G3": {
            "rating": "FD60S",
            "leaf_width_mm": 826,
            "leaf_mass_kg": None,
            "hinges": 4,
            "closer": "none, kept locked",
        },
        "G4": {"rating": "FD60S", "leaf_mass_kg": 62, "closer": "free-swing", "hold_open": "none"},
        "F1": {"floor": "First", "rating": "FD30S", "letter_plate": "fitted"},
        "F2": {"rating": "FD30S", "hinges": 3, "closer": "concealed", "hold_open": "acoustic"},
        "F3": {"rating": None, "leaf_width_mm": 726, "hinges": 2, "closer": None},
    },
    last=dict.fromkeys(("G1", "G2", "G3", "G4", "F1", "F2"), "2025-11-05"),
    doubts=("J5",),
    refused=("A7",),
)

OPENINGS = Case(
    "openings.csv",
    """OPENING SCHEDULE
Opg. #|Fr. Room|To Room|Nom. Size|Dr Matl|Fire Label|HDW|Closer|Hold-Open|Lite|Last Insp. Date
101A|Lobby 100|Corr. 101|(2) 3'-0" x 7'-0"|WD|90 MIN|HW-1|Surface|Mag.|Wire glass|11/18/2025
102|Corr. 101|Office 102|3'-0" x 7'-0"|WD|20 min.|HW-3|None|-|-|11/05/2025
103|Corr. 101|Mech. 103|3'-6" x 7'-0"|HM|1-1/2 HR|HW-4|Surface|-|-|11/18/2025
ST-1|Corr. 101|Stair 1|3'-0" x 7'-0"|HM|B-LABEL|HW-2|Surface|-|-|11/18/2025
ST-2|Corr. 101|Stair 2|36" x 84"|HM|3/4 hr|HW-2|Concealed|-|Clear rated|11/18/2025
104|Corr. 101|Elec. 104|3070|HM|180 MIN|HW-4|Surface|-|-|11/31/2025
105|Corr. 101|Janitor 105|2'-8" x 7'-0"|WD|NR|HW-5|-|-|-
""".replace("|", "\t")
    .replace("\n", "\r\n")
    .encode("utf-16"),
    {
        "101A": {
            "place": "Lobby 100 to Corr. 101",
            "rating": "90 min",
            "leaves": "pair",
            "leaf_width_mm": 914.4,
            "closer": "overhead",
            "hold_open": "alarm-linked",
        },
        "102": {
            "rating": "20 min",
            "material": "timber",
            "closer": "none",
            "hold_open": None,
            "glazing": None,
        },
        "103": {
            "material": "steel",
            "rating": "90 min",
            "leaf_width_mm": 1066.8,
            "closer": "overhead",
        },
        "ST-1": {"rating": None, "closer": "overhead"},
        "ST-2": {
            "rating": "45 min",
            "leaf_width_mm": 914.4,
            "leaf_height_mm": 2133.6,
            "closer": "concealed",
            "glazing": "clear fire-resisting",
        },
        "104": {"rating": "180 min", "leaf_width_mm": None},
    },
    last={
        "101A": "2025-11-18",
        "102": "2025-11-05",
        "103": "2025-11-18",
        "ST-1": "2025-11-18",
        "ST-2": "2025-11-18",
    },
    doubts=("D8", "F6", "K8"),
    left=("A9",),
)
