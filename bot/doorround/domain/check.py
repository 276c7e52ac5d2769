"""The state of one visit to one door."""

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
    """The stage that the talk has reached."""

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
"""The next message is a note, or a fault, in free words."""
# How long an alarm test at which the door was seen to release remains valid: common practice, no
# source
ALARM_TEST_COUNTS = timedelta(days=183)
CLOSED = (Stage.SIGNED, Stage.CANCELLED)


class PromptKind(StrEnum):
    """Kind of prompt, by which a channel formats it."""

    QUESTION = "question"
    READ_BACK = "read back"
    CAUTION = "caution"
    NOTICE = "notice"
    SUMMARY = "summary"


class Clip(BaseModel):
    """A clip of a stored recording. audio_sha256: its hash. start, end: seconds; end None: to the
    end.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    audio_sha256: str
    start: float = 0.0
    end: float | None = None


class Prompt(BaseModel):
    """One short message to the caretaker. taps: phrases offered as buttons. question: key of the
    question asked. clip: played by the channel after the words; the channel cuts it from the
    recording. does: the command behind each button, where it differs from its phrase: a phrase
    containing a name is only for people to read, never parsed as a command. photo: SHA-256 of a
    stored photo shown above the words.
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
    """A fault that was read back and got neither a yes nor a no. heard: that fault alone. entered:
    already in the logbook.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    heard: Heard
    entered: bool = False

    @property
    def said(self) -> Said:
        """The fault, verbatim."""
        return self.heard.said[0]

    @property
    def question(self) -> str:
        """Key of the question it is reported at."""
        return self.said.question or ""


class Unread(BaseModel):
    """Words at a question that no rule parses, until they become an answer, a fault or nothing.

    heard: the latest, with their possible meanings. before: earlier ones at the same question.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    question: str
    heard: OffGrammar
    before: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """All of them, in the order said; "" if there is only a recording."""
        last = self.heard.words or self.heard.transcript
        return "; ".join(dict.fromkeys(filter(None, (*self.before, last.strip()))))


class Check(BaseModel):
    """The state of one visit. Every field is plain data, so that it can be saved after each turn
    and resumed.

    answers: current answer by question key. given: number of answers to each question, for their
    ids. put_off: skipped questions to come back to. left: skipped twice, left open. redo: answered,
    to be asked again. misses: consecutive failures to understand at the open question. unheard: put
    off, or left, for that reason. lost: consecutive questions put off for that reason, with no
    answer or command in between. pending: awaiting confirmation. beside: other meanings of its
    words. reported: faults that awaited confirmation and got neither a yes nor a no. unread: words
    at the open question that no rule parses. last: keys filled by the previous turn, for "undo" and
    "no, …". trail: keys answered, in the order given. refused: read-backs that the caretaker
    rejected at this question. learnt: door fields filled in during this visit. replaced: previous
    register values of the fields it changed.
    missed: the parts of the last recording that were not understood. hinted: recording advice
    already given beside a read-back, each once. said: the last messages, for "repeat" and after a
    restart. let_go: when the door was let go, during a closing-time test. recordings: hash of each
    recording received → "" if understood, else the key of the question then open. hurried: already
    asked whether each part was really looked at. batches: this person is asked about several parts
    at once. faulty: questions at which an earlier check found a fault. unread_at_end: unparsed
    words to show before the signature. unread_at_summary: those said at the summary. told_unread:
    they have been shown once at "finish". left_from: how many parts were left when last named, and
    how many of them have been named so far. back_to: what was said on returning to the questions
    put off.
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
    beside: tuple[Heard, ...] = ()
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
        """The door, without facts too old to count, such as an alarm test half a year ago."""
        seen = self.door.alarm_release
        if seen is None or self.started.date() - seen <= ALARM_TEST_COUNTS:
            return self.door
        return self.door.model_copy(update={"alarm_release": None})

    @property
    def questions(self) -> tuple[Question, ...]:
        """Questions of this visit: those that apply to the door, and any answered that no longer
        apply.
        """
        heard = self.checklist.for_door(self.door_today)
        keys = {question.key for question in heard} | self.answers.keys()
        if len(keys) == len(heard):
            return heard
        return tuple(question for question in self.checklist.question if question.key in keys)

    @property
    def in_scope(self) -> tuple[Question, ...]:
        """The questions to ask: all of them or, on a repair visit, only those about the repair plus
        anything else reported.
        """
        return tuple(
            each
            for each in self.questions
            if not self.repairs or each.key in self.answers or looks_at(self.repairs, each)
        )

    @property
    def unanswered(self) -> tuple[Question, ...]:
        """The questions still to ask, in walking order, skipped ones last."""
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
        """Whether a finding makes it unsafe to swing the door."""
        return any(
            each.must_not_move and not each.made_good
            for found in self.findings.values()
            for each in found
        )

    def barred(self, question: Question) -> bool:
        """Whether a question is not asked, and cannot be passed, because the door must not be
        moved. The question at which that was found may be asked again.
        """
        found = self.findings.get(question.key, ())
        return (
            question.moves and self.must_not_move and not any(each.must_not_move for each in found)
        )

    @property
    def welcome(self) -> tuple[Question, ...]:
        """Questions not asked here whose answers are accepted at the open question."""
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
        """Questions not asked because the register has no such part; a fault reported at one shows
        that it exists.
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
