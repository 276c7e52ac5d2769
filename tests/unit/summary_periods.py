"""Invented periods, for the tests of summaries."""

from __future__ import annotations

from datetime import date, timedelta

from doorround.domain.defects import ChangeKind, Defect, DefectChange
from doorround.domain.findings import Finding
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import DoorStatus, Due, DueState
from doorround.domain.schedule.intervals import WEEK, Reason
from doorround.domain.summary import Period, Trend, Visit

TUESDAY = date(2026, 3, 3)


def a_defect(
    id: int, severity: Severity, number: str = "14", to: str | None = None, age: int = 0
) -> Defect:
    finding = Finding(
        rule=f"r{id}",
        question="seals",
        component="seals",
        what="seals painted over",
        why="w",
        do_now="d",
        source="s",
        severity=severity,
    )
    first = TUESDAY - timedelta(days=age)
    changes = (DefectChange(ChangeKind.NEW, id, first),)
    due = first + timedelta(days=2)
    return Defect(
        id, ("S", "B", number), finding, severity, first, first, due, given_to=to, changes=changes
    )


def a_due(number: str, late: int) -> Due:
    door = DoorStatus(number, "S", "B", "", "", None, TUESDAY)
    when = DueState.OVERDUE if late else DueState.TODAY
    return Due(door, TUESDAY - timedelta(days=late), Reason(WEEK, "w", "s"), when, late)


def a_span(**more: object) -> Period:
    fields = {"due": (), "visits": (), "defects": (), "doors": 400, **more}
    return Period("Tuesday 3 March", TUESDAY, TUESDAY, **fields)  # type: ignore[arg-type]


BUSY = a_span(
    due=[a_due("9", 4), a_due("30", 9), a_due("31", 0)],
    visits=[
        Visit(TUESDAY, ("S", "B", str(n)), "Ines" if n % 3 else "Sam", n != 5) for n in range(12)
    ],
    defects=[
        a_defect(1, Severity.ACT_NOW),
        a_defect(2, Severity.SOON, "15", "Sam", 5),
        a_defect(3, Severity.PLANNED),
    ],
    out={("S", "B", "14"): "seals painted over", ("S", "B", "77"): "leaf off"},
    since={("S", "B", "77"): date(2026, 3, 1)},
    places={("S", "B", "14"): "ground floor, by the lift"},
    trend=[Trend("2 Mar", 30, 6, 3), Trend("3 Mar", 11, 2, 3)],
    after=1,
)
