"""Signed checks as the plausibility rules want them."""

from __future__ import annotations

from collections import deque
from datetime import datetime

from doorround.domain.answers import Answer
from doorround.domain.findings import Verdict
from doorround.domain.judging.formatting import length
from doorround.domain.judging.judge import verdict
from doorround.domain.judging.plausibility import GivenAnswer, SignedCheck
from doorround.domain.values import Measure, Unit
from doorround.logbook.local_days import LocalDays
from doorround.logbook.reader import Reader
from doorround.logbook.records import CheckRecord

BEFORE = 50
"""Entries before a signature that tell on which day it came in: a check that comes late stands
behind others that do.
"""


def signed_checks(logbook: Reader) -> list[SignedCheck]:
    """Every signed check, in the order started; no short looks at repairs."""
    floors = {(door.site, door.building, door.number): door.floor for door in logbook.doors()}
    late = days_late(logbook)
    local = LocalDays(logbook.zone)
    return [
        _signed(
            logbook,
            kept,
            floors.get((kept.site, kept.building, kept.door), ""),
            late.get(kept.id, 0),
            local,
        )
        for kept in logbook.checks()
        if kept.stage == "signed" and kept.look is None
    ]


def days_late(logbook: Reader) -> dict[str, int]:
    """By id of each signed check that came into the logbook days after the time it bears: how many
    days, at least; the entries before it tell.
    """
    found = {}
    before = deque[datetime](maxlen=BEFORE)
    sql = "SELECT at, kind, check_id FROM entries ORDER BY seq"
    for at, kind, check in logbook._rows(sql):
        moment = datetime.fromisoformat(at)
        if kind == "signed" and before and (late := (max(before) - moment).days) > 0:
            found[check] = late
        before.append(moment)
    return found


def _signed(
    logbook: Reader, kept: CheckRecord, floor: str, late: int, local: LocalDays
) -> SignedCheck:
    found = logbook.findings(kept.id)
    assert kept.closed is not None
    return SignedCheck(
        id=kept.id,
        door=kept.door,
        building=kept.building,
        person=kept.person,
        started=kept.started,
        signed=kept.closed,
        answers=tuple(_given(answer) for answer in logbook.answers(kept.id)),
        faults=sum(1 for each in found if each.finding.verdict is not Verdict.UNKNOWN),
        floor=floor,
        day=local.of(kept.started.isoformat()),
        days_late=late,
    )


def _given(answer: Answer) -> GivenAnswer:
    value = answer.value
    measured = isinstance(value, Measure) and value.unit in (Unit.MM, Unit.INCH)
    return GivenAnswer(
        question=answer.question,
        value=length(value.mm, Unit.MM) if measured and isinstance(value, Measure) else value.kind,
        at=answer.at,
        seen=verdict(value, ()) is not Verdict.UNKNOWN,
        recording=answer.audio_sha256,
        spoken=answer.spoken,
    )
