"""What a rule says of an answer."""

from __future__ import annotations

from enum import StrEnum
from typing import Self

from pydantic import BaseModel, ConfigDict, model_validator

from bot.domain.judging.severity import Severity


class Verdict(StrEnum):
    """How an answer leaves the door. UNKNOWN is no pass: the part has not been seen."""

    SOUND = "sound"
    UNKNOWN = "unknown"
    DEFECT = "defect"
    ACT_NOW = "act now"


_ORDER = (Verdict.SOUND, Verdict.UNKNOWN, Verdict.DEFECT, Verdict.ACT_NOW)


class Finding(BaseModel):
    """One rule's word on one answer.

    what: the fault in the trade's words. why: one sentence. do_now: what the caretaker does before going on.
    source: document and clause; "secondary" where a summary was read; or "common practice, no source".
    severity: how soon; None where nothing was found wrong or nothing was seen. made_good: put right on the spot: closed
    as soon as it was found, and kept.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    rule: str
    question: str
    component: str
    verdict: Verdict
    what: str
    why: str
    do_now: str
    source: str
    severity: Severity | None = None
    made_good: bool = False

    @model_validator(mode="after")
    def _severity_of_the_verdict(self) -> Self:
        """A finding kept before there were severities gets the graver one of those it may have been."""
        if self.severity is None and not self.made_good and self.verdict in _AT_LEAST:
            object.__setattr__(self, "severity", _AT_LEAST[self.verdict])
        return self


_AT_LEAST = {Verdict.DEFECT: Severity.SOON, Verdict.ACT_NOW: Severity.ACT_NOW}


def worst(verdicts: list[Verdict]) -> Verdict:
    """The gravest of some verdicts; SOUND when there is none."""
    return max(verdicts, key=_ORDER.index, default=Verdict.SOUND)
