"""A turn under construction. Used only within one call of take_turn."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from doorround.dialogue import answer_values
from doorround.dialogue.entered_words import AnswerBefore, entered_words
from doorround.dialogue.prompts import act_now
from doorround.dialogue.turn_result import Turn
from doorround.dialogue.unconfirmed_faults import (
    as_body,
    covers,
    includes,
    reported_again,
    rules_out,
)
from doorround.dialogue.unread_words import left_behind, once_answered
from doorround.domain.alerts import Reach
from doorround.domain.answers import Answer
from doorround.domain.check import Check, Prompt, PromptKind, Report
from doorround.domain.checklist import Question
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.findings import Finding, Verdict
from doorround.domain.input_result import By, Heard, Said
from doorround.domain.judging.contradictions import register_change
from doorround.domain.judging.judge import judge
from doorround.domain.parts import part_name
from doorround.domain.values import Command, Value
from doorround.messages import asking, confirming
from doorround.messages.answers import said_words, value_words
from doorround.messages.asking import question_text


class TurnBuilder:
    """Collects the check's new state, the prompts and the entries of one turn."""

    def __init__(self, check: Check, now: datetime, reach: Reach | None = None) -> None:
        self.check = check
        self.now = now
        self.reach = reach
        self.aside = False
        self.by = By.VOICE
        self._say: list[Prompt] = []
        self._enter: list[Entry] = []
        self._door: Door | None = None
        self._before: dict[str, AnswerBefore] = {}

    def set(self, **changes: Any) -> None:
        self.check = self.check.model_copy(update=changes)

    def say(
        self, text: str, kind: PromptKind = PromptKind.NOTICE, taps: tuple[str, ...] = ()
    ) -> None:
        self._say.append(Prompt(text=text, kind=kind, taps=taps))

    def prompt(self, prompt: Prompt) -> None:
        self._say.append(prompt)

    def enter(self, kind: EntryKind, **body: Any) -> None:
        entry = Entry(
            kind=kind,
            at=self.now,
            person=self.check.person,
            door=self.check.door.number,
            check=self.check.id,
            body=body,
        )
        self._enter.append(entry)

    def turn(self) -> Turn:
        """The finished turn. Its prompts are kept in the check for "repeat"."""
        self.check = left_behind(self.check)
        self._enter_reports()
        if self._say:
            self.set(said=tuple(self._say))
        return Turn(self.check, tuple(self._say), tuple(self._enter), self._door, None, self.aside)

    # ---- unconfirmed reports

    def _enter_reports(self) -> None:
        """Enter the new reports, except while another answer to their question is being read back,
        which may settle them.
        """
        check = self.check
        asked = check.pending.said if check.pending else ()
        settling = {
            said.question
            for said in asked
            if not any(covers(each, said) for each in check.reported)
        }
        new = [
            each for each in check.reported if not each.entered and each.question not in settling
        ]
        for report in new:
            words = said_words(report.said, check.checklist)
            self.enter(EntryKind.REPORTED, **as_body(report), words=words)
        self.set(
            reported=tuple(
                each.model_copy(update={"entered": True}) if each in new else each
                for each in check.reported
            )
        )
        if new and check.open is not None:
            words = "; ".join(said_words(each.said, check.checklist) for each in new)
            self._say.insert(0, Prompt(text=confirming.kept_as_reported(words)))

    def deny(self, reports: tuple[Report, ...]) -> None:
        """Remove reports that the caretaker has denied."""
        for report in reports:
            if report.entered:
                self.enter(EntryKind.DENIED, **as_body(report))
        self.set(reported=tuple(each for each in self.check.reported if each not in reports))

    def settle_reports(self, key: str, value: Value, confirmed: bool) -> None:
        """Settle the reports of a question once it is answered: confirmed, denied or still open."""
        here = [each for each in self.check.reported if each.question == key]
        so = [each for each in here if includes(value, each)]
        self.set(reported=tuple(each for each in self.check.reported if each not in so))
        if confirmed and rules_out(value):
            self.deny(tuple(each for each in here if each not in so))

    # ---- answers

    def answer(self, said: Said, heard: Heard, confirmed: bool) -> tuple[Finding, ...] | None:
        """Enter one answer with its findings; None, and nothing is entered, if its value is
        invalid.
        """
        question = self.check.checklist.ask(said.question or "")
        if isinstance(said.value, Command) or not self._learn(question, said.value):
            return None
        answer = self._as_answer(question, said, heard, confirmed)
        if question.key in self.check.answers:
            self._before[question.key] = (
                self.check.answers[question.key],
                self.check.findings[question.key],
            )
        findings = judge(self.check.door, question, answer.value, self.check.checklist)
        self._keep(answer, findings)
        self.settle_reports(question.key, answer.value, confirmed)
        self.check = once_answered(self.check, question.key)
        self.set(
            trail=(*(key for key in self.check.trail if key != question.key), question.key),
            put_off=tuple(key for key in self.check.put_off if key != question.key),
            left=tuple(key for key in self.check.left if key != question.key),
            redo=tuple(key for key in self.check.redo if key != question.key),
        )
        return findings

    def _keep(self, answer: Answer, findings: tuple[Finding, ...]) -> None:
        self.enter(EntryKind.ANSWERED, **answer.model_dump(mode="json"))
        for finding in findings:
            self.enter(EntryKind.FOUND, **finding.body(), answer=answer.id)
        key = answer.question
        self.set(
            answers={**self.check.answers, key: answer},
            findings={**self.check.findings, key: findings},
            given={**self.check.given, key: self.check.given.get(key, 0) + 1},
        )

    def keep_together(self, together: tuple[Finding, ...]) -> None:
        """Enter the findings from several answers, each under the last answer it is based on."""
        for finding in together:
            key = finding.question
            self.enter(
                EntryKind.FOUND,
                **finding.body(),
                answer=self.check.answers[key].id,
            )
            self.set(findings={**self.check.findings, key: (*self.check.findings[key], finding)})

    def _as_answer(self, question: Question, said: Said, heard: Heard, confirmed: bool) -> Answer:
        assert not isinstance(said.value, Command)
        before = self.check.answers.get(question.key)
        return Answer(
            id=self._next_id(question.key),
            question=question.key,
            component=question.component,
            value=said.value,
            heard=said.verbatim or said.phrase,
            probability=heard.probability,
            by=heard.by,
            engine=heard.engine,
            at=self.now,
            confirmed=confirmed,
            corrects=before.id if before else None,
            audio_sha256=heard.audio_sha256,
            spoken=said.at,
            hearing=said.hearing,
        )

    def _next_id(self, key: str) -> str:
        return f"{key}#{self.check.given.get(key, 0) + 1}"

    # ---- the door

    def _learn(self, question: Question, value: Value) -> bool:
        """Put the answer's fact about the door into the register. False if it is invalid."""
        learnt = answer_values.learnt_by(question, value, self.now)
        field = question.fills
        if learnt is None or field is None:
            if field in self.check.learnt:
                self._change_door(question, None)
            return True
        try:
            answer_values.door_with(self.check.door, field, learnt)
        except ValidationError:
            return False
        if answer_values.may_learn(self.check, field):
            self._change_door(question, learnt)
        return True

    def forget(self, question: Question) -> None:
        """Undo a register change made by an answer of this visit, restoring the previous value."""
        field = question.fills or ""
        if field in self.check.replaced or field in self.check.learnt:
            value = self.check.replaced.get(field)
            self._change_door(question, value)
            self.set(**answer_values.given_back(self.check, field))

    def _change_door(self, question: Question, value: Any) -> None:
        field = question.fills or ""
        before = self.check.door
        learnt = tuple(name for name in self.check.learnt if name != field)
        self._door = door = answer_values.door_with(before, field, value)
        self.set(
            replaced=answer_values.replaced_with(self.check, field),
            door=door,
            checklist=self.check.checklist.facing(door),
            learnt=learnt if value is None else (*learnt, field),
        )
        changed = register_change(before, field, value)
        self.enter(EntryKind.DOOR_CHANGED, door=door.model_dump(mode="json"), learnt=changed)
        for key in [key for key in self.check.answers if key != question.key]:
            if key in self.check.answers:
                self._look_again(key, before)

    def _look_again(self, key: str, before: Door) -> None:
        """Judge another answer again after a change to the door, or ask again if its question now
        reads differently, as for another sign.
        """
        checklist = self.check.checklist
        answer = self.check.answers[key]
        question = checklist.ask(key)
        if question_text(question, before, terse=False) != question_text(
            question, self.check.door, terse=False
        ):
            self.withdraw(key)
            self.check = reported_again(self.check, answer)
            self.say(asking.asked_anew(part_name(question, checklist)))
            return
        findings = judge(self.check.door, question, answer.value, checklist)
        if findings == self.check.findings[key]:
            return
        corrected = answer.model_copy(
            update={"id": self._next_id(key), "at": self.now, "corrects": answer.id}
        )
        self._keep(corrected, findings)
        words = "; ".join(each.what for each in findings) or value_words(
            question, answer.value, checklist
        )
        line = confirming.judged_again(part_name(question, checklist), words)
        self.say(line, PromptKind.READ_BACK)

    def withdraw(self, key: str) -> None:
        """Withdraw an answer. It stays in the logbook, marked as withdrawn."""
        self.drop(key)
        self.forget(self.check.checklist.ask(key))

    def drop(self, key: str) -> None:
        """As `withdraw`, but without changing the register."""
        answer = self.check.answers[key]
        self.enter(EntryKind.WITHDRAWN, answer=answer.id)
        self.set(
            answers={other: kept for other, kept in self.check.answers.items() if other != key},
            findings={other: kept for other, kept in self.check.findings.items() if other != key},
            trail=tuple(other for other in self.check.trail if other != key),
        )

    # ---- saying back

    def read_back(self, keys: tuple[str, ...], agreed: Collection[str] = ()) -> None:
        """Say back what was just entered, except what has just been read back. agreed: as in
        entered_words().
        """
        words = entered_words(self.check, keys, self._before, agreed)
        if words:
            self.say(words, PromptKind.READ_BACK)
        found = [each for key in keys for each in self.check.findings[key]]
        dangers = [each for each in found if each.verdict is Verdict.ACT_NOW]
        for prompt in act_now(dangers, self.check.checklist):
            self.prompt(prompt)
