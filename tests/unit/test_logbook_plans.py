"""The questions asked at a door go through an index: none reads the whole logbook."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
import small_visit as visit

from doorround.domain.people import Account
from doorround.domain.schedule.intervals import Intervals
from doorround.domain.schedule.plan import Plan
from doorround.logbook.due import doors_due, next_door
from doorround.logbook.people import People
from doorround.logbook.reminder_log import last_said, was_said
from doorround.logbook.store import Logbook
from doorround.reports.summary import Frequency, report


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Ines", "caretaker", visit.at(-6))
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        turn = visit.start(visit.door())
        logbook.begin("chat", turn, "m0")
        turn = visit.answer(turn.check, "seals", visit.PAINTED, 1)
        logbook.keep("chat", "m1", turn)
        logbook.keep("chat", "m2", visit.close(turn.check, 2))
        yield logbook


def plan(logbook: Logbook, ask: Callable[[Logbook], object]) -> list[str]:
    """Steps of SQLite's plan for the very statements that a question runs."""
    conn = logbook._db.conn
    asked = []
    conn.set_trace_callback(asked.append)
    ask(logbook)
    conn.set_trace_callback(None)
    asked = [sql for sql in asked if sql.lstrip().upper().startswith(("SELECT", "INSERT"))]
    assert asked
    return [str(step[3]) for sql in asked for step in conn.execute(f"EXPLAIN QUERY PLAN {sql}")]


AT_THE_DOOR: dict[str, Callable[[Logbook], object]] = {
    "the door": lambda logbook: logbook.door("14"),
    "the door in its building": lambda logbook: logbook.door("14", "Alder House", "East"),
    "its last check": lambda logbook: logbook.last_check(visit.door()),
    "its checks": lambda logbook: logbook.checks(visit.door()),
    "a first visit": lambda logbook: logbook.first_visit(visit.door()),
    "somebody's visits": lambda logbook: logbook.visits("Ines"),
    "whose account": lambda logbook: People(logbook).behind(Account("telegram", "4711")),
    "a person": lambda logbook: People(logbook).person("Ines"),
    "a group's site": lambda logbook: People(logbook).group_site("telegram/-9"),
    "a check": lambda logbook: logbook.check("c1"),
    "answers in force": lambda logbook: logbook.answers("c1"),
    "all answers": lambda logbook: logbook.answers_given("c1"),
    "findings": lambda logbook: logbook.findings("c1"),
    "entries of a door": lambda logbook: logbook.entries(door="14"),
    "entries of a check": lambda logbook: logbook.entries(check="c1"),
    "where a talk without a door stands": lambda logbook: logbook.door_search("chat"),
    "where the talk stands": lambda logbook: logbook.position("chat"),
    "a repeated message": lambda logbook: logbook.already("chat", "m1"),
    "what may be due": lambda logbook: doors_due(
        logbook, Intervals(), date(2026, 3, 20), visit.at(0)
    ),
    "the next door of the walk": lambda logbook: next_door(
        logbook, Intervals(), visit.door(), visit.at(0)
    ),
    "whether something was said": lambda logbook: was_said(logbook, "nudge/Ines/2026-03-20"),
    "when a summary went out last": lambda logbook: last_said(logbook, "summary/daily/Mona/"),
    "a new check": lambda logbook: logbook.begin("other", visit.start(visit.door(), id="c2"), "m1"),
}


@pytest.mark.parametrize("question", AT_THE_DOOR)
def test_no_question_at_the_door_reads_the_whole_logbook(logbook: Logbook, question: str) -> None:
    steps = plan(logbook, AT_THE_DOOR[question])
    assert steps
    # sqlite_sequence holds one row a table, a virtual table the values inside one entry
    whole = [step for step in steps if step.startswith("SCAN") and "VIRTUAL TABLE" not in step]
    # that index holds the clock's entries alone, a few in a logbook
    assert set(whole) <= {
        "SCAN CONSTANT ROW",
        "SCAN sqlite_sequence",
        "SCAN entries USING INDEX entries_of_clock",
    }


def test_the_head_of_the_register_is_read_from_its_own_index(logbook: Logbook) -> None:
    assert "SEARCH entries USING INDEX entries_at_head_of_register" in plan(
        logbook, Logbook.register_head
    )
    before = logbook.register_head()
    assert len(before) == 64
    logbook.add_door(visit.door("77"), "Mona", visit.at(5))
    assert logbook.register_head() != before


@pytest.mark.parametrize(
    "ask", [Logbook.doors, lambda logbook: logbook._rows("SELECT * FROM last_checks")]
)
def test_the_register_is_read_by_the_names_of_its_doors(
    logbook: Logbook, ask: Callable[[Logbook], object]
) -> None:
    whole = [step for step in plan(logbook, ask) if step.startswith("SCAN")]
    assert whole and not [step for step in whole if "entries" in step or " e" in step]


@pytest.mark.parametrize("every", Frequency)
def test_a_summary_reads_entries_of_the_kinds_that_it_tells_of(
    logbook: Logbook, every: Frequency
) -> None:
    """Each through an index that holds no others: none walks the entries by their number."""
    steps = plan(logbook, lambda logbook: report(logbook, Plan(), every, date(2026, 3, 20), None))
    walked = [step for step in steps if "PRIMARY KEY (rowid<?" in step and "visits" not in step]
    assert steps and [step for step in walked if not step.startswith("SEARCH v ")] == []
    assert not [
        step
        for step in steps
        if step.startswith(("SCAN entries", "SEARCH entries ")) and "USING" not in step
    ]
