"""Result of one input from a caretaker, understood or not: what every channel passes to the
dialogue.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.values import Command, Value

MAX_OFFERED = 3
"""Candidate meanings for words that the grammar does not cover."""
SECOND_UNDERSTANDING = "second understanding"
"""Engine of what the grammar did not parse and the second interpreter did."""
MORE_WAS_SAID = "more was said"
"""Why a recognised phrase is not entered: more was said than it covers."""


class By(StrEnum):
    """Input method of an answer. FORWARD: an earlier message of the caretaker's, forwarded."""

    VOICE = "voice"
    TAP = "tap"
    TYPING = "typing"
    EDIT = "changed message"
    FORWARD = "forwarded"


class _Heard(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    by: By = By.VOICE


class HearingRecord(BaseModel):
    """Evidence for how a segment of speech was recognised, stored with its answer so that it can be
    reassessed.

    engines: name → version, or the start of its hash. grammar: hash of the active grammar.
    calibration: of the model that weighed the evidence. right, opposite: probability that this was
    said, and that its opposite was. alternatives: other hypotheses with their probabilities.
    decision: accept, read back or ask again. costs: of each decision, in turns. why: what prevented
    a likely phrase from being accepted. covered: probability that the phrase is all that was said.
    transcript: free transcription, "" if there was none.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    engines: dict[str, str] = Field(default_factory=dict)
    grammar: str = ""
    calibration: str = ""
    right: float = Field(default=1.0, ge=0, le=1)
    opposite: float = Field(default=0.0, ge=0, le=1)
    alternatives: tuple[tuple[str, float], ...] = ()
    decision: str = ""
    costs: dict[str, float] = Field(default_factory=dict)
    why: str | None = None
    covered: float = Field(default=1.0, ge=0, le=1)
    transcript: str = ""


class Said(BaseModel):
    """One answer or command within an utterance.

    question: key that it answers, None for a command. value: its parsed value. phrase: its own
    words as recognised; verbatim: as received, with all surrounding words. correction: it replaces
    the previous answer, or the one being read back. denies: it began with "no, …", so what it
    replaces is rejected. hedged: said with "I think" or "probably": it must be read back. partial:
    it denies one fault, e.g. "no wedge", where others are possible; it is also hedged, since it
    must not pass the whole part. added: given when the question already had an answer: a fault is
    added to it. at: start and end within the recording, in seconds; None if typed. hearing:
    recognition evidence; None if typed.
    """

    # Serialised as "means" in stored talks.
    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, serialize_by_alias=True
    )

    question: str | None
    value: Annotated[Value | Command, Field(alias="means", discriminator="kind")]
    phrase: str
    verbatim: str = ""
    correction: bool = False
    denies: bool = False
    hedged: bool = False
    partial: bool = False
    added: bool = False
    at: tuple[float, float] | None = None
    hearing: HearingRecord | None = None


class Heard(_Heard):
    """Understood with enough confidence to act on. said: in spoken order. probability: 0 to 1, for
    the whole.

    unheard: positions in the recording, e.g. "0:03", of speech that was not understood. lost: the
    same as (start, end) in seconds.
    """

    kind: Literal["heard"] = "heard"
    said: tuple[Said, ...] = Field(min_length=1)
    words: str
    probability: float = Field(default=1.0, ge=0, le=1)
    engine: str = "typed"
    audio_sha256: str | None = None
    unheard: tuple[str, ...] = ()
    lost: tuple[tuple[float, float], ...] = ()


class Unsure(_Heard):
    """An utterance that may be one of these. Nothing is answered until confirmed.

    advice: one line on what to do, if the recording itself may be the cause.
    """

    kind: Literal["unsure"] = "unsure"
    guesses: tuple[Heard, ...] = Field(min_length=1)
    advice: str | None = None
    audio_sha256: str | None = None


class OffGrammar(_Heard):
    """Speech or typed text that is not an answer here.

    words: what was typed, None for speech. transcript: free transcription of a recording, "" if
    there was none. alternative, prompted: the first listener's transcription, free and given
    answers that may be said now as a prompt. nearest: closest candidate meanings, best first, at
    most three. advice: as for Unsure.
    """

    kind: Literal["off_grammar"] = "off_grammar"
    words: str | None = None
    transcript: str = ""
    alternative: str = ""
    prompted: str = ""
    nearest: tuple[Heard, ...] = Field(default=(), max_length=MAX_OFFERED)
    advice: str | None = None
    audio_sha256: str | None = None


class Silence(_Heard):
    """No speech was detected. advice: as for Unsure."""

    kind: Literal["silence"] = "silence"
    advice: str | None = None
    audio_sha256: str | None = None


class RecordingProblem(StrEnum):
    """Why a recording produced no result."""

    UNUSABLE = "unusable"
    """Unreadable, or contains no audio."""

    BUSY = "busy"
    """Rejected because the queue is full; can be sent again."""

    FAILED = "failed"
    """Processing failed: a worker crashed or hung."""


class BadAudio(_Heard):
    """The recording produced no result. advice: one line, what happened and what to do."""

    kind: Literal["bad_audio"] = "bad_audio"
    advice: str
    problem: RecordingProblem = RecordingProblem.UNUSABLE
    audio_sha256: str | None = None


AnyHeard = Annotated[Heard | Unsure | OffGrammar | Silence | BadAudio, Field(discriminator="kind")]
