"""The moves that every turn is made of: ask on, ask again, read back, take answers, sum up."""

from __future__ import annotations

from bot.dialogue.draft import Draft
from bot.dialogue.wording import HELP_FROM, ask, options, part_name, said_words, value_words, verdict_words
from bot.domain.check import Check, PromptKind, Stage
from bot.domain.findings import Verdict, worst
from bot.domain.heard import Heard
from bot.domain.meaning import NotMeasured
from bot.domain.rules import verdict

YES_NO = ("yes", "no")
FINISH = ("finish check", "go back")
# A read-back that was not answered this often is dropped and the question asked afresh.
MOST_CONFIRM_MISSES = 3


def go_on(draft: Draft) -> None:
    """Ask the next question: those to ask again first, then in the order walked, skipped ones last; then sum up."""
    check = draft.check
    waiting = [check.checklist.ask(key) for key in check.redo] or list(check.unanswered)
    if not waiting:
        sum_up(draft)
        return
    question = waiting[0]
    if question.key in check.put_off and (check.open is None or check.open not in check.put_off) and not check.redo:
        draft.say("Back to what you skipped.")
    if question.key != check.open:
        draft.set(misses=0, refused=())
    draft.set(open=question.key, stage=Stage.ASKING)
    if question.key in check.answers:
        before = value_words(question, check.answers[question.key].value, check.checklist)
        draft.say(f"{part_name(question, check.checklist)}: you said {before}.")
    draft.prompt(ask(draft.check, question))


def ask_again(draft: Draft, why: str, *, missed: bool = True) -> None:
    """Repeat what is open, with more help at each miss. Nothing is answered by this."""
    if missed:
        draft.set(misses=draft.check.misses + 1)
    check = draft.check
    if check.stage is Stage.CONFIRMING and check.pending:
        if check.misses < MOST_CONFIRM_MISSES:
            draft.say(f"{why} Tap or say yes or no: {heard_words(check, check.pending)}?".strip(),
                      PromptKind.READ_BACK, YES_NO)  # fmt: skip
            return
        put_down(draft)
        check = draft.check
    if why:
        draft.say(why)
    if check.stage is Stage.PAUSED:
        draft.say("The check is paused. Say carry on.", taps=("carry on", "cancel"))
    elif check.stage is Stage.SUMMARY:
        rest = " carry on to answer the rest," if check.unanswered else ""
        line = f"Say finish check to sign it,{rest} or change and the part's name."
        draft.say(line, PromptKind.SUMMARY, _ends(check))
    elif check.stage is Stage.CANCELLING:
        draft.say("Cancel this check, yes or no?", PromptKind.READ_BACK, YES_NO)
    elif question := check.asked:
        if missed and check.misses >= HELP_FROM:
            draft.say(question.help)
        draft.prompt(ask(check, question))


def _ends(check: Check) -> tuple[str, ...]:
    return ("finish check", "carry on", "go back") if check.unanswered else FINISH


def put_down(draft: Draft) -> None:
    """Drop what waited for a yes, and stand where the talk stood before: at the open question, or at the summary."""
    draft.set(stage=Stage.ASKING if draft.check.open else Stage.SUMMARY, pending=None)


def confirm(draft: Draft, guesses: tuple[Heard, ...]) -> None:
    """Read the best guess back and wait for a yes. What was refused before is not offered again."""
    check = draft.check
    if check.stage in (Stage.CONFIRMING, Stage.CANCELLING):
        ask_again(draft, "I am not sure I heard you.")
        return
    left = [guess for guess in guesses if heard_words(check, guess) not in check.refused]
    if not left or check.stage is Stage.PAUSED:
        ask_again(draft, "I am not sure what you said.")
        return
    draft.set(stage=Stage.CONFIRMING, pending=left[0])
    if left[0].unheard:
        draft.say(f"I did not understand what you said at {' and '.join(left[0].unheard)}.")
    draft.say(f"{heard_words(check, left[0])}. Right?", PromptKind.READ_BACK, YES_NO)


def heard_words(check: Check, heard: Heard) -> str:
    """Everything heard in one breath, as read back."""
    return "; ".join(said_words(said, check.checklist) for said in heard.said)


def take_answers(draft: Draft, heard: Heard, confirmed: bool) -> None:
    """Enter every answer of one breath that can be, say back what matters, go on."""
    taken: list[str] = []
    refused: list[str] = []
    put_down(draft)
    for said in heard.said:
        if draft.answer(said, heard, confirmed) is None:
            refused.append(f"{said_words(said, draft.check.checklist)}: that cannot be. Nothing was entered for it.")
        else:
            taken.append(said.question or "")
    if not taken:
        ask_again(draft, " ".join(refused))
        return
    draft.set(last=tuple(taken), misses=0, refused=())
    draft.read_back(tuple(taken))
    for line in refused:
        draft.say(line)
    if heard.unheard and not confirmed:
        draft.say(f"I did not understand what you said at {' and '.join(heard.unheard)}.")
    go_on(draft)


def sum_up(draft: Draft) -> None:
    """All defects and everything not checked, then the one question whether to sign."""
    draft.set(stage=Stage.SUMMARY, open=None)
    check = draft.check
    for line in _summary_lines(check):
        draft.say(line, PromptKind.SUMMARY)
    found = sum(1 for key in check.answers for each in check.findings[key] if each.verdict in _BAD)
    whole = verdict_words(check_verdict(check), found, len(not_seen(check)))
    rest = ", carry on to answer the rest" if check.unanswered else ""
    draft.say(f"Door {check.door.number}: {whole}. Say finish check to sign{rest}.", PromptKind.SUMMARY, _ends(check))


_BAD = (Verdict.DEFECT, Verdict.ACT_NOW)


def _summary_lines(check: Check) -> list[str]:
    lines = []
    for how_bad, label in ((Verdict.ACT_NOW, "Act now"), (Verdict.DEFECT, "Defects")):
        found = [
            f"{part_name(check.checklist.ask(key), check.checklist)}: {finding.what}"
            for key in _in_order(check)
            for finding in check.findings[key]
            if finding.verdict is how_bad
        ]
        if found:
            lines.append(f"{label}: {'; '.join(found)}.")
    unseen = not_seen(check)
    if unseen:
        lines.append(f"Not checked: {'; '.join(unseen)}.")
    return lines


def not_seen(check: Check) -> list[str]:
    """Parts that this visit leaves unknown: not reached, skipped, could not be checked, not measured. Register fields
    do not count: they are not parts that failed to be looked at."""
    out = []
    for question in check.questions:
        if question.component == "register":
            continue
        answer = check.answers.get(question.key)
        name = part_name(question, check.checklist)
        if answer is None:
            out.append(name)
        elif verdict(answer.value, check.findings[question.key]) is Verdict.UNKNOWN:
            measured = not isinstance(answer.value, NotMeasured)
            reason = getattr(answer.value, "reason", None) if measured else "not measured"
            out.append(f"{name} ({reason})" if reason else name)
    return out


def _in_order(check: Check) -> list[str]:
    return [question.key for question in check.checklist.question if question.key in check.answers]


def check_verdict(check: Check) -> Verdict:
    """The whole door: the worst of its findings; UNKNOWN while any part was not seen."""
    found = [finding.verdict for key in check.answers for finding in check.findings[key]]
    return worst([*found, *([Verdict.UNKNOWN] if not_seen(check) else [])])


def options_text(check: Check) -> str:
    return options(check.asked)
