"""Door schedule imports recorded in the logbook."""

from __future__ import annotations

from doorround.domain.door import Door
from doorround.domain.schedule.due import DoorId
from doorround.logbook.errors import LogbookError
from doorround.logbook.reader import Reader
from doorround.logbook.records import EventRecord


def checked_with_doorround(logbook: Reader) -> set[DoorId]:
    """Doors checked with doorround, whose earlier checks therefore no longer count."""
    rows = logbook._rows(
        """SELECT DISTINCT site, building, number FROM visits
        WHERE seen = 1 AND NOT doubted AND entered IS NULL"""
    )
    return {(site, building, number) for site, building, number in rows}


def last_import(logbook: Reader) -> EventRecord:
    """The last import not undone. Raises LogbookError if there is none."""
    rows = logbook._rows(
        """SELECT i.seq FROM entries AS i WHERE i.kind = 'doors imported' AND NOT EXISTS (
            SELECT 1 FROM entries AS u
            WHERE u.kind = 'import undone' AND json_extract(u.body, '$.of') = i.seq
        ) ORDER BY i.seq DESC LIMIT 1"""
    )
    if not rows:
        raise LogbookError("There is no import that could be undone.")
    return logbook.entries(after=rows[0][0] - 1, limit=1)[0]


def used_since(logbook: Reader, door: Door, seq: int) -> bool:
    """Whether a door was checked, put out of action or brought back after that entry."""
    sql = """SELECT 1 FROM entries WHERE door = ? AND site = ? AND building = ? AND seq > ?
        AND kind IN ('check started', 'access refused', 'door out of action', 'door fit again')
        LIMIT 1"""
    return bool(logbook._rows(sql, door.number, door.site, door.building, seq))
