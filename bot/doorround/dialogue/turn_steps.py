"""Steps common to all turns: ask the next question, ask again, read back, accept answers."""

from __future__ import annotations

from doorround.dialogue.immovable_door import drop_barred, passes_untested, tell_untested
from doorround.dialogue.measuring import not_whole
from doorround.dialogue.missed_playback import tell_missed
from doorround.dialogue.prompts import ask, unheard_line
from doorround.dialogue.readback import heard_words, nothing_seen, otherwise, read_back_line
from doorround.dialogue.register_doubts import ask_what_is_there
from doorround.dialogue.summing_up import ends, sum_up
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.unconfirmed_faults import is_fault, put_aside, reports_at, unsees
from doorround.dialogue.unread_words import without_reworded
from doorround.domain.check import Check, Prompt, PromptKind, Stage
from doorround.domain.checklist import Question
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By, Heard, Said
from doorround.domain.parts import part_name
from doorround.messages import asking, buttons, confirming, replying, summing_up
from doorround.messages.answers import said_words, value_words
from doorround.messages.buttons import YES_NO

# After this many misses in a row a question is put off to the end; after as many there, it is left
# open.
MAX_MISSES = 2
_WHILE_PAUSED = (buttons.CARRY_ON, buttons.ANOTHER_DOOR, buttons.CANCEL)
# After this many questions put off in a row without an answer, nobody is present or audible.
MAX_LOST = 3


def go_on(builder: TurnBuilder) -> None:
    """Ask the next question: first those to be asked again, then in walking order, skipped ones
    last; then sum up.
    """
    drop_barred(builder)
    check = builder.check
    question = _next(builder.check)
    if question is None:
        sum_up(builder)
        return
    _say_what_comes_back(builder, question)
    if question.key != check.open:
        builder.set(misses=0, refused=())
    put_down(builder)
    builder.set(open=question.key, stage=Stage.ASKING)
    if question.side == "here" and _gone_through(check):
        builder.say(asking.back_to(check.checklist.faces[0]))
    for report in reports_at(check, question.key):
        builder.say(asking.reported_before(said_words(report.said, check.checklist)))
    if question.key in check.answers and not not_whole(check, question.key):
        before = value_words(question, check.answers[question.key].value, check.checklist)
        builder.say(asking.answered_before(part_name(question, check.checklist), before))
    builder.prompt(ask(builder.check, question))


def _gone_through(check: Check) -> bool:
    """Whether the caretaker is on the other side: the last answer about a face was about that, and
    was not told from here: "scratched on both sides".
    """
    if check.open and check.checklist.ask(check.open).side == "here":
        return False
    sides = [check.checklist.ask(key).side for key in check.trail]
    return next((side for side in reversed(sides) if side), None) == "beyond"


def _say_what_comes_back(builder: TurnBuilder, question: Question) -> None:
    """Say that postponed questions are coming again, before the first of them only."""
    check = builder.check
    if check.redo:
        return
    if question.key not in check.put_off:
        builder.set(back_to="")
        return
    missed = question.key in check.unheard
    line = asking.BACK_TO_MISSED if missed else asking.BACK_TO_SKIPPED
    if line != check.back_to and (check.open is None or check.open not in check.put_off):
        builder.say(line)
        builder.set(back_to=line)


def _next(check: Check) -> Question | None:
    waiting = [check.checklist.ask(key) for key in check.redo] or list(check.unanswered)
    return waiting[0] if waiting else None


def ask_again(builder: TurnBuilder, why: str, *, missed: bool = True) -> None:
    """Repeat what is open, with help; after a second miss in a row, put it off.

    This answers nothing.
    """
    if missed:
        builder.set(misses=builder.check.misses + 1)
    check, unconfirmed = builder.check, False
    if check.stage is Stage.CONFIRMING and check.pending:
        if check.misses < MAX_MISSES:
            line = confirming.yes_or_no(why, heard_words(check, check.pending))
            builder.say(line, PromptKind.READ_BACK, YES_NO)
            return
        unconfirmed = _give_up_read_back(builder, check.pending)
        missed, check = missed and unconfirmed, builder.check
    if why:
        builder.say(why)
    if check.stage is Stage.PAUSED:
        builder.say(asking.IS_PAUSED, taps=_WHILE_PAUSED)
    elif check.stage is Stage.SUMMARY:
        line = summing_up.at_summary(more=bool(check.unanswered))
        builder.say(line, PromptKind.SUMMARY, ends(check))
    elif check.stage is Stage.CANCELLING:
        builder.say(asking.CANCEL_YES_OR_NO, PromptKind.READ_BACK, YES_NO)
    elif question := check.asked:
        _ask_missed(builder, question, missed, unconfirmed)


def _give_up_read_back(builder: TurnBuilder, pending: Heard) -> bool:
    """Close a read-back that got neither a yes nor a no. Returns whether it was about the open
    question. If not, it is dropped, the bot says so, and the open question has no miss.
    """
    words, reported = heard_words(builder.check, pending), len(builder.check.reported)
    put_down(builder)
    check = builder.check
    if check.open is not None and check.open in [said.question for said in pending.said]:
        return True
    builder.set(misses=0)
    if len(check.reported) == reported:  # otherwise the bot says that it is reported
        builder.say(confirming.given_up(words))
    return False


def _ask_missed(builder: TurnBuilder, question: Question, missed: bool, unconfirmed: bool) -> None:
    """unconfirmed: its answer was read back, and got neither a yes nor a no."""
    check = builder.check
    if missed and check.lost >= MAX_LOST:
        _wait(builder, question)
    elif missed and question.key in check.answers and check.misses >= MAX_MISSES:
        # the caretaker wanted to change this answer: moving on would leave a pass that they doubt
        builder.say(asking.TAP_OR_SKIP)
        builder.prompt(ask(check, question))
    elif missed and check.misses >= MAX_MISSES:
        _put_off(builder, question, unconfirmed)
    else:
        if missed and question.key in check.unheard:
            builder.say(question.help)
        builder.prompt(ask(check, question))


def _put_off(builder: TurnBuilder, question: Question, unconfirmed: bool) -> None:
    """Put a question off to the end after misses; after misses there too, leave it open."""
    check = builder.check
    key = question.key
    again = key in check.put_off
    if again:
        builder.set(
            left=(*check.left, key), put_off=tuple(other for other in check.put_off if other != key)
        )
    else:
        builder.set(put_off=(*check.put_off, key))
    builder.set(
        unheard=tuple(dict.fromkeys((*check.unheard, key))), lost=check.lost + 1, misses=0, last=()
    )
    builder.set(redo=tuple(other for other in check.redo if other != key))
    builder.enter(EntryKind.SKIPPED, question=key, again=again, why=replying.NOT_UNDERSTOOD)
    builder.prompt(unheard_line(builder.check, question, again, unconfirmed))
    following = _next(builder.check)
    if following is None or builder.check.lost < MAX_LOST:
        go_on(builder)
        return
    builder.set(open=following.key, stage=Stage.ASKING, refused=())
    _wait(builder, following)


def _wait(builder: TurnBuilder, question: Question) -> None:
    """Wait with the question until somebody responds: silence must not skip through a door."""
    builder.say(asking.NOBODY_HEARD if builder.by is By.VOICE else asking.NOT_FOLLOWED)
    prompt = ask(builder.check, question)
    builder.prompt(Prompt(**{**prompt.model_dump(), "taps": (*prompt.taps, buttons.PAUSE)}))


def put_down(builder: TurnBuilder) -> None:
    """Close the read-back and return to the open question or the summary. A fault that was waiting
    is kept as reported.
    """
    builder.check = put_aside(builder.check)


def confirm(builder: TurnBuilder, guesses: tuple[Heard, ...]) -> None:
    """Read the best guess back and wait for a yes. Guesses refused before are not offered again."""
    check = builder.check
    best = guesses[0].said if guesses else ()
    if best and all(stands(check, said) and is_fault(check, said) for said in best):
        words = heard_words(check, guesses[0])
        ask_again(builder, confirming.stands_already(words), missed=False)
        return
    if check.stage in (Stage.CONFIRMING, Stage.CANCELLING):
        ask_again(builder, replying.NOT_SURE_HEARD)
        return
    left = tuple(
        guess
        for guess in guesses
        if guess.by is not By.VOICE or heard_words(check, guess) not in check.refused
    )
    if not left or check.stage is Stage.PAUSED:
        ask_again(builder, replying.NOT_SURE_SAID)
        return
    builder.set(stage=Stage.CONFIRMING, pending=left[0], beside=left[1:])
    tell_missed(builder, left[0])
    builder.say(read_back_line(check, left[0]), PromptKind.READ_BACK, YES_NO)


def take_answers(
    builder: TurnBuilder, heard: Heard, confirmed: bool, read_back: bool = False
) -> None:
    """Enter all valid answers of one utterance, say each back in a word or two, and go on.

    read_back: they have just been read back, so they are not repeated.
    """
    taken: list[str] = []
    refused: list[str] = []
    free = not builder.check.must_not_move
    at_end = builder.check.open is None
    stage = builder.check.stage
    put_down(builder)
    unchanged = _say_unchanged(builder, heard, confirmed)
    for said in [each for each in heard.said if each not in unchanged]:
        if (said.added and not is_fault(builder.check, said)) or unsees(builder.check, said):
            refused.append(otherwise(builder.check, said))
            unchanged.append(said)
        elif why_not := _not_entered(builder, said, heard, confirmed):
            words = said_words(said, builder.check.checklist)
            refused.append(confirming.nothing_entered(words, why_not))
        else:
            taken.append(said.question or "")
    if not taken:
        ask_again(builder, " ".join(refused), missed=not unchanged)
        return
    builder.check = without_reworded(builder.check, stage, taken)
    again = tuple(key for key in taken if not_whole(builder.check, key))
    redo = (*again, *(key for key in builder.check.redo if key not in again))
    builder.set(last=tuple(taken), misses=0, lost=0, refused=(), redo=redo, let_go=None)
    if not nothing_seen(heard):
        builder.read_back(tuple(taken), _agreed(builder.check, heard) if read_back else ())
    ask_what_is_there(builder, tuple(taken))
    if free and builder.check.must_not_move:
        tell_untested(builder)
    for line in refused:
        builder.say(line)
    if not confirmed:
        tell_missed(builder, heard)
    (_back_to_end if at_end else go_on)(builder)


def _back_to_end(builder: TurnBuilder) -> None:
    """After an answer at the summary, return to the summary, as nobody asked for the remaining
    questions; but first ask again what that answer left open.
    """
    drop_barred(builder)
    if builder.check.redo:
        go_on(builder)
    else:
        sum_up(builder)


def _say_unchanged(builder: TurnBuilder, heard: Heard, confirmed: bool) -> list[Said]:
    """Answers that are in force already: they change nothing, and the bot says so."""
    unchanged = [said for said in heard.said if said.added and stands(builder.check, said)]
    for said in unchanged:
        builder.say(confirming.stands_already(said_words(said, builder.check.checklist)))
        key = said.question or ""
        builder.settle_reports(key, builder.check.answers[key].value, confirmed)
    return unchanged


def _not_entered(builder: TurnBuilder, said: Said, heard: Heard, confirmed: bool) -> str:
    """Enter one answer. Returns the reason if it cannot be entered, else ""."""
    if passes_untested(builder.check, said):
        return confirming.NOT_MOVED
    entered = builder.answer(said, heard, confirmed) is not None
    return "" if entered else confirming.THAT_CANNOT_BE


def _agreed(check: Check, heard: Heard) -> tuple[str, ...]:
    return tuple(said_words(said, check.checklist) for said in heard.said)


def stands(check: Check, said: Said) -> bool:
    """Whether this answer is already in force."""
    answer = check.answers.get(said.question or "")
    return answer is not None and answer.value == said.value
