"""Headings identified by a user, stored beside the logbook for the next import."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from doorround.door_schedules.cells import ScheduleError
from doorround.door_schedules.columns import plain_heading
from doorround.door_schedules.heading_words import FIELDS

FILE = "schedule-headings.json"


def remembered_headings(home: Path) -> dict[str, str]:
    """Fields by normalised heading. Raises ScheduleError for an unreadable file."""
    path = home / FILE
    if not path.exists():
        return {}
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
        return {name: field for name, field in kept.items() if field in FIELDS}
    except (ValueError, AttributeError) as error:
        raise ScheduleError(
            f"{path} is damaged. Delete it: it only holds how headings were read before."
        ) from error


def remember_headings(home: Path, columns: Mapping[str, str]) -> None:
    """Store the user's headings. Column letters apply to one file only, and are not stored."""
    named = {plain_heading(name): field for name, field in columns.items()}
    kept = {name: field for name, field in named.items() if len(name) > 2}
    if not kept:
        return
    path = home / FILE
    part = path.with_name(f"{FILE}.part")
    known = {**remembered_headings(home), **kept}
    part.write_text(json.dumps(known, indent=1, sort_keys=True) + "\n", encoding="utf-8")
    part.replace(path)
