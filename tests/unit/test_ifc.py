"""Doors of IFC models, written by ifcopenshell itself: IFC 2x3 and IFC 4.

Names: ISO 16739-1, IfcDoor and Pset_DoorCommon (from memory).
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from doorround.door_schedules.schedule import read_schedule
from doorround.door_schedules.sheet_doors import Options

pytest.importorskip("ifcopenshell")


def model(schema: str, path: Path) -> Path:
    """A building of two doors, in metres in IFC 4 and in millimetres in IFC 2x3."""
    import ifcopenshell
    import ifcopenshell.guid

    file = ifcopenshell.file(schema=schema)

    def make(kind: str, *values: Any, **fields: Any) -> Any:
        return file.create_entity(kind, *values, **fields)

    def rooted(kind: str, **fields: Any) -> Any:
        return make(kind, GlobalId=ifcopenshell.guid.new(), **fields)

    metres = schema == "IFC4"
    unit = make(
        "IfcSIUnit", UnitType="LENGTHUNIT", Name="METRE", Prefix=None if metres else "MILLI"
    )
    units = make("IfcUnitAssignment", Units=[unit])
    project = rooted("IfcProject", Name="P", UnitsInContext=units)
    site, building = rooted("IfcSite", Name="Default"), rooted("IfcBuilding", Name="Alder House")
    storey = rooted("IfcBuildingStorey", Name="Level 1")
    for above, below in ((project, site), (site, building), (building, storey)):
        rooted("IfcRelAggregates", RelatingObject=above, RelatedObjects=[below])
    scale = 0.001 if metres else 1.0
    doors = [
        rooted(
            "IfcDoor",
            Name="Single door",
            Tag=tag,
            OverallWidth=width * scale,
            OverallHeight=2040 * scale,
            **({"OperationType": how} if metres else {}),
        )
        for tag, width, how in (
            ("D-101", 926, "SINGLE_SWING_LEFT"),
            ("D-102", 1600, "DOUBLE_DOOR_SINGLE_SWING"),
        )
    ]  # one row a door
    if not metres:
        kinds = ("SINGLE_SWING_LEFT", "DOUBLE_DOOR_SINGLE_SWING")
        fixed = {"ConstructionType": "WOOD", "ParameterTakesPrecedence": False, "Sizeable": False}
        for door, kind in zip(doors, kinds, strict=True):
            style = rooted("IfcDoorStyle", OperationType=kind, **fixed)
            rooted("IfcRelDefinesByType", RelatedObjects=[door], RelatingType=style)
    rooted("IfcRelContainedInSpatialStructure", RelatingStructure=storey, RelatedElements=doors)
    told: dict[str, Any] = {
        "FireRating": make("IfcLabel", "FD30"),
        "SmokeStop": make("IfcBoolean", True),
        "SelfClosing": make("IfcBoolean", False),
    }
    properties = [
        make("IfcPropertySingleValue", Name=name, NominalValue=value)
        for name, value in told.items()
    ]
    common = rooted("IfcPropertySet", Name="Pset_DoorCommon", HasProperties=properties)
    rooted("IfcRelDefinesByProperties", RelatedObjects=doors[:1], RelatingPropertyDefinition=common)
    file.write(str(path))
    return path


@pytest.mark.parametrize("schema", ["IFC4", "IFC2X3"])
def test_doors_of_a_model_come_with_their_storey_their_rating_and_their_size(
    schema: str, tmp_path: Path
) -> None:
    path = model(schema, tmp_path / "model.ifc")
    found = read_schedule(path, Options(today=date(2026, 6, 15)), {}, {})
    first, second = found.doors
    wanted = {
        "building": "Alder House",
        "floor": "Level 1",
        "rating": "FD30S",
        "leaf_height_mm": 2040.0,
        "closer": "none",
    }
    assert {name: first.fields.get(name) for name in wanted} == wanted
    assert (first.number, first.fields["leaf_width_mm"]) == ("D-101", 926.0)
    assert (first.fields["leaves"], second.fields["leaves"]) == ("one", "pair")
    # the width of both leaves is no leaf's width
    assert "leaf_width_mm" not in second.fields
    assert "Width of both leaves (mm): 1600" in second.fields["remarks"]
    assert "rating" not in second.fields
