"""A fault whose read-back nobody answers: after a while it counts as reported. Pure.

The read-back stays open: a yes or a no that comes later is taken as ever.
"""

from __future__ import annotations

from datetime import datetime

from doorround.dialogue.turn_result import Turn
from doorround.dialogue.unconfirmed_faults import as_body, put_aside
from doorround.domain.check import Check, Report, Stage
from doorround.domain.entries import Entry, EntryKind
from doorround.messages.answers import said_words


def reports_waiting(check: Check) -> tuple[Report, ...]:
    """Faults that wait for a yes or a no and are not entered as reported yet."""
    if check.stage is not Stage.CONFIRMING:
        return ()
    return tuple(each for each in put_aside(check).reported if not each.entered)


def leave_waiting(check: Check, said_at: datetime, now: datetime) -> Turn:
    """Enter them. said_at: when the talk last went on. Nothing is said to anybody."""
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
