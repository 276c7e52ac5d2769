""" "Same again", "ditto": what was answered about the same part before, which may be a fault."""

from __future__ import annotations

import re

from doorround.domain.check import Check
from doorround.domain.input_result import Said
from doorround.domain.values import Condition

_SAME = re.compile(r"\b(?:ditto|same (?:again|as (?:the other|before|last time|that)))\b", re.I)


def fault_again(text: str, check: Check) -> Said | None:
    """The fault found before at a question like the open one, said of this one in such words; None
    without it. It is never a pass: the answer before was none.
    """
    asked = check.asked
    if asked is None or not _SAME.search(text):
        return None
    for key, answer in reversed(check.answers.items()):
        like = check.checklist.ask(key)
        value = answer.value
        same = like.component == asked.component and like.says == asked.says and key != asked.key
        if same and isinstance(value, Condition) and not value.passes:
            return Said(question=asked.key, value=value, phrase=text, verbatim=text, hedged=True)
    return None
