"""What a rule says of an answer."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from pydantic import BaseModel, ConfigDict, computed_field, model_validator

from doorround.domain.judging.severity import Severity


class Verdict(StrEnum):
    """How an answer leaves the door. UNKNOWN is no pass: the part has not been seen."""

    SOUND = "sound"
    UNKNOWN = "unknown"
    DEFECT = "defect"
    ACT_NOW = "act now"


_ORDER = (Verdict.SOUND, Verdict.UNKNOWN, Verdict.DEFECT, Verdict.ACT_NOW)


class Finding(BaseModel):
    """One rule's word on one answer.

    what: the fault in the trade's words. why: one sentence. do_now: what the caretaker does before
    going on.
    source: document and clause; "secondary" where a summary was read; or "common practice, no
    source".
    severity: how soon; None where nothing was found wrong or nothing was seen. made_good: put right
    on the spot: closed as soon as it was found, and kept. must_not_move: while it stands, nobody
    swings the door. access: of how easily people get through; it does not fail a fire door.
    face: what the door's face is called that has it; None where it has no name.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    rule: str
    question: str
    component: str
    what: str
    why: str
    do_now: str
    source: str
    severity: Severity | None = None
    made_good: bool = False
    must_not_move: bool = False
    access: bool = False
    face: str | None = None

    def body(self) -> dict[str, Any]:
        """As it is entered; without its face, where that has no name."""
        return self.model_dump(mode="json", exclude=None if self.face else {"face"})

    @computed_field  # type: ignore[prop-decorator]
    @property
    def verdict(self) -> Verdict:
        """How it leaves the door, by its severity."""
        if self.made_good:
            return Verdict.SOUND
        if self.severity is None:
            return Verdict.UNKNOWN
        return Verdict.ACT_NOW if self.severity is Severity.ACT_NOW else Verdict.DEFECT

    @model_validator(mode="before")
    @classmethod
    def _kept_before(cls, given: Any) -> Any:
        """A finding as it is kept has its verdict beside it. One from before there were severities
        gets the graver one of those it may have been.
        """
        if not isinstance(given, dict) or "verdict" not in given:
            return given
        kept = {name: value for name, value in given.items() if name != "verdict"}
        if kept.get("severity") is None and not kept.get("made_good"):
            kept["severity"] = _MIN_SEVERITY.get(Verdict(given["verdict"]))
        return kept


_MIN_SEVERITY = {Verdict.DEFECT: Severity.SOON, Verdict.ACT_NOW: Severity.ACT_NOW}


def worst(verdicts: list[Verdict]) -> Verdict:
    """The gravest of some verdicts; SOUND when there is none."""
    return max(verdicts, key=_ORDER.index, default=Verdict.SOUND)
