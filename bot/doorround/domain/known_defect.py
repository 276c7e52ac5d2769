"""A fault that may be named at a part of the door, and its meaning there."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator

from doorround.domain.door import Door
from doorround.domain.judging.severity import Severity


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Variant(_Part):
    """Override of a fault's meaning at some doors. when: door attribute → required value, which
    must be known. None leaves a field unchanged.
    """

    when: dict[str, bool]
    severity: Severity | None = None
    why: str | None = None
    do_now: str | None = None
    source: str | None = None

    def fits(self, door: Door) -> bool:
        """Whether the override applies to this door."""
        return all(getattr(door, name) is wanted for name, wanted in self.when.items())


class KnownDefect(_Part):
    """A fault that may be named at a component, and its meaning.

    words: as read back, e.g. "painted over". why, do_now: one sentence each. source: see Finding.
    mended: wording for "put right on the spot"; None if no caretaker can. must_not_move: see
    Finding. unless: door attribute → known value at doors where this is not a fault.
    """

    component: str
    name: str
    words: str
    severity: Severity
    why: str
    do_now: str
    source: str
    mended: str | None = None
    must_not_move: bool = False
    variant: tuple[Variant, ...] = ()
    unless: dict[str, bool] = Field(default_factory=dict)
    sources: dict[str, str] = Field(default_factory=dict)

    def at(self, door: Door, family: str) -> KnownDefect:
        """The fault as it counts at this door under the sets of that family."""
        fitting = next((each for each in self.variant if each.fits(door)), None)
        source = {"source": self.sources[family]} if family in self.sources else {}
        if fitting is None:
            return self.model_copy(update=source)
        changed = {
            name: value
            for name in ("severity", "why", "do_now", "source")
            if (value := getattr(fitting, name)) is not None
        }
        return self.model_copy(update={**changed, **source})

    def is_none_at(self, door: Door) -> bool:
        """Whether what it names is correct at this door."""
        wanted = self.unless.items()
        return bool(wanted) and all(getattr(door, name) is value for name, value in wanted)

    @property
    def mildest(self) -> Severity:
        """The lowest severity that it may have."""
        each = [self.severity, *(other.severity for other in self.variant if other.severity)]
        return min(each, key=lambda severity: severity.rank)

    @property
    def most_severe(self) -> Severity:
        """The highest severity that it may have."""
        each = [self.severity, *(other.severity for other in self.variant if other.severity)]
        return max(each, key=lambda severity: severity.rank)

    @model_validator(mode="before")
    @classmethod
    def _kept_before(cls, given: Any) -> Any:
        """A fault of a checklist stored before severities existed: the more severe of those
        possible.
        """
        if not isinstance(given, dict) or "verdict" not in given or "severity" in given:
            return given
        kept = {name: value for name, value in given.items() if name != "verdict"}
        return {**kept, "severity": "act now" if given["verdict"] == "act now" else "soon"}
