"""An answer as stored in the logbook."""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.input_result import By, HearingRecord
from doorround.domain.values import Value


class Answer(BaseModel):
    """What was said at one question, and how it was heard.

    id: "hinges.count#2" is the second answer to that question in its check. corrects: id of the
    answer it replaces. heard: the verbatim words, including any "no" or "I think". probability: 0
    to 1, that they were recognised correctly. confirmed: read back and confirmed by the caretaker.
    at: UTC. spoken: start and end within the recording, in seconds. hearing: evidence, alternatives
    and decision; None if typed or tapped.
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
