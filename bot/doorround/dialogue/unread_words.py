"""Unread words, which neither grammar nor second interpreter understood for certain: their possible
meanings, and what happens to them later. None are lost, and none pass anything.

Pure: reads only its arguments.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator

from doorround.dialogue.unconfirmed_faults import nearest_part, seems_a_fault
from doorround.domain.check import Check, Report, Stage, Unread
from doorround.domain.input_result import By, Heard, OffGrammar, Said
from doorround.domain.unnamed_faults import own_fault
from doorround.domain.values import Choice, Condition
from doorround.english.bare_answers import is_asked, is_bare_answer, tells_more
from doorround.messages.answers import said_words

ENGINE = "own words"

_SIDES = re.compile(r"\b(?:hinge|lock|latch|frame|closer)[ -](?:side|edge)s?\b")
"""Places named after a part."""


def unread_here(check: Check) -> Unread | None:
    """Unread words at the open question."""
    return next((each for each in check.unread if each.question == check.open), None)


def offered_words(check: Check) -> tuple[str, ...]:
    """The meanings offered for them, as on the buttons: part, face and meaning."""
    return tuple(meaning_label(check, each) for each in offered_meanings(check))


def offered_meanings(check: Check) -> tuple[Heard, ...]:
    """The same meanings, without any that was just refused."""
    unread = unread_here(check)
    nearest = unread.heard.nearest if unread else ()
    return tuple(each for each in nearest if meaning_label(check, each) not in check.refused)


def meaning_label(check: Check, heard: Heard) -> str:
    """A meaning as on its button."""
    return "; ".join(said_words(said, check.checklist) for said in heard.said)


def with_unread(check: Check, heard: OffGrammar) -> Check:
    """The check with unread words at the open question, after those already there."""
    before = unread_here(check)
    words = tuple(before.words.split("; ")) if before and before.words else ()
    new = Unread(question=check.open or "", heard=heard, before=words)
    checked = without_unread(check, check.open or "") if before else check
    # already reported for a part that the combined words no longer name
    apart = [
        each
        for each in check.reported
        if each not in checked.reported and each.question != _question_of(check, new)
    ]
    return checked.model_copy(
        update={"unread": (*checked.unread, new), "reported": (*checked.reported, *apart)}
    )


def with_unread_at_end(check: Check, heard: OffGrammar) -> Check:
    """The check with unread words said at its summary, where no question is open, or typed at a
    read-back, whose yes or no answers something else. They may report a fault, so the bot repeats
    them before the signature.
    """
    words = (heard.words or heard.transcript or "").strip()
    reads_back = check.stage is Stage.CONFIRMING
    typed = reads_back and heard.by is not By.VOICE
    at_end = check.open is None and (reads_back or check.stage is Stage.SUMMARY)
    if not (typed or at_end) or is_bare_answer(words) or is_asked(words):
        return check
    known = dict.fromkeys((*check.unread_at_end, words))
    changed = {"unread_at_end": tuple(known), "told_unread": False}
    if check.stage is Stage.SUMMARY:
        changed["unread_at_summary"] = (*check.unread_at_summary, words)
    return check.model_copy(update=changed)


def without_reworded(check: Check, stage: Stage, answered: Collection[str]) -> Check:
    """The check after these questions were answered. stage: where. At the summary, an answer
    replaces the unread words said there if they name its part; any others may be about something
    else, and are repeated before the signature.
    """
    if stage is not Stage.SUMMARY:
        return check
    parts = {check.checklist.ask(key).component for key in answered}
    names = {name for part in parts for name in _words_for(check, part)}
    reworded = [each for each in check.unread_at_summary if names & _plain_words(each)]
    left = tuple(each for each in check.unread_at_end if each not in reworded)
    rest = tuple(each for each in check.unread_at_summary if each not in reworded)
    return check.model_copy(update={"unread_at_end": left, "unread_at_summary": rest})


def without_unread(check: Check, question: str) -> Check:
    """The check without the unread words at that question, and without their report."""
    here = [each for each in check.unread if each.question == question]
    left = tuple(each for each in check.unread if each not in here)
    reported = tuple(
        report for report in check.reported if not any(_is_of(check, report, each) for each in here)
    )
    return check.model_copy(update={"unread": left, "reported": reported})


def once_answered(check: Check, question: str) -> Check:
    """The check after that question was answered: the answer replaces the unread words there. Words
    that name another part, or describe a fault at a question of fact, are reported for that part;
    any others that may say more than the fact or figure are repeated before the signature. What was
    entered as reported already waits for its own yes or no.
    """
    here = [each for each in check.unread if each.question == question]
    left = [each for each in here if not _stood_for(check, each)]
    elsewhere = [each for each in left if _question_of(check, each) != question]
    new = _as_reports(check, elsewhere)
    checked = without_unread(check, question)
    gone = [each for each in check.reported if each not in checked.reported]
    known = [each for each in gone if each.question != question or each.entered]
    checked = checked.model_copy(update={"reported": (*checked.reported, *known, *new)})
    return _told_at_end(checked, [each for each in left if each not in elsewhere])


def _stood_for(check: Check, unread: Unread) -> bool:
    """Whether the answer to their question replaces these unread words."""
    question = check.checklist.ask(unread.question)
    if question.kind == "condition":
        return True
    if any(map(tells_more, unread.words.split("; "))):
        return False
    if question.component == "register":
        return _may_be_the_answer(unread)
    return _question_of(check, unread) == unread.question


def _may_be_the_answer(unread: Unread) -> bool:
    """Whether the words were near a value of the question at which they were said."""
    nearest = [said for each in unread.heard.nearest[:1] for said in each.said]
    return any(
        each.question == unread.question and each.value != Choice(chosen="unknown")
        for each in nearest
    )


def as_own_fault(check: Check, unread: Unread, words: str = "", question: str = "") -> Heard:
    """Unread words as a fault in the caretaker's own words, added to the part's answer. words: used
    instead of those said. question: the part's, if the words do not name it.
    """
    heard = unread.heard
    fault_words = words or unread.words
    value = Condition(defects=(own_fault(fault_words, heard.audio_sha256),))
    question = question or _question_named(check, fault_words, unread.question)
    said = Said(
        question=question,
        value=value,
        phrase=fault_words,
        verbatim=fault_words,
        added=question in check.answers,
    )
    return Heard(
        by=heard.by, said=(said,), words=fault_words, engine=ENGINE, audio_sha256=heard.audio_sha256
    )


def _question_named(check: Check, words: str, asked: str) -> str:
    """The question that a fault in these words belongs to: the one asked, if it is about a part's
    condition; else that of the only part they name, if any.
    """
    question = check.checklist.ask(asked)
    if question.kind == "condition":
        return asked
    parts = [each for each in check.questions if each.kind == "condition"]
    told = _plain_words(words)
    names = {each.component: _words_for(check, each.component) for each in parts}
    named = [component for component, called in names.items() if called & told]
    if len(named) != 1:
        return asked
    return _of_component(check, named[0], question.side) or asked


def _of_component(check: Check, component: str, side: str | None) -> str:
    """Key of the question about a part's condition. side: the one in question; None for the side
    where the caretaker is. "" if this door has no such question.
    """
    face = side or ("here" if not _went_through(check) else "beyond")
    of_part = [each for each in check.questions if each.component == component]
    looks = [each for each in of_part if each.kind == "condition"]
    return next((each.key for each in looks if each.side in (None, face)), "")


def _question_of(check: Check, unread: Unread) -> str:
    """The same for unread words: at a question of fact or measurement, a fault that names no part
    is about the door itself, its leaf.
    """
    named = _question_named(check, unread.words, unread.question)
    if check.checklist.ask(unread.question).kind == "condition":
        return named
    near = nearest_part(check, unread)
    if named != unread.question:
        own = unread.question.removeprefix("register.")
        asked_of = check.checklist.ask(named).component == _PART_OF.get(own, own)
        return unread.question if asked_of and near != named else named
    if near in ("", named):
        return named
    return _of_component(check, "leaf", check.checklist.ask(named).side) or named


_PART_OF = {"glazing": "glass", "leaves": "leaf", "material": "leaf"}
"""Parts that a register fact is about, if their name differs from the fact's."""


def _plain_words(words: str) -> set[str]:
    """The set of words, without places named after a part."""
    return set(re.findall(r"[a-z]+", _SIDES.sub("", words.casefold())))


def _words_for(check: Check, component: str) -> set[str]:
    """A part's name in lower case, singular and plural: "hinge", "hinges"."""
    name = check.checklist.part(component).name.lower()
    return {name, name.removesuffix("s"), f"{name}s"}


def _went_through(check: Check) -> bool:
    return any(check.checklist.ask(key).side == "beyond" for key in check.answers)


def _may_tell(words: str) -> bool:
    """Whether words that do not answer a question of fact may report something wrong."""
    return len(words.split()) > 1 and not (is_bare_answer(words) or is_asked(words))


def left_behind(check: Check) -> Check:
    """The check with the unread words of questions that are no longer open as unconfirmed reports,
    which the bot asks about before the signature. At a question of fact their part is unknown, so
    they are repeated then as words that were not understood.

    Words from a recording count only if they seem to report a fault: they may be from a radio.
    """
    gone = [each for each in check.unread if each.question != check.open]
    reported = (*check.reported, *_as_reports(check, gone))
    kept = tuple(each for each in check.unread if each not in gone)
    of_none = [each for each in gone if not _of_part(check, each)]
    return _told_at_end(check.model_copy(update={"unread": kept, "reported": reported}), of_none)


def _told_at_end(check: Check, gone: Iterable[Unread]) -> Check:
    """The check with words typed at a question of fact, to be repeated before the signature."""
    typed = [each for each in gone if each.heard.by is not By.VOICE]
    return kept_for_end(check, *(words for each in typed for words in each.words.split("; ")))


def kept_for_end(check: Check, *words: str) -> Check:
    """The check with words that may report something, to be repeated before the signature."""
    untold = [each for each in words if _may_tell(each) and each not in check.unread_at_end]
    if not untold:
        return check
    told = {
        "unread_at_end": (*check.unread_at_end, *dict.fromkeys(untold)),
        "told_unread": False,
    }
    return check.model_copy(update=told)


def unread_reports(check: Check) -> tuple[Report, ...]:
    """Unread words as reports, for when nobody explains them."""
    return tuple(_as_reports(check, check.unread))


def _as_reports(check: Check, told: Iterable[Unread]) -> Iterator[Report]:
    """Unread words about parts as faults in the caretaker's own words; recordings, and questions to
    the bot, only if they seem to report one.
    """
    for unread in told:
        asked = all(map(is_asked, unread.words.split("; ")))
        typed = unread.heard.by is not By.VOICE
        near = seems_a_fault(check, unread) or (typed and not asked)
        new = not any(_is_of(check, each, unread) for each in check.reported)
        if unread.words and near and new and _of_part(check, unread):
            question = _question_of(check, unread)
            yield Report(heard=as_own_fault(check, unread, question=question))


def _of_part(check: Check, unread: Unread) -> bool:
    return check.checklist.ask(_question_of(check, unread)).component != "register"


def _is_of(check: Check, report: Report, unread: Unread) -> bool:
    """Whether a report consists of exactly these words, still unexplained."""
    question = _question_of(check, unread)
    told = (report.question, report.heard.words, report.heard.engine)
    return told == (question, unread.words, ENGINE)
