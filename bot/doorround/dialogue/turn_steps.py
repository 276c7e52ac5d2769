"""The moves that every turn is made of: ask on, ask again, read back, take answers, sum up."""

from __future__ import annotations

from doorround.dialogue.check_summary import result_line, summary_lines
from doorround.dialogue.immovable_door import drop_barred, passes_untested, tell_untested
from doorround.dialogue.measuring import not_whole
from doorround.dialogue.missed_playback import tell_missed
from doorround.dialogue.prompts import ask, unheard_line
from doorround.dialogue.readback import heard_words, nothing_seen, otherwise, read_back_line
from doorround.dialogue.register_doubts import ask_what_is_there
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.unconfirmed_faults import as_asked, is_fault, put_aside, reports_at, unsees
from doorround.domain.check import Check, Prompt, PromptKind, Report, Stage
from doorround.domain.checklist import Question
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By, Heard, Said
from doorround.domain.parts import part_name
from doorround.domain.unnamed_faults import to_be_judged
from doorround.messages import asking, buttons, confirming, offering, replying, summing_up
from doorround.messages.answers import said_words, value_words
from doorround.messages.buttons import YES_NO
from doorround.messages.help import options

# A question not understood this often in a row is put off to the end; there, this often again, it
# is left open.
MAX_MISSES = 2
_WHILE_PAUSED = (buttons.CARRY_ON, buttons.ANOTHER_DOOR, buttons.CANCEL)
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
    _say_what_comes_back(draft, question)
    if question.key != check.open:
        draft.set(misses=0, refused=())
    put_down(draft)
    draft.set(open=question.key, stage=Stage.ASKING)
    if question.side == "here" and _gone_through(check):
        draft.say(asking.back_to(check.checklist.faces[0]))
    for report in reports_at(check, question.key):
        draft.say(asking.reported_before(said_words(report.said, check.checklist)))
    if question.key in check.answers and not not_whole(check, question.key):
        before = value_words(question, check.answers[question.key].value, check.checklist)
        draft.say(asking.answered_before(part_name(question, check.checklist), before))
    draft.prompt(ask(draft.check, question))


def _gone_through(check: Check) -> bool:
    """Whether one stands on the other side: the last answer about a face was of that."""
    sides = [check.checklist.ask(key).side for key in check.trail]
    return next((side for side in reversed(sides) if side), None) == "beyond"


def _say_what_comes_back(draft: TurnBuilder, question: Question) -> None:
    """That questions put off come again: before the first of them, not before each."""
    check = draft.check
    if check.redo:
        return
    if question.key not in check.put_off:
        draft.set(back_to="")
        return
    missed = question.key in check.unheard
    line = asking.BACK_TO_MISSED if missed else asking.BACK_TO_SKIPPED
    if line != check.back_to and (check.open is None or check.open not in check.put_off):
        draft.say(line)
        draft.set(back_to=line)


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
            line = confirming.yes_or_no(why, heard_words(check, check.pending))
            draft.say(line, PromptKind.READ_BACK, YES_NO)
            return
        put_down(draft)
        draft.set(misses=draft.check.misses if draft.check.open else 0)
        check = draft.check
    if why:
        draft.say(why)
    if check.stage is Stage.PAUSED:
        draft.say(asking.IS_PAUSED, taps=_WHILE_PAUSED)
    elif check.stage is Stage.SUMMARY:
        line = summing_up.at_summary(more=bool(check.unanswered))
        draft.say(line, PromptKind.SUMMARY, _ends(check))
    elif check.stage is Stage.CANCELLING:
        draft.say(asking.CANCEL_YES_OR_NO, PromptKind.READ_BACK, YES_NO)
    elif question := check.asked:
        _ask_missed(draft, question, missed)


def _ask_missed(draft: TurnBuilder, question: Question, missed: bool) -> None:
    check = draft.check
    if missed and check.lost >= MAX_LOST:
        _wait(draft, question)
    elif missed and question.key in check.answers and check.misses >= MAX_MISSES:
        # what stands is what they wanted to change: to move on would leave a pass that its own
        # caretaker doubts
        draft.say(asking.TAP_OR_SKIP)
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
    draft.enter(EntryKind.SKIPPED, question=key, again=again, why=replying.NOT_UNDERSTOOD)
    draft.prompt(unheard_line(draft.check, question, again))
    following = _next(draft.check)
    if following is None or draft.check.lost < MAX_LOST:
        go_on(draft)
        return
    draft.set(open=following.key, stage=Stage.ASKING, refused=())
    _wait(draft, following)


def _wait(draft: TurnBuilder, question: Question) -> None:
    """Ask on only when somebody can be heard: silence must not race through a door."""
    draft.say(asking.NOBODY_HEARD if draft.by is By.VOICE else asking.NOT_FOLLOWED)
    prompt = ask(draft.check, question)
    draft.prompt(Prompt(**{**prompt.model_dump(), "taps": (*prompt.taps, buttons.PAUSE)}))


def _ends(check: Check) -> tuple[str, ...]:
    rest = (buttons.CARRY_ON,) if check.unanswered else ()
    return (buttons.FINISH, *rest, buttons.GO_BACK)


def put_down(draft: TurnBuilder) -> None:
    """Go on without what waited for a yes, and stand where the talk stood before: at the open
    question, or at the summary. A fault among it stays as reported.
    """
    draft.check = put_aside(draft.check)


def confirm(draft: TurnBuilder, guesses: tuple[Heard, ...]) -> None:
    """Read the best guess back and wait for a yes. What was refused before is not offered again."""
    check = draft.check
    told = guesses[0].said if guesses else ()
    if told and all(stands(check, said) and is_fault(check, said) for said in told):
        words = heard_words(check, guesses[0])
        ask_again(draft, confirming.stands_already(words), missed=False)
        return
    if check.stage in (Stage.CONFIRMING, Stage.CANCELLING):
        ask_again(draft, replying.NOT_SURE_HEARD)
        return
    left = [
        guess
        for guess in guesses
        if guess.by is not By.VOICE or heard_words(check, guess) not in check.refused
    ]
    if not left or check.stage is Stage.PAUSED:
        ask_again(draft, replying.NOT_SURE_SAID)
        return
    draft.set(stage=Stage.CONFIRMING, pending=left[0])
    tell_missed(draft, left[0])
    draft.say(read_back_line(check, left[0]), PromptKind.READ_BACK, YES_NO)


def take_answers(
    draft: TurnBuilder, heard: Heard, confirmed: bool, read_back: bool = False
) -> None:
    """Enter every answer of one breath that can be, say each back in a word or two, go on.

    read_back: they were said back just before, so that they are not said twice.
    """
    taken: list[str] = []
    refused: list[str] = []
    free = not draft.check.must_not_move
    put_down(draft)
    told = _told_again(draft, heard, confirmed)
    for said in [each for each in heard.said if each not in told]:
        if (said.added and not is_fault(draft.check, said)) or unsees(draft.check, said):
            refused.append(otherwise(draft.check, said))
            told.append(said)
        elif why_not := _not_entered(draft, said, heard, confirmed):
            words = said_words(said, draft.check.checklist)
            refused.append(confirming.nothing_entered(words, why_not))
        else:
            taken.append(said.question or "")
    if not taken:
        ask_again(draft, " ".join(refused), missed=not told)
        return
    again = tuple(key for key in taken if not_whole(draft.check, key))
    redo = (*again, *(key for key in draft.check.redo if key not in again))
    draft.set(last=tuple(taken), misses=0, lost=0, refused=(), redo=redo, let_go=None)
    if draft.check.open is None:
        draft.set(unread_at_end=())
    if not nothing_seen(heard):
        draft.read_back(tuple(taken), _agreed(draft.check, heard) if read_back else ())
    ask_what_is_there(draft, tuple(taken))
    if free and draft.check.must_not_move:
        tell_untested(draft)
    for line in refused:
        draft.say(line)
    if not confirmed:
        tell_missed(draft, heard)
    go_on(draft)


def _told_again(draft: TurnBuilder, heard: Heard, confirmed: bool) -> list[Said]:
    """What was said of parts that have just that answer: it moves nothing, and is told so."""
    told = [said for said in heard.said if said.added and stands(draft.check, said)]
    for said in told:
        draft.say(confirming.stands_already(said_words(said, draft.check.checklist)))
        key = said.question or ""
        draft.settle_reports(key, draft.check.answers[key].value, confirmed)
    return told


def _not_entered(draft: TurnBuilder, said: Said, heard: Heard, confirmed: bool) -> str:
    """Enter one answer; why it could not be, else ""."""
    if passes_untested(draft.check, said):
        return confirming.NOT_MOVED
    entered = draft.answer(said, heard, confirmed) is not None
    return "" if entered else confirming.THAT_CANNOT_BE


def _agreed(check: Check, heard: Heard) -> tuple[str, ...]:
    return tuple(said_words(said, check.checklist) for said in heard.said)


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
    whole = result_line(check)
    if check.reported:
        draft.say(summing_up.door_result(check.door.number, whole), PromptKind.SUMMARY)
        _ask_report(draft, check.reported[0])
        return
    line = summing_up.sign_or_not(check.door.number, whole, more=bool(check.unanswered))
    draft.say(line, PromptKind.SUMMARY, _ends(check))


def _ask_report(draft: TurnBuilder, report: Report) -> None:
    draft.set(stage=Stage.CONFIRMING, pending=as_asked(draft.check, report), misses=0)
    if to_be_judged(report.said.value):
        question = draft.check.checklist.ask(report.question)
        part = part_name(question, draft.check.checklist)
        text = offering.is_it_a_fault(report.heard.words, part)
    else:
        text = confirming.reported_right(heard_words(draft.check, as_asked(draft.check, report)))
    draft.say(text, PromptKind.READ_BACK, YES_NO)


def options_text(check: Check) -> str:
    return options(check.asked)
