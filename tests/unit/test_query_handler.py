"""A supervisor asks in the chat, by typing or by the buttons of a summary; what is no question goes
to the talk.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from unittest.mock import patch

import pytest
import small_visit as visit
from phrase_table import TABLE
from visits import BOOK, CHECKLIST, UNDERSTANDING

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.query_handler import QueryHandler
from doorround.channels.messenger.results import Reply
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.photos import Photo
from doorround.domain.defects import DeedKind
from doorround.domain.door import Door, Use
from doorround.domain.door_reference import AskedQuery
from doorround.domain.people import Account, Person
from doorround.domain.query import Query, QueryKind, read_query
from doorround.domain.schedule.plan import Plan
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_grammar import ALONE
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from doorround.hearing.grammar.jsgf import Words
from doorround.logbook.defect_deeds import act, put_out
from doorround.logbook.defects import read_defects
from doorround.logbook.people import People
from doorround.logbook.photos import keep_alone
from doorround.logbook.rota import rota_of
from doorround.logbook.store import Logbook
from doorround.messages.summaries import CAUTION

LATER = visit.at(9 * 1440)


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("What is due?", Query(QueryKind.DUE)),
        ("what's due today", Query(QueryKind.DUE)),
        ("who is late", Query(QueryKind.LATE)),
        ("Show door 2.14", Query(QueryKind.DOOR, "2.14")),
        ("what is wrong", Query(QueryKind.WRONG)),
        ("Summary", Query(QueryKind.SUMMARY, every="daily")),
        ("show me the weekly summary", Query(QueryKind.SUMMARY, every="weekly")),
        ("what is wrong on floor two", Query(QueryKind.WRONG, floor="floor two")),
        ("what's wrong on the second floor?", Query(QueryKind.WRONG, floor="second floor")),
        ("defect 17", Query(QueryKind.DEFECT, "17")),
        (
            "Defect 17 made good: two Screws replaced",
            Query(QueryKind.MENDED, "17", text="two Screws replaced"),
        ),
        ("defect 17 looked at yes", Query(QueryKind.LOOKED, "17", sure=True)),
        ("reopen defect 17, it slams", Query(QueryKind.REOPEN, "17", text="it slams")),
        ("the clock is right", Query(QueryKind.CLOCK)),
        ("snooze", Query(QueryKind.SNOOZE)),
        ("snooze for 3 days", Query(QueryKind.SNOOZE, "3")),
        ("off until 2026-03-09", Query(QueryKind.OFF, until=date(2026, 3, 9))),
        *(
            (words, None)
            for words in (
                "door 14",
                "what is wrong with you",
                "due",
                "14",
                "defect",
                "off until 2026-13-09",
                "snooze 30 days",
                "what is due and no wedge",
                "no defects",
                "no",
                "",
            )
        ),
    ],
)
def test_only_what_is_wholly_a_question_is_one(words: str, asked: Query | None) -> None:
    assert read_query(words) == asked


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Four doors on two floors; 14, on the second, was checked on 2 March and has painted seals."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Ines", "caretaker"), ("Mona", "supervisor"), ("Olu", "auditor")):
            logbook.add_person(name, role, visit.at(-9))
        for number, floor in (
            ("14", "second floor"),
            ("15", "2"),
            ("30", "third floor"),
            ("31", "third floor"),
        ):
            logbook.add_door(
                visit.door(number, floor=floor, use=Use.CORRIDOR), "Mona", visit.at(-5)
            )
        turn = visit.start(visit.door(floor="second floor", use=Use.CORRIDOR))
        logbook.begin("chat", turn)
        turn = visit.answer(turn.check, "seals", visit.PAINTED, 1)
        logbook.keep("chat", None, turn)
        logbook.keep("chat", None, visit.close(turn.check, 2))
        yield logbook


def ask(logbook: Logbook, words: str, name: str = "Mona") -> Reply | None:
    person: Person = People(logbook).person(name)
    told = Access(logbook, tuple, 90, "", bytes, Plan()).order(person, words, LATER)
    assert told is None or isinstance(told, Reply)
    return told


def text(logbook: Logbook, words: str, name: str = "Mona") -> str:
    told = ask(logbook, words, name)
    assert told is not None
    return told.say[0].text


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


def test_a_supervisor_gives_a_defect_to_somebody_who_is_told(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    told = ask(logbook, f"defect {defect.id}")
    assert told is not None
    assert told.say[0].taps == (
        "show door 14",
        f"give defect {defect.id} to Ines",
        f"give defect {defect.id} to Mona",
        f"defect {defect.id} made good",
    )
    assert re.fullmatch(rf"give defect {defect.id} to #\d+", told.say[0].does[1])
    assert text(logbook, told.say[0].does[1]).startswith(f"Ines now has defect {defect.id}")
    assert read_defects(logbook, Plan().defects).all[defect.id].given_to == "Ines"
    assert (
        text(logbook, f"give defect {defect.id} to Olu")
        == "Nobody called “olu” checks doors at that site."
    )
    assert (
        text(logbook, f"give defect {defect.id} to Mona", "Ines")
        == "Only its supervisors, or whoever has it, can do that."
    )


def test_made_good_is_asked_about_and_then_entered_by_who_has_it(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    assert text(logbook, f"defect {defect.id} made good", "Ines").startswith("Only its supervisors")
    act(logbook, defect, DeedKind.ASSIGNED, "Mona", visit.at(10), to="Ines")
    told = ask(logbook, f"defect {defect.id} made good", "Ines")
    assert told is not None and "what was done?" in told.say[0].text
    told = ask(logbook, told.say[0].taps[2], "Ines")
    assert (
        told is not None
        and "Is there a photo?" in told.say[0].text
        and read_defects(logbook, Plan().defects).open
    )
    assert "is noted as made good" in text(logbook, told.say[0].taps[1], "Ines")
    assert not read_defects(logbook, Plan().defects).open
    [deed] = read_defects(logbook, Plan().defects).all[defect.id].deeds[1:]
    assert (deed.text, deed.no_photo, deed.evidence) == (
        "part replaced",
        "a photo shows nothing of it",
        None,
    )
    assert (
        text(logbook, f"defect {defect.id} made good yes")
        == f"Defect {defect.id} is made good already."
    )


def test_a_photo_sent_by_itself_goes_with_what_was_made_good(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    keep_alone(logbook, Photo("ab" * 32, "", None), "Mona", LATER - timedelta(hours=2))
    assert "Is there a photo?" in text(
        logbook, f"defect {defect.id} made good: Latch eased, Ltd. part"
    )
    keep_alone(logbook, Photo("cd" * 32, "", None), "Ines", LATER)
    assert "Is there a photo?" in text(
        logbook, f"defect {defect.id} made good: Latch eased, Ltd. part"
    )
    keep_alone(logbook, Photo("ef" * 32, "", None), "Mona", LATER - timedelta(minutes=5))
    assert "Your last photo goes with it." in text(
        logbook, f"defect {defect.id} made good: Latch eased, Ltd. part"
    )
    [deed] = read_defects(logbook, Plan().defects).all[defect.id].deeds
    assert (deed.text, deed.evidence, deed.person) == ("Latch eased, Ltd. part", "ef" * 32, "Mona")


def test_somebody_else_looks_and_a_wrong_close_is_taken_back(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    text(logbook, f"defect {defect.id} made good: latch eased; no photo because it is too dark")
    assert (
        read_defects(logbook, Plan().defects).all[defect.id].deeds[0].no_photo == "it is too dark"
    )
    told = ask(logbook, f"defect {defect.id}")
    looked, reopen = f"look at defect {defect.id}", f"reopen defect {defect.id}"
    assert told is not None and told.say[0].taps == ("show door 14", looked, reopen)
    told = ask(logbook, f"defect {defect.id} looked at", "Ines")
    assert told is not None and "have you seen at the door" in told.say[0].text
    assert f"Defect {defect.id} is closed" in text(logbook, told.say[0].taps[0], "Ines")
    told = ask(logbook, f"reopen defect {defect.id}")
    assert told is not None and "why is it reopened?" in told.say[0].text
    assert text(logbook, f"reopen defect {defect.id}: It still slams", "Ines").startswith(
        "Only its supervisors"
    )
    assert (
        text(logbook, f"reopen defect {defect.id}: It still slams")
        == f"Defect {defect.id} is open again."
    )
    assert read_defects(logbook, Plan().defects).all[defect.id].deeds[-1].text == "It still slams"
    assert (
        text(logbook, f"reopen defect {defect.id}: twice") == f"Defect {defect.id} is open already."
    )
    assert text(logbook, "reopen defect 999: x") == "There is no defect 999 at your sites."


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


# ---- The same words, spoken


PHRASES = {
    rule: [phrase for phrase, _ in BOOK.phrases(f"asked.{rule}").items()]
    for rule in ("due", "late", "summary", "wrong", "show", "mine", "paused", "looks", "look")
}


def test_every_phrase_that_may_be_said_may_be_typed_and_means_the_same() -> None:
    which = DoorResolver(
        NameIndex((Door(number="14", floor="second floor", place="stair B"),), BOOK)
    )
    said = [*PHRASES["due"], *PHRASES["late"], *PHRASES["summary"], *PHRASES["wrong"]]
    said += [*PHRASES["mine"], *PHRASES["paused"], *PHRASES["looks"]]
    said += [f"{phrase} second floor" for phrase in PHRASES["wrong"]]
    assert len(said) > 30
    for phrase in said:
        heard = which.read(phrase)
        assert isinstance(heard, AskedQuery) and heard.asked == read_query(phrase), phrase
    for phrase in PHRASES["show"]:
        heard = which.read(f"{phrase} fourteen")
        assert (
            isinstance(heard, AskedQuery)
            and heard.asked == Query(QueryKind.DOOR, "14")
            and heard.sure
        )
        if phrase.endswith(("door", "number")):
            assert read_query(f"{phrase} 14") == Query(QueryKind.DOOR, "14"), phrase
    for phrase in PHRASES["look"]:
        heard = which.read(f"{phrase} fourteen")
        assert isinstance(heard, AskedQuery) and heard.sure, phrase
        assert heard.asked == Query(QueryKind.LOOK, "14", name="door"), phrase
        if phrase.endswith(("door", "number")):
            assert read_query(f"{phrase} 14") == Query(QueryKind.LOOK, "14", name="door"), phrase
    shown = which.read("show stair b")
    assert isinstance(shown, AskedQuery) and shown.asked.number == "14"


def test_a_slip_of_the_finger_in_a_question_is_no_answer_and_no_door() -> None:
    which = DoorResolver(NameIndex((Door(number="14"),), BOOK))
    assert which.read("waht is due").kind == "off_grammar"
    assert which.read("show door 15").kind == "question"


def test_every_way_to_ask_is_listened_for_and_nothing_beside_it() -> None:
    whole = NameIndex((Door(number="14", floor="2"),), BOOK).automaton(lambda word: True, ALONE)
    for phrase in (*PHRASES["due"], *PHRASES["late"], *PHRASES["summary"], *PHRASES["wrong"]):
        assert whole.accepts(phrase.split()), phrase
    for phrase in ("show door fourteen", "what is wrong on floor two", "show me the second floor"):
        assert whole.accepts(phrase.split()), phrase
    for phrase in (
        "what is",
        "show",
        "show door",
        "show door fifteen",
        "what is wrong on floor three",
        "late",
    ):
        assert not whole.accepts(phrase.split()), phrase


def test_the_phrases_of_the_table_mean_what_stands_beside_them_and_use_every_written_word() -> None:
    which = DoorResolver(NameIndex((Door(number="14"),), BOOK))
    written = {
        label.text.lower()
        for rule in PHRASES
        for arcs in BOOK.nfa(f"asked.{rule}").arcs
        for label, _ in arcs
        if isinstance(label, Words)
    }
    spoken = set()
    for meaning, phrases in TABLE["asked"].items():
        for phrase in phrases:
            heard = which.read(phrase)
            assert isinstance(heard, AskedQuery)
            assert (
                " ".join(filter(None, (heard.asked.what, heard.asked.every, heard.asked.number)))
                == meaning
            ), phrase
            spoken |= set(phrase.split())
    assert written - spoken == set()


def test_whoever_gave_a_defect_hears_that_it_is_made_good(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    text(logbook, f"give defect {defect.id} to Ines")
    account = Account("telegram", "Mona")
    with patch.object(People, "accounts", lambda people, name: [account] * (name == "Mona")):
        told = ask(
            logbook, f"defect {defect.id} made good: latch eased; no photo: too dark", "Ines"
        )
    assert told is not None
    line = f"Ines says that defect {defect.id} is made good: door 14, latch eased."
    assert [(each.account, each.say[0].text) for each in told.also] == [(account, line)]
