"""One thing heard, or not heard, from a caretaker: what every channel hands to the dialogue."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.values import Command, Value

MAX_OFFERED = 3
"""Meanings offered of words that the grammar does not read."""
MORE_WAS_SAID = "more was said"
"""Why a phrase that was heard is not entered: it is not all that was said."""


class By(StrEnum):
    """How an answer reached us. FORWARD: the caretaker's own words from before, sent on."""

    VOICE = "voice"
    TAP = "tap"
    TYPING = "typing"
    EDIT = "changed message"
    FORWARD = "forwarded"


class _Heard(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    by: By = By.VOICE


class HearingRecord(BaseModel):
    """How a stretch of speech was heard, kept with its answer so that it can be judged again.

    engines: name → version, or the first of its hash. grammar: hash of what might be said.
    calibration: of what the evidence was weighed with. right, opposite: probability that this was
    said, and that its opposite was.
    alternatives: other phrases, with their probabilities. decision: accept, read back or ask again.
    costs: of each decision, in turns. why: what kept a likely phrase from being accepted. covered:
    probability that the phrase is all that was said. transcript: what was written freely beside it,
    "" where nothing was.
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
    """One answer or command within what was said.

    question: key that it answers, None for a command. value: what it is taken for.
    phrase: its own words, as they were understood; verbatim: as they
    came, with all that stood around them. correction: it replaces the answer before, or what is
    read back. denies: it began with "no, …", so what it replaces is not so. hedged: said with "I
    think" or "probably": it must be read back.
    partial: it denies one fault, "no wedge", where others may be; it is hedged for that, since it
    must not pass the whole part. added: told when the question had its answer: a fault comes on top
    of it. at: seconds of the recording from which to which it was said; None for typed words.
    hearing: how it was heard; None likewise.
    """

    # In the talks that are kept it is called "means".
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
    """Understood, and sure enough to act on. said: in the order spoken. probability: 0 to 1, of the
    whole.

    unheard: moments of the recording, "0:03", at which something was said that was not understood.
    lost: the same as seconds from which to which.
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
    """Something was said that may be one of these. Nothing is answered until it is confirmed.

    advice: one line where the recording itself may be why, what to do about it.
    """

    kind: Literal["unsure"] = "unsure"
    guesses: tuple[Heard, ...] = Field(min_length=1)
    advice: str | None = None
    audio_sha256: str | None = None


class OffGrammar(_Heard):
    """Speech or typing that is no answer here.

    words: what was typed, None for speech. transcript: what was written freely of a recording, ""
    where nothing was. nearest: what the words may mean, the nearest first, at most three. advice:
    as with Unsure.
    """

    kind: Literal["off_grammar"] = "off_grammar"
    words: str | None = None
    transcript: str = ""
    nearest: tuple[Heard, ...] = Field(default=(), max_length=MAX_OFFERED)
    advice: str | None = None
    audio_sha256: str | None = None


class Silence(_Heard):
    """Nobody spoke, as far as could be heard. advice: as with Unsure."""

    kind: Literal["silence"] = "silence"
    advice: str | None = None
    audio_sha256: str | None = None


class RecordingProblem(StrEnum):
    """Why nothing came of a recording."""

    UNUSABLE = "unusable"
    """It cannot be read, or holds nothing to hear."""

    BUSY = "busy"
    """It was turned away, since too many wait: sent again, it is heard."""

    FAILED = "failed"
    """Working it out failed: a worker died of it or hung."""


class BadAudio(_Heard):
    """Nothing came of the recording. advice: one line, what happened and what to do."""

    kind: Literal["bad_audio"] = "bad_audio"
    advice: str
    problem: RecordingProblem = RecordingProblem.UNUSABLE
    audio_sha256: str | None = None


AnyHeard = Annotated[Heard | Unsure | OffGrammar | Silence | BadAudio, Field(discriminator="kind")]
