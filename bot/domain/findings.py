"""What a rule says of an answer."""

from __future__ import annotations

from enum import StrEnum

from pydantic import BaseModel, ConfigDict


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


def worst(verdicts: list[Verdict]) -> Verdict:
    """The gravest of some verdicts; SOUND when there is none."""
    return max(verdicts, key=_ORDER.index, default=Verdict.SOUND)
