"""What checks found over time, as gaps between checks, for the question how often is enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from doorround.domain.defects import ChangeKind, DeedKind, Defect
from doorround.domain.findings import Finding
from doorround.domain.inspection_interval import CheckInterval
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.schedule.due import DoorId
from doorround.logbook.defects import read_defects
from doorround.logbook.store import Logbook

_DAY = 86_400.0
_FAILURES = (Severity.SOON, Severity.ACT_NOW)
_VISITS = """SELECT v.seq, v.at, v.number, v.site, v.building, coalesce(s.use, '') FROM visits AS v
    JOIN door_status AS s USING (number, site, building)
    WHERE v.seen = 1 AND NOT v.doubted AND v.entered IS NULL AND v.number = coalesce(?, v.number)
    ORDER BY v.number, v.site, v.building, v.seq"""


@dataclass(frozen=True)
class _Moment:
    """Something that tells how a door was. sound: nothing to be dealt with soon or now. repaired:
    no check, but what somebody said of a repair.
    """

    seq: int
    at: datetime
    sound: bool
    repaired: bool = False


def gaps_by_use(logbook: Logbook, door: str | None = None) -> dict[str, list[CheckInterval]]:
    """Gaps between two checks of a door, by what the door is for; "" where that is not known. door:
    only of that one.

    A failure is a finding to be dealt with soon or now. Time is at risk only after a check that
    left the door without one, or after the last of them was repaired: while a failure stands,
    nothing new can be learnt of how often it comes. One that is found again after a repair counts
    as a failure.
    """
    moments: dict[DoorId, list[_Moment]] = {}
    uses: dict[DoorId, str] = {}
    failed = _failed(logbook)
    for seq, at, number, site, building, use in logbook._rows(_VISITS, door):
        id = (site, building, number)
        uses[id] = use
        seen = _Moment(seq, datetime.fromisoformat(at), seq not in failed)
        moments.setdefault(id, []).append(seen)
    for id, repair in _repairs(logbook):
        if id in moments:
            moments[id].append(repair)
    found: dict[str, list[CheckInterval]] = {}
    for id, some in moments.items():
        gaps = list(_gaps(sorted(some, key=lambda each: each.seq)))
        if gaps:
            found.setdefault(uses[id], []).extend(gaps)
    return found


def _gaps(moments: list[_Moment]) -> Iterator[CheckInterval]:
    """One door's, in the order entered."""
    since: datetime | None = None
    for each in moments:
        if each.repaired:
            since = (since or each.at) if each.sound else None
            continue
        if since is not None:
            days = (each.at - since).total_seconds() / _DAY
            yield CheckInterval(round(days, 2), not each.sound)
        since = each.at if each.sound else None


def _failed(logbook: Logbook) -> set[Any]:
    """Numbers of the signatures of checks that found a failure."""
    sql = "SELECT signed, finding FROM sightings WHERE signed IS NOT NULL AND gone IS NULL"
    return {
        signed
        for signed, text in logbook._rows(sql)
        if Finding.model_validate_json(text).severity in _FAILURES
    }


def _repairs(logbook: Logbook) -> Iterator[tuple[DoorId, _Moment]]:
    """Each moment at which the last failure of a door was said to be made good, and at which that
    was taken back.
    """
    by_door: dict[DoorId, list[Defect]] = {}
    for each in read_defects(logbook, Targets()).all.values():
        if each.severity in _FAILURES:
            by_door.setdefault(each.door, []).append(each)
    for id, defects in by_door.items():
        for each in defects:
            for deed in each.deeds:
                if deed.kind in (DeedKind.MADE_GOOD, DeedKind.REOPENED):
                    sound = not _stands(defects, deed.seq)
                    yield id, _Moment(deed.seq, deed.at, sound, repaired=True)


def _stands(defects: list[Defect], seq: int) -> bool:
    """Whether one of a door's failures is open once an entry was made."""
    return any(
        changes[-1].what is not ChangeKind.ENDED
        for each in defects
        if (changes := [change for change in each.changes if change.seq <= seq])
    )
