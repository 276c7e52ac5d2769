"""The moves that every turn is made of: ask on, ask again, read back, take answers, sum up."""

from __future__ import annotations

from doorround.dialogue.check_summary import judgement, summary_lines
from doorround.dialogue.immovable_door import NOT_MOVED, drop_barred, passes_untested, tell_untested
from doorround.dialogue.measuring import not_whole
from doorround.dialogue.missed_playback import tell_missed
from doorround.dialogue.readback import heard_words, nothing_seen, otherwise, read_back_line
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.unconfirmed_faults import as_asked, is_fault, put_aside, reports_at
from doorround.dialogue.wording import (
    NOT_UNDERSTOOD,
    ask,
    options,
    result_words,
    said_words,
    unheard_line,
    value_words,
)
from doorround.domain.check import Check, Prompt, PromptKind, Report, Stage
from doorround.domain.checklist import Question
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import Heard, Said
from doorround.domain.parts import part_name

YES_NO = ("yes", "no")
FINISH = ("finish check", "go back")
# A question not understood this often in a row is put off to the end; there, this often again, it
# is left open.
MAX_MISSES = 2
# So many questions put off in a row without one answer: nobody is there, or nobody can be heard.
MAX_LOST = 3


def go_on(draft: TurnBuilder) -> None:
    """Ask the next question: those to ask again first, then in the order walked, skipped ones last;
    then sum up.
    """
    drop_barred(draft)
    check = draft.check
    question = _next(draft.check)
    if question is None:
        sum_up(draft)
        return
    if (
        question.key in check.put_off
        and (check.open is None or check.open not in check.put_off)
        and not check.redo
    ):
        draft.say(
            "Back to what I did not understand."
            if question.key in check.unheard
            else "Back to what you skipped."
        )
    if question.key != check.open:
        draft.set(misses=0, refused=())
    put_down(draft)
    draft.set(open=question.key, stage=Stage.ASKING)
    for report in reports_at(check, question.key):
        draft.say(
            f"{said_words(report.said, check.checklist)}: you reported that, and I have no yes or"
            " no to it."
        )
    if question.key in check.answers and not not_whole(check, question.key):
        before = value_words(question, check.answers[question.key].value, check.checklist)
        draft.say(f"{part_name(question, check.checklist)}: you said {before}.")
    draft.prompt(ask(draft.check, question))


def _next(check: Check) -> Question | None:
    waiting = [check.checklist.ask(key) for key in check.redo] or list(check.unanswered)
    return waiting[0] if waiting else None


def ask_again(draft: TurnBuilder, why: str, *, missed: bool = True) -> None:
    """Repeat what is open, with help; missed a second time in a row, put it off.

    Nothing is answered by this.
    """
    if missed:
        draft.set(misses=draft.check.misses + 1)
    check = draft.check
    if check.stage is Stage.CONFIRMING and check.pending:
        if check.misses < MAX_MISSES:
            draft.say(
                f"{why} Tap or say yes or no: {heard_words(check, check.pending)}?".strip(),
                PromptKind.READ_BACK,
                YES_NO,
            )
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


def _ask_missed(draft: TurnBuilder, question: Question, missed: bool) -> None:
    check = draft.check
    if missed and check.lost >= MAX_LOST:
        _wait(draft, question)
    elif missed and question.key in check.answers and check.misses >= MAX_MISSES:
        # what stands is what they wanted to change: to move on would leave a pass that its own
        # caretaker doubts
        draft.say("Tap it, please, or say skip to leave it as it was.")
        draft.prompt(ask(check, question))
    elif missed and check.misses >= MAX_MISSES:
        _put_off(draft, question)
    else:
        if missed and question.key in check.unheard:
            draft.say(question.help)
        draft.prompt(ask(check, question))


def _put_off(draft: TurnBuilder, question: Question) -> None:
    """Move on from what was not understood: it comes again at the end; not understood there either,
    it stays open.
    """
    check = draft.check
    key = question.key
    again = key in check.put_off
    if again:
        draft.set(
            left=(*check.left, key), put_off=tuple(other for other in check.put_off if other != key)
        )
    else:
        draft.set(put_off=(*check.put_off, key))
    draft.set(
        unheard=tuple(dict.fromkeys((*check.unheard, key))), lost=check.lost + 1, misses=0, last=()
    )
    draft.set(redo=tuple(other for other in check.redo if other != key))
    draft.enter(EntryKind.SKIPPED, question=key, again=again, why=NOT_UNDERSTOOD)
    draft.prompt(unheard_line(draft.check, question, again))
    following = _next(draft.check)
    if following is None or draft.check.lost < MAX_LOST:
        go_on(draft)
        return
    draft.set(open=following.key, stage=Stage.ASKING, refused=())
    _wait(draft, following)


def _wait(draft: TurnBuilder, question: Question) -> None:
    """Ask on only when somebody can be heard: silence must not race through a door."""
    draft.say("I cannot hear you, so I wait here. Tap or type an answer, or pause.")
    prompt = ask(draft.check, question)
    draft.prompt(Prompt(**{**prompt.model_dump(), "taps": (*prompt.taps, "pause check")}))


def _ends(check: Check) -> tuple[str, ...]:
    return ("finish check", "carry on", "go back") if check.unanswered else FINISH


def put_down(draft: TurnBuilder) -> None:
    """Go on without what waited for a yes, and stand where the talk stood before: at the open
    question, or at the summary. A fault among it stays as reported.
    """
    draft.check = put_aside(draft.check)


def confirm(draft: TurnBuilder, guesses: tuple[Heard, ...]) -> None:
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
    draft.say(read_back_line(check, left[0]), PromptKind.READ_BACK, YES_NO)


def take_answers(draft: TurnBuilder, heard: Heard, confirmed: bool) -> None:
    """Enter every answer of one breath that can be, say back what matters, go on."""
    taken: list[str] = []
    refused: list[str] = []
    free = not draft.check.must_not_move
    put_down(draft)
    told = [said for said in heard.said if said.added and stands(draft.check, said)]
    for said in told:
        draft.say(f"{said_words(said, draft.check.checklist)}. That stands already.")
        draft.settle_reports(
            said.question or "", draft.check.answers[said.question or ""].value, confirmed
        )
    for said in [each for each in heard.said if each not in told]:
        cannot = NOT_MOVED if passes_untested(draft.check, said) else "that cannot be"
        if said.added and not is_fault(draft.check, said):
            refused.append(otherwise(draft.check, said))
            told.append(said)
        elif cannot == NOT_MOVED or draft.answer(said, heard, confirmed) is None:
            refused.append(
                f"{said_words(said, draft.check.checklist)}: {cannot}. Nothing was entered for it."
            )
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
    return answer is not None and answer.value == said.value


def sum_up(draft: TurnBuilder) -> None:
    """All defects and everything not checked; then what was reported and not confirmed is asked
    about, one by one; then the one question whether to sign.
    """
    put_down(draft)
    draft.set(stage=Stage.SUMMARY, open=None)
    check = draft.check
    for line in summary_lines(check):
        draft.say(line, PromptKind.SUMMARY)
    whole = result_words(judgement(check))
    if check.reported:
        draft.say(f"Door {check.door.number}: {whole}.", PromptKind.SUMMARY)
        _ask_report(draft, check.reported[0])
        return
    rest = ", carry on to answer the rest" if check.unanswered else ""
    draft.say(
        f"Door {check.door.number}: {whole}. Say finish check to sign{rest}.",
        PromptKind.SUMMARY,
        _ends(check),
    )


def _ask_report(draft: TurnBuilder, report: Report) -> None:
    draft.set(stage=Stage.CONFIRMING, pending=as_asked(draft.check, report), misses=0)
    told = heard_words(draft.check, as_asked(draft.check, report))
    draft.say(
        f"You reported this, and I have no yes or no to it. {told}. Right?",
        PromptKind.READ_BACK,
        YES_NO,
    )


def options_text(check: Check) -> str:
    return options(check.asked)
