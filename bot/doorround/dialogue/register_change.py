"""Changing the door's register entry during a check: "change rating", "change door". Pure.

The bot asks the same question as in a first check, and the answer goes into the register as one
seen at the door. Until then the register does not change.
"""

from __future__ import annotations

import re

from doorround.dialogue.answer_values import replaced_with
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import go_on
from doorround.domain.check import FREE, Check, Prompt
from doorround.domain.input_result import AnyHeard, Heard, OffGrammar, Said
from doorround.domain.plain_text import same_number
from doorround.domain.values import Command, Word
from doorround.messages import asking, buttons

REGISTER = "register"
_ORDER = re.compile(r"change (?:the )?(.+?)[.!]?", re.I)
_FIELDS = {
    "rating": ("rating", "fire rating", "door rating"),
    "use": ("use", "what it is for", "what the door is for"),
    "leaves": ("leaves", "number of leaves"),
    "material": ("material",),
    "leaf_width_mm": ("width", "leaf width", "door width"),
    "leaf_height_mm": ("height", "leaf height", "door height"),
    "leaf_mass_kg": ("weight", "mass", "leaf weight"),
    "glazing": ("kind of glass", "kind of glazing"),
    "closer": ("kind of closer",),
    "hold_open": ("kind of hold open",),
    "latch": ("kind of latch", "kind of lock"),
    "seals": ("kind of seals", "kind of seal"),
}
"""Names of each field. A part's own name means the part: "change closer" asks about its condition.
"""
_CALLED = {name: field for field, names in _FIELDS.items() for name in names}
_OFFERED = ("rating", "use", "material", "kind of closer", "kind of glass", "kind of seals")


def as_register_change(check: Check, heard: AnyHeard) -> AnyHeard:
    """Turn "change …" with the name of a register field into a command to change it."""
    if not isinstance(heard, OffGrammar) or check.closed or check.stage in FREE:
        return heard
    words = " ".join((heard.words or heard.transcript).split())
    found = _ORDER.fullmatch(words)
    called = found[1].casefold() if found else ""
    number = called.removeprefix("door ").removeprefix("number ")
    whole = called in ("door", "this door", "register") or same_number(number) == same_number(
        check.door.number
    )
    about = REGISTER if whole else _question(check, called)
    if about is None:
        return heard
    order = Said(question=None, value=Command(word=Word.CHANGE, about=about), phrase=words)
    return Heard(by=heard.by, said=(order,), words=words, audio_sha256=heard.audio_sha256)


def what_to_change(check: Check) -> Prompt:
    """Ask which register field to change."""
    taps = tuple(buttons.change(name) for name in _OFFERED if _question(check, name))
    return Prompt(text=asking.WHAT_TO_CHANGE, taps=taps)


def _question(check: Check, called: str) -> str | None:
    """Key of the question that fills the field of that name, if this checklist has one."""
    field = _CALLED.get(called)
    keys = [each.key for each in check.checklist.question if field and each.fills == field]
    return keys[0] if keys else None


def change_register(builder: TurnBuilder, about: str) -> bool:
    """Ask for a new register value. about: REGISTER, or key of a question that fills a field.
    Anything else returns False and changes nothing.
    """
    if about == REGISTER:
        builder.prompt(what_to_change(builder.check))
        return True
    questions = {each.key: each for each in builder.check.checklist.question}
    field = questions[about].fills if about in questions else None
    if field is None:
        return False
    check = builder.check
    redo = (about, *(key for key in check.redo if key != about))
    left = tuple(key for key in check.left if key != about)
    # treat the field as filled by this visit, so that the new answer may replace it
    learnt = check.learnt if field in check.learnt else (*check.learnt, field)
    replaced = replaced_with(check, field)
    builder.set(redo=redo, left=left, learnt=learnt, replaced=replaced)
    go_on(builder)
    return True
