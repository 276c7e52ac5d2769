"""A repair visit: how it begins, and the entries of its signature. Pure."""

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
    """Details for the signature of a repair visit: the defects it was about, and those seen to be
    put right.
    """
    return {
        "defects": [each.defect for each in repairs],
        "sound": [each.defect for each in sound],
    }


def enter_looks(builder: TurnBuilder, sound: tuple[Repair, ...]) -> None:
    """Enter that each sound repair was looked at, and by whom; then say what is still open."""
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
