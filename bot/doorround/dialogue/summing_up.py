"""The summary before the signature: the result, and what is still waiting for a yes."""

from __future__ import annotations

from doorround.dialogue.check_summary import result_line, summary_lines
from doorround.dialogue.readback import heard_words
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.unconfirmed_faults import as_asked, put_aside
from doorround.domain.check import Check, PromptKind, Report, Stage
from doorround.domain.parts import part_name
from doorround.domain.unnamed_faults import to_be_judged
from doorround.messages import buttons, confirming, offering, summing_up
from doorround.messages.buttons import YES_NO


def sum_up(builder: TurnBuilder) -> None:
    """Say all defects and everything not checked; then ask about each unconfirmed report; then ask
    whether to sign.
    """
    builder.check = put_aside(builder.check)
    builder.set(stage=Stage.SUMMARY, open=None)
    check = builder.check
    for line in summary_lines(check):
        builder.say(line, PromptKind.SUMMARY)
    whole = result_line(check)
    if check.reported:
        builder.say(summing_up.door_result(check.door.number, whole), PromptKind.SUMMARY)
        _ask_report(builder, check.reported[0])
        return
    line = summing_up.sign_or_not(check.door.number, whole, more=bool(check.unanswered))
    builder.say(line, PromptKind.SUMMARY, ends(check))


def _ask_report(builder: TurnBuilder, report: Report) -> None:
    builder.set(stage=Stage.CONFIRMING, pending=as_asked(builder.check, report), misses=0)
    if to_be_judged(report.said.value):
        question = builder.check.checklist.ask(report.question)
        part = part_name(question, builder.check.checklist)
        text = offering.is_it_a_fault(report.heard.words, part)
    else:
        text = confirming.reported_right(
            heard_words(builder.check, as_asked(builder.check, report))
        )
    builder.say(text, PromptKind.READ_BACK, YES_NO)


def ends(check: Check) -> tuple[str, ...]:
    """The buttons at the summary."""
    rest = (buttons.CARRY_ON,) if check.unanswered else ()
    return (buttons.FINISH, *rest, buttons.GO_BACK)
