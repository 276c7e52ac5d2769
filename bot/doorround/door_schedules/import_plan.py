"""Plans an import, door by door, before anything is entered. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import cached_property
from typing import Any

from doorround.domain.door import Door
from doorround.domain.plain_text import same_number
from doorround.door_schedules.door_rows import ScheduleDoor
from doorround.door_schedules.sheet_doors import LeftRow

UNDONE = "import undone"
"""Prefix of the retirement reason for doors of an undone import."""


class RowOutcome(StrEnum):
    """Outcome for a row."""

    ADD = "added"
    CHANGE = "changed"
    SAME = "as it was"
    REPEAT = "repeated"
    REFUSE = "refused"


@dataclass(frozen=True)
class ImportLine:
    """Outcome for one door of the schedule. door: after the import; before: now. changes: old and
    new value by field. why: reason for refusal. last_check: the day to be entered; None if nothing
    is. brought_back: it was retired when an earlier import was undone.
    """

    deed: RowOutcome
    row: ScheduleDoor
    door: Door | None = None
    before: Door | None = None
    changes: Mapping[str, tuple[Any, Any]] = field(default_factory=dict)
    why: str = ""
    last_check: date | None = None
    brought_back: bool = False


@dataclass(frozen=True)
class ImportPlan:
    """An import before it is entered. left: rows that are not a door, or cannot be entered."""

    lines: tuple[ImportLine, ...]
    left: tuple[LeftRow, ...]

    def of(self, deed: RowOutcome) -> list[ImportLine]:
        """The lines with that outcome, in file order."""
        return [each for each in self.lines if each.deed is deed]

    @property
    def enters(self) -> bool:
        """Whether there is anything to enter."""
        return any(each.deed in (RowOutcome.ADD, RowOutcome.CHANGE) for each in self.lines)


@dataclass(frozen=True)
class Register:
    """The current register. retired: with each reason. checked: the last check of each checked
    door: its day, and whether with doorround.
    """

    doors: tuple[Door, ...]
    retired: tuple[tuple[Door, str], ...] = ()
    checked: Mapping[tuple[str, str, str], tuple[date, bool]] = field(default_factory=dict)

    @cached_property
    def by_number(self) -> Mapping[str, list[Door]]:
        """The doors in use by number, in any spelling."""
        found: dict[str, list[Door]] = {}
        for door in self.doors:
            found.setdefault(same_number(door.number), []).append(door)
        return found

    @cached_property
    def retired_by_number(self) -> Mapping[str, list[tuple[Door, str]]]:
        """The retired doors likewise, each with its reason."""
        found: dict[str, list[tuple[Door, str]]] = {}
        for door, why in self.retired:
            found.setdefault(same_number(door.number), []).append((door, why))
        return found


def plan_import(
    rows: Iterable[ScheduleDoor], left: Iterable[LeftRow], register: Register, site: str = ""
) -> ImportPlan:
    """The result of entering those rows. site: for new doors without a site."""
    lines: list[ImportLine] = []
    seen: dict[tuple[str, str, str], ScheduleDoor] = {}
    for row in rows:
        key = (
            str(row.fields.get("site", "")).casefold(),
            str(row.fields.get("building", "")).casefold(),
            same_number(row.number),
        )
        first = seen.setdefault(key, row)
        lines.append(_line(row, register, site) if first is row else _again(row, first))
    return ImportPlan(tuple(lines), tuple(left))


def _again(row: ScheduleDoor, first: ScheduleDoor) -> ImportLine:
    alike = row.fields == first.fields and row.last_check == first.last_check
    where = f"{first.cell}{f' of {first.sheet}' if first.sheet != row.sheet else ''}"
    if alike:
        return ImportLine(RowOutcome.REPEAT, row, why=f"the same as {where}")
    differs = sorted(
        name.replace("_", " ")
        for name in {*row.fields, *first.fields}
        if row.fields.get(name) != first.fields.get(name)
    ) or ["its last check"]
    return ImportLine(
        RowOutcome.REFUSE,
        row,
        why=f"door {row.number} stands in {where} already, with another {', '.join(differs)};"
        " that one is taken. If these are two doors, give one another number or a building",
    )


def _line(row: ScheduleDoor, register: Register, site: str) -> ImportLine:
    number = same_number(row.number)
    here = [door for door in register.by_number.get(number, ()) if _same_place(door, row)]
    if len(here) > 1:
        where = "; ".join(", ".join(filter(None, (d.site, d.building))) or "no site" for d in here)
        return ImportLine(
            RowOutcome.REFUSE,
            row,
            why=f"the register has {len(here)} doors {row.number}: {where}. Say"
            " which: --site, --building",
        )
    if here:
        return _change(row, here[0], register)
    for door, why in register.retired_by_number.get(number, ()):
        if _same_place(door, row):
            if why.startswith(UNDONE):
                return _change(row, door, register, brought_back=True)
            retired_why = (
                f"it was retired: {why}. If it is in use: doorround doors bring-back {door.number}"
            )
            return ImportLine(RowOutcome.REFUSE, row, why=retired_why)
    given = {name: value for name, value in row.fields.items() if name != "site" or value}
    door = Door.model_validate({"number": row.number, "site": site, **given})
    return ImportLine(RowOutcome.ADD, row, door, last_check=row.last_check)


def _same_place(door: Door, row: ScheduleDoor) -> bool:
    """Whether a door matches a row's site and building; anything unspecified matches."""
    return all(
        not given or not getattr(door, name) or given.casefold() == getattr(door, name).casefold()
        for name in ("site", "building")
        for given in (str(row.fields.get(name, "")),)
    )


def _change(
    row: ScheduleDoor, before: Door, register: Register, brought_back: bool = False
) -> ImportLine:
    plain = before.model_dump(mode="json")
    given = {name: value for name, value in row.fields.items() if value not in (None, "")}
    after = Door.model_validate({**plain, **given})
    changes = {
        name: (getattr(before, name), getattr(after, name))
        for name in Door.model_fields
        if getattr(before, name) != getattr(after, name)
    }
    day, ours = register.checked.get((before.site, before.building, before.number), (None, False))
    last_check = row.last_check if row.last_check != day and not ours else None
    if not changes and last_check is None and not brought_back:
        return ImportLine(RowOutcome.SAME, row, after, before)
    return ImportLine(RowOutcome.CHANGE, row, after, before, changes, "", last_check, brought_back)
