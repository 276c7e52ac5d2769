"""A bare yes or no to a question about a part's condition. The question lists several things, and a
yes may refer to one of them, so it is read back with part and meaning before it passes anything.

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import ask_again, confirm
from doorround.domain.check import Check, Stage
from doorround.domain.checklist import Question
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Said, Unsure
from doorround.domain.values import Condition
from doorround.english.bare_answers import is_bare_answer, is_bare_no, is_bare_yes
from doorround.messages import asking

ENGINE = "typed"


def take_bare_answer(builder: TurnBuilder, heard: OffGrammar) -> bool:
    """Read a yes back; after a no, ask what is wrong. False if it is neither, or the question is
    not about a part.

    For a spoken yes, ask for a full answer: a second stray yes could confirm a read-back.
    """
    question = builder.check.asked
    if builder.check.stage is not Stage.ASKING or question is None or question.kind != "condition":
        return False
    words = heard.words or heard.transcript or ""
    if is_bare_no(words) and (is_bare_answer(words) or not heard.nearest):
        ask_again(builder, asking.WHAT_IS_WRONG, missed=heard.by is By.VOICE)
        return True
    if not is_bare_yes(words):
        return False
    unsure = yes_to_part(heard, question)
    if unsure is None:
        ask_again(builder, asking.YES_IN_FULL)
    else:
        confirm(builder, unsure.guesses)
    return True


def yes_to_part(heard: AnyHeard, question: Question | None) -> Unsure | None:
    """A bare yes, typed or tapped, to a question about a part: sound, to be read back. None for
    anything else.
    """
    if question is None or question.kind != "condition" or heard.by is By.VOICE:
        return None
    if not isinstance(heard, OffGrammar) or not heard.words or not is_bare_yes(heard.words):
        return None
    words = heard.words
    said = Said(question=question.key, value=Condition(), phrase=words, verbatim=words)
    return Unsure(
        by=heard.by, guesses=(Heard(by=heard.by, said=(said,), words=words, engine=ENGINE),)
    )


def bare_again(check: Check, heard: Heard) -> bool:
    """Whether a reply only repeats the word being read back as one of several parts, or as all
    parts in question: it still names none of them, so it adds nothing.
    """
    if check.stage is not Stage.CONFIRMING or check.pending is None:
        return False
    waiting = {said.phrase for said in check.pending.said}
    short = len(check.pending.said) > 1 or check.pending.said[0].partial
    return short and {said.phrase for said in heard.said} == waiting
