"""Faults in a caretaker's own words, in the chat: a supervisor names or dismisses them; the words
may be understood from then on.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from doorround.channels.messenger.results import Reply, tell
from doorround.domain.checklist import Checklist, KnownDefect
from doorround.domain.defects import DeedKind, Defect
from doorround.domain.judging.severity import Severity
from doorround.domain.people import Person, Right
from doorround.domain.query import Query, QueryKind
from doorround.hearing.adaptation.own_words import MAX_WORDS
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.logbook.named_defects import (
    checklist_of,
    dismiss_defect,
    in_own_words,
    judged_by,
    name_defect,
    words_of_fault,
)
from doorround.logbook.store import Logbook
from doorround.messages import buttons
from doorround.messages import defects as defect_texts
from doorround.messages import word_judging as texts

KeepWords = Callable[[str, str, str], str]
"""Map words to a named fault at a question, via a phrase that already means it. Raises ValueError
saying why it cannot.
"""


@dataclass(frozen=True)
class WordJudging:
    """keep: writes words.toml; None if not possible."""

    logbook: Logbook
    keep: KeepWords | None = None

    def taps(self, person: Person, defect: Defect) -> tuple[str, ...]:
        """Buttons of a defect that nobody has named yet."""
        if not (in_own_words(defect) and _leads(person)):
            return ()
        return buttons.name_defect(defect.id), buttons.no_fault(defect.id)

    def settle(self, person: Person, defect: Defect, asked: Query, now: datetime) -> Reply:
        """Run the command. Raises LogbookError."""
        if not _leads(person):
            return tell(defect_texts.NOT_YOURS)
        judged = judged_by(defect)
        if asked.what is QueryKind.KEEP_WORDS:
            return self._keep(defect, asked.text)
        if judged is None and not in_own_words(defect):
            return tell(texts.NOT_NAMED_ANY_MORE)
        if judged is not None and judged.kind is DeedKind.DISMISSED:
            line = texts.dismissed_already(defect.id, judged.person, judged.text)
            return tell(line, taps=(buttons.reopen(defect.id),))
        if asked.what is QueryKind.RENAME:
            return self._rename(person, defect, asked.text, now)
        if judged is not None:
            line = texts.named_already(defect, judged.person)
            return tell(line, taps=(buttons.rename_defect(defect.id),))
        if asked.what is QueryKind.NO_FAULT:
            return self._dismiss(person, defect, asked.text, now, buttons.no_fault(defect.id))
        return self._name(person, defect, asked.text, now, buttons.defect_is)

    def _rename(self, person: Person, defect: Defect, text: str, now: datetime) -> Reply:
        """Replace a wrong name, or dismiss what was named."""
        first, _, why = text.partition(":")
        if first.strip().casefold() == texts.NONE:
            begins = buttons.rename_defect(defect.id, texts.NONE)
            return self._dismiss(person, defect, why.strip(), now, begins)
        return self._name(person, defect, text, now, buttons.rename_defect)

    def _name(
        self,
        person: Person,
        defect: Defect,
        text: str,
        now: datetime,
        button: Callable[[int, str], str],
    ) -> Reply:
        """button: command that names the defect."""
        checklist = checklist_of(self.logbook, defect)
        part = checklist.part(defect.finding.component).name
        words, severity = _with_severity(text)
        faults = [each for each in checklist.defect if each.component == defect.finding.component]
        known = next((each for each in faults if _called(each, words)), None)
        if known is None:
            line = (
                texts.no_such_fault(part, words)
                if words
                else texts.which_fault(part, words_of_fault(defect))
            )
            none = (
                buttons.no_fault(defect.id)
                if in_own_words(defect)
                else buttons.rename_defect(defect.id, texts.NONE)
            )
            return tell(line, taps=(*(button(defect.id, each.words) for each in faults), none))
        if severity is None:
            usual = known.severity
            order = sorted(reversed(Severity), key=lambda each: each is not usual)
            is_that = button(defect.id, known.words)
            line = texts.how_grave(part, known.words, usual)
            return tell(line, taps=tuple(f"{is_that}, {each}" for each in order))
        name_defect(self.logbook, defect, known.name, severity, person.name, now)
        line = texts.named(defect.id, part, known.words, severity)
        return self._offer_to_keep(defect, line)

    def _offer_to_keep(self, defect: Defect, line: str) -> Reply:
        """line: what was entered."""
        words = words_of_fault(defect)
        if self.keep is None or not words:
            return tell(line)
        keep = buttons.keep_words(defect.id)
        if len(_plain(words).split()) > MAX_WORDS:
            return tell(f"{line} {texts.too_long_to_keep(keep)}")
        return tell(f"{line} {texts.offer_to_keep(words)}", taps=(keep,))

    def _dismiss(
        self, person: Person, defect: Defect, why: str, now: datetime, begins: str
    ) -> Reply:
        """begins: the command that dismisses it, before the reason."""
        if not why:
            part = self._part(defect)
            reasons = (f"{begins}: {each}" for each in texts.NO_FAULT)
            return tell(texts.why_none(part, words_of_fault(defect)), taps=tuple(reasons))
        dismiss_defect(self.logbook, defect, why, person.name, now)
        return tell(texts.none(defect.id))

    def _keep(self, defect: Defect, some: str) -> Reply:
        """some: a few of the words; "" for all."""
        named = [each for each in defect.deeds if each.kind is DeedKind.NAMED]
        if self.keep is None or not named:
            return tell(texts.WORDS_NOT_KEPT)
        words = _plain(some or named[-1].text)
        fault = defect.finding.rule.partition(".")[2]
        try:
            phrase = self.keep(words, fault, defect.finding.question)
        except ValueError as error:
            return tell(str(error))
        return tell(texts.words_kept(words, phrase))

    def _part(self, defect: Defect) -> str:
        checklist: Checklist = checklist_of(self.logbook, defect)
        return checklist.part(defect.finding.component).name


def _with_severity(text: str) -> tuple[str, Severity | None]:
    """ "a hole in it, soon" → the fault and its severity; None if that is not given."""
    words, _, last = text.rpartition(",")
    for each in Severity:
        if last.strip().casefold() == each.value:
            return words.strip(" ,."), each
    return text.strip(" ,."), None


def _plain(text: str) -> str:
    """The words as they are spoken: without signs, and numbers spelled out."""
    return " ".join(split_words(re.sub(r"[^\w\s'’]", " ", text)))


def _called(fault: KnownDefect, words: str) -> bool:
    names = {_bare(fault.name.replace("_", " ")), _bare(fault.words)}
    return _bare(words) in names


def _bare(words: str) -> str:
    return words.casefold().removeprefix("a ").removeprefix("an ").strip()


def _leads(person: Person) -> bool:
    return person.may(Right.CHANGE_PEOPLE)
