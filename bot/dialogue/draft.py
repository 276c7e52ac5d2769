"""A turn while it is being put together. Used only inside one call of take_turn."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pydantic import ValidationError

from bot.dialogue.values import Turn
from bot.dialogue.wording import act_now, part_name, value_words
from bot.domain.answers import Answer
from bot.domain.check import Check, Prompt, PromptKind
from bot.domain.checklist import Question
from bot.domain.door import Door
from bot.domain.entries import Entry, EntryKind
from bot.domain.findings import Finding, Verdict
from bot.domain.heard import Heard, Said
from bot.domain.meaning import Choice, Command, Count, Measure, Value
from bot.domain.rules import in_words, judge, verdict


class Draft:
    """The check as it becomes, what will be said, what will be entered."""

    def __init__(self, check: Check, now: datetime) -> None:
        self.check, self.now = check, now
        self._say: list[Prompt] = []
        self._enter: list[Entry] = []
        self._door: Door | None = None

    def set(self, **changes: Any) -> None:
        self.check = self.check.model_copy(update=changes)

    def say(self, text: str, kind: PromptKind = PromptKind.NOTICE, taps: tuple[str, ...] = ()) -> None:
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
        """The finished turn. What was said is kept in the check, to be repeated."""
        if self._say:
            self.set(said=tuple(self._say))
        return Turn(self.check, tuple(self._say), tuple(self._enter), self._door)

    # ---- answers -----------------------------------------------------------------------------------------------

    def answer(self, said: Said, heard: Heard, confirmed: bool) -> tuple[Finding, ...] | None:
        """Enter one answer with its findings; None when its value cannot be (then nothing is entered)."""
        question = self.check.checklist.ask(said.question or "")
        if isinstance(said.means, Command) or not self._learn(question, said.means):
            return None
        answer = self._as_answer(question, said, heard, confirmed)
        findings = judge(self.check.door, question, answer.value, self.check.checklist)
        self.enter(EntryKind.ANSWERED, **answer.model_dump(mode="json"))
        for finding in findings:
            self.enter(EntryKind.FOUND, **finding.model_dump(mode="json"), answer=answer.id)
        self.set(
            answers={**self.check.answers, question.key: answer},
            findings={**self.check.findings, question.key: findings},
            given={**self.check.given, question.key: self.check.given.get(question.key, 0) + 1},
            trail=(*(key for key in self.check.trail if key != question.key), question.key),
            put_off=tuple(key for key in self.check.put_off if key != question.key),
            left=tuple(key for key in self.check.left if key != question.key),
            redo=tuple(key for key in self.check.redo if key != question.key),
        )
        return findings

    def _as_answer(self, question: Question, said: Said, heard: Heard, confirmed: bool) -> Answer:
        assert not isinstance(said.means, Command)
        before = self.check.answers.get(question.key)
        return Answer(
            id=f"{question.key}#{self.check.given.get(question.key, 0) + 1}",
            question=question.key,
            component=question.component,
            value=said.means,
            heard=said.phrase,
            probability=heard.probability,
            by=heard.by,
            engine=heard.engine,
            at=self.now,
            confirmed=confirmed,
            corrects=before.id if before else None,
            audio_sha256=heard.audio_sha256,
        )

    def _learn(self, question: Question, value: Value) -> bool:
        """Put what the answer tells of the door into the register. False when no door can be so."""
        learnt = _learnt(question, value)
        if learnt is None:
            if question.key in self.check.answers:
                self.forget(question)
            return True
        assert question.fills
        if question.always and getattr(self.check.door, question.fills) is not None:
            return True
        try:
            self._change_door(question.fills, learnt)
        except ValidationError:
            return False
        return True

    def forget(self, question: Question) -> None:
        """Take back what an answer told of the door, when that answer is taken back."""
        if question.fills and not question.always and getattr(self.check.door, question.fills) is not None:
            self._change_door(question.fills, None)

    def _change_door(self, field: str, value: Any) -> None:
        door = Door.model_validate({**self.check.door.model_dump(mode="json"), field: value})
        self._door = door
        self.set(door=door)
        self.enter(EntryKind.DOOR_CHANGED, door=door.model_dump(mode="json"), learnt={"field": field, "value": value})

    def withdraw(self, key: str) -> None:
        """Take an answer back. It stays in the logbook, marked as withdrawn."""
        answer = self.check.answers[key]
        self.enter(EntryKind.WITHDRAWN, answer=answer.id)
        self.set(
            answers={other: kept for other, kept in self.check.answers.items() if other != key},
            findings={other: kept for other, kept in self.check.findings.items() if other != key},
            trail=tuple(other for other in self.check.trail if other != key),
        )
        self.forget(self.check.checklist.ask(key))

    # ---- saying back -------------------------------------------------------------------------------------------

    def read_back(self, keys: tuple[str, ...]) -> None:
        """Say back what was just entered: every defect, and everything when several answers came at once."""
        checklist = self.check.checklist
        lines = []
        for key in keys:
            question, answer = checklist.ask(key), self.check.answers[key]
            findings = self.check.findings[key]
            if len(keys) == 1 and verdict(answer.value, findings) is Verdict.SOUND and not answer.corrects:
                continue
            faults = [each.what for each in findings if each.verdict in (Verdict.DEFECT, Verdict.ACT_NOW)]
            words = "; ".join(faults) or value_words(question, answer.value, checklist)
            lines.append(f"{part_name(question, checklist)}: {words}.")
        if lines:
            self.say(" ".join(lines), PromptKind.READ_BACK)
        for key in keys:
            for finding in self.check.findings[key]:
                if finding.verdict is Verdict.ACT_NOW:
                    self.prompt(act_now(finding))


def _learnt(question: Question, value: Value) -> Any:
    """What a door's field becomes by an answer; None when it stays as it is."""
    if question.fills is None:
        return None
    match value:
        case Choice(chosen=chosen):
            return None if chosen == "unknown" else chosen
        case Count(number=number):
            return number if number >= 3 else None
        case Measure(unit="kg", amount=amount):
            return float(in_words(amount))
        case Measure():
            return float(in_words(value.mm))
        case _:
            return None
