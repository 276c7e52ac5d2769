"""Example values for the page of all messages: by the name of a parameter, or by function and
parameter where that name means something of its own there. The first of several is taken while
another parameter is varied.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

from doorround.config.resources import load_checklist
from doorround.domain import defects
from doorround.domain.alarms import Reach
from doorround.domain.check import Stage
from doorround.domain.door import Door
from doorround.domain.findings import Finding, Verdict
from doorround.domain.input_result import Said
from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.severity import Severity
from doorround.domain.people import Person, Role
from doorround.domain.schedule.due import Due, Standing, When
from doorround.domain.schedule.intervals import Reason
from doorround.domain.schedule.nudges import Point, Step
from doorround.domain.schedule.recurrence import Recurrence
from doorround.domain.summary import Span, Trend, Visit
from doorround.domain.values import CannotCheck, Condition, Defect, Measure, Unit

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
STANDING = Standing("12", "Alder House", "", "ground floor", "by the post room", "corridor", DAY)
DUE = Due(STANDING, DAY, WEEKLY, When.TODAY, 0)
LATE = Due(STANDING._replace(number="14", tries=2), DAY, WEEKLY, When.OVERDUE, 3)
POINTS = (
    Point((), Step.FIRST, defect=DEFECT),
    Point((), Step.FIRST, defect=GIVEN),
    Point((), Step.FIRST, due=DUE),
    Point((), Step.SECOND, due=LATE),
    Point((), Step.SUPERVISOR, due=LATE),
)
SPAN = Span(
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
)
LONG = replace(SPAN, name="A week", long=True, snoozed=(("Sam Reed", TODAY, 2),))
QUIET = Span("Tuesday 3 March", TODAY, TODAY, (), (), ())

EXAMPLES: dict[str, tuple[object, ...]] = {
    "about": ("Hinges", "door 12"),
    "answers": (12,),
    "at": ("2 March 09:14",),
    "apart": ("", "Mill House"),
    "aloud": (True, False),
    "at_site": (False, True),
    "bot": ("", "alder_doors_bot"),
    "by_tap": (True, False),
    "caption": ("", "top hinge"),
    "change": ("hinges",),
    "checklist": (CHECKLIST,),
    "closed": ("02 Mar 2026, 09:14",),
    "code": ("kx7m-2p4d-9wrt-h3cn",),
    "command": ("/role ROLE NAME",),
    "count": (1, 3),
    "day": (TODAY,),
    "begins": (DAY,),
    "dangers": (("closer.not_closing",), ()),
    "days": (90,),
    "deed": (DEEDS[-1], DEEDS[0]),
    "defect": (DEFECT,),
    "defects": (1,),
    "does": ("give NAME another role",),
    "door": (DOOR,),
    "doors": ((DOOR, OTHER_DOOR),),
    "due": (DUE, LATE),
    "edges": ("hinge side and lock side",),
    "example": ("two screws missing",),
    "fault": (False, True),
    "faults": (["leaf: a hole in it", "painted seals"],),
    "floor": ("", "floor two"),
    "finding": (FINDING,),
    "findings": (["Hinges: 2 screws missing", "Seals: painted over, head"],),
    "giver": ("Sam Reed",),
    "id": (41,),
    "heard": ("two screws missing and the",),
    "judgement": (OUT, WITH_DEFECTS, FAULTY, UNSEEN, FIT),
    "late": (3,),
    "later": (4,),
    "line": ("27 Feb 2026, 09:02, Sam Reed: sound, 20 answers.",),
    "link": ("https://example.org/start",),
    "made_good": ("defect 41 made good: adjusted",),
    "lost": ("1 March, 18:00 UTC",),
    "mended": ("moved away",),
    "more": (False, True),
    "part": ("Hinges",),
    "people": (["Kim Vale is #3", "kim vale is #7"],),
    "photo": (False, True),
    "person": ("Sam Reed",),
    "points": (POINTS,),
    "name": ("Kim Vale",),
    "number": ("12",),
    "numbers": (["14", "15", "16"],),
    "out": ((), (DUE.door.id,)),
    "span": (SPAN, LONG, QUIET),
    "what": ("closer: does not close by itself",),
    "today": (TODAY,),
    "found_at": ("09:14",),
    "do_now": (FINDING.do_now,),
    "parts": ("Hinges; Latch",),
    "question": (HINGES, CLOSER),
    "reach": (
        Reach(("Kim Vale", "Jo Hart")),
        Reach(("Kim Vale",), at_once=False),
        Reach(("Kim Vale",), known=frozenset({"closer.not_closing"})),
        Reach(()),
        None,
    ),
    "reason": ("no access",),
    "result": ("out of action, 2 defects, 1 not checked",),
    "role": (Role.CARETAKER,),
    "rules": (["gaps.sides: at most 5 mm in place of 4 mm"],),
    "said": ("Hinges: 2 screws missing",),
    "seconds": ("75",),
    "since": ("03 Mar 2026, 08:50",),
    "sites": (["Alder House"], []),
    "severity": tuple(reversed(Severity)),
    "site": ("Alder House", ""),
    "stage": (Stage.SIGNED,),
    "taker": ("Jo Hart",),
    "tap": (False, True),
    "terse": (False, True),
    "text": ("Hinges?",),
    "time": ("0:09",),
    "times": ("0:09 to 0:11",),
    "age": ("under a week",),
    "act_now": (0, 1),
    "of": (3,),
    "deputy": ("Kim",),
    "until": (TODAY,),
    "verdict": ("sound",),
    "value": ("2 screws missing",),
    "wanted": ("14",),
    "why": ("the door must not be moved",),
    "words": ("2 screws missing",),
}
OF_FUNCTION: dict[str, tuple[object, ...]] = {
    "alerts.put_right.door": ("12",),
    "alerts.taken_back.door": ("12",),
    "buttons.defect.id": (41,),
    "buttons.show_door.number": ("12",),
    "doors.out_of_action.why": ("closer: does not close by itself",),
    "summaries.moment.at": (
        datetime(2026, 3, 2, 16, 30, tzinfo=UTC),
        datetime(2026, 2, 20, 16, 30, tzinfo=UTC),
    ),
    "summaries.since.name": ("Tuesday 3 March",),
    "summaries.since.moment": ("Monday 16:30",),
    "defects.person_head.person": (PERSON,),
    "people.described.person": (PERSON,),
    "people.which_role.person": (PERSON,),
    "help.role_help.role": tuple(Role),
    "people.let_go.door": ("", "12"),
    "people.let_go_or_not.command": ("/remove #3 yes",),
    "people.renamed.old": ("farewell",),
    "people.renamed.new": ("remove",),
    "people.leave_or_not.door": ("", "12"),
    "people.name_it.command": ("/remove",),
    "people.name_it.question": ("Who do you want to remove?",),
    "people.no_such_command.command": ("invite",),
    "people.not_in_group.command": ("look",),
    "people.not_your_site.words": ("", "Elm House"),
    "people.numbered.number": (3,),
    "people.role_needs_name.role": ("auditor",),
    "people.round_given.door": ("12", ""),
    "defects.overdue.count": (3,),
    "defects.overdue.more": (False, True),
    "defects.what_was_done.command": ("defect 41 made good: ",),
    "defects.gone.door": ("12",),
    "defects.gone.why": ("taken back by Sam Reed",),
    "defects.closed.defect": (MENDED,),
    "defects.already.defect": (MENDED,),
    "defects.made_good.defect": (GIVEN, DEFECT),
    "query_answers.check_verdict.verdict": tuple(Verdict),
    "query_answers.clock_in_doubt.why": ("the clock runs behind the last entry",),
    "query_answers.defect_line.defect": (DEFECT, GIVEN, MENDED),
    "query_answers.defect_history.defect": (MENDED,),
    "query_answers.open_defect.defect": (DEFECT, GIVEN, MENDED),
    "query_answers.due_head.due": (5,),
    "query_answers.due_line.out": (False, True),
    "query_answers.door_out.why": ("closer: does not close by itself",),
    "query_answers.late_line.doors": (2, 0),
    "query_answers.may_not_check.door": ("12",),
    "query_answers.no_door_on.floor": ("floor two",),
    "query_answers.no_door_to_read.words": ("the blue one",),
    "query_answers.not_checked.parts": (["Hinges", "Latch"],),
    "query_answers.not_checked.more": (0, 3),
    "query_answers.out_because.why": ("burnt in a test",),
    "query_answers.out_of_action.why": ("closer: does not close by itself",),
    "query_answers.snoozed.begins": (TODAY,),
    "query_answers.nothing_due_today.later": (1, 4),
    "answers.measure_words.value": (Measure(amount=Fraction(7, 2), unit=Unit.MM),),
    "answers.not_checked.reason": ("locked", None),
    "answers.said_words.said": (Said(question="hinges.fixings", value=TWO_SCREWS, phrase="x"),),
    "answers.value_words.question": (HINGES,),
    "answers.value_words.value": (TWO_SCREWS, Condition(), CannotCheck(reason="locked")),
    "confirming.all_unanswered.count": (23,),
    "confirming.all_unanswered.reason": ("not checked: no access",),
    "confirming.yes_or_no.why": ("I didn't understand that.", ""),
    "noting.changed_to_no_answer.parts": ("Hinges and Latch",),
    "asking.missed_at_end.part": ("Hinges",),
    "buttons.door.number": ("12",),
    "finding_door.names_no_door.words": ("the blue one",),
    "finding_door.not_in_register.words": ("two fifteen",),
    "finding_door.refused_before.door": ("12",),
    "finding_door.too_many.count": (9,),
    "help.options.question": (None, HINGES),
    "noting.change_waits.stage": (Stage.PAUSED, Stage.CANCELLING),
    "noting.changed_to_no_answer.words": ("the blue one", None),
    "noting.read_back_dropped.words": ("the blue one", None),
    "phrasing.counted.number": (1, 3),
    "receiving.check_open.door": ("12",),
    "receiving.check_open_elsewhere.door": ("12",),
    "receiving.out_of_reach.since": ("27 February, 09:10 UTC",),
    "replying.cancelled.door": ("12",),
    "replying.closed.stage": (Stage.SIGNED, Stage.CANCELLED),
    "replying.no_answer_here.words": ("the blue one",),
    "replying.no_answer_yet.part": ("hinges",),
    "replying.paused.door": ("12",),
    "replying.resumed.door": ("12",),
    "summing_up.door_result.door": ("12",),
    "summing_up.not_checked.parts": (["Hinges (no access)", "Latch"],),
    "summing_up.not_tested.parts": (["Closer from fully open", "Latch"],),
    "summing_up.sign_or_not.door": ("12",),
    "summing_up.signed.door": ("12",),
}
