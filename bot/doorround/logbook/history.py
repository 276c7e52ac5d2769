"""What checks found over time, as gaps between checks, for the question how often is enough."""

from __future__ import annotations

from datetime import datetime

from doorround.domain.findings import Finding
from doorround.domain.inspection_interval import Gap
from doorround.domain.judging.severity import Severity
from doorround.logbook.store import Logbook

_DAY = 86_400.0


def gaps_by_use(logbook: Logbook, door: str | None = None) -> dict[str, list[Gap]]:
    """Gaps between two checks of a door, by what the door is for; "" where that is not known. door:
    only of that one.

    A failure is a finding to be dealt with soon or now. Time is at risk only after a check that
    left the door without
    one: while a failure stands, nothing new can be learnt of how often it comes.
    """
    failed = {
        signed
        for signed, text in logbook._rows(
            "SELECT signed, finding FROM sightings WHERE signed IS NOT NULL AND gone IS NULL"
        )
        if _is_failure(Finding.model_validate_json(text))
    }
    sql = """SELECT v.seq, v.at, v.number, v.site, v.building, coalesce(s.use, '') FROM visits AS v
        JOIN door_status AS s USING (number, site, building)
        WHERE v.seen = 1 AND NOT v.doubted AND v.entered IS NULL
            AND v.number = coalesce(?, v.number)
        ORDER BY v.number, v.site, v.building, v.seq"""
    found: dict[str, list[Gap]] = {}
    before: tuple[tuple[str, ...], datetime] | None = None
    for seq, at, *id, use in logbook._rows(sql, door):
        moment = datetime.fromisoformat(at)
        if before is not None and before[0] == tuple(id):
            days = (moment - before[1]).total_seconds() / _DAY
            found.setdefault(use, []).append(Gap(round(days, 2), seq in failed))
        before = None if seq in failed else (tuple(id), moment)
    return found


def _is_failure(finding: Finding) -> bool:
    return finding.severity in (Severity.SOON, Severity.ACT_NOW)
