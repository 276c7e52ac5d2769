"""One visit to one door, as far as it has come."""

from __future__ import annotations

from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.answers import Answer
from doorround.domain.checklist import Checklist, Question
from doorround.domain.door import Door
from doorround.domain.findings import Finding, Verdict
from doorround.domain.input_result import Heard, OffGrammar, Said
from doorround.domain.judging.contradictions import denied_parts
from doorround.domain.prerequisites import has_ground
from doorround.domain.repair_look import Repair, looks_at
from doorround.domain.two_leaves import of_second_leaf


class Stage(StrEnum):
    """Where the talk stands."""

    ASKING = "asking"
    CONFIRMING = "confirming"
    SUMMARY = "summary"
    CANCELLING = "cancelling"
    NOTING = "noting"
    TELLING = "telling"
    PAUSED = "paused"
    SIGNED = "signed"
    CANCELLED = "cancelled"


FREE = (Stage.NOTING, Stage.TELLING)
"""Whatever comes next is a note, or a fault, in free words."""
# How long an alarm test counts at which a door was seen to be let go: common practice, no source
ALARM_TEST_COUNTS = timedelta(days=183)
CLOSED = (Stage.SIGNED, Stage.CANCELLED)


class PromptKind(StrEnum):
    """What a prompt is, by which a channel sets it off."""

    QUESTION = "question"
    READ_BACK = "read back"
    CAUTION = "caution"
    NOTICE = "notice"
    SUMMARY = "summary"


class Clip(BaseModel):
    """A stretch of a kept recording. audio_sha256: which. start, end: seconds; end None: to its
    end.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    audio_sha256: str
    start: float = 0.0
    end: float | None = None


class Prompt(BaseModel):
    """One short message to the caretaker. taps: phrases offered as buttons. question: key of the
    question asked.
    clip: what the channel plays after the words; it cuts it from the recording. does: what each
    button orders, where that is not its phrase: a phrase with a name in it is read by people only,
    never taken for an order. photo: SHA-256 of a kept one that is shown above the words.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    text: str
    kind: PromptKind = PromptKind.NOTICE
    taps: tuple[str, ...] = ()
    question: str | None = None
    clip: Clip | None = None
    does: tuple[str, ...] = ()
    photo: str | None = None


class Report(BaseModel):
    """A fault that was read back and got neither a yes nor a no. heard: it alone. entered: the
    logbook has it.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    heard: Heard
    entered: bool = False

    @property
    def said(self) -> Said:
        """The fault, as it was said."""
        return self.heard.said[0]

    @property
    def question(self) -> str:
        """Key of the question that it is told of."""
        return self.said.question or ""


class Unread(BaseModel):
    """Words said at a question that no rule reads, until they are an answer, a fault or nothing.

    heard: the last of them, with what they may mean. before: those said there before.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    question: str
    heard: OffGrammar
    before: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """All of them, in the order said; "" where there is only a recording."""
        last = self.heard.words or self.heard.transcript
        return "; ".join(dict.fromkeys(filter(None, (*self.before, last.strip()))))


class Check(BaseModel):
    """The state of one visit. Every field is plain data, so that it can be stored after each turn
    and taken up again.

    answers: the answer in force, by question key. given: how many answers each question has had,
    for their ids. put_off: questions skipped, to come back to. left: skipped twice, left open.
    redo: answered, to be asked again.
    misses: times in a row that the open question was not understood. unheard: put off, or left,
    because of that.
    lost: how many questions in a row were put off so, without an answer or a command between them.
    pending: heard, waiting to be confirmed. reported: faults that waited so and got neither a yes
    nor a no.
    unread: words at the open question that no rule reads.
    last: keys filled by the turn before, for "undo" and "no, …". trail: keys answered, in the order
    spoken of.
    refused: what the caretaker said was misheard at this question, as it was read back. learnt:
    door fields that this visit filled in. replaced: what it changed, as the register had it before.
    missed: what was not understood of the last recording.
    hinted: what was said of the recordings, once each, beside a read-back. said: the last messages,
    for "repeat" and after a restart. let_go: when the door was let go, while its closing time is
    taken. recordings: hash of each that came → "" where it was understood, else the key of the
    question that was open. hurried: it was asked whether each part was looked at.
    batches: this person is asked about several parts at once. faulty: questions at which a
    fault was found here at an earlier check.
    unread_at_end: words that no rule reads, to be told before the signature. unread_at_summary:
    those of them that were said there. told_unread: a "finish" brought them back once. left_from:
    how many parts were left when they were last named, and how many of them were named so far.
    back_to: what was said when the questions put off came again.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: str
    door: Door
    person: str
    checklist: Checklist = Field(exclude=True, repr=False)
    started: datetime
    terse: bool = False
    repairs: tuple[Repair, ...] = ()
    stage: Stage = Stage.ASKING
    open: str | None = None
    answers: dict[str, Answer] = Field(default_factory=dict)
    findings: dict[str, tuple[Finding, ...]] = Field(default_factory=dict)
    given: dict[str, int] = Field(default_factory=dict)
    put_off: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    redo: tuple[str, ...] = ()
    misses: int = 0
    unheard: tuple[str, ...] = ()
    lost: int = 0
    pending: Heard | None = None
    reported: tuple[Report, ...] = ()
    unread: tuple[Unread, ...] = ()
    refused: tuple[str, ...] = ()
    learnt: tuple[str, ...] = ()
    replaced: dict[str, Any] = Field(default_factory=dict)
    missed: tuple[Clip, ...] = ()
    hinted: tuple[str, ...] = ()
    last: tuple[str, ...] = ()
    trail: tuple[str, ...] = ()
    said: tuple[Prompt, ...] = ()
    verdict: Verdict | None = None
    let_go: datetime | None = None
    hurried: bool = False
    faulty: tuple[str, ...] = ()
    batches: bool = False
    unread_at_end: tuple[str, ...] = ()
    unread_at_summary: tuple[str, ...] = ()
    told_unread: bool = False
    left_from: tuple[int, int] = (0, 0)
    back_to: str = ""
    recordings: dict[str, str] = Field(default_factory=dict)

    @property
    def door_today(self) -> Door:
        """The door, without what is too long ago to count: an alarm test of half a year before."""
        seen = self.door.alarm_release
        if seen is None or self.started.date() - seen <= ALARM_TEST_COUNTS:
            return self.door
        return self.door.model_copy(update={"alarm_release": None})

    @property
    def questions(self) -> tuple[Question, ...]:
        """Questions of this visit: what the door hears, and what was answered even if it no longer
        applies.
        """
        heard = self.checklist.for_door(self.door_today)
        keys = {question.key for question in heard} | self.answers.keys()
        if len(keys) == len(heard):
            return heard
        return tuple(question for question in self.checklist.question if question.key in keys)

    @property
    def in_scope(self) -> tuple[Question, ...]:
        """Those that are asked: all, or of a short look only what it is about, and what was told
        besides.
        """
        return tuple(
            each
            for each in self.questions
            if not self.repairs or each.key in self.answers or looks_at(self.repairs, each)
        )

    @property
    def unanswered(self) -> tuple[Question, ...]:
        """What is still to be asked, in the order walked, skipped ones last."""
        gone = (*self.answers, *self.left)
        skipped = (*self.put_off, *self.left)
        open_ones = [
            each
            for each in self.in_scope
            if each.key not in gone
            and not self.barred(each)
            and has_ground(each, self.answers, skipped)
        ]
        later = [question for question in open_ones if question.key in self.put_off]
        return (*(question for question in open_ones if question not in later), *later)

    @property
    def must_not_move(self) -> bool:
        """Whether something was found under which nobody swings the door."""
        return any(
            each.must_not_move and not each.made_good
            for found in self.findings.values()
            for each in found
        )

    def barred(self, question: Question) -> bool:
        """Whether a question is not asked, and cannot be passed, because the door must not be
        moved. Where that was found, it may be asked again.
        """
        found = self.findings.get(question.key, ())
        return (
            question.moves and self.must_not_move and not any(each.must_not_move for each in found)
        )

    @property
    def welcome(self) -> tuple[Question, ...]:
        """What is not asked here, but may be told at the open question."""
        if self.open is None:
            return ()
        return tuple(
            question
            for question in self.checklist.question
            if self.open in (*question.beside, question.after)
            and question.key not in self.answers
            and question.applies(self.door)
            and not self.barred(question)
            and question not in self.unanswered
        )

    @property
    def denied(self) -> tuple[Question, ...]:
        """What is not asked here, since the register has no such part; a fault of it shows that
        there is one.
        """
        parts = denied_parts(self.door)
        asked = {question.key for question in self.questions} if parts else set[str]()
        return tuple(
            question
            for question in self.checklist.question
            if question.key in parts
            and question.kind == "condition"
            and not of_second_leaf(question.key)
            and question.key not in asked
        )

    @property
    def asked(self) -> Question | None:
        """The open question."""
        return self.checklist.ask(self.open) if self.open else None

    @property
    def closed(self) -> bool:
        return self.stage in CLOSED
