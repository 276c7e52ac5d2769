"""Answering a question out of turn: by a reply to it, or by editing the message that answered it.
Pure.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime
from typing import Any

from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.received_messages import as_received, words_of
from doorround.dialogue.turn import take_turn
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_result import Turn
from doorround.dialogue.turn_steps import ask_again, go_on, stands
from doorround.dialogue.unconfirmed_faults import put_aside
from doorround.dialogue.unread_words import kept_for_end
from doorround.domain.answers import Answer
from doorround.domain.check import Check, Prompt, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import AnyHeard, Heard, Said, Unsure
from doorround.domain.parts import part_name
from doorround.domain.values import Command
from doorround.messages import noting, receiving
from doorround.messages.answers import value_words

NOT_NOW = (Stage.PAUSED, Stage.CANCELLING)
"""Stages in which no answer can be amended: the talk must go on first."""


def stand_at(check: Check, question: str) -> Check:
    """Reopen that question; after the answer, the talk continues from where it was.

    An answered question is asked again, as with "change": its answer stays in force until there is
    a new one. Whatever was waiting for a yes is put aside, so that a yes now applies to this
    question.
    """
    if check.stage is Stage.ASKING and check.open == question:
        return check
    check = put_aside(check)
    redo = tuple(key for key in check.redo if key != question)
    return check.model_copy(
        update={
            "stage": Stage.ASKING,
            "open": question,
            "redo": (question, *redo) if question in check.answers else redo,
            "misses": 0,
            "refused": (),
        }
    )


def standing(check: Check, ids: Collection[str]) -> tuple[Answer, ...]:
    """Answers with these ids that are in force, in the order they were given."""
    return tuple(answer for answer in check.answers.values() if answer.id in ids)


def expected_in_change(check: Check, ids: Collection[str], waits: bool = False) -> ExpectedInput:
    """Input expected in an edited message: as if its answers had not been given yet. waits: the
    message is waiting for a yes.
    """
    given = standing(check, ids)
    keys = [answer.question for answer in given]
    if waits and check.pending is not None:
        keys += [
            said.question
            for said in check.pending.said
            if said.question and said.question not in keys
        ]
    left = {key: answer for key, answer in check.answers.items() if key not in keys}
    before = stand_at(check, keys[0]) if keys else check
    return expected_input(before.model_copy(update={"answers": left, "last": ()}))


def amend(
    check: Check, ids: Collection[str], heard: AnyHeard, now: datetime, waits: bool = False
) -> Turn:
    """Apply an edited message. ids: of the answers that it gave. heard: its new text, recognised
    with expected_in_change(). waits: the message is waiting for a yes; that is then dropped,
    whatever it says now.

    Each answer is treated as a correction, "no, …": a pass waits for a yes. An answer that is no
    longer in the message is withdrawn and asked again. Text that is no answer changes nothing, not
    even the open question; if the message gave no answer, its text may be asked about before the
    signature.
    """
    gave = bool(ids) or waits
    turn = _amended(check, ids, heard, now, waits) if gave else _of_no_answer(check, heard)
    return replace(turn, message=as_received(check, heard, now))


def _of_no_answer(check: Check, heard: AnyHeard) -> Turn:
    kept = kept_for_end(check, words_of(heard))
    asked_later = kept != check
    return _says(kept, receiving.EDIT_ASKED_LATER if asked_later else receiving.EDIT_OF_NO_ANSWER)


def _amended(
    check: Check, ids: Collection[str], heard: AnyHeard, now: datetime, waits: bool = False
) -> Turn:
    if check.stage in NOT_NOW:
        return _says(check, noting.change_waits(check.stage))
    if waits and check.pending is not None:
        return _in_place_of(put_aside(check), standing(check, ids), heard, now)
    given = standing(check, ids)
    if not given:
        return _says(check, noting.CHANGED_SINCE)
    if not isinstance(heard, Heard | Unsure):
        return _not_taken(check, given, getattr(heard, "words", None) or "")
    said = heard.said if isinstance(heard, Heard) else heard.guesses[0].said
    if _commands(heard):
        return _says(check, noting.ONLY_ANSWERS)
    new = tuple(
        each.model_copy(update={"correction": True})
        for each in said
        if each.hedged or not stands(check, each)
    )
    gone = [
        answer.question
        for answer in given
        if answer.question not in [each.question for each in said]
    ]
    if not new and not gone:
        return _says(check, noting.UNCHANGED)
    builder = TurnBuilder(check, now)
    for key in gone:
        builder.withdraw(key)
        builder.say(noting.no_longer_says(_part(check, key)))
    builder.set(redo=(*gone, *(key for key in builder.check.redo if key not in gone)))
    taken = builder.turn()
    then = _then(taken.check, heard, new, gone, now)
    entries = (*taken.enter, *then.enter)
    # the later door includes the changes of the earlier one
    return Turn(then.check, (*taken.say, *then.say), entries, then.door or taken.door)


def _in_place_of(check: Check, given: tuple[Answer, ...], heard: AnyHeard, now: datetime) -> Turn:
    """The turn for an edited message whose words waited for a yes and have been put aside."""
    if given and (isinstance(heard, Heard | Unsure) and not _commands(heard)):
        return _amended(check, [answer.id for answer in given], heard, now)
    if isinstance(heard, Heard | Unsure) and not _commands(heard):
        return take_turn(check, heard, now)
    words = getattr(heard, "words", None)
    builder = TurnBuilder(kept_for_end(check, words or ""), now)
    builder.say(noting.read_back_dropped(words))
    ask_again(builder, "", missed=False)
    return builder.turn()


def _commands(heard: Heard | Unsure) -> bool:
    said = heard.said if isinstance(heard, Heard) else heard.guesses[0].said
    return any(isinstance(each.value, Command) for each in said)


def _then(
    check: Check, heard: Heard | Unsure, new: tuple[Said, ...], gone: list[str], now: datetime
) -> Turn:
    """The turn for the new answers in an edited message; if it only says less, ask what it
    withdrew.
    """
    if not new:
        builder = TurnBuilder(check, now)
        go_on(builder)
        return builder.turn()
    there = stand_at(check, new[0].question or "")
    if isinstance(heard, Heard):
        return take_turn(there, heard.model_copy(update={"said": new}), now)
    guess = heard.guesses[0].model_copy(update={"said": new})
    return take_turn(there, heard.model_copy(update={"guesses": (guess,)}), now)


def amend_note(
    check: Check, text: str, amends: int | None, photo: str | None, now: datetime
) -> Turn:
    """Enter an edited note. amends: number of its entry; None for a caption added later. text: ""
    withdraws it. The state of the talk does not change.
    """
    builder = TurnBuilder(check, now)
    body: dict[str, Any] = {"text": text, "audio_sha256": None}
    body |= {"amends": amends} if amends is not None else {}
    body |= {"photo_sha256": photo} if photo else {}
    builder.enter(EntryKind.NOTED, **body)
    line = noting.note_changed(text) if amends is not None else noting.caption_noted(text)
    builder.say(line if text else noting.NOTE_TAKEN_BACK)
    turn = builder.turn()
    return Turn(check, turn.say, turn.enter)


def _not_taken(check: Check, given: tuple[Answer, ...], words: str) -> Turn:
    """Reply to an edited message that is no longer an answer. If it may report something, it comes
    up again before the signature.
    """
    kept = kept_for_end(check, words)
    parts = " and ".join(_part(check, answer.question) for answer in given)
    stands = "; ".join(
        value_words(check.checklist.ask(answer.question), answer.value, check.checklist)
        for answer in given
    )
    return _says(kept, noting.changed_to_no_answer(words or None, parts, stands, kept != check))


def _part(check: Check, key: str) -> str:
    return part_name(check.checklist.ask(key), check.checklist)


def _says(check: Check, text: str) -> Turn:
    return Turn(check, (Prompt(text=text),))
