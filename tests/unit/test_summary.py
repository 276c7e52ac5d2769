"""The supervisor's summary: ten seconds to read, act now first; a picture that needs no colour;
once, at its hour.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

import numpy as np
import pytest
import small_visit as visit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from post import deliver

from doorround.domain.defects import ChangeKind, DeedKind, Defect, DefectChange, State
from doorround.domain.door import Use
from doorround.domain.findings import Finding
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.people import Role
from doorround.domain.schedule.due import DoorStatus, Due, DueState
from doorround.domain.schedule.intervals import WEEK, Reason
from doorround.domain.schedule.plan import Plan
from doorround.domain.summary import Figures, Period, Trend, Visit, figures_of
from doorround.domain.values import CannotCheck, Value
from doorround.logbook.chats import Chats
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.outbox import Outbox
from doorround.logbook.people import People
from doorround.logbook.period import read_period
from doorround.logbook.store import Logbook
from doorround.messages.summaries import summary_of
from doorround.messages.summary_picture import SHOWN_AS, STATES
from doorround.reminders.summaries import kinds_of, send_summaries
from doorround.reports.chart import DARK, LIGHT, SHORT_PX, WIDTH_PX, days_and_months, draw
from doorround.reports.summary import Frequency, report
from tests.whole import so_many

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


def test_a_busy_day_says_what_cannot_wait_first() -> None:
    assert summary_of(BUSY).text.split("\n") == [
        "⚠️ Out of action: 14, ground floor, by the lift: seals painted over since 3 March"
        " (nobody has it)",
        "⚠️ Out of action: 77: leaf off since 1 March",
        "Late: 30 (9 days), 9 (4)",
        "Due today, not done: 1 door",
        "Defect late: 15, seals painted over, 3 days (Sam)",
        "Tuesday 3 March: 11 checks, 1 tried in vain, 2 new defects",
    ]


USUAL = (("9", 4), ("30", 9), ("31", 1), ("5", 1), ("6", 1))


def test_a_usual_day_takes_at_most_45_words() -> None:
    """One door out of action, five late, a repair to look at, eleven checks."""
    out = replace(a_defect(1, Severity.ACT_NOW, to="Sam"), times=1)
    mended = replace(a_defect(2, Severity.SOON, "12"), state=State.MADE_GOOD, look_by=TUESDAY)
    usual = a_span(
        due=[
            a_due(str(number), late) for number, late in ((9, 4), (30, 9), (31, 1), (5, 1), (6, 1))
        ],
        visits=BUSY.visits,
        defects=[out, mended],
        places={("S", "B", "14"): "by the lift"},
        after=1,
    )
    text = summary_of(usual).text
    assert len(text.split()) <= 45, text
    assert text.split("\n")[1:] == [
        "Late: 30 (9 days), 9 (4), 31 (1), 2 more",
        "Repaired, to look at: 12 by 3 March",
        "Tuesday 3 March: 11 checks, 1 tried in vain, 1 new defect",
    ]
    assert " 0 " not in text and "up from" not in text


def test_a_door_that_is_repaired_and_not_looked_at_is_still_told_as_out_of_action() -> None:
    """The door's own message says that it stays so until somebody has looked."""
    grave = replace(a_defect(1, Severity.ACT_NOW), state=State.MADE_GOOD, look_by=TUESDAY)
    soon = replace(a_defect(2, Severity.SOON, "12"), state=State.MADE_GOOD)
    assert grave.out_of_action and not soon.out_of_action
    line = "Repaired, to look at: 14 by 3 March (out of action), 12"
    assert line in summary_of(a_span(defects=[grave, soon], after=1)).text.split("\n")


def test_the_picture_calls_no_door_fine_that_was_only_checked_in_time() -> None:
    assert STATES[-1] == "fine" and SHOWN_AS == {"fine": "in time"}


def test_a_week_tells_who_did_it_who_has_what_and_what_became_better() -> None:
    week = replace(BUSY, long=True, snoozed=(("Sam", date(2026, 3, 5), 2),))
    lines = summary_of(week).text.split("\n")
    assert lines[-4:] == [
        "Snoozed: Sam until 5 March, 2 doors waiting",
        "Tuesday 3 March: 11 checks (Ines 7, Sam 4), 1 tried in vain, 2 new defects",
        "Open: 3 defects (nobody 2, Sam 1 (1 late))",
        "Since 2 Mar: overdue down from 6 to 2, checks down from 30 to 11",
    ]
    assert len(lines) <= 12


def test_its_buttons_lead_to_the_defect_the_door_and_the_person() -> None:
    assert summary_of(BUSY).taps == (
        "give defect 1",
        "defect 2",
        "show door 30",
        "what is due",
        "who is late",
    )


def test_a_bad_day_is_still_read_in_ten_seconds() -> None:
    many = a_span(
        due=[a_due(str(n), n) for n in range(200)],
        visits=[Visit(TUESDAY, ("S", "B", "1"), f"person {n}", True) for n in range(30)],
        defects=[a_defect(n, Severity.ACT_NOW, str(n), f"person {n}") for n in range(60)],
        trend=BUSY.trend,
    )
    text = summary_of(many).text
    # 300 words a minute, a usual pace of reading, is 50 in ten seconds; a number or a name is taken
    # in at a glance
    words = [word for word in text.split() if word.strip("⚠️·,.()×:").isalpha()]
    assert len(words) <= 65 and len(text.split("\n")) <= 12
    assert "And 57 more out of action" in text


def test_a_silent_day_is_one_line() -> None:
    found = summary_of(a_span())
    assert (found.text, found.silent, found.taps) == (
        "Tuesday 3 March: nothing due, nothing done, nothing wrong.",
        True,
        (),
    )


# ---- the picture


@pytest.mark.parametrize("dark", [False, True])
def test_the_picture_fits_a_telephone_light_and_dark(dark: bool) -> None:
    with Image.open(io.BytesIO(draw(figures_of(BUSY), dark))) as picture:
        assert (picture.size, picture.format) == ((WIDTH_PX, SHORT_PX), "PNG")
        corner = picture.convert("RGB").getpixel((3, 3))
    assert corner == ((21, 24, 28) if dark else (255, 255, 255))


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.1, from memory."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_words_stand_out_and_bars_differ_without_colour(look: object) -> None:
    def contrast(a: str, b: str) -> float:
        high, low = sorted((luminance(a), luminance(b)), reverse=True)
        return (high + 0.05) / (low + 0.05)

    assert contrast(look.ink, look.back) >= 7  # type: ignore[attr-defined]
    assert contrast(look.bad, look.good) >= 1.5 and contrast(look.bad, look.back) >= 3  # type: ignore[attr-defined]


def test_late_is_told_by_hatching_too() -> None:
    """Drawn in grey the squares of late doors still differ from those of fine ones."""
    late = {**figures_of(BUSY), "doors": dict.fromkeys(STATES, 0) | {"late": 25}}
    with Image.open(io.BytesIO(draw(late))) as picture:
        grey = np.asarray(picture.convert("L"))[315:340, 60:1000]
    assert grey.std() > 20


def figures(name: str, defects: list[list[int]], fine: int) -> Figures:
    doors = dict(zip(STATES, (7, 45, 12, fine), strict=True))
    ages = dict(zip(("under a week", "1 to 4 weeks", "over 4 weeks"), defects, strict=True))
    trend = [(f"{nth} Mar", 380, 45, 52) for nth in range(8)]
    return {"name": name, "building": "Mill House", "doors": doors, "defects": ages, "trend": trend}


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(
    ("defects", "fine"), [([[14, 3], [26, 2], [112, 12]], 336), ([[1, 1], [2, 0], [0, 0]], 5)]
)
def test_no_words_of_the_picture_are_cut_off_or_lie_on_each_other(
    defects: list[list[int]], fine: int, dark: bool
) -> None:
    name = "Wednesday 30 September, since Wednesday 16:30"
    with Image.open(io.BytesIO(draw(figures(name, defects, fine), dark))) as picture:
        grey = np.asarray(picture.convert("L")).astype(int)
    ink = abs(grey - grey[3, 3]) > 20
    assert not ink[:, -12:].any()
    # what a square stands for and the head of the defects, or the head and its first line: apart
    rows = ink[540:690].any(axis=1)
    heads = int((rows[1:] & ~rows[:-1]).sum()) + int(rows[0])
    assert heads == 2


def test_the_picture_counts_doors_by_state_and_defects_by_age() -> None:
    figures = figures_of(replace(BUSY, building="Mill House"))
    assert figures["doors"] == {"out of action": 2, "late": 2, "due today": 1, "fine": 395}
    assert figures["defects"] == {
        "under a week": [3, 1],
        "1 to 4 weeks": [0, 0],
        "over 4 weeks": [0, 0],
    }
    assert figures["building"] == "Mill House" and figures["trend"] == []


def test_a_trend_begins_with_the_register_and_has_three_steps() -> None:
    steps = [Trend("1 Feb", 0, 0, 0, doors=0), *(Trend(f"{day} Mar", 3, 0, 0) for day in (1, 8))]
    assert figures_of(a_span(trend=steps))["trend"] == []
    assert len(figures_of(a_span(trend=[*steps, Trend("15 Mar", 2, 0, 0)]))["trend"]) == 3


# ---- from the logbook to the outbox


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Ines", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-9))
            Chats(logbook).belong(f"telegram/{name}", name)
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
        yield logbook


def check(logbook: Logbook, day: int, seals: Value = visit.SOUND, hour: float = 8) -> None:
    minute = day * 1440 + (hour - 8) * 60
    turn = visit.start(visit.door(use=Use.CORRIDOR), id=f"c{day}", minute=minute)
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "seals", seals, minute)
    logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, minute))


def sent(logbook: Logbook, day: int, hour: float = 16.5) -> list[str]:
    now = datetime(2026, 3, 2, tzinfo=UTC) + timedelta(days=day, hours=hour)
    texts = [made.summary.text for made in send_summaries(logbook, Plan(), now)]
    deliver(logbook)
    return texts


def test_the_summary_of_a_day_is_as_it_stood_at_its_end(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    [defect] = read_defects(logbook, Plan().defects).open
    act(
        logbook, defect, DeedKind.MADE_GOOD, "Ines", visit.at(1440), "replaced", no_photo="too dark"
    )
    monday, tuesday = (
        report(logbook, Plan(), Frequency.DAY, date(2026, 3, day), None).summary.text
        for day in (2, 3)
    )
    assert monday == "Monday 2 March: 1 check (Ines 1), 1 new defect"
    assert tuesday == "Repaired, to look at: 14 by 10 March\nTuesday 3 March: 1 made good"
    late = report(logbook, Plan(), Frequency.DAY, date(2026, 3, 12), None).summary.text
    assert late.startswith("Late: 14 (3 days)\n")


def test_it_goes_to_the_supervisor_once_at_the_set_hour_on_working_days(logbook: Logbook) -> None:
    check(logbook, 0)
    assert sent(logbook, 0, 15.9) == []
    assert len(sent(logbook, 0)) == 1 and sent(logbook, 0, 17) == []
    [message] = Outbox(logbook).all("telegram/Mona")
    assert message.body.text.startswith("Monday 2 March: 1 check")
    assert message.body.picture["doors"] == dict.fromkeys(STATES, 0) | {"fine": 1}
    assert sent(logbook, 1)[0].startswith("Tuesday 3 March, since Monday 16:30: nothing due")
    assert Outbox(logbook).all("telegram/Mona")[1].body.picture is None
    assert sent(logbook, 5) == [] and sent(logbook, 2, 20) == []
    assert logbook.verify() == []


def test_days_without_the_bot_are_made_up_for_in_one(logbook: Logbook) -> None:
    sent(logbook, 0)
    check(logbook, 1)
    check(logbook, 5, CannotCheck(reason="no access"))
    [text] = sent(logbook, 7)
    assert text == "Monday 9 March, since 2 March 16:30: 1 check (Ines 1), 1 tried in vain"


def test_a_week_and_a_month_end_with_their_own(logbook: Logbook) -> None:
    plan = Plan(country="GB", region="ENG")
    assert kinds_of(plan, date(2026, 3, 5)) == [Frequency.DAY]
    assert kinds_of(plan, date(2026, 3, 6)) == [Frequency.WEEK]
    assert kinds_of(plan, date(2026, 3, 31)) == [Frequency.MONTH]
    assert kinds_of(plan, date(2026, 7, 31)) == [Frequency.WEEK, Frequency.MONTH]
    # Good Friday
    assert kinds_of(plan, date(2026, 4, 2)) == [Frequency.WEEK]
    check(logbook, 0)
    [text] = sent(logbook, 4)
    assert text.split("\n")[0] == "The week up to Friday 6 March: 1 check (Ines 1)"
    assert "Since 23 Feb: checks up from 0 to 1" in text


def test_a_supervisor_hears_of_their_own_sites_only(logbook: Logbook) -> None:
    logbook.add_person("Kim", "supervisor", visit.at(0))
    People(logbook).change_role("Mona", Role.SUPERVISOR, ("Elm House",), "Mona", visit.at(0))
    check(logbook, 0, visit.PAINTED)
    assert sent(logbook, 0) == ["Monday 2 March: nothing due, nothing done, nothing wrong."]


def test_evening_and_weekend_work_is_in_the_next_daily_and_the_next_weekly(
    logbook: Logbook,
) -> None:
    assert len(sent(logbook, 4)) == 1  # the weekly in place of Friday's daily
    check(logbook, 5, hour=10)  # Saturday
    monday = sent(logbook, 7)
    check(logbook, 7, hour=17.5)  # Monday, after the hour of the summary
    tuesday = sent(logbook, 8)
    assert monday == ["Monday 9 March, since Friday 16:30: 1 check (Ines 1)"]
    assert "1 check (Ines 1)" in tuesday[0]
    assert "2 checks (Ines 2)" in sent(logbook, 11)[0]


STEPS = st.lists(
    st.tuples(
        st.sampled_from(("check", "fault", "good", "look", "back", "tick", "lost")),
        st.integers(1, 2000),
    ),
    min_size=1,
    max_size=25,
)


@settings(max_examples=so_many(20, 60), deadline=None, suppress_health_check=list(HealthCheck))
@given(STEPS)
def test_every_check_and_every_change_of_a_defect_is_in_exactly_one_daily(
    steps: list[tuple[str, int]],
) -> None:
    """steps: what happens, and how many minutes after the step before. lost: a tick whose message
    does not arrive.
    """
    told: list[Period] = []

    def keep(*given: object) -> Period:
        told.append(read_period(*given))  # type: ignore[arg-type]
        return told[-1]

    with (
        TemporaryDirectory() as folder,
        Logbook.open(Path(folder) / "logbook.db", "Europe/London") as logbook,
        patch("doorround.reports.summary.read_period", keep),
        patch("doorround.reminders.summaries.kinds_of", lambda plan, day: [Frequency.DAY]),
    ):
        logbook.add_person("Ines", "caretaker", visit.at(-9))
        logbook.add_person("Mona", "supervisor", visit.at(-9))
        Chats(logbook).belong("telegram/Mona", "Mona")
        minute = 0
        dailies = list[Period]()
        waiting = list[Period]()
        for nth, (what, gap) in enumerate([*steps, ("tick", 0)]):
            minute = minute + gap if gap else next_monday(minute)
            if what in ("tick", "lost"):
                made = send_summaries(logbook, Plan(), visit.at(minute))
                waiting = [told[0]] if made else waiting
                if what == "tick":
                    deliver(logbook)
                    dailies = [*dailies, *waiting]
                    waiting = []
                told.clear()
            else:
                happen(logbook, what, nth, minute)
        seen = [each.door for daily in dailies for each in daily.visits]
        doors = [(kept.site, kept.building, kept.door) for kept in logbook.checks()]
        assert sorted(seen) == sorted(doors)
        changes = Counter(
            change.what
            for each in read_defects(logbook, Targets()).all.values()
            for change in each.changes
        )
        assert (
            Counter({what: sum(daily.changed(what) for daily in dailies) for what in ChangeKind})
            == changes
        )


def next_monday(minute: int) -> int:
    """A Monday at half past four, a day later at least."""
    days = (minute // 1440 // 7 + 2) * 7
    return days * 1440 + 8 * 60 + 30


def happen(logbook: Logbook, what: str, nth: int, minute: int) -> None:
    """A check of a door of its own, or something done about the first defect that it can be done
    about.
    """
    if what in ("check", "fault"):
        door = visit.door(str(nth))
        logbook.add_door(door, "Mona", visit.at(minute))
        turn = visit.start(door, id=f"c{nth}", minute=minute)
        logbook.begin("chat", turn)
        turn = visit.answer(
            turn.check, "seals", visit.PAINTED if what == "fault" else visit.SOUND, minute
        )
        logbook.keep("chat", None, turn)
        logbook.keep("chat", None, visit.close(turn.check, minute))
        return
    deed = {"good": DeedKind.MADE_GOOD, "look": DeedKind.LOOKED_AT, "back": DeedKind.REOPENED}[what]
    for defect in read_defects(logbook, Targets()).all.values():
        with suppress(LogbookError):
            by = "Mona" if what == "look" else "Ines"
            act(logbook, defect, deed, by, visit.at(minute), "seals replaced", no_photo="too dark")
            return


def test_a_month_stands_below_its_first_day() -> None:
    assert days_and_months(["27 Feb", "28 Feb", "1 Mar", "2 Mar"]) == [
        "27\nFeb",
        "28\n ",
        "1\nMar",
        "2\n ",
    ]
    assert days_and_months(["Feb", "Mar"]) == ["Feb", "Mar"]
