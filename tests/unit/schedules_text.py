"""Door schedules written as text: with commas, semicolons and tabs."""

from __future__ import annotations

from schedule_cases import Case

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
