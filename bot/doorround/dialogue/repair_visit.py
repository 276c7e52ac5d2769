"""A short visit to look at repairs: how it begins, and what its signature enters. Pure."""

from __future__ import annotations

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.domain.check import PromptKind
from doorround.domain.entries import EntryKind
from doorround.domain.people import same_name
from doorround.domain.repair_look import Repair
from doorround.messages import summing_up


def begin_look(builder: TurnBuilder) -> None:
    """Say what the visit is about."""
    words = [each.what for each in builder.check.repairs]
    builder.say(summing_up.look_begins(words), PromptKind.CAUTION)


def look_body(repairs: tuple[Repair, ...], sound: tuple[Repair, ...]) -> dict[str, list[int]]:
    """What the signature of a short look says of it: which defects it was about, and which of them
    it saw put right.
    """
    return {
        "defects": [each.defect for each in repairs],
        "sound": [each.defect for each in sound],
    }


def enter_looks(builder: TurnBuilder, sound: tuple[Repair, ...]) -> None:
    """Enter that each repair seen sound was looked at, and by whom; then say what still waits."""
    check = builder.check
    same = [each for each in sound if same_name(check.person, each.by)]
    for each in sound:
        builder.enter(
            EntryKind.DEFECT_LOOKED_AT,
            defect=each.defect,
            site=check.door.site,
            building=check.door.building,
            **({"same": True} if each in same else {}),
        )
    left = [each.defect for each in check.repairs if each not in sound]
    line = summing_up.look_signed([each.what for each in same], left)
    if line:
        builder.say(line, PromptKind.SUMMARY)
