"""A photo at a door: the question it belongs to, its entry and the reply.

Pure: reads only its arguments.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Finding, Verdict
from doorround.domain.parts import part_name
from doorround.messages import noting


@dataclass(frozen=True)
class Photo:
    """One stored photo. sha256: of its file. caption: text sent with it, entered as a note. album:
    the group of photos it was sent in.
    """

    sha256: str
    caption: str = ""
    album: str | None = None


def take_photo(check: Check, photo: Photo, question: str | None, now: datetime) -> Turn:
    """Enter a photo and its caption. question: key of what it shows; None for the result of
    shown_now().

    The state of the talk does not change: the open question waits, and "repeat" repeats that.
    """
    builder = TurnBuilder(check, now)
    key = question or shown_now(check)
    answer = check.answers.get(key) if key else None
    builder.enter(
        EntryKind.PHOTOGRAPHED,
        photo_sha256=photo.sha256,
        question=key,
        answer=answer.id if answer else None,
        album=photo.album,
    )
    if photo.caption:
        builder.enter(
            EntryKind.NOTED, text=photo.caption, audio_sha256=None, photo_sha256=photo.sha256
        )
    builder.say(kept_line(check, 1, key, photo.caption))
    turn = builder.turn()
    return Turn(check, turn.say, turn.enter)


def shown_now(check: Check) -> str | None:
    """Key of the question that a photo without a caption belongs to: the one waiting for a yes,
    else that of a fault in the last turn, else the open one.
    """
    if check.stage is Stage.CONFIRMING and check.pending and check.pending.said[0].question:
        return check.pending.said[0].question
    faulty = [
        key for key in check.last if any(_wrong(each) for each in check.findings.get(key, ()))
    ]
    return next(iter(faulty), check.open)


def _wrong(finding: Finding) -> bool:
    return finding.made_good or finding.verdict in (Verdict.DEFECT, Verdict.ACT_NOW)


def gravest_fault(check: Check, keys: Sequence[str]) -> str | None:
    """Of the questions that a message answered, the one that a photo in reply to it shows: the
    first with a fault, else the first.
    """
    faulty = (Verdict.DEFECT, Verdict.ACT_NOW)
    known = [key for key in keys if key in check.answers]
    bad = [
        key for key in known if any(each.verdict in faulty for each in check.findings.get(key, ()))
    ]
    return next(iter(bad or known), None)


def kept_line(check: Check, count: int, question: str | None, caption: str = "") -> str:
    """The reply to stored photos: "2 photos kept with Hinges. Noted: “…”."."""
    about = (
        part_name(check.checklist.ask(question), check.checklist)
        if question
        else f"door {check.door.number}"
    )
    return noting.photos_kept(count, about, caption)
