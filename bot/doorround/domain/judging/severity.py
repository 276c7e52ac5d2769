"""How soon a finding is dealt with, and its target date."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from enum import StrEnum

from pydantic import BaseModel, ConfigDict, Field


class Severity(StrEnum):
    """Four levels with names of our own, lowest first.

    WATCH: looked at again at the next check. PLANNED: goes with the planned repairs. SOON: before
    other work. ACT_NOW: the door is out of action as a fire door, or a danger to people.
    """

    WATCH = "watch"
    PLANNED = "planned"
    SOON = "soon"
    ACT_NOW = "act now"

    @property
    def rank(self) -> int:
        """0 for the lowest, 3 for the highest; the names themselves would sort alphabetically."""
        return _ORDER.index(self)


_ORDER = tuple(Severity)


def most_severe(severities: Iterable[Severity]) -> Severity | None:
    """The highest of some severities; None if there are none."""
    return max(severities, key=lambda each: each.rank, default=None)


def next_severity(severity: Severity) -> Severity:
    """The next severity up; ACT_NOW stays."""
    return _ORDER[min(severity.rank + 1, len(_ORDER) - 1)]


class Targets(BaseModel):
    """Target for dealing with a finding: days after it was found, 0 the same day; None: at the next
    check.

    Set by the responsible person. The defaults here are common practice, no source.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    act_now: int = Field(default=0, ge=0, le=365)
    soon: int = Field(default=7, ge=0, le=365)
    planned: int = Field(default=28, ge=0, le=365)
    watch: int | None = Field(default=None, ge=0, le=730)
    look_act_now: int = Field(default=2, ge=0, le=60)
    look_soon: int = Field(default=7, ge=0, le=60)
    look_planned: int = Field(default=28, ge=0, le=365)
    look_watch: int | None = Field(default=None, ge=0, le=730)

    def look_days(self, severity: Severity) -> int | None:
        """Days after a repair by which somebody has to look at it; None: at the next check."""
        match severity:
            case Severity.ACT_NOW:
                return self.look_act_now
            case Severity.SOON:
                return self.look_soon
            case Severity.PLANNED:
                return self.look_planned
            case Severity.WATCH:
                return self.look_watch

    def days(self, severity: Severity) -> int | None:
        """Target days for that severity; None: at the next check."""
        match severity:
            case Severity.ACT_NOW:
                return self.act_now
            case Severity.SOON:
                return self.soon
            case Severity.PLANNED:
                return self.planned
            case Severity.WATCH:
                return self.watch

    def due(self, severity: Severity, found: datetime) -> datetime | None:
        """Due date of a finding made at that time; None: at the next check."""
        days = self.days(severity)
        return None if days is None else found + timedelta(days=days)
