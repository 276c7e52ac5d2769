"""A yes or no alone where it is asked how a part is. The question names several things, and a yes
may be to one of them: so it is read back by part and meaning before it passes any.

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import ask_again, confirm
from doorround.domain.check import Check, Stage
from doorround.domain.input_result import By, Heard, OffGrammar, Said
from doorround.domain.values import Condition
from doorround.english.bare_answers import is_bare_answer, is_bare_no, is_bare_yes
from doorround.messages import asking

ENGINE = "typed"


def take_bare_answer(builder: TurnBuilder, heard: OffGrammar) -> bool:
    """Read a yes back, and ask after a no what is wrong. False where it is neither, or no part is
    asked about.

    A yes that was only heard is asked for in full: what is read back to it might be nodded at by
    another stray one.
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
    if heard.by is By.VOICE:
        ask_again(builder, asking.YES_IN_FULL)
        return True
    said = Said(question=question.key, value=Condition(), phrase=words, verbatim=words)
    confirm(builder, (Heard(by=heard.by, said=(said,), words=words, engine=ENGINE),))
    return True


def bare_again(check: Check, heard: Heard) -> bool:
    """Whether the word that is read back as one of several parts, or as all that is asked about, is
    said once more: it still names none of them, and says no more than before.
    """
    if check.stage is not Stage.CONFIRMING or check.pending is None:
        return False
    waiting = {said.phrase for said in check.pending.said}
    short = len(check.pending.said) > 1 or check.pending.said[0].partial
    return short and {said.phrase for said in heard.said} == waiting
