"""doorround doors import and undo-import: told first, entered at once or not at all, taken back."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from doorround.cli.app import app

FIRST = """Door No,Building,Floor,Location,Fire rating,Closer,Last inspection,Inspected by,Colour
12,East,1,by the lift,FD30S,overhead,2026-05-11,Old Tom,white
13,East,1,stair B,FD30,floor spring,2026-05-12,Old Tom,
14,East,2,plant,FD3O,yes,,,grey
"""
SECOND = FIRST.replace("FD30,floor", "FD60,floor").replace("1,by the lift", "2,by the lift")


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    return home


def run(*words: object, code: int = 0) -> str:
    result = CliRunner().invoke(app, [str(word) for word in words])
    assert result.exit_code == code, result.output
    return result.output


def rows(*words: object) -> list[dict[str, Any]]:
    return [json.loads(line) for line in run(*words).splitlines()]


def schedule(home: Path, text: str = FIRST, name: str = "doors.csv") -> Path:
    path = home.parent / name
    path.write_text(text, encoding="utf-8")
    return path


def entries() -> list[dict[str, Any]]:
    return rows("logbook", "show", "--json")


def without_hashes(table: str) -> str:
    """Its words in one line, without the last column, which would stand within what is wrapped."""
    return " ".join(re.sub(r" [0-9a-f]{8}$", "", table, flags=re.MULTILINE).split())


def test_first_it_only_tells_what_it_would_do(home: Path) -> None:
    said = run("doors", "import", schedule(home))
    lines = [" ".join(line.split()) for line in said.splitlines()]
    assert 'column A "Door No" → number: known heading' in lines
    assert 'column I "Colour" → remarks: no field of the register' in lines
    assert any(line.startswith("added 12 A2 FD30S; 1; by the lift;") for line in lines)
    assert any(line.startswith('in doubt 14 E4 "FD3O" under "Fire rating" is no') for line in lines)
    assert "Doors: 3 added, 0 changed, 0 as it was, 0 refused." in lines
    assert lines[-1] == "Nothing was entered. To enter it, give the same command with --yes."
    assert run("doors", "list", "--json") == ""


def test_what_is_entered_is_due_from_its_last_check_and_loses_nothing(home: Path) -> None:
    assert "Entered: 3 added, 0 changed." in run("doors", "import", schedule(home), "--yes")
    doors = {door["number"]: door for door in rows("doors", "list", "--json")}
    assert doors["12"]["rating"]["text"] == "FD30S" and doors["12"]["remarks"] == "Colour: white"
    assert doors["14"]["rating"] is None
    assert doors["14"]["remarks"] == "Fire rating: FD3O; Closer: yes; Colour: grey"
    due = {row["door"]: row["due"] for row in rows("due", "--json")}
    assert due["12"] == "2026-06-11" and due["13"] == "2026-06-12"
    kinds = [entry["kind"] for entry in entries()]
    assert kinds.count("checked before") == 2 and kinds[-1] == "doors imported"
    shown = without_hashes(run("logbook", "show"))
    assert "Last check before doorround: 2026-05-11, by Old Tom (doors.csv, A2)" in shown
    assert "Imported doors.csv: 3 doors added, 0 changed, 0 rows refused" in shown
    assert "unbroken" in run("logbook", "verify")


def test_importing_again_brings_it_up_to_date_and_enters_only_what_differs(home: Path) -> None:
    run("doors", "import", schedule(home), "--yes")
    before = len(entries())
    again = run("doors", "import", schedule(home), "--yes")
    assert "Doors: 0 added, 0 changed, 3 as it was, 0 refused." in again
    assert len(entries()) == before
    said = " ".join(run("doors", "import", schedule(home, SECOND), "--yes").split())
    assert "changed 12 A2 floor: 1 → 2" in said and "changed 13 A3 rating: FD30 → FD60" in said
    kinds = [entry["kind"] for entry in entries()[before:]]
    assert kinds == ["door moved", "door changed", "doors imported"]


def test_the_last_import_is_undone_by_one_command(home: Path) -> None:
    run("doors", "import", schedule(home), "--yes")
    before = rows("doors", "list", "--json")
    run("doors", "import", schedule(home, SECOND), "--yes")
    assert run("doors", "undo-import") == "The import of doors.csv is undone: 2 doors as before.\n"
    assert rows("doors", "list", "--json") == before
    assert "3 doors as before" in run("doors", "undo-import")
    assert run("doors", "list", "--json") == "" and run("due", "--json") == ""
    assert "There is no import that could be undone." in run("doors", "undo-import", code=2)
    # what was retired by that comes back with the next import
    assert "3 changed" in run("doors", "import", schedule(home), "--yes")
    assert rows("doors", "list", "--json") == before
    assert {row["door"]: row["due"] for row in rows("due", "--json")}["12"] == "2026-06-11"
    assert "unbroken" in run("logbook", "verify")


def test_what_was_done_with_a_door_since_is_not_undone(home: Path) -> None:
    run("doors", "import", schedule(home), "--yes")
    run("doors", "refused", "12", "--why", "nobody in")
    said = run("doors", "undo-import")
    assert "2 doors as before" in said
    assert "Door 12 stays as it is: it was checked or put out of action since." in said
    [kept] = rows("doors", "list", "--json")
    assert kept["number"] == "12"


def test_a_door_that_was_changed_by_hand_since_is_not_undone(home: Path) -> None:
    run("doors", "import", schedule(home), "--yes")
    run("doors", "import", schedule(home, SECOND), "--yes")
    run("doors", "change", "13", "--set", "rating=FD60S", "--why", "looked at")
    assert "Door 13 stays as it is: it was changed since." in run("doors", "undo-import")
    found = {door["number"]: door["rating"] for door in rows("doors", "list", "--json")}
    assert found["13"]["text"] == "FD60S"


def test_headings_are_explained_once_and_remembered(home: Path) -> None:
    odd = schedule(home, "Tally,Doorway,Burn time\n1,by the lift,FD30\n2,stair,FD60\n", "odd.csv")
    assert "no row of headings was found" in run("doors", "import", odd, code=2)
    columns = ("--column", "Tally=number", "--column", "Burn time=rating")
    said = run("doors", "import", odd, *columns, "--column", "B=place", "--yes")
    assert "as you said" in said and "Entered: 2 added" in said
    assert "as last time" in run("doors", "import", odd, "--column", "B=place")
    assert '"colour" is not a field. Use one of: number' in run(
        "doors", "import", odd, "--column", "Tally=colour", code=2
    )
    assert "write a column as HEADING=FIELD" in run(
        "doors", "import", odd, "--column", "Tally", code=2
    )


def test_doors_that_others_have_are_refused_and_say_why(home: Path) -> None:
    for building in ("East", "West"):
        run("doors", "add", "12", "--set", f"building={building}")
    run("doors", "add", "15")
    run("doors", "retire", "15", "--why", "bricked up")
    path = schedule(home, "Door No,Rating\n12,FD30\n15,FD30\n16,FD30\n16,FD60\n,FD90\n")
    found = rows("doors", "import", path, "--json")
    refused = {row["cell"]: row["why"] for row in found if row["what"] == "refused"}
    assert "the register has 2 doors 12: East; West" in refused["A2"]
    assert "it was retired: bricked up" in refused["A3"]
    assert "door 16 stands in A4 already, with another rating" in refused["A5"]
    assert refused["B6"] == "names no door number"
    assert [row["door"] for row in found if row["what"] == "added"] == ["16"]
    said = run("doors", "import", path, "--building", "West")
    assert " ".join(said.split()).count("changed 12 A2 rating: not known → FD30") == 1


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("gone.xlsx", None, "is not there"),
        ("plan.pdf", b"%PDF-1.7 ...", "is a PDF. Ask for the schedule as .xlsx or .csv"),
        ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "save it as .xlsx"),
        ("broken.xlsx", b"PK\x03\x04 not a zip", "is damaged"),
        ("photo.csv", b"\x89PNG\r\n\x1a\n", "is a picture"),
        ("empty.csv", b" \n", "is empty"),
        ("memory.bin", b"\x00\x01\x02\x03\x04" * 90, "is neither text nor a spreadsheet"),
        ("letter.csv", b"Dear all,\nplease find the doors attached.\n", "no row of headings"),
        ("model.ifc", b"ISO-10303-21;\nrubbish", "IFC model"),
    ],
)
def test_a_file_that_is_no_schedule_says_what_to_do(
    home: Path, name: str, content: bytes | None, told: str
) -> None:
    path = home.parent / name
    if content is not None:
        path.write_bytes(content)
    said = run("doors", "import", path, code=2)
    assert told in said and "Traceback" not in said


def test_new_doors_are_on_the_site_of_the_settings_and_known_ones_stay_where_they_are(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = schedule(home)
    run("doors", "add", "12", "--set", "building=East")
    run("doors", "add", "13", "--set", "building=East", "--set", "site=Weir House")
    monkeypatch.setenv("DOORROUND_SITE", "Lantern House")
    run("doors", "import", path, "--yes")
    sites = {row["number"]: row["site"] for row in rows("doors", "list", "--json")}
    assert sites == {"12": "", "13": "Weir House", "14": "Lantern House"}
    assert "0 added, 0 changed" in run("doors", "import", path, "--yes")
