"""Data for the round plausibility questions besides signed checks: defect histories, and periods of
clock doubt.
"""

from __future__ import annotations

import json
from datetime import datetime

from doorround.domain.defects import ChangeKind, DeedKind, Defect
from doorround.domain.judging.plausible_rounds import ClockDoubt, FollowedDefect
from doorround.domain.judging.severity import Targets
from doorround.logbook.defects import read_defects
from doorround.logbook.store import Logbook


def followed_faults(logbook: Logbook) -> list[FollowedDefect]:
    """Every defect, with its repairs and recurrences, in the order found."""
    found = read_defects(logbook, Targets())
    return [_followed(each) for each in found.all.values()]


def _followed(defect: Defect) -> FollowedDefect:
    taken_back = {deed.seq for deed in defect.deeds if deed.kind is DeedKind.REOPENED}
    return FollowedDefect(
        defect.id,
        defect.door[2],
        defect.door[1],
        defect.what,
        defect.found_by,
        tuple((deed.day, deed.person) for deed in defect.deeds if deed.kind is DeedKind.MADE_GOOD),
        tuple(
            change.day
            for change in defect.changes
            if change.what is ChangeKind.AGAIN and change.seq not in taken_back
        ),
    )


def clock_doubts(logbook: Logbook) -> list[ClockDoubt]:
    """Each period of clock doubt, and how many checks were signed in it."""
    sql = """SELECT d.at, d.body, (
            SELECT count(*) FROM entries AS s WHERE s.kind = 'signed' AND s.seq > d.seq
                AND s.seq < coalesce((
                    SELECT min(t.seq) FROM entries AS t
                    WHERE t.kind IN ('clock doubted', 'clock trusted') AND t.seq > d.seq
                ), 9223372036854775807)
        ) FROM entries AS d
        WHERE d.kind IN ('clock doubted', 'clock trusted') AND d.kind = 'clock doubted'
        ORDER BY d.seq"""
    return [
        ClockDoubt(datetime.fromisoformat(at), json.loads(body)["why"], signed)
        for at, body, signed in logbook._rows(sql)
    ]
