"""An invented door with defects, people and days, for the examples of messages."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from doorround.config.resources import load_checklist
from doorround.domain import defects
from doorround.domain.door import Door
from doorround.domain.findings import Finding
from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.severity import Severity
from doorround.domain.people import Person
from doorround.domain.schedule.due import DoorStatus, Due, DueState
from doorround.domain.schedule.intervals import Reason
from doorround.domain.schedule.nudges import NudgePoint, NudgeStep
from doorround.domain.schedule.recurrence import Recurrence
from doorround.domain.summary import Period, Trend, Unconfirmed, Visit
from doorround.domain.values import Condition, Defect

CHECKLIST = load_checklist()
HINGES = CHECKLIST.ask("hinges.fixings")
CLOSER = CHECKLIST.ask("closer.full")
TWO_SCREWS = Condition(defects=(Defect(name="screw_missing", count=2, where="top hinge"),))
DOOR = Door(
    number="12", site="Alder House", floor="ground floor", place="by the post room", rating="FD30S"
)
OTHER_DOOR = Door(
    number="14", site="Alder House", floor="first floor", place="stair B", rating="FD30"
)
SINCE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
DAY = date(2026, 3, 2)
TODAY = date(2026, 3, 3)
FINDING = Finding(
    rule="closer.not_closing",
    question="closer.full",
    component="closer",
    what="does not close by itself",
    why="A door that stands open holds back neither fire nor smoke.",
    do_now="Shut it and tell the supervisor at once.",
    source="an example",
    severity=Severity.ACT_NOW,
)
FAULTY = judge_door(DOOR, {"hinges.fixings": TWO_SCREWS}, CHECKLIST)
UNSEEN = FAULTY.model_copy(update={"findings": ()})
WITH_DEFECTS = FAULTY.model_copy(update={"result": Result.WITH_DEFECTS, "not_checked": ()})
OUT = WITH_DEFECTS.model_copy(update={"result": Result.OUT_OF_ACTION})
FIT = UNSEEN.model_copy(update={"result": Result.FIT, "not_checked": ()})
DEFECT = defects.Defect(
    id=41,
    door=("Alder House", "", "12"),
    finding=FINDING,
    severity=Severity.ACT_NOW,
    first=date(2026, 2, 27),
    last=date(2026, 3, 1),
    due=date(2026, 3, 1),
    found_by="Sam Reed",
    seen_by="Sam Reed",
)
GIVEN = replace(DEFECT, id=42, severity=Severity.SOON, given_to="Kim Vale", due=date(2026, 3, 9))
PERSON = Person("Kim Vale", "supervisor", SINCE, ("Alder House",))
DEEDS = (
    defects.Deed(43, SINCE, DAY, defects.DeedKind.ASSIGNED, 41, "Kim Vale", to="Jo Hart", by=TODAY),
    defects.Deed(44, SINCE, DAY, defects.DeedKind.MADE_GOOD, 41, "Jo Hart", "closer adjusted"),
)
MENDED = replace(
    DEFECT,
    state=defects.State.MADE_GOOD,
    ended=DAY,
    ended_by="Jo Hart",
    times=2,
    reopened=1,
    deeds=DEEDS,
)
WEEKLY = Reason(Recurrence(1, "week"), "in constant use", "an example")
STANDING = DoorStatus("12", "Alder House", "", "ground floor", "by the post room", "corridor", DAY)
DUE = Due(STANDING, DAY, WEEKLY, DueState.TODAY, 0)
LATE = Due(STANDING._replace(number="14", tries=2), DAY, WEEKLY, DueState.OVERDUE, 3)
POINTS = (
    NudgePoint((), NudgeStep.FIRST, defect=DEFECT),
    NudgePoint((), NudgeStep.FIRST, defect=GIVEN),
    NudgePoint((), NudgeStep.FIRST, due=DUE),
    NudgePoint((), NudgeStep.SECOND, due=LATE),
    NudgePoint((), NudgeStep.SUPERVISOR, due=LATE),
)
PERIOD = Period(
    name="Tuesday 3 March",
    first=TODAY,
    last=TODAY,
    due=(DUE, LATE),
    visits=(
        Visit(TODAY, ("Alder House", "", "15"), "Sam Reed", seen=True),
        Visit(TODAY, ("Alder House", "", "16"), "Sam Reed", seen=False),
        Visit(TODAY, ("Alder House", "", "17"), "Jo Hart", seen=True, doubted=True),
    ),
    defects=(DEFECT, GIVEN),
    out={("Alder House", "", "18"): "no closer"},
    doors=20,
    trend=(Trend("2 Mar", 3, 2, 1), Trend("3 Mar", 2, 1, 2)),
    clock="the clock runs behind the last entry",
    unconfirmed=(Unconfirmed(("Alder House", "", "19"), "Sam Reed", "Leaf, this side: split"),),
)
LONG = replace(PERIOD, name="A week", long=True, snoozed=(("Sam Reed", TODAY, 2),))
QUIET = Period("Tuesday 3 March", TODAY, TODAY, (), (), ())
