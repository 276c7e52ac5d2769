"""The moves that every turn is made of: ask on, ask again, read back, take answers, sum up."""

from __future__ import annotations

from bot.dialogue.draft import Draft
from bot.dialogue.measuring import not_whole
from bot.dialogue.playing import tell_missed
from bot.dialogue.unmoved import NOT_MOVED, drop_barred, passes_untested, tell_untested, untested
from bot.dialogue.wording import (
    NOT_UNDERSTOOD,
    ask,
    options,
    result_words,
    said_words,
    unheard_line,
    value_words,
)
from bot.domain.check import Check, Prompt, PromptKind, Stage
from bot.domain.checklist import Question
from bot.domain.entries import EntryKind
from bot.domain.findings import Finding, Verdict, worst
from bot.domain.heard import Heard, Said
from bot.domain.judging.judge import unseen
from bot.domain.judging.measured import edges_words
from bot.domain.judging.severity import Severity
from bot.domain.judging.whole import Judgement, judge_door
from bot.domain.meaning import CannotCheck, Measure, NotMeasured, Value
from bot.domain.parts import part_name

YES_NO = ("yes", "no")
# So many parts that cannot be checked are named one by one; more in one line.
MOST_TOLD_APART = 2
FINISH = ("finish check", "go back")
# A question not understood this often in a row is put off to the end; there, this often again, it is left open.
MOST_MISSES = 2
# So many questions put off in a row without one answer: nobody is there, or nobody can be heard.
MOST_LOST = 3


def go_on(draft: Draft) -> None:
    """Ask the next question: those to ask again first, then in the order walked, skipped ones last; then sum up."""
    drop_barred(draft)
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
    draft.set(open=question.key, stage=Stage.ASKING)
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
    tell_missed(draft, left[0])
    doubtful = any(said.hearing and said.hearing.why for said in left[0].said)
    tap = " Please tap." if doubtful else ""
    draft.say(f"{heard_words(check, left[0])}. Right?{tap}", PromptKind.READ_BACK, YES_NO)


def heard_words(check: Check, heard: Heard) -> str:
    """Everything heard in one breath, as read back; in one line where nothing of the door can be checked."""
    if unseen := nothing_seen(heard):
        return f"All {len(heard.said)} open questions: {unseen}"
    return "; ".join(said_words(said, check.checklist) for said in heard.said)


def nothing_seen(heard: Heard) -> str:
    """ "not checked: no access" where that is all that is said of more than two questions; else ""."""
    means = heard.said[0].means
    if len(heard.said) <= MOST_TOLD_APART or not isinstance(means, CannotCheck):
        return ""
    if any(said.means != means for said in heard.said):
        return ""
    return f"not checked: {means.reason}" if means.reason else "not checked"


def take_answers(draft: Draft, heard: Heard, confirmed: bool) -> None:
    """Enter every answer of one breath that can be, say back what matters, go on."""
    taken: list[str] = []
    refused: list[str] = []
    free = not draft.check.must_not_move
    put_down(draft)
    told = [said for said in heard.said if said.added and stands(draft.check, said)]
    for said in told:
        draft.say(f"{said_words(said, draft.check.checklist)}. That stands already.")
    for said in (each for each in heard.said if each not in told):
        cannot = NOT_MOVED if passes_untested(draft.check, said) else "that cannot be"
        if cannot == NOT_MOVED or draft.answer(said, heard, confirmed) is None:
            refused.append(f"{said_words(said, draft.check.checklist)}: {cannot}. Nothing was entered for it.")
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
    if free and draft.check.must_not_move:
        tell_untested(draft)
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
    """All defects and everything not checked, then the one question whether to sign."""
    draft.set(stage=Stage.SUMMARY, open=None)
    check = draft.check
    for line in _summary_lines(check):
        draft.say(line, PromptKind.SUMMARY)
    whole = result_words(judgement(check))
    rest = ", carry on to answer the rest" if check.unanswered else ""
    draft.say(f"Door {check.door.number}: {whole}. Say finish check to sign{rest}.", PromptKind.SUMMARY, _ends(check))


def judgement(check: Check) -> Judgement:
    """What the rules say of the whole door, as far as it was answered."""
    return judge_door(check.door, {key: answer.value for key, answer in check.answers.items()}, check.checklist)


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
    unseen, barred = _unseen(check), untested(check)
    lines += [f"Not checked: {'; '.join(unseen)}."] if unseen else []
    lines += [f"Not tested, {NOT_MOVED}: {'; '.join(barred)}."] if barred else []
    lines += whole.evidence
    return [*lines, *([f"Made milder by your own rules: {'; '.join(whole.loosened)}."] if whole.loosened else [])]


def _told(check: Check, key: str, finding: Finding) -> str:
    return f"{part_name(check.checklist.ask(key), check.checklist)}: {finding.what}"


def not_seen(check: Check) -> list[str]:
    """Parts that this visit leaves unknown: not reached, skipped, could not be checked, not measured, not to be tried.
    Register fields do not count: they are not parts that failed to be looked at."""
    return [*_unseen(check), *(f"{part} ({NOT_MOVED})" for part in untested(check))]


def _unseen(check: Check) -> list[str]:
    out = []
    for question in check.questions:
        if question.component == "register":
            continue
        answer = check.answers.get(question.key)
        name = part_name(question, check.checklist)
        if answer is None:
            if check.barred(question):
                continue
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
