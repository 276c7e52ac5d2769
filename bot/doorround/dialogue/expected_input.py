"""What may be said now, as the talk stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from doorround.dialogue.invitation import invited
from doorround.dialogue.measuring import TIMED_AT
from doorround.dialogue.unread_words import offered_words, unread_here
from doorround.domain.check import Check, Stage
from doorround.domain.checklist import Question
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.input_result import Said
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key, of_second_leaf


@dataclass(frozen=True)
class ExpectedInput:
    """Which answers may come.

    open: the question a bare answer belongs to. others: unanswered questions that may be answered
    by naming their part. last: answered by the turn before, or waiting to be confirmed: they may be
    corrected. before: answered earlier in the same breath. yes_no: a read-back is open. parts:
    every question of this door, answered or not.
    spoken: the part that was named by itself just before; any of its questions may be answered
    bare. watch: whether a closing time may be taken: "" no, "ready" for "letting go", "running" for
    "shut". face: the side of the door that one stands before or is asked about, "here" or "beyond";
    "" where that cannot be known. mendable: questions with a fault that may be put right on the
    spot; that it was is said at any question. unread: something said at the open question was not
    read. offered: what it may mean, as on the buttons. waiting: names of the faults that are read
    back. denied: of parts that the register has not: only a fault of theirs may be told. invited:
    questions that are asked together, the open one first. faces: what the door's two faces are
    called. leaf: of a pair, the leaf spoken of in this breath, "first" or "second"; "" for that of
    the open question. beside: while something is read back, questions of other parts: a fault there
    may be typed, by its part's name.
    """

    stage: Stage
    open: Question | None = None
    others: tuple[Question, ...] = ()
    last: tuple[Question, ...] = ()
    yes_no: bool = False
    before: tuple[Question, ...] = ()
    parts: tuple[Question, ...] = ()
    spoken: str | None = None
    watch: str = ""
    face: str = "here"
    mendable: tuple[Question, ...] = ()
    unread: bool = False
    offered: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    denied: tuple[Question, ...] = ()
    invited: tuple[Question, ...] = ()
    faces: tuple[str, str] = UNNAMED_FACES
    leaf: str = ""
    beside: tuple[Question, ...] = ()

    @property
    def leaf_meant(self) -> str:
        """The leaf of a pair that words mean which name none: "first" or "second"."""
        return self.leaf or (self.open.leaf if self.open else None) or "first"

    @property
    def signature(self) -> tuple[object, ...]:
        """The same for two moments at which just the same may be said, with just the same
        meaning.
        """
        groups = (
            (self.open,) if self.open else (),
            self.others,
            self.last,
            self.before,
            self.parts,
            self.mendable,
            self.denied,
            self.invited,
            self.beside,
        )
        return (
            self.stage,
            self.yes_no,
            self.spoken,
            self.watch,
            self.face,
            self.unread,
            bool(self.offered),
            self.waiting,
            self.faces,
            self.leaf,
            *(tuple((each.key, each.says, each.sound) for each in one) for one in groups),
        )

    @property
    def asked(self) -> tuple[Question, ...]:
        """Every question that may be answered now, the open one first."""
        return (self.open, *self.others) if self.open else self.others

    @property
    def open_to_faults(self) -> tuple[Question, ...]:
        """Questions that are not asked now, the last of the round first: a fault of theirs may
        still be told.
        """
        asked = {question.key for question in (*self.asked, *self.before)}
        parts = (each for each in reversed(self.parts) if each.component != "register")
        return tuple(each for each in parts if each.key not in asked)

    def facing(self, spoken: Iterable[str | None]) -> ExpectedInput:
        """The same behind these answers of one breath: "other side frame fine, leaf fine" goes on
        at the other side.
        """
        keys = [key for key in spoken if key]
        if leaf := _leaf_of(keys):
            return replace(self, leaf=leaf)._facing(keys)
        return self._facing(keys)

    def _facing(self, keys: list[str]) -> ExpectedInput:
        sided = [
            each
            for key in keys
            for each in (*self.asked, *self.before)
            if each.key == key and each.side
        ]
        if not sided or any(twins(sided[-1], other) for other in sided):
            return self
        face = sided[-1].side or ""
        if self.open and self.open.side not in (None, face):
            return replace(self, face=face, open=None, others=self.asked)
        return replace(self, face=face)

    def after(self, answered: tuple[str, ...]) -> ExpectedInput:
        """What may follow in the same breath: the next question of the part spoken of, bare, or
        more of the same; all others by name. What was said of one face, or of one closing test,
        never goes on to the other.
        """
        before = (*self.before, *(question for question in self.asked if question.key in answered))
        left = [question for question in self.asked if question.key not in answered]
        spoken_of = before[-1:]
        # "yes … no": a second reply is to the same question, not to the next, which nobody asked
        follows = [each for each in spoken_of if each.kind == "yes_no"]
        follows += [
            each
            for part in spoken_of
            for each in left
            if each.component == part.component and not each.beside
        ]
        follows = [
            question for question in follows if not any(twins(question, other) for other in before)
        ]
        follows += [
            each for each in spoken_of if each.kind == "condition" or each.component == "gaps"
        ]
        others = tuple(question for question in left if question not in follows[:1])
        following = replace(
            self,
            open=follows[0] if follows else None,
            others=others,
            last=(),
            before=before,
            spoken=None,
        )
        return following.facing(answered)

    def about(self, question: Question) -> ExpectedInput:
        """What may follow when only a part was named: an answer to its question, bare; all others
        by name.
        """
        others = tuple(other for other in self.asked if other != question)
        before = tuple(other for other in self.before if not twins(question, other))
        face = question.side or self.face
        return replace(
            self,
            open=question,
            others=others,
            last=(),
            before=before,
            spoken=question.component,
            face=face,
            leaf="",
        )

    def let_go(self) -> ExpectedInput:
        """What may follow when the door was let go within the same breath."""
        return replace(self, watch="running")


def twins(one: Question, other: Question) -> bool:
    """Two faces of a part, two closing tests, two gaps: the same words answer either, so a breath
    must say which.
    """
    same = (one.component, one.says) == (other.component, other.says)
    return same and one.key != other.key and one.component != "register"


def _leaf_of(keys: list[str]) -> str:
    """The leaf of a pair that the last of these questions is of; "" where none is of one leaf."""
    of_leaf = [key for key in keys if first_leaf_key(key) in EACH_LEAF]
    if not of_leaf:
        return ""
    return "second" if of_second_leaf(of_leaf[-1]) else "first"


def _watch(check: Check) -> str:
    """A closing time is taken from fully open, so not at the second closing test."""
    if check.open not in TIMED_AT:
        return ""
    return "running" if check.let_go else "ready"


def _face(check: Check) -> str:
    """The side that is asked about; else this one, as long as nobody was sent through the door."""
    if check.asked and check.asked.side:
        return check.asked.side
    gone = (*check.answers, *check.put_off, *check.left)
    return (
        ""
        if any(each.side == "beyond" and each.key in gone for each in check.questions)
        else "here"
    )


def _mendable(check: Check) -> tuple[Question, ...]:
    return tuple(
        each for each in check.questions if each.key in check.answers and _may_mend(check, each)
    )


def _may_mend(check: Check, question: Question) -> bool:
    faults = getattr(check.answers[question.key].value, "defects", ())
    known = (
        check.checklist.fault(question.component, each.name)
        for each in faults
        if not each.made_good
    )
    return any(each.mended for each in known)


def _waiting(said: tuple[Said, ...]) -> tuple[str, ...]:
    faults = (each for one in said for each in getattr(one.value, "defects", ()))
    return tuple(dict.fromkeys(each.name for each in faults))


def expected_input(check: Check) -> ExpectedInput:
    """What may be said at this point of a check."""
    return replace(_expected(check), faces=check.checklist.faces)


def _expected(check: Check) -> ExpectedInput:
    if check.closed or check.stage is Stage.PAUSED:
        return ExpectedInput(check.stage)
    find = check.checklist.ask
    if check.stage is Stage.CONFIRMING and check.pending:
        keys = dict.fromkeys(said.question for said in check.pending.said if said.question)
        return ExpectedInput(
            check.stage,
            last=tuple(find(key) for key in keys),
            yes_no=True,
            face=_face(check),
            waiting=_waiting(check.pending.said),
            beside=tuple(each for each in check.questions if each.key not in keys),
        )
    last = tuple(find(key) for key in check.last)
    if check.stage is Stage.ASKING:
        others = tuple(question for question in check.unanswered if question.key != check.open)
        welcome = check.welcome
        return ExpectedInput(
            check.stage,
            check.asked,
            (*others, *welcome),
            last,
            parts=(*check.questions, *welcome),
            watch=_watch(check),
            face=_face(check),
            mendable=_mendable(check),
            unread=unread_here(check) is not None,
            offered=offered_words(check),
            denied=check.denied,
            invited=invited(check),
        )
    if check.stage is Stage.CANCELLING:
        return ExpectedInput(check.stage, yes_no=True)
    return ExpectedInput(
        check.stage, last=last, parts=check.questions, face=_face(check), mendable=_mendable(check)
    )
