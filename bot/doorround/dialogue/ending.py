"""The end of a check: signed after its summary, or cancelled. Pure."""

from __future__ import annotations

from datetime import timedelta

from doorround.dialogue.check_summary import (
    check_verdict,
    judgement,
    not_seen,
    repairs_seen_sound,
    result_line,
)
from doorround.dialogue.repair_visit import enter_looks, look_body
from doorround.dialogue.summing_up import sum_up
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import go_on
from doorround.domain.alerts import dangers
from doorround.domain.check import Check, PromptKind, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import By, Heard
from doorround.domain.judging.door_verdict import open_findings
from doorround.domain.judging.judge import verdict
from doorround.domain.values import Command, Word
from doorround.messages import asking, buttons, replying, summing_up
from doorround.messages.answers import said_words
from doorround.messages.buttons import YES_NO

HURRY = 12
HURRY_S = 20
"""Number of single taps, and the seconds within which they count as hurried."""


def finish(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Sign, but only after the summary has been shown; before that, show the summary."""
    new = any(not each.entered for each in builder.check.reported)
    if builder.check.stage is not Stage.SUMMARY or new:
        sum_up(builder)
        return
    if _asked_first(builder):
        return
    whole = check_verdict(builder.check)
    judged = judgement(builder.check)
    unseen = not_seen(builder.check)
    for key in _doubted(builder.check):
        builder.drop(key)
    check = builder.check
    sound = repairs_seen_sound(check)
    result = result_line(check)
    builder.keep_together(judged.together)
    builder.enter(
        EntryKind.SIGNED,
        verdict=whole.value,
        answers=len(check.answers),
        defects=len(open_findings(judged.findings)),
        not_checked=unseen,
        judgement=judged.model_dump(
            mode="json", exclude={"findings", "together", "not_checked", "limit"}
        ),
        **({"reported": [each.question for each in check.reported]} if check.reported else {}),
        **({"unread": list(check.unread_at_end)} if check.unread_at_end else {}),
        **({"look": look_body(check.repairs, sound)} if check.repairs else {}),
    )
    builder.set(stage=Stage.SIGNED, verdict=whole)
    builder.say(summing_up.signed(check.door.number, result), PromptKind.SUMMARY)
    enter_looks(builder, sound)
    _say_what_is_left(builder, whole)


def _say_what_is_left(builder: TurnBuilder, whole: Verdict) -> None:
    """After a signature, say what is not in the list of defects, and who is told about those."""
    check = builder.check
    if check.reported:
        words = "; ".join(said_words(each.said, check.checklist) for each in check.reported)
        builder.say(summing_up.signed_unconfirmed(words), PromptKind.CAUTION)
    if check.unread_at_end:
        builder.say(summing_up.signed_unread(check.unread_at_end), PromptKind.CAUTION)
    if whole in (Verdict.ACT_NOW, Verdict.DEFECT):
        builder.say(
            summing_up.who_is_told(builder.reach, dangers(builder.check)), PromptKind.CAUTION
        )
        builder.say(check.checklist.caution, PromptKind.CAUTION)


def _asked_first(builder: TurnBuilder) -> bool:
    """Ask once, instead of signing, about unread words or hurried taps. Whether it did."""
    check = builder.check
    if check.unread_at_end and not check.told_unread:
        builder.set(told_unread=True)
        line = summing_up.unread_at_end(check.unread_at_end)
    elif (count := hurried(check)) and not check.hurried:
        builder.set(hurried=True)
        line = replying.hurried(count, str(HURRY_S))
    else:
        return False
    builder.say(line, PromptKind.READ_BACK, (buttons.FINISH, buttons.GO_BACK))
    return True


def _doubted(check: Check) -> tuple[str, ...]:
    """Passed questions with an unconfirmed report of a fault: a signed pass would close the earlier
    defects there.
    """
    keys = dict.fromkeys(each.question for each in check.reported if each.question in check.answers)
    return tuple(
        key
        for key in keys
        if verdict(check.answers[key].value, check.findings[key]) is Verdict.SOUND
    )


def ask_to_cancel(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Ask first, because the answers would never be signed."""
    builder.set(stage=Stage.CANCELLING)
    builder.say(asking.CANCEL_THIS, PromptKind.READ_BACK, YES_NO)


def settle_cancelling(builder: TurnBuilder, command: Command) -> None:
    """Cancel on a yes; with any other command, go on with the check."""
    if command.word is Word.YES:
        builder.enter(EntryKind.CANCELLED)
        builder.set(stage=Stage.CANCELLED)
        builder.say(replying.cancelled(builder.check.door.number))
        return
    builder.set(stage=Stage.ASKING)
    builder.say(replying.NOT_CANCELLED)
    go_on(builder)


def hurried(check: Check) -> int:
    """Number of single taps that came faster than anybody can look at a door; 0 if none.

    The limit is common practice, no source.
    """
    times = sorted({each.at for each in check.answers.values() if each.by is By.TAP})
    within = timedelta(seconds=HURRY_S)
    counts = (sum(first <= each <= first + within for each in times) for first in times)
    most = max(counts, default=0)
    return most if most >= HURRY else 0
