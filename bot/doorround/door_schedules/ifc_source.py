"""Doors of an IFC model (IFC 2x3, IFC 4): IfcDoor with its storey, building and Pset_DoorCommon.

Source of names: ISO 16739-1 (buildingSMART IFC 4), IfcDoor and Pset_DoorCommon (from memory).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from doorround.door_schedules.cells import Cell, ScheduleError, Sheet, cell_text, sheet_of

HEADINGS = (
    "Mark",
    "Site",
    "Building",
    "Storey",
    "Space",
    "FireRating",
    "SmokeStop",
    "SelfClosing",
    "OverallWidth (mm)",
    "Width of both leaves (mm)",
    "OverallHeight (mm)",
    "Leaves",
    "Material",
    "GlazingAreaFraction",
    "FireExit",
    "Name",
    "GlobalId",
)
_PROPERTIES = ("FireRating", "SmokeStop", "SelfClosing", "GlazingAreaFraction", "FireExit")


def read_ifc(path: Path) -> Sheet:
    """The doors of a model as a sheet, one per row. Raises ScheduleError if the extra is not
    installed, or the model cannot be read.
    """
    try:
        import ifcopenshell
        from ifcopenshell.util import element, unit
    except ImportError as error:
        raise ScheduleError(
            f"{path.name} is an IFC model. To read it, run in doorround's checkout:"
            " pip install '.[ifc]'. Or ask for the doors as a schedule, .xlsx or .csv."
        ) from error
    try:
        model = ifcopenshell.open(str(path))
        doors = list(model.by_type("IfcDoor"))
    except Exception as error:  # the library raises all kinds of exceptions
        raise ScheduleError(f"{path.name} cannot be read as an IFC model: {error}.") from error
    to_mm = unit.calculate_unit_scale(model) * 1000
    rows = [list(HEADINGS), *(_row(door, element, to_mm) for door in doors)]
    cells = [
        [Cell(cell_text(text), n, place) for place, text in enumerate(row, 1)]
        for n, row in enumerate(rows, 1)
    ]
    return sheet_of("IfcDoor", cells, headed=1)


def _row(door: Any, element: Any, to_mm: float) -> list[str]:
    common = element.get_psets(door).get("Pset_DoorCommon", {})
    common = {**_of_type(door, element), **common}
    places = {each.is_a(): each for each in _above(door, element)}
    storey, building = places.get("IfcBuildingStorey"), places.get("IfcBuilding")
    leaves, width = _leaves(door, element), _mm(door.OverallWidth, to_mm)
    widths = ["", width] if leaves == "pair" else [width, ""]
    return [
        _text(door.Tag) or _text(door.Name),
        _name(places.get("IfcSite")),
        _name(building),
        _name(storey),
        _name(places.get("IfcSpace")),
        *(_text(common.get(name)) for name in _PROPERTIES[:3]),
        *widths,
        _mm(door.OverallHeight, to_mm),
        leaves,
        "",
        *(_text(common.get(name)) for name in _PROPERTIES[3:]),
        _text(door.Name),
        _text(door.GlobalId),
    ]


def _of_type(door: Any, element: Any) -> dict[str, Any]:
    kind = element.get_type(door)
    found = element.get_psets(kind).get("Pset_DoorCommon", {}) if kind else {}
    return dict(found)


def _above(door: Any, element: Any) -> list[Any]:
    """The spatial structure containing the door, from its storey or space up to the site."""
    found: list[Any] = []
    at = element.get_container(door)
    while at is not None and len(found) < 10:
        found.append(at)
        at = element.get_aggregate(at)
    return found


def _leaves(door: Any, element: Any) -> str:
    """By operation type: in IFC 4 on the door, in IFC 2x3 on its style."""
    operation = _text(getattr(door, "OperationType", None))
    style = element.get_type(door)
    operation = operation or _text(getattr(style, "OperationType", None)) if style else operation
    if operation.startswith("DOUBLE_DOOR"):
        return "pair"
    return (
        "single"
        if operation.startswith(("SINGLE_SWING", "DOUBLE_SWING_L", "DOUBLE_SWING_R"))
        else ""
    )


def _name(place: Any) -> str:
    if place is None:
        return ""
    name = _text(place.Name)
    return "" if name.lower() in ("default", "undefined", "site", "building") else name


def _mm(length: float | None, to_mm: float) -> str:
    return "" if length is None else f"{length * to_mm:.0f}"


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)
