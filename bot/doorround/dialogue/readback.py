"""Read-backs: what they say, and which answers need one."""

from __future__ import annotations

import re

from doorround.dialogue.unconfirmed_faults import (
    contradicted,
    doubted_words,
    is_fault,
    standing_fault,
)
from doorround.domain.check import Check
from doorround.domain.checklist import Question
from doorround.domain.findings import Verdict
from doorround.domain.input_result import MORE_WAS_SAID, By, Heard, Said
from doorround.domain.judging.judge import judge, verdict
from doorround.domain.parts import part_name
from doorround.domain.two_leaves import of_other_leaf
from doorround.domain.values import CannotCheck, Command, Condition, Value, YesNo
from doorround.messages import confirming
from doorround.messages.answers import not_checked, said_words, value_words
from doorround.messages.phrasing import quoted

# Maximum number of parts that cannot be checked and are named separately; more in one line.
MAX_TOLD_APART = 2


def heard_words(check: Check, heard: Heard) -> str:
    """Wording of a whole utterance in a read-back; one phrase if nothing on the door can be
    checked.
    """
    if unseen := nothing_seen(heard):
        return confirming.all_unanswered(len(heard.said), unseen)
    return "; ".join(
        said_words(said, check.checklist) + _not_so(check, said) for said in heard.said
    )


def read_back_line(check: Check, heard: Heard) -> str:
    """The read-back of one guess: asks whether it is right, and says if there was more."""
    whys = {said.hearing.why for said in heard.said if said.hearing}
    words = heard_words(check, heard)
    if heard.by is By.FORWARD:
        return confirming.said_before(words)
    if MORE_WAS_SAID not in whys:
        return confirming.right(words, tap=any(whys))
    fault = any(is_fault(check, said) for said in heard.said)
    return confirming.right_and_more(heard.words, words, fault)


def _not_so(check: Check, said: Said) -> str:
    """What a yes would deny of other reports and answers: ", not split"."""
    others = [
        value_words(check.checklist.ask(each.question), _value(each.said), check.checklist)
        for each in contradicted(check, said)
    ]
    if standing := standing_fault(check, said):
        question = check.checklist.ask(standing.question)
        if not question.works:  # a pass there is worded as a denial: "without slamming"
            others.append(value_words(question, standing.value, check.checklist))
    doubted = doubted_words(check, said)
    others += [quoted(doubted)] if doubted else []
    return "".join(map(confirming.not_so, others))


def _value(said: Said) -> Value:
    assert not isinstance(said.value, Command)
    return said.value


def nothing_seen(heard: Heard) -> str:
    """ "not checked: no access" if that is the same answer to more than two questions; else ""."""
    value = heard.said[0].value
    if len(heard.said) <= MAX_TOLD_APART or not isinstance(value, CannotCheck):
        return ""
    if any(said.value != value for said in heard.said):
        return ""
    return not_checked(value.reason)


def otherwise(check: Check, said: Said) -> str:
    """Reply to a different answer about a part outside the question."""
    question = check.checklist.ask(said.question or "")
    answer = check.answers.get(question.key)
    name = part_name(question, check.checklist)
    if answer is None:
        return confirming.not_answered_yet(name, _part(question, check))
    stood = value_words(question, answer.value, check.checklist)
    return confirming.otherwise(name, stood, _part(question, check))


def _part(question: Question, check: Check) -> str:
    return check.checklist.part(question.component).name.lower()


def answered_words(check: Check, key: str) -> str:
    """An answer in force with its part: "Hinges: 2 screws missing"."""
    question = check.checklist.ask(key)
    words = value_words(question, check.answers[key].value, check.checklist)
    return f"{part_name(question, check.checklist)}: {words}"


def to_be_read_back(check: Check, said: Said) -> bool:
    """Whether an answer must be read back before it is entered."""
    later = said.added and not isinstance(said.value, Condition) and is_fault(check, said)
    denied = bool(contradicted(check, said)) or bool(doubted_words(check, said))
    leaf = _at_either_leaf(check, said) or _names_leaf_otherwise(check, said)
    denied = denied or at_face_not_reached(check, said)
    return said.hedged or later or _back_to_sound(check, said) or leaf or denied


def at_face_not_reached(check: Check, said: Said) -> bool:
    """Whether it passes a part on the other face before the caretaker has gone through."""
    beyond = [key for key in check.answers if check.checklist.ask(key).side == "beyond"]
    here = check.asked is not None and check.asked.side == "here" and not beyond
    sound = isinstance(said.value, Condition) and said.value.sound
    return here and sound and check.checklist.ask(said.question or "").side == "beyond"


def _back_to_sound(check: Check, said: Said) -> bool:
    """Whether it is a correction that would pass a part: "no seals in place" may be a fault, and
    "okay" may mean yes.
    """
    if not said.correction or not isinstance(said.value, Condition | YesNo):
        return False
    question = check.checklist.ask(said.question or "")
    return (
        verdict(said.value, judge(check.door, question, said.value, check.checklist))
        is Verdict.SOUND
    )


_A_LEAF = re.compile(r"\b(?:first|second|both|each|other|leaves)\b", re.IGNORECASE)


_BY_PLACE = re.compile(
    r"\b(?:left|right|big|small|active|passive|slave|other)"
    r"(?:[- ]hand)?(?:[- ]side)? (?:leaf|door)\b"
    r"|\b(?:leaf|door) (?:one|two|1|2)\b",
    re.IGNORECASE,
)


def _names_leaf_otherwise(check: Check, said: Said) -> bool:
    """Whether a leaf of a pair has an unknown name: "the left leaf" may be the first or the second;
    "leaf two split" does not give a number of splits.
    """
    of_one = bool(of_other_leaf(said.question or ""))
    return check.door.pair and of_one and bool(_BY_PLACE.search(said.verbatim or said.phrase))


def _at_either_leaf(check: Check, said: Said) -> bool:
    """Whether a fault that names no leaf equals one already reported of the other leaf: it may be
    the same one, repeated.
    """
    other = check.answers.get(of_other_leaf(said.question or ""))
    if not check.door.pair or other is None or said.question == check.open:
        return False
    again = isinstance(said.value, Condition) and bool(said.value.defects)
    return again and other.value == said.value and not _A_LEAF.search(said.phrase)
