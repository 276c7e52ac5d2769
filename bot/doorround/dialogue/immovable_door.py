"""A door that must not be moved: tests that would swing it are not asked, cannot be passed, and are
reported as not tested.
"""

from __future__ import annotations

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.domain.check import Check, PromptKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import Said
from doorround.domain.judging.judge import judge, verdict
from doorround.domain.parts import part_name
from doorround.domain.values import Command
from doorround.messages import asking, summing_up
from doorround.messages.confirming import NOT_MOVED


def untested(check: Check) -> list[str]:
    """Parts that stay without an answer because the door must not be moved."""
    barred = [
        each for each in check.in_scope if each.key not in check.answers and check.barred(each)
    ]
    return [part_name(each, check.checklist) for each in barred if each.component != "register"]


def passes_untested(check: Check, said: Said) -> bool:
    """Whether an answer would pass a test that nobody may carry out."""
    question = check.checklist.ask(said.question or "")
    if isinstance(said.value, Command) or not check.barred(question):
        return False
    return (
        verdict(said.value, judge(check.door, question, said.value, check.checklist))
        is Verdict.SOUND
    )


def drop_barred(builder: TurnBuilder) -> None:
    """Remove questions that would move the door from those to be asked again."""
    check = builder.check
    barred = [key for key in check.redo if check.barred(check.checklist.ask(key))]
    if not barred:
        return
    builder.set(redo=tuple(key for key in check.redo if key not in barred))
    parts = "; ".join(part_name(check.checklist.ask(key), check.checklist) for key in barred)
    builder.say(asking.not_asked_again(parts, NOT_MOVED))


def tell_untested(builder: TurnBuilder) -> None:
    """Say that everything that would move the door is left out."""
    if parts := untested(builder.check):
        builder.say(summing_up.left_out(len(parts), NOT_MOVED), PromptKind.CAUTION)
