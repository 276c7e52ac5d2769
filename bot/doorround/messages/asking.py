"""Asking: the question itself, additions after it was missed, and its introduction when it comes
back.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from doorround.domain.checklist import Question
from doorround.domain.door import Door, Sign
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.two_leaves import EACH_LEAF

BACK_TO_MISSED = "Back to what I didn't catch."
BACK_TO_SKIPPED = "Back to what you skipped."
TAP_OR_SKIP = "Please tap it, or say skip to leave it as it was."
NOBODY_HEARD = "I can't hear you, so I'll wait. Tap or type an answer, or pause."
NOT_FOLLOWED = "I can't follow what you type, so I'll wait. Tap an answer, say skip, or pause."
NOT_CAUGHT = "I still didn't catch that"
NO_YES_OR_NO = "I never got a yes or no"
AGAIN_AT_END = "I'll ask again at the end."
WHAT_IS_WRONG = "What is wrong with it?"
YES_IN_FULL = "A yes might mean only half of that. Say it in full."
SAY_NOTE = "Say or type the note."
IS_PAUSED = "The check is paused. Say carry on."
CANCEL_THIS = "Cancel this check? What you said stays in the logbook, unsigned."
CANCEL_YES_OR_NO = "Cancel this check, yes or no?"


def question_text(question: Question, door: Door, terse: bool) -> str:
    """The question's wording, with the sign's words filled in."""
    text = question.terse if terse else question.ask
    if door.pair and question.key in EACH_LEAF:
        text = f"First leaf. {text}"
    sign = door.expected_sign
    return _at_faces(text, door).replace(
        "{sign}", f"“{sign}”" if sign and sign is not Sign.NONE else "the one it needs"
    )


def _at_faces(text: str, door: Door) -> str:
    """With the names of the door's faces, if it has any: "Corridor side, leaf: …"."""
    if door.faces == UNNAMED_FACES:
        return text
    for plain, name in zip(UNNAMED_FACES, door.faces, strict=True):
        text = re.sub(rf"\b(on|On) (?:the )?{plain}", rf"\1 the {name}", text)
        text = text.replace(plain, name).replace(plain.capitalize(), name.capitalize())
    return text


def invitation(parts: Sequence[str], names: Sequence[str], face: str) -> str:
    """Several questions at once, for experienced people: "Frame, leaf and glass, this side?"; about
    one part "Gap: at head and sides, and at the threshold?". names: as asked for. face: "this
    side"; "" if none.
    """
    if len(set(parts)) == 1:
        return f"{parts[0]}: {', '.join(names[:-1])}, and {names[-1]}?"
    text = f"{', '.join(names[:-1])} and {names[-1]}"
    return f"{text[0].upper()}{text[1:]}{f', {face}' if face else ''}?"


def of_first_leaf(part: str) -> str:
    """A part of a pair as named in an invitation: "latch of the first leaf"."""
    return "first leaf" if part == "leaf" else f"{part} of the first leaf"


def gap_left(edges: str) -> str:
    """The remaining edges of a gap, after some were measured."""
    return f"And the gap at the {edges}?"


def with_example(text: str, example: str) -> str:
    """A question missed once."""
    return f"{text} Say, for example: {example}. Or tap, or say skip."


def put_off(part: str, unconfirmed: bool, by_tap: bool) -> str:
    """A question missed twice. unconfirmed: it was read back, and got neither a yes nor a no.
    by_tap: a button brings it back.
    """
    why = NO_YES_OR_NO if unconfirmed else NOT_CAUGHT
    then = "Tap to answer it now, or I'll ask again at the end." if by_tap else AGAIN_AT_END
    return f"{part}: {why}. {then}"


def missed_at_end(part: str, unconfirmed: bool) -> str:
    """A question missed again at the end. unconfirmed: as above."""
    why = NO_YES_OR_NO if unconfirmed else NOT_CAUGHT
    return f"{part}: {why}. It goes down as not checked."


def reported_before(said: str) -> str:
    """A question at which a fault read back before got neither a yes nor a no."""
    return f"{said}: you reported that, and I never got a yes or no."


def answered_before(part: str, value: str) -> str:
    """An answered question that is asked again."""
    return f"{part}: you said {value}."


def contradicts_register(part: str, value: str) -> str:
    """A report contradicts the register; the part is asked about next. value: what the register
    says.
    """
    return f"{part}: that doesn't fit the register, which says {value}. What you see counts."


def back_to(face: str) -> str:
    """Before a question about the face already left."""
    named = "the side you began on" if face in UNNAMED_FACES else f"the {face}"
    return f"Go back to {named}."


def asked_anew(part: str) -> str:
    """A question whose answer was based on earlier knowledge of the door."""
    return f"{part}: I need to ask that again, now that I know more about the door."


def not_asked_again(parts: str, why: str) -> str:
    """Questions due to be asked again that are skipped. why: "the door must not be moved"."""
    return f"{parts}: not asked again, as {why}."


WHAT_TO_CHANGE = "What does the register have wrong about this door? Tap one."
