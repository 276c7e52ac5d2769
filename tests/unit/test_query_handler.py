"""A supervisor asks in the chat, by typing or by the buttons of a summary; what is no question goes
to the talk.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
import small_visit as visit
from asked_logbook import LATER, ask, fill, text
from visits import CHECKLIST, UNDERSTANDING

from doorround.channels.messenger.query_handler import QueryHandler
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.domain.defects import DeedKind
from doorround.domain.schedule.plan import Plan
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.defect_deeds import act, put_out
from doorround.logbook.defects import read_defects
from doorround.logbook.rota import rota_of
from doorround.logbook.store import Logbook
from doorround.messages.summaries import CAUTION


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """See fill()."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        fill(logbook)
        yield logbook


def test_what_is_due_is_told_as_a_walk(logbook: Logbook) -> None:
    lines = text(logbook, "what is due").split("\n")
    assert lines[0] == "4 doors due, all overdue. In walking order:"
    assert [line.split(",")[0] for line in lines[1:]] in (
        ["· 14", "· 15", "· 31", "· 30"],
        ["· 14", "· 15", "· 30", "· 31"],
        ["· 30", "· 31", "· 15", "· 14"],
        ["· 31", "· 30", "· 15", "· 14"],
        ["· 30", "· 31", "· 14", "· 15"],
        ["· 31", "· 30", "· 14", "· 15"],
        ["· 15", "· 14", "· 30", "· 31"],
        ["· 15", "· 14", "· 31", "· 30"],
    )


def test_who_is_late_counts_doors_and_defects(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    act(logbook, defect, DeedKind.ASSIGNED, "Mona", visit.at(10), to="Ines", by=date(2026, 3, 4))
    assert text(logbook, "who is late") == "Ines: 4 doors overdue, 1 defect late"


def test_a_door_and_its_defect_are_shown(logbook: Logbook) -> None:
    told = ask(logbook, "show door 14")
    assert told is not None
    assert "seals painted over" in told.say[0].text and told.say[0].taps[0].startswith("defect ")
    shown = text(logbook, told.say[0].taps[0])
    assert "First seen 2 March 2026 by Ines" in shown and "(common practice, no source)" in shown
    put_out(logbook, visit.door("15"), "leaf off", "Mona", LATER)
    assert text(logbook, "show door 15").startswith("OUT OF ACTION: leaf off")
    assert text(logbook, "what is wrong with door 15?") == text(logbook, "show door 15")
    assert text(logbook, "what's wrong at the door 14") == text(logbook, "show door 14")
    assert text(logbook, "show door 99") == "There is no door 99 at your sites."


@pytest.mark.parametrize(
    ("floor", "found"), [("floor two", True), ("second floor", True), ("floor three", False)]
)
def test_what_is_wrong_on_a_floor(logbook: Logbook, floor: str, found: bool) -> None:
    assert ("seals painted over" in text(logbook, f"what is wrong on {floor}")) is found


def test_a_caretaker_may_not_read_but_may_snooze_and_be_off(logbook: Logbook) -> None:
    for words in ("who is late", "show door 14", "what is wrong", "summary", "defect 999"):
        assert text(logbook, words, "Ines") == "Only supervisors and auditors can ask that."
    assert (
        text(logbook, "snooze 2 days", "Ines")
        == "No reminders until 13 March 2026. What is due will come after that."
    )
    text(logbook, "off until 2026-03-20", "Ines")
    rota = rota_of(logbook)
    assert rota.asleep("Ines", date(2026, 3, 12)) and not rota.here(
        rota.people[0], date(2026, 3, 20)
    )
    assert text(logbook, "off until 2026-03-01", "Ines") == (
        "2026-03-01 is before 2026-03-11. Give the last day away."
    )


def test_an_auditor_may_read_and_what_is_no_question_goes_to_the_talk(logbook: Logbook) -> None:
    assert "4 doors due, all overdue" in text(logbook, "what is due", "Olu")
    assert ask(logbook, "14") is None and ask(logbook, "no defects") is None


def test_a_caretaker_hears_of_their_own_work_what_is_due_and_their_defects(
    logbook: Logbook,
) -> None:
    told = ask(logbook, "what is due", "Ines")
    assert told is not None and told.say[0].taps[0].startswith("door ")
    [defect] = read_defects(logbook, Plan().defects).open
    assert "seals painted over" in text(logbook, f"defect {defect.id}", "Ines")


def test_a_caretaker_is_told_of_their_own_open_defects_and_of_no_others(logbook: Logbook) -> None:
    [line] = text(logbook, "what is wrong").split("\n")[1:]
    told = ask(logbook, "my defects", "Ines")
    assert told is not None and told.say[0].taps[0].startswith("defect ")
    assert told.say[0].text == f"1 open defect that you found or were given:\n{line}"
    assert text(logbook, "my defects", "Olu") == "No open defect was found by you or given to you."


def test_paused_checks_are_listed_for_whoever_paused_them(logbook: Logbook, tmp_path: Path) -> None:
    assert text(logbook, "what is paused") == "No check of yours is open or paused."
    talk = typed_talk(logbook, tmp_path, "Mona")
    for place, words in enumerate(("31", "not now, another door", "30")):
        talk.take(Incoming(f"p{place}", text=words), LATER)
    told = ask(logbook, "what is paused")
    assert told is not None and told.say[0].taps == ("door 31",)
    now, paused = told.say[0].text.split("\n")
    assert now.startswith("· Door 30, open now: 0 of ")
    assert paused.startswith("· Door 31, paused: 0 of ")


def test_a_question_typed_at_an_open_check_is_answered_and_is_no_miss(
    logbook: Logbook, tmp_path: Path
) -> None:
    talk = typed_talk(logbook, tmp_path, "Ines")
    talk.take(Incoming("1", text="15"), LATER)
    for place, words in enumerate(("my defects", "what is due", "what is paused")):
        said = talk.take(Incoming(f"q{place}", text=words), LATER).say
        assert said[0].text == text(logbook, words, "Ines") and said[-1].question
        assert talk.check is not None and talk.check.misses == 0 and not talk.check.answers


def test_a_summary_is_told_when_it_is_asked_for(logbook: Logbook) -> None:
    told = ask(logbook, "summary")
    assert (
        told is not None
        and "Wednesday 11 March: nothing done" in told.say[0].text
        and "what is due" in told.say[0].taps
        and told.say[0].text.endswith(CAUTION)
    )
    assert "March 2026, up to 11 March: " in text(logbook, "monthly summary")


def test_who_is_late_leads_to_the_person(logbook: Logbook) -> None:
    told = ask(logbook, "who is late")
    assert told is not None and told.say[0].taps[0] == "show person Ines"
    shown = text(logbook, told.say[0].does[0])
    assert shown == text(logbook, "show person Ines")
    assert shown.startswith("Ines: caretaker.\n4 doors overdue: ") and "14" in shown
    assert text(logbook, "show person Olu") == "Olu: auditor.\nNothing is waiting."


def typed_talk(logbook: Logbook, folder: Path, name: str) -> Talk:
    """A talk that is only typed, and answers questions."""

    def no_ear() -> RecognitionPipeline:
        raise AssertionError("nothing is to be heard here")

    answers = QueryHandler(logbook, Plan()).say
    grammar, chat = UNDERSTANDING, f"terminal/{name}"
    return Talk(chat, name, logbook, grammar, no_ear, folder, checklist=CHECKLIST, answers=answers)


@pytest.mark.parametrize("name", ["Mona", "somebody at the terminal"])
def test_in_a_terminal_it_is_answered_too_and_begins_nothing(
    logbook: Logbook, tmp_path: Path, name: str
) -> None:
    talk = typed_talk(logbook, tmp_path, name)
    first = talk.take(Incoming("1", text="what is due"), LATER)
    assert first.say[0].text.startswith("4 doors due")
    assert talk.take(Incoming("1", text="what is due"), LATER).say == first.say
    assert "Never fully checked" in talk.take(Incoming("2", text="show door 15"), LATER).say[0].text
    assert talk.take(Incoming("3", text="show the second floor"), LATER).say[0].taps == (
        "show door 14",
        "show door 15",
    )
    assert talk.check is None
