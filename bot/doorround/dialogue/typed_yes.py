"""A yes or no to a read-back, typed in words outside the grammar: "nah", "aye".

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.domain.check import Check, Stage
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Said
from doorround.domain.values import Command, Word
from doorround.english.bare_answers import yes_or_no
from doorround.english.irony import ends_as_question

ENGINE = "typed"


def as_yes_or_no(check: Check, heard: AnyHeard) -> AnyHeard:
    """Typed text as a yes or no, if it says only that. A recording is left unchanged: a mere sound
    is no yes.
    """
    if check.stage not in (Stage.CONFIRMING, Stage.CANCELLING):
        return heard
    if not isinstance(heard, OffGrammar) or heard.by is not By.TYPING or not heard.words:
        return heard
    answer = yes_or_no(heard.words)
    if answer is None or (answer and ends_as_question(heard.words)):
        return heard
    value = Command(word=Word.YES if answer else Word.NO)
    said = Said(question=None, value=value, phrase=heard.words, verbatim=heard.words)
    return Heard(by=heard.by, said=(said,), words=heard.words, engine=ENGINE)
