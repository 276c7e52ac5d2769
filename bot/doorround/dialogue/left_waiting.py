"""Read-backs of faults that get no reply, and words that nobody explained: after a while they count
as reported. Pure.

The read-back or question stays open, and later replies are accepted as usual.
"""

from __future__ import annotations

from datetime import datetime

from doorround.dialogue.turn_result import Turn
from doorround.dialogue.unconfirmed_faults import as_body, put_aside
from doorround.dialogue.unread_words import unread_reports
from doorround.domain.check import Check, Report, Stage
from doorround.domain.entries import Entry, EntryKind
from doorround.messages.answers import said_words


def reports_waiting(check: Check) -> tuple[Report, ...]:
    """Faults waiting for a yes or no, or an explanation, that are not yet entered as reported."""
    if check.stage in (Stage.ASKING, Stage.PAUSED):
        return unread_reports(check)
    if check.stage is not Stage.CONFIRMING:
        return ()
    return tuple(each for each in put_aside(check).reported if not each.entered)


def leave_waiting(check: Check, said_at: datetime, now: datetime) -> Turn:
    """Enter these reports, without a message. said_at: time of the last turn."""
    waiting = reports_waiting(check)
    entries = tuple(
        Entry(
            kind=EntryKind.REPORTED,
            at=now,
            person=check.person,
            door=check.door.number,
            check=check.id,
            body={
                **as_body(each),
                "words": said_words(each.said, check.checklist),
                "said_at": said_at.isoformat(),
            },
        )
        for each in waiting
    )
    kept = [each for each in check.reported if each not in waiting]
    kept += [each.model_copy(update={"entered": True}) for each in waiting]
    return Turn(check.model_copy(update={"reported": tuple(kept)}), (), entries)
