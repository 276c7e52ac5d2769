"""Logbook entries, before the logbook numbers and chains them."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from typing import Any

from pydantic import BaseModel, ConfigDict, Field


class EntryKind(StrEnum):
    """Kind of event.

    Entries are immutable: a correction is a new entry naming the one it corrects.
    """

    DOOR_ADDED = "door added"
    DOOR_CHANGED = "door changed"
    DOOR_MOVED = "door moved"
    DOOR_RENUMBERED = "door renumbered"
    DOOR_RETIRED = "door retired"
    DOOR_BROUGHT_BACK = "door brought back"
    CHECKED_BEFORE = "checked before"
    CHECKED_BEFORE_WITHDRAWN = "earlier check withdrawn"
    FIRST_CHECK_PLANNED = "first check planned"
    DOORS_IMPORTED = "doors imported"
    IMPORT_UNDONE = "import undone"
    PERSON_ADDED = "person added"
    PERSON_INVITED = "person invited"
    INVITE_WITHDRAWN = "invite withdrawn"
    PERSON_JOINED = "person joined"
    CONSENT_GIVEN = "consent given"
    ROLE_CHANGED = "role changed"
    PERSON_LEFT = "person left"
    HANDED_OVER = "handed over"
    GROUP_BOUND = "group bound"
    READING_SET = "reading set"
    RECORDINGS_TIDIED = "recordings tidied"
    PHOTOS_TIDIED = "photos tidied"
    CHECK_STARTED = "check started"
    MESSAGE = "message"
    ANSWERED = "answered"
    WITHDRAWN = "withdrawn"
    FOUND = "found"
    REPORTED = "reported"
    DENIED = "denied"
    SKIPPED = "skipped"
    NOTED = "noted"
    PHOTOGRAPHED = "photographed"
    PAUSED = "paused"
    RESUMED = "resumed"
    CANCELLED = "cancelled"
    SIGNED = "signed"
    ACCESS_REFUSED = "access refused"
    DEFECT_ASSIGNED = "defect assigned"
    DEFECT_MADE_GOOD = "defect made good"
    DEFECT_LOOKED_AT = "defect looked at"
    DEFECT_REOPENED = "defect reopened"
    DEFECT_NOTED = "defect noted"
    DEFECT_NAMED = "defect named"
    DEFECT_DISMISSED = "defect is no fault"
    MEASURE_TAKEN = "temporary measure"
    DOOR_OUT = "door out of action"
    DOOR_FIT = "door fit again"
    CLOCK_DOUBTED = "clock doubted"
    CLOCK_TRUSTED = "clock trusted"
    REMINDED = "reminded"
    SNOOZED = "snoozed"
    DAYS_OFF = "days off"
    SET_ASIDE = "set aside"
    CAME_LATE = "came late"
    SETTINGS_CHANGED = "settings changed"
    AREA_GIVEN = "area given"


class Entry(BaseModel):
    """One event. at: UTC. door: its number. check: id of the check. person: who did it.
    body: JSON.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    kind: EntryKind
    at: datetime
    person: str
    door: str | None = None
    check: str | None = None
    body: dict[str, Any] = Field(default_factory=dict)
