"""What a rule concludes from an answer."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from pydantic import BaseModel, ConfigDict, computed_field, model_validator

from doorround.domain.judging.severity import Severity


class Verdict(StrEnum):
    """The door's state after an answer. UNKNOWN is not a pass: the part has not been seen."""

    SOUND = "sound"
    UNKNOWN = "unknown"
    DEFECT = "defect"
    ACT_NOW = "act now"


_ORDER = (Verdict.SOUND, Verdict.UNKNOWN, Verdict.DEFECT, Verdict.ACT_NOW)


class Finding(BaseModel):
    """One rule's result for one answer.

    what: the fault in trade terms. why: one sentence. do_now: what the caretaker does before going
    on. source: document and clause; "secondary" if a summary was read; or "common practice, no
    source". severity: how soon; None if nothing was found wrong or nothing was seen. made_good: put
    right on the spot: closed as soon as found, and kept. must_not_move: while it stands, nobody
    swings the door. access: about ease of use; it does not fail a fire door. face: name of the face
    that has it; None if unnamed.
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
        """As stored; without its face if unnamed."""
        return self.model_dump(mode="json", exclude=None if self.face else {"face"})

    @computed_field  # type: ignore[prop-decorator]
    @property
    def verdict(self) -> Verdict:
        """The door's state, by severity."""
        if self.made_good:
            return Verdict.SOUND
        if self.severity is None:
            return Verdict.UNKNOWN
        return Verdict.ACT_NOW if self.severity is Severity.ACT_NOW else Verdict.DEFECT

    @model_validator(mode="before")
    @classmethod
    def _kept_before(cls, given: Any) -> Any:
        """Stored findings include their verdict. One from before severities existed gets the more
        severe of those it may have been.
        """
        if not isinstance(given, dict) or "verdict" not in given:
            return given
        kept = {name: value for name, value in given.items() if name != "verdict"}
        if kept.get("severity") is None and not kept.get("made_good"):
            kept["severity"] = _MIN_SEVERITY.get(Verdict(given["verdict"]))
        return kept


_MIN_SEVERITY = {Verdict.DEFECT: Severity.SOON, Verdict.ACT_NOW: Severity.ACT_NOW}


def worst(verdicts: list[Verdict]) -> Verdict:
    """The most severe of some verdicts; SOUND if there are none."""
    return max(verdicts, key=_ORDER.index, default=Verdict.SOUND)
