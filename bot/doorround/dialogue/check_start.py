"""Start of a check: its entry, and the prompts before the first question."""

from __future__ import annotations

from typing import Any

from doorround.dialogue.repair_visit import begin_look
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.domain.check import Check, PromptKind
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.entries import EntryKind
from doorround.messages.doors import door_line


def begin(builder: TurnBuilder, known: str, at_site: bool) -> None:
    """Enter the start, and say which door this is and what is known about it. known, at_site: as in
    start_check().
    """
    check = builder.check
    checklist = check.checklist
    also = _also(check)
    builder.enter(EntryKind.CHECK_STARTED, checklist=checklist.key, terse=check.terse, **also)
    builder.say(door_line(check.door, at_site))
    if check.repairs:
        begin_look(builder)
    if known:
        builder.say(known, PromptKind.CAUTION)
    if not check.terse:
        builder.say(checklist.caution, PromptKind.CAUTION)


def _also(check: Check) -> dict[str, Any]:
    """The repairs to be looked at, and the name of the face where the check begins, if any."""
    look = {"look": [each.defect for each in check.repairs]} if check.repairs else {}
    named = check.door.faces != UNNAMED_FACES
    return {**look, **({"first_side": check.door.faces[0]} if named else {})}
