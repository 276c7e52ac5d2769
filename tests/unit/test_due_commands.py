"""doorround due, defects and doors out-of-service, run as a person runs them."""

import json

import pytest
import small_visit as visit
from test_photo_cleaning import telephone
from typer.testing import CliRunner

from doorround.channels.talk.door_selection import DoorSelection
from doorround.cli.app import app
from doorround.domain.schedule.intervals import Intervals
from doorround.logbook.store import Logbook


@pytest.fixture
def home(tmp_path):
    """A logbook with two doors, of which one was checked and has painted seals."""
    home = tmp_path / "home"
    home.mkdir()
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        for number in ("14", "15"):
            logbook.add_door(
                visit.door(number, use="corridor in constant use"), "Mona", visit.at(-5)
            )
        logbook.add_person("Sam", "caretaker", visit.at(-4))
        turn = visit.start(visit.door("14"))
        logbook.begin("chat", turn)
        for question, value in (("hinges.count", visit.THREE), ("seals", visit.PAINTED)):
            turn = visit.answer(turn.check, question, value, 1)
            logbook.keep("chat", None, turn)
        logbook.keep("chat", None, visit.close(turn.check, 2))
    return home


@pytest.fixture
def run(home, monkeypatch):
    """One command; what it prints."""
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    monkeypatch.setenv("DOORROUND_ZONE", "Europe/London")
    monkeypatch.delenv("DOORROUND_SETTINGS", raising=False)

    def run(*words, fails=False):
        done = CliRunner().invoke(app, [str(word) for word in words])
        assert bool(done.exit_code) is fails, done.output
        return done.stderr if fails else done.stdout

    return run


def test_what_is_due_is_told_with_its_reason(run, home):
    rows = [json.loads(line) for line in run("due", "--on", "2026-03-09", "--json").splitlines()]
    assert [(row["door"], row["state"], row["days_late"]) for row in rows] == [
        ("14", "today", 0),
        ("15", "overdue", 7),
    ]
    assert rows[0]["why"] == "in constant use" and rows[0]["source"] == "common practice, no source"
    assert "never checked" in run("due", "--on", "2026-03-09")
    assert "Entered: no access to door 15, nobody in" in run(
        "doors", "no-access", "15", "--why", "nobody in"
    )
    # these doors were last seen on a day of the test's own, so that today's clock looks wrong
    assert "The clock is in doubt: the clock" in run("due") and "no access" not in run("due")
    assert "Nobody called Kim" in run("logbook", "clock", "--right", "--person", "Kim", fails=True)
    assert "or, if it is: doorround logbook clock --right" in run("logbook", "clock")
    assert run("logbook", "clock", "--right", "--person", "Sam").startswith("Entered.")
    assert run("logbook", "clock") == "The clock is not in doubt.\n"
    assert "no access 1×" in run("due")
    assert "is not a date. Write it as 2026-03-02" in run("due", "--on", "Monday", fails=True)


def test_a_defect_is_listed_given_and_closed(run, home):
    [row] = [json.loads(line) for line in run("defects", "list", "--json").splitlines()]
    id = row["defect"]
    assert (row["what"], row["state"], row["due"]) == ("seals painted over", "open", "2026-03-09")
    assert "not assigned yet" in run("defects", "list", "--on", "2026-03-12")
    assert "Nobody called Kim" in run("defects", "assign", id, "--to", "Kim", fails=True)
    assert (
        run("defects", "assign", id, "--to", "Sam", "--by", "2027-03-06", "--why", "ordered")
        == f"Sam has defect {id}, due 2027-03-06.\n"
    )
    photo = home / "photo.jpg"
    photo.write_bytes(telephone())
    assert "is not a regular file" in run(
        "defects", "note", id, "ordered", "--evidence", "/dev/zero", fails=True
    )
    run("defects", "measure", id, "a watch is kept")
    run("defects", "note", id, "ordered", "--evidence", photo)
    run("defects", "close", id, "--how", "seals replaced", "--evidence", photo, "--person", "Sam")
    [row] = [json.loads(line) for line in run("defects", "list", "--json").splitlines()]
    assert (row["state"], row["ended_by"], row["measures"]) == (
        "made good",
        "Sam",
        ["a watch is kept"],
    )
    kept = (home / "evidence" / row["deeds"][-1]["evidence"]).read_bytes()
    assert (
        kept.startswith(b"\xff\xd8") and b"Some Maker" in telephone() and b"Some Maker" not in kept
    )
    shown = run("logbook", "show")
    assert "made good: seals replaced" in " ".join(shown.split())
    assert "There is no defect 999" in run("defects", "close", "999", "--how", "x", fails=True)


def test_a_door_out_of_action_shows_everywhere(run, home):
    run("doors", "out-of-service", "15", "--why", "leaf taken off")
    for words in (("doors", "list"), ("doors", "show", "15"), ("due",), ("defects", "list")):
        assert "OUT OF ACTION: leaf taken off" in run(*words), words
    with Logbook.open(home / "logbook.db") as logbook:
        finder = DoorSelection("chat", "Sam", logbook, None, None, Intervals())
        said = finder.starter.start(logbook.door("15"), visit.checklist(), visit.at(10_000_000)).say
        assert "This door is out of action: leaf taken off." in [prompt.text for prompt in said]
    run("doors", "in-service", "15", "--why", "hung again", "--person", "Sam")
    assert "OUT OF ACTION" not in run("doors", "list")
    assert "is not out of action" in run(
        "doors", "in-service", "15", "--why", "hung again", "--person", "Sam", fails=True
    )


def test_a_dry_run_tells_who_would_be_reminded_and_enters_nothing(run, home):
    rows = [
        json.loads(line)
        for line in run("reminders", "--on", "2026-03-09", "--dry-run", "--json").splitlines()
    ]
    assert [(row["to"], row["reached"]) for row in rows] == [("Sam", False)]
    assert "To be checked: 2 doors." in rows[0]["text"]
    assert "— Sam (no chat yet) —" in run("reminders", "--on", "2026-03-09", "--dry-run")
    assert "only be given with --dry-run" in run("reminders", "--on", "2026-03-09", fails=True)
    run("people", "away", "Sam", "--from", "2026-03-09", "--until", "2026-03-09")
    assert (
        run("reminders", "--on", "2026-03-09", "--dry-run") == "There are no reminders to send.\n"
    )
    run("people", "snooze", "Sam", "--days", "2")
    with Logbook.open(home / "logbook.db") as logbook:
        assert "reminded" not in [entry.kind for entry in logbook.entries()]


def test_the_summary_of_a_day_is_printed_and_drawn(run, home):
    said = run("summary", "--on", "2026-03-02", "--picture", home / "day.png", "--dark")
    assert "Monday 2 March: 1 check (Ines 1)" in said
    assert (home / "day.png").read_bytes()[:4] == b"\x89PNG"
    assert "The week up to Sunday 8 March" in run(
        "summary", "--on", "2026-03-08", "--every", "weekly"
    )
    assert "March 2026, up to 31 March" in run(
        "summary", "--on", "2026-03-31", "--every", "monthly"
    )
    assert "write one of daily, weekly, monthly" in run("summary", "--every", "hourly", fails=True)


def test_with_little_history_nothing_is_suggested(run, home):
    assert run("intervals") == "No door has been checked twice yet.\n"
    assert "Write one from 0.5" in run("intervals", "--availability", "2", fails=True)
