"""Results of past checks as intervals, for estimating how often to check."""

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
    """An observation of a door's state. sound: nothing to be dealt with soon or now. repaired: not
    a check, but a reported repair.
    """

    seq: int
    at: datetime
    sound: bool
    repaired: bool = False


def gaps_by_use(logbook: Logbook, door: str | None = None) -> dict[str, list[CheckInterval]]:
    """Intervals between two checks of a door, by use; "" if unknown. door: only of that one.

    A failure is a finding to be dealt with soon or now. Exposure time starts only after a check
    that left the door without one, or after the last was repaired: while a failure stands, nothing
    can be learnt about the rate. A failure found again after a repair counts.
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
    """One door's, in entry order."""
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
    """Entry numbers of the signatures of checks that found a failure."""
    sql = "SELECT signed, finding FROM sightings WHERE signed IS NOT NULL AND gone IS NULL"
    return {
        signed
        for signed, text in logbook._rows(sql)
        if Finding.model_validate_json(text).severity in _FAILURES
    }


def _repairs(logbook: Logbook) -> Iterator[tuple[DoorId, _Moment]]:
    """Each time that a door's last failure was reported as made good, or such a report was
    withdrawn.
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
    """Whether a failure of a door is open after an entry."""
    return any(
        changes[-1].what is not ChangeKind.ENDED
        for each in defects
        if (changes := [change for change in each.changes if change.seq <= seq])
    )
