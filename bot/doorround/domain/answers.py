"""An answer as the logbook keeps it."""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.input_result import By, HearingRecord
from doorround.domain.values import Value


class Answer(BaseModel):
    """What was said at one question, and how it was heard.

    id: "hinges.count#2" is the second answer to that question in its check. corrects: id of the
    answer it replaces.
    heard: the words as they came, no "no" or "I think" left out. probability: 0 to 1, of having
    heard them right.
    confirmed: read back and confirmed by the caretaker. at: UTC. spoken: seconds of the recording
    from which to which it was said. hearing: the evidence, the alternatives and the decision; None
    for what was typed or tapped.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: str
    question: str
    component: str
    value: Value
    heard: str
    probability: float = Field(ge=0, le=1)
    by: By
    engine: str
    at: datetime
    confirmed: bool = False
    corrects: str | None = None
    audio_sha256: str | None = None
    spoken: tuple[float, float] | None = None
    hearing: HearingRecord | None = None
