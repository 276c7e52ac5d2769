"""Words that were not understood: the bot offers the nearest meanings, and the words as a fault.

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.dialogue.current_offer import current_offer
from doorround.dialogue.measuring import settled
from doorround.dialogue.received_messages import transcript_of, words_of
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import MAX_MISSES, ask_again, confirm, take_answers
from doorround.dialogue.unread_words import (
    as_own_fault,
    meaning_label,
    offered_meanings,
    offered_words,
    unread_here,
    with_unread,
    without_unread,
)
from doorround.domain.check import Check, Prompt, PromptKind, Stage, Unread
from doorround.domain.findings import Verdict
from doorround.domain.input_result import (
    MAX_OFFERED,
    SECOND_UNDERSTANDING,
    AnyHeard,
    BadAudio,
    By,
    Heard,
    OffGrammar,
    Silence,
)
from doorround.domain.judging.judge import judge, verdict
from doorround.domain.parts import part_name
from doorround.domain.values import Command, Word
from doorround.english.bare_answers import is_bare_answer, is_bare_no, is_bare_yes
from doorround.english.shortcuts import called_off
from doorround.messages import buttons, confirming, offering


def offer(builder: TurnBuilder, heard: OffGrammar) -> bool:
    """Keep the words and offer possible meanings. False if there is nothing to offer, so that the
    question is asked again.
    """
    check = builder.check
    if check.stage is not Stage.ASKING or check.asked is None:
        return False
    words = heard.words or heard.transcript
    if (words and is_bare_answer(words)) or not (words or heard.audio_sha256):
        return False
    builder.check = with_unread(check, heard)
    labels = offered_words(builder.check)
    missed = check.misses + 1
    if not labels or (heard.by is By.VOICE and missed >= MAX_MISSES):
        return False
    builder.set(misses=missed)
    own = () if check.asked.component == "register" else (buttons.OWN_WORDS,)
    builder.prompt(
        Prompt(
            text=_which_of(builder.check, heard) or offering.one_of_these(words),
            kind=PromptKind.QUESTION,
            taps=(*labels, *own),
            question=check.open,
        )
    )
    return True


def offer_others(builder: TurnBuilder, refused: Heard, others: tuple[Heard, ...]) -> bool:
    """After a no to what words outside the grammar were taken for: keep the words, which may mean
    something else, and offer their other meanings. False for words that the grammar parsed.
    """
    if refused.engine != SECOND_UNDERSTANDING or builder.check.open is None:
        return False
    label = meaning_label(builder.check, refused)
    builder.set(refused=(*builder.check.refused, label))
    given = _as_unread(refused, (refused, *others))
    builder.say(confirming.NOT_THAT)
    if not offer(builder, given):
        builder.check = with_unread(builder.check, given)
        ask_again(builder, "")
    return True


def tell_as_read_back(builder: TurnBuilder, waiting: Heard) -> bool:
    """Close a read-back of words outside the grammar, whose words are wanted as a fault in own
    words. Enters them if they are of another part than the one in question; returns whether.
    """
    if waiting.engine != SECOND_UNDERSTANDING or builder.check.open is None:
        return False
    builder.set(stage=Stage.ASKING, pending=None, beside=())
    given = _as_unread(waiting, (waiting,))
    key = waiting.said[0].question or builder.check.open
    if key == builder.check.open or builder.check.checklist.ask(key).kind != "condition":
        builder.check = with_unread(builder.check, given)
        return False
    _enter(builder, Unread(question=key, heard=given))
    return True


def _as_unread(heard: Heard, nearest: tuple[Heard, ...]) -> OffGrammar:
    spoken = heard.by is By.VOICE
    return OffGrammar(
        by=heard.by,
        words=None if spoken else heard.words,
        transcript=heard.words if spoken else "",
        nearest=nearest[:MAX_OFFERED],
        audio_sha256=heard.audio_sha256,
    )


def _which_of(check: Check, heard: OffGrammar) -> str:
    """The question "of this part or that?" if the words have the same meaning for both; else ""."""
    said = [each.said[0] for each in heard.nearest if len(each.said) == 1]
    if len(said) < 2 or len(said) != len(heard.nearest):
        return ""
    if any(each.value != said[0].value for each in said):
        return ""
    asked = [check.checklist.ask(each.question or "") for each in said]
    parts = list(dict.fromkeys(part_name(each, check.checklist) for each in asked))
    words = heard.words or heard.transcript
    return offering.for_which(words, parts) if len(parts) > 1 else ""


def choose(builder: TurnBuilder, command: Command, heard: Heard) -> None:
    """Accept one of the meanings offered. One that would pass something is read back first."""
    nearest = offered_meanings(builder.check)
    place = int(command.text) if command.text and command.text.isdecimal() else 0
    if place and current_offer(builder.check)[place - 1 : place] == (buttons.OWN_WORDS,):
        tell_fault(builder, Command(word=Word.OWN_WORDS), heard)
        return
    if not 0 < place <= len(nearest):
        ask_again(builder, offering.NOTHING_OFFERED, missed=False)
        return
    guess = settled(builder.check, nearest[place - 1])
    if not isinstance(guess, Heard) or passes_something(builder.check, guess):
        confirm(builder, (nearest[place - 1],))
        return
    if any(each.question != builder.check.open for each in guess.said):
        # the words are explained now, and concern a part other than the one in question
        builder.check = without_unread(builder.check, builder.check.open or "")
    take_answers(builder, guess, confirmed=True)


def none_of_them(builder: TurnBuilder, _command: Command, _heard: Heard) -> None:
    """Ask again, in full: the words are kept, and may still be reported as a fault."""
    _say_otherwise(builder)


def _say_otherwise(builder: TurnBuilder) -> None:
    asked = builder.check.asked
    fact = asked is not None and asked.component == "register"
    line = offering.SAY_IT_DIFFERENTLY if fact else offering.SAY_OTHERWISE
    ask_again(builder, line, missed=False)


def reply_to_offer(builder: TurnBuilder, heard: AnyHeard) -> bool:
    """Take a bare yes or no to the offer just made: which one, or none of them. It answers neither
    the question beneath the offer nor any other. False if it is something else.
    """
    taps = current_offer(builder.check)
    words = words_of(heard) or transcript_of(heard)
    chosen = isinstance(heard, Heard) and isinstance(heard.said[0].value, Command)
    if not taps or chosen or not words or any(each.isdecimal() for each in words):
        return False
    if is_bare_no(words):
        _say_otherwise(builder)
    elif not is_bare_yes(words):
        return False
    else:
        key = builder.check.open
        builder.prompt(
            Prompt(text=offering.WHICH_ONE, kind=PromptKind.QUESTION, taps=taps, question=key)
        )
    return True


def tell_fault(builder: TurnBuilder, command: Command, heard: Heard) -> None:
    """Enter a fault in the caretaker's own words: those just given, those not understood before, or
    the next message.
    """
    check = builder.check
    if check.asked is None or check.asked.component == "register":
        ask_again(builder, offering.OF_WHICH_PART, missed=False)
        return
    unread = unread_here(check)
    if command.text:
        given = OffGrammar(by=heard.by, words=command.text)
        unread = Unread(question=check.open or "", heard=given)
    if unread is None:
        builder.set(stage=Stage.TELLING)
        builder.say(offering.SAY_FAULT, taps=(buttons.CANCEL,))
        return
    _enter(builder, unread)


def take_fault(builder: TurnBuilder, heard: AnyHeard) -> None:
    """Enter the message as a fault, with its best-effort transcript and its recording."""
    if isinstance(heard, Silence | BadAudio):
        builder.say(heard.advice or offering.SAY_FAULT, taps=(buttons.CANCEL,))
        return
    words = words_of(heard) or transcript_of(heard)
    if words and is_bare_answer(words) and not is_bare_no(words):
        builder.say(offering.SAY_FAULT, taps=(buttons.CANCEL,))
        return
    builder.set(stage=Stage.ASKING)
    cancelled = isinstance(heard, Heard) and _is(heard, Word.CANCEL)
    if cancelled or is_bare_no(words) or called_off(words):
        ask_again(builder, offering.NO_FAULT, missed=False)
        return
    given = (
        heard
        if isinstance(heard, OffGrammar)
        else OffGrammar(by=heard.by, words=words, audio_sha256=heard.audio_sha256)
    )
    _enter(builder, Unread(question=builder.check.open or "", heard=given))


def leaves_telling(builder: TurnBuilder, heard: AnyHeard) -> bool:
    """Whether a command is given instead of the fault: "pause". Records it."""
    value = heard.said[0].value if isinstance(heard, Heard) else None
    if not isinstance(value, Command) or value.word is Word.CANCEL:
        return False
    builder.set(stage=Stage.ASKING)
    return True


def _enter(builder: TurnBuilder, unread: Unread) -> None:
    fault = settled(builder.check, as_own_fault(builder.check, unread))
    assert isinstance(fault, Heard)
    builder.say(offering.TO_BE_JUDGED)
    take_answers(builder, fault, confirmed=True)


def passes_something(check: Check, heard: Heard) -> bool:
    """Whether any of the answers would pass its part."""
    for said in heard.said:
        if isinstance(said.value, Command) or said.question is None:
            continue
        found = judge(check.door, check.checklist.ask(said.question), said.value, check.checklist)
        if verdict(said.value, found) is Verdict.SOUND:
            return True
    return False


def _is(heard: Heard, word: Word) -> bool:
    value = heard.said[0].value
    return isinstance(value, Command) and value.word is word
