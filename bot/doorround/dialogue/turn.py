"""The talk at one door: from one input to the prompts and entries.

Pure: reads only its arguments.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from doorround.dialogue.bare_answer import bare_again, take_bare_answer
from doorround.dialogue.check_start import begin
from doorround.dialogue.commands import STANDS_ASIDE, obey
from doorround.dialogue.kept_locked import without_lock
from doorround.dialogue.measuring import settled
from doorround.dialogue.missed_playback import keep_whole
from doorround.dialogue.noting import take_note
from doorround.dialogue.offering import (
    leaves_telling,
    offer,
    offer_others,
    reply_to_offer,
    take_fault,
    tell_as_read_back,
)
from doorround.dialogue.readback import at_face_not_reached, heard_words, to_be_read_back
from doorround.dialogue.received_messages import as_received
from doorround.dialogue.register_change import as_register_change
from doorround.dialogue.summing_up import sum_up
from doorround.dialogue.told_beside import take_told_beside
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_result import Turn
from doorround.dialogue.turn_steps import ask_again, confirm, go_on, put_down, take_answers
from doorround.dialogue.typed_yes import as_yes_or_no
from doorround.dialogue.unconfirmed_faults import (
    contradicted,
    covers,
    doubted_words,
    is_fault,
    standing_fault,
    taken_by,
)
from doorround.dialogue.unread_words import with_unread_at_end
from doorround.domain.alerts import Reach
from doorround.domain.check import Check, Stage
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.input_result import (
    AnyHeard,
    BadAudio,
    By,
    Heard,
    OffGrammar,
    Said,
    Silence,
    Unsure,
)
from doorround.domain.repair_look import Repair
from doorround.domain.values import Command, Word
from doorround.messages import replying
from doorround.messages.confirming import NOT_THAT


def start_check(
    check_id: str,
    door: Door,
    person: str,
    checklist: Checklist,
    now: datetime,
    *,
    terse: bool = False,
    batches: bool = False,
    known: str = "",
    faulty: tuple[str, ...] = (),
    at_site: bool = False,
    repairs: tuple[Repair, ...] = (),
) -> Turn:
    """Begin a visit: say which door this is, then ask the first question. terse: short wording, for
    experienced people. batches: ask about several parts at once. known: text about known defects of
    the door. faulty: questions at which a fault was found here before. at_site: name the site, as
    there are several. repairs: those that a repair visit looks at; empty for a full check.
    """
    checklist = checklist.at_site(door.site).facing(door)
    check = Check(
        id=check_id,
        door=door,
        person=person,
        checklist=checklist,
        started=now,
        terse=terse,
        repairs=repairs,
        batches=batches,
        faulty=faulty,
    )
    builder = TurnBuilder(check, now)
    begin(builder, known, at_site)
    go_on(builder)
    return builder.turn()


def take_turn(check: Check, heard: AnyHeard, now: datetime, reach: Reach | None = None) -> Turn:
    """Advance one check by one input. Reads only its arguments.

    Only a Heard answers a question. Silence, noise, words that fit nothing and uncertainty each
    have a reply of their own.
    reach: who is told about a danger; None if no messages are sent.
    """
    builder = TurnBuilder(check, now, reach)
    builder.by = heard.by
    heard = as_register_change(check, settled(check, as_yes_or_no(check, heard)))
    if check.closed:
        builder.say(replying.closed(check.stage))
    elif _came_before(builder, heard):
        builder.say(replying.CAME_BEFORE)
        ask_again(builder, "", missed=False)
    elif check.stage is Stage.NOTING:
        take_note(builder, heard)
    elif check.stage is Stage.TELLING and not leaves_telling(builder, heard):
        take_fault(builder, heard)
    elif (rest := without_lock(check, heard)) is None:
        ask_again(builder, replying.LOCK_ALLOWED, missed=False)
    elif check.stage is Stage.ASKING and reply_to_offer(builder, heard):
        pass
    elif isinstance(rest, Heard):
        if rest != heard:
            builder.say(replying.LOCK_ALLOWED)
        _understood(builder, rest)
    elif check.stage is Stage.PAUSED:
        ask_again(builder, "", missed=False)
    else:
        _not_understood(builder, rest)
    return replace(builder.turn(), message=as_received(check, heard, now))


def _came_before(builder: TurnBuilder, heard: AnyHeard) -> bool:
    """Whether this same recording has been understood already, or arrived at another question.
    Records it too.
    """
    sha256 = heard.audio_sha256
    check = builder.check
    if sha256 is None or check.closed:
        return False
    before = check.recordings.get(sha256)
    if (
        before is not None
        and before != (check.open or "summary")
        and check.stage not in (Stage.NOTING, Stage.TELLING)
    ):
        return True
    understood = isinstance(heard, Heard | Unsure)
    builder.set(
        recordings={**check.recordings, sha256: "" if understood else check.open or "summary"}
    )
    return False


def _not_understood(builder: TurnBuilder, heard: Unsure | OffGrammar | Silence | BadAudio) -> None:
    keep_whole(builder, heard)
    match heard:
        case BadAudio(advice=advice):
            builder.say(advice)
            ask_again(builder, "", missed=False)
        case Silence(advice=advice) if heard.by is By.VOICE:
            ask_again(builder, advice or replying.HEARD_NOTHING)
        case Silence():
            ask_again(builder, replying.EMPTY, missed=False)
        case OffGrammar(words=words, advice=advice):
            before = builder.check
            builder.check = with_unread_at_end(before, heard)
            kept = builder.check.unread_at_end != before.unread_at_end
            asked_later = kept and before.stage is Stage.CONFIRMING
            quoted = replying.no_answer_here(words or None, asked_later)
            if advice or not (take_bare_answer(builder, heard) or offer(builder, heard)):
                ask_again(builder, advice or quoted)
        case Unsure(guesses=guesses, advice=advice):
            _hint(builder, advice)
            confirm(builder, guesses)


def _hint(builder: TurnBuilder, advice: str | None) -> None:
    """Say what is wrong with the recording if that caused a read-back: once per visit, since a
    plant room stays loud.
    """
    if advice and advice not in builder.check.hinted:
        builder.set(hinted=(*builder.check.hinted, advice))
        builder.say(advice)


def _understood(builder: TurnBuilder, heard: Heard, confirmed: bool = False) -> None:
    first = heard.said[0]
    if bare_again(builder.check, heard):
        ask_again(builder, "")
        return
    if take_told_beside(builder, heard):
        return
    if builder.check.stage is Stage.CONFIRMING:
        _denied(builder, taken_by(builder.check, heard))
    if isinstance(first.value, Command):
        _command(builder, heard, first, first.value, confirmed)
    elif builder.check.stage is Stage.PAUSED:
        ask_again(builder, "", missed=False)
    elif confirmed or _said_again(builder.check, heard):
        take_answers(builder, heard, confirmed=True, read_back=True)
    elif any(to_be_read_back(builder.check, said) for said in heard.said):
        if builder.check.stage is Stage.CONFIRMING:
            put_down(builder)
        confirm(builder, (heard,))
    else:
        take_answers(builder, heard, confirmed)


def _denied(builder: TurnBuilder, questions: tuple[str, ...]) -> bool:
    """Remove the answers to these questions from those waiting for a yes, as they were denied.

    Returns whether any had been reported before.
    """
    pending = builder.check.pending
    assert pending is not None
    waiting = [said for said in pending.said if said.question in questions]
    left = tuple(said for said in pending.said if said not in waiting)
    reports = tuple(
        each for each in builder.check.reported if any(covers(each, said) for said in waiting)
    )
    builder.deny(reports)
    builder.set(pending=pending.model_copy(update={"said": left}) if left else None)
    return bool(reports)


def _said_again(check: Check, heard: Heard) -> bool:
    """Whether the reply to a read-back repeats it without a hedge, or completes a partial answer:
    as good as a yes.
    """
    if (
        check.stage is not Stage.CONFIRMING
        or check.pending is None
        or any(said.hedged for said in heard.said)
    ):
        return False
    if any(_denies_a_fault(check, said) for said in heard.said):
        return False  # "okay" may mean yes to the fault, even if repeated, or be sent twice
    if any(_passes_unnamed(check, said, heard.words) for said in heard.said):
        return False
    named = "other" in heard.words.lower().split()  # "leaf fine" may be about this side
    if not named and any(at_face_not_reached(check, said) for said in heard.said):
        return False
    whole = [each.model_copy(update={"partial": False}) for each in check.pending.said]
    waiting = check.pending.model_copy(update={"said": tuple(whole)})
    return heard_words(check, heard) == heard_words(check, waiting)


def _denies_a_fault(check: Check, said: Said) -> bool:
    """Whether it would deny a fault that was reported, stands, or may be in unread words."""
    reported = contradicted(check, said) or standing_fault(check, said)
    return bool(reported or doubted_words(check, said))


def _passes_unnamed(check: Check, said: Said, words: str) -> bool:
    """Whether it would pass a part that is neither in question nor named: "no damage" for the glass
    when the question is about the frame.
    """
    if said.question in (None, check.open) or is_fault(check, said):
        return False
    part = check.checklist.part(check.checklist.ask(said.question or "").component)
    return part.name.lower().split()[0] not in words.lower()


def _command(
    builder: TurnBuilder, heard: Heard, said: Said, command: Command, confirmed: bool
) -> None:
    pending = builder.check.pending
    if builder.check.stage is Stage.CONFIRMING and pending is not None:
        if command.word is Word.YES:
            put_down(builder)
            _understood(builder, pending, confirmed=True)
            return
        if command.word is Word.NO:
            _refused(builder, pending)
            return
        own_words = command.word is Word.OWN_WORDS and not command.text
        if own_words and tell_as_read_back(builder, pending):
            return
        if command.word not in (Word.REPEAT, Word.PLAY, *STANDS_ASIDE):
            put_down(builder)
    obey(builder, command, heard)


def _refused(builder: TurnBuilder, pending: Heard) -> None:
    """Remember what was just refused, so that it is not offered again at this question."""
    words = heard_words(builder.check, pending)
    known = _denied(builder, tuple(said.question or "" for said in pending.said))
    others = builder.check.beside
    put_down(builder)
    if known and builder.check.open is None:
        builder.say(NOT_THAT)
        sum_up(builder)
        return
    builder.set(refused=(*builder.check.refused, words))
    if not offer_others(builder, pending, others):
        ask_again(builder, NOT_THAT)
