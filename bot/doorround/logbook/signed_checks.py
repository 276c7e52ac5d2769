"""Signed checks in the form that the plausibility rules need."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict, deque
from collections.abc import Iterator
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
"""Entries before a signature used to infer its day of arrival: a late check follows entries with
later times.
"""


def signed_checks(logbook: Reader) -> list[SignedCheck]:
    """Every signed check, by start; without short visits to look at repairs."""
    floors = {(door.site, door.building, door.number): door.floor for door in logbook.doors()}
    late = days_late(logbook)
    local = LocalDays(logbook.zone)
    messages = _messages(logbook)
    return [
        _signed(
            logbook,
            kept,
            floors.get((kept.site, kept.building, kept.door), ""),
            late.get(kept.id, 0),
            local,
            messages.get(kept.id, []),
        )
        for kept in logbook.checks()
        if kept.stage == "signed" and kept.look is None
    ]


def days_late(logbook: Reader) -> dict[str, int]:
    """For each signed check that reached the logbook days after its timestamp, by id: minimum
    number of days, inferred from the entries before it.
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
    logbook: Reader,
    kept: CheckRecord,
    floor: str,
    late: int,
    local: LocalDays,
    messages: list[int],
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
        answers=tuple(_answers(logbook, kept.id, messages)),
        faults=sum(1 for each in found if each.finding.verdict is not Verdict.UNKNOWN),
        floor=floor,
        day=local.of(kept.started.isoformat()),
        days_late=late,
    )


def _messages(logbook: Reader) -> dict[str, list[int]]:
    """Numbers of each check's messages, in order."""
    found = defaultdict[str, list[int]](list)
    sql = "SELECT check_id, seq FROM entries WHERE kind = 'message' ORDER BY seq"
    for check, seq in logbook._rows(sql):
        found[check].append(seq)
    return found


def _answers(logbook: Reader, check: str, messages: list[int]) -> Iterator[GivenAnswer]:
    """Answers in force, each with the preceding message."""
    sql = "SELECT seq, body FROM answers WHERE check_id = ? ORDER BY seq"
    for seq, body in logbook._rows(sql, check):
        place = bisect_right(messages, seq)
        yield _given(Answer.model_validate_json(body), messages[place - 1] if place else 0)


def _given(answer: Answer, message: int) -> GivenAnswer:
    value = answer.value
    measured = isinstance(value, Measure) and value.unit in (Unit.MM, Unit.INCH)
    return GivenAnswer(
        question=answer.question,
        value=length(value.mm, Unit.MM) if measured and isinstance(value, Measure) else value.kind,
        at=answer.at,
        seen=verdict(value, ()) is not Verdict.UNKNOWN,
        recording=answer.audio_sha256,
        spoken=answer.spoken,
        message=message,
    )
