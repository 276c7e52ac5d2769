"""Commands that work at every question."""

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
from doorround.dialogue.turn_steps import ask_again, confirm, go_on
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import Heard, Said
from doorround.domain.parts import part_name
from doorround.domain.values import CannotCheck, Command, Word
from doorround.messages import asking, buttons, noting, replying
from doorround.messages.help import full_help, options

AT_PAUSE = (Word.RESUME, Word.CANCEL, Word.ANOTHER_DOOR, Word.LEFT, Word.ASIDE)
STANDS_ASIDE = (Word.ASIDE, Word.LEFT)
"""The bot answers these, and its own question stays open."""
MAX_PARTS = 8
"""Maximum number of remaining parts that are named at a time."""


def obey(builder: TurnBuilder, command: Command, heard: Heard) -> None:
    """Carry out one command. While a check is paused, only those in AT_PAUSE have an effect."""
    if builder.check.stage is Stage.PAUSED and command.word not in AT_PAUSE:
        ask_again(builder, "", missed=False)
        return
    if builder.check.stage is Stage.CANCELLING and command.word not in STANDS_ASIDE:
        settle_cancelling(builder, command)
        return
    # a command was understood, so somebody is present
    builder.set(misses=0, lost=0)
    _COMMANDS[command.word](builder, command, heard)


def _repeat(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    for prompt in builder.check.said:
        builder.prompt(prompt)


def _play(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Play what was not understood, then repeat the question; a read-back keeps waiting."""
    ask_again(builder, "" if play_missed(builder) else replying.NOTHING_TO_PLAY, missed=False)


def _back(builder: TurnBuilder, command: Command, heard: Heard) -> None:
    """Reopen the question answered before the open one; said again, the one before that."""
    trail = builder.check.trail
    place = trail.index(builder.check.open) if builder.check.open in trail else len(trail)
    if place == 0:
        ask_again(builder, replying.FIRST_QUESTION, missed=False)
        return
    builder.set(redo=(trail[place - 1],))
    go_on(builder)


def _skip(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    check = builder.check
    question = check.asked
    if question is None:
        ask_again(builder, replying.NOTHING_TO_SKIP, missed=False)
        return
    builder.set(redo=tuple(key for key in check.redo if key != question.key))
    builder.set(unheard=tuple(key for key in check.unheard if key != question.key))
    if question.key in check.answers:
        builder.say(replying.LEFT_AS_IT_WAS)
    elif question.optional or question.key in check.put_off:
        builder.set(
            left=(*check.left, question.key),
            put_off=tuple(k for k in check.put_off if k != question.key),
        )
        builder.enter(EntryKind.SKIPPED, question=question.key, again=True)
        part = part_name(question, check.checklist)
        builder.say(replying.left_unanswered(part, optional=question.optional))
    else:
        builder.set(put_off=(*check.put_off, question.key))
        builder.enter(EntryKind.SKIPPED, question=question.key, again=False)
        builder.say(replying.SKIPPED)
    builder.set(last=())
    go_on(builder)


def _help(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    question = builder.check.asked
    if question is None:
        ask_again(builder, "", missed=False)
        return
    builder.say(full_help(question))
    prompt = ask(builder.check, question)
    text = prompt.text if invited(builder.check) else question.terse
    builder.prompt(prompt.model_copy(update={"text": text}))


def _options(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    builder.say(options(builder.check.asked))
    ask_again(builder, "", missed=False)


def _change(builder: TurnBuilder, command: Command, _heard: Heard) -> None:
    """Ask the questions of one part again; their answers stay in force until there are new ones."""
    if change_register(builder, command.about or ""):
        return
    check = builder.check
    part = [q.key for q in check.questions if q.component == command.about]
    keys = tuple(key for key in part if key in check.answers)
    if keys or any(key in (*check.left, *check.put_off) for key in part):
        left = tuple(key for key in check.left if key not in part)
        builder.set(
            redo=keys, left=left, put_off=tuple(key for key in check.put_off if key not in part)
        )
        go_on(builder)
        return
    about = (command.about or "").partition(".")[0]
    name = check.checklist.part(about).name.lower()
    ask_again(builder, replying.no_answer_yet(name), missed=False)


def _undo(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Withdraw the last turn's answers and ask again."""
    keys = [key for key in builder.check.last if key in builder.check.answers]
    if not keys:
        ask_again(builder, replying.NOTHING_TO_UNDO, missed=False)
        return
    taken_back = "; ".join(answered_words(builder.check, key) for key in keys)
    stands = [
        key for key in keys if builder.check.checklist.ask(key).fills in builder.check.replaced
    ]
    for key in keys:
        builder.withdraw(key)
    again = [key for key in (*keys, *builder.check.redo) if key not in stands]
    builder.set(last=(), redo=tuple(dict.fromkeys(again)), misses=0, refused=())
    builder.say(replying.taken_back(taken_back))
    go_on(builder)


def _pause(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    builder.set(stage=Stage.PAUSED)
    builder.enter(EntryKind.PAUSED)
    taps = (buttons.CARRY_ON, buttons.ANOTHER_DOOR)
    builder.say(replying.paused(builder.check.door.number), taps=taps)


def _another_door(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Pause the check as it is, so that another can begin here."""
    if builder.check.stage is not Stage.PAUSED:
        builder.set(stage=Stage.PAUSED)
        builder.enter(EntryKind.PAUSED)
    builder.aside = True
    builder.say(replying.put_aside(builder.check.door.number, *how_far(builder.check)))


def _resume(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    if builder.check.stage is Stage.SUMMARY and builder.check.unanswered:
        go_on(builder)
        return
    if builder.check.stage is not Stage.PAUSED:
        ask_again(builder, "", missed=False)
        return
    builder.enter(EntryKind.RESUMED)
    builder.set(stage=Stage.ASKING, misses=0)
    builder.say(replying.resumed(builder.check.door.number))
    go_on(builder)


def _note(builder: TurnBuilder, command: Command, heard: Heard) -> None:
    if command.text is None:
        builder.set(stage=Stage.NOTING)
        builder.say(asking.SAY_NOTE, taps=(buttons.CANCEL,))
        return
    builder.enter(EntryKind.NOTED, text=command.text, audio_sha256=heard.audio_sha256)
    builder.say(noting.noted(command.text))
    ask_again(builder, "", missed=False)


def _reading(builder: TurnBuilder, command: Command, _heard: Heard) -> None:
    """Set whether this person's questions are read aloud, which the messenger does."""
    aloud = command.word is Word.READ_ALOUD
    builder.enter(EntryKind.READING_SET, aloud=aloud)
    ask_again(builder, replying.READING if aloud else replying.NOT_READING, missed=False)


def _left(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Progress of the check, and the parts that are left, MAX_PARTS at a time; asked again, the
    next ones.
    """
    check = builder.check
    left = [*check.unanswered, *map(check.checklist.ask, check.left)]
    parts = list(dict.fromkeys(part_name(each, check.checklist) for each in left))
    count, named = check.left_from
    begin = named if count == len(parts) and named < count else 0
    shown = parts[begin : begin + MAX_PARTS]
    builder.set(left_from=(len(parts), begin + len(shown)))
    later = len(parts) - begin - len(shown)
    ask_again(builder, replying.progress(*how_far(check), shown, later), missed=False)


def _aside(builder: TurnBuilder, command: Command, _heard: Heard) -> None:
    """Reply to words that are no answer themselves."""
    ask_again(builder, command.text or "", missed=False)


def _stray(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    ask_again(builder, replying.NOTHING_TO_CONFIRM, missed=False)


def _everything(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    ask_again(builder, replying.EACH_PART, missed=False)


def _no_access(builder: TurnBuilder, command: Command, heard: Heard) -> None:
    """The whole door cannot be checked: after a yes, enter that for every unanswered question.

    Never a pass.
    """
    reason = CannotCheck(reason=command.text)
    said = tuple(
        Said(question=each.key, value=reason, phrase=heard.words)
        for each in builder.check.unanswered
    )
    if not said:
        ask_again(builder, replying.ALL_ANSWERED, missed=False)
        return
    confirm(builder, (heard.model_copy(update={"said": said}),))


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
