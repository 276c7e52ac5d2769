"""Input that is accepted in the current state of the talk."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from doorround.dialogue.current_offer import current_offer
from doorround.dialogue.invitation import invited
from doorround.dialogue.measuring import TIMED_AT
from doorround.dialogue.unread_words import offered_words, unread_here
from doorround.domain.check import Check, Stage
from doorround.domain.checklist import Question
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.input_result import SECOND_UNDERSTANDING, Said
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key, of_second_leaf


@dataclass(frozen=True)
class ExpectedInput:
    """The answers that are possible now.

    open: the question that an answer without a part's name belongs to. others: unanswered questions
    that may be answered by naming their part. last: questions answered in the previous turn, or
    waiting for confirmation, which may be corrected. before: questions answered earlier in the same
    utterance. yes_no: a read-back is open. parts: every question of this door, answered or not.
    spoken: the part just named by itself; its questions may be answered without the name. watch:
    state of the stopwatch: "" not in use, "ready" for "letting go", "running" for "shut". face: the
    side of the door where the caretaker is or that is asked about, "here" or "beyond"; "" if
    unknown. mendable: questions with a fault that may be put right on the spot, which may be said
    at any question. unread: something said at the open question, or being read back, is outside the
    grammar. offered: its possible meanings, as on the buttons. choices: number of buttons of the
    offer just made. waiting: names of the faults being read back. denied: questions of parts that
    the register says the door lacks; only a fault of theirs is accepted. invited: questions asked
    together, the open one first. faces: names of the door's two faces. leaf: of a pair, the leaf
    mentioned in this utterance, "first" or "second"; "" for that of the open question. beside:
    during a read-back, questions of other parts, of which a fault may be typed with its part's
    name.
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
    choices: int = 0
    waiting: tuple[str, ...] = ()
    denied: tuple[Question, ...] = ()
    invited: tuple[Question, ...] = ()
    faces: tuple[str, str] = UNNAMED_FACES
    leaf: str = ""
    beside: tuple[Question, ...] = ()

    @property
    def leaf_meant(self) -> str:
        """The leaf of a pair that is meant if none is named: "first" or "second"."""
        return self.leaf or (self.open.leaf if self.open else None) or "first"

    @property
    def signature(self) -> tuple[object, ...]:
        """Cache key: equal for two states with the same accepted phrases and meanings."""
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
            bool(self.choices),
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
        """Questions that are not asked now but of which a fault may still be reported, the last of
        the round first.
        """
        asked = {question.key for question in (*self.asked, *self.before)}
        parts = (each for each in reversed(self.parts) if each.component != "register")
        return tuple(each for each in parts if each.key not in asked)

    def facing(self, spoken: Iterable[str | None]) -> ExpectedInput:
        """The state after these answers of one utterance: "other side frame fine, leaf fine"
        continues on the other side.
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
        """The state after these answers in the same utterance. Without a name, it accepts the next
        question of the current part or more about the same one; others need their part's name. An
        answer about one face, or one closing test, never carries over to the other.
        """
        before = (*self.before, *(question for question in self.asked if question.key in answered))
        left = [question for question in self.asked if question.key not in answered]
        spoken_of = before[-1:]
        # "yes … no": the second reply is to the same question, not to the next, not yet asked
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
        """The state after a part was only named: its question may be answered without the name,
        others need theirs.
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
        """The state after "letting go" in the same utterance."""
        return replace(self, watch="running")


def twins(one: Question, other: Question) -> bool:
    """Whether two questions accept the same words: two faces of a part, two closing tests, two
    gaps. An utterance must then say which.
    """
    same = (one.component, one.says) == (other.component, other.says)
    return same and one.key != other.key and one.component != "register"


def _leaf_of(keys: list[str]) -> str:
    """The leaf of the last of these questions that is about one leaf of a pair; "" if none is."""
    of_leaf = [key for key in keys if first_leaf_key(key) in EACH_LEAF]
    if not of_leaf:
        return ""
    return "second" if of_second_leaf(of_leaf[-1]) else "first"


def _watch(check: Check) -> str:
    """State of the stopwatch: closing is timed from fully open, so not at the second test."""
    if check.open not in TIMED_AT:
        return ""
    return "running" if check.let_go else "ready"


def _face(check: Check) -> str:
    """The side in question; else "here", unless a question has sent somebody through the door."""
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
    """The input expected at this point of a check."""
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
            unread=check.pending.engine == SECOND_UNDERSTANDING,
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
            choices=len(current_offer(check)),
            denied=check.denied,
            invited=invited(check),
        )
    if check.stage is Stage.CANCELLING:
        return ExpectedInput(check.stage, yes_no=True)
    return ExpectedInput(
        check.stage, last=last, parts=check.questions, face=_face(check), mendable=_mendable(check)
    )
