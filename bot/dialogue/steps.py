"""The moves that every turn is made of: ask on, ask again, read back, take answers, sum up."""

from __future__ import annotations

from bot.dialogue.draft import Draft
from bot.dialogue.measuring import not_whole
from bot.dialogue.playing import tell_missed
from bot.dialogue.readback import heard_words, nothing_seen, otherwise
from bot.dialogue.reporting import as_asked, is_fault, put_aside, reports_at
from bot.dialogue.wording import (
    NOT_UNDERSTOOD,
    ask,
    options,
    result_words,
    said_words,
    unheard_line,
    value_words,
)
from bot.domain.check import Check, Prompt, PromptKind, Report, Stage
from bot.domain.checklist import Question
from bot.domain.entries import EntryKind
from bot.domain.findings import Finding, Verdict, worst
from bot.domain.heard import MORE_WAS_SAID, Heard, Said
from bot.domain.judging.judge import unseen
from bot.domain.judging.measured import edges_words
from bot.domain.judging.severity import Severity
from bot.domain.judging.whole import Judgement, judge_door
from bot.domain.meaning import Measure, NotMeasured, Value
from bot.domain.parts import part_name

YES_NO = ("yes", "no")
FINISH = ("finish check", "go back")
# A question not understood this often in a row is put off to the end; there, this often again, it is left open.
MOST_MISSES = 2
# So many questions put off in a row without one answer: nobody is there, or nobody can be heard.
MOST_LOST = 3


def go_on(draft: Draft) -> None:
    """Ask the next question: those to ask again first, then in the order walked, skipped ones last; then sum up."""
    check, question = draft.check, _next(draft.check)
    if question is None:
        sum_up(draft)
        return
    if question.key in check.put_off and (check.open is None or check.open not in check.put_off) and not check.redo:
        draft.say(
            "Back to what I did not understand." if question.key in check.unheard else "Back to what you skipped."
        )
    if question.key != check.open:
        draft.set(misses=0, refused=())
    put_down(draft)
    draft.set(open=question.key, stage=Stage.ASKING)
    for report in reports_at(check, question.key):
        draft.say(f"{said_words(report.said, check.checklist)}: you reported that, and I have no yes or no to it.")
    if question.key in check.answers and not not_whole(check, question.key):
        before = value_words(question, check.answers[question.key].value, check.checklist)
        draft.say(f"{part_name(question, check.checklist)}: you said {before}.")
    draft.prompt(ask(draft.check, question))


def _next(check: Check) -> Question | None:
    waiting = [check.checklist.ask(key) for key in check.redo] or list(check.unanswered)
    return waiting[0] if waiting else None


def ask_again(draft: Draft, why: str, *, missed: bool = True) -> None:
    """Repeat what is open, with help; missed a second time in a row, put it off. Nothing is answered by this."""
    if missed:
        draft.set(misses=draft.check.misses + 1)
    check = draft.check
    if check.stage is Stage.CONFIRMING and check.pending:
        if check.misses < MOST_MISSES:
            draft.say(f"{why} Tap or say yes or no: {heard_words(check, check.pending)}?".strip(),
                      PromptKind.READ_BACK, YES_NO)  # fmt: skip
            return
        put_down(draft)
        draft.set(misses=draft.check.misses if draft.check.open else 0)
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
        _ask_missed(draft, question, missed)


def _ask_missed(draft: Draft, question: Question, missed: bool) -> None:
    check = draft.check
    if missed and check.lost >= MOST_LOST:
        _wait(draft, question)
    elif missed and question.key in check.answers and check.misses >= MOST_MISSES:
        # what stands is what they wanted to change: to move on would leave a pass that its own caretaker doubts
        draft.say("Tap it, please, or say skip to leave it as it was.")
        draft.prompt(ask(check, question))
    elif missed and check.misses >= MOST_MISSES:
        _put_off(draft, question)
    else:
        if missed and question.key in check.unheard:
            draft.say(question.help)
        draft.prompt(ask(check, question))


def _put_off(draft: Draft, question: Question) -> None:
    """Move on from what was not understood: it comes again at the end; not understood there either, it stays open."""
    check, key = draft.check, question.key
    again = key in check.put_off
    if again:
        draft.set(left=(*check.left, key), put_off=tuple(other for other in check.put_off if other != key))
    else:
        draft.set(put_off=(*check.put_off, key))
    draft.set(unheard=tuple(dict.fromkeys((*check.unheard, key))), lost=check.lost + 1, misses=0, last=())
    draft.set(redo=tuple(other for other in check.redo if other != key))
    draft.enter(EntryKind.SKIPPED, question=key, again=again, why=NOT_UNDERSTOOD)
    draft.prompt(unheard_line(draft.check, question, again))
    following = _next(draft.check)
    if following is None or draft.check.lost < MOST_LOST:
        go_on(draft)
        return
    draft.set(open=following.key, stage=Stage.ASKING, refused=())
    _wait(draft, following)


def _wait(draft: Draft, question: Question) -> None:
    """Ask on only when somebody can be heard: silence must not race through a door."""
    draft.say("I cannot hear you, so I wait here. Tap or type an answer, or pause.")
    prompt = ask(draft.check, question)
    draft.prompt(Prompt(**{**prompt.model_dump(), "taps": (*prompt.taps, "pause check")}))


def _ends(check: Check) -> tuple[str, ...]:
    return ("finish check", "carry on", "go back") if check.unanswered else FINISH


def put_down(draft: Draft) -> None:
    """Go on without what waited for a yes, and stand where the talk stood before: at the open question, or at the
    summary. A fault among it stays as reported."""
    draft.check = put_aside(draft.check)


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
    tell_missed(draft, left[0])
    draft.say(_read_back_line(check, left[0]), PromptKind.READ_BACK, YES_NO)


def _read_back_line(check: Check, heard: Heard) -> str:
    whys = {said.hearing.why for said in heard.said if said.hearing}
    if MORE_WAS_SAID in whys:
        return f"“{heard.words}”, and more that I did not catch. {heard_words(check, heard)}, and nothing else?"
    tap = " Please tap." if any(whys) else ""
    return f"{heard_words(check, heard)}. Right?{tap}"


def take_answers(draft: Draft, heard: Heard, confirmed: bool) -> None:
    """Enter every answer of one breath that can be, say back what matters, go on."""
    taken: list[str] = []
    refused: list[str] = []
    put_down(draft)
    told = [said for said in heard.said if said.added and stands(draft.check, said)]
    for said in told:
        draft.say(f"{said_words(said, draft.check.checklist)}. That stands already.")
        draft.settle_reports(said.question or "", draft.check.answers[said.question or ""].value, confirmed)
    for said in [each for each in heard.said if each not in told]:
        if said.added and not is_fault(draft.check, said):
            refused.append(otherwise(draft.check, said))
            told.append(said)
        elif draft.answer(said, heard, confirmed) is None:
            refused.append(f"{said_words(said, draft.check.checklist)}: that cannot be. Nothing was entered for it.")
        else:
            taken.append(said.question or "")
    if not taken:
        ask_again(draft, " ".join(refused), missed=not told)
        return
    again = tuple(key for key in taken if not_whole(draft.check, key))
    redo = (*again, *(key for key in draft.check.redo if key not in again))
    draft.set(last=tuple(taken), misses=0, lost=0, refused=(), redo=redo, let_go=None)
    if not nothing_seen(heard):
        draft.read_back(tuple(taken))
    for line in refused:
        draft.say(line)
    if not confirmed:
        tell_missed(draft, heard)
    go_on(draft)


def stands(check: Check, said: Said) -> bool:
    """Whether the question has this very answer."""
    answer = check.answers.get(said.question or "")
    return answer is not None and answer.value == said.means


def sum_up(draft: Draft) -> None:
    """All defects and everything not checked; then what was reported and not confirmed is asked about, one by one; then
    the one question whether to sign."""
    put_down(draft)
    draft.set(stage=Stage.SUMMARY, open=None)
    check = draft.check
    for line in _summary_lines(check):
        draft.say(line, PromptKind.SUMMARY)
    whole = result_words(judgement(check))
    if check.reported:
        draft.say(f"Door {check.door.number}: {whole}.", PromptKind.SUMMARY)
        _ask_report(draft, check.reported[0])
        return
    rest = ", carry on to answer the rest" if check.unanswered else ""
    draft.say(f"Door {check.door.number}: {whole}. Say finish check to sign{rest}.", PromptKind.SUMMARY, _ends(check))


def _ask_report(draft: Draft, report: Report) -> None:
    draft.set(stage=Stage.CONFIRMING, pending=as_asked(draft.check, report), misses=0)
    told = heard_words(draft.check, as_asked(draft.check, report))
    draft.say(f"You reported this, and I have no yes or no to it. {told}. Right?", PromptKind.READ_BACK, YES_NO)


def judgement(check: Check) -> Judgement:
    """What the rules say of the whole door, as far as it was answered. A part of which a fault is reported and not
    confirmed counts as not seen."""
    doubted = tuple(dict.fromkeys(each.question for each in check.reported))
    values = {key: answer.value for key, answer in check.answers.items()}
    return judge_door(check.door, values, check.checklist, doubted)


def _summary_lines(check: Check) -> list[str]:
    """Findings by how soon, the gravest first; what they make together; what was made good; what was not checked; what
    the door's own evidence allowed; which rules the organisation made milder."""
    whole, found = judgement(check), [(key, each) for key in _in_order(check) for each in check.findings[key]]
    lines = []
    for severity in reversed(Severity):
        told = [_told(check, key, each) for key, each in found if each.severity is severity and not each.made_good]
        told += [f"{each.what}" for each in whole.together if each.severity is severity]
        lines += [f"{severity.capitalize()}: {'; '.join(told)}."] if told else []
    mended = [_told(check, key, each) for key, each in found if each.made_good]
    lines += [f"Made good: {'; '.join(mended)}."] if mended else []
    unseen = not_seen(check)
    lines += [f"Not checked: {'; '.join(unseen)}."] if unseen else []
    lines += whole.evidence
    return [*lines, *([f"Made milder by your own rules: {'; '.join(whole.loosened)}."] if whole.loosened else [])]


def _told(check: Check, key: str, finding: Finding) -> str:
    return f"{part_name(check.checklist.ask(key), check.checklist)}: {finding.what}"


def not_seen(check: Check) -> list[str]:
    """Parts that this visit leaves unknown: not reached, skipped, could not be checked, not measured. Register fields
    do not count: they are not parts that failed to be looked at."""
    out = []
    reported = [check.checklist.ask(each.question) for each in check.reported]
    others = [each for each in reported if each not in check.questions]
    for question in (*check.questions, *others):
        answer = check.answers.get(question.key)
        name = part_name(question, check.checklist)
        if question in reported:
            told = "; ".join(said_words(each.said, check.checklist) for each in reports_at(check, question.key))
            out.append(f"{told} (reported, not confirmed)")
        elif question.component == "register":
            continue
        elif answer is None:
            lost = question.key in check.unheard and question.key in (*check.put_off, *check.left)
            out.append(f"{name} ({NOT_UNDERSTOOD})" if lost else name)
        elif unseen(answer.value, check.findings[question.key]):
            reason = _why_unseen(answer.value)
            out.append(f"{name} ({reason})" if reason else name)
    return out


def _why_unseen(value: Value) -> str | None:
    match value:
        case NotMeasured():
            return "not measured"
        case Measure(unmeasured=edges):
            return f"not measured: {edges_words(edges)}"
        case _:
            return getattr(value, "reason", None)


def _in_order(check: Check) -> list[str]:
    return [question.key for question in check.checklist.question if question.key in check.answers]


def check_verdict(check: Check) -> Verdict:
    """The whole door: the worst of its findings; UNKNOWN while any part was not seen."""
    found = [finding.verdict for finding in judgement(check).findings]
    return worst([*found, *([Verdict.UNKNOWN] if not_seen(check) else [])])


def options_text(check: Check) -> str:
    return options(check.asked)
