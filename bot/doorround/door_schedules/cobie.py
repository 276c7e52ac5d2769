"""COBie workbooks: doors are rows of Component, described by Type, placed by Space and Floor.

Source of sheet and column names: COBie 2.4, BS 1192-4 (from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from doorround.door_schedules.cells import Cell, Sheet, sheet_of, taken_from

_DOOR = re.compile(r"\bdoors?\b|\bdoorsets?\b|pr_30_59_24|ss_25_30_20|23-17 11", re.I)
_UNITS = dict.fromkeys(("mm", "millimeters", "millimetres", "millimeter", "millimetre"), "mm")
_UNITS |= dict.fromkeys(("m", "meters", "metres", "meter", "metre"), "m")
_UNITS |= dict.fromkeys(("kg", "kilograms", "kilogram"), "kg")
_LEFT_OUT = {"createdby", "createdon", "extsystem", "extobject", "typename", "space"}


def cobie_sheet(sheets: Iterable[Sheet]) -> Sheet | None:
    """The doors of a COBie workbook as one sheet; None if it is not a COBie workbook.

    A component is a door if its type or its own words say so. Cells keep their addresses in the
    workbook; headings of its type's cells say so.
    """
    named = {sheet.name.strip().lower(): sheet for sheet in sheets}
    if not {"component", "type"} <= set(named):
        return None
    components = _records(named["component"])
    if not components or "typename" not in components[0]:
        return None
    types = {_said(each, "name"): each for each in _records(named["type"])}
    spaces = {_said(each, "name"): each for each in _records(named.get("space"))}
    attributes = _attributes(named.get("attribute"))
    found = []
    for each in components:
        kind = types.get(_said(each, "typename"), {})
        if _is_door(each) or _is_door(kind):
            own = attributes.get(("component", _said(each, "name")), {})
            of_type = attributes.get(("type", _said(each, "typename")), {})
            found.append(_joined(each, kind, spaces, {**of_type, **own}))
    return _as_sheet(found)


Record = dict[str, tuple[str, Cell]]
"""By lower-case heading: the heading and the cell, with its sheet."""


def _records(sheet: Sheet | None) -> list[Record]:
    if sheet is None or not sheet.rows:
        return []
    heads = [cell.text for cell in sheet.rows[0]]
    return [
        {
            head.lower(): (head, taken_from(sheet.name, cell, cell.row, cell.column))
            for head, cell in zip(heads, row, strict=False)
            if head and cell.text.lower() not in ("n/a", "")
        }
        for row in sheet.rows[1:]
        if row
    ]


def _said(record: Record, name: str) -> str:
    return record[name][1].text if name in record else ""


def _is_door(record: Record) -> bool:
    texts = (_said(record, name) for name in ("category", "name", "description", "assettype"))
    return any(_DOOR.search(text) for text in texts)


def _attributes(sheet: Sheet | None) -> dict[tuple[str, str], dict[str, Cell]]:
    """Attributes of components and types from the sheet Attribute: by lower-case sheet and row
    name, then by attribute name.
    """
    found: dict[tuple[str, str], dict[str, Cell]] = {}
    for each in _records(sheet):
        if "name" in each and "value" in each:
            cell = each["value"][1]
            unit = _UNITS.get(_said(each, "unit").lower(), "")
            of = (_said(each, "sheetname").lower(), _said(each, "rowname"))
            text = f"{cell.text} {unit}".strip()
            found.setdefault(of, {})[_said(each, "name")] = replace(cell, text=text)
    return found


def _placed(cell: Cell, spaces: dict[str, Record]) -> dict[str, Cell]:
    """Location of a door: in one space, or between several, comma-separated; and its floor, if they
    share one.
    """
    names = [cell.text] if cell.text in spaces else re.split(r"\s*,\s*", cell.text)
    where = {name: spaces.get(name, {}) for name in names}
    floors = {
        _said(each, "floorname"): each["floorname"][1]
        for each in where.values()
        if "floorname" in each
    }
    space_names = (_said(each, "description") or name for name, each in where.items())
    found = {"Space": replace(cell, text=", ".join(dict.fromkeys(space_names)))}
    return {"Floor": floors.popitem()[1], **found} if len(floors) == 1 else found


def _joined(
    component: Record, kind: Record, spaces: dict[str, Record], attributes: dict[str, Cell]
) -> dict[str, Cell]:
    """One door: from its component, then its type, its attributes, its spaces and their floor."""
    found = {head: cell for low, (head, cell) in component.items() if low not in _LEFT_OUT}
    name = found.pop("Name", None) or found.pop("name", None)
    row: dict[str, Cell] = {"Door number": name} if name else {}
    space_cell = component.get("space")
    if space_cell:
        row |= _placed(space_cell[1], spaces)
    for low, (head, cell) in kind.items():
        if low not in _LEFT_OUT | {"name"}:
            found.setdefault(f"Type {head}" if low in ("description", "category") else head, cell)
    for head, cell in attributes.items():
        found.setdefault(head if head.lower() not in _LEFT_OUT else f"Attribute {head}", cell)
    return {**row, **found}


def _as_sheet(doors: list[dict[str, Cell]]) -> Sheet:
    heads = list(dict.fromkeys(head for door in doors for head in door))
    rows = [[Cell(head, 1, place) for place, head in enumerate(heads, 1)]]
    for door in doors:
        row = door["Door number"].row if "Door number" in door else len(rows) + 1
        blank = [Cell("", row, place) for place in range(1, len(heads) + 1)]
        for place, head in enumerate(heads, 1):
            if head in door:
                blank[place - 1] = replace(door[head], row=row, column=place)
        rows.append(blank)
    return sheet_of("Component", rows, headed=1)
