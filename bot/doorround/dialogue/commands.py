"""The words that work at every question."""

from __future__ import annotations

from collections.abc import Callable

from doorround.dialogue.check_summary import how_far
from doorround.dialogue.closing_clock import let_go, shut
from doorround.dialogue.ending import ask_to_cancel, finish, settle_cancelling
from doorround.dialogue.invitation import invited
from doorround.dialogue.missed_playback import play_missed
from doorround.dialogue.offering import choose, none_of_them, tell_fault
from doorround.dialogue.prompts import ask
from doorround.dialogue.readback import answered_words
from doorround.dialogue.register_change import change_register
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import (
    ask_again,
    confirm,
    go_on,
    options_text,
)
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import Heard, Said
from doorround.domain.parts import part_name
from doorround.domain.values import CannotCheck, Command, Word
from doorround.messages import asking, buttons, noting, replying
from doorround.messages.help import full_help

AT_PAUSE = (Word.RESUME, Word.CANCEL, Word.ANOTHER_DOOR, Word.LEFT, Word.ASIDE)
STANDS_ASIDE = (Word.ASIDE, Word.LEFT)
"""These answer somebody's question; what the bot asked before stays open."""
MAX_PARTS = 8
"""Parts that are left, named one by one; of more the first."""


def obey(draft: TurnBuilder, command: Command, heard: Heard) -> None:
    """Carry out one command. While a check is paused only AT_PAUSE do anything."""
    if draft.check.stage is Stage.PAUSED and command.word not in AT_PAUSE:
        ask_again(draft, "", missed=False)
        return
    if draft.check.stage is Stage.CANCELLING and command.word not in STANDS_ASIDE:
        settle_cancelling(draft, command)
        return
    # a command was understood, so somebody is there
    draft.set(misses=0, lost=0)
    _COMMANDS[command.word](draft, command, heard)


def _repeat(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    for prompt in draft.check.said:
        draft.prompt(prompt)


def _play(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Play what was not understood, then ask on; a read-back goes on waiting."""
    ask_again(draft, "" if play_missed(draft) else replying.NOTHING_TO_PLAY, missed=False)


def _back(draft: TurnBuilder, command: Command, heard: Heard) -> None:
    """Reopen the answer before the open question; said again, the one before that."""
    trail = draft.check.trail
    place = trail.index(draft.check.open) if draft.check.open in trail else len(trail)
    if place == 0:
        ask_again(draft, replying.FIRST_QUESTION, missed=False)
        return
    draft.set(redo=(trail[place - 1],))
    go_on(draft)


def _skip(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    check = draft.check
    question = check.asked
    if question is None:
        ask_again(draft, replying.NOTHING_TO_SKIP, missed=False)
        return
    draft.set(redo=tuple(key for key in check.redo if key != question.key))
    draft.set(unheard=tuple(key for key in check.unheard if key != question.key))
    if question.key in check.answers:
        draft.say(replying.LEFT_AS_IT_WAS)
    elif question.key in check.put_off:
        draft.set(
            left=(*check.left, question.key),
            put_off=tuple(k for k in check.put_off if k != question.key),
        )
        draft.enter(EntryKind.SKIPPED, question=question.key, again=True)
        draft.say(replying.left_unanswered(part_name(question, check.checklist)))
    else:
        draft.set(put_off=(*check.put_off, question.key))
        draft.enter(EntryKind.SKIPPED, question=question.key, again=False)
        draft.say(replying.SKIPPED)
    draft.set(last=())
    go_on(draft)


def _help(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    question = draft.check.asked
    if question is None:
        ask_again(draft, "", missed=False)
        return
    draft.say(full_help(question))
    prompt = ask(draft.check, question)
    text = prompt.text if invited(draft.check) else question.terse
    draft.prompt(prompt.model_copy(update={"text": text}))


def _options(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    draft.say(options_text(draft.check))
    ask_again(draft, "", missed=False)


def _change(draft: TurnBuilder, command: Command, _heard: Heard) -> None:
    """Ask the questions of one part again; what was said before stands until it is answered
    anew.
    """
    if change_register(draft, command.about or ""):
        return
    check = draft.check
    part = [q.key for q in check.questions if q.component == command.about]
    keys = tuple(key for key in part if key in check.answers)
    if keys or any(key in (*check.left, *check.put_off) for key in part):
        left = tuple(key for key in check.left if key not in part)
        draft.set(
            redo=keys, left=left, put_off=tuple(key for key in check.put_off if key not in part)
        )
        go_on(draft)
        return
    name = check.checklist.part(command.about or "").name.lower()
    ask_again(draft, replying.no_answer_yet(name), missed=False)


def _undo(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Take the last turn's answers back, and ask them again."""
    keys = [key for key in draft.check.last if key in draft.check.answers]
    if not keys:
        ask_again(draft, replying.NOTHING_TO_UNDO, missed=False)
        return
    told = "; ".join(answered_words(draft.check, key) for key in keys)
    for key in keys:
        draft.withdraw(key)
    again = (*keys, *(key for key in draft.check.redo if key not in keys))
    draft.set(last=(), redo=again, misses=0, refused=())
    draft.say(replying.taken_back(told))
    go_on(draft)


def _pause(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    draft.set(stage=Stage.PAUSED)
    draft.enter(EntryKind.PAUSED)
    taps = (buttons.CARRY_ON, buttons.ANOTHER_DOOR)
    draft.say(replying.paused(draft.check.door.number), taps=taps)


def _another_door(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Put the check aside as it stands, so that another may begin here."""
    if draft.check.stage is not Stage.PAUSED:
        draft.set(stage=Stage.PAUSED)
        draft.enter(EntryKind.PAUSED)
    draft.aside = True
    draft.say(replying.put_aside(draft.check.door.number, *how_far(draft.check)))


def _resume(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    if draft.check.stage is Stage.SUMMARY and draft.check.unanswered:
        go_on(draft)
        return
    if draft.check.stage is not Stage.PAUSED:
        ask_again(draft, "", missed=False)
        return
    draft.enter(EntryKind.RESUMED)
    draft.set(stage=Stage.ASKING, misses=0)
    draft.say(replying.resumed(draft.check.door.number))
    go_on(draft)


def _note(draft: TurnBuilder, command: Command, heard: Heard) -> None:
    if command.text is None:
        draft.set(stage=Stage.NOTING)
        draft.say(asking.SAY_NOTE, taps=(buttons.CANCEL,))
        return
    draft.enter(EntryKind.NOTED, text=command.text, audio_sha256=heard.audio_sha256)
    draft.say(noting.noted(command.text))
    ask_again(draft, "", missed=False)


def _reading(draft: TurnBuilder, command: Command, _heard: Heard) -> None:
    """Whether this person has questions read aloud; a messenger does that, not the talk."""
    aloud = command.word is Word.READ_ALOUD
    draft.enter(EntryKind.READING_SET, aloud=aloud)
    ask_again(draft, replying.READING if aloud else replying.NOT_READING, missed=False)


def _left(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """How far the check has come, and what is left of it: so many parts at a time; asked again,
    the next of them.
    """
    check = draft.check
    left = [*check.unanswered, *map(check.checklist.ask, check.left)]
    parts = list(dict.fromkeys(part_name(each, check.checklist) for each in left))
    count, named = check.left_from
    begin = named if count == len(parts) and named < count else 0
    shown = parts[begin : begin + MAX_PARTS]
    draft.set(left_from=(len(parts), begin + len(shown)))
    later = len(parts) - begin - len(shown)
    ask_again(draft, replying.progress(*how_far(check), shown, later), missed=False)


def _aside(draft: TurnBuilder, command: Command, _heard: Heard) -> None:
    """What was said is answered, and answers nothing itself."""
    ask_again(draft, command.text or "", missed=False)


def _stray(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    ask_again(draft, replying.NOTHING_TO_CONFIRM, missed=False)


def _everything(draft: TurnBuilder, _command: Command, _heard: Heard) -> None:
    ask_again(draft, replying.EACH_PART, missed=False)


def _no_access(draft: TurnBuilder, command: Command, heard: Heard) -> None:
    """The whole door cannot be looked at: every open question is so entered, after a yes.

    Never a pass.
    """
    means = CannotCheck(reason=command.text)
    said = tuple(
        Said(question=each.key, value=means, phrase=heard.words) for each in draft.check.unanswered
    )
    if not said:
        ask_again(draft, replying.ALL_ANSWERED, missed=False)
        return
    confirm(draft, (heard.model_copy(update={"said": said}),))


_COMMANDS: dict[Word, Callable[[TurnBuilder, Command, Heard], None]] = {
    Word.REPEAT: _repeat,
    Word.PLAY: _play,
    Word.BACK: _back,
    Word.SKIP: _skip,
    Word.HELP: _help,
    Word.OPTIONS: _options,
    Word.CHANGE: _change,
    Word.UNDO: _undo,
    Word.PAUSE: _pause,
    Word.ANOTHER_DOOR: _another_door,
    Word.RESUME: _resume,
    Word.FINISH: finish,
    Word.CANCEL: ask_to_cancel,
    Word.NOTE: _note,
    Word.YES: _stray,
    Word.NO: _stray,
    Word.ALL_FINE: _everything,
    Word.NO_ACCESS: _no_access,
    Word.READ_ALOUD: _reading,
    Word.STOP_READING: _reading,
    Word.LET_GO: let_go,
    Word.SHUT: shut,
    Word.LEFT: _left,
    Word.ASIDE: _aside,
    Word.OWN_WORDS: tell_fault,
    Word.THAT_ONE: choose,
    Word.NONE_OF_THEM: none_of_them,
}
